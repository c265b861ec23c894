//! The picture of how well a world explains its readings: a strip for each, with what was read, the stretch that this
//! allows, and what the world gives.
//!
//! Every stretch is drawn as wide as every other, so that steps, minutes and per cent can be looked at one below the
//! other. Across, a strip is [`Strip::WIDE`] units. Power is not computed here: what the world gives comes with it.

use super::words::{self, Shares};
use crate::fit::{Fit, Reading, Readings};

/// A reading's strip, in units across.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Strip {
    /// From where to where the reading allows the world's value.
    pub allowed: (f64, f64),
    /// Where what was read is.
    pub read: f64,
    /// Where what the world gives is; kept on the strip.
    pub gives: f64,
    /// Whether that is farther off than the strip reaches.
    pub is_beyond: bool,
}

impl Strip {
    /// How wide a strip is.
    pub const WIDE: f64 = 120.0;
    /// Where the stretch begins and ends.
    const STRETCH: (f64, f64) = (40.0, 80.0);
    /// How near to the ends a mark may come.
    const EDGE: f64 = 6.0;

    fn new((low, high): (f64, f64), read: f64, gives: f64) -> Strip {
        let (from, to) = Strip::STRETCH;
        let long = if high > low { high - low } else { 1.0 };
        let at = |v: f64| from + (v - low) / long * (to - from);
        let (place, ends) = (at(gives), (Strip::EDGE, Strip::WIDE - Strip::EDGE));
        Strip {
            allowed: Strip::STRETCH,
            read: tenth(at(read)),
            gives: tenth(place.clamp(ends.0, ends.1)),
            is_beyond: !(ends.0..=ends.1).contains(&place),
        }
    }
}

fn tenth(x: f64) -> f64 {
    libm::round(x * 10.0) / 10.0
}

/// A reading beside what the world gives for it.
#[derive(Clone, Debug, PartialEq)]
pub struct ReadingStrip {
    /// What the reading is called.
    pub name: String,
    /// What was read.
    pub what: String,
    /// What it says.
    pub says: String,
    /// What the world gives.
    pub gives: String,
    /// How far off it is, with its unit; or that it is explained, or not settled.
    pub off: String,
    /// Whether the world explains it, as far as is known.
    pub is_explained: bool,
    /// Whether it is one of those that contradict.
    pub contradicts: bool,
    /// The picture; none where nothing is known.
    pub strip: Option<Strip>,
}

impl ReadingStrip {
    /// The strip in a sentence.
    pub fn sentence(&self) -> String {
        format!(
            "Read {}, the world gives {}: {}.",
            self.says, self.gives, self.off
        )
    }
}

/// A strip for each reading; `names` are what they are called.
pub fn strips(readings: &Readings, fit: &Fit, names: &[String]) -> Vec<ReadingStrip> {
    let all = readings.list.iter().enumerate();
    all.map(|(at, reading)| strip(at, reading, fit, names))
        .collect()
}

fn strip(at: usize, reading: &Reading, fit: &Fit, names: &[String]) -> ReadingStrip {
    let gives = fit.gives.get(at).copied().flatten();
    let allows = fit.allows.get(at).copied().flatten();
    let residual = fit.residuals.get(at).copied().unwrap_or_default();
    let said = words::reading(reading, Shares::PerCent);
    let picture = gives.zip(allows).map(|(gives, allows)| {
        let read = match reading {
            Reading::Panel { gives, .. } => *gives as f64,
            _ => (allows.0 + allows.1) / 2.0,
        };
        Strip::new(allows, read, gives)
    });
    ReadingStrip {
        name: names.get(at).cloned().unwrap_or_default(),
        what: said.what,
        says: said.says,
        gives: words::given(reading, gives, Shares::PerCent),
        off: match (gives, residual) {
            (None, _) => "not settled".into(),
            (_, 0.0) => "explained".into(),
            (Some(gives), off) => off_by(reading, off, allows.is_some_and(|a| is_in(a, gives))),
        },
        is_explained: residual == 0.0,
        contradicts: fit.contradicts.contains(&at),
        strip: picture,
    }
}

fn is_in((low, high): (f64, f64), value: f64) -> bool {
    (low - 1e-9..=high + 1e-9).contains(&value)
}

/// How far off a reading is; where its time is explained, its azimuth is what is off.
fn off_by(reading: &Reading, off: f64, time_is_right: bool) -> String {
    let signed = |n: f64, unit: &str| {
        let said = format!("off by {:+}{unit}", words::short(n, 2));
        said.replace('-', "−")
    };
    match reading {
        Reading::Panel { .. } => signed(off, " steps"),
        Reading::Rises { .. } | Reading::Sets { .. } if time_is_right => {
            format!("azimuth {}", signed(off, "°"))
        }
        Reading::Rises { at, .. } | Reading::Sets { at, .. } => {
            signed(off, if at.to_the_second { " s" } else { " min" })
        }
        Reading::Clock { .. } => signed(off, " s"),
        Reading::Battery { .. } => signed(Shares::PerCent.of(off), Shares::PerCent.sign()),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::fit::{fit, read_readings};

    fn drawn(readings: &str) -> Vec<ReadingStrip> {
        let text =
            format!(r#"{{"format": "duskline/readings", "version": 1, "readings": [{readings}]}}"#);
        let readings = read_readings(&text).unwrap();
        let names: Vec<String> = (1..=readings.list.len()).map(|n| n.to_string()).collect();
        strips(&readings, &fit(&readings), &names)
    }

    #[test]
    fn what_is_explained_lies_within_its_stretch() {
        let text = include_str!("../../../assets/readings/kittiwake-light.json");
        let readings = read_readings(text).unwrap();
        let fit = fit(&readings);
        let all = strips(&readings, &fit, &[]);
        assert_eq!(all.len(), 18);
        for one in &all {
            let strip = one.strip.unwrap();
            assert_eq!(one.off, "explained");
            assert!(one.is_explained && !one.contradicts && !strip.is_beyond);
            let (from, to) = strip.allowed;
            assert!(from <= strip.gives && strip.gives <= to, "{one:?}");
        }
        assert_eq!(all[3].what, "panel facing 90° at tilt 30° at 09:00");
        assert_eq!(all[3].strip.unwrap().read, 40.0, "a panel shows the least");
        assert_eq!(
            all[13].strip.unwrap().read,
            60.0,
            "a time is right either way"
        );
        assert_eq!(
            (all[13].says.as_str(), all[13].gives.as_str()),
            ("05:40", "05:40")
        );
        assert_eq!(all[16].says, "16.7 %");
        assert_eq!(all[16].what, "battery falls in 2 h, drawing 4");
    }

    #[test]
    fn what_is_off_says_by_how_much_and_lies_outside() {
        let all = drawn(
            r#"{"rises": "05:40"}, {"rises": "05:41"}, {"rises": "05:43"}, {"rises": "08:00"}"#,
        );
        let off: Vec<&str> = all.iter().map(|s| s.off.as_str()).collect();
        assert!(off.iter().any(|off| off.ends_with(" min")), "{off:?}");
        let far = all.iter().find(|s| s.name == "4").unwrap();
        let strip = far.strip.unwrap();
        assert!(strip.is_beyond && strip.gives == 6.0, "{far:?}");
        assert!(
            far.sentence()
                .starts_with("Read 08:00, the world gives 05:4")
        );
    }

    #[test]
    fn an_azimuth_that_is_off_is_not_taken_for_minutes() {
        let all = drawn(
            r#"{"rises": "05:40", "azimuth": 80}, {"rises": "05:40", "azimuth": 81}, {"rises": "05:40", "azimuth": 99}"#,
        );
        assert!(all[2].off.starts_with("azimuth off by +"), "{}", all[2].off);
        assert!(all[2].off.ends_with('°'));
    }

    #[test]
    fn what_nothing_is_known_of_has_no_strip() {
        let all = drawn(r#"{"battery": "falls", "from": 500, "to": 499, "hours": 1, "draw": 4}"#);
        assert_eq!(
            (all[0].off.as_str(), all[0].gives.as_str()),
            ("not settled", "?")
        );
        assert_eq!(all[0].strip, None);
    }
}
