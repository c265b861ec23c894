//! A wire in the making: where it begins, which ports can take it, and what it would replace.

use super::layout::{port_at, ports};
use super::view::Point;
use crate::book::Side;
use crate::gather::Gather;
use crate::plan::{Edit, End, Plan, Wire, WireId};
use crate::sheet::card;
use std::collections::{BTreeMap, BTreeSet};

/// A port that can take the wire.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Taker {
    /// Its place on the board.
    pub at: Point,
    /// Whether it has a wire already, which the new one would replace.
    pub wired: bool,
}

/// A wire in the making.
#[derive(Clone, Debug, PartialEq)]
pub struct Joining {
    /// Where it begins.
    pub from: End,
    /// The place of its beginning.
    pub at: Point,
    /// Every port that can take it.
    pub takers: BTreeMap<End, Taker>,
    /// Where its loose end is.
    pub loose: Point,
    /// The port that would take it now.
    pub target: Option<End>,
}

/// The question whether a new wire may take the place of others.
#[derive(Clone, Debug, PartialEq)]
pub struct Replacing {
    /// The new wire's output.
    pub from: End,
    /// Its input.
    pub to: End,
    /// The wires it would replace.
    pub wires: Vec<WireId>,
}

impl Joining {
    /// A wire that begins at `from`, if the plan has that port.
    pub fn begin(plan: &Plan, from: &End) -> Option<Joining> {
        let (at, side) = port_at(plan, from)?;
        let taken: BTreeSet<&End> = plan.wires.iter().flat_map(|w| [&w.from, &w.to]).gather();
        let mut takers = BTreeMap::new();
        for part in &plan.parts {
            let (x, y) = part.at.unwrap_or_default();
            for place in card::places(&ports(plan, part)) {
                let goes = match (side, place.side) {
                    (Side::Out, Side::In) | (Side::In, Side::Out) => part.id != from.part,
                    (Side::Out, Side::Signal) | (Side::Signal, Side::Out) => true,
                    _ => false,
                };
                if goes {
                    let end = End::new(&part.id, &place.name);
                    let wired = taken.contains(&end);
                    let at = (x + place.x, y + place.y);
                    takers.insert(end, Taker { at, wired });
                }
            }
        }
        Some(Joining {
            from: from.clone(),
            at,
            takers,
            loose: at,
            target: None,
        })
    }

    /// The nearest port to a place that can take the wire, at most `reach` away.
    pub fn nearest(&self, at: Point, reach: f64) -> Option<&End> {
        let far = |p: Point| (p.0 - at.0).hypot(p.1 - at.1);
        let best = self
            .takers
            .iter()
            .min_by(|a, b| far(a.1.at).total_cmp(&far(b.1.at)));
        best.filter(|(_, taker)| far(taker.at) <= reach)
            .map(|(end, _)| end)
    }

    /// The ports that can take the wire: free ones first, then by their distance from its beginning.
    pub fn nearest_first(&self) -> Vec<End> {
        let far = |p: Point| (p.0 - self.at.0).hypot(p.1 - self.at.1);
        let mut all: Vec<_> = self.takers.iter().collect();
        all.sort_by(|(_, a), (_, b)| a.wired.cmp(&b.wired).then(far(a.at).total_cmp(&far(b.at))));
        all.into_iter().map(|(end, _)| end.clone()).collect()
    }

    /// Where the line of the wire in the making ends.
    pub fn tip(&self) -> Point {
        let target = self.target.as_ref().and_then(|end| self.takers.get(end));
        target.map_or(self.loose, |taker| taker.at)
    }
}

/// The wires that hang on either of two ports.
pub fn wires_at(plan: &Plan, from: &End, to: &End) -> Vec<WireId> {
    let hangs = |w: &&Wire| w.from == *from || w.to == *to;
    plan.wires
        .iter()
        .filter(hangs)
        .map(|w| w.id.clone())
        .collect()
}

/// The edits that draw a wire in the place of others, and what they are called.
pub fn wiring(
    plan: &Plan,
    id: WireId,
    from: &End,
    to: &End,
    instead: &[WireId],
) -> (String, Vec<Edit>) {
    let mut edits = plan.removal(&[], instead);
    let last = plan.wires.len() - instead.len();
    edits.push(Edit::AddWire(last, Wire::new(id, from.clone(), to.clone())));
    (from_to(plan, from, to), edits)
}

/// The two ends of a wire in words.
pub fn from_to(plan: &Plan, from: &End, to: &End) -> String {
    format!(
        "{} {} to {} {}",
        plan.called(&from.part),
        from.port,
        plan.called(&to.part),
        to.port
    )
}
