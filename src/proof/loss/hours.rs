//! How long loads run in the days that go on repeating after a loss. Milliseconds.

use super::LossReport;
use super::island_run::IslandRun;
use crate::plan::PartId;
use crate::quantity::Ms;
use std::collections::BTreeMap;

/// How long loads run in days that go on repeating, and how long these days are in all.
#[derive(Clone, Debug)]
pub(super) struct LoadHours {
    pub(super) on: BTreeMap<PartId, Ms>,
    pub(super) of: Ms,
    /// The island to which the loads belong; all where none is named.
    pub(super) island: Option<usize>,
}

/// A run that was gone through once for all losses that leave the same.
#[derive(Clone, Debug)]
pub(super) struct Effect {
    pub(super) report: LossReport,
    pub(super) hours: Option<LoadHours>,
}

impl LoadHours {
    pub(super) fn of(
        run: &IslandRun,
        (from, to): (u64, u64),
        day: Ms,
        island: Option<usize>,
    ) -> LoadHours {
        let (first, end) = (from * day, to * day);
        let within = |(a, b): &(Ms, Ms)| (*b).min(end).saturating_sub((*a).max(first));
        let on = run.runs.keys().map(|id| {
            let runs = run.runs_to(id, to, day);
            (id.clone(), runs.iter().map(within).sum())
        });
        LoadHours {
            on: on.collect(),
            of: end - first,
            island,
        }
    }

    /// How long a load runs of how long.
    pub(super) fn get(&self, id: &PartId) -> (u128, u128) {
        let on = self.on.get(id).copied().unwrap_or(0);
        (u128::from(on), u128::from(self.of))
    }
}
