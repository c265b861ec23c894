//! One wire on the board: its course, its look by what it carries, its label, and the handles of its bends.

use super::hands::{Hands, Point, Points, port_at};
use crate::book::Side;
use crate::plan::{End, PartId, WireId};
use crate::quantity::Short;
use crate::run::Flow;
use crate::sheet::{card, route};
use leptos::prelude::*;

/// A wire. `id` names a wire of the plan.
#[component]
pub fn WireLine(
    /// The wire.
    id: WireId,
) -> impl IntoView {
    let hands: Hands = expect_context();
    let store = hands.store;
    let (wire, flow) = (store.wire(&id)?, store.flow(&id)?);
    let ends = {
        let wire = wire.clone();
        Memo::new(move |_| wire.with(|w| (w.from.clone(), w.to.clone())))
    };
    let course = course_of(hands, &id)?;
    let flow = {
        let flow = flow.clone();
        Memo::new(move |_| flow.get())
    };
    let chosen = {
        let id = id.clone();
        Memo::new(move |_| store.selection().with(|s| s.wires.contains(&id)))
    };
    let alone = {
        let id = id.clone();
        Memo::new(move |_| {
            store
                .selection()
                .with(|s| s.parts.is_empty() && s.wires.len() == 1 && s.wires.contains(&id))
        })
    };
    let d = {
        let course = course.clone();
        Memo::new(move |_| route::path(&course.read(), 4.0))
    };
    let mark = {
        let id = id.clone();
        Memo::new(move |_| store.mark_of_wire(&id))
    };
    let class = move || {
        let flow = flow.get();
        format!(
            "wire {} {}{}",
            look(&flow),
            weight(&flow),
            mark.get().class()
        )
    };
    let spoken = move || {
        let (from, to) = ends.get();
        store.with_board(|plan| {
            format!(
                "Wire from {} {} to {} {}: {}",
                plan.called(&from.part),
                from.port,
                plan.called(&to.part),
                to.port,
                crate::sheet::words::flow(&flow.get(), &plan.book.book.unit)
            )
        })
    };
    Some(view! {
        <g data-wire=id.to_string() class=move || if chosen.get() { "wire-group chosen" } else { "wire-group" }>
            <path class="wire-under" d=move || d.get() />
            <path class="wire-halo" d=move || d.get() />
            <path class=class d=move || d.get() />
            {
                let course = course.clone();
                move || chevrons(&flow.get(), &course.read(), &d.read())
            }
            <path class="wire-hit" role="img" aria-label=spoken d=move || d.get() />
            {
                let id = id.clone();
                move || alone.get().then(|| {
                    let bends = wire.with(|w| w.bends.clone());
                    handles(&id, &course.read(), &bends)
                })
            }
        </g>
    })
}

/// What a wire offers and what is taken, on its longest piece; on a closed loop a mark. Drawn after all wires and cards,
/// so that none of them cuts a number. A click on it means the wire.
#[component]
pub fn WireLabel(
    /// The wire.
    id: WireId,
) -> impl IntoView {
    let hands: Hands = expect_context();
    let store = hands.store;
    let (course, flow) = (course_of(hands, &id)?, store.flow(&id)?);
    let unit = store.unit();
    let text = {
        let flow = flow.clone();
        Memo::new(move |_| {
            let Flow { offer, take, .. } = flow.get();
            let say = |steps: u64| Short(unit.power(steps)).to_string();
            format!("{} / {}", say(take), say(offer))
        })
    };
    let looped = Memo::new(move |_| flow.read().on_loop);
    let place = Memo::new(move |_| clear_of_ports(&course.read(), wide(&text.read())));
    let wrong = {
        let id = id.clone();
        Memo::new(move |_| hands.wrong.with(|w| w.wires.contains(&id)))
    };
    let shown = move || {
        if looped.get() {
            return view! { <path class="loop-mark" d=format!("M0 {}l7 12h-14z", -8.0) /> }
                .into_any();
        }
        let text = text.get();
        let wide = wide(&text);
        view! {
            <rect x=-wide / 2.0 y=-8 width=wide height=16 rx=2 />
            <text x=0 y=0>{text}</text>
        }
        .into_any()
    };
    Some(view! {
        <g
            data-wire=id.to_string()
            class=move || if wrong.get() { "wire-label wrong" } else { "wire-label" }
            transform=move || { let (x, y) = place.get(); format!("translate({x} {y})") }
        >
            {shown}
        </g>
    })
}

/// The width of a label.
fn wide(text: &str) -> f64 {
    7.0 * text.chars().count() as f64 + 6.0
}

/// Where a label of this width sits: on the wire's longest piece, but off the two ports, which must stay within reach.
fn clear_of_ports(course: &Points, wide: f64) -> (f64, f64) {
    const CLEAR: f64 = 8.0;
    let (x, y, _) = route::label_place(course);
    let (Some(first), Some(last)) = (course.first(), course.last()) else {
        return (x, y);
    };
    let (least, most) = (first.0 + CLEAR + wide / 2.0, last.0 - CLEAR - wide / 2.0);
    let (at_first, at_last) = (y == first.1, y == last.1);
    match (at_first, at_last) {
        (true, true) if least > most => (x, y),
        (true, _) if x < least && x > first.0 => (least, y),
        (_, true) if x > most && x < last.0 => (most, y),
        _ => (x, y),
    }
}

/// The course of a wire, computed once for all that is drawn along it.
fn course_of(hands: Hands, id: &WireId) -> Option<ArcMemo<Points>> {
    if let Some(known) = hands.courses.with_value(|all| all.get(id).cloned()) {
        return Some(known);
    }
    let wire = hands.store.wire(id)?;
    let made = ArcMemo::new(move |_| {
        let (from, to, bends) = wire.with(|w| (w.from.clone(), w.to.clone(), w.bends.clone()));
        course(hands, &from, &to, bends)
    });
    hands.courses.update_value(|all| {
        all.insert(id.clone(), made.clone());
    });
    let gone = id.clone();
    on_cleanup(move || {
        hands.courses.try_update_value(|all| all.remove(&gone));
    });
    Some(made)
}

fn course(hands: Hands, from: &End, to: &End, bends: Points) -> Points {
    let store = hands.store;
    // The parts' own signals, so that the wire follows while a part is moved.
    let live = |end: &End| -> Option<(PartId, Point, Point, Side)> {
        let at = store.part(&end.part)?.with(|p| p.at)?;
        let (place, side) = store.with_board(|plan| {
            let kept = plan.part(&end.part)?.at?;
            port_at(plan, end).map(|((x, y), side)| ((x - kept.0, y - kept.1), side))
        })?;
        Some((end.part.clone(), at, (at.0 + place.0, at.1 + place.1), side))
    };
    let (Some(a), Some(b)) = (live(from), live(to)) else {
        return Vec::new();
    };
    let boxes = hands.boxes.get();
    let avoid: Vec<route::Box> = boxes
        .iter()
        .map(|(id, kept)| {
            let at = [&a, &b].into_iter().find(|e| e.0 == *id).map(|e| e.1);
            at.map_or(*kept, |(x, y)| route::Box { x, y, ..*kept })
        })
        .collect();
    let ask = route::Ask {
        from: a.2,
        to: b.2,
        to_side: b.3,
        bends: &bends,
        avoid: &avoid,
    };
    let lane = store.with_board(|plan| {
        let ports = plan
            .part(&from.part)
            .map(|p| card::places(&crate::editor::layout::ports(plan, p)));
        ports.map_or(0, |places| {
            let outs: Vec<&str> = places
                .iter()
                .filter(|p| p.side == Side::Out)
                .map(|p| p.name.as_str())
                .collect();
            let at = outs.iter().position(|n| *n == from.port).unwrap_or(0) as i32;
            outs.len() as i32 / 2 - at
        })
    });
    route::route(&ask, lane)
}

/// The class of a wire by what it does.
pub fn look(flow: &Flow) -> &'static str {
    match flow {
        Flow { on_loop: true, .. } => "loop",
        Flow { offer: 0, .. } => "dead",
        Flow { take: 0, .. } => "offers",
        _ => "carries",
    }
}

fn weight(flow: &Flow) -> &'static str {
    match flow.take {
        _ if flow.on_loop => "",
        0 => "",
        1..=4 => "weight-1",
        5..=15 => "weight-2",
        _ => "weight-3",
    }
}

/// Chevrons along a wire that carries, one open arrow near the end of one that only offers.
fn chevrons(flow: &Flow, course: &Points, d: &str) -> impl IntoView + use<> {
    let long: f64 = course
        .windows(2)
        .map(|p| (p[0].0 - p[1].0).abs() + (p[0].1 - p[1].1).abs())
        .sum();
    let (count, moves) = match look(flow) {
        "carries" => ((long / 90.0).clamp(1.0, 4.0) as usize, true),
        "offers" => (1, false),
        _ => (0, false),
    };
    let path = format!("offset-path:path(\"{d}\");");
    let lasts = (long / 24.0).max(2.0);
    (0..count)
        .map(|i| {
            let along = if moves {
                (i as f64 + 0.5) / count as f64
            } else {
                (1.0 - 14.0 / long.max(28.0)).max(0.5)
            };
            let style = if moves {
                let late = -lasts * along;
                format!("{path}offset-distance:{:.1}%;animation-duration:{lasts:.1}s;animation-delay:{late:.1}s", along * 100.0)
            } else {
                format!("{path}offset-distance:{:.1}%", along * 100.0)
            };
            let (class, shape) = if moves { ("chevron moves", "M-3 -4L2 0L-3 4") } else { ("chevron open", "M-5 -4L3 0L-5 4Z") };
            view! { <path class=class d=shape style=style /> }
        })
        .collect_view()
}

/// Handles: one on each bend, and one in the middle of each longer piece from which a new bend can be drawn.
fn handles(id: &WireId, course: &Points, bends: &Points) -> impl IntoView + use<> {
    let mut passed = 0;
    let mut new = Vec::new();
    for p in course.windows(2) {
        let (a, b) = (p[0], p[1]);
        let on = |q: &(f64, f64)| {
            let within = |v: f64, a: f64, b: f64| v >= a.min(b) - 0.5 && v <= a.max(b) + 0.5;
            within(q.0, a.0, b.0) && within(q.1, a.1, b.1)
        };
        let before = passed;
        while bends.get(passed).is_some_and(on) {
            passed += 1;
        }
        let long = (a.0 - b.0).abs() + (a.1 - b.1).abs();
        if long >= 32.0 && before == passed {
            new.push((passed, (a.0 + b.0) / 2.0, (a.1 + b.1) / 2.0));
        }
    }
    let old = bends.iter().enumerate().map(|(i, (x, y))| {
        view! {
            <g class="bend" data-wire=id.to_string() data-bend=i.to_string() role="button" tabindex="0" aria-label=format!("Bend {}", i + 1)>
                <circle class="port-hit" cx=*x cy=*y r=12 />
                <circle class="handle" cx=*x cy=*y r=5 />
            </g>
        }
    }).collect_view();
    let new = new
        .into_iter()
        .map(|(i, x, y)| {
            view! {
                <g class="bend new" data-wire=id.to_string() data-new=i.to_string()>
                    <circle class="port-hit" cx=x cy=y r=12 />
                    <circle class="handle new" cx=x cy=y r=3.5 />
                </g>
            }
        })
        .collect_view();
    (old, new)
}
