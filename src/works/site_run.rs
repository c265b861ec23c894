//! The run of a wire in the plan's site. Plain data that travels from a worker.
//!
//! A wire runs between the faces on which its two parts hang, over those that it is led over by hand. Lengths in
//! millimetres.

use super::site_problem::SiteProblem;
use crate::plan::{Plan, Reach, Wire, WireId};
use crate::site::{Exposure, Face, Route};
use serde::{Deserialize, Serialize};
use std::collections::BTreeMap;

/// A wire in the site.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct SiteRun {
    /// Its number in the cable schedule, from 1.
    pub number: usize,
    /// Its run; none where one of its parts has no place yet, or there is no way.
    pub route: Option<Route>,
    /// The longest run that its parts' types allow, in millimetres, where they say.
    pub most_mm: Option<u64>,
    /// Who can touch it somewhere on its run; only the builders where nobody else can.
    pub reach: Reach,
    /// The faces on which its two parts hang, once both do.
    pub(super) ends: Option<[Face; 2]>,
    /// The faces that it is led over by hand.
    pub(super) via: Vec<Face>,
    /// For each step of its run how far to the side it is drawn, counted in wires; 0 where it runs alone.
    pub(super) lanes: Vec<i32>,
}

impl SiteRun {
    /// How far to the side a step of it is drawn, counted in wires; 0 where it runs alone.
    pub fn lane(&self, step: usize) -> i32 {
        self.lanes.get(step).copied().unwrap_or(0)
    }
}

impl SiteRun {
    /// The faces on which a wire's two parts hang, once both do.
    pub(super) fn ends_of(plan: &Plan, wire: &Wire) -> Option<[Face; 2]> {
        let face = |part| plan.part(part).and_then(|part| part.hangs);
        Some([face(&wire.from.part)?, face(&wire.to.part)?])
    }

    /// Whether it is the run of a wire of this plan, if the site is the same.
    pub(super) fn is_of(&self, plan: &Plan, wire: &Wire) -> bool {
        self.via == wire.via && self.ends == SiteRun::ends_of(plan, wire)
    }
}

/// What is found of a plan in its site: all but the site itself, which the plan has.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct FoundOnSite {
    /// What outsiders see and touch.
    pub(super) exposure: Exposure,
    /// The runs of all wires.
    pub(super) runs: BTreeMap<WireId, SiteRun>,
    /// What does not go, in the order of parts and then of wires.
    pub(super) problems: Vec<SiteProblem>,
}
