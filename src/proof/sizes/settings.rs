//! The settings that a search goes through, in an order in which the least is likely to be met early. Which order that is
//! changes how long a search takes and not what it finds.

use super::given::given;
use super::grid::{self, Setting, Tried};
use crate::plan::{Part, Plan};
use std::cmp::Reverse;

/// The settings in their order: the present ones first, then those with which the panels are given most.
pub(super) struct Settings {
    /// For each part the numbers of its settings in the order in which they are tried.
    orders: Vec<Vec<usize>>,
    at: Option<Vec<usize>>,
}

impl Settings {
    /// All choices of one setting for each part that has others.
    pub fn new(plan: &Plan, tried: &[Tried]) -> Settings {
        let day = |part: &Part, setting: Setting| {
            let mut part = part.clone();
            part.count = 1;
            grid::put(&mut part, setting);
            given(plan, part, 1)
        };
        let order = |tried: &Tried| {
            let mut rest: Vec<usize> = (1..tried.settings.len()).collect();
            let part = plan.parts.iter().find(|p| p.id == tried.part);
            if let (Some(part), Some(Setting::Aim(..))) = (part, tried.settings.first()) {
                rest.sort_by_cached_key(|at| Reverse(day(part, tried.settings[*at])));
            }
            std::iter::once(0).chain(rest).collect()
        };
        let orders: Vec<Vec<usize>> = tried.iter().map(order).collect();
        Settings {
            at: Some(vec![0; orders.len()]),
            orders,
        }
    }
}

impl Iterator for Settings {
    type Item = Vec<usize>;

    fn next(&mut self) -> Option<Vec<usize>> {
        let at = self.at.as_mut()?;
        let now = at.iter().zip(&self.orders).map(|(at, o)| o[*at]).collect();
        let turn = (0..at.len()).find(|d| at[*d] + 1 < self.orders[*d].len());
        match turn {
            Some(dim) => {
                at[dim] += 1;
                at[..dim].iter_mut().for_each(|a| *a = 0);
            }
            None => self.at = None,
        }
        Some(now)
    }
}
