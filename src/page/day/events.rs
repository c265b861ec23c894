//! The list of events beside the chart, around the cursor, of all parts or of one. A click goes there and chooses the part.

use super::cursor::since_midnight;
use super::run::use_run;
use crate::page::state::use_bench;
use crate::plan::{Clock, PartId};
use crate::quantity::Ms;
use crate::run::What;
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

/// The events.
#[component]
pub(super) fn Events() -> impl IntoView {
    let (bench, run) = (use_bench(), use_run());
    let moment = bench.moment();
    let whose = RwSignal::new(Whose::All);
    let parts = Memo::new(move |_| {
        bench.shown();
        bench.with_shown(|plan| {
            crate::sheet::chart::lanes(plan)
                .into_iter()
                .map(|l| (l.id, l.name))
                .collect::<Vec<_>>()
        })
    });
    let choose = move |ev| {
        let word = event_target_value(&ev);
        whose.set(match word.as_str() {
            "" => Whose::All,
            "chosen" => Whose::Chosen,
            id => Whose::One(PartId::from(id.trim_start_matches("part "))),
        });
    };
    // Compared before it is drawn: while the cursor moves between two events nothing changes here.
    let listed = Memo::new(move |_| {
        let Some(told) = run.told() else {
            return (Vec::new(), 0);
        };
        let record = &told.journey.record;
        let wanted: Option<Vec<usize>> = match whose.get() {
            Whose::All => None,
            Whose::One(id) => Some(
                record
                    .ids
                    .iter()
                    .position(|i| *i == id)
                    .into_iter()
                    .collect(),
            ),
            Whose::Chosen => Some(bench.selection().with(|s| {
                let place = |id: &PartId| record.ids.iter().position(|i| i == id);
                s.parts.iter().filter_map(place).collect()
            })),
        };
        let is_wanted = |part: usize| wanted.as_ref().is_none_or(|w| w.contains(&part));
        let now = moment.get();
        let split = record.events.partition_point(|e| e.t <= now);
        let before = record.events[..split]
            .iter()
            .rev()
            .filter(|e| is_wanted(e.place()))
            .take(BEFORE);
        let mut all: Vec<_> = before.copied().collect();
        all.reverse();
        let here = all.len();
        all.extend(
            record.events[split..]
                .iter()
                .filter(|e| is_wanted(e.place()))
                .take(AFTER),
        );
        (all, here)
    });
    let list = NodeRef::<html::Ol>::new();
    Effect::new(move |_| {
        moment.track();
        let Some(list) = list.get() else { return };
        // After the rows of this moment are there. Only the list scrolls, never the page around it.
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
    let rows = move || {
        let (events, here) = listed.get();
        let Some(told) = run.told() else {
            return ().into_any();
        };
        if events.is_empty() {
            return view! { <p class="aside">"No events."</p> }.into_any();
        }
        let day = told.journey.day_ms;
        let names: Vec<String> = bench.with_shown(|plan| {
            events
                .iter()
                .map(|e| plan.called(&told.journey.record.ids[e.place()]))
                .collect()
        });
        let row = |(at, (e, name)): (usize, (crate::run::Event, String))| {
            let (t, id) = (e.t, told.journey.record.ids[e.place()].clone());
            let go = move |_| {
                moment.set(t);
                bench.show(std::slice::from_ref(&id), &[]);
            };
            let now = (at + 1 == here).then_some("true");
            view! {
                <li>
                    <button type="button" class="event" aria-current=now on:click=go title=title(t, day)>
                        <span class="event-time">{stamp(t, day)}</span>
                        <span class="event-what">{name}" "{word(e.what)}</span>
                    </button>
                </li>
            }
        };
        let rows: Vec<_> = events.into_iter().zip(names).enumerate().map(row).collect();
        view! { <ol class="event-list" node_ref=list>{rows}</ol> }.into_any()
    };
    view! {
        <div class="events" role="region" aria-label="Events">
            <label>"Events of "<select aria-label="Events of" on:change=choose>
                <option value="">"all parts"</option>
                <option value="chosen">"what is chosen"</option>
                {move || parts.get().into_iter().map(|(id, name)| view! {
                    <option value=format!("part {id}")>{name}</option>
                }).collect_view()}
            </select></label>
            {rows}
        </div>
    }
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
