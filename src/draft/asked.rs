//! The demands of an order, one by one, and an order without one of them.

use super::order::{DraftOrder, Keeps};

/// A demand of an order.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum DraftDemand {
    /// The duty of a want.
    Duty(usize),
    /// That no more of a type may be used.
    May(String),
    /// The stage.
    Stage,
    /// That there is no more of a material.
    Material(String),
    /// The days without sun.
    DullDays,
    /// The hours without sun and wind.
    Hours,
    /// That duties stand single losses.
    Losses,
    /// That nobody within reach commands wants.
    Reach,
    /// The one switch.
    Switch,
}

impl DraftDemand {
    /// Its place in the order: `wants.0.duty`, `may.battery`.
    pub fn path(&self) -> String {
        match self {
            DraftDemand::Duty(want) => format!("wants.{want}.duty"),
            DraftDemand::May(kind) => format!("may.{kind}"),
            DraftDemand::Stage => "stage".into(),
            DraftDemand::Material(name) => format!("materials.{name}"),
            DraftDemand::DullDays => "keeps.dull_days".into(),
            DraftDemand::Hours => "keeps.hours".into(),
            DraftDemand::Losses => "keeps.losses".into(),
            DraftDemand::Reach => "keeps.reach".into(),
            DraftDemand::Switch => "switch".into(),
        }
    }

    /// Leaves it out of an order.
    pub(super) fn leave_out(&self, order: &mut DraftOrder) {
        match self {
            DraftDemand::Duty(want) => leave_duty_out(order, *want),
            DraftDemand::May(kind) => {
                order.may.iter_mut().for_each(|may| {
                    may.insert(kind.clone(), None);
                });
            }
            DraftDemand::Stage => order.stage = None,
            DraftDemand::Material(name) => drop(order.materials.remove(name)),
            DraftDemand::DullDays => order.keeps.dull_days = 0,
            DraftDemand::Hours => order.keeps.hours = 0.0,
            DraftDemand::Losses => order.keeps.losses.clear(),
            DraftDemand::Reach => order.keeps.reach.clear(),
            DraftDemand::Switch => order.switch = None,
        }
    }
}

/// A want without its duty is wanted all the same, but nothing is asked of it.
fn leave_duty_out(order: &mut DraftOrder, want: usize) {
    order.wants[want].duty = None;
    order.keeps.losses.retain(|at| *at != want);
    order.keeps.reach.retain(|at| *at != want);
    if let Some(switch) = &mut order.switch {
        switch.wants.retain(|at| *at != want);
    }
    order.switch.take_if(|switch| switch.wants.is_empty());
}

/// The demands of an order that can be left out.
pub(super) fn demands(order: &DraftOrder) -> Vec<DraftDemand> {
    let Keeps {
        dull_days,
        hours,
        losses,
        reach,
    } = &order.keeps;
    let mut all: Vec<DraftDemand> = Vec::new();
    let with_duty = (0..order.wants.len()).filter(|at| order.wants[*at].duty.is_some());
    all.extend(with_duty.map(DraftDemand::Duty));
    let kinds = order.book.book.types.iter();
    for kind in kinds.filter(|kind| kind.behaviour.name() != "load") {
        let may = order.may.as_ref().map(|may| may.get(&kind.name));
        // None of the type, or no more than so many; a type of any number is no demand.
        if matches!(may, Some(None | Some(Some(_)))) {
            all.push(DraftDemand::May(kind.name.clone()));
        }
    }
    let materials = order.materials.keys().cloned();
    all.extend(order.stage.map(|_| DraftDemand::Stage));
    all.extend(materials.map(DraftDemand::Material));
    all.extend((*dull_days > 0).then_some(DraftDemand::DullDays));
    all.extend((*hours > 0.0).then_some(DraftDemand::Hours));
    all.extend((!losses.is_empty()).then_some(DraftDemand::Losses));
    all.extend((!reach.is_empty()).then_some(DraftDemand::Reach));
    all.extend(order.switch.as_ref().map(|_| DraftDemand::Switch));
    all
}
