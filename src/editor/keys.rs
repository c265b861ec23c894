//! The keys of the board: what each means where the keyboard is. A key that means nothing here is left to the browser.

use super::layout::{self, MODULE};
use super::message::{Key, Target};
use super::view::Point;
use super::{Change, Drawing, Editor, FocusOn, Selection, SiteAct};
use crate::plan::{End, PartId, WireId};

/// How much one press of plus or minus zooms.
const ZOOM_STEP: (f64, f64) = (1.25, 0.8);

impl Editor {
    /// Does what the key means here.
    pub(super) fn key(&mut self, key: &Key, on: Target) {
        if self.press(key, on) {
            self.note(Change::Handled);
        }
    }

    fn press(&mut self, key: &Key, on: Target) -> bool {
        let on = match on {
            Target::Switch(id) => Target::Part(id),
            on => on,
        };
        if key.command && way(key).is_none() {
            return self.command(key);
        }
        if self.site.drawing() == Drawing::Site {
            return self.site_key(key, &on);
        }
        match (key.key.as_str(), on) {
            ("?", _) => self.set_help(true),
            ("s" | "S", _) => self.site_act(SiteAct::Turn(Drawing::Site)),
            ("f" | "F", _) => self.fit(),
            ("+" | "=", _) => self.set_view(self.view.zoomed_at_centre(ZOOM_STEP.0)),
            ("-" | "−", _) => self.set_view(self.view.zoomed_at_centre(ZOOM_STEP.1)),
            ("Escape", on) => self.escape(&on),
            (_, Target::Elsewhere) => return false,
            ("t" | "T", _) => self.tidy(),
            ("Delete" | "Backspace", Target::Bend(wire, index)) => self.unbend(&wire, index),
            ("Delete" | "Backspace", Target::Port(end)) => {
                let Some(wire) = self.plan().wire_at(&end).map(|w| w.id.clone()) else {
                    return false;
                };
                self.remove(&[], &[wire]);
            }
            ("Delete" | "Backspace", on) => self.remove_chosen(on),
            ("F2", on) => {
                let named = match on {
                    Target::Part(id) => Some(id),
                    Target::Port(end) => Some(end.part),
                    _ => self.selection.parts.first().cloned(),
                };
                self.rename(named);
            }
            (_, Target::Port(end)) => return self.on_port(key, &end),
            (_, Target::Part(id)) => return self.on_part(key, &id),
            (_, Target::Paper) => return self.arrow_moves(key),
            _ => return false,
        }
        true
    }

    fn command(&mut self, key: &Key) -> bool {
        match (key.key.to_ascii_lowercase().as_str(), key.shift) {
            ("z", false) => self.undo(),
            ("z", true) | ("y", _) => self.redo(),
            ("a", _) => {
                let plan = self.board();
                let all = Selection {
                    parts: plan.parts.iter().map(|p| p.id.clone()).collect(),
                    wires: plan.wires.iter().map(|w| w.id.clone()).collect(),
                };
                self.select(all);
            }
            ("d", _) => self.duplicate(),
            _ => return false,
        }
        true
    }

    fn remove_chosen(&mut self, on: Target) {
        let mut chosen = self.selection.clone();
        if let (true, Target::Part(id)) = (chosen.is_empty(), on) {
            chosen.parts.insert(id);
        }
        let parts: Vec<PartId> = chosen.parts.into_iter().collect();
        let wires: Vec<WireId> = chosen.wires.into_iter().collect();
        self.remove(&parts, &wires);
    }

    /// Whether Escape would let go of something on the board, before a pane or the choice is given up.
    pub fn holds_something(&self, on: &Target) -> bool {
        self.joining.is_some()
            || self.replacing.is_some()
            || self.carry.is_some()
            || self.site.holds()
            || matches!(on, Target::Port(_))
    }

    fn escape(&mut self, on: &Target) {
        self.cancel_gesture();
        if let Some(joining) = self.joining.clone() {
            self.let_go();
            if matches!(on, Target::Port(_)) {
                self.note(Change::FocusOn(FocusOn::Port(joining.from)));
            }
        } else if self.replacing.is_some() {
            self.let_go();
        } else if self.carry.is_some() {
            self.set_carry(None);
        } else if let Target::Port(end) = on {
            self.note(Change::FocusOn(FocusOn::Part(end.part.clone())));
        } else {
            self.select(Selection::default());
        }
    }

    /// Moves what is chosen by one square, with Shift by five.
    fn arrow_moves(&mut self, key: &Key) -> bool {
        let Some((dx, dy)) = way(key) else {
            return false;
        };
        let by = if key.shift { 5.0 } else { 1.0 } * MODULE;
        self.nudge((dx * by, dy * by))
    }

    fn on_part(&mut self, key: &Key, id: &PartId) -> bool {
        let chosen = self.selection.parts.contains(id);
        if let Some(way) = way(key) {
            if chosen && !key.command && self.just_placed.as_ref() != Some(id) {
                return self.arrow_moves(key);
            }
            let plan = self.board();
            let next = layout::neighbour(plan, id, way);
            if let Some((id, rect)) = next.map(|p| (p.id.clone(), layout::rect(plan, p))) {
                self.reveal(rect);
                self.go_to_part(id);
            }
            return true;
        }
        match key.key.as_str() {
            // A part that was just placed is chosen without having been asked for: now it is.
            " " if chosen && self.just_placed.take().as_ref() == Some(id) => {}
            " " => {
                let mut selection = self.selection.clone();
                if !key.shift && !chosen {
                    selection = Selection::default();
                }
                if !selection.parts.remove(id) {
                    selection.parts.insert(id.clone());
                }
                self.select(selection);
            }
            "Enter" if self.can_be_thrown(id) => self.throw(id),
            "w" | "W" | "Enter" => {
                if let Some(end) = self.first_port(id) {
                    self.note(Change::FocusOn(FocusOn::Port(end)));
                }
            }
            _ => return false,
        }
        true
    }

    /// The first free port of a part, or the first at all.
    fn first_port(&self, id: &PartId) -> Option<End> {
        let plan = self.board();
        let ports = layout::ports(plan, plan.part(id)?);
        let mut ends = ports.iter().map(|p| End::new(id, &p.name));
        let first = ends.clone().next();
        ends.find(|end| plan.wire_at(end).is_none()).or(first)
    }

    fn on_port(&mut self, key: &Key, end: &End) -> bool {
        if let Some(way) = way(key) {
            self.step_ports(end, way.0 + way.1 < 0.0);
            return true;
        }
        match key.key.as_str() {
            "Enter" => match &self.joining {
                None => {
                    self.begin_wire(end);
                    let takers = self.joining.as_ref().map(|j| j.nearest_first());
                    if let Some(first) = takers.and_then(|t| t.into_iter().next()) {
                        self.go_to_port(first, true);
                    }
                }
                Some(joining) if joining.from == *end => self.let_go(),
                Some(_) => self.finish_wire(end),
            },
            " " => {
                let wire = self.board().wire_at(end).map(|w| w.id.clone());
                if let Some(wire) = wire {
                    self.select(Selection::wire(&wire));
                }
            }
            _ => return false,
        }
        true
    }

    /// Goes to the next port of the part or, with a wire in the making, to the next that can take it.
    fn step_ports(&mut self, end: &End, back: bool) {
        let ring: Vec<End> = match &self.joining {
            Some(joining) => joining.nearest_first(),
            None => {
                let plan = self.board();
                let ports = plan.part(&end.part).map(|p| layout::ports(plan, p));
                let ports = ports.unwrap_or_default();
                ports.iter().map(|p| End::new(&end.part, &p.name)).collect()
            }
        };
        if ring.is_empty() {
            return;
        }
        let next = match ring.iter().position(|e| e == end) {
            Some(at) if back => (at + ring.len() - 1) % ring.len(),
            Some(at) => (at + 1) % ring.len(),
            None => 0,
        };
        self.go_to_port(ring[next].clone(), self.joining.is_some());
    }

    fn go_to_port(&mut self, end: End, aims: bool) {
        let plan = self.board();
        let rect = plan.part(&end.part).map(|p| layout::rect(plan, p));
        if let Some(rect) = rect {
            self.reveal(rect);
        }
        if aims {
            self.set_target(Some(end.clone()), None);
        }
        // The card of a port that is gone to is drawn, wherever the view is.
        self.set_focus(Some(end.part.clone()));
        self.note(Change::FocusOn(FocusOn::Port(end)));
    }
}

/// The direction of an arrow key.
fn way(key: &Key) -> Option<Point> {
    Some(match key.key.as_str() {
        "ArrowLeft" => (-1.0, 0.0),
        "ArrowRight" => (1.0, 0.0),
        "ArrowUp" => (0.0, -1.0),
        "ArrowDown" => (0.0, 1.0),
        _ => return None,
    })
}
