//! What the panel gives over the day as it is aimed, also while it is being turned.

use super::Aiming;
use crate::sheet::aims;
use crate::sheet::chart::{self, Light, Window};
use leptos::prelude::*;

/// The height of the drawing, in units.
const HIGH: f64 = 64.0;

/// The output over the day.
#[component]
pub(super) fn OverTheDay(aiming: Aiming) -> impl IntoView {
    let window = move || Window {
        from: 0,
        to: aiming
            .panel
            .with(|p| p.as_ref().map_or(1, |p| p.sky.day_ms))
            .max(1),
    };
    let sky = Memo::new(move |_| aiming.panel.get().map(|p| p.sky));
    let bands = move || {
        let shades = sky.with(|sky| sky.as_ref().map(|sky| chart::shades(sky, window())));
        let class = |light| match light {
            Light::Day => "band-day",
            Light::Dusk => "band-dusk",
            Light::Night => "band-night",
        };
        shades
            .unwrap_or_default()
            .into_iter()
            .map(|(from, to, light)| view! { <rect class=class(light) x=from y=0 width=to - from height=HIGH/> })
            .collect_view()
    };
    let path = move || {
        let most = aiming.panel.with(|p| p.as_ref().map_or(1, |p| p.most()));
        aiming.output.with(|output| {
            let output = output.as_ref()?;
            Some(chart::area(&output.steps, window(), most, HIGH))
        })
    };
    let ticks = move || {
        chart::ticks(window(), window().to, 5)
            .into_iter()
            .map(|tick| view! { <span class="tick" style=format!("left: {}%", tick.x / 10.0)>{tick.label}</span> })
            .collect_view()
    };
    let says = move || {
        let panel = aiming.panel.get()?;
        let gives = aiming.output.with(|o| o.as_ref().map(|o| o.gives))?;
        Some(aims::gives(&gives, &panel, &aiming.store.unit()))
    };
    let waits = move || {
        aiming.draft.with(Option::is_some)
            && aiming
                .panel
                .with(|p| p.as_ref().is_some_and(|p| p.most() > super::LIVE))
    };
    view! {
        <div class="aim-output" class:old=waits>
            <svg viewBox=format!("0 0 1000 {HIGH}") preserveAspectRatio="none" role="img" aria-label="What it gives over the day">
                {bands}
                <path class="gives" d=path/>
            </svg>
            <div class="axis" aria-hidden="true">{ticks}</div>
        </div>
        <p class="aim-gives">{says}</p>
    }
}
