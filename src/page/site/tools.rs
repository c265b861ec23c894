//! The storeys as a stack to choose from, and what is drawn with.

use super::runs::use_site;
use super::use_act;
use crate::editor::{SiteAct, SiteTool};
use crate::page::store::use_store;
use crate::sheet::site::said;
use crate::site::{Edge, Fitting, Ground};
use leptos::prelude::*;

/// The storeys, the highest on top.
#[component]
pub fn Storeys() -> impl IntoView {
    let site = use_site();
    let act = use_act();
    let names = Memo::new(move |_| {
        let drawn = site.drawn().get();
        let named = drawn.map(|drawn| {
            let all = 0..drawn.storeys.len() as u8;
            all.map(|at| said::storey(&drawn, at)).collect::<Vec<_>>()
        });
        named.unwrap_or_default()
    });
    let storey = site.storey();
    let all = move || {
        let names = names.get();
        let one = |(at, name): (usize, String)| {
            let at = at as u8;
            let is = move || (storey.get() == at).to_string();
            view! {
                <button type="button" aria-pressed=is on:click=move |_| act(SiteAct::Storey(at))>{name}</button>
            }
        };
        let mut all: Vec<_> = names.into_iter().enumerate().map(one).collect();
        all.reverse();
        all
    };
    let row = NodeRef::<leptos::html::Div>::new();
    // Where they are a row that scrolls, the one shown stays in sight.
    Effect::new(move |_| {
        storey.track();
        request_animation_frame(move || {
            let row = row.get_untracked();
            let shown =
                row.and_then(|row| row.query_selector("[aria-pressed=true]").ok().flatten());
            let nearest = web_sys::ScrollIntoViewOptions::new();
            nearest.set_block(web_sys::ScrollLogicalPosition::Nearest);
            nearest.set_inline(web_sys::ScrollLogicalPosition::Nearest);
            if let Some(shown) = shown {
                shown.scroll_into_view_with_scroll_into_view_options(&nearest);
            }
        });
    });
    view! {
        <div class="site-levels" role="group" aria-label="Storeys" title="Page up, page down" node_ref=row>{all}</div>
    }
}

/// What each tool is called, and what it does.
const TOOLS: [(SiteTool, &str, &str); 10] = [
    (
        SiteTool::Choose,
        "Choose",
        "Choose and move parts, bend wires",
    ),
    (
        SiteTool::Ground(Ground::Floor),
        "Floor",
        "Drag over cells: a floor",
    ),
    (
        SiteTool::Ground(Ground::Ground),
        "Ground",
        "Drag over cells: the ground outside",
    ),
    (
        SiteTool::Ground(Ground::Roof),
        "Roof",
        "Drag over cells: a flat roof, a gallery",
    ),
    (
        SiteTool::Ground(Ground::Air),
        "Air",
        "Drag over cells: take what is underfoot away",
    ),
    (
        SiteTool::Edge(Edge::Wall),
        "Wall",
        "Drag along cells: walls; begun on a wall, takes walls away",
    ),
    (
        SiteTool::Edge(Edge::Door),
        "Door",
        "Click between two cells: a door; on a door, takes it away",
    ),
    (
        SiteTool::Fitting(Fitting::Hatch),
        "Hatch",
        "Click a cell: a hatch to the storey below, or takes it away",
    ),
    (
        SiteTool::Fitting(Fitting::Stairs),
        "Stairs",
        "Click a cell: stairs down to the storey below, or takes them away",
    ),
    (
        SiteTool::Fitting(Fitting::Furniture),
        "Furniture",
        "Drag over cells: furniture to put things on, or takes it away",
    ),
];

/// What is drawn with.
#[component]
pub fn Tools() -> impl IntoView {
    let store = use_store();
    let site = use_site();
    let act = use_act();
    let tool = Memo::new(move |_| {
        store.site_changes();
        store.with(|editor| editor.site().tool())
    });
    // On a small screen the drawer would cover what is to be drawn on.
    let choose = move |tool: SiteTool| {
        act(SiteAct::Tool(tool));
        if store.is_small() {
            store.pane().set(None);
        }
    };
    let button = move |one: SiteTool, name: String, does: String| {
        let title = match one.key() {
            Some(key) => format!("{does} ({})", key.to_uppercase()),
            None => does,
        };
        view! {
            <button type="button" title=title aria-keyshortcuts=one.key()
                aria-pressed=move || (tool.get() == one).to_string() on:click=move |_| choose(one)>{name}</button>
        }
    };
    let rooms = Memo::new(move |_| {
        let drawn = site.drawn().get();
        let named = drawn.map(|drawn| {
            let all = 0..drawn.rooms.len() as u8;
            all.map(|at| said::room(&drawn, at)).collect::<Vec<_>>()
        });
        named.unwrap_or_default()
    });
    let of_rooms = move || {
        let one = |(at, name): (usize, String)| {
            let does = format!("Drag over cells: they belong to {name}, or no longer");
            button(SiteTool::Room(at as u8), name, does)
        };
        rooms.get().into_iter().enumerate().map(one).collect_view()
    };
    view! {
        <section class="site-block" aria-labelledby="site-tools">
            <h3 id="site-tools">"Draw"</h3>
            <div class="site-tools" role="group" aria-labelledby="site-tools">
                {TOOLS.map(|(tool, name, does)| button(tool, name.into(), does.into())).into_iter().collect_view()}
            </div>
        </section>
        <section class="site-block" aria-labelledby="site-room-tools" hidden=move || rooms.with(Vec::is_empty)>
            <h3 id="site-room-tools">"Draw rooms"</h3>
            <div class="site-tools" role="group" aria-labelledby="site-room-tools">{of_rooms}</div>
        </section>
    }
}

/// What lines and marks mean.
#[component]
pub fn Legend() -> impl IntoView {
    let line = |class: &'static str, d: &'static str, says: &'static str| {
        view! { <li><svg viewBox="0 0 40 12" width=40 height=12 aria-hidden="true"><path class=class d=d/></svg><span>{says}</span></li> }
    };
    view! {
        <section class="site-block" aria-labelledby="site-legend">
            <h3 id="site-legend">"Lines"</h3>
            <ul class="site-legend">
                {line("site-line", "M0 6H40", "a wire’s run, with its number")}
                {line("site-line exposed", "M0 6H40", "outsiders see or touch it")}
                {line("site-leaves", "M14 10l5 -8l5 8zM26 2l5 8l5 -8z", "up, down to another storey")}
                {line("site-sun-way", "M0 6H40", "the sun’s way, from above")}
                {line("site-aim", "M4 6H34M34 6l-5 -4M34 6l-5 4", "where a sun panel faces")}
            </ul>
        </section>
    }
}
