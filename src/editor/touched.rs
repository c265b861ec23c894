//! What edits touch: which parts and wires, and whether the lists of them change.

use crate::gather::Gather;
use crate::plan::{Edit, Impact, Part, PartId, Plan, Wire, WireId};
use std::collections::{BTreeMap, BTreeSet};

/// What is to be looked at anew.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub(super) struct Touched {
    /// Parts that are otherwise than before.
    pub parts: BTreeSet<PartId>,
    /// Wires that are otherwise than before.
    pub wires: BTreeSet<WireId>,
    /// Whether parts or wires come or go, or everything may be otherwise, as with another book.
    pub lists: bool,
}

impl Touched {
    /// What these edits touch.
    pub fn by(edits: &[Edit]) -> Touched {
        let mut touched = Touched::default();
        for edit in edits {
            match edit {
                Edit::AddPart(..)
                | Edit::RemovePart(_)
                | Edit::AddWire(..)
                | Edit::RemoveWire(_)
                | Edit::Book(_) => touched.lists = true,
                Edit::MovePart(id, _)
                | Edit::Rename(id, _)
                | Edit::Count(id, _)
                | Edit::Reach(id, _)
                | Edit::Hang(id, _)
                | Edit::Set(id, ..) => {
                    touched.parts.insert(id.clone());
                }
                Edit::Bend(id, _) | Edit::Lead(id, _) => {
                    touched.wires.insert(id.clone());
                }
                Edit::Duties(_) | Edit::Meant(_) | Edit::World(_) => {}
                Edit::Draw(_) | Edit::Site(_) => {}
                Edit::Walk(_) | Edit::Exercise(_) => {}
                Edit::Title(_) | Edit::Notes(_) | Edit::Follow(_) => {}
            }
        }
        touched
    }
}

/// In what respect one plan differs from another that it was made of by undo or redo; `None` where nothing differs.
pub(super) fn impact_between(before: &Plan, after: &Plan) -> Option<Impact> {
    if before.fingerprint() != after.fingerprint() {
        return Some(Impact::Power);
    }
    let mut parts = before.parts.iter().zip(&after.parts);
    let same_names = parts.all(|(a, b)| a.name == b.name);
    let same_words = before.title == after.title && before.notes == after.notes;
    if !same_words || before.follows != after.follows || !same_names {
        return Some(Impact::Words);
    }
    (before != after).then_some(Impact::Place)
}

/// The parts and wires that are otherwise in `after`, or only there; and whether the lists differ.
pub(super) fn differing(before: &Plan, after: &Plan) -> Touched {
    let (parts, other_parts) = changed(&before.parts, &after.parts, |p: &Part| p.id.clone());
    let (wires, other_wires) = changed(&before.wires, &after.wires, |w: &Wire| w.id.clone());
    Touched {
        parts,
        wires,
        lists: other_parts || other_wires || before.book != after.book,
    }
}

/// The ids of what is otherwise in `after` or only there, and whether the two have other ids or another order.
fn changed<T: PartialEq, I: Ord>(
    before: &[T],
    after: &[T],
    id: impl Fn(&T) -> I,
) -> (BTreeSet<I>, bool) {
    let aligned =
        before.len() == after.len() && before.iter().zip(after).all(|(a, b)| id(a) == id(b));
    if aligned {
        let pairs = before.iter().zip(after).filter(|(a, b)| a != b);
        return (pairs.map(|(_, b)| id(b)).collect(), false);
    }
    let known: BTreeMap<I, &T> = before.iter().map(|a| (id(a), a)).gather();
    let other = after.iter().filter(|b| known.get(&id(b)) != Some(b));
    (other.map(&id).collect(), true)
}
