//! A moving picture at single instants: what its SMIL values then show, held against a picture of the board at that instant,
//! which the run alone decides.

use super::document::{leaves, number};
use super::{MOTION, Size, Theme, picture};
use duskline::editor::scene::Detail;
use duskline::editor::{Change, Editor, Message};
use duskline::picture::{LeftOut, draw};
use duskline::plan::{Plan, WireId};
use duskline::run::{self, PartState};
use duskline::sheet::figure::Figure;
use resvg::usvg::roxmltree::{Document, Node};
use std::collections::BTreeMap;

/// The length of a gauge on a card.
const GAUGE: f64 = 90.0;

/// The value of an animation at `t` of a day: what it keeps, or what lies on its line.
fn value(animation: Node, t: u64, day: u64) -> String {
    let values: Vec<&str> = animation
        .attribute("values")
        .expect("values")
        .split(';')
        .collect();
    let times = animation.attribute("keyTimes").expect("times").split(';');
    let times: Vec<f64> = times
        .map(|time| time.parse::<f64>().expect("a time") * day as f64)
        .collect();
    assert_eq!((values.len(), times[0]), (times.len(), 0.0));
    assert!(times.is_sorted() && times.iter().all(|t| *t <= day as f64));
    // The millisecond is kept exactly.
    let after = times.partition_point(|time| time.round() as u64 <= t);
    if animation.attribute("calcMode") == Some("discrete") {
        return values[after - 1].to_string();
    }
    assert_eq!(times.last().map(|last| last.round() as u64), Some(day));
    let of = |at: usize| values[at].parse::<f64>().expect("a number");
    let (from, to) = (times[after - 1], times[after.min(times.len() - 1)]);
    let share = if to > from {
        (t as f64 - from) / (to - from)
    } else {
        0.0
    };
    (of(after - 1) + (of(after.min(times.len() - 1)) - of(after - 1)) * share).to_string()
}

fn animation<'a>(node: Node<'a, 'a>, of: &str) -> Option<Node<'a, 'a>> {
    let mut all = node
        .children()
        .filter(|child| child.has_tag_name("animate"));
    all.find(|child| child.attribute("attributeName") == Some(of))
}

/// Whether a shape is seen at `t`.
fn is_seen(leaf: Node, t: u64, day: u64) -> bool {
    leaf.ancestors().all(|node| {
        let is_still = node.attribute("class") == Some("still");
        let seen = animation(
            leaf.document().get_node(node.id()).expect("a node"),
            "visibility",
        );
        !is_still && seen.is_none_or(|seen| value(seen, t, day) == "visible")
    })
}

/// A shape in words: the classes in which it stands, its own attributes, its text.
fn described(leaf: Node) -> String {
    let around: Vec<&str> = leaf
        .ancestors()
        .skip(1)
        .filter_map(|node| node.attribute("class"))
        .collect();
    let outer = ["first", "later", "moves"];
    let around: Vec<&str> = around
        .into_iter()
        .filter(|c| !outer.contains(c) && !c.starts_with("picture"))
        .collect();
    let is_level = leaf.attribute("class") == Some("gauge level");
    let own = leaf
        .attributes()
        .filter(|a| !(is_level && a.name() == "width"));
    let own: Vec<String> = own.map(|a| format!("{}={}", a.name(), a.value())).collect();
    format!(
        "{around:?} {} {own:?} {:?}",
        leaf.tag_name().name(),
        leaf.text()
    )
}

/// The shapes below those nodes that belong to one part or wire, as far as they are seen.
fn of_id<'a>(document: &'a Document, key: &str, id: &str) -> Vec<Node<'a, 'a>> {
    let roots = document
        .descendants()
        .filter(|node| node.attribute(key) == Some(id));
    roots.flat_map(leaves).collect()
}

/// The shapes of a figure by itself.
fn shapes_of(figure: &Figure) -> Vec<String> {
    let mut markup = String::new();
    figure.write(&mut markup);
    let document = Document::parse(&markup).expect("XML");
    leaves(document.root()).into_iter().map(described).collect()
}

fn editor_at(plan: &Plan, t: u64) -> Editor {
    let mut editor = Editor::default();
    editor.apply(Message::NumberCables(true));
    editor.apply(Message::Open {
        plan: Box::new(plan.clone()),
        keeps_moment: false,
    });
    let mut changes = editor.apply(Message::Moment(t));
    while changes.contains(&Change::Work) {
        changes = editor.apply(Message::Work {
            events: 1_000_000,
            things: 100_000,
        });
    }
    editor
}

/// Holds a film of a day against so many instants of it, and those at which something happens; whether it leaves nothing
/// out, and so could be held.
pub fn agrees(plan: &Plan, name: &str, number_of_day: u64, instants: u64) -> bool {
    let mut asked = picture(MOTION, Theme::Light, Size::Page);
    asked.day = number_of_day;
    let drawn = draw(plan, &asked).expect("a film");
    let is_exact = |left: &LeftOut| {
        !matches!(
            left,
            LeftOut::Between(_) | LeftOut::Amounts | LeftOut::Still(_) | LeftOut::Stopped(_)
        )
    };
    if !drawn.left_out.iter().all(is_exact) {
        return false;
    }
    let document = Document::parse(&drawn.svg).expect("XML");
    let day = plan.world.day_ms();
    let mut times: Vec<u64> = (0..instants)
        .map(|n| (2 * n + 1) * day / (2 * instants))
        .collect();
    let record = run::run(plan, number_of_day + 1);
    let events = record.events.iter().map(|event| event.t);
    let events: Vec<u64> = events.filter(|t| *t > day * number_of_day).collect();
    let some = events
        .iter()
        .step_by((events.len() / instants as usize).max(1));
    times.extend(some.flat_map(|t| [t % day, (t - 1) % day]));
    times.push(0);
    let detail = detail_of(&document);
    for t in times {
        let editor = editor_at(plan, day * number_of_day + t);
        let instant = run::at(plan, day * number_of_day + t);
        for (part, state) in plan.parts.iter().zip(&instant.parts) {
            let seen = of_id(&document, "data-part", part.id.as_str());
            let seen: Vec<Node> = seen
                .into_iter()
                .filter(|leaf| is_seen(*leaf, t, day))
                .collect();
            let told: Vec<String> = seen.iter().map(|leaf| described(*leaf)).collect();
            let figure = editor.card_figure(&part.id, detail).expect("a card");
            assert_eq!(told, shapes_of(&figure), "{name} at {t}: {}", part.id);
            let runs = told.iter().any(|shape| shape.contains("card runs"));
            match state {
                PartState::Load { runs: expected, .. } => {
                    assert_eq!(runs, *expected, "{name} at {t}")
                }
                PartState::Contact { conducts, .. } => assert_eq!(runs, *conducts, "{name} at {t}"),
                PartState::Battery {
                    level, capacity, ..
                } => {
                    let gauge = seen
                        .iter()
                        .find(|leaf| leaf.attribute("class") == Some("gauge level"));
                    let Some(gauge) = gauge else { continue };
                    let at = |t: u64| match animation(*gauge, "width") {
                        Some(moves) => value(moves, t, day).parse().expect("a width"),
                        None => number(*gauge, "width"),
                    };
                    let shown: f64 = at(t);
                    let expected = *level as f64 / (*capacity).max(1) as f64 * GAUGE;
                    // A level may be full within a millisecond, and its line ends with that millisecond.
                    let of_a_ms = (at(t.saturating_sub(1)) - shown).abs()
                        + (at((t + 1).min(day)) - shown).abs();
                    let off = (shown - expected).abs();
                    assert!(
                        off < 0.01 + of_a_ms,
                        "{name} at {t}: {shown} for {expected}"
                    );
                }
                _ => {}
            }
        }
        wires_agree(plan, name, &document, &editor, t, detail);
    }
    true
}

/// How near the board is drawn: told by the size of names.
fn detail_of(document: &Document) -> Detail {
    let sheet = super::document::sheet(document);
    let size = sheet
        .split(".card .name{")
        .nth(1)
        .and_then(|rule| rule.split("font-size:").nth(1));
    let size: f64 = size
        .and_then(|s| s.split("px").next())
        .map_or(14.0, |s| s.parse().expect("a size"));
    [1.0, 0.7, 0.52, 0.42, 0.35]
        .map(Detail::at)
        .into_iter()
        .find(|d| f64::from(d.text) == size)
        .unwrap_or_default()
}

fn wires_agree(
    plan: &Plan,
    name: &str,
    document: &Document,
    editor: &Editor,
    t: u64,
    detail: Detail,
) {
    let day = plan.world.day_ms();
    let mut shown: BTreeMap<&WireId, (Vec<String>, Vec<String>)> = BTreeMap::new();
    for wire in &plan.wires {
        let (lines, told) = shown.entry(&wire.id).or_default();
        for leaf in of_id(document, "data-wire", wire.id.as_str()) {
            let is_number = leaf
                .parent()
                .is_some_and(|_| described(leaf).contains("wire-label"));
            match (is_seen(leaf, t, day), is_number) {
                (true, true) => told.extend(leaf.text().map(str::to_string)),
                (true, false) => lines.push(described(leaf)),
                _ => {}
            }
        }
    }
    for (id, (lines, told)) in shown {
        let figure = editor.wire_figure(id, detail).expect("a wire");
        assert_eq!(lines, shapes_of(&figure), "{name} at {t}: {id}");
        let now = editor.told_of_wire(id);
        let cable = now.cable.clone().unwrap_or_default();
        let forms = [
            vec![now.in_one()],
            vec![cable.clone(), now.carries.clone()],
            vec![now.carries.clone()],
            vec![cable],
            vec![],
        ];
        assert!(
            forms.contains(&told),
            "{name} at {t}: {id} says {told:?}, and is {now:?}"
        );
    }
}
