//! What a table of readings comes to.

use super::arc::{AZIMUTH, HIGHEST, PER_PEAK, RISE, SET};
use super::asks::{Ask, limits};
use super::battery::Battery;
use super::day::Day;
use super::next::{Question, next};
use super::reading::{Reading, Readings};
use super::rounded::{Rounded, digits, outward, rounded};
use super::sun::Sun;
use super::told::Told;
use super::value::Value;
use crate::clock::DialTime;
use crate::sky::Air;
use serde::{Deserialize, Serialize};

/// A measured world.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Fit {
    /// When the sun rises.
    pub rise: DialTime,
    /// When it sets.
    pub set: DialTime,
    /// Where it rises, in degrees clockwise from north.
    pub rise_azimuth: f64,
    /// How high it stands at the highest, in degrees.
    pub highest: f64,
    /// What the air takes.
    pub air: Air,
    /// What a panel gives squarely under a sun in the zenith, in steps.
    pub peak: f64,
    /// The length of the day, in seconds.
    pub day_s: f64,
    /// What the battery holds, in unit-hours; none where that is not known.
    pub capacity: Option<f64>,
    /// What of a charge it stores, in per mille; none where that is not known.
    pub efficiency: Option<f64>,
    /// How sure each value is: the least and the most that explain the readings, in the order of values. Only values of
    /// which the readings say anything.
    pub sure: Vec<(Value, (f64, f64))>,
    /// What this world gives for each reading: steps; hours of the dial; seconds by the watch; per mille of the level.
    pub gives: Vec<Option<f64>>,
    /// The least and the most that each reading allows of that, if it is right to what it says.
    pub allows: Vec<Option<(f64, f64)>>,
    /// How much more each reading says than this world gives, beyond what it is right to: steps, minutes (seconds where
    /// those were read) or degrees, seconds by the watch, per mille. 0 where it is explained.
    pub residuals: Vec<f64>,
    /// The readings that contradict the others, by their numbers.
    pub contradicts: Vec<usize>,
    /// The panel reading that would tell most; none where none would tell anything.
    pub next: Option<Question>,
    /// What the readings do not settle, left at its default.
    pub undetermined: Vec<Value>,
    /// How much more than they say the readings of the sun are taken to be off, as nothing explains them otherwise.
    pub slack: f64,
}

/// Measures the world of a table of readings.
pub fn fit(readings: &Readings) -> Fit {
    fit_watched(readings, &mut |_, _| ())
}

/// As [`fit`]; `tell` hears, while it is looked for what contradicts, how many readings of how many were left out in turn.
pub fn fit_watched(readings: &Readings, tell: &mut dyn FnMut(u64, u64)) -> Fit {
    let numbered = || readings.list.iter().enumerate();
    let asks: Vec<Ask> = numbered()
        .flat_map(|(number, reading)| Ask::of_reading(number, reading))
        .collect();
    let sun = Sun::of(&asks, readings.air, tell);
    let world = rounded(&sun, sun.cell.as_ref());
    let day = Day::of(readings);
    let battery = Battery::of(readings);
    let mut undetermined = open_numbers(&sun);
    undetermined.extend(day.open.then_some(Value::DayS));
    undetermined.extend(battery.capacity.is_none().then_some(Value::Capacity));
    let mut contradicts = sun.contradicts.clone();
    contradicts.extend(&day.contradicts);
    contradicts.extend(&battery.contradicts);
    contradicts.sort_unstable();
    contradicts.dedup();
    let mut sure = sure_numbers(&sun, &world, &asks);
    sure.extend(day.sure.map(|range| (Value::DayS, range)));
    sure.extend(battery.sure.iter().copied());
    let told = |(number, reading): (usize, &Reading)| match *reading {
        Reading::Clock { clock_s, dial } => day.told(clock_s, dial),
        Reading::Battery { .. } => battery.told(reading),
        _ => told(&asks, number, &world, sun.air),
    };
    let told: Vec<Told> = numbered().map(told).collect();
    Fit {
        rise: world.rise,
        set: world.set,
        rise_azimuth: world.rise_azimuth,
        highest: world.highest,
        air: sun.air,
        peak: world.peak,
        day_s: day.day_s,
        capacity: battery.capacity,
        efficiency: battery.efficiency,
        sure,
        gives: told.iter().map(|told| told.gives).collect(),
        allows: told.iter().map(|told| told.allows).collect(),
        residuals: told.iter().map(|told| told.residual).collect(),
        contradicts,
        next: next(&sun),
        undetermined,
        slack: sun.slack,
    }
}

fn open_numbers(sun: &Sun) -> Vec<Value> {
    let [rise, set, azimuth, highest, peak] = sun.open;
    let open = [
        (rise, Value::Rise),
        (set, Value::Set),
        (azimuth, Value::RiseAzimuth),
        (highest, Value::Highest),
        (sun.any_air, Value::Air),
        (peak, Value::Peak),
    ];
    let open = open.into_iter().filter(|(open, _)| *open);
    open.map(|(_, value)| value).collect()
}

/// The ranges of the sun's numbers of which the readings say anything, rounded outwards.
fn sure_numbers(sun: &Sun, world: &Rounded, asks: &[Ask]) -> Vec<(Value, (f64, f64))> {
    let asks: Vec<&Ask> = asks.iter().collect();
    let mut whole = limits(&asks);
    whole[PER_PEAK] = (1.0 / whole[PER_PEAK].1, 1.0 / whole[PER_PEAK].0);
    let values = [
        (Value::Rise, RISE),
        (Value::Set, SET),
        (Value::RiseAzimuth, AZIMUTH),
        (Value::Highest, HIGHEST),
        (Value::Peak, PER_PEAK),
    ];
    let mut sure = Vec::new();
    for (value, place) in values {
        let (low, high) = sun.ranges[place];
        let nothing = if value == Value::Peak {
            sun.dark
        } else {
            // The shortest daylight keeps rise and set a minute from the ends.
            high - low >= 0.998 * (whole[place].1 - whole[place].0)
        };
        if nothing {
            continue;
        }
        let range = match place {
            RISE | SET => {
                let unit = if world.rise.to_the_second {
                    3600.0
                } else {
                    60.0
                };
                let (low, high) = outward((low * unit, high * unit), 0);
                (low / unit, high / unit)
            }
            _ => outward((low, high), digits(high - low, 1)),
        };
        sure.push((value, range));
    }
    sure
}

/// What a world gives for a reading of the sun, and how much more the reading says.
fn told(asks: &[Ask], number: usize, world: &Rounded, air: Air) -> Told {
    let own = || asks.iter().filter(|ask| ask.reading == number);
    let first = own().next();
    let residuals = own().map(|ask| ask.residual(world.arc, air));
    let farthest = residuals.fold(
        0.0,
        |most: f64, r| if r.abs() > most.abs() { r } else { most },
    );
    Told {
        gives: first.map(|ask| ask.shows(world.arc, air)),
        allows: first.map(Ask::allows),
        residual: farthest,
    }
}
