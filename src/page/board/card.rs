//! One part on the board: its card, its ports and what they say to who can't see them.

use super::hands::{Hands, card_id, port_id, side_word};
use super::words::{lines, said};
use crate::book::Side;
use crate::editor::layout;
use crate::page::duties::use_duties;
use crate::page::trial::Mark;
use crate::plan::{End, Part, PartId};
use crate::run::PartState;
use crate::sheet::card::{self, PortPlace};
use crate::sheet::symbol;
use leptos::prelude::*;

/// A part's card. `id` names a part of the plan.
#[component]
pub fn Card(
    /// The part.
    id: PartId,
) -> impl IntoView {
    let hands: Hands = expect_context();
    let store = hands.store;
    let (part, state) = (store.part(&id)?, store.part_state(&id)?);
    let (places, height, label, drawing) = store.with_board(|plan| {
        let part = plan.part(&id)?;
        let ports = view::ports(plan, part);
        let kind = plan.kind_of(part);
        let label = kind.map_or_else(|| part.kind.clone(), |t| t.label.clone());
        let drawing = kind.map_or_else(String::new, |t| t.symbol.clone());
        Some((card::places(&ports), card::height(&ports), label, drawing))
    })?;
    let name = {
        let (part, label) = (part.clone(), label.clone());
        Memo::new(move |_| {
            part.with(|p| {
                if p.name.is_empty() {
                    label.clone()
                } else {
                    p.name.clone()
                }
            })
        })
    };
    let unit = store.unit();
    let word = {
        let state = state.clone();
        Memo::new(move |_| state.with(|s| said(s, &unit)))
    };
    let place = {
        let part = part.clone();
        Memo::new(move |_| part.with(|p: &Part| p.at.unwrap_or_default()))
    };
    let count = {
        let part = part.clone();
        Memo::new(move |_| part.with(|p| p.count))
    };
    let chosen = {
        let id = id.clone();
        Memo::new(move |_| store.selection().with(|s| s.parts.contains(&id)))
    };
    let wrong = {
        let id = id.clone();
        Memo::new(move |_| hands.wrong.with(|w| w.parts.contains(&id)))
    };
    let mark = {
        let id = id.clone();
        Memo::new(move |_| store.mark_of_part(&id))
    };
    let duties = use_duties();
    let verdict = {
        let id = id.clone();
        Memo::new(move |_| duties.of_part(&id))
    };
    let lit = {
        let id = id.clone();
        Memo::new(move |_| store.hover().with(|h| h.as_ref() == Some(&id)))
    };
    let tab = {
        let id = id.clone();
        // The board has one place in the order of Tab: the part last worked with, or the first.
        Memo::new(move |_| {
            let holds = match store.focus().get() {
                Some(focus) => focus == id,
                None => store.part_ids().with(|ids| ids.first() == Some(&id)),
            };
            if holds { "0" } else { "-1" }
        })
    };
    let class = move || {
        let state = word.with(|w| w.class);
        let chosen = if chosen.get() { " chosen" } else { "" };
        let wrong = if wrong.get() { " wrong" } else { "" };
        let mark = mark.get().class();
        let lit = if lit.get() { " lit" } else { "" };
        format!("card {state}{chosen}{wrong}{mark}{lit}")
    };
    let spoken = {
        let label = label.clone();
        move || {
            let (name, state) = (name.get(), word.with(|w| w.text.clone()));
            let kind = if name == label {
                String::new()
            } else {
                format!(", {label}")
            };
            let state = if state.is_empty() {
                state
            } else {
                format!(": {state}")
            };
            let chosen = if chosen.get() { ", chosen" } else { "" };
            let duties = verdict
                .get()
                .map_or(String::new(), |v| format!(", duties {}", v.word()));
            format!("{name}{kind}{state}{duties}{}{chosen}", mark.get().said())
        }
    };
    let middle = height / 2.0 - 20.0;
    let is_battery = state.with_untracked(|s| matches!(s, PartState::Battery { .. }));
    let conducts = {
        let state = state.clone();
        Memo::new(move |_| {
            state.with(|s| match s {
                PartState::Contact { conducts, .. } => Some(*conducts),
                _ => None,
            })
        })
    };
    let top = move || {
        let two = name.with(|n| lines(n, WIDE).len()) > 1;
        let block = if two { 44.0 } else { 30.0 } + if is_battery { 10.0 } else { 0.0 };
        (height - block) / 2.0
    };
    let focus = {
        let id = id.clone();
        move |_| store.set_focus(Some(id.clone()))
    };
    let under = {
        let id = id.clone();
        move |_| store.point_at(Some(id.clone()))
    };
    Some(view! {
        <g
            class=class
            id=card_id(&id)
            data-part=id.to_string()
            transform=move || { let (x, y) = place.get(); format!("translate({x} {y})") }
            role="group"
            aria-roledescription="part"
            aria-label=spoken
            tabindex=move || tab.get()
            on:focusin=focus
            on:pointerenter=under
            on:pointerleave=move |_| store.point_at(None)
        >
            <rect class="ring" x=-5 y=-5 width=card::WIDTH + 10.0 height=height + 10.0 rx=6 />
            <rect class="ground" x=0 y=0 width=card::WIDTH height=height rx=3 />
            <g class="symbol" transform=format!("translate(14 {middle})")>
                <rect class="symbol-ground" x=-4 y=-4 width=48 height=48 rx=2 />
                {move || symbol::paths(&drawing, conducts.get()).into_iter().map(|s| {
                    view! { <path class=if s.filled { "area" } else { "stroke" } d=s.d /> }
                }).collect_view()}
            </g>
            {move || {
                let top = top();
                name.with(|n| lines(n, WIDE)).into_iter().enumerate().map(|(i, line)| {
                    view! { <text class="name" x=TEXT_X y=top + 12.0 + 14.0 * i as f64>{line}</text> }
                }).collect_view()
            }}
            {move || {
                let lines = name.with(|n| lines(n, WIDE).len()) as f64;
                let y = top() + 14.0 * lines + 12.0;
                let word = word.get();
                let shape = (!word.shape.is_empty()).then(|| view! {
                    <path
                        class=if word.solid { "state-shape solid" } else { "state-shape" }
                        d=word.shape
                        transform=format!("translate({TEXT_X} {})", y - 8.0)
                    />
                });
                view! { {shape}<text class="state" x=TEXT_X + 12.0 y=y>{word.text}</text> }
            }}
            {is_battery.then(|| gauge(state.clone(), move || {
                top() + 14.0 * name.with(|n| lines(n, WIDE).len()) as f64 + 19.0
            }))}
            {move || (count.get() > 1).then(|| view! {
                <text class="count" x=card::WIDTH - 8.0 y=14 text-anchor="end">{format!("{} ×", count.get())}</text>
            })}
            {move || verdict.get().map(|v| view! {
                <path
                    class=move || format!("verdict-flag {}{}", v.word(), if duties.is_out_of_date() { " old" } else { "" })
                    d=v.mark()
                    transform=format!("translate({} {})", card::WIDTH - 20.0, height - 18.0)
                />
            })}
            {move || (mark.get() == Mark::Gone).then(|| view! {
                <path class="cross" d=format!("M0 0L{0} {1}M{0} 0L0 {1}", card::WIDTH, height) />
            })}
            {places.into_iter().map(|place| view! { <PortMark part=id.clone() place=place name=name /> }).collect_view()}
        </g>
    })
}

/// Where a card's words begin, and how many characters a line of its name has.
const TEXT_X: f64 = 70.0;
const WIDE: usize = 13;

/// A battery's level, with its cut-out and cut-in as ticks.
fn gauge(
    state: ArcRwSignal<PartState>,
    top: impl Fn() -> f64 + Copy + Send + 'static,
) -> impl IntoView {
    const LONG: f64 = 90.0;
    let level = move || match state.get() {
        PartState::Battery {
            level,
            capacity,
            cut_out,
            cut_in,
            ..
        } => {
            let share = |e: i128| (e as f64 / capacity.max(1) as f64).clamp(0.0, 1.0) * LONG;
            (share(level), share(cut_out), share(cut_in))
        }
        _ => (0.0, 0.0, 0.0),
    };
    move || {
        let (level, out, back) = level();
        let y = top();
        view! {
            <rect class="gauge" x=TEXT_X y=y width=LONG height=6 />
            <rect class="gauge level" x=TEXT_X y=y width=level height=6 />
            <path class="gauge tick" d=format!("M{} {}v8M{} {}v4", TEXT_X + out, y - 1.0, TEXT_X + back, y - 1.0) />
        }
    }
}

/// One port: a notch on the card's edge.
#[component]
fn PortMark(
    /// Its part.
    part: PartId,
    /// Where it stands.
    place: PortPlace,
    /// The part's name.
    name: Memo<String>,
) -> impl IntoView {
    let hands: Hands = expect_context();
    let end = End::new(&part, &place.name);
    let wired = {
        let end = end.clone();
        Memo::new(move |_| hands.wired.with(|w| w.contains(&end)))
    };
    let takes = {
        let end = end.clone();
        Memo::new(move |_| {
            hands.joining.with(|j| match j {
                Some(j) if j.from == end => Some("origin"),
                Some(j) => j
                    .takes
                    .get(&end)
                    .map(|(_, taken)| if *taken { "can-replace" } else { "can-take" }),
                None => None,
            })
        })
    };
    let aimed = {
        let end = end.clone();
        Memo::new(move |_| hands.target.with(|t| t.as_ref() == Some(&end)))
    };
    let class = move || {
        let takes = takes.get().unwrap_or_default();
        let wired = if wired.get() { " wired" } else { "" };
        let aimed = if aimed.get() { " aimed" } else { "" };
        format!("port {takes}{wired}{aimed}")
    };
    let (word, port) = (side_word(place.side), place.name.clone());
    let spoken = move || {
        let wired = wired.get();
        let more = match (takes.get(), wired) {
            (Some("origin"), _) => "the wire begins here",
            (Some("can-take"), _) => "can take the wire",
            (Some("can-replace"), _) => "has a wire, which it would replace",
            (_, true) => "wired",
            _ => "free",
        };
        format!("{} {word} {port}, {more}", name.get())
    };
    let (shape, dx, dy, anchor) = match place.side {
        Side::In => ("M0 -5H-5V5H0Z", -9, -6, "end"),
        Side::Out => ("M0 -5L6 0L0 5Z", 9, -6, "start"),
        Side::Signal => ("M-5 0A5 5 0 0 0 5 0Z", 9, 16, "start"),
    };
    view! {
        <g
            class="port-group"
            id=port_id(&end)
            data-port=place.name.clone()
            data-end=part.to_string()
            transform=format!("translate({} {})", place.x, place.y)
            role="button"
            tabindex="-1"
            aria-label=spoken
        >
            <circle class="port-hit" r=12 />
            <path class=class d=shape />
            <text class="port-name" x=dx y=dy text-anchor=anchor>{place.name.clone()}</text>
        </g>
    }
}
