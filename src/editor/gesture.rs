//! The pointers on the board as a state machine: mouse, pen and fingers.
//!
//! A press becomes a gesture once it has moved by four pixels; only then is the pointer captured, so that plain clicks
//! keep their targets. What is dragged floats: the document keeps its own places until the gesture ends, which makes it
//! one step of undo.

use super::drawn::Level;
use super::layout::{self, snap};
use super::message::{Pointer, Target};
use super::view::{Point, Rect, View, meet};
use super::{Change, Editor, Selection};
use crate::plan::{Edit, End, PartId, WireId};
use std::collections::BTreeMap;

/// How far the pointer goes before a press is a gesture, in pixels of the screen.
const THRESHOLD: f64 = 4.0;

/// How near a port has to be to take a wire, in pixels of the screen: for a pointer and for a finger.
const REACH: (f64, f64) = (20.0, 32.0);

/// How far around a port a finger meets it, in pixels of the screen.
const TOUCH: f64 = 24.0;

/// The share of a card's width and height, in its middle, in which a finger meets the card and no port.
const MIDDLE: f64 = 0.5;

/// What the pointers do.
#[derive(Clone, Debug, Default)]
pub(super) enum Gesture {
    /// Nothing.
    #[default]
    None,
    /// Pressed on something, at this place of the window, and not moved yet.
    Press {
        target: Target,
        at: Point,
        more: bool,
    },
    /// The paper is moved, from this place of the window and this view.
    Pan(Point, View),
    /// A marquee is drawn from this place of the board, in addition to what was chosen.
    Marquee(Point, Selection),
    /// Parts are moved from a place of the board, with the places that they come from.
    Move(Point, Vec<(PartId, Point)>),
    /// A wire is drawn.
    Join,
    /// A bend of a wire is moved.
    Bend(WireId, usize),
    /// Two fingers: their distance and middle at the start, and the view then.
    Pinch(f64, Point, View),
}

/// The pointers that are down and what they do.
#[derive(Clone, Debug, Default)]
pub(super) struct Pointers {
    pub(super) gesture: Gesture,
    down: BTreeMap<i32, Point>,
}

impl Pointers {
    /// The distance and the middle of two fingers.
    fn pair(&self) -> Option<(f64, Point)> {
        let mut all = self.down.values();
        let (a, b) = (all.next()?, all.next()?);
        let apart = (a.0 - b.0).hypot(a.1 - b.1).max(1.0);
        Some((apart, ((a.0 + b.0) / 2.0, (a.1 + b.1) / 2.0)))
    }
}

impl Editor {
    pub(super) fn pointer_down(&mut self, pointer: Pointer, target: Target, more: bool) {
        if pointer.primary {
            self.pointers.down.clear();
        }
        self.pointers.down.insert(pointer.id, pointer.at);
        let target = match pointer.finger {
            true => self.met_by_finger(pointer.at, target),
            false => target,
        };
        if self.pointers.down.len() == 2
            && let Some((apart, middle)) = self.pointers.pair()
        {
            self.cancel_gesture();
            self.pointers.gesture = Gesture::Pinch(apart, middle, self.view);
            return;
        }
        self.pointers.gesture = Gesture::Press {
            target,
            at: pointer.at,
            more,
        };
    }

    /// What a finger means that comes down on `target`: the nearest port within reach, where ports are drawn. The middle of
    /// a card stays the card's.
    fn met_by_finger(&self, at: Point, target: Target) -> Target {
        let is_own = matches!(
            target,
            Target::Bend(..) | Target::NewBend(..) | Target::Switch(_)
        );
        if is_own || self.drawn.detail.level < Level::All {
            return target;
        }
        let here = self.view.to_board(at);
        if let Target::Part(id) | Target::Port(End { part: id, .. }) = &target
            && let Some(rect) = self.geometry.rect(id)
            && in_middle(rect, here)
        {
            return Target::Part(id.clone());
        }
        match self.port_near(here, TOUCH / self.view.zoom) {
            Some(end) => Target::Port(end),
            None => target,
        }
    }

    /// The nearest port of those drawn, at most `reach` away on the board.
    fn port_near(&self, at: Point, reach: f64) -> Option<End> {
        let mut best: Option<(f64, End)> = None;
        for id in &self.drawn.parts {
            let (Some((x, y)), Some(shape)) = (self.geometry.place(id), self.geometry.shape(id))
            else {
                continue;
            };
            for port in &shape.ports {
                let far = (x + port.x - at.0).hypot(y + port.y - at.1);
                if far <= reach && best.as_ref().is_none_or(|(least, _)| far < *least) {
                    best = Some((far, End::new(id, &port.name)));
                }
            }
        }
        best.map(|(_, end)| end)
    }

    pub(super) fn pointer_moves(&mut self, pointer: Pointer) {
        if self.joining.is_some() {
            self.aim(pointer);
        }
        let Some(place) = self.pointers.down.get_mut(&pointer.id) else {
            return;
        };
        *place = pointer.at;
        if let Gesture::Press { target, at, more } = &self.pointers.gesture {
            if (pointer.at.0 - at.0).hypot(pointer.at.1 - at.1) < THRESHOLD {
                return;
            }
            let (target, at, more) = (target.clone(), *at, *more);
            self.note(Change::Capture(pointer.id));
            self.pointers.gesture = self.begin_gesture(target, at, more);
        }
        self.go_on(pointer.at);
    }

    fn begin_gesture(&mut self, target: Target, start: Point, more: bool) -> Gesture {
        let here = self.view.to_board(start);
        match target {
            // Nothing is moved while a walk is followed, but for the paper.
            Target::Port(_) | Target::Part(_) | Target::Bend(..) | Target::NewBend(..)
                if self.walk_place().is_some() =>
            {
                Gesture::Pan(start, self.view)
            }
            Target::Port(end) => {
                self.begin_wire(&end);
                Gesture::Join
            }
            Target::Part(id) | Target::Switch(id) => {
                if !self.selection.parts.contains(&id) {
                    let mut chosen = if more {
                        self.selection.clone()
                    } else {
                        Selection::default()
                    };
                    chosen.parts.insert(id);
                    self.select(chosen);
                }
                Gesture::Move(here, self.chosen_places())
            }
            Target::Bend(id, index) => self.begin_bend(id, index, None),
            Target::NewBend(id, index) => self.begin_bend(id, index, Some(here)),
            _ if matches!(target, Target::Paper) && (more || self.chooses_by_dragging) => {
                let before = if more {
                    self.selection.clone()
                } else {
                    Selection::default()
                };
                Gesture::Marquee(here, before)
            }
            _ => Gesture::Pan(start, self.view),
        }
    }

    fn chosen_places(&self) -> Vec<(PartId, Point)> {
        let plan = self.plan();
        let place = |id: &PartId| {
            let part = plan.part(id)?;
            Some((id.clone(), part.at.unwrap_or_default()))
        };
        self.selection.parts.iter().filter_map(place).collect()
    }

    fn begin_bend(&mut self, id: WireId, index: usize, new: Option<Point>) -> Gesture {
        let bends = self.plan().wire(&id).map(|w| w.bends.clone());
        let mut bends = bends.unwrap_or_default();
        if let Some(at) = new {
            bends.insert(index.min(bends.len()), at);
        }
        self.floating_bends = Some((id.clone(), bends));
        Gesture::Bend(id, index)
    }

    fn go_on(&mut self, at: Point) {
        match self.pointers.gesture.clone() {
            Gesture::Pan(start, view) => self.set_view(View {
                x: view.x - (at.0 - start.0) / view.zoom,
                y: view.y - (at.1 - start.1) / view.zoom,
                ..self.view
            }),
            Gesture::Marquee(start, before) => self.draw_marquee(start, at, before),
            Gesture::Move(start, places) => {
                let places = moved(&places, start, self.view.to_board(at));
                self.float_parts(places);
            }
            Gesture::Bend(id, index) => self.float_bend(id, index, at),
            Gesture::Pinch(apart, middle, view) => {
                if let Some((now_apart, now)) = self.pointers.pair() {
                    let zoomed = view.zoomed(now_apart / apart, middle);
                    self.set_view(View {
                        x: zoomed.x - (now.0 - middle.0) / zoomed.zoom,
                        y: zoomed.y - (now.1 - middle.1) / zoomed.zoom,
                        ..zoomed
                    });
                }
            }
            Gesture::None | Gesture::Press { .. } | Gesture::Join => {}
        }
    }

    fn draw_marquee(&mut self, start: Point, at: Point, before: Selection) {
        let here = self.view.to_board(at);
        let area: Rect = (
            start.0.min(here.0),
            start.1.min(here.1),
            (start.0 - here.0).abs(),
            (start.1 - here.1).abs(),
        );
        self.marquee = Some(area);
        self.note(Change::Marquee);
        let mut chosen = before;
        let plan = self.board();
        let met = plan
            .parts
            .iter()
            .filter(|p| meet(layout::rect(plan, p), area));
        chosen.parts.extend(met.map(|p| p.id.clone()));
        self.select(chosen);
    }

    fn float_bend(&mut self, id: WireId, index: usize, at: Point) {
        let (x, y) = self.view.to_board(at);
        let Some((_, bends)) = &mut self.floating_bends else {
            return;
        };
        if let Some(bend) = bends.get_mut(index) {
            let to = (snap(x), snap(y));
            if *bend != to {
                *bend = to;
                self.put_wire(&id);
            }
        }
    }

    /// Leads the loose end to a place of the window and finds the port that would take it.
    fn aim(&mut self, pointer: Pointer) {
        let here = self.view.to_board(pointer.at);
        let reach = reach(pointer) / self.view.zoom;
        let target = self
            .joining
            .as_ref()
            .and_then(|joining| joining.nearest(here, reach).cloned());
        self.set_target(target, Some(here));
    }

    pub(super) fn pointer_up(&mut self, pointer: Pointer) {
        let held = self.pointers.down.remove(&pointer.id).is_some();
        if let Some(kind) = self.carry.clone() {
            self.pointers.gesture = Gesture::None;
            self.set_carry(None);
            return self.place_part(&kind, Some(self.view.to_board(pointer.at)));
        }
        if !held {
            return;
        }
        match std::mem::take(&mut self.pointers.gesture) {
            Gesture::Press { target, more, .. } => {
                if self.joining.is_some() {
                    self.aim(pointer);
                }
                self.click(target, more);
            }
            Gesture::Marquee(..) => self.end_marquee(),
            Gesture::Move(start, places) => {
                let places = moved(&places, start, self.view.to_board(pointer.at));
                self.drop_parts(places);
            }
            Gesture::Join => {
                self.aim(pointer);
                match self.joining.as_ref().and_then(|j| j.target.clone()) {
                    Some(end) => self.finish_wire(&end),
                    None => self.drop_wire(pointer),
                }
            }
            Gesture::Bend(id, _) => {
                if let Some((_, bends)) = self.floating_bends.take() {
                    self.commit("bend a wire", vec![Edit::Bend(id, bends)]);
                }
            }
            Gesture::None | Gesture::Pan(..) | Gesture::Pinch(..) => {}
        }
    }

    /// Lets go of a wire that no port takes; says why where there is one.
    fn drop_wire(&mut self, pointer: Pointer) {
        let here = self.view.to_board(pointer.at);
        let on = self.port_near(here, reach(pointer) / self.view.zoom);
        let from = self.joining.as_ref().map(|j| j.from.clone());
        if let Some(end) = on.filter(|end| Some(end) != from.as_ref()) {
            self.finish_wire(&end);
        }
        self.let_go();
    }

    fn end_marquee(&mut self) {
        self.marquee = None;
        self.note(Change::Marquee);
    }

    fn drop_parts(&mut self, places: Vec<(PartId, Point)>) {
        let says = match &places[..] {
            [(id, _)] => format!("move {}", self.plan().called(id)),
            _ => format!("move {} parts", places.len()),
        };
        self.land();
        let edits = places
            .into_iter()
            .map(|(id, at)| Edit::MovePart(id, Some(at)))
            .collect();
        self.commit(&says, edits);
    }

    fn click(&mut self, target: Target, more: bool) {
        let aimed = self.joining.as_ref().and_then(|j| j.target.clone());
        // A click beside a port that is shown as aimed at is meant for it.
        if let (Some(end), false) = (aimed, matches!(target, Target::Port(_))) {
            return self.finish_wire(&end);
        }
        match target {
            Target::Port(end) => match &self.joining {
                Some(joining) if joining.from == end => self.let_go(),
                Some(_) => self.finish_wire(&end),
                None => self.begin_wire(&end),
            },
            Target::Switch(id) if !more && self.joining.is_none() => self.throw(&id),
            Target::Part(id) | Target::Switch(id) => {
                let mut chosen = self.selection.clone();
                chosen.click_part(id, more);
                self.select(chosen);
            }
            Target::Wire(id) => {
                let mut chosen = self.selection.clone();
                chosen.click_wire(id, more);
                self.select(chosen);
            }
            Target::Bend(..) | Target::NewBend(..) | Target::Elsewhere => {}
            Target::Paper => {
                self.let_go();
                if !more {
                    self.select(Selection::default());
                }
            }
        }
    }

    pub(super) fn pointer_lost(&mut self, id: i32) {
        // A pointer that went up before has ended its gesture itself.
        if self.pointers.down.remove(&id).is_some() {
            self.cancel_gesture();
        }
    }

    /// Ends the gesture as if it had not been.
    pub(super) fn cancel_gesture(&mut self) {
        match std::mem::take(&mut self.pointers.gesture) {
            Gesture::Move(..) => self.land(),
            Gesture::Bend(id, _) => {
                self.floating_bends = None;
                self.put_wire(&id);
            }
            Gesture::Join => self.let_go(),
            Gesture::Marquee(..) => self.end_marquee(),
            Gesture::None | Gesture::Press { .. } | Gesture::Pan(..) | Gesture::Pinch(..) => {}
        }
    }

    pub(super) fn double_click(&mut self, target: Target) {
        match target {
            Target::Part(id) | Target::Switch(id) => self.rename(Some(id)),
            Target::Bend(id, index) => self.unbend(&id, index),
            _ => {}
        }
    }
}

/// How near to a pointer a port takes its wire, in pixels of the screen.
fn reach(pointer: Pointer) -> f64 {
    if pointer.finger { REACH.1 } else { REACH.0 }
}

/// Whether a place is in the middle of a card.
fn in_middle((x, y, wide, high): Rect, at: Point) -> bool {
    let inside =
        |at: f64, from: f64, long: f64| (at - from - long / 2.0).abs() <= long * MIDDLE / 2.0;
    inside(at.0, x, wide) && inside(at.1, y, high)
}

/// The parts' new places: moved together, so that the first one snaps.
fn moved(places: &[(PartId, Point)], from: Point, to: Point) -> Vec<(PartId, Point)> {
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
