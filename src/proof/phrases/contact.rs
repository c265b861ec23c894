//! The words for what a contact does: by the time alone, by a battery's level, or by its signals and who gave them.

use super::{Teller, Told};
use crate::plan::{Clock, Function, PartId, Spec};
use crate::proof::clause::{Range, State, Until};
use crate::proof::past::Deed;
use crate::quantity::{Ms, Short};

impl Teller<'_> {
    /// What a contact's signal is called.
    pub(super) fn port(self, part: &PartId, signal: usize) -> &'static str {
        let Some(Spec::Contact { function, .. }) = self.spec(part) else {
            return "signal";
        };
        match (function, signal) {
            (Function::Relay, _) => "coil",
            (Function::OnDelay(_) | Function::OffDelay(_), _) => "trigger",
            (Function::Pulse(_) | Function::Impulse, _) => "trigger",
            (Function::Latch { .. }, 0) => "set",
            (Function::Counter(_), 0) => "count",
            (Function::Latch { .. } | Function::Counter(_), _) => "reset",
            (_, 0) => "first signal",
            _ => "second signal",
        }
    }

    /// Why a contact does what it does.
    pub(super) fn contact(self, state: &State<PartId>, clause: &Told) -> String {
        let n = self.name(&state.part);
        let is = if state.conducts { "closed" } else { "open" };
        if state.is_due {
            return format!("{n} is {is} until it follows its signal");
        }
        let Some(Spec::Contact { function, .. }) = self.spec(&state.part) else {
            return format!("{n} is {is}");
        };
        match self.by_time(&function, state, is, clause.until) {
            Some(said) => said,
            None => match self.by_signal(&function, state, clause) {
                Some(because) => {
                    // What a relay's coil does speaks for itself; who is told that a contact was switched on and is open
                    // wonders.
                    let plain = matches!(
                        function,
                        Function::Relay | Function::And | Function::Or | Function::Xor
                    );
                    let breaks = match state.breaks && !plain {
                        true => ", a break contact,",
                        false => "",
                    };
                    format!("{n}{breaks} is {is} as {because}")
                }
                None => format!("{n} is {is}"),
            },
        }
    }

    /// A contact without signals.
    fn by_time(
        self,
        function: &Function,
        state: &State<PartId>,
        is: &str,
        until: Until,
    ) -> Option<String> {
        let (n, q, until) = (self.name(&state.part), state.truth, until.moment());
        let hours = |t: Ms| Clock::at(t, self.dial.day_ms);
        let so = match function {
            Function::Manual { .. } if state.breaks => {
                let (set, until) = (if q { "closed" } else { "open" }, self.until(until));
                return Some(format!(
                    "{n} is {is}{until}, being a break contact that is set {set}"
                ));
            }
            Function::Manual { .. } => {
                return Some(format!("{n} is set {is}{}", self.until(until)));
            }
            Function::Charge { watches, low, high } => {
                return Some(self.by_charge(&n, is, q, watches, (*low, *high)));
            }
            Function::Button { .. } if q => "as it was pressed".into(),
            Function::Button { .. } => "as nobody presses it".into(),
            Function::Twilight(below) => {
                let than = if q { "below" } else { "above" };
                format!("while the light is {than} {}", Short(*below))
            }
            Function::Clock(from, to) => {
                let place = if q { "within" } else { "outside" };
                format!("{place} its hours, {} to {}", hours(*from), hours(*to))
            }
            Function::Home if q => "while somebody is home".into(),
            Function::Home => "while nobody is home".into(),
            Function::Detector(_) if q => "while it sees somebody".into(),
            Function::Detector(_) => "while it sees nobody".into(),
            _ => return None,
        };
        let comma = if until.is_some() { "," } else { "" };
        Some(format!("{n} is {is} {so}{comma}{}", self.until(until)))
    }

    fn by_charge(
        self,
        n: &str,
        is: &str,
        q: bool,
        watches: &str,
        (low, high): (u64, u64),
    ) -> String {
        let percent = |per_mille: u64| Short(per_mille as f64 / 10.0);
        let watched = PartId::from(watches);
        let is_battery = matches!(self.spec(&watched), Some(Spec::Battery { .. }));
        match is_battery.then(|| self.name(&watched)) {
            None => format!("{n} is {is} as it watches no battery"),
            Some(b) if q => format!("{n} is {is} until {b} is back at {} %", percent(high)),
            Some(b) => format!("{n} is {is} until {b} is down to {} %", percent(low)),
        }
    }

    /// A contact with signals: what of them makes it so.
    fn by_signal(
        self,
        function: &Function,
        state: &State<PartId>,
        clause: &Told,
    ) -> Option<String> {
        let (q, [a, b]) = (state.truth, state.live);
        let word = |live: bool| if live { "live" } else { "dead" };
        let ends = || self.until(clause.until.moment());
        Some(match function {
            Function::Relay => format!("its coil is {}", word(a)),
            Function::And if !a && !b => "both its signals are dead".into(),
            Function::And if !a => "its first signal is dead".into(),
            Function::And if !b => "its second signal is dead".into(),
            Function::And => "both its signals are live".into(),
            Function::Or if a && b => "both its signals are live".into(),
            Function::Or if a => "its first signal is live".into(),
            Function::Or if b => "its second signal is live".into(),
            Function::Or => "both its signals are dead".into(),
            Function::Xor if a == b => format!("both its signals are {}", word(a)),
            Function::Xor => "one of its signals alone is live".into(),
            Function::OnDelay(_) if !q && a => format!("it waits{}", ends()),
            Function::OffDelay(_) if q && !a => format!("it stays on{}", ends()),
            Function::Pulse(_) if q => format!("its pulse lasts{}", ends()),
            Function::Pulse(0) if a => "a pulse of 0 s never starts".into(),
            Function::Pulse(_) if a => match &state.turned {
                Some((t, _)) => {
                    let ended = self.dial.at(*t);
                    format!("its pulse ended {ended} and its trigger is still live")
                }
                None => "its pulse is over".into(),
            },
            Function::OnDelay(_) | Function::OffDelay(_) | Function::Pulse(_) => {
                format!("its trigger is {}", word(a))
            }
            Function::Latch { .. } if !q && b => "its reset is live".into(),
            Function::Latch { .. } if q && a => "its set is live".into(),
            Function::Latch { .. } => match &state.turned {
                Some(deed) if q => {
                    format!("{} and nothing has reset it since", self.did(deed, "set"))
                }
                Some(deed) => format!("{} and nothing has set it since", self.did(deed, "reset")),
                None => "nothing has set it yet".into(),
            },
            Function::Impulse => match &state.turned {
                Some(deed) if q => format!("its last impulse, {}, switched it on", self.from(deed)),
                Some(deed) => {
                    format!(
                        "its last impulse, {}, switched it off again",
                        self.from(deed)
                    )
                }
                None => "no impulse has switched it on yet".into(),
            },
            Function::Counter(_) if b => "its reset is live".into(),
            Function::Counter(target) if q => match &state.turned {
                Some(deed) => format!("it has counted to {target}, the last {}", self.from(deed)),
                None => format!("it has counted to {target}"),
            },
            Function::Counter(target) => self.counted(*target, clause),
            _ => return None,
        })
    }

    /// `Push at 08:00`, as where something comes from: `from Push at 08:00`.
    fn from(self, (t, part): &Deed<PartId>) -> String {
        format!("from {} {}", self.name(part), self.dial.at(*t))
    }

    /// `Push reset it at 08:00`.
    fn did(self, (t, part): &Deed<PartId>, what: &str) -> String {
        format!("{} {what} it {}", self.name(part), self.dial.at(*t))
    }

    /// How far a counter is: `it has counted 1 to 2 of 3, the last from Push at 09:00`.
    fn counted(self, target: u64, clause: &Told) -> String {
        let Range { least, most } = clause.amount;
        let far = match least == most {
            true => format!("{most}"),
            false => format!("{least} to {most}"),
        };
        let last = clause.counted.as_ref().filter(|_| most > 0);
        let last = last.map(|deed| format!(", the last {}", self.from(deed)));
        format!(
            "it has counted {far} of {target}{}",
            last.unwrap_or_default()
        )
    }
}
