//! The form of an exercise.

use super::free::Free;
use super::may::May;
use super::set_hints::SetHints;
use super::trials::Trials;
use super::{change, of_exercise};
use crate::limits::WALK_TEXT;
use crate::page::store::use_store;
use crate::page::teach::hand_in::{SolveHere, back_to_setting};
use crate::page::teach::{Standing, commit, standing};
use crate::page::windows::use_windows;
use crate::plan::Edit;
use crate::teach::built_materials;
use leptos::prelude::*;

/// All of it.
#[component]
pub fn Form() -> impl IntoView {
    let (store, standing) = (use_store(), standing());
    let asks = of_exercise(|exercise| exercise.asks.clone());
    let asked = move |event| {
        let asks = event_target_value(&event).trim().to_string();
        change(store, "say what the exercise asks", |exercise| {
            exercise.asks = asks
        });
    };
    let away = move |_| {
        commit(store, "take the exercise away", vec![Edit::Exercise(None)]);
    };
    view! {
        {move || (standing.get() == Standing::Solved).then(|| view! { <Solved/> })}
        <label class="exercise-field">
            <span>"What is to be done, in plain words"</span>
            <textarea rows="3" maxlength=WALK_TEXT.to_string() prop:value=move || asks.get().unwrap_or_default() on:change=asked></textarea>
        </label>
        <p class="aside">"What has to be kept are the duties of the loads: give them in the loads' details."</p>
        <May/>
        <Free/>
        <Trials/>
        <Materials/>
        <SetHints/>
        <p class="exercise-buttons">
            {move || (standing.get() == Standing::Set).then(|| view! { <SolveHere/> })}
            <button type="button" on:click=away>"Take the exercise away"</button>
        </p>
    }
}

/// The button that leads back to what the exercise gives.
#[component]
pub fn BackToSetting() -> impl IntoView {
    let (store, windows) = (use_store(), use_windows());
    // What is given is seen on the board, which a window covers.
    let back = move |_| {
        windows.close();
        back_to_setting(store);
    };
    view! {
        <button type="button" on:click=back>"Back to what is given"</button>
    }
}

/// What is said where the board is a learner's, and not what he begins with.
#[component]
fn Solved() -> impl IntoView {
    view! {
        <p class="exercise-note">
            "The board shows a solution now, not what a learner begins with. Solve the exercise step by step and record each step as a hint; then go back to what is given. "
            <BackToSetting/>
        </p>
    }
}

/// Up to which sum of materials a solution has the star for being cheap.
#[component]
fn Materials() -> impl IntoView {
    let store = use_store();
    let most = of_exercise(|exercise| exercise.materials);
    let shown = move || {
        most.get()
            .flatten()
            .map_or(String::new(), |most| most.to_string())
    };
    let entered = move |event| {
        let text = event_target_value(&event);
        let text = text.trim();
        let most = text.parse::<u64>().ok();
        if most.is_none() && !text.is_empty() {
            store.notice(
                "The sum of materials is a whole number, or nothing for no such star.".into(),
            );
        } else {
            change(store, "say how little material is enough", |exercise| {
                exercise.materials = most
            });
        }
    };
    let built = Memo::new(move |_| {
        store.revision();
        store.with_plan(built_materials)
    });
    let take = move |_| {
        let built = built.get_untracked();
        change(store, "take the materials that were built", |exercise| {
            exercise.materials = built
        });
    };
    view! {
        <h3>"Star for few materials"</h3>
        <p class="exercise-buttons">
            <label>"At most "<input type="text" inputmode="numeric" size="6" prop:value=shown on:change=entered/>" of materials, without what is given"</label>
            {move || built.get().filter(|built| *built > 0).map(|built| view! {
                <button type="button" on:click=take>{format!("Take those of what is built now ({built})")}</button>
            })}
        </p>
    }
}
