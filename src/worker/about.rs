//! The plan that questions are about, with what several of them need: worked out once.

use crate::plan::Plan;
use crate::proof::{self, Check};
use std::cell::OnceCell;

/// A plan and its check, once that was made.
#[derive(Debug)]
pub struct About {
    plan: Plan,
    check: OnceCell<Check>,
}

impl About {
    /// A plan of which nothing is known yet.
    pub fn new(plan: Plan) -> About {
        About {
            plan,
            check: OnceCell::new(),
        }
    }

    /// The plan.
    pub fn plan(&self) -> &Plan {
        &self.plan
    }

    /// Its check.
    pub fn check(&self) -> &Check {
        self.check_watched(&mut |_| {})
    }

    /// Its check; `watch` is told every day that is run for it.
    pub fn check_watched(&self, watch: &mut dyn FnMut(u64)) -> &Check {
        self.check
            .get_or_init(|| proof::check_watched(&self.plan, watch))
    }
}
