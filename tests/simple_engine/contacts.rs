//! What makes a contact's Q true: the functions of the rules' table.
//!
//! Times in milliseconds since midnight of day 1. Functions with signal ports keep a small memory and are asked once at
//! every solve; the others answer for any millisecond from the settings alone. Knows nothing of lag, chatter or power.

use super::decimal::{Decimal, Stretch, clock_ms, duration_ms};
use super::model::Values;
use super::sky::Sky;
use serde_json::Value;

/// A contact's function with its settings.
#[derive(Clone, Debug)]
pub enum Function {
    /// A switch: closed on day 1, and the daily entries (milliseconds of the day, closed) in the order they take effect.
    Manual {
        /// On day 1 until the first entry.
        closed: bool,
        /// The daily entries.
        schedule: Vec<(i64, bool)>,
    },
    /// Presses in milliseconds of the day.
    Button {
        /// Milliseconds.
        hold: i64,
        /// Daily.
        presses: Vec<i64>,
    },
    /// Live signal.
    Relay,
    /// Both.
    And,
    /// Either.
    Or,
    /// Exactly one.
    Xor,
    /// TON.
    OnDelay {
        /// Milliseconds.
        delay: i64,
    },
    /// TOF.
    OffDelay {
        /// Milliseconds.
        delay: i64,
    },
    /// TP.
    Pulse {
        /// Milliseconds.
        delay: i64,
    },
    /// SR, or RS where reset is dominant.
    Latch {
        /// Whether reset is dominant.
        reset_wins: bool,
    },
    /// Toggles at each rising edge.
    Impulse,
    /// CTU that stops at its target.
    Counter {
        /// At which it stops.
        target: i64,
    },
    /// Light below a share.
    Twilight {
        /// A share of full light.
        below: f64,
    },
    /// A stretch of the dial.
    Clock {
        /// When it is true.
        stretch: Stretch,
    },
    /// The world's home hours.
    Home,
    /// Stretches of the dial.
    Detector {
        /// When it is true.
        times: Vec<Stretch>,
    },
    /// A battery's level in per mille; the part watched, if it is one.
    Charge {
        /// Index of the part watched.
        watches: Option<usize>,
        /// At or below it Q becomes true.
        low: i64,
        /// At or above it Q becomes false.
        high: i64,
    },
}

/// What a function remembers between solves.
#[derive(Clone, Debug, Default)]
pub struct Memory {
    /// Q as of the last solve.
    pub q: bool,
    /// The signals as of the last solve.
    before: [bool; 2],
    /// When the on-delay's trigger came, the off-delay's went, or the pulse began.
    since: Option<i64>,
    /// What the counter has counted.
    pub counted: i64,
}

impl Function {
    /// The names of a function's signal ports.
    pub fn signals(function: &str) -> &'static [&'static str] {
        match function {
            "relay" => &["coil"],
            "and" | "or" | "xor" => &["a", "b"],
            "on-delay" | "off-delay" | "pulse" | "impulse" => &["trigger"],
            "latch" => &["set", "reset"],
            "counter" => &["count", "reset"],
            "manual" | "button" | "twilight" | "clock" | "home" | "detector" | "charge" => &[],
            other => panic!("no such function: {other}"),
        }
    }

    /// Reads a function's settings.
    pub fn read(values: &Values, day_ms: i64, ids: &[&str]) -> Self {
        let delay = || duration_ms(values.need("delay_s"));
        match values.word("function", "") {
            "manual" => Self::Manual {
                closed: values
                    .find("closed")
                    .is_some_and(|closed| closed.as_bool().expect("a bool")),
                schedule: schedule(values.list("schedule"), day_ms),
            },
            "button" => Self::Button {
                hold: duration_ms(values.need("hold_s")),
                presses: values
                    .list("presses")
                    .iter()
                    .map(|press| clock_ms(press, day_ms))
                    .collect(),
            },
            "relay" => Self::Relay,
            "and" => Self::And,
            "or" => Self::Or,
            "xor" => Self::Xor,
            "on-delay" => Self::OnDelay { delay: delay() },
            "off-delay" => Self::OffDelay { delay: delay() },
            "pulse" => Self::Pulse { delay: delay() },
            "latch" => Self::Latch {
                reset_wins: values.word("dominant", "set") == "reset",
            },
            "impulse" => Self::Impulse,
            "counter" => Self::Counter {
                target: values.whole("target"),
            },
            "twilight" => Self::Twilight {
                below: values.float("below"),
            },
            "clock" => Self::Clock {
                stretch: Stretch::new(values.need("from"), values.need("to"), day_ms),
            },
            "home" => Self::Home,
            "detector" => Self::Detector {
                times: Stretch::list(values.list("times"), day_ms),
            },
            "charge" => Self::Charge {
                watches: ids.iter().position(|id| *id == values.word("watches", "")),
                low: values.whole("low"),
                high: values.whole("high"),
            },
            other => panic!("no such function: {other}"),
        }
    }

    /// Q of a function whose contact changes at once; `None` for one that is worked out at a solve and lags.
    pub fn at_once(&self, t: i64, day_ms: i64, sky: &Sky, home: &[Stretch]) -> Option<bool> {
        let dial = t % day_ms;
        match self {
            Self::Manual { closed, schedule } => Some(switch(*closed, schedule, t, day_ms)),
            Self::Button { hold, presses } => Some((0..=t / day_ms).any(|day| {
                presses
                    .iter()
                    .map(|press| day * day_ms + press)
                    .any(|press| press <= t && t < press + hold)
            })),
            Self::Twilight { below } => Some(sky.light(dial) < *below),
            Self::Clock { stretch } => Some(stretch.holds(dial)),
            Self::Home => Some(home.iter().any(|stretch| stretch.holds(dial))),
            Self::Detector { times } => Some(times.iter().any(|stretch| stretch.holds(dial))),
            _ => None,
        }
    }

    /// Works out Q at a solve from the signals now. `level` gives a watched battery's level and its capacity.
    ///
    /// AMBIGUOUS (zero delays): an on-delay or off-delay of 0 s follows its trigger; the rules say it of the pulse alone.
    pub fn settle(
        &self,
        memory: &mut Memory,
        signals: [bool; 2],
        t: i64,
        level: impl Fn(usize) -> Option<(i128, i128)>,
    ) {
        let [first, second] = signals;
        let rises = first && !memory.before[0];
        match self {
            Self::Relay => memory.q = first,
            Self::And => memory.q = first && second,
            Self::Or => memory.q = first || second,
            Self::Xor => memory.q = first != second,
            Self::OnDelay { delay } => {
                if rises {
                    memory.since = Some(t);
                }
                memory.q = first && memory.since.is_some_and(|since| t - since >= *delay);
            }
            Self::OffDelay { delay } => {
                if memory.before[0] && !first {
                    memory.since = Some(t);
                }
                let running = memory.since.is_some_and(|since| t - since < *delay);
                memory.q = first || running;
                if first {
                    memory.since = None;
                }
            }
            Self::Pulse { delay } => {
                if memory.since.is_some_and(|since| t - since >= *delay) {
                    memory.since = None;
                }
                if rises && memory.since.is_none() && *delay > 0 {
                    memory.since = Some(t);
                }
                memory.q = memory.since.is_some();
            }
            Self::Latch { reset_wins: false } => memory.q = first || (memory.q && !second),
            Self::Latch { reset_wins: true } => memory.q = !second && (first || memory.q),
            Self::Impulse => memory.q ^= rises,
            Self::Counter { target } => {
                if second {
                    memory.counted = 0;
                } else if rises && memory.counted < *target {
                    memory.counted += 1;
                }
                memory.q = memory.counted >= *target;
            }
            Self::Charge { watches, low, high } => match watches.and_then(level) {
                // AMBIGUOUS (levels): "per mille of capacity" compares the exact level, not a rounded reading.
                Some((level, full)) if 1000 * level <= i128::from(*low) * full => memory.q = true,
                Some((level, full)) if 1000 * level >= i128::from(*high) * full => memory.q = false,
                Some(_) => {}
                None => memory.q = false,
            },
            _ => {}
        }
        memory.before = signals;
    }
}

/// A manual contact's daily entries in the order they take effect.
///
/// AMBIGUOUS (doubled entries): of two entries at one millisecond the later in the list holds; an entry at 24:00 comes
/// before the next day's 00:00.
fn schedule(list: &[Value], day_ms: i64) -> Vec<(i64, bool)> {
    let mut entries: Vec<(i64, bool)> = list
        .iter()
        .map(|entry| {
            (
                clock_ms(&entry[0], day_ms),
                entry[1].as_bool().expect("closed or not"),
            )
        })
        .collect();
    entries.sort_by_key(|entry| entry.0);
    entries
}

fn switch(closed: bool, schedule: &[(i64, bool)], t: i64, day_ms: i64) -> bool {
    let today = t / day_ms;
    for day in [today, today - 1] {
        let entries = schedule.iter().rev();
        if let Some(entry) = entries
            .clone()
            .find(|entry| day >= 0 && day * day_ms + entry.0 <= t)
        {
            return entry.1;
        }
    }
    closed
}

/// A world's home hours.
pub fn home_hours(world: &Value, day_ms: i64) -> Vec<Stretch> {
    let list = world.get("home").and_then(Value::as_array);
    Stretch::list(list.map_or(&[], Vec::as_slice), day_ms)
}

/// Weather as one factor a day, and wind as one an hour, both as written.
pub fn factors(world: &Value, key: &str, default: &str) -> Vec<Decimal> {
    let list: Vec<Decimal> = world
        .get(key)
        .and_then(Value::as_array)
        .into_iter()
        .flatten()
        .map(Decimal::of)
        .collect();
    if list.is_empty() {
        vec![Decimal::parse(default)]
    } else {
        list
    }
}
