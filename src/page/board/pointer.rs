//! The pointer on the board: mouse, pen and fingers. A press becomes a gesture once it has moved by four pixels; only then
//! is the pointer captured, so that plain clicks keep their targets. One gesture is one step of undo.

use super::hands::Hands;
use crate::editor::layout::{self, View, snap};
use crate::page::store::Selection;
use crate::plan::{Edit, End, PartId, WireId};
use leptos::prelude::*;
use std::collections::BTreeMap;
use wasm_bindgen::JsCast;
use web_sys::{Element, PointerEvent};

/// How far the pointer goes before a press is a gesture, in pixels of the screen.
const STILL: f64 = 4.0;

/// What a press met.
#[derive(Clone, Debug)]
enum Met {
    Port(End),
    Part(PartId),
    Wire(WireId),
    Bend(WireId, usize),
    NewBend(WireId, usize),
    Paper,
}

#[derive(Clone, Debug, Default)]
enum Gesture {
    #[default]
    None,
    /// Pressed and not moved yet; at this place of the screen.
    Press(Met, (f64, f64), bool),
    Pan((f64, f64), View),
    Marquee((f64, f64), Selection),
    /// From a place of the board, parts with the places they came from.
    Move((f64, f64), Vec<(PartId, (f64, f64))>),
    Join,
    Bend(WireId, usize, Vec<(f64, f64)>),
    /// Two fingers: their distance and middle at the start, and the view then.
    Pinch(f64, (f64, f64), View),
}

/// The pointers on the board and what they do.
#[derive(Clone, Copy)]
pub struct Pointers {
    hands: Hands,
    gesture: StoredValue<Gesture>,
    down: StoredValue<BTreeMap<i32, (f64, f64)>>,
}

fn client(ev: &PointerEvent) -> (f64, f64) {
    (f64::from(ev.client_x()), f64::from(ev.client_y()))
}

fn met(target: Option<web_sys::EventTarget>) -> Met {
    let Some(target) = target.and_then(|t| t.dyn_into::<Element>().ok()) else {
        return Met::Paper;
    };
    let near = |selector: &str| target.closest(selector).ok().flatten();
    let says = |element: &Element, name: &str| element.get_attribute(name).unwrap_or_default();
    let index = |element: &Element, name: &str| says(element, name).parse().unwrap_or(0);
    if let Some(port) = near("[data-port]") {
        return Met::Port(End::new(
            &PartId::from(says(&port, "data-end")),
            &says(&port, "data-port"),
        ));
    }
    if let Some(bend) = near("[data-bend]") {
        return Met::Bend(says(&bend, "data-wire").into(), index(&bend, "data-bend"));
    }
    if let Some(bend) = near("[data-new]") {
        return Met::NewBend(says(&bend, "data-wire").into(), index(&bend, "data-new"));
    }
    if let Some(wire) = near("[data-wire]") {
        return Met::Wire(says(&wire, "data-wire").into());
    }
    if let Some(part) = near("[data-part]") {
        return Met::Part(says(&part, "data-part").into());
    }
    Met::Paper
}

impl Pointers {
    /// No pointer yet.
    pub fn new(hands: Hands) -> Pointers {
        Pointers {
            hands,
            gesture: StoredValue::new(Gesture::None),
            down: StoredValue::new(BTreeMap::new()),
        }
    }

    /// The place in the window onto the board.
    fn window(self, (x, y): (f64, f64)) -> (f64, f64) {
        let rect = self
            .hands
            .svg
            .get_untracked()
            .map(|svg| svg.get_bounding_client_rect());
        rect.map_or((x, y), |r| (x - r.left(), y - r.top()))
    }

    fn board(self, client: (f64, f64)) -> (f64, f64) {
        let view = self.hands.store.view().get_untracked();
        view.to_board(self.window(client))
    }

    /// A pointer goes down.
    pub fn down(self, ev: &PointerEvent) {
        if ev.button() != 0 && ev.button() != 1 {
            return;
        }
        let at = client(ev);
        if ev.is_primary() {
            self.down.update_value(BTreeMap::clear);
        }
        self.down.update_value(|down| {
            down.insert(ev.pointer_id(), at);
        });
        let all: Vec<(f64, f64)> = self.down.with_value(|d| d.values().copied().collect());
        if let [a, b] = all[..] {
            self.cancel();
            let view = self.hands.store.view().get_untracked();
            let middle = self.window(((a.0 + b.0) / 2.0, (a.1 + b.1) / 2.0));
            let apart = (a.0 - b.0).hypot(a.1 - b.1).max(1.0);
            self.gesture.set_value(Gesture::Pinch(apart, middle, view));
            return;
        }
        let met = if ev.button() == 1 {
            ev.prevent_default();
            Met::Paper
        } else {
            met(ev.target())
        };
        let more = ev.shift_key() || ev.ctrl_key() || ev.meta_key();
        self.gesture.set_value(Gesture::Press(met, at, more));
    }

    /// A pointer moves.
    pub fn moves(self, ev: &PointerEvent) {
        let at = client(ev);
        let held = self
            .down
            .try_update_value(|down| match down.get_mut(&ev.pointer_id()) {
                Some(place) => {
                    *place = at;
                    true
                }
                None => false,
            });
        if self.hands.joining.with_untracked(Option::is_some) {
            self.aim(at, ev.pointer_type() == "touch");
        }
        if held != Some(true) {
            return;
        }
        let gesture = self.gesture.get_value();
        if let Gesture::Press(met, start, more) = &gesture {
            if (at.0 - start.0).hypot(at.1 - start.1) < STILL {
                return;
            }
            if let Some(svg) = self.hands.svg.get_untracked() {
                // Refused only where the pointer is gone already; its end comes all the same.
                let _ = svg.set_pointer_capture(ev.pointer_id());
            }
            let begun = self.begin(met.clone(), *start, *more);
            self.gesture.set_value(begun);
        }
        self.go_on(at);
    }

    fn begin(self, met: Met, start: (f64, f64), more: bool) -> Gesture {
        let (hands, store) = (self.hands, self.hands.store);
        match met {
            Met::Port(end) => {
                hands.begin(&end);
                Gesture::Join
            }
            Met::Part(id) => {
                let chosen = store.selection().with_untracked(|s| s.parts.contains(&id));
                if !chosen {
                    store.selection().update(|s| {
                        if !more {
                            *s = Selection::default();
                        }
                        s.parts.insert(id);
                    });
                }
                let chosen = store.selection().with_untracked(|s| s.parts.clone());
                let places = store.with_plan(|plan| {
                    let parts = plan.parts.iter().filter(|p| chosen.contains(&p.id));
                    parts
                        .map(|p| (p.id.clone(), p.at.unwrap_or_default()))
                        .collect()
                });
                Gesture::Move(self.board(start), places)
            }
            Met::Bend(id, index) => {
                let bends = store.with_plan(|plan| plan.wire(&id).map(|w| w.bends.clone()));
                Gesture::Bend(id, index, bends.unwrap_or_default())
            }
            Met::NewBend(id, index) => {
                let bends = store.with_plan(|plan| plan.wire(&id).map(|w| w.bends.clone()));
                let mut bends = bends.unwrap_or_default();
                bends.insert(index.min(bends.len()), self.board(start));
                Gesture::Bend(id, index, bends)
            }
            Met::Paper if more || hands.marquee_mode.get_untracked() => {
                let before = if more {
                    store.selection().get_untracked()
                } else {
                    Selection::default()
                };
                Gesture::Marquee(self.board(start), before)
            }
            Met::Wire(_) | Met::Paper => Gesture::Pan(start, store.view().get_untracked()),
        }
    }

    fn go_on(self, at: (f64, f64)) {
        let (hands, store) = (self.hands, self.hands.store);
        match self.gesture.get_value() {
            Gesture::Pan(start, v) => store.view().set(View {
                x: v.x - (at.0 - start.0) / v.zoom,
                y: v.y - (at.1 - start.1) / v.zoom,
                ..store.view().get_untracked()
            }),
            Gesture::Marquee(start, before) => {
                let here = self.board(at);
                let area = (
                    start.0.min(here.0),
                    start.1.min(here.1),
                    (start.0 - here.0).abs(),
                    (start.1 - here.1).abs(),
                );
                hands.marquee.set(Some(area));
                let mut chosen = before;
                store.with_plan(|plan| {
                    for part in &plan.parts {
                        if view::meet(view::rect(plan, part), area) {
                            chosen.parts.insert(part.id.clone());
                        }
                    }
                });
                if store.selection().with_untracked(|s| *s != chosen) {
                    store.select(chosen);
                }
            }
            Gesture::Move(start, places) => store.float(&moved(&places, start, self.board(at))),
            Gesture::Bend(id, index, mut bends) => {
                let (x, y) = self.board(at);
                if let Some(bend) = bends.get_mut(index) {
                    *bend = (snap(x), snap(y));
                }
                if let Some(wire) = store.wire(&id)
                    && wire.with_untracked(|w| w.bends != bends)
                {
                    wire.update(|w| w.bends = bends.clone());
                }
                self.gesture.set_value(Gesture::Bend(id, index, bends));
            }
            Gesture::Pinch(apart, middle, view) => {
                let all: Vec<(f64, f64)> = self.down.with_value(|d| d.values().copied().collect());
                if let [a, b] = all[..] {
                    let now = self.window(((a.0 + b.0) / 2.0, (a.1 + b.1) / 2.0));
                    let zoomed = view.zoomed((a.0 - b.0).hypot(a.1 - b.1) / apart, middle);
                    store.view().set(View {
                        x: zoomed.x - (now.0 - middle.0) / zoomed.zoom,
                        y: zoomed.y - (now.1 - middle.1) / zoomed.zoom,
                        ..zoomed
                    });
                }
            }
            Gesture::None | Gesture::Press(..) | Gesture::Join => {}
        }
    }

    /// Leads the loose end to a place of the screen and finds the port that would take it.
    fn aim(self, at: (f64, f64), finger: bool) {
        let (hands, here) = (self.hands, self.board(at));
        let zoom = hands.store.view().with_untracked(|v| v.zoom);
        let reach = if finger { 32.0 } else { 20.0 } / zoom;
        hands.loose.set(here);
        let target = hands.nearest(here, reach);
        if hands.target.with_untracked(|t| *t != target) {
            hands.target.set(target);
        }
    }

    /// A pointer goes up.
    pub fn up(self, ev: &PointerEvent) {
        let (hands, store) = (self.hands, self.hands.store);
        let held = self
            .down
            .try_update_value(|down| down.remove(&ev.pointer_id()).is_some());
        let at = client(ev);
        if let Some(kind) = store.carry().get_untracked() {
            self.gesture.set_value(Gesture::None);
            store.set_carry(None);
            return store.place_part(&kind, Some(self.board(at)));
        }
        if held != Some(true) {
            return;
        }
        let gesture = self.gesture.get_value();
        self.gesture.set_value(Gesture::None);
        match gesture {
            Gesture::Press(met, _, more) => {
                if hands.joining.with_untracked(Option::is_some) {
                    self.aim(at, ev.pointer_type() == "touch");
                }
                self.click(met, more);
            }
            Gesture::Marquee(..) => hands.marquee.set(None),
            Gesture::Move(start, places) => {
                let places = moved(&places, start, self.board(at));
                let said = match &places[..] {
                    [(id, _)] => format!("move {}", store.with_plan(|p| p.called(id))),
                    _ => format!("move {} parts", places.len()),
                };
                let edits = places
                    .into_iter()
                    .map(|(id, at)| Edit::MovePart(id, Some(at)))
                    .collect();
                store.commit(&said, edits);
            }
            Gesture::Join => {
                self.aim(at, ev.pointer_type() == "touch");
                match hands.target.get_untracked() {
                    Some(end) => hands.finish(&end),
                    None => hands.let_go(),
                }
            }
            Gesture::Bend(id, _, bends) => {
                store.commit("bend a wire", vec![Edit::Bend(id, bends)]);
            }
            Gesture::None | Gesture::Pan(..) | Gesture::Pinch(..) => {}
        }
    }

    fn click(self, met: Met, more: bool) {
        let (hands, store) = (self.hands, self.hands.store);
        let selection = store.selection();
        // A click beside a port that is shown as aimed at is meant for it.
        if let (Some(end), false) = (hands.target.get_untracked(), matches!(met, Met::Port(_))) {
            return hands.finish(&end);
        }
        match met {
            Met::Port(end) => match hands.joining.get_untracked() {
                Some(joining) if joining.from == end => hands.let_go(),
                Some(_) => hands.finish(&end),
                None => hands.begin(&end),
            },
            Met::Part(id) => selection.update(|s| {
                if !more {
                    *s = Selection::part(&id);
                } else if !s.parts.remove(&id) {
                    s.parts.insert(id);
                }
            }),
            Met::Wire(id) => selection.update(|s| {
                if !more {
                    *s = Selection::wire(&id);
                } else if !s.wires.remove(&id) {
                    s.wires.insert(id);
                }
            }),
            Met::Bend(..) | Met::NewBend(..) => {}
            Met::Paper => {
                hands.let_go();
                if !more && selection.with_untracked(|s| !s.is_empty()) {
                    selection.set(Selection::default());
                }
            }
        }
    }

    /// A pointer is lost: what it did is taken back.
    pub fn lost(self, ev: &PointerEvent) {
        self.down.update_value(|down| {
            down.remove(&ev.pointer_id());
        });
        self.cancel();
    }

    /// Ends the gesture as if it had not been.
    pub fn cancel(self) {
        let gesture = self.gesture.get_value();
        self.gesture.set_value(Gesture::None);
        match gesture {
            Gesture::Move(..) | Gesture::Bend(..) => self.hands.store.refresh(),
            Gesture::Join => self.hands.let_go(),
            Gesture::Marquee(..) => self.hands.marquee.set(None),
            _ => {}
        }
    }

    /// A double click: renames a part, takes a bend out.
    pub fn twice(self, ev: &web_sys::MouseEvent) {
        match met(ev.target()) {
            Met::Part(id) => self.hands.renaming.set(Some(id)),
            Met::Bend(id, index) => self.unbend(&id, index),
            _ => {}
        }
    }

    /// Takes one bend out of a wire.
    pub fn unbend(self, id: &WireId, index: usize) {
        let store = self.hands.store;
        let bends = store.with_plan(|plan| plan.wire(id).map(|w| w.bends.clone()));
        if let Some(mut bends) = bends.filter(|b| index < b.len()) {
            bends.remove(index);
            store.commit("straighten a wire", vec![Edit::Bend(id.clone(), bends)]);
        }
    }

    /// The wheel: zooms at the pointer.
    pub fn wheel(self, ev: &web_sys::WheelEvent) {
        ev.prevent_default();
        let lines = if ev.delta_mode() == 1 { 16.0 } else { 1.0 };
        let rate = if ev.ctrl_key() { 0.01 } else { 0.0015 };
        let factor = (-ev.delta_y() * lines * rate).clamp(-1.0, 1.0).exp();
        let at = self.window((f64::from(ev.client_x()), f64::from(ev.client_y())));
        self.hands
            .store
            .view()
            .update(|v| *v = v.zoomed(factor, at));
    }
}

/// The parts' new places: moved together, so that the first one snaps.
fn moved(
    places: &[(PartId, (f64, f64))],
    from: (f64, f64),
    to: (f64, f64),
) -> Vec<(PartId, (f64, f64))> {
    let Some((_, first)) = places.first() else {
        return Vec::new();
    };
    let dx = snap(first.0 + to.0 - from.0) - first.0;
    let dy = snap(first.1 + to.1 - from.1) - first.1;
    places
        .iter()
        .map(|(id, (x, y))| (id.clone(), (x + dx, y + dy)))
        .collect()
}
