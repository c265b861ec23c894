//! From the browser's events on the board to messages for the editor: where the pointer is, what it is on, which key.

use crate::editor::view::Point;
use crate::editor::{Key, Message, Pointer, Target};
use crate::page::keys;
use crate::page::store::Store;
use crate::plan::{End, PartId};
use leptos::html::Div;
use leptos::prelude::*;
use wasm_bindgen::JsCast;
use web_sys::{Element, KeyboardEvent, PointerEvent};

/// What turns events into messages. Cheap to copy.
#[derive(Clone, Copy)]
pub struct Input {
    store: Store,
    paper: NodeRef<Div>,
    /// Where the paper's top left corner is in the browser's window; looked up when a pointer comes, not at every move.
    corner: StoredValue<Point>,
}

impl Input {
    /// Events on this paper.
    pub fn new(store: Store, paper: NodeRef<Div>) -> Input {
        Input {
            store,
            paper,
            corner: StoredValue::new((0.0, 0.0)),
        }
    }

    /// Looks up where the paper is.
    pub fn measure(self) {
        if let Some(paper) = self.paper.get_untracked() {
            let rect = paper.get_bounding_client_rect();
            self.corner.set_value((rect.left(), rect.top()));
        }
    }

    fn at(self, x: i32, y: i32) -> Point {
        let (left, top) = self.corner.get_value();
        (f64::from(x) - left, f64::from(y) - top)
    }

    fn pointer(self, ev: &PointerEvent) -> Pointer {
        Pointer {
            id: ev.pointer_id(),
            at: self.at(ev.client_x(), ev.client_y()),
            finger: ev.pointer_type() == "touch",
            primary: ev.is_primary(),
        }
    }

    /// A pointer goes down.
    pub fn down(self, ev: &PointerEvent) {
        let target = match ev.button() {
            0 => target(ev.target()),
            // The middle button moves the paper, whatever is under it.
            1 => {
                ev.prevent_default();
                Target::Paper
            }
            _ => return,
        };
        self.measure();
        let more = ev.shift_key() || ev.ctrl_key() || ev.meta_key();
        self.store
            .dispatch(Message::PointerDown(self.pointer(ev), target, more));
    }

    /// A pointer moves.
    pub fn moves(self, ev: &PointerEvent) {
        let reply = self.store.dispatch(Message::PointerMove(self.pointer(ev)));
        if let (Some(id), Some(paper)) = (reply.capture, self.paper.get_untracked()) {
            // Refused only where the pointer is gone already; its end comes all the same.
            let _ = paper.set_pointer_capture(id);
        }
    }

    /// A pointer goes up.
    pub fn up(self, ev: &PointerEvent) {
        // What is dropped from the shelf comes without having gone down here.
        self.measure();
        self.store.dispatch(Message::PointerUp(self.pointer(ev)));
    }

    /// A pointer is lost. A finger loses its implicit capture of another element when the paper takes it: that is no end.
    pub fn lost(self, ev: &PointerEvent) {
        let on_paper = ev.type_() == "pointercancel" || ev.target() == ev.current_target();
        if on_paper {
            self.store.dispatch(Message::PointerLost(ev.pointer_id()));
        }
    }

    /// A pointer comes over something else.
    pub fn over(self, ev: &PointerEvent) {
        self.measure();
        self.store.point_at(part_of(ev.target()));
    }

    /// A double click.
    pub fn twice(self, ev: &web_sys::MouseEvent) {
        self.store
            .dispatch(Message::DoubleClick(target(ev.target())));
    }

    /// The keyboard comes to something on the board.
    pub fn focus(self, ev: &web_sys::FocusEvent) {
        if let Some(part) = part_of(ev.target()) {
            self.store.set_focus(Some(part));
        }
    }

    /// The wheel: zooms at the pointer.
    pub fn wheel(self, ev: &web_sys::WheelEvent) {
        ev.prevent_default();
        self.measure();
        let lines = if ev.delta_mode() == 1 { 16.0 } else { 1.0 };
        let rate = if ev.ctrl_key() { 0.01 } else { 0.0015 };
        let factor = (-ev.delta_y() * lines * rate).clamp(-1.0, 1.0).exp();
        let at = self.at(ev.client_x(), ev.client_y());
        self.store.dispatch(Message::Zoom(factor, Some(at)));
    }

    /// Listens to the keys of the whole page.
    pub fn listen(self) {
        let listener = window_event_listener(leptos::ev::keydown, move |ev| {
            if !ev.default_prevented() && self.press(&ev) {
                ev.prevent_default();
            }
        });
        on_cleanup(move || listener.remove());
    }

    fn press(self, ev: &KeyboardEvent) -> bool {
        if keys::are_elsewhere(ev) || ev.alt_key() {
            return false;
        }
        let on = under_keyboard(ev);
        let pane = self.store.pane();
        if ev.key() == "Escape"
            && pane.get_untracked().is_some()
            && !self.store.with(|editor| editor.holds_something(&on))
        {
            pane.set(None);
            return true;
        }
        let key = Key {
            key: ev.key(),
            shift: ev.shift_key(),
            command: ev.ctrl_key() || ev.meta_key(),
        };
        self.store.dispatch(Message::Key(key, on)).handled
    }
}

/// What the keyboard is on.
fn under_keyboard(ev: &KeyboardEvent) -> Target {
    let Some(element) = ev.target().and_then(|t| t.dyn_into::<Element>().ok()) else {
        return Target::Paper;
    };
    let on_board = element
        .closest(".paper, .site-paper")
        .ok()
        .flatten()
        .is_some();
    if on_board || element.tag_name().eq_ignore_ascii_case("body") {
        target(ev.target())
    } else {
        Target::Elsewhere
    }
}

fn part_of(at: Option<web_sys::EventTarget>) -> Option<PartId> {
    let element = at?.dyn_into::<Element>().ok()?;
    let card = element.closest("[data-part]").ok().flatten()?;
    card.get_attribute("data-part").map(PartId::from)
}

/// What of the board an event is on.
fn target(at: Option<web_sys::EventTarget>) -> Target {
    let Some(element) = at.and_then(|t| t.dyn_into::<Element>().ok()) else {
        return Target::Paper;
    };
    let near = |selector: &str| element.closest(selector).ok().flatten();
    let says = |element: &Element, name: &str| element.get_attribute(name).unwrap_or_default();
    let index = |element: &Element, name: &str| says(element, name).parse().unwrap_or(0);
    if let Some(port) = near("[data-port]") {
        let part = PartId::from(says(&port, "data-end"));
        return Target::Port(End::new(&part, &says(&port, "data-port")));
    }
    if let Some(bend) = near("[data-bend]") {
        return Target::Bend(says(&bend, "data-wire").into(), index(&bend, "data-bend"));
    }
    if let Some(bend) = near("[data-new]") {
        return Target::NewBend(says(&bend, "data-wire").into(), index(&bend, "data-new"));
    }
    if let Some(wire) = near("[data-wire]") {
        return Target::Wire(says(&wire, "data-wire").into());
    }
    if let Some(switch) = near("[data-throw]") {
        return Target::Switch(says(&switch, "data-throw").into());
    }
    if let Some(part) = near("[data-part]") {
        return Target::Part(says(&part, "data-part").into());
    }
    Target::Paper
}
