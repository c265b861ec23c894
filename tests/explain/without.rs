//! Each part really removed, by checks and by the simple engine, against what is told of that.

use super::*;

/// How long each load runs in the days that go on repeating, and how long these are in all; none where none does.
fn hours(plan: &Plan) -> Option<(BTreeMap<PartId, Ms>, Ms)> {
    let check = check(plan);
    let day = plan.world.day_ms();
    let (from, to) = (check.repeats? * day, check.days * day);
    let record = run(plan, check.days);
    let on = record.loads.iter().map(|(part, load)| {
        let within = load.runs.iter().map(|(a, b)| b - (*a).max(from).min(*b));
        (plan.parts[*part].id.clone(), within.sum())
    });
    Some((on.collect(), to - from))
}

/// The loads that run less a day in the second plan.
fn fewer(
    (before, of_before): &(BTreeMap<PartId, Ms>, Ms),
    (after, of_after): &(BTreeMap<PartId, Ms>, Ms),
    plan: &Plan,
) -> Vec<PartId> {
    let less = |id: &&PartId| {
        let (Some(was), Some(is)) = (before.get(*id), after.get(*id)) else {
            return false;
        };
        u128::from(*is) * u128::from(*of_before) < u128::from(*was) * u128::from(*of_after)
    };
    plan.parts
        .iter()
        .map(|part| &part.id)
        .filter(less)
        .cloned()
        .collect()
}

#[test]
fn without_each_part_the_plan_does_what_is_told() {
    let (mut broken, mut slower, mut unknown) = (0, 0, 0);
    let mut holds = |name: &str, plan: &Plan| {
        let (told, whole, before) = (explain(plan), check(plan), hours(plan));
        for story in &told.parts {
            let rest = proof::without(plan, &Loss::Part(story.part.clone()));
            let verdicts = check(&rest);
            let mut left = verdicts.duties.iter();
            let mut breaks = Vec::new();
            for (at, duty) in plan.duties.iter().enumerate() {
                let is_broken = duty.part == story.part || left.next().is_none_or(|d| !d.kept);
                if is_broken && whole.duties[at].kept {
                    breaks.push(at);
                }
            }
            let name = format!("{name} without {}", story.part);
            assert_eq!(story.without.breaks, breaks, "{name}");
            let after = hours(&rest);
            let both = before.as_ref().zip(after.as_ref());
            let stops = both.map(|(before, after)| fewer(before, after, plan));
            assert_eq!(story.without.compared, stops.is_some(), "{name}");
            assert_eq!(
                story.without.stops,
                stops.clone().unwrap_or_default(),
                "{name}"
            );
            if let Some((duty, first)) = story.without.first {
                let gaps = rest.duties.iter().zip(&verdicts.duties);
                let gaps = gaps
                    .filter(|(d, _)| **d == plan.duties[duty])
                    .flat_map(|(_, v)| &v.gaps);
                assert_eq!(gaps.map(|gap| gap.from).min(), Some(first), "{name}");
            }
            broken += breaks.len();
            slower += stops.as_ref().map_or(0, Vec::len);
            unknown += usize::from(stops.is_none());
        }
    };
    duties::plans().each(PLANS, |case| {
        holds(&format!("plan {}", case.seed), &plan_of(&case.document))
    });
    all_examples()
        .iter()
        .for_each(|(name, plan)| holds(name, plan));
    assert!(
        broken > 50 && slower > 100 && unknown > 20,
        "{broken} {slower} {unknown}"
    );
}

#[test]
fn loads_that_stop_without_a_part_are_those_of_the_simple_engine() {
    let mut found = 0;
    duties::plans().each(90, |case| {
        let plan = plan_of(&case.document);
        let day = plan.world.day_ms();
        let told = explain(&plan);
        let stops = told
            .parts
            .iter()
            .any(|story| !story.without.stops.is_empty());
        if !stops && case.seed % 8 != 0 {
            return;
        }
        let simply = |document: &Value, plan: &Plan| {
            let check = check(plan);
            let earlier = check.repeats.filter(|_| check.days * day <= 24_000)?;
            let (from, to) = ((earlier * day) as i64, (check.days * day) as i64);
            let outcome = Simple::new(document, &document["book"]).run(to, &[]);
            let on = outcome.runs.iter().map(|(id, runs)| {
                let within = runs.iter().map(|(a, b)| (b - (*a).max(from).min(*b)) as Ms);
                (PartId::from(id.as_str()), within.sum())
            });
            Some((on.collect::<BTreeMap<PartId, Ms>>(), (to - from) as Ms))
        };
        let Some(before) = simply(&case.document, &plan) else {
            return;
        };
        for story in &told.parts {
            let id = story.part.as_str();
            let mut document = case.document.clone();
            let keep = |document: &mut Value, list: &str, keeps: &dyn Fn(&Value) -> bool| {
                document[list].as_array_mut().expect("a list").retain(keeps);
            };
            let at = |end: &Value| {
                end.as_str()
                    .and_then(|e| e.split_once('.'))
                    .map(|e| e.0 == id)
            };
            keep(&mut document, "parts", &|part| part["id"] != id);
            keep(&mut document, "duties", &|duty| duty["part"] != id);
            keep(&mut document, "wires", &|w| {
                at(&w["from"]) != Some(true) && at(&w["to"]) != Some(true)
            });
            if let Some(after) = simply(&document, &plan_of(&document)) {
                assert_eq!(
                    story.without.stops,
                    fewer(&before, &after, &plan),
                    "{} {id}",
                    case.seed
                );
                found += story.without.stops.len();
            }
        }
    });
    assert!(found > 10, "{found}");
}
