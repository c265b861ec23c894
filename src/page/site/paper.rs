//! One storey on squared paper, with the storey below faintly, its parts, its runs, and what is being done.
//!
//! Each layer is markup that is written anew where it differs. Moving and scaling is a transform of the one element that
//! holds them.

use super::input::Input;
use super::over;
use super::runs::{SiteRuns, use_site};
use super::use_act;
use crate::editor::{Message, SiteAct, SiteTool, View};
use crate::page::store::{Store, use_store};
use crate::plan::Plan;
use crate::run::PartState;
use crate::sheet::figure::{Content, Shapes};
use crate::sheet::site::{
    KeptClear, Underlay, counts, draw_runs, parts, places, rooms, runs, said, sun,
};
use crate::site::Site;
use leptos::html::Div;
use leptos::prelude::*;

/// Down to this scale numbers and names are enlarged.
const FARTHEST: f64 = 0.55;

/// From this scale on the names of parts are written.
const NEAR: f64 = 0.75;

/// How much larger numbers and names are drawn than from near, at least, so that they can be read: few values, since at each
/// other one places for numbers are found anew. The style sheet enlarges by no more.
fn enlarged_at(zoom: f64) -> f64 {
    let steps = [1.0, 1.35, 1.0 / FARTHEST];
    let needed = 1.0 / zoom.clamp(FARTHEST, 1.0);
    steps
        .into_iter()
        .find(|step| *step >= needed)
        .unwrap_or(1.0 / FARTHEST)
}

/// Shapes as markup.
pub fn markup(shapes: Shapes) -> String {
    let mut text = String::new();
    Content::Shapes(shapes).write(&mut text);
    text
}

/// The markup of each layer, from below.
#[derive(Clone, Copy)]
struct Layers {
    under: Memo<String>,
    ground: Memo<String>,
    lines: Memo<String>,
    hung: Memo<String>,
    over: Memo<String>,
}

impl Layers {
    fn new(store: Store, site: SiteRuns) -> Layers {
        let storey = site.storey();
        let under = Memo::new(move |_| {
            let (below, drawn) = (storey.get().checked_sub(1), site.drawn().get());
            let shapes = below
                .zip(drawn)
                .map(|(at, drawn)| crate::sheet::site::storey(&drawn, at, Underlay::None));
            shapes.map(markup).unwrap_or_default()
        });
        let ground = Memo::new(move |_| {
            store.revision();
            let (at, drawn) = (storey.get(), site.drawn().get());
            let shapes = drawn.map(|drawn| storey_with_names(store, &drawn, at));
            shapes.map(markup).unwrap_or_default()
        });
        let enlarged = Memo::new(move |_| enlarged_at(store.site_view().get().zoom));
        let lines = Memo::new(move |_| {
            let chosen = store.selection().get();
            let (at, on_site) = (storey.get(), site.on_site());
            let mut shapes = Shapes::default();
            if let Some(on_site) = on_site {
                let (drawn, clear) = store.with_plan(|plan| {
                    let site = plan.site.as_deref();
                    let names = site.map_or_else(Vec::new, |site| rooms::room_names(site, at));
                    let clear = KeptClear::of(&parts::hung(plan, at), &names, enlarged.get());
                    (runs::runs(plan, &on_site, at), clear)
                });
                draw_runs(&mut shapes, &drawn, clear, &|id| chosen.wires.contains(id));
            }
            markup(shapes)
        });
        let hung = Memo::new(move |_| {
            store.revision();
            let at = storey.get();
            let mut shapes = Shapes::default();
            for part in &store.with_plan(|plan| parts::hung(plan, at)) {
                let state = store.part_state(&part.id).map(|state| state.get());
                store.with_plan(|plan| {
                    draw_part(&mut shapes, plan, part, state.as_ref());
                    sun::draw_aim(&mut shapes, plan, part);
                });
            }
            markup(shapes)
        });
        let over = Memo::new(move |_| markup(over::over(store, site)));
        Layers {
            under,
            ground,
            lines,
            hung,
            over,
        }
    }
}

/// A storey with the names of its rooms, and the sun's way by a roof.
fn storey_with_names(store: Store, drawn: &Site, at: u8) -> Shapes {
    let over = if at > 0 {
        Underlay::Storey
    } else {
        Underlay::None
    };
    let mut shapes = crate::sheet::site::storey(drawn, at, over);
    rooms::draw(&mut shapes, &rooms::room_names(drawn, at));
    counts::draw(&mut shapes, places::built_rect(drawn));
    if sun::has_roof(drawn, at) {
        store.with_plan(|plan| sun::draw_way(&mut shapes, plan, drawn));
    }
    shapes
}

/// Where the layers are put, and how large.
fn placed(view: View) -> String {
    let (x, y) = (-view.x * view.zoom, -view.y * view.zoom);
    format!(
        "--zoom:{};transform:translate({x}px,{y}px) scale({})",
        view.zoom, view.zoom
    )
}

/// Where the squares of the paper lie: a heavy line around each cell, fine ones go away when seen from afar.
fn squares(view: View) -> String {
    let cell = places::CELL * view.zoom;
    let (x, y) = (-view.x * view.zoom, -view.y * view.zoom);
    let fine = if view.zoom >= 0.6 { cell / 8.0 } else { 0.0 };
    format!("--fine:{fine}px;--heavy:{cell}px;background-position:{x}px {y}px")
}

/// The paper's classes. Tracked.
fn class(store: Store) -> String {
    store.site_changes();
    let (draws, carries) = store.with(|editor| {
        let site = editor.site();
        (site.tool() != SiteTool::Choose, site.holds())
    });
    let is_near = store.site_view().get().zoom >= NEAR;
    let mut class = String::from("site-paper");
    for (name, is) in [
        (" near", is_near),
        (" draws", draws),
        (" carrying", carries),
    ] {
        if is {
            class += name;
        }
    }
    class
}

/// The paper.
#[component]
pub fn Paper() -> impl IntoView {
    let (store, site) = (use_store(), use_site());
    let paper = NodeRef::<Div>::new();
    let input = Input::new(store, paper);
    let layers = Layers::new(store, site);
    let view = store.site_view();
    let said = Memo::new(move |_| {
        store.site_changes();
        store.revision();
        store.with(|editor| editor.cursor_said())
    });
    let title = move || {
        let (at, drawn) = (site.storey().get(), site.drawn().get());
        let storey = drawn.map(|drawn| said::storey(&drawn, at));
        let storey = storey.unwrap_or_default();
        format!(
            "Site, {storey}: arrow keys go from cell to cell, Enter acts there, question mark explains the keys"
        )
    };
    view! {
        <div
            node_ref=paper
            id="site-paper"
            class=move || class(store)
            style=move || squares(view.get())
            role="application"
            tabindex="0"
            aria-label=title
            on:pointerdown=move |ev| input.down(&ev)
            on:pointermove=move |ev| input.moves(&ev)
            on:pointerup=move |ev| input.up(&ev)
            on:pointercancel=move |ev| input.lost(&ev)
            on:lostpointercapture=move |ev| input.lost(&ev)
            on:dblclick=move |ev| input.twice(&ev)
            on:wheel=move |ev| input.wheel(&ev)
        >
            <div class="site-layer" style=move || placed(view.get())>
                <svg class="site-drawing" width=1 height=1>
                    <g class="site-under" inner_html=move || layers.under.get()></g>
                    <g class="site-storey" inner_html=move || layers.ground.get()></g>
                    <g class="site-runs" inner_html=move || layers.lines.get()></g>
                    <g class="site-parts" inner_html=move || layers.hung.get()></g>
                    <g class="site-over" inner_html=move || layers.over.get()></g>
                </svg>
            </div>
        </div>
        <p class="unseen" aria-live="polite">{move || said.get()}</p>
        <super::tools::Storeys/>
        <InHand/>
        <ViewTools/>
    }
}

fn draw_part(shapes: &mut Shapes, plan: &Plan, part: &parts::HungPart, state: Option<&PartState>) {
    let conducts = match state {
        Some(PartState::Contact { conducts, .. }) => Some(*conducts),
        _ => None,
    };
    let state = match state {
        Some(PartState::Load { runs: true, .. }) => "runs",
        Some(PartState::Load { offered: 0, .. }) => "off",
        Some(PartState::Load { .. }) => "short",
        _ => "",
    };
    parts::draw(shapes, plan, part, conducts, state);
}

/// Says what is in hand and what to do with it, or why a part can't hang under the pointer.
#[component]
fn InHand() -> impl IntoView {
    let store = use_store();
    let act = use_act();
    let hand = Memo::new(move |_| {
        store.site_changes();
        store.with(|editor| editor.hand_said())
    });
    move || {
        hand.get().map(|says| {
            view! {
                <p class="site-hand">
                    <span>{says}</span>
                    <button type="button" on:click=move |_| act(SiteAct::Take(None, false))>"Let go"</button>
                </p>
            }
        })
    }
}

/// The buttons of the view.
#[component]
fn ViewTools() -> impl IntoView {
    let store = use_store();
    let act = use_act();
    view! {
        <div class="board-tools" role="group" aria-label="View of the site">
            <button type="button" title="Smaller (−)" aria-label="Smaller" on:click=move |_| act(SiteAct::Zoom(0.8, None))>"−"</button>
            <button type="button" title="Larger (+)" aria-label="Larger" on:click=move |_| act(SiteAct::Zoom(1.25, None))>"+"</button>
            <button type="button" title="Show all that is built (F)" on:click=move |_| act(SiteAct::Fit)>"Fit"</button>
            <button type="button" title="What a stranger can put out or cut"
                aria-pressed=move || store.strangers().get().to_string()
                on:click=move |_| store.ask_about_strangers()>"Strangers"</button>
            <button type="button" title="Explain the keys (?)" on:click=move |_| { store.dispatch(Message::Help(true)); }>"Keys"</button>
        </div>
    }
}
