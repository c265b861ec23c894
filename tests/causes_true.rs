//! What is said of broken duties against what the run itself shows, on random plans in short worlds: every amount that a
//! source or a divider is said to give, every contact said to be open or closed, every battery said to be empty, at
//! every event in the gap for which one reason alone is told.

pub mod simple_engine;

use duskline::plan::{Plan, read_plan};
use duskline::proof::{causes, check};
use duskline::run::Engine;
use serde_json::Value;
use simple_engine::{duties, generate};

/// How many plans are looked at.
const PLANS: u64 = 250;

/// How many events of one gap are looked at the most.
const EVENTS: u64 = 300;

fn plan(seed: u64) -> Plan {
    let mut value = generate::plan(seed);
    duties::give(seed, &mut value);
    // Names that cannot be taken for other words.
    for part in value["parts"].as_array_mut().expect("parts") {
        let name = format!("<{}>", part["id"].as_str().expect("an id"));
        part["name"] = Value::from(name);
    }
    read_plan(&value.to_string()).unwrap_or_else(|f| panic!("plan {seed}: {f:?}"))
}

/// What is claimed of a part for as long as its reason holds.
#[derive(Debug, PartialEq)]
enum Claim {
    Gives(u64, u64),
    Conducts(bool),
    Empty,
}

/// `3`, `3 to 5` and `nothing`, before ` u` or a comma.
fn amounts(text: &str) -> Option<(u64, u64)> {
    if text.starts_with("nothing") {
        return Some((0, 0));
    }
    let (amounts, _) = text.split_once(" u")?;
    let (least, most) = amounts.split_once(" to ").unwrap_or((amounts, amounts));
    Some((least.parse().ok()?, most.parse().ok()?))
}

/// The claims of a sentence, each with its part.
fn claims(plan: &Plan, says: &str) -> Vec<(usize, Claim)> {
    let mut found = Vec::new();
    for (part, known) in plan.parts.iter().enumerate() {
        let mut rest = says;
        while let Some((_, after)) = rest.split_once(known.name.as_str()) {
            rest = after;
            let after = after.strip_prefix(", a break contact,").unwrap_or(after);
            let gives = after
                .strip_prefix(" gives only ")
                .or(after.strip_prefix(" gives "));
            let claim = match after {
                _ if after.starts_with(" is open") => Some(Claim::Conducts(false)),
                _ if after.starts_with(" is closed") => Some(Claim::Conducts(true)),
                _ if after.starts_with(" is set open") => Some(Claim::Conducts(false)),
                _ if after.starts_with(" is set closed") => Some(Claim::Conducts(true)),
                _ if after.starts_with(" is empty") => Some(Claim::Empty),
                _ => gives
                    .and_then(amounts)
                    .map(|(least, most)| Claim::Gives(least, most)),
            };
            found.extend(claim.map(|claim| (part, claim)));
        }
    }
    found
}

/// What is so at the moment to which the run has come; `None` where the part gives through no wire.
fn holds(engine: &Engine, part: usize, claim: &Claim) -> Option<bool> {
    let node = &engine.net().nodes[part];
    let is = |conducts: bool| engine.controls().conducts[part] == conducts;
    Some(match *claim {
        Claim::Conducts(conducts) => is(conducts),
        Claim::Empty => !engine.controls().output[part],
        Claim::Gives(least, most) => {
            let wire = node.outs.first().copied().flatten()?;
            (least..=most).contains(&engine.live().offer[wire])
        }
    })
}

#[test]
fn what_is_said_of_a_gap_is_so_at_every_event_in_it() {
    let (mut told, mut amounts_told, mut varied) = (0, 0, 0);
    for seed in 0..PLANS {
        let plan = plan(seed);
        let check = check(&plan);
        let causes = causes(&plan, &check, &mut |_, _| {});
        for (verdict, causes) in check.duties.iter().zip(&causes) {
            for (gap, cause) in verdict.gaps.iter().zip(causes).take(3) {
                let (_, because) = cause.says.split_once(": ").expect("a cause");
                if because.starts_with("for ") {
                    continue;
                }
                let claims = claims(&plan, because);
                let mut engine = Engine::new(&plan);
                engine.advance(gap.from + 1);
                let (mut t, mut held, mut seen) = (gap.from, vec![0; claims.len()], 0);
                // One reason holds for at least nineteen parts of twenty: a claim may fail for one, no longer.
                let whole = gap.to - gap.from;
                for _ in 0..EVENTS {
                    let so: Vec<Option<bool>> = claims
                        .iter()
                        .map(|(part, claim)| holds(&engine, *part, claim))
                        .collect();
                    let events = engine.events();
                    engine.advance_some(gap.to, 1);
                    let next = if engine.events() > events {
                        engine.now()
                    } else {
                        gap.to
                    };
                    for (held, so) in held.iter_mut().zip(&so) {
                        *held += if so != &Some(false) { next - t } else { 0 };
                    }
                    seen += next - t;
                    t = next;
                    if t >= gap.to {
                        break;
                    }
                }
                for ((part, claim), held) in claims.iter().zip(held) {
                    assert!(
                        seen - held <= whole / 20 + 1,
                        "plan {seed}: {claim:?} of {} holds for {held} of {seen} ms: {}",
                        plan.parts[*part].id,
                        cause.says
                    );
                    told += 1;
                    if let Claim::Gives(least, most) = claim {
                        amounts_told += 1;
                        varied += u32::from(least < most);
                    }
                }
            }
        }
    }
    assert!(
        told > 200 && amounts_told > 20 && varied > 2,
        "{told} claims, {amounts_told} amounts, {varied} of them from least to most"
    );
}
