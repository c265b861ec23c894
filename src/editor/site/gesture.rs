//! Pointers on the site as a state machine. A press becomes a gesture once it has moved by four pixels; two fingers always
//! move and zoom the paper.

use super::paint::side_at;
use super::{Bend, InHand, Leading};
use crate::editor::view::{Point, View};
use crate::editor::{Change, Editor, Pointer, Selection, SiteTarget, SiteTool};
use crate::plan::{PartId, WireId};
use crate::sheet::site::places::nearest_cell;
use crate::site::Surface;

/// How far the pointer goes before a press is a gesture, in pixels of the screen.
const THRESHOLD: f64 = 4.0;

/// What the pointers do on the site.
#[derive(Clone, Debug)]
pub(super) enum SiteGesture {
    /// Nothing.
    None,
    /// Pressed on something at this place of the window, and not moved yet.
    Press(SiteTarget, Point),
    /// The paper is moved, from this place of the window and this view.
    Pan(Point, View),
    /// Cells or sides are drawn, from this place of the drawing.
    Paint(Point),
    /// A part is dragged.
    Carry,
    /// A bend is dragged that was on such a surface before.
    Lead(Surface),
    /// Two fingers: their distance and middle at the start, and the view then.
    Pinch(f64, Point, View),
}

impl Editor {
    /// The distance and the middle of two fingers.
    fn site_pair(&self) -> Option<(f64, Point)> {
        let mut all = self.site.down.values();
        let (a, b) = (all.next()?, all.next()?);
        let apart = (a.0 - b.0).hypot(a.1 - b.1).max(1.0);
        Some((apart, ((a.0 + b.0) / 2.0, (a.1 + b.1) / 2.0)))
    }

    pub(super) fn site_down(&mut self, pointer: Pointer, target: SiteTarget) {
        if pointer.primary {
            self.site.down.clear();
        }
        self.site.down.insert(pointer.id, pointer.at);
        if self.site.shows_cursor {
            self.site.shows_cursor = false;
            self.note_site();
        }
        if self.site.down.len() == 2
            && let Some((apart, middle)) = self.site_pair()
        {
            let hand = self.site.hand.take().filter(|hand| !hand.dragged);
            let bend = self.site.leading.take_if(|leading| leading.is_in_hand());
            self.let_go_of_site();
            (self.site.hand, self.site.leading) = (hand, bend);
            self.site.gesture = SiteGesture::Pinch(apart, middle, self.site.view);
            return;
        }
        self.site.gesture = SiteGesture::Press(target, pointer.at);
    }

    pub(super) fn site_moves(&mut self, pointer: Pointer) {
        self.aim_hand(pointer.at);
        let Some(place) = self.site.down.get_mut(&pointer.id) else {
            return;
        };
        *place = pointer.at;
        if let SiteGesture::Press(target, at) = &self.site.gesture {
            if (pointer.at.0 - at.0).hypot(pointer.at.1 - at.1) < THRESHOLD {
                return;
            }
            let (target, at) = (target.clone(), *at);
            self.note(Change::Capture(pointer.id));
            self.site.gesture = self.begin_on_site(target, at);
        }
        self.go_on_on_site(pointer.at);
    }

    fn aim_hand(&mut self, at: Point) {
        let (plan, storey) = (self.plan().clone(), self.site.storey);
        let here = self.site.view.to_board(at);
        if let Some(hand) = &mut self.site.hand {
            let before = hand.clone();
            hand.aim(&plan, storey, here);
            if *hand != before {
                self.note_site();
            }
        }
        if let Some(bend) = self.site.leading.as_mut().filter(|bend| bend.is_in_hand()) {
            let before = bend.over;
            bend.aim(&plan, storey, here, Surface::Floor);
            if bend.over != before {
                self.note_site();
            }
        }
    }

    fn begin_on_site(&mut self, target: SiteTarget, start: Point) -> SiteGesture {
        if self.site.tool != SiteTool::Choose {
            return SiteGesture::Paint(self.site.view.to_board(start));
        }
        if self.site.hand.is_some() || self.site.bend_in_hand().is_some() {
            return SiteGesture::Pan(start, self.site.view);
        }
        match target {
            SiteTarget::Part(part) => self.carry_on_site(part),
            SiteTarget::Run(wire, at) => self.begin_leading(wire, Bend::Drawn(at), start),
            SiteTarget::Bend(wire, at) => self.begin_leading(wire, Bend::Moved(at), start),
            SiteTarget::Paper => SiteGesture::Pan(start, self.site.view),
        }
    }

    fn carry_on_site(&mut self, part: PartId) -> SiteGesture {
        self.select(Selection::part(&part));
        self.site.hand = Some(InHand {
            part,
            over: None,
            refused: None,
            dragged: true,
        });
        SiteGesture::Carry
    }

    fn begin_leading(&mut self, wire: WireId, bend: Bend, start: Point) -> SiteGesture {
        let plan = self.plan().clone();
        let Some(led) = plan.wire(&wire) else {
            return SiteGesture::Pan(start, self.site.view);
        };
        self.select(Selection::wire(&wire));
        let near = match bend {
            Bend::Moved(at) | Bend::Drawn(at) => led.via.get(at),
            Bend::InHand(_) => None,
        };
        let before = near.map_or(Surface::Floor, |face| face.surface);
        self.site.leading = Some(Leading {
            wire,
            over: None,
            via: led.via.clone(),
            bend,
        });
        SiteGesture::Lead(before)
    }

    fn go_on_on_site(&mut self, at: Point) {
        let here = self.site.view.to_board(at);
        match self.site.gesture.clone() {
            SiteGesture::Pan(start, view) => self.set_site_view(View {
                x: view.x - (at.0 - start.0) / view.zoom,
                y: view.y - (at.1 - start.1) / view.zoom,
                ..self.site.view
            }),
            SiteGesture::Paint(start) => {
                if let Some(stroke) = self.stroke(start, here)
                    && self.site.marks != stroke.patches
                {
                    self.site.marks = stroke.patches;
                    self.note_site();
                }
            }
            SiteGesture::Carry => self.aim_hand(at),
            SiteGesture::Lead(before) => {
                let (plan, storey) = (self.plan().clone(), self.site.storey);
                if let Some(leading) = &mut self.site.leading {
                    leading.aim(&plan, storey, here, before);
                    self.note_site();
                }
            }
            SiteGesture::Pinch(apart, middle, view) => {
                if let Some((now_apart, now)) = self.site_pair() {
                    let zoomed = view.zoomed(now_apart / apart, middle);
                    self.set_site_view(View {
                        x: zoomed.x - (now.0 - middle.0) / zoomed.zoom,
                        y: zoomed.y - (now.1 - middle.1) / zoomed.zoom,
                        ..zoomed
                    });
                }
            }
            SiteGesture::None | SiteGesture::Press(..) => {}
        }
    }

    /// What is drawn from one place of the drawing to another.
    fn stroke(&self, from: Point, to: Point) -> Option<super::paint::Stroke> {
        let site = self.plan().site.as_deref()?;
        let (tool, storey) = (self.site.tool, self.site.storey);
        let end = nearest_cell(site, to);
        Some(match tool.is_of_sides() {
            true => tool.along(site, storey, side_at(site, from), end),
            false => tool.over(site, storey, nearest_cell(site, from), end),
        })
    }

    pub(super) fn site_up(&mut self, pointer: Pointer) {
        let held = self.site.down.remove(&pointer.id).is_some();
        let gesture = std::mem::replace(&mut self.site.gesture, SiteGesture::None);
        let is_still = matches!(gesture, SiteGesture::Press(..) | SiteGesture::Carry);
        // A part that is dragged from a list comes without having gone down here.
        if self.site.hand.is_some() && (is_still || !held) {
            self.aim_hand(pointer.at);
            return self.hang_in_hand();
        }
        if !held {
            return;
        }
        if is_still && self.site.bend_in_hand().is_some() {
            self.aim_hand(pointer.at);
            return self.put_bend();
        }
        let here = self.site.view.to_board(pointer.at);
        match gesture {
            SiteGesture::Press(target, _) => self.site_click(target, here),
            SiteGesture::Paint(start) => {
                self.site.marks.clear();
                self.note_site();
                if let Some(stroke) = self.stroke(start, here) {
                    self.draw_on_site(stroke);
                }
            }
            SiteGesture::Lead(_) => {
                self.put_bend();
                self.let_go_of_site();
            }
            _ => {}
        }
    }

    fn site_click(&mut self, target: SiteTarget, here: Point) {
        if self.site.tool != SiteTool::Choose {
            if let Some(stroke) = self.stroke(here, here) {
                self.draw_on_site(stroke);
            }
            return;
        }
        match target {
            SiteTarget::Part(part) => self.select(Selection::part(&part)),
            SiteTarget::Run(wire, _) | SiteTarget::Bend(wire, _) => {
                self.select(Selection::wire(&wire));
            }
            SiteTarget::Paper => self.select(Selection::default()),
        }
    }

    pub(super) fn site_lost(&mut self, id: i32) {
        if self.site.down.remove(&id).is_some() {
            self.let_go_of_site();
        }
    }

    pub(super) fn site_double_click(&mut self, target: SiteTarget) {
        if let SiteTarget::Bend(wire, index) = target {
            self.take_bend_off(&wire, index);
        }
    }
}
