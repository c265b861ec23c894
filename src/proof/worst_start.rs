//! The worst start: the instant from which a duty holds for the least time without sun and wind. Milliseconds.
//!
//! Tried is every start at which something happens or a duty starts or stops applying in the days that repeat (else in
//! the last day), and the millisecond before each. Between two of them nothing happens. While sun and wind give nothing
//! there, the run goes on as it would without them. A duty that is in a gap there is in it throughout and holds for no
//! time; one that is in none breaks at the same moment whatever the start, and the latest start, which is tried, is the
//! worst: there the answer is exact. While they give something, and where more energy never
//! breaks a duty sooner, a later start breaks it no sooner than an earlier one: so between the starts `a` and `b` no
//! duty holds for less than from `a`, less `b − a`. Where that could be less than the worst found, the stretch is halved
//! until it can't; [`WorstStarts::apart`] is the longest stretch that was left open, 0 where none was. Where a duty may
//! break sooner because there is more energy (a load ahead that then runs, a contact that follows a battery's charge),
//! the answer is the worst of the starts tried and no more.
//!
//! The days before those that repeat come once, so they are searched after them, and told only where a start is worse
//! there ([`FirstDays`]).
//!
//! The work is bounded. A search that has done half of what it may do goes on with fewer starts, spread over the days
//! that are left, and says that there are more ([`WorstStarts::more`]). It finds no duty that breaks after a run was
//! stopped at its bound of events, so such a start counts for no more than was seen.

use super::autonomy::{Holds, Watched};
use super::check::Check;
use super::words::length;
use crate::book::Profile;
use crate::plan::Plan;
use crate::quantity::Ms;
use serde::{Deserialize, Serialize};

/// The start from which a duty holds for the least time.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct WorstStart {
    /// The start; the first of equals.
    pub from: Ms,
    /// How long the duty holds from there.
    pub holds: Holds,
}

/// The worst start for each duty.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct WorstStarts {
    /// The duties, in the plan's order.
    pub duties: Vec<WorstStart>,
    /// The days whose starts were tried: the first, counted from 0, and the one after the last.
    pub days: (u64, u64),
    /// How many starts were tried.
    pub tried: u64,
    /// The longest time between two starts tried between which a duty might hold for less.
    pub apart: Ms,
    /// Whether there are more starts at which something happens, which were not tried: the search is under way, or the
    /// work would be too much. Then another start may be worse.
    pub more: bool,
    /// Whether the days tried repeat, so that the worst start of all days is among them.
    pub for_ever: bool,
    /// Whether the run was stopped at its bound of events before the starts, so that none was tried after it.
    pub stopped: bool,
    /// The days before those; none where there are none, or while they are not searched.
    pub first_days: Option<FirstDays>,
}

/// The starts in the days before those that repeat, or before the last that was looked at.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct FirstDays {
    /// How many days.
    pub days: u64,
    /// For each duty in the plan's order: the worst of these starts, where it is worse than all of the later days.
    pub duties: Vec<Option<WorstStart>>,
    /// How many of these starts were tried; 0 where no duty can hold for less than it does later.
    pub tried: u64,
    /// As in [`WorstStarts::apart`], of these days.
    pub apart: Ms,
    /// As in [`WorstStarts::more`], of these days.
    pub more: bool,
}

impl FirstDays {
    /// Whether a duty holds for less from one of these days.
    pub fn are_worse(&self) -> bool {
        self.duties.iter().any(Option::is_some)
    }

    /// `the first day`, `the first 3 days`.
    pub fn called(&self) -> String {
        match self.days {
            1 => "the first day".into(),
            days => format!("the first {days} days"),
        }
    }
}

impl WorstStarts {
    /// What was tried, and so what the answer claims.
    pub fn says(&self) -> String {
        let worse = self.first_days.as_ref().filter(|first| first.are_worse());
        let first = worse.map_or(String::new(), |first| {
            let (come, have) = match first.days {
                1 => ("comes", "has"),
                _ => ("come", "have"),
            };
            let called = first.called();
            format!(
                " That is once the days repeat; {called}, which {come} only once, {have} a worse one."
            )
        });
        // Days that are not known to repeat are called by their numbers.
        let first = match self.for_ever {
            true => first,
            false => first
                .replace("once the days repeat", "of that day")
                .replace(", which come only once,", ""),
        };
        self.says_of_these() + &first
    }

    /// As [`WorstStarts::says`], without the first days.
    fn says_of_these(&self) -> String {
        if self.stopped {
            return "No start was tried: the run was stopped at its bound of events.".into();
        }
        let (first, last) = (self.days.0 + 1, self.days.1);
        let days = match last - first {
            0 => format!("day {last}"),
            _ => format!("days {first} to {last}"),
        };
        let which = match self.for_ever {
            true => "that day repeats from then on",
            false => "no later one was looked at",
        };
        let which = if last > first {
            which.replace("that day repeats", "those days repeat")
        } else {
            which.into()
        };
        if self.more {
            return format!(
                "This is the worst of {} starts tried of {days}; {which}. There are more.",
                self.tried
            );
        }
        let apart = match self.apart {
            0 => String::new(),
            apart => format!(
                " A start between two of them may hold up to {} less.",
                length(apart)
            ),
        };
        format!(
            "All {} starts of {days} at which something changes or is about to were tried; {which}.{apart}",
            self.tried
        )
    }
}

/// How much work a search does, in events gone through and parts copied: some seconds.
const WORK: u64 = 10_000_000;

/// How often a stretch between two starts is halved at the most.
const HALVINGS: u32 = 64;

/// The worst start for each duty; `check` is the check of `plan`. `watch` is told how much of the days is done, in
/// milliseconds, and of how much, and what is found so far; it answers whether to go on. What was found by then comes
/// back.
pub fn worst_starts(
    plan: &Plan,
    check: &Check,
    watch: &mut dyn FnMut(Ms, Ms, &WorstStarts) -> bool,
) -> WorstStarts {
    let mut search = Search::new(plan, check, WORK);
    let (begin, end) = (search.begin, search.end);
    if search.found.stopped {
        return search.found;
    }
    let goes_on = search.go(&mut |done, _, found| watch(done, end, found));
    let mut found = search.found;
    if goes_on && begin > 0 {
        let mut first = Search::of_first_days(plan, &found, begin);
        let none_less = |w: &WorstStart| matches!(w.holds, Holds::For { time: 0, .. });
        if found.duties.iter().all(none_less) {
            first.found.more = false;
        } else {
            first.go(&mut |done, _, first| {
                found.first_days = Some(first_days(&found, first));
                watch(end - begin + done, end, &found)
            });
        }
        found.first_days = Some(first_days(&found, &first.found));
    }
    found
}

/// What a search of the first days, begun with what was found `later`, has found.
fn first_days(later: &WorstStarts, first: &WorstStarts) -> FirstDays {
    let both = first.duties.iter().zip(&later.duties);
    FirstDays {
        days: first.days.1,
        duties: both.map(|(a, b)| (a != b).then_some(*a)).collect(),
        tried: first.tried - later.tried,
        apart: first.apart,
        more: first.more,
    }
}

/// A search under way.
struct Search<'a> {
    plan: &'a Plan,
    found: WorstStarts,
    /// The days whose starts are tried.
    begin: Ms,
    end: Ms,
    /// The work done, and what may be done.
    spent: u64,
    work: u64,
    /// From when on starts are spread.
    spread: Option<Ms>,
}

impl Search<'_> {
    fn new<'a>(plan: &'a Plan, check: &Check, work: u64) -> Search<'a> {
        let day = plan.world.day_ms();
        let last = check.days.max(1);
        let first = check.repeats.unwrap_or(last - 1).min(last - 1);
        let unknown = WorstStart {
            from: first * day,
            holds: Holds::Stopped(0),
        };
        Search {
            plan,
            found: WorstStarts {
                duties: vec![unknown; plan.duties.len()],
                days: (first, last),
                tried: 0,
                apart: 0,
                more: true,
                for_ever: check.for_ever,
                stopped: check.is_stopped(),
                first_days: None,
            },
            begin: first * day,
            end: last * day,
            spent: 0,
            work,
            spread: None,
        }
    }

    /// A search of the days before `later`, which end at `end`, for starts that are worse than what was found there.
    fn of_first_days<'a>(plan: &'a Plan, later: &WorstStarts, end: Ms) -> Search<'a> {
        Search {
            plan,
            found: WorstStarts {
                days: (0, later.days.0),
                apart: 0,
                more: true,
                first_days: None,
                ..later.clone()
            },
            begin: 0,
            end,
            spent: 0,
            work: WORK / 2,
            spread: None,
        }
    }

    /// Searches; whether `watch` let it.
    fn go(&mut self, watch: &mut dyn FnMut(Ms, Ms, &WorstStarts) -> bool) -> bool {
        let (begin, end) = (self.begin, self.end);
        let mut run = Watched::new(self.plan);
        let (mut t, mut left_out) = (begin, false);
        while run.go(t) {
            let may = self.next_start(t);
            if may > t {
                left_out = true;
                t = may.min(end);
                if t == end || !run.go(t) {
                    break;
                }
            }
            let next = self.stretch(&mut run, t);
            if next >= end {
                self.found.more = left_out;
                return watch(end - begin, end - begin, &self.found);
            }
            if !watch(next - begin, end - begin, &self.found) {
                return false;
            }
            t = next;
        }
        true
    }

    /// Tries the starts from `t`, to which `run` has come, up to the next event, and answers when that is.
    fn stretch(&mut self, run: &mut Watched, t: Ms) -> Ms {
        // What happens next, this start's own events first.
        let mut ahead = run.engine.clone();
        ahead.advance(t.saturating_add(1));
        let gives = ahead.gives_by(|profile| profile != Profile::Steady) > 0;
        let events = ahead.events();
        ahead.advance_some(self.end, 1);
        let next = if ahead.events() > events {
            ahead.now()
        } else {
            self.end
        };
        let next = run.next_boundary(t).map_or(next, |at| at.min(next));
        let (last, early) = (next - 1, run.clone());
        let from_here = self.try_start(run, t, last - t);
        if last > t && run.go(last) {
            self.try_start(run, last, 0);
            if gives {
                self.halve(early, (t, last), from_here);
            }
        }
        next
    }

    /// When the next start may be tried after `t`, so that what work is left reaches to the end.
    fn next_start(&mut self, t: Ms) -> Ms {
        let half = self.work / 2;
        if self.spent <= half {
            return t;
        }
        let from = *self.spread.get_or_insert(t);
        let days = u128::from(self.end - from);
        let share = u128::from(self.spent - half) * days / u128::from(half.max(1));
        from.saturating_add(Ms::try_from(share).unwrap_or(Ms::MAX))
            .max(t)
    }

    /// Tries a start, to which `run` has come; what holds for longer than the worst found and `more` is not looked at to
    /// the end.
    fn try_start(&mut self, run: &Watched, t: Ms, more: Ms) -> Vec<Holds> {
        let found = &mut self.found;
        let none = vec![Holds::ForEver; self.plan.duties.len()];
        let most = match found.tried {
            0 => none,
            _ => found.duties.iter().map(|w| w.holds.longer(more)).collect(),
        };
        let (holds, events) = run.holds(self.plan, t, &most);
        // The copy costs something too.
        let parts = self.plan.parts.len() as u64;
        self.spent = self.spent.saturating_add(events + parts);
        let starts = holds.iter().map(|holds| WorstStart {
            from: t,
            holds: *holds,
        });
        if found.tried == 0 {
            found.duties = starts.collect();
        } else {
            for (worst, start) in found.duties.iter_mut().zip(starts) {
                if start.holds.is_less(worst.holds) {
                    *worst = start;
                }
            }
        }
        found.tried += 1;
        holds
    }

    /// Whether a duty may hold for less than the worst found somewhere in a stretch of this length, from whose beginning
    /// it holds as in `from`.
    fn is_open(&self, from: &[Holds], length: Ms) -> bool {
        from.iter()
            .zip(&self.found.duties)
            .any(|(holds, worst)| match holds {
                Holds::For { time, .. } | Holds::Stopped(time) => {
                    let time = time.saturating_sub(length);
                    Holds::For { time, on: false }.is_less(worst.holds)
                }
                Holds::Days(_) | Holds::ForEver => false,
            })
    }

    /// Tries starts within the stretch until none in it can be worse; `run` has come to its beginning.
    fn halve(&mut self, run: Watched, (a, b): (Ms, Ms), from: Vec<Holds>) {
        let mut waits = vec![(a, b, run, from)];
        let mut left = HALVINGS;
        while let Some((a, b, run, from)) = waits.pop() {
            if b - a <= 1 || !self.is_open(&from, b - a) {
                continue;
            }
            let stopped = |holds: &Holds| matches!(holds, Holds::Stopped(_));
            // What was stopped from one start is stopped from the next: to halve would find nothing.
            if left == 0 || self.spent > self.work / 2 || from.iter().any(stopped) {
                self.found.apart = self.found.apart.max(b - a);
                continue;
            }
            left -= 1;
            let middle = a + (b - a) / 2;
            let mut later = run.clone();
            if !later.go(middle) {
                self.found.apart = self.found.apart.max(b - a);
                continue;
            }
            let there = self.try_start(&later, middle, b - middle);
            waits.push((middle, b, later, there));
            waits.push((a, middle, run, from));
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::plan::{examples, read_plan};
    use crate::proof::check;

    #[test]
    fn a_search_with_little_work_spreads_its_starts_and_says_that_there_are_more() {
        let plan = read_plan(examples()[0].1).expect("an example reads");
        let (check, day) = (check(&plan), plan.world.day_ms());
        let mut all = worst_starts(&plan, &check, &mut |_, _, _| true);
        // What follows is the search of the days that repeat.
        all.first_days = None;
        assert!(!all.more && all.says().starts_with("All "));
        let search = |work: u64| {
            let mut search = Search::new(&plan, &check, work);
            let mut latest = 0;
            search.go(&mut |done, _, found| {
                assert!(found.more || found.tried == all.tried);
                latest = done;
                true
            });
            (search.found, search.spent, latest)
        };
        let whole = search(u64::MAX);
        assert_eq!(whole.0, all);
        for share in [3, 10, 40] {
            let (some, spent, latest) = search(whole.1 / share);
            assert!(some.more && some.tried < all.tried && some.tried > 1);
            // A start may go beyond the bound, and its last millisecond too.
            assert!(spent < whole.1 / share + whole.1 / 20, "{share}: {spent}");
            let days = all.days.1 - all.days.0;
            assert!(latest > days * day * 9 / 10, "{share}: to {latest} only");
            for (one, worst) in some.duties.iter().zip(&all.duties) {
                assert!(!one.holds.is_less(worst.holds));
            }
            let (first, last) = (all.days.0 + 1, all.days.1);
            let said = format!(
                "This is the worst of {} starts tried of days {first} to {last}; those days repeat from then on. There are more.",
                some.tried
            );
            assert!(first == last || some.says() == said, "{}", some.says());
        }
    }

    #[test]
    fn a_search_that_is_left_says_that_there_are_more() {
        let plan = read_plan(examples()[0].1).expect("an example reads");
        let left = worst_starts(&plan, &check(&plan), &mut |_, _, found| found.tried < 20);
        assert!(left.more && left.says().ends_with(" There are more."));
    }
}
