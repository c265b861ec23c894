//! Where the board looks, and where parts come to stand: places in pixels of the board, sizes in pixels of the screen.
//!
//! It moves and measures; it draws nothing and knows no power.

use super::store::{Selection, Store};
use crate::book::Port;
use crate::plan::{Edit, Part, PartId, Plan, WireId};
use crate::sheet::card;
use leptos::prelude::*;

/// The board's module: everything stands on multiples of it.
pub const MODULE: f64 = 8.0;
/// The smallest and the largest scale.
pub const ZOOM: (f64, f64) = (0.1, 3.0);

/// A rectangle of the board: left, top, width, height.
pub type Rect = (f64, f64, f64, f64);

/// What the board shows.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct View {
    /// The board's place at the left edge of the window onto it.
    pub x: f64,
    /// The board's place at its top edge.
    pub y: f64,
    /// Pixels of the screen to a pixel of the board.
    pub zoom: f64,
    /// The window's width, in pixels of the screen.
    pub width: f64,
    /// The window's height, in pixels of the screen.
    pub height: f64,
}

impl Default for View {
    fn default() -> View {
        View {
            x: 0.0,
            y: 0.0,
            zoom: 1.0,
            width: 800.0,
            height: 600.0,
        }
    }
}

impl View {
    /// The place of the board under a place of the window, given from its top left corner.
    pub fn to_board(self, (x, y): (f64, f64)) -> (f64, f64) {
        (self.x + x / self.zoom, self.y + y / self.zoom)
    }

    /// The place of the board in the middle of the window.
    pub fn centre(self) -> (f64, f64) {
        self.to_board((self.width / 2.0, self.height / 2.0))
    }

    /// The view at another scale, the board's place under `(x, y)` of the window staying there.
    pub fn zoomed(self, factor: f64, (x, y): (f64, f64)) -> View {
        let zoom = (self.zoom * factor).clamp(ZOOM.0, ZOOM.1);
        let (bx, by) = self.to_board((x, y));
        View {
            x: bx - x / zoom,
            y: by - y / zoom,
            zoom,
            ..self
        }
    }

    /// The view moved so that `place` is in the middle.
    pub fn centred(self, (x, y): (f64, f64)) -> View {
        View {
            x: x - self.width / 2.0 / self.zoom,
            y: y - self.height / 2.0 / self.zoom,
            ..self
        }
    }

    /// The view of all of `rect` with a margin, at most at life size.
    pub fn fitted(self, rect: Rect) -> View {
        let margin = 40.0;
        let across = (self.width - 2.0 * margin).max(40.0) / rect.2.max(1.0);
        let down = (self.height - 2.0 * margin).max(40.0) / rect.3.max(1.0);
        let zoom = across.min(down).clamp(ZOOM.0, 1.0);
        View { zoom, ..self }.centred((rect.0 + rect.2 / 2.0, rect.1 + rect.3 / 2.0))
    }
}

/// The nearest multiple of the module.
pub fn snap(x: f64) -> f64 {
    (x / MODULE).round() * MODULE
}

/// The ports of a part; none where the book has not its type.
pub fn ports(plan: &Plan, part: &Part) -> Vec<Port> {
    plan.kind_of(part).map(|t| t.ports()).unwrap_or_default()
}

/// The rectangle that a part's card covers.
pub fn rect(plan: &Plan, part: &Part) -> Rect {
    let (x, y) = part.at.unwrap_or_default();
    (x, y, card::WIDTH, card::height(&ports(plan, part)))
}

/// The rectangle around all of `rects`.
pub fn around(rects: impl Iterator<Item = Rect>) -> Option<Rect> {
    rects.reduce(|a, b| {
        let (x, y) = (a.0.min(b.0), a.1.min(b.1));
        let right = (a.0 + a.2).max(b.0 + b.2);
        let below = (a.1 + a.3).max(b.1 + b.3);
        (x, y, right - x, below - y)
    })
}

/// Whether two rectangles have something in common.
pub fn meet(a: Rect, b: Rect) -> bool {
    a.0 < b.0 + b.2 && b.0 < a.0 + a.2 && a.1 < b.1 + b.3 && b.1 < a.1 + a.3
}

/// A place near `at`, on the module, where a card of this height covers no other.
pub fn free_place(plan: &Plan, at: (f64, f64), height: f64) -> (f64, f64) {
    let taken: Vec<Rect> = plan.parts.iter().map(|p| rect(plan, p)).collect();
    let gap = 2.0 * MODULE;
    let (x, y) = (snap(at.0), snap(at.1));
    for ring in 0..40 {
        for (dx, dy) in [(0, 1), (1, 0), (1, 1), (0, -1), (-1, 0), (-1, 1)] {
            let place = (
                x + f64::from(dx * ring) * 3.0 * MODULE,
                y + f64::from(dy * ring) * 3.0 * MODULE,
            );
            let own = (place.0, place.1, card::WIDTH + gap, height + gap);
            if !taken.iter().any(|t| meet(*t, own)) {
                return place;
            }
        }
    }
    (x, y)
}

/// Gives every part without a place one: in columns, a part to the right of what feeds it.
pub fn give_places(plan: &mut Plan) {
    if plan.parts.iter().all(|p| p.at.is_some()) {
        return;
    }
    let mut column: Vec<usize> = vec![0; plan.parts.len()];
    // As many rounds as there may be columns: a closed loop ends there too.
    for _ in 0..plan.parts.len().min(60) {
        let mut moved = false;
        for wire in &plan.wires {
            let of = |id: &PartId| plan.parts.iter().position(|p| p.id == *id);
            if let (Some(from), Some(to)) = (of(&wire.from.part), of(&wire.to.part))
                && column[to] <= column[from]
                && column[from] < 60
            {
                column[to] = column[from] + 1;
                moved = true;
            }
        }
        if !moved {
            break;
        }
    }
    let below = around(
        plan.parts
            .iter()
            .filter(|p| p.at.is_some())
            .map(|p| rect(plan, p)),
    )
    .map_or(0.0, |r| snap(r.1 + r.3 + 48.0));
    let mut foot = std::collections::BTreeMap::new();
    for (i, column) in column.into_iter().enumerate() {
        if plan.parts[i].at.is_none() {
            let y = foot.entry(column).or_insert(below);
            let tall = rect(plan, &plan.parts[i]).3;
            plan.parts[i].at = Some((column as f64 * 240.0, *y));
            *y = snap(*y + tall + 32.0);
        }
    }
}

impl Store {
    /// Shows the whole plan.
    pub fn fit(self) {
        let all = self.with_board(|plan| around(plan.parts.iter().map(|p| rect(plan, p))));
        match all {
            Some(all) => self.view().update(|v| *v = v.fitted(all)),
            None => self.view().update(|v| {
                *v = View {
                    x: 0.0,
                    y: 0.0,
                    zoom: 1.0,
                    ..*v
                }
            }),
        }
    }

    /// Chooses these parts and wires and brings them into view.
    pub fn show(self, parts: &[PartId], wires: &[WireId]) {
        let place = self.with_board(|plan| {
            let ends = wires.iter().filter_map(|id| plan.wire(id));
            let ends = ends.flat_map(|w| [w.from.part.clone(), w.to.part.clone()]);
            let all: Vec<PartId> = parts.iter().cloned().chain(ends).collect();
            around(
                all.iter()
                    .filter_map(|id| plan.part(id))
                    .map(|p| rect(plan, p)),
            )
        });
        self.selection().set(Selection {
            parts: parts.iter().cloned().collect(),
            wires: wires.iter().cloned().collect(),
        });
        if let Some(first) = parts.first() {
            self.focus().set(Some(first.clone()));
        }
        if let Some(place) = place {
            let v = self.view().get_untracked();
            if place.2 * v.zoom < v.width * 0.9 && place.3 * v.zoom < v.height * 0.9 {
                // No more than brings it into view: what else one sees stays where it is.
                self.reveal(place);
            } else {
                self.view().set(v.fitted(place));
            }
        }
    }

    /// Adds a part of the type `kind` with its middle at a place of the board, or in the middle of the view, and
    /// chooses it. Its card covers no other.
    pub fn place_part(self, kind: &str, at: Option<(f64, f64)>) {
        let middle = at.unwrap_or_else(|| self.view().get_untracked().centre());
        let id = self.new_part_id();
        let made = self.with_plan(|plan| {
            let kind = plan.book.book.find(kind)?;
            let height = card::height(&kind.ports());
            let corner = (middle.0 - card::WIDTH / 2.0, middle.1 - height / 2.0);
            let place = free_place(plan, corner, height);
            let part = Part::new(id.clone(), &kind.name, place);
            Some((
                kind.label.clone(),
                Edit::AddPart(plan.parts.len(), part),
                (place.0, place.1, card::WIDTH, height),
            ))
        });
        let Some((label, edit, rect)) = made else {
            return self.notice(format!("The book has no part type {kind}."));
        };
        if self.commit(&format!("add {label}"), vec![edit]) {
            self.selection().set(Selection::part(&id));
            self.focus().set(Some(id));
            self.reveal(rect);
            self.notice(format!("{label} added."));
        }
    }

    /// Moves the view as little as shows all of `rect`.
    pub fn reveal(self, rect: Rect) {
        let v = self.view().get_untracked();
        let margin = 24.0 / v.zoom;
        let push = |low: f64, high: f64, from: f64, to: f64| {
            if low - margin < from {
                low - margin - from
            } else if high + margin > to {
                high + margin - to
            } else {
                0.0
            }
        };
        let dx = push(rect.0, rect.0 + rect.2, v.x, v.x + v.width / v.zoom);
        let dy = push(rect.1, rect.1 + rect.3, v.y, v.y + v.height / v.zoom);
        if dx != 0.0 || dy != 0.0 {
            self.view().set(View {
                x: v.x + dx,
                y: v.y + dy,
                ..v
            });
        }
    }
}
