//! Losses and what contacts do, in words. It judges nothing: reports come from the proof.

use crate::plan::{Clock, Plan};
use crate::proof::{
    BrokenChange, Chatter, Loss, LossReport, OrderMatters, Survival, Trap, Way, length,
};
use crate::quantity::{HOUR_MS, Ms};

/// What is lost, as the subject of a row; see [`Loss::called`].
pub fn lost(plan: &Plan, loss: &Loss) -> String {
    loss.called(plan)
}

/// The plan as it would be, as a banner says it; see [`Loss::would_be`].
pub fn would_be(plan: &Plan, loss: &Loss) -> String {
    loss.would_be(plan)
}

/// The one sentence to quote: `Survives 41 of 47 single losses.`
pub fn survives(survival: &Survival, kept: Option<usize>) -> String {
    if kept == Some(0) {
        return "The plan as it is keeps no duty, so no loss can break one. See to its duties first.".into();
    }
    match (survival.survived, survival.tried) {
        (_, 0) => "There is nothing to lose yet.".into(),
        (a, b) if a == b => format!("Survives every one of {b} single losses."),
        (a, b) => format!("Survives {a} of {b} single losses."),
    }
}

/// How many losses change something about duties that are broken anyway, as a sentence; none where none does. Each loss
/// with its changes.
pub fn broken_changes<'a>(
    changes: impl ExactSizeIterator<Item = &'a [BrokenChange]> + Clone,
) -> Option<String> {
    let count =
        |of: &dyn Fn(&BrokenChange) -> bool| changes.clone().filter(|c| c.iter().any(of)).count();
    let worse = count(&BrokenChange::is_worse);
    let better = count(&|c| c.mended || c.mends_some || (c.after < c.before && !c.is_worse()));
    match (worse, better) {
        (0, 0) => None,
        (worse, better) => Some(format!(
            "Of the duties that are broken anyway, {worse} of {} losses make one worse and {better} mend gaps.",
            changes.len()
        )),
    }
}

/// How many losses do nothing; where the plan breaks a duty as it is, they change nothing about that one either.
pub fn harmless(count: usize, breaks_anyway: bool) -> String {
    match (count, breaks_anyway) {
        (1, false) => "1 loss breaks nothing".into(),
        (n, false) => format!("{n} losses break nothing"),
        (1, true) => "1 loss changes nothing".into(),
        (n, true) => format!("{n} losses change nothing"),
    }
}

/// What a loss changes about a duty that is broken anyway: `further gaps, the first on day 1 20:00; some gone`.
pub fn broken_change(plan: &Plan, change: &BrokenChange) -> String {
    if change.mended {
        return "mended".into();
    }
    let what = match change.further {
        Some(gap) => format!("further gaps, the first on {}", moment(plan, gap.from)),
        None if change.is_worse() => "longer gaps".into(),
        None if change.mends_some => return "some gaps gone".into(),
        None => return "shorter gaps".into(),
    };
    match change.mends_some {
        true => format!("{what}; some gone"),
        false => what,
    }
}

/// The single points of failure: how many and what the worst of them break, and what those are; none where there is none.
///
/// `12 single points of failure; the worst, each breaking 5 of 9 duties`.
pub fn single_points(
    plan: &Plan,
    reports: &[LossReport],
    survival: &Survival,
) -> Option<(String, Vec<String>)> {
    let (all, worst) = (survival.single_points.len(), survival.worst.len());
    let broken = reports.get(*survival.worst.first()?)?.breaks.len();
    let which = match (all, worst) {
        (1, _) => "Single point of failure,".to_string(),
        (n, w) if n == w => format!("{n} single points of failure,"),
        (n, _) => format!("{n} single points of failure; the worst,"),
    };
    let each = if worst > 1 { " each" } else { "" };
    let breaks = match (broken, plan.duties.len()) {
        (1, 1) => "the one duty".to_string(),
        (a, b) if a == b => format!("all {b} duties"),
        (a, b) => format!("{a} of {b} duties"),
    };
    let at = survival.worst.iter().filter_map(|at| reports.get(*at));
    let names = at.map(|r| lost(plan, &r.loss)).collect();
    Some((format!("{which}{each} breaking {breaks}"), names))
}

/// A moment of a run: `day 2 04:30`.
pub fn moment(plan: &Plan, t: Ms) -> String {
    let day = plan.world.day_ms();
    format!("day {} {}", t / day + 1, Clock::at(t, day))
}

/// How long, from a minute on to the nearest whole one: `8 h 20 min`, `40 s`.
pub fn duration(time: Ms) -> String {
    let minutes = time.saturating_add(30_000) / 60_000;
    length(if time < 60_000 {
        time
    } else {
        minutes * 60_000
    })
}

/// How long something is broken: as [`duration`], or `good` where it never ends.
pub fn lasting(time: Option<Ms>) -> String {
    time.map_or("good".into(), duration)
}

/// A share of whole days as hours of one: `8.3 h a day`.
pub fn a_day(time: Ms, days: u64) -> String {
    let hours = time as f64 / HOUR_MS as f64 / days.max(1) as f64;
    format!("{:.1} h", hours)
}

/// Changes one after the other: `after Start true, then Start false`, or `at this moment` where there are none.
pub fn way(plan: &Plan, ways: &[Way]) -> String {
    let one = |way: &Way| match way {
        Way::Input(id, true) => format!("{} true", plan.called(id)),
        Way::Input(id, false) => format!("{} false", plan.called(id)),
        Way::Dark => "sun and wind gone".into(),
        Way::Bright => "sun and wind at their most".into(),
        Way::AsNow => "sun and wind as at this moment".into(),
    };
    match ways {
        [] => "at this moment".into(),
        _ => format!(
            "after {}",
            ways.iter().map(one).collect::<Vec<_>>().join(", then ")
        ),
    }
}

/// The same as the beginning of a sentence.
fn way_first(plan: &Plan, ways: &[Way]) -> String {
    let said = way(plan, ways);
    let rest: String = said.chars().skip(1).collect();
    format!("A{rest}")
}

/// A trap, as one or two sentences.
pub fn trap(plan: &Plan, trap: &Trap) -> String {
    let list = |items: &[(crate::plan::PartId, bool)], yes: &str, no: &str| {
        let one = |(id, does): &(crate::plan::PartId, bool)| {
            format!("{} {}", plan.called(id), if *does { yes } else { no })
        };
        items.iter().map(one).collect::<Vec<_>>()
    };
    let mut all = list(&trap.stay, "stays closed", "stays open");
    all.extend(list(&trap.loads, "runs for good", "never runs again"));
    format!(
        "{}: {}, whatever the inputs do. Give it something that resets it if that is not meant.",
        way_first(plan, &trap.way),
        all.join(", ")
    )
}

/// A chatter, as one sentence.
pub fn chatter(plan: &Plan, chatter: &Chatter) -> String {
    let names: Vec<String> = chatter.contacts.iter().map(|id| plan.called(id)).collect();
    let way = way_first(plan, &chatter.way);
    match names.as_slice() {
        [] => format!("{way}: timers start each other without end, as in a flasher."),
        [one] => format!("{way}: {one} opens and closes without end."),
        _ => format!("{way}: {} open and close without end.", names.join(", ")),
    }
}

/// That the order of changes matters to a load, as one sentence.
pub fn order(plan: &Plan, found: &OrderMatters) -> String {
    format!(
        "What {} does depends on what was before: the same inputs leave it running {} and off {}.",
        plan.called(&found.load),
        way(plan, &found.runs),
        way(plan, &found.rests)
    )
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn durations_are_said_in_the_two_largest_units() {
        let said = |ms| duration(ms);
        assert_eq!(said(40_000), "40 s");
        assert_eq!(said(20 * 60_000), "20 min");
        assert_eq!(said(400 * 60_000), "6 h 40 min");
        assert_eq!(said(2 * HOUR_MS - 1), "2 h");
        assert_eq!(said(400), "400 ms");
        assert_eq!(a_day(HOUR_MS * 5, 2), "2.5 h");
    }

    #[test]
    fn a_wire_is_called_by_its_ends_and_by_their_ports_where_there_are_several() {
        let part = |id: &str, kind: &str| serde_json::json!({"id": id, "name": id, "type": kind});
        let document = serde_json::json!({
            "format": "duskline/plan", "version": 1, "book": "outpost",
            "parts": [part("Panel", "sun-panel"), part("Tap", "tap"), part("Lamp", "lamp")],
            "wires": [
                {"id": "w1", "from": "Panel.out", "to": "Tap.in"}, {"id": "w2", "from": "Tap.rest", "to": "Lamp.in"},
            ],
        });
        let plan = crate::plan::read_plan(&document.to_string()).expect("a sound plan");
        assert_eq!(
            lost(&plan, &Loss::Wire("w1".into())),
            "Wire from Panel to Tap"
        );
        assert_eq!(
            would_be(&plan, &Loss::Wire("w2".into())),
            "Without the wire from Tap (rest) to Lamp"
        );
        assert_eq!(lost(&plan, &Loss::Switch("Lamp".into())), "Lamp, thrown");
    }
}
