//! A small picture of a board, for the card of a plan on the shelf: parts as fields, wires as lines, no text.
//!
//! An SVG of its own that needs no style sheet: it draws in the current colour, so it fits every theme. The same plan gives
//! the same bytes everywhere. Courses of wires are left out: a wire goes across, down and across, whatever stands there.
//! Very many parts are drawn as fields alone, so that the text stays small.

use super::card;
use crate::book::{Port, Side};
use crate::gather::Gather;
use crate::plan::{End, PartId, Plan};
use std::collections::BTreeMap;
use std::fmt::Write;

/// The picture's width and height, in its own units.
pub const SIZE: (i64, i64) = (240, 140);
/// Room left free at each edge.
const MARGIN: i64 = 6;
/// From so many parts on, wires are left out; and so many parts are drawn at the most.
const MANY: usize = 150;
/// The most parts that are drawn.
const MOST: usize = 600;

/// A card on the board, in pixels.
struct Card {
    at: (f64, f64),
    height: f64,
    ports: Vec<Port>,
    behaviour: &'static str,
}

/// The picture; none where the plan has no part with a place.
pub fn picture(plan: &Plan) -> Option<String> {
    let cards: BTreeMap<&PartId, Card> = (plan.parts.iter())
        .filter_map(|part| Some((&part.id, card_of(plan, part)?)))
        .gather();
    let scale = Scale::around(&cards)?;
    let mut svg = String::new();
    let (wide, high) = SIZE;
    let _ = write!(
        svg,
        "<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 {wide} {high}\" fill=\"currentColor\" stroke=\"none\">"
    );
    if cards.len() < MANY {
        let lines = lines(plan, &cards, &scale);
        if !lines.is_empty() {
            let _ = write!(
                svg,
                "<path fill=\"none\" stroke=\"currentColor\" opacity=\".5\" d=\"{lines}\"/>"
            );
        }
    }
    // One path for each kind of field: what gives, what stores, what uses, what switches, what only leads on.
    for (behaviours, opacity) in [
        (&["source"][..], ".9"),
        (&["battery"], ".7"),
        (&["load"], ".5"),
        (&["contact", "changeover"], ".35"),
        (&["tap", "divider", "busbar", "meter"], ".2"),
    ] {
        let mut fields = String::new();
        let shown = plan
            .parts
            .iter()
            .take(MOST)
            .filter_map(|part| cards.get(&part.id));
        for card in shown.filter(|card| behaviours.contains(&card.behaviour)) {
            scale.field(card, &mut fields);
        }
        if !fields.is_empty() {
            let _ = write!(svg, "<path opacity=\"{opacity}\" d=\"{fields}\"/>");
        }
    }
    svg.push_str("</svg>");
    Some(svg)
}

fn card_of(plan: &Plan, part: &crate::plan::Part) -> Option<Card> {
    let kind = plan.kind_of(part)?;
    let ports = kind.ports();
    Some(Card {
        at: part.at?,
        height: card::height(&ports),
        ports,
        behaviour: kind.behaviour.name(),
    })
}

/// The wires as one path: across, then up or down, then across again; to a signal port, which is entered from below, across
/// and up.
fn lines(plan: &Plan, cards: &BTreeMap<&PartId, Card>, scale: &Scale) -> String {
    let place = |end: &End| {
        let card = cards.get(&end.part)?;
        let places = card::places(&card.ports);
        let port = places.into_iter().find(|port| port.name == end.port)?;
        let (x, y) = scale.point(card.at.0 + port.x, card.at.1 + port.y);
        Some((x, y, port.side))
    };
    let mut path = String::new();
    for wire in &plan.wires {
        let Some(((x, y, _), (to_x, to_y, side))) = place(&wire.from).zip(place(&wire.to)) else {
            continue;
        };
        let (across, down) = (to_x - x, to_y - y);
        let before = if side == Side::Signal {
            across
        } else {
            across / 2
        };
        // Relative numbers are short.
        let _ = write!(path, "M{x} {y}h{before}");
        if down != 0 {
            let _ = write!(path, "v{down}");
        }
        if before != across {
            let _ = write!(path, "h{}", across - before);
        }
    }
    path
}

/// From the board's pixels to the picture.
struct Scale {
    left: f64,
    top: f64,
    factor: f64,
}

impl Scale {
    /// So that all cards fit, in the middle, and none is drawn larger than a third of its size.
    fn around(cards: &BTreeMap<&PartId, Card>) -> Option<Scale> {
        let corners = cards.values().map(|card| (card.at, card.height));
        let (left, top, right, bottom) = corners
            .map(|((x, y), height)| (x, y, x + card::WIDTH, y + height))
            .reduce(|a, b| (a.0.min(b.0), a.1.min(b.1), a.2.max(b.2), a.3.max(b.3)))?;
        let room = |length: i64| (length - 2 * MARGIN) as f64;
        let (wide, high) = (room(SIZE.0), room(SIZE.1));
        let factor = (wide / (right - left))
            .min(high / (bottom - top))
            .min(1.0 / 3.0);
        let middle = |from: f64, to: f64, size: i64| (from + to) / 2.0 - size as f64 / 2.0 / factor;
        Some(Scale {
            left: middle(left, right, SIZE.0),
            top: middle(top, bottom, SIZE.1),
            factor,
        })
    }

    fn point(&self, x: f64, y: f64) -> (i64, i64) {
        let scaled = |at: f64, from: f64| ((at - from) * self.factor).round() as i64;
        (scaled(x, self.left), scaled(y, self.top))
    }

    /// A card's field, at least 2 wide and high.
    fn field(&self, card: &Card, path: &mut String) {
        let (x, y) = self.point(card.at.0, card.at.1);
        let length = |pixels: f64| ((pixels * self.factor).round() as i64).max(2);
        let (wide, high) = (length(card::WIDTH), length(card.height));
        let _ = write!(path, "M{x} {y}h{wide}v{high}h-{wide}z");
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::plan::{Edit, Part, examples, read_plan};

    fn plans() -> Vec<(&'static str, Plan)> {
        let read = |(name, text): &(&'static str, &str)| (*name, read_plan(text).unwrap());
        examples().iter().map(read).collect()
    }

    /// A board of so many parts in rows, each wired to the next.
    fn board(count: usize) -> Plan {
        let mut plan = Plan::empty();
        for n in 0..count {
            let id = plan.new_part_id();
            let at = (n as f64 % 8.0 * 240.0, (n / 8) as f64 * 120.0);
            let part = Part::new(id.clone(), "heater", at);
            plan.apply(Edit::AddPart(n, part)).unwrap();
            if n > 0 {
                let before = plan.parts[n - 1].id.clone();
                let wire = crate::plan::Wire::new(
                    plan.new_wire_id(),
                    End::new(&before, "loop"),
                    End::new(&id, "in"),
                );
                plan.apply(Edit::AddWire(n - 1, wire)).unwrap();
            }
        }
        plan
    }

    #[test]
    fn a_picture_has_a_field_for_each_part_and_a_line_for_each_wire() {
        for (name, plan) in plans() {
            let svg = picture(&plan).unwrap();
            assert_eq!(svg.matches('z').count(), plan.parts.len(), "{name}");
            let lines = svg.split(" d=\"").nth(1).unwrap();
            let lines = lines.split('"').next().unwrap();
            assert_eq!(lines.matches('M').count(), plan.wires.len(), "{name}");
        }
    }

    #[test]
    fn forty_parts_take_at_most_3_kilobytes_and_thousands_not_many_more() {
        let forty = picture(&board(40)).unwrap();
        assert!(forty.len() <= 3 * 1024, "{}", forty.len());
        let many = picture(&board(5000)).unwrap();
        assert!(many.len() <= 16 * 1024, "{}", many.len());
    }

    #[test]
    fn all_of_it_lies_within_the_picture() {
        for plan in [board(1), board(40), board(149), plans().remove(0).1] {
            let svg = picture(&plan).unwrap();
            for path in svg.split(" d=\"").skip(1) {
                let d = path.split('"').next().unwrap();
                for corner in corners(d) {
                    let within =
                        (0..=SIZE.0).contains(&corner.0) && (0..=SIZE.1).contains(&corner.1);
                    assert!(within, "{corner:?} in {d}");
                }
            }
        }
    }

    /// The points that a path of moves and relative steps across and down goes through.
    fn corners(d: &str) -> Vec<(i64, i64)> {
        let (mut at, mut letter, mut found) = ((0, 0), 'M', Vec::new());
        // A path of wires ends with a number.
        let d = format!("{}z", d.trim_start_matches('M'));
        for step in d.split_inclusive(|c: char| c.is_ascii_alphabetic()) {
            let (numbers, next) = step.split_at(step.len() - 1);
            let numbers: Vec<i64> = numbers.split(' ').filter_map(|n| n.parse().ok()).collect();
            match (letter, numbers.as_slice()) {
                ('M', [x, y]) => at = (*x, *y),
                ('h', [x]) => at.0 += x,
                ('v', [y]) => at.1 += y,
                ('z', []) => {}
                other => panic!("{other:?} in {d}"),
            }
            found.push(at);
            letter = next.chars().next().unwrap();
        }
        found
    }

    #[test]
    fn names_are_not_in_it_and_a_board_without_parts_has_none() {
        let mut plan = plans().remove(0).1;
        let before = picture(&plan);
        plan.title = "\"><script>".into();
        let id = plan.parts[0].id.clone();
        plan.apply(Edit::Rename(id, "<b>".into())).unwrap();
        assert_eq!(picture(&plan), before);
        assert_eq!(picture(&Plan::empty()), None);
    }
}
