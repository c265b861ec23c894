//! What stands below a drawing: caption, legend, the link as a code, and the sentence that every picture ends with.

use super::{Drawing, Frame, GAP, LINE, SMALL};
use crate::picture::legend::{SIGN, Sign};
use crate::picture::markup::Ink;
use crate::picture::pen::{rect, round, text};
use crate::picture::words::{lines, wide};
use crate::sheet::figure::Px;

/// What is said at the foot of every picture.
const FOOT: &str = "Duskline plans power for invented worlds. Real installations follow local codes and licensed practice.";
/// The same where there is little room.
const SHORT_FOOT: &str = "Power for an invented world, planned with Duskline.";

impl Frame<'_> {
    /// Caption, legend, code and the last sentence below `top`; gives the height of the whole.
    pub(super) fn foot(&self, ink: &mut Ink, drawing: &Drawing, top: f64) -> f64 {
        if self.is_small() {
            return self.small_foot(ink, drawing);
        }
        let unit = self.unit;
        let (mut y, left) = (top + GAP * unit, self.margin);
        let from = y;
        let mut block = Ink::default();
        for line in &self.caption {
            y += LINE * unit;
            text(&mut block, "pic-caption", (left, y - 7.0 * unit), line);
        }
        if !self.caption.is_empty() {
            y += GAP * 0.75 * unit;
        }
        if self.picture.legend && !drawing.signs.is_empty() {
            y = self.legend(&mut block, &drawing.signs, y);
        }
        if let Some((code, square)) = &self.code {
            let side = code.squares() as f64 * square;
            let at = ((left + self.inner() - side).floor(), from.ceil());
            code.draw(&mut block, at, *square);
            let below = from.ceil() + side + 18.0 * unit;
            text(&mut block, "pic-small", (at.0, below), "The plan as a link");
            y = y.max(below + 6.0 * unit);
        }
        if y > from {
            if self.picture.theme.is_clear() {
                let around = GAP / 2.0 * unit;
                let plaque = (
                    left - around,
                    from - around / 2.0,
                    self.inner() + 2.0 * around,
                    y - from + around,
                );
                rect(ink, "pic-plaque", plaque, 3.0 * unit);
            }
            ink.raw(&block.finish());
            y += GAP * unit;
        }
        let caution = &self.plan.book.book.caution;
        let said = match caution.is_empty() {
            true => FOOT.to_string(),
            false => format!("{FOOT} {caution}"),
        };
        for line in lines(&said, self.inner() / (SMALL * unit), 4).0 {
            y += SMALL * 1.4 * unit;
            text(ink, "pic-small", (left, y), &line);
        }
        y + self.margin * 0.75
    }

    fn small_foot(&self, ink: &mut Ink, drawing: &Drawing) -> f64 {
        let high = self.high.unwrap_or_default();
        if let Some((code, square)) = &self.code {
            let side = code.squares() as f64 * square;
            let at = (self.wide - self.margin - side, self.top() + 4.0);
            code.draw(ink, (at.0.floor(), at.1.ceil()), *square);
        }
        let said = format!("{} · {SHORT_FOOT}", drawing.line);
        let fits = lines(&said, self.inner() / (SMALL * self.unit), 1);
        let said = match fits {
            (lines, false) => lines.concat(),
            _ => SHORT_FOOT.to_string(),
        };
        text(ink, "pic-small", (self.margin, high - 9.0), &said);
        high
    }

    /// The signs in columns; gives where it ends.
    fn legend(&self, ink: &mut Ink, signs: &[Sign], top: f64) -> f64 {
        let unit = self.unit;
        let (sign, gap) = (SIGN.0 + 10.0, 26.0);
        let widest = signs
            .iter()
            .map(|sign| wide(&sign.says))
            .fold(0.0, f64::max);
        let column = sign + SMALL * 1.1 * widest + gap;
        let columns = ((self.left() / unit + gap) / column).floor().max(1.0) as usize;
        let rows = signs.len().div_ceil(columns);
        for (at, sign_of) in signs.iter().enumerate() {
            let (x, y) = (
                (at / rows) as f64 * column * unit,
                (at % rows) as f64 * LINE * 1.1 * unit,
            );
            let (x, y) = (self.margin + x, top + y);
            let place = format!(
                "translate({} {}) scale({})",
                Px(round(x)),
                Px(round(y)),
                Px(unit)
            );
            ink.group(&[("transform", &place), ("class", &"pic-sign")], |ink| {
                ink.raw(sign_of.markup)
            });
            let at = (x + sign * unit, y + (SIGN.1 / 2.0 + SMALL * 0.35) * unit);
            text(ink, "pic-meaning", at, &sign_of.says);
        }
        top + rows as f64 * LINE * 1.1 * unit
    }
}
