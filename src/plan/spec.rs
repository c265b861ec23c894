//! A part with its numbers and settings worked out: the book's defaults under the part's own, clock times as
//! milliseconds of the world's day. What the rooms behind the plan work with.

use super::{Clock, Part, Plan};
use crate::book::{Behaviour, FunctionName, PartType, Profile, Short, setting};
use crate::quantity::{self, Energy, Ms};
use crate::sky::Aim;
use serde_json::Value;

/// A part as the rules see it. Powers in steps, banks multiplied out.
#[derive(Clone, Debug, PartialEq)]
pub enum Spec {
    /// A source of `count` equal ones.
    Source {
        /// The peak of one.
        peak: u64,
        /// How many there are.
        count: u64,
        /// How one goes through the day.
        profile: Profile,
        /// How a sun panel is aimed.
        aim: Aim,
    },
    /// A battery, the whole bank.
    Battery {
        /// What it holds.
        capacity: Energy,
        /// Steps it takes at the most.
        max_in: u64,
        /// Steps it gives at the most.
        max_out: u64,
        /// Per mille of what is taken in that is stored.
        efficiency: u64,
        /// The level at or below which its output goes off.
        cut_out: Energy,
        /// The level at or above which its output goes on again.
        cut_in: Energy,
        /// The level at t = 0.
        start: Energy,
    },
    /// A load, the whole bank.
    Load {
        /// Steps it draws while it runs.
        draw: u64,
        /// What it does when it can't.
        short: Short,
    },
    /// A tap that sets so many steps aside.
    Tap(u64),
    /// A divider of so many ways.
    Divider(u64),
    /// A busbar of so many ways.
    Busbar(u64),
    /// A changeover that stays on main from so many steps.
    Changeover(u64),
    /// A meter.
    Meter,
    /// A contact.
    Contact {
        /// Steps a live signal port takes.
        coil: u64,
        /// Whether it conducts while its function is false.
        breaks: bool,
        /// What it follows.
        function: Function,
    },
}

/// A contact's function with its settings; times in milliseconds, of the day where they are daily.
#[derive(Clone, Debug, PartialEq)]
pub enum Function {
    /// A switch, closed or not until the first entry of its schedule, which is in the order of time.
    Manual {
        /// As on day 1 until the first entry.
        closed: bool,
        /// Daily entries.
        schedule: Vec<(Ms, bool)>,
    },
    /// True for a time after each daily press.
    Button {
        /// How long.
        hold: Ms,
        /// When.
        presses: Vec<Ms>,
    },
    /// The signal.
    Relay,
    /// Both signals.
    And,
    /// Either signal.
    Or,
    /// One signal alone.
    Xor,
    /// IEC 61131-3 TON.
    OnDelay(Ms),
    /// IEC 61131-3 TOF.
    OffDelay(Ms),
    /// IEC 61131-3 TP.
    Pulse(Ms),
    /// IEC 61131-3 SR, or RS where reset is dominant.
    Latch {
        /// Whether reset wins where both are live.
        reset_wins: bool,
    },
    /// Toggles at each rising edge.
    Impulse,
    /// IEC 61131-3 CTU that stops counting at its target.
    Counter(u64),
    /// The light is below this.
    Twilight(f64),
    /// The dial is in this stretch.
    Clock(Ms, Ms),
    /// The world's home hours hold.
    Home,
    /// Inside one of these daily stretches.
    Detector(Vec<(Ms, Ms)>),
    /// The level of a battery, with hysteresis in per mille.
    Charge {
        /// The battery's id; another id leaves it false.
        watches: String,
        /// True at or below.
        low: u64,
        /// False at or above.
        high: u64,
    },
}

impl Plan {
    /// What `part` is, with its settings; `None` where its type is not in the book.
    pub fn spec(&self, part: &Part) -> Option<Spec> {
        let kind = self.kind_of(part)?;
        let look = Look {
            part,
            kind,
            day_ms: self.world.day_ms(),
        };
        Some(look.spec())
    }
}

/// Looks settings up: the part's own, else the book's.
struct Look<'a> {
    part: &'a Part,
    kind: &'a PartType,
    day_ms: Ms,
}

impl Look<'_> {
    fn value(&self, key: &str) -> Option<&Value> {
        self.part.set.get(key).or_else(|| self.kind.set.get(key))
    }

    fn decimal(&self, key: &str) -> f64 {
        self.value(key).and_then(Value::as_f64).unwrap_or(0.0)
    }

    fn whole(&self, key: &str, default: u64) -> u64 {
        let found = self.value(key);
        found
            .and_then(|v| v.as_u64().or_else(|| v.as_f64().map(|f| f as u64)))
            .unwrap_or(default)
    }

    fn seconds(&self, key: &str) -> Ms {
        quantity::seconds_to_ms(self.decimal(key)).unwrap_or(0)
    }

    fn clock(&self, key: &str) -> Ms {
        self.value(key)
            .and_then(setting::clock)
            .map_or(0, |c| c.ms(self.day_ms))
    }

    fn is(&self, key: &str, word: &str) -> bool {
        self.value(key).and_then(Value::as_str) == Some(word)
    }

    fn spec(&self) -> Spec {
        let count = self.part.count;
        match self.kind.behaviour {
            Behaviour::Source { peak, profile } => {
                let aim = Aim {
                    azimuth: self.decimal("azimuth"),
                    tilt: self.decimal("tilt"),
                };
                Spec::Source {
                    peak,
                    count,
                    profile,
                    aim,
                }
            }
            Behaviour::Battery {
                capacity,
                max_in,
                max_out,
                efficiency,
                cut_out,
                cut_in,
            } => {
                let capacity = capacity * Energy::from(count);
                // Capacity is a whole number of step·ms, so a per mille of it is a whole number of thousandths.
                let share = |per_mille: u64| capacity / quantity::STEP_MS * Energy::from(per_mille);
                Spec::Battery {
                    capacity,
                    max_in: max_in * count,
                    max_out: max_out * count,
                    efficiency,
                    cut_out: share(cut_out),
                    cut_in: share(cut_in),
                    start: share(self.whole("start", 0)),
                }
            }
            Behaviour::Load { draw, short } => Spec::Load {
                draw: draw * count,
                short: self
                    .value("short")
                    .and_then(Value::as_str)
                    .and_then(Short::of)
                    .unwrap_or(short),
            },
            Behaviour::Tap => Spec::Tap(self.whole("amount", 0)),
            Behaviour::Divider { ways } => Spec::Divider(ways),
            Behaviour::Busbar { ways } => Spec::Busbar(ways),
            Behaviour::Changeover => Spec::Changeover(self.whole("least", 1)),
            Behaviour::Meter => Spec::Meter,
            Behaviour::Contact { function, coil } => Spec::Contact {
                coil,
                breaks: self.is("contact", "break"),
                function: self.function(function),
            },
        }
    }

    fn function(&self, name: FunctionName) -> Function {
        let ms = |c: Clock| c.ms(self.day_ms);
        match name {
            FunctionName::Manual => {
                let schedule = self
                    .value("schedule")
                    .and_then(setting::schedule)
                    .unwrap_or_default();
                let mut schedule: Vec<(Ms, bool)> = schedule
                    .into_iter()
                    .map(|(c, closed)| (ms(c), closed))
                    .collect();
                schedule.sort_by_key(|(at, _)| *at);
                let closed = self
                    .value("closed")
                    .and_then(Value::as_bool)
                    .unwrap_or(false);
                Function::Manual { closed, schedule }
            }
            FunctionName::Button => {
                let presses = self
                    .value("presses")
                    .and_then(setting::presses)
                    .unwrap_or_default();
                Function::Button {
                    hold: self.seconds("hold_s"),
                    presses: presses.into_iter().map(ms).collect(),
                }
            }
            FunctionName::Relay => Function::Relay,
            FunctionName::And => Function::And,
            FunctionName::Or => Function::Or,
            FunctionName::Xor => Function::Xor,
            FunctionName::OnDelay => Function::OnDelay(self.seconds("delay_s")),
            FunctionName::OffDelay => Function::OffDelay(self.seconds("delay_s")),
            FunctionName::Pulse => Function::Pulse(self.seconds("delay_s")),
            FunctionName::Latch => Function::Latch {
                reset_wins: self.is("dominant", "reset"),
            },
            FunctionName::Impulse => Function::Impulse,
            FunctionName::Counter => Function::Counter(self.whole("target", 0)),
            FunctionName::Twilight => Function::Twilight(self.decimal("below")),
            FunctionName::Clock => Function::Clock(self.clock("from"), self.clock("to")),
            FunctionName::Home => Function::Home,
            FunctionName::Detector => {
                let times = self
                    .value("times")
                    .and_then(setting::spans)
                    .unwrap_or_default();
                Function::Detector(times.into_iter().map(|s| (ms(s.from), ms(s.to))).collect())
            }
            FunctionName::Charge => Function::Charge {
                watches: self
                    .value("watches")
                    .and_then(Value::as_str)
                    .unwrap_or("")
                    .into(),
                low: self.whole("low", 0),
                high: self.whole("high", 1000),
            },
        }
    }
}
