//! Above the chart: how far the run goes, how much of it shows, and playing it.

use super::run::{Run, SPEEDS, use_run};
use super::shows::Shows;
use crate::net::ProblemKind;
use crate::page::store::{Store, use_store};
use crate::quantity::Ms;
use crate::run::{Extent, MOST_DAYS};
use crate::sheet::words::precise;
use leptos::prelude::*;
use std::rc::Rc;

/// The bar above the chart.
#[component]
pub fn Play() -> impl IntoView {
    let (store, run) = (use_store(), use_run());
    let moment = store.moment();
    let day_ms = move || {
        store.shown();
        store.with_shown(|plan| plan.world.day_ms())
    };
    let (plays, speed) = (run.plays(), run.speed());
    // What nobody sees any more does not go on.
    on_cleanup(move || {
        let _ = plays.try_set(false);
    });
    let time = move || {
        let (t, day) = (moment.get(), day_ms());
        format!("Day {}, {}", t / day + 1, precise(t, day))
    };
    view! {
        <div class="play" role="group" aria-label="Run and cursor">
            <button type="button" class="play-step" aria-label="Event before" title="Event before (Left on the cursor)" on:click=move |_| step(store, run, false)>"◂ Event"</button>
            <button type="button" class="play-go" aria-pressed=move || plays.get().to_string() on:click=move |_| run.turn_play()>
                {move || if plays.get() { "Stop" } else { "Play" }}
            </button>
            <button type="button" class="play-step" aria-label="Next event" title="Next event (Right on the cursor)" on:click=move |_| step(store, run, true)>"Event ▸"</button>
            <output class="play-time">{time}</output>
            <label>"at "<select aria-label="Speed" on:change=move |ev| speed.set(event_target_value(&ev).parse().unwrap_or(60))>
                {SPEEDS.map(|(s, name)| view! { <option value=s.to_string() selected=move || speed.get() == s>{name}</option> })}
            </select></label>
            <Length/>
            <Shows/>
            <span class="run-state" role="status">{move || state(store, run)}</span>
        </div>
    }
}

/// The choice of how far the run goes.
#[component]
fn Length() -> impl IntoView {
    let run = use_run();
    let choose = move |ev| {
        let word = event_target_value(&ev);
        let extent = match word.parse() {
            Ok(days) => Extent::Days(days),
            Err(_) => Extent::UntilRepeat,
        };
        run.go_to(extent);
    };
    let options = move || {
        let chosen = run.extent().get();
        let days = |d: u64| match d {
            1 => "1 day".into(),
            _ => format!("{d} days"),
        };
        let all = (1..=MOST_DAYS).map(|d| (Extent::Days(d), d.to_string(), days(d)));
        let repeat = (
            Extent::UntilRepeat,
            "repeat".into(),
            "until it repeats".into(),
        );
        all.chain([repeat])
            .map(|(extent, value, name)| view! { <option value=value selected=extent == chosen>{name}</option> })
            .collect_view()
    };
    view! { <label>"Run "<select aria-label="Length of the run" on:change=choose>{options}</select></label> }
}

/// How the run is, in words: under way, ended early, or repeating. Tracked.
fn state(store: Store, run: Run) -> String {
    if let Some(why) = run.failed() {
        return format!("The run could not be made: {why}.");
    }
    if let Some((done, of)) = run.progress() {
        return if of > 1 {
            format!("Running, day {done} of {of}…")
        } else {
            "Running…".into()
        };
    }
    let Some(answer) = run.answer() else {
        return String::new();
    };
    let journey = &answer.journey;
    if !journey.record.complete {
        let why = journey.record.problems.iter();
        let why = why.filter(|p| matches!(p.kind, ProblemKind::TooManyEvents(_)));
        return why.map(|p| store.with_shown(|plan| p.says(plan))).collect();
    }
    match (run.extent().get(), journey.repeats) {
        (Extent::UntilRepeat, Some(earlier)) => format!(
            "Day {} repeats day {}: so it goes on for ever.",
            journey.record.end / journey.day_ms + 1,
            earlier + 1
        ),
        (Extent::UntilRepeat, None) => "No day of the first 60 repeats an earlier one.".into(),
        _ => String::new(),
    }
}

/// Goes to the event after the moment shown, or to the one before it; at an end it stays.
pub(in crate::page) fn step(store: Store, run: Run, forwards: bool) {
    let moment = store.moment();
    let now = moment.get_untracked();
    let to = run.signal().with_untracked(|answer| {
        let events = &answer.as_ref()?.journey.record.events;
        if forwards {
            events
                .get(events.partition_point(|e| e.t <= now))
                .map(|e| e.t)
        } else {
            let at = events.partition_point(|e| e.t < now);
            at.checked_sub(1).map(|at| events[at].t)
        }
    });
    match to {
        Some(t) => store.go_to(t),
        None => store.notice(
            if forwards {
                "No event after this moment."
            } else {
                "No event before this moment."
            }
            .into(),
        ),
    }
}

/// Moves the moment on while the run plays; at the end of the run it stops.
pub(super) fn drive(store: Store, run: Run) {
    let (plays, speed) = (run.plays(), run.speed());
    let moment = store.moment();
    // The time of the frame before, and parts of a millisecond of the run that it did not use up.
    let before = StoredValue::new((None::<f64>, 0.0));
    let frame = move |now: f64| {
        // The chart may have gone away.
        if plays.try_get_untracked() != Some(true) {
            return false;
        }
        let (then, rest) = before.get_value();
        let passed = then.map_or(0.0, |then| (now - then).clamp(0.0, 100.0));
        let day = store.with_shown(|plan| plan.world.day_ms());
        let wanted =
            passed / 1000.0 * f64::from(speed.get_untracked()) / 1440.0 * day as f64 + rest;
        before.set_value((Some(now), wanted.fract()));
        let end = run
            .signal()
            .with_untracked(|t| t.as_ref().map_or(day, |t| t.journey.record.end));
        let last = end.saturating_sub(1);
        let shown = moment.get_untracked();
        let next = shown.saturating_add(wanted as Ms).min(last);
        if next != shown {
            store.go_to(next);
        }
        if next >= last {
            plays.set(false);
        }
        next < last
    };
    // Another plan begins at rest.
    Effect::watch(
        move || store.opened(),
        move |_, _, _| plays.set(false),
        false,
    );
    Effect::new(move |_| {
        if plays.get() {
            before.set_value((None, 0.0));
            tick(Rc::new(frame));
        }
    });
}

/// Calls `f` with the time of every frame, in milliseconds, until it answers no.
fn tick(f: Rc<dyn Fn(f64) -> bool>) {
    request_animation_frame(move || {
        let now = window().performance().map_or(0.0, |clock| clock.now());
        if f(now) {
            tick(f);
        }
    });
}
