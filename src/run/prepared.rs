//! A plan made ready to run: compiled, set up and solved at t = 0, once for everything that is asked of it.
//!
//! After an edit of power a face prepares the plan once. A [`super::Course`] records its days, a [`super::Playback`] goes
//! to any instant of them, and both begin from here; the course leaves checkpoints behind for the playback, so that chart
//! and board read one run. Problems of structure depend on the plan alone and are found once too, when they are first
//! asked for. Copies share all of it.

use super::Engine;
use super::recorder::Recorder;
use crate::net::{Net, Problem, structure_problems};
use crate::plan::Plan;
use std::sync::{Arc, OnceLock};

/// A plan that is being made ready, so many parts at a time, for whoever must not be held up: the sun's way over a panel
/// takes a while to work out, and a plan may have thousands of them.
#[derive(Clone, Debug)]
pub struct Preparing {
    engine: Engine,
    /// The place in the plan of the first part that is not set up.
    next: usize,
}

impl Preparing {
    /// Compiles a plan.
    pub fn new(plan: &Plan) -> Preparing {
        Preparing {
            engine: Engine::compiled(plan),
            next: 0,
        }
    }

    /// Makes at most `most` parts more ready; answers whether all are. `plan` is the one that was compiled.
    pub fn go(&mut self, plan: &Plan, most: usize) -> bool {
        self.next = self.engine.set_up(plan, self.next, most);
        self.next == self.engine.net().nodes.len()
    }

    /// Makes the rest ready and solves t = 0.
    pub fn finish(mut self, plan: &Plan) -> Prepared {
        self.go(plan, usize::MAX);
        self.engine.begin(plan);
        Prepared {
            engine: Arc::new(self.engine),
            structure: Arc::default(),
        }
    }
}

/// A plan ready to run.
#[derive(Clone, Debug)]
pub struct Prepared {
    /// At t = 0, recording nothing.
    engine: Arc<Engine>,
    structure: Arc<OnceLock<Vec<Problem>>>,
}

impl Prepared {
    /// Compiles a plan and solves it at t = 0, however long that takes; [`Preparing`] does it in pieces.
    pub fn new(plan: &Plan) -> Prepared {
        Preparing::new(plan).finish(plan)
    }

    /// The compiled graph.
    pub fn net(&self) -> &Net {
        self.engine.net()
    }

    /// The problems that do not depend on the hour, worst first. `plan` is the one that was prepared; its parts
    /// may be called otherwise since.
    pub fn structure_problems(&self, plan: &Plan) -> &[Problem] {
        self.structure
            .get_or_init(|| structure_problems(plan, self.net()))
    }

    /// An engine at t = 0.
    pub(super) fn engine(&self) -> Engine {
        self.engine.unrecorded()
    }

    /// An engine at t = 0 that keeps what a record needs.
    pub(super) fn recording(&self) -> Engine {
        let mut engine = self.engine();
        engine.recorder = Some(Recorder::of_record(&engine));
        engine
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::plan::{examples, read_plan};
    use crate::run::{Course, Extent, Playback, run};

    #[test]
    fn a_plan_made_ready_in_pieces_runs_as_one_made_ready_at_once() {
        for (name, text) in examples() {
            let plan = read_plan(text).expect("an example reads");
            let mut preparing = Preparing::new(&plan);
            let mut calls = 1;
            while !preparing.go(&plan, 3) {
                calls += 1;
            }
            assert_eq!(calls, plan.parts.len().div_ceil(3), "{name}");
            let prepared = preparing.finish(&plan);
            let mut course = Course::of(&prepared, &plan, Extent::Days(2));
            while !course.go(u64::MAX) {}
            assert_eq!(course.finish(&plan).record, run(&plan, 2), "{name}");
            let noon = plan.world.day_ms() / 2;
            let shown = Playback::of(&prepared).at(&plan, noon);
            assert_eq!(shown, crate::run::at(&plan, noon), "{name}");
        }
    }
}
