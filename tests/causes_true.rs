//! What is said of broken duties against what the run itself shows, on random plans in short worlds: every amount that a
//! source or a battery is said to give, every contact said to be open or closed, every battery said to be empty, at
//! every event in the gap. A reason is told with how long it holds in the gap, or as the only one where it holds for all
//! but a twentieth: for at least that long all that it says must be so at once.

pub mod simple_engine;

use duskline::plan::{Plan, read_plan};
use duskline::proof::{Gap, causes, check};
use duskline::run::Engine;
use serde_json::Value;
use simple_engine::duties;
use simple_engine::generate::Plans;

/// How many plans are looked at.
const PLANS: u64 = 250;

/// Random plans with duties, whose parts have names that cannot be taken for other words.
fn plans() -> Plans {
    Plans::of(|seed| named(duties::plan(seed)))
}

fn named(mut value: Value) -> Value {
    for part in value["parts"].as_array_mut().expect("parts") {
        let name = format!("<{}>", part["id"].as_str().expect("an id"));
        part["name"] = Value::from(name);
    }
    value
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

/// What is so at the moment to which the run has come. Who is said to give something gives it through its one output.
fn holds(engine: &Engine, part: usize, claim: &Claim) -> bool {
    let node = &engine.net().nodes[part];
    match *claim {
        Claim::Conducts(conducts) => engine.controls().conducts[part] == conducts,
        Claim::Empty => !engine.controls().output[part],
        Claim::Gives(least, most) => {
            let [Some(wire)] = node.outs[..] else {
                panic!("{claim:?} of a part with the outputs {:?}", node.outs);
            };
            (least..=most).contains(&engine.live().offer[wire])
        }
    }
}

/// A length of time as it is told, in milliseconds: `3 h 20 min`, `45 s`, `40 ms`. What is told is rounded down.
fn length(text: &str) -> u64 {
    let words: Vec<&str> = text.split(' ').collect();
    let unit = |sign: &str| match sign {
        "h" => 3_600_000,
        "min" => 60_000,
        "s" => 1000,
        "ms" => 1,
        _ => panic!("{text}"),
    };
    let pairs = words.chunks(2);
    pairs
        .map(|pair| pair[0].parse::<u64>().expect("a number") * unit(pair[1]))
        .sum()
}

/// The reasons of a cause, each with for how long it is told to hold in a gap of `whole` milliseconds.
fn reasons(says: &str, whole: u64) -> Vec<(u64, &str)> {
    let (_, because) = says.split_once(": ").expect("a cause");
    // What would be enough stands in a sentence of its own.
    let because = because
        .split_once(". ")
        .map_or(because, |(because, _)| because);
    let reasons = because
        .split("; ")
        .filter(|r| !r.contains(" of it have other reasons"));
    let told =
        |reason| match str::strip_prefix(reason, "for ").and_then(|r| r.split_once(" of it, ")) {
            Some((long, reason)) => (length(long), reason),
            None => (whole - whole / 20, reason),
        };
    reasons.map(told).collect()
}

/// For how long in the gap all of a reason's claims are so at once, for each reason.
fn held(plan: &Plan, gap: &Gap, reasons: &[Vec<(usize, Claim)>]) -> Vec<u64> {
    let mut engine = Engine::new(plan);
    engine.advance(gap.from + 1);
    let (mut t, mut held) = (gap.from, vec![0; reasons.len()]);
    while t < gap.to {
        let so: Vec<bool> = reasons
            .iter()
            .map(|claims| {
                claims
                    .iter()
                    .all(|(part, claim)| holds(&engine, *part, claim))
            })
            .collect();
        let events = engine.events();
        engine.advance_some(gap.to, 1);
        let next = if engine.events() > events {
            engine.now()
        } else {
            gap.to
        };
        for (held, so) in held.iter_mut().zip(so) {
            *held += if so { next - t } else { 0 };
        }
        t = next;
    }
    held
}

#[test]
fn what_is_said_of_a_gap_is_so_for_as_long_as_it_is_said() {
    let (mut tested, mut silent) = (0, 0);
    let mut seen = [false; 6];
    plans().each(PLANS, |case| {
        let (seed, plan) = (
            case.seed,
            read_plan(&case.document.to_string()).expect("a sound plan"),
        );
        let check = check(&plan);
        let causes = causes(&plan, &check, &mut |_, _| {});
        for (verdict, causes) in check.duties.iter().zip(&causes) {
            for (gap, cause) in verdict.gaps.iter().zip(causes).take(3) {
                let said = cause.says(&plan);
                let reasons = reasons(&said, gap.to - gap.from);
                let claims: Vec<_> = reasons
                    .iter()
                    .map(|(_, says)| claims(&plan, says))
                    .collect();
                for (((told, says), claims), held) in
                    reasons.iter().zip(&claims).zip(held(&plan, gap, &claims))
                {
                    assert!(
                        held >= *told,
                        "plan {seed}: {says}: so for {held} of {told} ms: {}",
                        said
                    );
                    // Of a reason that claims nothing which can be tested nothing is shown.
                    tested += claims.len();
                    silent += usize::from(claims.is_empty());
                    seen[5] |= reasons.len() > 1;
                    for (_, claim) in claims {
                        let kind = match claim {
                            Claim::Conducts(conducts) => usize::from(*conducts),
                            Claim::Empty => 2,
                            Claim::Gives(least, most) => 3 + usize::from(least < most),
                        };
                        seen[kind] = true;
                    }
                }
            }
        }
    });
    println!("{tested} claims tested; {silent} reasons claim nothing that can be");
    assert_eq!(
        seen, [true; 6],
        "each kind of claim, and several reasons for one gap"
    );
}
