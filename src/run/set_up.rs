//! How a plan stands at t = 0, before the first solve: what sources give, how full batteries are, what contacts do, and
//! what time alone will bring. Every signal was dead before. Times in milliseconds.

use super::battery::Battery;
use super::contact::Contact;
use super::engine::{Engine, Foreseen};
use super::function::Clockwork;
use super::supply::{Days, Supply};
use crate::gather::Gather;
use crate::plan::{Function, Plan, Spec};
use crate::quantity::{Energy, Ms};
use std::collections::BTreeMap;
use std::sync::Arc;

impl Engine {
    /// Sets at most `most` parts up, from the place `from` in the plan on; answers with the place of the next. Finding
    /// the steps of a panel's day or the changes of a twilight sensor takes as long as all else of hundreds of parts.
    pub(super) fn set_up(&mut self, plan: &Plan, from: usize, most: usize) -> usize {
        let (sky, days) = (plan.world.sky(), Days::new(plan));
        let net = Arc::clone(&self.net);
        let to = from.saturating_add(most).min(net.nodes.len());
        for (part, node) in net.nodes.iter().enumerate().take(to).skip(from) {
            match &node.spec {
                Some(source @ Spec::Source { .. }) => {
                    if let Some(supply) = days.supply(source) {
                        self.set_up_source(part, supply);
                    }
                }
                Some(Spec::Contact {
                    coil,
                    breaks,
                    function,
                }) => {
                    let clockwork = Clockwork::of(function, &plan.world, &sky);
                    let clockwork = match thrown(plan, part) {
                        throws if throws.is_empty() => clockwork,
                        throws => clockwork.map(|clockwork| clockwork.by_hand(throws)),
                    };
                    let contact = Contact::new(function.clone(), clockwork, *coil, *breaks);
                    self.set_up_contact(part, contact);
                }
                Some(spec) => {
                    if let Some(battery) = Battery::of(spec) {
                        self.controls.output[part] = battery.level > battery.cut_out;
                        self.controls.full[part] = battery.level == battery.capacity;
                        self.batteries.insert(part, battery);
                    }
                }
                None => {}
            }
        }
        to
    }

    fn set_up_source(&mut self, part: usize, supply: Supply) {
        self.controls.available[part] = supply.at(0);
        self.foresee(supply.next(0), Foreseen::Supply, part);
        Arc::make_mut(&mut self.supplies).insert(part, supply);
    }

    fn set_up_contact(&mut self, part: usize, contact: Contact) {
        if let Some(clockwork) = &contact.clockwork {
            self.foresee(clockwork.next(0), Foreseen::Clockwork, part);
        }
        self.controls.conducts[part] = contact.wants();
        self.contacts.insert(part, contact);
    }

    /// Tells each battery which contacts watch its level.
    pub(super) fn set_up_watchers(&mut self, plan: &Plan) {
        let watches = |contact: &Contact| matches!(*contact.function, Function::Charge { .. });
        if !self.contacts.values().any(watches) {
            return;
        }
        let places = plan.parts.iter().enumerate();
        let places: BTreeMap<&str, usize> = places.map(|(at, p)| (p.id.as_str(), at)).gather();
        for (part, contact) in &self.contacts {
            let Function::Charge { watches, low, high } = &*contact.function else {
                continue;
            };
            let battery = places.get(watches.as_str());
            if let Some(battery) = battery.and_then(|at| self.batteries.get_mut(at)) {
                let share = |per_mille: u64| battery.capacity / 1000 * Energy::from(per_mille);
                battery.watchers.push((*part, share(*low), share(*high)));
            }
        }
    }
}

/// When the part at a place in the plan is thrown by hand, and what it is then.
fn thrown(plan: &Plan, part: usize) -> Vec<(Ms, bool)> {
    let Some(part) = plan.parts.get(part) else {
        return Vec::new();
    };
    let throws = plan.by_hand.iter().filter(|throw| throw.part == part.id);
    throws.map(|throw| (throw.at, throw.closed)).collect()
}
