//! Random settings of parts, and random worlds.

use super::Draft;
use serde_json::{Map, Value, json};

impl Draft {
    /// Random settings for a part of that type; some are left to the book.
    pub(super) fn settings(&mut self, kind: &Value) -> Value {
        let mut set = Map::new();
        let random = &mut self.random;
        match kind["behaviour"].as_str().expect("a word") {
            "source" if kind["profile"] == "sun" && random.chance(80) => {
                set.insert(
                    "azimuth".into(),
                    (random.between(0, 719) as f64 / 2.0).into(),
                );
                set.insert("tilt".into(), random.between(0, 90).into());
            }
            "battery" if random.chance(80) => {
                let start =
                    [0, 1000, random.between(0, 1000), random.between(0, 1000)][random.index(4)];
                set.insert("start".into(), start.into());
            }
            "tap" if random.chance(50) => {
                set.insert("amount".into(), random.between(1, 6).into());
            }
            "changeover" if random.chance(50) => {
                set.insert("least".into(), random.between(1, 5).into());
            }
            "contact" => {
                if random.chance(45) {
                    set.insert(
                        "contact".into(),
                        random.pick(&["break", "break", "break", "make"]).into(),
                    );
                }
                self.function_settings(kind["function"].as_str().expect("a word"), &mut set);
            }
            _ => {}
        }
        Value::Object(set)
    }

    fn function_settings(&mut self, function: &str, set: &mut Map<String, Value>) {
        if self.random.chance(10) {
            return;
        }
        match function {
            "manual" => {
                set.insert("closed".into(), self.random.chance(60).into());
                let entries = if self.random.chance(60) {
                    self.random.between(1, 4)
                } else {
                    0
                };
                let schedule = (0..entries)
                    .map(|_| json!([self.clock(), self.random.chance(50)]))
                    .collect();
                set.insert("schedule".into(), Value::Array(schedule));
            }
            "button" => {
                set.insert("hold_s".into(), self.seconds());
                let presses = (0..self.random.between(0, 5))
                    .map(|_| self.clock())
                    .collect();
                set.insert("presses".into(), Value::Array(presses));
            }
            "on-delay" | "off-delay" | "pulse" => {
                set.insert("delay_s".into(), self.seconds());
            }
            "latch" => {
                set.insert(
                    "dominant".into(),
                    self.random.pick(&["set", "reset"]).into(),
                );
            }
            "counter" => {
                set.insert("target".into(), self.random.between(1, 5).into());
            }
            "twilight" => {
                set.insert(
                    "below".into(),
                    (self.random.between(1, 949) as f64 / 1000.0 + 0.000_37).into(),
                );
            }
            "clock" => {
                let (from, to) = (self.clock(), self.clock());
                set.insert("from".into(), from);
                set.insert("to".into(), to);
            }
            "detector" => {
                let times = (0..self.random.between(0, 4))
                    .map(|_| json!([self.clock(), self.clock()]))
                    .collect();
                set.insert("times".into(), Value::Array(times));
            }
            "charge" => {
                let low = self.random.between(0, 900);
                set.insert("low".into(), low.into());
                set.insert("high".into(), self.random.between(low + 1, 1000).into());
            }
            _ => {}
        }
    }

    /// A clock time, on the hour now and then, seldom 24:00.
    pub(super) fn clock(&mut self) -> Value {
        let minutes = match self.random.between(0, 29) {
            0 => 1440,
            1 => 0,
            2..=9 => self.random.between(0, 23) * 60,
            _ => self.random.between(0, 1439),
        };
        Value::String(format!("{:02}:{:02}", minutes / 60, minutes % 60))
    }

    /// A duration, now and then 0 or a few lags exactly, so that things fall together.
    pub(super) fn seconds(&mut self) -> Value {
        let ms = match self.random.between(0, 19) {
            0 => 0,
            1..=8 => self.lag_ms * self.random.between(1, 6),
            9 => self.day_ms / 2,
            _ => self.random.between(1, 900),
        };
        (ms as f64 / 1000.0).into()
    }

    /// A random world with the draft's day.
    pub(super) fn world(&mut self) -> Value {
        let mut world = json!({ "day_s": self.day_ms as f64 / 1000.0 });
        if self.day_ms % 1000 == 0 {
            world["day_s"] = (self.day_ms / 1000).into();
        }
        match self.random.between(0, 9) {
            0 => {}
            1..=5 => world["sky"] = self.globe(),
            _ => world["sky"] = self.arc(),
        }
        if self.random.chance(60) {
            let days = self.random.between(1, 3);
            let weather = (0..days)
                .map(|_| (self.random.between(0, 20) as f64 / 20.0).into())
                .collect();
            world["weather"] = Value::Array(weather);
        }
        if self.random.chance(70) {
            let wind = (0..24)
                .map(|_| (self.random.between(0, 100) as f64 / 100.0).into())
                .collect();
            world["wind"] = Value::Array(wind);
        }
        if self.random.chance(60) {
            let home = (0..self.random.between(1, 2))
                .map(|_| json!([self.clock(), self.clock()]))
                .collect();
            world["home"] = Value::Array(home);
        }
        world
    }

    fn globe(&mut self) -> Value {
        // Not latitude 0, where the sun rises on the stroke of six and binary rounding decides the millisecond.
        let latitude = self.random.between(-70, 70) as f64 + 0.37;
        let air = self.random.pick(&["clear", "clear", "none"]);
        json!({ "latitude": latitude, "day_of_year": self.random.between(1, 365), "air": air })
    }

    /// An arc that rises and sets on whole milliseconds, so that no rounding of clock times enters the sun's path.
    fn arc(&mut self) -> Value {
        let whole: Vec<i64> = (0..=1439)
            .filter(|minute| minute * self.day_ms % 1440 == 0)
            .collect();
        let half = whole.len() / 2;
        if half == 0 {
            return self.globe();
        }
        let (rise, set) = (
            whole[self.random.index(half)],
            whole[half + self.random.index(whole.len() - half)],
        );
        let clock = |minutes: i64| format!("{:02}:{:02}", minutes / 60, minutes % 60);
        let air = self.random.pick(&["clear", "none"]);
        json!({
            "rise": clock(rise), "set": clock(set), "rise_azimuth": self.random.between(0, 179),
            "highest": self.random.between(5, 89) as f64 + 0.3, "air": air,
        })
    }
}
