//! What a picture's own words and grounds are drawn with. Pixels of the picture.

use super::markup::Ink;
use crate::sheet::figure::Px;

/// A rectangle: left, top, width, height.
pub(super) type Area = (f64, f64, f64, f64);

/// A rectangle with round corners.
pub(super) fn rect(ink: &mut Ink, class: &str, (x, y, wide, high): Area, round: f64) {
    ink.shapes(|shapes| {
        shapes.shape(
            "rect",
            &[
                ("class", &class),
                ("x", &Px(x)),
                ("y", &Px(y)),
                ("width", &Px(wide)),
                ("height", &Px(high)),
                ("rx", &Px(round)),
            ],
        );
    });
}

/// A line of text that begins at a place.
pub(super) fn text(ink: &mut Ink, class: &str, (x, y): (f64, f64), said: &str) {
    ink.shapes(|shapes| {
        shapes.line(
            &[
                ("class", &class),
                ("x", &Px(round(x))),
                ("y", &Px(round(y))),
            ],
            said,
        )
    });
}

/// Finer than anybody sees, and without the long tails of sums.
pub(super) fn round(x: f64) -> f64 {
    (x * 100.0).round() / 100.0
}
