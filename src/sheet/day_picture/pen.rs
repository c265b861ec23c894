//! What the picture of a day is drawn with: words in one or two lines, paths, bars, each with its class.

use super::{LEFT, LINE, NAME, SIGNS, SMALL};
use crate::sheet::figure::{Px, Shapes};

pub(super) fn number(x: f64) -> f64 {
    (x * 10.0).round() / 10.0
}

/// A name on one line or two, cut where that is not enough.
pub(super) fn in_two(name: &str) -> Vec<String> {
    let fits = |text: &str| text.chars().count() <= SIGNS;
    let cut = |text: &str| match fits(text) {
        true => text.to_string(),
        false => text.chars().take(SIGNS - 1).chain(['…']).collect(),
    };
    if fits(name) {
        return vec![name.to_string()];
    }
    let mut breaks = name.match_indices(' ').map(|(at, _)| at);
    match breaks.rfind(|at| fits(&name[..*at])) {
        Some(at) => vec![name[..at].to_string(), cut(&name[at + 1..])],
        None => vec![cut(name)],
    }
}

/// A lane's name, and what is said of it, in the middle of its height.
pub(super) fn label(shapes: &mut Shapes, top: f64, high: f64, name: &[String], said: &str) {
    let lines = name.len() + usize::from(!said.is_empty());
    let mut y = top + (high - LINE * lines as f64) / 2.0 + 0.8 * LINE;
    for line in name {
        text(shapes, "name", (0.0, number(y)), line);
        y += LINE;
    }
    if !said.is_empty() {
        text(shapes, "said", (0.0, number(y)), said);
    }
}

pub(super) fn in_lane(shapes: &mut Shapes, top: f64, draw: impl FnOnce(&mut Shapes)) {
    let place = format!("translate({LEFT} {top})");
    shapes.group(&[("transform", &place)], draw);
}

pub(super) fn text(shapes: &mut Shapes, class: &str, (x, y): (f64, f64), said: &str) {
    let size = match class {
        "name" | "heading" => NAME,
        _ => SMALL,
    };
    shapes.line(
        &[
            ("class", &class),
            ("x", &Px(number(x))),
            ("y", &Px(y)),
            ("font-size", &size),
        ],
        said,
    );
}

pub(super) fn path(shapes: &mut Shapes, class: &str, d: &str) {
    if !d.is_empty() {
        shapes.shape("path", &[("class", &class), ("d", &d)]);
    }
}

pub(super) fn rect(shapes: &mut Shapes, class: &str, x: f64, wide: f64, high: f64) {
    shapes.shape(
        "rect",
        &[
            ("class", &class),
            ("x", &Px(number(x))),
            ("y", &0),
            ("width", &Px(number(wide))),
            ("height", &Px(high)),
        ],
    );
}
