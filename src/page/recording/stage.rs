//! What stands below the board for a recording: the day chart, and a caption with the time and what happened last.
//!
//! The pointer and the buttons go away while nothing moves them. Keys play, and step through the events.

use super::small_window::SmallWindow;
use super::use_recording;
use crate::editor::{Drawing, Message, SiteAct};
use crate::page::day::{Chart, SPEEDS, step, use_run};
use crate::page::store::{Store, use_store};
use crate::quantity::Ms;
use crate::sheet::events_said::caption;
use crate::sheet::words::to_the_second;
use leptos::html::Section;
use leptos::prelude::*;
use std::time::Duration;

/// So long the buttons stay after the pointer was moved.
const STAY: Duration = Duration::from_millis(2500);

/// The stage.
#[component]
pub fn Stage() -> impl IntoView {
    let (store, run, recording) = (use_store(), use_run(), use_recording());
    let small = SmallWindow::new(store);
    let is_moved = RwSignal::new(true);
    let rest = StoredValue::new(None::<TimeoutHandle>);
    let moved = move || {
        is_moved.set(true);
        let again = set_timeout_with_handle(move || is_moved.set(false), STAY).ok();
        rest.update_value(|rest| {
            rest.take().inspect(TimeoutHandle::clear);
            *rest = again;
        });
    };
    moved();
    let moves = window_event_listener(leptos::ev::pointermove, move |_| moved());
    let presses = window_event_listener(leptos::ev::pointerdown, move |_| moved());
    on_cleanup(move || {
        moves.remove();
        presses.remove();
        let _ = run.plays().try_set(false);
        rest.update_value(|rest| {
            rest.take().inspect(TimeoutHandle::clear);
        });
        small.close();
    });
    let stage = NodeRef::<Section>::new();
    Effect::new(move |_| {
        if let Some(stage) = stage.get() {
            // Focus may be refused, which harms nothing.
            let _ = stage.focus();
        }
    });
    let faster = move |by: isize| {
        let now = SPEEDS
            .iter()
            .position(|(s, _)| *s == run.speed().get_untracked());
        let next = now
            .unwrap_or(1)
            .saturating_add_signed(by)
            .min(SPEEDS.len() - 1);
        run.speed().set(SPEEDS[next].0);
        store.notice(format!("Plays {}.", SPEEDS[next].1));
    };
    let pressed = move |ev: web_sys::KeyboardEvent| {
        if ev.ctrl_key() || ev.meta_key() || ev.alt_key() {
            return;
        }
        let key = ev.key();
        let is_button = key == " " && event_target::<web_sys::Element>(&ev).tag_name() == "BUTTON";
        match key.as_str() {
            _ if is_button => return,
            " " => run.turn_play(),
            "ArrowLeft" => step(store, run, false),
            "ArrowRight" => step(store, run, true),
            "ArrowUp" => faster(1),
            "ArrowDown" => faster(-1),
            "Home" => store.go_to(0),
            "+" | "=" => zoom(store, 1.25),
            "-" | "−" => zoom(store, 0.8),
            "f" | "F" => fit(store),
            "v" | "V" => recording.turn(false),
            "p" | "P" => small.turn(),
            "Escape" => recording.turn(false),
            "Tab" | "Enter" => return,
            // The page's other keys are for what is not shown now.
            _ => return ev.stop_propagation(),
        }
        ev.prevent_default();
        ev.stop_propagation();
    };
    // A press on the board takes the keyboard away from here, where all keys are.
    let keep_focus = move |_| {
        request_animation_frame(move || {
            let is_lost = document().active_element() == document().body().map(Into::into);
            if let Some(Some(stage)) = stage.try_get_untracked().filter(|_| is_lost) {
                // Focus may be refused, which harms nothing.
                let _ = stage.focus();
            }
        });
    };
    view! {
        <section class="stage" class:still=move || !is_moved.get() tabindex="-1" node_ref=stage aria-label="Recording" on:keydown=pressed on:focusout=keep_focus>
            <div class="stage-chart" inert=true><Chart/></div>
            <Caption/>
            <div class="stage-tools" role="group" aria-label="Recording">
                <button type="button" title="Event before (Left)" on:click=move |_| step(store, run, false)>"◂ Event"</button>
                <button type="button" title="Play or stop (Space); faster and slower: Up and Down" on:click=move |_| run.turn_play()>
                    {move || if run.plays().get() { "Stop" } else { "Play" }}
                </button>
                <button type="button" title="Next event (Right)" on:click=move |_| step(store, run, true)>"Event ▸"</button>
                {SmallWindow::is_known().then(|| view! {
                    <button type="button" title="A small window that stays on top (P)" aria-pressed=move || small.is_open().to_string()
                        on:click=move |_| small.turn()>"Small window"</button>
                })}
                <button type="button" title="Back to the page (Escape)" on:click=move |_| recording.turn(false)>"End"</button>
            </div>
        </section>
    }
}

/// Makes what is shown larger or smaller.
fn zoom(store: Store, by: f64) {
    store.dispatch(match store.drawing().get_untracked() {
        Drawing::Board => Message::Zoom(by, None),
        Drawing::Site => Message::Site(SiteAct::Zoom(by, None)),
    });
}

/// Shows all of it.
fn fit(store: Store) {
    match store.drawing().get_untracked() {
        Drawing::Board => store.fit(),
        Drawing::Site => drop(store.dispatch(Message::Site(SiteAct::Fit))),
    }
}

/// The time on the dial, and what happened last.
#[component]
fn Caption() -> impl IntoView {
    let (store, run) = (use_store(), use_run());
    let (moment, day) = (store.moment(), store.day());
    let time = move || to_the_second(moment.get(), run.day());
    let when = move || {
        let day_ms: Ms = run.day().max(1);
        let is_dark = day.with(|day| day.is_dark(moment.get() % day_ms));
        let light = if is_dark { "dark" } else { "light" };
        format!("day {}, {light}", moment.get() / day_ms + 1)
    };
    let last = Memo::new(move |_| {
        store.worded();
        let answer = run.answer()?;
        store.with_shown(|plan| caption(plan, &answer.journey.record, moment.get()))
    });
    let says = move || {
        last.get().map(|last| {
            let at = to_the_second(last.t, run.day());
            let is_now = last.t == moment.get();
            let at = (!is_now)
                .then(|| view! { <span class="stage-at">{format!("Last, at {at}:")}</span> });
            view! { {at}<span>{last.says}</span> }
        })
    };
    let listens = move || if run.plays().get() { "off" } else { "polite" };
    view! {
        <p class="stage-caption">
            <span class="stage-time">{time}</span>
            <span class="stage-when">{when}</span>
            <span class="stage-says" aria-live=listens>{says}</span>
        </p>
    }
}
