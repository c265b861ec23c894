//! What does not go in a site, and the sentences for it: what is wrong, and what to do.

use crate::net::Weight;
use crate::plan::{Clock, Mount, PartId, Plan, Unfit, WireId};
use crate::quantity::Short;
use crate::site::Face;
use serde::{Deserialize, Serialize};

/// What does not go in a site.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub enum SiteProblem {
    /// A part hangs where it can't.
    Misplaced(PartId, Face, Unfit),
    /// There is no way for a wire.
    NoWay(WireId),
    /// A wire is longer than its parts' types allow: its length and the most, in millimetres.
    LongRun(WireId, u64, u64),
    /// Something of the site stands between a sun panel and the sun it would face, from and to about these times of the
    /// dial, in milliseconds.
    Hidden(PartId, u64, u64),
}

impl SiteProblem {
    /// The word for its kind in output.
    pub const fn code(&self) -> &'static str {
        match self {
            SiteProblem::Misplaced(..) => "misplaced",
            SiteProblem::NoWay(_) => "no-way",
            SiteProblem::LongRun(..) => "long-run",
            SiteProblem::Hidden(..) => "hidden-from-the-sun",
        }
    }

    /// How much it matters.
    pub fn weight(&self) -> Weight {
        match self {
            SiteProblem::Hidden(..) => Weight::Hint,
            _ => Weight::Error,
        }
    }

    /// The parts that it is about.
    pub fn parts(&self) -> Vec<PartId> {
        match self {
            SiteProblem::Misplaced(id, ..) | SiteProblem::Hidden(id, ..) => vec![id.clone()],
            SiteProblem::NoWay(_) | SiteProblem::LongRun(..) => Vec::new(),
        }
    }

    /// The wires that it is about.
    pub fn wires(&self) -> Vec<WireId> {
        match self {
            SiteProblem::NoWay(id) | SiteProblem::LongRun(id, ..) => vec![id.clone()],
            SiteProblem::Misplaced(..) | SiteProblem::Hidden(..) => Vec::new(),
        }
    }

    /// What is wrong, and what to do.
    pub fn said(&self, plan: &Plan) -> String {
        let metres = |mm: &u64| Short(*mm as f64 / 1000.0);
        match self {
            SiteProblem::Misplaced(id, _, why) => misplaced(plan, id, *why),
            SiteProblem::NoWay(id) => format!(
                "There is no way for the wire {}: wires run along floors, walls and ceilings and go through doors, hatches and stairs only. Make a door or a hatch, or move one of its parts.",
                ends(plan, id)
            ),
            SiteProblem::LongRun(id, length, most) => format!(
                "The wire {} runs {} m, and its parts take wires of at most {} m. Move one of its parts, or make a shorter way.",
                ends(plan, id),
                metres(length),
                metres(most)
            ),
            SiteProblem::Hidden(id, from, to) => {
                let day = plan.world.day_ms();
                let (from, to) = (Clock::at(*from, day), Clock::at(*to, day));
                let when = match from == to {
                    true => format!("about {from}"),
                    false => format!("between about {from} and {to}"),
                };
                format!(
                    "Something of the site stands between {} and the sun {when}. Shading is not reckoned: what the panel gives then may be less than shown.",
                    plan.called(id)
                )
            }
        }
    }
}

fn misplaced(plan: &Plan, id: &PartId, why: Unfit) -> String {
    let name = plan.called(id);
    match why {
        Unfit::NoFace => format!(
            "{name} hangs where nothing can: there is no such surface there any more, or furniture or an opening is in the way. Put it elsewhere."
        ),
        Unfit::Taken => {
            format!("{name} hangs where another part is already. Put one of them elsewhere.")
        }
        Unfit::Mount => {
            let mount = plan.part(id).map_or(Mount::Any, |part| plan.mount_of(part));
            format!(
                "{name} can't hang there: it goes {}. Put it elsewhere.",
                mount.said()
            )
        }
    }
}

fn ends(plan: &Plan, id: &WireId) -> String {
    match plan.wire(id) {
        Some(wire) => format!(
            "from {} ({}) to {} ({})",
            plan.called(&wire.from.part),
            wire.from.port,
            plan.called(&wire.to.part),
            wire.to.port
        ),
        None => id.to_string(),
    }
}
