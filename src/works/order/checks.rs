//! What a check of a branch shows: the run of the plan as it then stands, at the time of day 1 that is asked for. Steps, per
//! mille.
//!
//! Only the island that the branch belongs to is run: what is on no wire with it, and is not watched by it, shows what it
//! showed before.

use super::branches::Branches;
use crate::book::Behaviour;
use crate::clock::Clock;
use crate::plan::{End, PartId, Plan, WireId};
use crate::quantity::Ms;
use crate::run::{self, Instant, PartState};
use serde::{Deserialize, Serialize};
use serde_json::Map;

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
    /// The parts and the wires of each island, by the number of the island.
    islands: Vec<(Vec<usize>, Vec<usize>)>,
}

impl<'a> Checks<'a> {
    /// Nothing built yet.
    pub fn new(plan: &'a Plan, branches: &'a Branches, at: Clock) -> Checks<'a> {
        let mut islands = vec![(Vec::new(), Vec::new()); plan.parts.len()];
        for (part, island) in branches.island.iter().enumerate() {
            islands[*island].0.push(part);
        }
        for (wire, ends) in branches.ends.iter().enumerate() {
            if let Some((_, to)) = ends {
                islands[branches.island[*to]].1.push(wire);
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
        let list = &self.branches.list[branch];
        let mut numbers: Vec<usize> = list
            .parts
            .iter()
            .map(|part| self.branches.island[*part])
            .collect();
        numbers.sort_unstable();
        numbers.dedup();
        let islands = numbers.iter().map(|number| &self.islands[*number]);
        let stands = |part: &usize| self.built[self.branches.of_part[*part]];
        let mut parts: Vec<usize> = Vec::new();
        let mut wires: Vec<usize> = Vec::new();
        for (all, laid) in islands {
            parts.extend(all.iter().filter(|part| stands(part)));
            let is_laid = |wire: &&usize| {
                let ends = self.branches.ends[**wire];
                ends.is_some_and(|(from, to)| stands(&from) && stands(&to))
            };
            wires.extend(laid.iter().filter(is_laid));
        }
        parts.sort_unstable();
        wires.sort_unstable();
        let standing = part_of(self.plan, &parts, &wires);
        let instant = run::at(&standing, self.t);
        let mut told = Vec::new();
        for (at, part) in parts.iter().enumerate() {
            let Some(reads) = read(&standing, &instant, at) else {
                continue;
            };
            let is_own = self.branches.of_part[*part] == branch;
            if is_own || self.last[*part].as_ref() != Some(&reads) {
                told.push(reads.clone());
            }
            self.last[*part] = Some(reads);
        }
        told
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
        parts: parts.collect(),
        wires: wires.collect(),
        duties: Vec::new(),
        meant: Vec::new(),
        by_hand: Vec::new(),
        next: plan.next,
        extra: Map::new(),
    }
}

/// What is read at the part at a place of the plan; none where there is nothing to read.
fn read(plan: &Plan, instant: &Instant, at: usize) -> Option<Reads> {
    let part = plan.parts.get(at)?;
    let of_part = |shows| Reads::Part {
        part: part.id.clone(),
        shows,
    };
    Some(match *instant.parts.get(at)? {
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
            let wire = |port: &str| plan.wire_at(&End::new(&part.id, port));
            let wire = wire("in").or_else(|| wire("out"))?;
            let flow = instant.wires.get(plan.wire_place(&wire.id)?)?;
            Reads::Wire {
                wire: wire.id.clone(),
                meter: part.id.clone(),
                take: flow.take,
                offer: flow.offer,
            }
        }
    })
}
