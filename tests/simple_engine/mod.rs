//! A second, deliberately simple engine, written from the power rules alone: the oracle that the real one is held against.
//!
//! It reads a plan and a book as bare JSON, shares no code with the program, and goes on one millisecond at a time, each
//! solved in full by plain recursion; only for short worlds, then. Powers in steps, energies in step·ms, battery levels in
//! 1/1000 step·ms, times in milliseconds since midnight of day 1. It finds no problems and panics on a plan that is not
//! valid. Where the rules can be read in more than one way, a comment that starts with AMBIGUOUS says which reading was
//! taken. `duties` judges duties on what it found.
//!
//! `generate` makes the random plans that both engines are run on.

pub mod by_hand;
pub mod contacts;
pub mod decimal;
pub mod duties;
pub mod generate;
pub mod instant;
pub mod loops;
pub mod model;
pub mod outcome;
pub mod sky;
pub mod timeline;

use instant::Net;
use model::Model;
use outcome::Outcome;
use serde_json::Value;
use timeline::{Timeline, World};

/// A plan, ready to run.
pub struct Simple {
    net: Net,
    world: World,
}

impl Simple {
    /// Reads a valid plan. `book` is used where the plan names its book instead of holding one.
    pub fn new(plan: &Value, book: &Value) -> Self {
        let model = Model::new(plan, book);
        let world = World::new(&plan["world"], model.day_ms);
        let closed = loops::closed(&model);
        let feeds_itself = loops::feeds_itself(&model);
        Self {
            net: Net {
                model,
                closed,
                feeds_itself,
            },
            world,
        }
    }

    /// Runs from 0 to `until_ms`, which is left out, and looks closer at the milliseconds in `at`.
    pub fn run(&self, until_ms: i64, at: &[i64]) -> Outcome {
        Timeline::start(&self.net, &self.world).run(until_ms, at)
    }

    /// The plan's parts and wires with their numbers.
    pub fn model(&self) -> &Model {
        &self.net.model
    }
}
