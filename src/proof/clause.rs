//! What a step up the wires found, as data: which part does what, and between which amounts that was while the reason
//! held. Powers in steps, moments in milliseconds.
//!
//! A reason holds for hours in which a source may rise and fall; two looks at the same reason are joined here. While it is
//! looked for, parts and wires are known by their places in the plan; what is told has their ids. The words are in
//! [`super::phrases`], and are made only where a cause is shown.

use super::past::Deed;
use crate::plan::{PartId, Plan, WireId};
use crate::quantity::Ms;
use serde::{Deserialize, Serialize};

/// The least and the most that an amount was.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
pub struct Range {
    /// The least.
    pub least: u64,
    /// The most.
    pub most: u64,
}

impl Range {
    /// An amount seen once.
    pub fn one(amount: u64) -> Range {
        Range {
            least: amount,
            most: amount,
        }
    }

    fn join(&mut self, other: Range) {
        self.least = self.least.min(other.least);
        self.most = self.most.max(other.most);
    }
}

/// When something ends, `None` where it never does; seen several times it may have ended at several moments.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
pub struct Until {
    at: Option<Ms>,
    differs: bool,
}

impl Until {
    /// As seen once.
    pub fn at(at: Option<Ms>) -> Until {
        Until { at, differs: false }
    }

    /// This moment, or that nothing is told of it where it is not so for all that was seen of it.
    pub fn only_if(self, holds: impl FnOnce(Ms) -> bool) -> Until {
        match self.moment() {
            Some(t) if !holds(t) => Until {
                at: None,
                differs: true,
            },
            _ => self,
        }
    }

    fn join(&mut self, other: Until) {
        self.differs |= other.differs || self.at != other.at;
    }

    /// The one moment, if there is one.
    pub fn moment(self) -> Option<Ms> {
        self.at.filter(|_| !self.differs)
    }

    /// Whether it never ends.
    pub fn is_never(self) -> bool {
        self.at.is_none() && !self.differs
    }
}

/// Where what comes is from: one part that gives it all, or more than one.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
pub enum Comes<P = usize> {
    /// One part gives it.
    From(P),
    /// It is not told who.
    Any,
}

/// What a contact does and why, as far as it sets one reason apart from another.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
pub struct State<P = usize> {
    /// The contact.
    pub part: P,
    /// Whether it conducts.
    pub conducts: bool,
    /// Whether its function is true.
    pub truth: bool,
    /// Whether it conducts while its function is false.
    pub breaks: bool,
    /// Whether it has yet to follow its function.
    pub is_due: bool,
    /// Which of its signals are live, of those that count.
    pub live: [bool; 2],
    /// What last turned its function, where that counts.
    pub turned: Option<Deed<P>>,
}

/// What so much is needed for.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
pub enum Need {
    /// A load draws it.
    #[default]
    Draws,
    /// A signal port takes it.
    Takes,
}

/// Which step it is. Parts and wires by their places in the plan, or by their ids.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
pub enum Kind<P = usize, W = P> {
    /// The load has no wire.
    NoWire(P),
    /// The part has no wire that leads to it.
    NoWireTo(P),
    /// The contact's signal of this number has no wire.
    NoSignal(P, usize),
    /// The part is fed by a closed loop.
    FedByLoop(P),
    /// The wire is on a closed loop.
    OnLoop(W),
    /// The contact is held open for chatter.
    Held(P),
    /// A contact does what it does.
    Contact(State<P>),
    /// A battery's output is off.
    Off(P),
    /// A source gives no more.
    Source(P),
    /// A battery gives no more.
    Most(P),
    /// A load ahead takes its part of what comes.
    Ahead(P, Comes<P>),
    /// A load ahead can't run and passes nothing on.
    Behind(P),
    /// A tap sets no more aside.
    Aside(P),
    /// A tap sets something aside ahead.
    Rest(P, Comes<P>),
    /// A divider with so many ways gives each its share.
    Share(P, usize, Comes<P>),
    /// A busbar has too little of all that comes in.
    Sum(P),
    /// A changeover is on a backup that gives nothing.
    Backup(P),
    /// Of several inputs nothing comes to the part.
    Dry(P),
    /// A part gives, with no contact on the way.
    Alone(P),
    /// A part gives.
    Gives(P),
}

impl Kind {
    /// The same by ids.
    fn told(self, plan: &Plan) -> Kind<PartId, WireId> {
        let id = |part: usize| plan.parts[part].id.clone();
        let comes = |comes: Comes| match comes {
            Comes::From(part) => Comes::From(id(part)),
            Comes::Any => Comes::Any,
        };
        match self {
            Kind::NoWire(part) => Kind::NoWire(id(part)),
            Kind::NoWireTo(part) => Kind::NoWireTo(id(part)),
            Kind::NoSignal(part, signal) => Kind::NoSignal(id(part), signal),
            Kind::FedByLoop(part) => Kind::FedByLoop(id(part)),
            Kind::OnLoop(wire) => Kind::OnLoop(plan.wires[wire].id.clone()),
            Kind::Held(part) => Kind::Held(id(part)),
            Kind::Contact(state) => Kind::Contact(State {
                part: id(state.part),
                conducts: state.conducts,
                truth: state.truth,
                breaks: state.breaks,
                is_due: state.is_due,
                live: state.live,
                turned: state.turned.map(|(t, part)| (t, id(part))),
            }),
            Kind::Off(part) => Kind::Off(id(part)),
            Kind::Source(part) => Kind::Source(id(part)),
            Kind::Most(part) => Kind::Most(id(part)),
            Kind::Ahead(part, from) => Kind::Ahead(id(part), comes(from)),
            Kind::Behind(part) => Kind::Behind(id(part)),
            Kind::Aside(part) => Kind::Aside(id(part)),
            Kind::Rest(part, from) => Kind::Rest(id(part), comes(from)),
            Kind::Share(part, ways, from) => Kind::Share(id(part), ways, comes(from)),
            Kind::Sum(part) => Kind::Sum(id(part)),
            Kind::Backup(part) => Kind::Backup(id(part)),
            Kind::Dry(part) => Kind::Dry(id(part)),
            Kind::Alone(part) => Kind::Alone(id(part)),
            Kind::Gives(part) => Kind::Gives(id(part)),
        }
    }
}

/// One step, with what was seen of it.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Clause<P = usize, W = P> {
    /// Which step.
    pub kind: Kind<P, W>,
    /// Whether it is a second reason for what an earlier one was a reason for.
    pub also: bool,
    /// What the need is for.
    pub needs: Need,
    /// What comes of what is needed.
    pub offer: Range,
    /// What is needed.
    pub need: Range,
    /// How much that is short.
    pub lacks: Range,
    /// What the part gives, has, sets aside or has counted.
    pub amount: Range,
    /// What comes to the part.
    pub comes: Range,
    /// What last made it count.
    pub counted: Option<Deed<P>>,
    /// When it ends.
    pub until: Until,
    /// When there is enough.
    pub enough: Until,
}

impl Clause {
    /// A step of which nothing but its kind counts.
    pub fn new(kind: Kind) -> Clause {
        Clause {
            kind,
            also: false,
            needs: Need::Draws,
            offer: Range::default(),
            need: Range::default(),
            lacks: Range::default(),
            amount: Range::default(),
            comes: Range::default(),
            counted: None,
            until: Until::default(),
            enough: Until::default(),
        }
    }

    /// The same by ids.
    pub fn told(self, plan: &Plan) -> Clause<PartId, WireId> {
        let counted = |(t, part): Deed| (t, plan.parts[part].id.clone());
        Clause {
            kind: self.kind.told(plan),
            also: self.also,
            needs: self.needs,
            offer: self.offer,
            need: self.need,
            lacks: self.lacks,
            amount: self.amount,
            comes: self.comes,
            counted: self.counted.map(counted),
            until: self.until,
            enough: self.enough,
        }
    }

    /// Takes in the same step as it was seen another time.
    pub fn join(&mut self, other: &Clause) {
        self.offer.join(other.offer);
        self.need.join(other.need);
        self.lacks.join(other.lacks);
        self.amount.join(other.amount);
        self.comes.join(other.comes);
        self.counted = self.counted.max(other.counted);
        self.until.join(other.until);
        self.enough.join(other.enough);
    }
}
