//! The search for the least of one piece of a plan.
//!
//! Boxes of combinations wait in the order of what their least corner is worth. A box goes out unopened where its
//! greatest corner breaks a duty and more is proven to be no worse within it ([`super::monotone`]), or where the energy
//! that its greatest corner is given is too little; it is cut in two otherwise, down to single combinations. So the first
//! combination that keeps the duties is the least: whatever is worth less has been tried or is proven to fail. Where
//! nothing is proven about a count its values are taken one by one, from the least.
//!
//! A box reaches as far as a plan may count, or as what is worth less than the best found; only while nothing is found it
//! is kept to some multiple of the present counts, and what was left out so is looked at as soon as something is.

use super::given::given;
use super::grid::{self, Tried};
use super::measure::Worth;
use super::monotone::{self, Proven};
use super::piece::Piece;
use super::settings::Settings;
use crate::limits::COUNT;
use crate::plan::{Part, Plan};
use crate::proof::first_break::{self, FirstBreak};
use crate::quantity::{Energy, Ms};
use std::cmp::Reverse;
use std::collections::{BTreeMap, BinaryHeap};

/// How many times the present count of a bank is thought of at the most while nothing keeps the duties and nothing is
/// proven of all counts.
const MOST: u64 = 1024;

/// A combination: the counts of the banks and, for each part with other settings, the number of its setting.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(super) struct Point {
    pub counts: Vec<u64>,
    pub settings: Vec<usize>,
}

/// What was found for a piece.
#[derive(Clone, Debug)]
pub(super) struct Found {
    /// The least combination that keeps the duties, as far as found.
    pub best: Option<Point>,
    /// Whether nothing that is worth less keeps them, for certain.
    pub exact: bool,
    /// Whether a contact changed so often that the piece can't be looked at alone.
    pub restless: bool,
    /// Up to how many of every bank were tried or are proven to fail; it counts where nothing was found.
    pub most: u64,
}

/// Called after every run, and now and then between two, with the runs left and the best so far; answers whether to go on.
pub(super) type Watch<'a> = &'a mut dyn FnMut(u64, Option<&Point>) -> bool;

/// After how many boxes that took no run the watcher is asked.
const BOXES: u64 = 256;

/// A box of counts, both corners included.
type Counts = (Vec<u64>, Vec<u64>);

/// What waits: worth of the least corner, then the corners, so that the order is one and the same always.
type Waiting = BinaryHeap<Reverse<(Worth, Vec<u64>, Vec<u64>)>>;

pub(super) struct Search<'a> {
    piece: &'a Piece,
    units: &'a [Worth],
    tried: &'a [Tried],
    /// Whether the duties must be kept for ever.
    for_ever: bool,
    /// The places of all its batteries.
    batteries: Vec<usize>,
    /// Runs left.
    pub left: u64,
    known: BTreeMap<Point, FirstBreak>,
    given: BTreeMap<(usize, Option<usize>), Energy>,
    best: Option<(Worth, Point)>,
    restless: bool,
    stopped: bool,
    watch: Watch<'a>,
}

impl<'a> Search<'a> {
    pub fn new(
        piece: &'a Piece,
        units: &'a [Worth],
        tried: &'a [Tried],
        for_ever: bool,
        left: u64,
        watch: Watch<'a>,
    ) -> Search<'a> {
        let plan = &piece.plan;
        let is = |at: &usize| {
            plan.kind_of(&plan.parts[*at])
                .is_some_and(|t| t.behaviour.name() == "battery")
        };
        Search {
            batteries: piece.banks.iter().copied().filter(is).collect(),
            piece,
            units,
            tried,
            for_ever,
            left,
            known: BTreeMap::new(),
            given: BTreeMap::new(),
            best: None,
            restless: false,
            stopped: false,
            watch,
        }
    }

    /// The present combination.
    pub fn present(&self) -> Point {
        let count = |bank: &usize| self.piece.plan.parts[*bank].count;
        Point {
            counts: self.piece.banks.iter().map(count).collect(),
            settings: vec![0; self.tried.len()],
        }
    }

    /// Searches.
    pub fn go(&mut self) -> Found {
        let present = self.present();
        let ones = vec![1; present.counts.len()];
        if self.piece.duties.is_empty() {
            // Nothing is asked of it.
            return Found {
                best: Some(Point {
                    counts: ones,
                    settings: present.settings,
                }),
                exact: true,
                restless: false,
                most: COUNT,
            };
        }
        self.first(&present);
        let every = vec![COUNT; ones.len()];
        let mut most = every.clone();
        if self.best.is_none() {
            let near = present.counts.iter().map(|c| c.saturating_mul(MOST));
            most = near.map(|most| most.min(COUNT)).collect();
        }
        let mut none_left_out = self.all_settings(&ones, &most);
        if !self.stopped && self.leaves_out(&most) {
            none_left_out = self.all_settings(&ones, &every);
        }
        Found {
            best: self.best.take().map(|(_, point)| point),
            exact: !self.stopped,
            restless: self.restless,
            most: if none_left_out {
                COUNT
            } else {
                most.into_iter().min().unwrap_or(COUNT)
            },
        }
    }

    /// Goes through all counts up to `most` with all settings; whether no greater ones were left out.
    fn all_settings(&mut self, ones: &[u64], most: &[u64]) -> bool {
        let mut none_left_out = true;
        for choice in Settings::new(&self.piece.plan, self.tried) {
            none_left_out &= self.boxes(&choice, ones, most);
            if self.stopped {
                break;
            }
        }
        none_left_out
    }

    /// Whether something with more of a bank than `most` is worth less than the best.
    fn leaves_out(&self, most: &[u64]) -> bool {
        let Some((best, _)) = &self.best else {
            return false;
        };
        (0..most.len()).any(|dim| {
            let mut counts = vec![1; most.len()];
            counts[dim] = most[dim].saturating_add(1);
            most[dim] < COUNT && self.worth(&counts) < *best
        })
    }

    fn worth(&self, counts: &[u64]) -> Worth {
        let each = self.units.iter().zip(counts);
        each.fold(Worth::default(), |sum, (unit, count)| {
            sum.plus(unit.times(*count))
        })
    }

    /// The plan with a combination.
    pub fn plan_of(&self, point: &Point) -> Plan {
        let mut plan = self.piece.plan.clone();
        for (bank, count) in self.piece.banks.iter().zip(&point.counts) {
            plan.parts[*bank].count = *count;
        }
        set(&mut plan.parts, self.tried, &point.settings);
        plan
    }

    /// How the run of a combination goes; none where no run is left or the watcher has had enough.
    fn trial(&mut self, point: &Point) -> Option<FirstBreak> {
        if let Some(known) = self.known.get(point) {
            return Some(known.clone());
        }
        if self.left == 0 || self.stopped {
            self.stopped = true;
            return None;
        }
        self.left -= 1;
        let trial = first_break::run(&self.plan_of(point), &self.batteries);
        self.restless |= trial.restless;
        self.known.insert(point.clone(), trial.clone());
        if trial.keeps(self.for_ever) {
            let worth = self.worth(&point.counts);
            if self.best.as_ref().is_none_or(|(best, _)| worth < *best) {
                self.best = Some((worth, point.clone()));
            }
        }
        self.ask_watch();
        Some(trial)
    }

    fn ask_watch(&mut self) {
        let best = self.best.as_ref().map(|(_, point)| point);
        self.stopped |= !(self.watch)(self.left, best);
    }

    fn keeps(&mut self, point: &Point) -> bool {
        let for_ever = self.for_ever;
        self.trial(point).is_some_and(|t| t.keeps(for_ever))
    }

    /// When an output that a proof is about first went off.
    fn off(&self, proven: &Proven, trial: &FirstBreak) -> Option<Ms> {
        trial.off(|at| proven.batteries.contains(&self.batteries[at]))
    }

    /// Looks for a first combination that keeps the duties: the present one, else more of everything; then takes away
    /// what can be. It is a start to measure others by and proves nothing.
    fn first(&mut self, present: &Point) {
        let mut point = present.clone();
        while !self.keeps(&point) && !self.stopped {
            if point.counts.iter().all(|count| *count >= COUNT) {
                return;
            }
            for count in &mut point.counts {
                *count = count.saturating_mul(2).clamp(1, COUNT);
            }
        }
        // The dearest first.
        let mut dims: Vec<usize> = (0..point.counts.len()).collect();
        dims.sort_by_key(|d| Reverse(self.units[*d].times(point.counts[*d])));
        for dim in dims {
            let (mut low, mut high) = (1, point.counts[dim]);
            while low < high && !self.stopped {
                let mut less = point.clone();
                less.counts[dim] = low + (high - low) / 2;
                if self.keeps(&less) {
                    high = less.counts[dim];
                } else {
                    low = less.counts[dim] + 1;
                }
            }
            point.counts[dim] = high;
        }
    }

    /// Goes through all counts up to `most` with these settings that are worth less than the best; whether none of the
    /// greater counts need be looked at either.
    fn boxes(&mut self, settings: &[usize], ones: &[u64], most: &[u64]) -> bool {
        let present = Point {
            counts: ones.to_vec(),
            settings: settings.to_vec(),
        };
        let proven = monotone::prove(&self.plan_of(&present), &self.piece.banks);
        let every = most.iter().all(|most| *most >= COUNT);
        let whole = (ones.to_vec(), vec![COUNT; ones.len()]);
        if self.best.is_none() && !every && self.dead(settings, &proven, &whole) {
            return true;
        }
        let mut waiting = Waiting::new();
        waiting.push(Reverse((self.worth(ones), ones.to_vec(), most.to_vec())));
        let mut opened = 0u64;
        while let Some(Reverse((worth, low, mut high))) = waiting.pop() {
            opened += 1;
            if opened.is_multiple_of(BOXES) {
                self.ask_watch();
            }
            if self.stopped {
                return every;
            }
            if let Some((best, _)) = &self.best {
                if worth >= *best {
                    return every;
                }
                for (dim, unit) in self.units.iter().enumerate() {
                    let room = best.room(worth, *unit, high[dim] - low[dim]);
                    high[dim] = low[dim] + room;
                }
            }
            if self.dead(settings, &proven, &(low.clone(), high.clone())) {
                continue;
            }
            if low == high {
                continue;
            }
            for (low, high) in cut(&proven, low, high) {
                waiting.push(Reverse((self.worth(&low), low, high)));
            }
        }
        every
    }

    /// Whether no combination of a box need be looked at any more: each fails for certain, or the box's least keeps the
    /// duties and is noted as the best.
    fn dead(&mut self, settings: &[usize], proven: &Proven, (low, high): &Counts) -> bool {
        let whole = low.iter().zip(high).zip(&proven.from);
        let monotone = whole
            .clone()
            .all(|((low, high), from)| low == high || from.is_some_and(|from| *low >= from));
        let point = |counts: &[u64]| Point {
            counts: counts.to_vec(),
            settings: settings.to_vec(),
        };
        if self.for_ever && self.short(settings, proven, low, high) {
            return true;
        }
        if monotone && low != high {
            let Some(great) = self.trial(&point(high)) else {
                return true;
            };
            if let Some((_, breaks)) = great.breaks
                && self.fails(settings, proven, low, &great, breaks)
            {
                return true;
            }
        }
        if low == high || monotone {
            let Some(least) = self.trial(&point(low)) else {
                return true;
            };
            return low == high || least.keeps(self.for_ever);
        }
        false
    }

    /// Whether all combinations from `low` to one that breaks a duty at `breaks` break one too.
    fn fails(
        &mut self,
        settings: &[usize],
        proven: &Proven,
        low: &[u64],
        great: &FirstBreak,
        breaks: Ms,
    ) -> bool {
        let day = self.piece.plan.world.day_ms();
        let last = self.off(proven, great).unwrap_or(breaks).min(breaks);
        if proven.covered(0, last, day) {
            return true;
        }
        let point = Point {
            counts: low.to_vec(),
            settings: settings.to_vec(),
        };
        let Some(least) = self.trial(&point) else {
            return false;
        };
        // No output goes off earlier than with the least.
        let first = self.off(proven, &least).unwrap_or(least.until);
        least.breaks.is_some() && (first >= breaks || proven.covered(first, last, day))
    }

    /// Whether a battery that must never run flat is given too little by all the sources of a box's greatest corner.
    fn short(&mut self, settings: &[usize], proven: &Proven, low: &[u64], high: &[u64]) -> bool {
        let days = (self.piece.plan.world.weather.len() as u64).max(1);
        let time = days * self.piece.plan.world.day_ms();
        for need in &proven.needs {
            let dim = |place: usize| self.piece.banks.iter().position(|b| *b == place);
            if dim(need.battery).is_none_or(|d| low[d] < need.from) {
                continue;
            }
            let mut given: Energy = 0;
            for source in &need.sources {
                let count = dim(*source).map_or(1, |d| high[d]);
                let one = self.given_by(*source, settings, days);
                given = given.saturating_add(one.saturating_mul(Energy::from(count)));
            }
            if need.short(given, time) {
                return true;
            }
        }
        false
    }

    /// What one of the source at `place` has to give over a round of weather.
    fn given_by(&mut self, place: usize, settings: &[usize], days: u64) -> Energy {
        let part = &self.piece.plan.parts[place];
        let tried = self.tried.iter().position(|t| t.part == part.id);
        let key = (place, tried.map(|t| settings[t]));
        if let Some(known) = self.given.get(&key) {
            return *known;
        }
        let mut one = part.clone();
        one.count = 1;
        let mut parts = vec![one];
        set(&mut parts, self.tried, settings);
        let given = given(&self.piece.plan, parts.remove(0), days);
        self.given.insert(key, given);
        given
    }
}

/// Gives the parts the settings of these numbers.
pub(super) fn set(parts: &mut [Part], tried: &[Tried], settings: &[usize]) {
    for (tried, number) in tried.iter().zip(settings) {
        // The present setting stays as it is written.
        if *number > 0
            && let Some(part) = parts.iter_mut().find(|p| p.id == tried.part)
        {
            grid::put(part, tried.settings[*number]);
        }
    }
}

/// A box in two: at the count from which on something is proven, else the least count from the rest, else in the middle
/// of the longest side.
fn cut(proven: &Proven, low: Vec<u64>, high: Vec<u64>) -> [Counts; 2] {
    let sides = || 0..low.len();
    let open = sides().find(|d| low[*d] < high[*d] && proven.from[*d].is_none_or(|f| low[*d] < f));
    let longest = || sides().max_by_key(|d| (high[*d] - low[*d], Reverse(*d)));
    let (dim, last) = match open {
        Some(dim) => (dim, low[dim]),
        None => {
            let dim = longest().unwrap_or(0);
            (dim, low[dim] + (high[dim] - low[dim]) / 2)
        }
    };
    let (mut below, mut above) = (high.clone(), low.clone());
    below[dim] = last;
    above[dim] = last + 1;
    [(low, below), (above, high)]
}
