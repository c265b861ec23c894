//! What is said never to happen does not: loads that can never run, and contacts that can never be true, on random plans.

#![cfg(not(target_arch = "wasm32"))]

pub mod simple_engine;

use duskline::net::ProblemKind;
use duskline::plan::{PartId, read_plan};
use duskline::run::{self, What};
use simple_engine::generate::{self, Plans};

const PLANS: u64 = 400;
const DAYS: u64 = 3;

#[test]
fn what_is_said_never_to_happen_does_not_happen_in_days() {
    let (mut loads, mut contacts) = (0, 0);
    Plans::of(generate::plan).each(PLANS, |case| {
        let plan = read_plan(&case.document.to_string()).expect("a sound plan");
        let record = run::run(&plan, DAYS);
        let place = |id: &PartId| plan.parts.iter().position(|p| p.id == *id).expect("a part");
        for problem in &record.problems {
            match &problem.kind {
                ProblemKind::NeverRuns(never) => {
                    loads += 1;
                    assert!(
                        record.loads[&place(&never.part)].runs.is_empty(),
                        "{never:?}"
                    );
                }
                ProblemKind::NeverTrue(never) => {
                    contacts += 1;
                    let part = place(&never.part);
                    let conducts = &record.contacts[&part].conducts;
                    let all = [(0, record.end)];
                    let expected: &[_] = if never.stays_closed { &all } else { &[] };
                    assert_eq!(conducts, expected, "{never:?}");
                    let turns = |what: What| matches!(what, What::Closes | What::Opens);
                    let turned = record
                        .events
                        .iter()
                        .any(|e| e.part as usize == part && turns(e.what));
                    assert!(!turned, "{never:?}");
                }
                _ => {}
            }
        }
    });
    assert!(
        loads > 20 && contacts > 20,
        "{loads} loads, {contacts} contacts"
    );
}
