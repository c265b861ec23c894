//! Looking into a run that is under way: what the net carries, what contacts remember, and what time alone will bring.
//!
//! For whoever explains an instant. Nothing here changes the run. Times in milliseconds, powers in steps.

use super::engine::Engine;
use crate::net::{Controls, Live, Net};
use crate::quantity::Ms;

/// What a contact remembers.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct ContactLook {
    /// Whether its function is true.
    pub truth: bool,
    /// Whether it conducts while its function is false.
    pub breaks: bool,
    /// Whether it is held open for chatter.
    pub held: bool,
    /// Whether it has yet to follow its function.
    pub is_due: bool,
    /// When its timer runs out, if one runs.
    pub ends: Option<Ms>,
    /// How far it has counted.
    pub count: u64,
}

impl Engine {
    /// The graph that is run.
    pub fn net(&self) -> &Net {
        &self.net
    }

    /// What the wires offer and take now.
    pub fn live(&self) -> &Live {
        &self.live
    }

    /// What the net is told now.
    pub fn controls(&self) -> &Controls {
        &self.controls
    }

    /// What the contact at this place of the plan remembers, at `t`, to which the run has come.
    pub fn contact(&self, part: usize, t: Ms) -> Option<ContactLook> {
        let contact = self.contacts.get(&part)?;
        let left = contact.memory.left(&contact.function, t);
        Some(ContactLook {
            truth: contact.memory.truth,
            breaks: contact.breaks,
            held: contact.held,
            is_due: contact.due.is_some(),
            ends: left
                .filter(|left| *left > 0)
                .map(|left| t.saturating_add(left)),
            count: contact.memory.count,
        })
    }

    /// When a contact that time alone decides will next be other than it is at `t`; `None` where it never will.
    pub fn turns(&self, part: usize, t: Ms) -> Option<Ms> {
        let clockwork = self.contacts.get(&part)?.clockwork.as_ref()?;
        let (now, end) = (
            clockwork.truth(t),
            t.saturating_add(self.day.saturating_mul(2)),
        );
        let mut at = t;
        while let Some(next) = clockwork.next(at).filter(|next| *next <= end) {
            if clockwork.truth(next) != now {
                return Some(next);
            }
            at = next;
        }
        None
    }

    /// When the source could next give `steps` or more, after `t`; `None` where it never does.
    pub fn gives(&self, part: usize, t: Ms, steps: u64) -> Option<Ms> {
        self.supplies.get(&part)?.reaches(t, steps)
    }
}
