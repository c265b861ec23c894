//! What brought contacts that remember to where they are: who turned an impulse relay, a latch, a pulse or a counter, and
//! when.
//!
//! Kept while a run goes on, looked at after every event. Only the last of each is kept. Moments in milliseconds.

use super::giver::giver;
use crate::plan::{Function, Spec};
use crate::quantity::Ms;
use crate::run::Engine;
use std::collections::BTreeMap;

/// Something that a signal did: when, and the part that the signal came from.
pub type Deed<P = usize> = (Ms, P);

/// What is known of one contact.
#[derive(Clone, Copy, Debug, Default)]
pub struct Deeds {
    truth: bool,
    count: u64,
    /// What last turned its function.
    pub turned: Option<Deed>,
    /// What last made it count one further.
    pub counted: Option<Deed>,
}

/// The contacts that remember, by their places in the plan.
#[derive(Clone, Debug, Default)]
pub struct Past(BTreeMap<usize, Deeds>);

/// What a signal made of a contact's function, by the function and whether it became true: the number of the signal.
fn signal(function: &Function, truth: bool) -> Option<usize> {
    match function {
        Function::Impulse | Function::Pulse(_) => Some(0),
        Function::Latch { .. } | Function::Counter(_) => Some(usize::from(!truth)),
        _ => None,
    }
}

impl Past {
    /// Begins with a run that has just begun.
    pub fn new(engine: &Engine) -> Past {
        let remembers = |spec: &Option<Spec>| matches!(spec, Some(Spec::Contact { function, .. }) if signal(function, true).is_some());
        let nodes = engine.net().nodes.iter().enumerate();
        let contacts = nodes.filter(|(_, node)| remembers(&node.spec));
        let mut past = Past(contacts.map(|(part, _)| (part, Deeds::default())).collect());
        past.look(engine, 0);
        past
    }

    /// Whether no contact remembers anything.
    pub fn is_empty(&self) -> bool {
        self.0.is_empty()
    }

    /// What is known of a contact.
    pub fn of(&self, part: usize) -> Deeds {
        self.0.get(&part).copied().unwrap_or_default()
    }

    /// Looks at the run after an event at `t`.
    pub fn look(&mut self, engine: &Engine, t: Ms) {
        for (part, deeds) in &mut self.0 {
            let node = &engine.net().nodes[*part];
            let (Some(look), Some(Spec::Contact { function, .. })) =
                (engine.contact(*part, t), &node.spec)
            else {
                continue;
            };
            let deed = |signal: Option<usize>| {
                let wire = node.signals.get(signal?).copied().flatten()?;
                Some((t, giver(engine, wire).last))
            };
            if look.truth != deeds.truth {
                deeds.turned = deed(signal(function, look.truth));
                deeds.truth = look.truth;
            }
            if look.count > deeds.count {
                deeds.counted = deed(Some(0));
            }
            deeds.count = look.count;
        }
    }
}
