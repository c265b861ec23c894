//! Hanging parts on faces of the site, and leading wires over them by hand.

use super::{Bend, InHand, Leading};
use crate::editor::view::Point;
use crate::editor::{Editor, Selection, SiteTool};
use crate::limits::SITE_BENDS;
use crate::plan::{Edit, PartId, Plan, WireId};
use crate::sheet::site::places::{cell_at, nearest_face};
use crate::sheet::site::said;
use crate::site::{Face, Surface};

/// The face at a place of a storey that a part would take, or why there is none.
fn face_for(plan: &Plan, part: &PartId, storey: u8, at: Point) -> (Option<Face>, Option<String>) {
    let (Some(site), Some(part)) = (plan.site.as_deref(), plan.part(part)) else {
        return (None, None);
    };
    let Some((x, y)) = cell_at(site, at) else {
        return (None, None);
    };
    let cell = (storey, x, y);
    let found = nearest_face(cell, at, |face| plan.unfit(part, face).is_none());
    match found {
        Some(face) => match said::refused(plan, part, Some(face)) {
            None => (Some(face), None),
            // Where its first face is taken, another of the cell does.
            Some(why) => {
                let free = |face| said::refused(plan, part, Some(face)).is_none();
                match nearest_face(cell, at, free) {
                    Some(face) => (Some(face), None),
                    None => (None, Some(why)),
                }
            }
        },
        None => {
            let any = nearest_face(cell, at, |face| site.has(face));
            (None, said::refused(plan, part, any))
        }
    }
}

/// How many cells one goes from a face to another at the least.
fn cells_apart(a: Face, b: Face) -> u32 {
    let apart = |a: u8, b: u8| u32::from(a.abs_diff(b));
    apart(a.storey, b.storey) + apart(a.x, b.x) + apart(a.y, b.y)
}

/// Before which of a wire's bends another face is the least detour; at its end where several are.
fn least_detour(ends: Option<[Face; 2]>, via: &[Face], face: Face) -> usize {
    let begins = ends.map(|[from, _]| from);
    let stops = ends.map(|[_, to]| to);
    let detour = |at: &usize| {
        let before = at.checked_sub(1).map_or(begins, |at| via.get(at).copied());
        let after = via.get(*at).copied().or(stops);
        let there = before.map_or(0, |before| cells_apart(before, face));
        let on = after.map_or(0, |after| cells_apart(face, after));
        let straight = before.zip(after).map_or(0, |(a, b)| cells_apart(a, b));
        (there + on).saturating_sub(straight)
    };
    let places = (0..=via.len()).rev();
    places.min_by_key(detour).unwrap_or(via.len())
}

impl InHand {
    /// Says where it would hang at a place of a storey.
    pub(super) fn aim(&mut self, plan: &Plan, storey: u8, at: Point) {
        (self.over, self.refused) = face_for(plan, &self.part, storey, at);
    }
}

impl Leading {
    /// The bends as they would be.
    pub(super) fn bends(&self) -> Vec<Face> {
        let mut via = self.via.clone();
        let Some(face) = self.over else {
            return via;
        };
        match self.bend {
            Bend::Moved(at) => via.get_mut(at).into_iter().for_each(|f| *f = face),
            Bend::Drawn(at) => via.insert(at.min(via.len()), face),
            Bend::InHand(ends) => via.insert(least_detour(ends, &via, face), face),
        }
        via
    }

    /// Leads the bend to the face at a place of a storey: a wall where one is near, else where the bend was before, on the
    /// floor or under the ceiling.
    pub(super) fn aim(&mut self, plan: &Plan, storey: u8, at: Point, before: Surface) {
        let Some(site) = plan.site.as_deref() else {
            return;
        };
        let Some((x, y)) = cell_at(site, at) else {
            return;
        };
        let is_meant = |face: Face| {
            site.has(face)
                && match face.surface {
                    Surface::Ceiling => before == Surface::Ceiling,
                    Surface::Floor => before != Surface::Ceiling,
                    _ => true,
                }
        };
        let any = |face: Face| site.has(face);
        let cell = (storey, x, y);
        self.over = nearest_face(cell, at, is_meant).or_else(|| nearest_face(cell, at, any));
    }
}

impl Editor {
    /// Hangs a part on a face, or takes it off its place; says why where that can't be.
    pub(super) fn hang(&mut self, id: &PartId, face: Option<Face>) {
        let plan = self.plan().clone();
        let Some(part) = plan.part(id) else { return };
        let name = plan.called(id);
        if part.hangs == face {
            if face.is_some() {
                self.say(format!("{name} stays where it hangs."));
            }
            return;
        }
        let Some((face, site)) = face.zip(plan.site.as_deref()) else {
            if self.commit(
                &format!("take {name} off its place"),
                vec![Edit::Hang(id.clone(), None)],
            ) {
                self.say(format!("{name} lies among the parts without a place."));
            }
            return;
        };
        if let Some(why) = said::refused(&plan, part, Some(face)) {
            return self.say(why);
        }
        let on = said::on(site, face);
        let edit = Edit::Hang(id.clone(), Some(face));
        if self.commit(&format!("hang {name} {on}"), vec![edit]) {
            self.select(Selection::part(id));
            self.say(format!("{name} hangs {on}."));
        }
    }

    /// Hangs the part in hand where it is over, or says why not.
    pub(super) fn hang_in_hand(&mut self) {
        let Some(hand) = self.site.hand.clone() else {
            return;
        };
        match (hand.over, hand.refused) {
            (Some(face), _) => {
                self.site.hand = None;
                self.note_site();
                self.hang(&hand.part, Some(face));
            }
            // A click that meets nothing leaves it in hand, so that one can try beside it.
            (None, why) => {
                if hand.dragged {
                    self.site.hand = None;
                }
                self.note_site();
                if let Some(why) = why {
                    self.say(why);
                }
            }
        }
    }

    /// Leads a wire over faces by hand.
    pub(super) fn lead(&mut self, id: &WireId, via: Vec<Face>) {
        if via.len() > SITE_BENDS {
            return self.say(format!(
                "A wire takes at most {SITE_BENDS} bends by hand. Take one off first."
            ));
        }
        let before = self.plan().wire(id).map(|wire| wire.via.len());
        let says = match before {
            Some(before) if via.len() < before => "take bends off a wire",
            _ => "lead a wire",
        };
        self.commit(says, vec![Edit::Lead(id.clone(), via)]);
    }

    /// Takes a new bend of a wire in hand.
    pub(super) fn take_bend(&mut self, id: &WireId) {
        self.let_go_of_site();
        let plan = self.plan().clone();
        let Some(wire) = plan.wire(id) else { return };
        let hangs = |part| plan.part(part).and_then(|part| part.hangs);
        let ends = hangs(&wire.from.part).zip(hangs(&wire.to.part));
        self.set_site_tool(SiteTool::Choose);
        self.select(Selection::wire(id));
        self.site.leading = Some(Leading {
            wire: id.clone(),
            over: None,
            via: wire.via.clone(),
            bend: Bend::InHand(ends.map(|(from, to)| [from, to])),
        });
        self.note_site();
    }

    /// Leads the wire over the face that the bend in hand is over.
    pub(super) fn put_bend(&mut self) {
        let Some(mut leading) = self.site.leading.take_if(|leading| leading.over.is_some()) else {
            if self.site.bend_in_hand().is_some() {
                self.say("No wire can run here.".into());
            }
            return;
        };
        self.note_site();
        // Undo may have led the wire otherwise while the bend was in hand.
        if let Some(wire) = self
            .plan()
            .wire(&leading.wire)
            .filter(|_| leading.is_in_hand())
        {
            leading.via = wire.via.clone();
        }
        self.lead(&leading.wire, leading.bends());
    }

    /// Takes one bend off a wire.
    pub(super) fn take_bend_off(&mut self, id: &WireId, index: usize) {
        let via = self.plan().wire(id).map(|wire| wire.via.clone());
        if let Some(mut via) = via.filter(|via| index < via.len()) {
            via.remove(index);
            self.lead(id, via);
        }
    }
}
