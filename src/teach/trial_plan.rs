//! The plan of one trial, and what is found of it: broken duties with why, and single losses that break what they should not.
//!
//! A duty need not stand the loss of its own load, of the wire at that load's `in`, nor of the part which that wire comes
//! from: nothing else could carry it then. Times in milliseconds.

use super::grade::{BreakingLoss, BrokenDuty, LostDuty};
use super::tried::lost;
use crate::plan::{End, Lost, PartId, Plan};
use crate::proof::{
    Cause, Check, GapEnd, Harm, Loss, LossReport, Verdict, causes, check, share_of_losses, without,
};
use std::sync::Arc;

/// The plan of one trial.
#[derive(Clone, Debug)]
pub(super) struct TrialPlan {
    /// The plan, without what the trial names as lost.
    pub plan: Arc<Plan>,
    /// The place of each of its duties among the exercise's: those of lost loads are not there.
    duties: Vec<usize>,
    /// Its check, once it was made.
    pub check: Option<Check>,
}

impl TrialPlan {
    /// The plan of a trial that loses this; `given` is what the exercise starts from.
    pub fn new(plan: Plan, given: &Plan, lose: &Lost) -> TrialPlan {
        let is_lost = |part: &PartId| match lose {
            Lost::These(parts, _) => parts.contains(part),
            Lost::Nothing | Lost::AnyOne => false,
        };
        let duties = plan.duties.iter().enumerate();
        let left = duties.filter(|(_, duty)| !is_lost(&duty.part));
        TrialPlan {
            duties: left.map(|(at, _)| at).collect(),
            plan: Arc::new(lost(plan, given, lose)),
            check: None,
        }
    }

    /// The duties that its check finds broken.
    pub fn broken(&self, check: &Check) -> Vec<BrokenDuty> {
        let found = first_causes(&self.plan, check);
        let duties = check.duties.iter().zip(found).zip(&self.duties);
        let broken = duties.filter_map(|((verdict, cause), at)| {
            let first = verdict.gaps.first()?;
            Some(BrokenDuty {
                duty: *at,
                load: verdict.part.clone(),
                from: first.from,
                ends: (cause.as_ref()).map_or(GapEnd::At(first.to), |cause| cause.ends),
                on: first.on,
                gaps: verdict.gaps.len(),
                cause,
            })
        });
        broken.collect()
    }

    /// The single losses to be tried: each part and wire that some duty should stand to lose.
    pub fn losses(&self) -> Vec<Loss> {
        let parts = self.plan.parts.iter();
        let parts = parts.map(|part| Loss::Part(part.id.clone()));
        let wires = self.plan.wires.iter();
        let wires = wires.map(|wire| Loss::Wire(wire.id.clone()));
        let mut duties = self
            .plan
            .duties
            .iter()
            .map(|duty| &duty.part)
            .collect::<Vec<_>>();
        duties.dedup();
        let counts = |loss: &Loss| duties.iter().any(|load| !self.hangs_on(load, loss));
        parts.chain(wires).filter(counts).collect()
    }

    /// Whether a load can't do without the thing that is lost: itself, the wire to it, the part which that comes from.
    fn hangs_on(&self, load: &PartId, loss: &Loss) -> bool {
        let wire = self.plan.wire_at(&End::new(load, "in"));
        match loss {
            Loss::Part(part) => part == load || wire.is_some_and(|wire| wire.from.part == *part),
            Loss::Wire(id) => wire.is_some_and(|wire| wire.id == *id),
            Loss::Switch(_) | Loss::Empty(_) => false,
        }
    }

    /// Those of a share of its losses, and of how many, that break a duty which should stand them.
    pub fn breaking(&self, share: (usize, usize)) -> Vec<BreakingLoss> {
        let Some(check) = &self.check else {
            return Vec::new();
        };
        let losses = self.losses();
        let reports = share_of_losses(&self.plan, check, &losses, share);
        let told = reports.map(|(_, report)| self.told(report));
        told.filter(|loss| !loss.breaks.is_empty()).collect()
    }

    fn told(&self, report: LossReport) -> BreakingLoss {
        let harms = report.harms.iter();
        let broken = harms.filter_map(|harm: &Harm| {
            let load = &self.plan.duties.get(harm.duty)?.part;
            let from = harm.first.filter(|_| !self.hangs_on(load, &report.loss))?;
            let ends = harm
                .lasts
                .map(|lasts| GapEnd::At(from.saturating_add(lasts)));
            Some(LostDuty {
                duty: *self.duties.get(harm.duty)?,
                load: load.clone(),
                from,
                ends: ends.unwrap_or(GapEnd::Never),
            })
        });
        let mut breaks: Vec<LostDuty> = broken.collect();
        breaks.sort_by_key(|broken| broken.duty);
        BreakingLoss {
            loss: report.loss,
            breaks,
            cause: None,
        }
    }

    /// Why the first of the duties is broken that a loss breaks.
    pub fn cause_without(&self, found: &BreakingLoss) -> Option<Cause> {
        let first = found.first()?;
        let left = without(&self.plan, &found.loss);
        let check = check(&left);
        let duties = self.duties.iter().zip(&self.plan.duties);
        let mut left_duties = duties.filter(|(_, duty)| left.part(&duty.part).is_some());
        let at = left_duties.position(|(at, _)| *at == first.duty)?;
        first_causes(&left, &check).into_iter().nth(at)?
    }
}

impl BreakingLoss {
    /// The duty that it breaks first.
    pub fn first(&self) -> Option<&LostDuty> {
        self.breaks.iter().min_by_key(|broken| broken.from)
    }
}

/// Why the first gap of each duty is there; later ones are not looked into, of which there may be many thousands.
fn first_causes(plan: &Plan, check: &Check) -> Vec<Option<Cause>> {
    let duties = check.duties.iter().map(|verdict| Verdict {
        gaps: verdict.gaps.iter().take(1).copied().collect(),
        ..verdict.clone()
    });
    let first = Check {
        duties: duties.collect(),
        ..check.clone()
    };
    let found = causes(plan, &first, &mut |_, _| {});
    found
        .into_iter()
        .map(|gaps| gaps.into_iter().next())
        .collect()
}
