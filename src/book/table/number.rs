//! Numbers as people and spreadsheets write them: a point or a comma before the decimals, thousands parted, a unit behind.

use crate::quantity::Decimal;

/// Which sign stands before the decimals.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Sign {
    /// `6.5`
    Point,
    /// `6,5`
    Comma,
}

/// A number and the unit behind it, if one is there.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Amount {
    /// The number.
    pub number: Decimal,
    /// The unit as it stands there; may be empty.
    pub unit: String,
}

/// Whether a cell says that there is nothing.
pub(super) fn is_nothing(cell: &str) -> bool {
    let word = cell.trim();
    matches!(word, "" | "-" | "–" | "—" | "n/a" | "N/A" | "none" | "/")
}

/// The digits at the front of a cell with all that parts them, and what stands behind.
fn split(cell: &str) -> (&str, &str) {
    let part = |c: char| c.is_ascii_digit() || ".,'’-−+".contains(c) || is_blank(c);
    let end = cell.find(|c| !part(c)).unwrap_or(cell.len());
    let (digits, unit) = cell.split_at(end);
    (digits.trim(), unit.trim())
}

/// A blank that may part thousands.
fn is_blank(c: char) -> bool {
    matches!(c, ' ' | '\u{a0}' | '\u{202f}' | '\u{2009}')
}

/// Which sign stands before the decimals in these cells; `None` where they don't tell or contradict each other.
pub(super) fn sign_in<'c>(cells: impl Iterator<Item = &'c str>) -> Option<Sign> {
    let mut seen = [false; 2];
    for cell in cells {
        let (digits, _) = split(cell);
        if let Some(sign) = told(digits) {
            seen[sign as usize] = true;
        }
    }
    match seen {
        [true, false] => Some(Sign::Point),
        [false, true] => Some(Sign::Comma),
        _ => None,
    }
}

/// What one number tells of the sign before its decimals.
fn told(digits: &str) -> Option<Sign> {
    let (points, commas) = (digits.matches('.').count(), digits.matches(',').count());
    match (points, commas) {
        (0, 0) => None,
        (1, 0) => (!could_be_thousands(digits, '.')).then_some(Sign::Point),
        (0, 1) => (!could_be_thousands(digits, ',')).then_some(Sign::Comma),
        (0, _) => Some(Sign::Point),
        (_, 0) => Some(Sign::Comma),
        _ => {
            let comma_last = digits.rfind(',') > digits.rfind('.');
            Some(if comma_last { Sign::Comma } else { Sign::Point })
        }
    }
}

/// Whether the one `sign` in a number may part thousands: `1,000`, not `0,125` and not `1,5`.
fn could_be_thousands(digits: &str, sign: char) -> bool {
    let Some((before, after)) = digits.split_once(sign) else {
        return false;
    };
    let before = before.trim_start_matches(['-', '−', '+']);
    after.len() == 3 && (1..=3).contains(&before.len()) && !before.starts_with('0')
}

/// The number in a cell. `sign` is what the other cells tell; without it a single sign before three digits is no number,
/// since it can be read in two ways.
pub(super) fn amount(cell: &str, sign: Option<Sign>) -> Option<Amount> {
    let (digits, unit) = split(cell.trim());
    if digits.is_empty() || unit.chars().any(|c| c.is_ascii_digit()) {
        return None;
    }
    let own = match told(digits) {
        Some(own) => own,
        // Here at most one sign is left, and it may part thousands.
        None if digits.contains(['.', ',']) && sign.is_none() => return None,
        None => sign.unwrap_or(Sign::Point),
    };
    let (decimal, thousands) = match own {
        Sign::Point => ('.', ','),
        Sign::Comma => (',', '.'),
    };
    let (minus, digits) = match digits.strip_prefix(['-', '−']) {
        Some(rest) => ("-", rest.trim_start()),
        None => ("", digits.strip_prefix('+').unwrap_or(digits)),
    };
    let (whole, part) = digits.split_once(decimal).unwrap_or((digits, ""));
    let parts = |c: char| c == thousands || c == '\'' || c == '’' || is_blank(c);
    let groups: Vec<&str> = whole.split(parts).collect();
    let in_threes = groups.len() == 1
        || (1..=3).contains(&groups[0].len()) && groups[1..].iter().all(|g| g.len() == 3);
    if !in_threes {
        return None;
    }
    let whole = groups.concat();
    let whole = if whole.is_empty() && !part.is_empty() {
        "0"
    } else {
        &whole
    };
    let text = match part {
        "" => format!("{minus}{whole}"),
        part => format!("{minus}{whole}.{part}"),
    };
    let number = Decimal::parse(&text)?;
    let unit = unit.to_string();
    Some(Amount { number, unit })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn read(cell: &str, sign: Option<Sign>) -> Option<String> {
        let found = amount(cell, sign)?;
        Some(format!("{} {}", found.number, found.unit).trim().into())
    }

    #[test]
    fn numbers_are_read_as_people_write_them() {
        for (cell, said) in [
            ("6", "6"),
            ("6.5", "6.5"),
            ("6,5", "6.5"),
            ("-6,5", "-6.5"),
            ("−5", "-5"),
            ("+5", "5"),
            (".5", "0.5"),
            (",5", "0.5"),
            ("5.", "5"),
            ("6 W", "6 W"),
            ("6W", "6 W"),
            ("85 %", "85 %"),
            ("1 200", "1200"),
            ("1\u{a0}200,5", "1200.5"),
            ("1'200.5", "1200.5"),
            ("1,200.5", "1200.5"),
            ("1.200,5 Wh", "1200.5 Wh"),
            ("1,200,000", "1200000"),
            ("0,125", "0.125"),
        ] {
            assert_eq!(read(cell, None).as_deref(), Some(said), "{cell}");
        }
        assert_eq!(read("1.000", Some(Sign::Point)).as_deref(), Some("1"));
        assert_eq!(read("1,000", Some(Sign::Point)).as_deref(), Some("1000"));
        assert_eq!(read("1,000", Some(Sign::Comma)).as_deref(), Some("1"));
        assert_eq!(read("1.000", Some(Sign::Comma)).as_deref(), Some("1000"));
    }

    #[test]
    fn what_is_no_number_or_two_is_none() {
        for cell in [
            "",
            "W",
            "1,000",
            "1.280 W",
            "1e3",
            "6-8",
            "6 W / 8 W",
            "1,2,3",
            "12,34.5",
            "1.2.3",
            "--5",
            "1 2",
            "=A1",
        ] {
            assert_eq!(read(cell, None), None, "{cell}");
        }
    }

    #[test]
    fn cells_tell_which_sign_they_use() {
        let sign = |cells: &[&str]| sign_in(cells.iter().copied());
        assert_eq!(sign(&["6", "1,000"]), None);
        assert_eq!(sign(&["6", "1,000", "0.5"]), Some(Sign::Point));
        assert_eq!(sign(&["6,5", "1.000"]), Some(Sign::Comma));
        assert_eq!(sign(&["1.000.000"]), Some(Sign::Comma));
        assert_eq!(sign(&["6,5", "6.5"]), None);
    }
}
