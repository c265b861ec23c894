//! Links of plans that have a walk or an exercise: they come back, stay short, and links of plans without one stay as
//! they were.

use super::super::{from_link, to_fragment};
use super::{Dice, built, kittiwake, opened};
use crate::plan::{
    Exercise, Lit, Lost, PartId, Plan, StateEdits, Trial, Walk, WalkQuestion, WalkStep, WireId,
};
use proptest::prelude::*;
use serde_json::json;
use std::sync::Arc;

/// The plan with only its first parts, and what hangs on those alone.
fn beginning(plan: &Plan, parts: usize) -> Plan {
    let gone: Vec<PartId> = plan.parts[parts..].iter().map(|p| p.id.clone()).collect();
    let mut state = plan.state().into_owned();
    state.apply_all(plan.removal(&gone, &[])).unwrap();
    state
}

/// A walk that builds the plan in so many steps, each with a text.
fn walk(plan: &Plan, texts: &[&str]) -> Walk {
    let all = plan.parts.len();
    let states = (0..=texts.len()).map(|n| match n {
        0 => plan.bare(),
        n => beginning(plan, all * n / texts.len()),
    });
    let states: Vec<Plan> = states.collect();
    let step = |(pair, says): (&[Plan], &&str)| {
        let added = pair[1]
            .parts
            .iter()
            .filter(|p| pair[0].part(&p.id).is_none());
        WalkStep {
            says: (*says).into(),
            edits: StateEdits::between(&pair[0], &pair[1]),
            at: crate::clock::DialMoment::parse("12:00", 1),
            lit: Lit {
                parts: added.map(|p| p.id.clone()).collect(),
                wires: Vec::new(),
            },
            ..WalkStep::default()
        }
    };
    Walk::new(plan, states.windows(2).zip(texts).map(step).collect())
}

#[test]
fn a_walk_of_ten_steps_over_twenty_parts_has_at_most_1500_characters() {
    let mut plan = beginning(&kittiwake(), 20);
    assert_eq!(plan.parts.len(), 20);
    // What the walk says need not be said once more; the site stays.
    plan.notes = String::new();
    plan.walk = Some(Arc::new(walk(
        &plan,
        &[
            "We begin on the roof: two panels look south and give up to 24 u at noon.",
            "A busbar joins them, so one wire is enough for all that comes after.",
            "The first tap sets 2 u aside for the relay's coil, before anything else is fed.",
            "Here is the battery shelf. It fills by noon and lasts until dawn.",
            "The galley lamp hangs on the battery's output and draws 4 u.",
            "Behind it on the loop stands the bunk heater: it gets what the lamp leaves.",
            "The dusk relay closes when the panels give nothing any more.",
            "So the stair lamp lights by itself at dusk, and goes out at dawn.",
            "The pump comes last. On a dull day it is the first to go short.",
            "That is all: every duty is kept, and 6 u are spilled at noon.",
        ],
    )));
    let link = to_fragment(&plan);
    assert!(link.starts_with("d4."), "{link}");
    assert!(link.len() <= 1500, "{} characters", link.len());
    assert_eq!(opened(&link), plan);
}

#[test]
fn a_plan_without_them_keeps_its_link() {
    let mut plan = kittiwake();
    let before = to_fragment(&plan);
    plan.walk = Some(Arc::new(walk(&plan, &["All."])));
    assert_ne!(to_fragment(&plan), before);
    plan.walk = None;
    assert_eq!(to_fragment(&plan), before);
}

/// Anything that a walk and an exercise can have.
fn taught(plan: &mut Plan, dice: &mut Dice) {
    let texts = ["", "Ünïcode ⌂ <b>\"\u{1}\"</b>", "The lamp", "It runs."];
    let mut made = walk(plan, &texts[..dice.roll(5) as usize]);
    for step in &mut made.steps {
        match dice.roll(4) {
            0 => step.lit.wires = plan.wires.iter().map(|w| w.id.clone()).collect(),
            1 => step.lit = Lit::default(),
            2 => step.at = None,
            _ => {
                step.question = Some(WalkQuestion {
                    asks: "Why?".into(),
                    answers: vec!["a".into(), "b".into()],
                    right: dice.roll(2) as usize,
                    because: "So.".into(),
                    extra: json!({ "mood": 1 }).as_object().unwrap().clone(),
                });
                step.extra.insert("mood".into(), json!({ "x": [1, null] }));
            }
        }
    }
    let hints = made.steps.clone();
    if dice.roll(3) > 0 {
        plan.walk = Some(Arc::new(made));
    }
    let start = (dice.roll(2) == 0).then(|| StateEdits::whole(&plan.bare()));
    let hints = if start.is_some() { hints } else { Vec::new() };
    if dice.roll(3) > 0 {
        plan.exercise = Some(Arc::new(Exercise {
            asks: "Do it".into(),
            may: (dice.roll(2) == 0).then(|| vec![(plan.book.book.types[0].name.clone(), None)]),
            trials: vec![Trial {
                lose: [Lost::Nothing, Lost::AnyOne][dice.roll(2) as usize].clone(),
                ..Trial::default()
            }],
            hints_start: start.clone().filter(|_| !hints.is_empty()),
            hints,
            start,
            ..Exercise::default()
        }));
    }
}

proptest! {
    #[test]
    fn every_walk_and_exercise_comes_back(seed in any::<u64>()) {
        let mut dice = Dice(seed);
        let parts = dice.roll(12) as usize;
        let mut plan = built(seed, parts, parts);
        taught(&mut plan, &mut dice);
        let read = from_link(&to_fragment(&plan)).unwrap();
        prop_assert_eq!(&read.faults, &Vec::new());
        prop_assert_eq!(&read.plan, &plan);
        prop_assert_eq!(&crate::plan::read_plan(&plan.print()).unwrap(), &plan);
    }

    #[test]
    fn no_damage_panics_or_goes_unseen(seed in any::<u64>(), at in any::<prop::sample::Index>()) {
        let mut dice = Dice(seed);
        let mut plan = kittiwake();
        taught(&mut plan, &mut dice);
        let link = to_fragment(&plan);
        let at = 3 + at.index(link.len() - 3);
        let cut = from_link(&link[..at]);
        prop_assert!(cut.is_err() || cut.unwrap().plan == plan);
        let other = if &link[at..at + 1] == "A" { "B" } else { "A" };
        let hurt = format!("{}{other}{}", &link[..at], &link[at + 1..]);
        if let Ok(read) = from_link(&hurt) {
            // Stray bits behind the last byte count for nothing.
            prop_assert_eq!(read.plan, plan);
        }
    }

    #[test]
    fn no_text_of_a_link_panics(body in "[A-Za-z0-9_-]{0,400}") {
        let _ = from_link(&format!("d4.{body}"));
    }
}

/// Ids of wires are texts of their own.
#[test]
fn ids_of_others_light_up_nothing_and_come_back() {
    let mut plan = kittiwake();
    let mut made = walk(&plan, &["All."]);
    made.steps[0].lit = Lit {
        parts: vec!["<script>".into()],
        wires: vec![WireId::from("p1")],
    };
    plan.walk = Some(Arc::new(made));
    assert_eq!(opened(&to_fragment(&plan)), plan);
}
