//! The search: one change after the other, line by line; each step runs one plan.

use super::changes::{Change, Line, lines};
use super::window::{Runs, Seen, Window};
use super::{Against, Found, NoStart, Offer, Wanted, cheapest_first, second};
use crate::plan::Plan;
use crate::proof::check::check_and_runs_keeping;
use crate::proof::findings::{Remedy, Simulation};
use crate::proof::study::Study;
use crate::quantity::Ms;
use crate::works::Bill;
use std::collections::VecDeque;
use std::sync::Arc;

/// How many changes are run at the most: fewer where each takes longer.
fn most_runs(plan: &Plan) -> u64 {
    (60_000 / plan.parts.len().max(1) as u64).clamp(200, 1500)
}

/// How many changes that break a duty are looked at for what they break, where nothing does it.
const LOOKED_AT: usize = 60;
/// How many of one line at the most.
const OF_A_LINE: usize = 6;

/// What a run of a change showed.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Outcome {
    /// The time is met and every duty kept.
    Does,
    /// Every duty is kept, the time is not met.
    Misses,
    /// A duty that was kept is broken, or there is no start any more.
    Breaks,
}

/// How far a line is.
struct UnderWay {
    line: Line,
    /// The next change of those passed to at first.
    next: usize,
    /// What the last of those came to, and the place after it.
    last: (Outcome, usize),
    /// How many changes of it break something.
    broken: usize,
    /// Changes between, to be tried first.
    between: VecDeque<usize>,
    /// The best offer of the line so far.
    offer: Option<Offer>,
}

/// A search under way: an iterator that runs one change at each step. Dropping it stops the search.
pub struct Search {
    seen: Simulation,
    wanted: Wanted,
    window: Window,
    present: Seen,
    waiting: VecDeque<Line>,
    line: Option<UnderWay>,
    lines: (usize, usize),
    most: u64,
    broken: VecDeque<Change>,
    found: Found,
}

impl Search {
    /// Runs the plan and sees what there is to try.
    ///
    /// # Errors
    ///
    /// There is no start to move.
    pub fn new(plan: &Plan, wanted: &Wanted) -> Result<Search, NoStart> {
        Search::of(&Arc::new(Study::new(plan.clone())), wanted)
    }

    /// As [`Search::new`], of a plan that is studied.
    ///
    /// # Errors
    ///
    /// There is no start to move.
    pub fn of(study: &Arc<Study>, wanted: &Wanted) -> Result<Search, NoStart> {
        let seen = Simulation::of(Arc::clone(study));
        let load = seen.place(&wanted.load).ok_or(NoStart::NoLoad)?;
        if !matches!(seen.specs[load], Some(crate::plan::Spec::Load { .. })) {
            return Err(NoStart::NoLoad);
        }
        if !seen.is_whole() || seen.check.is_stopped() {
            return Err(NoStart::Stopped);
        }
        let day = seen.plan.world.day_ms();
        let ran = seen.journey.record.loads.get(&load);
        let runs = Runs::of(&seen.check, ran.map_or(&[], |l| &l.runs), day);
        let window = Window::of(wanted, &runs, day)?;
        let present = window.see(&runs).ok_or(NoStart::Never)?;
        let waiting: VecDeque<Line> = match present.met {
            true => VecDeque::new(),
            false => lines(&seen, window, load).into(),
        };
        let most = most_runs(&seen.plan);
        Ok(Search {
            wanted: wanted.clone(),
            window,
            present,
            lines: (0, waiting.len()),
            waiting,
            line: None,
            most,
            broken: VecDeque::new(),
            found: Found {
                present: Some(window.clock(present.after)),
                met: present.met,
                complete: present.met,
                ..Found::default()
            },
            seen,
        })
    }

    /// How many kinds of change are done with, and of how many.
    pub fn progress(&self) -> (usize, usize) {
        self.lines
    }

    /// What is found so far.
    pub fn found(&self) -> &Found {
        &self.found
    }

    /// The change to be tried next, with its place in the line.
    fn next_place(&mut self) -> Option<(usize, bool)> {
        loop {
            if self.line.is_none() {
                let line = self.waiting.pop_front()?;
                self.line = Some(UnderWay {
                    next: line.stride.min(line.changes.len()) - 1,
                    line,
                    last: (Outcome::Misses, 0),
                    broken: 0,
                    between: VecDeque::new(),
                    offer: None,
                });
            }
            let line = self.line.as_mut()?;
            if let Some(at) = line.between.pop_front() {
                return Some((at, false));
            }
            if line.offer.is_none() && line.next < line.line.changes.len() {
                let at = line.next;
                // The last one is not passed over.
                let last = line.line.changes.len() - 1;
                line.next = match at == last {
                    true => last + 1,
                    false => (at + line.line.stride).min(last),
                };
                return Some((at, true));
            }
            self.end_line();
        }
    }

    fn end_line(&mut self) {
        let line = self.line.take();
        self.lines.0 += 1;
        // What does it with less is there already: a panel turned alone instead of with another.
        let is_more = |offer: &Offer| {
            let edits = &offer.remedy.edits;
            let mut others = self.found.offers.iter();
            others.any(|o| o.remedy.edits.iter().all(|e| edits.contains(e)))
        };
        let offer = line.and_then(|line| line.offer);
        if let Some(offer) = offer.filter(|offer| !is_more(offer)) {
            self.found.offers.push(offer);
            cheapest_first(&mut self.found.offers);
            self.found.nearest = None;
        }
    }

    /// Runs a change: what came of it, and the offer where every duty is kept and the load starts.
    fn run(&self, change: &Change) -> (Outcome, Option<(Seen, Offer)>) {
        let load = &self.wanted.load;
        let judged = self.seen.judged_with_runs(&change.edits, load);
        let Some((check, ran)) = judged.filter(|(check, _)| !check.is_stopped()) else {
            return (Outcome::Breaks, None);
        };
        let runs = Runs::of(&check, &ran, self.window.day);
        let Some(seen) = self.window.see(&runs) else {
            return (Outcome::Breaks, None);
        };
        let outcome = match seen.met {
            true => Outcome::Does,
            false => Outcome::Misses,
        };
        let pairs = self.seen.check.duties.iter().zip(&check.duties).enumerate();
        let newly_kept: Vec<usize> = pairs
            .filter(|(_, (was, is))| is.kept && !was.kept)
            .map(|(at, _)| at)
            .collect();
        let count = |plan: &Plan| i128::from(Bill::of(plan).part_count());
        let before = count(&self.seen.plan);
        let after = self.seen.edited(&change.edits);
        let offer = Offer {
            remedy: Remedy {
                says: self.says(change, seen, newly_kept.len()),
                name: change.name.clone(),
                edits: change.edits.clone(),
            },
            reached: self.window.clock(seen.after),
            materials: Bill::change(&self.seen.plan, &change.edits).unwrap_or_default(),
            parts: after.map_or(0, |plan| count(&plan) - before),
            newly_kept,
            size: change.size,
        };
        (outcome, Some((seen, offer)))
    }

    fn says(&self, change: &Change, seen: Seen, newly_kept: usize) -> String {
        let day = self.window.day;
        let at = |after| second(self.window.clock(after), day);
        let more = match newly_kept {
            0 => String::new(),
            1 => ", and one more is".into(),
            n => format!(", and {n} more are"),
        };
        format!(
            "{}: {} starts at {} instead of {}; every duty that was kept is kept{more}.",
            change.what.trim_end_matches(','),
            self.seen.plan.called(&self.wanted.load),
            at(seen.after),
            at(self.present.after),
        )
    }

    fn note(&mut self, at: usize, first_pass: bool, outcome: Outcome, seen: Option<(Seen, Offer)>) {
        if let Some((seen, offer)) = &seen
            && outcome == Outcome::Misses
            && self.found.offers.is_empty()
        {
            self.note_nearest(*seen, offer);
        }
        let Some(line) = self.line.as_mut() else {
            return;
        };
        if outcome == Outcome::Does {
            // The smallest that does it: whatever was to be tried between is larger than this or not yet tried.
            line.offer = seen.map(|(_, offer)| offer);
            line.between.retain(|place| *place < at);
        }
        if !first_pass {
            return;
        }
        let (last, from) = std::mem::replace(&mut line.last, (outcome, at + 1));
        if last != outcome {
            line.between = (from..at).collect();
        }
    }

    /// Keeps some of each line that break something, to be looked at where nothing does it.
    fn note_broken(&mut self, change: Change, outcome: Outcome) {
        let Some(line) = self.line.as_mut().filter(|_| outcome == Outcome::Breaks) else {
            return;
        };
        line.broken += 1;
        if line.broken <= OF_A_LINE && self.broken.len() < LOOKED_AT {
            self.broken.push_back(change);
        }
    }

    fn note_nearest(&mut self, seen: Seen, offer: &Offer) {
        let is_nearer = |than: Ms| self.window.misses(seen.after) < than;
        let best = match &self.found.nearest {
            Some(nearest) => self.window.misses(self.after(nearest.reached)),
            None => self.window.misses(self.present.after),
        };
        if is_nearer(best) {
            self.found.nearest = Some(offer.clone());
        }
    }

    /// How long after the window opens a moment of the day is.
    fn after(&self, t: Ms) -> Ms {
        (t + self.window.day - self.window.opens) % self.window.day
    }

    /// Runs the next of the changes that broke something to the end, for what it breaks.
    fn look_at_broken(&mut self) -> Option<()> {
        let change = self.broken.pop_front()?;
        let plan = self.seen.edited(&change.edits)?;
        let (check, ran) = check_and_runs_keeping(&plan, &[], &self.wanted.load)?;
        let runs = Runs::of(&check, &ran, self.window.day);
        let seen = self.window.see(&runs).filter(|seen| seen.met)?;
        let pairs = self.seen.check.duties.iter().zip(&check.duties).enumerate();
        let breaks: Vec<usize> = pairs
            .filter(|(_, (was, is))| was.kept && !is.kept)
            .map(|(at, _)| at)
            .collect();
        let fewer = |old: &Against| breaks.len() < old.breaks.len();
        if self.found.against.as_ref().is_none_or(fewer) {
            self.found.against = Some(Against {
                name: change.name,
                reached: self.window.clock(seen.after),
                breaks,
            });
        }
        Some(())
    }
}

impl Iterator for Search {
    type Item = ();

    fn next(&mut self) -> Option<()> {
        if self.found.complete {
            return None;
        }
        if self.found.tried < self.most
            && let Some((at, first_pass)) = self.next_place()
        {
            let change = self.line.as_ref()?.line.changes[at].clone();
            let (outcome, seen) = self.run(&change);
            self.found.tried += 1;
            self.note_broken(change, outcome);
            self.note(at, first_pass, outcome, seen);
            return Some(());
        }
        if self.line.is_some() {
            self.end_line();
        }
        if self.found.offers.is_empty() && !self.broken.is_empty() {
            self.look_at_broken();
            return Some(());
        }
        self.found.complete = self.found.tried < self.most;
        None
    }
}
