//! What to watch out for against checks, losses and records.

use super::*;

#[test]
fn what_to_watch_out_for_is_so() {
    let mut seen: BTreeMap<&str, usize> = BTreeMap::new();
    let mut holds = |name: &str, plan: &Plan| {
        let (told, check) = (explain(plan), check(plan));
        let record = run(plan, check.days.max(1));
        let day = plan.world.day_ms();
        let (from, to) = match check.repeats {
            Some(earlier) => (earlier * day, check.days * day),
            None => (told.shown.from, told.shown.to),
        };
        let mut broken = BTreeSet::new();
        for caution in &told.watch {
            let kind = match caution {
                Caution::NoRepeat { days, differs } => {
                    assert!(!check.for_ever, "{name}");
                    assert_eq!((days, differs), (&check.days, &check.differs), "{name}");
                    "no repeat"
                }
                Caution::Problem(problem) => {
                    assert!(check.problems.contains(problem), "{name}");
                    "problem"
                }
                Caution::Broken { duty, gaps, cause } => {
                    let verdict = &check.duties[*duty];
                    assert_eq!((verdict.kept, verdict.gaps.len()), (false, *gaps), "{name}");
                    let cause = cause.as_ref().expect("a cause");
                    let gap = verdict.gaps.iter().find(|gap| gap.to > told.shown.from);
                    let gap = gap.or(verdict.gaps.first()).expect("a gap");
                    assert_eq!(
                        (cause.from, cause.to, cause.on),
                        (gap.from, gap.to, gap.on),
                        "{name}"
                    );
                    broken.insert(*duty);
                    "broken"
                }
                Caution::CutsOut { off, .. } => {
                    assert!(off.count > 0, "{name}");
                    "cuts out"
                }
                Caution::NearCutOut {
                    battery,
                    lowest,
                    cut_out,
                    capacity,
                } => {
                    let place = plan.part_place(battery).expect("a part");
                    let points = levels(&record, place, from, to.min(record.end));
                    let least = points.iter().map(|(_, level)| *level).min();
                    assert_eq!(Some(lowest.0), least, "{name}");
                    assert!(
                        lowest.0 > *cut_out && (lowest.0 - cut_out) * 10 < *capacity,
                        "{name}"
                    );
                    "near cut-out"
                }
                Caution::Short { load, short, .. } => {
                    let place = plan.part_place(load).expect("a part");
                    let all = &record.loads[&place].short;
                    assert_eq!(
                        *short,
                        within(all, told.shown.from, told.shown.to),
                        "{name}"
                    );
                    "short"
                }
                Caution::Reachable { switch, breaks, .. } => {
                    let loss = Loss::Switch(switch.clone());
                    let report = proof::losses(plan, &check, std::slice::from_ref(&loss)).next();
                    assert_eq!(report.map(|r| r.breaks).as_ref(), Some(breaks), "{name}");
                    "reachable"
                }
                Caution::SinglePoints { points, kept } => {
                    let breaks = |id: &PartId| {
                        let story = told.parts.iter().find(|story| story.part == *id);
                        story.map(|story| story.without.breaks.len())
                    };
                    assert!(
                        points
                            .iter()
                            .all(|(id, n)| *n > 0 && breaks(id) == Some(*n)),
                        "{name}"
                    );
                    assert_eq!(
                        *kept,
                        check.duties.iter().filter(|d| d.kept).count(),
                        "{name}"
                    );
                    "single points"
                }
                Caution::NoReserve { duty } => {
                    let bad = proof::bad_weather(plan, &check, &mut |_, _, _| true);
                    assert_eq!(
                        (bad.days, bad.breaks.map(|b| b.duty)),
                        (0, Some(*duty)),
                        "{name}"
                    );
                    "no reserve"
                }
                Caution::Spilled { sources, spilled } => {
                    let sum: Energy = sources.iter().map(|(_, energy)| *energy).sum();
                    assert_eq!(sum, spilled.0, "{name}");
                    assert!(spilled.0 * 20 >= spilled.1, "{name}");
                    "spilled"
                }
            };
            *seen.entry(kind).or_default() += 1;
        }
        let all = check.duties.iter().enumerate().filter(|(_, d)| !d.kept);
        assert_eq!(broken, all.map(|(at, _)| at).collect(), "{name}");
        let problems = told
            .watch
            .iter()
            .filter(|c| matches!(c, Caution::Problem(_)));
        assert_eq!(problems.count(), check.problems.len(), "{name}");
    };
    duties::plans().each(PLANS, |case| {
        holds(&format!("plan {}", case.seed), &plan_of(&case.document))
    });
    all_examples()
        .iter()
        .for_each(|(name, plan)| holds(name, plan));
    assert_eq!(seen.len(), 10, "every kind is met: {seen:?}");
}
