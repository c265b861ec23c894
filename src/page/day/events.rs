//! The list of events beside the chart, around the cursor, of all parts or of one. A click goes there and chooses the part.

use super::cursor::since_midnight;
use super::run::{DayAnswer, use_run};
use crate::page::store::{Store, use_store};
use crate::plan::PartId;
use crate::quantity::Ms;
use crate::run::{Event, What};
use crate::sheet::events_said::what_happens;
use crate::sheet::words::{precise, to_the_second};
use leptos::html;
use leptos::prelude::*;
use wasm_bindgen::JsCast;

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

/// The events around a moment, each with its place in the record.
#[derive(Clone, PartialEq)]
struct Listed {
    events: Vec<(usize, Event)>,
    /// The last that is not after the moment.
    here: Option<usize>,
    /// The plan that was run: a place means another part in another.
    of: crate::plan::Fingerprint,
}

impl Listed {
    /// Of all parts, or of those at the places `wanted`.
    fn around(
        DayAnswer {
            journey,
            fingerprint,
        }: &DayAnswer,
        wanted: Option<&[usize]>,
        moment: Ms,
    ) -> Listed {
        let record = &journey.record;
        let is_wanted = |(_, e): &(usize, &Event)| wanted.is_none_or(|w| w.contains(&e.place()));
        let split = record.events.partition_point(|e| e.t <= moment);
        let (before, after) = record.events.split_at(split);
        let before = before.iter().enumerate().rev().filter(is_wanted);
        let mut events: Vec<_> = before.take(BEFORE).map(|(at, e)| (at, *e)).collect();
        events.reverse();
        let here = events.last().map(|(at, _)| *at);
        let after = (split..).zip(after).filter(is_wanted);
        events.extend(after.take(AFTER).map(|(at, e)| (at, *e)));
        Listed {
            events,
            here,
            of: fingerprint.0,
        }
    }
}

/// Goes through the list by keys.
fn walk(ev: web_sys::KeyboardEvent) {
    let forwards = match ev.key().as_str() {
        "ArrowDown" => true,
        "ArrowUp" => false,
        _ => return,
    };
    let row = event_target::<web_sys::Element>(&ev).closest("li");
    let next = row.ok().flatten().and_then(|row| match forwards {
        true => row.next_element_sibling(),
        false => row.previous_element_sibling(),
    });
    let button = next.and_then(|row| row.first_element_child());
    if let Some(button) = button.and_then(|b| b.dyn_into::<web_sys::HtmlElement>().ok()) {
        ev.prevent_default();
        let _ = button.focus();
    }
}

impl Whose {
    /// The places of the parts whose events are listed; none where all are. Tracked.
    fn places(&self, store: Store, ids: &[PartId]) -> Option<Vec<usize>> {
        let place = |id: &PartId| ids.iter().position(|i| i == id);
        match self {
            Whose::All => None,
            Whose::One(id) => Some(place(id).into_iter().collect()),
            Whose::Chosen => {
                let chosen = store.selection();
                Some(chosen.with(|s| s.parts.iter().filter_map(place).collect()))
            }
        }
    }
}

/// The events.
#[component]
pub(super) fn Events() -> impl IntoView {
    let (store, run) = (use_store(), use_run());
    let moment = store.moment();
    let whose = RwSignal::new(Whose::All);
    // Compared before it is drawn: while the cursor moves between two events nothing changes here.
    let listed = Memo::new(move |_| {
        let answer = run.answer()?;
        let ids = &answer.journey.record.ids;
        let wanted = whose.with(|whose| whose.places(store, ids));
        Some(Listed::around(&answer, wanted.as_deref(), moment.get()))
    });
    let here = Memo::new(move |_| listed.with(|l| l.as_ref().and_then(|l| l.here)));
    // The one row that Tab comes to.
    let stop = Memo::new(move |_| {
        let first = |l: &Listed| l.events.first().map(|(at, _)| *at);
        listed.with(|l| l.as_ref().and_then(|l| l.here.or_else(|| first(l))))
    });
    let count = Memo::new(move |_| listed.with(|l| l.as_ref().map_or(0, |l| l.events.len())));
    let list = NodeRef::<html::Ol>::new();
    keep_in_sight(list, moment);
    let none = move || {
        let is_none = listed.with(|l| l.as_ref().is_some_and(|l| l.events.is_empty()));
        is_none.then(|| view! { <p class="aside">"No events."</p> })
    };
    view! {
        <div class="events" role="region" aria-label="Events">
            <Choice whose/>
            {none}
            <ol class="event-list" node_ref=list on:keydown=walk title="Up and Down go through the list, Enter goes to the event">
                // Rows stay and are filled anew: another run has other events, but about as many.
                <For each=move || 0..count.get() key=|row| *row let:row>
                    <Row row listed here stop/>
                </For>
            </ol>
        </div>
    }
}

/// The choice of whose events are listed.
#[component]
fn Choice(
    /// What is chosen.
    whose: RwSignal<Whose>,
) -> impl IntoView {
    let store = use_store();
    let parts = Memo::new(move |_| {
        store.worded();
        let lanes = store.with_shown(crate::sheet::chart::lanes).into_iter();
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

/// What a row says of its event.
#[derive(Clone, PartialEq)]
struct Said {
    /// The event's place in the record.
    at: usize,
    t: Ms,
    id: PartId,
    what: What,
    day: Ms,
}

/// One event.
#[component]
fn Row(
    /// Which of those that are listed.
    row: usize,
    /// Those.
    listed: Memo<Option<Listed>>,
    /// The last that is not after the moment shown.
    here: Memo<Option<usize>>,
    /// The one that Tab comes to.
    stop: Memo<Option<usize>>,
) -> impl IntoView {
    let (store, run) = (use_store(), use_run());
    let said = Memo::new(move |_| {
        let (at, event) = listed.with(|l| l.as_ref()?.events.get(row).copied())?;
        let answer = run.signal().get_untracked()?;
        let record = &answer.journey.record;
        Some(Said {
            at,
            t: event.t,
            id: record.ids.get(event.place())?.clone(),
            what: event.what,
            day: answer.journey.day_ms,
        })
    });
    let text = move |f: fn(&Said) -> String| move || said.with(|s| s.as_ref().map(f));
    let name = move || {
        store.worded();
        said.with(|s| {
            s.as_ref()
                .map(|s| store.with_shown(|plan| plan.called(&s.id)))
        })
    };
    let is = move |of: Memo<Option<usize>>| said.with(|s| of.get() == s.as_ref().map(|s| s.at));
    let go = move |_| {
        if let Some(said) = said.get_untracked() {
            store.go_to(said.t);
            store.show(std::slice::from_ref(&said.id), &[]);
        }
    };
    view! {
        <li>
            <button type="button" class="event" on:click=go title=text(|s| title(s.t, s.day))
                aria-current=move || is(here).then_some("true")
                tabindex=move || if is(stop) { "0" } else { "-1" }>
                <span class="event-time">{text(|s| stamp(s.t, s.day))}</span>
                <span class="event-what">{name}" "{text(|s| what_happens(s.what).to_string())}</span>
            </button>
        </li>
    }
}

/// Scrolls the list to the event of the moment. Only the list scrolls, never the page around it.
fn keep_in_sight(list: NodeRef<html::Ol>, moment: Signal<Ms>) {
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
    format!("{} · {}", t / day + 1, to_the_second(t, day))
}

fn title(t: Ms, day: Ms) -> String {
    format!(
        "Day {}, {} on the dial, {} after midnight",
        t / day + 1,
        precise(t, day),
        since_midnight(t, day)
    )
}
