//! Findings on the examples and on random plans: nothing panics, no sentence lacks its number, and every change does what
//! all changes promise; and variants compared.

pub mod simple_engine;

use duskline::net::Weight;
use duskline::plan::{History, Plan, examples, read_plan};
use duskline::proof::compare::{figures, rows, survived};
use duskline::proof::findings::{Finding, FindingKind, Search, findings};
use duskline::proof::{all_losses, check, losses};
use simple_engine::duties;
use simple_engine::generate::Case;

fn read(case: &Case) -> Plan {
    let mut plan = read_plan(&case.document.to_string()).expect("a sound plan");
    // Longer days of weather only make the runs longer.
    plan.world.weather.truncate(2);
    plan
}

/// The plan but for its counters of ids, which only grow.
fn body(plan: &Plan) -> Plan {
    Plan {
        next: (0, 0),
        ..plan.clone()
    }
}

/// Whether the change applies as one step, keeps what was kept, brings no error, and can be taken back and done again.
fn promise(plan: &Plan, finding: &Finding) -> bool {
    let says = &finding.says;
    assert!(says.contains(|c: char| c.is_ascii_digit()), "{says}");
    assert!(
        finding.parts.iter().all(|p| plan.part(p).is_some()),
        "{says}"
    );
    assert!(
        finding.wires.iter().all(|w| plan.wire(w).is_some()),
        "{says}"
    );
    let Some(remedy) = &finding.remedy else {
        return false;
    };
    let (mut after, mut history) = (plan.clone(), History::default());
    history
        .commit(&mut after, &remedy.name, remedy.edits.clone())
        .unwrap();
    let changed = body(&after);
    assert_ne!(changed, body(plan), "{}", remedy.says);
    assert_eq!(body(&read_plan(&after.print()).unwrap()), changed);
    let (was, is) = (check(plan), check(&after));
    assert!(is.for_ever || !was.for_ever, "{}", remedy.says);
    for (was, is) in was.duties.iter().zip(&is.duties) {
        assert!(is.kept || !was.kept, "{}", remedy.says);
    }
    let errors = |c: &duskline::proof::Check| {
        let all = c.problems.iter();
        all.filter(|p| p.weight == Weight::Error).count()
    };
    assert!(errors(&is) <= errors(&was), "{}", remedy.says);
    assert_eq!(history.undo(&mut after), Some(remedy.name.clone()));
    assert_eq!(body(&after), body(plan));
    assert_eq!(history.redo(&mut after), Some(remedy.name.clone()));
    assert_eq!(body(&after), changed);
    true
}

#[test]
fn every_change_on_random_plans_keeps_what_was_kept_and_can_be_taken_back() {
    let (mut kinds, mut changes) = (std::collections::BTreeSet::new(), 0);
    duties::plans().each(30, |case| {
        let plan = read(case);
        for finding in findings(&plan) {
            kinds.insert(finding.kind);
            changes += usize::from(promise(&plan, &finding));
        }
    });
    println!("{changes} changes; {kinds:?}");
    // Or the test would look at nothing.
    assert!(changes > 0);
}

#[test]
fn findings_on_the_examples_stand_worst_first() {
    for (title, text) in examples() {
        let plan = read_plan(text).unwrap();
        let found = findings(&plan);
        assert!(!found.is_empty(), "{title}");
        assert!(found.is_sorted_by_key(Finding::rank), "{title}");
        for finding in &found {
            promise(&plan, finding);
        }
    }
}

#[test]
fn the_light_s_causeway_switch_is_found() {
    let plan = read_plan(examples()[0].1).unwrap();
    let found = findings(&plan);
    assert_eq!(found[0].kind, FindingKind::ReachableSwitch);
    assert_eq!(
        found[0].says,
        "Causeway switch is within reach of anyone: thrown, it breaks the duty of Causeway door lock, for 24 h a day."
    );
    let remedy = found[0].remedy.as_ref().unwrap();
    assert_eq!(remedy.name, "put Causeway switch out of reach");
}

#[test]
fn a_search_tells_how_far_it_is_and_finds_the_same_bit_by_bit() {
    let plan = read_plan(examples()[0].1).unwrap();
    let mut search = Search::new(&plan);
    let (mut done, mut found) = (0, Vec::new());
    let (_, of) = search.progress();
    while let Some(piece) = search.next() {
        done += 1;
        assert_eq!(search.progress(), (done, of));
        found.extend(piece);
    }
    assert_eq!(done, of);
    duskline::proof::findings::worst_first(&mut found);
    assert_eq!(found, findings(&plan));
}

#[test]
fn a_finding_crosses_to_a_worker_and_back() {
    let plan = read_plan(examples()[0].1).unwrap();
    let found = findings(&plan);
    let bytes = postcard::to_allocvec(&found).unwrap();
    assert_eq!(postcard::from_bytes::<Vec<Finding>>(&bytes).unwrap(), found);
}

#[test]
fn the_edits_from_one_random_plan_make_it_another() {
    // Each random plan has a book of its own, so variants of one are made by the changes that are found.
    let (mut tried, mut before) = (0, None::<Plan>);
    duties::plans().each(15, |case| {
        let (seed, plan) = (case.seed, read(case));
        for finding in findings(&plan) {
            let Some(remedy) = finding.remedy else {
                continue;
            };
            let mut other = plan.clone();
            other.apply_all(remedy.edits).unwrap();
            let mut made = plan.clone();
            made.apply_all(plan.edits_to(&other)).unwrap();
            assert_eq!(body(&made), body(&other), "plan {seed}");
            made.apply_all(made.edits_to(&plan)).unwrap();
            assert_eq!(body(&made), body(&plan), "plan {seed} and back");
            tried += 1;
        }
        let next = before.replace(plan.clone()).unwrap_or_else(Plan::empty);
        let mut made = plan.clone();
        made.apply_all(plan.edits_to(&next)).unwrap();
        made.extra = next.extra.clone();
        assert_eq!(body(&made), body(&next), "plan {seed} to the one before");
    });
    // Or the test would look at nothing.
    assert!(tried > 0);
}

#[test]
fn two_variants_stand_side_by_side() {
    let first = read_plan(examples()[2].1).unwrap();
    let mut second = first.clone();
    second.parts[0].count = 2;
    second.parts[2].set.insert("closed".into(), false.into());
    let (mut a, mut b) = (figures(&first), figures(&second));
    a.losses = survived(&first, &mut |_, _| true);
    b.losses = survived(&second, &mut |_, _| true);
    let rows = rows(&first, &a, &second, &b);
    let row = |what: &str| {
        let found = rows.iter().find(|r| r.what == what);
        found.map(|r| (r.first.as_str(), r.second.as_str()))
    };
    assert_eq!(row("Duties kept"), Some(("1 of 1", "0 of 1")));
    assert_eq!(
        row("Galley lamp lights"),
        Some(("on all day", "not before midnight"))
    );
    assert_eq!(row("Parts, each of a bank counted"), Some(("4", "5")));
    assert_eq!(row("Cost: glass"), Some(("13", "25")));
    assert_eq!(
        row("Sources could give a day"),
        Some(("121.3 u·h", "242.6 u·h"))
    );
    let all = all_losses(&first);
    let whole = check(&first);
    let survived = losses(&first, &whole, &all)
        .filter(|r| r.breaks.is_empty())
        .count();
    let said = format!("{survived} of {}", all.len());
    assert_eq!(
        row("Single losses survived").map(|r| r.0),
        Some(said.as_str())
    );
}

#[test]
fn the_minute_the_dusk_lamp_lights_is_that_of_its_run() {
    let plan = read_plan(examples()[1].1).unwrap();
    let found = &figures(&plan).dusk;
    assert_eq!(found.len(), 1);
    let lights = found[0].lights.unwrap();
    let lamp = plan
        .parts
        .iter()
        .position(|p| p.name == "Dusk lamp")
        .unwrap();
    let days = lights / plan.world.day_ms() + 1;
    let record = duskline::run::run(&plan, days);
    assert!(
        record.loads[&lamp]
            .runs
            .iter()
            .any(|(from, _)| *from == lights)
    );
    assert!(
        found[0].dusk.is_some_and(|dusk| lights < dusk),
        "the relay is earlier than the dusk"
    );
}

#[test]
fn a_survey_of_losses_can_be_stopped() {
    let plan = read_plan(examples()[0].1).unwrap();
    let mut told = Vec::new();
    let answer = survived(&plan, &mut |done, of| {
        told.push((done, of));
        done < 3
    });
    assert_eq!(answer, None);
    assert_eq!(told.len(), 3);
}
