//! Which parts each piece of an explanation speaks of, whether or not its words name all of them.

use super::explanation::{Caution, DayNews, DayStep, DullNews};
use crate::plan::{PartId, Plan};

/// Each once, in the order in which they come.
fn once<'a>(ids: impl IntoIterator<Item = &'a PartId>) -> Vec<PartId> {
    let mut found: Vec<PartId> = Vec::new();
    for id in ids {
        if !found.contains(id) {
            found.push(id.clone());
        }
    }
    found
}

/// The loads of duties.
fn loads<'a>(plan: &'a Plan, duties: &'a [usize]) -> impl Iterator<Item = &'a PartId> {
    duties
        .iter()
        .filter_map(|at| Some(&plan.duties.get(*at)?.part))
}

impl DayStep {
    /// The parts that it speaks of, what it begins with first.
    pub fn parts(&self) -> Vec<PartId> {
        match &self.news {
            DayNews::Begins { running, levels } => {
                once(running.iter().chain(levels.iter().map(|(id, ..)| id)))
            }
            DayNews::Sunrise | DayNews::Sunset => Vec::new(),
            DayNews::Gives(sources) | DayNews::Ends(sources) => sources.clone(),
            DayNews::Rises { battery, .. } | DayNews::Falls { battery, .. } => {
                vec![battery.clone()]
            }
            DayNews::Full(battery) => vec![battery.clone()],
            DayNews::Turns { reason, turns, .. } => {
                let turned = turns.iter().map(|turn| &turn.part);
                once([reason.part()].into_iter().chain(turned))
            }
            DayNews::Often { part, .. } => vec![part.clone()],
        }
    }
}

impl DullNews {
    /// The parts that it speaks of.
    pub fn parts(&self, plan: &Plan) -> Vec<PartId> {
        match self {
            DullNews::RunsOn { loads } => once(loads.iter().map(|(id, _)| id)),
            DullNews::GoesDark { loads, empty, .. } => {
                once(loads.iter().map(|(id, _)| id).chain(empty))
            }
            DullNews::Breaks { duty, .. } => once(loads(plan, &[*duty])),
            DullNews::NoSun | DullNews::Holds { .. } | DullNews::Survives { .. } => Vec::new(),
        }
    }
}

impl Caution {
    /// The parts that it speaks of, the chief one first.
    pub fn parts(&self, plan: &Plan) -> Vec<PartId> {
        match self {
            Caution::NoRepeat { differs, .. } => differs.clone(),
            Caution::Problem(problem) => problem.parts.clone(),
            Caution::Broken { duty, cause, .. } => {
                let concerned = cause.iter().flat_map(|cause| &cause.parts);
                once(loads(plan, &[*duty]).chain(concerned))
            }
            Caution::CutsOut { battery, .. } | Caution::NearCutOut { battery, .. } => {
                vec![battery.clone()]
            }
            Caution::Short { load, .. } => vec![load.clone()],
            Caution::Reachable { switch, breaks, .. } => {
                once([switch].into_iter().chain(loads(plan, breaks)))
            }
            Caution::SinglePoints { points, .. } => once(points.iter().map(|(id, _)| id)),
            Caution::NoReserve { duty } => once(loads(plan, &[*duty])),
            Caution::Spilled { sources, .. } => once(sources.iter().map(|(id, _)| id)),
        }
    }
}
