//! What is drawn of a wire: its course, its look by what it carries, its label, and the handles of its bends.

use super::{Detail, IN_LIGHT, Level};
use crate::editor::view::Point;
use crate::editor::{Change, Editor, from_to};
use crate::plan::WireId;
use crate::quantity::{Short, Unit};
use crate::run::Flow;
use crate::sheet::route;

/// Something along a wire that shows the way in which power goes.
#[derive(Clone, Debug, PartialEq)]
pub struct Arrow {
    /// Its class.
    pub class: &'static str,
    /// Its shape as SVG path data.
    pub d: String,
    /// Where it is on the wire, and how fast it moves along it, as CSS; one without stands where it is drawn.
    pub style: Option<String>,
}

/// What stands on a wire.
#[derive(Clone, Debug, PartialEq)]
pub struct LabelView {
    /// What is taken and what is offered; empty on a closed loop, which has a mark instead.
    pub text: String,
    /// Its middle.
    pub at: Point,
    /// Its width.
    pub width: f64,
    /// The size of its text.
    pub size: f64,
    /// Its classes.
    pub class: &'static str,
}

/// What is told of a wire: its cable's number, where that is shown, and what it carries; nothing on a closed loop.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Told {
    /// The cable's number: `#3`.
    pub cable: Option<String>,
    /// What is taken and what is offered: `2 / 5`.
    pub carries: String,
}

impl Told {
    /// Both in one line.
    pub fn in_one(&self) -> String {
        match (&self.cable, self.carries.as_str()) {
            (None, carries) => carries.to_string(),
            (Some(cable), "") => cable.clone(),
            (Some(cable), carries) => format!("{cable}: {carries}"),
        }
    }
}

/// The handles by which a wire is bent.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Handles {
    /// One on each bend.
    pub bends: Vec<Point>,
    /// One in the middle of each longer piece, with the place that a bend from there would have among the bends.
    pub new: Vec<(usize, Point)>,
}

/// One wire.
#[derive(Clone, Debug, PartialEq)]
pub struct WireView {
    /// Its course as SVG path data.
    pub d: String,
    /// The classes of its line.
    pub class: String,
    /// Whether it is chosen.
    pub chosen: bool,
    /// Whether the step of a walk lights it up, and then the mark that says so as SVG path data.
    pub light: Option<String>,
    /// What it says to who can't see it.
    pub spoken: String,
    /// The way in which power goes; none from afar.
    pub arrows: Vec<Arrow>,
    /// What stands on it, where there is a clear place for it, or the wire is chosen or wrong.
    pub label: Option<LabelView>,
    /// How near it is drawn.
    pub detail: Detail,
    /// Its handles, where it alone is chosen.
    pub handles: Option<Handles>,
}

/// With more wires than this, nothing moves along them.
pub(super) const MANY: usize = 150;

/// From this length on a piece of a wire has a handle for a new bend.
const BENDABLE: f64 = 32.0;

impl Editor {
    /// The wire `id`, as it is drawn now.
    pub fn wire_view(&self, id: &WireId) -> Option<WireView> {
        let moves = self.board().wires.len() <= MANY;
        let mut view = self.wire_from(id, self.drawn.detail, moves)?;
        let must = view.chosen || self.wrong_wires.contains(id);
        let course = self.geometry.courses().course(id).unwrap_or_default();
        view.label = self.label(id, course, must);
        Some(view)
    }

    /// The wire `id` as it stands in a picture of the whole board, without its number.
    pub(super) fn wire_in_picture(&self, id: &WireId, detail: Detail) -> Option<WireView> {
        self.wire_from(id, detail, false)
    }

    /// What is told of a wire now.
    pub fn told_of_wire(&self, id: &WireId) -> Told {
        Told {
            cable: self.cable_number(id),
            carries: number(&self.flow(id), &self.board().book.book.unit),
        }
    }

    /// The wire `id`, as it is drawn from so near but for its number, and whether anything moves along it.
    fn wire_from(&self, id: &WireId, detail: Detail, moves: bool) -> Option<WireView> {
        let board = self.board();
        let wire = board.wires.get(*self.wire_at.get(id)?)?;
        let courses = self.geometry.courses();
        let course = courses.course(id).unwrap_or_default();
        let d = courses.d(id).unwrap_or_default().to_string();
        let flow = self.flow(id);
        let chosen = self.selection.wires.contains(id);
        let is_lit = self.is_wire_lit(id);
        let alone = chosen && self.selection.parts.is_empty() && self.selection.wires.len() == 1;
        let unit = &board.book.book.unit;
        let bends = match &self.floating_bends {
            Some((floats, bends)) if floats == id => bends,
            _ => &wire.bends,
        };
        Some(WireView {
            arrows: if detail.level == Level::All {
                arrows(&flow, course, &d, moves)
            } else {
                Vec::new()
            },
            label: None,
            detail,
            handles: alone.then(|| handles(course, bends)),
            class: format!(
                "wire {} {}{}",
                look(&flow),
                weight(&flow),
                self.mark_of_wire(id).class()
            ),
            chosen,
            light: is_lit.then(|| {
                let mark = standing(&MARK, course, route::long(course) / 2.0);
                mark.unwrap_or_default()
            }),
            spoken: format!(
                "Wire from {}: {}{}",
                from_to(board, &wire.from, &wire.to),
                crate::sheet::words::flow(&flow, unit),
                if is_lit { IN_LIGHT } else { "" }
            ),
            d,
        })
    }
}

/// The class of a wire by what it does.
fn look(flow: &Flow) -> &'static str {
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

/// The mark of a wire that the step of a walk lights up: a diamond.
const MARK: [Point; 5] = [
    (-9.0, 0.0),
    (0.0, -9.0),
    (9.0, 0.0),
    (0.0, 9.0),
    (-9.0, 0.0),
];
/// A chevron, and an open arrow.
const CHEVRON: [Point; 3] = [(-3.0, -4.0), (2.0, 0.0), (-3.0, 4.0)];
const OPEN: [Point; 4] = [(-5.0, -4.0), (3.0, 0.0), (-5.0, 4.0), (-5.0, -4.0)];

/// Chevrons along a wire that carries, one open arrow near the end of one that only offers.
fn arrows(flow: &Flow, course: &[Point], d: &str, move_along: bool) -> Vec<Arrow> {
    let long = route::long(course);
    match look(flow) {
        "carries" => {
            let count = (long / 90.0).clamp(1.0, 4.0) as usize;
            let along = (0..count).map(|i| (i as f64 + 0.5) / count as f64);
            if move_along {
                let lasts = (long / 24.0).max(2.0);
                let chevron = |along: f64| Arrow {
                    class: "chevron moves",
                    d: polyline(&CHEVRON),
                    style: Some(format!(
                        "offset-path:path(\"{d}\");offset-distance:{:.1}%;\
                         animation-duration:{lasts:.1}s;animation-delay:{:.1}s",
                        along * 100.0,
                        -lasts * along
                    )),
                };
                return along.map(chevron).collect();
            }
            let all = along.filter_map(|along| standing(&CHEVRON, course, along * long));
            vec![Arrow {
                class: "chevron",
                d: all.collect(),
                style: None,
            }]
        }
        "offers" => {
            let far = (long - 14.0).max(long / 2.0);
            let arrow = standing(&OPEN, course, far).map(|d| Arrow {
                class: "chevron open",
                d,
                style: None,
            });
            arrow.into_iter().collect()
        }
        _ => Vec::new(),
    }
}

/// A shape that points to the right, put on a course so far from its beginning, pointing along it.
fn standing(shape: &[Point], course: &[Point], far: f64) -> Option<String> {
    let mut left = far;
    let piece = course.windows(2).find(|piece| {
        let long = length(piece[0], piece[1]);
        let is_here = left <= long;
        if !is_here {
            left -= long;
        }
        is_here
    })?;
    let (from, long) = (piece[0], length(piece[0], piece[1]).max(1.0));
    let (dx, dy) = ((piece[1].0 - from.0) / long, (piece[1].1 - from.1) / long);
    let at = (from.0 + dx * left, from.1 + dy * left);
    let turned = |&(x, y): &Point| (at.0 + x * dx - y * dy, at.1 + x * dy + y * dx);
    Some(polyline(&shape.iter().map(turned).collect::<Vec<_>>()))
}

fn polyline(points: &[Point]) -> String {
    let mut d = String::new();
    for (i, (x, y)) in points.iter().enumerate() {
        let command = if i == 0 { 'M' } else { 'L' };
        let tenth = |v: f64| (v * 10.0).round() / 10.0;
        d += &format!("{command}{} {}", tenth(*x), tenth(*y));
    }
    d
}

/// How large numbers on wires are at life size.
pub(super) const NUMBERS: f64 = 12.0;

impl Editor {
    /// Shows the numbers of cables, or does not.
    pub(in crate::editor) fn number_cables(&mut self, on: bool) {
        if self.numbers_cables != on {
            self.numbers_cables = on;
            self.note_drawn_wires();
        }
    }

    fn note_drawn_wires(&mut self) {
        let drawn = self.drawn.wires.iter().cloned().map(Change::Wire);
        self.changes.extend(drawn);
    }

    /// What is told of a wire: its cable's number where that is shown, and what it carries.
    fn number(&self, id: &WireId) -> String {
        self.told_of_wire(id).in_one()
    }

    /// The number of a wire's cable, where that is shown: `#3`.
    fn cable_number(&self, id: &WireId) -> Option<String> {
        let at = self.wire_at.get(id).filter(|_| self.numbers_cables)?;
        Some(format!("#{}", at + 1))
    }

    /// What stands on a wire. `must`: it is told also where it covers something.
    fn label(&self, id: &WireId, course: &[Point], must: bool) -> Option<LabelView> {
        let detail = self.drawn.detail;
        let text = self.number(id);
        let (width, _) = number_size(text.chars().count(), detail);
        let clear = self.geometry.courses().number(id);
        let clear = clear.filter(|_| detail.level >= Level::Name);
        let at = match clear {
            None if must => route::label_off_ports(course, width),
            clear => clear?,
        };
        Some(LabelView {
            at,
            width,
            size: NUMBERS * detail.scale(),
            text,
            class: if self.wrong_wires.contains(id) {
                "wire-label wrong"
            } else {
                "wire-label"
            },
        })
    }

    /// Finds places for the numbers of wires that have come to be drawn or are told to look otherwise, and of those near by.
    pub(in crate::editor) fn put_numbers(&mut self) {
        // Where a wire goes the cables behind it have other numbers.
        if self.numbers_cables && self.changes.contains(&Change::Wires) {
            self.note_drawn_wires();
        }
        let mut ids: Vec<WireId> = Vec::new();
        if self.changes.contains(&Change::DrawnWires) {
            ids.extend(self.drawn.wires.iter().cloned());
        }
        let told = self.changes.iter().filter_map(|change| match change {
            Change::Wire(id) => Some(id.clone()),
            _ => None,
        });
        ids.extend(told);
        let detail = self.drawn.detail;
        for id in ids {
            let is_told = detail.level >= Level::Name && self.wire_at.contains_key(&id);
            let size = is_told.then(|| number_size(self.number(&id).chars().count(), detail));
            self.geometry.courses_mut().put_number(&id, size);
        }
        let moved = self.geometry.courses_mut().settle_numbers();
        self.changes.extend(moved.into_iter().map(Change::Wire));
    }
}

/// What is taken and what is offered; empty on a closed loop.
fn number(flow: &Flow, unit: &Unit) -> String {
    let say = |steps: u64| Short(unit.power(steps)).to_string();
    match flow.on_loop {
        true => String::new(),
        false => format!("{} / {}", say(flow.take), say(flow.offer)),
    }
}

/// Width and height of a number of so many signs: larger from farther away.
fn number_size(signs: usize, detail: Detail) -> (f64, f64) {
    let scale = detail.scale();
    let width = 7.0 * signs as f64 + 6.0;
    (width * scale, NUMBERS * 4.0 / 3.0 * scale)
}

fn length(a: Point, b: Point) -> f64 {
    (a.0 - b.0).abs() + (a.1 - b.1).abs()
}

/// Handles: one on each bend, and one in the middle of each longer piece from which a new bend can be drawn.
fn handles(course: &[Point], bends: &[Point]) -> Handles {
    let mut passed = 0;
    let mut new = Vec::new();
    for piece in course.windows(2) {
        let (a, b) = (piece[0], piece[1]);
        let within = |v: f64, a: f64, b: f64| v >= a.min(b) - 0.5 && v <= a.max(b) + 0.5;
        let on = |q: &Point| within(q.0, a.0, b.0) && within(q.1, a.1, b.1);
        let before = passed;
        while bends.get(passed).is_some_and(on) {
            passed += 1;
        }
        if length(a, b) >= BENDABLE && before == passed {
            new.push((passed, ((a.0 + b.0) / 2.0, (a.1 + b.1) / 2.0)));
        }
    }
    Handles {
        bends: bends.to_vec(),
        new,
    }
}
