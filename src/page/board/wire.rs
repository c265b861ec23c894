//! One wire on the board: its line, what stands on it, and the handles of its bends.
//!
//! All that is drawn comes in one value, [`WireView`]; this file only turns it into elements.

use crate::editor::scene::{Arrow, Handles, LabelView, WireView};
use crate::page::store::use_store;
use crate::plan::WireId;
use leptos::prelude::*;

/// A wire. `id` names a wire of the board.
#[component]
pub fn WireLine(
    /// The wire.
    id: WireId,
) -> impl IntoView {
    let view: Signal<WireView> = use_store().wire_view(&id)?.into();
    let d = move || view.with(|v: &WireView| v.d.clone());
    let wire = id.clone();
    Some(view! {
        <g data-wire=id.to_string() class=move || if view.with(|v| v.chosen) { "wire-group chosen" } else { "wire-group" }>
            <path class="wire-under" d=d />
            {move || view.with(|v| v.chosen).then(|| view! { <path class="wire-halo" d=d /> })}
            <path class=move || view.with(|v| v.class.clone()) d=d />
            {move || view.with(|v| v.arrows.iter().map(arrow).collect_view())}
            <path class="wire-hit" role="img" aria-label=move || view.with(|v| v.spoken.clone()) d=d />
            {move || view.with(|v| v.handles.as_ref().map(|h| handles(&wire, h)))}
        </g>
    })
}

/// What a wire offers and what is taken; on a closed loop a mark. Drawn after all wires and cards, so that none of them
/// cuts a number. A click on it means the wire.
#[component]
pub fn WireLabel(
    /// The wire.
    id: WireId,
) -> impl IntoView {
    let view: Signal<WireView> = use_store().wire_view(&id)?.into();
    Some(move || view.with(|v| v.label.as_ref().map(|l| label(&id, l))))
}

fn label(id: &WireId, label: &LabelView) -> impl IntoView + use<> {
    let shown = if label.text.is_empty() {
        view! { <path class="loop-mark" d=format!("M0 {}l7 12h-14z", -8.0) /> }.into_any()
    } else {
        let width = label.width;
        view! {
            <rect x=-width / 2.0 y=-8 width=width height=16 rx=2 />
            <text x=0 y=0>{label.text.clone()}</text>
        }
        .into_any()
    };
    view! {
        <g data-wire=id.to_string() class=label.class transform=format!("translate({} {})", label.at.0, label.at.1)>
            {shown}
        </g>
    }
}

fn arrow(arrow: &Arrow) -> impl IntoView + use<> {
    view! { <path class=arrow.class d=arrow.d style=arrow.style.clone() /> }
}

fn handles(id: &WireId, handles: &Handles) -> AnyView {
    let old = handles.bends.iter().enumerate().map(|(i, (x, y))| {
        view! {
            <g class="bend" data-wire=id.to_string() data-bend=i.to_string() role="button" tabindex="0" aria-label=format!("Bend {}", i + 1)>
                <circle class="port-hit" cx=*x cy=*y r=12 />
                <circle class="handle" cx=*x cy=*y r=5 />
            </g>
        }
    });
    let new = handles.new.iter().map(|(i, (x, y))| {
        view! {
            <g class="bend new" data-wire=id.to_string() data-new=i.to_string()>
                <circle class="port-hit" cx=*x cy=*y r=12 />
                <circle class="handle new" cx=*x cy=*y r=3.5 />
            </g>
        }
    });
    view! { {old.collect_view()} {new.collect_view()} }.into_any()
}
