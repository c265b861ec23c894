//! Courses kept are the courses that are found from nothing, and little is found for little that changes.

use duskline::book::Side;
use duskline::plan::{PartId, WireId};
use duskline::sheet::courses::{Courses, Port, WireEnds};
use duskline::sheet::route::Box;
use std::collections::BTreeMap;

fn part(n: usize) -> PartId {
    PartId::from(format!("p{n}"))
}

fn wire(n: usize) -> WireId {
    WireId::from(format!("w{n}"))
}

fn card((x, y): (f64, f64)) -> Box {
    Box {
        x,
        y,
        w: 176.0,
        h: 64.0,
    }
}

/// A wire by the places of its parts.
fn ends(
    places: &BTreeMap<usize, (f64, f64)>,
    (a, b): (usize, usize),
    signal: bool,
) -> Option<WireEnds> {
    let ((ax, ay), (bx, by)) = (places.get(&a)?, places.get(&b)?);
    let (to, to_side) = if signal {
        ((bx + 88.0, by + 64.0), Side::Signal)
    } else {
        ((*bx, by + 32.0), Side::In)
    };
    Some(WireEnds {
        from: Port {
            part: part(a),
            at: (ax + 176.0, ay + 32.0),
        },
        to: Port {
            part: part(b),
            at: to,
        },
        to_side,
        lane: (a % 3) as i32 - 1,
        bends: if a.is_multiple_of(11) {
            vec![(ax + 240.0, ay - 80.0)]
        } else {
            Vec::new()
        },
    })
}

/// A board and what is kept for it.
#[derive(Default)]
struct Board {
    places: BTreeMap<usize, (f64, f64)>,
    wires: BTreeMap<usize, (usize, usize)>,
    kept: Courses,
}

impl Board {
    /// Parts in rows of 50, each wired to the next, every second also to the one below.
    fn base(parts: usize) -> Board {
        let mut board = Board::default();
        for n in 0..parts {
            let at = ((n % 50) as f64 * 240.0, (n / 50) as f64 * 120.0);
            board.place(n, at);
        }
        for n in 0..parts {
            if n + 1 < parts {
                board.join(n, (n, n + 1));
            }
            if n % 2 == 0 && n + 50 < parts {
                board.join(parts + n, (n, n + 50));
            }
        }
        board
    }

    fn place(&mut self, n: usize, at: (f64, f64)) {
        self.places.insert(n, at);
        self.kept.put_card(&part(n), card(at));
        let hanging: Vec<usize> = self
            .wires
            .iter()
            .filter(|w| w.1.0 == n || w.1.1 == n)
            .map(|w| *w.0)
            .collect();
        for w in hanging {
            self.put(w);
        }
    }

    fn put(&mut self, w: usize) {
        if let Some(ends) = self
            .wires
            .get(&w)
            .and_then(|of| ends(&self.places, *of, w % 5 == 0))
        {
            self.kept.put_wire(&wire(w), ends);
        }
    }

    fn join(&mut self, w: usize, of: (usize, usize)) {
        if self.places.contains_key(&of.0) && self.places.contains_key(&of.1) {
            self.wires.insert(w, of);
            self.put(w);
        }
    }

    fn cut(&mut self, w: usize) {
        self.wires.remove(&w);
        self.kept.remove_wire(&wire(w));
    }

    fn drop_part(&mut self, n: usize) {
        let hanging: Vec<usize> = self
            .wires
            .iter()
            .filter(|w| w.1.0 == n || w.1.1 == n)
            .map(|w| *w.0)
            .collect();
        for w in hanging {
            self.cut(w);
        }
        self.places.remove(&n);
        self.kept.remove_card(&part(n));
    }

    /// All found from nothing.
    fn fresh(&self) -> Courses {
        let mut fresh = Courses::new();
        for (w, of) in self.wires.iter().rev() {
            if let Some(ends) = ends(&self.places, *of, w % 5 == 0) {
                fresh.put_wire(&wire(*w), ends);
            }
        }
        for (n, at) in self.places.iter().rev() {
            fresh.put_card(&part(*n), card(*at));
        }
        fresh.settle();
        fresh
    }

    fn check(&self) {
        assert!(self.kept.is_settled());
        let (fresh, all) = (
            self.fresh(),
            Box {
                x: -1e6,
                y: -1e6,
                w: 2e6,
                h: 2e6,
            },
        );
        assert_eq!(self.kept.wires_in(&all).len(), self.wires.len());
        for w in self.wires.keys() {
            assert_eq!(
                self.kept.course(&wire(*w)),
                fresh.course(&wire(*w)),
                "wire {w}"
            );
            assert_eq!(self.kept.d(&wire(*w)), fresh.d(&wire(*w)));
        }
        assert_eq!(self.kept.bounds(), fresh.bounds());
        let view = Box {
            x: 500.0,
            y: 300.0,
            w: 900.0,
            h: 600.0,
        };
        assert_eq!(self.kept.wires_in(&view), fresh.wires_in(&view));
        assert_eq!(self.kept.cards_in(&view), fresh.cards_in(&view));
    }
}

#[test]
fn moving_one_card_finds_only_its_neighbourhood() {
    let mut board = Board::base(2000);
    board.kept.settle();
    let before = board.kept.routes_found();
    assert_eq!(before, board.wires.len() as u64);
    board.place(1025, (25.0 * 240.0 + 16.0, 20.0 * 120.0 + 24.0));
    let changed = board.kept.settle();
    let found = board.kept.routes_found() - before;
    assert!(found < 100, "{found}");
    assert!(!changed.is_empty() && changed.len() as u64 <= found);
    board.check();
    assert_eq!(board.kept.settle(), Vec::<WireId>::new());
}

#[test]
fn what_is_put_in_again_unchanged_costs_nothing() {
    let mut board = Board::base(100);
    board.kept.settle();
    let before = board.kept.routes_found();
    for (n, at) in board.places.clone() {
        board.place(n, at);
    }
    assert!(board.kept.is_settled());
    board.kept.settle();
    assert_eq!(board.kept.routes_found(), before);
}

#[test]
fn a_drag_finds_only_the_dragged_wires_and_the_rest_follows_at_its_end() {
    let mut board = Board::base(200);
    board.kept.settle();
    let before = board.kept.routes_found();
    for step in 1..=10 {
        board.place(75, (25.0 * 240.0 + 8.0 * f64::from(step), 130.0));
        board.kept.settle_only([&part(75)]);
    }
    let hanging = board
        .wires
        .values()
        .filter(|w| w.0 == 75 || w.1 == 75)
        .count() as u64;
    assert_eq!(board.kept.routes_found() - before, 10 * hanging);
    assert!(!board.kept.is_settled());
    board.kept.settle();
    board.check();
}

#[test]
fn pieces_begin_in_the_view_and_come_to_the_same() {
    let mut board = Board::base(400);
    let view = Box {
        x: 4000.0,
        y: 200.0,
        w: 800.0,
        h: 400.0,
    };
    let first = board.kept.settle_some(40, &view);
    assert_eq!(first.len(), 40);
    let wide = Box {
        x: view.x - 300.0,
        y: view.y - 300.0,
        w: view.w + 600.0,
        h: view.h + 600.0,
    };
    assert_eq!(board.kept.wires_in(&wide), first);
    while !board.kept.is_settled() {
        assert!(board.kept.settle_some(40, &view).len() <= 40);
    }
    board.check();
}

#[cfg(not(target_arch = "wasm32"))]
mod random {
    use super::*;
    use proptest::prelude::*;

    proptest! {
        #![proptest_config(ProptestConfig::with_cases(24))]

        #[test]
        fn kept_courses_are_the_courses_found_from_nothing(
            places in prop::collection::vec((0i32..400, 0i32..300), 400),
            joined in prop::collection::vec((0usize..400, 0usize..400), 300),
            steps in prop::collection::vec((0u8..6, 0usize..400, 0i32..400, 0i32..300), 60),
        ) {
            let px = |(x, y): (i32, i32)| (f64::from(x) * 8.0, f64::from(y) * 8.0);
            let mut board = Board::default();
            for (n, at) in places.into_iter().enumerate() {
                board.place(n, px(at));
            }
            for (w, of) in joined.into_iter().enumerate() {
                board.join(w, of);
            }
            for (what, n, x, y) in steps {
                match what {
                    0 | 1 => board.place(n, px((x, y))),
                    2 => board.drop_part(n),
                    3 => board.cut(n),
                    4 => board.join(300 + n, (n, x as usize)),
                    _ => {
                        board.kept.settle_only([&part(n)]);
                    }
                }
                if n % 7 == 0 {
                    board.kept.settle();
                }
            }
            board.kept.settle();
            board.check();
        }
    }
}
