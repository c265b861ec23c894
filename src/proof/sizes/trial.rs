//! One run of a plan for its duties, left as soon as one of them is broken. Times in milliseconds.
//!
//! What it finds of the duties is what [`check`](crate::proof::check) finds; it keeps no record and so is quicker, and a
//! plan that fails on its first night costs one night.

use crate::plan::Plan;
use crate::proof::watch::Watch;
use crate::quantity::Ms;
use crate::run::{Engine, MOST_DAYS, Midnights, Stop};

/// So many changes of one contact, and how often others' changes were pending might begin to matter to it.
const RESTLESS: u32 = 100;

/// How a run went.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Outcome {
    /// The first duty that is broken, and from when on that is certain: the end of its grace.
    pub breaks: Option<(usize, Ms)>,
    /// When the output of each battery watched first went off, up to `until`.
    pub offs: Vec<Option<Ms>>,
    /// How far it ran.
    pub until: Ms,
    /// Whether it came to a midnight that repeats an earlier one.
    pub for_ever: bool,
    /// Whether it was stopped at the bound of events.
    pub stopped: bool,
    /// Whether a contact changed so often that parts of the plan elsewhere might have a say in when it is held.
    pub restless: bool,
}

impl Outcome {
    /// When an output first went off of those that `of` says, by their places among the batteries watched.
    pub fn off(&self, of: impl Fn(usize) -> bool) -> Option<Ms> {
        let all = self.offs.iter().enumerate();
        all.filter(|(at, _)| of(*at)).filter_map(|(_, t)| *t).min()
    }

    /// Whether all duties are kept, where `for_ever` is asked for also that it is so for ever.
    pub fn keeps(&self, for_ever: bool) -> bool {
        self.breaks.is_none() && !self.stopped && (self.for_ever || !for_ever)
    }
}

/// Runs `plan` until a midnight repeats, a duty is broken, or for as many days as a check runs at the most.
/// `batteries` are the places of those whose outputs are watched.
pub(super) fn run(plan: &Plan, batteries: &[usize]) -> Outcome {
    let engine = Engine::new(plan);
    let is_contact = |at: &usize| {
        let kind = plan.kind_of(&plan.parts[*at]);
        kind.is_some_and(|t| t.behaviour.name() == "contact")
    };
    let contacts = (0..plan.parts.len()).filter(is_contact);
    let mut run = Run {
        duties: plan
            .duties
            .iter()
            .map(|duty| (Watch::new(plan, duty, &engine), duty.grace_ms()))
            .collect(),
        batteries,
        contacts: contacts
            .map(|at| (at, engine.controls().conducts[at], 0))
            .collect(),
        engine,
        at: 0,
        trial: Outcome {
            breaks: None,
            offs: vec![None; batteries.len()],
            until: 0,
            for_ever: false,
            stopped: false,
            restless: false,
        },
    };
    run.go(plan);
    run.trial
}

struct Run<'a> {
    engine: Engine,
    /// The duties under watch, with their graces.
    duties: Vec<(Watch, Ms)>,
    batteries: &'a [usize],
    /// Contacts: place, what they did last, changes.
    contacts: Vec<(usize, bool, u32)>,
    /// Up to when the duties have been looked at.
    at: Ms,
    trial: Outcome,
}

impl Run<'_> {
    fn go(&mut self, plan: &Plan) {
        let day = plan.world.day_ms();
        let mut midnights = Midnights::new(plan);
        self.look(0);
        for number in 0..=MOST_DAYS {
            let midnight = number * day;
            if !self.until(midnight) {
                return;
            }
            if let Some(earlier) = midnights.note(self.engine.midnight(midnight)) {
                self.trial.for_ever = true;
                self.tail(midnight, midnight + (number - earlier) * day);
                return;
            }
        }
    }

    /// Goes on to `midnight`, its events included; whether there is more to see.
    fn until(&mut self, midnight: Ms) -> bool {
        loop {
            let before = self.engine.events();
            let stop = self.engine.advance_some(midnight + 1, 1);
            if self.engine.events() > before && self.look(self.engine.now()) {
                return false;
            }
            match stop {
                Stop::Paused => {}
                Stop::Complete => return !self.look(midnight),
                Stop::TooManyEvents => {
                    self.trial.stopped = true;
                    return false;
                }
            }
        }
    }

    /// A stretch still open at the last midnight goes on as it did after the earlier one; one round more shows how long.
    fn tail(&mut self, midnight: Ms, end: Ms) {
        // The round was run before within the bound: run again, it is no part of the run that is bounded.
        self.engine.count_anew();
        while self.at < end && self.open(midnight).is_some() {
            let before = self.engine.events();
            self.engine.advance_some(end, 1);
            let now = if self.engine.events() > before {
                self.engine.now()
            } else {
                end
            };
            if self.look(now) {
                return;
            }
        }
        // What is open for a whole round is open for ever.
        self.trial.breaks = self.open(midnight);
    }

    /// A duty with a stretch that began before `midnight` and is open still, and when that is longer than its grace.
    fn open(&self, midnight: Ms) -> Option<(usize, Ms)> {
        self.duties
            .iter()
            .enumerate()
            .find_map(|(at, (watch, grace))| {
                let (since, _) = watch.since()?;
                (since < midnight).then_some((at, since.saturating_add(*grace) + 1))
            })
    }

    /// All stood as it did up to `t`, whose events are done; whether a duty is broken.
    fn look(&mut self, t: Ms) -> bool {
        let mut breaks: Option<(usize, Ms)> = None;
        for (at, (watch, grace)) in self.duties.iter_mut().enumerate() {
            let broken = watch.go(t, &self.engine);
            let when = broken.map(|(since, _)| since + *grace + 1);
            if let Some(when) = when
                && breaks.is_none_or(|(_, other)| when < other)
            {
                breaks = Some((at, when));
            }
        }
        self.at = t;
        self.trial.until = t;
        self.trial.breaks = breaks;
        let controls = self.engine.controls();
        for (place, conducts, changes) in &mut self.contacts {
            let now = controls.conducts[*place];
            if std::mem::replace(conducts, now) != now {
                *changes += 1;
                self.trial.restless |= *changes >= RESTLESS;
            }
        }
        for (battery, off) in self.batteries.iter().zip(&mut self.trial.offs) {
            if off.is_none() && !controls.output[*battery] {
                *off = Some(t);
            }
        }
        breaks.is_some()
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::plan::{examples, read_plan};
    use crate::proof::check;

    #[test]
    fn a_trial_finds_of_the_duties_what_a_check_finds() {
        let mut broken = 0;
        for (_, text) in examples() {
            let plan = read_plan(text).expect("an example reads");
            let grown = |seed: u64| {
                let mut plan = plan.clone();
                for (at, part) in plan.parts.iter_mut().enumerate() {
                    if part.kind.contains("panel") || part.kind.contains("turbine") {
                        part.count = 1 + (seed >> (at % 7)) % 3;
                    }
                }
                plan.world.weather = vec![1.0, 0.1 * (seed % 11) as f64];
                for duty in &mut plan.duties {
                    duty.grace_s = 40.0 * (seed % 5) as f64;
                    duty.only = seed.is_multiple_of(3);
                }
                plan
            };
            for seed in 0..60 {
                let plan = grown(seed);
                let (trial, check) = (run(&plan, &[]), check(&plan));
                let kept = check.duties.iter().all(|d| d.kept);
                assert_eq!(trial.breaks.is_none(), kept, "{} {seed}", plan.title);
                assert!(!kept || trial.for_ever == check.for_ever);
                if let Some((duty, t)) = trial.breaks {
                    broken += 1;
                    let gap = check.duties[duty].gaps[0];
                    assert_eq!(t, gap.from + plan.duties[duty].grace_ms() + 1);
                }
            }
        }
        assert!(broken > 20);
    }

    #[test]
    fn a_gap_that_goes_on_over_the_repeated_midnight_is_as_long_as_it_will_be() {
        use crate::net::testing::plan;
        // A minute each side of midnight, two in all, and a grace of a minute and a half.
        let of = |from: &str, grace: u64| {
            plan(&format!(
                r#"{{"parts": {{"g": "generator", "s": ["time-switch", {{"from": "{from}", "to": "23:59"}}], "l": "lamp"}},
                    "wires": ["g.out s.feed", "s.out l.in"],
                    "duties": [{{"part": "l", "when": "always", "grace_s": {grace}}}]}}"#
            ))
        };
        for (from, grace, kept) in [
            ("00:01", 90, false),
            ("00:01", 120, true),
            ("00:00", 60, true),
        ] {
            assert_eq!(
                run(&of(from, grace), &[]).breaks.is_none(),
                kept,
                "{from} {grace}"
            );
        }
    }
}
