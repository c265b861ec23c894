//! Another time for a load's start: what makes it start at a given minute at the latest, or not before it, and keeps every
//! duty that is kept.
//!
//! *Which start is meant.* On each of the days that repeat (on each day run where none repeats) it is the start nearest to
//! the wanted time on the dial, or to a time that the caller names, at most half a day away. Days may differ: of these starts
//! the latest counts where one asks for "at the latest", the earliest for "not before". *What a change reaches.* On each
//! repeating day of the changed plan one looks at that same moment of the dial: where the load runs then, the beginning of
//! that run is its start; else its next start is. The minute is met if on every such day the start lies at the wanted time or
//! before it (or: at it or after it). So a load that came on early and went off again meanwhile does not count, and neither
//! does one that never goes off. Times in milliseconds of the day; all is exact.
//!
//! Every change is tried by a run of its own; it is offered only where the minute is met, every duty kept before is kept
//! after for as long, no broken one is broken for longer, and no error is new. What is worth trying is worked out from
//! the light, the panels' steps and the settings of what leads to the load; at most [`RUNS`] are tried, at most [`HANDFUL`]
//! of a kind are offered. It is no search for the best, and it does not weigh the energy that a change costs.

mod along;
mod built;
mod candidates;
mod list;
mod meant;
mod set;
mod starts;
mod turns;

pub use along::MovedStart;
pub use starts::starts_of_day;

use super::findings::{Remedy, Simulation};
use super::study::Study;
use super::words::length;
use crate::plan::{Clock, PartId, Plan, Spec};
use crate::quantity::{Energy, Ms};
use candidates::StartChange;
use meant::MeantStart;
use serde::{Deserialize, Serialize};
use std::cmp::Reverse;
use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

/// The most changes that are tried.
pub const RUNS: usize = 160;

/// The most changes of one kind that are offered.
pub const HANDFUL: usize = 4;

/// How often a nearer time is tried where nothing does it, and how many changes each time.
const ROUNDS: usize = 6;
const NEARER: usize = 8;

/// On which side of the wanted time a load is to start.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub enum Bound {
    /// At it or before it.
    AtLatest,
    /// At it or after it.
    NotBefore,
}

impl Bound {
    /// `17:15 at the latest`, `not before 17:15`.
    pub fn said(self, at: Clock) -> String {
        match self {
            Bound::AtLatest => format!("at {at} at the latest"),
            Bound::NotBefore => format!("not before {at}"),
        }
    }
}

/// What is asked for.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct StartWish {
    /// The load.
    pub part: PartId,
    /// The wanted time.
    pub at: Clock,
    /// On which side of it.
    pub bound: Bound,
    /// Near which time the start lies that is meant; near the wanted one where nothing is said.
    pub near: Option<Clock>,
}

/// What kind of change it is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
pub enum OfferKind {
    /// Another setting of a contact.
    Setting,
    /// Another aim of sun panels.
    Aim,
    /// Another amount of a tap, its outputs changed over, or a tap more.
    Tap,
    /// More or fewer panels, or one of its own for a coil.
    Panel,
    /// A twilight or time switch.
    Switch,
}

impl OfferKind {
    /// All kinds, in the order in which they are tried.
    pub const ALL: [OfferKind; 5] = [
        OfferKind::Setting,
        OfferKind::Aim,
        OfferKind::Tap,
        OfferKind::Panel,
        OfferKind::Switch,
    ];

    /// The kind in one word, for people and for JSON.
    pub fn word(self) -> &'static str {
        match self {
            OfferKind::Setting => "setting",
            OfferKind::Aim => "aim",
            OfferKind::Tap => "tap",
            OfferKind::Panel => "panel",
            OfferKind::Switch => "switch",
        }
    }
}

/// A change that was tried.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Offer {
    /// What kind it is.
    pub kind: OfferKind,
    /// The change, and what comes of it.
    pub remedy: Remedy,
    /// When the load then starts, in milliseconds of the day: at the latest or earliest of the repeating days.
    pub reached: Ms,
    /// How far that is from the wanted time in milliseconds; negative where it is earlier.
    pub off: i64,
    /// How many parts more it takes, each of a bank counted.
    pub parts: i64,
    /// What those cost, all materials counted alike.
    pub cost: i64,
    /// The other loads that start at other times with it.
    pub along: Vec<MovedStart>,
}

impl Offer {
    /// Offers in the order of this are the cheapest first: parts, materials, kind, and how near the wanted time.
    pub fn rank(&self) -> impl Ord + use<> {
        let cost = (self.parts.max(0), self.cost.max(0));
        (cost, self.kind, self.off.unsigned_abs())
    }
}

/// What is known at the end of a search, or so far.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct StartOutcome {
    /// When the load starts now, in milliseconds of the day: at the latest or earliest of the repeating days.
    pub now: Ms,
    /// Whether that is as wanted.
    pub already: bool,
    /// How many changes were run.
    pub tried: usize,
    /// Where nothing is offered: what comes nearest to the wanted time and keeps all duties, where it is nearer than now.
    pub nearest: Option<Offer>,
    /// What there is to say in one sentence where nothing is offered: what stands against it, or that all is as wanted.
    pub says: Option<String>,
}

/// Why nothing can be sought.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub enum NoStart {
    /// The part is no load of the plan.
    NoLoad,
    /// The load never runs on the days that repeat.
    Never,
    /// The load runs all the time on the days that repeat.
    Always,
    /// The run was stopped: it tells nothing about the days to come.
    Stopped,
}

impl NoStart {
    /// Why, as a sentence about the part called `name`.
    pub fn says(self, name: &str) -> String {
        match self {
            NoStart::NoLoad => format!("{name} is no load."),
            NoStart::Never => format!(
                "{name} has no start to move: on the days that go on repeating it never runs. Look in the log at a later day for why, \
                 a battery that has run down for one."
            ),
            NoStart::Always => format!(
                "{name} has no start to move: on the days that go on repeating it runs all the time."
            ),
            NoStart::Stopped => {
                "The run was stopped before its days repeat, so that no change can be judged."
                    .into()
            }
        }
    }
}

/// A search under way: an iterator that gives after each change that was tried the offer it is, if it is one, in no order
/// of cost. Dropping it stops the search.
pub struct StartSearch {
    seen: Simulation,
    load: usize,
    wish: StartWish,
    meant: MeantStart,
    queue: std::vec::IntoIter<StartChange>,
    done: usize,
    of: usize,
    runs: usize,
    offered: BTreeMap<OfferKind, usize>,
    nearest: Option<Offer>,
    /// The kept duties that a change breaks which meets the minute: of the changes that break the fewest, the first.
    breaks: Option<Vec<usize>>,
    /// How many changes meet the minute but are not allowed.
    met: usize,
    /// The groups of which one is offered.
    served: BTreeSet<String>,
    /// Where nothing is offered: how often something nearer was tried, and the last time that was too far, as `off`.
    rounds: usize,
    too_far: i64,
    relaxed: Option<i64>,
}

impl StartSearch {
    /// Runs the plan and sees what there is to try.
    pub fn new(plan: &Plan, wish: &StartWish) -> Result<StartSearch, NoStart> {
        StartSearch::of(&Arc::new(Study::new(plan.clone())), wish)
    }

    /// As [`StartSearch::new`], of a plan that is studied.
    pub fn of(study: &Arc<Study>, wish: &StartWish) -> Result<StartSearch, NoStart> {
        let seen = Simulation::of(Arc::clone(study));
        let load = seen.place(&wish.part).ok_or(NoStart::NoLoad)?;
        if !matches!(seen.specs[load], Some(Spec::Load { .. })) {
            return Err(NoStart::NoLoad);
        }
        if !seen.is_whole() {
            return Err(NoStart::Stopped);
        }
        let none = match seen.runs(load).is_empty() {
            true => NoStart::Never,
            false => NoStart::Always,
        };
        let meant = MeantStart::of(&seen, load, wish).ok_or(none)?;
        let queue = match meant.is_met(meant.now) {
            true => Vec::new(),
            false => list::all(&seen, load, &meant),
        };
        Ok(StartSearch {
            load,
            wish: wish.clone(),
            meant,
            done: 0,
            of: queue.len(),
            queue: queue.into_iter(),
            runs: 0,
            offered: BTreeMap::new(),
            nearest: None,
            breaks: None,
            met: 0,
            served: BTreeSet::new(),
            rounds: 0,
            too_far: 0,
            relaxed: None,
            seen,
        })
    }

    /// How many changes are done with, and of how many.
    pub fn progress(&self) -> (usize, usize) {
        (self.done, self.of)
    }

    /// What is known so far.
    pub fn outcome(&self) -> StartOutcome {
        let already = self.meant.is_met(self.meant.now);
        let none = self.offered.is_empty();
        StartOutcome {
            now: self.meant.dial(self.meant.now),
            already,
            tried: self.runs,
            nearest: self.nearest.clone().filter(|_| none),
            says: none.then(|| self.says(already)),
        }
    }

    /// Why nothing is offered.
    fn says(&self, already: bool) -> String {
        let name = self.seen.name(self.load);
        let wanted = self.wish.bound.said(self.wish.at);
        if already {
            let now = Clock::at(self.meant.dial(self.meant.now), self.meant.day);
            return format!("{name} starts {wanted} as it is: at {now}.");
        }
        match (&self.breaks, self.met, self.runs) {
            (_, _, 0) => format!(
                "Nothing leads to {name} that could be set, turned or added to start it {wanted}."
            ),
            (Some(broken), ..) if !broken.is_empty() => {
                let plan = &self.seen.plan;
                let duties = broken.iter().filter_map(|at| plan.duties.get(*at));
                let said = |d: &crate::plan::Duty| {
                    let only = if d.only { ", and only then" } else { "" };
                    format!(
                        "the duty of {} ({}{only})",
                        plan.called(&d.part),
                        d.when.said()
                    )
                };
                let said: Vec<String> = duties.map(said).collect();
                let said = crate::net::words::list(&said);
                format!("To start {name} {wanted} would break at least {said}.")
            }
            (_, 1.., _) => {
                format!(
                    "To start {name} {wanted} would make a broken duty worse or bring an error."
                )
            }
            (_, _, tried) => {
                format!("None of the {tried} changes tried starts {name} {wanted}.")
            }
        }
    }

    /// Runs a change and judges it.
    fn judge(&mut self, change: StartChange) -> Option<Offer> {
        let group = change.group.clone();
        let (after, allowed) = self.seen.ran(&change.edits)?;
        self.runs += 1;
        let load = after.place(&self.wish.part)?;
        let off = self.meant.reached(&after, load)?;
        let is_met = self.meant.is_met(off);
        if !allowed {
            if is_met {
                self.met += 1;
                let broken = self.seen.broken_in(&after);
                let is_less = |had: &Vec<usize>| broken.len() < had.len();
                if self.breaks.as_ref().is_none_or(is_less) {
                    self.breaks = Some(broken);
                }
            }
            return None;
        }
        let nearer = |than: i64| off.unsigned_abs() < than.unsigned_abs();
        let is_nearest = nearer(self.nearest.as_ref().map_or(self.meant.now, |o| o.off));
        if !is_met && !is_nearest {
            return None;
        }
        let offer = self.offer(change, &after, off);
        if is_met {
            *self.offered.entry(offer.kind).or_default() += 1;
            self.served.insert(group);
            return Some(offer);
        }
        self.nearest = Some(offer);
        None
    }

    /// Where nothing does it and a duty stands against it: the first change for a time halfway between the nearest one
    /// reached and the last that was too far.
    fn nearer(&mut self) -> Option<StartChange> {
        if self.met == 0 || !self.offered.is_empty() {
            return None;
        }
        while self.rounds < ROUNDS {
            self.rounds += 1;
            let reached = self.nearest.as_ref().map_or(self.meant.now, |o| o.off);
            if let Some(tried) = self.relaxed
                && reached.unsigned_abs() > tried.unsigned_abs()
            {
                self.too_far = tried;
            }
            let half = (reached + self.too_far) / 2;
            self.relaxed = Some(half);
            let meant = MeantStart {
                wanted: self.meant.wanted + half,
                now: self.meant.now - half,
                ..self.meant
            };
            let mut all = list::all(&self.seen, self.load, &meant);
            all.sort_by_key(|change| Reverse(change.kind));
            all.truncate(NEARER);
            self.of += all.len();
            self.queue = all.into_iter();
            if let Some(change) = self.queue.next() {
                return Some(change);
            }
        }
        None
    }

    fn offer(&self, change: StartChange, after: &Simulation, off: i64) -> Offer {
        let (seen, reached) = (&self.seen, self.meant.dial(off));
        let most = match (after.to - after.from > self.meant.day, self.wish.bound) {
            (false, _) => "",
            (true, Bound::AtLatest) => " at the latest",
            (true, Bound::NotBefore) => " at the earliest",
        };
        let at = Clock::at(reached, self.meant.day);
        let name = seen.name(self.load);
        let lost = could(seen) - could(after);
        // Less than what is shown as a tenth is nothing.
        let tenth = crate::quantity::STEP_MS * 360_000;
        let unit = &seen.plan.book.book.unit;
        let energy = match lost {
            lost if lost >= tenth => {
                format!(
                    " The panels could give {} a day less.",
                    unit.say_energy(lost)
                )
            }
            lost if lost <= -tenth => {
                format!(
                    " The panels could give {} a day more.",
                    unit.say_energy(-lost)
                )
            }
            _ => String::new(),
        };
        let moved = self.meant.now - off;
        let by = length(moved.unsigned_abs());
        let way = if moved > 0 { "earlier" } else { "later" };
        let along = along::moved(seen, after, self.load);
        let says = format!(
            "With {}, {name} starts at {at}{most}, {by} {way}.{}{energy}",
            change.what,
            along::said(seen, &along)
        );
        let count = |plan: &Plan| plan.parts.iter().map(|p| p.count).sum::<u64>();
        let less = |after: u64, before: u64| {
            let wide = i128::from(after) - i128::from(before);
            i64::try_from(wide).unwrap_or(i64::MAX)
        };
        Offer {
            kind: change.kind,
            reached,
            off,
            parts: less(count(&after.plan), count(&seen.plan)),
            cost: less(candidates::cost(&after.plan), candidates::cost(&seen.plan)),
            along,
            remedy: Remedy {
                says,
                name: change.name,
                edits: change.edits,
            },
        }
    }
}

/// What all sun panels could give a day.
fn could(seen: &Simulation) -> Energy {
    let panels = (0..seen.plan.parts.len()).filter(|at| turns::is_panel(seen, *at));
    let all: Energy = panels.map(|at| seen.given(at, seen.from, seen.to).0).sum();
    seen.a_day(all)
}

impl Iterator for StartSearch {
    type Item = Option<Offer>;

    fn next(&mut self) -> Option<Option<Offer>> {
        let change = match self.queue.next() {
            Some(change) => change,
            None => self.nearer()?,
        };
        self.done += 1;
        let offered = self.offered.get(&change.kind).copied().unwrap_or(0);
        let is_open = offered < HANDFUL && !self.served.contains(&change.group);
        match is_open && self.runs < RUNS {
            true => Some(self.judge(change)),
            false => Some(None),
        }
    }
}

/// All offers, the cheapest first, and what else there is to say.
pub fn start_by(plan: &Plan, wish: &StartWish) -> Result<(Vec<Offer>, StartOutcome), NoStart> {
    let mut search = StartSearch::new(plan, wish)?;
    let mut offers: Vec<Offer> = search.by_ref().flatten().collect();
    cheapest_first(&mut offers);
    Ok((offers, search.outcome()))
}

/// Puts offers in order, the cheapest first; what costs the same keeps its order.
pub fn cheapest_first(offers: &mut [Offer]) {
    offers.sort_by_key(Offer::rank);
}
