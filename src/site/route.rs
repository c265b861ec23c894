//! The run of a wire: the shortest way over faces from one to another, by A* of the crate pathfinding.
//!
//! What counts is length, and beside it what the builder prefers ([`Priorities`]). Of equal ways the shorter one is taken,
//! and of those the one with fewer corners. A corner is where the wire changes its direction: in the middle of a face, or
//! where it folds from one face to the next.

use super::cell::Edge;
use super::face::{Face, Surface};
use super::place::Site;
use super::priorities::Priorities;
use super::sight::Exposure;
use super::steps::{FaceStep, Heading, Passage};
use pathfinding::num_traits::Zero;
use pathfinding::prelude::astar;
use serde::{Deserialize, Serialize};
use std::ops::Add;
use std::sync::Arc;

/// A step of a run.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Leg {
    /// The face that it comes to.
    pub to: Face,
    /// The direction in which it sets out.
    pub leaves: Heading,
    /// The direction in which it arrives.
    pub arrives: Heading,
    /// Its length in millimetres on the face that it leaves, and on the one that it comes to.
    pub mm: (u64, u64),
    /// What it goes through.
    pub passage: Passage,
}

/// A run.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Route {
    /// Where it begins.
    pub from: Face,
    /// Its steps.
    pub legs: Vec<Leg>,
    /// How long it is, in millimetres.
    pub length_mm: u64,
    /// How much of that is exposed, in millimetres.
    pub exposed_mm: u64,
    /// How many corners it has.
    pub corners: u64,
}

/// What a way costs: what counts, in hundredths of a millimetre; then its length and corners, where that is equal.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
struct Cost {
    counts: u64,
    mm: u64,
    corners: u64,
}

impl Add for Cost {
    type Output = Cost;
    fn add(self, other: Cost) -> Cost {
        Cost {
            counts: self.counts + other.counts,
            mm: self.mm + other.mm,
            corners: self.corners + other.corners,
        }
    }
}

impl Zero for Cost {
    fn zero() -> Cost {
        Cost {
            counts: 0,
            mm: 0,
            corners: 0,
        }
    }

    fn is_zero(&self) -> bool {
        *self == Cost::zero()
    }
}

/// Where a wire is while its way is looked for, and how it came there.
type State = (Face, Option<Heading>);

/// Finds runs in one site.
#[derive(Clone, Debug)]
pub struct Router {
    site: Arc<Site>,
    exposure: Exposure,
}

impl Router {
    /// A router; works out once what of the site is exposed.
    pub fn new(site: Arc<Site>) -> Router {
        let exposure = Exposure::of(&site);
        Router { site, exposure }
    }

    /// The site.
    pub fn site(&self) -> &Arc<Site> {
        &self.site
    }

    /// What of the site is exposed.
    pub fn exposure(&self) -> &Exposure {
        &self.exposure
    }

    /// The run from one face to another through others in their order, each piece by itself, by the site's priorities.
    /// None where there is no way.
    pub fn route(&self, from: Face, through: &[Face], to: Face) -> Option<Route> {
        self.route_by(from, through, to, self.site.priorities)
    }

    /// As [`Router::route`], by other priorities than the site's.
    pub fn route_by(
        &self,
        from: Face,
        through: &[Face],
        to: Face,
        by: Priorities,
    ) -> Option<Route> {
        if !self.site.has(from) {
            return None;
        }
        let mut legs: Vec<Leg> = Vec::new();
        let mut at: State = (from, None);
        for next in through.iter().chain([&to]) {
            let piece = self.piece(at, *next, by)?;
            let last = piece.last().map(|leg| (leg.to, Some(leg.arrives)));
            at = last.unwrap_or(at);
            legs.extend(piece);
        }
        Some(self.measured(from, legs))
    }

    fn piece(&self, at: State, to: Face, by: Priorities) -> Option<Vec<Leg>> {
        if !self.site.has(to) {
            return None;
        }
        let (cell, storey) = (self.site.cell_mm(), self.site.storey_mm());
        let least = |state: &State| {
            let mm = apart_mm(state.0, to, cell, storey);
            Cost {
                counts: 100 * mm,
                mm,
                corners: 0,
            }
        };
        let next = |state: &State| {
            let (face, came) = *state;
            let steps = self.site.steps_from(face).into_iter();
            steps.map(move |step| {
                let cost = self.cost(face, came, &step, by);
                ((step.to, Some(step.arrives)), cost)
            })
        };
        let (states, _) = astar(&at, next, least, |state| state.0 == to)?;
        let legs = states.windows(2).map(|pair| {
            let steps = self.site.steps_from(pair[0].0);
            // Two steps between the same faces that arrive alike differ in length at the most; the cheaper is meant.
            let same = steps
                .into_iter()
                .filter(|step| (step.to, Some(step.arrives)) == pair[1]);
            let step = same.min_by_key(|step| self.cost(pair[0].0, pair[0].1, step, by))?;
            Some(Leg {
                to: step.to,
                leaves: step.leaves,
                arrives: step.arrives,
                mm: (step.from_mm, step.to_mm),
                passage: step.passage,
            })
        });
        legs.collect()
    }

    fn cost(&self, from: Face, came: Option<Heading>, step: &FaceStep, by: Priorities) -> Cost {
        let more = |face: Face| {
            let hide = if self.exposure.is_exposed(face) {
                by.hide
            } else {
                0
            };
            let edges = if by.edges > 0 && is_open(&self.site, face) {
                by.edges
            } else {
                0
            };
            100 + u64::from(hide) + u64::from(edges)
        };
        let corners = corners(came, step.leaves, step.arrives);
        Cost {
            counts: step.from_mm * more(from)
                + step.to_mm * more(step.to)
                + corners * u64::from(by.corner_cm) * 1000,
            mm: step.from_mm + step.to_mm,
            corners,
        }
    }

    fn measured(&self, from: Face, legs: Vec<Leg>) -> Route {
        let mut route = Route {
            from,
            legs: Vec::new(),
            length_mm: 0,
            exposed_mm: 0,
            corners: 0,
        };
        let (mut at, mut came) = (from, None);
        for leg in &legs {
            let exposed = |face, mm| {
                if self.exposure.is_exposed(face) {
                    mm
                } else {
                    0
                }
            };
            route.length_mm += leg.mm.0 + leg.mm.1;
            route.exposed_mm += exposed(at, leg.mm.0) + exposed(leg.to, leg.mm.1);
            route.corners += corners(came, leg.leaves, leg.arrives);
            (at, came) = (leg.to, Some(leg.arrives));
        }
        Route { legs, ..route }
    }
}

impl Route {
    /// Every face of the run from its beginning.
    pub fn faces(&self) -> impl Iterator<Item = Face> + '_ {
        std::iter::once(self.from).chain(self.legs.iter().map(|leg| leg.to))
    }
}

/// How many corners a step adds: a turn before it, and a fold within it.
fn corners(came: Option<Heading>, leaves: Heading, arrives: Heading) -> u64 {
    u64::from(came.is_some_and(|came| came != leaves)) + u64::from(leaves != arrives)
}

/// Whether it is a floor or a ceiling with no wall on any side of its cell.
fn is_open(site: &Site, face: Face) -> bool {
    let Face { storey, x, y, .. } = face;
    matches!(face.surface, Surface::Floor | Surface::Ceiling)
        && Surface::WALLS
            .iter()
            .all(|wall| site.edge(storey, x, y, *wall) != Edge::Wall)
}

/// How far apart the middles of two faces are along the axes, in millimetres: no run is shorter.
fn apart_mm(a: Face, b: Face, cell: u64, storey: u64) -> u64 {
    // In halves of a cell and of a storey.
    let middle = |face: Face| {
        let (dx, dy) = face.surface.beside().unwrap_or_default();
        let height = match face.surface {
            Surface::Floor => 0,
            Surface::Ceiling => 2,
            _ => 1,
        };
        let half = |cells: u8, to: i8| 2 * i64::from(cells) + i64::from(to);
        [
            half(face.x, dx),
            half(face.y, dy),
            2 * i64::from(face.storey) + height,
        ]
    };
    let (a, b) = (middle(a), middle(b));
    let apart = |axis: usize| a[axis].abs_diff(b[axis]);
    (apart(0) + apart(1)) * (cell / 2) + apart(2) * (storey / 2)
}
