//! The numbers of columns and rows along a storey, by which steps and details say where a place is.

use super::places::{CELL, Rect};
use crate::sheet::figure::{Px, Shapes};

/// How far from the edge of the drawing a number stands.
const FROM_EDGE: f64 = 12.0;

/// Adds a number over each column and beside each row of a rectangle of whole cells, counted from 1 in the north-west of the
/// site.
pub fn draw(shapes: &mut Shapes, (left, top, wide, high): Rect) {
    let cells = |from: f64, long: f64| ((from / CELL) as i64)..(((from + long) / CELL) as i64);
    let middle = |at: i64| (at as f64 + 0.5) * CELL;
    let columns = cells(left, wide).map(|at| (at, (middle(at), top + FROM_EDGE)));
    let rows = cells(top, high).map(|at| (at, (left + FROM_EDGE, middle(at))));
    for (at, (x, y)) in columns.chain(rows) {
        let place = [
            ("class", &"site-count" as &dyn std::fmt::Display),
            ("x", &Px(x)),
            ("y", &Px(y)),
        ];
        shapes.line(&place, &(at + 1).to_string());
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::sheet::figure::Content;

    #[test]
    fn every_column_and_row_of_the_rectangle_has_its_number() {
        let mut shapes = Shapes::default();
        draw(&mut shapes, (2.0 * CELL, CELL, 3.0 * CELL, 2.0 * CELL));
        let mut markup = String::new();
        Content::Shapes(shapes).write(&mut markup);
        let told: Vec<&str> = markup
            .split("<text")
            .skip(1)
            .filter_map(|text| text.split_once('>')?.1.split('<').next())
            .collect();
        assert_eq!(told, ["3", "4", "5", "2", "3"]);
    }
}
