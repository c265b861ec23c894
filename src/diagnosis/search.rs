//! The search: each fault's plan is run from t = 0 once, all readings are held against that run in the order of time, and
//! the first that is not explained ends it. What is run on explains all and is asked for the whole hours of day 1, too.
//!
//! A fault that can't change a reading which the plan as drawn does not explain (`cone.rs`) is not run. A run that ends at
//! the bound of events explains no reading from there on.

use super::base_reading::{BaseReading, Shows};
use super::candidates::{Candidate, Candidates};
use super::cone::{Cone, Ground};
use super::next::{self, Counts, NextReading};
use super::sight::{Places, Sight, Whole, number_of};
use super::single_fault::SingleFault;
use crate::net::{Controls, Net};
use crate::plan::Plan;
use crate::quantity::Ms;
use crate::read::Fault;
use crate::run::{Engine, Stop, Template};
use serde::{Deserialize, Serialize};
use std::collections::BTreeMap;

/// What came of it.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Diagnosis {
    /// Every single fault that explains all readings: likeliest first, then in the plan's order.
    pub faults: Vec<SingleFault>,
    /// The reading that tells these apart best; none where none tells any two of them apart.
    pub next: Option<NextReading>,
    /// Whether the plan as it is drawn explains all readings.
    pub sound: bool,
    /// What the plan as it is drawn shows instead of each reading, in the readings' order.
    pub drawn: Vec<Shows>,
}

/// What one of several hands found that share the faults out.
#[derive(Clone, Debug, Serialize, Deserialize)]
pub struct FaultShare {
    /// The faults found, each with its number among all that are tried.
    found: Vec<(usize, SingleFault)>,
    counts: Counts,
    sound: bool,
    drawn: Vec<Shows>,
}

/// A reading that is held against runs.
#[derive(Clone, Copy, Debug)]
struct Held {
    sight: Sight,
    number: u64,
}

/// A moment at which a run is looked at.
#[derive(Clone, Debug, Default)]
struct Look {
    /// The readings of that moment.
    held: Vec<Held>,
    /// The whole hours of day 1 that it is.
    hours: Vec<usize>,
}

/// A search under way. Dropping it stops it.
pub struct FaultSearch<'a> {
    plan: &'a Plan,
    /// In the order of time.
    looks: BTreeMap<Ms, Look>,
    /// What the readings hang on that the plan as drawn does not explain.
    cones: Vec<Cone>,
    candidates: Candidates,
    of: usize,
    /// The plan compiled, from which runs with two wires exchanged begin.
    template: Template,
    /// What the fault under trial shows, by hour, then by sight.
    numbers: Vec<u64>,
    counts: Counts,
    runs: u64,
    sound: bool,
    drawn: Vec<Shows>,
    found: Vec<(usize, SingleFault)>,
    /// Which hand this is, from 0, and of how many.
    hand: (usize, usize),
}

/// Every single fault of `plan` that explains all of `readings`.
///
/// # Errors
/// Every reading that can't be one of the plan, by its place in the list.
pub fn diagnose(plan: &Plan, readings: &[BaseReading]) -> Result<Diagnosis, Vec<Fault>> {
    let mut search = FaultSearch::new(plan, readings)?;
    while !search.go(u64::MAX) {}
    Ok(Diagnosis::of(plan, vec![search.finish()]))
}

impl Diagnosis {
    /// What came of it, of what all hands found; the same however many they were.
    pub fn of(plan: &Plan, shares: Vec<FaultShare>) -> Diagnosis {
        let mut shares = shares.into_iter();
        let Some(mut whole) = shares.next() else {
            return Diagnosis {
                faults: Vec::new(),
                next: None,
                sound: true,
                drawn: Vec::new(),
            };
        };
        for share in shares {
            whole.found.extend(share.found);
            whole.counts.join(&share.counts);
        }
        whole.found.sort_by_key(|(number, _)| *number);
        Diagnosis {
            next: whole.counts.best(plan),
            faults: whole.found.into_iter().map(|(_, fault)| fault).collect(),
            sound: whole.sound,
            drawn: whole.drawn,
        }
    }
}

impl<'a> FaultSearch<'a> {
    /// Runs the plan as it is drawn and sees what there is to try.
    ///
    /// # Errors
    /// Every reading that can't be one of the plan, by its place in the list.
    pub fn new(plan: &'a Plan, readings: &[BaseReading]) -> Result<FaultSearch<'a>, Vec<Fault>> {
        let check = |(at, reading): (usize, &BaseReading)| {
            reading.check(plan, &format!("readings[{at}]")).err()
        };
        let faults: Vec<Fault> = readings.iter().enumerate().filter_map(check).collect();
        if !faults.is_empty() {
            return Err(faults);
        }
        let sights = readings.iter().map(|r| Sight::of(plan, &r.of));
        let sights: Vec<Sight> = sights.flatten().collect();
        let mut looks: BTreeMap<Ms, Look> = BTreeMap::new();
        for (reading, sight) in readings.iter().zip(&sights) {
            let number = number_of(reading.shows);
            let held = Held {
                sight: *sight,
                number,
            };
            looks.entry(reading.at).or_default().held.push(held);
        }
        for (hour, at) in next::hours(plan).into_iter().enumerate() {
            looks.entry(at).or_default().hours.push(hour);
        }
        let counts = Counts::new(plan);
        let candidates = Candidates::of(plan);
        let mut search = FaultSearch {
            numbers: vec![0; next::HOURS as usize * counts.sights.len()],
            of: candidates.len(),
            cones: Vec::new(),
            sound: true,
            drawn: Vec::new(),
            found: Vec::new(),
            hand: (0, 1),
            template: Template::of_wires(plan),
            runs: 1,
            plan,
            looks,
            candidates,
            counts,
        };
        search.look_at_plan(readings, &sights);
        Ok(search)
    }

    /// Tries only its share of the faults, as the hand so-and-so from 0 up to `of`, which is 1 or more. All hands together
    /// try each fault once.
    pub fn share(mut self, hand: usize, of: usize) -> FaultSearch<'a> {
        self.hand = (hand, of.max(1));
        self
    }

    /// Tries faults until one more than `most` would have been run; answers whether all are tried.
    pub fn go(&mut self, most: u64) -> bool {
        let end = self.runs.saturating_add(most);
        while self.runs < end {
            let number = self.of - self.candidates.len();
            let Some(candidate) = self.candidates.next() else {
                return true;
            };
            if number % self.hand.1 != self.hand.0 {
                continue;
            }
            let can_explain = |cone: &Cone| cone.has(self.plan, &candidate);
            if self.cones.iter().all(can_explain) && self.explains(&candidate) {
                self.counts.add(&self.numbers);
                self.found.push((number, candidate.told(self.plan)));
            }
        }
        self.candidates.len() == 0
    }

    /// How many faults are tried, and of how many.
    pub fn progress(&self) -> (usize, usize) {
        (self.of - self.candidates.len(), self.of)
    }

    /// How many runs the search has made so far: what it costs, whatever the machine.
    pub fn runs(&self) -> u64 {
        self.runs
    }

    /// How many faults are found so far.
    pub fn found(&self) -> usize {
        self.found.len()
    }

    /// What was found, as far as it went.
    pub fn finish(self) -> FaultShare {
        FaultShare {
            found: self.found,
            counts: self.counts,
            sound: self.sound,
            drawn: self.drawn,
        }
    }

    /// Holds the readings against the plan as it is drawn, and finds what those hang on that it does not explain.
    fn look_at_plan(&mut self, readings: &[BaseReading], sights: &[Sight]) {
        let mut engine = Engine::skimming(self.plan);
        let mut order: Vec<usize> = (0..readings.len()).collect();
        order.sort_by_key(|at| readings[*at].at);
        self.drawn = readings.iter().map(|r| r.shows).collect();
        let mut unexplained = Vec::new();
        for at in order {
            let (reading, sight) = (&readings[at], sights[at]);
            let stop = engine.advance(reading.at.saturating_add(1));
            let number = seen(sight, &engine, &Places::same(), reading.at);
            self.drawn[at] = sight.shows(number);
            if stop == Stop::TooManyEvents || number != number_of(reading.shows) {
                self.sound = false;
                unexplained.push((reading.at, sight));
            }
        }
        let Some(last) = unexplained.iter().map(|(at, _)| *at).max() else {
            return;
        };
        let net = Net::compile(self.plan);
        if let Some(ground) = Ground::of(self.plan, &net, last) {
            let cones = unexplained.iter();
            let cones = cones.filter_map(|(at, sight)| ground.cone(*sight, *at));
            self.cones = cones.collect();
        }
    }

    /// Whether the plan with this fault explains all readings; then `numbers` has what it shows at the whole hours.
    fn explains(&mut self, candidate: &Candidate) -> bool {
        self.runs += 1;
        if let Candidate::Exchanged(a, b) = *candidate {
            let engine = self.template.exchanged(self.plan, a, b);
            return self.holds(engine, &Places::same());
        }
        let fault = candidate.clone().told(self.plan);
        let built = fault.built(self.plan);
        let places = match fault {
            SingleFault::Missing { .. } | SingleFault::Dead { .. } => Places::of(self.plan, &built),
            _ => Places::same(),
        };
        self.holds(Engine::skimming(&built), &places)
    }

    fn holds(&mut self, mut engine: Engine, places: &Places) -> bool {
        let sights = &self.counts.sights;
        // What wires take is only worked out once all readings are explained.
        let mut takes: Vec<(usize, Controls)> = Vec::new();
        for (at, look) in &self.looks {
            let stop = engine.advance(at.saturating_add(1));
            let agrees = |held: &Held| seen(held.sight, &engine, places, *at) == held.number;
            let is_known = look.held.is_empty() || stop == Stop::Complete;
            if !is_known || !look.held.iter().all(agrees) {
                return false;
            }
            for hour in &look.hours {
                let numbers = &mut self.numbers[hour * sights.len()..];
                for (number, sight) in numbers.iter_mut().zip(sights) {
                    *number = sight.state(&engine, places, *at).unwrap_or(0);
                }
                if self.counts.asks_takes {
                    takes.push((*hour, engine.controls().clone()));
                }
            }
        }
        let mut whole = Whole::new(engine.net());
        for (hour, controls) in takes {
            let live = whole.solve(controls);
            let numbers = &mut self.numbers[hour * sights.len()..];
            for (number, sight) in numbers.iter_mut().zip(sights) {
                *number = sight.take(live, places).unwrap_or(*number);
            }
        }
        true
    }
}

/// What something shows at `t`, to which the run has come.
fn seen(sight: Sight, engine: &Engine, places: &Places, t: Ms) -> u64 {
    let take = || {
        let mut whole = Whole::new(engine.net());
        sight.take(whole.solve(engine.controls().clone()), places)
    };
    let shown = sight.state(engine, places, t).or_else(take);
    shown.unwrap_or(0)
}

#[cfg(test)]
mod tests {
    use super::super::base_reading::{Readable, Trend};
    use super::*;
    use crate::diagnosis::reading_of_text;
    use crate::net::testing::plan;

    #[test]
    fn a_reading_that_no_plan_can_show_is_a_fault_with_its_place() {
        let plan = plan(r#"{ "parts": { "lamp": "lamp", "tap": "tap" }, "wires": [] }"#);
        let reading = |of: Readable, shows| BaseReading { of, shows, at: 0 };
        let readings = [
            reading(Readable::Part("lamp".into()), Shows::Runs(false)),
            reading(Readable::Part("tap".into()), Shows::Runs(true)),
            reading(Readable::Part("lamp".into()), Shows::Moves(Trend::Still)),
            reading(Readable::Wire("w9".into()), Shows::Takes(1)),
        ];
        let faults = diagnose(&plan, &readings).expect_err("faults");
        let said: Vec<String> = faults.iter().map(Fault::to_string).collect();
        let readable = "expected the id of a load, a contact, a battery or a wire of the plan";
        assert_eq!(
            said,
            [
                format!("readings[1]: found \"tap\", {readable}"),
                "readings[2]: found \"still\", expected runs or off, as a load shows".into(),
                format!("readings[3]: found \"w9\", {readable}"),
            ]
        );
        assert!(diagnose(&plan, &readings[..1]).is_ok_and(|found| found.sound));
    }

    #[test]
    fn after_a_run_was_stopped_at_the_bound_of_events_nothing_is_explained() {
        // A flasher that changes every 150 ms comes to the bound of events within two days.
        let plan = plan(
            r#"{ "parts": { "gen": "generator", "f": ["on-delay", { "contact": "break", "delay_s": 0.05 }],
                            "two": "divider-2", "lamp": "lamp" },
                 "wires": ["gen.out f.feed", "f.out two.in", "two.out1 lamp.in", "two.out2 f.trigger"] }"#,
        );
        for value in ["runs", "off"] {
            let reading = reading_of_text(&plan, &format!("lamp={value}@d3 12:00")).expect("sound");
            let search = FaultSearch::new(&plan, &[reading]).expect("of the plan");
            assert!(!search.sound && search.cones.is_empty(), "{value}");
        }
    }

    #[test]
    fn an_answer_and_a_share_of_it_go_to_a_worker_and_back() {
        let plan = plan(
            r#"{ "parts": { "panel": "sun-panel", "tap": "tap", "lamp": "lamp" }, "wires": ["panel.out tap.in", "tap.tap lamp.in"] }"#,
        );
        let reading = reading_of_text(&plan, "lamp=off@12:00").expect("sound");
        let mut search = FaultSearch::new(&plan, &[reading]).expect("of the plan");
        while !search.go(3) {}
        let share = search.finish();
        let bytes = postcard::to_allocvec(&share).expect("bytes");
        let back: FaultShare = postcard::from_bytes(&bytes).expect("a share");
        let (found, again) = (
            Diagnosis::of(&plan, vec![share]),
            Diagnosis::of(&plan, vec![back]),
        );
        assert_eq!(found, again);
        assert!(found.faults.len() > 3);
        let bytes = postcard::to_allocvec(&found).expect("bytes");
        assert_eq!(postcard::from_bytes(&bytes), Ok(found));
    }
}
