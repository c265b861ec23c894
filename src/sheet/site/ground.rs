//! A storey as a building drawing: floors, roofs, walls, doors, hatches, stairs and furniture, after the ideas of drawings
//! on paper: a wall is thick, a door a leaf with the arc of its swing, a hatch a crossed square, stairs are treads.

use super::places::{CELL, Point, Rect, cell_rect, side_line};
use crate::sheet::figure::{Px, Shapes};
use crate::site::{Edge, Fitting, Ground, Site, Surface};
use std::fmt::{Display, Write};

/// How far the leaf of a door stands from the ends of its cell's side.
const JAMB: f64 = 10.0;
/// How far hatches, stairs and furniture stand from the edges of their cell.
const INSET: f64 = 9.0;
/// How far apart the lines of a roof's hatching are.
const HATCHING: f64 = 16.0;
/// How many treads stairs are drawn with.
const TREADS: u32 = 6;

/// What a storey's air lies over.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Underlay {
    /// The storey below, which is drawn for itself.
    Storey,
    /// Nothing.
    None,
}

/// A storey. Ground is left blank over nothing, and covers what is below it over a storey.
pub fn storey(site: &Site, at: u8, over: Underlay) -> Shapes {
    let mut shapes = Shapes::default();
    let of = |ground: Ground| move |x: u8, y: u8| site.cell(at, x, y).ground == ground;
    let mut area = |class: &'static str, path: String| {
        if !path.is_empty() {
            shapes.shape("path", &[("class", &class), ("d", &path)]);
        }
    };
    if over == Underlay::Storey {
        area("site-ground", cells(site, of(Ground::Ground)));
    }
    area("site-floor", cells(site, of(Ground::Floor)));
    area("site-roof", cells(site, of(Ground::Roof)));
    area("site-hatching", hatching(site, of(Ground::Roof)));
    area("site-rim", rims(site, at));
    fittings(site, at, &mut shapes);
    edges(site, at, &mut shapes);
    shapes
}

/// The cells that are so, as one path: those beside each other in a row as one rectangle.
fn cells(site: &Site, is: impl Fn(u8, u8) -> bool) -> String {
    let mut path = String::new();
    for y in 0..site.depth {
        let mut x = 0;
        while x < site.width {
            let begins = x;
            while x < site.width && is(x, y) {
                x += 1;
            }
            if x > begins {
                let (left, top, ..) = cell_rect(begins, y);
                let wide = f64::from(x - begins) * CELL;
                write(
                    &mut path,
                    &[&"M", &left, &" ", &top, &"h", &wide, &"v", &CELL],
                );
                write(&mut path, &[&"h", &-wide, &"z"]);
            }
            x += 1;
        }
    }
    path
}

/// Slanting lines over the cells that are so; those of cells beside each other meet.
fn hatching(site: &Site, is: impl Fn(u8, u8) -> bool) -> String {
    let mut path = String::new();
    for (x, y) in squares(site).filter(|(x, y)| is(*x, *y)) {
        let (left, top, ..) = cell_rect(x, y);
        let mut from = HATCHING;
        while from < 2.0 * CELL {
            // From the left or lower side up to the upper or right one.
            let (a, b) = match from <= CELL {
                true => ((0.0, from), (from, 0.0)),
                false => ((from - CELL, CELL), (CELL, from - CELL)),
            };
            line(&mut path, (left + a.0, top + a.1), (left + b.0, top + b.1));
            from += HATCHING;
        }
    }
    path
}

/// Thin lines where ground ends in air without a wall.
fn rims(site: &Site, at: u8) -> String {
    let mut path = String::new();
    for (x, y) in squares(site) {
        for side in Surface::WALLS {
            let beside = site.beside(x, y, side);
            let is_rim = site.cell(at, x, y).bears()
                && beside.is_none_or(|(x, y)| !site.cell(at, x, y).bears())
                && site.edge(at, x, y, side) == Edge::Open;
            if is_rim {
                let (a, b) = side_line(x, y, side);
                line(&mut path, a, b);
            }
        }
    }
    path
}

fn fittings(site: &Site, at: u8, shapes: &mut Shapes) {
    for (x, y) in squares(site) {
        let (left, top, ..) = cell_rect(x, y);
        let long = CELL - 2.0 * INSET;
        let inner: Rect = (left + INSET, top + INSET, long, long);
        match site.cell(at, x, y).fitting {
            Fitting::Furniture => shapes.shape(
                "rect",
                &[
                    ("class", &"site-furniture"),
                    ("x", &Px(inner.0)),
                    ("y", &Px(inner.1)),
                    ("width", &Px(long)),
                    ("height", &Px(long)),
                    ("rx", &4),
                ],
            ),
            Fitting::Hatch => {
                let d = crossed(inner);
                shapes.shape("path", &[("class", &"site-hatch"), ("d", &d)]);
            }
            Fitting::Stairs => {
                let d = stairs(inner, false);
                shapes.shape("path", &[("class", &"site-stairs"), ("d", &d)]);
            }
            Fitting::None => {}
        }
        let above = at
            .checked_add(1)
            .map_or(Fitting::None, |s| site.cell(s, x, y).fitting);
        if above == Fitting::Stairs {
            let d = stairs(inner, true);
            shapes.shape("path", &[("class", &"site-stairs"), ("d", &d)]);
        } else if above == Fitting::Hatch {
            let d = crossed(inner);
            shapes.shape("path", &[("class", &"site-hatch above"), ("d", &d)]);
        }
    }
}

fn crossed((x, y, w, h): Rect) -> String {
    let (right, below) = (x + w, y + h);
    let mut d = String::new();
    write(
        &mut d,
        &[&"M", &x, &" ", &y, &"h", &w, &"v", &h, &"h", &-w, &"z"],
    );
    line(&mut d, (x, y), (right, below));
    line(&mut d, (right, y), (x, below));
    d
}

/// Treads with an arrow up or down them.
fn stairs((x, y, w, h): Rect, up: bool) -> String {
    let mut d = String::new();
    write(
        &mut d,
        &[&"M", &x, &" ", &y, &"h", &w, &"v", &h, &"h", &-w, &"z"],
    );
    for tread in 1..TREADS {
        let at = y + h * f64::from(tread) / f64::from(TREADS);
        line(&mut d, (x, at), (x + w, at));
    }
    let (middle, tail, tip) = (x + w / 2.0, y + h - 4.0, y + 4.0);
    let (from, to, back) = match up {
        true => (tail, tip, 6.0),
        false => (tip, tail, -6.0),
    };
    line(&mut d, (middle, from), (middle, to));
    write(
        &mut d,
        &[&"M", &(middle - 5.0), &" ", &(to + back), &"L", &middle],
    );
    write(
        &mut d,
        &[&" ", &to, &"L", &(middle + 5.0), &" ", &(to + back)],
    );
    d
}

/// Walls as one path, doors as another with their swings.
fn edges(site: &Site, at: u8, shapes: &mut Shapes) {
    let (mut walls, mut doors, mut swings) = (String::new(), String::new(), String::new());
    for (x, y, side) in sides(site) {
        let (a, b) = side_line(x, y, side);
        match site.edge(at, x, y, side) {
            Edge::Open => {}
            Edge::Wall => line(&mut walls, a, b),
            Edge::Door => {
                let way = if side.beside().is_some_and(|by| by.0 == 0) {
                    (1.0, 0.0)
                } else {
                    (0.0, 1.0)
                };
                let from = (a.0 + way.0 * JAMB, a.1 + way.1 * JAMB);
                let to = (b.0 - way.0 * JAMB, b.1 - way.1 * JAMB);
                line(&mut walls, a, from);
                line(&mut walls, to, b);
                let long = CELL - 2.0 * JAMB;
                // It opens into the cell, or out of it where the way of sides leads.
                let inward = side.beside().map_or(1.0, |(dx, dy)| -f64::from(dx + dy));
                let leaf = (
                    from.0 + way.1 * long * inward,
                    from.1 + way.0 * long * inward,
                );
                line(&mut doors, from, leaf);
                let sweep = i32::from((way.0 > 0.0) != (inward > 0.0));
                write(
                    &mut swings,
                    &[&"M", &leaf.0, &" ", &leaf.1, &"A", &long, &" "],
                );
                write(&mut swings, &[&long, &" 0 0 ", &f64::from(sweep), &" "]);
                write(&mut swings, &[&to.0, &" ", &to.1]);
            }
        }
    }
    for (class, d) in [
        ("site-swing", swings),
        ("site-wall", walls),
        ("site-door", doors),
    ] {
        if !d.is_empty() {
            shapes.shape("path", &[("class", &class), ("d", &d)]);
        }
    }
}

fn squares(site: &Site) -> impl Iterator<Item = (u8, u8)> + '_ {
    (0..site.depth).flat_map(|y| (0..site.width).map(move |x| (x, y)))
}

/// Every side of every cell once.
fn sides(site: &Site) -> impl Iterator<Item = (u8, u8, Surface)> + '_ {
    squares(site).flat_map(|(x, y)| {
        let east = (x + 1 == site.width).then_some((x, y, Surface::East));
        let south = (y + 1 == site.depth).then_some((x, y, Surface::South));
        let own = [(x, y, Surface::North), (x, y, Surface::West)];
        own.into_iter().chain(east).chain(south)
    })
}

/// A piece of path data.
trait Written {
    fn written(&self, to: &mut String);
}

impl Written for &str {
    fn written(&self, to: &mut String) {
        to.push_str(self);
    }
}

impl Written for f64 {
    fn written(&self, to: &mut String) {
        put(to, Px(*self));
    }
}

fn put(to: &mut String, what: impl Display) {
    // Writing to a string does not fail.
    let _ = write!(to, "{what}");
}

fn write(to: &mut String, all: &[&dyn Written]) {
    all.iter().for_each(|one| one.written(to));
}

fn line(to: &mut String, a: Point, b: Point) {
    write(to, &[&"M", &a.0, &" ", &a.1, &"L", &b.0, &" ", &b.1]);
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::sheet::figure::Content;
    use crate::site::{READY, ready_site};

    fn drawn(site: &Site, at: u8) -> String {
        let mut text = String::new();
        Content::Shapes(storey(site, at, Underlay::None)).write(&mut text);
        text
    }

    #[test]
    fn the_hut_is_drawn_with_its_walls_door_and_furniture() {
        let hut = ready_site("Hut").expect("a ready site");
        let ground = drawn(&hut, 0);
        for class in [
            "site-floor",
            "site-wall",
            "site-door",
            "site-swing",
            "site-furniture",
        ] {
            assert!(ground.contains(&format!("class=\"{class}\"")), "{class}");
        }
        assert!(!ground.contains("site-hatching"));
        assert!(ground.contains("site-hatch above"), "the hatch is over it");
        let roof = drawn(&hut, 1);
        assert!(roof.contains("site-hatching") && roof.contains("\"site-hatch\""));
        assert!(!roof.contains("site-wall"));
    }

    #[test]
    fn cells_beside_each_other_are_one_rectangle() {
        let hut = ready_site("Hut").expect("a ready site");
        let floor = cells(&hut, |x, y| hut.cell(0, x, y).ground == Ground::Floor);
        assert_eq!(floor.matches('M').count(), 3, "{floor}");
        assert!(floor.starts_with("M128 128h256v64h-256z"), "{floor}");
    }

    #[test]
    fn every_storey_of_every_ready_site_is_drawn() {
        for (name, _) in READY {
            let site = ready_site(name).expect(name);
            for at in 0..site.storeys.len() as u8 {
                assert!(!drawn(&site, at).contains("NaN"), "{name}, storey {at}");
            }
        }
    }
}
