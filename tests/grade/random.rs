//! Random exercises made of random plans: every trial is held against a check of a plan that is made by changing the file.

use super::set_out::{read, remove};
use super::simple_engine::duties;
use super::simple_engine::generate::Random;
use duskline::plan::Plan;
use duskline::proof::{Check, Loss, check};
use duskline::teach::{Grade, LossesTried, TrialOutcome, grade};
use serde_json::{Value, json};

/// How many plans are graded.
const PLANS: u64 = 120;

fn list<'a>(document: &'a Value, key: &str) -> &'a [Value] {
    document[key].as_array().map_or(&[], Vec::as_slice)
}

fn id(value: &Value) -> String {
    value["id"].as_str().unwrap().to_string()
}

/// The type of a part in the plan's own book.
fn kind<'a>(document: &'a Value, part: &Value) -> &'a Value {
    let mut kinds = document["book"]["types"].as_array().unwrap().iter();
    kinds.find(|kind| kind["type"] == part["type"]).unwrap()
}

/// Only the duties that the plan keeps, so that more plans are kept.
fn with_kept_duties(document: &mut Value) {
    let verdicts = check(&read(document)).duties;
    let mut kept = verdicts.iter().map(|duty| duty.kept);
    let duties = document["duties"].as_array_mut().unwrap();
    duties.retain(|_| kept.next().unwrap());
}

/// A duty for each load with just the grace that it needs, so that a loss which makes it dark for longer breaks it.
fn with_tight_duties(document: &mut Value) {
    let parts = list(document, "parts").iter();
    let loads = parts.filter(|part| kind(document, part)["behaviour"] == "load");
    let duties = loads.map(|load| json!({ "part": load["id"], "when": "always", "grace_s": 0 }));
    document["duties"] = duties.collect();
    let verdicts = check(&read(document)).duties;
    let duties = document["duties"].as_array_mut().unwrap();
    for (duty, verdict) in duties.iter_mut().zip(&verdicts) {
        let longest = verdict.gaps.iter().map(|gap| gap.to - gap.from).max();
        duty["grace_s"] = (longest.unwrap_or(0) as f64 / 1000.0).into();
    }
}

fn random_trial(random: &mut Random, document: &Value) -> Value {
    let mut trial = json!({ "says": "a trial" });
    if random.chance(50) {
        let weather: Vec<f64> = (0..random.between(1, 3))
            .map(|_| random.between(0, 4) as f64 / 4.0)
            .collect();
        trial["world"] = json!({ "weather": weather });
    }
    if random.chance(50) {
        let parts = list(document, "parts").iter();
        // Not only switches: what is no switch can't be thrown.
        let thrown =
            parts.filter(|part| kind(document, part)["function"] == "manual" || random.chance(5));
        trial["throw"] = thrown.map(|part| part["id"].clone()).collect();
    }
    match random.between(0, 2) {
        0 => {
            let mut some = |key: &str| -> Vec<Value> {
                let all = list(document, key).iter();
                let some = all.filter(|_| random.chance(10));
                some.map(|thing| thing["id"].clone()).collect()
            };
            let (parts, wires) = (some("parts"), some("wires"));
            trial["lose"] = json!({ "parts": parts, "wires": wires });
        }
        1 => trial["lose"] = "any".into(),
        _ => {}
    }
    trial
}

/// The file as tried: its world changed, its switches thrown.
fn tried(document: &Value, trial: &Value) -> Value {
    let mut tried = document.clone();
    for (key, value) in trial["world"].as_object().into_iter().flatten() {
        tried["world"][key] = value.clone();
    }
    for at in 0..list(document, "parts").len() {
        let part = &document["parts"][at];
        let kind = kind(document, part);
        let is_thrown = list(trial, "throw").contains(&part["id"]);
        if is_thrown && kind["function"] == "manual" {
            let setting = |key: &str| match &part["set"][key] {
                Value::Null => kind["set"][key].clone(),
                own => own.clone(),
            };
            let closed = setting("closed").as_bool().unwrap_or(false);
            let mut schedule = setting("schedule");
            for entry in schedule.as_array_mut().into_iter().flatten() {
                entry[1] = (!entry[1].as_bool().unwrap()).into();
            }
            let set = &mut tried["parts"][at]["set"];
            if set.is_null() {
                *set = json!({});
            }
            set["closed"] = (!closed).into();
            if !schedule.is_null() {
                set["schedule"] = schedule;
            }
        }
    }
    tried
}

fn without_wire(document: &mut Value, wire: &str) {
    let wires = document["wires"].as_array_mut().unwrap();
    wires.retain(|other| other["id"] != wire);
}

/// The duties that a loss breaks, of those that should stand it.
fn broken_by(document: &Value, whole: &Check, loss: &Loss) -> Vec<usize> {
    let mut rest = document.clone();
    let gone = match loss {
        Loss::Part(id) => {
            remove(&mut rest, id.as_str());
            Some(id.as_str())
        }
        Loss::Wire(id) => {
            without_wire(&mut rest, id.as_str());
            None
        }
        _ => unreachable!("parts and wires are lost"),
    };
    let after = check(&read(&rest));
    let mut verdicts = after.duties.iter();
    let mut broken = Vec::new();
    for (at, duty) in list(document, "duties").iter().enumerate() {
        let load = duty["part"].as_str().unwrap();
        if gone == Some(load) {
            continue;
        }
        let is_broken = !verdicts.next().unwrap().kept;
        let end = format!("{load}.in");
        let mut wires = list(document, "wires").iter();
        let own = wires.find(|wire| wire["to"] == end.as_str());
        let hangs_on = own.is_some_and(|wire| {
            let from = wire["from"].as_str().unwrap().split_once('.').unwrap().0;
            gone == Some(from) || *loss == Loss::Wire(id(wire).into())
        });
        if is_broken && !hangs_on && whole.duties[at].kept {
            broken.push(at);
        }
    }
    broken
}

/// All single losses that break a duty which should stand them, with those duties.
fn breaking(document: &Value, whole: &Check) -> Vec<(Loss, Vec<usize>)> {
    let parts = list(document, "parts").iter();
    let parts = parts.map(|part| Loss::Part(id(part).into()));
    let wires = list(document, "wires").iter();
    let wires = wires.map(|wire| Loss::Wire(id(wire).into()));
    let all = parts.chain(wires).map(|loss| {
        let broken = broken_by(document, whole, &loss);
        (loss, broken)
    });
    all.filter(|(_, broken)| !broken.is_empty()).collect()
}

fn found(losses: &LossesTried) -> Vec<(Loss, Vec<usize>)> {
    let duties = |found: &duskline::teach::BreakingLoss| {
        found.breaks.iter().map(|broken| broken.duty).collect()
    };
    let all = losses.breaking.iter();
    all.map(|loss| (loss.loss.clone(), duties(loss))).collect()
}

/// The check of a trial made plainly, and the places of the duties that are left in it.
fn plainly(document: &Value, trial: &Value) -> (Value, Check, Vec<usize>) {
    let mut plan = tried(document, trial);
    let lost: Vec<&Value> = list(&trial["lose"], "parts").iter().collect();
    for part in &lost {
        remove(&mut plan, part.as_str().unwrap());
    }
    for wire in list(&trial["lose"], "wires") {
        without_wire(&mut plan, wire.as_str().unwrap());
    }
    let duties = list(document, "duties").iter().enumerate();
    let left = duties.filter(|(_, duty)| !lost.contains(&&duty["part"]));
    let left = left.map(|(at, _)| at).collect();
    let check = check(&read(&plan));
    (plan, check, left)
}

fn holds(seed: u64, outcome: &TrialOutcome, document: &Value, trial: &Value) {
    let (plan, check, left) = plainly(document, trial);
    let any = trial["lose"] == "any";
    let expected = any.then(|| breaking(&plan, &check));
    let stands = expected.as_ref().is_none_or(Vec::is_empty);
    assert_eq!(
        outcome.kept,
        check.is_fine() && stands,
        "plan {seed}: {trial}"
    );
    assert_eq!(
        outcome.losses.as_ref().map(found),
        expected,
        "plan {seed}: {trial}"
    );
    assert_eq!(
        (outcome.for_ever, outcome.days),
        (check.for_ever, check.days)
    );
    let broken = outcome
        .broken
        .iter()
        .map(|b| (b.duty, b.from, b.on, b.gaps));
    let duties = check.duties.iter().zip(&left);
    let expected = duties.filter_map(|(verdict, at)| {
        let first = verdict.gaps.first()?;
        Some((*at, first.from, first.on, verdict.gaps.len()))
    });
    let expected: Vec<_> = expected.collect();
    assert_eq!(broken.collect::<Vec<_>>(), expected, "plan {seed}: {trial}");
    for broken in &outcome.broken {
        let cause = broken.cause.as_ref().expect("a cause");
        assert_eq!(
            (&cause.load, cause.from, cause.on),
            (&broken.load, broken.from, broken.on)
        );
        assert!(broken.ends.moment().is_none_or(|end| end > broken.from));
    }
}

fn since(grade: &Grade) -> Option<(usize, u64)> {
    let trials = grade.trials.iter().enumerate();
    let mut first = trials.filter_map(|(at, outcome)| {
        let own = outcome.broken.iter().map(|broken| broken.from).min();
        let losses = outcome.losses.iter().flat_map(|losses| &losses.breaking);
        let lost = losses
            .flat_map(|loss| &loss.breaks)
            .map(|broken| broken.from)
            .min();
        Some((at, own.or(lost)?))
    });
    first.next()
}

/// A random plan with duties as an exercise's file; every second one has only duties that it keeps.
fn random_exercise(seed: u64, document: &Value) -> Value {
    let mut random = Random::new(seed ^ 0x6_4ADE);
    let mut document = document.clone();
    if random.chance(50) {
        with_tight_duties(&mut document);
    }
    if random.chance(70) {
        with_kept_duties(&mut document);
    }
    let trials = (0..random.between(0, 3)).map(|_| random_trial(&mut random, &document));
    let trials: Vec<Value> = trials.collect();
    document["exercise"] = json!({ "asks": "Keep all.", "trials": trials });
    document
}

#[test]
fn a_plan_that_is_its_own_solution_is_kept_as_checks_of_plans_made_by_hand_say() {
    let (mut kept, mut failed, mut sturdy, mut weak, mut harmful) = (0, 0, 0, 0, 0);
    duties::plans().each(PLANS, |case| {
        let document = random_exercise(case.seed, &case.document);
        let plan = read(&document);
        let grade = grade(&plan, &plan).expect("an exercise");
        assert_eq!((grade.breaches.len(), grade.overruled.len()), (0, 0));
        assert_eq!((grade.parts, grade.materials, grade.cheap), (0, 0, None));
        let plain = json!({});
        let trials = list(&document["exercise"], "trials");
        let trials = std::iter::once(&plain).chain(trials);
        for (outcome, trial) in grade.trials.iter().zip(trials) {
            holds(case.seed, outcome, &document, trial);
        }
        assert_eq!(grade.kept, grade.trials.iter().all(|trial| trial.kept));
        assert_eq!(grade.since.as_ref().map(|s| (s.trial, s.t)), since(&grade));
        let whole = check(&plan);
        let expected = grade.kept.then(|| breaking(&document, &whole));
        assert_eq!(
            grade.losses.as_ref().map(found),
            expected,
            "plan {}",
            case.seed
        );
        assert_eq!(
            grade.is_sturdy(),
            expected.is_some_and(|losses| losses.is_empty())
        );
        let losses = grade
            .trials
            .iter()
            .filter_map(|trial| trial.losses.as_ref());
        harmful += losses
            .chain(&grade.losses)
            .map(|tried| tried.breaking.len())
            .sum::<usize>();
        *if grade.kept { &mut kept } else { &mut failed } += 1;
        *if grade.is_sturdy() {
            &mut sturdy
        } else {
            &mut weak
        } += 1;
    });
    println!(
        "{kept} kept, {failed} not; {sturdy} sturdy, {weak} not; {harmful} losses break duties"
    );
    assert!(kept > 10 && failed > 10 && sturdy > 3 && weak > 10 && harmful > 10);
}

#[test]
fn what_is_not_given_is_built_and_tried_as_it_stands_but_for_the_charge_of_batteries() {
    let (mut built, mut charged) = (0, 0);
    duties::plans().each(PLANS, |case| {
        let mut random = Random::new(case.seed ^ 0xB_017);
        let document = random_exercise(case.seed, &case.document);
        let (mut given, mut tried) = (document.clone(), document.clone());
        let mut count = 0;
        for (at, part) in list(&document, "parts").iter().enumerate() {
            let has_duty = list(&document, "duties")
                .iter()
                .any(|d| d["part"] == part["id"]);
            if has_duty || !random.chance(40) {
                continue;
            }
            remove(&mut given, &id(part));
            count += part["count"].as_u64().unwrap_or(1);
            if kind(&document, part)["behaviour"] == "battery"
                && !part["set"].is_null()
                && let Some(set) = tried["parts"][at]["set"].as_object_mut()
            {
                charged += usize::from(set.remove("start").is_some());
            }
        }
        let (given, solution): (Plan, Plan) = (read(&given), read(&document));
        let grade = grade(&given, &solution).expect("an exercise");
        assert_eq!(
            (grade.breaches.len(), grade.parts),
            (0, count),
            "plan {}",
            case.seed
        );
        holds(case.seed, &grade.trials[0], &tried, &json!({}));
        built += count;
    });
    assert!(built > 50 && charged > 5, "{built} {charged}");
}
