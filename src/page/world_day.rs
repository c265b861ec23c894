//! A picture of the day that the world's settings make: night, dusk and day with the sun's height, wind by the hour, who is
//! home, and the weather of the days. It follows every edit.

use crate::plan;
use crate::sheet::chart::{self, Light};
use crate::sheet::world;
use leptos::prelude::*;

/// Heights of the sky, of wind and of home, in units.
const SKY: f64 = 60.0;
const WIND: f64 = 24.0;
const HOME: f64 = 8.0;

/// The picture.
#[component]
pub(super) fn WorldDay(
    /// The world.
    world: Memo<plan::World>,
) -> impl IntoView {
    let sky = Memo::new(move |_| world.with(plan::World::sky));
    let window = move || world.with(world::window);
    let bands = move || {
        let class = |light| match light {
            Light::Day => "band-day",
            Light::Dusk => "band-dusk",
            Light::Night => "band-night",
        };
        sky.with(|sky| chart::shades(sky, window()))
            .into_iter()
            .map(|(from, to, light)| view! { <rect class=class(light) x=from y=0 width=to - from height=SKY/> })
            .collect_view()
    };
    let sun = move || sky.with(|sky| chart::elevation(sky, window(), SKY, 300));
    let wind = move || world.with(|w| world::wind(w, WIND));
    let home = move || world.with(|w| chart::bars(&world::home(w), window(), 0.0, HOME));
    let ticks = move || {
        chart::ticks(window(), window().to, 5)
            .into_iter()
            .map(|tick| view! { <span class="tick" style=format!("left: {}%", tick.x / 10.0)>{tick.label}</span> })
            .collect_view()
    };
    let is_windy = Memo::new(move |_| world.with(|w| w.wind.iter().any(|w| *w > 0.0)));
    let is_home = Memo::new(move |_| world.with(|w| !world::home(w).is_empty()));
    view! {
        <figure class="world-day">
            <svg class="world-sky" viewBox=format!("0 0 1000 {SKY}") preserveAspectRatio="none" role="img" aria-label="Night, dusk and day, and the sun’s height">
                {bands}
                <path class="sun" d=sun/>
            </svg>
            {move || is_windy.get().then(|| view! {
                <p class="world-name">"Wind by hour"</p>
                <svg class="world-wind" viewBox=format!("0 0 1000 {WIND}") preserveAspectRatio="none" role="img" aria-label="The day’s wind">
                    <path class="wind" d=wind/>
                </svg>
            })}
            {move || is_home.get().then(|| view! {
                <p class="world-name">"Somebody is home"</p>
                <svg class="world-home" viewBox=format!("0 0 1000 {HOME}") preserveAspectRatio="none" role="img" aria-label="When somebody is home">
                    <path class="home" d=home/>
                </svg>
            })}
            <div class="axis" aria-hidden="true">{ticks}</div>
            <figcaption>{move || world.with(world::says)}</figcaption>
            <Weather world/>
        </figure>
    }
}

/// The weather of the days as bars, where it is not the same every day.
#[component]
fn Weather(world: Memo<plan::World>) -> impl IntoView {
    let shown =
        Memo::new(move |_| world.with(|w| (w.weather.len() > 1).then(|| world::weather(w))));
    move || {
        let (bars, more) = shown.get()?;
        let said = bars
            .iter()
            .map(|b| format!("day {}: {}", b.day, b.factor))
            .collect::<Vec<_>>()
            .join(", ");
        let numbered = bars.len() <= 8;
        let each: Vec<_> = bars
            .into_iter()
            .map(|bar| {
                view! {
                    <span class="weather-day" style=format!("--share: {}", bar.share)>
                        <span class="weather-bar"></span>
                        {numbered.then_some(bar.factor)}
                    </span>
                }
            })
            .collect();
        let rest = (more > 0).then(|| format!(" and {more} days more"));
        Some(view! {
            <p class="world-name">"Weather by day"{rest}</p>
            <div class="weather-days" role="img" aria-label=format!("Weather of the days: {said}")>{each}</div>
        })
    }
}
