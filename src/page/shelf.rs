//! The shelf: the book's part types by group, to search, to have explained and to put on the board.
//!
//! A type is dragged onto the board, or chosen and then placed by a click there, or placed in the board's middle by
//! Enter. A finger that moves up or down scrolls the shelf; one that moves sideways, or rests first, takes a type out. The
//! shelf only says what is carried ([`Store::carry`]); the board places it. Within the list the arrow keys go
//! from entry to entry, and Tab passes the list by.

use super::store::{Store, use_store};
use crate::book::{Book, PartType};
use crate::sheet::search::found;
use crate::sheet::{symbol, words};
use leptos::ev;
use leptos::prelude::*;
use std::collections::BTreeSet;
use std::sync::Arc;
use std::time::Duration;
use wasm_bindgen::JsCast;

/// How far the pointer goes before a press is a drag, in pixels.
const THRESHOLD: f64 = 6.0;

/// So long a finger rests on a type before it takes it out.
const REST: Duration = Duration::from_millis(400);

/// The heading of what a search finds.
const FOUND: &str = "Found, the best first";

/// A press on a type.
#[derive(Clone)]
struct Press {
    kind: String,
    /// Where it began in the window.
    at: (f64, f64),
    finger: bool,
    /// What takes the type out once a finger has rested.
    rests: Option<TimeoutHandle>,
}

/// What the shelf shows at the moment; no part of the plan.
#[derive(Clone, Copy)]
struct Shown {
    store: Store,
    book: Memo<Arc<Book>>,
    search: RwSignal<String>,
    folded: RwSignal<BTreeSet<String>>,
    /// The explained type and the top of its entry on the screen.
    tip: RwSignal<Option<(String, f64)>>,
    /// The entry that Tab reaches.
    stop: RwSignal<String>,
    /// The press that is under way.
    pressed: StoredValue<Option<Press>>,
    /// Whether the last press was a finger's.
    by_finger: StoredValue<bool>,
    /// Where the carried part hangs at the pointer, while it is dragged.
    ghost: RwSignal<Option<(f64, f64)>>,
    /// Whether the press that ended last was a drag, and so its click means nothing.
    dragged: StoredValue<bool>,
}

/// A part type's drawing, 40 by 40 units of its own.
pub fn drawing(name: &str, conducts: Option<bool>) -> impl IntoView + use<> {
    let strokes: Vec<_> = symbol::paths(name, conducts)
        .into_iter()
        .map(|stroke| {
            let class = if stroke.filled { "area" } else { "stroke" };
            view! { <path class=class d=stroke.d/> }
        })
        .collect();
    view! { <svg class="symbol" viewBox="0 0 40 40" aria-hidden="true">{strokes}</svg> }
}

/// The shelf.
#[component]
pub fn Shelf() -> impl IntoView {
    let store = use_store();
    let shown = Shown {
        store,
        book: Memo::new(move |_| {
            store.revision();
            store.with_plan(|plan| plan.book.book.clone())
        }),
        search: RwSignal::new(String::new()),
        folded: RwSignal::new(BTreeSet::new()),
        tip: RwSignal::new(None),
        stop: RwSignal::new(String::new()),
        pressed: StoredValue::new(None),
        by_finger: StoredValue::new(false),
        ghost: RwSignal::new(None),
        dragged: StoredValue::new(false),
    };
    listen(shown);
    let groups = move || {
        if shown.searching() {
            let any = shown.with_found(|found| !found.is_empty());
            return any.then(|| FOUND.to_string()).into_iter().collect();
        }
        shown.book.with(|book| {
            let groups = book.groups().into_iter();
            groups.map(str::to_string).collect::<Vec<_>>()
        })
    };
    let none = move || shown.with_found(|found| found.is_empty());
    view! {
        <h2 class="unseen">"Shelf of parts"</h2>
        <div class="search" role="search">
            <label class="unseen" for="shelf-search">"Search the shelf"</label>
            <input id="shelf-search" type="search" placeholder="Search parts" autocomplete="off"
                prop:value=move || shown.search.get()
                on:input=move |ev| {
                    // The best match is the one that Enter places, whatever had the keyboard before.
                    shown.stop.set(String::new());
                    shown.search.set(event_target_value(&ev));
                }
                on:keydown=move |ev| shown.search_key(&ev)/>
        </div>
        <div class="groups" class:found=move || shown.searching()
            on:keydown=move |ev| shown.step(&ev)
            on:scroll=move |_| shown.tip.set(None)
            on:touchmove=move |ev| if shown.ghost.with_untracked(Option::is_some) { ev.prevent_default() }
            on:contextmenu=move |ev| if shown.pressed.with_value(Option::is_some) { ev.prevent_default() }>
            <For each=groups key=|g| g.clone() children=move |g| view! { <Group shown name=g/> }/>
        </div>
        <p class="none" role="status">
            {move || none().then(|| format!("No part is called “{}”. Try a word of what it does.", shown.search.get()))}
        </p>
        <Tip shown/>
        {move || {
            let (x, y) = shown.ghost.get()?;
            let kind = store.carry().get()?;
            let (label, symbol) = shown.book.with(|b| b.find(&kind).map(|t| (t.label.clone(), t.symbol.clone())))?;
            Some(view! {
                <div class="carried-part" style:left=format!("{x}px") style:top=format!("{y}px")>
                    {drawing(&symbol, None)}<span>{label}</span>
                </div>
            })
        }}
    }
}

/// One heading with its types, which can be folded; a search opens all.
#[component]
fn Group(
    /// The shelf.
    shown: Shown,
    /// The heading.
    name: String,
) -> impl IntoView {
    let heading = name.clone();
    let is_open = {
        let name = name.clone();
        move || shown.searching() || shown.folded.with(|f| !f.contains(&name))
    };
    let turn = {
        let name = name.clone();
        move |_| {
            shown.folded.update(|f| {
                if !f.remove(&name) {
                    f.insert(name.clone());
                }
            })
        }
    };
    let kinds = move || {
        shown.with_found(|found| {
            let here = found.iter().filter(|t| t.group == name || name == FOUND);
            here.map(|t| PartType::clone(t)).collect::<Vec<_>>()
        })
    };
    let is_open = Memo::new(move |_| is_open());
    view! {
        <div class="group">
            <button type="button" aria-expanded=move || is_open.get().to_string() on:click=turn>{heading}</button>
            <Show when=move || is_open.get()>
                <ul>
                    <For each=kinds.clone() key=|t| t.name.clone() children=move |t| view! { <Kind shown kind=t/> }/>
                </ul>
            </Show>
        </div>
    }
}

/// One part type.
#[component]
fn Kind(
    /// The shelf.
    shown: Shown,
    /// The type.
    kind: PartType,
) -> impl IntoView {
    let store = shown.store;
    let name = StoredValue::new(kind.name.clone());
    let is = move |other: Option<&str>| name.with_value(|n| other == Some(n.as_str()));
    let explained = move || shown.tip.with(|t| is(t.as_ref().map(|(n, _)| n.as_str())));
    let carried = move || store.carry().with(|c| is(c.as_deref()));
    let stops = move || shown.stop() == name.get_value();
    let explain = move |target: Option<web_sys::EventTarget>| {
        let top = target
            .and_then(|t| t.dyn_into::<web_sys::Element>().ok())
            .map_or(60.0, |e| e.get_bounding_client_rect().top());
        shown.tip.set(Some((name.get_value(), top)));
    };
    let forget = move || {
        if explained() {
            shown.tip.set(None);
        }
    };
    let press = move |ev: ev::PointerEvent| {
        if ev.button() != 0 {
            return;
        }
        // A touch belongs to the entry it began on until it is given free: the board is to see where it ends.
        if let Some(target) = ev
            .target()
            .and_then(|t| t.dyn_into::<web_sys::Element>().ok())
        {
            let _ = target.release_pointer_capture(ev.pointer_id());
        }
        shown.dragged.set_value(false);
        shown.press(
            name.get_value(),
            (f64::from(ev.client_x()), f64::from(ev.client_y())),
            ev.pointer_type() == "touch",
        );
    };
    let click = move |ev: ev::MouseEvent| {
        if shown.dragged.get_value() {
            return;
        }
        // A click without a pointer is the keyboard's or a screen reader's.
        if ev.detail() == 0 {
            shown.tip.set(None);
            store.place_part(&name.get_value(), None);
        } else {
            shown.choose(&name.get_value());
        }
    };
    view! {
        <li>
            <button type="button" class="kind" class:carried=carried
                data-kind=kind.name.clone()
                tabindex=move || if stops() { "0" } else { "-1" }
                aria-describedby=move || explained().then_some("shelf-tip")
                on:pointerenter=move |ev| if ev.pointer_type() == "mouse" { explain(ev.current_target()) }
                on:pointerleave=move |_| forget()
                on:focus=move |ev| { shown.stop.set(name.get_value()); explain(ev.current_target()) }
                on:blur=move |_| forget()
                on:pointerdown=press
                on:click=click
                on:dragstart=move |ev| ev.prevent_default()>
                {drawing(&kind.symbol, None)}
                <span>{kind.label.clone()}</span>
            </button>
        </li>
    }
}

/// The explanation of the type under the pointer or in focus.
#[component]
fn Tip(
    /// The shelf.
    shown: Shown,
) -> impl IntoView {
    move || {
        let (name, top) = shown.tip.get()?;
        if shown.ghost.with(Option::is_some) {
            return None;
        }
        let kind = shown.book.with(|book| book.find(&name).cloned())?;
        let unit = shown.store.unit();
        let numbers: Vec<_> = words::numbers(&kind, &unit)
            .into_iter()
            .map(|(name, said)| view! { <dt>{name}</dt><dd>{said}</dd> })
            .collect();
        // Low entries are explained upwards, so that nothing hangs below the screen.
        let tall = window()
            .inner_height()
            .ok()
            .and_then(|h| h.as_f64())
            .unwrap_or(800.0);
        let top = top.min(tall - 340.0).max(8.0);
        Some(view! {
            <div id="shelf-tip" class="tip" role="tooltip" style:top=format!("{top}px")>
                <strong>{kind.label.clone()}</strong>
                <p>{kind.says.clone()}</p>
                <dl class="numbers">{numbers}</dl>
                <p class="aside">{kind.note.clone()}</p>
            </div>
        })
    }
}

impl Shown {
    fn searching(self) -> bool {
        self.search.with(|s| !s.trim().is_empty())
    }

    /// The types that the search finds, the best match first; all of the book where nothing is searched.
    fn with_found<T>(self, read: impl FnOnce(&[&PartType]) -> T) -> T {
        self.book
            .with(|book| self.search.with(|search| read(&found(&book.types, search))))
    }

    /// A press on a type begins.
    fn press(self, kind: String, at: (f64, f64), finger: bool) {
        let rests = || set_timeout_with_handle(move || self.take_out(at), REST).ok();
        let rests = if finger { rests() } else { None };
        self.by_finger.set_value(finger);
        self.end_press();
        self.pressed.set_value(Some(Press {
            kind,
            at,
            finger,
            rests,
        }));
    }

    /// The press is over, or is none that takes a type out.
    fn end_press(self) {
        let press = self.pressed.try_update_value(Option::take).flatten();
        if let Some(rests) = press.and_then(|press| press.rests) {
            rests.clear();
        }
    }

    /// The pressed type leaves the shelf and hangs at the pointer.
    fn take_out(self, at: (f64, f64)) {
        let kind = self
            .pressed
            .with_value(|press| Some(press.as_ref()?.kind.clone()));
        if let (Some(kind), None) = (kind, self.ghost.get_untracked()) {
            self.dragged.set_value(true);
            self.store.set_carry(Some(kind));
            self.store.pane().set(None);
            self.ghost.set(Some(at));
        }
    }

    /// The entry that Tab reaches: the last one in focus if it is to be seen, else the first.
    fn stop(self) -> String {
        let wanted = self.stop.get();
        self.with_found(|found| {
            let seen =
                |t: &&&PartType| self.searching() || self.folded.with(|f| !f.contains(&t.group));
            let mut all = found.iter().filter(seen);
            let first = all
                .clone()
                .next()
                .map(|t| t.name.clone())
                .unwrap_or_default();
            all.find(|t| t.name == wanted)
                .map_or(first, |t| t.name.clone())
        })
    }

    /// Takes a type in hand, or lets it go where it was in hand already.
    fn choose(self, name: &str) {
        let carry = self.store.carry();
        if carry.with_untracked(|c| c.as_deref() == Some(name)) {
            self.store.set_carry(None);
            return;
        }
        let label = self
            .book
            .with_untracked(|b| b.find(name).map(|t| t.label.clone()));
        self.store.set_carry(Some(name.to_string()));
        self.tip.set(None);
        self.store.pane().set(None);
        let label = label.unwrap_or_default();
        self.store.notice(if self.by_finger.get_value() {
            format!("{label} in hand: tap the board to put it there.")
        } else {
            format!("{label} in hand: click the board to put it there, or Escape to let it go.")
        });
    }

    /// Keys within the list.
    fn step(self, ev: &ev::KeyboardEvent) {
        let Some(list) = ev
            .current_target()
            .and_then(|t| t.dyn_into::<web_sys::Element>().ok())
        else {
            return;
        };
        let entries = buttons(&list);
        let here = document().active_element();
        let at = entries
            .iter()
            .position(|e| here.as_ref() == Some(e.as_ref()));
        let last = entries.len().saturating_sub(1);
        let to = match (ev.key().as_str(), at) {
            ("ArrowDown", Some(at)) => (at + 1).min(last),
            ("ArrowUp", Some(at)) => at.saturating_sub(1),
            ("Home", Some(_)) => 0,
            ("End", Some(_)) => last,
            _ => return,
        };
        ev.prevent_default();
        if let Some(entry) = entries.get(to) {
            let _ = entry.focus();
        }
    }

    /// Keys in the search: Enter places the best match; the arrow goes to the list.
    fn search_key(self, ev: &ev::KeyboardEvent) {
        match ev.key().as_str() {
            "Enter" => {
                let found = self.stop();
                if !found.is_empty() && self.searching() {
                    ev.prevent_default();
                    self.store.place_part(&found, None);
                }
            }
            "ArrowDown" => {
                ev.prevent_default();
                let list = document().query_selector(".shelf .groups").ok().flatten();
                let stop = self.stop();
                let entries = list.map(|l| buttons(&l)).unwrap_or_default();
                let entry = entries
                    .iter()
                    .find(|e| e.get_attribute("data-kind").as_deref() == Some(stop.as_str()));
                if let Some(entry) = entry {
                    let _ = entry.focus();
                }
            }
            "Escape" => self.search.set(String::new()),
            _ => {}
        }
    }
}

/// The headings and entries of the list in their order.
fn buttons(list: &web_sys::Element) -> Vec<web_sys::HtmlElement> {
    let Ok(found) = list.query_selector_all("button") else {
        return Vec::new();
    };
    (0..found.length())
        .filter_map(|i| found.get(i))
        .filter_map(|n| n.dyn_into().ok())
        .collect()
}

/// Follows the pointer from a press on the shelf to where it ends, and lets go on Escape.
fn listen(shown: Shown) {
    let store = shown.store;
    let moves = window_event_listener(ev::pointermove, move |ev| {
        let Some(press) = shown.pressed.get_value() else {
            return;
        };
        let at = (f64::from(ev.client_x()), f64::from(ev.client_y()));
        let by = (at.0 - press.at.0, at.1 - press.at.1);
        if shown.ghost.with_untracked(Option::is_some) {
            shown.ghost.set(Some(at));
        } else if by.0.hypot(by.1) > THRESHOLD {
            // A finger that goes up or down scrolls.
            if press.finger && by.0.abs() <= by.1.abs() {
                shown.end_press();
            } else {
                shown.take_out(at);
            }
        }
    });
    // The board has heard of it before the window does; what it did not take fell beside it.
    let end = move || {
        shown.end_press();
        if shown.ghost.with_untracked(Option::is_some) {
            shown.ghost.set(None);
            store.set_carry(None);
        }
    };
    let up = window_event_listener(ev::pointerup, move |_| end());
    let cancel = window_event_listener(ev::pointercancel, move |_| end());
    let escape = window_event_listener(ev::keydown, move |ev| {
        if ev.key() == "Escape" {
            shown.tip.set(None);
            shown.end_press();
            shown.ghost.set(None);
            if store.carry().with_untracked(Option::is_some) {
                store.set_carry(None);
            }
        }
    });
    on_cleanup(move || {
        moves.remove();
        up.remove();
        cancel.remove();
        escape.remove();
    });
}
