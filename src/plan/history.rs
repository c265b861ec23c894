//! Undo and redo without end: one gesture, one step; a gesture that changed nothing leaves none.
//!
//! Steps are kept as bytes. The newest wait as they are; older ones are packed together by DEFLATE, some at a time, so
//! that thousands of small steps take little and no single step is slow. The plan is never kept. A history can be kept
//! beside its plan as a text.

mod stored;

use super::{Edit, EditError, Plan};
use miniz_oxide::deflate::compress_to_vec;
use miniz_oxide::inflate::decompress_to_vec_with_limit;
use serde::{Deserialize, Serialize};

/// How many steps are packed together at the most.
const BLOCK: usize = 64;
/// Bytes of steps from which on no more are taken into a block.
const BLOCK_BYTES: usize = 32 * 1024;
/// A step of so many bytes is left as it is: packing it would take longer than the edit itself.
const LARGE: usize = 64 * 1024;
/// How hard DEFLATE tries, of 10.
const LEVEL: u8 = 6;

/// What was done to a plan, and what was taken back.
#[derive(Clone, Debug, Default)]
pub struct History {
    undo: Steps,
    redo: Steps,
}

impl History {
    /// Does `edits` to `plan` as one step called `says`. All of them are done or none.
    pub fn commit(
        &mut self,
        plan: &mut Plan,
        says: &str,
        edits: Vec<Edit>,
    ) -> Result<(), EditError> {
        let before = edits.clone();
        let inverses = plan.apply_all(edits)?;
        // A gesture whose inverses are what it did has changed nothing.
        if before.iter().eq(inverses.iter().rev()) {
            return Ok(());
        }
        self.undo.push(says.into(), &inverses);
        self.redo = Steps::default();
        Ok(())
    }

    /// Takes the last step back; says which.
    pub fn undo(&mut self, plan: &mut Plan) -> Option<String> {
        turn(&mut self.undo, &mut self.redo, plan)
    }

    /// Does the step again that was last taken back; says which.
    pub fn redo(&mut self, plan: &mut Plan) -> Option<String> {
        turn(&mut self.redo, &mut self.undo, plan)
    }

    /// The step that [`History::undo`] would take back.
    pub fn undoes(&self) -> Option<&str> {
        self.undo.last()
    }

    /// The step that [`History::redo`] would do again.
    pub fn redoes(&self) -> Option<&str> {
        self.redo.last()
    }

    /// How many bytes the history keeps.
    pub fn bytes(&self) -> usize {
        self.undo.bytes() + self.redo.bytes()
    }
}

fn turn(from: &mut Steps, to: &mut Steps, plan: &mut Plan) -> Option<String> {
    let (says, edits) = from.pop()?;
    // The plan is as the step left it, so its inverse applies; if it should not, the step is dropped, never the plan.
    let inverses = plan.apply_all(edits).ok()?;
    to.push(says.clone(), &inverses);
    Some(says)
}

/// A step, its edits as bytes.
#[derive(Clone, Debug, Serialize, Deserialize)]
struct Step {
    says: String,
    edits: Vec<u8>,
}

/// Steps one upon the other.
#[derive(Clone, Debug, Default)]
struct Steps {
    /// The older ones, in blocks.
    packed: Vec<Block>,
    /// The newest, from the oldest of them; empty only where there is none at all.
    recent: Vec<Step>,
}

#[derive(Clone, Debug)]
enum Block {
    /// Some steps, packed.
    Packed(Box<[u8]>),
    /// One step that is too large to be packed in time.
    Large(Step),
}

impl Steps {
    fn push(&mut self, says: String, edits: &[Edit]) {
        // Edits are plain data: writing them to memory can't fail.
        let Ok(mut edits) = postcard::to_allocvec(edits) else {
            return;
        };
        edits.shrink_to_fit();
        self.recent.push(Step { says, edits });
        if self.recent.len() >= 2 * BLOCK || self.size() >= 2 * BLOCK_BYTES {
            self.pack();
        }
    }

    fn pop(&mut self) -> Option<(String, Vec<Edit>)> {
        let step = self.recent.pop()?;
        if self.recent.is_empty() {
            self.unpack();
        }
        Some((step.says, postcard::from_bytes(&step.edits).ok()?))
    }

    fn last(&self) -> Option<&str> {
        self.recent.last().map(|step| step.says.as_str())
    }

    /// Packs the oldest of the newest steps; the very newest stays.
    fn pack(&mut self) {
        let most = self.recent.len().saturating_sub(1).min(BLOCK);
        let (mut count, mut bytes) = (0, 0);
        for step in &self.recent[..most] {
            if count > 0 && (bytes >= BLOCK_BYTES || step.edits.len() >= LARGE) {
                break;
            }
            count += 1;
            bytes += step.edits.len();
        }
        let mut steps: Vec<Step> = self.recent.drain(..count).collect();
        let block = match steps.pop_if(|step| bytes >= LARGE && step.edits.len() == bytes) {
            Some(step) => Block::Large(step),
            None => match postcard::to_allocvec(&steps) {
                Ok(bytes) => Block::Packed(compress_to_vec(&bytes, LEVEL).into()),
                Err(_) => return,
            },
        };
        self.packed.push(block);
    }

    /// Takes the newest block apart.
    fn unpack(&mut self) {
        self.recent = match self.packed.pop() {
            None => Vec::new(),
            Some(Block::Large(step)) => vec![step],
            Some(Block::Packed(bytes)) => {
                let bytes = decompress_to_vec_with_limit(&bytes, usize::MAX).unwrap_or_default();
                postcard::from_bytes(&bytes).unwrap_or_default()
            }
        };
    }

    /// Bytes of the steps that are not packed.
    fn size(&self) -> usize {
        self.recent.iter().map(Step::size).sum()
    }

    fn bytes(&self) -> usize {
        let block = |block: &Block| match block {
            Block::Packed(bytes) => bytes.len(),
            Block::Large(step) => step.size(),
        };
        let blocks = self.packed.capacity() * size_of::<Block>();
        let steps = (self.recent.capacity() - self.recent.len()) * size_of::<Step>();
        blocks + steps + self.size() + self.packed.iter().map(block).sum::<usize>()
    }
}

impl Step {
    fn size(&self) -> usize {
        size_of::<Step>() + self.says.capacity() + self.edits.capacity()
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::plan::{Part, PartId, Snippet, read_plan};
    use std::collections::BTreeSet;

    fn kittiwake() -> Plan {
        read_plan(include_str!("../../assets/examples/kittiwake-light.json")).unwrap()
    }

    /// The plan but for its counters of ids, which only grow.
    fn body(plan: &Plan) -> Plan {
        Plan {
            next: (0, 0),
            ..plan.clone()
        }
    }

    /// Numbers that look like chance: Knuth's linear congruential generator.
    struct Chance(u64);

    impl Chance {
        fn below(&mut self, most: usize) -> usize {
            let next = self.0.wrapping_mul(6_364_136_223_846_793_005);
            self.0 = next.wrapping_add(1_442_695_040_888_963_407);
            (self.0 >> 33) as usize % most
        }
    }

    fn nudge(plan: &Plan, chance: &mut Chance) -> Vec<Edit> {
        let part = &plan.parts[chance.below(plan.parts.len())];
        let (x, y) = part.at.unwrap_or_default();
        let by = [(8.0, 0.0), (-8.0, 0.0), (0.0, 8.0), (0.0, -8.0)][chance.below(4)];
        vec![Edit::MovePart(part.id.clone(), Some((x + by.0, y + by.1)))]
    }

    /// Doubles one to five parts with the wires among them; answers with the new ones.
    fn double(plan: &mut Plan, chance: &mut Chance) -> (Vec<Edit>, Vec<PartId>) {
        let many = 1 + chance.below(5);
        let ids = (0..many).map(|_| plan.parts[chance.below(plan.parts.len())].id.clone());
        let ids: BTreeSet<PartId> = ids.collect();
        let snippet = Snippet::of(plan, &ids);
        let mut fresh = plan.clone();
        let parts: Vec<PartId> = snippet.parts.iter().map(|_| fresh.new_part_id()).collect();
        let wires: Vec<_> = snippet.wires.iter().map(|_| fresh.new_wire_id()).collect();
        let (mut parts, mut wires) = (parts.into_iter(), wires.into_iter());
        let part_id = || parts.next().unwrap();
        snippet.edits(plan, (24.0, 24.0), part_id, || wires.next().unwrap())
    }

    #[test]
    fn ten_thousand_acts_stay_small_and_every_one_can_be_taken_back() {
        let (mut plan, mut history, mut chance) = (kittiwake(), History::default(), Chance(9));
        let start = body(&plan);
        let (mut acts, mut most) = (0, 0);
        while acts < 10_000 {
            match chance.below(8) {
                0 => drop(history.undo(&mut plan)),
                1 => drop(history.redo(&mut plan)),
                2 => {
                    let (edits, added) = double(&mut plan, &mut chance);
                    history.commit(&mut plan, "duplicate", edits).unwrap();
                    let removal = plan.removal(&added, &[]);
                    history.commit(&mut plan, "delete", removal).unwrap();
                    acts += 1;
                }
                _ => {
                    let edits = nudge(&plan, &mut chance);
                    history.commit(&mut plan, "nudge", edits).unwrap();
                }
            }
            acts += 1;
            most = most.max(history.bytes() / acts.max(200));
        }
        assert!(history.bytes() < acts * 200, "{} bytes", history.bytes());
        assert!(most < 1_000, "{most} bytes an act on the way");
        while history.redo(&mut plan).is_some() {}
        let (end, bytes) = (body(&plan), history.bytes());
        let mut steps = 0;
        while history.undo(&mut plan).is_some() {
            steps += 1;
        }
        assert!(steps > 5_000, "{steps} steps");
        assert_eq!(body(&plan), start);
        assert!(
            history.bytes() < 2 * bytes,
            "what can be done again takes no more"
        );
        while history.redo(&mut plan).is_some() {
            steps -= 1;
        }
        assert_eq!((steps, body(&plan)), (0, end));
    }

    #[test]
    fn large_steps_are_taken_back_like_small_ones() {
        let (mut plan, mut history) = (kittiwake(), History::default());
        let start = body(&plan);
        let part = |plan: &mut Plan, n: usize| {
            let mut part = Part::new(plan.new_part_id(), "lamp", (0.0, n as f64));
            part.name = format!("Lamp number {n} of the long corridor");
            Edit::AddPart(plan.parts.len() + n, part)
        };
        let mut states = vec![start.clone()];
        for count in [2_000, 1, 1_900, 3] {
            let added: Vec<Edit> = (0..count).map(|n| part(&mut plan, n)).collect();
            let ids = added.iter().filter_map(|edit| match edit {
                Edit::AddPart(_, part) => Some(part.id.clone()),
                _ => None,
            });
            let ids: Vec<PartId> = ids.collect();
            history.commit(&mut plan, "add", added).unwrap();
            states.push(body(&plan));
            let removal = plan.removal(&ids, &[]);
            history.commit(&mut plan, "remove", removal).unwrap();
            states.push(body(&plan));
        }
        for expected in states.iter().rev().skip(1) {
            assert!(history.undo(&mut plan).is_some());
            assert!(body(&plan) == *expected);
        }
        assert_eq!(history.undo(&mut plan), None);
    }

    #[test]
    fn a_new_step_drops_what_was_taken_back() {
        let (mut plan, mut history, mut chance) = (kittiwake(), History::default(), Chance(5));
        for _ in 0..500 {
            let edits = nudge(&plan, &mut chance);
            history.commit(&mut plan, "nudge", edits).unwrap();
        }
        let full = history.bytes();
        while history.undo(&mut plan).is_some() {}
        let edits = nudge(&plan, &mut chance);
        history.commit(&mut plan, "nudge", edits).unwrap();
        assert_eq!((history.undoes(), history.redoes()), (Some("nudge"), None));
        assert!(history.bytes() < full / 10, "{} of {full}", history.bytes());
    }
}
