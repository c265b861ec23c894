//! The bar of time below the board: the moment shown, moved by a slider over the day's dial, by the number of the day and
//! by buttons for the day's own hours. The band behind the slider shows when it is dark.
//!
//! Moments in milliseconds since midnight of day 1; on the dial a day has 24 hours whatever its length.

use super::store::use_store;
use crate::plan::Clock;
use crate::quantity::Ms;
use crate::run::MOST_DAYS;
use crate::sheet::dial::{DIAL, Day};
use leptos::prelude::*;

/// The bar of time.
#[component]
pub fn Dial() -> impl IntoView {
    let store = use_store();
    let moment = store.moment();
    let day = store.day();
    let number = Memo::new(move |_| moment.get() / day.with(|d| d.day_ms) + 1);
    let in_day = move || moment.get() % day.with(|d| d.day_ms);
    let clock = move || Clock::at(in_day(), day.with(|d| d.day_ms));
    let said = move || {
        let light = if day.with(|d| d.is_dark(in_day())) {
            "dark"
        } else {
            "light"
        };
        format!("{}, day {}, {light}", clock(), number.get())
    };
    let go = move |ms: Ms| {
        let start = (number.get_untracked() - 1) * day.with_untracked(|d| d.day_ms);
        store.go_to(start + ms);
    };
    let slide = move |ev| {
        let minute = event_target_value(&ev)
            .parse::<u64>()
            .unwrap_or(0)
            .min(DIAL - 1);
        let day_ms = u128::from(day.with_untracked(|d| d.day_ms));
        let ms = (u128::from(minute) * day_ms).div_ceil(u128::from(DIAL)) as Ms;
        go(ms.min((day_ms as Ms).saturating_sub(1)));
    };
    let to_day = move |to: u64| {
        let day_ms = day.with_untracked(|d| d.day_ms);
        let within = moment.get_untracked() % day_ms;
        store.go_to((to.clamp(1, MOST_DAYS) - 1) * day_ms + within);
    };
    view! {
        <div class="time" role="group" aria-label="Moment shown">
            <output class="said" for="dial-slider">{said}</output>
            <div class="track">
                <Band day/>
                <input id="dial-slider" type="range" min="0" max="1439" step="1"
                    aria-label="Time of day"
                    aria-valuetext=said
                    prop:value=move || clock().minute().to_string()
                    on:input=slide/>
            </div>
            <div class="times">
                <Jump name="Midnight" ms=Signal::derive(move || Some(0)) go/>
                <Jump name="Dawn" ms=Signal::derive(move || day.with(|d| d.turn_to(false))) go/>
                <Jump name="Noon" ms=Signal::derive(move || Some(day.with(|d| d.day_ms / 2))) go/>
                <Jump name="Dusk" ms=Signal::derive(move || day.with(|d| d.turn_to(true))) go/>
                <label for="dial-day">"Day"</label>
                <input id="dial-day" type="number" min="1" max=MOST_DAYS.to_string() step="1" inputmode="numeric"
                    prop:value=move || number.get().to_string()
                    on:change=move |ev| {
                        match event_target_value(&ev).trim().parse() {
                            Ok(to) => to_day(to),
                            Err(_) => store.notice(format!("Day: expected a whole number from 1 to {MOST_DAYS}.")),
                        }
                        // What was typed may differ from what was taken although the day is the same.
                        event_target::<web_sys::HtmlInputElement>(&ev).set_value(&number.get_untracked().to_string());
                    }/>
            </div>
        </div>
    }
}

/// A button that goes to an hour of the day; it says so where the world has no such hour.
#[component]
fn Jump(
    /// The hour's name.
    name: &'static str,
    /// Milliseconds after midnight, if the day has it.
    #[prop(into)]
    ms: Signal<Option<Ms>>,
    /// Goes there.
    go: impl Fn(Ms) + Send + Sync + 'static,
) -> impl IntoView {
    let store = use_store();
    let click = move |_| match ms.get_untracked() {
        Some(ms) => go(ms),
        None => store.notice(format!(
            "The sun neither rises nor sets in this world: no {}.",
            name.to_lowercase()
        )),
    };
    view! { <button type="button" aria-disabled=move || ms.get().is_none().then_some("true") on:click=click>{name}</button> }
}

/// Night and day, with a line every three hours.
#[component]
fn Band(
    /// The day.
    day: Memo<Day>,
) -> impl IntoView {
    let nights = move || {
        let rect = |(x, w): (f64, f64)| view! { <rect class="night" x=x y=0 width=w height=10/> };
        day.with(|d| d.nights().into_iter().map(rect).collect::<Vec<_>>())
    };
    let hours: Vec<_> = (1..8)
        .map(|h| view! { <line class="hour" x1=h * 180 x2=h * 180 y1=7 y2=10/> })
        .collect();
    view! {
        <svg class="band" viewBox="0 0 1440 10" preserveAspectRatio="none" aria-hidden="true">
            <rect class="day" x=0 y=0 width=1440 height=10/>
            {nights}
            {hours}
        </svg>
    }
}
