//! Numbers on wires cover no other wire, no card and no other number, from near and from far.

#![cfg(not(target_arch = "wasm32"))]

mod board;
pub mod simple_engine;

use board::{card, courses, overlap, pieces, tidy_in};
use duskline::book::Side;
use duskline::editor::scene::LabelView;
use duskline::editor::{Editor, Message};
use duskline::plan::{Plan, WireId, examples, read_plan};
use duskline::sheet::route::Box;
use simple_engine::duties;

/// Scales from life size to where numbers are left out.
const SCALES: [f64; 6] = [1.0, 0.7, 0.55, 0.45, 0.32, 0.2];

fn area(label: &LabelView) -> Box {
    let (w, h) = (label.width, label.size * 4.0 / 3.0);
    Box {
        x: label.at.0 - w / 2.0,
        y: label.at.1 - h / 2.0,
        w,
        h,
    }
}

/// An editor with the whole plan in its window, drawn at a scale.
fn at_scale(plan: &Plan, scale: f64) -> Editor {
    let mut editor = Editor::default();
    editor.apply(Message::Resize(20_000.0, 20_000.0));
    editor.apply(Message::Open {
        plan: plan.clone().into(),
        keeps_moment: false,
    });
    editor.apply(Message::Zoom(scale / editor.view().zoom, None));
    for _ in 0..1000 {
        editor.apply(Message::Work {
            events: 1000,
            things: 1000,
        });
    }
    editor
}

/// The numbers that are told though nothing is wrong, with their wires; checked to be clear of everything.
fn check(editor: &Editor) -> Vec<(WireId, Box)> {
    let plan = editor.board();
    let courses = courses(plan);
    let mut told: Vec<(WireId, Box)> = Vec::new();
    for (_, id) in editor.drawn_wires() {
        let view = editor.wire_view(&id).expect("a wire");
        let Some(label) = view.label.filter(|l| !l.class.contains("wrong")) else {
            continue;
        };
        let area = area(&label);
        for part in &plan.parts {
            assert!(!overlap(&area, &card(plan, part)), "{id} on {}", part.id);
        }
        for wire in plan.wires.iter().filter(|w| w.id != id) {
            let course = courses.course(&wire.id).expect("a course");
            let met = pieces(course).any(|piece| overlap(&area, &piece));
            assert!(!met, "{id} on {}", wire.id);
        }
        for (other, taken) in &told {
            assert!(!overlap(&area, taken), "{id} on the number of {other}");
        }
        let own = courses.course(&id).expect("a course");
        assert!(
            pieces(own).any(|piece| overlap(&area, &piece)),
            "{id} is off its wire"
        );
        told.push((id, area));
    }
    told
}

#[test]
fn numbers_of_the_examples_are_clear_at_each_scale() {
    for (_, text) in examples() {
        let plan = read_plan(text).expect("an example");
        let told = SCALES.map(|scale| check(&at_scale(&plan, scale)).len());
        let wires = plan.wires.len();
        // Most have a clear place at life size, and half of them where all of a large example is shown.
        let enough = told[0] * 4 >= wires * 3 && told[1] * 2 >= wires;
        assert!(enough, "{}: {told:?} of {wires}", plan.title);
        assert_eq!(told[5], 0, "none from very far");
    }
}

#[test]
fn numbers_of_random_plans_are_clear_before_and_after_tidying() {
    let mut told = 0;
    duties::plans().each(40, |case| {
        let plan = read_plan(&case.document.to_string()).expect("a sound plan");
        for scale in SCALES {
            let mut editor = at_scale(&plan, scale);
            told += check(&editor).len();
            tidy_in(&mut editor);
            editor.apply(Message::Zoom(scale / editor.view().zoom, None));
            editor.apply(Message::Work {
                events: 1000,
                things: 1000,
            });
            told += check(&editor).len();
        }
    });
    assert!(told > 500, "{told}");
}

#[test]
fn names_of_inputs_and_outputs_stand_above_the_numbers_beside_them() {
    let mut pairs = 0;
    for (_, text) in examples() {
        let plan = read_plan(text).expect("an example");
        for scale in SCALES.into_iter().take(2) {
            let editor = at_scale(&plan, scale);
            let text = 12.0 * editor.detail().scale();
            for wire in &plan.wires {
                let label = editor.wire_view(&wire.id).and_then(|view| view.label);
                let Some(number) = label.map(|l| area(&l)) else {
                    continue;
                };
                for end in [&wire.from, &wire.to] {
                    let card = editor.card(&end.part).expect("a card");
                    let port = card.ports.iter().find(|p| p.name == end.port);
                    let port = port.filter(|p| p.side != Side::Signal);
                    let Some(port) = port else { continue };
                    // A number on an upright piece may come near: there the name lies over it.
                    if number.y + number.h / 2.0 != card.at.1 + port.at.1 {
                        continue;
                    }
                    let (dx, dy) = port.name_at(editor.detail().scale());
                    let wide = 0.6 * text * port.name.chars().count() as f64;
                    let (x, y) = (card.at.0 + port.at.0 + dx, card.at.1 + port.at.1 + dy);
                    let name = Box {
                        x: if dx < 0.0 { x - wide } else { x },
                        y: y - 0.75 * text,
                        w: wide,
                        h: text,
                    };
                    assert!(!overlap(&name, &number), "{end}: {name:?} on {number:?}");
                    pairs += 1;
                }
            }
        }
    }
    assert!(pairs > 40, "{pairs}");
}

#[test]
fn a_number_comes_to_the_same_place_whatever_happened_before() {
    let (_, text) = examples().first().expect("an example");
    let plan = read_plan(text).expect("an example");
    let mut editor = at_scale(&plan, 1.0);
    let places = |editor: &Editor| -> Vec<_> {
        let labels = editor.drawn_wires().into_iter();
        let labels = labels.map(|(_, id)| editor.wire_view(&id).and_then(|view| view.label));
        labels.map(|label| label.map(|label| label.at)).collect()
    };
    let before = places(&editor);
    for part in plan.parts.iter().step_by(3) {
        let (x, y) = part.at.expect("a place");
        let to = Some((x + 40.0, y + 56.0));
        let edits = vec![duskline::plan::Edit::MovePart(part.id.clone(), to)];
        editor.apply(Message::Commit {
            says: "move".into(),
            edits,
        });
        check(&editor);
    }
    let moved = at_scale(editor.plan(), 1.0);
    assert_eq!(places(&editor), places(&moved));
    while editor.steps().0.is_some() {
        editor.apply(Message::Undo);
    }
    assert_eq!(places(&editor), before);
}
