//! Where the numbers of runs stand in a storey: on their own line or close beside it, clear of parts, of names of rooms and
//! of each other.
//!
//! Pixels of the drawing. A number gives way to those of wires before it in the plan's order.

use super::parts::HungPart;
use super::places::{BOX, CELL, Point, Rect};
use super::rooms::RoomName;
use super::runs::{DrawnRun, apart};
use crate::sheet::area::meet;
use crate::sheet::figure::{Px, Shapes};

/// Half the height of a number, a digit's half width, and what is free at both its sides.
const NUMBER: (f64, f64, f64) = (7.0, 3.8, 3.0);
/// How far beside a line or mark places are tried.
const BESIDE: [f64; 3] = [7.0, 16.0, 28.0];
/// How far apart places are tried along a line.
const STEP: f64 = CELL / 8.0;

/// What numbers keep clear of.
#[derive(Clone, Debug)]
pub struct KeptClear {
    taken: Vec<Rect>,
    enlarged: f64,
}

impl KeptClear {
    /// Of parts and names of rooms, numbers and names being `enlarged` so many times, from afar.
    pub fn of(parts: &[HungPart], rooms: &[RoomName], enlarged: f64) -> KeptClear {
        let boxes = parts
            .iter()
            .map(|part| around(part.at, (BOX / 2.0, BOX / 2.0)));
        let names = rooms.iter().map(|room| room.bounds(enlarged));
        KeptClear {
            taken: boxes.chain(names).collect(),
            enlarged,
        }
    }
}

/// Adds the number of each run: on the longest straight stretch first, else beside a line or the mark where it leaves.
/// Where there is no clear place it stands on its longest stretch all the same.
pub(super) fn numbers(shapes: &mut Shapes, runs: &[DrawnRun], clear: KeptClear) {
    let KeptClear {
        mut taken,
        enlarged,
    } = clear;
    for run in runs {
        let text = run.number.to_string();
        let half = (NUMBER.1 * text.len() as f64 + NUMBER.2, NUMBER.0);
        let large = (half.0 * enlarged, half.1 * enlarged);
        let is_clear = |at: &Point| taken.iter().all(|t| !meet(*t, around(*at, large)));
        let places = places(run, large);
        let Some(at) = places.iter().find(|at| is_clear(at)).or(places.first()) else {
            continue;
        };
        taken.push(around(*at, large));
        let (x, y, w, h) = around(*at, half);
        shapes.shape(
            "rect",
            &[
                ("class", &"site-number"),
                ("x", &Px(x)),
                ("y", &Px(y)),
                ("width", &Px(w)),
                ("height", &Px(h)),
                ("rx", &3),
                ("data-wire", &run.wire),
                ("data-run", &0),
            ],
        );
        let place = [
            ("class", &"site-number" as &dyn std::fmt::Display),
            ("x", &Px(at.0)),
            ("y", &Px(at.1)),
        ];
        shapes.line(&place, &text);
    }
}

/// The places that are tried for a number of half this width and height, the best first.
fn places(run: &DrawnRun, half: (f64, f64)) -> Vec<Point> {
    let pairs = run.pieces.iter().flat_map(|piece| piece.points.windows(2));
    let mut straight: Vec<(Point, Point)> = pairs.map(|pair| (pair[0], pair[1])).collect();
    straight.sort_by(|a, b| apart(b.0, b.1).total_cmp(&apart(a.0, a.1)));
    let on: Vec<Point> = straight.iter().flat_map(|(a, b)| along(*a, *b)).collect();
    let marks = run.leaves.iter().map(|leaving| leaving.at);
    let from: Vec<Point> = on.iter().copied().chain(marks).collect();
    let beside: Vec<Point> = (BESIDE.into_iter())
        .flat_map(|away| from.iter().map(move |at| (*at, away)))
        .flat_map(|((x, y), away)| {
            let (right, down) = (half.0 + away, half.1 + away);
            [(x + right, y), (x - right, y), (x, y + down), (x, y - down)]
        })
        .collect();
    on.into_iter().chain(beside).collect()
}

/// Places along a line, from its middle outwards.
fn along(a: Point, b: Point) -> Vec<Point> {
    let steps = (apart(a, b) / 2.0 / STEP) as i32;
    let outwards = (0..=steps).flat_map(|n| if n == 0 { vec![0] } else { vec![n, -n] });
    let at = |n: i32| {
        let t = 0.5 + f64::from(n) * STEP / apart(a, b).max(STEP);
        (a.0 + (b.0 - a.0) * t, a.1 + (b.1 - a.1) * t)
    };
    outwards.map(at).collect()
}

fn around((x, y): Point, (w, h): (f64, f64)) -> Rect {
    (x - w, y - h, 2.0 * w, 2.0 * h)
}

#[cfg(test)]
mod tests {
    use super::super::parts::hung;
    use super::super::rooms::room_names;
    use super::super::runs::runs;
    use super::*;
    use crate::plan::{examples, read_plan};
    use crate::works::OnSite;

    /// The middles of the numbers that are drawn, with their texts.
    fn drawn(shapes: Shapes) -> Vec<(Point, String)> {
        let mut markup = String::new();
        crate::sheet::figure::Content::Shapes(shapes).write(&mut markup);
        let texts = markup.split("<text class=\"site-number\" x=\"").skip(1);
        let one = |text: &str| {
            let (x, rest) = text.split_once("\" y=\"").expect("a place");
            let (y, rest) = rest.split_once("\">").expect("a place");
            let (number, _) = rest.split_once('<').expect("an end");
            let at = (x.parse().expect("x"), y.parse().expect("y"));
            (at, number.to_string())
        };
        texts.map(one).collect()
    }

    #[test]
    fn numbers_of_the_station_cover_no_part_no_name_and_no_other_number() {
        let station = examples()
            .iter()
            .find(|(name, _)| *name == "Kittiwake Light");
        let plan = read_plan(station.expect("the station").1).expect("an example reads");
        let on_site = OnSite::of(&plan).expect("a site");
        let site = plan.site.as_deref().expect("a site");
        let mut all = 0;
        for enlarged in [1.0, 1.35] {
            for at in 0..site.storeys.len() as u8 {
                let (parts, rooms) = (hung(&plan, at), room_names(site, at));
                let runs = runs(&plan, &on_site, at);
                let clear = KeptClear::of(&parts, &rooms, enlarged);
                let mut shapes = Shapes::default();
                numbers(&mut shapes, &runs, clear.clone());
                let drawn = drawn(shapes);
                assert_eq!(drawn.len(), runs.len());
                all += drawn.len();
                let bounds = |(at, text): &(Point, String)| {
                    let half = NUMBER.1 * text.len() as f64 + NUMBER.2;
                    around(*at, (half * enlarged, NUMBER.0 * enlarged))
                };
                for (n, one) in drawn.iter().enumerate() {
                    let others = drawn[..n].iter().map(bounds);
                    let near = clear.taken.iter().copied().chain(others);
                    let covered = near.filter(|other| meet(*other, bounds(one))).count();
                    assert_eq!(covered, 0, "number {} of storey {at}, {enlarged}", one.1);
                }
            }
        }
        assert!(all > 2 * plan.wires.len());
    }
}
