//! What proof leaves out to be quick, held against leaving nothing out, on random plans: powers that nothing hangs on,
//! compiling and setting up what is known, and what comes after enough is known.

#![cfg(not(target_arch = "wasm32"))]

pub mod simple_engine;

use duskline::plan::{Plan, read_plan};
use duskline::proof::{self, Loss, LossJudge};
use duskline::run::{Engine, Stop, Template, Trace};
use simple_engine::duties;
use simple_engine::generate::{Case, Plans, Random};
use std::collections::BTreeMap;

/// How many events of a run are compared at the most.
const EVENTS: u64 = 3_000;

fn read(case: &Case) -> Plan {
    read_plan(&case.document.to_string()).expect("a sound plan")
}

fn plans() -> Plans {
    duties::plans()
}

#[test]
fn a_run_that_skims_does_at_every_event_what_one_does_that_works_all_out() {
    let mut compared = 0;
    plans().each(150, |case| {
        let (seed, plan) = (case.seed, read(case));
        let end = 4 * plan.world.day_ms();
        let (mut all, mut skims) = (Engine::new(&plan), Engine::skimming(&plan));
        for _ in 0..EVENTS {
            let (t, stop) = (all.now(), all.advance_some(end, 1));
            assert_eq!(skims.advance_some(end, 1), stop, "plan {seed}");
            assert_eq!(skims.now(), all.now(), "plan {seed}, after {t}");
            assert_eq!(skims.live().runs, all.live().runs, "plan {seed}, {t}");
            let t = all.now();
            assert_eq!(skims.midnight(t), all.midnight(t), "plan {seed}, {t}");
            assert_eq!(skims.load_turns(), all.load_turns(), "plan {seed}, {t}");
            compared += 1;
            if stop != Stop::Paused {
                break;
            }
        }
    });
    assert!(compared > 1_000, "{compared} events");
}

/// What a trace tells, with parts by their names: when loads ran, changes of contacts, and how many events there were.
type Told = (BTreeMap<String, Vec<(u64, u64)>>, Vec<(u64, String)>, u64);

fn named(plan: &Plan, trace: Trace) -> Told {
    let name = |part: usize| plan.parts[part].id.to_string();
    let runs = trace
        .runs
        .into_iter()
        .map(|(part, runs)| (name(part), runs));
    let mut changes: Vec<(u64, String)> = (trace.changes.into_iter())
        .map(|(t, part)| (t, name(part)))
        .collect();
    changes.sort();
    (runs.collect(), changes, trace.events)
}

#[test]
fn a_run_of_less_of_a_plan_that_is_set_up_is_that_of_a_plan_with_less() {
    let (mut tried, mut changed) = (0, 0);
    plans().each(150, |case| {
        let (seed, plan) = (case.seed, read(case));
        let Some(template) = Template::of(&plan) else {
            return;
        };
        let mut random = Random::new(seed ^ 0x1e55);
        for _ in 0..4 {
            let parts: Vec<bool> = plan.parts.iter().map(|_| !random.chance(10)).collect();
            let lost = |id: &duskline::plan::PartId| {
                let at = plan.parts.iter().position(|p| p.id == *id);
                at.is_none_or(|at| !parts[at])
            };
            let wires: Vec<bool> = (plan.wires.iter())
                .map(|w| !lost(&w.from.part) && !lost(&w.to.part) && !random.chance(10))
                .collect();
            let mut rest = plan.clone();
            for (part, there) in plan.parts.iter().zip(&parts) {
                if !there {
                    rest = proof::without(&rest, &Loss::Part(part.id.clone()));
                }
            }
            for (wire, there) in plan.wires.iter().zip(&wires) {
                if !there {
                    rest = proof::without(&rest, &Loss::Wire(wire.id.clone()));
                }
            }
            let end = 2 * plan.world.day_ms();
            let mut begun = template.begin(&plan, &parts, &wires);
            let mut compiled = Engine::tracing(&rest);
            assert_eq!(
                begun.advance_some(end, EVENTS),
                compiled.advance_some(end, EVENTS)
            );
            let t = compiled.now();
            assert_eq!(begun.now(), t, "plan {seed}");
            let found = named(&plan, begun.into_trace(t));
            assert_eq!(found, named(&rest, compiled.into_trace(t)), "plan {seed}");
            tried += 1;
            changed += usize::from(!found.1.is_empty());
        }
    });
    assert!(tried > 100 && changed > 10, "{tried} {changed}");
}

#[test]
fn what_is_known_soon_of_a_loss_is_what_is_known_of_it_in_the_end() {
    let (mut some, mut all_of_them, mut none) = (0, 0, 0);
    plans().each(60, |case| {
        let (seed, plan) = (case.seed, read(case));
        let whole = proof::check(&plan);
        let kept = whole.duties.iter().filter(|d| d.kept).count();
        if kept == 0 {
            return;
        }
        let mut losses = proof::all_losses(&plan);
        losses.extend(proof::empty_batteries(&plan));
        let judge = || LossJudge::new(&plan, &whole);
        let (mut late, mut soon, mut any) = (judge(), judge(), judge());
        for loss in &losses {
            let breaks = late.judge(loss).breaks;
            assert_eq!(soon.breaks(loss), breaks, "plan {seed}: {loss:?}");
            assert_eq!(
                any.breaks_any(loss),
                !breaks.is_empty(),
                "plan {seed}: {loss:?}"
            );
            match breaks.len() {
                0 => none += 1,
                n if n == kept && n > 1 => all_of_them += 1,
                _ => some += 1,
            }
        }
        // In whatever order one asks.
        for loss in losses.iter().rev() {
            let breaks = any.breaks(loss);
            assert_eq!(breaks, late.judge(loss).breaks, "plan {seed}: {loss:?}");
            assert_eq!(
                soon.breaks_any(loss),
                !breaks.is_empty(),
                "plan {seed}: {loss:?}"
            );
            assert_eq!(soon.judge(loss), late.judge(loss), "plan {seed}: {loss:?}");
        }
    });
    assert!(
        some > 0 && all_of_them > 0 && none > 0,
        "{some} {all_of_them} {none}"
    );
}
