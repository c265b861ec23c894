//! The list of events beside the chart, around the cursor, of all parts or of one. A click goes there and chooses the part.

use super::cursor::since_midnight;
use super::run::{Told, use_run};
use crate::page::state::{Bench, use_bench};
use crate::plan::{Clock, PartId};
use crate::quantity::Ms;
use crate::run::{Event, What};
use leptos::html;
use leptos::prelude::*;

/// So many events are listed before the cursor and after it; the rest by scrolling the cursor on.
const BEFORE: usize = 40;
const AFTER: usize = 120;

/// Whose events are listed.
#[derive(Clone, Debug, PartialEq, Eq)]
enum Whose {
    All,
    Chosen,
    One(PartId),
}

/// What happened, in words.
fn word(what: What) -> &'static str {
    match what {
        What::Opens => "opens",
        What::Closes => "closes",
        What::Chatters => "chatters, held open",
        What::Full => "is full",
        What::OutputOff => "output goes off",
        What::OutputOn => "output comes on",
        What::Runs => "starts",
        What::Stops => "stops",
    }
}

impl Whose {
    /// The places of the parts whose events are listed; none where all are. Tracked.
    fn places(&self, bench: Bench, ids: &[PartId]) -> Option<Vec<usize>> {
        let place = |id: &PartId| ids.iter().position(|i| i == id);
        match self {
            Whose::All => None,
            Whose::One(id) => Some(place(id).into_iter().collect()),
            Whose::Chosen => {
                let chosen = bench.selection();
                Some(chosen.with(|s| s.parts.iter().filter_map(place).collect()))
            }
        }
    }
}

/// The events around a moment, and how many of them are not after it.
fn around(events: &[Event], now: Ms, is_wanted: impl Fn(&&Event) -> bool) -> (Vec<Event>, usize) {
    let (before, after) = events.split_at(events.partition_point(|e| e.t <= now));
    let before = before.iter().rev().filter(&is_wanted).take(BEFORE);
    let mut all: Vec<Event> = before.copied().collect();
    all.reverse();
    let here = all.len();
    all.extend(after.iter().filter(&is_wanted).take(AFTER));
    (all, here)
}

/// The events.
#[component]
pub(super) fn Events() -> impl IntoView {
    let (bench, run) = (use_bench(), use_run());
    let moment = bench.moment();
    let whose = RwSignal::new(Whose::All);
    // Compared before it is drawn: while the cursor moves between two events nothing changes here.
    let listed = Memo::new(move |_| {
        let Some(told) = run.told() else {
            return (Vec::new(), 0);
        };
        let record = &told.journey.record;
        let wanted = whose.with(|whose| whose.places(bench, &record.ids));
        let is_wanted = |e: &&Event| wanted.as_ref().is_none_or(|w| w.contains(&e.place()));
        around(&record.events, moment.get(), is_wanted)
    });
    let list = NodeRef::<html::Ol>::new();
    keep_in_sight(list, moment);
    let rows = move || {
        let (events, here) = listed.get();
        let Some(told) = run.told() else {
            return ().into_any();
        };
        if events.is_empty() {
            return view! { <p class="aside">"No events."</p> }.into_any();
        }
        let rows = events.into_iter().enumerate();
        let rows = rows.map(|(at, event)| row(bench, &told, event, at + 1 == here));
        view! { <ol class="event-list" node_ref=list>{rows.collect::<Vec<_>>()}</ol> }.into_any()
    };
    view! {
        <div class="events" role="region" aria-label="Events">
            <Choice whose/>
            {rows}
        </div>
    }
}

/// The choice of whose events are listed.
#[component]
fn Choice(
    /// What is chosen.
    whose: RwSignal<Whose>,
) -> impl IntoView {
    let bench = use_bench();
    let parts = Memo::new(move |_| {
        bench.shown();
        let lanes = bench.with_shown(crate::sheet::chart::lanes).into_iter();
        lanes.map(|l| (l.id, l.name)).collect::<Vec<_>>()
    });
    let choose = move |ev| {
        let word = event_target_value(&ev);
        whose.set(match word.as_str() {
            "" => Whose::All,
            "chosen" => Whose::Chosen,
            id => Whose::One(PartId::from(id.trim_start_matches("part "))),
        });
    };
    view! {
        <label>"Events of "<select aria-label="Events of" on:change=choose>
            <option value="">"all parts"</option>
            <option value="chosen">"what is chosen"</option>
            {move || parts.get().into_iter().map(|(id, name)| view! {
                <option value=format!("part {id}")>{name}</option>
            }).collect_view()}
        </select></label>
    }
}

/// One event; `is_now` for the last that is not after the moment shown.
fn row(bench: Bench, told: &Told, event: Event, is_now: bool) -> impl IntoView + use<> {
    let (t, day) = (event.t, told.journey.day_ms);
    let id = told.journey.record.ids[event.place()].clone();
    let name = bench.with_shown(|plan| plan.called(&id));
    let go = move |_| {
        bench.moment().set(t);
        bench.show(std::slice::from_ref(&id), &[]);
    };
    let now = is_now.then_some("true");
    view! {
        <li>
            <button type="button" class="event" aria-current=now on:click=go title=title(t, day)>
                <span class="event-time">{stamp(t, day)}</span>
                <span class="event-what">{name}" "{word(event.what)}</span>
            </button>
        </li>
    }
}

/// Scrolls the list to the event of the moment. Only the list scrolls, never the page around it.
fn keep_in_sight(list: NodeRef<html::Ol>, moment: RwSignal<Ms>) {
    Effect::new(move |_| {
        moment.track();
        let Some(list) = list.get() else { return };
        // After the rows of this moment are there.
        request_animation_frame(move || {
            let Ok(Some(now)) = list.query_selector("[aria-current]") else {
                return;
            };
            let (own, row) = (
                list.get_bounding_client_rect(),
                now.get_bounding_client_rect(),
            );
            let by = row.top() - own.top() - own.height() / 2.0;
            list.set_scroll_top(list.scroll_top() + by as i32);
        });
    });
}

fn stamp(t: Ms, day: Ms) -> String {
    format!("{} · {}", t / day + 1, Clock::at(t, day))
}

fn title(t: Ms, day: Ms) -> String {
    format!(
        "Day {}, {} on the dial, {} after midnight",
        t / day + 1,
        Clock::at(t, day),
        since_midnight(t, day)
    )
}
