//! The reading that tells the remaining faults apart best: the one that leaves the fewest of them in the worst case.
//!
//! Asked are the whole hours of day 1 and what a builder reads without tools: loads, contacts, batteries, and the wires at
//! meters. Counted is as faults are found, so that nothing is run twice.

use super::base_reading::Readable;
use super::sight::Sight;
use crate::book::Behaviour;
use crate::clock::Clock;
use crate::plan::{PartId, Plan};
use crate::quantity::Ms;
use serde::{Deserialize, Serialize};

/// Hours of a day on the dial.
pub(super) const HOURS: u64 = 24;

/// A reading to take.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct NextReading {
    /// What to read; of a meter one of its wires.
    pub of: Readable,
    /// When, on day 1.
    pub at: Clock,
    /// How many of the faults are left whatever it shows, at the most.
    pub left: usize,
}

/// When the whole hours of day 1 are, in milliseconds.
pub(super) fn hours(plan: &Plan) -> Vec<Ms> {
    let day = plan.world.day_ms();
    let clocks = (0..HOURS).filter_map(whole_hour);
    clocks.map(|clock| clock.ms(day)).collect()
}

fn whole_hour(hour: u64) -> Option<Clock> {
    Clock::parse(&format!("{hour}:00"))
}

/// How many of the faults found so far show what, at each whole hour.
#[derive(Clone, Debug, Serialize, Deserialize)]
pub(super) struct Counts {
    /// What a builder reads without tools: parts in the plan's order, then wires in the plan's order.
    pub(super) sights: Vec<Sight>,
    /// By hour, then by sight: numbers with how many faults show each, in no order. There are few of each.
    counts: Vec<Vec<(u64, usize)>>,
    faults: usize,
    /// Whether takes of wires are asked for.
    pub(super) asks_takes: bool,
}

impl Counts {
    /// Of no fault yet.
    pub(super) fn new(plan: &Plan) -> Counts {
        let parts = plan.parts.iter().map(|p| Readable::Part(p.id.clone()));
        let at_meter = |id: &PartId| {
            let kind = plan.part(id).and_then(|part| plan.kind_of(part));
            kind.is_some_and(|kind| matches!(kind.behaviour, Behaviour::Meter))
        };
        let wires = plan.wires.iter();
        let wires = wires.filter(|w| at_meter(&w.from.part) || at_meter(&w.to.part));
        let wires = wires.map(|w| Readable::Wire(w.id.clone()));
        let sights = parts.chain(wires).filter_map(|of| Sight::of(plan, &of));
        let sights: Vec<Sight> = sights.collect();
        Counts {
            counts: vec![Vec::new(); HOURS as usize * sights.len()],
            asks_takes: sights.iter().any(|s| matches!(s, Sight::Wire(_))),
            sights,
            faults: 0,
        }
    }

    /// Counts a fault that shows these numbers, by hour, then by sight.
    pub(super) fn add(&mut self, numbers: &[u64]) {
        self.faults += 1;
        for (counts, number) in self.counts.iter_mut().zip(numbers) {
            count(counts, *number, 1);
        }
    }

    /// Counts in what another hand counted.
    pub(super) fn join(&mut self, other: &Counts) {
        self.faults += other.faults;
        for (counts, others) in self.counts.iter_mut().zip(&other.counts) {
            for (number, faults) in others {
                count(counts, *number, *faults);
            }
        }
    }

    /// The best reading; none where no reading tells any two of the faults apart.
    pub(super) fn best(&self, plan: &Plan) -> Option<NextReading> {
        let worst = |counts: &Vec<(u64, usize)>| {
            let faults = counts.iter().map(|(_, faults)| *faults);
            faults.max().unwrap_or(0)
        };
        // Of equal ones `min_by_key` takes the first, which is the earliest, and of one hour the plan's first.
        let all = self.counts.iter().map(worst).enumerate();
        let (at, left) = all.min_by_key(|(_, left)| *left)?;
        let hour = whole_hour((at / self.sights.len()) as u64)?;
        let of = match self.sights[at % self.sights.len()] {
            Sight::Wire(wire) => Readable::Wire(plan.wires[wire].id.clone()),
            Sight::Load(part) | Sight::Contact(part) | Sight::Battery(part) => {
                Readable::Part(plan.parts[part].id.clone())
            }
        };
        (left < self.faults).then_some(NextReading { of, at: hour, left })
    }
}

fn count(counts: &mut Vec<(u64, usize)>, number: u64, faults: usize) {
    match counts.iter_mut().find(|(other, _)| *other == number) {
        Some((_, all)) => *all += faults,
        None => counts.push((number, faults)),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::net::testing::plan;

    #[test]
    fn the_reading_with_the_fewest_in_the_worst_case_is_taken_and_of_equal_ones_the_first() {
        let plan = plan(
            r#"{ "parts": { "gen": "generator", "meter": "meter", "lamp": "lamp", "door": "switch" },
                 "wires": ["gen.out meter.in", "meter.out lamp.in"] }"#,
        );
        let mut counts = Counts::new(&plan);
        // The lamp, the switch, and both wires of the meter.
        assert_eq!(counts.sights.len(), 4);
        assert!(counts.asks_takes);
        assert_eq!(counts.best(&plan), None);
        let mut show = |at: &[(usize, u64)]| {
            let mut numbers = vec![0; 24 * 4];
            at.iter().for_each(|(at, number)| numbers[*at] = *number);
            counts.add(&numbers);
        };
        // At 01:00 the switch, at 02:00 the second wire tell one of three; at 03:00 the first wire tells all three.
        show(&[(5, 1), (11, 7), (14, 1)]);
        show(&[(14, 2)]);
        show(&[]);
        let best = counts.best(&plan).expect("one that tells them apart");
        assert_eq!(
            (best.of.id(), best.at.to_string().as_str(), best.left),
            ("w1", "03:00", 1)
        );
        counts.counts[14] = vec![(0, 3)];
        let best = counts.best(&plan).expect("one that tells them apart");
        assert_eq!(
            (best.of.id(), best.at.to_string().as_str(), best.left),
            ("door", "01:00", 2)
        );
    }
}
