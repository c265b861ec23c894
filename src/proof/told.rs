//! The words for a reason: each step up the wires as a clause that is true for as long as the reason held.
//!
//! Where an amount varied its least and most are told; where a moment would not hold it is left out. Powers in the
//! book's unit, moments on the plan's dial.

use super::clause::{Clause, Comes, Kind, Range, State, Until};
use super::past::Deed;
use super::words::Dial;
use crate::book::Profile;
use crate::net::words::{name, power};
use crate::plan::{Clock, Function, Plan, Spec};
use crate::quantity::{Ms, Short};
use crate::run::{Record, What};

/// Puts the reasons of one gap into words.
#[derive(Clone, Copy)]
pub struct Teller<'a> {
    /// The plan.
    pub plan: &'a Plan,
    /// Its run, from end to end.
    pub record: &'a Record,
    /// How moments are said.
    pub dial: Dial,
    /// The moment on whose day moments are said without naming the day.
    pub anchor: Ms,
    /// The end of the gap: up to there what was seen is known to hold.
    pub to: Ms,
    /// Whether the run repeats, so that what does not happen in it never does.
    pub for_ever: bool,
}

impl Teller<'_> {
    /// A whole reason, nearest the load first; each clause because of those that follow.
    pub fn reason(self, clauses: &[Clause]) -> String {
        let mut said = String::new();
        for (at, clause) in clauses.iter().enumerate() {
            said += match (at, clause.also) {
                (0, _) => "",
                (_, false) => ", because ",
                (_, true) => ", and because ",
            };
            said += &self.clause(clause);
        }
        said
    }

    fn name(self, part: usize) -> String {
        name(self.plan, part)
    }

    fn spec(self, part: usize) -> Option<Spec> {
        self.plan.spec(&self.plan.parts[part])
    }

    /// `5 u`, `3 to 5 u`, `nothing`.
    fn power(self, range: Range) -> String {
        match range {
            Range { most: 0, .. } => "nothing".into(),
            Range { least, most } if least == most => power(self.plan, most),
            Range { least, most } => {
                let unit = &self.plan.book.book.unit;
                let least = Short(least as f64 * unit.step);
                format!("{least} to {}", power(self.plan, most))
            }
        }
    }

    fn until(self, t: Option<Ms>) -> String {
        let until = |t| format!(" until {}", self.dial.until(self.anchor, t));
        t.map(until).unwrap_or_default()
    }

    /// What comes through a wire, and of whom: `the 9 u that Roof panel gives`.
    fn comes(self, clause: &Clause, comes: Comes) -> String {
        let amount = self.power(clause.comes);
        match comes {
            Comes::From(part) => format!("the {amount} that {} gives", self.name(part)),
            Comes::Any => format!("the {amount} that come"),
        }
    }

    /// What comes of what is needed: `2 u of the 3 u it draws`.
    fn wants(self, clause: &Clause) -> String {
        let (offer, need) = (self.power(clause.offer), self.power(clause.need));
        match clause.offer.most {
            0 => offer,
            _ => format!("{offer} of the {need} {}", clause.draws),
        }
    }

    /// By how much it is short: `1 u short of the 3 u it draws`.
    fn short(self, clause: &Clause) -> String {
        let (lacks, need) = (self.power(clause.lacks), self.power(clause.need));
        format!("{lacks} short of the {need} {}", clause.draws)
    }

    fn clause(self, clause: &Clause) -> String {
        match clause.kind {
            Kind::NoWire(_) => "no wire leads to it".into(),
            Kind::NoWireTo(part) => format!("no wire leads to {}", self.name(part)),
            Kind::NoSignal(part, signal) => {
                let (n, port) = (self.name(part), self.port(part, signal));
                format!("no wire leads to the {port} of {n}")
            }
            Kind::FedByLoop(part) => format!("{} is fed by a closed loop", self.name(part)),
            Kind::OnLoop(_) => "its wire is on a closed loop".into(),
            Kind::Held(part) => {
                let n = self.name(part);
                format!("{n} chatters and is held open until midnight")
            }
            Kind::Contact(state) => self.contact(state, clause),
            Kind::Off(part) => self.empty(part, clause),
            Kind::Source(part) => self.source(part, clause),
            Kind::Most(part) => {
                let (n, most) = (self.name(part), self.power(clause.amount));
                format!("{n} gives {most} at the most, {}", self.short(clause))
            }
            Kind::Ahead(part, comes) => {
                let own = self.power(clause.amount);
                let (n, comes, wants) = (
                    self.name(part),
                    self.comes(clause, comes),
                    self.wants(clause),
                );
                format!("{n} ahead of it takes {own} of {comes}, which leaves {wants}")
            }
            Kind::Behind(part) => {
                let n = self.name(part);
                format!("{n} ahead of it can't run and passes nothing on")
            }
            Kind::Aside(part) => {
                format!("{} sets aside only {}", self.name(part), self.wants(clause))
            }
            Kind::Rest(part, comes) => {
                let aside = self.power(clause.amount);
                let (n, comes, wants) = (
                    self.name(part),
                    self.comes(clause, comes),
                    self.wants(clause),
                );
                format!("{n} sets {aside} of {comes} aside ahead of it, which leaves {wants}")
            }
            Kind::Share(part, ways, comes) => {
                let (n, comes, wants) = (
                    self.name(part),
                    self.comes(clause, comes),
                    self.wants(clause),
                );
                format!("{n} gives each of its {ways} ways an equal share of {comes}, here {wants}")
            }
            Kind::Sum(part) => {
                let (n, all) = (self.name(part), self.power(clause.offer));
                let short = self.short(clause);
                format!("{n} has only {all} of all that comes in, {short}")
            }
            Kind::Backup(part) => {
                let (n, main) = (self.name(part), self.power(clause.amount));
                let least = match self.spec(part) {
                    Some(Spec::Changeover(least)) => power(self.plan, least),
                    _ => String::new(),
                };
                format!(
                    "{n} is on its backup, which gives nothing, since its main has {main} and not {least}"
                )
            }
            Kind::Dry(part) => format!("nothing comes to {}", self.name(part)),
            Kind::Alone(part) => format!("no contact stands between it and {}", self.name(part)),
            Kind::Gives(part) => {
                format!("{} gives {}", self.name(part), self.power(clause.amount))
            }
        }
    }

    /// What a contact's signal is called.
    fn port(self, part: usize, signal: usize) -> &'static str {
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

    fn empty(self, part: usize, clause: &Clause) -> String {
        let until = match clause.until.is_never() {
            true if self.for_ever => " and stays so".into(),
            true => {
                let days = self.record.end / self.dial.day_ms.max(1);
                format!(" and not back within {days} days")
            }
            false => self.until(clause.until.moment()),
        };
        let n = self.name(part);
        if clause.offer.most == 0 {
            return format!("{n} is empty{until}");
        }
        let (offer, need) = (self.power(clause.offer), self.power(clause.need));
        if clause.amount.most < clause.lacks.least {
            let adds = self.power(clause.amount);
            return format!(
                "only {offer} of {need} come, and {n}, which would add no more than {adds}, is empty{until}"
            );
        }
        format!("only {offer} of {need} come, since {n} is empty{until}")
    }

    fn source(self, part: usize, clause: &Clause) -> String {
        let n = self.name(part);
        let steady = matches!(
            self.spec(part),
            Some(Spec::Source {
                profile: Profile::Steady,
                ..
            })
        );
        let (gives, never) = (clause.amount, clause.enough.is_never());
        if gives.most == 0 {
            return match never && !steady {
                true => format!("{n} never gives enough"),
                false => format!("{n} gives nothing{}", self.until(clause.until.moment())),
            };
        }
        let (amount, short) = (self.power(gives), self.short(clause));
        if never && steady {
            return format!("{n} gives {amount} at the most, {short}");
        }
        let until = match never {
            true => " and never enough".into(),
            false => {
                let enough = clause.enough.moment();
                self.until(enough.filter(|t| self.gives_within(part, gives, *t)))
            }
        };
        format!("{n} gives only {amount}{until}, {short}")
    }

    /// Whether the source stays within the range from the end of the gap up to `t`.
    fn gives_within(self, part: usize, range: Range, t: Ms) -> bool {
        let Some(source) = self.record.sources.get(&part) else {
            return false;
        };
        let from = source.could.partition_point(|(at, _)| *at <= self.to);
        let later = source.could[from.saturating_sub(1)..].iter();
        let mut later = later.take_while(|(at, _)| *at < t);
        t <= self.record.end
            && (t <= self.to || later.all(|(_, s)| (range.least..=range.most).contains(s)))
    }

    /// Why a contact does what it does.
    fn contact(self, state: State, clause: &Clause) -> String {
        let n = self.name(state.part);
        let is = if state.conducts { "closed" } else { "open" };
        if state.is_due {
            return format!("{n} is {is} until it follows its signal");
        }
        let Some(Spec::Contact { function, .. }) = self.spec(state.part) else {
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
    fn by_time(self, function: &Function, state: State, is: &str, until: Until) -> Option<String> {
        let (n, q, until) = (self.name(state.part), state.truth, until.moment());
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
        let at = self
            .plan
            .parts
            .iter()
            .position(|p| p.id.as_str() == watches);
        let battery = at.filter(|at| matches!(self.spec(*at), Some(Spec::Battery { .. })));
        match battery.map(|at| self.name(at)) {
            None => format!("{n} is {is} as it watches no battery"),
            Some(b) if q => format!("{n} is {is} until {b} is back at {} %", percent(high)),
            Some(b) => format!("{n} is {is} until {b} is down to {} %", percent(low)),
        }
    }

    /// A contact with signals: what of them makes it so.
    fn by_signal(self, function: &Function, state: State, clause: &Clause) -> Option<String> {
        let (q, [a, b]) = (state.truth, state.live);
        let word = |live: bool| if live { "live" } else { "dead" };
        let ends = || self.until(self.ends(state.part, clause.until));
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
            Function::Pulse(_) if a => match state.turned {
                Some((t, _)) => {
                    let ended = self.dial.at(t);
                    format!("its pulse ended {ended} and its trigger is still live")
                }
                None => "its pulse is over".into(),
            },
            Function::OnDelay(_) | Function::OffDelay(_) | Function::Pulse(_) => {
                format!("its trigger is {}", word(a))
            }
            Function::Latch { .. } if !q && b => "its reset is live".into(),
            Function::Latch { .. } if q && a => "its set is live".into(),
            Function::Latch { .. } => match state.turned {
                Some(deed) if q => {
                    format!("{} and nothing has reset it since", self.did(deed, "set"))
                }
                Some(deed) => format!("{} and nothing has set it since", self.did(deed, "reset")),
                None => "nothing has set it yet".into(),
            },
            Function::Impulse => match state.turned {
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
            Function::Counter(target) if q => match state.turned {
                Some(deed) => format!("it has counted to {target}, the last {}", self.from(deed)),
                None => format!("it has counted to {target}"),
            },
            Function::Counter(target) => self.counted(*target, clause),
            _ => return None,
        })
    }

    /// `Push at 08:00`, as where something comes from: `from Push at 08:00`.
    fn from(self, (t, part): Deed) -> String {
        format!("from {} {}", self.name(part), self.dial.at(t))
    }

    /// `Push reset it at 08:00`.
    fn did(self, (t, part): Deed, what: &str) -> String {
        format!("{} {what} it {}", self.name(part), self.dial.at(t))
    }

    /// How far a counter is: `it has counted 1 to 2 of 3, the last from Push at 09:00`.
    fn counted(self, target: u64, clause: &Clause) -> String {
        let Range { least, most } = clause.amount;
        let far = match least == most {
            true => format!("{most}"),
            false => format!("{least} to {most}"),
        };
        let last = clause.counted.filter(|_| most > 0);
        let last = last.map(|deed| format!(", the last {}", self.from(deed)));
        format!(
            "it has counted {far} of {target}{}",
            last.unwrap_or_default()
        )
    }

    /// When a timer ends, if the contact does change then: its trigger may drop or return before.
    fn ends(self, part: usize, until: Until) -> Option<Ms> {
        let lag = self.plan.book.book.lag_ms.max(1);
        until.moment().filter(|end| {
            let events = &self.record.events;
            let from = events.partition_point(|e| e.t < *end);
            let soon = events[from..].iter().take_while(|e| e.t <= end + lag);
            let turns = |e: &crate::run::Event| matches!(e.what, What::Closes | What::Opens);
            soon.into_iter().any(|e| e.part == part && turns(e))
        })
    }
}
