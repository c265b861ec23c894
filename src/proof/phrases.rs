//! The words for a cause: each step up the wires as a clause that is true for as long as the reason held.
//!
//! Where an amount varied its least and most are told; where a moment would not hold it is left out. Powers in the
//! book's unit, moments on the plan's dial.

mod contact;

use super::cause::Cause;
use super::clause::{Clause, Comes, Kind, Need, Range};
use super::words::{Dial, length};
use crate::book::Profile;
use crate::net::words::power;
use crate::plan::{PartId, Plan, Spec, WireId};
use crate::quantity::{Ms, Short, Steps};

/// A clause as it is told.
type Told = Clause<PartId, WireId>;

impl Cause {
    /// What happens, why, and what would be enough, in the names that parts have in `plan`: the plan that the cause was
    /// found in, whatever its parts are called meanwhile.
    pub fn says(&self, plan: &Plan) -> String {
        format!("{}: {}", self.subject(plan), self.because(plan))
    }

    /// The second half of [`Cause::says`]: why, and what would be enough.
    pub fn because(&self, plan: &Plan) -> String {
        let whole = self.to - self.from;
        let told = &self.reasons;
        let partly = told.len() > 1 || told.first().is_some_and(|r| whole - r.held > whole / 20);
        let teller = Teller {
            plan,
            dial: self.dial,
            anchor: self.from,
            looked: self.looked,
        };
        let said = told.iter().map(|reason| {
            let because = teller.reason(&reason.clauses);
            match partly {
                true => format!("for {} of it, {because}", length(reason.held)),
                false => because,
            }
        });
        let mut because = said.collect::<Vec<_>>().join("; ");
        let rest = whole.saturating_sub(told.iter().map(|r| r.held).sum());
        if rest > whole / 20 && !told.is_empty() {
            because = format!("{because}; {} of it have other reasons", length(rest));
        }
        if because.is_empty() {
            because = "why is not known".into();
        }
        let advice = self.enough.as_ref().map(|n| format!(" {}", n.says(plan)));
        format!("{because}.{}", advice.unwrap_or_default())
    }

    /// The first half of [`Cause::says`], what the load does: `Stair lamp goes dark at 03:12`.
    pub fn subject(&self, plan: &Plan) -> String {
        let n = plan.called(&self.load);
        let stretch = self.dial.stretch(self.from, self.to);
        if self.on {
            return format!("{n} runs {stretch} though it should be off");
        }
        let kind = plan.part(&self.load).and_then(|load| plan.kind_of(load));
        let light = kind.is_some_and(|kind| kind.gives_light());
        match (light, self.ran_before) {
            (true, true) => format!("{n} goes dark {}", self.dial.at(self.from)),
            (true, false) => format!("{n} is dark {stretch}"),
            (false, true) => format!("{n} stops {}", self.dial.at(self.from)),
            (false, false) => format!("{n} does not run {stretch}"),
        }
    }
}

/// Puts the reasons of one gap into words.
#[derive(Clone, Copy)]
struct Teller<'a> {
    plan: &'a Plan,
    /// How moments are said.
    dial: Dial,
    /// The moment on whose day moments are said without naming the day.
    anchor: Ms,
    /// How many days were looked through, where the run does not repeat.
    looked: Option<u64>,
}

impl Teller<'_> {
    /// A whole reason, nearest the load first; each clause because of those that follow.
    fn reason(self, clauses: &[Told]) -> String {
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

    fn name(self, part: &PartId) -> String {
        self.plan.called(part)
    }

    fn spec(self, part: &PartId) -> Option<Spec> {
        self.plan.spec(self.plan.part(part)?)
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
    fn comes(self, clause: &Told, comes: &Comes<PartId>) -> String {
        let amount = self.power(clause.comes);
        match comes {
            Comes::From(part) => format!("the {amount} that {} gives", self.name(part)),
            Comes::Any => format!("the {amount} that come"),
        }
    }

    /// What comes of what is needed: `2 u of the 3 u it draws`.
    fn wants(self, clause: &Told) -> String {
        let (offer, need) = (self.power(clause.offer), self.power(clause.need));
        match clause.offer.most {
            0 => offer,
            _ => format!("{offer} of the {need} {}", needs(clause)),
        }
    }

    /// By how much it is short: `1 u short of the 3 u it draws`.
    fn short(self, clause: &Told) -> String {
        let (lacks, need) = (self.power(clause.lacks), self.power(clause.need));
        format!("{lacks} short of the {need} {}", needs(clause))
    }

    fn clause(self, clause: &Told) -> String {
        match &clause.kind {
            Kind::NoWire(_) => "no wire leads to it".into(),
            Kind::NoWireTo(part) => format!("no wire leads to {}", self.name(part)),
            Kind::NoSignal(part, signal) => {
                let (n, port) = (self.name(part), self.port(part, *signal));
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

    fn empty(self, part: &PartId, clause: &Told) -> String {
        let until = match clause.until.is_never() {
            true => match self.looked {
                None => " and stays so".into(),
                Some(days) => format!(" and not back within {days} days"),
            },
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

    fn source(self, part: &PartId, clause: &Told) -> String {
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
            false => self.until(clause.enough.moment()),
        };
        format!("{n} gives only {amount}{until}, {short}")
    }
}

/// What the need of a clause is for, in words.
fn needs(clause: &Told) -> &'static str {
    match clause.needs {
        Need::Draws => "it draws",
        Need::Takes => "it takes",
    }
}
