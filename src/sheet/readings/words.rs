//! The words for a measured world that page and terminal share.

use crate::fit::{DialTime, Question, Reading, Value};
use crate::sky::{Aim, Air};

/// A measured value's name, within a line.
pub fn label(value: Value) -> &'static str {
    match value {
        Value::Rise => "sun rises",
        Value::Set => "sun sets",
        Value::RiseAzimuth => "rises at azimuth",
        Value::Highest => "highest",
        Value::Air => "air",
        Value::Peak => "peak of a panel",
        Value::DayS => "length of a day",
        Value::Capacity => "battery holds",
        Value::Efficiency => "battery stores",
    }
}

/// The word for an air.
pub fn air(air: Air) -> &'static str {
    match air {
        Air::Clear => "clear",
        Air::None => "none",
    }
}

/// A place on the dial from hours; with seconds where it has any.
pub fn dial(hours: f64) -> String {
    let second = libm::round(hours * 3600.0) as u32;
    let to_the_second = !second.is_multiple_of(60);
    let time = DialTime {
        second,
        to_the_second,
    };
    time.to_string()
}

/// A number with so many digits behind the point.
pub fn short(n: f64, digits: i32) -> f64 {
    let unit = libm::pow(10.0, f64::from(digits));
    libm::round(n * unit) / unit
}

/// How a panel is to be read next, as a sentence.
pub fn next(next: Option<Question>) -> String {
    match next {
        Some(Question { at, aim }) => format!("Read next: a {}, at {at}.", panel(aim)),
        None => "No further reading of a panel would tell more.".into(),
    }
}

/// A panel by how it stands.
pub fn panel(aim: Aim) -> String {
    match aim.tilt {
        0.0 => "panel that lies flat".into(),
        _ => format!("panel facing {}° at tilt {}°", aim.azimuth, aim.tilt),
    }
}

/// In what shares of a battery are told.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Shares {
    /// As in a file.
    PerMille,
    /// As people enter them.
    PerCent,
}

impl Shares {
    /// A share of so many per mille, without its sign.
    pub fn of(self, per_mille: f64) -> f64 {
        match self {
            Shares::PerMille => per_mille,
            Shares::PerCent => short(per_mille / 10.0, 4),
        }
    }

    /// The sign behind it.
    pub fn sign(self) -> &'static str {
        match self {
            Shares::PerMille => " ‰",
            Shares::PerCent => " %",
        }
    }
}

/// A reading in words.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ReadingWords {
    /// What was read.
    pub what: String,
    /// What it says.
    pub says: String,
    /// The unit that stands behind what a world gives for it.
    pub unit: &'static str,
}

/// A reading in words.
pub fn reading(reading: &Reading, shares: Shares) -> ReadingWords {
    let words = |what, says, unit| ReadingWords { what, says, unit };
    match reading {
        Reading::Panel { at, aim, gives } => {
            let what = match aim.tilt {
                0.0 => format!("panel lying flat at {at}"),
                _ => format!("{} at {at}", panel(*aim)),
            };
            words(what, gives.to_string(), "")
        }
        Reading::Rises { at, azimuth } => words(horizon("sun rises", *azimuth), at.to_string(), ""),
        Reading::Sets { at, azimuth } => words(horizon("sun sets", *azimuth), at.to_string(), ""),
        Reading::Clock { clock_s, dial } => words(
            format!("the dial goes {dial}"),
            format!("{clock_s} s"),
            " s",
        ),
        Reading::Battery {
            falls,
            from,
            to,
            hours,
            draw,
        } => {
            let (way, under) = match falls {
                true => ("falls", "drawing"),
                false => ("rises", "taking"),
            };
            let what = format!("battery {way} in {hours} h, {under} {draw}");
            let change = shares.of((from - to).abs());
            words(what, format!("{change}{}", shares.sign()), shares.sign())
        }
    }
}

fn horizon(what: &str, azimuth: Option<f64>) -> String {
    match azimuth {
        Some(azimuth) => format!("{what} at azimuth {azimuth}°"),
        None => what.to_string(),
    }
}

/// What a world gives for a reading.
pub fn given(of: &Reading, gives: Option<f64>, shares: Shares) -> String {
    match (gives, of) {
        (None, _) => "?".into(),
        (Some(hours), Reading::Rises { .. } | Reading::Sets { .. }) => dial(hours),
        (Some(gives), Reading::Battery { .. }) => {
            format!("{}{}", short(shares.of(gives), 2), shares.sign())
        }
        (Some(gives), _) => format!("{}{}", short(gives, 2), reading(of, shares).unit),
    }
}

/// Which readings contradict, by the names that they go by, as a sentence; none where none do.
pub fn contradiction(readings: &[String]) -> Option<String> {
    match readings {
        [] => None,
        [one] => Some(format!(
            "Reading {one} contradicts the others: without it they agree. It is left out."
        )),
        many => Some(format!(
            "Readings {} contradict the others: without one of them, or without all of them, the rest agree.",
            many.join(", ")
        )),
    }
}

/// That nothing explains the readings as they stand, as a sentence; none where something does.
pub fn slack(slack: f64) -> Option<String> {
    (slack > 0.0).then(|| {
        format!(
            "No sun on an arc explains the readings as they stand. Each is taken to be right to {} more than it says.",
            short(slack, 2)
        )
    })
}

/// What the readings do not settle, as a sentence; none where they settle all.
pub fn unsettled(values: &[Value]) -> Option<String> {
    let names: Vec<&str> = values.iter().map(|value| label(*value)).collect();
    (!names.is_empty()).then(|| {
        format!(
            "Not settled, and left at the default: {}.",
            names.join(", ")
        )
    })
}
