//! When something on a board changes over a day: the times of the run's record, and those at which a battery's share of a
//! hundred turns.
//!
//! Milliseconds of the run. Between two of these times nothing changes but levels, which are straight lines.

use crate::plan::{Plan, Spec};
use crate::quantity::{Energy, Ms};
use crate::run::Record;
use crate::sheet::chart::{Window, level_within};
use std::collections::BTreeSet;

/// The times within the window at which something is otherwise than before, the window's first among them.
pub(super) fn changes(plan: &Plan, record: &Record, window: Window) -> Vec<Ms> {
    let mut times = BTreeSet::from([window.from]);
    times.extend(record.events.iter().map(|event| event.t));
    for load in record.loads.values() {
        let both = load.runs.iter().chain(&load.short);
        times.extend(both.flat_map(|(from, to)| [*from, *to]));
    }
    for contact in record.contacts.values() {
        let conducts = contact.conducts.iter();
        times.extend(conducts.flat_map(|(from, to)| [*from, *to]));
    }
    for source in record.sources.values() {
        let both = source.could.iter().chain(&source.gives);
        times.extend(both.map(|(t, _)| *t));
    }
    for (place, battery) in &record.batteries {
        times.extend(battery.level.iter().map(|(t, _)| *t));
        if let Some(capacity) = capacity(plan, *place) {
            times.extend(shares(&level_within(&battery.level, window), capacity));
        }
    }
    let inside = times.range(window.from..window.to);
    inside.copied().collect()
}

/// The capacity of the battery at a place of the plan.
pub(super) fn capacity(plan: &Plan, place: usize) -> Option<Energy> {
    match plan.spec(plan.parts.get(place)?)? {
        Spec::Battery { capacity, .. } => Some(capacity.max(1)),
        _ => None,
    }
}

/// When the whole hundredths of the capacity that a level holds become others.
fn shares(points: &[(Ms, Energy)], capacity: Energy) -> Vec<Ms> {
    let share = |level: Energy| level.max(0) * 100 / capacity;
    let mut times = Vec::new();
    for pair in points.windows(2) {
        let ((from, low), (to, high)) = (pair[0], pair[1]);
        let (rise, long) = (high - low, Energy::from(to - from));
        if rise == 0 {
            continue;
        }
        let (least, most) = (share(low).min(share(high)), share(low).max(share(high)));
        for hundredth in least + 1..=most {
            // The first level that belongs to the other side.
            let edge = (hundredth * capacity + 99) / 100;
            let edge = if rise > 0 { edge } else { edge - 1 };
            // How far it is, and how far it goes: both upwards.
            let (far, goes) = ((edge - low) * long * rise.signum(), rise.abs());
            let into = (far + goes - 1) / goes;
            if let Ok(into) = Ms::try_from(into) {
                times.push(from.saturating_add(into));
            }
        }
    }
    times
}

/// Times of which no two are nearer together than this: of those that are, the first.
pub(super) fn apart(times: &[Ms], least: Ms) -> Vec<Ms> {
    let mut kept: Vec<Ms> = Vec::new();
    for t in times {
        if kept.last().is_none_or(|last| t - last >= least) {
            kept.push(*t);
        }
    }
    kept
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_share_turns_when_its_line_gets_there() {
        // 0 to 10 of 1000 in 1000 ms: the first hundredth is full at the end.
        assert_eq!(shares(&[(0, 0), (1000, 10)], 1000), [1000]);
        assert_eq!(shares(&[(500, 0), (1500, 25)], 1000), [900, 1300]);
        // Down: as soon as it holds less than the hundredth.
        assert_eq!(shares(&[(0, 20), (1000, 0)], 1000), [550, 50]);
        assert_eq!(shares(&[(0, 30), (70, 0)], 1000), [49, 26, 3]);
        assert!(shares(&[(0, 7), (9, 7)], 1000).is_empty());
    }

    #[test]
    fn times_that_are_near_are_one() {
        assert_eq!(apart(&[0, 3, 5, 9, 10, 15], 5), [0, 5, 10, 15]);
    }
}
