//! Which cards and wires are drawn: those in the window onto the board and some way around it, so that most moves of the
//! view draw nothing anew, and few of them at a time, so that no move waits for many.

use super::view::{Rect, around, as_box, grown, meet, within};
use super::{Change, Editor};
use crate::gather::Gather;
use crate::plan::{PartId, WireId};
use std::collections::{BTreeSet, VecDeque};

/// How much of the board is drawn on each side of the window, in windows.
const AROUND: f64 = 0.4;

/// How near the board is looked at.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Detail {
    /// What is drawn.
    pub level: Level,
    /// The size of names in pixels of the board: large enough to be read on the screen.
    pub text: u16,
}

/// What is drawn, the least first.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Level {
    /// A card is a field and a wire a line.
    Field,
    /// A card is its symbol.
    Symbol,
    /// A card is its symbol and its name, with its state where that has room; wires have their numbers where there is room.
    Name,
    /// Ports as well, and the way in which power goes.
    All,
}

/// The size of names at life size, in pixels of the board.
pub const TEXT: u16 = 14;

/// The scale from which on names can be read, and one at which they can be read at ease and ports are large enough for a
/// finger.
pub(super) const NAMES: (f64, f64) = (11.0 / 36.0, 11.0 / 18.0);

/// From which scale on what is drawn, the nearest first. A name is 11 pixels of the screen high or more.
const DETAILS: [(f64, Level, u16); 7] = [
    (11.0 / 14.0, Level::All, TEXT),
    (NAMES.1, Level::All, 18),
    (11.0 / 22.0, Level::All, 22),
    (11.0 / 28.0, Level::Name, 28),
    (NAMES.0, Level::Name, 36),
    (0.13, Level::Symbol, 36),
    (0.0, Level::Field, 36),
];

impl Detail {
    /// What is drawn at this scale.
    pub fn at(zoom: f64) -> Detail {
        let found = DETAILS.iter().find(|(from, ..)| zoom >= *from);
        let (_, level, text) = found.copied().unwrap_or((0.0, Level::Field, TEXT));
        Detail { level, text }
    }

    /// How much larger words and lines are drawn than at life size.
    pub fn scale(self) -> f64 {
        match self.level {
            // A field has no words, and only its lines are to be seen.
            Level::Field => 5.0,
            _ => f64::from(self.text) / f64::from(TEXT),
        }
    }

    /// What is drawn at life size.
    pub const NEAR: Detail = Detail {
        level: Level::All,
        text: TEXT,
    };
}

impl Default for Detail {
    fn default() -> Detail {
        Detail::NEAR
    }
}

/// What is drawn.
#[derive(Clone, Debug, Default)]
pub(super) struct Drawn {
    /// The cards.
    pub parts: BTreeSet<PartId>,
    /// The wires.
    pub wires: BTreeSet<WireId>,
    /// How near they are drawn.
    pub detail: Detail,
    /// Still to be drawn, the ones in the window first.
    due_parts: VecDeque<PartId>,
    due_wires: VecDeque<WireId>,
    /// The rectangle of the board of which all is drawn or due.
    area: Option<Rect>,
}

impl Drawn {
    /// Nothing is drawn.
    pub fn clear(&mut self) {
        *self = Drawn {
            detail: self.detail,
            ..Drawn::default()
        };
    }

    /// Whether something is still to be drawn.
    pub fn is_behind(&self) -> bool {
        !self.due_parts.is_empty() || !self.due_wires.is_empty()
    }
}

impl Editor {
    /// How near the board is drawn.
    pub fn detail(&self) -> Detail {
        self.drawn.detail
    }

    /// The parts that are not drawn, with what they do, for who can't see the board.
    pub fn outside(&self) -> String {
        let unit = &self.board().book.book.unit;
        let parts = self.board().parts.iter();
        let said = parts
            .filter(|p| !self.drawn.parts.contains(&p.id))
            .map(|p| {
                let line = crate::sheet::state_line::state_line(&self.state(&p.id), unit);
                match line.text.as_str() {
                    "" => self.board().called(&p.id),
                    text => format!("{}: {text}", self.board().called(&p.id)),
                }
            });
        said.collect::<Vec<_>>().join("; ")
    }

    /// The view has moved: what is drawn follows where the window leaves what was drawn.
    pub(super) fn look(&mut self) {
        let detail = Detail::at(self.view.zoom);
        if detail != self.drawn.detail {
            self.drawn.detail = detail;
            let drawn = self.drawn.parts.iter().cloned().map(Change::Part);
            let wires = self.drawn.wires.iter().cloned().map(Change::Wire);
            let all: Vec<Change> = drawn.chain(wires).collect();
            self.changes.extend(all);
        }
        let window = self.view.window();
        let known = self.drawn.area.is_some_and(|area| {
            // Much more than is needed is not kept either.
            within(window, area) && area.2 < window.2 * 4.0
        });
        if !known {
            self.look_anew();
        }
    }

    /// Works out anew what is to be drawn.
    pub(super) fn look_anew(&mut self) {
        let window = self.view.window();
        let area = grown(window, (window.2 * AROUND, window.3 * AROUND));
        let courses = self.geometry.courses();
        let parts: Vec<PartId> = courses.cards_in(&as_box(window));
        let around: Vec<PartId> = courses.cards_in(&as_box(area));
        let wires: Vec<WireId> = courses.wires_in(&as_box(area));
        let mut wanted: BTreeSet<PartId> = around.iter().cloned().gather();
        wanted.extend(self.focused());
        let wanted_wires: BTreeSet<WireId> = wires.iter().cloned().gather();
        let count = (self.drawn.parts.len(), self.drawn.wires.len());
        self.drawn.parts.retain(|id| wanted.contains(id));
        self.drawn.wires.retain(|id| wanted_wires.contains(id));
        if self.drawn.parts.len() != count.0 {
            self.note(Change::DrawnParts);
        }
        if self.drawn.wires.len() != count.1 {
            self.note(Change::DrawnWires);
        }
        let mut seen = BTreeSet::new();
        let focused = self.focused();
        let due = focused.into_iter().chain(parts).chain(around);
        let drawn = &self.drawn.parts;
        self.drawn.due_parts = due
            .filter(|id| !drawn.contains(id) && seen.insert(id.clone()))
            .collect();
        let drawn = &self.drawn.wires;
        self.drawn.due_wires = wires.into_iter().filter(|id| !drawn.contains(id)).collect();
        self.drawn.area = Some(area);
        if self.drawn.is_behind() {
            self.note(Change::Work);
        }
    }

    /// Wires that were led anew are drawn where they now come into the area that is drawn.
    pub(super) fn draw_led(&mut self, led: &[WireId]) {
        let Some(area) = self.drawn.area else { return };
        for id in led {
            let course = self.geometry.courses().course(id).unwrap_or_default();
            let bounds = around(course.iter().map(|(x, y)| (*x, *y, 0.0, 0.0)));
            // A straight wire has no height or no width.
            let bounds = bounds.map(|bounds| grown(bounds, (1.0, 1.0)));
            if bounds.is_some_and(|bounds| meet(bounds, area)) && !self.drawn.wires.contains(id) {
                self.drawn.due_wires.push_back(id.clone());
            }
        }
    }

    /// The part that Tab reaches is always drawn: the one last worked with, or the first.
    fn focused(&self) -> Option<PartId> {
        let first = || self.board().parts.first().map(|p| p.id.clone());
        self.focus.clone().or_else(first)
    }

    /// The part that has the focus now is drawn at once.
    pub(super) fn draw_focus(&mut self) {
        if let Some(id) = self.focused()
            && self.part_at.contains_key(&id)
            && self.drawn.parts.insert(id)
        {
            self.note(Change::DrawnParts);
        }
    }

    /// Draws at most so many of the cards and wires that are due.
    pub(super) fn draw(&mut self, things: usize) {
        let mut left = things;
        while left > 0
            && let Some(id) = self.drawn.due_parts.pop_front()
        {
            self.drawn.parts.insert(id);
            self.note(Change::DrawnParts);
            left -= 1;
        }
        while left > 0
            && let Some(id) = self.drawn.due_wires.pop_front()
        {
            self.drawn.wires.insert(id);
            self.note(Change::DrawnWires);
            left -= 1;
        }
    }
}
