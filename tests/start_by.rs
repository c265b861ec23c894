//! Changes that let a load start at another time: each is run again here, judged by the record of its run, and the minute
//! is met at every day; the duties that were kept are kept. Where nothing does it nothing is offered.

pub mod simple_engine;

use duskline::net::Weight;
use duskline::plan::{Clock, Plan, examples, read_plan};
use duskline::proof::start_by::{Found, NoStart, Offer, Search, Side, Wanted, second, starts};
use duskline::proof::{Check, Study, check};
use simple_engine::duties;
use simple_engine::generate::Case;

fn clock(text: &str) -> Clock {
    Clock::parse(text).expect("a time")
}

fn wanted(load: &str, at: &str, side: Side) -> Wanted {
    Wanted {
        load: load.into(),
        start: None,
        at: clock(at),
        side,
    }
}

fn found(plan: &Plan, wanted: &Wanted) -> Found {
    let mut search = Search::new(plan, wanted).expect("a start to move");
    while search.next().is_some() {}
    search.found().clone()
}

/// When a load runs, for the whole of the check's run.
fn runs(study: &Study, load: &str) -> Vec<(u64, u64)> {
    let place = study.plan().part_place(&load.into()).expect("a part");
    let record = &study.journey().record;
    record
        .loads
        .get(&place)
        .map_or(Vec::new(), |l| l.runs.clone())
}

fn errors(check: &Check) -> usize {
    let all = check.problems.iter();
    all.filter(|p| p.weight == Weight::Error).count()
}

/// Runs an offer again and holds it to what it says.
fn holds(plan: &Plan, wanted: &Wanted, offer: &Offer) {
    let says = &offer.remedy.says;
    let mut after = plan.clone();
    after.apply_all(offer.remedy.edits.clone()).expect(says);
    assert_eq!(
        read_plan(&after.print()).expect(says).print(),
        after.print()
    );
    let (was, is) = (check(plan), check(&after));
    for (at, (was, is)) in was.duties.iter().zip(&is.duties).enumerate() {
        assert!(is.kept || !was.kept, "{says}");
        assert_eq!(
            offer.newly_kept.contains(&at),
            is.kept && !was.kept,
            "{says}"
        );
    }
    assert!(is.for_ever || !was.for_ever, "{says}");
    assert!(errors(&is) <= errors(&was), "{says}");

    let day = plan.world.day_ms();
    let present = runs(&Study::new(plan.clone()), wanted.load.as_str());
    let opens = opens(&present, wanted, day);
    let at = (wanted.at.ms(day) % day + day - opens) % day;
    let then = runs(&Study::new(after), wanted.load.as_str());
    let reached = |from: &u64| *from > 0 && from % day == offer.reached;
    assert!(then.iter().any(|(from, _)| reached(from)), "{says}");
    assert!(says.contains(&second(offer.reached, day)), "{says}");
    let mut windows = 0;
    for opens in (0..is.days).map(|n| n * day + opens) {
        if opens + day > is.days * day {
            continue;
        }
        windows += 1;
        let first = then.iter().find(|(from, _)| *from > 0 && *from >= opens);
        let (from, to) = *first.expect(says);
        assert!(from < opens + day, "{says}: it starts on each day");
        let at = opens + at;
        match wanted.side {
            Side::AtTheLatest => assert!(from <= at && at < to, "{says}: {from} to {to}, {at}"),
            Side::NotBefore => {
                let is_off = then.iter().all(|(from, to)| *to <= opens || at <= *from);
                assert!(is_off, "{says}: off from {opens} to {at}");
            }
        }
    }
    assert!(windows > 0 || is.days < 2, "{says}");
}

/// When the window of a day opens, worked out anew from its definition.
fn opens(present: &[(u64, u64)], wanted: &Wanted, day: u64) -> u64 {
    let at = wanted.at.ms(day) % day;
    let apart = |t: u64| (t % day).abs_diff(at).min(day - (t % day).abs_diff(at));
    let starts = present.iter().map(|run| run.0).filter(|t| *t > 0);
    let start = starts.rev().min_by_key(|t| apart(*t)).expect("a start");
    let stops = present.iter().map(|run| run.1).filter(|t| *t <= start);
    let off = (start - stops.max().unwrap_or(0)).min(day);
    let early = (start % day + day - at) % day;
    let early = if early <= off { early } else { 0 };
    (start % day + day - (early + (off - early).div_ceil(2)) % day) % day
}

/// The plan of a short text: parts by type, wires, settings and duties.
fn plan(parts: &str, wires: &str, duties: &str) -> Plan {
    let text = format!(
        r#"{{ "format": "duskline/plan", "version": 1, "book": "outpost",
            "world": {{ "day_s": 86400, "sky": {{ "latitude": 56, "day_of_year": 80, "air": "clear" }} }},
            "parts": [{parts}], "wires": [{wires}], "duties": [{duties}] }}"#
    );
    read_plan(&text).unwrap_or_else(|faults| panic!("{faults:?}"))
}

/// A lamp behind a time switch, from 10:00 to 14:00.
fn timed(duties: &str) -> Plan {
    plan(
        r#"{ "id": "p1", "type": "generator" }, { "id": "p2", "type": "time-switch" }, { "id": "p3", "type": "lamp" }"#,
        r#"{ "id": "w1", "from": "p1.out", "to": "p2.feed" }, { "id": "w2", "from": "p2.out", "to": "p3.in" }"#,
        duties,
    )
}

const HOUR: u64 = 3_600_000;

#[test]
fn a_time_switch_is_set_to_the_very_minute() {
    let plan = timed("");
    for (at, side) in [("09:30", Side::AtTheLatest), ("11:15", Side::NotBefore)] {
        let wanted = wanted("p3", at, side);
        let found = found(&plan, &wanted);
        assert_eq!(found.present, Some(10 * HOUR));
        assert!(found.complete && !found.met);
        let first = &found.offers[0];
        assert_eq!(
            first.reached,
            wanted.at.ms(24 * HOUR),
            "{}",
            first.remedy.says
        );
        assert!(first.remedy.says.contains(&format!("set from {at}")));
        assert!(first.materials.is_empty() && first.parts == 0);
        found
            .offers
            .iter()
            .for_each(|offer| holds(&plan, &wanted, offer));
    }
}

#[test]
fn nothing_is_offered_that_breaks_a_duty_and_it_is_said_what_stands_against_it() {
    let only = r#"{ "part": "p3", "when": "clock", "from": "10:00", "to": "14:00", "only": true, "grace_s": 600 }"#;
    let plan = timed(only);
    let found = found(&plan, &wanted("p3", "09:30", Side::AtTheLatest));
    assert!(found.offers.is_empty() && found.complete);
    let against = found.against.expect("what stands against it");
    assert_eq!(against.breaks, [0]);
    assert_eq!(against.reached, 9 * HOUR + HOUR / 2);
    // Ten minutes earlier it may be.
    let found = self::found(&plan, &wanted("p3", "09:50", Side::AtTheLatest));
    assert_eq!(found.offers[0].reached, 10 * HOUR - HOUR / 6);
}

#[test]
fn what_is_so_already_needs_no_change_and_what_never_starts_has_none() {
    let found = found(&timed(""), &wanted("p3", "10:30", Side::AtTheLatest));
    assert!(found.met && found.offers.is_empty() && found.tried == 0);
    let mut dark = timed("");
    dark.wires.clear();
    let none = |plan: &Plan, load: &str| {
        Search::new(plan, &wanted(load, "09:00", Side::AtTheLatest)).err()
    };
    assert_eq!(none(&dark, "p3"), Some(NoStart::Never));
    assert_eq!(none(&dark, "p1"), Some(NoStart::NoLoad));
    assert_eq!(none(&dark, "p9"), Some(NoStart::NoLoad));
}

#[test]
fn a_search_that_is_left_keeps_what_it_found() {
    let plan = timed("");
    let mut search =
        Search::new(&plan, &wanted("p3", "09:30", Side::AtTheLatest)).expect("a start");
    while search.found().offers.is_empty() {
        search.next().expect("more to try");
    }
    let (done, of) = search.progress();
    assert!(0 < done && done < of && !search.found().complete);
}

#[test]
fn each_offer_on_random_plans_meets_the_time_and_keeps_what_was_kept() {
    let mut offers = 0;
    duties::plans().each(40, |case: &Case| {
        let mut plan = read_plan(&case.document.to_string()).expect("a sound plan");
        plan.world.weather.truncate(2);
        let study = Study::new(plan.clone());
        let day = plan.world.day_ms();
        let loads = (0..plan.parts.len()).filter(|at| !starts(&study, *at).is_empty());
        for load in loads.take(1) {
            let first = starts(&study, load)[0] % day;
            for (by, side) in [
                (day - day / 24, Side::AtTheLatest),
                (day / 24, Side::NotBefore),
            ] {
                let wanted = Wanted {
                    load: plan.parts[load].id.clone(),
                    start: None,
                    at: Clock::at((first + by) % day, day),
                    side,
                };
                let Ok(mut search) = Search::new(&plan, &wanted) else {
                    continue;
                };
                // So many runs are enough here.
                for _ in 0..80 {
                    search.next();
                }
                for offer in &search.found().offers {
                    holds(&plan, &wanted, offer);
                    offers += 1;
                }
            }
        }
    });
    assert!(offers > 0, "or nothing was looked at");
}

fn lighthouse() -> Plan {
    let mut all = examples().iter();
    let (_, text) = all
        .find(|(name, _)| name.contains("Kittiwake"))
        .expect("the lighthouse");
    read_plan(text).expect("it reads")
}

#[test]
fn the_dusk_lamp_of_the_lighthouse_is_lit_earlier_by_a_turn_of_the_panels_or_by_a_switch() {
    // It starts at 17:45 on the one day and at 17:37 on the other, and may burn for half an hour before it is dark: 5
    // minutes earlier is within that, and half an hour is where it may burn for an hour.
    for (grace_s, at) in [(1800.0, "17:40"), (3600.0, "17:15")] {
        let mut plan = lighthouse();
        plan.duties[0].grace_s = grace_s;
        let wanted = wanted("p9", at, Side::AtTheLatest);
        let found = found(&plan, &wanted);
        found
            .offers
            .iter()
            .for_each(|offer| holds(&plan, &wanted, offer));
        for way in [
            "West roof panels turned to",
            "twilight switch in place",
            "time switch in place",
        ] {
            assert!(
                found.offers.iter().any(|o| o.remedy.says.contains(way)),
                "{way}"
            );
        }
        assert!(found.offers.is_sorted_by_key(Offer::rank) && found.complete);
        assert!(found.offers[0].materials.is_empty() && found.nearest.is_none());
    }
}

#[test]
fn where_its_own_duty_stands_against_it_that_is_said_with_what_comes_nearest() {
    let plan = lighthouse();
    let found = found(&plan, &wanted("p9", "17:15", Side::AtTheLatest));
    assert!(found.offers.is_empty() && found.complete);
    let against = found.against.expect("what stands against it");
    assert_eq!(against.breaks, [0]);
    assert!(
        against
            .says(&plan)
            .ends_with("but the duty of Dusk lamp is broken.")
    );
    let nearest = found.nearest.expect("a change that comes nearer");
    assert!(nearest.reached < found.present.expect("a start"));
    assert!(nearest.reached > clock("17:15").ms(24 * HOUR));
}
