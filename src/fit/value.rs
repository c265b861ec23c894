//! The values of a world that are measured, by the names that they have in an answer.

use serde::{Deserialize, Serialize};

/// One of the values that are measured.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
pub enum Value {
    /// When the sun rises, in hours of the dial.
    Rise,
    /// When it sets.
    Set,
    /// Where it rises, in degrees clockwise from north.
    RiseAzimuth,
    /// How high it stands at the highest, in degrees.
    Highest,
    /// What the air takes.
    Air,
    /// What a panel gives squarely under a sun in the zenith, in steps.
    Peak,
    /// The length of the day, in seconds.
    DayS,
    /// What the battery holds, in unit-hours where a step is one unit.
    Capacity,
    /// What of a charge the battery stores, in per mille.
    Efficiency,
}

impl Value {
    /// Its name in an answer.
    pub fn key(self) -> &'static str {
        match self {
            Value::Rise => "rise",
            Value::Set => "set",
            Value::RiseAzimuth => "rise_azimuth",
            Value::Highest => "highest",
            Value::Air => "air",
            Value::Peak => "peak",
            Value::DayS => "day_s",
            Value::Capacity => "capacity",
            Value::Efficiency => "efficiency",
        }
    }
}
