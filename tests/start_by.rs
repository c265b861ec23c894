//! Another time for a load's start: every offer is run again, and the minute is met and every kept duty kept.

#![cfg(not(target_arch = "wasm32"))]

pub mod simple_engine;

use duskline::net::Weight;
use duskline::plan::{Clock, PartId, Plan, examples, read_plan};
use duskline::proof::start_by::{
    Bound, HANDFUL, NoStart, Offer, OfferKind, RUNS, StartOutcome, StartSearch, StartWish, start_by,
};
use duskline::proof::{Check, Study, check};
use duskline::quantity::Ms;
use simple_engine::duties;
use std::collections::BTreeSet;

fn wish(part: &str, at: &str, bound: Bound) -> StartWish {
    StartWish {
        part: part.into(),
        at: Clock::parse(at).expect("a time"),
        bound,
        near: None,
    }
}

fn example(title: &str) -> Plan {
    let text = examples().iter().find(|(name, _)| *name == title);
    read_plan(text.expect("an example").1).expect("an example reads")
}

/// What a load does at every millisecond asked about on the days that repeat, told from the record alone.
struct Again {
    check: Check,
    day: Ms,
    first: Ms,
    days: Ms,
    runs: Vec<(Ms, Ms)>,
}

impl Again {
    fn of(plan: &Plan, part: &PartId) -> Again {
        let study = Study::new(plan.clone());
        let place = plan.parts.iter().position(|p| p.id == *part);
        let load = study.journey().record.loads.get(&place.expect("the load"));
        let (check, day) = (study.check().as_ref().clone(), plan.world.day_ms());
        let first = check.repeats.unwrap_or(0);
        Again {
            first,
            days: check.days - first,
            day,
            runs: load.map(|l| l.runs.clone()).unwrap_or_default(),
            check,
        }
    }

    /// Whether it runs so many milliseconds after the midnight of the first repeating day.
    fn is_on(&self, t: Ms) -> bool {
        let t = self.first * self.day + t % (self.days * self.day);
        self.runs.iter().any(|(from, to)| *from <= t && t < *to)
    }

    /// The load's starts, as milliseconds of their days.
    fn starts(&self) -> Vec<Ms> {
        let from = self.first * self.day;
        let all = self.runs.iter().map(|run| run.0);
        let counts = |t: &Ms| *t >= from && !(*t == from && self.is_on(self.days * self.day - 1));
        all.filter(counts).map(|t| t % self.day).collect()
    }
}

fn errors(check: &Check) -> usize {
    let all = check.problems.iter();
    all.filter(|p| p.weight == Weight::Error).count()
}

/// Holds the loads that are said to move along against the starts of every load, told from the records alone.
fn check_along(plan: &Plan, after: &Plan, wish: &StartWish, offer: &Offer) {
    let minutes = |plan: &Plan, part: &PartId| -> BTreeSet<String> {
        let again = Again::of(plan, part);
        let starts = again.starts().into_iter();
        starts
            .map(|t| Clock::at(t, again.day).to_string())
            .collect()
    };
    let said = |all: &[Clock]| -> BTreeSet<String> { all.iter().map(Clock::to_string).collect() };
    for part in plan.parts.iter().map(|p| &p.id) {
        if *part == wish.part || after.part(part).is_none() {
            continue;
        }
        let (was, is) = (minutes(plan, part), minutes(after, part));
        let told = offer.along.iter().find(|moved| moved.part == *part);
        let told = told.map(|moved| (said(&moved.gone), said(&moved.new)));
        let (gone, new) = (&was - &is, &is - &was);
        let differs = (!gone.is_empty() || !new.is_empty()).then_some((gone, new));
        assert_eq!(told, differs, "{part}: {}", offer.remedy.says);
    }
}

/// Runs the changed plan again and holds an offer to what it says; `now` is when the load starts without it.
fn holds(plan: &Plan, wish: &StartWish, now: Ms, offer: &Offer) {
    let says = &offer.remedy.says;
    let mut after = plan.clone();
    after
        .apply_all(offer.remedy.edits.clone())
        .expect("it applies");
    assert!(read_plan(&after.print()).is_ok(), "{says}");
    let (before, again) = (check(plan), Again::of(&after, &wish.part));
    for (was, is) in before.duties.iter().zip(&again.check.duties) {
        assert!(is.kept || !was.kept, "{says}: {:?}", is.part);
    }
    check_along(plan, &after, wish, offer);
    assert!(again.check.for_ever || !before.for_ever, "{says}");
    assert!(errors(&again.check) <= errors(&before), "{says}");
    if !again.check.for_ever {
        return;
    }
    // Between the two times it is on where it is to start sooner, and off where later; on every day.
    let (day, wanted) = (again.day, wish.at.ms(again.day));
    for number in 1..=again.days {
        let midnight = number * day;
        let (from, to, on) = match wish.bound {
            Bound::AtLatest => (wanted, wanted + (now + day - wanted) % day, true),
            Bound::NotBefore => (now, now + (wanted + day - now) % day - 1, false),
        };
        for step in 0..=48 {
            let t = midnight + from + (to - from) * step / 48;
            assert_eq!(again.is_on(t), on, "{says}: {t} of {day}");
        }
    }
    assert!(
        again.starts().contains(&offer.reached),
        "{says} {:?}",
        again.starts()
    );
    let late = i128::from(offer.reached) - i128::from(wanted) - i128::from(offer.off);
    assert_eq!(late.rem_euclid(i128::from(day)), 0, "{says}");
    assert!(match wish.bound {
        Bound::AtLatest => offer.off <= 0,
        Bound::NotBefore => offer.off >= 0,
    });
}

/// All offers, each held to what it says.
fn asked(plan: &Plan, wish: &StartWish) -> (Vec<Offer>, StartOutcome) {
    let (offers, outcome) = start_by(plan, wish).expect("a start");
    for offer in &offers {
        holds(plan, wish, outcome.now, offer);
    }
    assert!(offers.is_sorted_by_key(Offer::rank));
    assert!(outcome.tried <= RUNS);
    for kind in OfferKind::ALL {
        assert!(offers.iter().filter(|o| o.kind == kind).count() <= HANDFUL);
    }
    (offers, outcome)
}

fn kinds(offers: &[Offer]) -> BTreeSet<OfferKind> {
    offers.iter().map(|o| o.kind).collect()
}

#[test]
fn the_dusk_lamp_can_start_at_a_quarter_to_five() {
    let plan = example("Dusk lamp");
    let (offers, outcome) = asked(&plan, &wish("p6", "16:45", Bound::AtLatest));
    assert_eq!(Clock::at(outcome.now, 86_400_000).to_string(), "17:21");
    let all = kinds(&offers);
    assert!(all.contains(&OfferKind::Aim), "{all:?}");
    assert!(all.contains(&OfferKind::Tap), "{all:?}");
    assert!(all.contains(&OfferKind::Panel), "{all:?}");
    assert!(all.contains(&OfferKind::Switch), "{all:?}");
    assert!(outcome.nearest.is_none() && outcome.says.is_none());
}

#[test]
fn the_dusk_lamp_can_start_later_up_to_dusk() {
    let plan = example("Dusk lamp");
    let (offers, _) = asked(&plan, &wish("p6", "17:45", Bound::NotBefore));
    let all = kinds(&offers);
    assert!(all.contains(&OfferKind::Aim), "{all:?}");
    assert!(all.contains(&OfferKind::Switch), "{all:?}");
}

#[test]
fn the_light_s_dusk_lamp_can_start_some_minutes_earlier_and_not_half_an_hour() {
    let plan = example("Kittiwake Light");
    let (offers, outcome) = asked(&plan, &wish("p9", "17:40", Bound::AtLatest));
    assert_eq!(outcome.now, 63_918_851);
    let all = kinds(&offers);
    assert!(all.contains(&OfferKind::Aim) && all.len() > 1, "{all:?}");
    // The stair lamp hangs on the dusk lamp's loop, and is said to come on with it.
    for offer in &offers {
        let along = &offer.along;
        assert!(
            along.iter().any(|moved| moved.part == "p10".into()),
            "{along:?}"
        );
        let says = &offer.remedy.says;
        assert!(
            says.contains("Moved along with it: Stair lamp, to 17:"),
            "{says}"
        );
    }
    // Its own duty lets it burn for half an hour by daylight, no longer.
    let (offers, outcome) = asked(&plan, &wish("p9", "17:15", Bound::AtLatest));
    assert!(offers.is_empty(), "{offers:?}");
    let says = outcome.says.expect("a sentence");
    assert!(
        says.contains("the duty of Dusk lamp (while it is dark, and only then)"),
        "{says}"
    );
    let nearest = outcome.nearest.expect("something is nearer");
    assert!(nearest.off > 0 && nearest.reached < 63_918_851);
    let mut after = plan.clone();
    after.apply_all(nearest.remedy.edits).expect("it applies");
    assert!(check(&after).duties.iter().all(|d| d.kept));
}

#[test]
fn every_offer_on_random_plans_meets_the_minute_and_keeps_what_was_kept() {
    let (mut asked_for, mut offered, mut nothing) = (0, BTreeSet::new(), 0);
    duties::plans().each(25, |case| {
        let mut plan = read_plan(&case.document.to_string()).expect("a sound plan");
        // Longer days of weather only make the runs longer.
        plan.world.weather.truncate(2);
        let day = plan.world.day_ms();
        let loads: Vec<PartId> = plan.duties.iter().map(|d| d.part.clone()).collect();
        for part in loads.into_iter().take(2) {
            let Some(start) = Again::of(&plan, &part).starts().last().copied() else {
                continue;
            };
            for (bound, minutes) in [(Bound::AtLatest, -30i64), (Bound::NotBefore, 30)] {
                let minute = i64::from(Clock::at(start, day).minute()) + minutes;
                let minute = minute.rem_euclid(1440);
                let at = format!("{:02}:{:02}", minute / 60, minute % 60);
                let wish = StartWish {
                    near: Some(Clock::at(start, day)),
                    ..wish(part.as_str(), &at, bound)
                };
                match start_by(&plan, &wish) {
                    Ok((offers, outcome)) => {
                        asked_for += 1;
                        nothing += usize::from(offers.is_empty());
                        assert_eq!(offers.is_empty(), outcome.says.is_some());
                        for offer in &offers {
                            offered.insert(offer.kind);
                            holds(&plan, &wish, outcome.now, offer);
                        }
                    }
                    Err(why) => assert_ne!(why, NoStart::NoLoad),
                }
            }
        }
    });
    // Or the test would look at nothing.
    assert!(asked_for > 10 && offered.len() > 1 && nothing > 0);
}

#[test]
fn nothing_is_offered_where_nothing_works_and_why_is_said() {
    // A wind turbine alone: nothing leads to the lamp that could be set.
    let text = r#"{ "format": "duskline/plan", "version": 1, "book": "outpost",
        "world": { "wind": [0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 1, 1, 1, 1, 1, 1] },
        "parts": [{ "id": "p1", "type": "wind-turbine" }, { "id": "p2", "type": "lamp", "name": "Lamp" }],
        "wires": [{ "id": "w1", "from": "p1.out", "to": "p2.in" }] }"#;
    let plan = read_plan(text).expect("a sound plan");
    let (offers, outcome) = asked(&plan, &wish("p2", "16:00", Bound::AtLatest));
    assert!(offers.is_empty() && outcome.nearest.is_none());
    assert_eq!(
        outcome.says.as_deref(),
        Some(
            "Nothing leads to Lamp that could be set, turned or added to start it at 16:00 at the latest."
        )
    );
    // As it is wanted already.
    let (offers, outcome) = asked(&plan, &wish("p2", "19:00", Bound::AtLatest));
    assert!(offers.is_empty() && outcome.already && outcome.tried == 0);
    let always = start_by(
        &example("Kittiwake Light"),
        &wish("p7", "16:00", Bound::AtLatest),
    );
    assert_eq!(always.err(), Some(NoStart::Always));
    // A load that nothing feeds never runs, and is told from one that always does.
    let mut unfed = plan.clone();
    unfed.wires = Default::default();
    let never = start_by(&unfed, &wish("p2", "16:00", Bound::AtLatest));
    assert_eq!(never.err(), Some(NoStart::Never));
    let said = |why: NoStart| why.says("Lamp");
    assert!(said(NoStart::Never).contains("never runs"));
    assert!(said(NoStart::Always).contains("runs all the time"));
    let none = start_by(&plan, &wish("p1", "16:00", Bound::AtLatest));
    assert_eq!(none.err(), Some(NoStart::NoLoad));
}

#[test]
fn a_search_tells_how_far_it_is_and_crosses_to_a_worker() {
    let plan = example("Dusk lamp");
    let wish = wish("p6", "16:45", Bound::AtLatest);
    let mut search = StartSearch::new(&plan, &wish).expect("a start");
    let (_, of) = search.progress();
    let (mut done, mut found) = (0, Vec::new());
    while let Some(piece) = search.next() {
        done += 1;
        assert_eq!(search.progress(), (done, of));
        found.extend(piece);
    }
    assert_eq!(done, of);
    let all = (found, search.outcome());
    let bytes = postcard::to_allocvec(&all).expect("bytes");
    assert_eq!(
        postcard::from_bytes::<(Vec<Offer>, StartOutcome)>(&bytes).unwrap(),
        all
    );
}
