//! The link to a plan as a QR code (ISO/IEC 18004), made by the crate qrcode.
//!
//! Always dark squares on a light ground with the four free squares around it that the standard asks for, whatever the
//! theme: readers look for that. A square is a whole number of pixels, so that no reader meets a blurred edge.

use super::markup::Ink;
use crate::plan::{Plan, link};
use crate::sheet::figure::Px;
use qrcode::types::Color;
use qrcode::{EcLevel, QrCode};
use std::fmt::Write;

/// The most bytes that a code holds: version 40 at the lowest level of correction (ISO/IEC 18004, table 7).
pub(super) const MOST_BYTES: usize = 2953;
/// What is free on each side.
const FREE: usize = 4;
/// Up to so many bytes there is room for the middle level of correction in a code that is still small.
const SHORT: usize = 300;

/// A QR code.
#[derive(Clone, Debug)]
pub(super) struct Qr {
    dark: Vec<bool>,
    /// How many squares it has to a side, without the free ones.
    side: usize,
}

/// The link to a plan at the address of a page. What stands behind a `#` of the address is not taken.
pub(super) fn link_of(plan: &Plan, base: &str) -> String {
    let base = base.split('#').next().unwrap_or("");
    format!("{base}#{}", link::to_fragment(plan))
}

impl Qr {
    /// The code of a link; none where it is longer than a code holds.
    pub fn of(link: &str) -> Option<Qr> {
        let level = match link.len() {
            ..=SHORT => EcLevel::M,
            _ => EcLevel::L,
        };
        let code = QrCode::with_error_correction_level(link, level).ok()?;
        let side = code.width();
        let dark = code.to_colors().into_iter().map(|c| c == Color::Dark);
        Some(Qr {
            dark: dark.collect(),
            side,
        })
    }

    /// How many squares it has to a side, with the free ones.
    pub fn squares(&self) -> usize {
        self.side + 2 * FREE
    }

    /// Draws it with its top left corner at a place, each square so large.
    pub fn draw(&self, ink: &mut Ink, (x, y): (f64, f64), square: f64) {
        let all = self.squares() as f64 * square;
        let at = format!("translate({} {}) scale({})", Px(x), Px(y), Px(square));
        let d = self.rows();
        ink.shapes(|shapes| {
            shapes.shape(
                "rect",
                &[
                    ("class", &"pic-code-ground"),
                    ("x", &Px(x)),
                    ("y", &Px(y)),
                    ("width", &Px(all)),
                    ("height", &Px(all)),
                ],
            );
            shapes.shape(
                "path",
                &[("class", &"pic-code"), ("transform", &at), ("d", &d)],
            );
        });
    }

    /// The dark squares as lines along the middles of rows, in squares: a step aside, and as many to the right as are dark.
    fn rows(&self) -> String {
        let mut d = String::new();
        for (row, squares) in self.dark.chunks(self.side.max(1)).enumerate() {
            let (mut at, mut drawn) = (0, None);
            while at < squares.len() {
                let long = squares[at..].iter().take_while(|dark| **dark).count();
                if long > 0 {
                    // Writing to a string does not fail.
                    let _ = match drawn {
                        None => write!(d, "M{} {}.5", at + FREE, row + FREE),
                        Some(end) => write!(d, "m{} 0", at - end),
                    };
                    let _ = write!(d, "h{long}");
                    drawn = Some(at + long);
                }
                at += long.max(1);
            }
        }
        d
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_code_is_as_large_as_the_standard_says_and_a_link_too_long_has_none() {
        // Version 40 has 177 squares to a side and holds 2,953 bytes at the lowest level: ISO/IEC 18004, tables 1 and 7.
        let most = Qr::of(&"a".repeat(MOST_BYTES)).expect("it fits");
        assert_eq!(most.squares(), 177 + 8);
        assert!(Qr::of(&"a".repeat(MOST_BYTES + 1)).is_none());
        let least = Qr::of("https://a.example/").expect("it fits");
        assert_eq!(least.dark.len(), least.side * least.side);
        // The frames of the corners: seven squares dark, one free, then what is between them.
        let rows = least.rows();
        assert!(rows.starts_with("M4 4.5h7m"), "{rows}");
        assert!(rows.contains("M4 5.5h1m5 0h1"), "{rows}");
    }

    #[test]
    fn the_fragment_of_a_base_is_not_taken() {
        let plan = Plan::empty();
        let link = link_of(&plan, "https://a.example/x/#old");
        assert!(link.starts_with("https://a.example/x/#d1."), "{link}");
        assert_eq!(link::from_link(&link).expect("a plan").plan, plan);
    }
}
