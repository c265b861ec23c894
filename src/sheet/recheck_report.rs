//! What other numbers change about plans, in words: the duties of one plan whose verdicts differ, and all kept plans
//! together. It judges nothing and proves nothing.

use super::losses::moment;
use super::numbers_changed::{self, Said};
use super::verdict;
use crate::plan::Plan;
use crate::proof::recheck::{Concern, DutyChange, Recheck, Side, Turn, broken_since};
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
}

impl Counts {
    /// Of one plan.
    pub fn of(found: &Recheck) -> Counts {
        Counts {
            worse: found.count(Turn::Worse),
            otherwise: found.count(Turn::Otherwise),
            better: found.count(Turn::Better),
            same: found.count(Turn::Same),
        }
    }

    /// With those of another plan.
    pub fn and(self, other: Counts) -> Counts {
        Counts {
            worse: self.worse + other.worse,
            otherwise: self.otherwise + other.otherwise,
            better: self.better + other.better,
            same: self.same + other.same,
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
}

impl Counts {
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
    /// Why, of the first gap.
    pub why: Option<String>,
}

impl DutyLine {
    /// Its verdicts: `kept for ever → broken, 1 gap, first on day 2 04:30`.
    pub fn says(&self) -> String {
        let since = self.since.as_ref();
        let since = since.map(|since| format!(", first on {since}"));
        format!(
            "{} → {}{}",
            self.before,
            self.after,
            since.unwrap_or_default()
        )
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
    let line = |change: &DutyChange| DutyLine {
        turn: change.turn,
        duty: verdict::duty(plan, &change.duty),
        before: verdict::of_duty(&found.before, &change.before),
        after: verdict::of_duty(&found.after, &change.after),
        since: broken_since(&change.after).map(|t| moment(&found.plan, t)),
        // The sentence of the first gap will do here: the plan's own page of duties tells all.
        why: change.causes.first().map(|cause| cause.says(&found.plan)),
    };
    let changed = found.duties.iter().filter(|d| d.turn != Turn::Same);
    changed.map(line).collect()
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

/// What became of a kept plan.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum PlanOutcome {
    /// It was proven on both.
    Proven(PlanReport),
    /// It can't stand on the numbers that were given: the reasons, a sentence each.
    Refused(Vec<String>),
    /// It can't be read throughout: what is wrong with it, a sentence each.
    Unreadable(Vec<String>),
    /// The proof came to no end, for this reason.
    Failed(String),
}

/// A kept plan in the report.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct PlanSection {
    /// The key under which it is kept.
    pub key: String,
    /// What it is called.
    pub title: String,
    /// What became of it.
    pub outcome: PlanOutcome,
}

impl PlanSection {
    /// How it went, in one line: `1 duty worse, 4 the same.`
    pub fn says(&self, side: Side) -> String {
        match (&self.outcome, side) {
            (PlanOutcome::Proven(told), _) if told.duties.is_empty() => match told.counts.same {
                0 => "It has no duties.".into(),
                1 => "Its one duty stands as before.".into(),
                all => format!("All {all} duties stand as before."),
            },
            (PlanOutcome::Proven(told), _) => told.counts.says_some() + ".",
            (PlanOutcome::Refused(_), Side::After) => "It can't stand on the new numbers.".into(),
            (PlanOutcome::Refused(_), Side::Before) => {
                "It could not stand on the numbers of before, so nothing can be set beside it."
                    .into()
            }
            (PlanOutcome::Unreadable(_), _) => "It can't be read throughout.".into(),
            (PlanOutcome::Failed(why), _) => format!("Not proven: {why}."),
        }
    }

    /// The reasons beside that line.
    pub fn reasons(&self) -> &[String] {
        match &self.outcome {
            PlanOutcome::Refused(reasons) | PlanOutcome::Unreadable(reasons) => reasons,
            PlanOutcome::Proven(_) | PlanOutcome::Failed(_) => &[],
        }
    }

    /// What was proven, if it was.
    pub fn proven(&self) -> Option<&PlanReport> {
        match &self.outcome {
            PlanOutcome::Proven(told) => Some(told),
            _ => None,
        }
    }

    /// Where it stands in the report: what is worse first, then what could not be proven, what changed, and the rest.
    fn rank(&self) -> u8 {
        match &self.outcome {
            PlanOutcome::Proven(told) if told.counts.worse > 0 => 0,
            PlanOutcome::Proven(told) if told.duties.is_empty() => 3,
            PlanOutcome::Proven(_) => 2,
            _ => 1,
        }
    }
}

/// Whose numbers changed.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Source {
    /// A world's, called so.
    World(String),
    /// Those of built-in books, called so, which have new versions.
    NewVersions(Vec<String>),
    /// Those of a plan's own book, called so.
    OwnBook(String),
}

/// What new numbers change about the kept plans, as far as they are proven.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Report {
    /// Whose numbers they are.
    pub source: Source,
    /// On which side of the change the numbers stand that the plans are proven on beside their own.
    pub side: Side,
    /// The plans that are proven, in the order of the report.
    pub plans: Vec<PlanSection>,
    /// How many are still to be proven, or were left out when it was stopped.
    pub left: usize,
    /// Whether nothing more comes.
    pub is_over: bool,
}

impl Report {
    /// Nothing is proven yet, of so many plans.
    pub fn begun(source: Source, side: Side, plans: usize) -> Report {
        Report {
            source,
            side,
            plans: Vec::new(),
            left: plans,
            is_over: plans == 0,
        }
    }

    /// Takes in what became of one of those that were left; nothing where the numbers have nothing to do with it.
    pub fn take(&mut self, section: Option<PlanSection>) {
        self.left = self.left.saturating_sub(1);
        if let Some(section) = section {
            let rank = section.rank();
            let at = self.plans.partition_point(|p| p.rank() <= rank);
            self.plans.insert(at, section);
        }
    }

    /// Whether a duty is worse, or a plan could not be proven.
    pub fn is_bad_news(&self) -> bool {
        self.plans.iter().any(|plan| plan.rank() < 2)
    }

    /// How many plans the numbers have to do with, as far as is known.
    pub fn all(&self) -> usize {
        self.plans.len() + self.left
    }

    /// What is under way: `Proving 3 plans on the new numbers`.
    pub fn proving(&self) -> String {
        format!("Proving {} on the new numbers", plans(self.all()))
    }

    /// The whole in one sentence: `3 plans follow Kittiwake sands: 1 duty of 1 plan is worse.`
    pub fn sentence(&self) -> String {
        let all = self.all();
        let verb = |one: &'static str, more: &'static str| if all < 2 { one } else { more };
        let who = match &self.source {
            Source::World(name) => format!("{} {} {name}", plans(all), verb("follows", "follow")),
            Source::NewVersions(names) => {
                let of = match names.len() {
                    1 => "the new version of the book",
                    _ => "new versions of the books",
                };
                let (use_it, names) = (verb("uses", "use"), names.join(" and "));
                format!("{} {use_it} {of} {names}", plans(all))
            }
            Source::OwnBook(name) => {
                let have = verb("has", "have");
                let others = counted(all, "other plan", "other plans");
                format!("{others} {have} a book called {name}")
            }
        };
        match all {
            0 => who + ".",
            _ => format!("{who}: {}.", self.what().join(", ")),
        }
    }

    /// What came of them, piece by piece.
    fn what(&self) -> Vec<String> {
        let proven = || self.plans.iter().filter_map(PlanSection::proven);
        let counts = proven()
            .map(|told| told.counts)
            .fold(Counts::default(), Counts::and);
        let turned = |count: fn(&Counts) -> usize, [one, more]: [&str; 2]| {
            let found = proven().map(|told| count(&told.counts)).filter(|n| *n > 0);
            let (of, all) = found.fold((0, 0), |(of, all), n| (of + 1, all + n));
            let is = if all == 1 { one } else { more };
            (all > 0).then(|| format!("{} of {} {is}", duties(all), plans(of)))
        };
        let count =
            |is: fn(&PlanOutcome) -> bool| self.plans.iter().filter(|p| is(&p.outcome)).count();
        let mut what = Vec::new();
        what.extend(turned(|c| c.worse, ["is worse", "are worse"]));
        what.extend(turned(|c| c.better, ["is better", "are better"]));
        what.extend(turned(
            |c| c.otherwise,
            ["stands otherwise", "stand otherwise"],
        ));
        if what.is_empty() && proven().next().is_some() {
            what.push(match counts.same {
                0 => "there is no duty to prove".into(),
                _ => "no duty changes".into(),
            });
        }
        let rest = [
            (
                count(|o| matches!(o, PlanOutcome::Refused(_))),
                match self.side {
                    Side::After => "can't stand on the new numbers",
                    Side::Before => "could not stand on the numbers of before",
                },
            ),
            (
                count(|o| matches!(o, PlanOutcome::Unreadable(_))),
                "can't be read",
            ),
            (
                count(|o| matches!(o, PlanOutcome::Failed(_))),
                "could not be proven",
            ),
        ];
        let rest = rest.into_iter().filter(|(count, _)| *count > 0);
        what.extend(rest.map(|(count, says)| format!("{} {says}", plans(count))));
        if self.left > 0 {
            let are = if self.left == 1 { "is" } else { "are" };
            what.push(format!("{} {are} not proven", plans(self.left)));
        }
        what
    }
}

fn duties(count: usize) -> String {
    match count {
        1 => "1 duty".into(),
        _ => format!("{count} duties"),
    }
}

fn plans(count: usize) -> String {
    counted(count, "plan", "plans")
}

/// So many of something: `No plan`, `1 plan`, `3 plans`. None stands only where a sentence begins.
fn counted(count: usize, one: &str, more: &str) -> String {
    match count {
        0 => format!("No {one}"),
        1 => format!("1 {one}"),
        _ => format!("{count} {more}"),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::plan::{BookRef, read_plan};
    use crate::proof::recheck::{NewNumbers, recheck};
    use serde_json::{Value, json};

    /// The dusk lamp with batteries of the built-in book that hold so many hundredths.
    fn dusk_lamp(share: u64) -> PlanReport {
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

    fn section(key: &str, outcome: PlanOutcome) -> PlanSection {
        PlanSection {
            key: key.into(),
            title: format!("Plan {key}"),
            outcome,
        }
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
        let says = section("a", PlanOutcome::Proven(same)).says(Side::After);
        assert_eq!(says, "All 2 duties stand as before.");
    }

    #[test]
    fn the_report_says_in_one_sentence_what_came_of_all_plans() {
        let source = Source::World("Kittiwake sands".into());
        let mut report = Report::begun(source, Side::After, 3);
        assert_eq!(report.proving(), "Proving 3 plans on the new numbers");
        assert!(!report.is_bad_news());
        report.take(Some(section("a", PlanOutcome::Proven(dusk_lamp(200)))));
        report.take(Some(section("b", PlanOutcome::Proven(dusk_lamp(25)))));
        let said =
            "3 plans follow Kittiwake sands: 2 duties of 1 plan are worse, 1 plan is not proven.";
        assert_eq!(report.sentence(), said);
        report.take(None);
        let said = "2 plans follow Kittiwake sands: 2 duties of 1 plan are worse.";
        assert_eq!(report.sentence(), said);
        let keys: Vec<&str> = report.plans.iter().map(|p| p.key.as_str()).collect();
        assert_eq!(keys, ["b", "a"], "the worse first");
        assert!(report.is_bad_news());
        assert_eq!(report.plans[0].says(Side::After), "2 duties worse.");
    }

    #[test]
    fn plans_that_cant_be_proven_are_counted_and_say_why() {
        let source = Source::NewVersions(vec!["Outpost".into()]);
        let mut report = Report::begun(source, Side::Before, 4);
        report.take(Some(section(
            "a",
            PlanOutcome::Proven(PlanReport {
                counts: Counts::default(),
                duties: Vec::new(),
                numbers: Vec::new(),
            }),
        )));
        report.take(Some(section(
            "b",
            PlanOutcome::Refused(vec!["No lamp.".into()]),
        )));
        report.take(Some(section(
            "c",
            PlanOutcome::Unreadable(vec!["No type.".into()]),
        )));
        report.take(Some(section(
            "d",
            PlanOutcome::Failed("no worker starts".into()),
        )));
        let said = "4 plans use the new version of the book Outpost: there is no duty to prove, \
                    1 plan could not stand on the numbers of before, 1 plan can't be read, 1 plan could not be proven.";
        assert_eq!(report.sentence(), said);
        let told: Vec<(String, usize)> = (report.plans.iter())
            .map(|p| (p.says(report.side), p.reasons().len()))
            .collect();
        let before =
            "It could not stand on the numbers of before, so nothing can be set beside it.";
        let expected = [
            (before, 1),
            ("It can't be read throughout.", 1),
            ("Not proven: no worker starts.", 0),
            ("It has no duties.", 0),
        ];
        assert_eq!(
            told,
            expected.map(|(said, reasons)| (said.to_string(), reasons))
        );
    }

    #[test]
    fn without_plans_there_is_no_more_to_say() {
        let none = |source: Source| Report::begun(source, Side::After, 0).sentence();
        assert_eq!(
            none(Source::World("Ledge".into())),
            "No plan follows Ledge."
        );
        let own = Source::OwnBook("shore".into());
        assert_eq!(none(own), "No other plan has a book called shore.");
        let new = Source::NewVersions(vec!["Outpost".into(), "Harbour".into()]);
        assert_eq!(
            none(new),
            "No plan uses new versions of the books Outpost and Harbour."
        );
    }
}
