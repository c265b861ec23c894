//! The run of a wire that shows least, and how it is led there by hand.

use super::site_run::SiteRun;
use crate::limits::SITE_BENDS;
use crate::plan::{Plan, WireId};
use crate::site::{Face, Priorities, Route, Router};
use serde::{Deserialize, Serialize};

/// How a wire would run if nothing counted but to be hidden.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct HiddenRun {
    /// The run.
    pub route: Route,
    /// The faces over which to lead the wire by hand, so that it takes this run: as few as do it. None where that takes more
    /// than a wire may have.
    pub via: Option<Vec<Face>>,
}

impl HiddenRun {
    /// The run of a wire that shows least; none where one of its parts has no place yet, or there is no way.
    pub fn of(plan: &Plan, wire: &WireId) -> Option<HiddenRun> {
        let [from, to] = SiteRun::ends_of(plan, plan.wire(wire)?)?;
        let router = Router::new(plan.site.clone()?);
        let route = router.route_by(from, &[], to, Priorities::HIDDEN)?;
        let via = via_for(&router, &route);
        Some(HiddenRun { route, via })
    }
}

fn via_for(router: &Router, wanted: &Route) -> Option<Vec<Face>> {
    let to = wanted.faces().last()?;
    let faces: Vec<Face> = wanted.faces().collect();
    let mut via: Vec<Face> = Vec::new();
    loop {
        let found = router.route(wanted.from, &via, to)?;
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
        if next + 1 >= faces.len() || via.len() >= SITE_BENDS {
            return None;
        }
        via.push(faces[next]);
    }
}
