//! The top bar: the plan's title, undo and redo, and what is done with the plan as a whole. On a narrow screen all but
//! title, undo and redo fold into one menu. It also starts to listen for files, links and the clipboard.

use super::dialog::Messages;
use super::files::{self, OpenFile};
use super::fold::{FoldButton, Folds};
use super::incoming::Incoming;
use super::keeping::{Keeper, use_keeper};
use super::later::use_later;
use super::recording::use_recording;
use super::standing::Standing;
use super::store::use_store;
use super::theme::{self, Theme};
use super::windows::{WindowKind, use_windows};
use super::{clipboard, links};
use crate::editor::{Drawing, Message, SiteAct};
use crate::plan::{Edit, examples, read_plan};
use crate::shelf::Origin;
use leptos::html;
use leptos::prelude::*;
use wasm_bindgen::JsCast;

/// The top bar, with the standing lines under it and the dialogs that belong to it.
#[component]
pub fn Toolbar() -> impl IntoView {
    let store = use_store();
    let keeper = use_keeper();
    let later = use_later();
    let theme = theme::start();
    let incoming = Incoming::here();
    links::listen(incoming, later);
    files::listen(incoming, later);
    clipboard::listen(store, incoming, later);
    let copy_link = move |_| later.call(move |part| (part.copy_link)(store, keeper));
    let verdict = move || match later.part() {
        Some(part) => (part.verdict)(),
        None => {
            let says = match later.is_missing() {
                true => "Duties are not checked",
                false => "Checking duties…",
            };
            view! { <span class="verdict">{says}</span> }.into_any()
        }
    };
    let folds: Folds = expect_context();
    view! {
        <h1 class="unseen">"Duskline"</h1>
        <div class="bar-row">
            <FoldButton name="Shelf" key="[" folded=folds.shelf/>
            <Drawings/>
            <Title/>
            <Steps/>
            <div class="verdict-line" role="status">{verdict}</div>
            <super::problems::Worst/>
            <span class="gap"></span>
            <div class="wide">
                <WindowButtons/>
                <Menu name="File">
                    <FileItems/>
                    <p class="menu-head">"Examples"</p>
                    <Examples/>
                </Menu>
                <WalkButton/>
                <button type="button" on:click=copy_link>"Copy link"</button>
                <Theme theme=theme/>
            </div>
            <div class="narrow">
                <Menu name="Menu">
                    <WalkButton/>
                    <WindowButtons/>
                    <FileItems/>
                    <button type="button" on:click=copy_link>"Copy link"</button>
                    <p class="menu-head">"Examples"</p>
                    <Examples/>
                    <Theme theme=theme/>
                </Menu>
            </div>
            <FoldButton name="Details" key="]" folded=folds.details/>
        </div>
        <Standing/>
        <Messages/>
    }
}

/// The buttons that open large windows.
#[component]
fn WindowButtons() -> impl IntoView {
    let windows = use_windows();
    let button = |(kind, name): (WindowKind, &'static str)| {
        let hint = kind.key().map(|key| format!("Open it ({key})"));
        view! {
            <button type="button" title=hint aria-keyshortcuts=kind.key() on:click=move |_| windows.open(kind)>{name}</button>
        }
    };
    let all = [
        (WindowKind::Plans, "Plans…"),
        (WindowKind::Book, "Book…"),
        (WindowKind::Worlds, "Worlds…"),
        (WindowKind::Build, "Build…"),
    ];
    all.map(button).collect_view()
}

/// The button that follows the plan's walk, where it has one.
#[component]
fn WalkButton() -> impl IntoView {
    let (store, keeper, later) = (use_store(), use_keeper(), use_later());
    let is_offered = Memo::new(move |_| store.has_walk() && store.walk_place().is_none());
    let begin = move |_| later.call(move |part| (part.begin_walk)(store, keeper));
    view! {
        <Show when=move || is_offered.get()>
            <button type="button" title="Be led through this plan step by step" on:click=begin>"Walk"</button>
        </Show>
    }
}

/// The plan's title, to be edited in place.
#[component]
fn Title() -> impl IntoView {
    let store = use_store();
    let title = move || {
        store.revision();
        store.with_plan(|plan| plan.title.clone())
    };
    // The browser's tab says which plan it is.
    Effect::new(move || {
        let title = title();
        document().set_title(&if title.is_empty() {
            "Duskline".to_string()
        } else {
            format!("{title} · Duskline")
        });
    });
    let rename = move |event| {
        let title = event_target_value(&event).trim().to_string();
        let before = store.with_plan(|plan| plan.title.clone());
        if before != title && !store.commit("rename the plan", vec![Edit::Title(title)]) {
            // What is refused does not stay in the field either.
            event_target::<web_sys::HtmlInputElement>(&event).set_value(&before);
        }
    };
    view! {
        <input
            type="text"
            class="title"
            aria-label="Title of the plan"
            placeholder="Untitled plan"
            maxlength="200"
            prop:value=title
            on:change=rename
        />
    }
}

/// Which drawing of the plan is shown: board or site.
#[component]
fn Drawings() -> impl IntoView {
    let store = use_store();
    let one = move |of: Drawing, name: &'static str| {
        view! {
            <button
                type="button"
                title="To and fro between board and site (S)"
                aria-keyshortcuts="S"
                aria-pressed=move || (store.drawing().get() == of).to_string()
                on:click=move |_| { store.dispatch(Message::Site(SiteAct::Turn(of))); }
            >
                {name}
            </button>
        }
    };
    view! {
        <div class="drawings" role="group" aria-label="Drawing shown">
            {one(Drawing::Board, "Board")}
            {one(Drawing::Site, "Site")}
        </div>
    }
}

/// Undo and redo.
#[component]
fn Steps() -> impl IntoView {
    let store = use_store();
    let hint = |verb: &str, says: Option<String>| match says {
        Some(says) => format!("{verb}: {says}"),
        None => format!("Nothing to {}", verb.to_lowercase()),
    };
    view! {
        <button
            type="button"
            disabled=move || store.can_undo().is_none()
            title=move || hint("Undo", store.can_undo())
            on:click=move |_| store.undo()
        >
            "Undo"
        </button>
        <button
            type="button"
            disabled=move || store.can_redo().is_none()
            title=move || hint("Redo", store.can_redo())
            on:click=move |_| store.redo()
        >
            "Redo"
        </button>
    }
}

/// The plan to a file and back.
#[component]
fn FileItems() -> impl IntoView {
    let (store, windows, recording) = (use_store(), use_windows(), use_recording());
    view! {
        <button type="button" on:click=move |_| windows.open(WindowKind::Lessons)>"Lessons…"</button>
        <button type="button" title="Say what must run and when, and get plans that do it" on:click=move |_| windows.open(WindowKind::Draft)>"Draft a plan…"</button>
        <button type="button" on:click=move |_| files::download(store)>"Save as a file"</button>
        <OpenFile/>
        <button type="button" title="Draw it for a file (P)" aria-keyshortcuts="P" on:click=move |_| windows.open(WindowKind::Picture)>"Picture…"</button>
        <button type="button" title="Board and day chart alone, in large type (V)" aria-keyshortcuts="V" on:click=move |_| recording.turn(true)>"View for a recording"</button>
        <button type="button" title="What a learner may build, what is tried, and what came back" on:click=move |_| windows.open(WindowKind::Exercise)>"Exercise for others…"</button>
    }
}

/// Opens an example as another plan.
pub fn open_example(keeper: Keeper, text: &str) {
    if let Ok(plan) = read_plan(text) {
        keeper.open_other(plan, Origin::Example);
    }
}

/// A button for each example.
#[component]
pub fn Examples() -> impl IntoView {
    let keeper = use_keeper();
    examples()
        .iter()
        .map(|(title, text)| {
            let open = move |_| open_example(keeper, text);
            view! { <button type="button" on:click=open>{*title}</button> }
        })
        .collect_view()
}

/// A button that opens a panel of further buttons; it closes on a choice, on Escape, and when the focus leaves it.
#[component]
fn Menu(
    /// What stands on the button.
    name: &'static str,
    /// The buttons.
    children: Children,
) -> impl IntoView {
    let open = RwSignal::new(false);
    let whole = NodeRef::<html::Div>::new();
    let button = NodeRef::<html::Button>::new();
    let close_to_button = move || {
        open.set(false);
        if let Some(button) = button.get_untracked() {
            // Focus may be refused, which harms nothing.
            let _ = button.focus();
        }
    };
    let key = move |event: web_sys::KeyboardEvent| {
        if event.key() == "Escape" && open.get_untracked() {
            event.stop_propagation();
            close_to_button();
        }
    };
    let chosen = move |event: web_sys::MouseEvent| {
        let on_button = event
            .target()
            .and_then(|t| t.dyn_into::<web_sys::Element>().ok())
            .and_then(|e| e.closest("button").ok().flatten());
        if on_button.is_some() {
            close_to_button();
        }
    };
    let within = move |node: Option<web_sys::EventTarget>| {
        let node = node.and_then(|n| n.dyn_into::<web_sys::Node>().ok());
        whole
            .get_untracked()
            .is_some_and(|whole| whole.contains(node.as_ref()))
    };
    let left = move |event: web_sys::FocusEvent| {
        if event.related_target().is_some() && !within(event.related_target()) {
            open.set(false);
        }
    };
    let elsewhere = window_event_listener(leptos::ev::pointerdown, move |event| {
        if open.get_untracked() && !within(event.target()) {
            open.set(false);
        }
    });
    on_cleanup(move || elsewhere.remove());
    view! {
        <div class="menu" node_ref=whole on:keydown=key on:focusout=left>
            <button
                type="button"
                node_ref=button
                aria-expanded=move || open.get().to_string()
                on:click=move |_| open.update(|o| *o = !*o)
            >
                {name}
            </button>
            <div class="panel" hidden=move || !open.get() on:click=chosen>
                {children()}
            </div>
        </div>
    }
}
