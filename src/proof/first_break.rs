//! One run of a plan for its duties, left as soon as one of them is broken. Times in milliseconds.
//!
//! What it finds of the duties is what [`check`](crate::proof::check) finds; it keeps no record and so is quicker, and a
//! plan that fails on its first night costs one night.

use crate::plan::Plan;
use crate::proof::days::{DayRange, Observer, RunEnd, run_days, run_observed};
use crate::proof::watch::{Rota, Watch};
use crate::quantity::Ms;
use crate::run::{Engine, MOST_DAYS, Midnights};

/// So many changes of one contact, and how often others' changes were pending might begin to matter to it.
const RESTLESS: u32 = 100;

/// How a run went.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct FirstBreak {
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

impl FirstBreak {
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
pub(super) fn run(plan: &Plan, batteries: &[usize]) -> FirstBreak {
    let mut engine = Engine::skimming(plan);
    let is_contact = |at: &usize| {
        let kind = plan.kind_of(&plan.parts[*at]);
        kind.is_some_and(|t| t.behaviour.name() == "contact")
    };
    let contacts = (0..plan.parts.len()).filter(is_contact);
    let mut run = Run {
        duties: (plan.duties.iter())
            .map(|duty| Watch::new(plan, duty, &engine))
            .collect(),
        graces: plan.duties.iter().map(|duty| duty.grace_ms()).collect(),
        batteries,
        contacts: contacts
            .map(|at| (at, engine.controls().conducts[at], 0))
            .collect(),
        rota: Rota::default(),
        switches: engine.switches(),
        found: FirstBreak {
            breaks: None,
            offs: vec![None; batteries.len()],
            until: 0,
            for_ever: false,
            stopped: false,
            restless: false,
        },
    };
    run.go(&mut engine, plan);
    run.found
}

struct Run<'a> {
    /// The duties under watch, and their graces.
    duties: Vec<Watch>,
    graces: Vec<Ms>,
    batteries: &'a [usize],
    /// Contacts: place, what they did last, changes.
    contacts: Vec<(usize, bool, u32)>,
    /// Which duties are to be looked at, and how often contacts had changed when they were last looked at.
    rota: Rota,
    switches: u64,
    found: FirstBreak,
}

impl Run<'_> {
    fn go(&mut self, engine: &mut Engine, plan: &Plan) {
        let day = plan.world.day_ms();
        self.look(0, engine);
        let days = DayRange {
            first: 0,
            last: MOST_DAYS,
            day,
        };
        let run = run_days(engine, &mut Midnights::new(plan), days, self);
        self.found.stopped = matches!(run.end, RunEnd::Stopped(_));
        if let Some(round) = run.round {
            self.found.for_ever = true;
            let midnight = run.days * day;
            self.tail(engine, midnight, midnight + round * day);
        }
    }

    /// A stretch still open at the last midnight goes on as it did after the earlier one; one round more shows how long.
    fn tail(&mut self, engine: &mut Engine, midnight: Ms, end: Ms) {
        // The round was run before within the bound: run again, it is no part of the run that is bounded.
        engine.count_anew();
        if self.open(midnight).is_some() {
            let mut broken = false;
            let ended = run_observed(engine, end, &mut |engine| {
                broken = self.look(engine.now(), engine);
                !broken && self.open(midnight).is_some()
            });
            // Still open at the last event: looked at up to the end of the round.
            broken |= ended != RunEnd::Enough && self.look(end, engine);
            if broken {
                return;
            }
        }
        // What is open for a whole round is open for ever.
        self.found.breaks = self.open(midnight);
    }

    /// A duty with a stretch that began before `midnight` and is open still, and when that is longer than its grace.
    fn open(&self, midnight: Ms) -> Option<(usize, Ms)> {
        self.duties.iter().enumerate().find_map(|(at, watch)| {
            let (since, _) = watch.since()?;
            let certain = since.saturating_add(self.graces[at]) + 1;
            (since < midnight).then_some((at, certain))
        })
    }

    /// All stood as it did up to `t`, whose events are done; whether a duty is broken.
    fn look(&mut self, t: Ms, engine: &Engine) -> bool {
        let mut breaks: Option<(usize, Ms)> = None;
        let graces = &self.graces;
        self.rota
            .ask(&mut self.duties, t, engine, &mut |at, (since, _)| {
                let when = since + graces[at] + 1;
                if breaks.is_none_or(|(_, other)| when < other) {
                    breaks = Some((at, when));
                }
            });
        self.found.until = t;
        self.found.breaks = breaks;
        let controls = engine.controls();
        if self.switches != engine.switches() {
            self.switches = engine.switches();
            for (place, conducts, changes) in &mut self.contacts {
                let now = controls.conducts[*place];
                if std::mem::replace(conducts, now) != now {
                    *changes += 1;
                    self.found.restless |= *changes >= RESTLESS;
                }
            }
        }
        for (battery, off) in self.batteries.iter().zip(&mut self.found.offs) {
            if off.is_none() && !controls.output[*battery] {
                *off = Some(t);
            }
        }
        breaks.is_some()
    }
}

impl Observer for Run<'_> {
    fn advance(&mut self, engine: &mut Engine, end: Ms) -> RunEnd {
        let mut observe = |engine: &Engine| !self.look(engine.now(), engine);
        let ended = run_observed(engine, end, &mut observe);
        match ended {
            RunEnd::Complete if self.look(end - 1, engine) => RunEnd::Enough,
            ended => ended,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::plan::{examples, read_plan};
    use crate::proof::check;

    #[test]
    fn a_run_finds_of_the_duties_what_a_check_finds() {
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
                let (found, check) = (run(&plan, &[]), check(&plan));
                let kept = check.duties.iter().all(|d| d.kept);
                assert_eq!(found.breaks.is_none(), kept, "{} {seed}", plan.title);
                assert!(!kept || found.for_ever == check.for_ever);
                if let Some((duty, t)) = found.breaks {
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
