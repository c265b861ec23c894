//! Stand-in for type checking only.
use super::route::{self, Ask, Box};
use crate::book::Side;
use crate::plan::{PartId, WireId};
use std::collections::{BTreeMap, BTreeSet};
#[derive(Clone, Debug, PartialEq)]
pub struct Port {
    pub part: PartId,
    pub at: (f64, f64),
}
impl Port {
    pub fn new(part: &PartId, at: (f64, f64)) -> Port {
        Port {
            part: part.clone(),
            at,
        }
    }
}
#[derive(Clone, Debug, PartialEq)]
pub struct WireEnds {
    pub from: Port,
    pub to: Port,
    pub to_side: Side,
    pub lane: i32,
    pub bends: Vec<(f64, f64)>,
    pub rank: usize,
}
#[derive(Clone, Debug, Default)]
pub struct Courses {
    cards: BTreeMap<PartId, Box>,
    wires: BTreeMap<WireId, WireEnds>,
    stale: BTreeSet<WireId>,
    found: BTreeMap<WireId, (Vec<(f64, f64)>, String)>,
}
impl Courses {
    pub fn put_card(&mut self, id: &PartId, area: Box) {
        self.cards.insert(id.clone(), area);
        self.stale.extend(self.wires.keys().cloned());
    }
    pub fn remove_card(&mut self, id: &PartId) {
        self.cards.remove(id);
    }
    pub fn put_wire(&mut self, id: &WireId, ends: WireEnds) {
        self.wires.insert(id.clone(), ends);
        self.stale.insert(id.clone());
    }
    pub fn remove_wire(&mut self, id: &WireId) {
        self.wires.remove(id);
        self.stale.remove(id);
        self.found.remove(id);
    }
    fn find(&mut self, id: &WireId) -> bool {
        self.stale.remove(id);
        let Some(w) = self.wires.get(id) else {
            return false;
        };
        let avoid: Vec<Box> = self.cards.values().copied().collect();
        let c = route::route(
            &Ask {
                from: w.from.at,
                to: w.to.at,
                to_side: w.to_side,
                bends: &w.bends,
                avoid: &avoid,
            },
            w.lane,
        );
        let d = route::path(&c, 4.0);
        let new = (c, d);
        if self.found.get(id) == Some(&new) {
            return false;
        }
        self.found.insert(id.clone(), new);
        true
    }
    pub fn settle_only(&mut self, parts: &BTreeSet<PartId>) -> Vec<WireId> {
        let ids: Vec<WireId> = self
            .stale
            .iter()
            .filter(|id| {
                self.wires
                    .get(*id)
                    .is_some_and(|w| parts.contains(&w.from.part) || parts.contains(&w.to.part))
            })
            .cloned()
            .collect();
        ids.into_iter().filter(|id| self.find(id)).collect()
    }
    pub fn settle_some(&mut self, most: usize, _first: (f64, f64, f64, f64)) -> Vec<WireId> {
        let ids: Vec<WireId> = self.stale.iter().take(most).cloned().collect();
        ids.into_iter().filter(|id| self.find(id)).collect()
    }
    pub fn is_settled(&self) -> bool {
        self.stale.is_empty()
    }
    pub fn course(&self, id: &WireId) -> Option<&[(f64, f64)]> {
        self.found.get(id).map(|f| &f.0[..])
    }
    pub fn d(&self, id: &WireId) -> Option<&str> {
        self.found.get(id).map(|f| &f.1[..])
    }
    pub fn cards_in(&self, r: (f64, f64, f64, f64)) -> Vec<PartId> {
        self.cards
            .iter()
            .filter(|(_, b)| {
                b.x < r.0 + r.2 && r.0 < b.x + b.w && b.y < r.1 + r.3 && r.1 < b.y + b.h
            })
            .map(|(i, _)| i.clone())
            .collect()
    }
    pub fn wires_in(&self, _r: (f64, f64, f64, f64)) -> Vec<WireId> {
        self.wires.keys().cloned().collect()
    }
}
