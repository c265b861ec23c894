//! A plan in its site: the run of every wire, and what does not go there.
//!
//! [`SiteSearch`] finds the runs, here or in a worker. Lengths in millimetres.

use super::site_problem::SiteProblem;
use super::site_run::{FoundOnSite, SiteRun};
use super::site_search::SiteSearch;
use crate::plan::{Plan, WireId};
use crate::site::{Exposure, Site, run_said};
use serde::{Deserialize, Serialize};
use std::collections::BTreeMap;
use std::sync::Arc;

/// How much wire a plan takes.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
pub struct WireLength {
    /// All runs together, in millimetres.
    pub mm: u64,
    /// How many wires have no run yet, of which nothing is known.
    pub without: usize,
}

impl WireLength {
    /// The same in metres.
    pub fn metres(self) -> f64 {
        self.mm as f64 / 1000.0
    }
}

/// A plan in its site.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct OnSite {
    site: Arc<Site>,
    found: FoundOnSite,
}

impl OnSite {
    /// The plan in its site; none where it has no site.
    pub fn of(plan: &Plan) -> Option<OnSite> {
        let mut search = SiteSearch::new(plan, BTreeMap::new())?;
        while search.go() {}
        OnSite::found(plan, search.finish())
    }

    /// What was found of this plan; none where it has no site.
    pub fn found(plan: &Plan, found: FoundOnSite) -> Option<OnSite> {
        let site = plan.site.clone()?;
        Some(OnSite { site, found })
    }

    /// The runs that a plan has as well: those between the same faces of the same site.
    pub fn still_known(&self, plan: &Plan) -> BTreeMap<WireId, SiteRun> {
        let is_same = |site| Arc::ptr_eq(site, &self.site) || *site == self.site;
        if !plan.site.as_ref().is_some_and(is_same) {
            return BTreeMap::new();
        }
        let runs = plan.wires.iter().filter_map(|wire| {
            let run = self.found.runs.get(&wire.id)?;
            run.is_of(plan, wire)
                .then(|| (wire.id.clone(), run.clone()))
        });
        runs.collect()
    }

    /// What of the site is exposed.
    pub fn exposure(&self) -> &Exposure {
        &self.found.exposure
    }

    /// The wire in the site.
    pub fn run_of(&self, wire: &WireId) -> Option<&SiteRun> {
        self.found.runs.get(wire)
    }

    /// What does not go, in the order of parts and then of wires.
    pub fn problems(&self) -> &[SiteProblem] {
        &self.found.problems
    }

    /// The run of a wire in words; empty without one.
    pub fn said(&self, wire: &WireId) -> String {
        let route = self.run_of(wire).and_then(|run| run.route.as_ref());
        route.map_or_else(String::new, |route| run_said(&self.site, route))
    }

    /// The length of all wires.
    pub fn length(&self) -> WireLength {
        let routes = || self.found.runs.values().map(|run| run.route.as_ref());
        WireLength {
            mm: routes().flatten().map(|route| route.length_mm).sum(),
            without: routes().filter(Option::is_none).count(),
        }
    }
}
