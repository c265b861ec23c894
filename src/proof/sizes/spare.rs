//! The reverse: how much more load each source and battery could carry, and how much more a battery could hold to any use.
//!
//! A load that draws so many whole steps is put at the part's output, ahead of all that hangs there: a tap sets its steps
//! aside, at night only behind a switch that closes in the dark. The load is to run at all times, or whenever it is dark,
//! with the usual grace, and every duty of the plan is to be kept still. What a part carries is the most steps below the
//! first number that breaks a duty, so every smaller number breaks none. That number is found by halving where more is
//! proven to be no better (see [`super::monotone`]), one step at a time otherwise. Where the plan as it is keeps its duties
//! for ever and with these steps no midnight repeats, a number is found by halving with which one does while with one more
//! none does. Whether one repeats goes by no rule, so there may be greater such numbers.

use super::monotone;
use crate::book::{Behaviour, Book, FunctionName, PartType, Short};
use crate::net::Net;
use crate::plan::{BookRef, Duty, End, Part, PartId, Plan, Spec, When, Wire, WireId};
use crate::proof::first_break::{self, FirstBreak};
use crate::quantity::Energy;
use crate::run::{self, Course, Extent, What};
use serde::{Deserialize, Serialize};
use serde_json::{Map, Value};
use std::sync::Arc;

/// How many numbers of steps are tried one after the other where nothing is proven.
const STEPS: u64 = 200;
/// How many more units of a battery are tried.
const UNITS: u64 = 32;
/// The grace of the load's own duty, in seconds.
const GRACE_S: f64 = 60.0;
/// Light below this is none.
const NO_LIGHT: f64 = f64::MIN_POSITIVE;

/// What a part could carry besides what it does.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub enum Carries {
    /// So many steps; with one more a duty is broken.
    Exactly(u64),
    /// So many steps; of more nothing is shown.
    AtLeast(u64),
    /// Some steps for ever, as the plan itself keeps its duties, and more than that for as long as a check runs.
    ForAWhile {
        /// So many are shown to be carried for ever.
        for_ever: u64,
        /// With so many no midnight repeats, with one more a duty is broken.
        kept: u64,
    },
    /// The plan itself does not keep its duties, so there is nothing to compare with.
    Broken,
}

/// What more capacity would do.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub enum MoreCapacity {
    /// Nothing: its output never goes off, so there is always something left in it. `spare` is the least it has above its
    /// cut-out over the days that repeat.
    NeverFlat {
        /// In energy.
        spare: Energy,
    },
    /// Nothing: it is never full over the days that repeat.
    NeverFull,
    /// So many more units: with one fewer it is full at times and flat at others, with these it no longer is both.
    Units(u64),
    /// It is both full and flat at times, with as many units more as were tried too.
    NotWith(u64),
    /// No midnight repeats, so nothing can be said.
    Unsettled,
}

/// What a part has in reserve.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Spare {
    /// The source or battery.
    pub part: PartId,
    /// How much more it could carry at all times.
    pub always: Carries,
    /// How much more it could carry in the dark.
    pub dark: Carries,
    /// Whether that holds for ever, as the plan itself does.
    pub for_ever: bool,
    /// For a battery, what more capacity would do.
    pub holds: Option<MoreCapacity>,
}

/// How many sources and batteries there are, banks counted once.
pub fn banks(plan: &Plan) -> usize {
    plan.parts.iter().filter(|p| is_bank(plan, p)).count()
}

fn is_bank(plan: &Plan, part: &Part) -> bool {
    let kind = plan.kind_of(part).map(|t| &t.behaviour);
    matches!(
        kind,
        Some(Behaviour::Source { .. } | Behaviour::Battery { .. })
    )
}

/// What each source and battery of `plan` has to spare, in the plan's order. `watch` is called after every run with those
/// found so far and the number of runs, and says whether to go on; those found by then are the answer.
pub fn spares(plan: &Plan, watch: &mut dyn FnMut(&[Spare], u64) -> bool) -> Vec<Spare> {
    let mut job = Job {
        plan,
        watch,
        runs: 0,
        found: Vec::new(),
    };
    // Stopped or not, what was found is told.
    let _ = job.go();
    job.found
}

/// What is asked about one part.
struct Asked<'a> {
    plan: &'a Plan,
    part: &'a PartId,
    /// Its place where it is a battery.
    battery: Option<usize>,
    /// Whether the plan as it is keeps its duties for ever.
    for_ever: bool,
}

/// The work on a plan. What answers with none was stopped.
struct Job<'a> {
    plan: &'a Plan,
    watch: &'a mut dyn FnMut(&[Spare], u64) -> bool,
    runs: u64,
    found: Vec<Spare>,
}

impl Job<'_> {
    fn go(&mut self) -> Option<()> {
        let plan = self.plan;
        let present = self.run(plan)?;
        for (at, part) in plan.parts.iter().enumerate() {
            if !is_bank(plan, part) {
                continue;
            }
            let is_battery = matches!(plan.spec(part), Some(Spec::Battery { .. }));
            let asked = Asked {
                plan,
                part: &part.id,
                battery: is_battery.then_some(at),
                for_ever: present.for_ever,
            };
            let (mut always, mut dark) = (Carries::Broken, Carries::Broken);
            if present.keeps(false) {
                always = self.carries(&asked, When::Always)?;
                dark = self.carries(&asked, When::Dark)?;
            }
            let holds = match asked.battery {
                Some(at) => Some(self.holds(at)?),
                None => None,
            };
            self.found.push(Spare {
                part: part.id.clone(),
                always,
                dark,
                for_ever: present.for_ever,
                holds,
            });
        }
        Some(())
    }

    /// Tells of a run; none where the watcher has had enough.
    fn told(&mut self) -> Option<()> {
        self.runs += 1;
        (self.watch)(&self.found, self.runs).then_some(())
    }

    fn run(&mut self, plan: &Plan) -> Option<FirstBreak> {
        let trial = first_break::run(plan, &[]);
        self.told()?;
        Some(trial)
    }

    fn carries(&mut self, asked: &Asked, when: When) -> Option<Carries> {
        let mut trial = |steps: u64| self.run(&with_load(asked.plan, asked.part, when, steps));
        // The most steps that break nothing, whether for ever; and how it went with one more.
        let mut kept = (0, asked.for_ever);
        let mut more: Option<FirstBreak> = None;
        if let Some(most) = asked.certain(when) {
            let mut high = most;
            while kept.0 < high {
                let middle = kept.0 + (high - kept.0).div_ceil(2);
                let now = trial(middle)?;
                if now.keeps(false) {
                    kept = (middle, now.for_ever);
                } else {
                    high = middle - 1;
                    more = Some(now);
                }
            }
        }
        let reached = kept.0 + STEPS;
        while more.is_none() && kept.0 < reached {
            let now = trial(kept.0 + 1)?;
            if now.keeps(false) {
                kept = (kept.0 + 1, now.for_ever);
            } else {
                more = Some(now);
            }
        }
        let breaks = more.is_some_and(|more| more.breaks.is_some());
        if kept.1 || !asked.for_ever {
            return Some(match breaks {
                true => Carries::Exactly(kept.0),
                false => Carries::AtLeast(kept.0),
            });
        }
        let (mut sure, mut unsure) = (0, kept.0);
        while sure + 1 < unsure {
            let middle = sure + (unsure - sure) / 2;
            if trial(middle)?.keeps(true) {
                sure = middle;
            } else {
                unsure = middle;
            }
        }
        Some(match breaks {
            true => Carries::ForAWhile {
                for_ever: sure,
                kept: kept.0,
            },
            false => Carries::AtLeast(sure),
        })
    }

    /// What more of a battery would do over the days that repeat.
    fn holds(&mut self, battery: usize) -> Option<MoreCapacity> {
        let count = self.plan.parts[battery].count;
        let Some(now) = self.cycle(battery, count)? else {
            return Some(MoreCapacity::Unsettled);
        };
        if !now.flat {
            return Some(MoreCapacity::NeverFlat { spare: now.spare });
        }
        if !now.full {
            return Some(MoreCapacity::NeverFull);
        }
        for more in 1..=UNITS {
            match self.cycle(battery, count.saturating_add(more))? {
                Some(then) if then.full && then.flat => {}
                Some(_) => return Some(MoreCapacity::Units(more)),
                None => return Some(MoreCapacity::Unsettled),
            }
        }
        Some(MoreCapacity::NotWith(UNITS))
    }

    /// The days that repeat with so many of a battery, if they do.
    fn cycle(&mut self, battery: usize, count: u64) -> Option<Option<Cycle>> {
        let cycle = Cycle::of(self.plan, battery, count);
        self.told()?;
        Some(cycle)
    }
}

impl Asked<'_> {
    /// Up to how many steps a number that breaks a duty is proven to mean that every larger one does. Within what
    /// saturates all that hangs on a battery, the load does nothing but drain it; and an output that goes off is seen.
    fn certain(&self, when: When) -> Option<u64> {
        let battery = self.battery.filter(|_| self.for_ever)?;
        let sure = match when {
            // The load itself is a duty at every moment.
            When::Always => with_load(self.plan, self.part, when, 1),
            _ => self.plan.clone(),
        };
        monotone::spare(self.plan, battery).filter(|_| monotone::covered_always(&sure, battery))
    }
}

const LOAD: &str = "reserve load";
const ASIDE: &str = "reserve tap";
const SWITCH: &str = "reserve switch";

/// The plan with `steps` more drawn at the output of `part`, and the duty that they are; the plan itself for none.
fn with_load(plan: &Plan, part: &PartId, when: When, steps: u64) -> Plan {
    if steps == 0 {
        return plan.clone();
    }
    let mut more = plan.clone();
    more.book = with_types(&plan.book.book);
    let id = |what: &str| {
        PartId::from(free(what, |id| {
            plan.parts.iter().any(|p| p.id.as_str() == id)
        }))
    };
    let (tap, load, switch) = (id("tap"), id("load"), id("switch"));
    let mut add = |id: &PartId, kind: &str, count: u64, set: Option<(&str, Value)>| {
        let mut part = Part::new(id.clone(), kind, (0.0, 0.0));
        part.count = count;
        part.set
            .extend(set.map(|(key, value)| (key.to_string(), value)));
        more.parts.push(part);
    };
    add(&tap, ASIDE, 1, Some(("amount", Value::from(steps))));
    add(&load, LOAD, steps, None);
    let out = End::new(part, "out");
    if let Some(wire) = more.wires.iter_mut().find(|w| w.from == out) {
        wire.from = End::new(&tap, "rest");
    }
    let mut ends = vec![(out, End::new(&tap, "in"))];
    if when == When::Always {
        ends.push((End::new(&tap, "tap"), End::new(&load, "in")));
    } else {
        add(&switch, SWITCH, 1, None);
        ends.push((End::new(&tap, "tap"), End::new(&switch, "feed")));
        ends.push((End::new(&switch, "out"), End::new(&load, "in")));
    }
    for (number, (from, to)) in ends.into_iter().enumerate() {
        let taken = |id: &str| plan.wires.iter().any(|w| w.id.as_str() == id);
        let id = WireId::from(free(&format!("reserve wire {number}"), taken));
        more.wires.push(Wire::new(id, from, to));
    }
    more.duties.push(Duty {
        part: load,
        when: when.into(),
        only: false,
        grace_s: GRACE_S,
        extra: Map::new(),
    });
    more
}

/// An id like `stem` that is not taken.
fn free(stem: &str, taken: impl Fn(&str) -> bool) -> String {
    let mut id = stem.to_string();
    while taken(&id) {
        id.push('+');
    }
    id
}

/// The book with the types for a load more.
fn with_types(book: &Book) -> BookRef {
    let mut book = book.clone();
    let of = |name: &str, behaviour: Behaviour, set: &[(&str, Value)]| PartType {
        name: name.into(),
        label: name.into(),
        group: String::new(),
        symbol: String::new(),
        behaviour,
        set: set
            .iter()
            .map(|(key, value)| (key.to_string(), value.clone()))
            .collect(),
        cost: Vec::new(),
        stage: 0,
        mount: String::new(),
        max_run: None,
        says: String::new(),
        note: String::new(),
        source: String::new(),
        extra: Map::new(),
    };
    book.types
        .retain(|t| ![LOAD, ASIDE, SWITCH].contains(&t.name.as_str()));
    book.types.push(of(
        LOAD,
        Behaviour::Load {
            draw: 1,
            short: Short::Hold,
        },
        &[],
    ));
    book.types
        .push(of(ASIDE, Behaviour::Tap, &[("amount", Value::from(0))]));
    book.types.push(of(
        SWITCH,
        Behaviour::Contact {
            function: FunctionName::Twilight,
            coil: 1,
        },
        &[("below", Value::from(NO_LIGHT))],
    ));
    BookRef::new(Arc::new(book), Value::Null)
}

/// A battery over the days that repeat.
struct Cycle {
    flat: bool,
    full: bool,
    spare: Energy,
}

impl Cycle {
    fn of(plan: &Plan, battery: usize, count: u64) -> Option<Cycle> {
        let mut plan = plan.clone();
        plan.parts[battery].count = count;
        let mut course = Course::new(&plan, Extent::UntilRepeat);
        while !course.go(u64::MAX) {}
        let journey = course.finish(&plan);
        let from = journey.repeats?.saturating_mul(journey.day_ms);
        let node = Net::compile(&plan).nodes.swap_remove(battery);
        let Some(Spec::Battery {
            capacity, cut_out, ..
        }) = node.spec
        else {
            return None;
        };
        let record = &journey.record;
        let level = &record.batteries.get(&battery)?.level;
        // The level on the first of those days: on the line between two points.
        let first = run::at(&plan, from);
        let output = match first.parts.get(battery) {
            Some(run::PartState::Battery { output, level, .. }) => (*output, *level),
            _ => return None,
        };
        let within = level.iter().filter(|(t, _)| *t >= from).map(|(_, l)| *l);
        let levels: Vec<Energy> = within.chain([output.1]).collect();
        let goes_off = record
            .events
            .iter()
            .any(|e| e.place() == battery && e.what == What::OutputOff && e.t >= from);
        Some(Cycle {
            flat: !output.0 || goes_off,
            full: levels.iter().any(|l| *l >= capacity),
            spare: (levels.iter().min()? - cut_out).max(0),
        })
    }
}
