//! Walks recorded and followed in the editor: on random plans, recorded at random points, forward to the end and back is
//! the identity, the board shows what was recorded, and the document stays as it is to the last field.

#![cfg(not(target_arch = "wasm32"))]

pub mod simple_engine;

use duskline::clock::DialMoment;
use duskline::editor::view::within;
use duskline::editor::{
    Change, Drawing, Editor, Key, Message, Pointer, Selection, SiteAct, Target, WalkAct,
};
use duskline::plan::{Edit, End, Lit, PartId, Plan, Snippet, StateEdits, WireId, World, read_plan};
use duskline::teach::{proposed_text, quick_text};
use simple_engine::generate::{self, Random};
use std::sync::Arc;

const PLANS: u64 = 60;

/// Runs a test on random plans, each with chance of its own.
fn each(test: impl Fn(Plan, &mut Random)) {
    generate::plans().each(PLANS, |case| {
        let plan = read_plan(&case.document.to_string()).expect("a sound plan");
        test(plan, &mut Random::new(case.seed));
    });
}

/// Does edits in the editor as somebody at the board would.
fn commit(editor: &mut Editor, edits: Vec<Edit>) {
    editor.apply(Message::Commit {
        says: "build".into(),
        edits,
    });
}

fn opened(plan: Plan) -> Editor {
    let mut editor = Editor::default();
    editor.apply(Message::Resize(1200.0, 800.0));
    editor.apply(Message::Open {
        plan: Box::new(plan),
        keeps_moment: false,
    });
    editor
}

fn act(editor: &mut Editor, act: WalkAct) -> Vec<Change> {
    editor.apply(Message::Walk(act))
}

/// Builds `plan` on an empty board, recording a step after some of its edits, and answers with what the board was at each.
fn recorded(plan: &Plan, chance: &mut Random) -> (Editor, Vec<Plan>) {
    let edits = plan.bare().edits_to(&plan.state());
    let mut editor = opened(plan.bare());
    let steps = chance.between(1, 8);
    let mut cuts: Vec<usize> = (0..steps).map(|_| chance.index(edits.len() + 1)).collect();
    cuts.sort_unstable();
    cuts.dedup();
    let (mut done, mut states) = (0, Vec::new());
    for (step, cut) in cuts.into_iter().enumerate() {
        commit(&mut editor, edits[done..cut].to_vec());
        done = cut;
        let board = editor.plan().clone();
        let parts = board.parts.iter().rev().take(2).map(|p| p.id.clone());
        let wires = board.wires.iter().rev().take(1).map(|w| w.id.clone());
        let lit = Lit {
            parts: parts.collect(),
            wires: wires.collect(),
        };
        let at = DialMoment::of(chance.between(0, 100_000_000) as u64, 86_400_000);
        let at = chance.chance(50).then_some(at);
        let walk = board.walk_with_step(&format!("Step {step}."), at, lit);
        commit(&mut editor, vec![walk.into_edit()]);
        states.push(editor.plan().state().into_owned());
    }
    (editor, states)
}

/// A plan without the places of its parts.
fn unplaced(plan: &Plan) -> Plan {
    let mut plan = plan.clone();
    plan.parts.iter_mut().for_each(|part| part.at = None);
    plan
}

/// Fails where the board shows another state than `expected`; parts without a place are given one.
fn shows(editor: &Editor, expected: &Plan) {
    let between = StateEdits::between(&unplaced(expected), &unplaced(editor.board()));
    assert!(between.is_empty(), "{between:?}");
    assert_eq!(editor.shown(), editor.board());
    assert!(editor.board().parts.iter().all(|part| part.at.is_some()));
}

fn finish(editor: &mut Editor) {
    while editor
        .apply(Message::Work {
            events: 5_000,
            things: 500,
        })
        .contains(&Change::Work)
    {}
}

/// All that is seen of the board: cards, wires, moment.
fn seen(editor: &mut Editor) -> String {
    finish(editor);
    let parts = editor.board().parts.iter();
    let cards: Vec<_> = parts.map(|part| editor.card(&part.id)).collect();
    let wires = editor.board().wires.iter();
    let wires: Vec<_> = wires
        .map(|wire| editor.wire_view(&wire.id).map(|view| view.class))
        .collect();
    format!("{cards:?} {wires:?} {}", editor.moment())
}

#[test]
fn forward_to_the_end_and_back_is_the_identity() {
    each(|plan, chance| {
        let (mut editor, states) = recorded(&plan, chance);
        let document = editor.plan().clone();
        let (outside, view) = (seen(&mut editor), editor.view());
        act(&mut editor, WalkAct::Begin(0));
        let mut there = Vec::new();
        for (step, state) in states.iter().enumerate() {
            let place = editor.walk_place().expect("a walk");
            assert_eq!((place.step, place.of), (step, states.len()));
            shows(&editor, state);
            there.push(seen(&mut editor));
            act(&mut editor, WalkAct::Forward);
        }
        assert_eq!(
            editor.walk_place().map(|at| at.step),
            Some(states.len() - 1)
        );
        for (state, before) in states.iter().zip(&there).rev() {
            shows(&editor, state);
            assert_eq!(&seen(&mut editor), before);
            act(&mut editor, WalkAct::Backward);
        }
        assert_eq!(editor.walk_place().map(|at| at.step), Some(0));
        assert_eq!(editor.plan(), &document);
        act(&mut editor, WalkAct::End);
        assert_eq!(editor.walk_place(), None);
        assert_eq!(seen(&mut editor), outside);
        assert_eq!((editor.plan(), editor.view()), (&document, view));
    });
}

#[test]
fn what_would_change_the_document_changes_nothing() {
    each(|plan, chance| {
        let (mut editor, _) = recorded(&plan, chance);
        act(&mut editor, WalkAct::Begin(usize::MAX));
        let (document, steps) = (editor.plan().clone(), editor.history_text(1_000_000));
        let state = editor.board().clone();
        let ids: Vec<PartId> = state.parts.iter().map(|p| p.id.clone()).collect();
        let id = match ids.is_empty() {
            true => PartId::from("p1"),
            false => ids[chance.index(ids.len())].clone(),
        };
        for message in all(&editor, &id) {
            let said = format!("{message:?}");
            editor.apply(message);
            assert_eq!(editor.plan(), &document, "{said}");
            assert_eq!(editor.board(), &state, "{said}");
            assert!(editor.walk_place().is_some(), "{said}");
            assert_eq!(editor.site().drawing(), Drawing::Board, "{said}");
        }
        assert_eq!(editor.history_text(1_000_000), steps);
    });
}

fn key(name: &str, command: bool) -> Key {
    Key {
        key: name.into(),
        command,
        ..Key::default()
    }
}

/// A press, a way and a letting go, on each kind of target.
fn drag(editor: &Editor, target: Target) -> Vec<Message> {
    let at = |x, y| Pointer {
        id: 1,
        at: editor.view().to_window((x, y)),
        finger: false,
        primary: true,
    };
    vec![
        Message::PointerDown(at(0.0, 0.0), target, false),
        Message::PointerMove(at(40.0, 40.0)),
        Message::PointerMove(at(400.0, 40.0)),
        Message::PointerUp(at(400.0, 40.0)),
    ]
}

/// Everything that would change a document, or show another plan.
fn all(editor: &Editor, id: &PartId) -> Vec<Message> {
    let plan = editor.board();
    let (wire, part) = (WireId::from("w1"), id.clone());
    let end = End::new(id, "out");
    let edits = vec![Edit::Title("another".into())];
    let says = String::from("call it otherwise");
    let mut all = vec![
        Message::Commit {
            says: says.clone(),
            edits: edits.clone(),
        },
        Message::Undo,
        Message::Redo,
        Message::Preview {
            says: says.clone(),
            plan: Box::new(Plan::empty()),
        },
        Message::PreviewChange {
            says: says.clone(),
            name: says.clone(),
            edits,
        },
        Message::TakePreview,
        Message::Throw(part.clone()),
        Message::Carry(Some("lamp".into())),
        Message::Place("lamp".into(), None),
        Message::Paste(
            Box::new(Snippet::of(plan, &[part.clone()].into())),
            "x".into(),
        ),
        Message::DoubleClick(Target::Part(part.clone())),
        Message::Renamed {
            name: Some("other".into()),
            returns: true,
        },
        Message::Select(Selection::part(&part)),
        Message::Cut,
        Message::Duplicate,
        Message::Tidy,
        Message::Join(end.clone(), End::new(&PartId::from("p2"), "in")),
        Message::Site(SiteAct::Turn(Drawing::Site)),
        Message::Site(SiteAct::Hang(part.clone(), None)),
        Message::Site(SiteAct::Take(Some(part.clone()), false)),
        Message::Site(SiteAct::Lead(wire.clone(), Vec::new())),
        Message::Site(SiteAct::TakeBend(wire.clone())),
    ];
    for target in [
        Target::Part(part.clone()),
        Target::Switch(part.clone()),
        Target::Port(end.clone()),
        Target::Wire(wire.clone()),
        Target::NewBend(wire.clone(), 0),
        Target::Paper,
    ] {
        all.extend(drag(editor, target.clone()));
        all.push(Message::Select(Selection::part(&part)));
        let keys = ["Delete", "F2", "t", "ArrowRight", "Enter", "s", "w", " "];
        all.extend(keys.map(|name| Message::Key(key(name, false), target.clone())));
        let keys = ["z", "y", "d", "a", "ArrowUp"];
        all.extend(keys.map(|name| Message::Key(key(name, true), target.clone())));
    }
    all
}

fn notices(changes: &[Change]) -> Vec<&str> {
    let said = changes.iter().filter_map(|change| match change {
        Change::Notice(text) => Some(text.as_str()),
        _ => None,
    });
    said.collect()
}

/// The station with a walk of three steps: the bare board, its first eight edits at dusk, all of it.
fn walked() -> Plan {
    let text = include_str!("../assets/examples/kittiwake-light.json");
    let whole = read_plan(text).expect("an example reads");
    let edits = whole.bare().edits_to(&whole);
    let mut plan = whole.bare();
    let mut done = 0;
    for (to, at) in [(0, "12:00"), (8, "d2 21:00"), (edits.len(), "")] {
        for edit in &edits[done..to] {
            plan.apply(edit.clone()).expect("an edit of the example");
        }
        done = to;
        let parts = plan.parts.iter().take(1).map(|part| part.id.clone());
        let wires = plan.wires.iter().take(1).map(|wire| wire.id.clone());
        let lit = Lit {
            parts: parts.collect(),
            wires: wires.collect(),
        };
        let walk = plan.walk_with_step("One step more.", DialMoment::parse(at, 60), lit);
        plan.walk = Some(Arc::new(walk));
    }
    plan
}

#[test]
fn the_moment_is_the_steps_and_afterwards_the_one_of_before() {
    let mut editor = opened(walked());
    editor.apply(Message::Moment(5_000_000));
    act(&mut editor, WalkAct::Begin(0));
    let day = editor.plan().world.day_ms();
    assert_eq!(editor.moment(), day / 2);
    act(&mut editor, WalkAct::Forward);
    let dusk = day + DialMoment::parse("21:00", 1).expect("a time").ms(day);
    assert_eq!(editor.moment(), dusk);
    act(&mut editor, WalkAct::Forward);
    assert_eq!(
        editor.moment(),
        dusk,
        "it stays where the step before had it"
    );
    act(&mut editor, WalkAct::End);
    assert_eq!(editor.moment(), 5_000_000);
}

#[test]
fn what_is_lit_up_looks_so_and_says_so() {
    let mut editor = opened(walked());
    act(&mut editor, WalkAct::Begin(2));
    finish(&mut editor);
    let board = editor.board().clone();
    let lit = |card: &str| card.contains("in-light");
    for part in &board.parts {
        let card = editor.card(&part.id).expect("a card");
        let is_lit = part.id == board.parts[0].id;
        assert_eq!(lit(&card.class), is_lit, "{}", part.id);
        assert_eq!(card.spoken.contains("lit up by the walk"), is_lit);
        let mut markup = String::new();
        card.figure(&part.id).write(&mut markup);
        assert_eq!(markup.contains("light-mark"), is_lit);
    }
    for wire in &board.wires {
        let view = editor.wire_view(&wire.id).expect("a wire");
        let is_lit = wire.id == board.wires[0].id;
        assert_eq!(view.light.is_some(), is_lit, "{}", wire.id);
        assert_eq!(view.spoken.contains("lit up by the walk"), is_lit);
    }
    act(&mut editor, WalkAct::End);
    let cards = board.parts.iter().filter_map(|part| editor.card(&part.id));
    assert!(!cards.into_iter().any(|card| lit(&card.class)));
}

/// In a window in which the whole station can be read, nothing moves; where somebody has moved the view, it follows the step.
#[test]
fn the_view_shows_every_state_whole_and_stays_where_somebody_put_it() {
    let mut editor = opened(walked());
    let cards = |editor: &Editor| {
        let parts: Vec<_> = editor.board().parts.iter().map(|p| p.id.clone()).collect();
        parts
            .into_iter()
            .filter_map(|id| editor.card_rect(&id))
            .collect::<Vec<_>>()
    };
    act(&mut editor, WalkAct::Begin(0));
    let first = editor.view();
    for _ in 0..2 {
        act(&mut editor, WalkAct::Forward);
        assert_eq!(editor.view(), first);
        let window = editor.view().window();
        assert!(cards(&editor).into_iter().all(|card| within(card, window)));
    }
    // The bar with the text takes room.
    editor.apply(Message::Resize(1200.0, 640.0));
    let window = editor.view().window();
    assert!(cards(&editor).into_iter().all(|card| within(card, window)));
    act(&mut editor, WalkAct::Backward);
    editor.apply(Message::Zoom(2.0, None));
    let lit = editor.board().parts[0].id.clone();
    let own = editor.view();
    act(&mut editor, WalkAct::Forward);
    assert_eq!(editor.view().zoom, own.zoom);
    let card = editor.card_rect(&lit).expect("a card");
    assert!(within(card, editor.view().window()));
}

#[test]
fn a_plan_without_a_walk_says_so_and_another_plan_ends_it() {
    let mut plan = walked();
    plan.walk = None;
    let mut editor = opened(plan.clone());
    let changes = act(&mut editor, WalkAct::Begin(0));
    assert_eq!(notices(&changes), ["This plan has no walk."]);
    assert_eq!(editor.walk_place(), None);
    let mut editor = opened(walked());
    act(&mut editor, WalkAct::Begin(1));
    let changes = editor.apply(Message::Open {
        plan: Box::new(plan),
        keeps_moment: false,
    });
    assert!(changes.contains(&Change::Walk));
    assert_eq!(editor.walk_place(), None);
    assert_eq!(editor.board(), editor.plan());
}

#[test]
fn what_is_refused_says_what_to_do() {
    let mut editor = opened(walked());
    act(&mut editor, WalkAct::Begin(1));
    let changes = editor.apply(Message::Undo);
    let said = "You are following a walk: “Go on from here” makes a copy that you can change, “Close” leads back to the plan.";
    assert_eq!(notices(&changes), [said]);
    let changes = editor.apply(Message::Site(SiteAct::Turn(Drawing::Site)));
    assert_eq!(
        notices(&changes),
        ["A walk is shown on the board. Close it to see the site."]
    );
}

/// A world that becomes another is a change that can be recorded: the states before keep the one they had.
#[test]
fn another_world_of_the_document_leaves_the_states_of_its_walk() {
    let mut editor = opened(walked());
    let before = editor.plan().clone();
    let world = World {
        weather: vec![0.25],
        ..before.world.clone()
    };
    commit(&mut editor, vec![Edit::World(Box::new(world.clone()))]);
    for steps in 1..=3 {
        let (was, is) = (before.state_after(steps), editor.plan().state_after(steps));
        assert!(StateEdits::between(&was, &is).is_empty(), "after {steps}");
    }
    let walk = editor
        .plan()
        .walk_with_step("Winter.", None, Lit::default());
    commit(&mut editor, vec![walk.into_edit()]);
    assert_eq!(editor.plan().walked().world, world);
    for _ in 0..2 {
        editor.apply(Message::Undo);
    }
    assert_eq!(editor.plan().walk, before.walk);
    assert_eq!(editor.plan().world, before.world);
}

/// What is proposed for a step says something, in whole sentences and not without end.
#[test]
fn every_recorded_step_has_a_text_proposed() {
    each(|plan, chance| {
        let (_, states) = recorded(&plan, chance);
        let bare = plan.bare();
        let before = std::iter::once(&bare).chain(&states);
        for (before, after) in before.zip(&states) {
            for text in [proposed_text(before, after), quick_text(before, after)] {
                let words = text.split_whitespace().count();
                assert!((3..=120).contains(&words), "{words} words: {text}");
                assert!(text.ends_with('.'), "{text}");
            }
        }
    });
}
