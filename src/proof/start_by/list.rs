//! All that is worth trying so that a load starts at another time, kind by kind.

use super::candidates::{Ahead, StartChange};
use super::meant::MeantStart;
use super::turns::{Sun, is_panel};
use super::{built, set, turns};
use crate::proof::findings::Simulation;

/// All changes, each once, in the order in which they are tried.
pub(super) fn all(seen: &Simulation, load: usize, meant: &MeantStart) -> Vec<StartChange> {
    let ahead = Ahead::of(seen, load, meant);
    let parts = ahead.parts.iter().copied();
    let panels: Vec<usize> = parts.filter(|at| is_panel(seen, *at)).collect();
    let mut found = set::changes(&ahead);
    if let Some(sun) = Sun::behind(seen, &panels, meant) {
        found.extend(turns::changes(&ahead, &sun));
        found.extend(built::taps(&ahead, &sun));
    }
    found.extend(built::panels(&ahead));
    found.extend(built::switches(&ahead));
    let mut all: Vec<StartChange> = Vec::new();
    for change in found {
        if !change.edits.is_empty() && all.iter().all(|other| other.edits != change.edits) {
            all.push(change);
        }
    }
    all
}
