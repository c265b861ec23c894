//! Losses: the quick way against running the plan without the part, on random plans; when and how long, by hand; pairs
//! against trying each; what all power goes through against deleting it.

pub mod simple_engine;

use duskline::plan::{End, Plan, read_plan};
use duskline::proof::{self, Check, Loss, LossJudge, LossReport, Pairs};
use serde_json::{Value, json};
use simple_engine::generate::{self, Case, Plans, Random};

const HOUR: u64 = 3_600_000;

/// The duties that a loss breaks, found the plain way: by checking the plan without what is lost.
fn plainly(plan: &Plan, whole: &Check, lost: &[&Loss]) -> Vec<usize> {
    let rest = lost
        .iter()
        .fold(plan.clone(), |rest, loss| proof::without(&rest, loss));
    let after = proof::check(&rest);
    let own = |at: usize| {
        let id = &plan.duties[at].part;
        lost.iter()
            .any(|l| matches!(l, Loss::Part(part) if part == id))
    };
    let mut left = after.duties.iter();
    let mut breaks = Vec::new();
    for at in 0..plan.duties.len() {
        let broken = own(at) || left.next().is_none_or(|d| !d.kept);
        if broken && whole.duties[at].kept {
            breaks.push(at);
        }
    }
    breaks
}

/// Everything that may be lost, empty batteries too.
fn everything(plan: &Plan) -> Vec<Loss> {
    let mut all = proof::all_losses(plan);
    all.extend(proof::empty_batteries(plan));
    all
}

/// Random plans, their loads given random duties; of several random plans side by side in some.
fn plans() -> Plans {
    Plans::of(random_plan)
}

fn read(case: &Case) -> Plan {
    read_plan(&case.document.to_string()).unwrap_or_else(|faults| panic!("{faults:?}"))
}

fn random_plan(seed: u64) -> Value {
    let mut random = Random::new(seed ^ 0x10_55);
    let mut whole = generate::plan(seed);
    if random.chance(40) {
        beside(&mut whole, &generate::plan(seed + 1_000_000));
    }
    let plan = read_plan(&whole.to_string()).unwrap_or_else(|faults| panic!("{faults:?}"));
    let behaviour = |p: &duskline::plan::Part| plan.kind_of(p).map(|k| k.behaviour.name());
    let loads: Vec<String> = plan
        .parts
        .iter()
        .filter(|p| behaviour(p) == Some("load"))
        .map(|p| p.id.to_string())
        .collect();
    let day = plan.world.day_ms();
    let mut duties = Vec::new();
    for id in loads {
        let record = duskline::run::run(&plan, 2);
        let at = plan.parts.iter().position(|p| p.id.as_str() == id).unwrap();
        // Some grace is just what the load needs to keep its duty, or a little less.
        let runs = &record.loads[&at].runs;
        let off: u64 = 2 * day - runs.iter().map(|(a, b)| b - a).sum::<u64>();
        let grace = [0, 60_000, off, off / 2 + 1, off / 3, 40 * day][random.index(6)];
        let when = random.pick(&["always", "always", "dark", "light", "home", "away"]);
        duties.push(json!({
            "part": id, "when": when, "only": random.chance(15), "grace_s": grace as f64 / 1000.0,
        }));
    }
    let mut document: Value = serde_json::from_str(&plan.print()).unwrap();
    document["duties"] = duties.into();
    document
}

/// Puts the parts and wires of another plan with the same kinds of book beside a plan's own.
fn beside(plan: &mut Value, other: &Value) {
    let named = |value: &Value| value.as_str().unwrap().to_string();
    for kind in other["book"]["types"].as_array().unwrap() {
        let mut kind = kind.clone();
        kind["type"] = format!("other {}", named(&kind["type"])).into();
        plan["book"]["types"].as_array_mut().unwrap().push(kind);
    }
    for part in other["parts"].as_array().unwrap() {
        let mut part = part.clone();
        part["id"] = format!("o{}", named(&part["id"])).into();
        part["type"] = format!("other {}", named(&part["type"])).into();
        if let Some(watches) = part.get("set").and_then(|s| s.get("watches")).cloned() {
            part["set"]["watches"] = format!("o{}", named(&watches)).into();
        }
        plan["parts"].as_array_mut().unwrap().push(part);
    }
    for wire in other["wires"].as_array().unwrap() {
        let mut wire = wire.clone();
        for key in ["id", "from", "to"] {
            wire[key] = format!("o{}", named(&wire[key])).into();
        }
        plan["wires"].as_array_mut().unwrap().push(wire);
    }
}

#[test]
fn on_random_plans_each_loss_breaks_what_the_plan_without_it_breaks() {
    let (mut broken, mut harmless, mut apart) = (0, 0, 0);
    plans().each(80, |case| {
        let (seed, plan) = (case.seed, read(case));
        let whole = proof::check(&plan);
        if !whole.duties.iter().any(|d| d.kept) {
            return;
        }
        let all = everything(&plan);
        apart += usize::from(LossJudge::new(&plan, &whole).islands() > 1);
        for report in proof::losses(&plan, &whole, &all) {
            let expected = plainly(&plan, &whole, &[&report.loss]);
            assert_eq!(report.breaks, expected, "plan {seed}: {:?}", report.loss);
            let places: Vec<usize> = report.harms.iter().map(|h| h.duty).collect();
            assert_eq!(places, expected, "plan {seed}: {:?}", report.loss);
            *if expected.is_empty() {
                &mut harmless
            } else {
                &mut broken
            } += 1;
        }
    });
    println!(
        "{broken} losses break something, {harmless} nothing; {apart} plans of several islands"
    );
    // Each of these was met.
    assert!(broken > 0 && harmless > 0 && apart > 0);
}

#[test]
fn several_hands_find_together_what_one_finds_and_each_loss_once() {
    let mut shared = 0;
    plans().each(40, |case| {
        let (seed, plan) = (case.seed, read(case));
        let whole = proof::check(&plan);
        let all = everything(&plan);
        let alone: Vec<LossReport> = proof::losses(&plan, &whole, &all).collect();
        for of in [1, 2, 3] {
            let hand = |hand| proof::share_of_losses(&plan, &whole, &all, (hand, of));
            let shares: Vec<Vec<(usize, LossReport)>> =
                (0..of).map(|h| hand(h).collect()).collect();
            shared += usize::from(of == 2 && shares.iter().all(|s| s.len() > 4));
            let mut together: Vec<(usize, LossReport)> = shares.into_iter().flatten().collect();
            together.sort_by_key(|(at, _)| *at);
            let places: Vec<usize> = together.iter().map(|(at, _)| *at).collect();
            assert_eq!(places, (0..all.len()).collect::<Vec<_>>(), "plan {seed}");
            let reports: Vec<LossReport> = together.into_iter().map(|(_, r)| r).collect();
            assert_eq!(reports, alone, "plan {seed}, {of} hands");
        }
    });
    // Both hands had something to do.
    assert!(shared > 0);
}

/// A plan of the built-in book on an equinox at 56 degrees north, with the clear air and the weather given.
fn plan(weather: Value, parts: Value, wires: Value, duties: Value) -> Plan {
    let world = json!({"sky": {"latitude": 56, "day_of_year": 80}, "weather": weather});
    let document = json!({
        "format": "duskline/plan", "version": 1, "book": "outpost", "world": world, "parts": parts, "wires": wires,
        "duties": duties,
    });
    read_plan(&document.to_string()).unwrap_or_else(|faults| panic!("{faults:?}"))
}

fn reports(plan: &Plan, lost: &[Loss]) -> Vec<LossReport> {
    let whole = proof::check(plan);
    proof::losses(plan, &whole, lost).collect()
}

/// A generator and a battery of 60 u·h that starts at so many per mille, a lamp of 2 u that must always run.
fn floated(start: u64) -> Plan {
    plan(
        json!([1.0]),
        json!([
            {"id": "p1", "type": "generator"}, {"id": "p2", "type": "battery", "set": {"start": start}},
            {"id": "p3", "type": "lamp"},
        ]),
        json!([{"id": "w1", "from": "p1.out", "to": "p2.in"}, {"id": "w2", "from": "p2.out", "to": "p3.in"}]),
        json!([{"part": "p3", "when": "always", "grace_s": 3600}]),
    )
}

#[test]
fn a_loss_tells_when_the_duty_first_breaks_for_how_long_and_what_was_not_served() {
    let plan = floated(1000);
    let found = reports(&plan, &[Loss::Part("p1".into()), Loss::Part("p2".into())]);
    // 57 u·h above the cut-out at 2 u: dark from 28:30 on, and for good; the third day repeats.
    let harm = &found[0].harms[0];
    assert_eq!(harm.first, Some(28 * HOUR + HOUR / 2));
    assert_eq!(found[0].days, 1);
    assert_eq!((harm.dark, found[0].loss_of_load), (24 * HOUR, 24 * HOUR));
    assert_eq!(harm.unserved, 2 * i128::from(24 * HOUR) * 1000);
    // Without the battery the generator leads nowhere: dark from the first moment.
    assert_eq!(found[1].first(), Some(0));
    let rank = proof::ranked(&found);
    assert_eq!(rank, [1, 0], "as bad a day, but sooner");
}

#[test]
fn a_battery_found_empty_breaks_what_lived_on_its_charge() {
    // 20 u at nine tenths fill the first tenth of 60 u·h in 20 minutes: within the grace of an hour.
    let found = reports(&floated(500), &[Loss::Empty("p2".into())]);
    assert!(found[0].breaks.is_empty());
    let slow = plan(
        json!([1.0]),
        json!([
            {"id": "p1", "type": "hand-generator"}, {"id": "p2", "type": "battery", "count": 10, "set": {"start": 1000}},
            {"id": "p3", "type": "lamp"},
        ]),
        json!([{"id": "w1", "from": "p1.out", "to": "p2.in"}, {"id": "w2", "from": "p2.out", "to": "p3.in"}]),
        json!([{"part": "p3", "when": "always", "grace_s": 3600}]),
    );
    // A tenth of 600 u·h at 9 u stored an hour: 6 hours and 40 minutes.
    let found = reports(&slow, &[Loss::Empty("p2".into())]);
    assert_eq!(found[0].breaks, [0]);
    assert_eq!(
        (found[0].harms[0].first, found[0].harms[0].lasts),
        (Some(0), Some(400 * 60_000))
    );
    assert_eq!(
        found[0].unserved(),
        0,
        "the days that go on repeating lack nothing"
    );
}

#[test]
fn a_summary_counts_survivors_and_names_single_points_of_failure() {
    let two = plan(
        json!([1.0]),
        json!([
            {"id": "p1", "type": "generator"}, {"id": "p2", "type": "generator"}, {"id": "p3", "type": "busbar-2"},
            {"id": "p4", "type": "lamp"},
        ]),
        json!([
            {"id": "w1", "from": "p1.out", "to": "p3.in1"}, {"id": "w2", "from": "p2.out", "to": "p3.in2"},
            {"id": "w3", "from": "p3.out", "to": "p4.in"},
        ]),
        json!([{"part": "p4", "when": "always"}]),
    );
    let all = proof::all_losses(&two);
    let found = reports(&two, &all);
    let survival = proof::survival(&found);
    assert_eq!((survival.survived, survival.tried), (4, 7));
    let points: Vec<&Loss> = survival
        .single_points
        .iter()
        .map(|at| &found[*at].loss)
        .collect();
    assert_eq!(survival.worst, survival.single_points);
    assert_eq!(
        points,
        [
            &Loss::Part("p3".into()),
            &Loss::Part("p4".into()),
            &Loss::Wire("w3".into())
        ]
    );
    // Either generator will do, but not none.
    let whole = proof::check(&two);
    let mut pairs = Pairs::new(&two, &whole, &found);
    let worse: Vec<_> = pairs.by_ref().flatten().collect();
    let (done, total) = pairs.progress();
    assert!(done == total && total > 0);
    assert_eq!(worse.len(), 1);
    assert_eq!(
        worse[0].losses,
        (Loss::Part("p1".into()), Loss::Part("p2".into()))
    );
    assert_eq!(worse[0].more, [0]);
}

/// A generator, a divider and two lamps that must always run.
fn shared_out() -> Plan {
    plan(
        json!([1.0]),
        json!([
            {"id": "p1", "type": "generator"}, {"id": "p2", "type": "divider-2"}, {"id": "p3", "type": "lamp"},
            {"id": "p4", "type": "lamp"},
        ]),
        json!([
            {"id": "w1", "from": "p1.out", "to": "p2.in"}, {"id": "w2", "from": "p2.out1", "to": "p3.in"},
            {"id": "w3", "from": "p2.out2", "to": "p4.in"},
        ]),
        json!([{"part": "p3", "when": "always"}, {"part": "p4", "when": "always"}]),
    )
}

#[test]
fn every_part_or_wire_that_breaks_a_duty_is_a_single_point_and_those_that_break_most_are_the_worst()
{
    let plan = shared_out();
    let found = reports(&plan, &everything(&plan));
    let survival = proof::survival(&found);
    let named = |places: &[usize]| -> Vec<String> {
        let name = |at: &usize| duskline::sheet::losses::lost(&plan, &found[*at].loss);
        places.iter().map(name).collect()
    };
    assert_eq!(survival.single_points.len(), 7);
    let worst = [
        "Steady generator",
        "Two-way divider",
        "Wire from Steady generator to Two-way divider",
    ];
    assert_eq!(named(&survival.worst), worst);
    let said = duskline::sheet::losses::single_points(&plan, &found, &survival);
    let says = "7 single points of failure; the worst, each breaking all 2 duties";
    assert_eq!(said, Some((says.to_string(), named(&survival.worst))));
    let none = proof::survival(&[]);
    assert_eq!(
        duskline::sheet::losses::single_points(&plan, &[], &none),
        None
    );
}

#[test]
fn findings_count_as_single_points_the_parts_that_losses_do_but_for_loads() {
    use duskline::proof::findings::{FindingKind, findings};
    let mut told = 0;
    let examples = duskline::plan::examples().iter();
    let mut plans: Vec<Plan> = examples.map(|(_, text)| read_plan(text).unwrap()).collect();
    plans.push(shared_out());
    for plan in plans {
        let found = reports(&plan, &proof::all_losses(&plan));
        let is_load = |id| {
            let kind = plan.part(id).and_then(|p| plan.kind_of(p));
            kind.is_some_and(|k| k.behaviour.name() == "load")
        };
        let points = proof::survival(&found).single_points.into_iter();
        let points = points.filter(|at| matches!(&found[*at].loss, Loss::Part(id) if !is_load(id)));
        let before = format!("instead of {}.", points.count());
        for finding in findings(&plan) {
            if finding.kind == FindingKind::SinglePoint {
                let says = finding.remedy.expect("only told with a change").says;
                assert!(says.ends_with(&before), "{says} {before}");
                told += 1;
            }
        }
    }
    // Or no change was looked at.
    assert!(told > 0);
}

/// A generator and so many parts of a kind one behind the other, each load with a duty.
fn chain(kind: &str, out: &str, many: usize) -> Plan {
    let mut parts = vec![json!({"id": "p0", "type": "generator", "count": 1000})];
    let (mut wires, mut duties) = (Vec::new(), Vec::new());
    for n in 1..=many + 1 {
        let kind = if n > many { "lamp" } else { kind };
        parts.push(json!({"id": format!("p{n}"), "type": kind}));
        let out = if n == 1 { "out" } else { out };
        let from = format!("p{}.{out}", n - 1);
        wires.push(json!({"id": format!("w{n}"), "from": from, "to": format!("p{n}.in")}));
        if kind == "lamp" {
            duties.push(json!({"part": format!("p{n}"), "when": "always"}));
        }
    }
    plan(json!([1.0]), parts.into(), wires.into(), duties.into())
}

#[test]
fn in_a_chain_each_loss_breaks_what_is_behind_it() {
    let many = 60;
    for (kind, out) in [("lamp", "loop"), ("meter", "out")] {
        let plan = chain(kind, out, many);
        let found = reports(&plan, &proof::all_losses(&plan));
        for report in &found {
            let (part, at) = match &report.loss {
                Loss::Part(id) => (true, id.as_str()),
                Loss::Wire(id) => (false, id.as_str()),
                other => panic!("{other:?}"),
            };
            let at: usize = at[1..].parse().unwrap();
            let lamps = if kind == "lamp" {
                many + 1 - at + usize::from(at > 0)
            } else {
                1
            };
            assert_eq!(
                report.breaks.len(),
                lamps.min(plan.duties.len()),
                "{kind} {part} {at}"
            );
        }
    }
}

#[test]
fn what_all_power_goes_through_is_told_in_as_many_words_as_there_are_parts() {
    let many = 300;
    let points = proof::weak_points(&chain("lamp", "loop", many));
    // The generator, every lamp but the last, every wire.
    assert_eq!(points.len(), 1 + many + many + 1);
    assert_eq!(
        points.iter().map(|p| p.loads.len()).sum::<usize>(),
        many + 1
    );
    assert_eq!((points[0].after, points[0].behind), (None, many + 1));
    assert_eq!(proof::loads_behind(&points, 0).len(), many + 1);
    let lamp = &points[10];
    assert_eq!(
        (&lamp.loss, lamp.behind),
        (&Loss::Part("p10".into()), many + 1 - 10)
    );
    assert_eq!(
        lamp.after.map(|at| &points[at].loss),
        Some(&Loss::Wire("w10".into()))
    );
    assert!(
        lamp.loads.is_empty(),
        "the wire behind it is nearer to the next"
    );
}

/// A plan with more ways of power than one: generators joined two by two, and lamps shared out from what they come to.
fn redundant(seed: u64) -> Value {
    let mut random = Random::new(seed);
    let (mut parts, mut wires, mut ends) = (Vec::new(), Vec::new(), Vec::new());
    let mut add = |kind: &str| {
        parts.push(json!({"id": format!("p{}", parts.len() + 1), "type": kind}));
        format!("p{}", parts.len())
    };
    for _ in 0..random.between(2, 4) {
        ends.push(format!(
            "{}.out",
            add(random.pick(&["generator", "hand-generator"]))
        ));
    }
    let mut wire = |from: &str, to: String| {
        wires.push(json!({"id": format!("w{}", wires.len() + 1), "from": from, "to": to}));
    };
    while ends.len() > 1 {
        random.shuffle(&mut ends);
        let (a, b) = (ends.pop().unwrap(), ends.pop().unwrap());
        let (kind, first, second) = *[("busbar-2", "in1", "in2"), ("changeover", "main", "backup")]
            .get(random.index(2))
            .unwrap();
        let joint = add(kind);
        wire(&a, format!("{joint}.{first}"));
        wire(&b, format!("{joint}.{second}"));
        ends.push(format!("{joint}.out"));
    }
    let mut end = ends.pop().unwrap();
    let mut duties = Vec::new();
    for _ in 0..random.between(1, 4) {
        let load = add(random.pick(&["lamp", "pump", "workbench", "desalinator"]));
        wire(&end, format!("{load}.in"));
        end = format!("{load}.loop");
        duties.push(json!({"part": load, "when": "always"}));
    }
    let plan = plan(json!([1.0]), parts.into(), wires.into(), duties.into());
    plan.to_value()
}

#[test]
fn on_random_plans_pairs_are_those_that_break_more_than_the_two_alone() {
    let (mut worse, mut tried) = (0, 0);
    Plans::of(redundant).each(30, |case| {
        let (seed, plan) = (case.seed, read(case));
        let whole = proof::check(&plan);
        let singles = reports(&plan, &everything(&plan));
        let found: Vec<_> = Pairs::new(&plan, &whole, &singles).flatten().collect();
        worse += found.len();
        for pair in &found {
            let both = plainly(&plan, &whole, &[&pair.losses.0, &pair.losses.1]);
            assert_eq!(pair.report.breaks, both, "plan {seed}: {:?}", pair.losses);
        }
        // What is not listed breaks no more than the two alone, save for losses that stand for each other.
        let listed: Vec<&Vec<usize>> = found.iter().map(|p| &p.report.breaks).collect();
        for (at, a) in singles.iter().enumerate() {
            for b in singles.iter().skip(at + 1) {
                let both = plainly(&plan, &whole, &[&a.loss, &b.loss]);
                let more = both
                    .iter()
                    .any(|d| !a.breaks.contains(d) && !b.breaks.contains(d));
                assert!(
                    !more || listed.contains(&&both),
                    "plan {seed}: {:?} {:?}",
                    a.loss,
                    b.loss
                );
                tried += 1;
            }
        }
    });
    println!("{tried} pairs, {worse} told");
    // Pairs of both kinds were met.
    assert!(worse > 0 && tried > worse);
}

#[test]
fn what_all_power_goes_through_breaks_what_is_behind_it() {
    let mut seen = 0;
    let plans = Plans::of(|seed| match seed % 2 {
        0 => random_plan(seed),
        _ => redundant(seed),
    });
    plans.each(120, |case| {
        let (seed, plan) = (case.seed, read(case));
        let whole = proof::check(&plan);
        let points = proof::weak_points(&plan);
        let lost: Vec<Loss> = points.iter().map(|p| p.loss.clone()).collect();
        for (place, report) in proof::losses(&plan, &whole, &lost).enumerate() {
            let point = &points[place];
            let behind = proof::loads_behind(&points, place);
            assert_eq!(behind.len(), point.behind, "plan {seed}: {point:?}");
            for (at, duty) in plan.duties.iter().enumerate() {
                if !behind.contains(&&duty.part) || !whole.duties[at].kept {
                    continue;
                }
                // A duty that never has to be done longer than its grace is kept in the dark too.
                let wire = plan
                    .wire_at(&End::new(&duty.part, "in"))
                    .expect("power reaches it");
                let dark = proof::without(&plan, &Loss::Wire(wire.id.clone()));
                if !proof::check(&dark).duties[at].kept {
                    assert!(report.breaks.contains(&at), "plan {seed}: {point:?}");
                    seen += 1;
                }
            }
        }
    });
    // Or nothing was looked at.
    assert!(seen > 0);
}

// Common practice, no source: a switch that outsiders can reach is to command nothing that matters.
#[test]
fn a_switch_within_strangers_reach_is_tried_thrown_and_one_out_of_it_is_not() {
    let with = |reach: &str| {
        plan(
            json!([1.0]),
            json!([
                {"id": "p1", "type": "generator"},
                {"id": "p2", "type": "switch", "set": {"closed": true}, "reach": reach},
                {"id": "p3", "type": "door-lock"}, {"id": "p4", "type": "switch", "reach": "anyone"},
                {"id": "p5", "type": "siren"}, {"id": "p6", "type": "divider-2"},
            ]),
            json!([
                {"id": "w1", "from": "p1.out", "to": "p6.in"}, {"id": "w2", "from": "p6.out1", "to": "p2.feed"},
                {"id": "w3", "from": "p2.out", "to": "p3.in"}, {"id": "w4", "from": "p6.out2", "to": "p4.feed"},
                {"id": "w5", "from": "p4.out", "to": "p5.in"},
            ]),
            json!([{"part": "p3", "when": "always"}]),
        )
    };
    let thrown = |plan: &Plan| -> Vec<(Loss, usize)> {
        let found = reports(plan, &proof::all_losses(plan)).into_iter();
        let switches = found.filter(|r| matches!(r.loss, Loss::Switch(_)));
        switches.map(|r| (r.loss, r.breaks.len())).collect()
    };
    let (lock, siren) = (Loss::Switch("p2".into()), Loss::Switch("p4".into()));
    assert_eq!(thrown(&with("anyone")), [(lock, 1), (siren.clone(), 0)]);
    assert_eq!(
        thrown(&with("builders")),
        [(siren, 0)],
        "the lock's own switch is out of reach"
    );
}

// Common practice, no source: power hidden behind one source goes dark with it.
#[test]
fn what_hangs_on_one_source_goes_dark_with_it_and_a_second_one_saves_it() {
    let with = |second: bool| {
        let mut wires = vec![
            json!({"id": "w1", "from": "p1.out", "to": "p3.in1"}),
            json!({"id": "w2", "from": "p3.out", "to": "p4.in"}),
        ];
        if second {
            wires.push(json!({"id": "w3", "from": "p2.out", "to": "p3.in2"}));
        }
        plan(
            json!([1.0]),
            json!([
                {"id": "p1", "type": "generator"}, {"id": "p2", "type": "generator"}, {"id": "p3", "type": "busbar-2"},
                {"id": "p4", "type": "beacon"},
            ]),
            wires.into(),
            json!([{"part": "p4", "when": "dark"}]),
        )
    };
    let source = |plan: &Plan| reports(plan, &[Loss::Part("p1".into())])[0].breaks.len();
    assert_eq!((source(&with(false)), source(&with(true))), (1, 0));
    let through = |plan: &Plan| {
        proof::weak_points(plan)
            .iter()
            .any(|p| p.loss == Loss::Part("p1".into()))
    };
    assert!(through(&with(false)) && !through(&with(true)));
}

#[test]
fn days_of_unlike_levels_are_told_as_they_would_be_run() {
    // A vault that loses a little each day: the lamp behind it goes dark on a day far off, with the same times of dusk.
    for (count, start) in [(1, 700), (3, 300), (40, 500)] {
        let plan = plan(
            json!([1.0]),
            json!([
                {"id": "p1", "type": "sun-panel-small"}, {"id": "p2", "type": "tap"},
                {"id": "p3", "type": "battery-vault", "count": count, "set": {"start": start}},
                {"id": "p4", "type": "relay", "set": {"contact": "break"}}, {"id": "p5", "type": "beacon"},
                {"id": "p6", "type": "generator"}, {"id": "p7", "type": "busbar-2"},
            ]),
            json!([
                {"id": "w1", "from": "p1.out", "to": "p2.in"}, {"id": "w2", "from": "p2.tap", "to": "p4.coil"},
                {"id": "w3", "from": "p2.rest", "to": "p7.in1"}, {"id": "w4", "from": "p6.out", "to": "p7.in2"},
                {"id": "w5", "from": "p7.out", "to": "p3.in"}, {"id": "w6", "from": "p3.out", "to": "p4.feed"},
                {"id": "w7", "from": "p4.out", "to": "p5.in"},
            ]),
            json!([{"part": "p5", "when": "dark", "grace_s": 1800}]),
        );
        let whole = proof::check(&plan);
        let lost = Loss::Part("p6".into());
        let report = &reports(&plan, std::slice::from_ref(&lost))[0];
        let rest = proof::without(&plan, &lost);
        let after = proof::check(&rest);
        assert_eq!(report.breaks, plainly(&plan, &whole, &[&lost]));
        let gap = after.duties[0].gaps.first();
        assert_eq!(report.first(), gap.map(|g| g.from));
        // Or no two days were unlike.
        assert!(after.days > 1, "{}", after.days);
    }
}

#[test]
fn what_all_power_goes_through_is_what_networkx_finds() {
    let read = |text: &str| serde_json::from_str::<Value>(text).expect("a fixture");
    let plans = read(include_str!("fixtures/offers_networkx.json"));
    let expected = read(include_str!("fixtures/weak_networkx.json"));
    let cases = plans["cases"].as_array().unwrap().iter();
    let mut seen = 0;
    for (at, (case, weak)) in cases.zip(expected["cases"].as_array().unwrap()).enumerate() {
        let plan = read_plan(&case["plan"].to_string()).unwrap();
        let points = proof::weak_points(&plan);
        let behind = |at: usize| proof::loads_behind(&points, at);
        for (load, way) in weak.as_object().unwrap() {
            let before =
                (0..points.len()).filter(|at| behind(*at).iter().any(|id| id.as_str() == load));
            let mut found: Vec<&str> = before
                .map(|at| match &points[at].loss {
                    Loss::Part(id) => id.as_str(),
                    Loss::Wire(id) => id.as_str(),
                    other => panic!("{other:?}"),
                })
                .collect();
            found.sort_unstable();
            assert_eq!(Value::from(found), *way, "case {at}, {load}");
            seen += way.as_array().unwrap().len();
        }
        let loads: usize = points.iter().map(|p| p.behind).sum();
        let all: usize = weak
            .as_object()
            .unwrap()
            .values()
            .map(|w| w.as_array().unwrap().len())
            .sum();
        assert_eq!(loads, all, "case {at}");
    }
    // Or nothing was looked at.
    assert!(seen > 0);
}
