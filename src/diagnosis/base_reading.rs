//! What a builder reads off a base: of a load, a contact, a battery or a wire, at one moment of the run.

use crate::book::Behaviour;
use crate::plan::{PartId, Plan, WireId};
use crate::quantity::Ms;
use crate::read::{Fault, FaultKind};
use serde::{Deserialize, Serialize};

/// What can be read.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
pub enum Readable {
    /// A load, a contact or a battery.
    Part(PartId),
    /// A wire, known by the output that it comes from.
    Wire(WireId),
}

/// How a battery's level changes.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub enum Trend {
    /// It goes up.
    Rises,
    /// It goes down.
    Falls,
    /// It stays, also where it is held at full or is empty.
    Still,
}

/// What something shows.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub enum Shows {
    /// Of a load: whether it runs.
    Runs(bool),
    /// Of a contact: whether it conducts.
    Conducts(bool),
    /// Of a battery.
    Moves(Trend),
    /// Of a wire: the steps that are taken through it.
    Takes(u64),
}

/// One reading.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct BaseReading {
    /// What was read.
    pub of: Readable,
    /// What it showed.
    pub shows: Shows,
    /// When, in milliseconds since midnight of day 1: the instant with all events of that millisecond.
    pub at: Ms,
}

/// What kind of thing can be read, with the words for what it may show.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Shape {
    Load,
    Contact,
    Battery,
    Wire,
}

/// What a reading may be of, in words.
pub(super) const READABLE: &str = "the id of a load, a contact, a battery or a wire of the plan";

impl Shape {
    /// The words that it may show; what else it may show is said by [`Shape::expects`].
    pub(super) const fn words(self) -> &'static [(&'static str, Shows)] {
        match self {
            Shape::Load => &[("runs", Shows::Runs(true)), ("off", Shows::Runs(false))],
            Shape::Contact => &[
                ("conducts", Shows::Conducts(true)),
                ("open", Shows::Conducts(false)),
            ],
            Shape::Battery => &[
                ("rises", Shows::Moves(Trend::Rises)),
                ("falls", Shows::Moves(Trend::Falls)),
                ("still", Shows::Moves(Trend::Still)),
            ],
            Shape::Wire => &[],
        }
    }

    /// What is expected of its reading.
    pub(super) const fn expects(self) -> &'static str {
        match self {
            Shape::Load => "runs or off, as a load shows",
            Shape::Contact => "conducts or open, as a contact shows",
            Shape::Battery => "rises, falls or still, as a battery shows",
            Shape::Wire => "the take of a wire in whole steps",
        }
    }

    fn takes(self, shows: Shows) -> bool {
        match shows {
            Shows::Takes(_) => self == Shape::Wire,
            _ => self.words().iter().any(|(_, other)| *other == shows),
        }
    }
}

impl Shows {
    /// The word or the number for it, as it is typed in a reading.
    pub(super) fn word(self) -> String {
        let shapes = [Shape::Load, Shape::Contact, Shape::Battery];
        let words = shapes.iter().flat_map(|shape| shape.words());
        let mut own = words.filter(|(_, shows)| *shows == self);
        match (self, own.next()) {
            (Shows::Takes(steps), _) => steps.to_string(),
            (_, word) => word.map_or("", |(word, _)| word).into(),
        }
    }
}

impl Readable {
    /// Its id.
    pub fn id(&self) -> &str {
        match self {
            Readable::Part(id) => id.as_str(),
            Readable::Wire(id) => id.as_str(),
        }
    }

    /// Whether the plan has it, and it can be read.
    pub fn is_of(&self, plan: &Plan) -> bool {
        self.shape(plan).is_some()
    }

    /// What kind of thing it is; none where the plan has nothing of the kind.
    pub(super) fn shape(&self, plan: &Plan) -> Option<Shape> {
        match self {
            Readable::Part(id) => match plan.kind_of(plan.part(id)?)?.behaviour {
                Behaviour::Load { .. } => Some(Shape::Load),
                Behaviour::Contact { .. } => Some(Shape::Contact),
                Behaviour::Battery { .. } => Some(Shape::Battery),
                _ => None,
            },
            Readable::Wire(id) => plan.wire(id).map(|_| Shape::Wire),
        }
    }
}

impl BaseReading {
    /// Whether it can be a reading of `plan`; `place` is what a fault calls it.
    ///
    /// # Errors
    /// What is wrong: nothing of the plan that can be read has the id, or it can't show that.
    pub fn check(&self, plan: &Plan, place: &str) -> Result<(), Fault> {
        let fault = |kind, found: String, expected: &str| Fault {
            kind,
            place: place.into(),
            found,
            expected: expected.into(),
        };
        let Some(shape) = self.of.shape(plan) else {
            let found = format!("\"{}\"", self.of.id());
            return Err(fault(FaultKind::Unknown, found, READABLE));
        };
        match shape.takes(self.shows) {
            true => Ok(()),
            false => {
                let found = format!("\"{}\"", self.shows.word());
                Err(fault(FaultKind::Type, found, shape.expects()))
            }
        }
    }
}
