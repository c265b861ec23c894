//! From the browser's events on the site to messages for the editor.

use crate::editor::view::Point;
use crate::editor::{Message, Pointer, SiteAct, SiteTarget};
use crate::page::store::Store;
use leptos::html::Div;
use leptos::prelude::*;
use wasm_bindgen::JsCast;
use wasm_bindgen::prelude::Closure;
use web_sys::{Element, PointerEvent};

/// What turns events into messages. Cheap to copy.
#[derive(Clone, Copy)]
pub struct Input {
    store: Store,
    paper: NodeRef<Div>,
    corner: StoredValue<Point>,
}

impl Input {
    /// Events on this paper; keeps the view's size that of the paper.
    pub fn new(store: Store, paper: NodeRef<Div>) -> Input {
        let input = Input {
            store,
            paper,
            corner: StoredValue::new((0.0, 0.0)),
        };
        let observer = StoredValue::new_local(None);
        Effect::new(move |_| {
            if let Some(element) = paper.get() {
                observer.set_value(input.watch(&element));
            }
        });
        on_cleanup(move || {
            let watched: Option<Watched> = observer.try_update_value(Option::take).flatten();
            if let Some((observer, _)) = watched {
                observer.disconnect();
            }
        });
        input
    }

    fn watch(self, element: &Element) -> Option<Watched> {
        let watched = element.clone();
        let measure = move || {
            let rect = watched.get_bounding_client_rect();
            if rect.width() >= 1.0 {
                self.corner.try_set_value((rect.left(), rect.top()));
                self.act(SiteAct::Resize(rect.width(), rect.height()));
            }
        };
        measure();
        let told = Closure::<dyn FnMut()>::new(measure);
        let observer = web_sys::ResizeObserver::new(told.as_ref().unchecked_ref()).ok()?;
        observer.observe(element);
        Some((observer, told))
    }

    fn act(self, act: SiteAct) -> crate::page::store::Reply {
        self.store.dispatch(Message::Site(act))
    }

    fn at(self, x: i32, y: i32) -> Point {
        let (left, top) = self.corner.get_value();
        (f64::from(x) - left, f64::from(y) - top)
    }

    fn measure(self) {
        if let Some(paper) = self.paper.get_untracked() {
            let rect = paper.get_bounding_client_rect();
            self.corner.set_value((rect.left(), rect.top()));
        }
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
        if ev.button() != 0 {
            return;
        }
        self.measure();
        self.act(SiteAct::Down(self.pointer(ev), target(ev.target())));
    }

    /// A pointer moves.
    pub fn moves(self, ev: &PointerEvent) {
        let reply = self.act(SiteAct::Move(self.pointer(ev)));
        if let (Some(id), Some(paper)) = (reply.capture, self.paper.get_untracked()) {
            // Refused only where the pointer is gone already; its end comes all the same.
            let _ = paper.set_pointer_capture(id);
        }
    }

    /// A pointer goes up.
    pub fn up(self, ev: &PointerEvent) {
        // What is dropped from the list of parts comes without having gone down here.
        self.measure();
        self.act(SiteAct::Up(self.pointer(ev)));
    }

    /// A pointer is lost. A finger loses its implicit capture of another element when the paper takes it: that is no end.
    pub fn lost(self, ev: &PointerEvent) {
        if ev.type_() == "pointercancel" || ev.target() == ev.current_target() {
            self.act(SiteAct::Lost(ev.pointer_id()));
        }
    }

    /// A double click.
    pub fn twice(self, ev: &web_sys::MouseEvent) {
        self.act(SiteAct::DoubleClick(target(ev.target())));
    }

    /// The wheel: zooms at the pointer.
    pub fn wheel(self, ev: &web_sys::WheelEvent) {
        ev.prevent_default();
        self.measure();
        let lines = if ev.delta_mode() == 1 { 16.0 } else { 1.0 };
        let rate = if ev.ctrl_key() { 0.01 } else { 0.0015 };
        let factor = (-ev.delta_y() * lines * rate).clamp(-1.0, 1.0).exp();
        let at = self.at(ev.client_x(), ev.client_y());
        self.act(SiteAct::Zoom(factor, Some(at)));
    }
}

/// What tells of another size, and the function that it calls, which lives as long.
type Watched = (web_sys::ResizeObserver, Closure<dyn FnMut()>);

/// What of the site an event is on.
fn target(at: Option<web_sys::EventTarget>) -> SiteTarget {
    let Some(element) = at.and_then(|t| t.dyn_into::<Element>().ok()) else {
        return SiteTarget::Paper;
    };
    let near = |selector: &str| element.closest(selector).ok().flatten();
    let says = |element: &Element, name: &str| element.get_attribute(name).unwrap_or_default();
    let index = |element: &Element, name: &str| says(element, name).parse().unwrap_or(0);
    if let Some(bend) = near("[data-bend]") {
        return SiteTarget::Bend(says(&bend, "data-wire").into(), index(&bend, "data-bend"));
    }
    if let Some(part) = near("[data-part]") {
        return SiteTarget::Part(says(&part, "data-part").into());
    }
    if let (Some(run), Some(wire)) = (near("[data-run]"), near("[data-wire]")) {
        return SiteTarget::Run(says(&wire, "data-wire").into(), index(&run, "data-run"));
    }
    SiteTarget::Paper
}
