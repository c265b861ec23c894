//! What new numbers change about all kept plans that they have to do with: plan by plan, and in one sentence.

use super::{Counts, PlanReport, duties};
use crate::proof::recheck::Side;

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
            (PlanOutcome::Proven(told), _) if told.duties.is_empty() => {
                match (told.counts.same, told.counts.same_broken) {
                    (0, _) => "It has no duties.".into(),
                    (1, 0) => "Its one duty is kept, as before.".into(),
                    (1, _) => "Its one duty is broken, as before.".into(),
                    (all, 0) => format!("All {all} duties are kept, as before."),
                    (all, broken) if all == broken => {
                        format!("All {all} duties are broken, as before.")
                    }
                    (all, broken) => {
                        format!("All {all} duties stand as before, {broken} of them broken.")
                    }
                }
            }
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
    use super::super::tests::dusk_lamp;
    use super::*;

    fn section(key: &str, outcome: PlanOutcome) -> PlanSection {
        PlanSection {
            key: key.into(),
            title: format!("Plan {key}"),
            outcome,
        }
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
        let says = |at: usize| report.plans[at].says(Side::After);
        assert_eq!(says(0), "2 duties worse.");
        assert_eq!(says(1), "All 2 duties are kept, as before.");
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
