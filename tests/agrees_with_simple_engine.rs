//! The engine against the deliberately simple one, which goes millisecond by millisecond and solves everything.
//!
//! On random plans in short worlds both tell the same events, flows, levels and energies, to the last integer.

pub mod simple_engine;

use duskline::plan::{Plan, read_plan};
use duskline::run::{self, PartState};
use simple_engine::outcome::{Moment, Outcome};
use simple_engine::{Simple, generate};

/// How many plans are tried; enough to meet every behaviour and function many times over.
const PLANS: u64 = 250;

fn events(plan: &Plan, days: u64) -> Vec<(i64, String, &'static str)> {
    let record = run::run(plan, days);
    record
        .events
        .iter()
        .map(|e| {
            (
                e.t as i64,
                plan.parts[e.place()].id.to_string(),
                e.what.word(),
            )
        })
        .collect()
}

fn told(outcome: &Outcome) -> Vec<(i64, String, &'static str)> {
    outcome
        .events
        .iter()
        .map(|e| (e.t, e.part.clone(), e.what.word()))
        .collect()
}

fn same_energies(seed: u64, plan: &Plan, days: u64, simple: &Outcome) {
    let record = run::run(plan, days);
    let id = |part: &usize| plan.parts[*part].id.to_string();
    for (part, load) in &record.loads {
        assert_eq!(
            load.energy,
            simple.loads[&id(part)] * 1000,
            "plan {seed}: energy of {}",
            id(part)
        );
        let runs: Vec<(i64, i64)> = load
            .runs
            .iter()
            .map(|(a, b)| (*a as i64, *b as i64))
            .collect();
        assert_eq!(
            runs,
            simple.runs[&id(part)],
            "plan {seed}: runs of {}",
            id(part)
        );
    }
    for (part, source) in &record.sources {
        let (available, taken) = simple.sources[&id(part)];
        assert_eq!(
            (source.available, source.taken),
            (available * 1000, taken * 1000),
            "plan {seed}: {}",
            id(part)
        );
    }
    for (part, battery) in &record.batteries {
        let (taken, given) = simple.batteries[&id(part)];
        assert_eq!(
            (battery.taken, battery.given),
            (taken * 1000, given * 1000),
            "plan {seed}: {}",
            id(part)
        );
        let last = battery.level.last().unwrap().1;
        assert_eq!(
            last,
            simple.levels[&id(part)],
            "plan {seed}: last level of {}",
            id(part)
        );
        // Only in the millisecond that finds a battery empty may it give what it no longer has.
        let was_empty = battery.level.iter().any(|(_, level)| *level == 0);
        assert!(
            battery.lost >= 0 || was_empty,
            "plan {seed}: {} makes energy",
            id(part)
        );
    }
}

fn same_moment(seed: u64, plan: &Plan, moment: &Moment) {
    let instant = run::at(plan, moment.t as u64);
    for (wire, flow) in plan.wires.iter().zip(&instant.wires) {
        let expected = moment.wires[wire.id.as_str()];
        assert_eq!(
            (flow.offer as i64, flow.take as i64),
            expected,
            "plan {seed} at {}: wire {}",
            moment.t,
            wire.id
        );
        assert!(
            flow.take <= flow.offer,
            "plan {seed} at {}: wire {} takes more than it is offered",
            moment.t,
            wire.id
        );
    }
    for (part, state) in plan.parts.iter().zip(&instant.parts) {
        let (id, at) = (
            part.id.as_str(),
            format!("plan {seed} at {}: {}", moment.t, part.id),
        );
        match state {
            PartState::Load { runs, .. } => assert_eq!(*runs, moment.runs[id], "{at}"),
            PartState::Contact { conducts, .. } => {
                assert_eq!(*conducts, moment.conducts[id], "{at}")
            }
            PartState::Battery {
                level,
                output,
                full,
                ..
            } => {
                let store = moment.batteries[id];
                assert_eq!(
                    (*level, *output, *full),
                    (store.level, store.output, store.full),
                    "{at}"
                );
            }
            _ => {}
        }
    }
}

#[test]
fn random_plans_run_alike_to_the_last_integer() {
    generate::plans().each(PLANS, |case| {
        let (seed, value) = (case.seed, &case.document);
        let plan = read_plan(&value.to_string()).unwrap_or_else(|f| panic!("plan {seed}: {f:?}"));
        let day = plan.world.day_ms();
        let days = (20_000 / day).max(1);
        let end = (day * days) as i64;
        let at: Vec<i64> = (0..5).map(|n| end * n / 5 + n).collect();
        let simple = Simple::new(value, &value["book"]).run(end, &at);
        let (ours, theirs) = (events(&plan, days), told(&simple));
        if let Some(first) = ours.iter().zip(&theirs).position(|(a, b)| a != b) {
            panic!(
                "plan {seed}: event {first} is {:?}, the simple engine says {:?}",
                ours[first], theirs[first]
            );
        }
        assert_eq!(
            ours.len(),
            theirs.len(),
            "plan {seed}: {:?} / {:?}",
            ours.get(theirs.len()),
            theirs.get(ours.len())
        );
        simple
            .moments
            .iter()
            .for_each(|moment| same_moment(seed, &plan, moment));
        same_energies(seed, &plan, days, &simple);
    });
}
