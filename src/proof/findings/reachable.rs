//! A switch that others than the builders can reach, and that breaks duties when it is thrown.
//!
//! That a switch which outsiders can reach is to command nothing that matters is common practice, no source.

use super::{Finding, FindingKind, Remedy, Simulation, overlap};
use crate::net::Weight;
use crate::net::words::list;
use crate::plan::{Edit, Reach};
use crate::proof::loss::without;
use crate::proof::{Loss, check, losses};

pub fn find(seen: &Simulation, switch: usize, breaks: &[usize]) -> Option<Finding> {
    if breaks.is_empty() {
        return None;
    }
    let (id, name) = (seen.id(switch), seen.name(switch));
    let whom = match seen.plan.reach_of(&seen.plan.parts[switch])? {
        Reach::Anyone => "anyone",
        Reach::Friends => "friends",
        Reach::Builders => return None,
    };
    let loads: Vec<String> = breaks
        .iter()
        .filter_map(|at| seen.plan.duties.get(*at))
        .map(|d| seen.plan.called(&d.part))
        .collect();
    let thrown = check(&without(&seen.plan, &Loss::Switch(id.clone())));
    let end = thrown.days * seen.day_ms;
    let begin = thrown.repeats.map_or(0, |n| n * seen.day_ms);
    let gaps: Vec<_> = breaks
        .iter()
        .filter_map(|at| thrown.duties.get(*at))
        .flat_map(|d| d.gaps.iter().map(|g| (g.from, g.to)))
        .collect();
    let broken = overlap(&gaps, begin, end);
    let days = (end - begin).max(1);
    let a_day = u128::from(broken) * u128::from(seen.day_ms) / u128::from(days);
    let long = super::super::words::length(u64::try_from(a_day).unwrap_or(u64::MAX));
    let duties = match breaks.len() {
        1 => format!("the duty of {}", list(&loads)),
        n => format!("{n} duties, of {}", list(&loads)),
    };
    let says =
        format!("{name} is within reach of {whom}: thrown, it breaks {duties}, for {long} a day.");
    let mut parts = vec![id.clone()];
    parts.extend(
        breaks
            .iter()
            .filter_map(|at| seen.plan.duties.get(*at))
            .map(|d| d.part.clone()),
    );
    let remedy = if seen.is_whole() {
        // A switch is there on purpose: to be without it comes last.
        inside(seen, switch).or_else(|| past(seen, switch))
    } else {
        None
    };
    Some(Finding {
        kind: FindingKind::ReachableSwitch,
        weight: Weight::Warning,
        amount: breaks.len() as u64,
        parts,
        wires: Vec::new(),
        says,
        // The figure is of the run with the switch thrown, whose days may be others.
        per_day: false,
        remedy,
    })
}

/// The feed led past the switch.
fn past(seen: &Simulation, switch: usize) -> Option<Remedy> {
    let (id, name) = (seen.id(switch), seen.name(switch));
    let edits = seen.drafted(|draft| draft.lead_past(id, "feed", "out"))?;
    seen.tried(&edits)
        .filter(|after| seen.no_load_loses(after, &[]))?;
    Some(Remedy {
        says: format!(
            "With a plain wire in place of {name}, {} now, and nobody can throw it.",
            duties(seen)
        ),
        name: format!("put a wire in place of {name}"),
        edits,
    })
}

/// The switch put where only the builders reach it.
fn inside(seen: &Simulation, switch: usize) -> Option<Remedy> {
    let (id, name) = (seen.id(switch), seen.name(switch));
    let edits = vec![Edit::Reach(id.clone(), Some(Reach::Builders))];
    let after = seen.tried(&edits)?;
    // Where no part is marked, every switch counts as within reach.
    let still = crate::proof::all_losses(&after.plan).contains(&Loss::Switch(id.clone()));
    let harm = |s: &Simulation| {
        let all = [Loss::Switch(id.clone())];
        losses(&s.plan, &s.check, &all).any(|r| !r.breaks.is_empty())
    };
    (!still && harm(seen)).then(|| Remedy {
        says: format!(
            "If only builders reach {name}, nobody else can throw it: 0 duties break that way."
        ),
        name: format!("put {name} out of reach"),
        edits,
    })
}

fn duties(seen: &Simulation) -> String {
    match seen.check.duties.iter().filter(|d| d.kept).count() {
        1 => "1 duty is kept as".into(),
        n => format!("{n} duties are kept as"),
    }
}

#[cfg(test)]
mod tests {
    use super::super::testing::{taken, told_of};
    use super::*;
    use crate::net::testing::plan;

    fn door(reach: Option<Reach>) -> crate::plan::Plan {
        let mut plan = plan(
            r#"{ "parts": { "gen": "generator", "door": ["switch", { "closed": true }], "lamp": "lamp" },
                 "wires": ["gen.out door.feed", "door.out lamp.in"], "duties": [{ "part": "lamp", "when": "always" }] }"#,
        );
        plan.parts[1].reach = reach;
        plan
    }

    #[test]
    fn a_switch_at_which_anyone_puts_the_lamp_out() {
        let plan = door(Some(Reach::Anyone));
        assert_eq!(
            told_of(&plan, FindingKind::ReachableSwitch),
            [[
                "door is within reach of anyone: thrown, it breaks the duty of lamp, for 24 h a day.",
                "If only builders reach door, nobody else can throw it: 0 duties break that way."
            ]]
        );
        let after = taken(&plan, FindingKind::ReachableSwitch);
        assert!(after.check.is_fine() && after.plan.parts.len() == 3);
    }

    #[test]
    fn a_switch_that_is_needed_is_to_be_put_out_of_reach() {
        let mut plan = door(Some(Reach::Friends));
        plan.parts[1].set =
            serde_json::from_str(r#"{ "schedule": [["06:00", true], ["18:00", false]] }"#).unwrap();
        plan.duties = crate::plan::read_plan(
            r#"{ "format": "duskline/plan", "version": 1, "book": "outpost", "parts": [{ "id": "lamp", "type": "lamp" }],
                 "wires": [], "duties": [{ "part": "lamp", "when": "clock", "from": "06:00", "to": "18:00", "only": true }] }"#,
        )
        .unwrap()
        .duties;
        assert_eq!(
            told_of(&plan, FindingKind::ReachableSwitch),
            [[
                "door is within reach of friends: thrown, it breaks the duty of lamp, for 24 h a day.",
                "If only builders reach door, nobody else can throw it: 0 duties break that way."
            ]]
        );
        let after = taken(&plan, FindingKind::ReachableSwitch);
        assert_eq!(after.plan.parts[1].reach, Some(Reach::Builders));
    }

    #[test]
    fn a_switch_that_only_builders_reach_or_that_commands_nothing_is_none() {
        assert!(told_of(&door(Some(Reach::Builders)), FindingKind::ReachableSwitch).is_empty());
        assert!(told_of(&door(None), FindingKind::ReachableSwitch).is_empty());
        let mut plan = door(Some(Reach::Anyone));
        plan.duties.clear();
        assert!(told_of(&plan, FindingKind::ReachableSwitch).is_empty());
    }
}
