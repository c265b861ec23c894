//! Changes of wires, and small parts put in, that may keep a broken duty: a load that no wire feeds wired to a free port;
//! a wire, or a contact that follows the duty's hours, in place of a contact; a closed loop opened; taps in place of a
//! divider. What costs nothing comes first.

use super::candidate::Candidate;
use super::draft::type_that;
use super::needless::{called, gated, gates, kinds};
use super::settings::leading;
use super::{Simulation, lost_share};
use crate::book::Side;
use crate::net::ProblemKind;
use crate::plan::{Conditions, End, PartId, Spec, When};
use serde_json::json;

/// The most places of one kind that are tried, the nearest first.
const PLACES: usize = 8;

/// Changes of wires alone.
pub fn free(seen: &Simulation, load: usize, duty: usize) -> Vec<Candidate> {
    let mut out = unwired(seen, load);
    out.extend(loops(seen));
    let contacts = contacts(seen, load, duty).into_iter();
    out.extend(
        contacts
            .filter(|at| !seen.is_switch(*at))
            .filter_map(|at| past(seen, at)),
    );
    out
}

/// A wire in place of each switch that is thrown by hand: such a switch is there on purpose, so this comes last.
pub fn past_switches(seen: &Simulation, load: usize, duty: usize) -> Vec<Candidate> {
    let contacts = contacts(seen, load, duty).into_iter();
    let switches = contacts.filter(|at| seen.is_switch(*at));
    switches.filter_map(|at| past(seen, at)).collect()
}

/// A wire in place of a contact.
fn past(seen: &Simulation, at: usize) -> Option<Candidate> {
    let edits = seen.drafted(|draft| draft.lead_past(seen.id(at), "feed", "out"))?;
    let what = format!("a wire in place of {}", seen.name(at));
    Some(Candidate::new(capital(&what), format!("put {what}"), edits))
}

/// Small parts: a contact that follows the duty in place of one that does not, or of the load's own; taps for a divider.
pub fn small(seen: &Simulation, load: usize, duty: usize) -> Vec<Candidate> {
    let mut out = Vec::new();
    let Some(of) = seen.plan.duties.get(duty) else {
        return out;
    };
    let dividers = seen.upstream(load).into_iter();
    for at in dividers.filter(|at| matches!(seen.specs[*at], Some(Spec::Divider(_)))) {
        let wires = seen.plan.wires.iter().zip(&seen.ledger().wires);
        let mut own = wires.filter(|(w, _)| w.from.part == *seen.id(at));
        if own.any(|(_, carried)| carried.lost > 0) {
            for (what, edits) in lost_share::in_place(seen, at) {
                let name = format!("put taps in place of {}", seen.name(at));
                out.push(Candidate::new(format!("Putting {what}"), name, edits));
            }
        }
    }
    out.extend(in_place(seen, load, duty, of.when));
    if !of.when.is_only(When::Always) {
        let (load_name, own) = (seen.name(load), gated(seen, load, of.when));
        out.extend(own.into_iter().map(|(called, edits)| {
            let what = format!("{called} of its own ahead of {load_name}");
            Candidate::new(
                capital(&what),
                format!("put {load_name} behind {called}"),
                edits,
            )
        }));
    }
    out
}

fn contacts(seen: &Simulation, load: usize, duty: usize) -> Vec<usize> {
    let feed = seen.upstream(load);
    let all = leading(seen, load, duty).into_iter();
    all.filter(|at| matches!(seen.specs[*at], Some(Spec::Contact { .. })) && feed.contains(at))
        .take(PLACES)
        .collect()
}

/// Contacts that follow the duty's conditions in place of each contact that stands ahead of the load.
fn in_place(seen: &Simulation, load: usize, duty: usize, when: Conditions) -> Vec<Candidate> {
    let contacts = contacts(seen, load, duty);
    let mut out = Vec::new();
    for series in gates(when) {
        let Some(kinds) = kinds(seen, &series) else {
            continue;
        };
        let one = |at: &usize| {
            let id = seen.id(*at);
            let edits = seen.drafted(|draft| {
                let mut new = Vec::new();
                for (kind, set) in &kinds {
                    new.push(draft.add(kind, id, set)?);
                }
                let mut before = draft.unwire(&End::new(id, "feed"))?;
                let after = draft.unwire(&End::new(id, "out"))?;
                draft.remove(id)?;
                for part in new {
                    draft.wire(before, End::new(&part, "feed"))?;
                    before = End::new(&part, "out");
                }
                draft.wire(before, after)
            })?;
            let what = format!("{} in place of {}", called(&series), seen.name(*at));
            Some(Candidate::new(capital(&what), format!("put {what}"), edits))
        };
        out.extend(contacts.iter().filter_map(one));
    }
    out
}

/// The port at which nothing comes, though all that leads to a load comes through it.
fn open_feed(seen: &Simulation, load: usize) -> Option<End> {
    let mut at = load;
    // A closed loop has no first part.
    for _ in 0..seen.plan.parts.len() {
        let port = match seen.specs[at] {
            Some(Spec::Contact { .. }) => "feed",
            Some(Spec::Busbar(_) | Spec::Changeover(_) | Spec::Source { .. }) | None => {
                return None;
            }
            _ => "in",
        };
        let end = End::new(seen.id(at), port);
        match seen.plan.wire_at(&end) {
            None => return Some(end),
            Some(wire) => at = seen.place(&wire.from.part)?,
        }
    }
    None
}

/// A load that no wire feeds, or what leads to it, at free outputs, the nearest first; else in the wire that leaves a
/// source.
fn unwired(seen: &Simulation, load: usize) -> Vec<Candidate> {
    let plan = &seen.plan;
    let Some(feed) = open_feed(seen, load) else {
        return Vec::new();
    };
    let Some(load) = seen.place(&feed.part) else {
        return Vec::new();
    };
    let id = &feed.part;
    let far = |at: usize| -> u64 {
        let of = |at: usize| plan.parts[at].at.unwrap_or_default();
        let ((a, b), (c, d)) = (of(at), of(load));
        ((a - c).powi(2) + (b - d).powi(2)).min(1e15) as u64
    };
    let mut order: Vec<usize> = (0..plan.parts.len()).filter(|at| *at != load).collect();
    order.sort_by_key(|at| (far(*at), *at));
    let behind = seen.downstream(load);
    let free = |at: usize| {
        let part = &plan.parts[at];
        let ports = plan.kind_of(part).map(|t| t.ports()).unwrap_or_default();
        let ends = ports.into_iter().filter(|p| p.side == Side::Out);
        let ends = ends.map(|p| End::new(&part.id, &p.name));
        ends.filter(|end| plan.wire_at(end).is_none())
            .collect::<Vec<_>>()
    };
    let mut out: Vec<Candidate> = order
        .iter()
        .filter(|at| !behind.contains(at))
        .flat_map(|at| free(*at))
        .filter_map(|end| {
            let edits = seen.drafted(|draft| draft.wire(end.clone(), feed.clone()))?;
            let what = format!("a wire from {} to {}", port(seen, &end), plan.called(id));
            Some(Candidate::new(capital(&what), format!("put {what}"), edits))
        })
        .take(2 * PLACES)
        .collect();
    let sources = order.iter().filter(|at| {
        matches!(
            seen.specs[**at],
            Some(Spec::Source { .. } | Spec::Battery { .. })
        )
    });
    let is_load = matches!(seen.specs[load], Some(Spec::Load { .. }));
    out.extend(sources.take(PLACES).filter_map(|at| {
        let from = End::new(seen.id(*at), "out");
        let to = plan.wire_at(&from)?.to.clone();
        let put = |draft: &mut super::Draft| draft.put_into(&to, id, "in", "loop");
        let edits = is_load.then(|| seen.drafted(put)).flatten()?;
        let what = format!(
            "{} put into the wire from {}",
            plan.called(id),
            seen.name(*at)
        );
        Some(Candidate::new(what.clone(), format!("have {what}"), edits))
    }));
    // A tap that leaves the others what they have.
    out.extend(tapped(seen, load, &order));
    out
}

/// A tap of as much as the load draws in the wire of each source or battery.
fn tapped(seen: &Simulation, load: usize, order: &[usize]) -> Vec<Candidate> {
    let Some(Spec::Load { draw, .. }) = seen.specs[load] else {
        return Vec::new();
    };
    let Some(kind) = type_that(&seen.plan, |b| b.name() == "tap").map(|t| t.name.clone()) else {
        return Vec::new();
    };
    let id: &PartId = seen.id(load);
    let sources = order.iter().filter(|at| {
        matches!(
            seen.specs[**at],
            Some(Spec::Source { .. } | Spec::Battery { .. })
        )
    });
    sources
        .take(PLACES)
        .filter_map(|at| {
            let from = End::new(seen.id(*at), "out");
            let to = seen.plan.wire_at(&from)?.to.clone();
            let edits = seen.drafted(|draft| {
                let tap = draft.add(&kind, id, &[("amount", json!(draw))])?;
                draft.put_into(&to, &tap, "in", "rest")?;
                draft.wire(End::new(&tap, "tap"), End::new(id, "in"))
            })?;
            let what = format!(
                "a tap for {} in the wire from {}",
                seen.name(load),
                seen.name(*at)
            );
            Some(Candidate::new(capital(&what), format!("put {what}"), edits))
        })
        .collect()
}

/// Each wire of a closed loop taken off.
fn loops(seen: &Simulation) -> Vec<Candidate> {
    let problems = seen.check.problems.iter();
    let closed = problems.filter(|p| matches!(p.kind, ProblemKind::ClosedLoop(_)));
    closed
        .flat_map(|p| &p.wires)
        .take(PLACES)
        .filter_map(|id| {
            let wire = seen.plan.wire(id)?;
            let edits = seen.plan.removal(&[], std::slice::from_ref(id));
            let (from, to) = (port(seen, &wire.from), seen.plan.called(&wire.to.part));
            let what = format!("the wire from {from} to {to}");
            Some(Candidate::new(
                format!("Taking off {what}"),
                format!("take off {what}"),
                edits,
            ))
        })
        .collect()
}

/// `Gen`, or `Tap's rest` where a part has several outputs or one of another name.
fn port(seen: &Simulation, end: &End) -> String {
    let name = seen.plan.called(&end.part);
    match end.port.as_str() {
        "out" => name,
        port => format!("the {port} of {name}"),
    }
}

pub fn capital(what: &str) -> String {
    let mut chars = what.chars();
    let first = chars.next().map(|c| c.to_uppercase().to_string());
    first.unwrap_or_default() + chars.as_str()
}
