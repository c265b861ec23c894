//! What whoever writes an order does to it, step by step, so that its numbers of wants and its list of types stay whole.

use super::order::{DraftOrder, HouseSwitch, Keeps, Least};
use crate::book::{Behaviour, PartType};
use crate::plan::{BookRef, World};
use std::collections::BTreeMap;

/// Types that are allowed or kept out together.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum TypeGroup {
    /// Sources.
    Sources,
    /// Batteries.
    Batteries,
    /// Contacts of every function.
    Contacts,
    /// Taps, dividers, busbars, changeovers and meters.
    Wiring,
}

impl TypeGroup {
    /// All of them.
    pub const ALL: [TypeGroup; 4] = [
        TypeGroup::Sources,
        TypeGroup::Batteries,
        TypeGroup::Contacts,
        TypeGroup::Wiring,
    ];

    /// The group of a type; none for loads.
    pub fn of(kind: &PartType) -> Option<TypeGroup> {
        match kind.behaviour {
            Behaviour::Load { .. } => None,
            Behaviour::Source { .. } => Some(TypeGroup::Sources),
            Behaviour::Battery { .. } => Some(TypeGroup::Batteries),
            Behaviour::Contact { .. } => Some(TypeGroup::Contacts),
            _ => Some(TypeGroup::Wiring),
        }
    }
}

impl DraftOrder {
    /// An order in which nothing is wanted yet.
    pub fn empty(book: BookRef, world: World) -> DraftOrder {
        DraftOrder {
            book,
            world,
            wants: Vec::new(),
            may: None,
            stage: None,
            materials: BTreeMap::new(),
            keeps: Keeps::default(),
            switch: None,
            least: vec![Least::Materials, Least::Parts],
        }
    }

    /// Takes a want away; those after it move up.
    pub fn remove_want(&mut self, want: usize) {
        if want >= self.wants.len() {
            return;
        }
        self.wants.remove(want);
        let moved = |list: &mut Vec<usize>| {
            list.retain(|at| *at != want);
            list.iter_mut()
                .filter(|at| **at > want)
                .for_each(|at| *at -= 1);
        };
        moved(&mut self.keeps.losses);
        moved(&mut self.keeps.reach);
        if let Some(switch) = &mut self.switch {
            moved(&mut switch.wants);
        }
        self.switch.take_if(|switch| switch.wants.is_empty());
    }

    /// Says whether the house switch turns a want off; it is there where it turns off any.
    pub fn put_behind_switch(&mut self, want: usize, is_behind: bool) {
        let switch = self.switch.get_or_insert_with(|| HouseSwitch {
            name: String::new(),
            wants: Vec::new(),
        });
        put_in(&mut switch.wants, want, is_behind);
        self.switch.take_if(|switch| switch.wants.is_empty());
    }

    /// The types of a group, by their names in the book.
    pub fn group(&self, group: TypeGroup) -> Vec<String> {
        let types = self.book.book.types.iter();
        let own = types.filter(|kind| TypeGroup::of(kind) == Some(group));
        own.map(|kind| kind.name.clone()).collect()
    }

    /// Whether any number of every type of a group may be used.
    pub fn allows_all(&self, group: TypeGroup) -> bool {
        let any = |may: &BTreeMap<String, Option<u64>>| {
            let all = self.group(group);
            all.iter().all(|kind| may.get(kind) == Some(&None))
        };
        self.may.as_ref().is_none_or(any)
    }

    /// Lets any number of every type of a group be used, or none of it.
    pub fn allow_group(&mut self, group: TypeGroup, all: bool) {
        let own = self.group(group);
        if self.may.is_none() {
            let every = TypeGroup::ALL.iter().flat_map(|group| self.group(*group));
            self.may = Some(every.map(|kind| (kind, None)).collect());
        }
        if let Some(may) = &mut self.may {
            for kind in own {
                match all {
                    true => drop(may.insert(kind, None)),
                    false => drop(may.remove(&kind)),
                }
            }
        }
        if TypeGroup::ALL.iter().all(|group| self.allows_all(*group)) {
            self.may = None;
        }
    }
}

/// Puts a number in an ordered list, or takes it out.
pub fn put_in(list: &mut Vec<usize>, number: usize, is_in: bool) {
    list.retain(|at| *at != number);
    if is_in {
        list.push(number);
        list.sort_unstable();
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::draft::read_order;

    fn order() -> DraftOrder {
        let text = include_str!("../../assets/orders/tide-house.json");
        read_order(text).expect("an order")
    }

    #[test]
    fn numbers_of_wants_follow_where_one_is_taken_away() {
        let mut order = order();
        order.keeps.losses = vec![0, 2];
        order.keeps.reach = vec![1];
        order.remove_want(1);
        assert_eq!(order.keeps.losses, [0, 1]);
        assert!(order.keeps.reach.is_empty());
        assert_eq!(
            order.switch.as_ref().map(|s| s.wants.clone()),
            Some(vec![0, 1])
        );
        order.remove_want(0);
        order.remove_want(0);
        assert!(order.switch.is_none() && order.wants.is_empty());
        order.remove_want(0);
    }

    #[test]
    fn a_group_is_allowed_whole_or_in_part() {
        let mut order = order();
        order.may = None;
        order.allow_group(TypeGroup::Batteries, false);
        assert!(!order.allows_all(TypeGroup::Batteries));
        assert!(order.allows_all(TypeGroup::Sources));
        assert_eq!(read_order(&order.print()), Ok(order.clone()));
        order.allow_group(TypeGroup::Batteries, true);
        assert_eq!(order.may, None);
    }

    #[test]
    fn the_switch_is_there_where_it_turns_something_off() {
        let mut order = order();
        order.switch = None;
        order.put_behind_switch(2, true);
        order.put_behind_switch(0, true);
        assert_eq!(
            order.switch.as_ref().map(|s| s.wants.clone()),
            Some(vec![0, 2])
        );
        order.put_behind_switch(0, false);
        order.put_behind_switch(2, false);
        assert_eq!(order.switch, None);
    }
}
