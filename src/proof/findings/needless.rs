//! A load that runs when nobody needs it: outside its duty or, without a duty, while nobody is home; and what it would
//! save behind a contact of its own.

use super::super::stretch::stretches;
use super::draft::{Draft, contact};
use super::{Finding, FindingKind, Remedy, Simulation, amount, overlap};
use crate::book::FunctionName;
use crate::net::Weight;
use crate::plan::{Conditions, Duty, Edit, End, PartId, Spec, When};
use crate::quantity::{Energy, Ms, STEP_MS};
use crate::run::Clockwork;
use serde_json::{Value, json};

/// Light below which a twilight switch takes it for dark: the sun within a few seconds of the horizon.
pub const DARK: f64 = 0.0001;

pub fn find(seen: &Simulation, load: usize) -> Option<Finding> {
    let Some(Spec::Load { draw, .. }) = seen.specs[load] else {
        return None;
    };
    let need = need(seen, load)?;
    // A load that breaks its duty by running is told there.
    let broken =
        |d: &crate::proof::Verdict| d.part == *seen.id(load) && d.gaps.iter().any(|g| g.on);
    if seen.check.duties.iter().any(broken) {
        return None;
    }
    if !exceeds_grace(seen, load, &need) {
        return None;
    }
    let long = needless(seen, load, &need);
    let energy = Energy::from(long) * Energy::from(draw) * STEP_MS;
    let name = seen.name(load);
    let why = match &need.duty {
        Some(duty) => format!("{name} is needed {} and runs for", duty.when.said()),
        None => format!("No duty says when {name} is needed, and nobody is home while it runs for"),
    };
    let besides = if need.duty.is_some() { " besides" } else { "" };
    let says = format!(
        "{why} {}{besides}: {}.",
        seen.time_a_day(long),
        seen.energy_a_day(energy)
    );
    let remedy = if seen.is_whole() {
        remedy(seen, load).map(|(remedy, _)| remedy)
    } else {
        None
    };
    Some(Finding {
        kind: FindingKind::Needless,
        weight: Weight::Hint,
        amount: amount(seen.a_day(energy)),
        parts: vec![seen.id(load).clone()],
        wires: Vec::new(),
        says,
        per_day: true,
        remedy,
    })
}

/// When a load is needed.
struct Need {
    when: Conditions,
    grace: Ms,
    duty: Option<Duty>,
}

/// When a load is needed, where that is one thing: its duty, or, without any, that somebody is home.
fn need(seen: &Simulation, load: usize) -> Option<Need> {
    let id = seen.id(load);
    let mut duties = seen.plan.duties.iter().filter(|d| d.part == *id);
    match (duties.next(), duties.next()) {
        (Some(duty), None) if !duty.when.is_only(When::Always) => Some(Need {
            when: duty.when,
            grace: duty.grace_ms(),
            duty: Some(duty.clone()),
        }),
        (None, _) if !seen.plan.world.home.is_empty() => Some(Need {
            when: When::Home.into(),
            grace: 60_000,
            duty: None,
        }),
        _ => None,
    }
}

/// How long, in the days that repeat, a load runs though it is not needed.
fn needless(seen: &Simulation, load: usize, need: &Need) -> Ms {
    overlap(&besides(seen, load, need), seen.from, seen.to)
}

/// Whether it does so, in the days that repeat, for longer than the grace at a stretch. A contact that follows the need
/// does so by its lag, which is nothing to tell.
fn exceeds_grace(seen: &Simulation, load: usize, need: &Need) -> bool {
    let mut stretches = besides(seen, load, need).into_iter();
    stretches.any(|(from, to)| to - from > need.grace && from < seen.to && to > seen.from)
}

/// The stretches in which a load runs though it is not needed.
fn besides(seen: &Simulation, load: usize, need: &Need) -> Vec<(Ms, Ms)> {
    let world = &seen.plan.world;
    let applies = Clockwork::of_duty(need.when, world, &world.sky());
    let all = stretches(&applies, seen.all_runs(load), seen.to);
    let on = all.iter().filter(|s| s.on);
    on.map(|s| (s.from, s.to)).collect()
}

/// A contact: its type's function, its settings, what it is called.
pub type Gate = (FunctionName, Vec<(&'static str, Value)>, &'static str);

/// A contact's type and its settings.
pub type Kind = (String, Vec<(&'static str, Value)>);

/// What may stand ahead of a load so that it runs only when it is needed, each as contacts in series: one for each
/// condition alone, as another contact may look after the rest, then one for each together.
pub fn gates(when: Conditions) -> Vec<Vec<Gate>> {
    let each: Vec<Gate> = when.deciding().into_iter().filter_map(gate).collect();
    let mut all: Vec<Vec<Gate>> = each.iter().map(|one| vec![one.clone()]).collect();
    if each.len() > 1 {
        all.push(each);
    }
    all
}

/// What contacts in series are called: `a twilight switch and a home contact`.
pub fn called(series: &[Gate]) -> String {
    let all: Vec<&str> = series.iter().map(|gate| gate.2).collect();
    all.join(" and ")
}

/// The types of contacts in series, with their settings; none where the book lacks one.
pub fn kinds(seen: &Simulation, series: &[Gate]) -> Option<Vec<Kind>> {
    let one = |(function, set, _): &Gate| {
        let kind = contact(&seen.plan, *function)?;
        Some((kind.name.clone(), set.clone()))
    };
    series.iter().map(one).collect()
}

/// The contact that conducts while a condition holds.
fn gate(when: When) -> Option<Gate> {
    let broken = ("contact", json!("break"));
    Some(match when {
        When::Dark => (
            FunctionName::Twilight,
            vec![("below", json!(DARK))],
            "a twilight switch",
        ),
        When::Light => (
            FunctionName::Twilight,
            vec![("below", json!(DARK)), broken],
            "a twilight switch that breaks",
        ),
        When::Home => (FunctionName::Home, vec![], "a home contact"),
        When::Away => (
            FunctionName::Home,
            vec![broken],
            "a home contact that breaks",
        ),
        When::Clock(span) => (
            FunctionName::Clock,
            vec![
                ("from", json!(span.from.to_string())),
                ("to", json!(span.to.to_string())),
            ],
            "a time switch",
        ),
        When::Always => return None,
    })
}

/// The load behind contacts that follow these conditions: what they are called, and the edits; first with the contacts
/// straight ahead of the load, then on a tap, what stands behind the load fed past it.
pub fn gated(seen: &Simulation, load: usize, when: Conditions) -> Vec<(String, Vec<Edit>)> {
    let mut out = Vec::new();
    for series in gates(when) {
        let Some(kinds) = kinds(seen, &series) else {
            continue;
        };
        let plain = seen.drafted(|draft| ahead(draft, seen.id(load), &kinds));
        let tapped = seen.drafted(|draft| behind_tap(draft, seen, load, &kinds));
        let both = plain.into_iter().chain(tapped);
        out.extend(both.map(|edits| (called(&series), edits)));
    }
    out
}

/// Contacts in series put into the wire that feeds a load.
fn ahead(draft: &mut Draft, id: &PartId, kinds: &[Kind]) -> Option<()> {
    for (kind, set) in kinds {
        let gate = draft.add(kind, id, set)?;
        draft.put_into(&End::new(id, "in"), &gate, "feed", "out")?;
    }
    Some(())
}

/// The load behind a contact of its own, and the plan with that: where it then runs no more than needed, and uses less
/// or runs longer while it is needed.
pub fn remedy(seen: &Simulation, load: usize) -> Option<(Remedy, Simulation)> {
    let need = need(seen, load)?;
    let (id, name) = (seen.id(load), seen.name(load));
    let ran = |s: &Simulation, at: usize| -> Ms {
        let all: Ms = s.runs(at).iter().map(|(a, b)| b - a).sum();
        s.time_of_day(all.saturating_sub(needless(s, at, &need)))
    };
    for (called, edits) in gated(seen, load, need.when) {
        let Some(after) = seen.tried(&edits) else {
            continue;
        };
        let Some(at) = after.place(id) else { continue };
        if exceeds_grace(&after, at, &need) || !seen.no_load_loses(&after, &[id]) {
            continue;
        }
        let saved = seen.a_day(seen.used(load)) - after.a_day(after.used(at));
        let longer = ran(&after, at).saturating_sub(ran(seen, load));
        let what = format!("Behind {called} of its own, {name}");
        let unit = &seen.plan.book.book.unit;
        let says = if saved >= STEP_MS * 360_000 {
            format!("{what} uses {} a day less.", unit.say_energy(saved))
        } else if longer >= 60_000 {
            let longer = super::super::words::length(longer);
            format!("{what} runs only when it is needed, and then for {longer} a day longer.")
        } else {
            continue;
        };
        let remedy = Remedy {
            says,
            name: format!("put {name} behind {called}"),
            edits,
        };
        return Some((remedy, after));
    }
    None
}

/// The load behind contacts on a tap of as much as it draws; what was behind it on the tap's rest.
fn behind_tap(draft: &mut Draft, seen: &Simulation, load: usize, kinds: &[Kind]) -> Option<()> {
    let Some(Spec::Load { draw, .. }) = seen.specs[load] else {
        return None;
    };
    let id: &PartId = seen.id(load);
    let behind = draft.unwire(&End::new(id, "loop"))?;
    let tap = super::draft::type_that(&seen.plan, |b| b.name() == "tap")?
        .name
        .clone();
    let tap = draft.add(&tap, id, &[("amount", json!(draw))])?;
    draft.put_into(&End::new(id, "in"), &tap, "in", "tap")?;
    ahead(draft, id, kinds)?;
    draft.wire(End::new(&tap, "rest"), behind)
}

#[cfg(test)]
mod tests {
    use super::super::testing::{taken, told};
    use super::*;
    use crate::net::testing::plan;

    #[test]
    fn a_lamp_by_day_is_put_behind_a_twilight_switch() {
        let text = r#"{ "parts": { "gen": "generator", "lamp": "lamp" }, "wires": ["gen.out lamp.in"],
            "duties": [{ "part": "lamp", "when": "dark" }] }"#;
        assert_eq!(
            told(text, FindingKind::Needless),
            [[
                "lamp is needed while it is dark and runs for 11 h 59 min a day besides: 24 u·h a day.",
                "Behind a twilight switch of its own, lamp uses 24 u·h a day less."
            ]]
        );
        let after = taken(&plan(text), FindingKind::Needless);
        assert!(after.check.is_fine());
        assert_eq!(
            after.runs(1).iter().map(|(a, b)| b - a).sum::<u64>() / 60_000,
            720
        );
    }

    #[test]
    fn what_hangs_on_the_lamp_s_loop_is_fed_past_it() {
        let text = r#"{ "parts": { "gen": "generator", "lamp": "lamp", "heater": "heater" },
            "wires": ["gen.out lamp.in", "lamp.loop heater.in"],
            "duties": [{ "part": "lamp", "when": "dark" }, { "part": "heater", "when": "always" }] }"#;
        assert_eq!(
            told(text, FindingKind::Needless),
            [[
                "lamp is needed while it is dark and runs for 11 h 59 min a day besides: 24 u·h a day.",
                "Behind a twilight switch of its own, lamp uses 24 u·h a day less."
            ]]
        );
        assert!(taken(&plan(text), FindingKind::Needless).check.is_fine());
    }

    #[test]
    fn a_lamp_for_two_conditions_is_put_behind_a_contact_for_each() {
        let text = r#"{ "parts": { "gen": "generator", "lamp": "lamp" }, "wires": ["gen.out lamp.in"],
            "duties": [{ "part": "lamp", "when": ["home", "dark"] }], "world": { "home": [["20:00", "08:00"]] } }"#;
        assert_eq!(
            told(text, FindingKind::Needless),
            [[
                "lamp is needed while it is dark and somebody is home and runs for 13 h 59 min a day besides: 28 u·h a day.",
                "Behind a twilight switch and a home contact of its own, lamp uses 28 u·h a day less."
            ]]
        );
        let after = taken(&plan(text), FindingKind::Needless);
        assert!(after.check.is_fine());
    }

    #[test]
    fn a_lamp_behind_one_of_two_contacts_is_given_the_other_alone() {
        let text = r#"{ "parts": { "gen": "generator", "dusk": "twilight", "lamp": "lamp" },
            "wires": ["gen.out dusk.feed", "dusk.out lamp.in"],
            "duties": [{ "part": "lamp", "when": ["home", "dark"], "grace_s": 3600 }], "world": { "home": [["20:00", "08:00"]] } }"#;
        let found = told(text, FindingKind::Needless);
        assert!(
            found[0][1].starts_with("Behind a home contact of its own, lamp uses "),
            "{found:?}"
        );
    }

    #[test]
    fn without_a_duty_it_is_told_where_nobody_is_home() {
        let text = r#"{ "parts": { "gen": "generator", "radio": "radio" }, "wires": ["gen.out radio.in"],
            "world": { "home": [["18:00", "08:00"]] } }"#;
        assert_eq!(
            told(text, FindingKind::Needless),
            [[
                "No duty says when radio is needed, and nobody is home while it runs for 10 h a day: 20 u·h a day.",
                "Behind a home contact of its own, radio uses 20 u·h a day less."
            ]]
        );
        let after = taken(&plan(text), FindingKind::Needless);
        assert_eq!(after.used(1) / STEP_MS / 3_600_000, 28);
    }

    #[test]
    fn what_a_lamp_burns_by_day_it_may_have_by_night() {
        let text = r#"{ "parts": { "sun": "sun-panel-small", "rack": "battery-rack", "lamp": "lamp" },
            "wires": ["sun.out rack.in", "rack.out lamp.in"], "duties": [{ "part": "lamp", "when": "dark" }] }"#;
        let after = taken(&plan(text), FindingKind::Needless);
        let found = told(text, FindingKind::Needless);
        assert_eq!(
            found[0][1],
            "Behind a twilight switch of its own, lamp runs only when it is needed, and then for 6 h 48 min a day longer."
        );
        let lamp = after.place(&"lamp".into()).unwrap();
        assert!(!exceeds_grace(&after, lamp, &need(&after, lamp).unwrap()));
    }

    #[test]
    fn what_is_told_and_what_the_change_saves_are_the_same_time() {
        // From 12:00 to 14:00 and from 16:00 to 17:00: the second stretch is within the grace.
        let text = r#"{ "parts": { "gen": "generator", "split": "divider-2", "early": ["time-switch", { "from": "06:00", "to": "14:00" }],
                "late": ["time-switch", { "from": "16:00", "to": "17:00" }], "bar": "busbar-2", "lamp": "lamp" },
            "wires": ["gen.out split.in", "split.out1 early.feed", "split.out2 late.feed", "early.out bar.in1",
                "late.out bar.in2", "bar.out lamp.in"],
            "duties": [{ "part": "lamp", "when": "clock", "from": "06:00", "to": "12:00", "grace_s": 3600 }] }"#;
        assert_eq!(
            told(text, FindingKind::Needless),
            [[
                "lamp is needed from 06:00 to 12:00 and runs for 3 h a day besides: 6 u·h a day.",
                "Behind a time switch of its own, lamp uses 6 u·h a day less."
            ]]
        );
    }

    #[test]
    fn a_load_that_is_always_needed_or_of_which_nothing_is_known_is_none() {
        for text in [
            r#"{ "parts": { "gen": "generator", "lamp": "lamp" }, "wires": ["gen.out lamp.in"],
                 "duties": [{ "part": "lamp", "when": "always" }] }"#,
            r#"{ "parts": { "gen": "generator", "lamp": "lamp" }, "wires": ["gen.out lamp.in"] }"#,
        ] {
            assert!(told(text, FindingKind::Needless).is_empty());
        }
    }
}
