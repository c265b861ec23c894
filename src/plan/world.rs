//! The world a plan stands in: the length of its day, its sky, weather, wind and the hours somebody is home.
//!
//! Seconds and degrees as written in the file; what is absent has the rules' default. Fields that this program does not
//! know are kept.

use super::{Clock, Span};
use crate::book::setting;
use crate::limits;
use crate::quantity::{self, Ms};
use crate::read::{self, FaultKind, Faults, Place};
use crate::sky::{Air, Path, Sky};
use serde::{Deserialize, Serialize};
use serde_json::{Map, Value};

/// A world.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct World {
    /// The length of the day in seconds, as written.
    pub day_s: f64,
    /// How the sun goes.
    pub sky: SkyRef,
    /// Whether the air dims a low sun.
    pub air: Air,
    /// A factor a day, starting again after the last; never empty.
    pub weather: Vec<f64>,
    /// Wind of each hour of the dial; 24 values, or none for no wind at all.
    pub wind: Vec<f64>,
    /// When somebody is home.
    pub home: Vec<Span>,
    /// Fields that this program does not know, kept.
    #[serde(with = "super::crossing")]
    pub extra: Map<String, Value>,
    /// Fields of the sky that this program does not know, kept.
    #[serde(with = "super::crossing")]
    pub sky_extra: Map<String, Value>,
}

/// How the sun goes, as written.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub enum SkyRef {
    /// As over a place on a globe, at one date that does not advance.
    Place {
        /// Degrees north.
        latitude: f64,
        /// 1 is 1 January.
        day_of_year: f64,
    },
    /// As the world's own arc.
    Arc {
        /// Sunrise.
        rise: Clock,
        /// Sunset, later than sunrise.
        set: Clock,
        /// Where the sun rises, in degrees clockwise from north.
        rise_azimuth: f64,
        /// How high it stands at the middle of the day, in degrees.
        highest: f64,
    },
}

impl Default for World {
    fn default() -> World {
        World {
            day_s: 86_400.0,
            sky: SkyRef::Place {
                latitude: 0.0,
                day_of_year: 80.0,
            },
            air: Air::Clear,
            weather: vec![1.0],
            wind: Vec::new(),
            home: Vec::new(),
            extra: Map::new(),
            sky_extra: Map::new(),
        }
    }
}

impl World {
    /// The length of the day in milliseconds; at least 1.
    pub fn day_ms(&self) -> Ms {
        quantity::seconds_to_ms(self.day_s)
            .unwrap_or(86_400_000)
            .max(1)
    }

    /// The sky, for working out.
    pub fn sky(&self) -> Sky {
        let day_ms = self.day_ms();
        let path = match self.sky {
            SkyRef::Place {
                latitude,
                day_of_year,
            } => Path::Place {
                latitude,
                day_of_year,
            },
            SkyRef::Arc {
                rise,
                set,
                rise_azimuth,
                highest,
            } => Path::Arc {
                rise_ms: rise.ms(day_ms),
                set_ms: set.ms(day_ms),
                rise_azimuth,
                highest,
            },
        };
        Sky {
            path,
            air: self.air,
            day_ms,
        }
    }

    /// Whether somebody is home at `ms` after midnight.
    pub fn is_home(&self, ms: Ms) -> bool {
        let day_ms = self.day_ms();
        self.home.iter().any(|span| span.holds(ms % day_ms, day_ms))
    }

    /// Reads a world; what can't be read is a fault and keeps its default.
    pub(crate) fn read(value: &Value, place: &Place, faults: &mut Faults) -> World {
        let mut world = World::default();
        let Some(map) = read::object(value, place, faults) else {
            return world;
        };
        if let Some(v) = map.get("day_s") {
            world.day_s = read::decimal(v, 0.001, limits::SECONDS, &place.key("day_s"), faults)
                .unwrap_or(86_400.0);
        }
        if let Some(v) = map.get("sky") {
            world.read_sky(v, &place.key("sky"), faults);
        }
        let mut factors = |key: &str, hours: Option<usize>| -> Vec<f64> {
            let at = place.key(key);
            let entries = read::list(map, key, place, faults);
            let before = faults.len();
            let each = entries.iter().enumerate();
            let found = each
                .filter_map(|(i, v)| read::decimal(v, 0.0, 1000.0, &at.index(i), faults))
                .collect();
            let Some(hours) = hours else {
                return found;
            };
            // It is what is written that is counted: a value that can't be read is there all the same.
            if !entries.is_empty() && entries.len() != hours {
                let expected = format!("{hours} values, one an hour of the dial");
                let values = format!("{} values", entries.len());
                faults.push(at.fault(FaultKind::Range, values, expected));
            }
            if faults.len() > before {
                return Vec::new();
            }
            found
        };
        let weather = factors("weather", None);
        if !weather.is_empty() {
            world.weather = weather;
        }
        world.wind = factors("wind", Some(24));
        let at = place.key("home");
        for (index, v) in read::list(map, "home", place, faults).iter().enumerate() {
            match Span::read(v) {
                Some(span) => world.home.push(span),
                None => setting::check_span(v, &at.index(index), faults),
            }
        }
        world.extra = read::extra(map, &["day_s", "sky", "weather", "wind", "home"]);
        world
    }

    fn read_sky(&mut self, value: &Value, place: &Place, faults: &mut Faults) {
        let Some(map) = read::object(value, place, faults) else {
            return;
        };
        let known = [
            "latitude",
            "day_of_year",
            "air",
            "rise",
            "set",
            "rise_azimuth",
            "highest",
        ];
        self.sky_extra = read::extra(map, &known);
        match map.get("air").map(|v| (v.as_str(), v)) {
            None | Some((Some("clear"), _)) => {}
            Some((Some("none"), _)) => self.air = Air::None,
            Some((_, v)) => faults.push(place.key("air").wrong(
                FaultKind::Unknown,
                v,
                "one of clear, none",
            )),
        }
        let number = |key: &str, least, most, default: Option<f64>, faults: &mut Faults| match map
            .get(key)
        {
            Some(v) => read::decimal(v, least, most, &place.key(key), faults).or(default),
            None => {
                if default.is_none() {
                    faults.push(place.key(key).fault(
                        FaultKind::Missing,
                        "nothing",
                        format!("a number from {least} to {most}"),
                    ));
                }
                default
            }
        };
        if !["rise", "set", "rise_azimuth", "highest"]
            .iter()
            .any(|k| map.contains_key(*k))
        {
            self.sky = SkyRef::Place {
                latitude: number("latitude", -90.0, 90.0, Some(0.0), faults).unwrap_or(0.0),
                day_of_year: number("day_of_year", 0.0, 400.0, Some(80.0), faults).unwrap_or(80.0),
            };
            return;
        }
        let mut clock = |key: &str| setting::clock_of(map, key, place, faults);
        let (rise, set) = (clock("rise"), clock("set"));
        let rise_azimuth = number("rise_azimuth", 0.0, 180.0, None, faults);
        let highest = number("highest", 0.0, 90.0, None, faults);
        let (Some(rise), Some(set), Some(rise_azimuth), Some(highest)) =
            (rise, set, rise_azimuth, highest)
        else {
            return;
        };
        if rise >= set {
            faults.push(place.key("set").fault(
                FaultKind::Range,
                set.to_string(),
                format!("later than rise, which is {rise}"),
            ));
        } else if rise_azimuth >= 180.0 {
            faults.push(place.key("rise_azimuth").fault(
                FaultKind::Range,
                "180",
                "a number from 0 to less than 180",
            ));
        } else {
            self.sky = SkyRef::Arc {
                rise,
                set,
                rise_azimuth,
                highest,
            };
        }
    }

    /// The world as in a file, defaults left out.
    pub(crate) fn write(&self) -> Map<String, Value> {
        let mut map = Map::new();
        let default = World::default();
        if self.day_s != default.day_s {
            map.insert("day_s".into(), crate::quantity::number(self.day_s));
        }
        let mut sky = Map::new();
        match self.sky {
            SkyRef::Place {
                latitude,
                day_of_year,
            } => {
                if self.sky != default.sky {
                    sky.insert("latitude".into(), crate::quantity::number(latitude));
                    sky.insert("day_of_year".into(), crate::quantity::number(day_of_year));
                }
            }
            SkyRef::Arc {
                rise,
                set,
                rise_azimuth,
                highest,
            } => {
                sky.insert("rise".into(), rise.to_string().into());
                sky.insert("set".into(), set.to_string().into());
                sky.insert("rise_azimuth".into(), crate::quantity::number(rise_azimuth));
                sky.insert("highest".into(), crate::quantity::number(highest));
            }
        }
        if self.air == Air::None {
            sky.insert("air".into(), "none".into());
        }
        sky.extend(self.sky_extra.clone());
        if !sky.is_empty() {
            map.insert("sky".into(), Value::Object(sky));
        }
        let numbers =
            |list: &[f64]| Value::Array(list.iter().map(|n| crate::quantity::number(*n)).collect());
        if self.weather != default.weather {
            map.insert("weather".into(), numbers(&self.weather));
        }
        if !self.wind.is_empty() {
            map.insert("wind".into(), numbers(&self.wind));
        }
        if !self.home.is_empty() {
            let span = |s: &Span| serde_json::json!([s.from.to_string(), s.to.to_string()]);
            map.insert("home".into(), self.home.iter().map(span).collect());
        }
        map.extend(self.extra.clone());
        map
    }
}
