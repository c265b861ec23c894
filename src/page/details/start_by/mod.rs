//! A load's details: another time for it to start. A time is asked for, and what does it and keeps every duty that is
//! kept is listed, each tried, with what it costs; it can be tried on the board and taken. Nothing is judged here.

mod job;

pub(in crate::page) use job::StartByJob;
use job::use_start_by;

use super::field::{Choice, Entry};
use crate::page::day::use_run;
use crate::page::findings::Change;
use crate::page::jobs::{OutOfDate, UnderWay};
use crate::page::store::use_store;
use crate::plan::{Clock, PartId, Plan};
use crate::proof::start_by::{Bound, StartWish, starts_of_day};
use crate::worker::StartFound;
use leptos::prelude::*;

/// Half an hour, in minutes of the dial.
const HALF_HOUR: i32 = 30;

/// What is asked for while it is being entered.
#[derive(Clone, Copy)]
struct Entered {
    /// The starts of the last day shown, by the minute.
    starts: Memo<Vec<Clock>>,
    /// The start that was picked.
    picked: RwSignal<Option<Clock>>,
    /// The start that is meant: the one picked, or the last that is not after the cursor.
    start: Memo<Option<Clock>>,
    /// The time that was typed.
    typed: RwSignal<Option<Clock>>,
    /// The wanted time: the one typed, or the start as it is.
    at: Memo<Option<Clock>>,
    /// Whether it may be later, instead of earlier.
    later: RwSignal<bool>,
}

impl Entered {
    /// Nothing is entered yet for the load `id`.
    fn of(id: PartId) -> Entered {
        let (store, run) = (use_store(), use_run());
        let starts = Memo::new(move |_| {
            let starts = run.answer().and_then(|answer| {
                let record = &answer.journey.record;
                let place = record.ids.iter().position(|own| *own == id)?;
                let runs = record.loads.get(&place)?.runs.iter();
                let starts: Vec<_> = runs.map(|r| r.0).filter(|t| *t > 0).collect();
                Some(starts_of_day(&starts, answer.journey.day_ms))
            });
            starts.unwrap_or_default()
        });
        let picked = RwSignal::new(None::<Clock>);
        let start = Memo::new(move |_| {
            let now = Clock::at(store.moment().get(), run.day());
            starts.with(|all| {
                let own = picked.get().filter(|p| all.contains(p));
                let before = || all.iter().rev().find(|t| **t <= now).or(all.last());
                own.or_else(|| before().copied())
            })
        });
        let typed = RwSignal::new(None::<Clock>);
        Entered {
            starts,
            picked,
            start,
            typed,
            at: Memo::new(move |_| typed.get().or(start.get())),
            later: RwSignal::new(false),
        }
    }

    /// So many minutes earlier or later than what is entered.
    fn step(self, minutes: i32) {
        if let Some(now) = self.at.get_untracked() {
            self.typed.set(Some(now.later(minutes)));
            self.later.set(minutes > 0);
        }
    }

    /// What is asked for, of a load.
    fn wish(self, part: PartId) -> Option<StartWish> {
        Some(StartWish {
            part,
            at: self.at.get_untracked()?,
            bound: match self.later.get_untracked() {
                true => Bound::NotBefore,
                false => Bound::AtLatest,
            },
            near: self.start.get_untracked(),
        })
    }
}

/// Another time for the load `id`.
#[component]
pub(super) fn AnotherTime(
    /// The load.
    id: PartId,
) -> impl IntoView {
    let search = use_start_by();
    let entered = Entered::of(id.clone());
    let part = StoredValue::new(id.clone());
    let look = Callback::new(move |()| {
        if let Some(wish) = entered.wish(part.get_value()) {
            search.look(wish);
        }
    });
    let has_start = Memo::new(move |_| entered.start.get().is_some());
    let form = move || match has_start.get() {
        false => view! { <p class="aside">"It does not start in the days shown."</p> }.into_any(),
        true => view! { <Form entered look/> }.into_any(),
    };
    view! {
        <section aria-labelledby="details-start">
            <h3 id="details-start" tabindex="-1">"Another time"</h3>
            {form}
            <Outcome id look/>
        </section>
    }
}

/// Which start, to which time, and on which side of it.
#[component]
fn Form(
    /// What is entered.
    entered: Entered,
    /// Looks for changes.
    look: Callback<()>,
) -> impl IntoView {
    let words = |clock: Option<Clock>| clock.map_or(String::new(), |c| c.to_string());
    let read = move |text: String| match Clock::parse(text.trim()) {
        Some(clock) => {
            entered.typed.set(Some(clock));
            Ok(())
        }
        None => Err(format!(
            "Found {text}, expected a time from 00:00 to 24:00."
        )),
    };
    let options = Signal::derive(move || {
        let said = |c: &Clock| (c.to_string(), c.to_string());
        entered
            .starts
            .with(|all| all.iter().map(said).collect::<Vec<_>>())
    });
    let pick = move |text: String| {
        entered.picked.set(Clock::parse(&text));
        entered.typed.set(None);
    };
    let which = move || {
        (options.with(Vec::len) > 1).then(|| {
            view! {
                <Choice id="start-which".into() label="Which start" options
                    value=Signal::derive(move || words(entered.start.get())) choose=pick/>
            }
        })
    };
    let sides = Signal::stored(vec![
        ("by".to_string(), "at the latest".to_string()),
        ("from".to_string(), "or later".to_string()),
    ]);
    let side = move || if entered.later.get() { "from" } else { "by" }.to_string();
    view! {
        <p class="aside">"Starts at "{move || words(entered.start.get())}"."</p>
        {which}
        <Entry id="start-at".into() label="Start it at" value=Signal::derive(move || words(entered.at.get())) read/>
        <Choice id="start-side".into() label="That is" options=sides value=Signal::derive(side)
            choose=move |text: String| entered.later.set(text == "from")/>
        <div class="buttons">
            <button type="button" on:click=move |_| entered.step(-HALF_HOUR)>"Half an hour earlier"</button>
            <button type="button" on:click=move |_| entered.step(HALF_HOUR)>"Half an hour later"</button>
            <button type="button" on:click=move |_| look.run(())>"Find changes"</button>
        </div>
    }
}

/// What the search for this load has found.
#[component]
fn Outcome(
    /// The load.
    id: PartId,
    /// Looks again.
    look: Callback<()>,
) -> impl IntoView {
    let (store, search) = (use_store(), use_start_by());
    let job = search.job();
    let is_own = Memo::new(move |_| search.wish().is_some_and(|w| w.part == id));
    let found = move || {
        let (answer, wish) = (job.answer()?, search.wish()?);
        let found = match &answer.value {
            Err(none) => {
                let name = store.with_plan(|plan| plan.called(&wish.part));
                return Some(
                    view! { <p class="aside" role="status">{none.says(&name)}</p> }.into_any(),
                );
            }
            Ok(found) => found,
        };
        let says = store.with_plan(|plan| told(found, &wish, answer.complete, plan));
        let nearest = found.outcome.nearest.clone().filter(|_| answer.complete);
        let offers = found.offers.clone();
        let view = view! {
            <p class="aside" role="status">{says}</p>
            <ol class="start-offers" aria-label="Changes that do it">
                {offers.into_iter().map(|o| view! { <li><Change remedy=o.remedy/></li> }).collect_view()}
            </ol>
            {nearest.map(|nearest| view! {
                <p class="aside">"The nearest that breaks no duty that is kept:"</p>
                <Change remedy=nearest.remedy/>
            })}
        };
        Some(view.into_any())
    };
    move || {
        is_own.get().then(|| {
            view! {
                <OutOfDate when=Signal::derive(move || job.is_out_of_date())/>
                <UnderWay status=job.status() doing="Trying changes" counts="kinds of change"
                    stop=Callback::new(move |()| job.stop()) again=("Look again", look)/>
                {found}
            }
        })
    }
}

/// What is said above the list of changes.
fn told(found: &StartFound, wish: &StartWish, complete: bool, plan: &Plan) -> String {
    let outcome = &found.outcome;
    let now = Clock::at(outcome.now, plan.world.day_ms());
    let asked = wish.bound.said(wish.at);
    match (found.offers.len(), complete) {
        (0, false) => format!("It starts at {now}, wanted {asked}: nothing found yet."),
        (0, true) => outcome.says.clone().unwrap_or_default(),
        (1, _) => format!("It starts at {now}, wanted {asked}: 1 change does it."),
        (n, _) => format!("It starts at {now}, wanted {asked}: {n} changes do it."),
    }
}
