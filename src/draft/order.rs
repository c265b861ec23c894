//! An order: what is wanted, with what it may be built, what must hold and what is dear. Plain data.
//!
//! Grace in seconds and hours as written; counts in whole parts.

use crate::plan::{BookRef, Conditions, World};
use std::collections::BTreeMap;

/// An order.
#[derive(Clone, Debug, PartialEq)]
pub struct DraftOrder {
    /// The book whose types there are.
    pub book: BookRef,
    /// The world in which it is to be built.
    pub world: World,
    /// The loads that are wanted.
    pub wants: Vec<Wanted>,
    /// The types that may be used beside those wanted, with how many at most (none: any number); none: the whole book.
    pub may: Option<BTreeMap<String, Option<u64>>>,
    /// The stage that no part may pass.
    pub stage: Option<u64>,
    /// How much there is of the materials that are named.
    pub materials: BTreeMap<String, u64>,
    /// What must hold beside the duties.
    pub keeps: Keeps,
    /// The wants that one hand switch turns off; none where no such switch is asked for.
    pub switch: Option<HouseSwitch>,
    /// What is dear, the dearest first; never empty.
    pub least: Vec<Least>,
}

/// A load that is wanted.
#[derive(Clone, Debug, PartialEq)]
pub struct Wanted {
    /// Its type in the book.
    pub kind: String,
    /// What it is called; may be empty.
    pub name: String,
    /// How many of it in one bank.
    pub count: u64,
    /// When it must run; none only where it is tried what comes of leaving the duty out.
    pub duty: Option<WantedDuty>,
}

/// When a wanted load must run.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct WantedDuty {
    /// While all of these hold.
    pub when: Conditions,
    /// Whether it must not run otherwise.
    pub only: bool,
    /// The longest stretch, in seconds, by which that may be broken.
    pub grace_s: f64,
}

/// What must hold beside the duties.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Keeps {
    /// So many days of weather 0 in a row are survived, begun on any day.
    pub dull_days: u64,
    /// So many hours every duty holds without sun and wind from the worst moment.
    pub hours: f64,
    /// The wants whose duty stands any single loss.
    pub losses: Vec<usize>,
    /// The wants that no contact within reach may command.
    pub reach: Vec<usize>,
}

/// A hand switch that turns loads off.
#[derive(Clone, Debug, PartialEq)]
pub struct HouseSwitch {
    /// What it is called; may be empty.
    pub name: String,
    /// The wants behind it.
    pub wants: Vec<usize>,
}

/// Something of which there is to be as little as possible.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Least {
    /// The sum of all materials.
    Materials,
    /// Parts, banks multiplied out.
    Parts,
    /// Energy that sources could give and nobody takes, by the day.
    Spilled,
    /// Different part types.
    Kinds,
}

impl Least {
    /// All of them.
    pub const ALL: [Least; 4] = [Least::Materials, Least::Parts, Least::Spilled, Least::Kinds];

    /// The word in a file.
    pub const fn word(self) -> &'static str {
        match self {
            Least::Materials => "materials",
            Least::Parts => "parts",
            Least::Spilled => "spilled",
            Least::Kinds => "kinds",
        }
    }
}
