//! The board: squared paper with the plan's parts and wires on it, for mouse, fingers and keyboard alike.
//!
//! Sizes are pixels of the board; one layer holds all that stands on the paper. The paper scrolls over it, and scaling is a
//! transform of that layer alone. What lies far outside the window is not drawn; a line of text keeps it for who can't see.
//! Events go to the editor as messages, and no power is computed here.

mod ground;
mod help;
mod input;
mod layer;
mod overlay;
mod scene;

use crate::editor::{Beyond as Side, Message};
use crate::page::store::{Store, use_store};
use ground::Ground;
use input::Input;
use leptos::html::Div;
use leptos::prelude::*;
use scene::Scene;
use std::time::Duration;
use wasm_bindgen::JsCast;
use wasm_bindgen::prelude::Closure;

/// The groups of wires, of cards and of what stands on wires. Cards come last: names of ports lie on no number.
type Groups = (NodeRef<Div>, NodeRef<Div>, NodeRef<Div>);

/// The board with everything on it.
#[component]
pub fn Board() -> impl IntoView {
    let store = use_store();
    let paper = NodeRef::<Div>::new();
    let input = Input::new(store, paper);
    keep_size(store, paper, input);
    input.listen();
    let ground = Ground::new(store, paper);
    let day = store.day();
    let moment = store.moment();
    let is_night = Memo::new(move |_| day.with(|day| day.is_dark(moment.get() % day.day_ms)));
    let groups: Groups = (NodeRef::new(), NodeRef::new(), NodeRef::new());
    keep_drawn(store, groups);
    let class = move || {
        let mut class = String::from("paper");
        for (name, is) in [
            (" joining", store.joining().with(Option::is_some)),
            (" night", is_night.get()),
            (" carrying", store.carry().with(Option::is_some)),
            (" choosing", store.chooses_by_dragging().get()),
        ] {
            if is {
                class += name;
            }
        }
        class
    };
    view! {
        <div
            node_ref=paper
            class=class
            role="application"
            aria-label="Board: arrow keys go from part to part, question mark explains the keys"
            on:pointerdown=move |ev| input.down(&ev)
            on:pointermove=move |ev| input.moves(&ev)
            on:pointerup=move |ev| input.up(&ev)
            on:pointercancel=move |ev| input.lost(&ev)
            on:lostpointercapture=move |ev| input.lost(&ev)
            on:pointerover=move |ev| input.over(&ev)
            on:pointerleave=move |_| store.point_at(None)
            on:focusin=move |ev| input.focus(&ev)
            on:dblclick=move |ev| input.twice(&ev)
            on:wheel=move |ev| input.wheel(&ev)
            on:scroll=move |_| ground.has_scrolled()
        >
            <div class="wide-sheet" style=move || ground.squares()>
            <div class="layer" style=move || ground.placed()>
                <div class="wires" node_ref=groups.0 data-count=move || store.wire_ids().with(Vec::len)/>
                <div class="labels" node_ref=groups.2 data-count=move || store.wire_ids().with(Vec::len)/>
                <div class="parts" node_ref=groups.1 data-count=move || store.part_ids().with(Vec::len)/>
                <svg class="block over" width=1>
                {move || store.joining().get().map(|(from, to)| {
                    let middle = (from.0 + to.0) / 2.0;
                    let course = [from, (middle, from.1), (middle, to.1), to];
                    view! { <path class="wire preview" d=crate::sheet::route::path(&course, 4.0) /> }
                })}
                {move || store.marquee().get().map(|(x, y, w, h)| view! { <rect class="marquee" x=x y=y width=w height=h /> })}
                </svg>
            </div>
            </div>
        </div>
        <Outside/>
        <Beyond/>
        <Tools/>
        <CatchingUp/>
        <overlay::Asked/>
        <overlay::Renaming/>
        <help::Help/>
    }
}

/// Draws what the editor says of parts and wires, from now on.
fn keep_drawn(store: Store, (wires, parts, labels): Groups) {
    let scene = StoredValue::new_local(None);
    Effect::new(move |_| {
        let (Some(wires), Some(parts), Some(labels)) = (wires.get(), parts.get(), labels.get())
        else {
            return;
        };
        scene.update_value(|scene| {
            let scene =
                scene.get_or_insert_with(|| Scene::new(wires.into(), parts.into(), labels.into()));
            store.redraw(|editor, redraw| scene.draw(editor, redraw));
        });
    });
}

/// The parts that are not drawn since they lie outside the window, for who can't see the board; arrow keys lead there.
#[component]
fn Outside() -> impl IntoView {
    let store = use_store();
    let said = RwSignal::new(String::new());
    // Told once the view has come to rest: nobody listens while it moves.
    Effect::new(move |before: Option<Option<TimeoutHandle>>| {
        before.flatten().inspect(TimeoutHandle::clear);
        store.drawn().track();
        store.shown();
        let tell = move || said.set(store.with(|editor| editor.outside()));
        set_timeout_with_handle(tell, Duration::from_secs(1)).ok()
    });
    view! {
        <p class="unseen">
            {move || said.with(|s| (!s.is_empty()).then(|| format!("Outside the window: {s}")))}
        </p>
    }
}

/// On a screen in the hand: how many parts lie beyond each side of the window, each a button that leads there.
#[component]
fn Beyond() -> impl IntoView {
    let store = use_store();
    let beyond = Memo::new(move |_| {
        store.part_ids().track();
        store.view().track();
        store.revision();
        store.with(|editor| editor.beyond())
    });
    move || {
        let one = |(side, count): (Side, usize)| {
            let parts = if count == 1 { "part" } else { "parts" };
            let arrow = match side {
                Side::Left => "M8 1L3 6L8 11",
                Side::Right => "M4 1L9 6L4 11",
                Side::Above => "M1 8L6 3L11 8",
                Side::Below => "M1 4L6 9L11 4",
            };
            let said = format!("{count} more {parts} {}", side.said());
            view! {
                <button type="button" class=format!("beyond {side:?}").to_lowercase() title=said.clone() aria-label=said
                    on:click=move |_| { store.dispatch(Message::Step(side)); }>
                    <svg viewBox="0 0 12 12" aria-hidden="true"><path d=arrow/></svg>
                    {count}
                </button>
            }
        };
        beyond.get().into_iter().map(one).collect_view()
    }
}

/// Says that the board shows an earlier answer while the run comes to the moment shown.
#[component]
fn CatchingUp() -> impl IntoView {
    let store = use_store();
    move || {
        store.is_behind().get().then(|| {
            view! { <p class="catching-up" role="status">"Catching up: the run has not come to this moment yet."</p> }
        })
    }
}

/// The board's own buttons.
#[component]
fn Tools() -> impl IntoView {
    let store = use_store();
    let zoom = move |factor: f64| {
        store.dispatch(Message::Zoom(factor, None));
    };
    let chooses = store.chooses_by_dragging();
    view! {
        <div class="board-tools" role="group" aria-label="View of the board">
            <button type="button" title="Smaller (−)" aria-label="Smaller" on:click=move |_| zoom(0.8)>"−"</button>
            <button type="button" title="Larger (+)" aria-label="Larger" on:click=move |_| zoom(1.25)>"+"</button>
            <button type="button" title="Show the whole plan (F)" on:click=move |_| store.fit()>"Fit"</button>
            <button
                type="button"
                title="Drag on the paper to choose several parts"
                aria-pressed=move || chooses.get().to_string()
                on:click=move |_| { store.dispatch(Message::ChooseByDragging(!chooses.get_untracked())); }
            >"Choose"</button>
            <button
                type="button"
                title="Lay out the chosen parts anew, or the whole plan (T)"
                on:click=move |_| { store.dispatch(Message::Tidy); }
            >"Tidy"</button>
            <button type="button" title="What a stranger can put out or cut"
                aria-pressed=move || store.strangers().get().to_string()
                on:click=move |_| store.ask_about_strangers()>"Strangers"</button>
            <button type="button" title="Explain the keys (?)" on:click=move |_| { store.dispatch(Message::Help(true)); }>"Keys"</button>
        </div>
    }
}

/// Keeps the view's size that of the paper.
fn keep_size(store: Store, paper: NodeRef<Div>, input: Input) {
    Effect::new(move |known: Option<bool>| {
        let Some(element) = paper.get() else {
            return false;
        };
        if known == Some(true) {
            return true;
        }
        let watched = element.clone();
        let measure = move || {
            let rect = watched.get_bounding_client_rect();
            if rect.width() >= 1.0 {
                input.measure();
                store.dispatch(Message::Held(store.is_small()));
                store.dispatch(Message::Resize(rect.width(), rect.height()));
            }
        };
        measure();
        let told = Closure::<dyn FnMut()>::new(measure);
        if let Ok(observer) = web_sys::ResizeObserver::new(told.as_ref().unchecked_ref()) {
            observer.observe(&element);
        }
        // The board stays as long as the page does.
        told.forget();
        true
    });
}
