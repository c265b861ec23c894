//! The choice of how much of the run the chart shows.

use super::run::{Scale, use_run};
use leptos::prelude::*;

const SCALES: [(Scale, &str, &str); 5] = [
    (Scale::Whole, "whole", "the whole run"),
    (Scale::Minutes(1440), "1440", "the cursor's day"),
    (Scale::Minutes(360), "360", "six hours"),
    (Scale::Minutes(60), "60", "one hour"),
    (Scale::Minutes(5), "5", "five minutes"),
];

/// The choice of how much shows.
#[component]
pub(super) fn Shows() -> impl IntoView {
    let run = use_run();
    let choose = move |ev| {
        let word = event_target_value(&ev);
        if let Some((scale, ..)) = SCALES.into_iter().find(|(_, w, _)| *w == word) {
            run.scale().set(scale);
        }
    };
    view! {
        <label>"Show "<select aria-label="Stretch shown" on:change=choose>
            {SCALES.map(|(scale, word, name)| view! {
                <option value=word selected=move || run.scale().get() == scale>{name}</option>
            })}
        </select></label>
    }
}
