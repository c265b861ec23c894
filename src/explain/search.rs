//! The explanation worked out in steps, so that whoever asks may stop it: the plan's run and check at first, then the day
//! event by event, every part removed in turn, switches thrown, dull days. Dropping it stops it. It reads no clock.

use super::cautions::Ground;
use super::day;
use super::day_run::{DayRun, DaySeen};
use super::dull::{DullRun, survival};
use super::explanation::{DullNews, Explanation, ShownDay};
use super::groups::groups;
use super::stories::stories;
use crate::net::Net;
use crate::plan::{Plan, Reach};
use crate::proof::{
    BadWeather, Check, Loss, LossEffect, LossJudge, LossReport, Study, all_losses, bad_weather,
};
use crate::quantity::Ms;
use std::sync::Arc;

/// So many events of the day are one step.
const EVENTS: u64 = 500;

/// An explanation under way.
pub struct ExplanationSearch<'a> {
    plan: &'a Plan,
    study: Arc<Study>,
    net: Net,
    shown: ShownDay,
    day: DayRun,
    day_done: bool,
    judge: Option<LossJudge<'a>>,
    effects: Vec<LossEffect>,
    switches: Vec<Loss>,
    thrown: Vec<LossReport>,
    dull: DullRun,
    dull_done: bool,
    bad: Option<BadWeather>,
    done: bool,
}

/// Explains a plan at one go.
pub fn explain(plan: &Plan) -> Explanation {
    let mut search = ExplanationSearch::new(plan);
    while !search.go(u64::MAX) {}
    search.finish()
}

impl<'a> ExplanationSearch<'a> {
    /// Runs and checks the plan, and sees what there is to do.
    pub fn new(plan: &'a Plan) -> ExplanationSearch<'a> {
        ExplanationSearch::with(plan, Arc::new(Study::new(plan.clone())))
    }

    /// As [`ExplanationSearch::new`], of a plan that is studied.
    pub fn of(study: &'a Arc<Study>) -> ExplanationSearch<'a> {
        ExplanationSearch::with(study.plan(), Arc::clone(study))
    }

    fn with(plan: &'a Plan, study: Arc<Study>) -> ExplanationSearch<'a> {
        let end = study.journey().record.end;
        let shown = shown(plan, study.check(), end);
        let net = Net::compile(plan);
        let switches = all_losses(plan).into_iter();
        let within_reach = |loss: &Loss| match loss {
            Loss::Switch(id) => {
                let reach = plan.part(id).and_then(|part| plan.reach_of(part));
                reach.is_some_and(|reach| reach != Reach::Builders)
            }
            _ => false,
        };
        ExplanationSearch {
            plan,
            shown,
            day: DayRun::new(plan, shown.from, shown.to),
            day_done: false,
            judge: None,
            effects: Vec::new(),
            switches: switches.filter(within_reach).collect(),
            thrown: Vec::new(),
            dull: DullRun::new(plan, &net, &shown),
            dull_done: false,
            bad: None,
            done: false,
            net,
            study,
        }
    }

    /// Goes on for at most `most` steps, each of about a run's length, but for the last: that tries days of bad weather in one
    /// go. Answers whether all is done.
    pub fn go(&mut self, most: u64) -> bool {
        let mut left = most;
        while !self.done && left > 0 {
            left -= 1;
            self.step();
        }
        self.done
    }

    /// How many steps are done, and of how many, about.
    pub fn progress(&self) -> (usize, usize) {
        let of = self.plan.parts.len() + self.switches.len() + 3;
        let done = self.effects.len() + self.thrown.len();
        let more = [self.day_done, self.dull_done, self.done];
        (done + more.iter().filter(|done| **done).count(), of)
    }

    fn step(&mut self) {
        if !self.day_done {
            self.day_done = self.day.go(EVENTS);
            return;
        }
        let (plan, check) = (self.plan, self.study.check());
        let judge = self
            .judge
            .get_or_insert_with(|| LossJudge::new(plan, check));
        if let Some(part) = plan.parts.get(self.effects.len()) {
            self.effects.push(judge.effect(&part.id));
        } else if let Some(switch) = self.switches.get(self.thrown.len()) {
            self.thrown.push(judge.judge(switch));
        } else if !self.dull_done {
            self.dull_done = self.dull.go(plan, &self.net);
        } else {
            self.bad = Some(bad_weather(plan, check, &mut |_, _, _| true));
            self.done = true;
        }
    }

    /// The explanation. What was not gone through yet is missing.
    pub fn finish(self) -> Explanation {
        let (plan, net, shown) = (self.plan, &self.net, self.shown);
        let (check, journey) = (self.study.check(), self.study.journey());
        let seen: DaySeen = self.day.finish();
        let parts = stories(plan, net, check, &seen, &self.effects);
        let ground = Ground {
            plan,
            net,
            check,
            record: &journey.record,
            shown: &shown,
            stories: &parts,
            thrown: &self.thrown,
            bad: self.bad.as_ref(),
        };
        let mut dull: Vec<DullNews> = self.dull.finish();
        dull.extend(self.bad.iter().flat_map(|bad| survival(plan, bad)));
        Explanation {
            shown,
            groups: groups(plan, net, &seen),
            day: day::steps(plan, net, &seen),
            watch: ground.cautions(),
            dull,
            parts,
        }
    }
}

/// The day that is told; `end` is where the run ended.
fn shown(plan: &Plan, check: &Check, end: Ms) -> ShownDay {
    let day_ms = plan.world.day_ms();
    let first = check.repeats.unwrap_or(0);
    let from = first * day_ms;
    ShownDay {
        day: first + 1,
        from,
        to: match check.is_stopped() {
            true => end.min(from + day_ms).max(from),
            false => from + day_ms,
        },
        repeats: check.repeats.map(|earlier| (earlier + 1, check.days)),
        days: check.days,
        stopped: check.is_stopped(),
    }
}
