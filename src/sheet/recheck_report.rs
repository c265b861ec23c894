//! What other numbers change about a plan, in words: the duties whose verdicts differ, and why. It judges nothing and
//! proves nothing. [`kept`] puts the reports on all kept plans together.

pub mod kept;

use super::losses::moment;
use super::numbers_changed::{self, Said};
use super::verdict;
use crate::plan::Plan;
use crate::proof::Cause;
use crate::proof::recheck::{Concern, DutyChange, Recheck, Turn, broken_since};
use serde::{Deserialize, Serialize};

/// How many duties turned which way.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
pub struct Counts {
    /// Kept before and broken now, or broken for longer.
    pub worse: usize,
    /// As good, at other times.
    pub otherwise: usize,
    /// Broken before and kept now, or broken for less long.
    pub better: usize,
    /// Nothing differs.
    pub same: usize,
    /// How many of those are broken, before as after.
    pub same_broken: usize,
}

impl Counts {
    /// Of one plan.
    pub fn of(found: &Recheck) -> Counts {
        Counts {
            worse: found.count(Turn::Worse),
            otherwise: found.count(Turn::Otherwise),
            better: found.count(Turn::Better),
            same: found.count(Turn::Same),
            same_broken: (found.duties.iter())
                .filter(|duty| duty.turn == Turn::Same && !duty.after.kept)
                .count(),
        }
    }

    /// With those of another plan.
    pub fn and(self, other: Counts) -> Counts {
        Counts {
            worse: self.worse + other.worse,
            otherwise: self.otherwise + other.otherwise,
            better: self.better + other.better,
            same: self.same + other.same,
            same_broken: self.same_broken + other.same_broken,
        }
    }

    /// `1 duty worse, 0 otherwise, 2 better, 4 the same`.
    pub fn says(self) -> String {
        format!(
            "{} worse, {} otherwise, {} better, {} the same",
            duties(self.worse),
            self.otherwise,
            self.better,
            self.same
        )
    }

    /// The same without what is none: `1 duty worse, 4 the same`.
    fn says_some(self) -> String {
        let pieces = [
            (self.worse, "worse"),
            (self.better, "better"),
            (self.otherwise, "otherwise"),
            (self.same, "the same"),
        ];
        let mut said = String::new();
        for (count, word) in pieces.into_iter().filter(|(count, _)| *count > 0) {
            said += &match said.as_str() {
                "" => format!("{} {word}", duties(count)),
                _ => format!(", {count} {word}"),
            };
        }
        said
    }
}

/// A duty whose verdict differs.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct DutyLine {
    /// Which way it turned.
    pub turn: Turn,
    /// The duty: `Dusk lamp, while it is dark`.
    pub duty: String,
    /// The verdict before: `kept for ever`.
    pub before: String,
    /// The verdict on the new numbers: `broken, 1 gap`.
    pub after: String,
    /// Since when it is broken on the new numbers, where it is: `day 2 04:30`.
    pub since: Option<String>,
    /// Why, of the longest gap: the first day is often milder than those that come again and again.
    pub why: Option<String>,
    /// In how many days its gaps were counted before and are now, where that differs and there are gaps on both sides:
    /// fewer gaps may be more.
    pub days: Option<[u64; 2]>,
}

impl DutyLine {
    /// Its verdicts: `kept for ever → broken, 1 gap, first on day 2 04:30`.
    pub fn says(&self) -> String {
        let since = self.since.as_ref();
        let since = since.map(|since| format!(", first on {since}"));
        let [before, after] = match self.days {
            Some(days) => days.map(|days| match days {
                1 => " in 1 day".into(),
                days => format!(" in {days} days"),
            }),
            None => [String::new(), String::new()],
        };
        let since = since.unwrap_or_default();
        format!("{}{before} → {}{after}{since}", self.before, self.after)
    }
}

/// A plan that was proven on its own numbers and on others.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct PlanReport {
    /// How many duties turned which way.
    pub counts: Counts,
    /// The duties that changed, the worse first; among equals in the plan's order.
    pub duties: Vec<DutyLine>,
    /// The numbers that differ, can change what a plan does, and that a part of this one has to do with.
    pub numbers: Vec<Said>,
}

impl PlanReport {
    /// Of what came of `plan`; its parts and wires are the same on either side.
    pub fn of(plan: &Plan, found: &Recheck) -> PlanReport {
        let mut duties = duty_lines(plan, found);
        duties.sort_by_key(|line| line.turn);
        PlanReport {
            counts: Counts::of(found),
            duties,
            numbers: numbers_in_use(plan, found),
        }
    }
}

/// The duties of a plan whose verdicts differ, in the plan's order.
pub fn duty_lines(plan: &Plan, found: &Recheck) -> Vec<DutyLine> {
    let days = [found.before.days, found.after.days];
    let line = |change: &DutyChange| DutyLine {
        turn: change.turn,
        duty: verdict::duty(plan, &change.duty),
        before: verdict::of_duty(&found.before, &change.before),
        after: verdict::of_duty(&found.after, &change.after),
        since: broken_since(&change.after).map(|t| moment(&found.plan, t)),
        // One sentence will do here: the plan's own page of duties tells all.
        why: longest(change).map(|cause| cause.says(&found.plan)),
        days: (!change.before.kept && !change.after.kept && days[0] != days[1]).then_some(days),
    };
    let changed = found.duties.iter().filter(|d| d.turn != Turn::Same);
    changed.map(line).collect()
}

/// The cause of the longest gap on the new numbers, of equal ones the first.
fn longest(change: &DutyChange) -> Option<&Cause> {
    let gaps = change.after.gaps.iter().zip(&change.causes).rev();
    let longest = gaps.max_by_key(|(gap, _)| gap.to.saturating_sub(gap.from));
    longest.map(|(_, cause)| cause)
}

/// The numbers that differ, can change what a plan does, and that a part of this one has to do with.
fn numbers_in_use(plan: &Plan, found: &Recheck) -> Vec<Said> {
    let used = found
        .numbers
        .iter()
        .filter(|n| n.is_in_use(plan) && n.has_effect());
    let (from, to) = (&plan.book.book, &found.plan.book.book);
    used.map(|n| numbers_changed::change(n, from, to)).collect()
}

/// Why new numbers have nothing to do with a plan, as a sentence; none where they have.
pub fn not_concerned(concern: &Concern) -> Option<String> {
    match concern {
        Concern::Concerned => None,
        Concern::OtherBook(name) => Some(format!("Its book is {name}.")),
        Concern::OtherWorld(name) => Some(format!("It follows {name}.")),
        Concern::FollowsNone => Some("It follows no world.".into()),
    }
}

fn duties(count: usize) -> String {
    match count {
        1 => "1 duty".into(),
        _ => format!("{count} duties"),
    }
}

#[cfg(test)]
pub(super) mod tests {
    use super::*;
    use crate::plan::{BookRef, read_plan};
    use crate::proof::recheck::{NewNumbers, recheck};
    use serde_json::{Value, json};

    /// The dusk lamp with batteries of the built-in book that hold so many hundredths.
    pub fn dusk_lamp(share: u64) -> PlanReport {
        let plan = read_plan(include_str!("../../assets/examples/dusk-lamp.json")).unwrap();
        let mut book: Value =
            serde_json::from_str(include_str!("../../assets/books/outpost.json")).unwrap();
        for kind in book["types"].as_array_mut().unwrap() {
            if let Some(holds) = kind["capacity"].as_u64() {
                kind["capacity"] = json!(holds * share / 100);
            }
        }
        let numbers = NewNumbers {
            book: Some(BookRef::read(book).unwrap()),
            ..NewNumbers::default()
        };
        PlanReport::of(&plan, &recheck(&plan, &numbers).unwrap())
    }

    #[test]
    fn a_plan_tells_its_changed_duties_with_the_cause_and_the_numbers_that_matter() {
        let told = dusk_lamp(25);
        assert_eq!(told.counts.worse, 2);
        assert_eq!(
            told.counts.says(),
            "2 duties worse, 0 otherwise, 0 better, 0 the same"
        );
        let [lamp, _] = &told.duties[..] else {
            panic!("{told:?}")
        };
        assert_eq!(lamp.duty, "Dusk lamp, while it is dark");
        assert_eq!(lamp.before, "kept for ever");
        assert!(lamp.after.starts_with("broken, "), "{}", lamp.after);
        assert!(lamp.since.as_deref().is_some_and(|s| s.starts_with("day ")));
        let since = lamp.since.as_deref().unwrap();
        assert_eq!(
            lamp.says(),
            format!("kept for ever → {}, first on {since}", lamp.after)
        );
        let broken_before = DutyLine {
            before: "broken, 11 gaps".into(),
            after: "broken, 2 gaps".into(),
            since: None,
            days: Some([12, 1]),
            ..lamp.clone()
        };
        assert_eq!(
            broken_before.says(),
            "broken, 11 gaps in 12 days → broken, 2 gaps in 1 day"
        );
        let why = lamp.why.as_deref().unwrap();
        assert!(why.contains("Shelf battery"), "{why}");
        // Other batteries of the book changed too, and the plan has none of those.
        let numbers: Vec<&str> = told.numbers.iter().map(|n| n.what.as_str()).collect();
        assert_eq!(numbers, ["Battery rack: capacity"]);
        let some = Counts {
            same: 4,
            better: 1,
            ..Counts::default()
        };
        assert_eq!(some.says_some(), "1 duty better, 4 the same");
        let same = dusk_lamp(200);
        assert_eq!((same.counts.same, same.duties.len()), (2, 0));
    }
}
