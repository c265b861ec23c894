//! One part on the board: its card, its ports and what they say to who can't see them.
//!
//! All that is drawn comes in one value, [`CardView`]; this file only turns it into elements.

use crate::book::Side;
use crate::editor::scene::{CardView, Detail, Gauge, PortView};
use crate::page::store::{card_id, port_id, use_store};
use crate::plan::{End, PartId};
use crate::sheet::card;
use leptos::prelude::*;

/// Where a card's words begin.
const TEXT_X: f64 = 70.0;
/// How long a battery's gauge is.
const GAUGE: f64 = 90.0;

/// A part's card. `id` names a part of the board.
#[component]
pub fn Card(
    /// The part.
    id: PartId,
) -> impl IntoView {
    let view: Signal<CardView> = use_store().card(&id)?.into();
    let height = view.with_untracked(|v| v.height);
    let middle = height / 2.0 - 20.0;
    let part = id.clone();
    Some(view! {
        <g
            class=move || view.with(|v| v.class.clone())
            id=card_id(&id)
            data-part=id.to_string()
            transform=move || view.with(|v| format!("translate({} {})", v.at.0, v.at.1))
            role="group"
            aria-roledescription="part"
            aria-label=move || view.with(|v| v.spoken.clone())
            tabindex=move || if view.with(|v| v.tab_stop) { "0" } else { "-1" }
        >
            <rect class="ring" x=-5 y=-5 width=card::WIDTH + 10.0 height=height + 10.0 rx=6 />
            <rect class="ground" x=0 y=0 width=card::WIDTH height=height rx=3 />
            <g class="symbol" transform=format!("translate(14 {middle})")>
                <rect class="symbol-ground" x=-4 y=-4 width=48 height=48 rx=2 />
                <path class="stroke" d=move || view.with(|v| v.symbol.0.clone()) />
                <path class="area" d=move || view.with(|v| v.symbol.1.clone()) />
            </g>
            {move || view.with(|v| (v.detail != Detail::Symbol).then(|| words(v)))}
            {move || view.with(|v| v.gone.then(|| view! {
                <path class="cross" d=format!("M0 0L{0} {1}M{0} 0L0 {1}", card::WIDTH, v.height) />
            }))}
            {move || view.with(|v| v.ports.iter().map(|port| port_mark(&part, port)).collect_view())}
        </g>
    })
}

/// Name, state, level, count and verdict.
fn words(v: &CardView) -> AnyView {
    let block =
        if v.name.len() > 1 { 44.0 } else { 30.0 } + if v.gauge.is_some() { 10.0 } else { 0.0 };
    let top = (v.height - block) / 2.0;
    let below = top + 14.0 * v.name.len() as f64;
    let name = v.name.iter().enumerate().map(|(i, line)| {
        view! { <text class="name" x=TEXT_X y=top + 12.0 + 14.0 * i as f64>{line.clone()}</text> }
    });
    let state = &v.state;
    let shape = (!state.shape.is_empty()).then(|| {
        view! {
            <path
                class=if state.solid { "state-shape solid" } else { "state-shape" }
                d=state.shape
                transform=format!("translate({TEXT_X} {})", below + 4.0)
            />
        }
    });
    let count = (v.count > 1).then(|| {
        view! { <text class="count" x=card::WIDTH - 8.0 y=14 text-anchor="end">{format!("{} ×", v.count)}</text> }
    });
    let verdict = v.verdict.map(|(standing, is_old)| {
        view! {
            <path
                class=format!("verdict-flag {}{}", standing.word(), if is_old { " old" } else { "" })
                d=standing.mark()
                transform=format!("translate({} {})", card::WIDTH - 20.0, v.height - 18.0)
            />
        }
    });
    view! {
        {name.collect_view()}
        {shape}
        <text class="state" x=TEXT_X + 12.0 y=below + 12.0>{state.text.clone()}</text>
        {v.gauge.map(|g| gauge(g, below + 19.0))}
        {count}
        {verdict}
    }
    .into_any()
}

/// A battery's level, with its cut-out and cut-in as ticks.
fn gauge(gauge: Gauge, y: f64) -> impl IntoView {
    let (out, back) = (gauge.cut_out * GAUGE, gauge.cut_in * GAUGE);
    view! {
        <rect class="gauge" x=TEXT_X y=y width=GAUGE height=6 />
        <rect class="gauge level" x=TEXT_X y=y width=gauge.level * GAUGE height=6 />
        <path class="gauge tick" d=format!("M{} {}v8M{} {}v4", TEXT_X + out, y - 1.0, TEXT_X + back, y - 1.0) />
    }
}

/// One port: a notch on the card's edge.
fn port_mark(part: &PartId, port: &PortView) -> impl IntoView + use<> {
    let (shape, dx, dy, anchor) = match port.side {
        Side::In => ("M0 -5H-5V5H0Z", -9, -6, "end"),
        Side::Out => ("M0 -5L6 0L0 5Z", 9, -6, "start"),
        Side::Signal => ("M-5 0A5 5 0 0 0 5 0Z", 9, 16, "start"),
    };
    view! {
        <g
            class="port-group"
            id=port_id(&End::new(part, &port.name))
            data-port=port.name.clone()
            data-end=part.to_string()
            transform=format!("translate({} {})", port.at.0, port.at.1)
            role="button"
            tabindex="-1"
            aria-label=port.spoken.clone()
        >
            <circle class="port-hit" r=12 />
            <path class=port.class.clone() d=shape />
            <text class="port-name" x=dx y=dy text-anchor=anchor>{port.name.clone()}</text>
        </g>
    }
}
