//! The day chart: the sky on top, then lanes in groups that fold, one axis of time, and the cursor over all of it.

use super::cursor::Cursor;
use super::lane::{AllSources, LaneRow};
use super::run::{Run, use_run};
use crate::page::state::use_bench;
use crate::quantity::{HOUR_MS, Ms};
use crate::sheet::chart::{self, Group, Lane, Light, Window};
use leptos::prelude::*;

/// How much of the run the chart shows.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Scale {
    /// All of it.
    Whole,
    /// So many minutes of the dial, those around the cursor.
    Minutes(u32),
}

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

/// The window of the chart, as it follows cursor and run.
fn window_of(run: Run) -> Memo<Window> {
    let bench = use_bench();
    let moment = bench.moment();
    Memo::new(move |_| {
        let end = run.end();
        let day: Ms = run.told().map_or(1, |t| t.journey.day_ms);
        match run.scale().get() {
            Scale::Whole => Window {
                from: 0,
                to: end.max(1),
            },
            Scale::Minutes(minutes) => {
                let long = u128::from(day) * u128::from(minutes) / 1440;
                Window::around(moment.get(), Ms::try_from(long).unwrap_or(day).max(1), end)
            }
        }
    })
}

/// The chart.
#[component]
pub(super) fn Chart() -> impl IntoView {
    let (bench, run) = (use_bench(), use_run());
    let window = window_of(run);
    let lanes = Memo::new(move |_| {
        bench.shown();
        bench.with_shown(chart::lanes)
    });
    let group = move |group: Group| {
        let here = Memo::new(move |_| {
            lanes.with(|all| {
                all.iter()
                    .filter(|l| l.group == group)
                    .cloned()
                    .collect::<Vec<_>>()
            })
        });
        view! { <LaneGroup group lanes=here window/> }
    };
    let nothing = move || {
        lanes.with(Vec::is_empty).then(|| view! {
            <p class="aside chart-empty">"Nothing is on the board yet. What you place there gets a lane here."</p>
        })
    };
    view! {
        <div class="chart" class:old=move || run.is_old()>
            <div class="chart-body">
                <Axis window/>
                <SkyRow window/>
                {nothing}
                {Group::ALL.map(group)}
                <Cursor window/>
            </div>
        </div>
    }
}

/// The axis of time, on the dial; under it the time since midnight where a day is not 24 hours long.
#[component]
fn Axis(window: Memo<Window>) -> impl IntoView {
    let run = use_run();
    let day = move || run.told().map_or(86_400_000, |t| t.journey.day_ms);
    let view = use_bench().view();
    // The board is as wide as the chart with its list of events.
    let room = Memo::new(move |_| {
        if view.with(|v| v.width) < 700.0 {
            4
        } else {
            10
        }
    });
    let labels = move |of: fn(chart::Tick, Ms) -> String| {
        let day = day();
        chart::ticks(window.get(), day, room.get())
            .into_iter()
            .map(|tick| {
                let x = tick.x / 10.0;
                view! { <span class="tick" style=format!("left: {x}%")>{of(tick, day)}</span> }
            })
            .collect_view()
    };
    let since = move || {
        (day() != 24 * HOUR_MS).then(|| {
            view! {
                <span class="lane-name">"Since midnight"</span>
                <div class="axis">{labels(|tick, day| short_since(tick.t % day.max(1)))}</div>
            }
        })
    };
    view! {
        <div class="lane-row axis-row" aria-hidden="true">
            <span class="lane-name">"On the dial"</span>
            <div class="axis">{move || labels(|tick, _| tick.label)}</div>
            {since}
        </div>
    }
}

/// Hours and minutes, or minutes and seconds where it is less than an hour.
fn short_since(ms: Ms) -> String {
    let seconds = ms / 1000;
    match seconds / 3600 {
        0 => format!("{} min {:02} s", seconds / 60, seconds % 60),
        hours => format!("{hours} h {:02} min", seconds / 60 % 60),
    }
}

/// The sky's band with the sun's height.
#[component]
fn SkyRow(window: Memo<Window>) -> impl IntoView {
    const HIGH: f64 = 32.0;
    const DAYS_OF_SUN: u64 = 7;
    let bench = use_bench();
    let sky = Memo::new(move |_| {
        bench.shown();
        bench.with_shown(|plan| plan.world.sky())
    });
    let bands = move || {
        let class = |light| match light {
            Light::Day => "band-day",
            Light::Dusk => "band-dusk",
            Light::Night => "band-night",
        };
        sky.with(|sky| chart::shades(sky, window.get()))
            .into_iter()
            .map(|(from, to, light)| view! { <rect class=class(light) x=from y=0 width=to - from height=HIGH/> })
            .collect_view()
    };
    // Over many days the sun's way would be a wall of ink.
    let sun = move || {
        let w = window.get();
        sky.with(|sky| {
            let few = (w.to - w.from) / sky.day_ms.max(1) <= DAYS_OF_SUN;
            if few {
                chart::elevation(sky, w, HIGH, 600)
            } else {
                String::new()
            }
        })
    };
    view! {
        <div class="lane-row sky-row">
            <span class="lane-name">"Sky, sun’s height"</span>
            <svg class="lane-plot" viewBox="0 0 1000 32" preserveAspectRatio="none" role="img" aria-label="Night, dusk and day, and the sun’s height">
                {bands}
                <path class="sun" d=sun/>
            </svg>
        </div>
    }
}

/// A group of lanes under a heading that folds it.
#[component]
fn LaneGroup(group: Group, lanes: Memo<Vec<Lane>>, window: Memo<Window>) -> impl IntoView {
    let run = use_run();
    let folded = run.folded();
    let is_folded = move || folded.with(|f| f.contains(&group));
    let turn = move |_| {
        folded.update(|f| {
            if !f.remove(&group) {
                f.insert(group);
            }
        })
    };
    let count = move || lanes.with(Vec::len);
    move || {
        (count() > 0).then(|| view! {
            <div class="lane-group">
                <button type="button" class="lane-heading" aria-expanded=move || (!is_folded()).to_string() on:click=turn>
                    {group.name()} <span class="aside">{count}</span>
                </button>
                {move || (group == Group::Sources && count() > 1).then(|| view! { <AllSources window/> })}
                {move || (!is_folded()).then(|| view! {
                    <For each=move || lanes.get() key=|lane| (lane.id.clone(), lane.name.clone()) let:lane>
                        <LaneRow lane window/>
                    </For>
                })}
            </div>
        })
    }
}
