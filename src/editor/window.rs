//! The window onto the board: what it shows when a plan is opened or the window becomes another, what lies beyond it, and
//! the view's moves to that. It draws nothing.

use super::drawn::NAMES;
use super::view::{self, Beyond, Rect, View, around};
use super::{Change, Editor, layout};

impl Editor {
    pub(super) fn resize(&mut self, width: f64, height: f64) {
        let view = View {
            width,
            height,
            ..self.view
        };
        let is_first = !std::mem::replace(&mut self.is_measured, true);
        if self.resize_in_walk(view) {
            return;
        }
        // What is tried has a line of its own that takes room from the board: nothing moves under the hand for it.
        let is_fitted = self.preview().is_none() && self.view == self.whole_view();
        let is_turned = self.preview().is_none() && self.view.is_turned(view);
        let is_opened = is_first || !is_fitted && is_turned && self.view == self.opening_view();
        if is_fitted || is_opened {
            self.view = view;
            self.note(Change::View);
            self.set_view(match is_opened {
                true => self.opening_view(),
                false => self.whole_view(),
            });
        } else {
            self.make_room(view);
        }
    }

    /// What is chosen and in sight stays so where a pane takes room away; once it gives it back all stands as it did, unless
    /// somebody moved the view meanwhile.
    fn make_room(&mut self, view: View) {
        let before = self.before_pane.take();
        let before = before.filter(|(_, since)| *since == self.view);
        let before = before.map_or(self.view, |(before, _)| before);
        let back = View {
            x: before.x,
            y: before.y,
            ..view
        };
        // The tools cover the board's lower edge.
        let chosen = layout::around_all(self.board(), self.selection.parts.iter());
        let chosen = chosen.filter(|rect| view::meet(*rect, self.view.window()));
        let chosen = chosen.map(|(x, y, w, h)| (x, y, w, h + view::TOOLS / view.zoom));
        let since = chosen.map_or(back, |rect| back.revealing(rect));
        self.before_pane = Some((before, since));
        self.set_view(since);
    }

    /// Shows the whole plan.
    pub(super) fn fit(&mut self) {
        match self.all_cards().filter(|_| self.walk_place().is_some()) {
            Some(all) => self.fit_in_walk(all),
            None => self.set_view(self.whole_view()),
        }
    }

    /// Goes on to what lies beyond the window on a side.
    pub(super) fn step(&mut self, to: Beyond) {
        if let Some(all) = self.all_cards() {
            self.set_view(self.view.stepped(to, all));
        }
    }

    /// The rectangle around all cards.
    pub(super) fn all_cards(&self) -> Option<Rect> {
        around(self.cards())
    }

    fn cards(&self) -> impl Iterator<Item = Rect> {
        let parts = self.board().parts.iter();
        parts.filter_map(|p| self.geometry.rect(&p.id))
    }

    /// The view of the whole plan in the window as it is.
    fn whole_view(&self) -> View {
        match self.is_recorded {
            true => self.view_of_all(View::filling),
            false => self.view_of_all(View::fitted),
        }
    }

    /// The view in which a plan is opened: the whole, or on a screen in the hand its beginning where names can be read.
    pub(super) fn opening_view(&self) -> View {
        if !self.is_held {
            return self.whole_view();
        }
        let view = self.view_of_all(|view, all| view.opened(all, NAMES));
        // The corner may be bare: then what is nearest to it.
        let is_bare = self.cards().all(|card| view.beyond(card).is_some());
        let from_corner = |card: &Rect| card.0 + card.1;
        let first = self
            .cards()
            .min_by(|a, b| from_corner(a).total_cmp(&from_corner(b)));
        match first.filter(|_| is_bare) {
            Some(first) => view.revealing(first),
            None => view,
        }
    }

    fn view_of_all(&self, of: impl FnOnce(View, Rect) -> View) -> View {
        match self.all_cards() {
            Some(all) => of(self.view, all),
            // In the hand some parts of a first circuit have room beside each other.
            None => View {
                x: 0.0,
                y: 0.0,
                zoom: if self.is_held { NAMES.1 } else { 1.0 },
                ..self.view
            },
        }
    }

    /// How many cards lie beyond each side of the window on a screen in the hand; elsewhere none is counted.
    pub fn beyond(&self) -> Vec<(Beyond, usize)> {
        if !self.is_held {
            return Vec::new();
        }
        let sides: Vec<Beyond> = self
            .cards()
            .filter_map(|card| self.view.beyond(card))
            .collect();
        let count = |side: Beyond| (side, sides.iter().filter(|s| **s == side).count());
        let counted = Beyond::ALL.into_iter().map(count);
        counted.filter(|(_, count)| *count > 0).collect()
    }

    /// Moves the view as little as shows all of `rect`.
    pub(super) fn reveal(&mut self, rect: Rect) {
        self.set_view(self.view.revealing(rect));
    }

    pub(super) fn set_view(&mut self, view: View) {
        if self.view != view {
            self.view = view;
            self.note(Change::View);
            self.look();
        }
    }
}
