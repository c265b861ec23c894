//! Random plans as a proptest strategy: where a test fails, parts, wires, duties and settings drop out for as long as it
//! still fails, and the least plan left is told.
//!
//! What is drawn is a seed; a function makes a plan of it, so that plans come out as varied as the function makes them.
//! Shrinking goes by the finished document and knows nothing of how it was made: each cut leaves a valid plan.

use super::cut::Cuts;
use proptest::prelude::Rng;
use proptest::strategy::{NewTree, Strategy, ValueTree};
use proptest::test_runner::{Config, TestError, TestRunner};
use serde_json::Value;
use std::cell::RefCell;
use std::fmt;
use std::rc::Rc;

/// A random plan.
#[derive(Clone)]
pub struct Case {
    /// What it was made of; stays as it is while the plan shrinks.
    pub seed: u64,
    /// The plan's file.
    pub document: Value,
}

impl fmt::Debug for Case {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "plan {}: {}", self.seed, self.document)
    }
}

/// The strategy: every plan that a function makes of a seed.
#[derive(Clone)]
pub struct Plans(Rc<dyn Fn(u64) -> Value>);

impl fmt::Debug for Plans {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("Plans")
    }
}

impl Plans {
    /// The plans that this function makes, the same of the same seed.
    pub fn of(make: impl Fn(u64) -> Value + 'static) -> Plans {
        Plans(Rc::new(make))
    }

    /// Runs a test on so many plans, those of the seeds from 0 on. The test fails by a panic; then the least plan that
    /// still makes it fail is told.
    pub fn each(self, cases: u64, test: impl FnMut(&Case)) {
        let config = Config {
            failure_persistence: None,
            max_shrink_iters: 4096,
            max_shrink_time: 120_000,
            ..Config::default()
        };
        let mut runner = TestRunner::new(config);
        let test = RefCell::new(test);
        for seed in 0..cases {
            let run = runner.run_one(self.tree(seed), |case| {
                test.borrow_mut()(&case);
                Ok(())
            });
            match run {
                Ok(_) => {}
                Err(TestError::Fail(why, case)) => {
                    panic!("{why}\nThe least plan that fails so: {case:?}")
                }
                Err(TestError::Abort(why)) => panic!("{why}"),
            }
        }
    }

    fn tree(&self, seed: u64) -> PlanTree {
        PlanTree {
            seed,
            cuts: Cuts::default(),
            kept: (self.0)(seed),
            tried: None,
        }
    }
}

impl Strategy for Plans {
    type Tree = PlanTree;
    type Value = Case;

    fn new_tree(&self, runner: &mut TestRunner) -> NewTree<Self> {
        Ok(self.tree(runner.rng().next_u64()))
    }
}

/// A plan with what may still be cut from it.
#[derive(Clone, Debug)]
pub struct PlanTree {
    seed: u64,
    cuts: Cuts,
    /// The least plan so far that failed.
    kept: Value,
    /// The same with one more cut.
    tried: Option<Value>,
}

impl ValueTree for PlanTree {
    type Value = Case;

    fn current(&self) -> Case {
        let document = self.tried.as_ref().unwrap_or(&self.kept).clone();
        Case {
            seed: self.seed,
            document,
        }
    }

    fn simplify(&mut self) -> bool {
        if let Some(smaller) = self.tried.take() {
            self.kept = smaller;
            self.cuts.took();
        }
        self.tried = self.cuts.next(&self.kept);
        self.tried.is_some()
    }

    fn complicate(&mut self) -> bool {
        self.cuts.left();
        self.tried = self.cuts.next(&self.kept);
        self.tried.is_some()
    }
}
