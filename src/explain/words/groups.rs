//! The words for a group of parts.

use super::ExplainWords;
use crate::explain::explanation::{GroupKind, PartGroup};
use crate::explain::passage::Passage;
use crate::plan::{PartId, Spec};
use crate::quantity::{Ms, Short};

impl ExplainWords<'_> {
    /// What the parts are together.
    pub fn group(&self, group: &PartGroup) -> Passage {
        let mut said = Passage::default();
        let words = &mut said;
        match &group.kind {
            GroupKind::Bank {
                sources,
                busbar,
                most,
            } => self.bank(words, (sources, busbar), *most),
            GroupKind::DuskRelay { .. } => self.dusk_relay(words, &group.kind),
            GroupKind::Switchover { .. } => self.switchover(words, &group.kind),
            GroupKind::Shares { divider, from, to } => {
                self.part(words, divider);
                words.say(" gives each of its ways an equal share");
                if let Some(from) = from {
                    words.say(" of what ");
                    self.part(words, from);
                    words.say(" offers");
                }
                words.say(": ");
                self.parts(words, to);
                words.say(".");
            }
            GroupKind::Line { loads, contacts } => self.line(words, loads, contacts),
            GroupKind::SealIn { .. } => self.seal_in(words, &group.kind),
            GroupKind::Command { contact, signals } => self.command(words, contact, signals),
            GroupKind::Float {
                contact,
                battery,
                low,
                high,
            } => self.float(words, (contact, battery), (*low, *high)),
        }
        said
    }

    fn bank(
        &self,
        words: &mut Passage,
        (sources, busbar): (&[PartId], &PartId),
        (steps, at): (u64, Ms),
    ) {
        self.parts(words, sources);
        words.say(" form one bank: ");
        self.part(words, busbar);
        words.say(" adds up what they give");
        match steps {
            0 => words.say(", which is nothing on this day"),
            _ => {
                words.say(format!(", {} at the most, first at ", self.power(steps)));
                self.time(words, at);
            }
        }
        words.say(".");
    }

    fn switchover(&self, words: &mut Passage, kind: &GroupKind) {
        let GroupKind::Switchover {
            changeover,
            main,
            backup,
            least,
            on_backup,
        } = kind
        else {
            return;
        };
        self.part(words, changeover);
        words.say(" takes from ");
        self.part(words, main);
        words.say(format!(
            " while that offers {} or more, and else from ",
            self.power(*least)
        ));
        self.part(words, backup);
        match on_backup.count {
            0 => words.say(", which does not happen on this day"),
            _ => {
                words.say(". It is on the latter ");
                self.when(words, on_backup);
            }
        }
        words.say(".");
    }

    fn line(&self, words: &mut Passage, loads: &[PartId], contacts: &[(usize, PartId)]) {
        self.parts(words, loads);
        words.say(" hang on one line and are served in this order.");
        for (before, contact) in contacts {
            let Some(load) = loads.get(*before) else {
                continue;
            };
            words.say(" ");
            self.part(words, contact);
            words.say(" stands ahead of ");
            self.part(words, load);
            words.say(".");
        }
    }

    fn command(&self, words: &mut Passage, contact: &PartId, signals: &[(usize, PartId)]) {
        for (at, (signal, giver)) in signals.iter().enumerate() {
            words.say(if at == 0 { "" } else { ", " });
            self.part(words, giver);
            if at == 0 {
                words.say(" works ");
                match giver == contact {
                    true => words.say("itself"),
                    false => self.part(words, contact),
                }
            }
            let port = self.signal(contact, *signal);
            words.say(format!(" through its {port}"));
        }
        words.say(".");
    }

    fn float(
        &self,
        words: &mut Passage,
        (contact, battery): (&PartId, &PartId),
        (low, high): (u64, u64),
    ) {
        let percent = |per_mille: u64| Short(per_mille as f64 / 10.0);
        let (below, above) = match self.breaks(contact) {
            true => ("opens", "closes"),
            false => ("closes", "opens"),
        };
        self.part(words, contact);
        words.say(" watches ");
        self.part(words, battery);
        words.say(format!(
            ": it {below} at {} % and {above} at {} %.",
            percent(low),
            percent(high)
        ));
    }

    fn dusk_relay(&self, words: &mut Passage, kind: &GroupKind) {
        let GroupKind::DuskRelay {
            tap,
            relay,
            sources,
            battery,
            coil,
            breaks,
            conducts,
        } = kind
        else {
            return;
        };
        self.part(words, tap);
        words.say(" and ");
        self.part(words, relay);
        words.say(" tell day from night. While ");
        self.parts(words, sources);
        words.say(format!(
            " {} {} or more, the tap feeds the relay's coil",
            super::of_several(sources.len(), "gives", "give"),
            self.power(*coil)
        ));
        if let Some(battery) = battery {
            words.say(" before anything goes to ");
            self.part(words, battery);
        }
        let (day, night) = match breaks {
            true => ("open", "closes"),
            false => ("closed", "opens"),
        };
        words.say(format!(
            ", and the relay is {day}. When less comes, it {night}. On this day it is closed "
        ));
        self.when(words, conducts);
        words.say(".");
    }

    fn seal_in(&self, words: &mut Passage, kind: &GroupKind) {
        let GroupKind::SealIn {
            contact,
            over,
            starts,
            stops,
        } = kind
        else {
            return;
        };
        self.part(words, contact);
        words.say(" holds itself: what it lets through comes back to its own signal");
        if !over.is_empty() {
            words.say(" over ");
            self.parts(words, over);
        }
        words.say(". ");
        self.parts(words, starts);
        let start = super::of_several(starts.len(), "starts", "start");
        words.say(format!(" {start} it, and it stays closed until "));
        match stops.is_empty() {
            true => words.say("its feed fails."),
            false => {
                self.either(words, stops);
                words.say(" opens or its feed fails.");
            }
        }
    }

    /// `A or B`.
    fn either(&self, words: &mut Passage, ids: &[PartId]) {
        for (at, id) in ids.iter().enumerate() {
            words.say(if at == 0 { "" } else { " or " });
            self.part(words, id);
        }
    }

    /// Whether a contact conducts while its function is false.
    pub(super) fn breaks(&self, contact: &PartId) -> bool {
        let spec = self
            .plan
            .part(contact)
            .and_then(|part| self.plan.spec(part));
        matches!(spec, Some(Spec::Contact { breaks: true, .. }))
    }

    /// What a contact's signal port is called.
    pub(super) fn signal(&self, contact: &PartId, at: usize) -> String {
        let kind = self
            .plan
            .part(contact)
            .and_then(|part| self.plan.kind_of(part));
        let ports = kind.map(|kind| kind.ports()).unwrap_or_default();
        let mut signals = ports.iter().filter(|p| p.side == crate::book::Side::Signal);
        match signals.nth(at).map(|port| port.name.as_ref()) {
            Some(name @ ("a" | "b")) => format!("signal {name}"),
            Some(name) => name.into(),
            None => "signal".into(),
        }
    }
}
