//! Where parts come to stand: the module, free places, places for parts that have none, and the way from part to part.
//!
//! Places in pixels of the board, all on its module.

use super::view::{Point, Rect, around, grown, meet};
use crate::book::{Port, Side};
use crate::gather::Gather;
use crate::plan::{End, Part, PartId, Plan};
use crate::sheet::card;
use std::collections::BTreeMap;

/// The board's module: everything stands on multiples of it.
pub const MODULE: f64 = card::MODULE;

/// The columns that parts without a place are given, at the most.
const COLUMNS: usize = 60;

/// The nearest multiple of the module.
pub fn snap(x: f64) -> f64 {
    (x / MODULE).round() * MODULE
}

/// The ports of a part; none where the book has not its type.
pub fn ports(plan: &Plan, part: &Part) -> Vec<Port> {
    plan.kind_of(part).map(|t| t.ports()).unwrap_or_default()
}

/// The rectangle that a part's card covers.
pub fn rect(plan: &Plan, part: &Part) -> Rect {
    let (x, y) = part.at.unwrap_or_default();
    (x, y, card::WIDTH, card::height(&ports(plan, part)))
}

/// The rectangle around these parts and the ends of these wires.
pub fn around_all<'a>(plan: &'a Plan, parts: impl Iterator<Item = &'a PartId>) -> Option<Rect> {
    around(
        parts
            .filter_map(|id| plan.part(id))
            .map(|part| rect(plan, part)),
    )
}

/// The place of a port on the board, and its side.
pub fn port_at(plan: &Plan, end: &End) -> Option<(Point, Side)> {
    let part = plan.part(&end.part)?;
    let (x, y) = part.at?;
    let places = card::places(&ports(plan, part));
    let place = places.into_iter().find(|p| p.name == end.port)?;
    Some(((x + place.x, y + place.y), place.side))
}

/// A place near `at`, on the module, where a card of this height covers no other and stands `gap` or more from it.
pub fn free_place(plan: &Plan, at: Point, height: f64, gap: f64) -> Point {
    let taken: Vec<Rect> = plan.parts.iter().map(|p| rect(plan, p)).collect();
    let (x, y) = (snap(at.0), snap(at.1));
    for ring in 0..40 {
        for (dx, dy) in [(0, 1), (1, 0), (1, 1), (0, -1), (-1, 0), (-1, 1)] {
            let place = (
                x + f64::from(dx * ring) * 3.0 * MODULE,
                y + f64::from(dy * ring) * 3.0 * MODULE,
            );
            let own = grown((place.0, place.1, card::WIDTH, height), (gap, gap));
            if !taken.iter().any(|t| meet(*t, own)) {
                return place;
            }
        }
    }
    (x, y)
}

/// Gives every part without a place one: in columns, a part to the right of what feeds it.
pub fn give_places(plan: &mut Plan) {
    if plan.parts.iter().all(|p| p.at.is_some()) {
        return;
    }
    let columns = columns(plan);
    let placed = plan.parts.iter().filter(|p| p.at.is_some());
    let below = around(placed.map(|p| rect(plan, p))).map_or(0.0, |r| snap(r.1 + r.3 + 48.0));
    let mut foot = BTreeMap::new();
    for (i, column) in columns.into_iter().enumerate() {
        if plan.parts[i].at.is_none() {
            let y = foot.entry(column).or_insert(below);
            let tall = rect(plan, &plan.parts[i]).3;
            plan.parts[i].at = Some((column as f64 * 240.0, *y));
            *y = snap(*y + tall + 32.0);
        }
    }
}

/// The column of each part: one more than that of what feeds it.
fn columns(plan: &Plan) -> Vec<usize> {
    let at: BTreeMap<&PartId, usize> = plan
        .parts
        .iter()
        .enumerate()
        .map(|(i, p)| (&p.id, i))
        .gather();
    let pairs: Vec<(usize, usize)> = plan
        .wires
        .iter()
        .filter_map(|w| Some((*at.get(&w.from.part)?, *at.get(&w.to.part)?)))
        .collect();
    let mut column = vec![0; plan.parts.len()];
    // As many rounds as there may be columns: a closed loop ends there too.
    for _ in 0..plan.parts.len().min(COLUMNS) {
        let mut moved = false;
        for (from, to) in &pairs {
            if column[*to] <= column[*from] && column[*from] < COLUMNS {
                column[*to] = column[*from] + 1;
                moved = true;
            }
        }
        if !moved {
            break;
        }
    }
    column
}

/// The nearest part in a direction: distance along it, plus twice the distance across.
pub fn neighbour<'a>(plan: &'a Plan, id: &PartId, way: Point) -> Option<&'a Part> {
    let from = plan.part(id)?.at?;
    let mut best: Option<(f64, &Part)> = None;
    for part in plan.parts.iter().filter(|p| p.id != *id) {
        let at = part.at.unwrap_or_default();
        let (dx, dy) = (at.0 - from.0, at.1 - from.1);
        let along = dx * way.0 + dy * way.1;
        let across = (dx * way.1).abs() + (dy * way.0).abs();
        let far = along + 2.0 * across;
        if along > 0.0 && best.is_none_or(|(least, _)| far < least) {
            best = Some((far, part));
        }
    }
    best.map(|(_, part)| part)
}

/// The part nearest to `from` that is none of `without`.
pub fn nearest<'a>(plan: &'a Plan, from: Point, without: &[PartId]) -> Option<&'a Part> {
    let far = |p: &Part| {
        let (x, y) = p.at.unwrap_or_default();
        (x - from.0).hypot(y - from.1)
    };
    let left = plan.parts.iter().filter(|p| !without.contains(&p.id));
    left.min_by(|a, b| far(a).total_cmp(&far(b)))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::plan::read_plan;

    fn unplaced() -> Plan {
        let text = include_str!("../../assets/examples/kittiwake-light.json");
        let mut plan = read_plan(text).expect("an example reads");
        plan.parts.iter_mut().for_each(|p| p.at = None);
        plan
    }

    #[test]
    fn parts_without_a_place_stand_clear_of_each_other_and_right_of_what_feeds_them() {
        let mut plan = unplaced();
        give_places(&mut plan);
        for (i, a) in plan.parts.iter().enumerate() {
            for b in &plan.parts[..i] {
                assert!(
                    !meet(rect(&plan, a), rect(&plan, b)),
                    "{} on {}",
                    a.id,
                    b.id
                );
            }
        }
        let again = plan.clone();
        give_places(&mut plan);
        assert_eq!(plan, again, "what has a place keeps it");
    }

    #[test]
    fn a_free_place_covers_no_card() {
        let mut plan = unplaced();
        give_places(&mut plan);
        let at = plan.parts[3].at.expect("placed");
        let place = free_place(&plan, at, 64.0, 48.0);
        let own = grown((place.0, place.1, card::WIDTH, 64.0), (48.0, 48.0));
        assert!(plan.parts.iter().all(|p| !meet(rect(&plan, p), own)));
    }

    #[test]
    fn arrows_lead_to_the_nearest_part_in_their_direction() {
        let mut plan = unplaced();
        for (part, at) in plan
            .parts
            .iter_mut()
            .zip([(0.0, 0.0), (300.0, 0.0), (0.0, 300.0)])
        {
            part.at = Some(at);
        }
        plan.parts.truncate(3);
        let ids: Vec<PartId> = plan.parts.iter().map(|p| p.id.clone()).collect();
        let to = |way| neighbour(&plan, &ids[0], way).map(|p| p.id.clone());
        assert_eq!(to((1.0, 0.0)), Some(ids[1].clone()));
        assert_eq!(to((0.0, 1.0)), Some(ids[2].clone()));
        assert_eq!(to((-1.0, 0.0)), None);
    }
}
