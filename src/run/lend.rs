//! What if a battery had held more: energy lent to it beneath its marks, so that one can see how much of it would be used.
//!
//! In 1/1000 step·ms. It changes one battery's marks and level alike, so until the loan is touched the run goes as it would.

use super::engine::Engine;
use crate::quantity::{Energy, Ms};

impl Engine {
    /// Lends the battery at this place so much energy beneath its cut-out: level and marks rise, the cut-out stays. The
    /// engine must have come to `t` or before, and no event of its past is changed.
    pub fn lend(&mut self, part: usize, loan: Energy) {
        let Some(battery) = self.batteries.get_mut(&part) else {
            return;
        };
        battery.capacity = battery.capacity.saturating_add(loan);
        battery.level = battery.level.saturating_add(loan);
        battery.cut_in = battery.cut_in.saturating_add(loan);
        for (_, low, high) in &mut battery.watchers {
            *low = low.saturating_add(loan);
            *high = high.saturating_add(loan);
        }
        // What was foreseen for the old marks is stale.
        battery.line = battery.line.wrapping_add(1);
        self.foresee_battery(part);
    }

    /// What a battery holds at `t`, to which the run has come; a loan counts.
    pub fn level(&self, part: usize, t: Ms) -> Option<Energy> {
        Some(self.batteries.get(&part)?.at(t))
    }
}
