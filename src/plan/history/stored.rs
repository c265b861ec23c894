//! A history as a text that is kept beside its plan, so that undo lasts over a reload.
//!
//! Base64url of: the layout's number; a SipHash-1-3 of what follows; and, by postcard, the content of the plan that the
//! steps belong to and both stacks in packed blocks. A text that is damaged, of another layout or of another plan is an
//! empty history: undo is then lost, and never a plan.

use super::{BLOCK, BLOCK_BYTES, Block, History, LEVEL, Step, Steps};
use crate::plan::Plan;
use base64::Engine;
use base64::engine::general_purpose::URL_SAFE_NO_PAD;
use miniz_oxide::deflate::compress_to_vec;
use serde::{Deserialize, Serialize};
use siphasher::sip::SipHasher13;
use siphasher::sip128::{self, Hasher128};
use std::hash::Hasher as _;

/// The layout of the bytes. It changes with what [`crate::plan::Edit`] is made of: a variant or a field that is added
/// anywhere but at the end of the edits, or moved.
const LAYOUT: u8 = 2;

/// What is kept.
#[derive(Serialize, Deserialize)]
struct Kept {
    /// The content of the plan that undo begins from.
    of: [u64; 2],
    /// Blocks of steps, the oldest first.
    undo: Vec<Vec<u8>>,
    redo: Vec<Vec<u8>>,
}

impl History {
    /// The history of `plan`, as it is now, as a text of about `most` bytes at the most: the steps that are farthest away go
    /// first.
    pub fn to_text(&self, plan: &Plan, most: usize) -> String {
        let mut kept = Kept {
            of: content(plan),
            undo: self.undo.blocks(),
            redo: self.redo.blocks(),
        };
        // Base64 has four characters for three bytes.
        let most = most / 4 * 3;
        let size = |blocks: &[Vec<u8>]| blocks.iter().map(Vec::len).sum::<usize>();
        loop {
            let (undo, redo) = (size(&kept.undo), size(&kept.redo));
            if undo + redo <= most {
                break;
            }
            match undo >= redo {
                true => kept.undo.remove(0),
                false => kept.redo.remove(0),
            };
        }
        // Plain data: writing it to memory can't fail.
        let body = postcard::to_allocvec(&kept).unwrap_or_default();
        let mut bytes = vec![LAYOUT];
        bytes.extend(sum(&body));
        bytes.extend(body);
        URL_SAFE_NO_PAD.encode(bytes)
    }

    /// The history of `plan` in a text; an empty one where the text is not of this plan or can't be read.
    pub fn from_text(text: &str, plan: &Plan) -> History {
        read(text)
            .filter(|kept| kept.of == content(plan))
            .map(|kept| History {
                undo: Steps::of_blocks(kept.undo),
                redo: Steps::of_blocks(kept.redo),
            })
            .unwrap_or_default()
    }
}

fn read(text: &str) -> Option<Kept> {
    let bytes = URL_SAFE_NO_PAD.decode(text.trim()).ok()?;
    let (layout, rest) = bytes.split_first()?;
    let (check, body) = rest.split_at_checked(8)?;
    if *layout != LAYOUT || check != sum(body) {
        return None;
    }
    postcard::from_bytes(body).ok()
}

fn sum(bytes: &[u8]) -> [u8; 8] {
    let mut hash = SipHasher13::new();
    hash.write(bytes);
    hash.finish().to_le_bytes()
}

/// All of a plan that its file holds.
fn content(plan: &Plan) -> [u64; 2] {
    let mut hash = sip128::SipHasher13::new();
    hash.write(plan.to_value().to_string().as_bytes());
    let hash = hash.finish128();
    [hash.h1, hash.h2]
}

impl Steps {
    /// All steps in packed blocks, the oldest first.
    fn blocks(&self) -> Vec<Vec<u8>> {
        let pack = |steps: &[Step]| {
            let bytes = postcard::to_allocvec(steps).unwrap_or_default();
            compress_to_vec(&bytes, LEVEL)
        };
        let older = self.packed.iter().map(|block| match block {
            Block::Packed(bytes) => bytes.to_vec(),
            Block::Large(step) => pack(std::slice::from_ref(step)),
        });
        let mut blocks: Vec<Vec<u8>> = older.collect();
        // As finely as blocks are packed otherwise, so that little goes where something must.
        let (mut from, mut bytes) = (0, 0);
        for at in 0..self.recent.len() {
            bytes += self.recent[at].edits.len();
            let is_last = at + 1 == self.recent.len();
            if is_last || bytes >= BLOCK_BYTES || at + 1 - from >= BLOCK {
                blocks.push(pack(&self.recent[from..=at]));
                (from, bytes) = (at + 1, 0);
            }
        }
        blocks
    }

    fn of_blocks(blocks: Vec<Vec<u8>>) -> Steps {
        let packed = blocks.into_iter().map(|bytes| Block::Packed(bytes.into()));
        let mut steps = Steps {
            packed: packed.collect(),
            recent: Vec::new(),
        };
        steps.unpack();
        steps
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::plan::{
        BookRef, Conditions, Duty, Edit, End, FindingKind, Follows, Meant, Part, Reach, When, Wire,
        read_plan,
    };
    use crate::site::{Face, Mark, Patch, Site, Surface};
    use proptest::prelude::*;
    use serde_json::json;

    fn kittiwake() -> Plan {
        read_plan(include_str!(
            "../../../assets/examples/kittiwake-light.json"
        ))
        .unwrap()
    }

    /// So many renamings, the last half of them taken back.
    fn sitting(many: usize) -> (Plan, History) {
        let (mut plan, mut history) = (kittiwake(), History::default());
        for n in 0..many {
            let id = plan.parts[n % plan.parts.len()].id.clone();
            let edits = vec![Edit::Rename(id, format!("Lamp {n} of the long corridor"))];
            history
                .commit(&mut plan, &format!("rename {n}"), edits)
                .unwrap();
        }
        for _ in 0..many / 2 {
            history.undo(&mut plan);
        }
        (plan, history)
    }

    #[test]
    fn undo_and_redo_go_on_after_a_reload() {
        for many in [0, 1, 7, 300, 2000] {
            let (plan, history) = sitting(many);
            let text = history.to_text(&plan, usize::MAX);
            let read = read_plan(&plan.print()).unwrap();
            let mut back = History::from_text(&text, &read);
            let (mut a, mut b, mut kept) = (plan.clone(), read, history.clone());
            assert_eq!(back.undoes(), kept.undoes());
            loop {
                let (one, other) = (kept.undo(&mut a), back.undo(&mut b));
                assert_eq!(one, other);
                assert!(a == b);
                if one.is_none() {
                    break;
                }
            }
            let mut redone = 0;
            while back.redo(&mut b).is_some() {
                redone += 1;
            }
            assert_eq!(redone, many);
        }
    }

    #[test]
    fn a_text_has_its_bound_and_loses_the_farthest_steps_first() {
        let (mut plan, history) = sitting(3000);
        let whole = history.to_text(&plan, usize::MAX).len();
        for most in [whole / 2, 2000, 100, 0] {
            let text = history.to_text(&plan, most);
            assert!(text.len() <= most + 60, "{} of {most}", text.len());
        }
        let mut back = History::from_text(&history.to_text(&plan, whole / 2), &plan);
        assert_eq!(back.undoes(), history.undoes());
        let mut steps = 0;
        while back.undo(&mut plan).is_some() {
            steps += 1;
        }
        assert!((200..1500).contains(&steps), "{steps}");
    }

    #[test]
    fn a_text_that_is_damaged_or_of_another_plan_is_an_empty_history() {
        let (mut plan, history) = sitting(10);
        let text = history.to_text(&plan, usize::MAX);
        let is_empty = |text: &str, plan: &Plan| History::from_text(text, plan).undoes().is_none();
        assert!(!is_empty(&text, &plan));
        let mut other = text.clone().into_bytes();
        other[0] = b'B';
        for damaged in [
            &text[..text.len() / 2],
            "",
            "\u{e9}",
            std::str::from_utf8(&other).unwrap(),
        ] {
            assert!(is_empty(damaged, &plan));
        }
        plan.notes.push('x');
        assert!(is_empty(&text, &plan));
    }

    proptest! {
        #[test]
        fn no_text_panics(at in any::<usize>(), byte in any::<u8>()) {
            let (mut plan, history) = sitting(10);
            let mut text = history.to_text(&plan, usize::MAX).into_bytes();
            let at = at % text.len();
            text[at] = byte;
            let mut read = History::from_text(&String::from_utf8_lossy(&text), &plan);
            while read.undo(&mut plan).is_some() {}
        }
    }

    /// Whoever changes what edits are made of finds this test, and counts [`LAYOUT`] up.
    #[test]
    fn edits_are_written_as_they_were_when_the_layout_got_its_number() {
        let (part, wire) = (
            crate::plan::PartId::from("p1"),
            crate::plan::WireId::from("w1"),
        );
        let end = |port| End::new(&part, port);
        let mut bent = Wire::new(wire.clone(), end("out"), end("in"));
        bent.bends.push((8.0, 16.0));
        let face = Face::new(1, 2, 3, Surface::North);
        bent.via.push(face);
        let edits = vec![
            Edit::AddPart(
                0,
                Part {
                    reach: Some(Reach::Friends),
                    ..Part::new(part.clone(), "lamp", (8.0, 0.5))
                },
            ),
            Edit::RemovePart(part.clone()),
            Edit::MovePart(part.clone(), None),
            Edit::Rename(part.clone(), "Lamp".into()),
            Edit::Count(part.clone(), 3),
            Edit::Reach(part.clone(), Some(Reach::Anyone)),
            Edit::Set(
                part.clone(),
                "a".into(),
                Some(json!([1, -1, 0.5, null, {"b": true}])),
            ),
            Edit::AddWire(1, bent),
            Edit::RemoveWire(wire.clone()),
            Edit::Bend(wire.clone(), vec![(1.0, 2.0)]),
            Edit::Duties(vec![Duty {
                part: part.clone(),
                when: Conditions::new(&[When::Dark, When::Home]).unwrap(),
                only: true,
                grace_s: 60.0,
                extra: Default::default(),
            }]),
            Edit::Meant(vec![Meant {
                finding: FindingKind::ALL[0],
                part: part.clone(),
                extra: Default::default(),
            }]),
            Edit::World(Box::default()),
            Edit::Title("T".into()),
            Edit::Notes("N".into()),
            Edit::Book(BookRef::built_in("outpost").unwrap()),
            Edit::Follow(Some(Follows::new("k1", "Ledge"))),
            Edit::Hang(part, Some(face)),
            Edit::Lead(wire, vec![face]),
            Edit::Draw(vec![Patch {
                storey: 1,
                x: 2,
                y: 3,
                mark: Mark::Edge(Surface::West, crate::site::Edge::Door),
            }]),
            Edit::Site(Some(Box::new(Site::empty(1, 1)))),
        ];
        let bytes = postcard::to_allocvec(&edits).unwrap();
        assert_eq!(
            (LAYOUT, bytes.len(), sum(&bytes)),
            (2, 308, [225, 150, 33, 161, 66, 128, 64, 217])
        );
    }
}
