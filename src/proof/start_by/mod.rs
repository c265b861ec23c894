//! "To the minute": changes that let a load start at another time of the day and keep every duty that is kept.
//!
//! Which start is meant: a load may start several times a day. One start of the plan's own run is picked; its *window*
//! opens on every day half way between the stop before it and the wanted time (or the start, whichever comes first), and
//! lasts a day. The load's start of a day is the first moment in that day's window at which it begins to run.
//!
//! - *At T at the latest*: on every day judged the load starts in the window at T or before, and still runs at T.
//! - *Not before T*: on every day judged it is off when the window opens, and starts in it, at T or later.
//!
//! Days judged are all days of the check's run, from the first window on; where a midnight repeats an earlier one, the last
//! window goes on into the days that repeat, so that what is judged holds for ever. Where none repeats, a window that
//! reaches past the end of the run is left out. Times are whole milliseconds.
//!
//! A change is offered only where a run of the changed plan met the minute, kept every duty that was kept, for as long, and
//! brought no error. The search is bounded ([`Search::progress`]) and tries the changes of [`changes`] only: it finds the
//! smallest turn of those tried, and does not say that no other change would do.

mod changes;
mod search;
mod window;

pub use search::Search;
pub use window::{starts, starts_of_day};

use super::findings::Remedy;
use crate::plan::{Clock, Edit, PartId, Plan};
use crate::quantity::Ms;
use serde::{Deserialize, Serialize};
use std::collections::BTreeMap;

/// Which side of the wanted time the start is to be on.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub enum Side {
    /// At the wanted time or before it.
    AtTheLatest,
    /// At the wanted time or after it.
    NotBefore,
}

impl Side {
    /// As it is said behind a time: `at the latest`.
    pub const fn words(self) -> &'static str {
        match self {
            Side::AtTheLatest => "at the latest",
            Side::NotBefore => "or later",
        }
    }
}

/// What is asked for.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Wanted {
    /// The load.
    pub load: PartId,
    /// Which of its starts: the one nearest to this place on the dial, before it or after it; none for the one nearest
    /// to the wanted time.
    pub start: Option<Clock>,
    /// When it is to start.
    pub at: Clock,
    /// On which side of that.
    pub side: Side,
}

/// A change that was tried and does it.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Offer {
    /// What to do, what comes of it, and the edits.
    pub remedy: Remedy,
    /// When the load then starts, in milliseconds after midnight: on the day on which it is nearest to missing the time.
    pub reached: Ms,
    /// What it takes more of each material, or less where negative.
    pub materials: BTreeMap<String, i128>,
    /// How many parts it adds, or takes away where negative.
    pub parts: i128,
    /// The duties that are kept then and are not now, by their places in the plan's list.
    pub newly_kept: Vec<usize>,
    /// How large it is among changes of one cost: degrees, steps or seconds set otherwise, settings of several parts added
    /// up.
    pub size: u64,
}

impl Offer {
    /// Offers in the order of this are cheapest and smallest first.
    pub fn rank(&self) -> impl Ord + use<> {
        let more: i128 = self.materials.values().sum();
        let builds = |e: &Edit| !matches!(e, Edit::Set(..));
        let built = self.remedy.edits.iter().any(builds);
        // What is only set otherwise comes before what is built or taken down.
        (built, more, self.parts, self.size)
    }
}

/// Puts offers in order, cheapest and smallest first; equals keep their order.
pub fn cheapest_first(offers: &mut [Offer]) {
    offers.sort_by_key(Offer::rank);
}

/// What stands against the wanted time where nothing does it: a change that meets the minute, and breaks these.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Against {
    /// The change, in a few words.
    pub name: String,
    /// When the load starts with it.
    pub reached: Ms,
    /// The duties kept now that it breaks, by their places; none where it brings an error, has a broken duty's load off
    /// for longer, or lets no midnight repeat.
    pub breaks: Vec<usize>,
}

impl Against {
    /// As a sentence: `With "have West roof panels turned to 150°" it would start at 17:01:12, but the duty of Beam is broken.`
    pub fn says(&self, plan: &Plan) -> String {
        let of: Vec<String> = (self.breaks.iter())
            .filter_map(|at| plan.duties.get(*at))
            .map(|duty| plan.called(&duty.part))
            .collect();
        let but = match of.len() {
            0 => "the plan would be worse otherwise: an error more, a broken duty's load off for longer, or days that \
                  never repeat"
                .into(),
            1 => format!("the duty of {} is broken", of[0]),
            _ => format!("the duties of {} are broken", crate::net::words::list(&of)),
        };
        format!(
            "With \"{}\" it would start at {}, but {but}.",
            self.name,
            second(self.reached, plan.world.day_ms())
        )
    }
}

/// What a search has found.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
pub struct Found {
    /// When the load starts at present, in milliseconds after midnight, told as in [`Offer::reached`].
    pub present: Option<Ms>,
    /// Whether the plan as it is meets the time already.
    pub met: bool,
    /// The changes that do it, cheapest and smallest first.
    pub offers: Vec<Offer>,
    /// The change that comes nearest with every duty kept; only where none does it and one comes nearer than the plan.
    pub nearest: Option<Offer>,
    /// What stands against it, only where nothing does it.
    pub against: Option<Against>,
    /// How many changes were run.
    pub tried: u64,
    /// Whether all changes were gone through; not where the search was stopped or its runs were used up.
    pub complete: bool,
}

/// Why there is nothing to look for.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub enum NoStart {
    /// The plan has no load of that name.
    NoLoad,
    /// The load never starts in the days that were run.
    Never,
    /// The plan's own run was stopped at its bound of events.
    Stopped,
}

impl NoStart {
    /// As a sentence without its subject: `never starts`.
    pub const fn words(self) -> &'static str {
        match self {
            NoStart::NoLoad => "is no load of this plan",
            NoStart::Never => "never starts: there is no start to move",
            NoStart::Stopped => {
                "can't be judged: the plan's run was stopped at its bound of events"
            }
        }
    }
}

/// A moment of the day as people read it, to the second begun: `16:44:31`.
pub fn second(ms: Ms, day_ms: Ms) -> String {
    let day_ms = day_ms.max(1);
    let s = u128::from(ms % day_ms) * 86_400 / u128::from(day_ms);
    format!("{:02}:{:02}:{:02}", s / 3600, s / 60 % 60, s % 60)
}
