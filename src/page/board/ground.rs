//! The ground under the board: the paper is a window that scrolls over a wide sheet, on which all that is drawn stands in
//! one layer.
//!
//! Moving the view scrolls, which a browser does without laying out or painting anything anew; a transform would lay out
//! every text again. Only another scale, or a way farther than the sheet reaches, puts the layer at another place of it.
//! Where the browser scrolls by itself, to bring what has the keyboard into view, the view follows. Pixels of the screen
//! unless said otherwise.

use crate::editor::layout::MODULE;
use crate::editor::scene::Detail;
use crate::editor::{Message, View};
use crate::page::store::Store;
use leptos::html::Div;
use leptos::prelude::*;

/// Half a side of the sheet; style/board.css says the same.
const HALF: f64 = 12_000.0;

/// What stands in the middle of the sheet, and how large.
#[derive(Clone, Copy, Debug, PartialEq)]
struct Anchor {
    /// Pixels of the board.
    x: f64,
    y: f64,
    zoom: f64,
}

/// The ground. Cheap to copy.
#[derive(Clone, Copy)]
pub struct Ground {
    store: Store,
    paper: NodeRef<Div>,
    anchor: RwSignal<Anchor>,
    /// How far the paper was scrolled by the view.
    scrolled: StoredValue<(i32, i32)>,
}

impl Ground {
    /// The ground under `paper`; follows the view from now on.
    pub fn new(store: Store, paper: NodeRef<Div>) -> Ground {
        let ground = Ground {
            store,
            paper,
            anchor: RwSignal::new(Anchor {
                x: 0.0,
                y: 0.0,
                zoom: 1.0,
            }),
            scrolled: StoredValue::new((0, 0)),
        };
        let view = store.view();
        Effect::new(move |_| ground.follow(view.get()));
        ground
    }

    fn follow(self, view: View) {
        let Some(paper) = self.paper.get() else {
            return;
        };
        let mut anchor = self.anchor.get_untracked();
        let at = |anchor: Anchor| {
            let of = |a: f64, from: f64| (HALF + (a - from) * view.zoom).round();
            (of(view.x, anchor.x), of(view.y, anchor.y))
        };
        let is_on = |(x, y): (f64, f64)| {
            let on = |from: f64, long: f64| from >= 0.0 && from + long <= 2.0 * HALF;
            on(x, view.width) && on(y, view.height)
        };
        if anchor.zoom != view.zoom || !is_on(at(anchor)) {
            anchor = Anchor {
                x: view.x,
                y: view.y,
                zoom: view.zoom,
            };
            self.anchor.set(anchor);
        }
        let (x, y) = at(anchor);
        let to = (x as i32, y as i32);
        // Where the paper stands is known: to ask it would have it laid out first.
        if self.scrolled.get_value() != to {
            self.scrolled.set_value(to);
            paper.set_scroll_left(to.0);
            paper.set_scroll_top(to.1);
        }
    }

    /// The paper was scrolled, perhaps by the browser.
    pub fn has_scrolled(self) {
        let Some(paper) = self.paper.get_untracked() else {
            return;
        };
        let now = (paper.scroll_left(), paper.scroll_top());
        if now != self.scrolled.get_value() {
            let anchor = self.anchor.get_untracked();
            let at = |now: i32, from: f64| from + (f64::from(now) - HALF) / anchor.zoom;
            let place = (at(now.0, anchor.x), at(now.1, anchor.y));
            self.store.dispatch(Message::Look(place));
        }
    }

    /// Where the squares of the paper lie: the module, and every fifth line heavier. The fine ones go away when seen from
    /// afar, and from very far even every fifth line would make the paper grey.
    pub fn squares(self) -> String {
        let Anchor { x, y, zoom } = self.anchor.get();
        let fine = if zoom >= 0.6 { MODULE * zoom } else { 0.0 };
        let heavy = if zoom >= 0.35 { 5.0 } else { 25.0 } * MODULE * zoom;
        let (x, y) = (HALF - x * zoom, HALF - y * zoom);
        format!("--fine:{fine}px;--heavy:{heavy}px;background-position:{x}px {y}px")
    }

    /// Where the layer is put, and how large; and from how far it is drawn, for the style sheet.
    pub fn placed(self) -> String {
        let Anchor { x, y, zoom } = self.anchor.get();
        let (x, y) = (HALF - x * zoom, HALF - y * zoom);
        let scale = Detail::at(zoom).scale();
        format!("--far:{scale};transform:translate({x}px,{y}px) scale({zoom})")
    }
}
