//! One part's lane: a source's steps, a battery's level, or when a load runs or a contact conducts. Told by height and
//! line as well as by colour.

use super::run::{DayAnswer, use_run};
use crate::editor::Selection;
use crate::page::store::use_store;
use crate::plan::{Clock, Spec};
use crate::quantity::{Ms, Short};
use crate::run::{Record, SourceRecord};
use crate::sheet::chart::{self, Group, Lane, Window};
use crate::sheet::state_line::state_line;
use leptos::prelude::*;
use std::collections::BTreeMap;

/// The height of a lane of steps or levels, and of one of bars, in units.
const TALL: f64 = 36.0;
const LOW: f64 = 16.0;
/// Times are written at so many events of a lane at the most.
const TIMES: usize = 12;

/// What is drawn of a source: could, gives.
#[component]
fn SourcePlot(shapes: Memo<Option<(String, String, String)>>) -> impl IntoView {
    move || {
        shapes.get().map(|(spilled, taken, could)| {
            view! {
                <path class="spill" d=spilled/>
                <path class="taken" d=taken/>
                <path class="could" d=could/>
            }
        })
    }
}

fn source_shapes(
    could: &[(Ms, u64)],
    gives: &[(Ms, u64)],
    window: Window,
) -> (String, String, String) {
    let most = could.iter().map(|(_, v)| *v).max().unwrap_or(0).max(1);
    // A little room above, so that the line at the top is whole.
    let most = most + most.div_ceil(12);
    (
        chart::area(could, window, most, TALL),
        chart::area(gives, window, most, TALL),
        chart::steps(could, window, most, TALL),
    )
}

/// All sources together.
#[component]
pub(super) fn AllSources(window: Memo<Window>) -> impl IntoView {
    let (store, run) = (use_store(), use_run());
    let sums = Memo::new(move |_| {
        let answer = run.answer()?;
        let sources: Vec<&SourceRecord> = answer.journey.record.sources.values().collect();
        let could: Vec<&[(Ms, u64)]> = sources.iter().map(|s| s.could.as_slice()).collect();
        let gives: Vec<&[(Ms, u64)]> = sources.iter().map(|s| s.gives.as_slice()).collect();
        Some((chart::sum(&could), chart::sum(&gives)))
    });
    let shapes = Memo::new(move |_| {
        sums.with(|s| {
            s.as_ref()
                .map(|(could, gives)| source_shapes(could, gives, window.get()))
        })
    });
    let now = move || {
        let t = store.moment().get();
        sums.with(|s| {
            let (could, gives) = s.as_ref()?;
            let unit = store.unit();
            let number = |of| Short(unit.power(chart::value_at(of, t))).to_string();
            Some(format!("gives {} of {}", number(gives), number(could)))
        })
    };
    view! {
        <div class="lane-row tall">
            <div class="lane-label">
                <span class="lane-name">"All sources"</span>
                <span class="lane-now">{now}</span>
            </div>
            <svg class="lane-plot" viewBox="0 0 1000 36" preserveAspectRatio="none" role="img" aria-label="What all sources could give, what is taken, and what is spilled">
                <SourcePlot shapes/>
            </svg>
        </div>
    }
}

/// A part's lane.
#[component]
pub(super) fn LaneRow(lane: Lane, window: Memo<Window>) -> impl IntoView {
    let store = use_store();
    let id = StoredValue::new(lane.id.clone());
    let lit = Memo::new(move |_| {
        store
            .hover()
            .with(|h| id.with_value(|id| h.as_ref() == Some(id)))
    });
    let chosen = Memo::new(move |_| {
        store
            .selection()
            .with(|s| id.with_value(|id| s.parts.contains(id)))
    });
    let choose = move |_| {
        let id = id.get_value();
        store.show(std::slice::from_ref(&id), &[]);
        store.select(Selection::part(&id));
    };
    let is_tall = lane.group.is_tall();
    let class = move || {
        let lit = if lit.get() { " lit" } else { "" };
        let chosen = if chosen.get() { " chosen" } else { "" };
        let tall = if is_tall { " tall" } else { "" };
        format!("lane-row{tall}{lit}{chosen}")
    };
    let (group, name, own) = (lane.group, lane.name.clone(), lane.id.to_string());
    let state = store.part_state(&lane.id);
    let now = move || {
        let state = state.as_ref().filter(|_| is_tall)?;
        let line = state_line(&state.get(), &store.unit()).text;
        Some(view! { <span class="lane-now">{line}</span> })
    };
    let plot = match group {
        Group::Sources => source(lane.clone(), window).into_any(),
        Group::Batteries => battery(lane.clone(), window).into_any(),
        Group::Duties | Group::Loads => load(lane.clone(), window).into_any(),
        Group::Contacts => contact(lane.clone(), window).into_any(),
    };
    let view_box = if is_tall {
        "0 0 1000 36"
    } else {
        "0 0 1000 16"
    };
    let opened = RwSignal::new(false);
    let (table, names) = (lane.clone(), lane.name.clone());
    view! {
        <div class=class data-lane=own
            on:pointerenter=move |_| store.point_at(Some(id.get_value()))
            on:pointerleave=move |_| store.point_at(None)>
            <div class="lane-label">
                <button type="button" class="lane-name" title=name.clone() on:click=choose>{name.clone()}</button>
                <button type="button" class="lane-data-turn" title="As a table" aria-label=format!("{names} as a table")
                    aria-expanded=move || opened.get().to_string() on:click=move |_| opened.update(|is| *is = !*is)>
                    <svg viewBox="0 0 12 12" aria-hidden="true"><path d="M1 2H11M1 6H11M1 10H11M5 2V10"/></svg>
                </button>
                {now}
            </div>
            <div class="lane-field">
                <svg class="lane-plot" viewBox=view_box preserveAspectRatio="none" role="img" aria-label=format!("{name} over the run")>
                    {plot}
                </svg>
                {move || (chosen.get() || lit.get()).then(|| view! { <Times lane=lane.clone() window/> })}
            </div>
            {move || opened.get().then(|| view! { <super::lane_data::LaneData lane=table.clone()/> })}
        </div>
    }
}

/// A record's entry of this lane's part, whichever place it had when the run was made. It may be long: it is looked at
/// where it is.
fn entry<'a, T>(
    answer: &'a DayAnswer,
    lane: &Lane,
    of: impl Fn(&'a Record) -> &'a BTreeMap<usize, T>,
) -> Option<&'a T> {
    let record = &answer.journey.record;
    let place = if record.ids.get(lane.part) == Some(&lane.id) {
        lane.part
    } else {
        record.ids.iter().position(|id| *id == lane.id)?
    };
    of(record).get(&place)
}

fn source(lane: Lane, window: Memo<Window>) -> impl IntoView {
    let run = use_run();
    let shapes = Memo::new(move |_| {
        let answer = run.answer()?;
        let source = entry(&answer, &lane, |r| &r.sources)?;
        Some(source_shapes(&source.could, &source.gives, window.get()))
    });
    view! { <SourcePlot shapes/> }
}

fn battery(lane: Lane, window: Memo<Window>) -> impl IntoView {
    let (store, run) = (use_store(), use_run());
    let marks = {
        let lane = lane.clone();
        Memo::new(move |_| {
            store.shown();
            let spec = store.with_shown(|plan| plan.part(&lane.id).and_then(|p| plan.spec(p)));
            match spec {
                Some(Spec::Battery {
                    capacity,
                    cut_out,
                    cut_in,
                    ..
                }) => Some((capacity, cut_out, cut_in)),
                _ => None,
            }
        })
    };
    let level = Memo::new(move |_| {
        let (answer, (capacity, ..)) = (run.answer()?, marks.get()?);
        let battery = entry(&answer, &lane, |r| &r.batteries)?;
        Some(chart::line(&battery.level, window.get(), capacity, TALL))
    });
    let y = move |of: fn((i128, i128, i128)) -> i128| {
        move || {
            marks
                .get()
                .map_or(TALL, |m| TALL - of(m) as f64 / m.0.max(1) as f64 * TALL)
        }
    };
    let (out, back) = (y(|m| m.1), y(|m| m.2));
    view! {
        <path class="level" d=move || level.get().unwrap_or_default()/>
        <line class="cut-out" x1=0 x2=1000 y1=out y2=out/>
        <line class="cut-in" x1=0 x2=1000 y1=back y2=back/>
    }
}

fn load(lane: Lane, window: Memo<Window>) -> impl IntoView {
    let run = use_run();
    let bars = Memo::new(move |_| {
        let answer = run.answer()?;
        let load = entry(&answer, &lane, |r| &r.loads)?;
        let w = window.get();
        Some((
            chart::bars(&load.runs, w, 2.0, LOW - 4.0),
            chart::bars(&load.short, w, LOW - 7.0, 5.0),
        ))
    });
    move || {
        bars.get().map(|(runs, short)| {
            view! {
                <line class="rest" x1=0 x2=1000 y1=LOW - 2.0 y2=LOW - 2.0/>
                <path class="runs" d=runs/>
                <path class="short" d=short/>
            }
        })
    }
}

fn contact(lane: Lane, window: Memo<Window>) -> impl IntoView {
    let run = use_run();
    let bars = Memo::new(move |_| {
        let answer = run.answer()?;
        let contact = entry(&answer, &lane, |r| &r.contacts)?;
        Some(chart::bars(
            &contact.conducts,
            window.get(),
            5.0,
            LOW - 10.0,
        ))
    });
    move || {
        bars.get().map(|conducts| {
            view! {
                <line class="rest" x1=0 x2=1000 y1=LOW - 2.0 y2=LOW - 2.0/>
                <path class="conducts" d=conducts/>
            }
        })
    }
}

/// The times of this lane's events, where they are few enough to be read.
#[component]
fn Times(lane: Lane, window: Memo<Window>) -> impl IntoView {
    let run = use_run();
    let times = move || {
        let answer = run.answer()?;
        let (w, record) = (window.get(), &answer.journey.record);
        let place = record.ids.iter().position(|id| *id == lane.id)?;
        let first = record.events.partition_point(|e| e.t < w.from);
        let here: Vec<Ms> = record.events[first..]
            .iter()
            .take_while(|e| e.t < w.to)
            .filter(|e| e.place() == place)
            .map(|e| e.t)
            .take(TIMES + 1)
            .collect();
        if here.len() > TIMES {
            return None;
        }
        // One that would lie on the one before is left out; the list of events has it.
        let mut free = f64::MIN;
        let kept = here.into_iter().filter_map(|t| {
            let x = w.x(t);
            (x >= free).then(|| {
                free = x + 46.0;
                (x, Clock::at(t, answer.journey.day_ms).to_string())
            })
        });
        Some(
            kept.map(|(x, label)| view! { <span class="lane-time" style=format!("left: {}%", x / 10.0)>{label}</span> })
                .collect_view(),
        )
    };
    view! { <div class="lane-times" aria-hidden="true">{times}</div> }
}
