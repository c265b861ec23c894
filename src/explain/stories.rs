//! What there is to say of each part: what it is joined to, what it did on the day, its duties, and what happens without
//! it. Powers in steps, times in milliseconds, energies in [`Energy`].

use super::day_run::{DaySeen, WireFigures};
use super::explanation::{Joined, PartDeed, PartStory, Stretches, WithoutPart};
use crate::net::Net;
use crate::plan::{End, Part, PartId, Plan, Spec, Wire};
use crate::proof::{Check, LossEffect};
use crate::quantity::Energy;
use std::collections::BTreeSet;

/// The story of each part, in the plan's order; `effects` tells what happens without each of them.
pub fn stories(
    plan: &Plan,
    net: &Net,
    check: &Check,
    seen: &DaySeen,
    effects: &[LossEffect],
) -> Vec<PartStory> {
    let parts = plan.parts.iter().zip(effects).enumerate();
    parts
        .map(|(at, (part, effect))| {
            let duties = plan.duties.iter().zip(&check.duties).enumerate();
            let own = duties.filter(|(_, (duty, _))| duty.part == part.id);
            PartStory {
                part: part.id.clone(),
                fed_by: joined(plan, net, &net.nodes[at].ins, entering),
                signals: joined(plan, net, &net.nodes[at].signals, entering),
                feeds: joined(plan, net, &net.nodes[at].outs, leaving),
                did: deed(net, seen, at),
                duties: own
                    .map(|(duty, (_, verdict))| (duty, verdict.kept))
                    .collect(),
                without: without(plan, part, effect),
            }
        })
        .collect()
}

/// A wire's own end at the part that it leads to, and the other.
fn entering(wire: &Wire) -> (&End, &End) {
    (&wire.to, &wire.from)
}

/// A wire's own end at the part that it comes from, and the other.
fn leaving(wire: &Wire) -> (&End, &End) {
    (&wire.from, &wire.to)
}

/// What hangs at some ports. Wires on closed loops carry nothing and are told as the problem that they are.
fn joined(
    plan: &Plan,
    net: &Net,
    slots: &[Option<usize>],
    ends: fn(&Wire) -> (&End, &End),
) -> Vec<Joined> {
    let wires = slots.iter().flatten().filter(|at| !net.wires[**at].closed);
    wires
        .map(|at| {
            let wire = &plan.wires[*at];
            let (own, far) = ends(wire);
            Joined {
                wire: wire.id.clone(),
                port: own.port.clone(),
                other: far.part.clone(),
                other_port: far.port.clone(),
            }
        })
        .collect()
}

/// What a part did.
fn deed(net: &Net, seen: &DaySeen, at: usize) -> PartDeed {
    let node = &net.nodes[at];
    let figures = &seen.parts[at];
    let (on, lack) = (figures.on.told.clone(), figures.lack.told.clone());
    let taken = |slots: &[Option<usize>], port: usize| -> Energy {
        let wire = slots.get(port).copied().flatten();
        wire.map_or(0, |wire| seen.wires[wire].taken)
    };
    match &node.spec {
        Some(Spec::Source { .. }) => PartDeed::Source {
            most: figures.most,
            gives: on,
            available: figures.available,
            taken: taken(&node.outs, 0),
        },
        Some(Spec::Battery { capacity, .. }) => PartDeed::Battery {
            capacity: *capacity,
            lowest: figures.lowest,
            highest: figures.highest,
            full: on,
            off: lack,
            taken: taken(&node.ins, 0),
            given: taken(&node.outs, 0),
        },
        Some(Spec::Load { draw, .. }) => PartDeed::Load {
            draw: *draw,
            runs: on,
            short: lack,
        },
        Some(Spec::Tap(amount)) => PartDeed::Tap {
            amount: *amount,
            sets: on,
            aside: taken(&node.outs, 0),
            rest: taken(&node.outs, 1),
        },
        Some(spec) => {
            let passed = (0..node.outs.len())
                .map(|port| taken(&node.outs, port))
                .sum();
            let out = node.outs.first().copied().flatten();
            passing(
                spec,
                on,
                passed,
                out.map(|wire| seen.wires[wire]),
                &node.outs,
            )
        }
        None => PartDeed::Unknown,
    }
}

/// What a part did that only passes on what comes: `passed` of it, through these outputs, the first of which is `out`.
fn passing(
    spec: &Spec,
    on: Stretches,
    passed: Energy,
    out: Option<WireFigures>,
    outs: &[Option<usize>],
) -> PartDeed {
    let out = out.unwrap_or_default();
    match spec {
        Spec::Divider(_) => PartDeed::Divider {
            ways: outs.iter().flatten().count(),
            passed,
        },
        Spec::Busbar(_) => PartDeed::Busbar {
            most: out.most_offer,
            passed,
        },
        Spec::Changeover(least) => PartDeed::Changeover {
            least: *least,
            on_backup: on,
            passed,
        },
        Spec::Meter => PartDeed::Meter {
            most: out.most_take,
            passed,
        },
        _ => PartDeed::Contact {
            conducts: on,
            passed,
        },
    }
}

fn without(plan: &Plan, part: &Part, effect: &LossEffect) -> WithoutPart {
    let harms = effect.report.harms.iter();
    let others = harms.filter(|harm| plan.duties[harm.duty].part != part.id);
    let first = others.filter_map(|harm| Some((harm.duty, harm.first?)));
    WithoutPart {
        breaks: effect.report.breaks.clone(),
        first: first.min_by_key(|(duty, t)| (*t, *duty)),
        stops: effect.slowed.clone().unwrap_or_default(),
        compared: effect.slowed.is_some(),
    }
}

/// The loads whose duties are among these, each once, without that of `own`.
pub fn loads_of<'a>(plan: &'a Plan, duties: &[usize], own: Option<&PartId>) -> Vec<&'a PartId> {
    let mut seen = BTreeSet::new();
    let loads = duties
        .iter()
        .filter_map(|at| Some(&plan.duties.get(*at)?.part));
    loads
        .filter(|id| Some(*id) != own && seen.insert(*id))
        .collect()
}
