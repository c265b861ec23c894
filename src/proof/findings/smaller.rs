//! A source that spills: whether a smaller one of its kind would do, or none, where no wire leaves it. A smaller one costs
//! less and gives less at its peak. Nothing of that is tried while a duty is broken: what keeps it may need the source.

use super::rewire::capital;
use super::{Remedy, Simulation, draft};
use crate::book::Behaviour;
use crate::plan::Spec;
use crate::quantity::Energy;

/// What is said where nothing tried helps.
pub fn none(seen: &Simulation) -> &'static str {
    match any_broken(seen) {
        true => {
            "None of the changes tried spills less. A smaller source is tried once every duty is kept."
        }
        false => "None of the changes tried spills less.",
    }
}

fn any_broken(seen: &Simulation) -> bool {
    seen.check.duties.iter().any(|d| !d.kept)
}

/// What all sources spill a day.
fn spilled(seen: &Simulation) -> Energy {
    let all = (0..seen.plan.parts.len()).map(|at| seen.spilled(at)).sum();
    seen.a_day(all)
}

/// The cheapest source of the same kind with which every duty kept is kept, no load uses less and less is spilled.
pub fn source(seen: &Simulation, source: usize) -> Option<Remedy> {
    if any_broken(seen) {
        return None;
    }
    let Some(Spec::Source { peak, profile, .. }) = seen.specs[source] else {
        return None;
    };
    let (id, name) = (seen.id(source), seen.name(source));
    let now = seen
        .plan
        .kind_of(&seen.plan.parts[source])
        .map(draft::cost)?;
    let mut kinds: Vec<_> = (seen.plan.book.book.types.iter())
        .filter(|t| {
            let is = matches!(t.behaviour, Behaviour::Source { peak: p, profile: f } if p < peak && f == profile);
            is && draft::cost(t) < now
        })
        .collect();
    kinds.sort_by_key(|t| draft::cost(t));
    for kind in kinds {
        let edits = seen.drafted(|draft| draft.swap(id, &kind.name).map(|_| ()));
        let Some(edits) = edits else { continue };
        let Some(after) = seen.tried(&edits) else {
            continue;
        };
        // What is spilled takes a record; when loads run is known without.
        if !seen.no_load_loses(&after, &[]) {
            continue;
        }
        let (was, is) = (spilled(seen), spilled(&after));
        if is >= was {
            continue;
        }
        let unit = &seen.plan.book.book.unit;
        let label = kind.label.to_lowercase();
        let what = match seen.plan.parts[source].count {
            1 => format!("a {label} in place of {name}"),
            n => format!("{n} of {label} in place of {name}"),
        };
        return Some(Remedy {
            says: format!(
                "{} would do: every duty kept is kept, no load uses less, and {} a day is spilled instead of {}.",
                capital(&what),
                unit.say_energy(is),
                unit.say_energy(was)
            ),
            name: format!("put {what}"),
            edits,
        });
    }
    None
}

/// A source that no wire leaves, taken out.
pub fn without(seen: &Simulation, source: usize) -> Option<Remedy> {
    if any_broken(seen) {
        return None;
    }
    let (id, name) = (seen.id(source), seen.name(source));
    let edits = seen.drafted(|draft| draft.remove(id))?;
    let after = seen.tried(&edits)?;
    let unit = &seen.plan.book.book.unit;
    if !seen.no_load_loses(&after, &[]) {
        return None;
    }
    let less = spilled(seen) - spilled(&after);
    Some(Remedy {
        says: format!(
            "Without {name} every duty kept is kept, no load uses less, and {} a day less is spilled.",
            unit.say_energy(less)
        ),
        name: format!("take {name} out"),
        edits,
    })
}
