//! One run of a plan for its duties, left as soon as one of them is broken. Times in milliseconds.
//!
//! What it finds of the duties is what [`check`](crate::proof::check) finds; it keeps no record and so is quicker, and a
//! plan that fails on its first night costs one night.

use crate::plan::{PartId, Plan};
use crate::quantity::Ms;
use crate::run::{Clockwork, Engine, MOST_DAYS, Midnights, Stop};

/// So many changes of one contact, and how often others' changes were pending might begin to matter to it.
const RESTLESS: u32 = 100;

/// How a run went.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Trial {
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

impl Trial {
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

/// A duty while a run goes on.
struct Watch {
    /// The load's place in the plan; none where it is not there.
    load: Option<usize>,
    /// Whether the load has run since the last event.
    runs: bool,
    applies: Clockwork,
    /// Whether it applies now, and when that may change next.
    must: bool,
    next: Option<Ms>,
    only: bool,
    grace: Ms,
    /// Since when it is not done, if it is not.
    open: Option<Ms>,
}

impl Watch {
    /// The load does over `[from, to)` as it has since the last event; answers when it is certain that the duty is broken, if it is.
    fn pass(&mut self, from: Ms, to: Ms) -> Option<Ms> {
        let mut from = from;
        while from < to {
            if self.next.is_some_and(|next| next <= from) {
                let must = self.applies.truth(from);
                if must != self.must {
                    self.open = None;
                }
                self.must = must;
                self.next = self.applies.next(from);
            }
            let end = self.next.map_or(to, |next| next.min(to));
            let wrong = self.runs != self.must && (!self.runs || self.only);
            if !wrong {
                self.open = None;
            } else {
                let open = *self.open.get_or_insert(from);
                if end - open > self.grace {
                    return Some(open + self.grace + 1);
                }
            }
            from = end;
        }
        None
    }
}

/// Runs `plan` until a midnight repeats, a duty is broken, or for as many days as a check runs at the most.
/// `batteries` are the places of those whose outputs are watched.
pub(super) fn run(plan: &Plan, batteries: &[usize]) -> Trial {
    let sky = plan.world.sky();
    let place = |id: &PartId| plan.parts.iter().position(|p| p.id == *id);
    let watch = |duty: &crate::plan::Duty| {
        let applies = Clockwork::of_duty(duty.when, &plan.world, &sky);
        Watch {
            load: place(&duty.part),
            runs: false,
            must: applies.truth(0),
            next: applies.next(0),
            applies,
            only: duty.only,
            grace: duty.grace_ms(),
            open: None,
        }
    };
    let mut run = Run {
        engine: Engine::new(plan),
        duties: plan.duties.iter().map(watch).collect(),
        batteries,
        contacts: plan
            .parts
            .iter()
            .enumerate()
            .filter(|(_, p)| {
                let kind = plan.kind_of(p).map(|t| t.behaviour.name());
                kind == Some("contact")
            })
            .map(|(at, _)| (at, false, 0))
            .collect(),
        at: 0,
        trial: Trial {
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
    duties: Vec<Watch>,
    batteries: &'a [usize],
    /// Contacts: place, what they did last, changes.
    contacts: Vec<(usize, bool, u32)>,
    /// Up to when the duties have been looked at.
    at: Ms,
    trial: Trial,
}

impl Run<'_> {
    fn go(&mut self, plan: &Plan) {
        let day = plan.world.day_ms();
        let mut midnights = Midnights::new(plan);
        for (place, conducts, _) in &mut self.contacts {
            *conducts = self.engine.conducts(*place);
        }
        self.look(0);
        for number in 0..=MOST_DAYS {
            let midnight = number * day;
            if !self.until(midnight) {
                return;
            }
            if let Some(earlier) = midnights.note(self.engine.midnight(midnight)) {
                self.trial.for_ever = true;
                // A stretch still open goes on as it did after the earlier midnight; one round shows how long.
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
            if self.engine.events() > before {
                let now = self.engine.now();
                if self.pass(now) {
                    return false;
                }
                self.look(now);
            }
            match stop {
                Stop::Paused => {}
                Stop::Complete => return !self.pass(midnight),
                Stop::TooManyEvents => {
                    self.trial.stopped = true;
                    return false;
                }
            }
        }
    }

    /// After the last midnight: on until no stretch that began before it is open.
    fn tail(&mut self, midnight: Ms, end: Ms) {
        let waits = |run: &Run| {
            run.duties
                .iter()
                .any(|d| d.open.is_some_and(|from| from < midnight))
        };
        while self.at < end && waits(self) {
            let before = self.engine.events();
            let stop = self.engine.advance_some(end, 1);
            let now = if self.engine.events() > before {
                self.engine.now()
            } else {
                end
            };
            if self.pass(now) || stop == Stop::TooManyEvents {
                return;
            }
            self.look(now);
        }
    }

    /// All stood as it does now up to `t`; whether that breaks a duty.
    fn pass(&mut self, t: Ms) -> bool {
        let from = std::mem::replace(&mut self.at, t);
        let mut breaks: Option<(usize, Ms)> = None;
        for (at, duty) in self.duties.iter_mut().enumerate() {
            if let Some(when) = duty.pass(from, t)
                && breaks.is_none_or(|(_, other)| when < other)
            {
                breaks = Some((at, when));
            }
        }
        self.trial.until = t;
        self.trial.breaks = breaks;
        breaks.is_some()
    }

    /// Looks at what the events of `t` have changed.
    fn look(&mut self, t: Ms) {
        for duty in &mut self.duties {
            duty.runs = duty.load.is_some_and(|load| self.engine.runs(load));
        }
        for (place, conducts, changes) in &mut self.contacts {
            let now = self.engine.conducts(*place);
            if std::mem::replace(conducts, now) != now {
                *changes += 1;
                self.trial.restless |= *changes >= RESTLESS;
            }
        }
        for (battery, off) in self.batteries.iter().zip(&mut self.trial.offs) {
            if off.is_none() && !self.engine.output(*battery) {
                *off = Some(t);
            }
        }
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
                    duty.only = seed % 3 == 0;
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
