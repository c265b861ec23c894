//! Instants at which a battery's output can't go off without breaking a duty, whatever comes after: the third claim of
//! [`super::monotone`]. Times in milliseconds.

use crate::quantity::Ms;
use crate::run::{Clockwork, MOST_DAYS};

/// When a battery's output that goes off breaks a duty.
#[derive(Clone, Debug)]
pub(super) struct Cover {
    /// How long it stays off at the least.
    pub stays: Ms,
    /// Duties of loads that it alone feeds: when they apply, and their grace.
    pub duties: Vec<(Clockwork, Ms)>,
}

impl Cover {
    /// Whether every instant is covered.
    pub fn always(&self) -> bool {
        self.duties.iter().any(|(applies, grace)| {
            applies.truth(0) && applies.next(0).is_none() && self.stays > *grace
        })
    }

    /// Whether every instant from `from` to `to`, both included, is covered.
    pub fn covers(&self, from: Ms, to: Ms, day: Ms) -> bool {
        // What would be seen only after the last day that is run is not certain to be seen.
        if to.saturating_add(self.stays) >= MOST_DAYS * day {
            return false;
        }
        if self.always() {
            return true;
        }
        let mut spans: Vec<(Ms, Ms)> = Vec::new();
        for (applies, grace) in &self.duties {
            let end = to.saturating_add(self.stays);
            let mut t = 0;
            let mut since = None;
            // A stretch that began before the window counts from its beginning.
            loop {
                let truth = t <= end && applies.truth(t);
                match (truth, since) {
                    (true, None) => since = Some(t),
                    (false, Some(start)) => {
                        since = None;
                        spans.extend(self.span(start, t, *grace));
                    }
                    _ => {}
                }
                if t > end {
                    break;
                }
                t = applies.next(t).unwrap_or(end + 1).min(end + 1);
            }
        }
        spans.sort_unstable();
        let mut reached = from;
        for (first, last) in spans {
            if first <= reached && reached <= last {
                reached = last + 1;
            }
        }
        reached > to
    }

    /// The instants at which going off leaves a duty that applies over `[start, end)` undone for longer than its grace:
    /// first and last.
    fn span(&self, start: Ms, end: Ms, grace: Ms) -> Option<(Ms, Ms)> {
        if self.stays <= grace || end - start <= grace {
            return None;
        }
        let first = (start + grace + 1).saturating_sub(self.stays);
        Some((first, end - grace - 1))
    }
}
