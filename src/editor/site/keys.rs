//! The keys of the site: arrows go from cell to cell, Enter acts there, letters choose what is drawn with.

use super::{Cursor, SiteState};
use crate::editor::{Drawing, Editor, Key, Selection, SiteAct, SiteTool, Target};
use crate::plan::{Edit, PartId};
use crate::sheet::site::places::cell_rect;
use crate::sheet::site::said;
use crate::site::{Edge, Face, Fitting, Ground, Surface};

/// How much one press of plus or minus zooms.
const ZOOM_STEP: (f64, f64) = (1.25, 0.8);

/// Letters and what they draw with.
pub(super) const TOOLS: [(&str, SiteTool); 10] = [
    ("c", SiteTool::Choose),
    ("g", SiteTool::Ground(Ground::Ground)),
    ("l", SiteTool::Ground(Ground::Floor)),
    ("r", SiteTool::Ground(Ground::Roof)),
    ("a", SiteTool::Ground(Ground::Air)),
    ("w", SiteTool::Edge(Edge::Wall)),
    ("d", SiteTool::Edge(Edge::Door)),
    ("h", SiteTool::Fitting(Fitting::Hatch)),
    ("i", SiteTool::Fitting(Fitting::Stairs)),
    ("u", SiteTool::Fitting(Fitting::Furniture)),
];

impl SiteTool {
    /// The letter that chooses it, if one does.
    pub fn key(self) -> Option<&'static str> {
        let known = TOOLS.iter().find(|(_, tool)| *tool == self);
        known.map(|(key, _)| *key)
    }
}

impl SiteState {
    /// The face that the keyboard is on.
    fn face(&self) -> Face {
        Face::new(
            self.storey,
            self.cursor.x,
            self.cursor.y,
            self.cursor.surface,
        )
    }
}

impl Editor {
    /// Does what a key means on the site; whether it means anything.
    pub(in crate::editor) fn site_key(&mut self, key: &Key, on: &Target) -> bool {
        let name = key.key.as_str();
        match name {
            "?" => self.set_help(true),
            "s" | "S" => self.turn_to(Drawing::Board),
            "f" | "F" => self.set_site_view(self.whole_site()),
            "+" | "=" => self.set_site_view(self.site.view.zoomed_at_centre(ZOOM_STEP.0)),
            "-" | "−" => self.set_site_view(self.site.view.zoomed_at_centre(ZOOM_STEP.1)),
            "Escape" => self.escape_on_site(),
            _ if *on == Target::Elsewhere || self.plan().site.is_none() => return false,
            "PageUp" => self.set_storey(self.site.storey.saturating_add(1)),
            "PageDown" => self.set_storey(self.site.storey.saturating_sub(1)),
            "Enter" => self.enter_on_site(),
            " " => self.turn_surface(),
            "Delete" | "Backspace" => self.take_chosen_off(),
            _ => return self.step_on_site(key) || self.tool_by_key(name),
        }
        true
    }

    fn tool_by_key(&mut self, name: &str) -> bool {
        let lower = name.to_ascii_lowercase();
        let tool = TOOLS.iter().find(|(key, _)| *key == lower);
        if let Some((_, tool)) = tool {
            self.set_site_tool(*tool);
        }
        tool.is_some()
    }

    fn escape_on_site(&mut self) {
        let site = &self.site;
        let holds = site.hand.is_some()
            || site.leading.is_some()
            || site.cursor.from.is_some()
            || !site.marks.is_empty();
        if holds {
            self.let_go_of_site();
        } else if self.site.tool != SiteTool::Choose {
            self.set_site_tool(SiteTool::Choose);
        } else {
            self.select(Selection::default());
        }
    }

    /// Goes a cell on; with Shift the stretch goes along.
    fn step_on_site(&mut self, key: &Key) -> bool {
        let (dx, dy): (i8, i8) = match key.key.as_str() {
            "ArrowLeft" => (-1, 0),
            "ArrowRight" => (1, 0),
            "ArrowUp" => (0, -1),
            "ArrowDown" => (0, 1),
            _ => return false,
        };
        let Some(site) = self.plan().site.clone() else {
            return false;
        };
        let before = (self.site.cursor.x, self.site.cursor.y);
        let draws = self.site.tool != SiteTool::Choose;
        // The first press only shows where the keyboard is.
        if self.site.shows_cursor {
            let to = |at: u8, by: i8, end: u8| at.saturating_add_signed(by).min(end - 1);
            self.site.cursor.x = to(before.0, dx, site.width);
            self.site.cursor.y = to(before.1, dy, site.depth);
        }
        self.site.shows_cursor = true;
        self.site.cursor.from = match key.shift && draws {
            true => Some(self.site.cursor.from.unwrap_or(before)),
            false => None,
        };
        if self.site.hand.is_some() || self.site.bend_in_hand().is_some() {
            self.site.cursor.surface = self.surface_for_hand();
        }
        self.after_step();
        true
    }

    /// What follows from another place of the keyboard.
    fn after_step(&mut self) {
        let stretch = match self.site.cursor.from {
            Some(_) => self.site.stretch(self.plan()),
            None => None,
        };
        self.site.marks = stretch.map(|stroke| stroke.patches).unwrap_or_default();
        let (plan, face) = (self.plan().clone(), self.site.face());
        if let Some(hand) = &mut self.site.hand {
            let part = plan.part(&hand.part);
            hand.refused = part.and_then(|part| said::refused(&plan, part, Some(face)));
            hand.over = hand.refused.is_none().then_some(face);
        }
        if let Some(bend) = self.site.leading.as_mut().filter(|bend| bend.is_in_hand()) {
            let site = plan.site.as_deref();
            bend.over = site.is_some_and(|site| site.has(face)).then_some(face);
        }
        let rect = cell_rect(self.site.cursor.x, self.site.cursor.y);
        self.set_site_view(self.site.view.revealing(rect));
        self.note_site();
    }

    /// The first surface of the cell that takes what is in hand; the one that was meant before where none does.
    fn surface_for_hand(&self) -> Surface {
        self.surfaces()
            .first()
            .copied()
            .unwrap_or(self.site.cursor.surface)
    }

    /// The surfaces of the cell that can be meant: those that take the part in hand, all for a bend in hand, the sides for
    /// what is drawn along sides, and those with a part on them elsewhere.
    fn surfaces(&self) -> Vec<Surface> {
        let (plan, site) = (self.plan(), &self.site);
        if site.tool.is_of_sides() {
            return Surface::WALLS.to_vec();
        }
        let at = |surface| Face::new(site.storey, site.cursor.x, site.cursor.y, surface);
        let hand = site.hand.as_ref().and_then(|hand| plan.part(&hand.part));
        if site.bend_in_hand().is_some() {
            let ground = plan.site.as_deref();
            let is_there =
                |surface: &Surface| ground.is_some_and(|ground| ground.has(at(*surface)));
            return Surface::ALL.into_iter().filter(is_there).collect();
        }
        let is_meant = |surface: &Surface| match hand {
            Some(part) => said::refused(plan, part, Some(at(*surface))).is_none(),
            None => plan.parts.iter().any(|p| p.hangs == Some(at(*surface))),
        };
        Surface::ALL.into_iter().filter(is_meant).collect()
    }

    /// Goes to the next surface of the cell that can be meant.
    fn turn_surface(&mut self) {
        let surfaces = self.surfaces();
        let now = surfaces.iter().position(|s| *s == self.site.cursor.surface);
        let next = now.map_or(0, |at| (at + 1) % surfaces.len().max(1));
        if let Some(surface) = surfaces.get(next) {
            self.site.cursor.surface = *surface;
        }
        self.site.shows_cursor = true;
        self.after_step();
    }

    fn enter_on_site(&mut self) {
        if !self.site.shows_cursor {
            self.site.shows_cursor = true;
            return self.after_step();
        }
        if self.site.hand.is_some() {
            self.hang_in_hand();
        } else if self.site.bend_in_hand().is_some() {
            self.put_bend();
        } else if self.site.tool == SiteTool::Choose {
            self.choose_at_cursor();
        } else if let Some(stroke) = self.site.stretch(self.plan()) {
            self.site.cursor.from = None;
            self.site.marks.clear();
            self.note_site();
            self.draw_on_site(stroke);
        }
    }

    /// Chooses the next part that hangs in the cell; takes it in hand where it is chosen already and alone there.
    fn choose_at_cursor(&mut self) {
        let cell = self.site.face().cell();
        let plan = self.plan();
        let here = plan.parts.iter().filter_map(|part| {
            let face = part.hangs.filter(|face| face.cell() == cell)?;
            Some((part.id.clone(), face.surface))
        });
        let here: Vec<(PartId, Surface)> = here.collect();
        let chosen = here
            .iter()
            .position(|(id, _)| self.selection == Selection::part(id));
        let next = match chosen {
            Some(at) if here.len() == 1 => {
                let part = here[at].0.clone();
                return self.site_act(SiteAct::Take(Some(part), false));
            }
            Some(at) => here.get((at + 1) % here.len()),
            None => here.first(),
        };
        match next.cloned() {
            Some((id, surface)) => {
                self.site.cursor.surface = surface;
                self.select(Selection::part(&id));
                self.note_site();
            }
            None => self.select(Selection::default()),
        }
    }

    /// Takes the chosen parts off their places.
    fn take_chosen_off(&mut self) {
        let plan = self.plan();
        let hangs = |id: &&PartId| plan.part(id).is_some_and(|part| part.hangs.is_some());
        let chosen: Vec<PartId> = self.selection.parts.iter().filter(hangs).cloned().collect();
        match chosen.as_slice() {
            [] => {}
            [one] => self.hang(one, None),
            all => {
                let count = all.len();
                let edits = all.iter().map(|id| Edit::Hang(id.clone(), None));
                if self.commit(
                    &format!("take {count} parts off their places"),
                    edits.collect(),
                ) {
                    self.say(format!("{count} parts lie among those without a place."));
                }
            }
        }
    }

    /// What is in hand, and what is to be done with it; why a part can't hang where it is held. None where nothing is.
    pub fn hand_said(&self) -> Option<String> {
        let plan = self.plan();
        let deed = self.site.cursor().and_then(|cursor| self.deed_said(cursor));
        let deed = deed.map_or_else(String::new, |deed| format!(" {deed}"));
        if let Some(bend) = self.site.bend_in_hand() {
            let number = plan.wire_place(&bend.wire)? + 1;
            return Some(format!(
                "A bend of wire {number} in hand: choose the place that it is to run over.{deed}"
            ));
        }
        let hand = self.site.hand.as_ref()?;
        let part = plan.part(&hand.part)?;
        let (name, goes) = (plan.called(&hand.part), plan.mount_of(part).said());
        let site = plan.site.as_deref()?;
        let takes = |face: Face| plan.unfit(part, face).is_none();
        let is_here = |face: &Face| face.storey == self.site.storey;
        let elsewhere = match site.faces().any(|face| is_here(&face) && takes(face)) {
            true => String::new(),
            false => match site.faces().find(|face| takes(*face)) {
                Some(face) => format!(
                    " Nothing in this storey takes it: turn to the storey {}.",
                    said::storey(site, face.storey)
                ),
                None => " Nothing on this site takes it yet: draw such a place first.".into(),
            },
        };
        Some(match &hand.refused {
            Some(why) => format!("{why}{elsewhere}"),
            None => format!("{name} in hand: it goes {goes}.{elsewhere}{deed}"),
        })
    }

    /// What Enter does at the keyboard's place, as a sentence; none where it does nothing that is worth one.
    fn deed_said(&self, cursor: Cursor) -> Option<String> {
        let on = said::surface(cursor.surface);
        if let Some(hand) = &self.site.hand {
            let name = self.plan().called(&hand.part);
            let hangs = || format!("Enter hangs {name} {on}.");
            return Some(hand.refused.clone().unwrap_or_else(hangs));
        }
        if let Some(bend) = self.site.bend_in_hand() {
            return Some(match bend.over {
                Some(_) => {
                    format!("Enter leads the wire {on}; Space turns to another surface.")
                }
                None => "No wire can run here.".into(),
            });
        }
        let is_of_sides = self.site.tool.is_of_sides();
        is_of_sides.then(|| format!("Enter draws in the {}.", cursor.surface.word()))
    }

    /// Where the keyboard is, for who can't see it: the cell with all that is there, and what Enter does there.
    pub fn cursor_said(&self) -> Option<String> {
        let (plan, cursor) = (self.plan(), self.site.cursor()?);
        let site = plan.site.as_deref()?;
        let cell = said::cell(plan, site, (self.site.storey, cursor.x, cursor.y));
        Some(match self.deed_said(cursor) {
            Some(deed) => format!("{cell}. {deed}"),
            None => cell,
        })
    }
}
