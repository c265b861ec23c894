//! The names of parts in a storey, each at a place where it covers no part, no number and no other name.
//!
//! On the page a name shows where one points; a picture has all of them at once. Pixels of the drawing.

use super::{HungPart, Storey};
use crate::editor::view::{meet, within};
use crate::picture::markup::{Ink, attribute, leaves};
use crate::picture::pen::text;
use crate::picture::words::wide;
use crate::plan::Plan;
use crate::sheet::site::places::{BOX, Rect};

/// The size of a name.
const SIZE: f64 = 11.0;

/// The markup of a storey without the names that stand in it.
pub(super) fn without(markup: &str) -> String {
    let mut kept = String::with_capacity(markup.len());
    let mut rest = markup;
    while let Some((before, after)) = rest.split_once("<text class=\"site-name\"") {
        kept.push_str(before);
        rest = after.split_once("</text>").map_or("", |(_, after)| after);
    }
    kept + rest
}

/// Writes every name that has a clear place; gives how many have none.
pub(super) fn put(ink: &mut Ink, plan: &Plan, storey: &Storey, markup: &str) -> usize {
    let mut taken: Vec<Rect> = numbers(markup);
    let hung = &storey.hung;
    let of = |part: &HungPart| (part.at.0 - BOX / 2.0, part.at.1 - BOX / 2.0, BOX, BOX);
    taken.extend(hung.iter().map(of));
    taken.extend(storey.rooms.iter().map(|room| room.bounds(1.0)));
    let mut without = 0;
    for part in hung {
        let name = plan.called(&part.id);
        let (wide, (x, y)) = (wide(&name) * SIZE, part.at);
        let free = BOX / 2.0 + 3.0;
        let places = [
            (x - wide / 2.0, y + free),
            (x - wide / 2.0, y - free - SIZE),
            (x + free, y - SIZE / 2.0),
            (x - free - wide, y - SIZE / 2.0),
            (x - BOX / 2.0, y + free),
            (x + BOX / 2.0 - wide, y + free),
            (x - BOX / 2.0, y - free - SIZE),
            (x + BOX / 2.0 - wide, y - free - SIZE),
        ];
        let mut places = places.into_iter().map(|(x, y)| (x, y, wide, SIZE));
        let Some(place) = places.find(|at| is_free(*at, &taken, storey.area)) else {
            without += 1;
            continue;
        };
        text(ink, "pic-part", (place.0, place.1 + SIZE * 0.85), &name);
        taken.push(place);
    }
    without
}

fn is_free(at: Rect, taken: &[Rect], area: Rect) -> bool {
    within(at, area) && !taken.iter().any(|other| meet(at, *other))
}

/// The rectangles of the numbers of runs.
fn numbers(markup: &str) -> Vec<Rect> {
    let found = leaves(markup).into_iter().filter_map(|leaf| {
        let is_number = attribute(&leaf.markup, "class") == Some("site-number");
        let number = |name: &str| attribute(&leaf.markup, name)?.parse::<f64>().ok();
        let is_number = is_number && leaf.markup.starts_with("<rect");
        is_number.then(|| {
            Some((
                number("x")?,
                number("y")?,
                number("width")?,
                number("height")?,
            ))
        })?
    });
    found.collect()
}
