//! Forms of supply: from which sources, through which battery, a feed has its power. Counts are chosen by the search.
//!
//! A form has one or two banks of sources; two are joined by a busbar. Either they feed directly, or through a bank of
//! batteries; or a changeover has a source as its main side and a battery behind it as its backup.

use super::allowed::{Allowed, Tally};
use super::sources::SourceChoice;
use crate::book::Profile;

/// A form of supply.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct SupplyForm {
    /// An output of what stands that it begins at, instead of at sources.
    pub from: Option<usize>,
    /// The banks of sources, by their places among the choices.
    pub sources: Vec<usize>,
    /// Joins two banks ahead of the battery, or of all.
    pub busbar: Option<usize>,
    /// The type of battery, if there is one.
    pub battery: Option<usize>,
    /// A changeover, with the source on its main side; the battery is its backup.
    pub over: Option<(usize, usize)>,
}

impl SupplyForm {
    /// How many counts it has: its sources, its battery, the changeover's source.
    pub fn counts(&self) -> usize {
        self.sources.len() + usize::from(self.battery.is_some()) + usize::from(self.over.is_some())
    }

    /// The type of each of its banks, in the order of its counts.
    pub fn kinds(&self, choices: &[SourceChoice]) -> Vec<usize> {
        let banks = self.sources.iter().map(|at| choices[*at].kind);
        let main = self.over.map(|(_, main)| choices[main].kind);
        banks.chain(self.battery).chain(main).collect()
    }

    /// The parts of it, with these counts.
    pub fn tally(&self, counts: &[u64], choices: &[SourceChoice]) -> Tally {
        let mut tally = Tally::new();
        for (kind, count) in self.kinds(choices).into_iter().zip(counts) {
            *tally.entry(kind).or_default() += count;
        }
        for kind in self
            .busbar
            .into_iter()
            .chain(self.over.map(|(over, _)| over))
        {
            *tally.entry(kind).or_default() += 1;
        }
        tally
    }
}

/// The forms that begin at one of so many outputs of what stands: the output itself, or a bank of batteries behind it.
pub(super) fn forms_from(outs: usize, allowed: &Allowed) -> Vec<SupplyForm> {
    let batteries = allowed.batteries();
    let form = |from: usize, battery: Option<usize>| SupplyForm {
        from: Some(from),
        sources: Vec::new(),
        busbar: None,
        battery,
        over: None,
    };
    let stores = || {
        [None]
            .into_iter()
            .chain(batteries.iter().copied().map(Some))
    };
    let each = (0..outs).flat_map(|from| stores().map(move |battery| form(from, battery)));
    each.collect()
}

/// The forms that there are. `pairs` says whether two banks of sources are joined and changeovers used, too.
pub(super) fn forms(allowed: &Allowed, choices: &[SourceChoice], pairs: bool) -> Vec<SupplyForm> {
    let batteries = allowed.batteries();
    let stores = || batteries.iter().copied().map(Some).chain([None]);
    let mut found = Vec::new();
    let form = |sources: Vec<usize>, busbar, battery, over| SupplyForm {
        from: None,
        sources,
        busbar,
        battery,
        over,
    };
    for (at, choice) in choices.iter().enumerate() {
        let stores = stores().filter(|battery| battery.is_none() || !choice.by_hours);
        found.extend(stores.map(|battery| form(vec![at], None, battery, None)));
    }
    if !pairs {
        return found;
    }
    let busbar = allowed.busbars(2).first().copied();
    let over = allowed.changeovers().first().copied();
    let all = || (0..choices.len()).filter(|at| !choices[*at].by_hours);
    for first in all() {
        for second in all() {
            let (a, b) = (&choices[first], &choices[second]);
            if first < second && busbar.is_some() && a.kind != b.kind {
                let both = stores().map(|battery| form(vec![first, second], busbar, battery, None));
                found.extend(both);
            }
            // A steady source never leaves its loads to a backup, and a main side that the night takes comes back every day.
            if let Some(over) = over.filter(|_| a.profile != Profile::Steady) {
                let backed = batteries.iter();
                found.extend(
                    backed.map(|b| form(vec![second], None, Some(*b), Some((over, first)))),
                );
            }
        }
    }
    found
}
