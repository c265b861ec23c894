//! The editor by its messages: what each changes, what it leaves alone, and that changes name all that looks otherwise.

use super::*;
use crate::plan::{Edit, Impact, Snippet, examples, read_plan};
use crate::run::at;
use crate::sheet::tidy::{self, lay_out};
use drawn::Level;
use proptest::prelude::*;
use std::collections::BTreeMap;

fn station() -> Plan {
    read_plan(include_str!("../../assets/examples/kittiwake-light.json")).expect("an example reads")
}

fn opened(plan: Plan) -> Editor {
    let mut editor = Editor::default();
    editor.apply(Message::Resize(1200.0, 800.0));
    editor.apply(Message::Open {
        plan: Box::new(plan),
        keeps_moment: false,
    });
    finish(&mut editor);
    editor
}

/// Does all work that was put off; answers with what it changed.
fn finish(editor: &mut Editor) -> Vec<Change> {
    let mut changes = Vec::new();
    for _ in 0..10_000 {
        let more = editor.apply(Message::Work {
            events: 1000,
            things: 50,
        });
        let goes_on = more.contains(&Change::Work);
        changes.extend(more);
        if !goes_on {
            return changes;
        }
    }
    panic!("the work has no end");
}

/// Fails where the board does not show what a run of `plan` from its first midnight gives.
fn shows(editor: &Editor, plan: &Plan) {
    let expected = at(plan, editor.moment());
    for (part, state) in plan.parts.iter().zip(expected.parts) {
        assert_eq!(editor.state(&part.id), state, "{}", part.id);
    }
    for (wire, flow) in plan.wires.iter().zip(expected.wires) {
        assert_eq!(editor.flow(&wire.id), flow, "{}", wire.id);
    }
    assert_eq!(editor.problems(), expected.problems);
}

fn pointer(at: Point) -> Pointer {
    Pointer {
        id: 1,
        at,
        finger: false,
        primary: true,
    }
}

fn key(name: &str) -> Key {
    Key {
        key: name.into(),
        ..Key::default()
    }
}

fn id(name: &str) -> PartId {
    PartId::from(name)
}

/// Presses on a part and moves it by so much of the window, in two moves; not let go yet.
fn drag(editor: &mut Editor, part: &str, by: Point) -> Vec<Change> {
    let (x, y, ..) = editor.card_rect(&id(part)).expect("on the board");
    let at = editor.view().to_window((x + 20.0, y + 20.0));
    editor.apply(Message::PointerDown(
        pointer(at),
        Target::Part(id(part)),
        false,
    ));
    let half = (at.0 + by.0 / 2.0, at.1 + by.1 / 2.0);
    editor.apply(Message::PointerMove(pointer(half)));
    editor.apply(Message::PointerMove(pointer((at.0 + by.0, at.1 + by.1))))
}

#[test]
fn for_a_recording_a_plan_fills_the_window_and_afterwards_it_is_shown_whole_again() {
    for (name, text) in crate::plan::examples() {
        let mut editor = Editor::new(read_plan(text).expect("an example reads"));
        editor.apply(Message::Resize(1200.0, 500.0));
        editor.apply(Message::Fit);
        let before = editor.view();
        editor.apply(Message::Record(true));
        let view = editor.view();
        assert!(view.zoom > before.zoom, "{name}");
        let (x, y, wide, high) = view.window();
        for part in &editor.plan().parts {
            let (left, top, w, h) = editor.card_rect(&part.id).expect("a card");
            let is_in = left >= x && top >= y && left + w <= x + wide && top + h <= y + high;
            assert!(is_in, "{name}: {}", part.id);
        }
        editor.apply(Message::Resize(1000.0, 420.0));
        assert_eq!(editor.view(), {
            let mut other = editor.clone();
            other.apply(Message::Fit);
            other.view()
        });
        editor.apply(Message::Resize(1200.0, 500.0));
        editor.apply(Message::Record(false));
        assert_eq!(editor.view(), before, "{name}");
    }
}

#[test]
fn an_edit_of_place_or_words_compiles_and_runs_nothing() {
    let mut editor = opened(station());
    let compiled = editor.compiled();
    let edits = [
        Edit::MovePart(id("p1"), Some((8.0, 16.0))),
        Edit::Rename(id("p1"), "West roof".into()),
        Edit::Notes("To be checked in winter.".into()),
        Edit::Title("Kittiwake Light, west".into()),
    ];
    for edit in edits {
        let impact = edit.impact();
        assert_ne!(impact, Impact::Power);
        let mut changes = editor.apply(Message::Commit {
            says: "edit".into(),
            edits: vec![edit],
        });
        changes.extend(finish(&mut editor));
        assert!(changes.contains(&Change::Document(impact)));
    }
    editor.apply(Message::Undo);
    editor.apply(Message::Undo);
    assert_eq!(editor.compiled(), compiled);
}

#[test]
fn an_edit_of_power_compiles_once_and_shows_what_a_run_from_the_start_gives() {
    let mut editor = opened(station());
    let compiled = editor.compiled();
    editor.apply(Message::Commit {
        says: "more panels".into(),
        edits: vec![Edit::Count(id("p1"), 7)],
    });
    finish(&mut editor);
    assert_eq!(editor.compiled(), compiled + 1);
    shows(&editor, editor.plan());
    editor.apply(Message::Moment(3_600_000));
    finish(&mut editor);
    assert_eq!(editor.compiled(), compiled + 1);
    shows(&editor, editor.plan());
}

#[test]
fn pointing_at_a_part_wakes_that_part_alone() {
    let mut editor = opened(station());
    let changes = editor.apply(Message::Hover(Some(id("p3"))));
    assert_eq!(changes, [Change::Part(id("p3")), Change::Hover]);
    let changes = editor.apply(Message::Hover(Some(id("p4"))));
    assert_eq!(
        changes,
        [
            Change::Part(id("p3")),
            Change::Part(id("p4")),
            Change::Hover
        ]
    );
}

#[test]
fn choosing_wakes_what_is_chosen_and_what_was() {
    let mut editor = opened(station());
    editor.apply(Message::Select(Selection::part(&id("p3"))));
    let changes = editor.apply(Message::Select(Selection::part(&id("p5"))));
    assert_eq!(
        changes,
        [
            Change::Part(id("p3")),
            Change::Part(id("p5")),
            Change::Selection
        ]
    );
}

#[test]
fn a_drag_moves_its_parts_and_their_own_wires_and_is_one_step() {
    let mut editor = opened(station());
    let before = editor.plan().clone();
    let looks = |editor: &Editor, wire: &WireId| {
        let view = editor.wire_view(wire).expect("a wire");
        scene::WireView {
            label: None,
            ..view
        }
    };
    let undragged = editor.clone();
    let changes = drag(&mut editor, "p3", (60.0, 40.0));
    let own: BTreeSet<WireId> = (before.wires.iter())
        .filter(|w| w.from.part == id("p3") || w.to.part == id("p3"))
        .map(|w| w.id.clone())
        .collect();
    for change in &changes {
        match change {
            Change::Part(part) => assert_eq!(*part, id("p3")),
            // Of other wires only the number may give way.
            Change::Wire(wire) => assert!(
                own.contains(wire) || looks(&editor, wire) == looks(&undragged, wire),
                "{wire} does not hang on p3"
            ),
            other => panic!("{other:?}"),
        }
    }
    assert_eq!(**editor.plan(), *before, "it floats until it is let go");
    editor.apply(Message::PointerUp(pointer((400.0, 400.0))));
    assert_ne!(editor.plan().part(&id("p3")), before.part(&id("p3")));
    editor.apply(Message::Undo);
    assert_eq!(editor.plan().parts, before.parts);
    assert_eq!(editor.steps().0, None);
}

#[test]
fn a_gesture_that_is_lost_leaves_nothing() {
    let mut editor = opened(station());
    let (before, place) = (editor.plan().clone(), editor.card_rect(&id("p3")));
    drag(&mut editor, "p3", (60.0, 40.0));
    assert_ne!(editor.card_rect(&id("p3")), place);
    editor.apply(Message::PointerLost(1));
    assert_eq!(editor.card_rect(&id("p3")), place);
    assert_eq!(editor.plan(), &before);
    assert_eq!(editor.steps().0, None);
}

#[test]
fn a_wire_is_drawn_by_pointer_and_by_keys() {
    let mut editor = opened(Plan::empty());
    for kind in ["sun-panel", "lamp"] {
        editor.apply(Message::Place(kind.into(), None));
    }
    let (out, into) = (End::new(&id("p1"), "out"), End::new(&id("p2"), "in"));
    let from = editor.port_place(&out).expect("a port");
    let to = editor.port_place(&into).expect("a port");
    let (from, to) = (editor.view().to_window(from), editor.view().to_window(to));
    editor.apply(Message::PointerDown(
        pointer(from),
        Target::Port(out.clone()),
        false,
    ));
    editor.apply(Message::PointerMove(pointer((from.0 + 20.0, from.1))));
    editor.apply(Message::PointerMove(pointer(to)));
    editor.apply(Message::PointerUp(pointer(to)));
    assert_eq!(editor.plan().wires.len(), 1);
    editor.apply(Message::Undo);
    assert_eq!(editor.plan().wires.len(), 0);

    let changes = editor.apply(Message::Key(key("Enter"), Target::Port(out)));
    assert!(changes.contains(&Change::FocusOn(FocusOn::Port(into.clone()))));
    let changes = editor.apply(Message::Key(key("Enter"), Target::Port(into)));
    assert!(changes.contains(&Change::Handled));
    assert_eq!(editor.plan().wires.len(), 1);
}

#[test]
fn a_taken_port_is_asked_about_and_the_question_ends_with_what_it_is_about() {
    let (_, text) = examples()[0];
    let mut editor = opened(read_plan(text).expect("an example reads"));
    let wire = editor.plan().wires[0].clone();
    let other = End::new(&wire.to.part, &wire.to.port);
    editor.apply(Message::Key(key("Enter"), Target::Port(wire.from.clone())));
    editor.apply(Message::Key(key("Enter"), Target::Port(other.clone())));
    assert_eq!(
        editor.replacing().map(|r| r.wires.clone()),
        Some(vec![wire.id.clone()])
    );
    editor.apply(Message::Commit {
        says: "remove".into(),
        edits: editor
            .plan()
            .removal(std::slice::from_ref(&wire.to.part), &[]),
    });
    assert_eq!(editor.replacing(), None);
}

#[test]
fn opening_another_plan_ends_all_that_was_under_way() {
    let mut editor = opened(station());
    editor.apply(Message::Key(
        key("Enter"),
        Target::Port(End::new(&id("p1"), "out")),
    ));
    assert!(editor.joining().is_some());
    editor.apply(Message::Carry(Some("lamp".into())));
    editor.apply(Message::Select(Selection::part(&id("p1"))));
    let changes = editor.apply(Message::Open {
        plan: Box::new(Plan::empty()),
        keeps_moment: false,
    });
    assert!(changes.contains(&Change::Opened) && changes.contains(&Change::Joining));
    assert!(editor.joining().is_none() && editor.carry().is_none());
    assert!(editor.selection().is_empty());
}

#[test]
fn most_moves_of_the_view_draw_nothing_anew() {
    let mut editor = opened(station());
    editor.apply(Message::Zoom(3.0, None));
    finish(&mut editor);
    let at = (600.0, 400.0);
    editor.apply(Message::PointerDown(pointer(at), Target::Paper, false));
    editor.apply(Message::PointerMove(pointer((610.0, 400.0))));
    let mut drawn = 0;
    for step in 0..100 {
        let to = (610.0 + f64::from(step) * 4.0, 400.0);
        let changes = editor.apply(Message::PointerMove(pointer(to)));
        drawn += usize::from(changes.iter().any(|c| *c != Change::View));
    }
    assert!(drawn <= 3, "{drawn} of 100 moves drew something");
}

#[test]
fn what_is_tried_is_shown_and_the_document_stays() {
    let mut editor = opened(station());
    let before = editor.plan().clone();
    let mut without = Plan::clone(&before);
    let edits = without.removal(&[id("p1")], &[]);
    without.apply_all(edits).expect("a removal applies");
    editor.apply(Message::Preview {
        says: "Without it".into(),
        plan: Box::new(without),
    });
    assert_eq!(editor.mark_of_part(&id("p1")), Mark::Gone);
    assert!(editor.card(&id("p1")).is_some_and(|card| card.gone));
    assert_eq!(editor.plan(), &before);
    let changes = editor.apply(Message::EndPreview);
    assert!(changes.contains(&Change::Preview));
    finish(&mut editor);
    shows(&editor, &before);
}

#[test]
fn a_change_that_is_taken_is_one_step() {
    let mut editor = opened(station());
    let before = editor.plan().clone();
    editor.apply(Message::PreviewChange {
        says: "one panel more".into(),
        name: "add a panel".into(),
        edits: vec![Edit::Count(id("p1"), 9)],
    });
    assert_eq!(editor.plan(), &before);
    editor.apply(Message::TakePreview);
    assert_eq!(editor.plan().part(&id("p1")).map(|p| p.count), Some(9));
    assert!(editor.preview().is_none());
    assert_eq!(editor.steps().0, Some("add a panel"));
}

#[test]
fn a_day_of_another_length_keeps_the_hour_shown() {
    let mut editor = opened(station());
    let noon = editor.moment();
    let mut world = editor.plan().world.clone();
    world.day_s = 3600.0;
    editor.apply(Message::Commit {
        says: "a short day".into(),
        edits: vec![Edit::World(Box::new(world))],
    });
    assert_eq!(editor.moment(), 1_800_000);
    editor.apply(Message::Undo);
    assert_eq!(editor.moment(), noon);
}

/// All that is drawn, as somebody holds it who looks only at what changes name.
#[derive(Default)]
struct Screen {
    cards: BTreeMap<PartId, scene::CardView>,
    wires: BTreeMap<WireId, scene::WireView>,
}

impl Screen {
    fn follow(&mut self, editor: &Editor, changes: &[Change]) {
        let (mut parts, mut wires) = (BTreeSet::new(), BTreeSet::new());
        for change in changes {
            match change {
                Change::Opened => *self = Screen::default(),
                Change::Part(id) => {
                    parts.insert(id.clone());
                }
                Change::Wire(id) => {
                    wires.insert(id.clone());
                }
                _ => {}
            }
        }
        let drawn: BTreeSet<PartId> = editor.drawn_parts().into_iter().map(|(_, id)| id).collect();
        self.cards
            .retain(|id, _| drawn.contains(id) && !parts.contains(id));
        for id in drawn {
            if !self.cards.contains_key(&id)
                && let Some(card) = editor.card(&id)
            {
                self.cards.insert(id, card);
            }
        }
        let drawn: BTreeSet<WireId> = editor.drawn_wires().into_iter().map(|(_, id)| id).collect();
        self.wires
            .retain(|id, _| drawn.contains(id) && !wires.contains(id));
        for id in drawn {
            if !self.wires.contains_key(&id)
                && let Some(wire) = editor.wire_view(&id)
            {
                self.wires.insert(id, wire);
            }
        }
    }

    fn check(&self, editor: &Editor) {
        for (id, card) in &self.cards {
            assert_eq!(editor.card(id).as_ref(), Some(card));
        }
        for (id, wire) in &self.wires {
            assert_eq!(editor.wire_view(id).as_ref(), Some(wire));
        }
    }
}

/// Something that somebody does.
#[derive(Clone, Debug)]
enum Act {
    Choose(usize, bool),
    Hover(usize),
    Drag(usize, i8, i8, bool),
    Nudge(u8),
    Count(usize, u64),
    Rename(usize),
    Remove(usize),
    Duplicate,
    Paste(usize),
    Place(usize),
    Join(usize, usize),
    Undo,
    Redo,
    Moment(u64),
    Zoom(f64),
    Pan(i16, i16),
    Try(usize),
    EndTry,
    Tidy,
    Work,
}

fn acts() -> impl Strategy<Value = Act> {
    let part = 0..40usize;
    prop_oneof![
        (part.clone(), any::<bool>()).prop_map(|(p, more)| Act::Choose(p, more)),
        part.clone().prop_map(Act::Hover),
        (part.clone(), any::<i8>(), any::<i8>(), any::<bool>())
            .prop_map(|(p, x, y, lost)| Act::Drag(p, x, y, lost)),
        (0..4u8).prop_map(Act::Nudge),
        (part.clone(), 1..5u64).prop_map(|(p, n)| Act::Count(p, n)),
        part.clone().prop_map(Act::Rename),
        part.clone().prop_map(Act::Remove),
        Just(Act::Duplicate),
        part.clone().prop_map(Act::Paste),
        part.clone().prop_map(Act::Place),
        (part.clone(), part.clone()).prop_map(|(a, b)| Act::Join(a, b)),
        Just(Act::Undo),
        Just(Act::Redo),
        (0..200_000_000u64).prop_map(Act::Moment),
        (0.4..2.5f64).prop_map(Act::Zoom),
        (any::<i16>(), any::<i16>()).prop_map(|(x, y)| Act::Pan(x / 40, y / 40)),
        part.prop_map(Act::Try),
        Just(Act::EndTry),
        Just(Act::Tidy),
        Just(Act::Work),
    ]
}

/// The messages that an act sends.
fn messages(editor: &Editor, act: &Act) -> Vec<Message> {
    let plan = editor.plan();
    let part = |n: usize| {
        plan.parts
            .get(n % plan.parts.len().max(1))
            .map(|p| p.id.clone())
    };
    let commit = |edits: Vec<Edit>| Message::Commit {
        says: "act".into(),
        edits,
    };
    let or_none = |message: Option<Message>| message.into_iter().collect();
    match act {
        Act::Choose(n, more) => or_none(part(*n).map(|id| {
            let mut chosen = editor.selection().clone();
            chosen.click_part(id, *more);
            Message::Select(chosen)
        })),
        Act::Hover(n) => vec![Message::Hover(part(*n))],
        Act::Drag(n, x, y, lost) => {
            let Some(id) = part(*n) else { return vec![] };
            let at = (500.0, 400.0);
            let to = (500.0 + f64::from(*x), 400.0 + f64::from(*y));
            let end = if *lost {
                Message::PointerLost(1)
            } else {
                Message::PointerUp(pointer(to))
            };
            vec![
                Message::PointerDown(pointer(at), Target::Part(id), false),
                Message::PointerMove(pointer(to)),
                end,
            ]
        }
        Act::Nudge(way) => {
            let way = ["ArrowLeft", "ArrowRight", "ArrowUp", "ArrowDown"][usize::from(*way)];
            vec![Message::Key(key(way), Target::Paper)]
        }
        Act::Count(n, count) => or_none(part(*n).map(|id| commit(vec![Edit::Count(id, *count)]))),
        Act::Rename(n) => {
            or_none(part(*n).map(|id| commit(vec![Edit::Rename(id, format!("Part {n}"))])))
        }
        Act::Remove(n) => or_none(part(*n).map(|id| commit(plan.removal(&[id], &[])))),
        Act::Duplicate => vec![Message::Key(
            Key {
                command: true,
                ..key("d")
            },
            Target::Paper,
        )],
        Act::Paste(n) => or_none(part(*n).map(|id| {
            let snippet = Snippet::of(plan, &BTreeSet::from([id]));
            Message::Paste(Box::new(snippet), n.to_string())
        })),
        Act::Place(n) => {
            let types = &plan.book.book.types;
            vec![Message::Place(types[n % types.len()].name.clone(), None)]
        }
        Act::Join(a, b) => {
            let (Some(a), Some(b)) = (part(*a), part(*b)) else {
                return vec![];
            };
            let port = |id: PartId, last: bool| {
                let ports = layout::ports(plan, plan.part(&id)?);
                let port = if last { ports.last() } else { ports.first() };
                Some(End::new(&id, &port?.name))
            };
            let (Some(a), Some(b)) = (port(a, true), port(b, false)) else {
                return vec![];
            };
            vec![
                Message::Key(key("Enter"), Target::Port(a)),
                Message::Key(key("Enter"), Target::Port(b)),
                Message::Replace(true),
            ]
        }
        Act::Undo => vec![Message::Undo],
        Act::Redo => vec![Message::Redo],
        Act::Moment(t) => vec![Message::Moment(*t)],
        Act::Zoom(factor) => vec![Message::Zoom(*factor, None)],
        Act::Pan(x, y) => vec![
            Message::PointerDown(pointer((500.0, 400.0)), Target::Paper, false),
            Message::PointerMove(pointer((500.0 + f64::from(*x), 400.0 + f64::from(*y)))),
            Message::PointerUp(pointer((500.0 + f64::from(*x), 400.0 + f64::from(*y)))),
        ],
        Act::Try(n) => or_none(part(*n).map(|id| {
            let mut tried = Plan::clone(plan);
            let edits = tried.removal(&[id], &[]);
            tried.apply_all(edits).expect("a removal applies");
            Message::Preview {
                says: "Without it".into(),
                plan: Box::new(tried),
            }
        })),
        Act::EndTry => vec![Message::EndPreview],
        Act::Tidy => {
            let all = plan.parts.iter().map(|p| p.id.clone()).collect();
            let chosen = &editor.selection().parts;
            let chosen = if chosen.len() < 2 { &all } else { chosen };
            vec![
                Message::Tidy,
                Message::Tidied(lay_out(plan, chosen, tidy::Screen::Wide)),
            ]
        }
        Act::Work => vec![Message::Work {
            events: 5,
            things: 3,
        }],
    }
}

#[test]
fn the_first_part_that_comes_back_takes_its_place_for_tab_from_the_second() {
    let mut editor = opened(station());
    let mut screen = Screen::default();
    screen.follow(&editor, &[]);
    for act in [Act::Remove(0), Act::Undo] {
        for message in messages(&editor, &act) {
            let changes = editor.apply(message);
            screen.follow(&editor, &changes);
            screen.check(&editor);
        }
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 48, failure_persistence: None, ..ProptestConfig::default() })]

    /// Whoever draws only what changes name sees the same as somebody who draws everything, after every message; and in
    /// the end the same as an editor that has just opened the plan.
    #[test]
    fn changes_name_all_that_looks_otherwise(acts in prop::collection::vec(acts(), 1..30)) {
        let mut editor = opened(station());
        let mut screen = Screen::default();
        screen.follow(&editor, &[]);
        for act in &acts {
            for message in messages(&editor, act) {
                let changes = editor.apply(message);
                screen.follow(&editor, &changes);
                screen.check(&editor);
            }
        }
        let mut changes = editor.apply(Message::EndPreview);
        changes.extend(finish(&mut editor));
        screen.follow(&editor, &changes);
        screen.check(&editor);

        let fresh = opened(Plan::clone(editor.plan()));
        editor.apply(Message::Moment(fresh.moment()));
        finish(&mut editor);
        shows(&editor, fresh.plan());
        for part in &editor.plan().parts {
            prop_assert_eq!(editor.card_rect(&part.id), fresh.card_rect(&part.id));
        }
        for wire in &editor.plan().wires {
            let course = |e: &Editor| e.geometry.courses().course(&wire.id).map(<[Point]>::to_vec);
            prop_assert_eq!(course(&editor), course(&fresh));
        }
    }
}

fn place(editor: &mut Editor, kind: &str, at: Option<Point>) -> PartId {
    editor.apply(Message::Place(kind.into(), at));
    editor
        .plan()
        .parts
        .last()
        .expect("it was placed")
        .id
        .clone()
}

fn finger(at: Point) -> Pointer {
    Pointer {
        finger: true,
        ..pointer(at)
    }
}

/// Presses at one place of the window, moves to another and lets go.
fn slide(editor: &mut Editor, from: Pointer, on: Target, to: Pointer) -> Vec<Change> {
    editor.apply(Message::PointerDown(from, on, false));
    editor.apply(Message::PointerMove(to));
    editor.apply(Message::PointerUp(to))
}

fn window_place(editor: &Editor, end: &End) -> Point {
    let at = editor.port_place(end).expect("a port");
    editor.view().to_window(at)
}

fn notices(changes: &[Change]) -> Vec<&str> {
    let texts = changes.iter().map(|change| match change {
        Change::Notice(text) => Some(text.as_str()),
        _ => None,
    });
    texts.flatten().collect()
}

#[test]
fn a_finger_meets_the_nearest_port_within_24_pixels_of_the_screen_and_a_cards_middle() {
    let mut editor = opened(Plan::empty());
    let panel = place(&mut editor, "sun-panel", Some((0.0, 0.0)));
    let lamp = place(&mut editor, "lamp", Some((400.0, 0.0)));
    for zoom in [1.0, 0.55] {
        editor.apply(Message::Fit);
        let factor = zoom / editor.view().zoom;
        editor.apply(Message::Zoom(factor, None));
        finish(&mut editor);
        let (out, into) = (End::new(&panel, "out"), End::new(&lamp, "in"));
        let (from, to) = (window_place(&editor, &out), window_place(&editor, &into));
        let down = |editor: &mut Editor, by: Point, on: Target| {
            let from = finger((from.0 + by.0, from.1 + by.1));
            slide(editor, from, on, finger(to));
            let wired = editor.plan().wires.len();
            if wired > 0 {
                editor.apply(Message::Undo);
            }
            editor.apply(Message::Fit);
            let factor = zoom / editor.view().zoom;
            editor.apply(Message::Zoom(factor, None));
            finish(editor);
            wired
        };
        assert_eq!(down(&mut editor, (16.0, 16.0), Target::Paper), 1, "{zoom}");
        let near = Target::Part(panel.clone());
        assert_eq!(down(&mut editor, (-10.0, 0.0), near), 1, "{zoom}");
        assert_eq!(down(&mut editor, (20.0, 20.0), Target::Paper), 0, "{zoom}");
        let (x, y, wide, high) = editor.card_rect(&panel).expect("a card");
        let middle = editor.view().to_window((x + wide / 2.0, y + high / 2.0));
        let by = (middle.0 - from.0, middle.1 - from.1);
        assert_eq!(
            down(&mut editor, by, Target::Part(panel.clone())),
            0,
            "{zoom}"
        );
    }
}

#[test]
fn what_is_chosen_stays_in_sight_when_the_window_becomes_smaller() {
    let mut editor = opened(station());
    let chosen = editor.plan().parts.iter().max_by(|a, b| {
        let low = |p: &crate::plan::Part| p.at.unwrap_or_default().1;
        low(a).total_cmp(&low(b))
    });
    let chosen = chosen.expect("it has parts").id.clone();
    editor.apply(Message::Select(Selection::part(&chosen)));
    editor.apply(Message::Zoom(1.1, None));
    editor.apply(Message::Show(vec![chosen.clone()], Vec::new()));
    let zoom = editor.view().zoom;
    editor.apply(Message::Resize(1200.0, 300.0));
    let (x, y, wide, high) = editor.card_rect(&chosen).expect("a card");
    let above_tools = (x, y, wide, high + view::TOOLS / editor.view().zoom);
    assert!(view::within(above_tools, editor.view().window()));
    assert_eq!(editor.view().zoom, zoom, "no other scale");
}

#[test]
fn a_view_of_the_whole_plan_stays_one_when_the_window_becomes_another() {
    let mut editor = opened(station());
    let shows_all = |editor: &Editor| {
        let all = editor.plan().parts.iter();
        let rects: Vec<_> = all.filter_map(|p| editor.card_rect(&p.id)).collect();
        let (x, y, wide, high) = editor.view().window();
        let above_tools = (x, y, wide, high - view::TOOLS / editor.view().zoom);
        rects.iter().all(|rect| view::within(*rect, above_tools))
    };
    editor.apply(Message::Resize(1200.0, 400.0));
    editor.apply(Message::Fit);
    for size in [
        (1200.0, 300.0),
        (390.0, 500.0),
        (390.0, 250.0),
        (1600.0, 900.0),
    ] {
        editor.apply(Message::Resize(size.0, size.1));
        assert!(shows_all(&editor), "{size:?}");
    }
    editor.apply(Message::Zoom(2.0, None));
    let before = editor.view();
    editor.apply(Message::Resize(1600.0, 900.0));
    assert_eq!(editor.view().zoom, before.zoom);
    editor.apply(Message::Fit);
    editor.apply(Message::Resize(800.0, 400.0));
    assert!(shows_all(&editor));
}

#[test]
fn in_the_hand_a_plan_opens_where_its_names_can_be_read_and_fit_shows_it_whole() {
    for size in [(390.0, 560.0), (700.0, 300.0)] {
        let mut editor = Editor::default();
        editor.apply(Message::Held(true));
        editor.apply(Message::Resize(size.0, size.1));
        let open = |editor: &mut Editor| {
            editor.apply(Message::Open {
                plan: station().into(),
                keeps_moment: false,
            })
        };
        open(&mut editor);
        let opened = editor.view();
        assert!(editor.detail().level >= Level::Name, "{size:?}: {opened:?}");
        let first = editor.card_rect(&id("p1")).expect("a card");
        assert!(view::within(first, opened.window()), "its beginning");
        let beyond = editor.beyond();
        assert!(!beyond.is_empty(), "{size:?}");
        // Steps lead to every one.
        let mut seen = BTreeSet::new();
        for side in [Beyond::Right, Beyond::Below, Beyond::Left, Beyond::Above].repeat(2) {
            for _ in 0..4 {
                let parts = editor.plan().parts.iter();
                let here = parts.filter(|p| {
                    let rect = editor.card_rect(&p.id).expect("a card");
                    editor.view().beyond(rect).is_none()
                });
                seen.extend(here.map(|p| p.id.clone()));
                editor.apply(Message::Step(side));
            }
        }
        assert_eq!(seen.len(), editor.plan().parts.len(), "{size:?}");
        editor.apply(Message::Fit);
        assert_eq!(editor.beyond(), []);
        // Held the other way it opens anew; a pane that takes room moves nothing.
        open(&mut editor);
        editor.apply(Message::Resize(size.0, size.1 - 250.0));
        assert_eq!(editor.view().zoom, opened.zoom);
        open(&mut editor);
        editor.apply(Message::Resize(size.1, size.0));
        let turned = editor.view();
        open(&mut editor);
        assert_eq!(editor.view(), turned);
    }
    // On a desk it is seen whole, and what lies beyond is not told.
    let mut editor = opened(station());
    editor.apply(Message::Resize(920.0, 500.0));
    let whole = editor.view();
    editor.apply(Message::Fit);
    assert_eq!(editor.view(), whole);
    editor.apply(Message::Zoom(3.0, None));
    assert_eq!(editor.beyond(), []);
}

#[test]
fn a_plan_whose_corner_is_bare_opens_at_what_is_nearest_to_it() {
    let mut plan = station();
    for (i, part) in plan.parts.iter_mut().enumerate() {
        let far = i as f64 * 200.0;
        part.at = Some((far, 8000.0 - far));
    }
    let mut editor = Editor::default();
    editor.apply(Message::Held(true));
    editor.apply(Message::Resize(390.0, 560.0));
    editor.apply(Message::Open {
        plan: plan.into(),
        keeps_moment: false,
    });
    let in_sight = |p: &&crate::plan::Part| {
        let rect = editor.card_rect(&p.id).expect("a card");
        editor.view().beyond(rect).is_none()
    };
    assert!(editor.plan().parts.iter().find(in_sight).is_some());
}

#[test]
fn a_pane_that_opens_and_closes_again_leaves_the_view_where_it_was() {
    let mut editor = Editor::default();
    editor.apply(Message::Held(true));
    editor.apply(Message::Resize(390.0, 560.0));
    for y in [100.0, 300.0, 500.0] {
        place(&mut editor, "lamp", Some((200.0, y)));
        let before = editor.view();
        editor.apply(Message::Resize(390.0, 260.0));
        assert_ne!(editor.view(), before, "what is chosen stays in sight");
        editor.apply(Message::Resize(390.0, 300.0));
        // A problem that came meanwhile has made the bar a line higher.
        editor.apply(Message::Resize(390.0, 530.0));
        editor.apply(Message::Resize(390.0, 560.0));
        assert_eq!(editor.view(), before);
    }
    // Who moves the board meanwhile finds it where he moved it.
    editor.apply(Message::Resize(390.0, 260.0));
    editor.apply(Message::Look((40.0, 40.0)));
    editor.apply(Message::Resize(390.0, 560.0));
    assert_eq!((editor.view().x, editor.view().y), (40.0, 40.0));
}

#[test]
fn in_the_hand_an_empty_board_has_room_for_some_parts_beside_each_other() {
    let mut editor = Editor::default();
    editor.apply(Message::Held(true));
    editor.apply(Message::Resize(390.0, 560.0));
    assert!(editor.detail().level == Level::All && editor.view().window().2 > 3.0 * 176.0);
    editor.apply(Message::Held(false));
    editor.apply(Message::Resize(920.0, 500.0));
    editor.apply(Message::Fit);
    assert_eq!(editor.view().zoom, 1.0);
}

#[test]
fn in_the_hand_a_plan_is_tidied_for_an_upright_screen() {
    let screen = |size: (f64, f64), held: bool| {
        let mut editor = opened(station());
        editor.apply(Message::Held(held));
        editor.apply(Message::Resize(size.0, size.1));
        let told = editor.apply(Message::Tidy);
        let screen = told.iter().find_map(|change| match change {
            Change::Tidy(_, screen) => Some(*screen),
            _ => None,
        });
        screen.expect("it is asked for")
    };
    assert_eq!(screen((390.0, 560.0), true), tidy::Screen::Upright);
    assert_eq!(screen((700.0, 300.0), true), tidy::Screen::Wide);
    assert_eq!(screen((920.0, 500.0), false), tidy::Screen::Wide);
    assert_eq!(
        screen((900.0, 1200.0), false),
        tidy::Screen::Wide,
        "a tall window on a desk"
    );
}

#[test]
fn a_view_does_not_jump_at_another_size_once_parts_were_moved() {
    let mut editor = opened(station());
    editor.apply(Message::Resize(1200.0, 600.0));
    editor.apply(Message::Commit {
        says: "move".into(),
        edits: vec![Edit::MovePart(id("p1"), Some((8000.0, 400.0)))],
    });
    let before = editor.view();
    editor.apply(Message::Resize(1200.0, 580.0));
    let after = editor.view();
    assert_eq!(
        (after.x, after.y, after.zoom),
        (before.x, before.y, before.zoom)
    );
}

#[test]
fn what_is_tried_moves_nothing_on_the_board_though_its_line_takes_room() {
    let mut editor = opened(station());
    editor.apply(Message::Resize(1200.0, 600.0));
    let switch = editor.plan().parts.iter().find(|p| p.kind == "switch");
    let switch = switch.expect("a switch").id.clone();
    let before = editor.view();
    editor.apply(Message::Throw(switch.clone()));
    editor.apply(Message::Resize(1200.0, 560.0));
    let place = |view: View| (view.x, view.y, view.zoom);
    assert_eq!(place(editor.view()), place(before));
    editor.apply(Message::Throw(switch));
    assert!(editor.preview().is_none(), "the same again puts it back");
    editor.apply(Message::Resize(1200.0, 600.0));
    assert_eq!(editor.view(), before);
}

#[test]
fn a_part_that_was_put_down_by_hand_has_the_keys_and_one_from_the_list_has_not() {
    let goes = |changes: &[Change]| {
        let is = |c: &&Change| matches!(c, Change::FocusOn(_));
        changes.iter().filter(is).count()
    };
    let mut editor = Editor::default();
    let by_hand = editor.apply(Message::Place("lamp".into(), Some((200.0, 200.0))));
    assert_eq!(goes(&by_hand), 1);
    let listed = editor.apply(Message::Place("lamp".into(), None));
    assert_eq!(goes(&listed), 0);
}

#[test]
fn a_layout_is_dropped_where_the_plan_has_changed_since_it_was_asked_for() {
    let mut editor = opened(station());
    let all: BTreeSet<PartId> = editor.plan().parts.iter().map(|p| p.id.clone()).collect();
    let moved = |x: f64| Message::Commit {
        says: "move".into(),
        edits: vec![Edit::MovePart(id("p1"), Some((x, 400.0)))],
    };
    editor.apply(moved(800.0));
    let asked = editor.apply(Message::Tidy);
    assert!(asked.contains(&Change::Tidy(all.clone(), tidy::Screen::Wide)));
    let laid = lay_out(editor.plan(), &all, tidy::Screen::Wide);
    editor.apply(moved(808.0));
    let before = editor.plan().clone();
    let told = editor.apply(Message::Tidied(laid.clone()));
    assert_eq!(*editor.plan(), before);
    assert!(
        told.iter()
            .any(|c| matches!(c, Change::Notice(says) if says.contains("changed")))
    );
    // What nobody waits for changes nothing either.
    assert_eq!(editor.apply(Message::Tidied(laid.clone())), []);
    editor.apply(Message::Tidy);
    editor.apply(Message::Open {
        plan: station().into(),
        keeps_moment: false,
    });
    finish(&mut editor);
    assert_eq!(editor.apply(Message::Tidied(laid)), []);
}

/// The question whether a wire may take the place of another.
fn asked() -> Editor {
    let mut editor = opened(station());
    let wire = editor.plan().wires[0].clone();
    editor.apply(Message::Commit {
        says: "move".into(),
        edits: vec![Edit::MovePart(id("p1"), Some((8.0, 8.0)))],
    });
    editor.apply(Message::Key(key("Enter"), Target::Port(wire.from)));
    editor.apply(Message::Key(key("Enter"), Target::Port(wire.to)));
    assert!(editor.replacing().is_some());
    editor
}

#[test]
fn a_question_about_a_port_ends_with_undo_and_with_another_choice() {
    let mut editor = asked();
    let changes = editor.apply(Message::Undo);
    assert!(changes.contains(&Change::Replacing) && editor.replacing().is_none());
    let mut editor = asked();
    let changes = editor.apply(Message::Select(Selection::part(&id("p2"))));
    assert!(changes.contains(&Change::Replacing) && editor.replacing().is_none());
}

#[test]
fn a_wire_in_the_making_ends_with_undo() {
    let mut editor = opened(Plan::empty());
    let panel = place(&mut editor, "sun-panel", None);
    editor.apply(Message::Commit {
        says: "move".into(),
        edits: vec![Edit::MovePart(panel.clone(), Some((0.0, 0.0)))],
    });
    editor.apply(Message::Key(
        key("Enter"),
        Target::Port(End::new(&panel, "out")),
    ));
    assert!(editor.joining().is_some());
    editor.apply(Message::Undo);
    assert!(editor.joining().is_none());
}

#[test]
fn an_output_led_to_an_output_is_refused_in_words() {
    let mut editor = opened(Plan::empty());
    let a = place(&mut editor, "sun-panel", Some((0.0, 0.0)));
    let b = place(&mut editor, "sun-panel", Some((0.0, 200.0)));
    let (from, to) = (End::new(&a, "out"), End::new(&b, "out"));
    let (at, other) = (window_place(&editor, &from), window_place(&editor, &to));
    let changes = slide(&mut editor, pointer(at), Target::Port(from), pointer(other));
    assert_eq!(
        notices(&changes),
        [
            "Both ports are outputs: a wire leads from an output to another part's input, or to a signal."
        ]
    );
    assert!(editor.joining().is_none() && editor.plan().wires.is_empty());
}

#[test]
fn what_is_pasted_covers_nothing_has_names_of_its_own_and_its_duties() {
    let mut editor = opened(station());
    let duty = editor.plan().duties[0].clone();
    let name = "Stair lamp";
    editor.apply(Message::Commit {
        says: "rename".into(),
        edits: vec![Edit::Rename(duty.part.clone(), name.into())],
    });
    let before = editor.plan().clone();
    let copied = Snippet::of(&before, &BTreeSet::from([duty.part.clone()])).print();
    for number in 2..5 {
        let snippet = Snippet::read(&copied, editor.plan())
            .expect("parts")
            .expect("sound");
        editor.apply(Message::Paste(Box::new(snippet), copied.clone()));
        let plan = editor.plan().clone();
        let copy = plan.parts.last().expect("it was pasted");
        assert_eq!(copy.name, format!("{name} {number}"));
        let own = layout::rect(&plan, copy);
        let others = plan.parts.iter().filter(|p| p.id != copy.id);
        assert!(
            others
                .into_iter()
                .all(|p| !view::meet(layout::rect(&plan, p), own))
        );
        let expected = crate::plan::Duty {
            part: copy.id.clone(),
            ..duty.clone()
        };
        assert_eq!(plan.duties.last(), Some(&expected));
    }
    let mut other = opened(Plan::empty());
    let snippet = Snippet::read(&copied, other.plan())
        .expect("parts")
        .expect("sound");
    other.apply(Message::Paste(Box::new(snippet), copied));
    assert_eq!(other.plan().parts[0].name, name);
    assert_eq!(other.plan().duties.len(), 1);
}

#[test]
fn arrow_keys_lead_away_from_a_part_that_was_just_placed_and_move_one_that_was_chosen() {
    let mut editor = opened(Plan::empty());
    let ids: Vec<PartId> = (0..6).map(|_| place(&mut editor, "lamp", None)).collect();
    let plan = editor.plan().clone();
    for (i, a) in plan.parts.iter().enumerate() {
        for b in &plan.parts[..i] {
            let around = view::grown(layout::rect(&plan, a), (47.0, 47.0));
            assert!(
                !view::meet(around, layout::rect(&plan, b)),
                "{} is near {}",
                a.id,
                b.id
            );
        }
    }
    let last = ids[5].clone();
    let mut arrows = ["ArrowUp", "ArrowDown", "ArrowLeft", "ArrowRight"].into_iter();
    let leads = arrows.any(|way| {
        let changes = editor.apply(Message::Key(key(way), Target::Part(last.clone())));
        let goes = |c: &Change| matches!(c, Change::FocusOn(FocusOn::Part(part)) if *part != last);
        changes.iter().any(goes)
    });
    assert!(leads);
    assert_eq!(editor.plan(), &plan, "nothing has moved");
    editor.apply(Message::Key(key(" "), Target::Part(last.clone())));
    assert!(editor.selection().parts.contains(&last));
    editor.apply(Message::Key(key("ArrowDown"), Target::Part(last.clone())));
    let moved = editor.plan().part(&last).and_then(|p| p.at);
    assert_ne!(moved, plan.part(&last).and_then(|p| p.at));
}

#[test]
fn a_moment_after_the_bound_of_events_goes_back_to_the_last_that_the_run_has() {
    let flasher = crate::net::testing::plan(
        r#"{ "parts": { "gen": "generator", "f": ["on-delay", { "contact": "break", "delay_s": 0.05 }],
                        "two": "divider-2", "lamp": "lamp" },
             "wires": ["gen.out f.feed", "f.out two.in", "two.out1 lamp.in", "two.out2 f.trigger"] }"#,
    );
    let day = flasher.world.day_ms();
    let mut editor = opened(flasher);
    editor.apply(Message::Moment(39 * day + day / 2));
    let mut changes = Vec::new();
    for _ in 0..100 {
        let more = editor.apply(Message::Work {
            events: 1_000_000,
            things: 50,
        });
        let goes_on = more.contains(&Change::Work);
        changes.extend(more);
        if !goes_on {
            break;
        }
    }
    assert!(!editor.is_behind() && changes.contains(&Change::Moment));
    assert!(editor.moment() < 39 * day, "{}", editor.moment());
    let said = format!(
        "The run goes no further than day {} at ",
        editor.moment() / day + 1
    );
    assert!(
        notices(&changes)
            .iter()
            .any(|notice| notice.starts_with(&said)),
        "{changes:?}"
    );
}

#[test]
fn cables_bear_the_schedules_numbers_and_others_once_a_wire_ahead_of_them_goes() {
    let mut editor = opened(station());
    editor.apply(Message::Fit);
    finish(&mut editor);
    let wires: Vec<WireId> = editor.plan().wires.iter().map(|w| w.id.clone()).collect();
    let told = |editor: &Editor, id: &WireId| {
        let label = editor.wire_view(id).and_then(|view| view.label);
        label.map(|label| label.text)
    };
    // A wire that is chosen tells its number wherever it is.
    let choose = |editor: &mut Editor, id: &WireId| {
        editor.apply(Message::Show(Vec::new(), vec![id.clone()]));
        finish(editor);
    };
    choose(&mut editor, &wires[5]);
    let plain = told(&editor, &wires[5]).expect("a chosen wire tells what it carries");
    let changes = editor.apply(Message::NumberCables(true));
    assert!(changes.contains(&Change::Wire(wires[5].clone())));
    assert_eq!(told(&editor, &wires[5]), Some(format!("#6: {plain}")));
    assert!(editor.apply(Message::NumberCables(true)).is_empty());
    let changes = editor.apply(Message::Commit {
        says: "remove a wire".into(),
        edits: vec![Edit::RemoveWire(wires[0].clone())],
    });
    assert!(changes.contains(&Change::Wire(wires[5].clone())));
    choose(&mut editor, &wires[5]);
    let after = told(&editor, &wires[5]).expect("it is still there");
    assert!(after.starts_with("#5: "), "{after}");
    editor.apply(Message::NumberCables(false));
    assert!(!told(&editor, &wires[5]).expect("a label").starts_with('#'));
}
