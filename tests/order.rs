//! The order of work, carried out step by step as the terminal prints it: every step must be legal, what is read at each
//! check must be what the plan that stands then shows, and in the end the plan must stand.
//!
//! The plan that stands is built from the printed JSON alone, and what it shows is asked of the program's instant and, for
//! some plans, of the simple engine.

#![cfg(not(target_arch = "wasm32"))]

pub mod program;
pub mod simple_engine;

use duskline::book::{Behaviour, Side};
use duskline::net::Net;
use duskline::plan::{Clock, Edit, End, Part, PartId, Plan, Wire, WireId, examples, read_plan};
use duskline::run::{self, PartState};
use duskline::works::{StepWords, Work, WorkOrder};
use program::{err, out, run as program};
use serde_json::{Value, json};
use simple_engine::{Simple, generate};
use std::collections::{BTreeMap, BTreeSet};

const PLANS: u64 = 60;

fn printed(text: &str, at: &str) -> Value {
    let output = program(&["steps", "-", "--json", "--at", at], text);
    assert_eq!(output.status.code(), Some(0), "{}", err(&output));
    serde_json::from_str(out(&output)).expect("JSON")
}

fn text_of(value: &Value) -> &str {
    value
        .as_str()
        .unwrap_or_else(|| panic!("{value} is no text"))
}

fn end(value: &Value) -> End {
    let (part, port) = text_of(value).rsplit_once('.').expect("part.port");
    End::new(&PartId::from(part), port)
}

/// A plan in the making, beside the one that is to be built.
struct Site<'a> {
    plan: &'a Plan,
    stands: Plan,
    t: u64,
    /// The plan's wires on closed loops.
    loops: BTreeSet<String>,
    /// What each place showed when it was last told.
    told: BTreeMap<String, Value>,
    /// The parts placed since the last check.
    fresh: BTreeSet<PartId>,
    /// Whether a wire by which power comes in was laid since then.
    is_supplied: bool,
    /// What the simple engine is asked too.
    asks_simple: bool,
}

/// The ids of the wires on closed loops.
fn looped(plan: &Plan) -> BTreeSet<String> {
    let loops = Net::compile(plan).loops.into_iter().flatten();
    loops.map(|at| plan.wires[at].id.to_string()).collect()
}

impl<'a> Site<'a> {
    fn new(plan: &'a Plan, at: &str, asks_simple: bool) -> Site<'a> {
        Site {
            stands: Plan {
                parts: Vec::new().into(),
                wires: Vec::new().into(),
                duties: Vec::new(),
                meant: Vec::new(),
                ..plan.clone()
            },
            t: Clock::parse(at).expect("a time").ms(plan.world.day_ms()),
            loops: looped(plan),
            told: BTreeMap::new(),
            fresh: BTreeSet::new(),
            is_supplied: false,
            asks_simple,
            plan,
        }
    }

    fn apply(&mut self, edit: Edit, step: &Value) {
        if let Err(error) = self.stands.apply(edit) {
            panic!("step {step} is not legal: {error}");
        }
    }

    fn do_step(&mut self, step: &Value) {
        match text_of(&step["kind"]) {
            "place" => self.place(step),
            "set" => self.set(step),
            "wire" => self.wire(step),
            "check" => self.check(step),
            other => panic!("{other} is no kind of step"),
        }
    }

    fn place(&mut self, step: &Value) {
        let id = PartId::from(text_of(&step["part"]));
        let part = Part::new(id.clone(), text_of(&step["type"]), (0.0, 0.0));
        self.apply(Edit::AddPart(usize::MAX, part), step);
        let count = step["count"].as_u64().expect("a count");
        self.apply(Edit::Count(id.clone(), count), step);
        self.fresh.insert(id);
    }

    fn set(&mut self, step: &Value) {
        let id = PartId::from(text_of(&step["part"]));
        let part = self.stands.part(&id).expect("it stands");
        assert!(part.set.is_empty(), "{id} is set a second time");
        assert!(
            self.fresh.contains(&id),
            "{id} was checked before it was set"
        );
        for (name, value) in step["set"].as_object().expect("settings") {
            self.apply(
                Edit::Set(id.clone(), name.clone(), Some(value.clone())),
                step,
            );
        }
    }

    fn wire(&mut self, step: &Value) {
        let (from, to) = (end(&step["from"]), end(&step["to"]));
        let id = WireId::from(text_of(&step["wire"]));
        let behaviour = |id: &PartId| {
            let part = self.plan.part(id).expect("a part");
            self.plan.kind_of(part).expect("a type").behaviour.clone()
        };
        let supplies = matches!(
            behaviour(&from.part),
            Behaviour::Source { .. } | Behaviour::Battery { .. }
        );
        let joins = !self.fresh.contains(&from.part);
        if supplies || joins {
            self.is_supplied = true;
        } else {
            assert!(
                !self.is_supplied,
                "{id} is laid when the branch may be live"
            );
        }
        self.apply(Edit::AddWire(usize::MAX, Wire::new(id, from, to)), step);
        if !self.is_supplied {
            self.assert_dead();
        }
        let strange: Vec<String> = looped(&self.stands)
            .difference(&self.loops)
            .cloned()
            .collect();
        assert!(
            strange.is_empty(),
            "{strange:?} are on a closed loop here and not in the plan"
        );
    }

    /// Nothing is offered in the branch that one works at.
    fn assert_dead(&self) {
        let instant = run::at(&self.stands, self.t);
        for (wire, flow) in self.stands.wires.iter().zip(&instant.wires) {
            let touches =
                self.fresh.contains(&wire.from.part) || self.fresh.contains(&wire.to.part);
            assert!(
                !touches || flow.offer == 0,
                "{} is live while one works",
                wire.id
            );
        }
    }

    fn check(&mut self, step: &Value) {
        for part in &self.stands.parts {
            let meant = self.plan.part(&part.id).expect("a part of the plan");
            assert_eq!(part.set, meant.set, "{} at its check", part.id);
        }
        let stands = |end: &End| self.stands.part(&end.part).is_some();
        for wire in &self.plan.wires {
            let is_laid = self.stands.wire(&wire.id).is_some();
            // What power and signals come from stands before what they go to.
            assert_eq!(is_laid, stands(&wire.to), "{} at a check", wire.id);
            assert!(!is_laid || stands(&wire.from));
        }
        let shown = shown(&self.stands, self.t);
        if self.asks_simple {
            assert_eq!(shown, shown_by_simple(&self.stands, self.t), "at {step}");
        }
        let mut read = BTreeMap::new();
        for reads in step["reads"].as_array().expect("readings") {
            let place = reads.get("part").or(reads.get("wire")).expect("a place");
            let before = read.insert(text_of(place).to_string(), reads.clone());
            assert!(before.is_none(), "{place} is read twice in {step}");
        }
        assert!(!read.is_empty(), "a check without a reading");
        for (place, reads) in &read {
            assert_eq!(Some(reads), shown.get(place), "{place} in {step}");
            self.told.insert(place.clone(), reads.clone());
        }
        // Whatever is not read shows what it showed when it was.
        assert_eq!(self.told, shown, "at {step}");
        for part in std::mem::take(&mut self.fresh) {
            let is_shown = shown.contains_key(part.as_str());
            assert!(
                !is_shown || read.contains_key(part.as_str()),
                "{part} is not read"
            );
        }
        self.is_supplied = false;
    }

    fn finish(self) {
        let parts = |plan: &Plan| -> BTreeMap<String, Value> {
            let parts = plan.parts.iter();
            parts
                .map(|p| (p.id.to_string(), json!([p.kind, p.count, p.set])))
                .collect()
        };
        let wires = |plan: &Plan| -> BTreeMap<String, Value> {
            let wires = plan.wires.iter();
            wires
                .map(|w| {
                    (
                        w.id.to_string(),
                        json!([w.from.to_string(), w.to.to_string()]),
                    )
                })
                .collect()
        };
        assert_eq!(parts(&self.stands), parts(self.plan));
        assert_eq!(wires(&self.stands), wires(self.plan));
    }
}

/// What is to be read in a plan, by part, and for a meter by the wire at its input, else at its output.
fn shown(plan: &Plan, t: u64) -> BTreeMap<String, Value> {
    let instant = run::at(plan, t);
    let mut shown = BTreeMap::new();
    for (part, state) in plan.parts.iter().zip(&instant.parts) {
        let id = part.id.to_string();
        let reads = match *state {
            PartState::Load { runs: true, .. } => json!({ "part": id, "shows": "runs" }),
            PartState::Load { offered: 0, .. } => json!({ "part": id, "shows": "off" }),
            PartState::Load { draw, offered, .. } => {
                json!({ "part": id, "shows": format!("short {}", draw - offered) })
            }
            PartState::Contact { conducts, .. } => {
                json!({ "part": id, "shows": if conducts { "conducts" } else { "open" } })
            }
            PartState::Battery {
                level, capacity, ..
            } => {
                json!({ "part": id, "level": (level * 1000 / capacity) as u64 })
            }
            _ => continue,
        };
        shown.insert(id, reads);
    }
    for (wire, _) in metered(plan) {
        let flow = instant.wires[plan.wire_place(&wire).expect("a wire")];
        let reads = json!({ "wire": wire, "take": flow.take, "offer": flow.offer });
        shown.insert(wire.to_string(), reads);
    }
    shown
}

/// The wire at which each meter is read.
fn metered(plan: &Plan) -> Vec<(WireId, PartId)> {
    let meters = plan.parts.iter().filter(|part| {
        let kind = plan.kind_of(part).expect("a type");
        matches!(kind.behaviour, Behaviour::Meter)
    });
    let wire = |part: &Part| {
        let at = |port: &str| plan.wire_at(&End::new(&part.id, port));
        let wire = at("in").or_else(|| at("out"))?;
        Some((wire.id.clone(), part.id.clone()))
    };
    meters.filter_map(wire).collect()
}

/// The same, as the simple engine has it.
fn shown_by_simple(plan: &Plan, t: u64) -> BTreeMap<String, Value> {
    let value: Value = serde_json::from_str(&plan.print()).expect("JSON");
    let t = i64::try_from(t).expect("a short world");
    let outcome = Simple::new(&value, &value["book"]).run(t + 1, &[t]);
    let moment = &outcome.moments[0];
    let mut shown = BTreeMap::new();
    for (id, runs) in &moment.runs {
        let part = plan.part(&PartId::from(id.as_str())).expect("a part");
        let wire = plan.wire_at(&End::new(&part.id, "in"));
        let offer = wire.map_or(0, |wire| moment.wires[wire.id.as_str()].0);
        let kind = plan.kind_of(part).expect("a type");
        let Behaviour::Load { draw, .. } = kind.behaviour else {
            panic!("{id} is no load");
        };
        let draw = (draw * part.count) as i64;
        let word = match (*runs, offer) {
            (true, _) => "runs".to_string(),
            (false, 0) => "off".to_string(),
            (false, offer) => format!("short {}", draw - offer),
        };
        shown.insert(id.clone(), json!({ "part": id, "shows": word }));
    }
    for (id, conducts) in &moment.conducts {
        let word = if *conducts { "conducts" } else { "open" };
        shown.insert(id.clone(), json!({ "part": id, "shows": word }));
    }
    for (id, store) in &moment.batteries {
        let part = plan.part(&PartId::from(id.as_str())).expect("a part");
        let Some(duskline::plan::Spec::Battery { capacity, .. }) = plan.spec(part) else {
            panic!("{id} is no battery");
        };
        let level = (store.level * 1000 / capacity) as u64;
        shown.insert(id.clone(), json!({ "part": id, "level": level }));
    }
    for (wire, _) in metered(plan) {
        let (offer, take) = moment.wires[wire.as_str()];
        shown.insert(
            wire.to_string(),
            json!({ "wire": wire, "take": take, "offer": offer }),
        );
    }
    shown
}

fn carry_out(text: &str, at: &str, asks_simple: bool) -> Value {
    let plan = read_plan(text).unwrap_or_else(|faults| panic!("{faults:?}"));
    let order = printed(text, at);
    assert_eq!(order["at"], at);
    let mut site = Site::new(&plan, at, asks_simple);
    let steps = order["steps"].as_array().expect("steps");
    for (n, step) in steps.iter().enumerate() {
        assert_eq!(step["n"], n + 1);
        let says = text_of(&step["says"]);
        assert!(says.ends_with('.'), "{says} is no sentence");
        site.do_step(step);
    }
    site.finish();
    order
}

#[test]
fn the_examples_are_built_step_by_step() {
    for (_, text) in examples() {
        for at in ["12:00", "00:00", "21:30", "24:00"] {
            carry_out(text, at, false);
        }
    }
}

#[test]
fn random_plans_are_built_step_by_step() {
    let mut checks = 0;
    generate::plans().each(PLANS, |case| {
        let at = ["12:00", "06:00", "23:59"][case.seed as usize % 3];
        let text = case.document.to_string();
        let order = carry_out(&text, at, case.seed % 4 == 0);
        let steps = order["steps"].as_array().expect("steps");
        checks += steps.iter().filter(|step| step["kind"] == "check").count();
    });
    assert!(checks > 200, "only {checks} checks were seen");
}

#[test]
fn a_branch_is_built_from_its_far_end_and_its_control_circuit_is_there_first() {
    let (_, text) = examples()
        .iter()
        .find(|(name, _)| name.starts_with("Kittiwake"))
        .expect("the station");
    let plan = read_plan(text).expect("an example reads");
    let order = printed(text, "12:00");
    let steps = order["steps"].as_array().expect("steps");
    let done = |key: &str, id: &str| steps.iter().position(|step| step[key] == id);
    // The gate relay's trigger comes from the gate button: the button is checked before the relay is placed.
    let is_check_of = |step: &&Value, part: &str| {
        let reads = step["reads"].as_array();
        step["kind"] == "check" && reads.is_some_and(|list| list.iter().any(|r| r["part"] == part))
    };
    let checked = steps.iter().position(|step| is_check_of(&step, "p28"));
    assert!(checked.is_some() && checked < done("part", "p26"));
    // The dusk line is wired from the galley lamp back to the shelf.
    for (far, near) in [
        ("w12", "w11"),
        ("w11", "w10"),
        ("w10", "w9"),
        ("w9", "w8"),
        ("w8", "w6"),
    ] {
        assert!(
            done("wire", far) < done("wire", near),
            "{far} before {near}"
        );
    }
    let signal = |wire: &&Wire| {
        plan.port(&wire.to)
            .is_some_and(|port| port.side == Side::Signal)
    };
    assert_eq!(plan.wires.iter().filter(signal).count(), 6);
}

#[test]
fn what_is_far_away_is_not_gone_to_and_fro() {
    let (_, text) = examples()
        .iter()
        .find(|(name, _)| name.starts_with("Kittiwake"))
        .expect("the station");
    let plan = read_plan(text).expect("an example reads");
    // The places on the board stand for places on the ground: 100 pixels a metre.
    let place = |id: &PartId| plan.part(id).and_then(|part| part.at).expect("a place");
    let walk = |a: &PartId, b: &PartId| {
        let (a, b) = (place(a), place(b));
        ((a.0 - b.0).abs() + (a.1 - b.1).abs()) as u64
    };
    let noon = Clock::parse("12:00").expect("a time");
    let near = WorkOrder::of(&plan, noon, &walk);
    let plain = WorkOrder::of(&plan, noon, &|_, _| 0);
    assert_eq!(plain.walk_cm, 0);
    let walked = |order: &WorkOrder| {
        let mut stands: Option<PartId> = None;
        let mut far = 0;
        for step in &order.steps {
            let stops = match &step.work {
                Work::Place { part, .. } | Work::Set { part, .. } => vec![part.clone()],
                Work::Wire { from, to, .. } => vec![to.part.clone(), from.part.clone()],
                Work::Check(_) => vec![],
            };
            for stop in stops {
                far += stands.as_ref().map_or(0, |from| walk(from, &stop));
                stands = Some(stop);
            }
        }
        far
    };
    assert_eq!(near.walk_cm, walked(&near));
    assert!(
        near.walk_cm < walked(&plain),
        "{} of {}",
        near.walk_cm,
        walked(&plain)
    );
    let again = WorkOrder::of(&plan, noon, &walk);
    assert_eq!(near, again);
    let bytes = postcard::to_allocvec(&near).expect("bytes");
    assert_eq!(
        postcard::from_bytes::<WorkOrder>(&bytes).expect("an order"),
        near
    );
}

/// Banks, parts of one name, settings of every kind, a meter and a load that is short, in words.
#[test]
fn steps_are_whole_sentences() {
    let plan = json!({
        "format": "duskline/plan", "version": 1, "title": "Jetty", "book": "outpost",
        "parts": [
            { "id": "p1", "type": "generator", "name": "Jetty generator", "count": 2 },
            { "id": "p2", "type": "meter" },
            { "id": "p3", "type": "tap", "name": "Jetty tap", "set": { "amount": 5 } },
            { "id": "p4", "type": "lamp", "count": 3 },
            { "id": "p5", "type": "lamp" },
            { "id": "p6", "type": "switch", "name": "Jetty switch", "set": { "closed": true, "schedule": [["06:00", true], ["22:00", false]] } },
            { "id": "p7", "type": "heater", "count": 20 },
            { "id": "p8", "type": "battery", "name": "Jetty battery", "set": { "start": 333 } },
            { "id": "p9", "type": "charge", "set": { "watches": "p8", "low": 250, "high": 300 } },
        ],
        "wires": [
            { "id": "a", "from": "p1.out", "to": "p2.in" },
            { "id": "b", "from": "p2.out", "to": "p3.in" },
            { "id": "c", "from": "p3.tap", "to": "p4.in" },
            { "id": "d", "from": "p3.rest", "to": "p6.feed" },
            { "id": "e", "from": "p6.out", "to": "p7.in" },
            { "id": "f", "from": "p8.out", "to": "p9.feed" },
            { "id": "g", "from": "p9.out", "to": "p5.in" },
        ],
    });
    let order = carry_out(&plan.to_string(), "12:00", false);
    let steps = order["steps"].as_array().expect("steps");
    let said: Vec<&str> = steps.iter().map(|step| text_of(&step["says"])).collect();
    assert_eq!(
        said,
        [
            "Place Jetty generator (2 × Steady generator).",
            "Place Meter.",
            "Place Jetty tap (Tap).",
            "On Jetty tap, set the amount that it sets aside to 5 u.",
            "Wire Meter (out) to Jetty tap (in) with cable 2.",
            "Wire Jetty generator (out) to Meter (in) with cable 1.",
            "Check: at 12:00 Meter takes 0 u of 40 u.",
            "Place 3 × Lamp p4.",
            "Wire Jetty tap (tap) to Lamp p4 (in) with cable 3.",
            "Check: at 12:00 Lamp p4 is short by 1 u.",
            "Place Lamp p5.",
            "Place Jetty battery (Battery).",
            "Have Jetty battery charged to 33.3 % at midnight before the checks, or the readings will differ.",
            "Place Charge contact.",
            "On Charge contact, set the battery that it watches to Jetty battery, the low mark to 25 % and the high mark to 30 %.",
            "Wire Charge contact (out) to Lamp p5 (in) with cable 7.",
            "Wire Jetty battery (out) to Charge contact (feed) with cable 6.",
            "Check: at 12:00 Lamp p5 is off; Jetty battery holds 33.3 %; Charge contact is open.",
            "Place Jetty switch (Switch).",
            "On Jetty switch, set the handle to closed and the daily schedule to closed at 06:00, open at 22:00.",
            "Place 20 × Heater.",
            "Wire Jetty switch (out) to Heater (in) with cable 5.",
            "Wire Jetty tap (rest) to Jetty switch (feed) with cable 4.",
            "Check: at 12:00 Jetty switch conducts; Heater is short by 25 u.",
        ]
    );
    let text = program(&["steps", "-"], &plan.to_string());
    let text = out(&text);
    assert!(
        text.starts_with(
            "Jetty\n\n24 steps in 4 branches.\nIn each branch the cables that bring power in, from branches already built and from \
             sources and batteries, are laid last, so nothing in it is live until then.\nChecks say what is seen at 12:00 of day 1 \
             where the base has run since midnight and each battery then held what the plan has it start with.\n\n\
             Branch 1: Jetty generator, Meter, Jetty tap\n[ ]  1  Place Jetty generator (2 × Steady generator).\n"
        ),
        "{text}"
    );
}

#[test]
fn every_setting_of_the_limits_has_words() {
    let plan = Plan::empty();
    let order = WorkOrder::of(&plan, Clock::parse("12:00").expect("a time"), &|_, _| 0);
    assert!(order.steps.is_empty());
    let book = plan.book.book.clone();
    for kind in &book.types {
        for field in kind.fields() {
            let mut plan = Plan::empty();
            let mut part = Part::new("p1".into(), &kind.name, (0.0, 0.0));
            part.set.insert(field.key.into(), Value::Null);
            plan.apply(Edit::AddPart(0, part)).expect("it fits");
            let words = StepWords::new(&plan, &order);
            let names = vec![field.key.to_string()];
            let part = PartId::from("p1");
            let said = words.says(&Work::Set { part, names });
            let plain = format!("set {} to", field.key);
            assert!(
                !said.contains(&plain),
                "{} of {} is not told: {said}",
                field.key,
                kind.name
            );
        }
    }
}

#[test]
fn an_empty_plan_and_what_is_wrong_are_told_to_the_letter() {
    let empty = json!({ "format": "duskline/plan", "version": 1, "book": "outpost", "parts": [], "wires": [] });
    let output = program(&["steps", "-"], &empty.to_string());
    assert_eq!(out(&output), "The plan has no parts.\n");
    assert_eq!(
        printed(&empty.to_string(), "12:00"),
        json!({ "at": "12:00", "steps": [] })
    );
    let output = program(&["steps", "-", "--at", "25:00"], &empty.to_string());
    assert_eq!(output.status.code(), Some(2));
    assert_eq!(
        err(&output),
        "error: invalid value '25:00' for '--at <HH:MM>': expected HH:MM from 00:00 to 24:00\n\nFor more information, try '--help'.\n"
    );
    let wrong = json!({ "format": "duskline/plan", "version": 1, "book": "outpost",
        "parts": [{ "id": "p1", "type": "lamp", "count": 0 }], "wires": [] });
    let output = program(&["steps", "-"], &wrong.to_string());
    assert_eq!(output.status.code(), Some(2));
    assert_eq!(
        err(&output),
        "-: parts[0].count: found 0, expected a whole number from 1 to 100000\n"
    );
}
