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
use crate::proof::start_by::{Bound, Offer, StartWish, starts_of_day};
use crate::worker::StartFound;
use leptos::prelude::*;

/// Half an hour, in minutes of the dial.
const HALF_HOUR: i32 = 30;

/// Another time for the load `id`.
#[component]
pub(super) fn AnotherTime(
    /// The load.
    id: PartId,
) -> impl IntoView {
    let (store, run, search) = (use_store(), use_run(), use_start_by());
    let id = StoredValue::new(id);
    // The starts of the last day shown, by the minute.
    let starts = Memo::new(move |_| {
        let answer = run.answer()?;
        let record = &answer.journey.record;
        let place = id.with_value(|id| record.ids.iter().position(|i| i == id))?;
        let ran = record.loads.get(&place)?;
        let starts: Vec<_> = ran.runs.iter().map(|r| r.0).filter(|t| *t > 0).collect();
        Some(starts_of_day(&starts, answer.journey.day_ms))
    });
    let picked = RwSignal::new(None::<Clock>);
    let start = Memo::new(move |_| {
        let all = starts.get().unwrap_or_default();
        // The one that was picked, or the last that is not after the cursor.
        let now = Clock::at(store.moment().get(), run.day());
        let before = || all.iter().rev().find(|t| **t <= now).or(all.last());
        let own = picked.get().filter(|p| all.contains(p));
        own.or_else(|| before().copied())
    });
    let typed = RwSignal::new(None::<Clock>);
    let at = Memo::new(move |_| typed.get().or(start.get()));
    let later = RwSignal::new(false);
    let step = move |by: i32| {
        if let Some(now) = at.get_untracked() {
            let minute = (i32::from(now.minute()) + by).rem_euclid(1440);
            typed.set(Clock::parse(&format!(
                "{:02}:{:02}",
                minute / 60,
                minute % 60
            )));
            later.set(by > 0);
        }
    };
    let read = move |text: String| match Clock::parse(text.trim()) {
        Some(clock) => {
            typed.set(Some(clock));
            Ok(())
        }
        None => Err(format!(
            "Found {text}, expected a time from 00:00 to 24:00."
        )),
    };
    let look = Callback::new(move |()| {
        if let Some(at) = at.get_untracked() {
            search.look(StartWish {
                part: id.get_value(),
                at,
                bound: match later.get_untracked() {
                    true => Bound::NotBefore,
                    false => Bound::AtLatest,
                },
                near: start.get_untracked(),
            });
        }
    });
    let words = |clock: Option<Clock>| clock.map_or(String::new(), |c| c.to_string());
    let options = Signal::derive(move || {
        let all = starts.get().unwrap_or_default().into_iter();
        all.map(|c| (c.to_string(), c.to_string()))
            .collect::<Vec<_>>()
    });
    let which = move || {
        (options.with(Vec::len) > 1).then(|| view! {
            <Choice id="start-which".into() label="Which start" options value=Signal::derive(move || words(start.get()))
                choose=move |text: String| { picked.set(Clock::parse(&text)); typed.set(None); }/>
        })
    };
    let sides = Signal::stored(vec![
        ("by".to_string(), "at the latest".to_string()),
        ("from".to_string(), "or later".to_string()),
    ]);
    let form = move || {
        match start.get().is_some() {
        false => view! { <p class="aside">"It does not start in the days shown."</p> }.into_any(),
        true => view! {
            <p class="aside">"Starts at "{move || words(start.get())}"."</p>
            {which}
            <Entry id="start-at".into() label="Start it at" value=Signal::derive(move || words(at.get())) read/>
            <Choice id="start-side".into() label="That is" options=sides
                value=Signal::derive(move || if later.get() { "from" } else { "by" }.to_string())
                choose=move |text: String| later.set(text == "from")/>
            <div class="buttons">
                <button type="button" on:click=move |_| step(-HALF_HOUR)>"Half an hour earlier"</button>
                <button type="button" on:click=move |_| step(HALF_HOUR)>"Half an hour later"</button>
                <button type="button" on:click=move |_| look.run(())>"Find changes"</button>
            </div>
        }
        .into_any(),
    }
    };
    let has_start = Memo::new(move |_| start.get().is_some());
    view! {
        <section aria-labelledby="details-start">
            <h3 id="details-start" tabindex="-1">"Another time"</h3>
            {move || { has_start.track(); untrack(form) }}
            <Outcome id=id.get_value() look/>
        </section>
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
        let (offers, says) = match &answer.value {
            Err(none) => {
                let name = store.with_plan(|plan| plan.called(&wish.part));
                (Vec::new(), vec![none.says(&name)])
            }
            Ok(found) => {
                let says = store.with_plan(|plan| told(found, &wish, answer.complete, plan));
                (found.offers.clone(), says)
            }
        };
        Some(view! {
            <div role="status">{says.into_iter().map(|line| view! { <p class="aside">{line}</p> }).collect_view()}</div>
            <ol class="start-offers" aria-label="Changes that do it">
                {offers.into_iter().map(|o| view! { <li><Change remedy=o.remedy/></li> }).collect_view()}
            </ol>
        })
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
fn told(found: &StartFound, wish: &StartWish, complete: bool, plan: &Plan) -> Vec<String> {
    let outcome = &found.outcome;
    let now = Clock::at(outcome.now, plan.world.day_ms());
    let asked = wish.bound.said(wish.at);
    let says = match (found.offers.len(), complete) {
        (0, false) => format!("It starts at {now}, wanted {asked}: nothing found yet."),
        (0, true) => outcome.says.clone().unwrap_or_default(),
        (1, _) => format!("It starts at {now}, wanted {asked}: 1 change does it."),
        (n, _) => format!("It starts at {now}, wanted {asked}: {n} changes do it."),
    };
    let nearest = |offer: &Offer| {
        format!(
            "Nearest that breaks no duty that is kept: {}",
            offer.remedy.says
        )
    };
    let nearest = outcome.nearest.as_ref().filter(|_| complete).map(nearest);
    std::iter::once(says).chain(nearest).collect()
}
