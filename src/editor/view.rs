//! Where the board looks: places in pixels of the board, sizes in pixels of the screen. It moves and measures only.

pub use crate::sheet::area::meet;

/// The height of the tools at the board's lower edge with what is free below them, in pixels of the screen.
pub const TOOLS: f64 = 60.0;

/// The smallest and the largest scale, in pixels of the screen to a pixel of the board.
pub const ZOOM: (f64, f64) = (0.02, 3.0);

/// The share of the window by which a step moves it.
const STEP: f64 = 0.8;

/// A place of the board or of the window: x to the right, y downwards.
pub type Point = (f64, f64);
/// A rectangle of the board: left, top, width, height.
pub type Rect = (f64, f64, f64, f64);

/// A side of the window beyond which something lies.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Beyond {
    /// To the left.
    Left,
    /// To the right.
    Right,
    /// Above.
    Above,
    /// Below.
    Below,
}

impl Beyond {
    /// All sides.
    pub const ALL: [Beyond; 4] = [Beyond::Left, Beyond::Right, Beyond::Above, Beyond::Below];

    /// Where it is, in words: `to the right`.
    pub fn said(self) -> &'static str {
        match self {
            Beyond::Left => "to the left",
            Beyond::Right => "to the right",
            Beyond::Above => "above",
            Beyond::Below => "below",
        }
    }
}

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
    pub fn to_board(self, (x, y): Point) -> Point {
        (self.x + x / self.zoom, self.y + y / self.zoom)
    }

    /// The place of the window over a place of the board.
    pub fn to_window(self, (x, y): Point) -> Point {
        ((x - self.x) * self.zoom, (y - self.y) * self.zoom)
    }

    /// The place of the board in the middle of the window.
    pub fn centre(self) -> Point {
        self.to_board((self.width / 2.0, self.height / 2.0))
    }

    /// The part of the board that the window shows.
    pub fn window(self) -> Rect {
        (
            self.x,
            self.y,
            self.width / self.zoom,
            self.height / self.zoom,
        )
    }

    /// The view at another scale, the board's place under `(x, y)` of the window staying there.
    pub fn zoomed(self, factor: f64, (x, y): Point) -> View {
        let zoom = (self.zoom * factor).clamp(ZOOM.0, ZOOM.1);
        let (bx, by) = self.to_board((x, y));
        View {
            x: bx - x / zoom,
            y: by - y / zoom,
            zoom,
            ..self
        }
    }

    /// The view at another scale around the middle of the window.
    pub fn zoomed_at_centre(self, factor: f64) -> View {
        self.zoomed(factor, (self.width / 2.0, self.height / 2.0))
    }

    /// The view moved so that `place` is in the middle.
    pub fn centred(self, (x, y): Point) -> View {
        View {
            x: x - self.width / 2.0 / self.zoom,
            y: y - self.height / 2.0 / self.zoom,
            ..self
        }
    }

    /// The scales at which `rect` takes the whole width, and the whole height above the tools, with a margin, a small one in
    /// a small window.
    fn scales(self, rect: Rect) -> (f64, f64) {
        let room = |size: f64| (size - 2.0 * margin(size)).max(40.0);
        let across = room(self.width) / rect.2.max(1.0);
        (across, room(self.height - TOOLS) / rect.3.max(1.0))
    }

    /// The view in which a plan is opened on a screen in the hand. Where names can't be read at the scale of the whole `rect`,
    /// it begins at its top left corner at a scale that shows all of it in one direction, within `names`: the scales between
    /// which names can be read, and at ease.
    pub fn opened(self, rect: Rect, names: (f64, f64)) -> View {
        let (across, down) = self.scales(rect);
        if across.min(down) >= names.0 {
            return self.fitted(rect);
        }
        let zoom = across.max(down).clamp(names.0, names.1);
        let from = |start: f64, size: f64, window: f64, is_whole: bool| match is_whole {
            true => start + (size - window / zoom) / 2.0,
            false => start - margin(window) / zoom,
        };
        View {
            x: from(rect.0, rect.2, self.width, across >= zoom),
            y: from(rect.1, rect.3, self.height - TOOLS, down >= zoom),
            zoom,
            ..self
        }
    }

    /// The view moved on to what lies beyond the window on a side, by most of the window, and no farther than to the end of
    /// `rect`.
    pub fn stepped(self, to: Beyond, rect: Rect) -> View {
        let (x, y, wide, high) = self.window();
        let margin = (
            margin(self.width) / self.zoom,
            margin(self.height) / self.zoom,
        );
        let high = high - TOOLS / self.zoom;
        let back = |from: f64, size: f64, low: f64| from - (size * STEP).min((from - low).max(0.0));
        let on = |from: f64, size: f64, most: f64| {
            from + (size * STEP).min((most - from - size).max(0.0))
        };
        let (x, y) = match to {
            Beyond::Left => (back(x, wide, rect.0 - margin.0), y),
            Beyond::Right => (on(x, wide, rect.0 + rect.2 + margin.0), y),
            Beyond::Above => (x, back(y, high, rect.1 - margin.1)),
            Beyond::Below => (x, on(y, high, rect.1 + rect.3 + margin.1)),
        };
        View { x, y, ..self }
    }

    /// On which side of the window above the tools a rectangle lies; nothing where its middle is in it.
    pub fn beyond(self, rect: Rect) -> Option<Beyond> {
        let (x, y, wide, high) = self.window();
        let high = high - TOOLS / self.zoom;
        let middle = (rect.0 + rect.2 / 2.0, rect.1 + rect.3 / 2.0);
        let sides = [
            (middle.0 < x, Beyond::Left),
            (middle.0 > x + wide, Beyond::Right),
            (middle.1 < y, Beyond::Above),
            (middle.1 > y + high, Beyond::Below),
        ];
        sides.into_iter().find_map(|(is, side)| is.then_some(side))
    }

    /// Whether a window of another size is this one with the screen turned, not one from which a pane takes room.
    pub fn is_turned(self, other: View) -> bool {
        let differs = |a: f64, b: f64| (a - b).abs() > 0.2 * a.max(b);
        differs(self.width, other.width) && differs(self.height, other.height)
    }

    /// The view of all of `rect` above the tools with a margin, at most at life size.
    pub fn fitted(self, rect: Rect) -> View {
        let (across, down) = self.scales(rect);
        let zoom = across.min(down).clamp(ZOOM.0, 1.0);
        let (x, y) = (rect.0 + rect.2 / 2.0, rect.1 + rect.3 / 2.0);
        View { zoom, ..self }.centred((x, y + TOOLS / 2.0 / zoom))
    }

    /// The view that `rect` fills, with a margin and no tools, at most at double life size.
    pub fn filling(self, rect: Rect) -> View {
        let scale = |size: f64, of: f64| (size - 48.0).max(1.0) / of.max(1.0);
        let zoom = scale(self.width, rect.2).min(scale(self.height, rect.3));
        let zoom = zoom.clamp(ZOOM.0, 2.0);
        let middle = (rect.0 + rect.2 / 2.0, rect.1 + rect.3 / 2.0);
        View { zoom, ..self }.centred(middle)
    }

    /// The view moved as little as shows all of `rect` with a margin around it.
    pub fn revealing(self, rect: Rect) -> View {
        let margin = 24.0 / self.zoom;
        let push = |low: f64, high: f64, from: f64, to: f64| {
            if low - margin < from {
                low - margin - from
            } else if high + margin > to {
                high + margin - to
            } else {
                0.0
            }
        };
        let (x, y, width, height) = self.window();
        View {
            x: x + push(rect.0, rect.0 + rect.2, x, x + width),
            y: y + push(rect.1, rect.1 + rect.3, y, y + height),
            ..self
        }
    }

    /// The view that brings `rect` before the eyes: moved no more than shows it where it fits, else fitted to it.
    pub fn showing(self, rect: Rect) -> View {
        if rect.2 * self.zoom < self.width * 0.9 && rect.3 * self.zoom < self.height * 0.9 {
            self.revealing(rect)
        } else {
            self.fitted(rect)
        }
    }
}

/// The room left at each end of a window of this size, in pixels of the screen.
fn margin(size: f64) -> f64 {
    (size * 0.04).clamp(12.0, 40.0)
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

/// Whether `inner` lies in `outer`.
pub fn within(inner: Rect, outer: Rect) -> bool {
    inner.0 >= outer.0
        && inner.1 >= outer.1
        && inner.0 + inner.2 <= outer.0 + outer.2
        && inner.1 + inner.3 <= outer.1 + outer.3
}

/// A rectangle as courses are asked about it.
pub fn as_box((x, y, w, h): Rect) -> crate::sheet::route::Box {
    crate::sheet::route::Box { x, y, w, h }
}

/// A rectangle larger by `by` on every side.
pub fn grown(rect: Rect, by: Point) -> Rect {
    (
        rect.0 - by.0,
        rect.1 - by.1,
        rect.2 + 2.0 * by.0,
        rect.3 + 2.0 * by.1,
    )
}

#[cfg(test)]
mod tests {
    use super::*;

    const VIEW: View = View {
        x: 100.0,
        y: 50.0,
        zoom: 0.5,
        width: 800.0,
        height: 600.0,
    };

    #[test]
    fn window_and_board_are_each_others_inverse() {
        assert_eq!(VIEW.to_board((10.0, 20.0)), (120.0, 90.0));
        assert_eq!(VIEW.to_window((120.0, 90.0)), (10.0, 20.0));
    }

    #[test]
    fn zooming_keeps_the_place_under_the_pointer() {
        let at = (200.0, 300.0);
        for factor in [0.01, 0.5, 1.7, 100.0] {
            let zoomed = VIEW.zoomed(factor, at);
            assert!(zoomed.zoom >= ZOOM.0 && zoomed.zoom <= ZOOM.1);
            let (a, b) = (VIEW.to_board(at), zoomed.to_board(at));
            assert!((a.0 - b.0).abs() < 1e-9 && (a.1 - b.1).abs() < 1e-9);
        }
    }

    #[test]
    fn fitting_shows_all_and_never_larger_than_life() {
        for rect in [(0.0, 0.0, 10.0, 10.0), (-500.0, 20.0, 4000.0, 300.0)] {
            let view = VIEW.fitted(rect);
            assert!(view.zoom <= 1.0);
            assert!(within(rect, view.window()));
        }
    }

    const HAND: View = View {
        x: 0.0,
        y: 0.0,
        zoom: 1.0,
        width: 390.0,
        height: 560.0,
    };
    const NAMES: (f64, f64) = (0.3, 0.6);

    #[test]
    fn in_the_hand_a_plan_opens_at_its_corner_as_near_as_names_can_be_read() {
        // So wide that all of its height is shown, and no nearer than at ease.
        for (rect, zoom) in [
            ((100.0, 50.0, 1600.0, 800.0), 0.57),
            ((100.0, 50.0, 1600.0, 200.0), 0.6),
            ((100.0, 50.0, 9000.0, 9000.0), 0.3),
            ((100.0, 50.0, 900.0, 9000.0), 0.39),
        ] {
            let view = HAND.opened(rect, NAMES);
            assert!((view.zoom - zoom).abs() < 0.03, "{rect:?}: {}", view.zoom);
            let corner = view.to_window((rect.0, rect.1));
            assert!(
                (0.0..200.0).contains(&corner.0) && (0.0..200.0).contains(&corner.1),
                "{corner:?}"
            );
        }
        let small = (0.0, 0.0, 900.0, 900.0);
        assert_eq!(
            HAND.opened(small, NAMES),
            HAND.fitted(small),
            "names can be read as it is"
        );
    }

    #[test]
    fn steps_lead_to_all_that_lies_beyond_and_no_farther() {
        let rect = (0.0, 0.0, 1600.0, 800.0);
        let first = HAND.opened(rect, NAMES);
        let (near, far) = ((0.0, 0.0, 176.0, 64.0), (1424.0, 0.0, 176.0, 64.0));
        assert_eq!(
            (first.beyond(near), first.beyond(far)),
            (None, Some(Beyond::Right))
        );
        let mut view = first;
        for _ in 0..9 {
            view = view.stepped(Beyond::Right, rect);
        }
        assert_eq!(
            (view.beyond(near), view.beyond(far)),
            (Some(Beyond::Left), None)
        );
        let (x, _, wide, _) = view.window();
        assert!(
            (x + wide - 1600.0) * view.zoom < 20.0,
            "no farther than to the end"
        );
        assert_eq!(view.stepped(Beyond::Right, rect), view);
        assert_eq!(first.stepped(Beyond::Left, rect).x, first.x);
    }

    #[test]
    fn revealing_moves_no_more_than_it_must() {
        let inside = (600.0, 400.0, 100.0, 100.0);
        assert_eq!(VIEW.revealing(inside), VIEW);
        let left = VIEW.revealing((0.0, 400.0, 50.0, 50.0));
        assert_eq!((left.x, left.y), (-48.0, 50.0));
    }
}
