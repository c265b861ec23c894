//! Tidying: cards clear of each other, wires that lead forward, an outline for a screen, the same each time, and one step
//! that is taken back.

#![cfg(not(target_arch = "wasm32"))]

mod board;
pub mod simple_engine;

use board::{card, courses, overlap, pieces, tidy_in};
use duskline::editor::{Editor, Message, Selection};
use duskline::plan::{Edit, Part, PartId, Plan, Wire, examples, read_plan};
use duskline::sheet::card::WIDTH;
use duskline::sheet::route::Box;
use duskline::sheet::tidy::{Screen, Tidied, lay_out, tidy};
use petgraph::algo::tarjan_scc;
use petgraph::graph::DiGraph;
use simple_engine::duties;
use std::collections::{BTreeMap, BTreeSet};

fn all(plan: &Plan) -> BTreeSet<PartId> {
    plan.parts.iter().map(|p| p.id.clone()).collect()
}

/// The plan with a layout taken.
fn with(plan: &Plan, tidied: Tidied) -> Plan {
    let mut plan = plan.clone();
    let moves = tidied.places.into_iter();
    let moves = moves.map(|(id, at)| Edit::MovePart(id, Some(at)));
    let bends = tidied.bends.into_iter().map(|(id, b)| Edit::Bend(id, b));
    plan.apply_all(moves.chain(bends).collect())
        .expect("edits of place");
    plan
}

fn tidied(plan: &Plan) -> Plan {
    with(plan, tidy(plan, &all(plan)))
}

fn outline(plan: &Plan) -> (f64, f64) {
    let cards: Vec<Box> = plan.parts.iter().map(|p| card(plan, p)).collect();
    let least = |of: fn(&Box) -> f64| cards.iter().map(of).fold(f64::INFINITY, f64::min);
    let most = |of: fn(&Box) -> f64| cards.iter().map(of).fold(f64::NEG_INFINITY, f64::max);
    (
        most(|c| c.x + c.w) - least(|c| c.x),
        most(|c| c.y + c.h) - least(|c| c.y),
    )
}

/// Every card has a place on the module and its gaps around it.
fn check_cards(plan: &Plan) {
    let cards: Vec<Box> = plan.parts.iter().map(|p| card(plan, p)).collect();
    for (i, a) in cards.iter().enumerate() {
        assert_eq!((a.x % 8.0, a.y % 8.0), (0.0, 0.0), "{a:?}");
        let wide = Box {
            x: a.x - 64.0,
            y: a.y - 24.0,
            w: a.w + 128.0,
            h: a.h + 48.0,
        };
        for b in &cards[..i] {
            assert!(!overlap(&wide, b), "{a:?} is too near to {b:?}");
        }
    }
}

/// Wires lead to the right or, from row to row, down to a card that begins below; but for those that close a loop.
fn check_forward(plan: &Plan) {
    let at: BTreeMap<&PartId, usize> = (plan.parts.iter().enumerate())
        .map(|(i, p)| (&p.id, i))
        .collect();
    let ends = |w: &Wire| (at[&w.from.part], at[&w.to.part]);
    let graph = DiGraph::<(), ()>::from_edges(plan.wires.iter().map(|w| {
        let (from, to) = ends(w);
        (from as u32, to as u32)
    }));
    let mut of = BTreeMap::new();
    for (number, loops) in tarjan_scc(&graph).into_iter().enumerate() {
        of.extend(loops.into_iter().map(|node| (node.index(), number)));
    }
    for wire in &plan.wires {
        let (from, to) = ends(wire);
        let (a, b) = (card(plan, &plan.parts[from]), card(plan, &plan.parts[to]));
        let leads = a.x + a.w < b.x || a.y + a.h < b.y && !wire.bends.is_empty();
        assert!(leads || of[&from] == of[&to], "{} leads back", wire.id);
    }
}

/// A plan of lamps, each wired to the next.
fn chain(parts: usize) -> Plan {
    let mut plan = Plan::empty();
    let edits = (0..parts).flat_map(|i| {
        let part = Part::new(PartId::from(format!("p{i}")), "lamp", (0.0, 0.0));
        let mut edits = vec![Edit::AddPart(i, part)];
        if i > 0 {
            let wire = serde_json::json!({
                "id": format!("w{i}"), "from": format!("p{}.loop", i - 1), "to": format!("p{i}.in")
            });
            edits.push(Edit::AddWire(i - 1, wire_of(&wire)));
        }
        edits
    });
    plan.apply_all(edits.collect()).expect("a chain");
    plan
}

fn wire_of(json: &serde_json::Value) -> Wire {
    let end = |key: &str| {
        let text = json[key].as_str().expect("an end");
        let (part, port) = text.split_once('.').expect("a part and a port");
        duskline::plan::End::new(&part.into(), port)
    };
    Wire {
        id: json["id"].as_str().expect("an id").into(),
        from: end("from"),
        to: end("to"),
        via: Vec::new(),
        bends: Vec::new(),
        extra: Default::default(),
    }
}

#[test]
fn random_plans_are_laid_out_clear_and_forward_and_always_alike() {
    duties::plans().each(150, |case| {
        let plan = read_plan(&case.document.to_string()).expect("a sound plan");
        let layout = tidy(&plan, &all(&plan));
        assert_eq!(layout.places.len(), plan.parts.len());
        assert_eq!(layout, tidy(&plan, &all(&plan)));
        let after = with(&plan, layout);
        check_cards(&after);
        check_forward(&after);
        let again = tidied(&after);
        assert_eq!(again, after, "what is tidy stays as it is");
    });
}

/// Laid out for a screen held upright in a hand.
fn upright(plan: &Plan) -> Plan {
    let chosen = all(plan);
    with(
        plan,
        lay_out(plan, &chosen, Screen::Upright).settle(plan, &chosen),
    )
}

#[test]
fn random_plans_are_laid_out_for_an_upright_screen_as_well() {
    duties::plans().each(80, |case| {
        let plan = read_plan(&case.document.to_string()).expect("a sound plan");
        let after = upright(&plan);
        check_cards(&after);
        check_forward(&after);
        assert_eq!(upright(&after), after, "what is tidy stays as it is");
    });
}

/// What a phone held upright shows of a board at the least scale at which names can be read: 390 by 560 pixels of the
/// screen less tools and margins, a name of 36 pixels of the board 11 of the screen high.
const HELD_UPRIGHT: (f64, f64) = (1174.0, 1570.0);

#[test]
fn examples_and_chains_have_names_that_can_be_read_on_a_phone_held_upright() {
    let examples = examples()
        .iter()
        .map(|(_, text)| read_plan(text).expect("an example"));
    for plan in examples.chain([chain(40), chain(1)]) {
        let plan = upright(&plan);
        check_cards(&plan);
        check_forward(&plan);
        let (w, h) = outline(&plan);
        let fits = w <= HELD_UPRIGHT.0 && h <= HELD_UPRIGHT.1;
        assert!(fits, "{}: {w} x {h}", plan.title);
    }
}

#[test]
fn one_undo_takes_a_layout_back_and_nothing_is_compiled() {
    duties::plans().each(40, |case| {
        let plan = read_plan(&case.document.to_string()).expect("a sound plan");
        let mut editor = Editor::default();
        editor.apply(Message::Open {
            plan: plan.into(),
            keeps_moment: false,
        });
        let (before, compiled) = (editor.plan().clone(), editor.compiled());
        tidy_in(&mut editor);
        let after = tidied(&before);
        assert_eq!(**editor.plan(), after);
        assert_eq!(editor.compiled(), compiled);
        if before.parts == after.parts && before.wires == after.wires {
            assert_eq!(editor.steps().0, None);
        } else {
            assert_eq!(editor.steps().0, Some("tidy the plan"));
            editor.apply(Message::Undo);
            assert_eq!(editor.plan(), &before);
        }
    });
}

#[test]
fn chosen_parts_are_laid_out_where_they_stood_and_clear_of_the_rest() {
    duties::plans().each(60, |case| {
        let plan = read_plan(&case.document.to_string()).expect("a sound plan");
        let mut editor = Editor::new(tidied(&plan));
        let before = editor.plan().clone();
        let ids = before.parts.iter().map(|p| p.id.clone());
        let chosen: BTreeSet<PartId> = ids.step_by(2).collect();
        if chosen.len() < 2 {
            return;
        }
        editor.apply(Message::Select(Selection::parts(chosen.iter().cloned())));
        tidy_in(&mut editor);
        let after = editor.plan();
        for (a, b) in before.parts.iter().zip(&after.parts) {
            assert!(
                a.at == b.at || chosen.contains(&a.id),
                "{} was not chosen",
                a.id
            );
        }
        check_apart(after);
    });
}

/// No card lies on another.
fn check_apart(plan: &Plan) {
    let cards: Vec<Box> = plan.parts.iter().map(|p| card(plan, p)).collect();
    for (i, a) in cards.iter().enumerate() {
        assert!(cards[..i].iter().all(|b| !overlap(a, b)), "{a:?}");
    }
}

#[test]
fn a_choice_with_free_room_keeps_its_corner() {
    let mut plan = chain(6);
    for (i, at) in [(0.0, 0.0), (304.0, 200.0), (304.0, 300.0)]
        .iter()
        .enumerate()
    {
        plan.parts[3 + i].at = Some(*at);
    }
    plan.parts[..3]
        .iter_mut()
        .for_each(|p| p.at = Some((-4000.0, 0.0)));
    let chosen = ["p4", "p5"].map(PartId::from).into_iter().collect();
    let places = tidy(&plan, &chosen).places;
    assert_eq!(places[0], ("p4".into(), (304.0, 200.0)));
    assert_eq!(places[1].1.1, 200.0, "one lamp after the other");
}

#[test]
fn long_chains_lone_parts_stars_and_loops_suit_a_screen() {
    let lone = |parts| {
        let mut plan = chain(parts);
        plan.wires = Default::default();
        plan
    };
    let mut ring = chain(40);
    let close = serde_json::json!({ "id": "w0", "from": "p39.loop", "to": "p0.in" });
    ring.apply_all(vec![Edit::AddWire(0, wire_of(&close))])
        .expect("a ring");
    for (what, plan) in [
        ("chain of 40", chain(40)),
        ("chain of 2000", chain(2000)),
        ("40 lone parts", lone(40)),
        ("2000 lone parts", lone(2000)),
        ("ring", ring),
        ("nothing", chain(0)),
        ("one", chain(1)),
    ] {
        let plan = tidied(&plan);
        check_cards(&plan);
        check_forward(&plan);
        if plan.parts.len() < 2 {
            continue;
        }
        // The ground of a card with its wires, and how much larger than a screen at readable size all of them are.
        let each = (WIDTH + 88.0) * (64.0 + 48.0);
        let times = each * plan.parts.len() as f64 / (1700.0 * 950.0);
        let factor = 1.15 * times.sqrt().max(1.0 / 1.15);
        let (w, h) = outline(&plan);
        let suits = w <= 1700.0 * factor && h <= 950.0 * factor;
        assert!(suits, "{what}: {w} x {h}");
    }
}

/// How often wires cross, and how often two lie on each other.
fn crossings(plan: &Plan) -> usize {
    let courses = courses(plan);
    let mut count = 0;
    for (i, a) in plan.wires.iter().enumerate() {
        let a = courses.course(&a.id).expect("a course");
        for b in &plan.wires[..i] {
            let b = courses.course(&b.id).expect("a course");
            let pairs = pieces(a).flat_map(|p| pieces(b).map(move |q| (p, q)));
            count += pairs.filter(|(p, q)| cross(p, q)).count();
        }
    }
    count
}

fn cross(p: &Box, q: &Box) -> bool {
    let meet = |p: &Box, q: &Box| {
        // A level piece and an upright one.
        p.h == 0.0 && q.w == 0.0 && p.x < q.x && q.x < p.x + p.w && q.y < p.y && p.y < q.y + q.h
    };
    meet(p, q) || meet(q, p)
}

/// How often the wires of an example crossed as it was drawn by hand, before there was a layout.
fn by_hand(title: &str) -> usize {
    match title {
        "Kittiwake Light" => 6,
        "Dusk lamp" => 1,
        _ => 0,
    }
}

#[test]
fn examples_suit_a_screen_and_cross_no_more_than_drawn_by_hand() {
    for (_, text) in examples() {
        let plan = read_plan(text).expect("an example");
        let after = tidied(&plan);
        for plan in [&plan, &after] {
            let (w, h) = outline(plan);
            assert!(w <= 1700.0 && h <= 950.0, "{}: {w} x {h}", plan.title);
            let (now, most) = (crossings(plan), by_hand(&plan.title));
            assert!(
                now <= most,
                "{}: {now} crossings, {most} by hand",
                plan.title
            );
        }
        assert_eq!(after, plan, "an example is tidy");
    }
}

#[test]
fn shuffled_examples_are_laid_out_with_no_more_crossings() {
    for (_, text) in examples() {
        let plan = read_plan(text).expect("an example");
        let mut shuffled = plan.clone();
        let count = plan.parts.len();
        let moves = plan.parts.iter().enumerate().map(|(i, part)| {
            let at = plan.parts[(i * 7 + 3) % count].at;
            Edit::MovePart(part.id.clone(), at)
        });
        shuffled.apply_all(moves.collect()).expect("moves");
        assert!(crossings(&tidied(&shuffled)) <= by_hand(&plan.title));
    }
}
