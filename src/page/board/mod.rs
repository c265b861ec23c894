//! The board: squared paper with the plan's parts and wires on it, for mouse, fingers and keyboard alike.
//!
//! Sizes are pixels of the board; the view decides how large they show. The board turns gestures into edits of the plan
//! and computes no power.

mod ask;
mod card;
mod hands;
mod help;
mod keys;
mod pointer;
mod wire;
pub(super) mod words;

use crate::page::store::use_store;
use hands::Hands;
use leptos::prelude::*;
use pointer::Pointers;
use wasm_bindgen::JsCast;
use wasm_bindgen::prelude::Closure;

/// The board with everything on it.
#[component]
pub fn Board() -> impl IntoView {
    let store = use_store();
    let hands = Hands::new(store);
    provide_context(hands);
    let pointers = Pointers::new(hands);
    keep_size(hands);
    keys::listen(hands, pointers);
    let view = store.view();
    let window = move || {
        let v = view.get();
        format!("{} {} {} {}", v.x, v.y, v.width / v.zoom, v.height / v.zoom)
    };
    let class = move || {
        let far = if view.with(|v| v.zoom < 0.5) {
            " far"
        } else {
            ""
        };
        let joining = if hands.joining.with(Option::is_some) {
            " joining"
        } else {
            ""
        };
        let carrying = if store.carry().with(Option::is_some) {
            " carrying"
        } else {
            ""
        };
        let many = if store.wire_ids().with(|w| w.len() > 150) {
            " many"
        } else {
            ""
        };
        let marquee = if hands.marquee_mode.get() {
            " choosing"
        } else {
            ""
        };
        format!("paper{far}{joining}{carrying}{many}{marquee}")
    };
    view! {
        <svg
            node_ref=hands.svg
            class=class
            viewBox=window
            role="application"
            aria-label="Board: arrow keys go from part to part, question mark explains the keys"
            on:pointerdown=move |ev| pointers.down(&ev)
            on:pointermove=move |ev| pointers.moves(&ev)
            on:pointerup=move |ev| pointers.up(&ev)
            on:pointercancel=move |ev| pointers.lost(&ev)
            on:lostpointercapture=move |ev| pointers.lost(&ev)
            on:dblclick=move |ev| pointers.twice(&ev)
            on:wheel=move |ev| pointers.wheel(&ev)
        >
            <Paper/>
            <g class="wires" data-count=move || store.wire_ids().with(Vec::len)>
                <For each=move || of_plan(store.opened(), store.wire_ids().get()) key=|of| of.clone() let:of>
                    <wire::WireLine id=of.1/>
                </For>
            </g>
            <g class="parts" data-count=move || store.part_ids().with(Vec::len)>
                <For each=move || of_plan(store.opened(), store.part_ids().get()) key=|of| of.clone() let:of>
                    <card::Card id=of.1/>
                </For>
            </g>
            <g class="labels" data-count=move || store.wire_ids().with(Vec::len)>
                <For each=move || of_plan(store.opened(), store.wire_ids().get()) key=|of| of.clone() let:of>
                    <wire::WireLabel id=of.1/>
                </For>
            </g>
            <Preview/>
            {move || hands.marquee.get().map(|(x, y, w, h)| view! { <rect class="marquee" x=x y=y width=w height=h /> })}
        </svg>
        <Tools/>
        <ask::Asked/>
        <ask::Renaming/>
        <help::Help/>
    }
}

/// Ids marked with the plan they are of, so that no card stays when another plan has a part of the same id.
fn of_plan<T>(opened: u64, ids: Vec<T>) -> Vec<(u64, T)> {
    ids.into_iter().map(|id| (opened, id)).collect()
}

/// The squares of the paper: the module, and every fifth line heavier. The fine ones go away when seen from afar.
#[component]
fn Paper() -> impl IntoView {
    let view = use_store().view();
    let side = move |n: f64| move || n * crate::editor::layout::MODULE;
    // From very far even every fifth line would make the paper grey.
    let coarse = move || {
        if view.with(|v| v.zoom >= 0.35) {
            5.0
        } else {
            25.0
        }
    };
    let large = move || coarse() * crate::editor::layout::MODULE;
    let line = |n: f64| format!("M{0} 0H0V{0}", n * crate::editor::layout::MODULE);
    let ground = move |fill: &'static str| {
        view! {
            <rect
                fill=fill
                x=move || view.with(|v| v.x)
                y=move || view.with(|v| v.y)
                width=move || view.with(|v| v.width / v.zoom)
                height=move || view.with(|v| v.height / v.zoom)
            />
        }
    };
    view! {
        <defs>
            <pattern id="squares" width=side(1.0) height=side(1.0) patternUnits="userSpaceOnUse">
                <path class="paper-line" d=line(1.0) />
            </pattern>
            <pattern id="squares-of-five" width=large height=large patternUnits="userSpaceOnUse">
                <path class="paper-line heavy" d=move || line(coarse()) />
            </pattern>
        </defs>
        {move || view.with(|v| v.zoom >= 0.6).then(|| ground("url(#squares)"))}
        {ground("url(#squares-of-five)")}
    }
}

/// The wire in the making.
#[component]
fn Preview() -> impl IntoView {
    let hands: Hands = expect_context();
    let d = move || {
        hands.joining.with(|joining| {
            let joining = joining.as_ref()?;
            let from = joining.at;
            let target = hands.target.get();
            let to = target.and_then(|end| joining.takes.get(&end).map(|t| t.0));
            let (a, b) = (from, to.unwrap_or_else(|| hands.loose.get()));
            let middle = (a.0 + b.0) / 2.0;
            let course = [a, (middle, a.1), (middle, b.1), b];
            Some(crate::sheet::route::path(&course, 4.0))
        })
    };
    move || d().map(|d| view! { <path class="wire preview" d=d /> })
}

/// The board's own buttons.
#[component]
fn Tools() -> impl IntoView {
    let hands: Hands = expect_context();
    let store = hands.store;
    let zoom = move |factor: f64| {
        store
            .view()
            .update(|v| *v = v.zoomed(factor, (v.width / 2.0, v.height / 2.0)));
    };
    view! {
        <div class="board-tools" role="group" aria-label="View of the board">
            <button type="button" title="Smaller (−)" aria-label="Smaller" on:click=move |_| zoom(0.8)>"−"</button>
            <button type="button" title="Larger (+)" aria-label="Larger" on:click=move |_| zoom(1.25)>"+"</button>
            <button type="button" title="Show the whole plan (F)" on:click=move |_| store.fit()>"Fit"</button>
            <button
                type="button"
                title="Drag on the paper to choose several parts"
                aria-pressed=move || hands.marquee_mode.get().to_string()
                on:click=move |_| hands.marquee_mode.update(|on| *on = !*on)
            >"Choose"</button>
            <button type="button" title="Explain the keys (?)" on:click=move |_| hands.help.set(true)>"Keys"</button>
        </div>
    }
}

/// Keeps the view's size that of the drawing, and shows the whole plan at first.
fn keep_size(hands: Hands) {
    let (svg, store) = (hands.svg, hands.store);
    Effect::new(move |known: Option<bool>| {
        let Some(svg) = svg.get() else { return false };
        if known == Some(true) {
            return true;
        }
        let watched = svg.clone();
        let sized = StoredValue::new(false);
        let measure = move || {
            let rect = watched.get_bounding_client_rect();
            if rect.width() < 1.0 {
                return;
            }
            store.view().update(|v| {
                v.width = rect.width();
                v.height = rect.height();
            });
            if !sized.get_value() {
                sized.set_value(true);
                store.fit();
            }
        };
        measure();
        let told = Closure::<dyn FnMut()>::new(measure);
        if let Ok(observer) = web_sys::ResizeObserver::new(told.as_ref().unchecked_ref()) {
            observer.observe(&svg);
        }
        // The board stays as long as the page does.
        told.forget();
        true
    });
}
