//! The reverse: how much more load each source and battery could carry, and how much more a battery could hold to any use.
//!
//! A load that draws so many whole steps is put at the part's output, ahead of all that hangs there: a tap sets its steps
//! aside, at night only behind a switch that closes in the dark. The load is to run at all times, or whenever it is dark,
//! with the usual grace, and every duty of the plan is to be kept still. What a part carries is the most steps below the
//! first number that breaks a duty, so every smaller number breaks none; where the plan as it is keeps its duties for
//! ever, with these steps it does so too. The first number that breaks is found by halving where more is proven to be no
//! better (see [`super::monotone`]), one step at a time otherwise.

use super::monotone;
use super::trial;
use crate::book::{Behaviour, Book, FunctionName, PartType, Short};
use crate::net::Net;
use crate::plan::{BookRef, Duty, End, Part, PartId, Plan, Spec, When, Wire, WireId};
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
    /// So many steps; more breaks a duty, or is not kept for ever.
    Exactly(u64),
    /// So many steps; more was not tried.
    AtLeast(u64),
    /// The plan itself does not keep its duties, so there is nothing to compare with.
    Broken,
}

/// What more capacity would do.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub enum Holds {
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
pub struct Reserve {
    /// The source or battery.
    pub part: PartId,
    /// How much more it could carry at all times.
    pub always: Carries,
    /// How much more it could carry in the dark.
    pub dark: Carries,
    /// Whether that holds for ever, as the plan itself does.
    pub for_ever: bool,
    /// For a battery, what more capacity would do.
    pub holds: Option<Holds>,
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

/// The reserves of the sources and batteries of `plan`, one after the other in the plan's order.
pub fn reserves(plan: &Plan) -> impl Iterator<Item = Reserve> + '_ {
    let present = trial::run(plan, &[]);
    let place = |id: &PartId| plan.parts.iter().position(|p| p.id == *id);
    let banks = plan.parts.iter().filter(|p| is_bank(plan, p));
    banks.map(move |part| {
        let is = |at: &usize| matches!(plan.spec(&plan.parts[*at]), Some(Spec::Battery { .. }));
        let asked = Asked {
            plan,
            part: &part.id,
            battery: place(&part.id).filter(is),
            for_ever: present.for_ever,
        };
        let carry = |when: When| match present.keeps(false) {
            true => asked.carries(when),
            false => Carries::Broken,
        };
        Reserve {
            part: part.id.clone(),
            always: carry(When::Always),
            dark: carry(When::Dark),
            for_ever: present.for_ever,
            holds: asked.battery.map(|at| holds(plan, at)),
        }
    })
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

impl Asked<'_> {
    fn run(&self, when: When, steps: u64) -> trial::Trial {
        trial::run(&with_load(self.plan, self.part, when, steps), &[])
    }

    fn breaks(&self, when: When, steps: u64) -> bool {
        let trial = self.run(when, steps);
        trial.breaks.is_some() || trial.stopped
    }

    fn carries(&self, when: When) -> Carries {
        let mut least = 0;
        if let Some(most) = self.certain(when) {
            let mut high = most;
            while least < high {
                let middle = least + (high - least).div_ceil(2);
                if self.breaks(when, middle) {
                    high = middle - 1;
                } else {
                    least = middle;
                }
            }
            if least < most {
                return Carries::Exactly(self.for_ever(when, least));
            }
        }
        let reached = least + STEPS;
        let first = (least + 1..=reached).find(|steps| self.breaks(when, *steps));
        match first {
            Some(steps) => Carries::Exactly(self.for_ever(when, steps - 1)),
            None => Carries::AtLeast(self.for_ever(when, reached)),
        }
    }

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

    /// The most steps up to `steps` with which the duties are kept for ever, if they are without.
    fn for_ever(&self, when: When, steps: u64) -> u64 {
        let mut steps = steps;
        while self.for_ever && steps > 0 && !self.run(when, steps).for_ever {
            steps -= 1;
        }
        steps
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
        when,
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
        tier: 0,
        mount: String::new(),
        max_run: None,
        says: String::new(),
        note: String::new(),
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
    BookRef {
        written: Value::Null,
        book: Arc::new(book),
    }
}

/// What more of a battery would do over the days that repeat.
fn holds(plan: &Plan, battery: usize) -> Holds {
    let Some(now) = Cycle::of(plan, battery, plan.parts[battery].count) else {
        return Holds::Unsettled;
    };
    if !now.flat {
        return Holds::NeverFlat { spare: now.spare };
    }
    if !now.full {
        return Holds::NeverFull;
    }
    let count = plan.parts[battery].count;
    for more in 1..=UNITS {
        match Cycle::of(plan, battery, count.saturating_add(more)) {
            Some(then) if then.full && then.flat => {}
            Some(_) => return Holds::Units(more),
            None => return Holds::Unsettled,
        }
    }
    Holds::NotWith(UNITS)
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
