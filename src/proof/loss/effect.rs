//! What losing a part does to duties and to the hours of loads, both seen in one run. Milliseconds.
//!
//! The duties are those of [`LossJudge::judge`]; a run is not left early here, since loads without a duty are looked at
//! too. Hours are those of a day: each plan's average over its own days that go on repeating, compared exactly.

use super::hours::{Effect, LoadHours};
use super::island::part_of;
use super::island_run::{IslandRun, Watched, joint_end};
use super::judge::all;
use super::wiring::LossKey;
use super::{Loss, LossJudge, LossReport, without};
use crate::plan::{PartId, Spec};
use crate::run::BOUND;
use serde::{Deserialize, Serialize};
use std::collections::BTreeMap;
use std::rc::Rc;

/// What losing a part does.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct LossEffect {
    /// What it breaks.
    pub report: LossReport,
    /// The other loads that then run for less time a day, in the plan's order; none where the plan never repeats, with the
    /// part or without it.
    pub slowed: Option<Vec<PartId>>,
}

impl LossJudge<'_> {
    /// What losing a part does to duties and to the hours of other loads.
    pub fn effect(&mut self, part: &PartId) -> LossEffect {
        let loss = Loss::Part(part.clone());
        let Some(key) = self.key(&[&loss]) else {
            return LossEffect {
                report: self.judge(&loss),
                slowed: None,
            };
        };
        let effect = match self.effects.get(&key) {
            Some(effect) => Rc::clone(effect),
            None => {
                let (effect, alike) = self.gone_through(&key, &loss);
                let effect = Rc::new(effect);
                if alike {
                    self.effects.insert(key, Rc::clone(&effect));
                }
                effect
            }
        };
        let mut report = effect.report.clone();
        report.loss = loss.clone();
        self.add_own(&mut report, &[&loss]);
        LossEffect {
            report,
            slowed: effect.hours.as_ref().and_then(|h| self.slowed(h, part)),
        }
    }

    /// The loads, other than the lost part, that run for less time a day than in the whole plan.
    fn slowed(&mut self, after: &LoadHours, lost: &PartId) -> Option<Vec<PartId>> {
        if self.whole_hours.is_none() {
            self.whole_hours = Some(self.hours_of_all());
        }
        let before = self.whole_hours.as_ref()?.as_ref()?;
        let fewer = |id: &PartId| {
            let ((was, of_was), (is, of_is)) = (before.get(id), after.get(id));
            is * of_was < was * of_is
        };
        let touched = |id: &PartId| {
            let island = self.island(&Loss::Part(id.clone()));
            after.island.is_none_or(|own| island == Some(own))
        };
        let parts = self.plan.parts.iter();
        let loads = parts.filter(|p| matches!(self.plan.spec(p), Some(Spec::Load { .. })));
        let loads = loads.map(|p| &p.id).filter(|id| *id != lost);
        Some(
            loads
                .filter(|id| touched(id) && fewer(id))
                .cloned()
                .collect(),
        )
    }

    /// How long each load of the whole plan runs.
    fn hours_of_all(&self) -> Option<LoadHours> {
        let (days, earlier) = self.end;
        let from = earlier?;
        let mut all = LoadHours {
            on: BTreeMap::new(),
            of: (days - from) * self.day,
            island: None,
        };
        for run in &self.whole {
            all.on
                .extend(LoadHours::of(run, (from, days), self.day, None).on);
        }
        Some(all)
    }

    /// Runs what a loss leaves to the end; also whether others that leave the same have the same effect.
    fn gone_through(&mut self, key: &LossKey, loss: &Loss) -> (Effect, bool) {
        let (losses, unwatched) = ([loss], |_: &crate::run::Engine| Watched::default());
        if let Some(together) = &self.together {
            self.runs += 1;
            let island = key.island;
            let trial = self.islands[island].run((key, &losses), true, None, &unwatched);
            let others = self.whole.iter().enumerate();
            let others = others.filter(|(at, _)| *at != island).map(|(_, run)| run);
            let (days, earlier) = joint_end(others.chain([&trial]));
            let events = self.whole.iter().map(|t| t.events).sum::<u64>() + trial.events;
            let bears = !trial.odd && events.saturating_mul(days + 1) < BOUND;
            if bears && together.bears(&trial, days) {
                let hours = |from| LoadHours::of(&trial, (from, days), self.day, Some(island));
                let effect = Effect {
                    report: self.report(island, &trial, days, earlier),
                    hours: earlier.map(hours),
                };
                return (effect, true);
            }
        }
        self.runs += 1;
        let trial = match self.islands.as_slice() {
            [island] => island.run((key, &losses), false, None, &unwatched),
            _ => {
                let left = without(&part_of(self.plan, &all(self.plan)), loss);
                IslandRun::run(&left, false, None)
            }
        };
        let (report, alike) = self.told_whole(&trial);
        let hours = |from| LoadHours::of(&trial, (from, trial.days), self.day, None);
        let hours = trial.earlier.filter(|_| trial.stopped.is_none()).map(hours);
        (Effect { report, hours }, alike)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::net::testing::plan;
    use crate::plan::Plan;
    use crate::proof::{check, losses};
    use crate::quantity::Ms;
    use crate::run::run;

    /// Which loads run less without a part, from two plain runs.
    fn plainly(plan: &Plan, part: &PartId) -> Option<Vec<PartId>> {
        let hours = |plan: &Plan| {
            let check = check(plan);
            let (from, day) = (check.repeats? * plan.world.day_ms(), plan.world.day_ms());
            let record = run(plan, check.days);
            let on = record.loads.iter().map(|(place, load)| {
                let within = load.runs.iter().map(|(a, b)| b - (*a).max(from).min(*b));
                (plan.parts[*place].id.clone(), within.sum::<Ms>())
            });
            Some((on.collect::<BTreeMap<_, _>>(), check.days * day - from))
        };
        let (before, of_before) = hours(plan)?;
        let (after, of_after) = hours(&without(plan, &Loss::Part(part.clone())))?;
        let less = |id: &&PartId| {
            let is = after
                .get(*id)
                .map(|is| u128::from(*is) * u128::from(of_before));
            is.is_some_and(|is| is < u128::from(before[*id]) * u128::from(of_after))
        };
        let loads = plan
            .parts
            .iter()
            .map(|p| &p.id)
            .filter(|id| before.contains_key(*id));
        Some(loads.filter(less).cloned().collect())
    }

    fn holds(plan: &Plan) -> usize {
        let whole = check(plan);
        let mut judge = LossJudge::new(plan, &whole);
        let mut slowed = 0;
        for part in &plan.parts {
            let loss = Loss::Part(part.id.clone());
            let report = losses(plan, &whole, std::slice::from_ref(&loss)).next();
            let effect = judge.effect(&part.id);
            assert_eq!(
                Some(&effect.report.breaks),
                report.as_ref().map(|r| &r.breaks)
            );
            let first = |r: &LossReport| {
                r.harms
                    .iter()
                    .map(|h| (h.duty, h.first))
                    .collect::<Vec<_>>()
            };
            assert_eq!(Some(first(&effect.report)), report.as_ref().map(first));
            assert_eq!(effect.slowed, plainly(plan, &part.id), "{}", part.id);
            slowed += effect.slowed.map_or(0, |s| s.len());
        }
        slowed
    }

    #[test]
    fn loads_that_run_less_without_a_part_are_those_of_two_plain_runs() {
        // Two islands; no duty speaks of the lamp and the radio of the one.
        let two = plan(
            r#"{ "parts": { "sun": "sun-panel", "cell": "battery", "radio": "radio", "lamp": "lamp", "gen": "generator",
                            "hours": ["time-switch", { "from": "08:00", "to": "12:00" }], "fan": "fan" },
                 "wires": ["sun.out cell.in", "cell.out lamp.in", "lamp.loop radio.in", "gen.out hours.feed",
                           "hours.out fan.in"],
                 "duties": [{ "part": "fan", "when": "clock", "from": "09:00", "to": "11:00" }] }"#,
        );
        assert!(holds(&two) > 5);
        for (_, text) in crate::plan::examples() {
            assert!(holds(&crate::plan::read_plan(text).expect("an example")) > 0);
        }
    }
}
