//! Reading a table of readings. Every fault is found in one reading, with its place, what stands there and what was
//! expected.

use super::reading::{Reading, Readings};
use crate::clock::DialTime;
use crate::limits;
use crate::read::{self, FaultKind, Faults, Place};
use crate::sky::{Aim, Air};
use serde_json::{Map, Value};

/// The name of the file form.
pub const FORMAT: &str = "duskline/readings";
/// The version of the file form that this program reads.
pub const VERSION: u64 = 1;

/// The fields that tell the kinds of readings apart.
const KINDS: [&str; 5] = ["at", "rises", "sets", "clock_s", "battery"];
const TIME: &str = "a time of the dial from 00:00 to 24:00, HH:MM or HH:MM:SS";

/// Reads a table that must be sound throughout.
pub fn read_readings(text: &str) -> Result<Readings, Faults> {
    let value = read::json(text.trim_start_matches('\u{feff}')).map_err(|fault| vec![fault])?;
    let mut faults = Faults::new();
    let root = Place::root("readings file");
    let Some(map) = read::object(&value, &root, &mut faults) else {
        return Err(faults);
    };
    check_head(map, &root)?;
    let day_s = known(map, "day_s").and_then(|v| {
        let place = root.key("day_s");
        read::decimal(v, 0.001, limits::SECONDS, &place, &mut faults)
    });
    let air = read_air(map, &root, &mut faults);
    let list = read_list(map, &root, &mut faults);
    if faults.is_empty() {
        Ok(Readings { day_s, air, list })
    } else {
        Err(faults)
    }
}

/// The field, where it is there and not null.
fn known<'v>(map: &'v Map<String, Value>, key: &str) -> Option<&'v Value> {
    map.get(key).filter(|value| !value.is_null())
}

fn check_head(map: &Map<String, Value>, root: &Place) -> Result<(), Faults> {
    let expected = format!("\"{FORMAT}\"");
    let place = root.key("format");
    match map.get("format") {
        None => return Err(vec![place.fault(FaultKind::Format, "nothing", expected)]),
        Some(v) if v.as_str() != Some(FORMAT) => {
            return Err(vec![place.wrong(FaultKind::Format, v, expected)]);
        }
        _ => {}
    }
    let place = root.key("version");
    let fault = match map.get("version") {
        None => place.fault(FaultKind::Missing, "nothing", VERSION.to_string()),
        Some(v) => match v.as_f64() {
            Some(1.0) => return Ok(()),
            Some(n) if n > 1.0 => place.wrong(
                FaultKind::Newer,
                v,
                format!("{VERSION}; this table was made by a newer Duskline: update this one"),
            ),
            Some(_) => place.wrong(FaultKind::Range, v, VERSION.to_string()),
            None => place.wrong(FaultKind::Type, v, VERSION.to_string()),
        },
    };
    Err(vec![fault])
}

fn read_air(map: &Map<String, Value>, root: &Place, faults: &mut Faults) -> Option<Air> {
    let value = known(map, "air")?;
    match value.as_str() {
        Some("clear") => Some(Air::Clear),
        Some("none") => Some(Air::None),
        _ => {
            let expected = "one of clear, none, or null where it is not known";
            faults.push(root.key("air").wrong(FaultKind::Unknown, value, expected));
            None
        }
    }
}

fn read_list(map: &Map<String, Value>, root: &Place, faults: &mut Faults) -> Vec<Reading> {
    let place = root.key("readings");
    if !map.contains_key("readings") {
        faults.push(place.fault(FaultKind::Missing, "nothing", "a list of readings"));
    }
    let entries = read::list(map, "readings", root, faults);
    if entries.len() > limits::READINGS {
        let found = format!("{} readings", entries.len());
        let expected = format!("at most {}", limits::READINGS);
        faults.push(place.fault(FaultKind::Range, found, expected));
        return Vec::new();
    }
    let mut list = Vec::new();
    for (index, entry) in entries.iter().enumerate() {
        let here = place.index(index);
        if let Some(map) = read::object(entry, &here, faults) {
            list.extend(Entry { map, here }.read(faults));
        }
    }
    list
}

/// One reading as it is written.
struct Entry<'v> {
    map: &'v Map<String, Value>,
    here: Place<'v>,
}

impl Entry<'_> {
    fn read(&self, faults: &mut Faults) -> Option<Reading> {
        let has = |key: &&&str| self.map.contains_key(**key);
        let kinds: Vec<&str> = KINDS.iter().filter(has).copied().collect();
        match kinds[..] {
            ["at"] => self.panel(faults),
            ["rises"] => {
                let (at, azimuth) = self.horizon("rises", 0.0, 180.0, faults)?;
                Some(Reading::Rises { at, azimuth })
            }
            ["sets"] => {
                let (at, azimuth) = self.horizon("sets", 180.0, 360.0, faults)?;
                Some(Reading::Sets { at, azimuth })
            }
            ["clock_s"] => self.clock(faults),
            ["battery"] => self.battery(faults),
            [] => {
                let expected = format!("a reading with one of {}", KINDS.join(", "));
                let fault = self
                    .here
                    .fault(FaultKind::Missing, "none of them", expected);
                faults.push(fault);
                None
            }
            _ => {
                let expected = format!("only one of {}", KINDS.join(", "));
                let found = kinds.join(" and ");
                faults.push(self.here.fault(FaultKind::Doubled, found, expected));
                None
            }
        }
    }

    /// The field, or a fault that it is missing.
    fn needs(&self, key: &str, expected: &str, faults: &mut Faults) -> Option<&Value> {
        let found = self.map.get(key);
        if found.is_none() {
            let place = self.here.key(key);
            faults.push(place.fault(FaultKind::Missing, "nothing", expected));
        }
        found
    }

    fn time(&self, key: &str, faults: &mut Faults) -> Option<DialTime> {
        let value = self.needs(key, TIME, faults)?;
        let found = value.as_str().and_then(DialTime::parse);
        if found.is_none() {
            let kind = if value.is_string() {
                FaultKind::Range
            } else {
                FaultKind::Type
            };
            faults.push(self.here.key(key).wrong(kind, value, TIME));
        }
        found
    }

    fn decimal(&self, key: &str, least: f64, most: f64, faults: &mut Faults) -> Option<f64> {
        let value = self.needs(key, &format!("a number from {least} to {most}"), faults)?;
        read::decimal(value, least, most, &self.here.key(key), faults)
    }

    fn whole(&self, key: &str, least: u64, most: u64, faults: &mut Faults) -> Option<u64> {
        let expected = format!("a whole number from {least} to {most}");
        let value = self.needs(key, &expected, faults)?;
        read::whole(value, least, most, &self.here.key(key), faults)
    }

    fn panel(&self, faults: &mut Faults) -> Option<Reading> {
        let at = self.time("at", faults);
        let azimuth = self.decimal("azimuth", -360.0, 720.0, faults);
        let tilt = self.decimal("tilt", 0.0, 180.0, faults);
        let gives = self.whole("gives", 0, limits::PEAK, faults);
        let aim = Aim {
            azimuth: azimuth?,
            tilt: tilt?,
        };
        Some(Reading::Panel {
            at: at?,
            aim,
            gives: gives?,
        })
    }

    /// When, and where, the sun is on the horizon; the way there is from `least` to `most` degrees.
    fn horizon(
        &self,
        key: &str,
        least: f64,
        most: f64,
        faults: &mut Faults,
    ) -> Option<(DialTime, Option<f64>)> {
        let at = self.time(key, faults);
        let place = self.here.key("azimuth");
        let azimuth = match known(self.map, "azimuth") {
            None => Some(None),
            Some(value) => read::decimal(value, least, most, &place, faults).map(Some),
        };
        Some((at?, azimuth?))
    }

    fn clock(&self, faults: &mut Faults) -> Option<Reading> {
        let clock_s = self.decimal("clock_s", 0.001, limits::SECONDS, faults);
        let dial = self.time("dial", faults);
        if dial.is_some_and(|dial| dial.second == 0) {
            let place = self.here.key("dial");
            let expected = "how far the dial went meanwhile, later than 00:00";
            faults.push(place.fault(FaultKind::Range, "00:00", expected));
            return None;
        }
        Some(Reading::Clock {
            clock_s: clock_s?,
            dial: dial?,
        })
    }

    fn battery(&self, faults: &mut Faults) -> Option<Reading> {
        let way = &self.map["battery"];
        let falls = match way.as_str() {
            Some("falls") => Some(true),
            Some("rises") => Some(false),
            _ => {
                let place = self.here.key("battery");
                faults.push(place.wrong(FaultKind::Unknown, way, "one of falls, rises"));
                None
            }
        };
        let from = self.decimal("from", 0.0, 1000.0, faults);
        let to = self.decimal("to", 0.0, 1000.0, faults);
        let hours = self.decimal("hours", 0.0001, 100_000.0, faults);
        let draw = self.whole("draw", 1, limits::POWER, faults);
        let (falls, from, to) = (falls?, from?, to?);
        if (falls && to >= from) || (!falls && to <= from) {
            let than = if falls { "less" } else { "more" };
            let place = self.here.key("to");
            let expected = format!("{than} than from, which is {from}");
            faults.push(place.fault(FaultKind::Range, to.to_string(), expected));
            return None;
        }
        Some(Reading::Battery {
            falls,
            from,
            to,
            hours: hours?,
            draw: draw?,
        })
    }
}
