//! Words against their data, links against the plan, steps and text against the whole, hostile names.

use super::*;

/// Everything that an explanation says, with the parts that its data names.
fn all_said(plan: &Plan, told: &Explanation) -> Vec<(Passage, Vec<PartId>)> {
    let words = ExplainWords::new(plan, told);
    let mut all = vec![(words.heading(), Vec::new())];
    all.extend(
        told.groups
            .iter()
            .map(|group| (words.group(group), group.parts.clone())),
    );
    for story in &told.parts {
        let mut parts = vec![story.part.clone()];
        let joined = story.fed_by.iter().chain(&story.signals);
        parts.extend(joined.map(|joined| joined.other.clone()));
        all.push((words.story(story), parts));
    }
    all.extend(told.day.iter().map(|step| (words.step(step), step.parts())));
    all.extend(
        told.dull
            .iter()
            .map(|news| (words.dull(news), news.parts(plan))),
    );
    for caution in &told.watch {
        // Words that other rooms make name what they need.
        let parts = match caution {
            Caution::Problem(_) => Vec::new(),
            Caution::Broken { duty, .. } => vec![plan.duties[*duty].part.clone()],
            _ => caution.parts(plan),
        };
        all.push((words.caution(caution), parts));
    }
    all
}

/// Holds words against their form and their links against the plan.
fn words_hold(name: &str, plan: &Plan, told: &Explanation) {
    for (passage, parts) in all_said(plan, told) {
        let text = passage.text();
        assert!(text.ends_with('.'), "{name}: {text}");
        let marks = |c: char| ('\u{E000}'..='\u{E001}').contains(&c);
        assert!(
            !text.contains("  ")
                && !text.contains(",,")
                && !text.contains(" .")
                && !text.contains(" ,"),
            "{name}: {text}"
        );
        assert!(!text.contains(marks), "{name}: {text}");
        let mut named = BTreeSet::new();
        for piece in &passage.pieces {
            match &piece.link {
                Some(LinkTarget::Part(id)) => {
                    assert!(plan.part(id).is_some(), "{name}: {id}");
                    assert_eq!(piece.text, plan.called(id), "{name}");
                    named.insert(id.clone());
                }
                Some(LinkTarget::Duty(at)) => assert!(*at < plan.duties.len(), "{name}"),
                Some(LinkTarget::Time(t)) => {
                    let clock = Clock::at(*t, plan.world.day_ms()).to_string();
                    let is_end = *t == told.shown.to && piece.text == "24:00";
                    assert!(is_end || piece.text == clock, "{name}: {text}");
                }
                None => {}
            }
        }
        let missing = parts.iter().filter(|id| !named.contains(id)).count();
        assert!(
            missing == 0 || text.contains(" more"),
            "{name}: {text} lacks {parts:?}"
        );
    }
}

/// An energy as it is said: to a tenth, a little one in more places.
fn energy_said(plan: &Plan, energy: Energy) -> String {
    let unit = &plan.book.book.unit;
    match unit.hours(energy) {
        hours if hours.abs() < 0.1 && plan.world.day_ms() < 600_000 => {
            let places = format!("{hours:.6}");
            let short = places.trim_end_matches('0').trim_end_matches('.');
            format!("{short} {}·h", unit.sign)
        }
        _ => unit.say_energy(energy),
    }
}

/// Amounts and times of a part's data that its words must have.
fn amounts_said(plan: &Plan, told: &Explanation) {
    let words = ExplainWords::new(plan, told);
    let unit = &plan.book.book.unit;
    let clock = |t: Ms| match t == told.shown.to {
        true => "24:00".to_string(),
        false => Clock::at(t, plan.world.day_ms()).to_string(),
    };
    for story in &told.parts {
        let text = words.story(story).text();
        let mut expected: Vec<String> = Vec::new();
        let mut stretches = |so: &Stretches| {
            if so.count as usize == so.first.len() && so.first != [(told.shown.from, told.shown.to)]
            {
                for (a, b) in &so.first {
                    expected.extend((*a > told.shown.from).then(|| clock(*a)));
                    expected.extend((*b < told.shown.to).then(|| clock(*b)));
                }
            }
        };
        match &story.did {
            PartDeed::Source {
                most,
                gives,
                available,
                ..
            } if gives.count > 0 => {
                stretches(gives);
                expected.extend([unit.say_power(most.0), energy_said(plan, *available)]);
            }
            PartDeed::Battery {
                lowest,
                given,
                taken,
                off,
                ..
            } => {
                stretches(off);
                expected.push(energy_said(plan, lowest.0));
                let moved = [*given, *taken].map(|energy| energy_said(plan, energy));
                expected.extend(moved.into_iter().filter(|_| *given + *taken > 0));
            }
            PartDeed::Load { draw, runs, short } => {
                stretches(runs);
                stretches(short);
                expected.push(unit.say_power(*draw));
            }
            PartDeed::Changeover {
                least, on_backup, ..
            } => {
                stretches(on_backup);
                expected.push(unit.say_power(*least));
            }
            PartDeed::Tap { amount, sets, .. } if story.feeds.iter().any(|j| j.port == "tap") => {
                stretches(sets);
                expected.push(unit.say_power(*amount));
            }
            _ => {}
        }
        for amount in expected {
            assert!(
                text.contains(&amount),
                "{}: {text} lacks {amount}",
                story.part
            );
        }
        for step in &told.day {
            let text = words.step(step).text();
            assert!(text.starts_with(&format!("{}: ", clock(step.t))), "{text}");
        }
        let loads = story
            .without
            .breaks
            .iter()
            .map(|duty| &plan.duties[*duty].part);
        let loads = loads
            .filter(|id| **id != story.part)
            .chain(&story.without.stops);
        for name in loads.map(|id| plan.called(id)) {
            let in_few = ["every", "all other loads", " more "]
                .iter()
                .any(|few| text.contains(few));
            assert!(text.contains(&name) || in_few, "{text} lacks {name}");
        }
    }
}

#[test]
fn words_say_what_their_data_says_and_link_what_there_is() {
    duties::plans().each(PLANS, |case| {
        let plan = plan_of(&case.document);
        let told = explain(&plan);
        words_hold(&format!("plan {}", case.seed), &plan, &told);
        amounts_said(&plan, &told);
    });
    for (name, plan) in all_examples() {
        let told = explain(&plan);
        words_hold(name, &plan, &told);
        amounts_said(&plan, &told);
    }
}

#[test]
fn an_explanation_is_the_same_in_steps_and_goes_over_as_text() {
    duties::plans().each(20, |case| {
        let plan = plan_of(&case.document);
        let told = explain(&plan);
        let mut search = ExplanationSearch::new(&plan);
        let mut before = 0;
        while !search.go(1) {
            let (done, of) = search.progress();
            assert!(before <= done && done <= of);
            before = done;
        }
        assert_eq!(search.progress().0, search.progress().1);
        assert_eq!(search.finish(), told);
        let study = Arc::new(Study::new(plan.clone()));
        study.check();
        let mut search = ExplanationSearch::of(&study);
        while !search.go(3) {}
        assert_eq!(search.finish(), told);
        let text = serde_json::to_string(&told).expect("data");
        assert_eq!(
            serde_json::from_str::<Explanation>(&text).expect("its text"),
            told
        );
    });
}

#[test]
fn names_are_only_names() {
    let text = examples()[0].1;
    let mut document: Value = serde_json::from_str(text).expect("JSON");
    let hostile = [
        "\u{E000}1\u{E001}",
        "<b>",
        "a\nb",
        "\u{E001}\u{E000}",
        "Without it",
        ": ",
        "\u{202E}x",
        "\u{E000}99999999999999999999\u{E001}",
    ];
    for (at, part) in document["parts"]
        .as_array_mut()
        .expect("parts")
        .iter_mut()
        .enumerate()
    {
        part["name"] = hostile[at % hostile.len()].into();
    }
    document["duties"] = json!([]);
    let loads = document["parts"].as_array().expect("parts").clone();
    let plan = plan_of(&document);
    let is_load = |part: &Value| {
        let known = plan
            .part(&part["id"].as_str().expect("an id").into())
            .expect("a part");
        matches!(plan.spec(known), Some(Spec::Load { .. }))
    };
    let load = loads.iter().find(|part| is_load(part)).expect("a load");
    document["duties"] = json!([{ "part": load["id"], "when": "dark", "only": true }]);
    document["wires"].as_array_mut().expect("wires").truncate(3);
    let plan = plan_of(&document);
    let told = explain(&plan);
    assert!(
        told.watch
            .iter()
            .any(|caution| matches!(caution, Caution::Broken { .. }))
    );
    for (passage, _) in all_said(&plan, &told) {
        for piece in &passage.pieces {
            if let Some(LinkTarget::Part(id)) = &piece.link {
                assert_eq!(piece.text, plan.called(id));
            }
        }
    }
    let output = program::run(&["explain", "-"], &document.to_string());
    assert_eq!(output.status.code(), Some(1));
    let lines = out(&output).lines();
    assert!(
        lines
            .clone()
            .all(|line| !line.contains(|c: char| c.is_control()))
    );
    // No name breaks a line in two: every line under a heading is a passage of its own, or the day's lead.
    let headings = ["Groups", "Parts", "The day", "On a dull day", "Watch out"];
    let whole = |line: &&str| {
        let is_lead = line.starts_with("This is day ");
        line.is_empty() || line.starts_with("- ") || headings.contains(line) || is_lead
    };
    let below = lines.skip_while(|line| !headings.contains(line));
    let broken: Vec<&str> = below.filter(|line| !whole(line)).collect();
    assert_eq!(broken, Vec::<&str>::new());
}

#[test]
fn plans_with_little_in_them_are_explained_too() {
    for parts in [
        json!([]),
        json!([{ "id": "p1", "type": "lamp" }]),
        json!([{ "id": "p1", "type": "battery" }]),
    ] {
        let document = json!({
            "format": "duskline/plan", "version": 1, "book": "outpost", "world": {}, "parts": parts, "wires": [],
            "duties": [],
        });
        let plan = plan_of(&document);
        let told = explain(&plan);
        words_hold("little", &plan, &told);
        assert_eq!(told.parts.len(), plan.parts.len());
    }
}
