//! The legend: the signs that occur in a picture, each drawn once more with a few plain words.

use super::markup::has;
use crate::quantity::Unit;

/// The box in which a sign is drawn.
pub(super) const SIGN: (f64, f64) = (44.0, 20.0);

/// A sign with its meaning.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Sign {
    /// What is drawn, in a box of [`SIGN`].
    pub markup: &'static str,
    /// What it means.
    pub says: String,
}

/// The classes by which a sign is known, or others after a `|`; what is drawn, and what it means.
type Known = (&'static str, &'static str, &'static str);

/// What stands on a board. `{unit}` is the unit of powers.
const BOARD: &[Known] = &[
    (
        "wire carries",
        "<path class=\"wire carries weight-2\" d=\"M0 10H44\"/><path class=\"chevron\" d=\"M19 6L24 10L19 14\"/>",
        "power flows; the heavier, the more",
    ),
    (
        "wire offers",
        "<path class=\"wire offers\" d=\"M0 10H44\"/><path class=\"chevron open\" d=\"M24 6L32 10L24 14L24 6\"/>",
        "power is offered, none is taken",
    ),
    (
        "wire dead",
        "<path class=\"wire dead\" d=\"M0 10H44\"/>",
        "nothing is offered",
    ),
    (
        "wire loop",
        "<path class=\"wire loop\" d=\"M0 10H44\"/><path class=\"loop-mark\" d=\"M22 2l7 12h-14z\"/>",
        "a closed loop, which carries nothing",
    ),
    (
        "symbol works !of-lamp !of-floodlight !of-beacon !of-grow-light",
        "<g class=\"card\"><g class=\"symbol works of-heater\"><rect class=\"symbol-ground\" x=\"12\" y=\"0\" width=\"20\" height=\"20\" rx=\"2\"/></g></g>",
        "runs",
    ),
    (
        "symbol works of-lamp|symbol works of-floodlight|symbol works of-beacon|symbol works of-grow-light",
        "<g class=\"card\"><g class=\"symbol works of-lamp\"><rect class=\"symbol-ground\" x=\"12\" y=\"0\" width=\"20\" height=\"20\" rx=\"2\"/></g></g>",
        "gives light",
    ),
    (
        "card short !wrong",
        "<g class=\"card short\"><rect class=\"ground\" x=\"4\" y=\"2\" width=\"36\" height=\"16\" rx=\"3\"/></g>",
        "short: it is offered less than it draws",
    ),
    (
        "card wrong",
        "<g class=\"card wrong\"><rect class=\"ground\" x=\"4\" y=\"2\" width=\"36\" height=\"16\" rx=\"3\"/></g>",
        "something is wrong here",
    ),
    (
        "gauge level",
        "<rect class=\"gauge\" x=\"0\" y=\"7\" width=\"44\" height=\"6\"/><rect class=\"gauge level\" x=\"0\" y=\"7\" width=\"26\" height=\"6\"/><path class=\"gauge tick\" d=\"M6 6v8M14 6v4\"/>",
        "level; output off at the long tick, on again at the short",
    ),
    (
        "port",
        "<path class=\"port wired\" d=\"M10 5H5V15H10Z\"/><path class=\"port wired\" d=\"M19 5L25 10L19 15Z\"/><path class=\"port wired\" d=\"M34 7A5 5 0 0 0 44 7Z\"/>",
        "input, output, signal; filled: wired",
    ),
];

/// What stands in a day chart; the marks of lanes are explained in their headings.
const DAY: &[Known] = &[
    (
        "band-day",
        "<rect class=\"band-day\" x=\"0\" y=\"2\" width=\"44\" height=\"16\"/>",
        "the sun is up",
    ),
    (
        "band-dusk",
        "<rect class=\"band-dusk\" x=\"0\" y=\"2\" width=\"44\" height=\"16\"/>",
        "dusk or dawn",
    ),
    (
        "band-night",
        "<rect class=\"band-night\" x=\"0\" y=\"2\" width=\"44\" height=\"16\"/>",
        "night",
    ),
    (
        "sun",
        "<path class=\"sun\" d=\"M0 18Q22 -10 44 18z\"/>",
        "how high the sun stands",
    ),
    (
        "dark",
        "<g class=\"day-picture\"><rect class=\"dark\" x=\"0\" y=\"2\" width=\"44\" height=\"16\"/></g>",
        "in the lanes: the sun is down",
    ),
];

/// What stands in a site.
const SITE: &[Known] = &[
    (
        "site-wall",
        "<path class=\"site-wall\" d=\"M3 10H41\"/>",
        "wall",
    ),
    (
        "site-door",
        "<path class=\"site-swing\" d=\"M38 17A16 16 0 0 0 22 1\"/><path class=\"site-door\" d=\"M22 17V1\"/>",
        "door with its swing",
    ),
    (
        "site-stairs",
        "<path class=\"site-stairs\" d=\"M12 1h20v18h-20zM12 5.5H32M12 10H32M12 14.5H32\"/>",
        "stairs",
    ),
    (
        "site-hatch",
        "<path class=\"site-hatch\" d=\"M13 1h18v18h-18zM13 1L31 19M31 1L13 19\"/>",
        "hatch; dashed: above",
    ),
    (
        "site-furniture",
        "<rect class=\"site-furniture\" x=\"12\" y=\"1\" width=\"20\" height=\"18\" rx=\"4\"/>",
        "furniture",
    ),
    (
        "site-roof",
        "<rect class=\"site-roof\" x=\"0\" y=\"1\" width=\"44\" height=\"18\"/><path class=\"site-hatching\" d=\"M0 16L15 1M4 19L22 1M18 19L36 1M32 19L44 7\"/>",
        "roof",
    ),
    (
        "site-line",
        "<path class=\"site-line\" d=\"M0 10H44\"/>",
        "a wire’s run, with its number",
    ),
    (
        "site-line exposed",
        "<path class=\"site-line exposed\" d=\"M0 10H44\"/>",
        "outsiders see or touch it",
    ),
    (
        "site-leaves",
        "<path class=\"site-leaves\" d=\"M14 5l5 9h-10zM30 15l5 -9h-10z\"/>",
        "up, down to another storey",
    ),
    (
        "site-part ceiling",
        "<g class=\"site-part ceiling\"><rect class=\"site-box\" x=\"12\" y=\"0\" width=\"20\" height=\"20\" rx=\"2\"/></g>",
        "hangs under the ceiling",
    ),
    (
        "site-part runs !of-lamp !of-floodlight !of-beacon !of-grow-light",
        "<g class=\"site-part runs\"><rect class=\"site-box\" x=\"12\" y=\"0\" width=\"20\" height=\"20\" rx=\"2\"/></g>",
        "runs",
    ),
    (
        "site-part runs of-lamp|site-part runs of-floodlight|site-part runs of-beacon|site-part runs of-grow-light",
        "<g class=\"site-part runs of-lamp\"><rect class=\"site-box\" x=\"12\" y=\"0\" width=\"20\" height=\"20\" rx=\"2\"/></g>",
        "gives light",
    ),
    (
        "site-part short",
        "<g class=\"site-part short\"><rect class=\"site-box\" x=\"12\" y=\"0\" width=\"20\" height=\"20\" rx=\"2\"/></g>",
        "short of power",
    ),
];

/// The signs that occur in markup.
pub(super) fn signs(markup: &str, unit: &Unit) -> Vec<Sign> {
    let all = BOARD.iter().chain(DAY).chain(SITE);
    let found = all.filter(|(known, ..)| known.split('|').any(|classes| has(markup, classes)));
    let mut signs: Vec<Sign> = found
        .map(|(_, markup, says)| Sign {
            markup,
            says: says.to_string(),
        })
        .collect();
    if has(markup, "wire-label") {
        let sign = &unit.sign;
        let (sample, says) = match markup.contains(">#") {
            true => (
                "<g class=\"wire-label\"><text x=\"22\" y=\"10\">#1: 2 / 5</text></g>",
                format!("number of the wire: taken / offered, in {sign}"),
            ),
            false => (
                "<g class=\"wire-label\"><text x=\"22\" y=\"10\">2 / 5</text></g>",
                format!("taken / offered, in {sign}"),
            ),
        };
        let sign = Sign {
            markup: sample,
            says,
        };
        // After the wires.
        let wires = signs.iter().take_while(|s| s.markup.contains("\"wire"));
        signs.insert(wires.count(), sign);
    }
    signs
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_gives_light_is_told_apart_from_what_only_runs() {
        for light in crate::book::LIGHTS {
            for (known, does) in [(BOARD, "symbol works"), (SITE, "site-part runs")] {
                let own = format!("{does} of-{light}");
                let has = |(class, ..): &Known| class.split('|').any(|one| one == own);
                assert!(known.iter().any(has), "{own}");
                let but = format!("{does} !");
                let runs = known.iter().find(|(class, ..)| class.starts_with(&but));
                let (runs, ..) = runs.expect("what only runs has a sign");
                let left_out = format!("!of-{light}");
                assert!(runs.split(' ').any(|one| one == left_out), "{left_out}");
            }
        }
    }

    #[test]
    fn only_signs_that_occur_are_explained() {
        let unit = Unit {
            sign: "u".into(),
            step: 1.0,
        };
        let markup = "<path class=\"wire dead \"/><path class=\"port wired\"/>";
        let said: Vec<String> = signs(markup, &unit).into_iter().map(|s| s.says).collect();
        assert_eq!(
            said,
            ["nothing is offered", "input, output, signal; filled: wired"]
        );
        let markup =
            "<path class=\"wire offers \"/><g class=\"wire-label\"><text>#2: 0 / 5</text></g>";
        let said: Vec<String> = signs(markup, &unit).into_iter().map(|s| s.says).collect();
        assert_eq!(said[1], "number of the wire: taken / offered, in u");
        assert_eq!(signs("", &unit), []);
    }

    #[test]
    fn a_sign_has_the_classes_by_which_it_is_known() {
        for (classes, markup, says) in BOARD.iter().chain(DAY).chain(SITE) {
            let first = classes.split('|').next().expect("one");
            assert!(has(markup, first), "{classes}");
            assert!(!says.ends_with('.') && !says.is_empty(), "{says}");
        }
    }
}
