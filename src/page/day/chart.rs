//! The day chart: the sky on top, then lanes in groups that fold, one axis of time, and the cursor over all of it.

use super::cursor::Cursor;
use super::in_sight::in_sight;
use super::lane::{AllSources, LaneRow};
use super::run::{Run, Scale, use_run};
use crate::page::store::use_store;
use crate::plan::PartId;
use crate::quantity::{DAY_MS, HOUR_MS, Ms};
use crate::sheet::chart::{self, Group, Lane, Light, Window};
use leptos::html;
use leptos::prelude::*;
use wasm_bindgen::JsCast;

/// The time since midnight of days shorter than this is answer in minutes and seconds.
const SHORT_DAY: Ms = 3 * HOUR_MS;
/// So many lanes are drawn, or not, together.
const CHUNK: usize = 16;
/// Up to so many lanes all are drawn.
const SMALL: usize = 64;

/// The window of the chart, as it follows cursor and run.
fn window_of(run: Run) -> Memo<Window> {
    let store = use_store();
    let moment = store.moment();
    Memo::new(move |_| {
        let end = run.end();
        let day: Ms = run.answer().map_or(1, |t| t.journey.day_ms);
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
pub(in crate::page) fn Chart() -> impl IntoView {
    let (store, run) = (use_store(), use_run());
    let window = window_of(run);
    let lanes = Memo::new(move |_| {
        store.worded();
        store.with_shown(chart::lanes)
    });
    let is_small = Memo::new(move |_| lanes.with(Vec::len) <= SMALL);
    let group = move |group: Group| {
        let here = Memo::new(move |_| {
            lanes.with(|all| {
                all.iter()
                    .filter(|l| l.group == group)
                    .cloned()
                    .collect::<Vec<_>>()
            })
        });
        view! { <LaneGroup group lanes=here is_small window/> }
    };
    let frame = NodeRef::<html::Div>::new();
    let chosen = Memo::new(move |_| store.selection().with(|s| s.parts.iter().next().cloned()));
    Effect::new(move |_| {
        if let (Some(id), Some(frame)) = (chosen.get(), frame.get()) {
            bring_in(&frame, id);
        }
    });
    let nothing = move || {
        lanes.with(Vec::is_empty).then(|| view! {
            <p class="aside chart-empty">"Nothing is on the board yet. What you place there gets a lane here."</p>
        })
    };
    view! {
        <div class="chart" class:old=move || run.is_out_of_date() node_ref=frame>
            <div class="chart-body" class:two-rows=move || run.day() != DAY_MS>
                <Axis window/>
                <SkyRow window/>
                {nothing}
                {Group::ALL.map(group)}
                <Cursor window/>
            </div>
        </div>
    }
}

/// Scrolls the chart to the lane of a part, if that is out of sight.
fn bring_in(frame: &web_sys::HtmlElement, id: PartId) {
    let frame = frame.clone();
    // After what is chosen has been drawn.
    request_animation_frame(move || {
        let Ok(lanes) = frame.query_selector_all("[data-lane]") else {
            return;
        };
        let lanes =
            (0..lanes.length()).filter_map(|at| lanes.get(at)?.dyn_into::<web_sys::Element>().ok());
        let own = |lane: &web_sys::Element| {
            lane.get_attribute("data-lane").as_deref() == Some(id.as_str())
        };
        let Some(lane) = lanes.into_iter().find(own) else {
            return;
        };
        let (all, one) = (
            frame.get_bounding_client_rect(),
            lane.get_bounding_client_rect(),
        );
        let head = frame.query_selector(".sky-row").ok().flatten();
        let top = head.map_or(all.top(), |h| h.get_bounding_client_rect().bottom());
        if one.top() < top || one.bottom() > all.bottom() {
            let by = one.top() - top - (all.bottom() - top - one.height()) / 2.0;
            frame.set_scroll_top(frame.scroll_top() + by as i32);
        }
    });
}

/// The axis of time, on the dial; under it the time since midnight where a day is not 24 hours long.
#[component]
fn Axis(window: Memo<Window>) -> impl IntoView {
    let run = use_run();
    let day = move || run.day();
    let view = use_store().view();
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
        (day() != DAY_MS).then(|| {
            let name = match day() < SHORT_DAY {
                true => "In min:s",
                false => "In h:min",
            };
            view! {
                <span class="lane-name">{name}</span>
                <div class="axis">{labels(|tick, day| since_midnight(tick.t % day.max(1), day))}</div>
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

/// Since midnight: hours and minutes, or minutes and seconds where a day is short.
fn since_midnight(ms: Ms, day: Ms) -> String {
    let (seconds, part) = (ms / 1000, ms % 1000);
    match (day < SHORT_DAY, part) {
        (false, _) => format!("{}:{:02}", seconds / 3600, seconds / 60 % 60),
        (true, 0) => format!("{}:{:02}", seconds / 60, seconds % 60),
        (true, part) => format!("{}:{:02}.{part:03}", seconds / 60, seconds % 60),
    }
}

/// The sky's band with the sun's height.
#[component]
fn SkyRow(window: Memo<Window>) -> impl IntoView {
    const HIGH: f64 = 32.0;
    const DAYS_OF_SUN: u64 = 7;
    let store = use_store();
    let sky = Memo::new(move |_| {
        store.shown();
        store.with_shown(|plan| plan.world.sky())
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
    let height = move || {
        let sun = sky.with(|sky| sky.sun(store.moment().get()));
        match sun.elevation {
            up if up > 0.0 => format!("{up:.0}° up"),
            _ => "down".to_string(),
        }
    };
    view! {
        <div class="lane-row sky-row">
            <span class="lane-name">"Sky, sun "{height}</span>
            <svg class="lane-plot" viewBox="0 0 1000 32" preserveAspectRatio="none" role="img" aria-label="Night, dusk and day, and the sun’s height">
                {bands}
                <path class="sun" d=sun/>
            </svg>
        </div>
    }
}

/// What the marks in a group's lanes mean.
#[component]
fn Marks(group: Group) -> impl IntoView {
    let mark = |(class, means): &(&'static str, &'static str)| {
        let shape = match *class {
            "could" | "level" => view! { <path class=*class d="M0 6H16"/> }.into_any(),
            "cut-out" | "cut-in" => view! { <line class=*class x1=0 x2=16 y1=6 y2=6/> }.into_any(),
            _ => view! { <path class=*class d="M1 2H15V10H1Z"/> }.into_any(),
        };
        view! {
            <span class="mark"><svg class="lane-plot" viewBox="0 0 16 12" aria-hidden="true">{shape}</svg>{*means}</span>
        }
    };
    view! { <span class="marks">{group.marks().iter().map(mark).collect_view()}</span> }
}

/// A group of lanes under a heading that folds it.
#[component]
fn LaneGroup(
    group: Group,
    lanes: Memo<Vec<Lane>>,
    is_small: Memo<bool>,
    window: Memo<Window>,
) -> impl IntoView {
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
                <div class="lane-head">
                    <button type="button" class="lane-heading" aria-expanded=move || (!is_folded()).to_string() on:click=turn>
                        {group.name()} <span class="aside">{count}</span>
                    </button>
                    {move || (!is_folded()).then(|| view! { <Marks group/> })}
                </div>
                {move || (group == Group::Sources && count() > 1 && !is_folded()).then(|| view! { <AllSources window/> })}
                {move || (!is_folded()).then(|| {
                    let tall = group.is_tall();
                    let chunks = move || 0..count().div_ceil(CHUNK);
                    view! { <For each=chunks key=|chunk| *chunk let:chunk><Chunk chunk lanes tall is_small window/></For> }
                })}
            </div>
        })
    }
}

/// Some lanes that follow each other. In a large plan they are drawn while they are in sight, or one of them is chosen;
/// otherwise their place is kept free.
#[component]
fn Chunk(
    /// Which of its group.
    chunk: usize,
    /// All lanes of the group.
    lanes: Memo<Vec<Lane>>,
    /// Whether they are tall.
    tall: bool,
    /// Whether the plan is so small that all are drawn.
    is_small: Memo<bool>,
    window: Memo<Window>,
) -> impl IntoView {
    let store = use_store();
    let own = Memo::new(move |_| {
        let of = |all: &Vec<Lane>| all.chunks(CHUNK).nth(chunk).map(<[Lane]>::to_vec);
        lanes.with(of).unwrap_or_default()
    });
    let element = NodeRef::<html::Div>::new();
    let seen = in_sight(element);
    let is_drawn = Memo::new(move |_| {
        let is_chosen = || {
            store
                .selection()
                .with(|s| own.with(|own| own.iter().any(|lane| s.parts.contains(&lane.id))))
        };
        is_small.get() || seen.get() || is_chosen()
    });
    let drawn = move || {
        if is_drawn.get() {
            own.get()
        } else {
            Vec::new()
        }
    };
    view! {
        <div class="lane-chunk" class:tall=tall node_ref=element style=move || format!("--lanes: {}", own.with(Vec::len))>
            <For each=drawn key=|lane| (lane.id.clone(), lane.name.clone()) let:lane>
                <LaneRow lane window/>
            </For>
        </div>
    }
}
