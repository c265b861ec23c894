//! A plan's board for the tests: its cards, and the courses of its wires found from nothing.

use duskline::book::Side;
use duskline::editor::{Change, Editor, Message};
use duskline::plan::{End, Part, Plan};
use duskline::sheet::card;
use duskline::sheet::courses::{Courses, Port, WireEnds};
use duskline::sheet::route::Box;
use duskline::sheet::tidy::lay_out;

/// The ground of a part's card.
pub fn card(plan: &Plan, part: &Part) -> Box {
    let ports = plan.kind_of(part).map(|t| t.ports()).unwrap_or_default();
    let (x, y) = part.at.expect("a place");
    let h = card::height(&ports);
    Box {
        x,
        y,
        w: card::WIDTH,
        h,
    }
}

/// The cards with all wires led.
pub fn courses(plan: &Plan) -> Courses {
    let mut courses = Courses::new();
    for part in &plan.parts {
        courses.put_card(&part.id, card(plan, part));
    }
    for wire in &plan.wires {
        let (from, to) = (port(plan, &wire.from), port(plan, &wire.to));
        let ends = WireEnds {
            from: Port {
                part: wire.from.part.clone(),
                at: from.0,
            },
            to: Port {
                part: wire.to.part.clone(),
                at: to.0,
            },
            to_side: to.1,
            lane: from.2,
            bends: wire.bends.clone(),
        };
        courses.put_wire(&wire.id, ends);
    }
    courses.settle();
    courses
}

/// A port's place, its side, and the lane of a wire that leaves it.
fn port(plan: &Plan, end: &End) -> ((f64, f64), Side, i32) {
    let part = plan.part(&end.part).expect("a part");
    let (x, y) = part.at.expect("a place");
    let ports = plan.kind_of(part).expect("a type").ports();
    let outs: Vec<&str> = (ports.iter().filter(|p| p.side == Side::Out))
        .map(|p| &*p.name)
        .collect();
    let at = outs.iter().position(|name| *name == end.port);
    let lane = outs.len() as i32 / 2 - at.unwrap_or(0) as i32;
    let places = card::places(&ports).into_iter();
    let place = { places }
        .find(|p| p.name == end.port)
        .expect("a port of the part");
    ((x + place.x, y + place.y), place.side, lane)
}

/// Whether two rectangles have ground in common.
#[allow(dead_code)]
pub fn overlap(a: &Box, b: &Box) -> bool {
    a.x < b.x + b.w && b.x < a.x + a.w && a.y < b.y + b.h && b.y < a.y + a.h
}

/// The straight pieces of a course, as rectangles without width or height.
pub fn pieces(course: &[(f64, f64)]) -> impl Iterator<Item = Box> {
    course.windows(2).map(|p| Box {
        x: p[0].0.min(p[1].0),
        y: p[0].1.min(p[1].1),
        w: (p[0].0 - p[1].0).abs(),
        h: (p[0].1 - p[1].1).abs(),
    })
}

/// Asks an editor to tidy, and brings it what it asks for.
#[allow(dead_code)]
pub fn tidy_in(editor: &mut Editor) {
    let asked = editor.apply(Message::Tidy).into_iter();
    let wishes = { asked }.filter_map(|change| match change {
        Change::Tidy(parts, screen) => Some((parts, screen)),
        _ => None,
    });
    for (parts, screen) in wishes {
        let laid = lay_out(editor.plan(), &parts, screen);
        editor.apply(Message::Tidied(laid));
    }
}
