//! What a check of a branch shows: the run of the plan as it then stands, at the time of day 1 that is asked for. Steps, per
//! mille.
//!
//! Only the island that the branch belongs to is run: what is on no wire with it, and is not watched by it, shows what it
//! showed before. An island is compiled and set up once, and what stands of it is run from there.

use super::branches::Branches;
use crate::book::Behaviour;
use crate::clock::Clock;
use crate::plan::{End, PartId, Plan, WireId};
use crate::quantity::Ms;
use crate::run::{Engine, Flow, PartState, Template};
use serde::{Deserialize, Serialize};
use serde_json::Map;
use std::collections::BTreeMap;

/// What is to be read at one place.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub enum Reads {
    /// A load or a contact.
    Part {
        /// The part.
        part: PartId,
        /// What it does.
        shows: Shows,
    },
    /// A battery.
    Level {
        /// The battery.
        part: PartId,
        /// What it holds, per mille of its capacity, rounded down.
        level: u64,
    },
    /// A meter, by a wire of it.
    Wire {
        /// The wire.
        wire: WireId,
        /// The meter.
        meter: PartId,
        /// What it carries.
        take: u64,
        /// What could come through it.
        offer: u64,
    },
}

/// What a load or a contact does.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub enum Shows {
    /// The load runs.
    Runs,
    /// The load is offered nothing.
    Off,
    /// The load is offered so many steps less than it draws.
    Short(u64),
    /// The contact conducts.
    Conducts,
    /// The contact is open.
    Open,
}

/// Checks branch after branch.
pub(super) struct Checks<'a> {
    plan: &'a Plan,
    branches: &'a Branches,
    t: Ms,
    /// Whether each branch stands.
    built: Vec<bool>,
    /// What was read at each part at the last check that told of it.
    last: Vec<Option<Reads>>,
    /// The islands, by their numbers; one without parts where no island has the number.
    islands: Vec<Island>,
}

/// Parts that have to do with each other, and their wires; both by their places in the plan and in its order.
#[derive(Clone, Default)]
struct Island {
    parts: Vec<usize>,
    wires: Vec<usize>,
    /// What it is as a plan of its own, once one of its branches is checked.
    own: Option<Own>,
}

#[derive(Clone)]
struct Own {
    plan: Plan,
    /// Set up once for all checks, where what stands of it can be run from there.
    template: Option<Template>,
}

/// What parts do and wires carry, by their places on the island.
type Shown = (BTreeMap<usize, PartState>, BTreeMap<usize, Flow>);

impl<'a> Checks<'a> {
    /// Nothing built yet.
    pub fn new(plan: &'a Plan, branches: &'a Branches, at: Clock) -> Checks<'a> {
        let mut islands = vec![Island::default(); plan.parts.len()];
        for (part, island) in branches.island.iter().enumerate() {
            islands[*island].parts.push(part);
        }
        for (wire, ends) in branches.ends.iter().enumerate() {
            if let Some((_, to)) = ends {
                islands[branches.island[*to]].wires.push(wire);
            }
        }
        Checks {
            plan,
            branches,
            t: at.ms(plan.world.day_ms()),
            built: vec![false; branches.list.len()],
            last: vec![None; plan.parts.len()],
            islands,
        }
    }

    /// Builds a branch, and tells what is to be read of it and what reads otherwise than before; in the plan's order.
    pub fn of(&mut self, branch: usize) -> Vec<Reads> {
        self.built[branch] = true;
        // All parts of a branch hang together, so they are on one island.
        let Some(first) = self.branches.list[branch].parts.first() else {
            return Vec::new();
        };
        let number = self.branches.island[*first];
        self.islands[number].set_up(self.plan);
        let island = &self.islands[number];
        let Some(own) = &island.own else {
            return Vec::new();
        };
        let stands = |part: &usize| self.built[self.branches.of_part[*part]];
        let parts: Vec<bool> = island.parts.iter().map(stands).collect();
        let is_laid = |wire: &usize| {
            let ends = self.branches.ends[*wire];
            ends.is_some_and(|(from, to)| stands(&from) && stands(&to))
        };
        let wires: Vec<bool> = island.wires.iter().map(is_laid).collect();
        let shown = own.shows(&parts, &wires, self.t);
        let mut told = Vec::new();
        for (at, state) in &shown.0 {
            let Some(reads) = read(&own.plan, *at, state, &shown.1) else {
                continue;
            };
            let part = island.parts[*at];
            let is_own = self.branches.of_part[part] == branch;
            if is_own || self.last[part].as_ref() != Some(&reads) {
                told.push(reads.clone());
            }
            self.last[part] = Some(reads);
        }
        told
    }
}

impl Island {
    fn set_up(&mut self, plan: &Plan) {
        if self.own.is_none() {
            let plan = part_of(plan, &self.parts, &self.wires);
            let template = Template::of(&plan);
            self.own = Some(Own { plan, template });
        }
    }
}

impl Own {
    /// What these parts and wires of the island show at `t`.
    fn shows(&self, parts: &[bool], wires: &[bool], t: Ms) -> Shown {
        let there = |list: &[bool]| -> Vec<usize> {
            let places = list.iter().enumerate().filter(|(_, there)| **there);
            places.map(|(at, _)| at).collect()
        };
        let (part_places, wire_places) = (there(parts), there(wires));
        if let Some(template) = &self.template {
            let mut engine = template.begin_whole(&self.plan, parts, wires);
            engine.advance(t.saturating_add(1));
            let (states, flows) = engine.shows(t);
            return (
                part_places.iter().map(|at| (*at, states[*at])).collect(),
                wire_places.iter().map(|at| (*at, flows[*at])).collect(),
            );
        }
        let standing = part_of(&self.plan, &part_places, &wire_places);
        let mut engine = Engine::new(&standing);
        engine.advance(t.saturating_add(1));
        let (states, flows) = engine.shows(t);
        (
            part_places.into_iter().zip(states).collect(),
            wire_places.into_iter().zip(flows).collect(),
        )
    }
}

/// The plan with these parts and wires alone.
fn part_of(plan: &Plan, parts: &[usize], wires: &[usize]) -> Plan {
    let parts = parts.iter().map(|part| plan.parts[*part].clone());
    let wires = wires.iter().map(|wire| plan.wires[*wire].clone());
    Plan {
        title: String::new(),
        notes: String::new(),
        book: plan.book.clone(),
        world: plan.world.clone(),
        follows: None,
        site: None,
        parts: parts.collect(),
        wires: wires.collect(),
        duties: Vec::new(),
        meant: Vec::new(),
        walk: None,
        exercise: None,
        by_hand: Vec::new(),
        next: plan.next,
        extra: Map::new(),
    }
}

/// What is read at the part at a place of the plan, by what it does and what the wires carry that are laid; none where
/// there is nothing to read.
fn read(plan: &Plan, at: usize, state: &PartState, flows: &BTreeMap<usize, Flow>) -> Option<Reads> {
    let part = plan.parts.get(at)?;
    let of_part = |shows| Reads::Part {
        part: part.id.clone(),
        shows,
    };
    Some(match *state {
        PartState::Load { runs: true, .. } => of_part(Shows::Runs),
        PartState::Load { offered: 0, .. } => of_part(Shows::Off),
        PartState::Load { draw, offered, .. } => {
            of_part(Shows::Short(draw.saturating_sub(offered)))
        }
        PartState::Contact { conducts: true, .. } => of_part(Shows::Conducts),
        PartState::Contact { .. } => of_part(Shows::Open),
        PartState::Battery {
            level, capacity, ..
        } => Reads::Level {
            part: part.id.clone(),
            level: u64::try_from(level.max(0).saturating_mul(1000) / capacity.max(1)).unwrap_or(0),
        },
        PartState::Source { .. } => return None,
        PartState::Plain => {
            if !matches!(plan.kind_of(part)?.behaviour, Behaviour::Meter) {
                return None;
            }
            let laid = |port: &str| {
                let wire = plan.wire_at(&End::new(&part.id, port))?;
                let flow = flows.get(&plan.wire_place(&wire.id)?)?;
                Some((wire.id.clone(), *flow))
            };
            let (wire, flow) = laid("in").or_else(|| laid("out"))?;
            Reads::Wire {
                wire,
                meter: part.id.clone(),
                take: flow.take,
                offer: flow.offer,
            }
        }
    })
}
