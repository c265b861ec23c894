//! The site as it is worked at: which storey is shown and how, what is drawn with, what is in hand, and the gestures and
//! keys for all that.
//!
//! Places are of the site's drawing (`src/sheet/site/`). It finds no run: what a pointer is on is told from outside, as on
//! the board. A drag is one step of undo, and one that changed nothing leaves none.

mod act;
mod gesture;
mod hang;
mod keys;
mod paint;
#[cfg(test)]
mod tests;

use super::message::{Drawing, SiteTool};
use super::view::{Point, View};
use super::{Change, Editor};
use crate::plan::{PartId, WireId};
use crate::sheet::site::places::{built_rect, cell_rect};
use crate::site::{Face, Patch, Surface};
use gesture::SiteGesture;
use std::collections::BTreeMap;

/// A part in hand.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct InHand {
    /// The part.
    pub part: PartId,
    /// The face that it would hang on now.
    pub over: Option<Face>,
    /// Why it can't hang where the pointer is.
    pub refused: Option<String>,
    /// Whether it is dragged: letting go hangs it.
    dragged: bool,
}

impl InHand {
    /// Whether it is dragged: letting go hangs it.
    pub fn is_dragged(&self) -> bool {
        self.dragged
    }
}

/// A bend of a wire that is dragged or in hand.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Leading {
    /// The wire.
    pub wire: WireId,
    /// The face under the pointer, or at the keyboard's place.
    pub over: Option<Face>,
    /// Its bends as they were.
    via: Vec<Face>,
    bend: Bend,
}

/// Which bend it is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Bend {
    /// The one of this place among the bends is dragged.
    Moved(usize),
    /// A new one is dragged off the run, before the bend of this place.
    Drawn(usize),
    /// A new one is in hand; the faces on which the wire begins and ends, where it has them.
    InHand(Option<[Face; 2]>),
}

impl Leading {
    /// Whether it is in hand: a press or Enter puts it down, not the end of a drag.
    pub fn is_in_hand(&self) -> bool {
        matches!(self.bend, Bend::InHand(_))
    }
}

/// Where the keyboard is: a cell, and one of its surfaces.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Cursor {
    /// Cells from the west.
    pub x: u8,
    /// Cells from the north.
    pub y: u8,
    /// The surface that is meant.
    pub surface: Surface,
    /// Where a stretch from there begins.
    pub from: Option<(u8, u8)>,
}

/// How the site is worked at.
#[derive(Clone, Debug)]
pub struct SiteState {
    drawing: Drawing,
    storey: u8,
    tool: SiteTool,
    view: View,
    is_measured: bool,
    cursor: Cursor,
    /// Whether the keyboard was used last.
    shows_cursor: bool,
    hand: Option<InHand>,
    leading: Option<Leading>,
    /// What a drag would draw.
    marks: Vec<Patch>,
    down: BTreeMap<i32, Point>,
    gesture: SiteGesture,
}

impl Default for SiteState {
    fn default() -> SiteState {
        SiteState {
            drawing: Drawing::Board,
            storey: 0,
            tool: SiteTool::Choose,
            view: View::default(),
            is_measured: false,
            cursor: Cursor {
                x: 0,
                y: 0,
                surface: Surface::Floor,
                from: None,
            },
            shows_cursor: false,
            hand: None,
            leading: None,
            marks: Vec::new(),
            down: BTreeMap::new(),
            gesture: SiteGesture::None,
        }
    }
}

impl SiteState {
    /// Which drawing of the plan is shown.
    pub fn drawing(&self) -> Drawing {
        self.drawing
    }

    /// The storey shown, from 0.
    pub fn storey(&self) -> u8 {
        self.storey
    }

    /// What is drawn with.
    pub fn tool(&self) -> SiteTool {
        self.tool
    }

    /// Where the window onto the site looks.
    pub fn view(&self) -> View {
        self.view
    }

    /// Where the keyboard is, where it was used last.
    pub fn cursor(&self) -> Option<Cursor> {
        self.shows_cursor.then_some(self.cursor)
    }

    /// The part in hand.
    pub fn hand(&self) -> Option<&InHand> {
        self.hand.as_ref()
    }

    /// The bend that is dragged or in hand.
    pub fn leading(&self) -> Option<&Leading> {
        self.leading.as_ref()
    }

    /// Whether a part or a bend is in hand.
    pub fn holds(&self) -> bool {
        self.hand.is_some() || self.bend_in_hand().is_some()
    }

    /// The bend in hand.
    pub fn bend_in_hand(&self) -> Option<&Leading> {
        self.leading.as_ref().filter(|leading| leading.is_in_hand())
    }

    /// What a drag, or a stretch by keyboard, would draw.
    pub fn marks(&self) -> &[Patch] {
        &self.marks
    }
}

impl Editor {
    /// How the site is worked at.
    pub fn site(&self) -> &SiteState {
        &self.site
    }

    fn note_site(&mut self) {
        self.note(Change::Site);
    }

    pub(super) fn set_site_view(&mut self, view: View) {
        if self.site.view != view {
            self.site.view = view;
            self.note(Change::SiteView);
        }
    }

    /// The view of all that is built in the window as it is.
    fn whole_site(&self) -> View {
        let rect = self.plan().site.as_deref().map(built_rect);
        rect.map_or(self.site.view, |rect| self.site.view.fitted(rect))
    }

    /// Keeps storey and cursor within the site, which may be another now.
    pub(super) fn keep_in_site(&mut self) {
        let Some(site) = self.plan().site.clone() else {
            self.let_go_of_site();
            return;
        };
        let storey = self
            .site
            .storey
            .min(site.storeys.len().saturating_sub(1) as u8);
        let (x, y) = (
            self.site.cursor.x.min(site.width - 1),
            self.site.cursor.y.min(site.depth - 1),
        );
        if (storey, x, y) != (self.site.storey, self.site.cursor.x, self.site.cursor.y) {
            self.site.storey = storey;
            (self.site.cursor.x, self.site.cursor.y) = (x, y);
            self.note_site();
        }
        if let SiteTool::Room(at) = self.site.tool
            && usize::from(at) >= site.rooms.len()
        {
            self.set_site_tool(SiteTool::Choose);
        }
    }

    /// Lets go of what is in hand and under way in the site.
    pub(super) fn let_go_of_site(&mut self) {
        let site = &mut self.site;
        site.gesture = SiteGesture::None;
        let held = site.hand.take().is_some() | site.leading.take().is_some();
        let stretched = site.cursor.from.take().is_some();
        let drawn = !std::mem::take(&mut site.marks).is_empty();
        if held || drawn || stretched {
            self.note_site();
        }
    }

    /// Brings a cell of a storey before the eyes.
    pub(super) fn show_cell(&mut self, (storey, x, y): (u8, u8, u8)) {
        self.set_storey(storey);
        self.set_site_view(self.site.view.revealing(cell_rect(x, y)));
    }

    /// Turns to the site where one of these hangs, if the site is shown; to the board where none does.
    pub(super) fn show_on_site(&mut self, parts: &[PartId], wires: &[WireId]) {
        if self.site.drawing != Drawing::Site {
            return;
        }
        let plan = self.plan();
        let ends = wires.iter().filter_map(|id| plan.wire(id));
        let ends = ends.flat_map(|wire| [&wire.from.part, &wire.to.part]);
        let faces = parts
            .iter()
            .chain(ends)
            .filter_map(|id| plan.part(id)?.hangs);
        let faces: Vec<Face> = faces.collect();
        let here = faces.iter().find(|face| face.storey == self.site.storey);
        match here.or(faces.first()) {
            Some(face) => self.show_cell(face.cell()),
            None => self.turn_to(Drawing::Board),
        }
    }
}
