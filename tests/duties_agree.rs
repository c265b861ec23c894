//! Verdicts on duties against those of the simple engine, millisecond by millisecond, on random plans in short worlds;
//! and verdicts that hold for ever against runs ten times as long.

pub mod simple_engine;

use duskline::plan::{Plan, read_plan};
use duskline::proof::{self, Check};
use duskline::run;
use simple_engine::Simple;
use simple_engine::duties::{self, Duty};
use simple_engine::generate::Case;
use simple_engine::outcome::Outcome;

/// How many plans are judged by both.
const PLANS: u64 = 400;

/// How many milliseconds of one plan the simple engine goes through at the most; it is slow.
const LONGEST: i64 = 60_000;

fn read(case: &Case) -> Plan {
    read_plan(&case.document.to_string()).unwrap_or_else(|faults| panic!("{case:?}: {faults:?}"))
}

/// The gaps of `check` as the simple engine finds them, to the end of the check. `longer` is a run that goes on for as
/// long as any stretch open at that end can need.
fn gaps(
    duty: &Duty,
    longer: &Outcome,
    end: i64,
    until: i64,
    for_ever: bool,
) -> Vec<(i64, i64, bool)> {
    let all = duty.stretches(longer, until);
    let within = all.into_iter().filter(|(from, _, _)| *from < end);
    let long = |(from, to, _): &(i64, i64, bool)| {
        // A stretch that goes on to the end of the longer run as well does so for ever.
        let endless = for_ever && *to == until;
        let to = if for_ever { *to } else { (*to).min(end) };
        endless || to - from > duty.grace()
    };
    within
        .filter(long)
        .map(|(from, to, on)| (from, to.min(end), on))
        .collect()
}

fn told(check: &Check, at: usize) -> Vec<(i64, i64, bool)> {
    let gaps = &check.duties[at].gaps;
    gaps.iter()
        .map(|g| (g.from as i64, g.to as i64, g.on))
        .collect()
}

#[test]
fn random_duties_are_judged_alike_to_the_millisecond() {
    let (mut judged, mut kept, mut broken, mut wrongly_on) = (0, 0, 0, 0);
    duties::plans().each(PLANS, |case| {
        let (seed, value, plan) = (case.seed, &case.document, read(case));
        let check = proof::check(&plan);
        let day = plan.world.day_ms() as i64;
        let end = check.days as i64 * day;
        // What repeats has come round once more by then.
        let until = if check.for_ever { 2 * end } else { end };
        if until > LONGEST || check.days == 0 {
            return;
        }
        let outcome = Simple::new(value, &value["book"]).run(until, &[]);
        for (at, duty) in Duty::list(value, day).iter().enumerate() {
            let expected = gaps(duty, &outcome, end, until, check.for_ever);
            assert_eq!(told(&check, at), expected, "plan {seed}, duty {at}");
            assert_eq!(
                check.duties[at].kept,
                expected.is_empty(),
                "plan {seed}, duty {at}"
            );
            judged += 1;
            kept += u32::from(expected.is_empty());
            broken += u32::from(!expected.is_empty());
            wrongly_on += u32::from(expected.iter().any(|g| g.2));
        }
    });
    println!("{judged} judged: {kept} kept, {broken} broken, {wrongly_on} wrongly on");
    // Each verdict that there is was come to.
    assert!(kept > 0 && broken > wrongly_on && wrongly_on > 0);
}

#[test]
fn a_verdict_for_ever_holds_for_ten_times_as_long() {
    let (mut kept, mut broken) = (0, 0);
    duties::plans().each(PLANS, |case| {
        let (seed, value, plan) = (case.seed, &case.document, read(case));
        let check = proof::check(&plan);
        if !check.for_ever {
            return;
        }
        let day = plan.world.day_ms() as i64;
        let record = run::run(&plan, check.days * 10);
        let end = check.days as i64 * day * 10;
        let mut outcome = Outcome::new(Simple::new(value, &value["book"]).model());
        for (part, load) in &record.loads {
            let runs = load.runs.iter().map(|(a, b)| (*a as i64, *b as i64));
            let id = plan.parts[*part].id.to_string();
            outcome.runs.insert(id, runs.collect());
        }
        for (at, duty) in Duty::list(value, day).iter().enumerate() {
            let long = |(from, to, _): &(i64, i64, bool)| {
                to - from > duty.grace() || (*from == 0 && *to == end)
            };
            let found = duty.stretches(&outcome, end);
            let is_kept = !found.iter().any(long);
            assert_eq!(
                check.duties[at].kept, is_kept,
                "plan {seed}, duty {at}: {found:?}"
            );
            kept += u32::from(is_kept);
            broken += u32::from(!is_kept);
        }
    });
    // Each verdict was come to.
    assert!(kept > 0 && broken > 0, "{kept} kept, {broken} broken");
}

#[test]
fn every_gap_of_a_random_plan_has_a_cause_that_names_its_load() {
    let mut told = 0;
    duties::plans().each(PLANS / 2, |case| {
        let (seed, plan) = (case.seed, read(case));
        let check = proof::check(&plan);
        let causes = proof::causes(&plan, &check, &mut |_, _| {});
        assert_eq!(causes.len(), plan.duties.len());
        for (verdict, causes) in check.duties.iter().zip(&causes) {
            assert_eq!(verdict.gaps.len(), causes.len(), "plan {seed}");
            for (gap, cause) in verdict.gaps.iter().zip(causes) {
                let name = plan.called(&verdict.part);
                let at = format!("plan {seed}: {}", cause.says(&plan));
                assert!(cause.says(&plan).starts_with(&name), "{at}");
                assert!(!cause.says(&plan).contains("not known"), "{at}");
                assert_eq!(cause.says(&plan).contains("should be off"), gap.on, "{at}");
                assert_eq!(cause.parts.first(), Some(&verdict.part), "{at}");
                assert!(cause.parts.iter().all(|id| plan.part(id).is_some()), "{at}");
                assert!(cause.wires.iter().all(|id| plan.wire(id).is_some()), "{at}");
                told += 1;
            }
        }
    });
    // Or nothing was looked at.
    assert!(told > 0);
}
