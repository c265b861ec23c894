//! The part types that an order lets be used, with how many of each, and what they cost. Types by their places in the book.

use super::order::DraftOrder;
use crate::book::{Behaviour, Book, FunctionName, PartType, Profile};
use std::collections::BTreeMap;
use std::sync::Arc;

/// What may be used.
#[derive(Clone, Debug)]
pub(super) struct Allowed {
    book: Arc<Book>,
    /// How many of each type at most beside the wants; 0 where it may not be used.
    limits: Vec<u64>,
    /// The sum of the materials of one of each type.
    prices: Vec<u64>,
}

/// So many parts of each type, by its place in the book.
pub(super) type Tally = BTreeMap<usize, u64>;

impl Allowed {
    /// What `order` lets be used.
    pub fn of(order: &DraftOrder) -> Allowed {
        let book = order.book.book.clone();
        let limit = |kind: &PartType| {
            let late = order.stage.is_some_and(|stage| kind.stage > stage);
            let may = match &order.may {
                None => u64::MAX,
                Some(may) => match may.get(&kind.name) {
                    None => 0,
                    Some(most) => most.unwrap_or(u64::MAX),
                },
            };
            if late { 0 } else { may }
        };
        let price = |kind: &PartType| {
            let amounts = kind.cost.iter().map(|(_, amount)| *amount);
            amounts.fold(0, u64::saturating_add)
        };
        Allowed {
            limits: book.types.iter().map(limit).collect(),
            prices: book.types.iter().map(price).collect(),
            book,
        }
    }

    /// The type at a place.
    pub fn kind(&self, at: usize) -> &PartType {
        &self.book.types[at]
    }

    /// Where the type called `name` stands.
    pub fn place(&self, name: &str) -> Option<usize> {
        self.book.types.iter().position(|t| t.name == name)
    }

    /// How many of a type may be used beside the wants.
    pub fn limit(&self, at: usize) -> u64 {
        self.limits[at]
    }

    /// The materials of one, added up.
    pub fn price(&self, at: usize) -> u64 {
        self.prices[at]
    }

    /// The types that may be used and are as asked, the cheapest first.
    fn having(&self, is: impl Fn(&Behaviour) -> bool) -> Vec<usize> {
        let all = 0..self.limits.len();
        let mut found: Vec<usize> = all
            .filter(|at| self.limits[*at] > 0 && is(&self.book.types[*at].behaviour))
            .collect();
        found.sort_by_key(|at| (self.prices[*at], *at));
        found
    }

    /// Contacts of a function.
    pub fn contacts(&self, wanted: FunctionName) -> Vec<usize> {
        self.having(|b| matches!(b, Behaviour::Contact { function, .. } if *function == wanted))
    }

    /// Sources of a profile.
    pub fn sources(&self, wanted: Profile) -> Vec<usize> {
        self.having(
            |b| matches!(b, Behaviour::Source { profile, peak } if *profile == wanted && *peak > 0),
        )
    }

    /// Batteries.
    pub fn batteries(&self) -> Vec<usize> {
        self.having(|b| matches!(b, Behaviour::Battery { .. }))
    }

    /// Taps.
    pub fn taps(&self) -> Vec<usize> {
        self.having(|b| matches!(b, Behaviour::Tap))
    }

    /// Changeovers.
    pub fn changeovers(&self) -> Vec<usize> {
        self.having(|b| matches!(b, Behaviour::Changeover))
    }

    /// Busbars of at least so many ways.
    pub fn busbars(&self, least: u64) -> Vec<usize> {
        self.having(|b| matches!(b, Behaviour::Busbar { ways } if *ways >= least))
    }

    /// Dividers of at least so many ways.
    pub fn dividers(&self, least: u64) -> Vec<usize> {
        self.having(|b| matches!(b, Behaviour::Divider { ways } if *ways >= least))
    }

    /// Whether so many may be used.
    pub fn allows(&self, tally: &Tally) -> bool {
        tally.iter().all(|(at, n)| *n <= self.limits[*at])
    }

    /// What so many cost in all.
    pub fn cost(&self, tally: &Tally) -> u64 {
        let each = tally
            .iter()
            .map(|(at, n)| self.prices[*at].saturating_mul(*n));
        each.fold(0, u64::saturating_add)
    }

    /// The materials of so many, by name.
    pub fn materials(&self, tally: &Tally) -> BTreeMap<&str, u64> {
        let mut sum: BTreeMap<&str, u64> = BTreeMap::new();
        for (at, n) in tally {
            for (material, amount) in &self.book.types[*at].cost {
                let entry = sum.entry(material).or_default();
                *entry = entry.saturating_add(amount.saturating_mul(*n));
            }
        }
        sum
    }
}

/// Adds one tally to another.
pub(super) fn add(to: &mut Tally, more: &Tally) {
    for (at, n) in more {
        let entry = to.entry(*at).or_default();
        *entry = entry.saturating_add(*n);
    }
}
