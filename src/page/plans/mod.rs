//! All plans that are kept, as cards in a window of their own: found, sorted, opened, renamed, tagged, copied, put into the
//! bin and out of it; and how much room they take. What a shelf is, and what is done with it, is the shelf's business.

mod card;
mod room;
mod verdicts;

pub use verdicts::note_verdicts;

use super::choose_file::{ChooseFile, read_text};
use super::details::Choice;
use super::keeping::{Keeper, use_keeper};
use super::recheck::use_rechecks;
use super::windows::{WindowKind, use_windows};
use crate::shelf::{Filter, Origin, Shelf, ShelfVerdict, Sort};
use card::Card;
use leptos::prelude::*;
use std::collections::BTreeMap;

/// Which of the plans are shown.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Tray {
    Of(Origin),
    Bin,
}

const TRAYS: [(Tray, &str); 4] = [
    (Tray::Of(Origin::Own), "Your plans"),
    (Tray::Of(Origin::Received), "Received"),
    (Tray::Of(Origin::Example), "Examples"),
    (Tray::Bin, "Bin"),
];

const SORTS: [(&str, &str, Sort); 4] = [
    ("changed", "last changed first", Sort::Changed),
    ("title", "by title", Sort::Title),
    ("parts", "most parts first", Sort::Parts),
    ("verdict", "broken first", Sort::Verdict),
];

const VERDICTS: [(&str, &str, Option<ShelfVerdict>); 5] = [
    ("any", "any verdict", None),
    ("broken", "a duty broken", Some(ShelfVerdict::Broken)),
    ("kept", "all duties kept", Some(ShelfVerdict::Kept)),
    ("none", "no duties", Some(ShelfVerdict::NoDuties)),
    ("unknown", "not checked", Some(ShelfVerdict::Unknown)),
];

impl Tray {
    fn filter(self) -> Filter {
        match self {
            Tray::Of(origin) => Filter {
                origin: Some(origin),
                ..Filter::default()
            },
            Tray::Bin => Filter {
                binned: true,
                ..Filter::default()
            },
        }
    }
}

/// What stands in the window with all plans.
#[component]
pub fn Plans() -> impl IntoView {
    let (keeper, windows) = (use_keeper(), use_windows());
    let (search, tag, verdict, sort) = (
        RwSignal::new(String::new()),
        RwSignal::new(String::new()),
        RwSignal::new("any".to_string()),
        RwSignal::new("changed".to_string()),
    );
    let shelf = keeper.shelf();
    let pictures = RwSignal::new(BTreeMap::new());
    keeper.pictures(move |more| {
        // The window may be closed by now.
        let _ = pictures.try_update(|all: &mut BTreeMap<String, String>| all.extend(more));
    });
    let own = keeper.key().get_untracked();
    let first = shelf.with_untracked(|s| s.entry(&own).map(|e| e.own.origin));
    let tray = RwSignal::new(Tray::Of(first.unwrap_or_default()));
    let listed = Memo::new(move |_| {
        let verdict = verdict.get();
        let found = VERDICTS.iter().find(|v| v.0 == verdict);
        let filter = Filter {
            search: search.get(),
            tag: Some(tag.get()).filter(|tag| !tag.is_empty()),
            verdict: found.and_then(|v| v.2),
            ..tray.get().filter()
        };
        let sort = sort.get();
        let sort = SORTS
            .iter()
            .find(|s| s.0 == sort)
            .map_or(Sort::Changed, |s| s.2);
        let keys = |shelf: &Shelf| {
            let found = shelf.list(&filter, sort).into_iter();
            found.map(|entry| entry.key.clone()).collect::<Vec<_>>()
        };
        shelf.with(keys)
    });
    let begin = move |_| {
        keeper.open_other(crate::plan::Plan::fresh(), Origin::Own);
        windows.close();
    };
    let is_filtered = move || {
        !search.with(String::is_empty)
            || !tag.with(String::is_empty)
            || verdict.with(|v| v != "any")
    };
    let nothing = move || match (is_filtered(), tray.get()) {
        (true, _) => "No plan here is like that.",
        (false, Tray::Bin) => "The bin is empty.",
        (false, Tray::Of(Origin::Own)) => "None yet: a plan is kept from its first part on.",
        (false, Tray::Of(Origin::Received)) => {
            "None yet: plans from links and files are kept here."
        }
        (false, Tray::Of(Origin::Example)) => "None yet: examples that you open are kept here.",
    };
    view! {
        <p class="aside">
            "They are kept at every edit, here and nowhere else. To have one elsewhere, save it as a file or send its link."
        </p>
        <div class="plan-tools">
            <div role="group" aria-label="Which plans" class="trays">
                {TRAYS.map(|(of, name)| view! { <TrayButton of name tray keeper/> }).collect_view()}
            </div>
            <input type="search" aria-label="Search plans" placeholder="Search plans"
                prop:value=move || search.get()
                on:input=move |event| search.set(event_target_value(&event))/>
            <Choice id="plans-sort".to_string() label="Sort" options=Signal::stored(words(SORTS.map(|s| (s.0, s.1))))
                value=sort choose=move |word| sort.set(word)/>
            <Choice id="plans-verdict".to_string() label="Verdict"
                options=Signal::stored(words(VERDICTS.map(|v| (v.0, v.1))))
                value=verdict choose=move |word| verdict.set(word)/>
            <Choice id="plans-tag".to_string() label="Tag" options=Signal::derive(move || tags(keeper))
                value=tag choose=move |word| tag.set(word)/>
        </div>
        <Show when=move || listed.with(Vec::is_empty)>
            <p>{nothing}</p>
        </Show>
        <ul class="plans">
            <For each=move || listed.get() key=String::clone children=move |key| {
                view! { <Card key keeper pictures/> }
            }/>
        </ul>
        <div class="plan-ends">
            <button type="button" on:click=begin>"New plan"</button>
            <Whole keeper/>
            <OnNewNumbers/>
            <Show when=move || tray.get() == Tray::Bin && !listed.with(Vec::is_empty)>
                <EmptyBin keeper/>
            </Show>
        </div>
        <room::Room keeper/>
    }
}

fn words<const N: usize>(pairs: [(&str, &str); N]) -> Vec<(String, String)> {
    pairs
        .map(|(value, said)| (value.to_string(), said.to_string()))
        .to_vec()
}

/// The tags there are, to choose from.
fn tags(keeper: Keeper) -> Vec<(String, String)> {
    let mut all = vec![(String::new(), "any tag".to_string())];
    let tags = keeper.shelf().with(|shelf| shelf.tags());
    all.extend(
        tags.into_iter()
            .map(|(tag, count)| (tag.clone(), format!("{tag} ({count})"))),
    );
    all
}

/// A button that shows other plans.
#[component]
fn TrayButton(of: Tray, name: &'static str, tray: RwSignal<Tray>, keeper: Keeper) -> impl IntoView {
    let count = Memo::new(move |_| {
        keeper
            .shelf()
            .with(|s| s.list(&of.filter(), Sort::Title).len())
    });
    view! {
        <button type="button" aria-pressed=move || (tray.get() == of).to_string() on:click=move |_| tray.set(of)>
            {move || format!("{name} ({})", count.get())}
        </button>
    }
}

/// Opens the report on what new numbers changed during this visit, where there is one.
#[component]
fn OnNewNumbers() -> impl IntoView {
    let (rechecks, windows) = (use_rechecks(), use_windows());
    let is_there = move || {
        rechecks
            .report()
            .with(|r| r.as_ref().is_some_and(|r| r.is_over))
    };
    let show = move |_| windows.open(WindowKind::Report);
    view! {
        <Show when=is_there>
            <button type="button" on:click=show>"Report on new numbers…"</button>
        </Show>
    }
}

/// All plans to one file, and such a file back.
#[component]
fn Whole(keeper: Keeper) -> impl IntoView {
    let windows = use_windows();
    let take = move |file: web_sys::File| {
        // What comes of it is told in a dialog of its own.
        windows.close();
        let name = file.name();
        read_text(&file, move |text| match text {
            Some(text) => keeper.take_whole(text, name),
            None => keeper.say("The file could not be read. Is it still there?"),
        });
    };
    view! {
        <button type="button" on:click=move |_| keeper.save_whole()>"Save all as one file"</button>
        <ChooseFile name="Take plans from a file…" asks="A file of plans" accept=".json,application/json" take/>
    }
}

/// Empties the bin, after a question.
#[component]
fn EmptyBin(keeper: Keeper) -> impl IntoView {
    let asks = RwSignal::new(false);
    let empty = move |_| {
        asks.set(false);
        keeper.empty_bin();
    };
    view! {
        <Show
            when=move || asks.get()
            fallback=move || view! { <button type="button" on:click=move |_| asks.set(true)>"Empty the bin…"</button> }
        >
            <span class="asks" role="group" aria-label="Empty the bin?">
                <button type="button" on:click=empty>"Delete for good"</button>
                <button type="button" on:click=move |_| asks.set(false)>"Keep"</button>
            </span>
        </Show>
    }
}
