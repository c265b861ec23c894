//! Energy is neither made nor lost over a run: on random plans, flow by flow from event to event.
//!
//! Between two events every flow is constant, so power times time sums up exactly. What the sources give is what loads and
//! coils use, what is wasted, what batteries lose, and the change of their levels. The sums here are made from the
//! instants, and the run's own record must agree with them. Energies in 1/1000 step·ms.

pub mod simple_engine;

use duskline::book::Short;
use duskline::net::Net;
use duskline::plan::{Plan, Spec, read_plan};
use duskline::quantity::{Energy, STEP_MS};
use duskline::run::{self, Engine, Instant, PartState, Stop};
use simple_engine::generate;
use std::collections::BTreeMap;

const PLANS: u64 = 300;

/// One battery's books.
#[derive(Debug, Default, PartialEq)]
struct Store {
    taken: Energy,
    given: Energy,
    /// What its efficiency costs.
    worn: Energy,
    /// What it had no room for: in the millisecond that fills it, and while it floats.
    over: Energy,
    /// What it gave though it was empty, in the millisecond that emptied it.
    under: Energy,
}

/// Where a run's energy comes from and goes.
#[derive(Debug, Default)]
struct Sums {
    sources: Energy,
    loads: Energy,
    coils: Energy,
    wasted: Energy,
    stores: BTreeMap<usize, Store>,
}

/// Adds what flows from the instant `now` to `to`; levels at `to` are those of `next`.
fn add(sums: &mut Sums, net: &Net, now: &Instant, next: &Instant) {
    let time = Energy::from(next.t - now.t) * STEP_MS;
    for (part, state) in now.parts.iter().enumerate() {
        let node = &net.nodes[part];
        let coils: u64 = (node.signals.iter().flatten())
            .map(|wire| now.wires[*wire].take)
            .sum();
        sums.coils += Energy::from(coils) * time;
        match (state, node.spec.as_ref()) {
            (PartState::Source { taken, .. }, _) => sums.sources += Energy::from(*taken) * time,
            (
                PartState::Load {
                    runs: true, draw, ..
                },
                _,
            ) => sums.loads += Energy::from(*draw) * time,
            (
                PartState::Load { offered, .. },
                Some(Spec::Load {
                    short: Short::Waste,
                    ..
                }),
            ) => sums.wasted += Energy::from(*offered) * time,
            (
                PartState::Battery {
                    level,
                    capacity,
                    taking,
                    giving,
                    ..
                },
                Some(Spec::Battery { efficiency, .. }),
            ) => {
                let store = sums.stores.entry(part).or_default();
                let (taking, giving) = (Energy::from(*taking), Energy::from(*giving));
                let (span, efficiency) = (time / STEP_MS, Energy::from(*efficiency));
                store.taken += taking * time;
                store.given += giving * time;
                store.worn += taking * (1000 - efficiency) * span;
                let would = level + (taking * efficiency - giving * 1000) * span;
                store.over += (would - capacity).max(0);
                store.under += (-would).max(0);
                let PartState::Battery { level: after, .. } = next.parts[part] else {
                    panic!("a battery stays one");
                };
                assert_eq!(after, would.clamp(0, *capacity), "a straight line");
            }
            _ => {}
        }
    }
}

/// The run's instants: at 0, at every event, and at the end.
fn instants(plan: &Plan, end: u64) -> Option<Vec<Instant>> {
    let mut engine = Engine::new(plan);
    let mut found = vec![engine.instant(plan, 0)];
    loop {
        match engine.advance_some(end, 1) {
            Stop::TooManyEvents => return None,
            Stop::Paused => found.push(engine.instant(plan, engine.now())),
            Stop::Complete => {
                // The last event may have come with the end of the queue.
                if found.last().is_some_and(|last| last.t < engine.now()) {
                    found.push(engine.instant(plan, engine.now()));
                }
                found.push(engine.instant(plan, end));
                return Some(found);
            }
        }
    }
}

fn held_against_its_record(seed: u64, plan: &Plan, days: u64) -> Sums {
    let (net, end) = (Net::compile(plan), plan.world.day_ms() * days);
    let instants = instants(plan, end).expect("no random plan runs without end");
    let mut sums = Sums::default();
    for pair in instants.windows(2) {
        add(&mut sums, &net, &pair[0], &pair[1]);
    }
    let (first, last) = (&instants[0], &instants[instants.len() - 1]);
    let level = |instant: &Instant, part: usize| match instant.parts[part] {
        PartState::Battery { level, .. } => level,
        _ => panic!("no battery"),
    };

    // What goes in comes out, is used, or stays.
    let (mut lost, mut change) = (0, 0);
    for (part, store) in &sums.stores {
        lost += store.worn + store.over - store.under;
        change += level(last, *part) - level(first, *part);
    }
    assert_eq!(
        sums.sources,
        sums.loads + sums.coils + sums.wasted + lost + change,
        "plan {seed}: {sums:?}"
    );

    // And the record says the same.
    let record = run::run(plan, days);
    let sum = |energies: &mut dyn Iterator<Item = Energy>| energies.sum::<Energy>();
    assert_eq!(
        sum(&mut record.sources.values().map(|s| s.taken)),
        sums.sources,
        "plan {seed}"
    );
    assert_eq!(
        sum(&mut record.loads.values().map(|l| l.energy)),
        sums.loads,
        "plan {seed}"
    );
    for (part, battery) in &record.batteries {
        let store = &sums.stores[part];
        assert_eq!(
            (battery.taken, battery.given),
            (store.taken, store.given),
            "plan {seed}"
        );
        assert_eq!(
            battery.lost,
            store.worn + store.over - store.under,
            "plan {seed}"
        );
        // The levels kept are corners of the line: one more instant between them lies on it.
        for pair in battery.level.windows(2) {
            assert!(pair[0].0 < pair[1].0, "plan {seed}: {pair:?}");
        }
    }
    sums
}

#[test]
fn what_sources_give_is_used_wasted_lost_or_kept() {
    let mut met = Sums::default();
    let mut store = Store::default();
    generate::plans().each(PLANS, |case| {
        let (seed, plan) = (case.seed, read_plan(&case.document.to_string()).unwrap());
        let days = (20_000 / plan.world.day_ms()).max(2);
        let sums = held_against_its_record(seed, &plan, days);
        met.sources += sums.sources;
        met.loads += sums.loads;
        met.coils += sums.coils;
        met.wasted += sums.wasted;
        for one in sums.stores.values() {
            store.taken += one.taken;
            store.given += one.given;
            store.worn += one.worn;
            store.over += one.over;
            store.under += one.under;
        }
    });
    // Every way that energy can go was gone.
    for way in [met.sources, met.loads, met.coils, met.wasted] {
        assert!(way > 0, "{met:?}");
    }
    for way in [
        store.taken,
        store.given,
        store.worn,
        store.over,
        store.under,
    ] {
        assert!(way > 0, "{store:?}");
    }
}
