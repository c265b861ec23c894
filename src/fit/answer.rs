//! What a table of readings comes to.

use super::arc::{AZIMUTH, HIGHEST, PER_PEAK, RISE, SET};
use super::asks::{Ask, last_place, limits};
use super::lines::{Line, Point, line};
use super::next::{Question, next};
use super::reading::{DialTime, Reading, Readings};
use super::rounded::{Rounded, digits, outward, round, rounded};
use super::sun::Sun;
use crate::sky::Air;

/// One of the values that are measured.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
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

/// A measured world.
#[derive(Clone, Debug, PartialEq)]
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

/// The length of a day where nothing is said of it, in seconds.
const DAY: f64 = 86_400.0;

/// Measures the world of a table of readings.
pub fn fit(readings: &Readings) -> Fit {
    let numbered = || readings.list.iter().enumerate();
    let asks: Vec<Ask> = numbered()
        .flat_map(|(number, reading)| Ask::of_reading(number, reading))
        .collect();
    let sun = Sun::of(&asks, readings.air);
    let world = rounded(&sun, sun.cell.as_ref());
    let day = Day::of(readings);
    let battery = Battery::of(readings);
    let dark = !asks.iter().any(Ask::is_lit);
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
    let told: Vec<(Option<f64>, f64)> = numbered().map(told).collect();
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
        gives: told.iter().map(|(gives, _)| *gives).collect(),
        residuals: told.iter().map(|(_, residual)| *residual).collect(),
        contradicts,
        next: next(&sun, dark),
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
    let dark = !asks.iter().any(|ask| ask.is_lit());
    let mut sure = Vec::new();
    for (value, place) in values {
        let (low, high) = sun.ranges[place];
        let nothing = if value == Value::Peak {
            dark
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
fn told(asks: &[Ask], number: usize, world: &Rounded, air: Air) -> (Option<f64>, f64) {
    let own = || asks.iter().filter(|ask| ask.reading == number);
    let gives = own().next().map(|ask| ask.shows(world.arc, air));
    let residuals = own().map(|ask| ask.residual(world.arc, air));
    let farthest = residuals.fold(
        0.0,
        |most: f64, r| if r.abs() > most.abs() { r } else { most },
    );
    (gives, farthest)
}

/// A residual: how far `read` is outside `gives ± right_to`.
fn beyond(read: f64, gives: f64, right_to: f64) -> f64 {
    let off = read - gives;
    if off > right_to + 1e-9 {
        off - right_to
    } else if off < -right_to - 1e-9 {
        off + right_to
    } else {
        0.0
    }
}

/// Whether a range settles its value: the most is less than twice the least.
fn settles((least, most): (f64, f64)) -> bool {
    most < 2.0 * least
}

/// The length of the day.
struct Day {
    day_s: f64,
    open: bool,
    sure: Option<(f64, f64)>,
    contradicts: Vec<usize>,
}

impl Day {
    fn of(readings: &Readings) -> Day {
        let mut points = Vec::new();
        for (reading, of) in readings.list.iter().enumerate() {
            if let Reading::Clock { clock_s, dial } = *of {
                let (share, give) = (dial.hours() / 24.0, dial.right_to() / 24.0);
                let second = last_place(clock_s);
                let most = if share > give {
                    (clock_s + second) / (share - give)
                } else {
                    f64::INFINITY
                };
                points.push(Point {
                    reading,
                    gone: clock_s,
                    per: share,
                    least: (clock_s - second) / (share + give),
                    most,
                });
            }
        }
        if let Some(day_s) = readings.day_s {
            let off = points.iter().filter(|p| day_s < p.least || p.most < day_s);
            return Day {
                day_s,
                open: false,
                sure: Some((day_s, day_s)),
                contradicts: off.map(|p| p.reading).collect(),
            };
        }
        match line(&points) {
            Some(Line {
                value: Some(value),
                range,
                contradicts,
            }) if settles(range) => {
                let width = range.1 - range.0;
                Day {
                    day_s: round(value, digits(width * 20.0, 0)),
                    open: false,
                    sure: Some(outward(range, digits(width, 0))),
                    contradicts,
                }
            }
            found => Day {
                day_s: DAY,
                open: true,
                sure: None,
                contradicts: found.map_or_else(Vec::new, |line| line.contradicts),
            },
        }
    }

    fn told(&self, clock_s: f64, dial: DialTime) -> (Option<f64>, f64) {
        let gives = self.day_s * dial.hours() / 24.0;
        if self.open {
            return (None, 0.0);
        }
        let right_to = last_place(clock_s) + self.day_s * dial.right_to() / 24.0;
        (Some(gives), beyond(clock_s, gives, right_to))
    }
}

/// A battery's capacity and efficiency.
#[derive(Default)]
struct Battery {
    capacity: Option<f64>,
    efficiency: Option<f64>,
    /// How much of its level a unit-hour fed into it makes: efficiency over capacity.
    charge: Option<f64>,
    sure: Vec<(Value, (f64, f64))>,
    contradicts: Vec<usize>,
}

impl Battery {
    /// From falls comes the capacity, from rises the efficiency for that capacity.
    fn of(readings: &Readings) -> Battery {
        let (mut held, mut charged) = (Vec::new(), Vec::new());
        for (number, reading) in readings.list.iter().enumerate() {
            if let Reading::Battery { falls, .. } = reading {
                let (capacity, charge) = points(number, reading);
                held.push(capacity);
                if !falls {
                    charged.push(charge);
                }
            }
        }
        let mut battery = Battery::default();
        let charge = line(&charged);
        if let Some(line) = line(&held) {
            let width = line.range.1 - line.range.0;
            battery.contradicts = line.contradicts;
            if let Some(value) = line.value.filter(|_| settles(line.range)) {
                battery.capacity = Some(round(value, digits(width, 1)));
                let range = outward(line.range, digits(width, 1));
                battery.sure.push((Value::Capacity, range));
                if let Some(charge) = &charge {
                    battery.efficient(value, line.range, charge);
                }
            }
        }
        if let Some(line) = charge {
            battery.charge = line.value;
            battery.contradicts.extend(line.contradicts);
        }
        battery
    }

    fn efficient(&mut self, capacity: f64, held: (f64, f64), charge: &Line) {
        // No battery stores more than it takes.
        let kept = |share: f64| if share < 1.0 { 1000.0 * share } else { 1000.0 };
        let range = (kept(held.0 * charge.range.0), kept(held.1 * charge.range.1));
        if let Some(charge) = charge.value.filter(|_| settles(range)) {
            let width = range.1 - range.0;
            self.efficiency = Some(round(kept(capacity * charge), digits(width, 0)));
            let range = outward(range, digits(width, 0));
            self.sure.push((Value::Efficiency, range));
        }
    }

    fn told(&self, reading: &Reading) -> (Option<f64>, f64) {
        let Reading::Battery {
            falls,
            from,
            to,
            hours,
            draw,
        } = *reading
        else {
            return (None, 0.0);
        };
        let energy = hours * draw as f64;
        let share = if falls {
            self.capacity.map(|capacity| energy / capacity)
        } else {
            self.charge.map(|charge| energy * charge)
        };
        let change = if falls { from - to } else { to - from };
        let right_to = last_place(from) + last_place(to);
        match share.map(|share| 1000.0 * share) {
            // The answer's capacity is rounded.
            Some(gives) => (Some(gives), beyond(change, gives, right_to + 1e-3)),
            None => (None, 0.0),
        }
    }
}

/// What a battery's reading says of its capacity, in unit-hours, and of its charge, a share of it for each unit-hour.
fn points(number: usize, reading: &Reading) -> (Point, Point) {
    let Reading::Battery {
        falls,
        from,
        to,
        hours,
        draw,
    } = *reading
    else {
        let none = Point {
            reading: number,
            gone: 0.0,
            per: 0.0,
            least: 0.0,
            most: f64::INFINITY,
        };
        return (none, none);
    };
    let energy = hours * draw as f64;
    let share = (to - from).abs() / 1000.0;
    let give = (last_place(from) + last_place(to)) / 1000.0;
    let most = if share > give {
        energy / (share - give)
    } else {
        f64::INFINITY
    };
    let capacity = Point {
        reading: number,
        gone: energy,
        // A charge only bounds it: no more is stored than was fed.
        per: if falls { share } else { 0.0 },
        least: if falls { energy / (share + give) } else { 0.0 },
        most,
    };
    let charge = Point {
        reading: number,
        gone: share,
        per: energy,
        least: (share - give).max(0.0) / energy,
        most: (share + give) / energy,
    };
    (capacity, charge)
}
