//! The bar below the board by which a walk is followed: the step's text, its question, to and fro by buttons, by keys and by
//! a swipe, a copy of the state, and the way out.

use super::question::Question;
use super::{Walks, use_walks};
use crate::editor::{WalkAct, WalkPlace};
use crate::page::recording::use_recording;
use crate::page::store::{LogPage, Pane};
use leptos::html;
use leptos::prelude::*;
use wasm_bindgen::JsCast;
use web_sys::{Element, HtmlElement, KeyboardEvent, PointerEvent};

/// How far a finger goes sideways until that is a swipe, in pixels of the screen.
const SWIPE: f64 = 48.0;

/// The bar, while the walk is followed.
#[component]
pub fn WalkBar() -> impl IntoView {
    let walks = use_walks();
    let is_followed = Memo::new(move |_| walks.store.walk_place().is_some());
    view! {
        <Show when=move || is_followed.get()>
            <Bar walks/>
        </Show>
    }
}

/// Where the walk is; at its first step once it is followed no more.
fn place_of(walks: Walks) -> WalkPlace {
    let place = walks.store.walk_place();
    place.unwrap_or(WalkPlace { step: 0, of: 1 })
}

#[component]
fn Bar(
    /// The walk.
    walks: Walks,
) -> impl IntoView {
    let place = Memo::new(move |_| place_of(walks));
    let says = Memo::new(move |_| {
        walks
            .store
            .walk_step()
            .map(|step| step.says)
            .unwrap_or_default()
    });
    let bar = NodeRef::<html::Section>::new();
    let recording = use_recording();
    Effect::new(move |_| {
        // Whoever begins a walk has its keys at once; in a recording they are the stage's.
        if let Some(bar) = bar.get().filter(|_| !untrack(|| recording.is_on())) {
            // Focus may be refused, which harms nothing.
            let _ = bar.focus();
        }
    });
    let finger = StoredValue::new(None::<(i32, f64, f64)>);
    let down = move |ev: PointerEvent| {
        let on_slider = event_target::<Element>(&ev).tag_name() == "INPUT";
        let is_finger = ev.pointer_type() == "touch" && !on_slider;
        let at = (
            ev.pointer_id(),
            f64::from(ev.client_x()),
            f64::from(ev.client_y()),
        );
        finger.set_value(is_finger.then_some(at));
    };
    let up = move |ev: PointerEvent| {
        let from = finger.try_update_value(Option::take).flatten();
        let Some((_, x, y)) = from.filter(|(id, ..)| *id == ev.pointer_id()) else {
            return;
        };
        let by = (f64::from(ev.client_x()) - x, f64::from(ev.client_y()) - y);
        if by.0.abs() >= SWIPE && by.0.abs() > 2.0 * by.1.abs() {
            walks.act(if by.0 < 0.0 {
                WalkAct::Forward
            } else {
                WalkAct::Backward
            });
        }
    };
    let count = move || {
        let place = place.get();
        format!("Step {} of {}", place.step + 1, place.of)
    };
    view! {
        <section class="walk-bar" aria-label="Walk" tabindex="-1" node_ref=bar on:keydown=move |ev| press(walks, &ev)
            on:pointerdown=down on:pointerup=up on:pointercancel=move |_| finger.set_value(None)>
            <div class="walk-text" tabindex="0" role="group" aria-label="Text of the step">
                <div role="status" aria-atomic="true">
                    <p class="walk-count">{count}</p>
                    <p class="walk-says">{move || says.get()}</p>
                </div>
                <Question walks/>
            </div>
            <Controls walks place/>
        </section>
    }
}

/// What a key means in the bar.
fn press(walks: Walks, ev: &KeyboardEvent) {
    if ev.ctrl_key() || ev.meta_key() || ev.alt_key() || ev.shift_key() {
        return;
    }
    let act = match ev.key().as_str() {
        "ArrowRight" | "PageDown" => WalkAct::Forward,
        "ArrowLeft" | "PageUp" => WalkAct::Backward,
        "Home" => WalkAct::GoTo(0),
        "End" => WalkAct::GoTo(usize::MAX),
        _ => return,
    };
    ev.prevent_default();
    ev.stop_propagation();
    walks.act(act);
}

/// To and fro, and out.
#[component]
fn Controls(
    /// The walk.
    walks: Walks,
    /// Where it is.
    place: Memo<WalkPlace>,
) -> impl IntoView {
    let is_first = move || place.get().step == 0;
    let is_last = move || place.get().step + 1 >= place.get().of;
    let slid = move |ev| {
        if let Ok(number) = event_target_value(&ev).parse::<usize>() {
            walks.act(WalkAct::GoTo(number.saturating_sub(1)));
        }
    };
    // A walk that teaches ends where the learner begins.
    let leads_on = Memo::new(move |_| {
        walks.store.revision();
        is_last() && walks.store.with_plan(|plan| plan.exercise.is_some())
    });
    let to_exercise = move |_| {
        walks.act(WalkAct::End);
        walks.store.log().set(LogPage::Exercise);
        walks.store.pane().set(Some(Pane::Log));
        // The button is gone by then, and with it what had the keyboard.
        request_animation_frame(|| {
            let page = document().get_element_by_id("exercise-page");
            if let Some(page) = page.and_then(|page| page.dyn_into::<HtmlElement>().ok()) {
                // Focus may be refused, which harms nothing.
                let _ = page.focus();
            }
        });
    };
    let said = move || format!("Step {} of {}", place.get().step + 1, place.get().of);
    view! {
        <div class="walk-row">
            // They keep the keyboard where they have nothing more to do.
            <button type="button" class="walk-step-button" aria-disabled=move || is_first().to_string() title="The step before (Left)"
                on:click=move |_| walks.act(WalkAct::Backward)>"◂ Back"</button>
            <input type="range" class="walk-slider" min="1" step="1" aria-label="Step of the walk" aria-valuetext=said
                max=move || place.get().of.to_string() prop:value=move || (place.get().step + 1).to_string() on:input=slid/>
            <button type="button" class="walk-step-button" aria-disabled=move || is_last().to_string() title="The next step (Right)"
                on:click=move |_| walks.act(WalkAct::Forward)>"Forward ▸"</button>
            <span class="gap"></span>
            <button type="button" title="Open a copy of this state as a plan of your own"
                on:click=move |_| walks.go_on_from_here()>"Go on from here"</button>
            {move || leads_on.get().then(|| view! {
                <button type="button" class="main-act" on:click=to_exercise>"To the exercise"</button>
            })}
            <button type="button" title="Back to the plan" on:click=move |_| walks.act(WalkAct::End)>"Close"</button>
        </div>
    }
}
