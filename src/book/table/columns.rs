//! The columns of a table of part types: their headings in words, what else people call them, and the unit that a heading
//! may name.

/// What stands in a column's cells.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Holds {
    /// Any text.
    Text,
    /// One of a few words.
    Word,
    /// A power in the book's unit.
    Power,
    /// Unit-hours.
    Energy,
    /// A share in per cent.
    Share,
    /// A whole number.
    Whole,
    /// Metres.
    Metres,
    /// Milliseconds.
    Ms,
    /// Settings, materials, or fields that this program does not know.
    List,
}

/// One column.
#[derive(Debug, PartialEq)]
pub(super) struct Column {
    /// The name of what it holds, in a book's file.
    pub key: &'static str,
    /// Its heading.
    pub heading: &'static str,
    /// What it holds.
    pub holds: Holds,
    /// What else people call it, folded.
    also: &'static [&'static str],
}

const fn column(
    key: &'static str,
    heading: &'static str,
    holds: Holds,
    also: &'static [&'static str],
) -> Column {
    Column {
        key,
        heading,
        holds,
        also,
    }
}

/// Every column, in the order in which they are written. `power` is only read: what a source gives, a load draws, a
/// battery gives and a coil takes.
pub(super) const COLUMNS: &[Column] = &[
    column(
        "type",
        "type",
        Holds::Text,
        &["id", "key", "code", "part type"],
    ),
    column(
        "label",
        "label",
        Holds::Text,
        &[
            "name",
            "part",
            "item",
            "device",
            "title",
            "called",
            "appliance",
        ],
    ),
    column(
        "group",
        "group",
        Holds::Text,
        &["category", "section", "shelf"],
    ),
    column(
        "behaviour",
        "behaviour",
        Holds::Word,
        &[
            "behavior",
            "kind",
            "class",
            "what it is",
            "what it does",
            "does",
            "sort",
        ],
    ),
    column(
        "function",
        "function",
        Holds::Word,
        &["contact function", "follows"],
    ),
    column("profile", "profile", Holds::Word, &["driven by"]),
    column(
        "peak",
        "peak",
        Holds::Power,
        &[
            "gives",
            "peak power",
            "peak output",
            "output",
            "max power",
            "pmax",
            "wp",
        ],
    ),
    column(
        "draw",
        "draw",
        Holds::Power,
        &[
            "draws",
            "uses",
            "consumption",
            "power draw",
            "consumes",
            "load",
        ],
    ),
    column(
        "power",
        "power",
        Holds::Power,
        &["rating", "rated power", "rated", "wattage"],
    ),
    column(
        "capacity",
        "capacity",
        Holds::Energy,
        &["holds", "stores", "storage", "energy"],
    ),
    column(
        "max_in",
        "takes at most",
        Holds::Power,
        &["max in", "max charge", "charge power", "charging", "takes"],
    ),
    column(
        "max_out",
        "gives at most",
        Holds::Power,
        &["max out", "max discharge", "discharge power", "discharging"],
    ),
    column(
        "efficiency",
        "efficiency",
        Holds::Share,
        &["charge efficiency", "stores of what it takes", "round trip"],
    ),
    column(
        "cut_out",
        "output off at",
        Holds::Share,
        &["cut out", "cut off", "off at", "floor", "disconnect"],
    ),
    column(
        "cut_in",
        "output on again at",
        Holds::Share,
        &["cut in", "on again at", "on at", "reconnect"],
    ),
    column(
        "short",
        "when offered too little",
        Holds::Word,
        &["short", "too little"],
    ),
    column("ways", "ways", Holds::Whole, &["way", "number of ways"]),
    column(
        "coil",
        "a live signal takes",
        Holds::Power,
        &["coil", "coil power", "signal takes"],
    ),
    column(
        "set",
        "settings",
        Holds::List,
        &["set", "setting", "defaults"],
    ),
    column(
        "cost",
        "cost",
        Holds::List,
        &[
            "costs",
            "materials",
            "material",
            "built of",
            "needs",
            "recipe",
        ],
    ),
    column("stage", "stage", Holds::Whole, &["tier", "level"]),
    column(
        "mount",
        "mount",
        Holds::Text,
        &["mounting", "mounted", "put up", "where"],
    ),
    column(
        "max_run",
        "longest wire",
        Holds::Metres,
        &["max run", "max wire", "wire length", "longest run"],
    ),
    column(
        "says",
        "says",
        Holds::Text,
        &["description", "in short", "summary"],
    ),
    column(
        "note",
        "note",
        Holds::Text,
        &[
            "notes",
            "remark",
            "remarks",
            "comment",
            "comments",
            "how to use",
        ],
    ),
    column(
        "source",
        "source",
        Holds::Text,
        &[
            "sources",
            "data sheet",
            "datasheet",
            "reference",
            "link",
            "url",
        ],
    ),
    column(
        "symbol",
        "symbol",
        Holds::Text,
        &["icon", "drawing", "picture"],
    ),
    column("step", "step", Holds::Power, &["step of power"]),
    column("lag_ms", "lag", Holds::Ms, &["lag ms", "contact lag"]),
    column("extra", "other fields", Holds::List, &[]),
];

/// The column called `key`.
pub(super) fn of_key(key: &str) -> Option<&'static Column> {
    COLUMNS.iter().find(|c| c.key == key)
}

/// A heading that was understood.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Heading {
    /// Its column.
    pub column: &'static Column,
    /// The unit that it names.
    pub unit: Option<String>,
}

/// What people say of a number that is no unit.
const NO_UNITS: &[&str] = &[
    "max", "min", "typ", "avg", "average", "peak", "rated", "nominal", "each", "optional", "approx",
];

/// Words for units, and the sign of each.
const UNITS: &[(&str, &str)] = &[
    ("watt", "W"),
    ("watts", "W"),
    ("w", "W"),
    ("wp", "W"),
    ("kilowatt", "kW"),
    ("kilowatts", "kW"),
    ("kw", "kW"),
    ("watt hours", "W·h"),
    ("watthours", "W·h"),
    ("watt hour", "W·h"),
    ("wh", "W·h"),
    ("kilowatt hours", "kW·h"),
    ("kwh", "kW·h"),
    ("per cent", "%"),
    ("percent", "%"),
    ("%", "%"),
    ("per mille", "‰"),
    ("‰", "‰"),
    ("metres", "m"),
    ("meters", "m"),
    ("metre", "m"),
    ("m", "m"),
    ("milliseconds", "ms"),
    ("ms", "ms"),
];

/// A text in small letters, its words parted by single blanks, without signs at its end.
pub(super) fn folded(text: &str) -> String {
    let plain = text.to_lowercase().replace(['_', '-', '\u{a0}'], " ");
    let words: Vec<&str> = plain.split_whitespace().collect();
    words
        .join(" ")
        .trim_end_matches([':', '.', '*', ','])
        .into()
}

/// The sign of a unit as somebody writes it.
pub(super) fn unit_sign(text: &str) -> String {
    let plain = folded(text);
    let known = UNITS.iter().find(|(word, _)| *word == plain);
    known.map_or(text.trim(), |(_, sign)| sign).into()
}

/// What a heading stands for, if it can be understood.
pub(super) fn heading(text: &str) -> Option<Heading> {
    if let Some((words, unit)) = bracketed(text) {
        let column = named(&folded(words))?;
        let is_unit = !NO_UNITS.contains(&folded(unit).as_str());
        let unit = is_unit.then(|| unit_sign(unit));
        return Some(Heading { column, unit });
    }
    let all = folded(text);
    if let Some(column) = named(&all) {
        return Some(Heading { column, unit: None });
    }
    // A unit alone: `watts`, `Wh`.
    if let Some((_, sign)) = UNITS.iter().find(|(word, _)| *word == all) {
        let key = match *sign {
            "W" | "kW" => "power",
            "W·h" | "kW·h" => "capacity",
            _ => return None,
        };
        let (column, unit) = (of_key(key)?, Some(sign.to_string()));
        return Some(Heading { column, unit });
    }
    // Words and a unit after them: `draw W`, `draw, W`, `draw in watts`.
    let (words, unit) = text.trim().rsplit_once([' ', ',', '/', '_'])?;
    let words = folded(words.trim_end_matches([',', ' ', '/']));
    let column = named(words.strip_suffix(" in").unwrap_or(&words))?;
    let known = UNITS.iter().any(|(word, _)| *word == folded(unit));
    known.then(|| Heading {
        column,
        unit: Some(unit_sign(unit)),
    })
}

/// The words before a bracket at the end, and what is in it.
fn bracketed(text: &str) -> Option<(&str, &str)> {
    let text = text.trim();
    let (open, inner) = match text.strip_suffix(')') {
        Some(rest) => ('(', rest),
        None => ('[', text.strip_suffix(']')?),
    };
    let at = inner.find(open)?;
    Some((&inner[..at], &inner[at + 1..]))
}

/// The column of this name, folded.
fn named(words: &str) -> Option<&'static Column> {
    let is = |c: &&Column| {
        c.heading == words || c.also.contains(&words) || c.key.replace('_', " ") == words
    };
    COLUMNS.iter().find(is)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn no_two_columns_share_a_name() {
        let mut seen: Vec<String> = Vec::new();
        for column in COLUMNS {
            let key = column.key.replace('_', " ");
            let also = column.also.iter().map(|a| a.to_string());
            let mut names: Vec<String> = also.chain([key, column.heading.into()]).collect();
            names.sort();
            names.dedup();
            for name in names {
                assert_eq!(folded(&name), name);
                assert!(!seen.contains(&name), "{name}");
                seen.push(name);
            }
        }
    }

    #[test]
    fn headings_are_understood_as_people_write_them() {
        let said = |text: &str| {
            heading(text).map(|h| format!("{} {}", h.column.key, h.unit.unwrap_or_default()))
        };
        for (text, key) in [
            ("draw (W)", "draw W"),
            ("  Draw [W] ", "draw W"),
            ("DRAW", "draw "),
            ("Draw, W", "draw W"),
            ("draw in watts", "draw W"),
            ("peak_W", "peak W"),
            ("Watts", "power W"),
            ("Wh", "capacity W·h"),
            ("capacity (kWh)", "capacity kW·h"),
            ("Capacity (u·h)", "capacity u·h"),
            ("takes at most (u)", "max_in u"),
            ("max_in", "max_in "),
            ("Efficiency %", "efficiency %"),
            ("output off at (‰)", "cut_out ‰"),
            ("draw (max)", "draw "),
            ("Longest wire (m)", "max_run m"),
            ("Kind:", "behaviour "),
            ("Name", "label "),
        ] {
            assert_eq!(said(text).as_deref(), Some(key), "{text}");
        }
        for text in ["", "colour", "price (€)", "m", "draw price"] {
            assert_eq!(said(text), None, "{text}");
        }
    }
}
