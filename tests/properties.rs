//! Properties that hold of every plan, tried on random ones.

pub mod gestures;
pub mod simple_engine;

use duskline::net::Net;
use duskline::plan::{Edit, History, Part, Plan, Spec, read_plan};
use duskline::run::{self, Instant, PartState};
use gestures::{body, gesture};
use simple_engine::generate::{self, Case, Random};

const PLANS: u64 = 200;

/// Runs a test on random plans, each with its seed.
fn each(test: impl Fn(u64, Plan)) {
    let read = |case: &Case| read_plan(&case.document.to_string()).unwrap();
    generate::plans().each(PLANS, |case| test(case.seed, read(case)));
}

fn moments(plan: &Plan) -> Vec<Instant> {
    let day = plan.world.day_ms();
    [0, day / 3, day / 2 + 1, day]
        .map(|t| run::at(plan, t))
        .to_vec()
}

#[test]
fn no_wire_takes_more_than_it_is_offered() {
    each(|seed, plan| {
        for instant in moments(&plan) {
            for (wire, flow) in plan.wires.iter().zip(&instant.wires) {
                assert!(
                    flow.take <= flow.offer,
                    "plan {seed}: {} takes {} of {}",
                    wire.id,
                    flow.take,
                    flow.offer
                );
                assert!(
                    !flow.on_loop || (flow.offer, flow.take) == (0, 0),
                    "plan {seed}: {} is on a loop",
                    wire.id
                );
            }
        }
    });
}

/// What a part uses up or stores of what comes in; `None` where it gives what never came in.
fn used(net: &Net, part: usize, state: &PartState, instant: &Instant) -> Option<u64> {
    let node = &net.nodes[part];
    let offered = node
        .ins
        .first()
        .copied()
        .flatten()
        .map_or(0, |w| instant.wires[w].offer);
    let coils: u64 = node
        .signals
        .iter()
        .flatten()
        .map(|w| instant.wires[*w].take)
        .sum();
    match (node.spec.as_ref()?, state) {
        (Spec::Source { .. } | Spec::Battery { .. }, _) => None,
        (
            Spec::Load { .. },
            PartState::Load {
                runs: true, draw, ..
            },
        ) => Some(*draw),
        (
            Spec::Load {
                short: duskline::book::Short::Waste,
                ..
            },
            _,
        ) => Some(offered),
        _ => Some(coils),
    }
}

#[test]
fn power_into_a_part_is_power_out_of_it_and_what_it_uses() {
    each(|seed, plan| {
        let net = Net::compile(&plan);
        for instant in moments(&plan) {
            for (part, state) in instant.parts.iter().enumerate() {
                let node = &net.nodes[part];
                let sum = |slots: &[Option<usize>]| {
                    slots
                        .iter()
                        .flatten()
                        .map(|w| instant.wires[*w].take)
                        .sum::<u64>()
                };
                let Some(used) = used(&net, part, state, &instant) else {
                    continue;
                };
                let (taken, given) = (sum(&node.ins) + sum(&node.signals), sum(&node.outs));
                assert_eq!(
                    taken,
                    given + used,
                    "plan {seed}: {} at {}",
                    plan.parts[part].id,
                    instant.t
                );
            }
        }
    });
}

#[test]
fn printing_and_reading_a_plan_is_the_identity() {
    each(|seed, plan| {
        assert_eq!(read_plan(&plan.print()).unwrap(), plan, "plan {seed}");
    });
}

#[test]
fn the_order_of_the_wires_does_not_matter() {
    each(|seed, plan| {
        let mut shuffled = plan.clone();
        Random::new(seed).shuffle(&mut shuffled.wires);
        for (a, b) in moments(&plan).iter().zip(moments(&shuffled)) {
            assert_eq!(a.parts, b.parts, "plan {seed} at {}", a.t);
            for (at, wire) in shuffled.wires.iter().enumerate() {
                let before = plan.wires.iter().position(|w| w.id == wire.id).unwrap();
                assert_eq!(
                    a.wires[before], b.wires[at],
                    "plan {seed} at {}: {}",
                    a.t, wire.id
                );
            }
        }
    });
}

#[test]
fn undo_takes_back_every_gesture_and_redo_does_it_again() {
    each(|seed, first| {
        let (mut plan, mut history, mut random) =
            (first.clone(), History::default(), Random::new(seed));
        let mut states = vec![body(&plan)];
        for _ in 0..12 {
            let edits = gesture(&mut plan, &mut random);
            history.commit(&mut plan, "gesture", edits).unwrap();
            // The structure stays sound: what is printed reads back without a fault.
            assert_eq!(
                body(&read_plan(&plan.print()).unwrap()),
                body(&plan),
                "plan {seed}"
            );
            if states.last() != Some(&body(&plan)) {
                states.push(body(&plan));
            }
        }
        for expected in states.iter().rev().skip(1) {
            assert!(
                history.undo(&mut plan).is_some(),
                "plan {seed}: a step is missing"
            );
            assert_eq!(&body(&plan), expected, "plan {seed}");
            assert_eq!(plan.fingerprint(), expected.fingerprint(), "plan {seed}");
        }
        assert_eq!(
            history.undo(&mut plan),
            None,
            "plan {seed}: a gesture that changed nothing left a step"
        );
        for expected in &states[1..] {
            assert!(history.redo(&mut plan).is_some());
            assert_eq!(&body(&plan), expected, "plan {seed}");
        }
    });
}

#[test]
fn an_id_is_never_given_twice() {
    let mut plan = Plan::empty();
    let mut history = History::default();
    let first = plan.new_part_id();
    history
        .commit(
            &mut plan,
            "add",
            vec![Edit::AddPart(
                0,
                Part::new(first.clone(), "lamp", (0.0, 0.0)),
            )],
        )
        .unwrap();
    let removal = plan.removal(std::slice::from_ref(&first), &[]);
    history.commit(&mut plan, "remove", removal).unwrap();
    let mut read = read_plan(&plan.print()).unwrap();
    assert_ne!(read.new_part_id(), first);
}
