//! A plan with what several questions about it need: its check, the record of its run, and why duties are broken, each
//! worked out at most once.
//!
//! Whoever asks for the record first has the check with it, for both are seen in one run.

use super::cause::{Cause, causes};
use super::check::{Check, LoadRuns, check_and_record, check_keeping_loads, check_watched};
use crate::plan::Plan;
use crate::run::Journey;
use std::sync::{Arc, OnceLock};

/// A plan and what is known of it.
#[derive(Clone, Debug)]
pub struct Study {
    plan: Arc<Plan>,
    check: OnceLock<Arc<Check>>,
    journey: OnceLock<Arc<Journey>>,
    causes: OnceLock<Arc<Vec<Vec<Cause>>>>,
    /// When loads ran, where that was seen with the check: less than a record, and sooner had.
    loads: Option<Arc<LoadRuns>>,
}

impl Study {
    /// A plan of which nothing is known yet.
    pub fn new(plan: Plan) -> Study {
        Study {
            plan: Arc::new(plan),
            check: OnceLock::new(),
            journey: OnceLock::new(),
            causes: OnceLock::new(),
            loads: None,
        }
    }

    /// The plan, run and judged, with when its loads ran; `None` where one of the duties `must`, by their places, is broken.
    pub(super) fn keeping(plan: Plan, must: &[usize]) -> Option<Study> {
        let (check, loads) = check_keeping_loads(&plan, must)?;
        Some(Study {
            check: OnceLock::from(Arc::new(check)),
            loads: Some(Arc::new(loads)),
            ..Study::new(plan)
        })
    }

    /// When loads ran, where that is known without the record.
    pub(super) fn loads(&self) -> Option<&LoadRuns> {
        self.loads.as_deref()
    }

    /// The plan.
    pub fn plan(&self) -> &Arc<Plan> {
        &self.plan
    }

    /// Its check.
    pub fn check(&self) -> &Arc<Check> {
        self.check_watched(&mut |_| {})
    }

    /// Its check; `watch` is told every day that is run for it.
    pub fn check_watched(&self, watch: &mut dyn FnMut(u64)) -> &Arc<Check> {
        let made = || Arc::new(check_watched(&self.plan, watch));
        self.check.get_or_init(made)
    }

    /// The record of its run until a midnight repeats.
    pub fn journey(&self) -> &Arc<Journey> {
        self.journey.get_or_init(|| {
            let (check, journey) = check_and_record(&self.plan);
            self.check.get_or_init(|| Arc::new(check));
            Arc::new(journey)
        })
    }

    /// Why each duty is broken, gap by gap.
    pub fn causes(&self) -> &Arc<Vec<Vec<Cause>>> {
        self.causes
            .get_or_init(|| Arc::new(causes(&self.plan, self.check(), &mut |_, _| {})))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::plan::{examples, read_plan};
    use crate::proof::{causes, check};
    use crate::run::{Course, Extent};

    #[test]
    fn in_whatever_order_one_asks_all_is_as_when_asked_alone() {
        for (name, text) in examples() {
            let plan = read_plan(text).expect("an example reads");
            let check = check(&plan);
            let mut course = Course::new(&plan, Extent::UntilRepeat);
            while !course.go(u64::MAX) {}
            let journey = course.finish(&plan);
            let causes = causes(&plan, &check, &mut |_, _| {});
            let asked = |order: &[u8]| {
                let study = Study::new(plan.clone());
                for question in order {
                    match question {
                        0 => assert_eq!(**study.check(), check, "{name}"),
                        1 => assert_eq!(**study.journey(), journey, "{name}"),
                        _ => assert_eq!(**study.causes(), causes, "{name}"),
                    }
                }
            };
            asked(&[0, 1, 2]);
            asked(&[1, 0, 2]);
            asked(&[2, 1, 0]);
        }
    }

    #[test]
    fn a_run_left_at_a_broken_duty_is_no_study_and_any_other_is_whole() {
        let plan = read_plan(examples()[0].1).expect("an example reads");
        let all: Vec<usize> = (0..plan.duties.len()).collect();
        let check = check(&plan);
        let kept: Vec<usize> = all
            .iter()
            .copied()
            .filter(|at| check.duties[*at].kept)
            .collect();
        let study = Study::keeping(plan.clone(), &kept).expect("those are kept");
        assert_eq!(**study.check(), check);
        let (loads, record) = (
            study.loads().expect("seen with the check"),
            &study.journey().record,
        );
        let runs = |part: &usize| record.loads[part].runs.clone();
        let recorded = record.loads.keys().map(|part| (*part, runs(part)));
        assert_eq!(loads.runs, recorded.collect());
        assert_eq!((loads.end, loads.complete), (record.end, record.complete));
        let mut dark = plan;
        dark.wires.clear();
        assert!(!kept.is_empty() && Study::keeping(dark, &kept).is_none());
    }
}
