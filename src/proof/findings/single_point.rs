//! A single point of failure, that is a part without which a duty breaks, and one part, or a wire in its place, that would
//! take that risk away.
//!
//! Wires and loads are such points too, but only the losses tell of them. Told only where a change was found that leaves
//! fewer among the parts: a wire in place of the part; a source at a free port of a busbar or at the free side of a
//! changeover behind it; a second battery beside a battery between free ports; a busbar with a steady source ahead of the
//! load.

use super::draft::{type_that, way_through};
use super::{Finding, FindingKind, Remedy, Simulation};
use crate::book::{Behaviour, Profile};
use crate::net::Weight;
use crate::net::words::list;
use crate::plan::{Edit, End, PartId, Plan, Spec};
use crate::proof::loss;
use crate::proof::{Loss, LossJudge};
use std::collections::BTreeSet;

/// The most free ports that are tried.
const PORTS: usize = 4;

/// For so many of the worst a change is looked for; the losses tell of all.
const WORST: usize = 12;

/// The single points of failure among the parts, loads left out: a load is always one for its own duty.
pub struct Points {
    /// How many there are.
    count: usize,
    /// The places of the worst, those that break most first.
    worst: Vec<usize>,
    /// All of them.
    all: BTreeSet<PartId>,
}

impl Points {
    /// Out of parts, each with how many duties its loss breaks.
    pub fn of(seen: &Simulation, parts: impl Iterator<Item = (usize, usize)>) -> Points {
        let mut all: Vec<(usize, usize)> = parts.filter(|(_, breaks)| *breaks > 0).collect();
        all.sort_by_key(|(_, breaks)| std::cmp::Reverse(*breaks));
        Points {
            count: all.len(),
            all: all.iter().map(|(at, _)| seen.id(*at).clone()).collect(),
            worst: all.iter().take(WORST).map(|(at, _)| *at).collect(),
        }
    }
}

pub fn find(seen: &Simulation, part: usize, breaks: &[usize], points: &Points) -> Option<Finding> {
    if breaks.is_empty() || !points.worst.contains(&part) || !seen.is_whole() {
        return None;
    }
    let (id, name) = (seen.id(part), seen.name(part));
    let remedy = candidates(seen, part, breaks)
        .into_iter()
        .find_map(|(what, edits)| judged(seen, part, breaks, points, &what, edits))?;
    let loads: Vec<String> = breaks
        .iter()
        .filter_map(|at| seen.plan.duties.get(*at))
        .map(|d| seen.plan.called(&d.part))
        .collect();
    let (break_, whose) = match breaks.len() {
        1 => ("breaks", "that"),
        _ => ("break", "those"),
    };
    let says = format!(
        "Without {name}, {} of {} kept duties {break_}: {whose} of {}.",
        breaks.len(),
        kept(seen),
        list(&loads)
    );
    let mut parts = vec![id.clone()];
    parts.extend(
        breaks
            .iter()
            .filter_map(|at| seen.plan.duties.get(*at))
            .map(|d| d.part.clone()),
    );
    Some(Finding {
        kind: FindingKind::SinglePoint,
        weight: Weight::Warning,
        amount: breaks.len() as u64,
        parts,
        wires: Vec::new(),
        says,
        per_day: false,
        remedy: Some(remedy),
    })
}

fn kept(seen: &Simulation) -> usize {
    seen.check.duties.iter().filter(|d| d.kept).count()
}

/// The change as a remedy, if losing the part breaks fewer duties then and there are fewer single points of failure.
fn judged(
    seen: &Simulation,
    part: usize,
    breaks: &[usize],
    points: &Points,
    what: &str,
    edits: Vec<Edit>,
) -> Option<Remedy> {
    let before = points.count;
    // Where wires alone show as many points as before, nothing need be run.
    let certain = loss::certain(&seen.edited(&edits)?, &seen.kept());
    if certain.len() >= before {
        return None;
    }
    let after = seen.tried(&edits)?;
    if !seen.no_load_loses(&after, &[]) {
        return None;
    }
    let mut trials = LossJudge::new(&after.plan, &after.check);
    let id = seen.id(part);
    let there = after.place(id).is_some();
    // Most changes fail here, and by runs that end at the first duty broken.
    let points = match (&seen.specs[part], there) {
        // A meter passes all on, so whatever else is lost does as much without it.
        (Some(Spec::Meter), false) => before - 1,
        _ => points_after(seen, &after, points, &certain, &mut trials),
    };
    let left = match there {
        true if points < before => trials.breaks(&Loss::Part(id.clone())).len(),
        _ => 0,
    };
    seen.count(trials.runs());
    if points >= before || left >= breaks.len() {
        return None;
    }
    let duties = |n: usize| match n {
        0 => "no duty".to_string(),
        1 => "1 duty".into(),
        n => format!("{n} duties"),
    };
    let name = seen.name(part);
    let without = if there {
        format!(
            "losing {name} breaks {} instead of {}",
            duties(left),
            breaks.len()
        )
    } else {
        match kept(seen) {
            1 => "1 duty is kept as now".into(),
            n => format!("{n} duties are kept as now"),
        }
    };
    let points = match points {
        0 => "no part besides loads is a single point of failure".into(),
        1 => "1 part besides loads is a single point of failure".into(),
        n => format!("{n} parts besides loads are single points of failure"),
    };
    let upper = what
        .chars()
        .next()
        .map(|c| c.to_uppercase().to_string() + &what[c.len_utf8()..]);
    Some(Remedy {
        says: format!(
            "{}: {without}, and {points} instead of {before}.",
            upper.unwrap_or_default()
        ),
        name: what.to_string(),
        edits,
    })
}

/// How many single points of failure there are after a change; as many as before are enough to know.
fn points_after(
    seen: &Simulation,
    after: &Simulation,
    before: &Points,
    certain: &BTreeSet<PartId>,
    trials: &mut LossJudge,
) -> usize {
    let mut parts = after.parts_for(FindingKind::SinglePoint);
    // Those that are likely to be points are tried first.
    let unlikely = |at: &usize| {
        let id = after.id(*at);
        let likely = before.all.contains(id) || seen.place(id).is_none();
        !certain.contains(id) && !likely
    };
    parts.sort_by_key(unlikely);
    let mut is_point = |at: &&usize| {
        let id = after.id(**at);
        certain.contains(id) || trials.breaks_any(&Loss::Part(id.clone()))
    };
    parts
        .iter()
        .filter(|at| is_point(at))
        .take(before.count)
        .count()
}

fn candidates(seen: &Simulation, part: usize, breaks: &[usize]) -> Vec<(String, Vec<Edit>)> {
    let (plan, id, name) = (&seen.plan, seen.id(part), seen.name(part));
    let mut out = Vec::new();
    let is_wired = !matches!(
        seen.specs[part],
        Some(Spec::Battery { .. } | Spec::Source { .. })
    );
    let ends = way_through(plan, id).filter(|_| is_wired);
    let past = ends.and_then(|(feed, to)| seen.drafted(|draft| draft.lead_past(id, &feed, &to)));
    let past = past.map(|edits| (format!("put a wire in place of {name}"), edits));
    // A switch is there on purpose: what keeps it is tried before.
    let (last, first) = match seen.is_switch(part) {
        true => (past, None),
        false => (None, past),
    };
    out.extend(first);
    let kind = &plan.parts[part].kind;
    let steady = type_that(plan, |b| {
        matches!(
            b,
            Behaviour::Source {
                profile: Profile::Steady,
                ..
            }
        )
    });
    let mut sources = Vec::new();
    if matches!(seen.specs[part], Some(Spec::Source { .. })) {
        sources.push((kind.clone(), format!("another {}", label(plan, kind))));
    }
    if let Some(steady) = steady {
        sources.push((
            steady.name.clone(),
            format!("a {}", steady.label.to_lowercase()),
        ));
    }
    for port in free_ports(seen, part) {
        let at = plan.called(&port.part);
        for (kind, called) in &sources {
            let edits = seen.drafted(|draft| {
                let source = draft.add(kind, &port.part, &[])?;
                draft.wire(End::new(&source, "out"), port.clone())
            });
            out.extend(edits.map(|e| (format!("put {called} on {at}"), e)));
        }
    }
    out.extend(beside(seen, part));
    if let Some((source, edits)) = breaks.first().and_then(|at| ahead_of_load(seen, *at)) {
        let load = plan.called(&plan.duties[breaks[0]].part);
        out.push((format!("put a busbar with {source} ahead of {load}"), edits));
    }
    out.extend(last);
    out
}

fn label(plan: &Plan, kind: &str) -> String {
    plan.book
        .book
        .find(kind)
        .map_or_else(|| kind.to_string(), |t| t.label.to_lowercase())
}

/// Free inputs of busbars and free backups of changeovers behind a part.
fn free_ports(seen: &Simulation, part: usize) -> Vec<End> {
    let mut out = Vec::new();
    for at in seen.downstream(part) {
        let id = seen.id(at);
        let port = match seen.specs[at] {
            Some(Spec::Busbar(ways)) => (1..=ways)
                .map(|n| End::new(id, &format!("in{n}")))
                .find(|end| seen.plan.wire_at(end).is_none()),
            Some(Spec::Changeover(_)) => {
                Some(End::new(id, "backup")).filter(|end| seen.plan.wire_at(end).is_none())
            }
            _ => None,
        };
        out.extend(port);
        if out.len() == PORTS {
            break;
        }
    }
    out
}

/// A second battery between a free output of the divider ahead and a free input of the busbar behind.
fn beside(seen: &Simulation, part: usize) -> Option<(String, Vec<Edit>)> {
    if !matches!(seen.specs[part], Some(Spec::Battery { .. })) {
        return None;
    }
    let (plan, id) = (&seen.plan, seen.id(part));
    let ahead = &plan.wire_at(&End::new(id, "in"))?.from.part;
    let behind = &plan.wire_at(&End::new(id, "out"))?.to.part;
    let free = |at: &PartId, stem: &str| {
        let ways = match seen.specs[seen.place(at)?] {
            Some(Spec::Divider(ways) | Spec::Busbar(ways)) => ways,
            _ => return None,
        };
        (1..=ways)
            .map(|n| End::new(at, &format!("{stem}{n}")))
            .find(|end| plan.port(end).is_some() && plan.wire_at(end).is_none())
    };
    let (from, to) = (free(ahead, "out")?, free(behind, "in")?);
    let kind = plan.parts[part].kind.clone();
    let edits = seen.drafted(|draft| {
        let second = draft.add(&kind, id, &[])?;
        draft.wire(from, End::new(&second, "in"))?;
        draft.wire(End::new(&second, "out"), to)
    })?;
    Some((
        format!(
            "put another {} beside {}",
            label(plan, &kind),
            seen.name(part)
        ),
        edits,
    ))
}

/// A busbar ahead of a duty's load, a steady source at its second input; and what that is called: `a diesel generator`.
fn ahead_of_load(seen: &Simulation, duty: usize) -> Option<(String, Vec<Edit>)> {
    let plan = &seen.plan;
    let load = &plan.duties.get(duty)?.part;
    let bar = type_that(
        plan,
        |b| matches!(b, Behaviour::Busbar { ways } if *ways > 1),
    )?
    .name
    .clone();
    let source = type_that(plan, |b| {
        matches!(
            b,
            Behaviour::Source {
                profile: Profile::Steady,
                ..
            }
        )
    })?;
    let edits = seen.drafted(|draft| {
        let bar = draft.add(&bar, load, &[])?;
        let source = draft.add(&source.name, &bar, &[])?;
        draft.put_into(&End::new(load, "in"), &bar, "in1", "out")?;
        draft.wire(End::new(&source, "out"), End::new(&bar, "in2"))
    })?;
    Some((format!("a {}", source.label.to_lowercase()), edits))
}

#[cfg(test)]
mod tests {
    use super::super::testing::{taken, told};
    use super::*;

    #[test]
    fn a_free_way_of_a_busbar_takes_a_second_source() {
        let text = r#"{ "parts": { "gen": "generator", "bar": "busbar-2", "lamp": "lamp" },
            "wires": ["gen.out bar.in1", "bar.out lamp.in"], "duties": [{ "part": "lamp", "when": "always" }] }"#;
        assert_eq!(
            told(text, FindingKind::SinglePoint),
            [
                [
                    "Without gen, 1 of 1 kept duties breaks: that of lamp.",
                    "Put another steady generator on bar: losing gen breaks no duty instead of 1, and 1 part besides loads is a single point of failure instead of 2."
                ],
                [
                    "Without bar, 1 of 1 kept duties breaks: that of lamp.",
                    "Put a wire in place of bar: 1 duty is kept as now, and 1 part besides loads is a single point of failure instead of 2."
                ]
            ]
        );
        let after = taken(&crate::net::testing::plan(text), FindingKind::SinglePoint);
        let all = [Loss::Part("gen".into())];
        let mut reports = crate::proof::losses(&after.plan, &after.check, &all);
        let report = reports.next().unwrap();
        assert!(report.breaks.is_empty());
    }

    #[test]
    fn a_meter_in_the_way_is_to_be_led_past() {
        let text = r#"{ "parts": { "a": "generator", "b": "generator", "bar": "busbar-2", "meter": "meter", "lamp": "lamp" },
            "wires": ["a.out bar.in1", "b.out bar.in2", "bar.out meter.in", "meter.out lamp.in"],
            "duties": [{ "part": "lamp", "when": "always" }] }"#;
        assert_eq!(
            told(text, FindingKind::SinglePoint),
            [
                [
                    "Without bar, 1 of 1 kept duties breaks: that of lamp.",
                    "Put a busbar with a hand-started generator ahead of lamp: losing bar breaks no duty instead of 1, and 1 part besides loads is a single point of failure instead of 2."
                ],
                [
                    "Without meter, 1 of 1 kept duties breaks: that of lamp.",
                    "Put a wire in place of meter: 1 duty is kept as now, and 1 part besides loads is a single point of failure instead of 2."
                ]
            ]
        );
        let plan = crate::net::testing::plan(text);
        let found = super::super::findings(&plan);
        let found = found.into_iter().find(|f| f.parts[0].as_str() == "meter");
        let mut after = plan.clone();
        after
            .apply_all(found.and_then(|f| f.remedy).unwrap().edits)
            .unwrap();
        assert!(crate::proof::check(&after).is_fine() && after.part(&"meter".into()).is_none());
    }

    #[test]
    fn two_sources_are_none_and_neither_is_what_nothing_would_better() {
        let text = r#"{ "parts": { "a": "generator", "b": "generator", "bar": "busbar-2", "lamp": "lamp" },
            "wires": ["a.out bar.in1", "b.out bar.in2", "bar.out lamp.in"],
            "duties": [{ "part": "lamp", "when": "always" }] }"#;
        assert!(told(text, FindingKind::SinglePoint).is_empty());
    }
}
