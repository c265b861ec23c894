//! Tidying: new places for the parts of a plan, in columns from left to right along the feed, with few crossings, compact.
//!
//! Pixels of the board; all places are on its module. A layout suits a screen, wide or upright. The way is the layered one of Sugiyama, Tagawa and Toda (1981):
//! wires that close a loop are set aside, parts are put into columns, columns into an order, and orders onto heights. Each
//! island, which is what hangs together by wires, is laid out by itself and folded into rows where it is longer than a
//! screen is wide; islands are then set on shelves. Of an island of not too many wires the courses are found as the board
//! will draw them, and orders are changed for as long as that makes fewer of them cross. The same plan gives the same places. Nothing here fails; it takes any
//! plan, also one of loops only. Wires that lead from row to row are led between the rows; the others find their courses by
//! themselves.
//!
//! Why no crate: `rust-sugiyama` 0.4 runs out of a stack of 1 MB on a chain of 2,000 parts, walks over hashed maps, and knows
//! neither ports nor rows; `dagre` 0.1 does not compile without its JSON, and neither it nor `layout-rs` 0.1 folds.

mod columns;
mod graph;
mod heights;
mod island;
mod measure;
mod order;

use super::area::Box;
use super::card::{self, MODULE};
use crate::plan::{PartId, Plan, WireId};
use graph::Graph;
use serde::{Deserialize, Serialize};
use std::collections::BTreeSet;

/// The least room between two cards above each other.
const GAP_DOWN: f64 = 24.0;
/// The least and the most room between two columns of cards, where wires run and their numbers stand.
const GAP_ACROSS: (f64, f64) = (64.0, 88.0);
/// Between two rows, and between two islands.
const GAP_ROWS: f64 = 48.0;

/// The screen that a layout is to suit.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
pub enum Screen {
    /// One on a desk.
    #[default]
    Wide,
    /// One held upright in a hand.
    Upright,
}

impl Screen {
    /// What it shows at a scale at which names can be read, in pixels of the board: a window onto the board of about
    /// 960 by 540 pixels of the screen, or of 390 by 600, less margins and tools.
    const fn room(self) -> (f64, f64) {
        match self {
            Screen::Wide => (1696.0, 944.0),
            Screen::Upright => (904.0, 1272.0),
        }
    }

    /// At which scale it shows an outline, where 1 is the least at which names can be read.
    fn scale(self, (w, h): (f64, f64)) -> f64 {
        let (wide, high) = self.room();
        (wide / w.max(1.0)).min(high / h.max(1.0))
    }
}

/// Places and ways found for the chosen parts, from a corner that is still to be chosen. Parts and wires go by their
/// numbers in the plan.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
pub struct LaidOut {
    places: Vec<(usize, (f64, f64))>,
    bends: Vec<(usize, Vec<(f64, f64)>)>,
}

/// A new layout.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Tidied {
    /// Where each chosen part comes to stand, in the plan's order.
    pub places: Vec<(PartId, (f64, f64))>,
    /// Through which places each wire between chosen parts is led, in the plan's order.
    pub bends: Vec<(WireId, Vec<(f64, f64)>)>,
}

/// Lays out the parts of `chosen` that are in the plan for a wide screen. Their top left corner stays where it was and, where there is a
/// place not far from it, no chosen card covers one that was not chosen.
pub fn tidy(plan: &Plan, chosen: &BTreeSet<PartId>) -> Tidied {
    lay_out(plan, chosen, Screen::Wide).settle(plan, chosen)
}

/// Finds places for the parts of `chosen`: the work of it. Of the plan it looks at types, counts of ports and wires only.
pub fn lay_out(plan: &Plan, chosen: &BTreeSet<PartId>, screen: Screen) -> LaidOut {
    let is_chosen = |id: &PartId| chosen.contains(id);
    let at: Vec<usize> = (0..plan.parts.len())
        .filter(|i| is_chosen(&plan.parts[*i].id))
        .collect();
    let islands = Graph::islands(plan, &at);
    let laid: Vec<(Vec<usize>, island::Layout)> = islands
        .into_iter()
        .map(|graph| {
            let layout = island::lay_out(&graph, screen);
            (graph.parts, layout)
        })
        .collect();
    let sizes: Vec<(f64, f64)> = laid.iter().map(|(_, l)| l.size).collect();
    let corners = shelves(&sizes, screen);
    let mut places = vec![(0.0, 0.0); plan.parts.len()];
    let mut bends = vec![Vec::new(); plan.wires.len()];
    for ((parts, layout), corner) in laid.iter().zip(corners) {
        for (part, place) in parts.iter().zip(&layout.places) {
            places[*part] = (corner.0 + place.0, corner.1 + place.1);
        }
        for (wire, at) in &layout.bends {
            bends[*wire].push((corner.0 + at.0, corner.1 + at.1));
        }
    }
    let among = plan.wires.iter().zip(bends).enumerate();
    let among = among.filter(|(_, (w, _))| is_chosen(&w.from.part) && is_chosen(&w.to.part));
    LaidOut {
        places: at.iter().map(|i| (*i, places[*i])).collect(),
        bends: among.map(|(i, (_, bends))| (i, bends)).collect(),
    }
}

impl LaidOut {
    /// The layout where it is to stand. `plan` and `chosen` are those that were laid out, but for places, bends and names.
    pub fn settle(&self, plan: &Plan, chosen: &BTreeSet<PartId>) -> Tidied {
        let corner = clear_corner(plan, &self.places, chosen);
        let moved = |(x, y): &(f64, f64)| (corner.0 + x, corner.1 + y);
        let place = |(i, at): &(usize, _)| Some((plan.parts.get(*i)?.id.clone(), moved(at)));
        let way = |(i, bends): &(usize, Vec<_>)| {
            let wire = plan.wires.get(*i)?;
            Some((wire.id.clone(), bends.iter().map(moved).collect()))
        };
        Tidied {
            places: self.places.iter().filter_map(place).collect(),
            bends: self.bends.iter().filter_map(way).collect(),
        }
    }
}

/// How tall the card of the `i`th part is.
fn tall(plan: &Plan, i: usize) -> f64 {
    let kind = plan.parts.get(i).and_then(|part| plan.kind_of(part));
    card::height(&kind.map(|t| t.ports()).unwrap_or_default())
}

/// Top left corners for rectangles of these sizes: on shelves, the tall ones first, as wide as suits the screen best.
fn shelves(sizes: &[(f64, f64)], screen: Screen) -> Vec<(f64, f64)> {
    let mut order: Vec<usize> = (0..sizes.len()).collect();
    order.sort_by(|a, b| sizes[*b].1.total_cmp(&sizes[*a].1).then(a.cmp(b)));
    let put = |width: f64| {
        let mut corners = vec![(0.0, 0.0); sizes.len()];
        let (mut x, mut y, mut high, mut wide) = (0.0, 0.0, 0.0f64, 0.0f64);
        for i in &order {
            let (w, h) = sizes[*i];
            if x > 0.0 && x + w > width {
                (x, y, high) = (0.0, y + high + GAP_ROWS, 0.0);
            }
            corners[*i] = (x, y);
            wide = wide.max(x + w);
            high = high.max(h);
            x += w + GAP_ACROSS.1;
        }
        (screen.scale((wide, y + high)), corners)
    };
    let widest = sizes.iter().map(|s| s.0).fold(screen.room().0, f64::max);
    let mut best = put(widest);
    for step in 1..24 {
        let tried = put(widest * 1.2f64.powi(step));
        if tried.0 > best.0 {
            best = tried;
        }
    }
    best.1
}

/// Where the top left corner of what is laid out comes to stand.
fn clear_corner(
    plan: &Plan,
    places: &[(usize, (f64, f64))],
    chosen: &BTreeSet<PartId>,
) -> (f64, f64) {
    let snap = |v: f64| (v / MODULE).round() * MODULE;
    let stood = places.iter().filter_map(|(i, _)| plan.parts.get(*i)?.at);
    let corner = stood.reduce(|a, b| (a.0.min(b.0), a.1.min(b.1)));
    let corner = corner.map_or((0.0, 0.0), |(x, y)| (snap(x), snap(y)));
    let card = |i: usize, (x, y): (f64, f64)| Box {
        x,
        y,
        w: card::WIDTH,
        h: tall(plan, i),
    };
    let mut others = super::spatial::Spatial::default();
    for (i, part) in plan.parts.iter().enumerate() {
        if let (false, Some(at)) = (chosen.contains(&part.id), part.at) {
            others.put(&i, card(i, at));
        }
    }
    let cards: Vec<Box> = places.iter().map(|(i, at)| card(*i, *at)).collect();
    let is_clear = |(x, y): (f64, f64)| {
        cards.iter().all(|c| {
            let wide = Box {
                x: c.x + x - GAP_DOWN + 1.0,
                y: c.y + y - GAP_DOWN + 1.0,
                w: c.w + 2.0 * GAP_DOWN - 2.0,
                h: c.h + 2.0 * GAP_DOWN - 2.0,
            };
            others.touching(&wide).is_empty()
        })
    };
    if others.iter().next().is_none() {
        return corner;
    }
    for ring in 0..60 {
        for (dx, dy) in [(0, 1), (1, 0), (1, 1), (0, -1), (-1, 0), (-1, 1)] {
            let step = |d: i32| f64::from(d * ring) * 3.0 * MODULE;
            let place = (corner.0 + step(dx), corner.1 + step(dy));
            if is_clear(place) {
                return place;
            }
        }
    }
    corner
}
