//! A plan on its own numbers and on others. What comes of it is worded here, where both plans are at hand that the words
//! need; so little is sent to the page.

use super::host::Host;
use super::task::{Answer, GivenNumbers};
use crate::plan::{BookRef, Plan, read_world};
use crate::proof::recheck::{NewNumbers, Side, recheck_beside};
use crate::sheet::numbers_changed;
use crate::sheet::recheck_report::PlanReport;

/// Proves a plan twice; in one piece, since neither proof says anything without the other.
pub(super) fn recheck(plan: &Plan, given: &GivenNumbers, side: Side, host: &dyn Host) {
    let told = numbers(given).and_then(|numbers| {
        let said = |refusal| numbers_changed::refusal(plan, &refusal);
        match recheck_beside(plan, &numbers, side) {
            Ok(found) => Ok(PlanReport::of(plan, &found)),
            Err(refusals) => Err(refusals.into_iter().map(said).collect()),
        }
    });
    host.say(Answer::Rechecked(Box::new(told)));
}

/// The numbers in a text, or what is wrong with it, a sentence each.
fn numbers(given: &GivenNumbers) -> Result<NewNumbers, Vec<String>> {
    let read = match given {
        GivenNumbers::World(text) => read_world(text).map(|world| NewNumbers::of_world(&world)),
        GivenNumbers::Book(text) => crate::read::json(text)
            .map_err(|fault| vec![fault])
            .and_then(BookRef::read)
            .map(|book| NewNumbers {
                book: Some(book),
                ..NewNumbers::default()
            }),
    };
    read.map_err(|faults| faults.iter().map(numbers_changed::fault).collect())
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::plan::{NamedWorld, examples, read_plan};
    use crate::proof::recheck::{Turn, recheck};
    use crate::worker::{Task, answer};
    use serde_json::{Value, json};

    fn told(plan: &Plan, given: GivenNumbers, side: Side) -> Result<PlanReport, Vec<String>> {
        let mut told = None;
        answer(Task::Recheck { given, side }, plan, &mut |piece| {
            if let Answer::Rechecked(found) = piece {
                told = Some(*found);
            }
        });
        told.expect("an answer")
    }

    /// The built-in book in which batteries hold so many hundredths.
    fn book(share: u64) -> String {
        let mut book: Value =
            serde_json::from_str(include_str!("../../assets/books/outpost.json")).unwrap();
        for kind in book["types"].as_array_mut().unwrap() {
            if let Some(holds) = kind["capacity"].as_u64() {
                kind["capacity"] = json!(holds * share / 100);
            }
        }
        book.to_string()
    }

    #[test]
    fn a_worker_tells_of_the_examples_what_proof_finds() {
        let mut changed = 0;
        for (title, text) in examples() {
            let plan = read_plan(text).unwrap();
            for share in [25, 60, 200] {
                let other = BookRef::read(serde_json::from_str(&book(share)).unwrap()).unwrap();
                let numbers = NewNumbers {
                    book: Some(other.clone()),
                    ..NewNumbers::default()
                };
                let found = recheck(&plan, &numbers).unwrap();
                let expected = PlanReport::of(&plan, &found);
                let after = told(&plan, GivenNumbers::Book(book(share)), Side::After);
                assert_eq!(after.as_ref(), Ok(&expected), "{title}");
                // The same change, told of the plan that stands on the new book already.
                let own = plan.book.book.print();
                let before = told(&found.plan, GivenNumbers::Book(own), Side::Before);
                assert_eq!(before, after, "{title}");
                changed += found.duties.iter().filter(|d| d.turn != Turn::Same).count();
            }
        }
        assert!(changed > 0);
    }

    #[test]
    fn a_world_goes_over_with_its_book_and_what_cant_be_read_is_said() {
        let plan = read_plan(include_str!("../../assets/examples/dusk-lamp.json")).unwrap();
        let mut numbers = plan.numbers();
        numbers.book = BookRef::read(serde_json::from_str(&book(10)).unwrap()).unwrap();
        let world = NamedWorld::new("sands", "Kittiwake sands", numbers);
        let found = told(&plan, GivenNumbers::World(world.print()), Side::After).unwrap();
        assert!(found.counts.worse > 0 && !found.numbers.is_empty());
        for given in [GivenNumbers::World, GivenNumbers::Book] {
            let said = told(&plan, given("{".into()), Side::After).unwrap_err();
            assert_eq!(said.len(), 1);
        }
    }

    #[test]
    fn a_book_without_a_type_in_use_is_refused_with_it() {
        let plan = read_plan(include_str!("../../assets/examples/dusk-lamp.json")).unwrap();
        let book = book(100).replace("\"type\":\"lamp\"", "\"type\":\"glim\"");
        let said = told(&plan, GivenNumbers::Book(book), Side::Before).unwrap_err();
        assert_eq!(
            said,
            ["The book has no Lamp (lamp), and the plan has: Dusk lamp."]
        );
    }
}
