//! What of the board is to be drawn anew, gathered until it is drawn.

use super::Store;
use crate::editor::scene::Level;
use crate::editor::{Change, Editor};
use crate::plan::{PartId, WireId};
use leptos::prelude::*;
use std::collections::BTreeSet;

/// How long new cards and wires may take to be made in a frame, in milliseconds.
const STRETCH: f64 = 6.0;
/// Cards and wires made in a frame: at first, at least and at most.
pub(super) const AT_FIRST: usize = 48;
/// From very far each is little more than a line, and what is made is painted anew with all the rest: many at once.
const AT_FIRST_FAR: usize = 384;
const STRETCH_FAR: f64 = 12.0;
const LEAST: usize = 16;
const MOST: usize = 1024;

/// What is to be drawn anew.
#[derive(Debug, Default)]
pub struct Redraw {
    /// Another plan is open: ids mean other things.
    pub all: bool,
    /// Other parts are drawn than before, or in another order.
    pub part_list: bool,
    /// Other wires are drawn than before, or in another order.
    pub wire_list: bool,
    /// These parts look otherwise.
    pub parts: BTreeSet<PartId>,
    /// These wires look otherwise.
    pub wires: BTreeSet<WireId>,
}

impl Redraw {
    /// Notes a change; whether the board looks otherwise by it.
    pub(super) fn note(&mut self, change: &Change) -> bool {
        match change {
            Change::Opened => {
                *self = Redraw {
                    all: true,
                    ..Redraw::default()
                }
            }
            Change::Parts | Change::DrawnParts => self.part_list = true,
            Change::Wires | Change::DrawnWires => self.wire_list = true,
            Change::Part(id) => drop(self.parts.insert(id.clone())),
            Change::Wire(id) => drop(self.wires.insert(id.clone())),
            _ => return false,
        }
        true
    }
}

impl Store {
    /// Draws what is to be drawn anew: `draw` answers with how many cards and wires it made. Tracked: it is called again
    /// when there is more.
    pub fn redraw(self, draw: impl FnOnce(&Editor, Redraw) -> usize) {
        self.redraws.track();
        let redraw = self.redraw.try_update_value(std::mem::take);
        let clock = window().performance();
        let now = || clock.as_ref().map_or(0.0, web_sys::Performance::now);
        let start = now();
        let made = self.with(|editor| draw(editor, redraw.unwrap_or_default()));
        let took = now() - start;
        // A few tell too little of how long one takes.
        if made >= LEAST {
            let is_far = self.with(Editor::detail).level == Level::Field;
            let (stretch, least) = match is_far {
                true => (STRETCH_FAR, AT_FIRST_FAR),
                false => (STRETCH, LEAST),
            };
            let fit = made as f64 * stretch / took.max(0.1);
            self.things.set_value((fit as usize).clamp(least, MOST));
        }
    }
}
