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

/// A plan ready to run.
#[derive(Clone, Debug)]
pub struct Prepared {
    /// At t = 0, recording nothing.
    engine: Arc<Engine>,
    structure: Arc<OnceLock<Vec<Problem>>>,
}

impl Prepared {
    /// Compiles a plan and solves it at t = 0.
    pub fn new(plan: &Plan) -> Prepared {
        Prepared {
            engine: Arc::new(Engine::new(plan)),
            structure: Arc::default(),
        }
    }

    /// The same after edits of words alone: nothing is compiled again, but problems will say the new names.
    pub fn renamed(&self) -> Prepared {
        Prepared {
            engine: self.engine.clone(),
            structure: Arc::default(),
        }
    }

    /// The compiled graph.
    pub fn net(&self) -> &Net {
        self.engine.net()
    }

    /// The problems that do not depend on the hour, worst first. `plan` is the one that was prepared; its names may have
    /// changed since only if [`Prepared::renamed`] was called.
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
