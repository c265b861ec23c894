//! Finds the runs of a plan's wires in its site, one after the other, so that whoever waits can be heard in between.

use super::site_problem::SiteProblem;
use super::site_run::{FoundOnSite, SiteRun};
use crate::plan::{PartId, Plan, Reach, Unfit, Wire, WireId};
use crate::site::{Face, Route, Router};
use std::collections::BTreeMap;

/// A search for the runs of all wires of a plan.
#[derive(Clone, Debug)]
pub struct SiteSearch<'a> {
    plan: &'a Plan,
    router: Router,
    known: BTreeMap<WireId, SiteRun>,
    runs: BTreeMap<WireId, SiteRun>,
    done: usize,
}

impl<'a> SiteSearch<'a> {
    /// Begins it with runs that are known from before; those between other faces are not taken. None where the plan has no
    /// site.
    pub fn new(plan: &'a Plan, known: BTreeMap<WireId, SiteRun>) -> Option<SiteSearch<'a>> {
        Some(SiteSearch {
            plan,
            router: Router::new(plan.site.clone()?),
            known,
            runs: BTreeMap::new(),
            done: 0,
        })
    }

    /// How many wires are done, and of how many.
    pub fn progress(&self) -> (usize, usize) {
        (self.done, self.plan.wires.len())
    }

    /// Finds the run of the next wire; whether there was one.
    pub fn go(&mut self) -> bool {
        let Some(wire) = self.plan.wires.get(self.done) else {
            return false;
        };
        self.done += 1;
        let run = self.run(self.done, wire);
        self.runs.insert(wire.id.clone(), run);
        true
    }

    /// What is found, once all wires are done.
    pub fn finish(mut self) -> FoundOnSite {
        self.put_beside();
        FoundOnSite {
            problems: self.problems(),
            exposure: self.router.exposure().clone(),
            runs: self.runs,
        }
    }

    fn run(&mut self, number: usize, wire: &Wire) -> SiteRun {
        let known = self.known.remove(&wire.id);
        let known = known.filter(|known| known.is_of(self.plan, wire));
        let ends = SiteRun::ends_of(self.plan, wire);
        let route = match known {
            Some(known) => known.route,
            None => ends.and_then(|[from, to]| self.router.route(from, &wire.via, to)),
        };
        let most = |part| self.plan.kind_of(self.plan.part(part)?)?.max_run;
        let most = [most(&wire.from.part), most(&wire.to.part)];
        let most = most.into_iter().flatten().reduce(f64::min);
        let site = self.router.site();
        let faces = route.iter().flat_map(Route::faces);
        let reach = faces.filter_map(|face| site.who_touches(face)).max();
        SiteRun {
            number,
            most_mm: most.map(|metres| (metres * 1000.0) as u64),
            reach: reach.unwrap_or(Reach::Builders),
            ends,
            via: wire.via.clone(),
            lanes: vec![0; route.as_ref().map_or(0, |route| route.legs.len())],
            route,
        }
    }

    /// Draws wires that run at the same place beside each other: 0, 1, -1, 2, -2, … to the side, in the order of their
    /// numbers.
    fn put_beside(&mut self) {
        let mut on: BTreeMap<(Face, Face), i32> = BTreeMap::new();
        for wire in &self.plan.wires {
            let Some(run) = self.runs.get_mut(&wire.id) else {
                continue;
            };
            let Some(route) = &run.route else { continue };
            let mut from = route.from;
            for (leg, lane) in route.legs.iter().zip(&mut run.lanes) {
                let before = on.entry((from.min(leg.to), from.max(leg.to))).or_default();
                let away = (*before + 1) / 2;
                *lane = if *before % 2 == 1 { away } else { -away };
                *before += 1;
                from = leg.to;
            }
        }
    }

    fn problems(&self) -> Vec<SiteProblem> {
        let plan = self.plan;
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
        let runs = plan.wires.iter().map(|wire| self.runs.get(&wire.id));
        for (wire, run) in plan.wires.iter().zip(runs) {
            let Some(run) = run else { continue };
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
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::plan::{Edit, examples, read_plan};
    use crate::works::OnSite;

    fn station() -> Plan {
        let station = examples()
            .iter()
            .find(|(name, _)| *name == "Kittiwake Light");
        read_plan(station.expect("the station").1).expect("an example reads")
    }

    #[test]
    fn known_runs_are_those_of_wires_that_still_run_between_the_same_faces() {
        let plan = station();
        let before = OnSite::of(&plan).expect("it has a site");
        assert_eq!(before.still_known(&plan).len(), plan.wires.len());
        let moved = &plan.wires[0].from.part;
        let is_moved = |wire: &Wire| wire.from.part == *moved || wire.to.part == *moved;
        let mut other = plan.clone();
        other
            .apply(Edit::Hang(moved.clone(), None))
            .expect("a place");
        let known = before.still_known(&other);
        for wire in &other.wires {
            assert_eq!(known.contains_key(&wire.id), !is_moved(wire), "{}", wire.id);
        }
        let mut search = SiteSearch::new(&other, known).expect("a site");
        while search.go() {}
        assert_eq!(search.progress(), (other.wires.len(), other.wires.len()));
        let found = OnSite::found(&other, search.finish());
        assert_eq!(found, OnSite::of(&other));
        let without = found.expect("a site").length().without;
        assert_eq!(without, plan.wires.iter().filter(|w| is_moved(w)).count());
    }

    #[test]
    fn a_known_run_between_other_faces_is_not_taken() {
        let plan = station();
        let all = OnSite::of(&plan).expect("it has a site").still_known(&plan);
        let ids = plan.wires.iter().map(|wire| wire.id.clone());
        let next = plan.wires.iter().cycle().skip(1);
        let wrong = ids
            .zip(next)
            .map(|(id, other)| (id, all[&other.id].clone()));
        let mut search = SiteSearch::new(&plan, wrong.collect()).expect("a site");
        while search.go() {}
        assert_eq!(OnSite::found(&plan, search.finish()), OnSite::of(&plan));
    }
}
