//! A duty that is broken: for how long a day, why, and the least that was tried and keeps it.
//!
//! Tried are, in this order: settings of what leads to the load; its wires; small parts in the way; more of what feeds
//! it; a wire in place of a switch last. For a load that runs when it must not, a contact of its own comes after the settings.

use super::candidate::{first, trials};

use super::{
    Finding, FindingKind, Remedy, Simulation, amount, banks, needless, overlap, rewire, settings,
};
use crate::net::Weight;

pub fn find(seen: &Simulation, at: usize) -> Option<Finding> {
    let (duty, verdict) = (seen.plan.duties.get(at)?, seen.check.duties.get(at)?);
    if verdict.kept {
        return None;
    }
    let load = seen.place(&duty.part)?;
    let off: Vec<_> = verdict.gaps.iter().filter(|g| !g.on).collect();
    let on = off.is_empty();
    let gaps: Vec<_> = verdict.gaps.iter().filter(|g| g.on == on).collect();
    let spans: Vec<_> = gaps.iter().map(|g| (g.from, g.to)).collect();
    let (repeating, all) = (
        overlap(&spans, seen.from, seen.to),
        overlap(&spans, 0, seen.to),
    );
    let long = if repeating > 0 {
        seen.time_a_day(repeating)
    } else {
        format!("{} in all", super::super::words::length(all))
    };
    let (name, when) = (seen.name(load), duty.when.said());
    let mut says = match on {
        false => format!("{name} must run {when} and is off for {long}."),
        true => format!("{name} must run only {when} and runs for {long} besides."),
    };
    let first = verdict.gaps.iter().position(|g| g.on == on)?;
    let mut per_day = repeating > 0;
    let mut parts = vec![duty.part.clone()];
    let mut wires = Vec::new();
    if let Some(cause) = seen.causes(at).get(first) {
        says = format!("{says} {}", cause.says(&seen.plan));
        per_day |= cause.is_per_day();
        parts.extend(cause.parts.iter().filter(|p| **p != duty.part).cloned());
        wires.extend(cause.wires.iter().cloned());
    }
    let remedy = seen
        .is_whole()
        .then(|| remedy(seen, load, at, on, repeating == 0));
    if let Some(None) = remedy {
        says = format!("{says} No single change of those tried keeps the duty.");
    }
    Some(Finding {
        kind: FindingKind::DutyBroken,
        weight: Weight::Error,
        amount: amount(seen.a_day(repeating.max(1).into()) * 1_000_000),
        parts,
        wires,
        says,
        per_day,
        remedy: remedy.flatten(),
    })
}

/// The first change that keeps the duty.
fn remedy(
    seen: &Simulation,
    load: usize,
    duty: usize,
    on: bool,
    from_first: bool,
) -> Option<Remedy> {
    let mut left = trials(seen);
    let set = settings::changes(seen, load, duty, from_first);
    if let Some(remedy) = first(seen, duty, &mut left, set) {
        return Some(remedy);
    }
    if on {
        let keeps = |after: &Simulation| after.check.duties.get(duty).is_some_and(|d| d.kept);
        let own = needless::remedy(seen, load).filter(|(_, after)| keeps(after));
        if let Some((remedy, _)) = own {
            return Some(remedy);
        }
    }
    let free = rewire::free(seen, load, duty);
    first(seen, duty, &mut left, free)
        .or_else(|| first(seen, duty, &mut left, rewire::small(seen, load, duty)))
        .or_else(|| first(seen, duty, &mut left, banks::changes(seen, load)))
        .or_else(|| {
            first(
                seen,
                duty,
                &mut left,
                rewire::past_switches(seen, load, duty),
            )
        })
}

#[cfg(test)]
mod tests {
    use super::super::testing::{taken, told};
    use super::*;

    const OPEN: &str = r#"{ "parts": { "gen": "generator", "door": "switch", "lamp": "lamp" },
        "wires": ["gen.out door.feed", "door.out lamp.in"], "duties": [{ "part": "lamp", "when": "always" }] }"#;

    #[test]
    fn an_open_switch_is_to_be_closed() {
        assert_eq!(
            told(OPEN, FindingKind::DutyBroken),
            [[
                "lamp must run always and is off for 24 h a day. lamp is dark from 00:00 to 24:00: door is set open.",
                "door closed keeps the duty of lamp for ever: 1 of 1 duty kept instead of 0."
            ]]
        );
        let after = taken(&crate::net::testing::plan(OPEN), FindingKind::DutyBroken);
        assert!(after.check.is_fine());
    }

    #[test]
    fn too_little_sun_takes_more_of_what_is_there() {
        let text = r#"{ "parts": { "sun": "sun-panel", "cell": "battery", "heater": "heater" },
            "wires": ["sun.out cell.in", "cell.out heater.in"], "duties": [{ "part": "heater", "when": "always" }] }"#;
        assert_eq!(
            told(text, FindingKind::DutyBroken),
            [[
                "heater must run always and is off for 5 h 10 min a day. heater stops on day 2 at 03:49: cell is empty until 08:13. It needs 10.4 u·h more. Figures a day are the average of days 3 to 12, which go on repeating.",
                "Having 2 of sun keeps the duty of heater for ever: 1 of 1 duty kept instead of 0."
            ]]
        );
        let plan = crate::net::testing::plan(text);
        assert!(taken(&plan, FindingKind::DutyBroken).check.is_fine());
    }

    #[test]
    fn a_lamp_that_must_be_out_by_day_gets_a_contact() {
        let text = r#"{ "parts": { "gen": "generator", "lamp": "lamp" }, "wires": ["gen.out lamp.in"],
            "duties": [{ "part": "lamp", "when": "dark", "only": true }] }"#;
        assert_eq!(
            told(text, FindingKind::DutyBroken),
            [[
                "lamp must run only while it is dark and runs for 11 h 59 min a day besides. lamp runs from 06:00 to 18:00 though it should be off: no contact stands between it and gen.",
                "Behind a twilight switch of its own, lamp uses 24 u·h a day less."
            ]]
        );
        let plan = crate::net::testing::plan(text);
        assert!(taken(&plan, FindingKind::DutyBroken).check.is_fine());
    }

    /// What is offered for a lamp whose parts and wires these are.
    fn offered(parts: &str, wires: &str, rest: &str) -> String {
        let text = format!(r#"{{ "parts": {{ {parts} }}, "wires": [{wires}], {rest} }}"#);
        let plan = crate::net::testing::plan(&text);
        let found = told(&text, FindingKind::DutyBroken);
        if !found[0][1].is_empty() {
            let after = taken(&plan, FindingKind::DutyBroken);
            assert!(after.check.is_fine(), "{found:?}");
        }
        let words = found[0][1].split_once(" keeps the duty of lamp for ever: ");
        words.map_or(String::new(), |(what, _)| what.to_string())
    }

    const ALWAYS: &str = r#""duties": [{ "part": "lamp", "when": "always" }]"#;
    const DARK: &str = r#""duties": [{ "part": "lamp", "when": "dark", "only": true }]"#;
    const NIGHT: &str = r#""duties": [{ "part": "lamp", "when": "clock", "from": "20:00", "to": "22:00", "only": true }]"#;

    #[test]
    fn settings_of_contacts_are_tried_before_anything_is_built() {
        let of = |gate: &str, rest: &str| {
            let parts = format!(r#""gen": "generator", "gate": {gate}, "lamp": "lamp""#);
            offered(&parts, r#""gen.out gate.feed", "gate.out lamp.in""#, rest)
        };
        let scheduled = r#"["switch", { "schedule": [["06:00", true], ["09:00", false]] }]"#;
        let told = [
            of(
                r#"["switch", { "closed": true, "contact": "break" }]"#,
                ALWAYS,
            ),
            of(scheduled, ALWAYS),
            of(scheduled, NIGHT),
            of(r#""time-switch""#, ALWAYS),
            of(r#""time-switch""#, NIGHT),
            of(r#"["time-switch", { "contact": "break" }]"#, NIGHT),
            of(r#""twilight""#, DARK),
            of(r#"["twilight", { "contact": "break" }]"#, DARK),
            of(r#"["button", { "presses": ["20:00"] }]"#, NIGHT),
            of(r#"["detector", { "times": [["05:00", "05:10"]] }]"#, NIGHT),
            of(r#"["detector", { "times": [["05:00", "05:10"]] }]"#, ALWAYS),
            of(
                r#""home""#,
                &format!(r#"{ALWAYS}, "world": {{ "home": [["18:00", "08:00"]] }}"#),
            ),
        ];
        assert_eq!(
            told,
            [
                "gate set open, at which its break contact conducts,",
                "gate closed all day",
                "gate closed from 20:00 to 22:00",
                "gate set to 00:00 to 24:00",
                "gate set to 20:00 to 22:00",
                "gate set to 22:00 to 20:00, outside of which it conducts,",
                "gate set to light below 0.0001",
                "gate as a make contact, set to light below 0.0001",
                "gate held for 2 h a press",
                "A time switch in place of gate",
                "A wire in place of gate",
                "A wire in place of gate"
            ]
        );
    }

    #[test]
    fn logic_and_timers_give_way_to_a_wire_and_signals_are_followed() {
        let of = |parts: &str, signals: &str| {
            let parts =
                format!(r#""gen": "generator", "split": "divider-3", {parts}, "lamp": "lamp""#);
            let wires = format!(
                r#""gen.out split.in", "split.out1 gate.feed", "gate.out lamp.in", {signals}"#
            );
            offered(&parts, &wires, ALWAYS)
        };
        let one = r#""split.out2 door.feed", "door.out gate."#;
        let told = [
            of(
                r#""gate": "relay", "door": "switch""#,
                &format!(r#"{one}coil""#),
            ),
            of(
                r#""gate": ["relay", { "contact": "break" }]"#,
                r#""split.out2 gate.coil""#,
            ),
            of(
                r#""gate": ["on-delay", { "delay_s": 3600 }]"#,
                r#""split.out2 gate.trigger""#,
            ),
            of(
                r#""gate": "off-delay", "door": "time-switch""#,
                &format!(r#"{one}trigger""#),
            ),
            of(
                r#""gate": "and", "door": "time-switch""#,
                &format!(r#"{one}a", "split.out3 gate.b""#),
            ),
            of(
                r#""gate": "latch", "door": "button""#,
                &format!(r#"{one}set""#),
            ),
            of(
                r#""gate": "counter", "door": ["button", { "presses": ["08:00", "09:00"] }]"#,
                &format!(r#"{one}count""#),
            ),
        ];
        assert_eq!(
            told,
            [
                "door closed",
                "gate as a make contact instead of a break contact",
                "gate set to a delay of 0 s",
                "door set to 00:00 to 24:00",
                "door set to 00:00 to 24:00",
                "gate as a break contact instead of a make contact",
                "A wire in place of gate"
            ]
        );
    }

    #[test]
    fn taps_changeovers_charge_contacts_and_loads_without_a_wire() {
        let told = [
            offered(
                r#""gen": "generator", "tap": ["tap", { "amount": 19 }], "lantern": "lantern", "lamp": "lamp""#,
                r#""gen.out tap.in", "tap.tap lantern.in", "tap.rest lamp.in""#,
                ALWAYS,
            ),
            offered(
                r#""a": "hand-generator", "b": "sun-panel", "over": ["changeover", { "least": 12 }], "lamp": "lamp""#,
                r#""a.out over.main", "b.out over.backup", "over.out lamp.in""#,
                ALWAYS,
            ),
            offered(
                r#""sun": "sun-panel-large", "cell": "battery", "guard": "charge", "lamp": "lamp""#,
                r#""sun.out cell.in", "cell.out guard.feed", "guard.out lamp.in""#,
                ALWAYS,
            ),
            offered(r#""gen": "generator", "lamp": "lamp""#, "", ALWAYS),
            offered(
                r#""gen": "generator", "heater": "heater", "lamp": "lamp""#,
                r#""gen.out heater.in""#,
                ALWAYS,
            ),
            offered(
                r#""sun": "sun-panel", "lamp": "lamp""#,
                r#""sun.out lamp.in""#,
                r#""duties": [{ "part": "lamp", "when": "dark" }, { "part": "lamp", "when": "always" }]"#,
            ),
            offered(
                r#""sun": "sun-panel-large", "split": "divider-2", "lantern": "lantern", "rack": "battery-rack", "lamp": "heater""#,
                r#""sun.out split.in", "split.out1 lantern.in", "split.out2 rack.in", "rack.out lamp.in""#,
                ALWAYS,
            ),
        ];
        assert_eq!(
            told,
            [
                "tap set to 1 u",
                "over set to stay on its main from 2 u",
                "guard watching cell as a break contact",
                "A wire from gen to lamp",
                "A wire from the loop of heater to lamp",
                "Putting a battery behind sun",
                "Putting a tap of 1 u for lantern in place of split and its rest to rack"
            ]
        );
    }

    #[test]
    fn a_change_that_turns_off_what_another_duty_wants_on_is_not_offered() {
        // One switch before both: at the lamp's hours the heater would go without, though its duty, broken for an hour
        // a day already, wants it on.
        let text = r#"{ "parts": { "gen": "generator", "gate": ["time-switch", { "from": "01:00", "to": "24:00" }], "heater": "heater",
                "lamp": "lamp" },
            "wires": ["gen.out gate.feed", "gate.out heater.in", "heater.loop lamp.in"],
            "duties": [{ "part": "heater", "when": "always" },
                { "part": "lamp", "when": "clock", "from": "20:00", "to": "22:00", "only": true }] }"#;
        let found = super::super::findings(&crate::net::testing::plan(text));
        let lamp = found.iter().find(|f| {
            f.kind == FindingKind::DutyBroken
                && f.parts.first().is_some_and(|p| p.as_str() == "lamp")
        });
        let lamp = lamp.expect("the lamp's duty is broken");
        let remedy = lamp.remedy.as_ref().expect("a contact of its own keeps it");
        assert!(!remedy.name.contains("gate"), "{}", remedy.says);
        let before = crate::net::testing::plan(text);
        let mut after = before.clone();
        after.apply_all(remedy.edits.clone()).unwrap();
        let gaps = |plan: &crate::plan::Plan| crate::proof::check(plan).duties[0].gaps.clone();
        assert_eq!(gaps(&after), gaps(&before));
    }

    #[test]
    fn where_nothing_tried_keeps_it_that_is_said() {
        let text = r#"{ "parts": { "hand": "hand-generator", "lamp": ["lamp", {}, 1000] },
            "wires": ["hand.out lamp.in"], "duties": [{ "part": "lamp", "when": "always" }] }"#;
        let found = told(text, FindingKind::DutyBroken);
        let says = "lamp must run always and is off for 24 h a day. lamp is dark from 00:00 to 24:00: hand gives 10 u at the most, 1990 u short of the 2000 u it draws. No single change of those tried keeps the duty.";
        assert_eq!(found, [[says, ""]]);
    }

    #[test]
    fn a_duty_that_is_kept_is_no_finding() {
        let text = r#"{ "parts": { "gen": "generator", "lamp": "lamp" }, "wires": ["gen.out lamp.in"],
            "duties": [{ "part": "lamp", "when": "always" }] }"#;
        assert!(told(text, FindingKind::DutyBroken).is_empty());
    }
}
