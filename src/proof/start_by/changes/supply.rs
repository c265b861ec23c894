//! Panels turned and tilted, taps and dividers set otherwise, other counts, and one more panel. Angles in degrees, amounts in
//! steps.

use super::{Change, Lines, STEPS, TURN, UNITS, together};
use crate::book::Behaviour;
use crate::plan::{Edit, End, Spec};
use crate::proof::findings::draft;
use serde_json::json;

impl Lines<'_> {
    /// Each panel turned and tilted, and all of them turned alike.
    pub(super) fn aims(&mut self, panels: &[usize]) {
        for panel in panels {
            let one = std::slice::from_ref(panel);
            for step in [1, -1] {
                self.turned(one, step);
                self.tilted(*panel, step);
            }
        }
        if panels.len() > 1 {
            self.turned(panels, 1);
            self.turned(panels, -1);
        }
    }

    fn turned(&mut self, panels: &[usize], step: i64) {
        let whole = |at: &usize| self.number(*at, "azimuth").round() as i64;
        // A flat panel looks nowhere.
        let turns: Vec<(usize, i64)> = (panels.iter())
            .filter(|at| self.number(**at, "tilt") > 0.0)
            .map(|at| (*at, whole(at)))
            .collect();
        if turns.len() < panels.len() {
            return;
        }
        let by = |n: i64| {
            let each = turns.iter().map(|(at, from)| {
                let to = (from + step * n).rem_euclid(360);
                let how = format!("turned to {to}°");
                self.set(*at, &how, n.unsigned_abs(), &[("azimuth", json!(to))])
            });
            together(each.collect())
        };
        let changes = (1..=180).filter_map(by).collect();
        self.line(TURN, changes);
    }

    fn tilted(&mut self, panel: usize, step: i64) {
        let from = self.number(panel, "tilt").round() as i64;
        let tilts = (1..=90).map(|n| (n, from + step * n));
        let changes = tilts
            .filter(|(_, to)| (0..=90).contains(to))
            .map(|(n, to)| {
                let how = format!("tilted {to}°");
                self.set(panel, &how, n as u64, &[("tilt", json!(to))])
            });
        let changes = changes.collect();
        self.line(TURN, changes);
    }

    /// A tap that sets more or less aside.
    pub(super) fn tap(&mut self, tap: usize) {
        let Some(Spec::Tap(present)) = self.seen.specs[tap] else {
            return;
        };
        let to = |amount: u64| {
            let said = self.seen.plan.book.book.unit.say_power(amount);
            let set = [("amount", json!(amount))];
            let size = amount.abs_diff(present);
            self.set(tap, &format!("set to {said}"), size, &set)
        };
        let more: Vec<Change> = (1..=STEPS).map(|n| to(present + n)).collect();
        let less = (1..=STEPS.min(present)).map(|n| to(present - n)).collect();
        self.line(1, more);
        self.line(1, less);
    }

    /// Dividers of other ways that have room for what is wired.
    pub(super) fn ways(&mut self, divider: usize) {
        let seen = self.seen;
        let id = seen.id(divider);
        let present = &seen.plan.parts[divider].kind;
        let kinds = seen
            .plan
            .book
            .book
            .types
            .iter()
            .filter(|t| matches!(t.behaviour, Behaviour::Divider { .. }) && t.name != *present);
        let kinds: Vec<_> = kinds.collect();
        for kind in kinds {
            let edits = seen.drafted(|draft| draft.swap(id, &kind.name).map(|_| ()));
            let label = kind.label.to_lowercase();
            let name = seen.name(divider);
            let change = edits.map(|edits| Change {
                what: format!("A {label} in place of {name}"),
                name: format!("put a {label} in place of {name}"),
                edits,
                size: 1,
            });
            self.line(1, change.into_iter().collect());
        }
    }

    /// More or fewer units of a bank.
    pub(super) fn units(&mut self, bank: usize) {
        let present = self.seen.plan.parts[bank].count;
        let (name, id) = (self.seen.name(bank), self.seen.id(bank).clone());
        let to = |count: u64| Change {
            what: format!("Having {count} of {name}"),
            name: format!("have {count} of {name}"),
            edits: vec![Edit::Count(id.clone(), count)],
            size: count.abs_diff(present),
        };
        let more: Vec<Change> = (1..=UNITS).map(|n| to(present + n)).collect();
        let fewer = (1..=UNITS)
            .filter(|n| *n < present)
            .map(|n| to(present - n));
        let fewer = fewer.collect();
        self.line(1, more);
        self.line(1, fewer);
    }

    /// One more panel of the same type with an aim of its own, joined to this one by a busbar.
    pub(super) fn further_panel(&mut self, panel: usize) {
        let seen = self.seen;
        let plan = &seen.plan;
        let busbar = draft::type_that(
            plan,
            |b| matches!(b, Behaviour::Busbar { ways } if *ways == 2),
        );
        let out = End::new(seen.id(panel), "out");
        let (Some(busbar), Some(_)) = (busbar, plan.wire_at(&out)) else {
            return;
        };
        let (own, tilt) = (self.number(panel, "azimuth"), self.number(panel, "tilt"));
        let kind = plan.parts[panel].kind.clone();
        let mut changes: Vec<Change> = Vec::new();
        for azimuth in (0..360u64).step_by(30) {
            let set = [
                ("azimuth", json!(azimuth)),
                ("tilt", json!(if tilt > 0.0 { tilt } else { 35.0 })),
            ];
            let edits = seen.drafted(|draft| {
                let more = draft.add(&kind, seen.id(panel), &set)?;
                let bar = draft.add(&busbar.name, seen.id(panel), &[])?;
                let far = draft.unwire(&out)?;
                draft.wire(out.clone(), End::new(&bar, "in1"))?;
                draft.wire(End::new(&more, "out"), End::new(&bar, "in2"))?;
                draft.wire(End::new(&bar, "out"), far)
            });
            let name = seen.name(panel);
            let apart = (own.rem_euclid(360.0) - azimuth as f64).abs();
            changes.extend(edits.map(|edits| Change {
                what: format!("One more panel beside {name}, turned to {azimuth}°,"),
                name: format!("put one more panel beside {name}, turned to {azimuth}°"),
                edits,
                size: apart.min(360.0 - apart) as u64,
            }));
        }
        self.line(1, changes);
    }
}
