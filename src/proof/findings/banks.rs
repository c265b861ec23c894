//! What has to be built to keep a broken duty: so many more of a source or battery ahead of the load, or a battery where
//! none stands. The fewest parts first, and among as many the cheapest, all materials counted alike.

use super::candidate::Candidate;
use super::{Simulation, draft};
use crate::net::words::list;
use crate::plan::{Edit, End, Spec};

/// The most that is tried to be added to a bank.
const MORE: u64 = 8;
/// The most banks of each kind that are tried, the nearest first.
const BANKS: usize = 4;
/// The most batteries that are tried to be put in at one place.
const CELLS: u64 = 2;

/// All that is worth trying, in the order in which it is.
pub fn changes(seen: &Simulation, load: usize) -> Vec<Candidate> {
    let ahead = seen.upstream(load);
    let of = |is: fn(&Spec) -> bool| -> Vec<usize> {
        let found = ahead
            .iter()
            .copied()
            .filter(|at| seen.specs[*at].as_ref().is_some_and(is));
        found.take(BANKS).collect()
    };
    let sources = of(|s| matches!(s, Spec::Source { .. }));
    let batteries = of(|s| matches!(s, Spec::Battery { .. }));
    let mut choices: Vec<Vec<usize>> = sources
        .iter()
        .chain(&batteries)
        .map(|at| vec![*at])
        .collect();
    if let (Some(source), Some(battery)) = (sources.first(), batteries.first()) {
        choices.push(vec![*source, *battery]);
    }
    if sources.len() > 1 {
        choices.push(sources.clone());
    }
    let mut out = Vec::new();
    for n in 1..=MORE {
        for choice in &choices {
            let cost: u64 = choice.iter().map(|at| cost(seen, *at)).sum::<u64>() * n;
            out.push((choice.len() as u64 * n, cost, more(seen, choice, n)));
        }
    }
    // Where a battery stands between source and load, more of it do as much.
    let bare = |at: &usize| {
        let behind = seen.downstream(*at);
        batteries.iter().all(|battery| !behind.contains(battery))
    };
    let bare: Vec<usize> = sources.iter().copied().filter(bare).collect();
    if batteries.is_empty() || !bare.is_empty() {
        out.extend(inserted(seen, load, &bare, batteries.is_empty()));
    }
    out.sort_by_key(|(parts, cost, _)| (*parts, *cost));
    out.into_iter().map(|(_, _, change)| change).collect()
}

fn cost(seen: &Simulation, at: usize) -> u64 {
    seen.plan
        .kind_of(&seen.plan.parts[at])
        .map_or(0, draft::cost)
}

fn more(seen: &Simulation, banks: &[usize], n: u64) -> Candidate {
    let count = |at: &usize| seen.plan.parts[*at].count + n;
    let said: Vec<String> = banks
        .iter()
        .map(|at| format!("{} of {}", count(at), seen.name(*at)))
        .collect();
    let said = list(&said);
    let edits = banks
        .iter()
        .map(|at| Edit::Count(seen.id(*at).clone(), count(at)))
        .collect();
    Candidate::new(format!("Having {said}"), format!("have {said}"), edits)
}

/// A battery of each kind behind each source, or ahead of the load, alone and with one or two more of the source: parts,
/// cost and change.
fn inserted(
    seen: &Simulation,
    load: usize,
    sources: &[usize],
    own_too: bool,
) -> Vec<(u64, u64, Candidate)> {
    let plan = &seen.plan;
    let kinds = plan.book.book.types.iter();
    let kinds: Vec<_> = kinds.filter(|t| t.behaviour.name() == "battery").collect();
    let mut places: Vec<(End, String, Option<usize>)> = Vec::new();
    for source in sources.iter().take(2) {
        if let Some(wire) = plan.wire_at(&End::new(seen.id(*source), "out")) {
            let place = format!("behind {}", seen.name(*source));
            places.push((wire.to.clone(), place, Some(*source)));
        }
    }
    let own = End::new(seen.id(load), "in");
    if own_too && plan.wire_at(&own).is_some() && places.iter().all(|(end, ..)| *end != own) {
        places.push((
            own,
            format!("ahead of {}", seen.name(load)),
            sources.first().copied(),
        ));
    }
    let mut out = Vec::new();
    for (end, place, source) in &places {
        for kind in &kinds {
            for n in 1..=CELLS {
                for more in 0..=CELLS {
                    let label = kind.label.to_lowercase();
                    let mut what = match n {
                        1 => format!("a {label} {place}"),
                        n => format!("{n} of {label} {place}"),
                    };
                    let edits = seen.drafted(|draft| {
                        let battery = draft.add(&kind.name, &end.part, &[])?;
                        draft.put_into(end, &battery, "in", "out")?;
                        if n > 1 {
                            draft.make(Edit::Count(battery, n))?;
                        }
                        if more > 0 {
                            let at = (*source)?;
                            let count = plan.parts[at].count + more;
                            what = format!("{what} and {count} of {}", seen.name(at));
                            draft.make(Edit::Count(seen.id(at).clone(), count))?;
                        }
                        Some(())
                    });
                    let cost = draft::cost(kind) * n + source.map_or(0, |at| cost(seen, at)) * more;
                    out.extend(edits.map(|edits| {
                        let said = format!("Putting {what}");
                        (
                            n + more,
                            cost,
                            Candidate::new(said, format!("put {what}"), edits),
                        )
                    }));
                }
            }
        }
    }
    out
}
