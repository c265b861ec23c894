//! The names of rooms in a storey, each in the room's cell that is nearest to its middle.

use super::places::{CELL, Point, Rect};
use super::said;
use crate::sheet::figure::{Px, Shapes};
use crate::site::{Reach, Site};

/// The height of a name, and about the width of a letter.
const LETTER: (f64, f64) = (12.0, 6.5);

/// The name of a room in the drawing.
#[derive(Clone, Debug, PartialEq)]
pub struct RoomName {
    /// The middle of its base line.
    pub at: Point,
    /// The name, and who comes there where that is not only the builders.
    pub text: String,
}

impl RoomName {
    /// About the room that it takes, enlarged so many times.
    pub fn bounds(&self, enlarged: f64) -> Rect {
        let wide = LETTER.1 * self.text.chars().count() as f64 * enlarged;
        let high = LETTER.0 * enlarged;
        (self.at.0 - wide / 2.0, self.at.1 - high * 0.8, wide, high)
    }
}

/// The names of a storey's rooms, in the site's order.
pub fn room_names(site: &Site, storey: u8) -> Vec<RoomName> {
    let named = (0..).zip(&site.rooms).filter_map(|(at, room)| {
        let who = match room.who {
            Reach::Builders => "",
            Reach::Friends => " · friends",
            Reach::Anyone => " · anyone",
        };
        Some(RoomName {
            at: middle(site, storey, at)?,
            text: format!("{}{who}", said::room(site, at)),
        })
    });
    named.collect()
}

/// The middle of a room's cell that is nearest to the room's middle: a room may be bent. None where the room has no cell in
/// the storey.
fn middle(site: &Site, storey: u8, room: u8) -> Option<Point> {
    let cells = site.cells();
    let cells = cells.filter(|(s, x, y)| *s == storey && site.cell(*s, *x, *y).room == Some(room));
    let places: Vec<Point> = cells
        .map(|(_, x, y)| (f64::from(x), f64::from(y)))
        .collect();
    let count = places.len() as f64;
    let x = places.iter().map(|p| p.0).sum::<f64>() / count;
    let y = places.iter().map(|p| p.1).sum::<f64>() / count;
    let far = |p: &&Point| (p.0 - x).hypot(p.1 - y);
    let nearest = places.iter().min_by(|a, b| far(a).total_cmp(&far(b)))?;
    Some(((x + 0.5) * CELL, (nearest.1 + 0.5) * CELL))
}

/// Adds names.
pub fn draw(shapes: &mut Shapes, names: &[RoomName]) {
    for name in names {
        let place = [
            ("class", &"site-room" as &dyn std::fmt::Display),
            ("x", &Px(name.at.0)),
            ("y", &Px(name.at.1)),
        ];
        shapes.line(&place, &name.text);
    }
}
