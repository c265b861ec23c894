//! A plan in its site: the run of every wire, and what does not go there.
//!
//! A wire runs between the faces on which its two parts hang, over those that it is led over by hand. Runs are kept from
//! one state of the plan to the next: only those of which something changed are looked for again. Lengths in
//! millimetres.

use super::site_problem::SiteProblem;
use crate::gather::Gather;
use crate::plan::{Part, PartId, Plan, Reach, Unfit, Wire, WireId};
use crate::site::{Face, Priorities, Route, Router, run_said};
use serde::{Deserialize, Serialize};
use std::collections::BTreeMap;
use std::sync::Arc;

/// A wire in the site.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct SiteRun {
    /// Its number in the cable schedule, from 1.
    pub number: usize,
    /// Its run; none where one of its parts has no place yet, or there is no way.
    pub route: Option<Route>,
    /// The longest run that its parts' types allow, in millimetres, where they say.
    pub most_mm: Option<u64>,
    /// Who can touch it somewhere on its run; only the builders where nobody else can.
    pub reach: Reach,
    ends: Option<[Face; 2]>,
    via: Vec<Face>,
}

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
#[derive(Clone, Debug)]
pub struct OnSite {
    router: Router,
    runs: BTreeMap<WireId, SiteRun>,
    lanes: BTreeMap<(WireId, usize), i32>,
    problems: Vec<SiteProblem>,
    /// What is known from before, and the wires whose runs are there, while not all are.
    before: BTreeMap<WireId, SiteRun>,
    done: usize,
}

impl OnSite {
    /// The plan in its site; none where it has no site.
    pub fn of(plan: &Plan) -> Option<OnSite> {
        let mut on_site = OnSite::begin(None, plan)?;
        while on_site.go_on(plan) {}
        Some(on_site)
    }

    /// Begins to work a plan out, with what of an earlier state still holds; [`OnSite::go_on`] does the work, run by run.
    pub fn begin(before: Option<OnSite>, plan: &Plan) -> Option<OnSite> {
        let site = plan.site.as_ref()?;
        let is_same = |before: &OnSite| {
            Arc::ptr_eq(site, before.router.site()) || site == before.router.site()
        };
        Some(match before.filter(is_same) {
            Some(mut kept) => {
                let mut before = std::mem::take(&mut kept.runs);
                before.append(&mut kept.before);
                OnSite {
                    before,
                    done: 0,
                    ..kept
                }
            }
            None => OnSite {
                router: Router::new(site.clone()),
                runs: BTreeMap::new(),
                lanes: BTreeMap::new(),
                problems: Vec::new(),
                before: BTreeMap::new(),
                done: 0,
            },
        })
    }

    /// Finds the run of the next wire of the plan that it was begun with; whether there is more to do. What is asked of it
    /// before that is of an earlier state in parts.
    pub fn go_on(&mut self, plan: &Plan) -> bool {
        if let Some(wire) = plan.wires.get(self.done) {
            let kept = self.before.remove(&wire.id);
            let run = self.run(plan, self.done, wire, kept);
            self.runs.insert(wire.id.clone(), run);
            self.done += 1;
            return true;
        }
        self.before.clear();
        self.lanes = self.lanes_of(plan);
        self.problems = self.problems_of(plan);
        false
    }

    fn run(&self, plan: &Plan, at: usize, wire: &Wire, kept: Option<SiteRun>) -> SiteRun {
        let part = |id| plan.part(id);
        let (from, to) = (part(&wire.from.part), part(&wire.to.part));
        let face = |part: Option<&Part>| part.and_then(|part| part.hangs);
        let ends = face(from).zip(face(to)).map(|(from, to)| [from, to]);
        let most = |part: Option<&Part>| plan.kind_of(part?)?.max_run;
        let most = [most(from), most(to)].into_iter().flatten();
        let most = most.reduce(f64::min).map(|m| (m * 1000.0) as u64);
        let same = kept.filter(|kept| kept.ends == ends && kept.via == wire.via);
        let route = match same {
            Some(kept) => kept.route,
            None => ends.and_then(|[from, to]| self.router.route(from, &wire.via, to)),
        };
        let site = self.router.site();
        let faces = route.iter().flat_map(Route::faces);
        let reach = faces.filter_map(|face| site.who_touches(face)).max();
        SiteRun {
            number: at + 1,
            route,
            most_mm: most,
            reach: reach.unwrap_or(Reach::Builders),
            ends,
            via: wire.via.clone(),
        }
    }

    /// For each step of a run at which others run as well, how far to the side it is drawn: 0, 1, -1, 2, -2, … in the
    /// order of the wires' numbers.
    fn lanes_of(&self, plan: &Plan) -> BTreeMap<(WireId, usize), i32> {
        let mut on: BTreeMap<(Face, Face), Vec<(&WireId, usize)>> = BTreeMap::new();
        for wire in &plan.wires {
            let Some(route) = self.runs.get(&wire.id).and_then(|run| run.route.as_ref()) else {
                continue;
            };
            let mut from = route.from;
            for (step, leg) in route.legs.iter().enumerate() {
                let pair = (from.min(leg.to), from.max(leg.to));
                on.entry(pair).or_default().push((&wire.id, step));
                from = leg.to;
            }
        }
        let shared = on.into_values().filter(|wires| wires.len() > 1);
        let lanes = shared.flat_map(|wires| {
            let lane = |at: usize| {
                let away = at.div_ceil(2) as i32;
                if at % 2 == 1 { away } else { -away }
            };
            let placed = wires.into_iter().enumerate();
            placed.map(move |(at, (id, step))| ((id.clone(), step), lane(at)))
        });
        lanes.gather()
    }

    fn problems_of(&self, plan: &Plan) -> Vec<SiteProblem> {
        let mut problems = Vec::new();
        let mut taken: BTreeMap<Face, &PartId> = BTreeMap::new();
        for part in &plan.parts {
            let Some(face) = part.hangs else { continue };
            let unfit = plan.unfit(part, face).or_else(|| {
                let first = *taken.entry(face).or_insert(&part.id);
                (first != &part.id).then_some(Unfit::Taken)
            });
            match unfit {
                Some(why) => problems.push(SiteProblem::Misplaced(part.id.clone(), face, why)),
                None => problems.extend(super::view_of_sun::hidden(plan, part, face)),
            }
        }
        for wire in &plan.wires {
            let Some(run) = self.runs.get(&wire.id) else {
                continue;
            };
            match (&run.route, run.most_mm) {
                (None, _) if run.ends.is_some() => {
                    problems.push(SiteProblem::NoWay(wire.id.clone()))
                }
                (Some(route), Some(most)) if route.length_mm > most => {
                    problems.push(SiteProblem::LongRun(wire.id.clone(), route.length_mm, most));
                }
                _ => {}
            }
        }
        problems
    }

    /// What finds the runs.
    pub fn router(&self) -> &Router {
        &self.router
    }

    /// The wire in the site.
    pub fn run_of(&self, wire: &WireId) -> Option<&SiteRun> {
        self.runs.get(wire)
    }

    /// How far to the side a step of a wire's run is drawn, counted in wires; 0 where it runs alone.
    pub fn lane_of(&self, wire: &WireId, step: usize) -> i32 {
        let lane = self.lanes.get(&(wire.clone(), step));
        lane.copied().unwrap_or(0)
    }

    /// What does not go, in the order of parts and then of wires.
    pub fn problems(&self) -> &[SiteProblem] {
        &self.problems
    }

    /// The run of a wire in words; empty without one.
    pub fn said(&self, wire: &WireId) -> String {
        let route = self.runs.get(wire).and_then(|run| run.route.as_ref());
        route.map_or_else(String::new, |route| run_said(self.router.site(), route))
    }

    /// The length of all wires.
    pub fn length(&self) -> WireLength {
        let routes = || self.runs.values().map(|run| run.route.as_ref());
        WireLength {
            mm: routes().flatten().map(|route| route.length_mm).sum(),
            without: routes().filter(Option::is_none).count(),
        }
    }

    /// How a wire would run if nothing counted but to be hidden.
    pub fn hidden(&self, wire: &WireId) -> Option<Route> {
        let [from, to] = self.runs.get(wire)?.ends?;
        self.router.route_by(from, &[], to, Priorities::HIDDEN)
    }

    /// The faces over which to lead a wire by hand, so that it takes another run than its own: as few as do it. None where
    /// that takes more than a wire may have.
    pub fn via_for(&self, wanted: &Route) -> Option<Vec<Face>> {
        let to = wanted.faces().last()?;
        let faces: Vec<Face> = wanted.faces().collect();
        let mut via: Vec<Face> = Vec::new();
        loop {
            let found = self.router.route(wanted.from, &via, to)?;
            let parts = found.faces().zip(&faces).position(|(a, b)| a != *b);
            let Some(parts) = parts else {
                return Some(via);
            };
            // The next face of the wanted run that is not yet led over.
            let mut next = parts;
            if let Some(last) = via.last() {
                let led = faces.iter().position(|face| face == last).unwrap_or(0);
                next = next.max(led + 1);
            }
            if next + 1 >= faces.len() || via.len() >= crate::limits::SITE_BENDS {
                return None;
            }
            via.push(faces[next]);
        }
    }
}
