//! From the plan to the hands, in a window of its own: what is to be gathered, which cables are laid, in which order it is
//! built, and what is wrong where it does not do what the plan does. Each tab is a file or a folder beside this one. What a
//! plan needs, what of it is missing, in which steps it is built and which faults explain a reading is the core's business.

mod board_note;
mod cables;
mod faults;
mod gather;
mod kept_entries;
mod readings;
mod steps;
mod take_away;

pub use board_note::BoardNoteBanner;

use super::caution::Caution;
use super::jobs::Jobs;
use super::keeping::browser;
use super::keys;
use super::store::{Store, use_store};
use super::tab_row::{TabRow, tab_id};
use super::windows::{WindowKind, Windows, use_windows};
use crate::diagnosis::Readable;
use leptos::{ev, prelude::*};
use readings::use_base_readings;

/// What the ids of the tabs begin with.
const TABS: &str = "build-tab";

/// Under which name the browser keeps the tab that was open last.
const LAST_TAB: &str = "build/tab";

/// Under which name it keeps the key of the plan whose order of work is open, so that a reload leads back to it.
const AT_WORK: &str = "build/at-work";

/// The tabs.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Tab {
    Gather,
    Cables,
    Steps,
    Faults,
}

impl Tab {
    const ALL: [Tab; 4] = [Tab::Gather, Tab::Cables, Tab::Steps, Tab::Faults];

    fn name(self) -> &'static str {
        match self {
            Tab::Gather => "Gather",
            Tab::Cables => "Cables",
            Tab::Steps => "Order of work",
            Tab::Faults => "Faults",
        }
    }

    fn view(self) -> AnyView {
        match self {
            Tab::Gather => view! { <gather::Gather/> }.into_any(),
            Tab::Cables => view! { <cables::Cables/> }.into_any(),
            Tab::Steps => view! { <steps::Steps/> }.into_any(),
            Tab::Faults => view! { <faults::Faults/> }.into_any(),
        }
    }
}

/// Which tab is open; it stays while the window is closed, and over a reload. Cheap to copy; provided by context.
#[derive(Clone, Copy)]
struct OpenTab(RwSignal<Tab>);

impl OpenTab {
    /// As it was left.
    fn start() -> OpenTab {
        let name = browser::read(LAST_TAB);
        let kept = Tab::ALL
            .into_iter()
            .find(|tab| name.as_deref() == Some(tab.name()));
        let open = RwSignal::new(kept.unwrap_or(Tab::Gather));
        Effect::watch(
            move || open.get(),
            // What can't be kept is not open at the next visit, which harms nothing.
            |tab, _, _| drop(browser::write(LAST_TAB, tab.name())),
            false,
        );
        OpenTab(open)
    }

    /// Opens the window where the page was left in the middle of the work on the plan that is open, and notes from now on
    /// whether it is.
    fn lead_back(self, store: Store, windows: Windows, ticking: steps::Ticking) {
        let OpenTab(open) = self;
        // A link in the address opens another plan in a moment.
        let has_link = window()
            .location()
            .hash()
            .is_ok_and(|hash| !hash.is_empty());
        let left_at = browser::read(AT_WORK);
        if !has_link && left_at == Some(untrack(|| store.plan_key())) {
            open.set(Tab::Steps);
            ticking.lead();
            windows.open(WindowKind::Build);
        }
        Effect::new(move |_| {
            match windows.is_open(WindowKind::Build) && open.get() == Tab::Steps {
                true => drop(browser::write(AT_WORK, &store.plan_key())),
                false => browser::remove(AT_WORK),
            }
        });
    }
}

/// Provides what the window needs, and listens for the key of a doubt. Call it in the page's root.
pub fn start(jobs: Jobs) {
    let store = jobs.store();
    let tab = OpenTab::start();
    provide_context(tab);
    provide_context(gather::Gathering::start(store));
    let readings = readings::BaseReadings::start(store);
    provide_context(readings);
    provide_context(faults::FaultsJob::start(jobs, readings));
    let ticking = steps::Ticking::start(store);
    provide_context(ticking);
    provide_context(steps::StepsJob::start(jobs, ticking));
    let windows = use_windows();
    tab.lead_back(store, windows, ticking);
    let doubts = window_event_listener(ev::keydown, move |event| {
        if keys::is_free(&event) && event.key().eq_ignore_ascii_case("r") {
            event.prevent_default();
            doubt_chosen(store, windows);
        }
    });
    on_cleanup(move || doubts.remove());
}

/// Begins a reading of the one part that is chosen.
fn doubt_chosen(store: Store, windows: Windows) {
    let chosen = store
        .selection()
        .with_untracked(|chosen| match chosen.parts.len() {
            1 => chosen.parts.first().cloned(),
            _ => None,
        });
    let can_be_read = |id: &_| store.with_plan(|plan| Readable::Part(Clone::clone(id)).is_of(plan));
    match chosen.filter(can_be_read) {
        Some(part) => windows.doubt(part),
        None => store.notice(
            "Choose one load, contact or battery first: R then begins a reading of it.".into(),
        ),
    }
}

/// What stands in the window.
#[component]
pub fn BuildPage() -> impl IntoView {
    let store = use_store();
    let has_parts = Memo::new(move |_| {
        store.revision();
        store.with_plan(|plan| !plan.parts.is_empty())
    });
    let OpenTab(open) = expect_context();
    if let Some(part) = use_windows().take_doubted() {
        open.set(Tab::Faults);
        use_base_readings().begin(&Readable::Part(part), store.moment().get_untracked());
    }
    let turn = move |to: Tab| open.set(to);
    let tabs = Tab::ALL.map(|one| (one, one.name())).to_vec();
    let nothing = || {
        view! {
            <p>
                "This plan has no parts yet. Drag some from the shelf onto the board, or open an example: what they need is listed here then."
            </p>
        }
    };
    view! {
        <TabRow label="Pages of building" prefix=TABS panel="build-page" tabs=tabs open turn/>
        <div class="build-page" id="build-page" role="tabpanel" aria-labelledby=move || tab_id(TABS, open.get().name())>
            <Show when=move || has_parts.get() fallback=nothing>{move || open.get().view()}</Show>
        </div>
        <Caution/>
    }
}
