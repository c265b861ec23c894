//! Stretches of time in which a duty is not done: it applies and its load does not run, or the other way round.
//! Milliseconds, `[from, to)`.

use crate::quantity::Ms;
use crate::run::Clockwork;
use serde::{Deserialize, Serialize};

/// A stretch that matters, and whether the load wrongly ran.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Stretch {
    /// Its first millisecond.
    pub from: Ms,
    /// The first after it.
    pub to: Ms,
    /// Whether the load ran though the duty did not apply; else it did not run though it did.
    pub on: bool,
}

/// All stretches up to `end`, whatever their length, cut where the duty starts or stops applying. `runs` are the load's.
pub fn stretches(applies: &Clockwork, runs: &[(Ms, Ms)], end: Ms) -> Vec<Stretch> {
    let mut cuts: Vec<Ms> = runs
        .iter()
        .flat_map(|(from, to)| [*from, *to])
        .filter(|t| *t < end)
        .collect();
    let mut next = Some(0);
    while let Some(t) = next.filter(|t| *t < end) {
        cuts.push(t);
        next = applies.next(t);
    }
    cuts.sort_unstable();
    cuts.dedup();
    let mut found: Vec<Stretch> = Vec::new();
    let mut run = runs.iter().peekable();
    let mut before = None;
    for (at, from) in cuts.iter().enumerate() {
        let to = cuts.get(at + 1).copied().unwrap_or(end);
        while run.next_if(|(_, end)| *end <= *from).is_some() {}
        let runs = run.peek().is_some_and(|(start, _)| start <= from);
        let must = applies.truth(*from);
        let kind = (runs != must).then_some(runs);
        match (kind, before == Some((kind, must)), found.last_mut()) {
            // Nothing changed at this cut: the stretch goes on.
            (Some(_), true, Some(last)) => last.to = to,
            (Some(on), _, _) => found.push(Stretch {
                from: *from,
                to,
                on,
            }),
            (None, _, _) => {}
        }
        before = Some((kind, must));
    }
    found
}
