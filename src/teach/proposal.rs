//! What a recorded step of a walk could say: what the parts that came do, from the explanation of the state after, and what
//! else has changed. A proposal is a beginning: whoever makes the walk writes it otherwise.

use super::changed::{named, other_changes};
use crate::explain::{Passage, SaidExplanation, SaidPassage, explain};
use crate::plan::{PartId, Plan};
use std::collections::BTreeSet;

/// About so many words a proposal has at the most.
const WORDS: usize = 60;

/// What the step from one state to the next could say, in whole sentences of about 60 words. It explains the state after,
/// which takes long in a large plan.
pub fn proposed_text(before: &Plan, after: &Plan) -> String {
    match has_new_parts(before, after) {
        true => proposal_of(before, after, &SaidExplanation::of(after, &explain(after))),
        false => quick_text(before, after),
    }
}

/// Whether parts came, so that it takes the explanation of the state after to say what they do.
pub fn has_new_parts(before: &Plan, after: &Plan) -> bool {
    after
        .parts
        .iter()
        .any(|part| before.part(&part.id).is_none())
}

/// The same, from an explanation of the state after that is there already.
pub fn proposal_of(before: &Plan, after: &Plan, said: &SaidExplanation) -> String {
    let new = new_parts(before, after);
    let mut text = Text::default();
    if new.len() > 1 {
        text.add(&came(after, &new));
    }
    let is_new = |id: &PartId| new.contains(id);
    let news = |group: &SaidPassage| group.parts.iter().filter(|id| is_new(id)).count();
    // Parts that came together are told together, all others by their own stories.
    let mut told: BTreeSet<&PartId> = BTreeSet::new();
    for group in said.groups.iter().filter(|group| news(group) > 1) {
        if text.add_all(&group.says) {
            told.extend(&group.parts);
        }
    }
    let mut by_story = BTreeSet::new();
    for story in &said.parts {
        let id = story
            .parts
            .first()
            .filter(|id| is_new(id) && !told.contains(id));
        if let Some(id) = id.filter(|_| text.add_all(&story.says)) {
            by_story.insert(id.clone());
        }
    }
    for group in said.groups.iter().filter(|group| news(group) == 1) {
        text.add_all(&group.says);
    }
    finished(text, before, after, &by_story)
}

/// What can be said of the step without any run.
pub fn quick_text(before: &Plan, after: &Plan) -> String {
    let new = new_parts(before, after);
    let mut text = Text::default();
    if !new.is_empty() {
        text.add(&came(after, &new));
    }
    finished(text, before, after, &BTreeSet::new())
}

fn new_parts(before: &Plan, after: &Plan) -> Vec<PartId> {
    let new = after
        .parts
        .iter()
        .filter(|part| before.part(&part.id).is_none());
    new.map(|part| part.id.clone()).collect()
}

/// `Roof panel and Dusk tap come onto the board.`
fn came(plan: &Plan, new: &[PartId]) -> String {
    let names: Vec<String> = new.iter().map(|id| plan.called(id)).collect();
    let come = if names.len() == 1 { "comes" } else { "come" };
    format!("{} {come} onto the board.", named(&names))
}

/// Adds what has changed otherwise, and says something in any case. What is told by its own story has its duties told there.
fn finished(mut text: Text, before: &Plan, after: &Plan, told: &BTreeSet<PartId>) -> String {
    for sentence in other_changes(before, after, told) {
        text.add(&sentence);
    }
    if text.says.is_empty() {
        let stands = |plan: &Plan| -> Vec<_> {
            let cards = plan.parts.iter().map(|part| part.at);
            cards.collect()
        };
        let bends = |plan: &Plan| -> Vec<_> {
            let wires = plan
                .wires
                .iter()
                .map(|wire| (wire.bends.clone(), wire.via.clone()));
            wires.collect()
        };
        let is_moved = stands(before) != stands(after) || bends(before) != bends(after);
        text.add(match is_moved {
            true => "Cards or wires lie elsewhere now; what they do is the same.",
            false => "Nothing changes on the board here: look at it once more.",
        });
    }
    text.says
}

/// A text that grows by whole sentences.
#[derive(Default)]
struct Text {
    says: String,
    words: usize,
}

impl Text {
    /// Adds a sentence where it has room; the first always has. Answers whether it had.
    fn add(&mut self, sentence: &str) -> bool {
        let words = sentence.split_whitespace().count();
        if words == 0 || self.words > 0 && self.words + words > WORDS {
            return false;
        }
        if !self.says.is_empty() {
            self.says.push(' ');
        }
        self.says.push_str(sentence.trim());
        self.words += words;
        true
    }

    /// Adds the sentences of a passage up to the first that has no room; answers whether its first had.
    fn add_all(&mut self, passage: &Passage) -> bool {
        let sentences = sentences(passage);
        let added = sentences.iter().take_while(|sentence| self.add(sentence));
        added.count() > 0
    }
}

/// The sentences of a passage. A stop within what something is called ends none.
fn sentences(passage: &Passage) -> Vec<String> {
    let mut all = vec![String::new()];
    for piece in &passage.pieces {
        let mut pieces = match piece.link {
            None => piece.text.split(". ").collect(),
            Some(_) => vec![piece.text.as_str()],
        };
        let last = pieces.pop().unwrap_or_default();
        for ended in pieces {
            if let Some(sentence) = all.last_mut() {
                sentence.push_str(ended);
                sentence.push('.');
            }
            all.push(String::new());
        }
        if let Some(sentence) = all.last_mut() {
            sentence.push_str(last);
        }
    }
    all.retain(|sentence| !sentence.trim().is_empty());
    all
}

#[cfg(test)]
mod tests {
    use super::super::counted_changes;
    use super::*;
    use crate::plan::{Edit, StateEdits, WireId, read_plan};
    use serde_json::json;

    fn lamp() -> Plan {
        read_plan(include_str!("../../assets/examples/dusk-lamp.json")).expect("an example reads")
    }

    /// The example with edits.
    fn with(edits: Vec<Edit>) -> Plan {
        let mut plan = lamp();
        plan.apply_all(edits).expect("edits that apply");
        plan
    }

    /// The example without these parts, their wires and their duties.
    fn without(parts: &[&str]) -> Plan {
        let ids: Vec<PartId> = parts.iter().map(|id| PartId::from(*id)).collect();
        with(lamp().removal(&ids, &[]))
    }

    fn says(before: &Plan, after: &Plan) -> String {
        let text = proposed_text(before, after);
        let words = text.split_whitespace().count();
        assert!(words <= WORDS + 40, "{words} words: {text}");
        assert!(text.ends_with(['.', '?', '!']), "{text}");
        text
    }

    #[test]
    fn one_part_is_told_by_its_own_story() {
        assert_eq!(
            says(&without(&["p6"]), &lamp()),
            "Dusk lamp draws 2 u from Dusk relay and runs until 06:38 and from 17:21 on, 13 h 17 min in all. It must run while it is dark; this duty is kept. Nothing else hangs on it. Bunk heater and Dusk lamp hang on one line and are served in this order. Dusk relay stands ahead of Dusk lamp."
        );
    }

    #[test]
    fn several_parts_are_named_and_then_told_as_far_as_there_is_room() {
        assert_eq!(
            says(&without(&["p2", "p5"]), &lamp()),
            "Dusk tap and Dusk relay come onto the board. Dusk tap and Dusk relay tell day from night. While Roof panel gives 1 u or more, the tap feeds the relay's coil before anything goes to Shelf battery, and the relay is open. When less comes, it closes. On this day it is closed until 06:38 and from 17:21 on."
        );
    }

    #[test]
    fn what_else_has_changed_is_told_in_whole_sentences() {
        let tap = PartId::from("p2");
        let lamp = lamp();
        let after = with(vec![Edit::Set(
            tap.clone(),
            "amount".into(),
            Some(json!(3)),
        )]);
        assert_eq!(
            says(&lamp, &after),
            "Dusk tap sets aside 3 u now, where it set aside 1 u."
        );
        let after = with(vec![Edit::Rename(tap, "Night tap".into())]);
        assert_eq!(
            says(&lamp, &after),
            "Dusk tap is called Night tap from here on."
        );
        let after = with(vec![Edit::RemoveWire(WireId::from("w1"))]);
        assert_eq!(
            says(&lamp, &after),
            "The wire from Roof panel to Dusk tap is taken away."
        );
        assert_eq!(
            says(&after, &lamp),
            "A wire leads from Roof panel to Dusk tap now."
        );
        assert_eq!(says(&lamp, &without(&["p6"])), "Dusk lamp is taken away.");
        let after = with(vec![Edit::Duties(Vec::new())]);
        assert_eq!(
            says(&lamp, &after),
            "Bunk heater has no duty any more. Dusk lamp has no duty any more."
        );
        let mut after = lamp.clone();
        after.world.weather = vec![0.5];
        assert_eq!(
            says(&lamp, &after),
            "The world is another from here on: its weather is otherwise."
        );
        let after = with(vec![Edit::MovePart(PartId::from("p1"), Some((8.0, 8.0)))]);
        assert_eq!(
            says(&lamp, &after),
            "Cards or wires lie elsewhere now; what they do is the same."
        );
        assert_eq!(
            says(&lamp, &lamp),
            "Nothing changes on the board here: look at it once more."
        );
    }

    #[test]
    fn what_can_be_said_at_once_needs_no_run() {
        let bare = lamp().bare();
        assert_eq!(
            quick_text(&bare, &lamp()),
            "Roof panel, Dusk tap, Shelf battery and 3 more come onto the board. Dusk lamp must run while it is dark from here on. Bunk heater must run always from here on."
        );
    }

    #[test]
    fn changes_are_counted() {
        let counted =
            |before: &Plan, after: &Plan| counted_changes(&StateEdits::between(before, after));
        assert_eq!(counted(&lamp(), &lamp()), "nothing");
        assert_eq!(
            counted(&without(&["p2", "p5"]), &lamp()),
            "2 parts more, 5 wires more"
        );
        assert_eq!(
            counted(&lamp(), &without(&["p6"])),
            "1 part less, 1 wire less, other duties"
        );
    }

    #[test]
    fn a_stop_in_a_name_ends_no_sentence() {
        let mut before = without(&["p6"]);
        let mut after = lamp();
        for plan in [&mut before, &mut after] {
            let edit = Edit::Rename(PartId::from("p5"), "Relay no. 5. Left".into());
            plan.apply(edit).expect("a name");
        }
        let text = says(&before, &after);
        assert!(
            text.starts_with("Dusk lamp draws 2 u from Relay no. 5. Left and runs"),
            "{text}"
        );
    }
}
