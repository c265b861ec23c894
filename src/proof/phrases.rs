//! The words for a reason: each step up the wires as a clause that is true for as long as the reason held.
//!
//! Where an amount varied its least and most are told; where a moment would not hold it is left out. Powers in the
//! book's unit, moments on the plan's dial.

mod contact;

use super::clause::{Clause, Comes, Kind, Range};
use super::words::Dial;
use crate::book::Profile;
use crate::net::words::power;
use crate::plan::{Plan, Spec};
use crate::quantity::{Ms, Short, Steps};
use crate::run::Record;

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
        self.plan.called(&self.plan.parts[part].id)
    }

    fn spec(self, part: usize) -> Option<Spec> {
        self.plan.spec(&self.plan.parts[part])
    }

    /// `5 u`, `3 to 5 u`, `nothing`.
    fn power(self, range: Range) -> String {
        match range {
            Range { most: 0, .. } => "nothing".into(),
            Range { least, most } if least == most => power(self.plan, Steps(most)),
            Range { least, most } => {
                let unit = &self.plan.book.book.unit;
                let least = Short(least as f64 * unit.step);
                format!("{least} to {}", power(self.plan, Steps(most)))
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
                    Some(Spec::Changeover(least)) => power(self.plan, Steps(least)),
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
}
