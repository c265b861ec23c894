//! A battery's capacity, from how its level falls, and its efficiency, from how it rises.

use super::asks::last_place;
use super::lines::{Line, Point, beyond, line, settles};
use super::reading::{Reading, Readings};
use super::rounded::{digits, outward, round};
use super::told::Told;
use super::value::Value;

/// A battery's capacity and efficiency.
#[derive(Default)]
pub(super) struct Battery {
    pub(super) capacity: Option<f64>,
    pub(super) efficiency: Option<f64>,
    /// How much of its level a unit-hour fed into it makes: efficiency over capacity.
    charge: Option<f64>,
    pub(super) sure: Vec<(Value, (f64, f64))>,
    pub(super) contradicts: Vec<usize>,
}

impl Battery {
    /// From falls comes the capacity, from rises the efficiency for that capacity.
    pub(super) fn of(readings: &Readings) -> Battery {
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

    pub(super) fn told(&self, reading: &Reading) -> Told {
        let Reading::Battery {
            falls,
            from,
            to,
            hours,
            draw,
        } = *reading
        else {
            return Told::default();
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
            Some(gives) => Told {
                gives: Some(gives),
                allows: Some((change - right_to, change + right_to)),
                residual: beyond(change, gives, right_to + 1e-3),
            },
            None => Told::default(),
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
