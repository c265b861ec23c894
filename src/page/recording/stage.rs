//! What stands below the board for a recording: the day chart, and a caption with the time and what happened last.
//!
//! The pointer and the buttons go away while nothing moves them. Keys play, and step through the events.

use super::last::{Last, last};
use super::small_window::SmallWindow;
use super::{Recording, use_recording};
use crate::editor::{Drawing, Message, SiteAct, WalkAct};
use crate::page::day::{Chart, Run, step, use_run};
use crate::page::store::{Store, use_store};
use crate::quantity::Ms;
use crate::sheet::words::to_the_second;
use leptos::ev;
use leptos::html::Section;
use leptos::prelude::*;
use std::time::Duration;
use web_sys::{Element, KeyboardEvent};

/// So long the buttons stay after the pointer was moved.
const STAY: Duration = Duration::from_millis(2500);

/// The stage.
#[component]
pub fn Stage() -> impl IntoView {
    let stands = Stands {
        store: use_store(),
        run: use_run(),
        recording: use_recording(),
        small: SmallWindow::new(use_store()),
    };
    let Stands { run, small, .. } = stands;
    on_cleanup(move || {
        let _ = run.plays().try_set(false);
        small.close();
    });
    let is_still = still();
    let stage = NodeRef::<Section>::new();
    Effect::new(move |_| {
        if let Some(stage) = stage.get() {
            // Focus may be refused, which harms nothing.
            let _ = stage.focus();
        }
    });
    // A press beside it takes the keyboard away from here, where all keys are.
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
        <section class="stage" class:still=is_still tabindex="-1" node_ref=stage aria-label="Recording"
            on:keydown=move |ev| stands.press(&ev) on:focusout=keep_focus>
            <div class="stage-chart" inert=true><Chart/></div>
            <Caption/>
            <Buttons stands/>
        </section>
    }
}

/// Whether the pointer has been at rest for a while. Tracked by whoever reads it.
fn still() -> impl Fn() -> bool + Send + Sync + Copy {
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
    let moves = window_event_listener(ev::pointermove, move |_| moved());
    let presses = window_event_listener(ev::pointerdown, move |_| moved());
    on_cleanup(move || {
        moves.remove();
        presses.remove();
        rest.update_value(|rest| {
            rest.take().inspect(TimeoutHandle::clear);
        });
    });
    move || !is_moved.get()
}

/// What stands there. Cheap to copy.
#[derive(Clone, Copy)]
struct Stands {
    store: Store,
    run: Run,
    recording: Recording,
    small: SmallWindow,
}

impl Stands {
    /// Does what a key means. The page's other keys are for what is not shown now.
    fn press(self, ev: &KeyboardEvent) {
        if ev.ctrl_key() || ev.meta_key() || ev.alt_key() {
            return;
        }
        let is_button = || event_target::<Element>(ev).tag_name() == "BUTTON";
        match ev.key().as_str() {
            "Tab" | "Enter" => return,
            " " if is_button() => return,
            " " => self.run.turn_play(),
            "ArrowLeft" => self.step(false),
            "ArrowRight" => self.step(true),
            "ArrowUp" => self.faster(1),
            "ArrowDown" => self.faster(-1),
            "Home" => self.store.go_to(0),
            "+" | "=" => self.zoom(1.25),
            "-" | "−" => self.zoom(0.8),
            "f" | "F" => self.fit(),
            "p" | "P" => self.small.turn(),
            "v" | "V" | "Escape" => self.recording.turn(false),
            _ => return ev.stop_propagation(),
        }
        ev.prevent_default();
        ev.stop_propagation();
    }

    /// To the event before or the next one; of a walk that is followed, to its steps.
    fn step(self, on: bool) {
        if untrack(|| self.store.walk_place()).is_none() {
            return step(self.store, self.run, on);
        }
        let act = match on {
            true => WalkAct::Forward,
            false => WalkAct::Backward,
        };
        self.store.dispatch(Message::Walk(act));
    }

    fn faster(self, by: isize) {
        let name = self.run.faster(by);
        self.store.notice(format!("Plays {name}."));
    }

    fn zoom(self, by: f64) {
        self.store
            .dispatch(match self.store.drawing().get_untracked() {
                Drawing::Board => Message::Zoom(by, None),
                Drawing::Site => Message::Site(SiteAct::Zoom(by, None)),
            });
    }

    fn fit(self) {
        match self.store.drawing().get_untracked() {
            Drawing::Board => self.store.fit(),
            Drawing::Site => drop(self.store.dispatch(Message::Site(SiteAct::Fit))),
        }
    }
}

/// The buttons, for the pointer and for fingers.
#[component]
fn Buttons(stands: Stands) -> impl IntoView {
    let Stands {
        store,
        run,
        recording,
        small,
    } = stands;
    let is_walk = Memo::new(move |_| store.walk_place().is_some());
    let name = move |event: &'static str, walk: &'static str| {
        move || if is_walk.get() { walk } else { event }
    };
    view! {
        <div class="stage-tools" role="group" aria-label="Recording">
            <button type="button" title=name("Event before (Left)", "Step before (Left)") on:click=move |_| stands.step(false)>
                {name("◂ Event", "◂ Step")}
            </button>
            <button type="button" title="Play or stop (Space); faster and slower: Up and Down" on:click=move |_| run.turn_play()>
                {move || if run.plays().get() { "Stop" } else { "Play" }}
            </button>
            <button type="button" title=name("Next event (Right)", "Next step (Right)") on:click=move |_| stands.step(true)>
                {name("Event ▸", "Step ▸")}
            </button>
            {SmallWindow::is_known().then(|| view! {
                <button type="button" title="A small window that stays on top (P)" aria-pressed=move || small.is_open().to_string()
                    on:click=move |_| small.turn()>"Small window"</button>
            })}
            <button type="button" title="Back to the page (Escape)" on:click=move |_| recording.turn(false)>"End"</button>
        </div>
    }
}

/// The time on the dial, and what happened last.
#[component]
fn Caption() -> impl IntoView {
    let (store, run) = (use_store(), use_run());
    let (moment, day) = (store.moment(), store.day());
    let when = move || {
        let day_ms: Ms = run.day().max(1);
        let is_dark = day.with(|day| day.is_dark(moment.get() % day_ms));
        let light = if is_dark { "dark" } else { "light" };
        format!("day {}, {light}", moment.get() / day_ms + 1)
    };
    let last = Memo::new(move |_| last(store, run));
    let time = move || last.with(|last| last.time.clone());
    let says = move || {
        let Last {
            caption,
            time,
            walk,
            asks,
        } = last.get();
        if let Some(says) = walk {
            let asks = asks.map(|asks| view! { <span class="stage-asks">{asks}</span> });
            return Some(view! { <span class="stage-walk">{says}</span> {asks} }.into_any());
        }
        caption.map(|caption| {
            let at = to_the_second(caption.t, run.day());
            let at = (at != time)
                .then(|| view! { <span class="stage-at">{format!("Last, at {at}:")}</span> });
            view! { {at}<span>{caption.says}</span> }.into_any()
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
