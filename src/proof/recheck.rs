//! Numbers change: a plan proven on its own numbers and on others, duty by duty.
//!
//! Both checks are those that anybody would make of the plan as it is and of the plan with the other numbers written into
//! it; nothing is shared between them. A duty is *worse* where it was kept and is not, or where it is broken for a larger
//! share of the time that was run. It judges no plan that can't stand on the numbers: it says why.

use super::cause::{Cause, causes};
use super::check::{Check, Verdict, check};
use crate::plan::{BookRef, Duty, NamedWorld, NumberChange, Numbers, Plan, Refusal, World};
use crate::quantity::Ms;
use serde::{Deserialize, Serialize};

/// The numbers that are to be tried; what is none stays each plan's own.
#[derive(Clone, Debug, Default)]
pub struct NewNumbers {
    /// Another world.
    pub world: Option<World>,
    /// Another book.
    pub book: Option<BookRef>,
    /// The id and the name of the world, where the numbers are a world's that plans can follow.
    pub followed: Option<(String, String)>,
}

/// On which side of a change the numbers stand that are given beside a plan's own.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub enum Side {
    /// They are the earlier ones, and the plan stands on the new ones already: its built-in book has a new version.
    Before,
    /// They are the new ones, and the plan stands on those of before.
    After,
}

/// Whether new numbers have to do with a plan.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Concern {
    /// They do.
    Concerned,
    /// The plan's book is one of another name.
    OtherBook(String),
    /// The plan follows another world, called so.
    OtherWorld(String),
    /// The plan follows no world.
    FollowsNone,
}

/// How a duty stands on the new numbers beside its own.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
pub enum Turn {
    /// It was kept and is broken, or is broken for longer.
    Worse,
    /// It is as good or bad, at other times or not proven for as long.
    Otherwise,
    /// It was broken and is kept, or is broken for less long.
    Better,
    /// Nothing of its verdict differs.
    Same,
}

/// What became of one duty.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct DutyChange {
    /// The duty.
    pub duty: Duty,
    /// The verdict on the plan's own numbers.
    pub before: Verdict,
    /// The verdict on the new ones.
    pub after: Verdict,
    /// Which way it turned.
    pub turn: Turn,
    /// Why it is broken on the new numbers, gap by gap; empty where it is kept.
    pub causes: Vec<Cause>,
}

/// A plan on its own numbers and on others.
#[derive(Clone, Debug, PartialEq)]
pub struct Recheck {
    /// The plan with the new numbers.
    pub plan: Plan,
    /// The check of the plan as it is.
    pub before: Check,
    /// The check on the new numbers.
    pub after: Check,
    /// The duties, in the plan's order.
    pub duties: Vec<DutyChange>,
    /// The numbers that differ, whether a part has to do with them or not.
    pub numbers: Vec<NumberChange>,
}

impl NewNumbers {
    /// The numbers of a world that plans can follow.
    pub fn of_world(world: &NamedWorld) -> NewNumbers {
        NewNumbers {
            world: Some(world.numbers.world.clone()),
            book: Some(world.numbers.book.clone()),
            followed: Some((world.id().into(), world.name.clone())),
        }
    }

    /// The whole numbers that `plan` is to be proven on.
    pub fn of_plan(&self, plan: &Plan) -> Numbers {
        Numbers {
            world: self.world.as_ref().unwrap_or(&plan.world).clone(),
            book: self.book.as_ref().unwrap_or(&plan.book).clone(),
        }
    }

    /// Whether these numbers have to do with `plan`: a book concerns plans with a book of its name, a world those that
    /// follow it.
    pub fn concern(&self, plan: &Plan) -> Concern {
        if let Some((id, _)) = &self.followed {
            return match &plan.follows {
                None => Concern::FollowsNone,
                Some(follows) if follows.world != *id => {
                    Concern::OtherWorld(follows.called().into())
                }
                Some(_) => Concern::Concerned,
            };
        }
        let own = &plan.book.book.name;
        match &self.book {
            Some(book) if book.book.name != *own => Concern::OtherBook(own.clone()),
            _ => Concern::Concerned,
        }
    }
}

/// Proves a plan on its own numbers and on others; every reason where it can't stand on those.
pub fn recheck(plan: &Plan, numbers: &NewNumbers) -> Result<Recheck, Vec<Refusal>> {
    let numbers = numbers.of_plan(plan);
    let changed = plan.on_numbers(&numbers)?;
    let (before, after) = (check(plan), check(&changed));
    let causes = causes(&changed, &after, &mut |_, _| {});
    let verdicts = before.duties.iter().zip(&after.duties);
    let duties = (plan.duties.iter().zip(verdicts).zip(causes))
        .map(|((duty, (was, is)), causes)| DutyChange {
            duty: duty.clone(),
            before: was.clone(),
            after: is.clone(),
            turn: turn((plan, &before, was), (&changed, &after, is)),
            causes,
        })
        .collect();
    Ok(Recheck {
        numbers: plan.numbers().changes(&changed.numbers()),
        plan: changed,
        before,
        after,
        duties,
    })
}

/// As [`recheck`], with the given numbers on either side; every reason where the plan can't stand on them.
pub fn recheck_beside(
    plan: &Plan,
    given: &NewNumbers,
    side: Side,
) -> Result<Recheck, Vec<Refusal>> {
    match side {
        Side::After => recheck(plan, given),
        Side::Before => {
            let earlier = plan.on_numbers(&given.of_plan(plan))?;
            let own = NewNumbers {
                world: Some(plan.world.clone()),
                book: Some(plan.book.clone()),
                followed: None,
            };
            recheck(&earlier, &own)
        }
    }
}

impl Recheck {
    /// Whether a duty is worse.
    pub fn is_worse(&self) -> bool {
        self.duties.iter().any(|duty| duty.turn == Turn::Worse)
    }

    /// How many duties turned that way.
    pub fn count(&self, turn: Turn) -> usize {
        self.duties.iter().filter(|duty| duty.turn == turn).count()
    }
}

impl Turn {
    /// The word for it.
    pub const fn word(self) -> &'static str {
        match self {
            Turn::Worse => "worse",
            Turn::Otherwise => "otherwise",
            Turn::Better => "better",
            Turn::Same => "same",
        }
    }
}

/// A verdict with the check that it is of.
type Judged<'a> = (&'a Plan, &'a Check, &'a Verdict);

fn turn(before: Judged, after: Judged) -> Turn {
    let (was, is) = (before.2, after.2);
    match (was.kept, is.kept) {
        (true, false) => return Turn::Worse,
        (false, true) => return Turn::Better,
        (true, true) if before.1.for_ever == after.1.for_ever => return Turn::Same,
        (true, true) => return Turn::Otherwise,
        (false, false) => {}
    }
    // Shares of the time that was run, compared without dividing.
    let broken = |(_, _, verdict): Judged| -> u128 {
        let gaps = verdict.gaps.iter();
        gaps.map(|gap| u128::from(gap.to - gap.from)).sum()
    };
    let run = |(plan, check, _): Judged| -> u128 {
        u128::from(check.days.max(1)) * u128::from(plan.world.day_ms())
    };
    let (a, b) = (broken(before) * run(after), broken(after) * run(before));
    match b.cmp(&a) {
        std::cmp::Ordering::Greater => Turn::Worse,
        std::cmp::Ordering::Less => Turn::Better,
        _ if was.gaps == is.gaps && before.1.for_ever == after.1.for_ever => Turn::Same,
        _ => Turn::Otherwise,
    }
}

/// When a duty is broken first, if it is.
pub fn broken_since(verdict: &Verdict) -> Option<Ms> {
    verdict.gaps.first().map(|gap| gap.from)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::book::Behaviour;
    use crate::plan::{Follows, read_plan};
    use std::sync::Arc;

    fn kittiwake() -> Plan {
        read_plan(include_str!("../../assets/examples/kittiwake-light.json")).unwrap()
    }

    /// The plan's book with every load drawing so much more.
    fn hungrier(plan: &Plan, more: u64) -> BookRef {
        let mut book = plan.book.clone();
        for kind in &mut Arc::make_mut(&mut book.book).types {
            if let Behaviour::Load { draw, .. } = &mut kind.behaviour {
                *draw += more;
            }
        }
        book
    }

    #[test]
    fn on_its_own_numbers_nothing_is_worse_and_nothing_differs() {
        let plan = kittiwake();
        let found = recheck(&plan, &NewNumbers::default()).unwrap();
        assert_eq!(
            (found.count(Turn::Same), found.duties.len()),
            (plan.duties.len(), plan.duties.len())
        );
        assert_eq!(found.before, found.after);
        assert!(!found.is_worse() && found.numbers.is_empty());
    }

    #[test]
    fn hungrier_loads_make_duties_worse_and_the_cause_is_told() {
        let plan = kittiwake();
        let numbers = NewNumbers {
            book: Some(hungrier(&plan, 40)),
            ..NewNumbers::default()
        };
        let found = recheck(&plan, &numbers).unwrap();
        assert!(found.is_worse());
        for duty in &found.duties {
            assert_eq!(duty.causes.len(), duty.after.gaps.len());
            assert_eq!(duty.causes.is_empty(), duty.after.kept);
            let worse = duty.before.kept && !duty.after.kept;
            assert!(!worse || duty.turn == Turn::Worse);
        }
        let back = NewNumbers {
            book: Some(plan.book.clone()),
            ..NewNumbers::default()
        };
        let again = recheck(&found.plan, &back).unwrap();
        let broke = found
            .duties
            .iter()
            .filter(|d| d.before.kept && !d.after.kept);
        assert_eq!(
            again
                .duties
                .iter()
                .filter(|d| !d.before.kept && d.after.kept)
                .count(),
            broke.count()
        );
        assert_eq!(again.after, found.before);
    }

    #[test]
    fn earlier_numbers_are_the_same_change_seen_from_the_plan_that_has_it_behind_it() {
        let plan = kittiwake();
        let numbers = |book: BookRef| NewNumbers {
            book: Some(book),
            ..NewNumbers::default()
        };
        let forwards = recheck(&plan, &numbers(hungrier(&plan, 40))).unwrap();
        let changed = &forwards.plan;
        let seen = recheck_beside(changed, &numbers(plan.book.clone()), Side::Before).unwrap();
        assert_eq!(
            (seen.before, seen.after, seen.duties, seen.numbers),
            (
                forwards.before,
                forwards.after,
                forwards.duties,
                forwards.numbers
            )
        );
    }

    #[test]
    fn a_book_concerns_plans_of_its_name_and_a_world_those_that_follow_it() {
        let mut plan = kittiwake();
        let mut other = plan.book.clone();
        Arc::make_mut(&mut other.book).name = "inland".into();
        let book = |book: &BookRef| NewNumbers {
            book: Some(book.clone()),
            ..NewNumbers::default()
        };
        assert_eq!(book(&plan.book).concern(&plan), Concern::Concerned);
        assert_eq!(
            book(&other).concern(&plan),
            Concern::OtherBook("outpost".into())
        );
        let world = NamedWorld::new("k1", "Kittiwake sands", plan.numbers());
        let numbers = NewNumbers::of_world(&world);
        assert_eq!(numbers.concern(&plan), Concern::FollowsNone);
        plan.follows = Some(Follows::new("k2", "Ledge"));
        assert_eq!(numbers.concern(&plan), Concern::OtherWorld("Ledge".into()));
        plan.follows = Some(Follows::new("k1", ""));
        assert_eq!(numbers.concern(&plan), Concern::Concerned);
    }

    #[test]
    fn a_plan_that_lacks_a_type_is_refused_with_it() {
        let plan = kittiwake();
        let mut book = plan.book.clone();
        Arc::make_mut(&mut book.book)
            .types
            .retain(|t| t.name != "siren");
        let numbers = NewNumbers {
            book: Some(book),
            ..NewNumbers::default()
        };
        let refused = recheck(&plan, &numbers).unwrap_err();
        assert!(
            matches!(&refused[..], [Refusal::NoType { kind, .. }] if kind == "siren"),
            "{refused:?}"
        );
    }
}
