//! Pairs of losses that break more together than the two alone. Long: every step judges one pair, and whoever goes
//! through them may look, show how far it is, and stop.
//!
//! Only pairs on one island are tried: elsewhere one loss can't make another worse. Losses with the same effect stand for
//! each other, so that of a lamp and its wire only the lamp is named.

use super::judge::LossJudge;
use super::{Loss, LossReport};
use crate::plan::Plan;
use crate::proof::check::Check;
use serde::{Deserialize, Serialize};
use std::collections::BTreeSet;

/// Two losses and what they break together.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct PairReport {
    /// The two, in the order in which they were given.
    pub losses: (Loss, Loss),
    /// Duties that neither breaks alone.
    pub more: Vec<usize>,
    /// What they break together; its own loss is the first.
    pub report: LossReport,
}

/// Goes through pairs of losses: each step judges one, and gives a report if the two break more than either alone.
pub struct Pairs<'a> {
    trials: LossJudge<'a>,
    /// Losses by island, each with what it breaks alone.
    groups: Vec<Vec<LossReport>>,
    at: (usize, usize, usize),
    done: u64,
    total: u64,
}

impl<'a> Pairs<'a> {
    /// All pairs of the losses that `singles` report; `whole` is the check of the whole plan.
    pub fn new(plan: &'a Plan, whole: &Check, singles: &[LossReport]) -> Pairs<'a> {
        let trials = LossJudge::new(plan, whole);
        let mut seen = BTreeSet::new();
        let mut groups: std::collections::BTreeMap<usize, Vec<LossReport>> = Default::default();
        for report in singles {
            let Some(key) = trials.key(&[&report.loss]) else {
                continue;
            };
            let island = key.island;
            // The same duties too: losing a load breaks its own, losing its wire need not.
            if seen.insert((key, report.breaks.clone())) {
                groups.entry(island).or_default().push(report.clone());
            }
        }
        let groups: Vec<Vec<LossReport>> = groups.into_values().collect();
        // In 64 bits: on an island of 65 537 losses they are more than a browser's word holds.
        let pairs = |n: usize| n as u64 * (n as u64).saturating_sub(1) / 2;
        Pairs {
            total: groups.iter().map(|g| pairs(g.len())).sum(),
            trials,
            groups,
            at: (0, 0, 1),
            done: 0,
        }
    }

    /// How many pairs are judged, and of how many.
    pub fn progress(&self) -> (u64, u64) {
        (self.done, self.total)
    }
}

impl Iterator for Pairs<'_> {
    type Item = Option<PairReport>;

    fn next(&mut self) -> Option<Option<PairReport>> {
        let (a, b) = loop {
            let (group, i, j) = self.at;
            let list = self.groups.get(group)?;
            if i + 1 >= list.len() {
                self.at = (group + 1, 0, 1);
            } else if j >= list.len() {
                self.at = (group, i + 1, i + 2);
            } else {
                self.at = (group, i, j + 1);
                break (&list[i], &list[j]);
            }
        };
        self.done += 1;
        let report = self.trials.judge_all(&[&a.loss, &b.loss]);
        let alone = |at: &usize| a.breaks.contains(at) || b.breaks.contains(at);
        let more: Vec<usize> = (report.breaks.iter().copied())
            .filter(|at| !alone(at))
            .collect();
        let losses = (a.loss.clone(), b.loss.clone());
        Some((!more.is_empty()).then_some(PairReport {
            losses,
            more,
            report,
        }))
    }
}
