//! The drawings of part types, by the name that a book gives in `symbol`.
//!
//! Each is a few strokes as SVG path data in a box of 40 by 40, to be drawn 2 wide with round ends. They are our own, after
//! the ideas of the graphical symbols of IEC 60617: a lamp is a circle with a cross, a coil a rectangle, a contact a blade
//! that stands off its fixed side. A contact is drawn as it stands now. A name that has no drawing is its initials in a frame.
//! It knows no colours and no page.

use super::initials;

/// One stroke of a drawing.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Stroke {
    /// SVG path data.
    pub d: String,
    /// Whether it is an area to fill rather than a line to draw.
    pub filled: bool,
}

/// Name, lines and filled areas of every drawing that is no contact.
const PLAIN: &[(&str, &str, &str)] = &[
    (
        "sun-panel",
        "M5 35L12 19H37L30 35ZM8.5 27H33.5M20.5 19L13.5 35M29 19L22 35M9 3V5M9 13V15M3 9H5M13 9H15M4.8 4.8L6 6M12 12L13.2 13.2M4.8 13.2L6 12M12 6L13.2 4.8",
        "M12 9A3 3 0 1 1 6 9A3 3 0 1 1 12 9Z",
    ),
    (
        "wind-turbine",
        "M20 17V38M14 38H26M20 12Q24 7 20 2Q17 7 20 12ZM22 15.5Q24 21 31 21Q29 14.5 22 15.5ZM18 15.5Q11 14.5 9 21Q16 21 18 15.5Z",
        "M22.5 14.5A2.5 2.5 0 1 1 17.5 14.5A2.5 2.5 0 1 1 22.5 14.5Z",
    ),
    (
        "generator",
        "M34 20A14 14 0 1 1 6 20A14 14 0 1 1 34 20ZM25.5 15.5C23.5 12 15 12 15 20C15 28 25 28 25.5 21.5H21",
        "",
    ),
    (
        "battery",
        "M2 20H12M12 8V32M24 8V32M30 20H38M18 20H24",
        "M16 14H19V26H16ZM28 14H31V26H28Z",
    ),
    (
        "lamp",
        "M34 20A14 14 0 1 1 6 20A14 14 0 1 1 34 20ZM10.1 10.1L29.9 29.9M29.9 10.1L10.1 29.9",
        "",
    ),
    (
        "floodlight",
        "M22 20A9 9 0 1 1 4 20A9 9 0 1 1 22 20ZM6.6 13.6L19.4 26.4M19.4 13.6L6.6 26.4M25 15L36 9M26 20H38M25 25L36 31",
        "",
    ),
    (
        "beacon",
        "M15 38L17 20H23L25 38M12 38H28M28 12A8 8 0 1 1 12 12A8 8 0 1 1 28 12ZM14.4 6.4L25.6 17.6M25.6 6.4L14.4 17.6M9 8L3 5M9 16L3 19M31 8L37 5M31 16L37 19",
        "",
    ),
    ("heater", "M4 12H36V28H4ZM12 12V28M20 12V28M28 12V28", ""),
    (
        "fan",
        "M34 20A14 14 0 1 1 6 20A14 14 0 1 1 34 20ZM20 20C14 18 14 11 18 10C22 9 23 14 20 20C22 14 29 14 30 18C31 22 26 23 20 20C26 22 26 29 22 30C18 31 17 26 20 20C18 26 11 26 10 22C9 18 14 17 20 20",
        "",
    ),
    (
        "pump",
        "M34 20A14 14 0 1 1 6 20A14 14 0 1 1 34 20ZM15 9L30 20L15 31",
        "",
    ),
    (
        "desalinator",
        "M20 4C26 12 28 15 28 19A8 8 0 0 1 12 19C12 15 14 12 20 4ZM4 32C8 28 12 28 16 32C20 36 24 36 28 32C31 29 34 29 36 31M16 20A4 4 0 0 0 20 23.5",
        "",
    ),
    (
        "freezer",
        "M9 4H31V36H9ZM20 9V29M11.5 14L28.5 24M28.5 14L11.5 24M17.5 10.5L20 13L22.5 10.5M17.5 27.5L20 25L22.5 27.5M26 32H29",
        "",
    ),
    (
        "radio",
        "M20 14V38M13 38L20 20L27 38M26 7A9 9 0 0 1 26 18M14 7A9 9 0 0 0 14 18M31 3A15 15 0 0 1 31 22M9 3A15 15 0 0 0 9 22",
        "M22 12.5A2 2 0 1 1 18 12.5A2 2 0 1 1 22 12.5Z",
    ),
    (
        "siren",
        "M5 16H12L26 7V33L12 24H5ZM30 14A8 8 0 0 1 30 26M33 9A14 14 0 0 1 33 31",
        "",
    ),
    (
        "motor",
        "M34 20A14 14 0 1 1 6 20A14 14 0 1 1 34 20ZM14 26V14L20 22L26 14V26",
        "",
    ),
    (
        "lock",
        "M8 18H32V36H8ZM13 18V12A7 7 0 0 1 27 12V18M20 28V32",
        "M22.5 26A2.5 2.5 0 1 1 17.5 26A2.5 2.5 0 1 1 22.5 26Z",
    ),
    (
        "bench",
        "M4 18H36V23H4ZM8 23V36M32 23V36M8 30H32M9 18V11H14V18M18 18V11H23V18M5 14H18",
        "",
    ),
    (
        "grow-light",
        "M10 10H30L26 4H14ZM14 13L12 17M20 13V17M26 13L28 17M20 38V27M20 32C12 32 10 28 10 23C16 23 20 26 20 32ZM20 30C28 30 30 26 30 21C24 21 20 24 20 30Z",
        "",
    ),
    ("generic-load", "M2 20H9M9 12H31V28H9ZM31 20H38", ""),
    (
        "tap",
        "M2 24H38M20 24V11H32M29 8L32 11L29 14",
        "M22.5 24A2.5 2.5 0 1 1 17.5 24A2.5 2.5 0 1 1 22.5 24Z",
    ),
    (
        "divider",
        "M2 20H14M14 20L26 7H38M14 20H38M14 20L26 33H38",
        "M17 20A3 3 0 1 1 11 20A3 3 0 1 1 17 20Z",
    ),
    (
        "busbar",
        "M2 8H18M2 20H18M2 32H18M22 20H38",
        "M18 3H22V37H18Z",
    ),
    (
        "meter",
        "M34 20A14 14 0 1 1 6 20A14 14 0 1 1 34 20ZM11.5 22A9 9 0 0 1 28.5 22M20 27L26 15.5M14 30H26",
        "M21.8 27A1.8 1.8 0 1 1 18.2 27A1.8 1.8 0 1 1 21.8 27Z",
    ),
];

/// Name, lines and filled areas of what moves the blade of each contact; the blade itself is above it.
const CONTACTS: &[(&str, &str, &str)] = &[
    ("switch", "M20 17V31M13 31H27", ""),
    ("button", "M20 17V29M13 34V29H27V34", ""),
    ("relay", "M20 17V23M11 23H29V36H11ZM11 36L20 23", ""),
    (
        "and",
        "M9 20.5H31V38H9ZM25 35.5L17 27C15.4 25 17 23.3 18.7 23.3C20.6 23.3 21.4 25.2 19.8 26.7L17.4 28.8C15 31.2 16.4 35.5 19.5 35.5C22 35.5 24 33.5 24.6 30.8",
        "",
    ),
    (
        "or",
        "M9 20.5H31V38H9ZM12.5 25L19 27.8L12.5 30.6M12.5 34.4L19 31.6M23.5 26.5L26.5 24V35",
        "",
    ),
    (
        "xor",
        "M9 20.5H31V38H9ZM12.5 27.5H19M12.5 31.5H19M23.5 26.5L26.5 24V35",
        "",
    ),
    (
        "latch",
        "M6 20.5H34V38H6ZM20 20.5V38M16.5 25.5C16 23 10 23 10 26.3C10 29.5 16.7 28.9 16.7 32.2C16.7 35.8 10 35.8 9.6 33M24 35.5V23.8H27.2C31 23.8 31 29.6 27.2 29.6H24M27.2 29.6L30.6 35.5",
        "",
    ),
    (
        "impulse",
        "M9 20.5H31V38H9ZM11.5 34H15V25H20V34H25V25H28.5",
        "",
    ),
    (
        "counter",
        "M9 20.5H31V38H9ZM14 24V34.5M18 24V34.5M22 24V34.5M26 24V34.5M11.5 33L28.5 25.5",
        "",
    ),
    ("on-delay", "M9 20.5H31V38H9ZM9 20.5L31 38M31 20.5L9 38", ""),
    ("off-delay", "M20 17V20.5", "M9 20.5H31V38H9Z"),
    ("pulse", "M9 20.5H31V38H9ZM11.5 34H16V25H24V34H28.5", ""),
    (
        "clock",
        "M29 29A9 9 0 1 1 11 29A9 9 0 1 1 29 29ZM20 23.5V29L24 31.5",
        "",
    ),
    (
        "twilight",
        "M5 36H35M12 36A8 8 0 0 1 28 36M20 21V24.5M8.7 25.7L11.2 28.2M31.3 25.7L28.8 28.2",
        "M15 36A5 5 0 0 1 25 36Z",
    ),
    (
        "home",
        "M8 30L20 20L32 30M12 27.5V38H28V27.5M18 38V32H22V38",
        "",
    ),
    (
        "detector",
        "M6 29.5Q20 16 34 29.5Q20 43 6 29.5Z",
        "M23.5 29.5A3.5 3.5 0 1 1 16.5 29.5A3.5 3.5 0 1 1 23.5 29.5Z",
    ),
    (
        "charge",
        "M8 22H29V37H8ZM29 26.5H32.5V32.5H29",
        "M11 25H18V34H11Z",
    ),
];

/// The names of all drawings, break contacts among them, in the order of the tables.
pub fn names() -> Vec<String> {
    let plain = PLAIN.iter().map(|(name, ..)| name.to_string());
    let contacts = CONTACTS.iter().map(|(name, ..)| name);
    let both = contacts.flat_map(|name| [name.to_string(), format!("{name}-break")]);
    plain.chain(["changeover".into()]).chain(both).collect()
}

/// What stands before letters of one's own in the name of a symbol: `initials-DL`.
const INITIALS: &str = "initials-";

/// The symbol of the initials of a part type that is called so.
pub fn initials_of(label: &str) -> String {
    format!("{INITIALS}{}", initials::of(label))
}

/// The drawing called `symbol`. `conducts` says how a contact stands now; without it a contact is drawn at rest.
///
/// A name that ends in `-break` is the drawing without that ending as a break contact: closed at rest, with a hook.
pub fn paths(symbol: &str, conducts: Option<bool>) -> Vec<Stroke> {
    let find = |table: &'static [(&str, &str, &str)], name: &str| {
        table
            .iter()
            .find(|(n, ..)| *n == name)
            .map(|(_, lines, areas)| (*lines, *areas))
    };
    if symbol == "changeover" {
        return changeover(conducts.unwrap_or(true));
    }
    if let Some((lines, areas)) = find(PLAIN, symbol) {
        return strokes(vec![lines.into()], areas);
    }
    let (name, breaks) = match symbol.strip_suffix("-break") {
        Some(name) => (name, true),
        None => (symbol, false),
    };
    match find(CONTACTS, name) {
        Some((lines, areas)) => {
            let blade = blade(breaks, conducts.unwrap_or(breaks));
            strokes(vec![blade.into(), lines.into()], areas)
        }
        None => {
            let letters = match symbol.strip_prefix(INITIALS) {
                Some(letters) => letters.to_ascii_uppercase(),
                None => initials::of(symbol),
            };
            strokes(vec![initials::path(&letters)], "")
        }
    }
}

/// A contact from left to right at the height of 13.
fn blade(breaks: bool, closed: bool) -> &'static str {
    match (breaks, closed) {
        (false, false) => "M2 13H11L28 4M29 13H38",
        (false, true) => "M2 13H38",
        // The hook stands on the side from which the blade is pulled away.
        (true, true) => "M2 13H11L31 8M29 13H38M29 13V5",
        (true, false) => "M2 13H11L28 19M29 13H38M29 13V5",
    }
}

/// Two ways in, one out: on main above, or on the backup below.
fn changeover(main: bool) -> Vec<Stroke> {
    let blade = if main {
        "M28 20L13 10.5"
    } else {
        "M28 20L13 29.5"
    };
    let ends = "M14 9A2 2 0 1 1 10 9A2 2 0 1 1 14 9ZM14 31A2 2 0 1 1 10 31A2 2 0 1 1 14 31Z";
    strokes(vec!["M2 9H10M2 31H10M28 20H38".into(), blade.into()], ends)
}

fn strokes(lines: Vec<String>, areas: &str) -> Vec<Stroke> {
    let line = |d| Stroke { d, filled: false };
    let mut all: Vec<Stroke> = lines.into_iter().map(line).collect();
    if !areas.is_empty() {
        all.push(Stroke {
            d: areas.into(),
            filled: true,
        });
    }
    all
}

/// What is drawn beside a load's symbol while it runs, as path data to be stroked: rays of a lamp, warmth of a heater, sound
/// of a siren. A load with a drawing that has nothing of its own gets short rays.
pub fn running(symbol: &str) -> &'static str {
    match symbol {
        "lamp" => {
            "M20 0V3.5M20 36.5V40M0 20H3.5M36.5 20H40M6 6L8 8M34 6L32 8M6 34L8 32M34 34L32 32"
        }
        "floodlight" => "M27 12L36 3M28 20H40M27 28L36 37",
        "beacon" => "M10 12H2M30 12H38M20 3V0",
        "heater" => "M12 1Q14 3 12 5T12 9M20 1Q22 3 20 5T20 9M28 1Q30 3 28 5T28 9",
        "fan" => "M3 14A18 18 0 0 1 14 3M37 26A18 18 0 0 1 26 37",
        "pump" => "M0 20H5M35 20H40M37.5 17.5L40 20L37.5 22.5",
        "desalinator" => "M33 5Q36 9 33 11Q30 9 33 5ZM7 5Q10 9 7 11Q4 9 7 5Z",
        "freezer" => "M34 8L37 5M34 32L37 35M6 8L3 5M6 32L3 35",
        "radio" => "M35 0A20 20 0 0 1 35 25M5 0A20 20 0 0 0 5 25",
        "siren" => "M36 4A20 20 0 0 1 36 36",
        "motor" => "M6 38H34M30 35L34 38L30 41M6 38L10 35M6 38L10 41",
        "lock" => "M20 1V4M9 4L11.5 7M31 4L28.5 7",
        "bench" => "M27 12L32 7M29 14.5H36M26 9V3",
        "grow-light" => "M17 12.5V16M23 12.5V16",
        _ => "M11 7V4M20 7V3M29 7V4",
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::book;

    #[test]
    fn every_symbol_of_the_built_in_books_has_a_drawing_of_its_own() {
        let mut seen: Vec<(String, Vec<Stroke>)> = Vec::new();
        for t in book::built_in_types() {
            let drawn = paths(&t.symbol, None);
            assert!(names().contains(&t.symbol), "{}", t.symbol);
            for (name, other) in &seen {
                assert!(
                    *name == t.symbol || *other != drawn,
                    "{} is drawn as {name}",
                    t.symbol
                );
            }
            seen.push((t.symbol.clone(), drawn));
        }
    }

    #[test]
    fn what_has_no_drawing_is_drawn_as_its_initials() {
        let own = initials_of("Deck lamp");
        assert_eq!(own, "initials-DL");
        assert_eq!(paths(&own, None), paths("deck-lamp", None));
        assert_ne!(paths("deck-lamp", None), paths("deck-light-2", None));
        assert_eq!(paths("", None).len(), 1);
    }

    #[test]
    fn a_contact_is_drawn_as_it_stands() {
        for (name, ..) in CONTACTS {
            let (open, closed) = (paths(name, Some(false)), paths(name, Some(true)));
            assert_ne!(open, closed, "{name}");
            assert_eq!(open, paths(name, None), "a make contact rests open");
            let breaks = format!("{name}-break");
            assert_eq!(
                paths(&breaks, None),
                paths(&breaks, Some(true)),
                "a break contact rests closed"
            );
            assert_ne!(
                paths(&breaks, None),
                closed,
                "{name}: the hook tells them apart"
            );
        }
        assert_eq!(paths("lamp", Some(true)), paths("lamp", None));
        assert_ne!(
            paths("changeover", Some(true)),
            paths("changeover", Some(false))
        );
    }

    #[test]
    fn every_drawing_stays_in_its_box() {
        for (name, lines, areas) in PLAIN.iter().chain(CONTACTS) {
            for d in [lines, areas] {
                let numbers = d.split(|c: char| !(c.is_ascii_digit() || c == '.' || c == '-'));
                for n in numbers.filter(|n| !n.is_empty()) {
                    let n: f64 = n.parse().unwrap();
                    assert!((0.0..=44.0).contains(&n), "{name}: {n}");
                }
            }
        }
    }
}
