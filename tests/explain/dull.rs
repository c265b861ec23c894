//! A dull day against the same plan with weather 0.

use super::*;

/// The loads that are off without the sun and on with it, and the other way round: each with when first for a thousandth
/// of a day, looked for millisecond by millisecond.
fn differing(
    with: &[(Ms, Ms)],
    without: &[(Ms, Ms)],
    (from, to): (Ms, Ms),
    least: Ms,
) -> Option<Ms> {
    let on = |runs: &[(Ms, Ms)], t: Ms| runs.iter().any(|(a, b)| (*a..*b).contains(&t));
    let mut since = None;
    let mut cuts: Vec<Ms> = with
        .iter()
        .chain(without)
        .flat_map(|(a, b)| [*a, *b])
        .collect();
    cuts.extend([from, to]);
    cuts.sort_unstable();
    cuts.dedup();
    cuts.retain(|t| (from..=to).contains(t));
    for t in cuts {
        let differs = t < to && on(with, t) && !on(without, t);
        match (differs, since) {
            (true, None) => since = Some(t),
            (false, Some(begin)) if t - begin >= least => return Some(begin),
            (false, _) => since = None,
            _ => {}
        }
    }
    None
}

#[test]
fn a_dull_day_is_what_weather_0_makes_of_it() {
    let (mut dark, mut lit, mut held) = (0, 0, 0);
    let mut holds = |name: &str, document: &Value| {
        let plan = plan_of(document);
        let told = explain(&plan);
        if told.dull.contains(&DullNews::NoSun) || told.shown.stopped {
            return;
        }
        let first = told.shown.day - 1;
        let day = plan.world.day_ms();
        let weather = |number: u64| plan.world.weather[number as usize % plan.world.weather.len()];
        let days = told.dull.iter().find_map(|news| match news {
            DullNews::GoesDark { loads, .. } => Some((loads[0].1 - told.shown.from) / day + 1),
            DullNews::Holds { days } => Some(*days),
            _ => None,
        });
        let days = days.expect("how long it goes on");
        let mut dull = plan.clone();
        dull.world.weather = (0..first).map(weather).collect();
        dull.world.weather.resize((first + days + 1) as usize, 0.0);
        let until = told.shown.from + days * day;
        let (with, without) = (run(&plan, first + days), run(&dull, first + days));
        if !with.complete || !without.complete {
            return;
        }
        let span = (told.shown.from, until);
        let least = (day / 1000).max(1);
        let (mut off, mut on) = (BTreeMap::new(), BTreeMap::new());
        for (part, load) in &with.loads {
            let (id, dull) = (&plan.parts[*part].id, &without.loads[part].runs);
            off.extend(differing(&load.runs, dull, span, least).map(|t| (id.clone(), t)));
            on.extend(differing(dull, &load.runs, span, least).map(|t| (id.clone(), t)));
        }
        let (mut told_off, mut told_on) = (BTreeMap::new(), BTreeMap::new());
        let earliest = off.values().min().copied();
        for news in &told.dull {
            match news {
                DullNews::GoesDark {
                    loads,
                    first,
                    empty,
                } => {
                    for (id, at) in loads {
                        assert_eq!(*first, Some(*at) == earliest, "{name}");
                        told_off.insert(id.clone(), *at);
                        let state = duskline::run::at(&dull, *at);
                        for battery in empty {
                            let place = plan.part_place(battery).expect("a part");
                            let is_off = |s: &duskline::run::PartState| {
                                matches!(s, duskline::run::PartState::Battery { output: false, .. })
                            };
                            assert!(is_off(&state.parts[place]), "{name}: {battery}");
                        }
                    }
                }
                DullNews::RunsOn { loads } => told_on.extend(loads.iter().cloned()),
                DullNews::Holds { .. } => held += 1,
                _ => {}
            }
        }
        assert_eq!(told_off, off, "{name}");
        assert_eq!(told_on, on, "{name}");
        dark += off.len();
        lit += on.len();
    };
    duties::plans().each(60, |case| {
        holds(&format!("plan {}", case.seed), &case.document)
    });
    for (name, text) in examples() {
        holds(name, &serde_json::from_str(text).expect("JSON"));
    }
    assert!(dark > 20 && lit > 5 && held > 5, "{dark} {lit} {held}");
}
