//! Values of the page's style sheets, worked out for one theme and one scale: variables, the two colours of `light-dark()`,
//! and lengths that are reckoned.
//!
//! Lengths are pixels. What can't be worked out is no value.

use super::css::at_commas;
use crate::sheet::figure::Px;
use std::collections::BTreeMap;

/// Which of two colours a theme takes.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Shade {
    /// The first of `light-dark()`.
    Light,
    /// The second.
    Dark,
}

/// How deep variables may name variables.
const DEEP: usize = 8;

/// A value with nothing left to be worked out; none where that can't be.
pub(super) fn resolved(
    value: &str,
    variables: &BTreeMap<String, String>,
    shade: Shade,
) -> Option<String> {
    let mut value = value.to_string();
    for _ in 0..DEEP {
        let Some(at) = value.find("var(") else { break };
        let (name, after) = value[at + 4..].split_once(')')?;
        let held = variables.get(name.trim())?;
        value = format!("{}{held}{after}", &value[..at]);
    }
    while let Some(at) = value.find("light-dark(") {
        let inner = &value[at + 11..];
        let end = bracket(inner)?;
        let two = at_commas(&inner[..end]);
        let [light, dark] = two.as_slice() else {
            return None;
        };
        let taken = match shade {
            Shade::Light => light.trim(),
            Shade::Dark => dark.trim(),
        };
        value = format!("{}{taken}{}", &value[..at], &inner[end + 1..]);
    }
    let is_reckoned = ["calc(", "min(", "max(", "clamp("];
    if is_reckoned.iter().any(|name| value.starts_with(name)) {
        let (number, unit) = reckoned(&value)?;
        let number = Px((number * 1000.0).round() / 1000.0);
        value = format!("{number}{}", if unit { "px" } else { "" });
    }
    (!value.contains("var(") && !value.is_empty()).then_some(value)
}

/// Where the bracket that is open closes.
fn bracket(text: &str) -> Option<usize> {
    let mut open = 1;
    for (at, sign) in text.char_indices() {
        open += match sign {
            '(' => 1,
            ')' => -1,
            _ => 0,
        };
        if open == 0 {
            return Some(at);
        }
    }
    None
}

/// A number, and whether it is a length.
type Amount = (f64, bool);

fn reckoned(text: &str) -> Option<Amount> {
    let mut reader = Reckoner { rest: text };
    let amount = reader.sum()?;
    reader.rest.trim().is_empty().then_some(amount)
}

/// Reads an amount from the left.
struct Reckoner<'a> {
    rest: &'a str,
}

impl Reckoner<'_> {
    fn takes(&mut self, sign: &str) -> bool {
        let rest = self.rest.trim_start();
        match rest.strip_prefix(sign) {
            Some(after) => {
                self.rest = after;
                true
            }
            None => false,
        }
    }

    fn sum(&mut self) -> Option<Amount> {
        let (mut all, mut unit) = self.product()?;
        loop {
            let by = match (self.takes("+"), self.takes("-")) {
                (true, _) => 1.0,
                (_, true) => -1.0,
                _ => return Some((all, unit)),
            };
            let (one, is_long) = self.product()?;
            all += by * one;
            unit |= is_long;
        }
    }

    fn product(&mut self) -> Option<Amount> {
        let (mut all, mut unit) = self.one()?;
        loop {
            if self.takes("*") {
                let (one, is_long) = self.one()?;
                all *= one;
                unit |= is_long;
            } else if self.takes("/") {
                all /= self.one().filter(|(by, _)| *by != 0.0)?.0;
            } else {
                return Some((all, unit));
            }
        }
    }

    fn one(&mut self) -> Option<Amount> {
        for (name, of) in [
            ("calc(", Of::First),
            ("min(", Of::Least),
            ("max(", Of::Most),
            ("clamp(", Of::Middle),
            ("(", Of::First),
        ] {
            if self.takes(name) {
                return self.list(of);
            }
        }
        let rest = self.rest.trim_start();
        let is_part = |c: char| c.is_ascii_digit() || c == '.' || c == '-';
        let end = rest.find(|c| !is_part(c)).unwrap_or(rest.len());
        let number: f64 = rest[..end].parse().ok()?;
        self.rest = &rest[end..];
        let unit = self.rest.starts_with("px");
        if unit {
            self.rest = &self.rest[2..];
        }
        Some((number, unit))
    }

    fn list(&mut self, of: Of) -> Option<Amount> {
        let mut all = vec![self.sum()?];
        while self.takes(",") {
            all.push(self.sum()?);
        }
        if !self.takes(")") {
            return None;
        }
        let unit = all.iter().any(|(_, unit)| *unit);
        let mut numbers = all.iter().map(|(number, _)| *number);
        let number = match (of, all.as_slice()) {
            (Of::First, [(one, _)]) => *one,
            (Of::Least, _) => numbers.fold(f64::MAX, f64::min),
            (Of::Most, _) => numbers.fold(f64::MIN, f64::max),
            (Of::Middle, [_, (wish, _), _]) => wish.max(numbers.next()?).min(numbers.nth(1)?),
            _ => return None,
        };
        Some((number, unit))
    }
}

/// What a function takes of its amounts.
#[derive(Clone, Copy)]
enum Of {
    First,
    Least,
    Most,
    Middle,
}

#[cfg(test)]
mod tests {
    use super::*;

    fn value(text: &str, shade: Shade) -> Option<String> {
        let variables = [
            ("--ink", "light-dark(#111111, rgb(1 2 3 / 5%))"),
            ("--far", "1.5"),
            ("--edge", "var(--ink)"),
            ("--round", "var(--round)"),
        ];
        let variables = variables.map(|(name, value)| (name.into(), value.into()));
        resolved(text, &variables.into(), shade)
    }

    #[test]
    fn a_value_is_worked_out() {
        for (text, light) in [
            ("none", "none"),
            ("var(--ink)", "#111111"),
            ("0 0 2px var(--edge)", "0 0 2px #111111"),
            ("calc(1px * var(--far))", "1.5px"),
            ("calc(1px + 1px * var(--far))", "2.5px"),
            ("calc(12px / clamp(0.5, 1, 1))", "12px"),
            ("calc(1 / clamp(0.55, 0.1, 1))", "1.818"),
            ("max(14px, calc(12px / 1))", "14px"),
            ("min(3px - 1px, (4px))", "2px"),
        ] {
            assert_eq!(value(text, Shade::Light).as_deref(), Some(light), "{text}");
        }
        let dark = value("var(--edge)", Shade::Dark);
        assert_eq!(dark.as_deref(), Some("rgb(1 2 3 / 5%)"));
    }

    #[test]
    fn what_can_not_be_worked_out_is_no_value() {
        for text in [
            "var(--none)",
            "var(--round)",
            "calc(1px",
            "calc(1 / 0)",
            "clamp(1, 2)",
            "light-dark(a)",
            "",
            "calc()",
        ] {
            assert_eq!(value(text, Shade::Light), None, "{text}");
        }
    }
}
