//! What a run of the simple engine says.
//!
//! Energies in step·ms, levels in 1/1000 step·ms, times in milliseconds since midnight of day 1; all by id.

use super::instant::{Conditions, Solved};
use super::model::{Kind, Model};
use std::collections::BTreeMap;

/// What an event is; the order is the order in which those of one part and millisecond are listed.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum What {
    /// A contact stops conducting.
    Opens,
    /// A contact starts conducting.
    Closes,
    /// A contact chatters and is held open.
    Chatters,
    /// A battery becomes full.
    Full,
    /// A battery's output goes off.
    OutputOff,
    /// A battery's output comes back.
    OutputOn,
    /// A load starts running.
    Runs,
    /// A load stops running.
    Stops,
}

impl What {
    /// The word used for it in a list of events.
    pub fn word(self) -> &'static str {
        match self {
            Self::Opens => "opens",
            Self::Closes => "closes",
            Self::Chatters => "chatters",
            Self::Full => "full",
            Self::OutputOff => "output-off",
            Self::OutputOn => "output-on",
            Self::Runs => "runs",
            Self::Stops => "stops",
        }
    }
}

/// Something that happened.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Event {
    /// When.
    pub t: i64,
    /// To which part.
    pub part: String,
    /// What.
    pub what: What,
}

/// A battery at one millisecond.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Store {
    /// 1/1000 step·ms.
    pub level: i128,
    /// Whether the output is on.
    pub output: bool,
    /// Whether it is full.
    pub full: bool,
}

/// Everything at one millisecond, its events applied.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Moment {
    /// When.
    pub t: i64,
    /// Offer and take by wire.
    pub wires: BTreeMap<String, (i64, i64)>,
    /// By load.
    pub runs: BTreeMap<String, bool>,
    /// By battery.
    pub batteries: BTreeMap<String, Store>,
    /// By contact.
    pub conducts: BTreeMap<String, bool>,
    /// What a contact has counted, 0 for all but counters.
    pub counted: BTreeMap<String, i64>,
}

/// What a run of the simple engine says.
#[derive(Clone, Debug, Default)]
pub struct Outcome {
    /// In the order of the rules: time, the plan's order of parts, kind.
    pub events: Vec<Event>,
    /// The milliseconds that were asked for, in the order of time.
    pub moments: Vec<Moment>,
    /// Energy of a load while it runs.
    pub loads: BTreeMap<String, i128>,
    /// Energy that a source had, and that was taken from it.
    pub sources: BTreeMap<String, (i128, i128)>,
    /// Energy into a battery and out of it, before efficiency.
    pub batteries: BTreeMap<String, (i128, i128)>,
    /// A battery's level at the end of the run.
    pub levels: BTreeMap<String, i128>,
    /// Stretches in which a load runs.
    pub runs: BTreeMap<String, Vec<(i64, i64)>>,
    /// Stretches in which a contact conducts.
    pub conducts: BTreeMap<String, Vec<(i64, i64)>>,
}

impl Outcome {
    /// An empty outcome that names every part.
    pub fn new(model: &Model) -> Self {
        let mut outcome = Self::default();
        for part in &model.parts {
            let id = part.id.clone();
            match part.kind {
                Kind::Source { .. } => {
                    outcome.sources.insert(id, (0, 0));
                }
                Kind::Battery(_) => {
                    outcome.batteries.insert(id, (0, 0));
                }
                Kind::Load { .. } => {
                    outcome.loads.insert(id.clone(), 0);
                    outcome.runs.insert(id, Vec::new());
                }
                Kind::Contact { .. } => {
                    outcome.conducts.insert(id, Vec::new());
                }
                _ => {}
            }
        }
        outcome
    }

    /// Adds the millisecond that begins at `t`.
    pub fn add(&mut self, t: i64, model: &Model, now: &Conditions, solved: &Solved) {
        let take = |wire: Option<usize>| i128::from(wire.map_or(0, |wire| solved.takes[wire]));
        for (index, part) in model.parts.iter().enumerate() {
            match part.kind {
                Kind::Source { .. } => {
                    let sums = self.sources.get_mut(&part.id).expect("a source");
                    sums.0 += i128::from(now.available[index]);
                    sums.1 += take(part.outputs[0]);
                }
                Kind::Battery(_) => {
                    let sums = self.batteries.get_mut(&part.id).expect("a battery");
                    sums.0 += take(part.inputs[0]);
                    sums.1 += take(part.outputs[0]);
                }
                Kind::Load { draw, .. } if solved.runs[index] => {
                    *self.loads.get_mut(&part.id).expect("a load") += i128::from(draw);
                    extend(self.runs.get_mut(&part.id).expect("a load"), t);
                }
                Kind::Contact { .. } if now.conducts[index] => {
                    extend(self.conducts.get_mut(&part.id).expect("a contact"), t);
                }
                _ => {}
            }
        }
    }

    /// Keeps a closer look at millisecond `t`.
    pub fn look(
        &mut self,
        t: i64,
        model: &Model,
        now: &Conditions,
        solved: &Solved,
        levels: &[i128],
        counted: &[i64],
    ) {
        let mut moment = Moment {
            t,
            ..Moment::default()
        };
        for (index, wire) in model.wires.iter().enumerate() {
            moment
                .wires
                .insert(wire.id.clone(), (solved.offers[index], solved.takes[index]));
        }
        for (index, part) in model.parts.iter().enumerate() {
            let id = part.id.clone();
            match part.kind {
                Kind::Load { .. } => {
                    moment.runs.insert(id, solved.runs[index]);
                }
                Kind::Battery(_) => {
                    let (level, output, full) = (levels[index], now.output[index], now.full[index]);
                    moment.batteries.insert(
                        id,
                        Store {
                            level,
                            output,
                            full,
                        },
                    );
                }
                Kind::Contact { .. } => {
                    moment.conducts.insert(id.clone(), now.conducts[index]);
                    moment.counted.insert(id, counted[index]);
                }
                _ => {}
            }
        }
        self.moments.push(moment);
    }

    /// Notes the levels at the end.
    pub fn finish(&mut self, model: &Model, levels: &[i128]) {
        for (part, level) in model.parts.iter().zip(levels) {
            if matches!(part.kind, Kind::Battery(_)) {
                self.levels.insert(part.id.clone(), *level);
            }
        }
    }
}

/// Makes the millisecond from `t` part of the last stretch, or starts another.
fn extend(stretches: &mut Vec<(i64, i64)>, t: i64) {
    match stretches.last_mut() {
        Some(last) if last.1 == t => last.1 = t + 1,
        _ => stretches.push((t, t + 1)),
    }
}
