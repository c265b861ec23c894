//! The lanes of a plan's parts: in which group each stands, in which order, and what its marks mean.

use crate::book::Behaviour;
use crate::gather::Gather;
use crate::plan::{PartId, Plan};
use std::collections::BTreeSet;

/// What a lane shows.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Group {
    /// When a load that has a duty runs and is short.
    Duties,
    /// What a source could give, gives and spills.
    Sources,
    /// A battery's level.
    Batteries,
    /// The same of the other loads.
    Loads,
    /// When a contact conducts.
    Contacts,
}

impl Group {
    /// All groups, in their order: what duties are judged by comes first.
    pub const ALL: [Group; 5] = [
        Group::Duties,
        Group::Sources,
        Group::Batteries,
        Group::Loads,
        Group::Contacts,
    ];

    /// What is drawn in its lanes: the class of a mark, and what that means.
    pub const fn marks(self) -> &'static [(&'static str, &'static str)] {
        match self {
            Group::Sources => &[
                ("could", "could give"),
                ("taken", "taken"),
                ("spill", "spilled"),
            ],
            Group::Batteries => &[
                ("level", "level"),
                ("cut-out", "output goes off"),
                ("cut-in", "comes on again"),
            ],
            Group::Duties | Group::Loads => &[("runs", "runs"), ("short", "short")],
            Group::Contacts => &[("conducts", "closed")],
        }
    }

    /// Whether its lanes show amounts, which need height.
    pub const fn is_tall(self) -> bool {
        matches!(self, Group::Sources | Group::Batteries)
    }

    /// Its heading.
    pub const fn name(self) -> &'static str {
        match self {
            Group::Duties => "Loads with duties",
            Group::Sources => "Sources",
            Group::Batteries => "Batteries",
            Group::Loads => "Loads",
            Group::Contacts => "Contacts",
        }
    }
}

/// One part's lane.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Lane {
    /// The part's place in the plan.
    pub part: usize,
    /// The part.
    pub id: PartId,
    /// What people call it.
    pub name: String,
    /// What its lane shows.
    pub group: Group,
}

/// The lanes, group by group, in each as one reads the board: from the top down, and from the left in a row.
pub fn lanes(plan: &Plan) -> Vec<Lane> {
    let with_duties: BTreeSet<&PartId> = plan.duties.iter().map(|duty| &duty.part).gather();
    let mut lanes: Vec<(Group, i64, i64, Lane)> = Vec::new();
    for (at, part) in plan.parts.iter().enumerate() {
        let group = match plan.kind_of(part).map(|t| &t.behaviour) {
            Some(Behaviour::Source { .. }) => Group::Sources,
            Some(Behaviour::Battery { .. }) => Group::Batteries,
            Some(Behaviour::Load { .. }) if with_duties.contains(&part.id) => Group::Duties,
            Some(Behaviour::Load { .. }) => Group::Loads,
            Some(Behaviour::Contact { .. }) => Group::Contacts,
            _ => continue,
        };
        let (x, y) = part.at.unwrap_or_default();
        let lane = Lane {
            part: at,
            id: part.id.clone(),
            name: plan.called(&part.id),
            group,
        };
        lanes.push((group, y as i64, x as i64, lane));
    }
    lanes.sort_by_key(|(group, y, x, lane)| (*group, *y, *x, lane.part));
    lanes.into_iter().map(|(.., lane)| lane).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn lanes_stand_as_one_reads_the_board() {
        let plan = crate::plan::read_plan(include_str!("../../../assets/examples/dusk-lamp.json"))
            .expect("an example reads");
        let lanes = lanes(&plan);
        let groups: Vec<Group> = lanes.iter().map(|l| l.group).collect();
        assert!(
            groups.is_sorted()
                && groups.contains(&Group::Batteries)
                && groups.contains(&Group::Contacts)
        );
        assert!(lanes.iter().all(|l| plan.parts[l.part].id == l.id));
        let with_duties: Vec<&PartId> = plan.duties.iter().map(|d| &d.part).collect();
        assert!(!with_duties.is_empty());
        let first: Vec<&PartId> = lanes
            .iter()
            .map(|l| &l.id)
            .take(with_duties.len())
            .collect();
        assert!(first.iter().all(|id| with_duties.contains(id)), "{first:?}");
    }
}
