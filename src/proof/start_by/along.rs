//! Which other loads start at other times with a change. Times are minutes of the dial, over all days that repeat; what
//! moves by less than a minute is not told.

use crate::net::words::list;
use crate::plan::{Clock, PartId};
use crate::proof::findings::Simulation;
use serde::{Deserialize, Serialize};

/// So many loads are named, and so many times of each.
const NAMED: usize = 4;
const TIMES: usize = 3;

/// A load that starts at other times.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct MovedStart {
    /// The load.
    pub part: PartId,
    /// The starts that are no more, in the order of the dial.
    pub gone: Vec<Clock>,
    /// The starts that are new.
    pub new: Vec<Clock>,
}

/// The loads but for `load` that are in both plans and start at other times after the change, in the plan's order.
pub(super) fn moved(seen: &Simulation, after: &Simulation, load: usize) -> Vec<MovedStart> {
    let others = (seen.plan.parts.iter().enumerate()).filter(|(at, _)| *at != load);
    let moved = others.filter_map(|(at, part)| {
        let (before, then) = (starts(seen, at), starts(after, after.place(&part.id)?));
        let without = |all: &[Clock], known: &[Clock]| -> Vec<Clock> {
            all.iter().filter(|t| !known.contains(t)).copied().collect()
        };
        let (gone, new) = (without(&before, &then), without(&then, &before));
        (before != then).then(|| MovedStart {
            part: part.id.clone(),
            gone,
            new,
        })
    });
    moved.collect()
}

/// A load's starts on the days that repeat, each minute of the dial once.
fn starts(seen: &Simulation, load: usize) -> Vec<Clock> {
    let runs = seen.runs(load);
    // What runs over the midnight at which the days begin again does not start there.
    let goes_on = runs.last().is_some_and(|run| run.1 == seen.to);
    let starts = runs.iter().map(|run| run.0);
    let starts = starts.filter(|t| *t != seen.from || !goes_on);
    let mut starts: Vec<Clock> = starts
        .map(|t| Clock::at(t, seen.journey().day_ms))
        .collect();
    starts.sort_unstable();
    starts.dedup();
    starts
}

/// What moves along, as a sentence with a space before it; empty where nothing does.
pub(super) fn said(seen: &Simulation, all: &[MovedStart]) -> String {
    if all.is_empty() {
        return String::new();
    }
    let times = |all: &[Clock]| list(&all.iter().map(Clock::to_string).collect::<Vec<_>>());
    let one = |moved: &MovedStart| {
        let name = seen.plan.called(&moved.part);
        match (moved.new.len(), moved.gone.len()) {
            (1..=TIMES, 1..=TIMES) => {
                let (new, gone) = (times(&moved.new), times(&moved.gone));
                format!("{name}, to {new} from {gone}")
            }
            (1..=TIMES, 0) => format!("{name}, which starts at {} as well", times(&moved.new)),
            (0, 1..=TIMES) => format!("{name}, no longer at {}", times(&moved.gone)),
            _ => format!("{name}, many times a day"),
        }
    };
    let mut said: Vec<String> = all.iter().take(NAMED).map(one).collect();
    match all.len().saturating_sub(NAMED) {
        0 => {}
        1 => said.push("and 1 load more".into()),
        more => said.push(format!("and {more} loads more")),
    }
    format!(" Moved along with it: {}.", said.join("; "))
}
