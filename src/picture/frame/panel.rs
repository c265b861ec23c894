//! The panel of a drawing: squared paper or a plaque, and the drawing in its middle.

use super::{Drawing, Ground};
use crate::picture::markup::Ink;
use crate::picture::pen::{Area, rect, round};
use crate::sheet::figure::Px;

/// Puts the drawing into its panel.
pub(super) fn place(ink: &mut Ink, drawing: &Drawing, panel: Area, is_clear: bool) {
    let (x, y, wide, high) = drawing.area;
    let scale = drawing.scale;
    let across = scale * drawing.stretch;
    let left = panel.0 + (panel.2 - wide * across) / 2.0 - x * across;
    let top = panel.1 + (panel.3 - high * scale) / 2.0 - y * scale;
    if is_clear && drawing.ground == Ground::Plain {
        let (x, y, wide, high) = panel;
        rect(
            ink,
            "pic-plaque",
            (x - 12.0, y - 4.0, wide + 24.0, high + 8.0),
            3.0,
        );
    }
    if !is_clear && drawing.ground == Ground::Squared {
        squares(ink, (left, top), scale, panel);
        rect(ink, "pic-edge", panel, 0.0);
    }
    let at = format!(
        "translate({} {}) scale({} {})",
        Px(round(left)),
        Px(round(top)),
        Px(across),
        Px(scale)
    );
    ink.group(&[("transform", &at)], |ink| ink.raw(&drawing.markup));
}

/// Squared paper over a panel: the module's lines where they are far enough apart, and every fifth heavier.
fn squares(ink: &mut Ink, (left, top): (f64, f64), scale: f64, panel: Area) {
    let module = crate::sheet::card::MODULE * scale;
    for (class, apart) in [("pic-fine", module), ("pic-heavy", 5.0 * module)] {
        if apart < 5.0 {
            continue;
        }
        let mut d = String::new();
        let along = |origin: f64, from: f64, long: f64| {
            let first = ((from - origin) / apart).ceil() as i64;
            let last = ((from + long - origin) / apart).floor() as i64;
            (first..=last).map(move |n| round(origin + n as f64 * apart))
        };
        for x in along(left, panel.0, panel.2) {
            d += &format!("M{} {}v{}", Px(x), Px(panel.1), Px(panel.3));
        }
        for y in along(top, panel.1, panel.3) {
            d += &format!("M{} {}h{}", Px(panel.0), Px(y), Px(panel.2));
        }
        ink.shapes(|shapes| shapes.shape("path", &[("class", &class), ("d", &d)]));
    }
}
