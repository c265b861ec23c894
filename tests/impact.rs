//! What an edit touches: moves, bends and words change no answer and no fingerprint, on random plans.

pub mod simple_engine;

use duskline::plan::{Edit, Follows, Impact, Plan, read_plan};
use duskline::{proof, run};
use serde_json::{Value, json};
use simple_engine::generate::{self, Plans, Random};

const PLANS: u64 = 120;

/// Random plans; the first load has a duty.
fn plans() -> Plans {
    Plans::of(|seed| with_duty(generate::plan(seed)))
}

fn read(document: &Value) -> Plan {
    read_plan(&document.to_string()).unwrap()
}

fn with_duty(mut document: Value) -> Value {
    let plan = read(&document);
    let is_load = |p: &&duskline::plan::Part| {
        plan.kind_of(p)
            .is_some_and(|t| t.behaviour.name() == "load")
    };
    if let Some(load) = plan.parts.iter().find(is_load) {
        document["duties"] =
            json!([{ "part": load.id.as_str(), "when": "always", "grace_s": 0.1 }]);
    }
    document
}

/// Some edits of this impact.
fn edits(plan: &Plan, impact: Impact, random: &mut Random) -> Vec<Edit> {
    let part =
        (!plan.parts.is_empty()).then(|| plan.parts[random.index(plan.parts.len())].id.clone());
    let wire =
        (!plan.wires.is_empty()).then(|| plan.wires[random.index(plan.wires.len())].id.clone());
    let place = (random.between(-90, 90) as f64 * 8.0, 16.0);
    match impact {
        Impact::Place => {
            let moved = part.map(|id| Edit::MovePart(id, Some(place)));
            let bent = wire.map(|id| Edit::Bend(id, vec![place]));
            moved.into_iter().chain(bent).collect()
        }
        Impact::Words => {
            let name = format!("Lantern {}", random.index(99));
            let named = part.map(|id| Edit::Rename(id, name.clone()));
            let follows = Follows::new("k1", &name);
            let all = [
                Edit::Title(name.clone()),
                Edit::Notes(name),
                Edit::Follow(Some(follows)),
            ];
            named.into_iter().chain(all).collect()
        }
        Impact::Power => Vec::new(),
    }
}

/// A run, a check and the losses of a plan.
fn answers(plan: &Plan) -> (run::Record, proof::Check, Vec<proof::LossReport>) {
    let (record, check) = (run::run(plan, 2), proof::check(plan));
    let losses: Vec<proof::Loss> = proof::all_losses(plan).into_iter().take(6).collect();
    let reports = proof::losses(plan, &check, &losses).collect();
    (record, check, reports)
}

#[test]
fn edits_of_place_or_words_change_no_answer_and_no_fingerprint() {
    let mut random = Random::new(40);
    plans().each(PLANS, |case| {
        let (seed, before) = (case.seed, read(&case.document));
        for impact in [Impact::Place, Impact::Words] {
            let mut after = before.clone();
            let edits = edits(&before, impact, &mut random);
            if edits.is_empty() {
                continue;
            }
            assert_eq!(Impact::of(&edits), Some(impact), "plan {seed}");
            let inverse = after.apply_all(edits).unwrap();
            assert_eq!(Impact::of(&inverse), Some(impact), "plan {seed}");
            assert_ne!(after, before, "plan {seed}: something changed");
            assert_eq!(after.fingerprint(), before.fingerprint(), "plan {seed}");
            assert_eq!(answers(&after), answers(&before), "plan {seed}");
        }
    });
}

#[test]
fn what_is_read_back_has_the_fingerprint_that_it_had() {
    let mut seen = std::collections::BTreeSet::new();
    plans().each(PLANS, |case| {
        let plan = read(&case.document);
        assert_eq!(
            read_plan(&plan.print()).unwrap().fingerprint(),
            plan.fingerprint()
        );
        seen.insert(plan.fingerprint());
    });
    assert_eq!(seen.len(), PLANS as usize, "no two plans share one");
}
