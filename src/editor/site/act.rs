//! What is done with the site, act by act.

use super::InHand;
use crate::editor::view::View;
use crate::editor::{Change, Drawing, Editor, FocusOn, SiteAct, SiteTool};
use crate::site::{Face, Surface};

impl Editor {
    pub(in crate::editor) fn site_act(&mut self, act: SiteAct) {
        if self.is_refused_on_site(&act) {
            return;
        }
        match act {
            SiteAct::Turn(to) => self.turn_to(to),
            SiteAct::Storey(at) => {
                self.set_storey(at);
                // What is in hand is held over the new storey, by the keyboard too.
                if self.site.holds() {
                    self.hold_where_it_goes(true);
                    self.note(Change::FocusOn(FocusOn::Site));
                }
            }
            SiteAct::Tool(tool) => self.set_site_tool(tool),
            SiteAct::Resize(width, height) => self.resize_site(width, height),
            SiteAct::Fit => self.set_site_view(self.whole_site()),
            SiteAct::Begin => {
                self.set_storey(0);
                self.set_site_view(self.whole_site());
                self.note(Change::FocusOn(FocusOn::Site));
            }
            SiteAct::Zoom(by, Some(at)) => self.set_site_view(self.site.view.zoomed(by, at)),
            SiteAct::Zoom(by, None) => self.set_site_view(self.site.view.zoomed_at_centre(by)),
            SiteAct::Down(pointer, target) => self.site_down(pointer, target),
            SiteAct::Move(pointer) => self.site_moves(pointer),
            SiteAct::Up(pointer) => self.site_up(pointer),
            SiteAct::Lost(id) => self.site_lost(id),
            SiteAct::DoubleClick(target) => self.site_double_click(target),
            SiteAct::Take(part, dragged) => {
                self.let_go_of_site();
                if part.is_some() && !dragged {
                    self.note(Change::FocusOn(FocusOn::Site));
                }
                self.site.hand = part.map(|part| InHand {
                    part,
                    over: None,
                    refused: None,
                    dragged,
                });
                // A keyboard that is in use stays where it is.
                let is_unused = !self.site.shows_cursor;
                self.hold_where_it_goes(is_unused);
                self.site.tool = SiteTool::Choose;
                self.note_site();
            }
            SiteAct::Hang(part, face) => self.hang(&part, face),
            SiteAct::Lead(wire, via) => self.lead(&wire, via),
            SiteAct::TakeBend(wire) => {
                self.turn_to(Drawing::Site);
                self.take_bend(&wire);
                self.note(Change::FocusOn(FocusOn::Site));
            }
        }
    }

    pub(in crate::editor) fn turn_to(&mut self, to: Drawing) {
        if self.site.drawing == to {
            return;
        }
        self.let_go();
        self.cancel_gesture();
        self.set_carry(None);
        self.let_go_of_site();
        self.site.drawing = to;
        self.note(Change::Drawing);
        self.keep_in_site();
        // What is chosen is to be seen there, too.
        let chosen = self.selection.clone();
        let parts: Vec<_> = chosen.parts.into_iter().collect();
        let wires: Vec<_> = chosen.wires.into_iter().collect();
        match to {
            Drawing::Site => {
                let plan = self.plan();
                let hangs = parts.iter().find_map(|id| plan.part(id)?.hangs);
                let end = |id| plan.part(&plan.wire(id)?.from.part)?.hangs;
                if let Some(face) = hangs.or_else(|| wires.iter().find_map(end)) {
                    self.show_cell(face.cell());
                }
                self.note(Change::FocusOn(FocusOn::Site));
            }
            Drawing::Board => {
                if let Some(rect) = parts.first().and_then(|id| self.geometry.rect(id)) {
                    self.reveal(rect);
                }
            }
        }
    }

    /// Holds the part in hand over no place yet. `leads`: the keyboard goes to the first face of the storey that takes it, where
    /// it is on none that does.
    fn hold_where_it_goes(&mut self, leads: bool) {
        let plan = self.plan().clone();
        let storey = self.site.storey;
        let Some(hand) = self.site.hand.as_mut() else {
            return;
        };
        (hand.over, hand.refused) = (None, None);
        let Some((part, site)) = plan.part(&hand.part).zip(plan.site.as_deref()) else {
            return;
        };
        let goes = |face: &Face| face.storey == storey && plan.unfit(part, *face).is_none();
        let cursor = &mut self.site.cursor;
        let is_on_one = site
            .faces()
            .any(|face| goes(&face) && (face.x, face.y) == (cursor.x, cursor.y));
        if let Some(face) = site.faces().find(goes).filter(|_| leads && !is_on_one) {
            (cursor.x, cursor.y, cursor.surface) = (face.x, face.y, face.surface);
        }
    }

    pub(super) fn set_storey(&mut self, at: u8) {
        let count = self.plan().site.as_ref().map_or(0, |s| s.storeys.len());
        if usize::from(at) < count && self.site.storey != at {
            self.site.cursor.from = None;
            self.site.marks.clear();
            self.site.storey = at;
            // Whoever turns there by keyboard stays in its cell.
            self.hold_where_it_goes(false);
            self.note_site();
        }
    }

    pub(super) fn set_site_tool(&mut self, tool: SiteTool) {
        let hand = self.site.hand.as_ref().map(|hand| hand.part.clone());
        if let Some(part) = hand.filter(|_| tool != SiteTool::Choose) {
            let name = self.plan().called(&part);
            self.say(format!("{name} is not in hand any more: now you draw."));
        }
        self.let_go_of_site();
        if tool.is_of_sides() && !self.site.cursor.surface.is_wall() {
            self.site.cursor.surface = Surface::North;
        }
        if self.site.tool != tool {
            self.site.tool = tool;
            self.note_site();
        }
    }

    fn resize_site(&mut self, width: f64, height: f64) {
        let is_whole = self.site.view == self.whole_site();
        let is_first = !std::mem::replace(&mut self.site.is_measured, true);
        let view = View {
            width,
            height,
            ..self.site.view
        };
        self.set_site_view(view);
        if is_first || is_whole {
            self.set_site_view(self.whole_site());
        }
    }
}
