//! What a step up the wires found, as data: which part does what, and between which amounts that was while the reason
//! held. Powers in steps, moments in milliseconds.
//!
//! A reason holds for hours in which a source may rise and fall. So nothing is put into words before the whole gap is
//! gone through; two looks at the same reason are joined here. The words are in [`super::phrases`].

use super::past::Deed;
use crate::quantity::Ms;

/// The least and the most that an amount was.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
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
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Until {
    at: Option<Ms>,
    differs: bool,
}

impl Until {
    /// As seen once.
    pub fn at(at: Option<Ms>) -> Until {
        Until { at, differs: false }
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
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Comes {
    /// One part gives it.
    From(usize),
    /// It is not told who.
    Any,
}

/// What a contact does and why, as far as it sets one reason apart from another.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct State {
    /// The contact.
    pub part: usize,
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
    pub turned: Option<Deed>,
}

/// Which step it is. Parts and wires by their places in the plan.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Kind {
    /// The load has no wire.
    NoWire(usize),
    /// The part has no wire that leads to it.
    NoWireTo(usize),
    /// The contact's signal of this number has no wire.
    NoSignal(usize, usize),
    /// The part is fed by a closed loop.
    FedByLoop(usize),
    /// The wire is on a closed loop.
    OnLoop(usize),
    /// The contact is held open for chatter.
    Held(usize),
    /// A contact does what it does.
    Contact(State),
    /// A battery's output is off.
    Off(usize),
    /// A source gives no more.
    Source(usize),
    /// A battery gives no more.
    Most(usize),
    /// A load ahead takes its part of what comes.
    Ahead(usize, Comes),
    /// A load ahead can't run and passes nothing on.
    Behind(usize),
    /// A tap sets no more aside.
    Aside(usize),
    /// A tap sets something aside ahead.
    Rest(usize, Comes),
    /// A divider with so many ways gives each its share.
    Share(usize, usize, Comes),
    /// A busbar has too little of all that comes in.
    Sum(usize),
    /// A changeover is on a backup that gives nothing.
    Backup(usize),
    /// Of several inputs nothing comes to the part.
    Dry(usize),
    /// A part gives, with no contact on the way.
    Alone(usize),
    /// A part gives.
    Gives(usize),
}

/// One step, with what was seen of it.
#[derive(Clone, Copy, Debug)]
pub struct Clause {
    /// Which step.
    pub kind: Kind,
    /// Whether it is a second reason for what an earlier one was a reason for.
    pub also: bool,
    /// What the need is for: `it draws`.
    pub draws: &'static str,
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
    pub counted: Option<Deed>,
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
            draws: "",
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
