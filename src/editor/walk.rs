//! Following the document's walk: the state of a step is shown in the document's place, at the step's moment and with what
//! it lights up.
//!
//! The document stays as it is, to the last field: whatever would change it is refused with a sentence that says what to do.
//! What a step asks is the page's. Moments in milliseconds since midnight of day 1, places in pixels of the board.

use super::drawn::NAMES;
use super::message::{Drawing, SiteTool};
use super::view::{Point, Rect, TOOLS, View, around, within};
use super::{Change, Editor, Selection, SiteAct, WalkAct, layout};
use crate::plan::{Part, PartId, Plan, Route, Walk, WalkStep, WireId};
use crate::quantity::Ms;
use std::collections::BTreeMap;
use std::sync::Arc;

/// What is said to whoever would change the document meanwhile.
const REFUSED: &str = "You are following a walk: “Go on from here” makes a copy that you can change, “Close” leads back to the plan.";
/// What is said to whoever would turn to the site meanwhile.
const NO_SITE: &str = "A walk is shown on the board. Close it to see the site.";

/// Where somebody is in the walk.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct WalkPlace {
    /// The place of the step that is shown, from 0.
    pub step: usize,
    /// How many steps there are.
    pub of: usize,
}

/// How the walk is followed.
#[derive(Clone, Debug)]
pub(super) struct Following {
    route: Route,
    /// The state, with a place for every part.
    shown: Arc<Plan>,
    /// Where parts stand that the walk gives no place.
    places: BTreeMap<PartId, Point>,
    /// The moment and the view of before, which come back afterwards.
    moment: Ms,
    view: View,
    /// What the view was fitted to last, and the view by that; it is not fitted again where somebody has moved it.
    fitted: Option<(Rect, View)>,
}

impl Following {
    /// At the bare board.
    fn new(plan: &Plan, walk: &Walk, moment: Ms, view: View) -> Following {
        let places = plan.parts.iter();
        let places = places.filter_map(|part| Some((part.id.clone(), part.at?)));
        let route = Route::of(walk);
        Following {
            shown: Arc::new(route.plan().clone()),
            places: places.collect(),
            route,
            moment,
            view,
            fitted: None,
        }
    }

    /// The state.
    pub fn shown(&self) -> &Arc<Plan> {
        &self.shown
    }

    fn count(&self) -> usize {
        self.route.steps().len()
    }

    fn place(&self) -> WalkPlace {
        WalkPlace {
            step: self.route.done().saturating_sub(1),
            of: self.count(),
        }
    }

    /// Goes to the step of this place, or as near as steps can be applied.
    fn go_to(&mut self, step: usize) {
        self.route.go_to(step.saturating_add(1).min(self.count()));
        let mut plan = self.route.plan().clone();
        let unplaced = |part: &&mut Part| part.at.is_none();
        for part in plan.parts.iter_mut().filter(unplaced) {
            part.at = self.places.get(&part.id).copied();
        }
        layout::give_places(&mut plan);
        for part in &plan.parts {
            if let Some(at) = part.at {
                self.places.entry(part.id.clone()).or_insert(at);
            }
        }
        self.shown = Arc::new(plan);
    }

    /// The moment that the step shows.
    fn at(&self) -> Ms {
        let day = self.shown.world.day_ms();
        self.route.at().map_or(self.moment, |at| at.ms(day))
    }

    /// The rectangle around the cards of all states; gone through once.
    fn all_cards(&mut self) -> Option<Rect> {
        let here = self.place().step;
        let mut all = None;
        for step in 0..self.count() {
            self.go_to(step);
            let cards = self.shown.parts.iter();
            let cards = around(cards.map(|part| layout::rect(&self.shown, part)));
            all = around(all.into_iter().chain(cards));
        }
        self.go_to(here);
        all
    }
}

impl Editor {
    /// Where somebody is in the walk; none while nobody follows it.
    pub fn walk_place(&self) -> Option<WalkPlace> {
        self.document.following().map(Following::place)
    }

    /// The step that is shown.
    pub fn walk_step(&self) -> Option<&WalkStep> {
        self.document.following()?.route.step()
    }

    /// Whether the step that is shown lights up this part.
    pub(super) fn is_part_lit(&self, id: &PartId) -> bool {
        self.walk_step()
            .is_some_and(|step| step.lit.parts.contains(id))
    }

    /// Whether the step that is shown lights up this wire.
    pub(super) fn is_wire_lit(&self, id: &WireId) -> bool {
        self.walk_step()
            .is_some_and(|step| step.lit.wires.contains(id))
    }

    /// Whether a walk is followed, so that the document is not to be changed; that is said.
    pub(super) fn refuses_in_walk(&mut self) -> bool {
        let refuses = self.walk_place().is_some();
        if refuses {
            self.say(REFUSED.into());
        }
        refuses
    }

    /// Whether an act on the site is refused because a walk is followed; that is said.
    pub(super) fn is_refused_on_site(&mut self, act: &SiteAct) -> bool {
        let is_free = match act {
            SiteAct::Turn(to) => *to == Drawing::Board,
            SiteAct::Tool(tool) => *tool == SiteTool::Choose,
            SiteAct::Take(part, _) => part.is_none(),
            SiteAct::Hang(..) | SiteAct::Lead(..) | SiteAct::TakeBend(_) => false,
            _ => true,
        };
        let refuses = !is_free && self.walk_place().is_some();
        if refuses {
            let says = match act {
                SiteAct::Turn(_) => NO_SITE,
                _ => REFUSED,
            };
            self.say(says.into());
        }
        refuses
    }

    pub(super) fn walk_act(&mut self, act: WalkAct) {
        let here = self.walk_place();
        match (act, here) {
            (WalkAct::Begin(step), None) => self.begin_walk(step),
            (WalkAct::Begin(step) | WalkAct::GoTo(step), Some(_)) => self.go_in_walk(step),
            (WalkAct::Forward, Some(at)) if at.step + 1 < at.of => self.go_in_walk(at.step + 1),
            (WalkAct::Backward, Some(at)) if at.step > 0 => self.go_in_walk(at.step - 1),
            (WalkAct::End, Some(_)) => self.end_walk(),
            _ => {}
        }
    }

    fn begin_walk(&mut self, step: usize) {
        let walk = self.plan().walk.clone();
        let Some(walk) = walk.filter(|walk| !walk.steps.is_empty()) else {
            return self.say("This plan has no walk.".into());
        };
        self.end_preview();
        self.cancel_gesture();
        self.let_go();
        self.let_go_of_site();
        self.set_carry(None);
        self.rename(None);
        self.tidying = None;
        self.turn_to(Drawing::Board);
        self.select(Selection::default());
        let before = self.board().clone();
        let mut following = Following::new(self.plan(), &walk, self.moment(), self.view);
        let all = following.all_cards();
        following.go_to(step);
        self.document.follow(following);
        self.show_step(&before);
        // Where names can be read so, all states are in the view from the beginning, which then need not move.
        let room = all.map(|all| (all, self.view.fitted(all).zoom));
        let first = match room {
            Some((all, zoom)) if zoom >= NAMES.0 => Some(all),
            _ => self.all_cards(),
        };
        if let Some(first) = first {
            self.fit_in_walk(first);
        }
    }

    fn go_in_walk(&mut self, step: usize) {
        let before = self.board().clone();
        let Some(following) = self.document.following_mut() else {
            return;
        };
        let was = following.place();
        following.go_to(step);
        let now = following.place();
        let wanted = step.min(now.of.saturating_sub(1));
        if now.step < wanted {
            let next = now.step + 2;
            self.say(format!(
                "Step {next} of this walk can't be shown: what it changes is not there."
            ));
        }
        if now == was {
            return;
        }
        self.show_step(&before);
        self.look_at_step(&before);
    }

    /// Shows the state in the place of what the board showed before.
    fn show_step(&mut self, before: &Arc<Plan>) {
        self.note(Change::Walk);
        let at = self.document.following().map(Following::at);
        if let Some(at) = at.filter(|at| *at != self.moment()) {
            self.moment.go_to(at);
            self.note(Change::Moment);
        }
        self.shows_anew(before);
    }

    /// Brings the state before the eyes. A view that somebody has moved follows only what the step is about.
    fn look_at_step(&mut self, before: &Plan) {
        let fitted = self.document.following().and_then(|f| f.fitted);
        let is_ours = fitted.is_some_and(|(_, view)| view == self.view);
        if is_ours || self.is_recorded {
            let tools = if self.is_recorded { 0.0 } else { TOOLS };
            let (x, y, wide, high) = self.view.window();
            let free = (x, y, wide, high - tools / self.view.zoom);
            if let Some(all) = self.all_cards().filter(|all| !within(*all, free)) {
                self.fit_in_walk(all);
            }
            return;
        }
        let lit = self.walk_step().map(|step| step.lit.clone());
        let lit = lit.unwrap_or_default();
        let board = self.board().clone();
        let is_new = |part: &&Part| before.part(&part.id).is_none();
        let new = board
            .parts
            .iter()
            .filter(is_new)
            .map(|part| part.id.clone());
        let ends = lit.wires.iter().filter_map(|id| board.wire(id));
        let ends = ends.flat_map(|wire| [wire.from.part.clone(), wire.to.part.clone()]);
        let about: Vec<PartId> = match lit.is_empty() {
            true => new.collect(),
            false => lit.parts.iter().cloned().chain(ends).collect(),
        };
        let place = around(about.iter().filter_map(|id| self.geometry.rect(id)));
        if let Some(place) = place.filter(|place| !within(*place, self.view.window())) {
            self.set_view(self.view.showing(place));
        }
    }

    /// Shows all of `rect`, and notes that nobody has moved the view since.
    pub(super) fn fit_in_walk(&mut self, rect: Rect) {
        let view = match self.is_recorded {
            true => self.view.filling(rect),
            false => self.view.fitted(rect),
        };
        self.set_view(view);
        if let Some(following) = self.document.following_mut() {
            following.fitted = Some((rect, view));
        }
    }

    /// The window has another size: what was fitted to it is again. Answers whether anything was.
    pub(super) fn resize_in_walk(&mut self, view: View) -> bool {
        let fitted = self.document.following().and_then(|f| f.fitted);
        let Some((rect, _)) = fitted.filter(|(_, fitted)| *fitted == self.view) else {
            return false;
        };
        self.view = view;
        self.note(Change::View);
        self.fit_in_walk(rect);
        true
    }

    fn end_walk(&mut self) {
        let before = self.board().clone();
        let Some(following) = self.document.follow_no_more() else {
            return;
        };
        self.note(Change::Walk);
        if following.moment != self.moment() {
            self.moment.go_to(following.moment);
            self.note(Change::Moment);
        }
        self.shows_anew(&before);
        match self.is_recorded {
            true => self.fit(),
            false => self.set_view(View {
                width: self.view.width,
                height: self.view.height,
                ..following.view
            }),
        }
    }
}
