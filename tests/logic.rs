//! The logic table against the boolean expression of random relay nets, evaluated apart; and sequences in which order
//! matters, by hand.

pub mod simple_engine;

use duskline::plan::{Plan, read_plan};
use duskline::proof::{Exploration, Explorer, LogicRow, Rest, Rows, Way};
use serde_json::{Value, json};
use simple_engine::generate::Random;
use std::collections::BTreeMap;

/// A condition on switches, as a relay net has it.
#[derive(Clone, Debug)]
enum Net {
    Switch(usize),
    /// A relay's break contact.
    Not(Box<Net>),
    /// Two contacts in series, or one part with two signals.
    And(Box<Net>, Box<Net>),
    Or(Box<Net>, Box<Net>),
    Xor(Box<Net>, Box<Net>),
}

impl Net {
    fn random(random: &mut Random, switches: usize, depth: u32) -> Net {
        let kind = if depth == 0 { 0 } else { random.index(6) };
        let mut below = || Box::new(Net::random(random, switches, depth - 1));
        match kind {
            1 => Net::Not(below()),
            2 => Net::And(below(), below()),
            3 => Net::Or(below(), below()),
            4 => Net::Xor(below(), below()),
            5 => Net::And(below(), Box::new(Net::Not(below()))),
            _ => Net::Switch(random.index(switches)),
        }
    }

    fn holds(&self, closed: &[bool]) -> bool {
        match self {
            Net::Switch(at) => closed[*at],
            Net::Not(a) => !a.holds(closed),
            Net::And(a, b) => a.holds(closed) && b.holds(closed),
            Net::Or(a, b) => a.holds(closed) || b.holds(closed),
            Net::Xor(a, b) => a.holds(closed) != b.holds(closed),
        }
    }
}

/// A plan in the making. Every line carries one step or none.
#[derive(Default)]
struct Wiring {
    parts: Vec<Value>,
    wires: Vec<Value>,
    /// Where each switch's next step can be taken.
    lines: BTreeMap<usize, String>,
}

impl Wiring {
    fn part(&mut self, kind: &str, set: Value) -> String {
        let id = format!("p{}", self.parts.len() + 1);
        self.parts.push(json!({"id": id, "type": kind, "set": set}));
        id
    }

    fn wire(&mut self, from: &str, to: String) {
        let id = format!("w{}", self.wires.len() + 1);
        self.wires.push(json!({"id": id, "from": from, "to": to}));
    }

    /// A fresh step that is always there.
    fn power(&mut self) -> String {
        let generator = self.part("generator", json!({}));
        let tap = self.part("tap", json!({"amount": 1}));
        self.wire(&format!("{generator}.out"), format!("{tap}.in"));
        format!("{tap}.tap")
    }

    fn gate(
        &mut self,
        kind: &str,
        contact: &str,
        signals: &[(&str, &Net)],
        random: &mut Random,
    ) -> String {
        let gate = self.part(kind, json!({"contact": contact}));
        let power = self.power();
        self.wire(&power, format!("{gate}.feed"));
        for (port, net) in signals {
            let line = self.build(net, random);
            self.wire(&line, format!("{gate}.{port}"));
        }
        format!("{gate}.out")
    }

    /// The port at which a step is offered where the net holds.
    fn build(&mut self, net: &Net, random: &mut Random) -> String {
        match net {
            Net::Switch(at) => {
                let tap = self.part("tap", json!({"amount": 1}));
                let line = self
                    .lines
                    .insert(*at, format!("{tap}.rest"))
                    .expect("a switch");
                self.wire(&line, format!("{tap}.in"));
                format!("{tap}.tap")
            }
            Net::Not(a) => self.gate("relay", "break", &[("coil", a)], random),
            Net::Xor(a, b) => self.gate("xor", "make", &[("a", a), ("b", b)], random),
            Net::And(a, b) if random.chance(50) => {
                self.gate("and", "make", &[("a", a), ("b", b)], random)
            }
            Net::And(a, b) => {
                // In series: the one's line feeds the other's contact.
                let relay = self.part("relay", json!({}));
                let (feed, coil) = (self.build(a, random), self.build(b, random));
                self.wire(&feed, format!("{relay}.feed"));
                self.wire(&coil, format!("{relay}.coil"));
                format!("{relay}.out")
            }
            Net::Or(a, b) if random.chance(50) => {
                self.gate("or", "make", &[("a", a), ("b", b)], random)
            }
            Net::Or(a, b) => {
                // In parallel; a step is taken off the sum.
                let (joint, tap) = (
                    self.part("busbar-2", json!({})),
                    self.part("tap", json!({"amount": 1})),
                );
                let (a, b) = (self.build(a, random), self.build(b, random));
                self.wire(&a, format!("{joint}.in1"));
                self.wire(&b, format!("{joint}.in2"));
                self.wire(&format!("{joint}.out"), format!("{tap}.in"));
                format!("{tap}.tap")
            }
        }
    }
}

fn plan(parts: Vec<Value>, wires: Vec<Value>) -> Plan {
    let document = json!({
        "format": "duskline/plan", "version": 1, "book": "outpost", "parts": parts, "wires": wires,
    });
    read_plan(&document.to_string()).unwrap_or_else(|faults| panic!("{faults:?}"))
}

#[test]
fn tables_are_the_truth_of_random_relay_nets() {
    let (mut on, mut off) = (0, 0);
    for seed in 0..60 {
        let mut random = Random::new(seed);
        let switches = 1 + random.index(6);
        let mut wiring = Wiring::default();
        for at in 0..switches {
            let kind = ["switch", "button", "detector"][random.index(3)];
            let contact = random.pick(&["make", "make", "break"]);
            let (generator, switch) = (
                wiring.part("generator", json!({})),
                wiring.part(kind, json!({"contact": contact})),
            );
            wiring.wire(&format!("{generator}.out"), format!("{switch}.feed"));
            wiring.lines.insert(at, format!("{switch}.out"));
        }
        let nets: Vec<Net> = (0..1 + random.index(3))
            .map(|_| Net::random(&mut random, switches, 3))
            .collect();
        let mut lamps = Vec::new();
        for net in &nets {
            let line = wiring.build(net, &mut random);
            let lamp = wiring.part("lantern", json!({}));
            wiring.wire(&line, format!("{lamp}.in"));
            lamps.push(lamp);
        }
        let plan = plan(wiring.parts.clone(), wiring.wires.clone());
        let rows = Rows::new(&plan, 0);
        let table = rows.table().clone();
        assert_eq!((table.inputs.len(), table.rows), (switches, 1 << switches));
        let breaks: Vec<bool> = table
            .inputs
            .iter()
            .map(|i| plan.part(&i.part).unwrap().set["contact"] == "break")
            .collect();
        let mut seen = 0;
        for row in rows {
            assert_eq!(row.rest, Rest::Settled, "plan {seed}");
            // A break contact conducts while its function is false.
            let closed: Vec<bool> = row
                .inputs
                .iter()
                .zip(&breaks)
                .map(|(q, b)| q != b)
                .collect();
            for (net, lamp) in nets.iter().zip(&lamps) {
                let at = table
                    .loads
                    .iter()
                    .position(|id| id.as_str() == lamp)
                    .unwrap();
                let holds = net.holds(&closed);
                assert_eq!(row.runs[at], holds, "plan {seed}: {net:?} with {closed:?}");
                *if holds { &mut on } else { &mut off } += 1;
            }
            seen += 1;
        }
        assert_eq!(seen, table.rows);
    }
    println!("{on} lamps on, {off} off");
    // Both were met.
    assert!(on > 0 && off > 0);
}

fn explored(plan: &Plan, t: u64) -> Exploration {
    let mut explorer = Explorer::new(plan, t);
    while explorer.step() {}
    explorer.findings()
}

fn input(id: &str, truth: bool) -> Way {
    Way::Input(id.into(), truth)
}

fn part(id: &str, kind: &str, set: Value) -> Value {
    json!({"id": id, "type": kind, "set": set})
}

fn wire(id: &str, from: &str, to: &str) -> Value {
    json!({"id": id, "from": from, "to": to})
}

/// A relay that holds itself once the start button was pressed: start or its own contact, through a stop button if there is
/// one, feeds the coil.
fn self_holding(stop: bool) -> Plan {
    let mut parts = vec![
        part("g", "generator", json!({})),
        part("d", "divider-2", json!({})),
        part("start", "button", json!({})),
        part("joint", "busbar-2", json!({})),
        part("k", "relay", json!({})),
        part("share", "divider-2", json!({})),
        part("lamp", "lamp", json!({})),
    ];
    let mut wires = vec![
        wire("w1", "g.out", "d.in"),
        wire("w2", "d.out1", "start.feed"),
        wire("w3", "d.out2", "k.feed"),
        wire("w4", "start.out", "joint.in1"),
        wire("w5", "k.out", "share.in"),
        wire("w6", "share.out1", "lamp.in"),
        wire("w7", "share.out2", "joint.in2"),
    ];
    if stop {
        parts.push(part("stop", "button", json!({"contact": "break"})));
        wires.push(wire("w8", "joint.out", "stop.feed"));
        wires.push(wire("w9", "stop.out", "k.coil"));
    } else {
        wires.push(wire("w8", "joint.out", "k.coil"));
    }
    plan(parts, wires)
}

#[test]
fn a_self_holding_relay_can_be_let_go_only_by_a_stop() {
    let with = explored(&self_holding(true), 0);
    assert!(with.complete && with.traps.is_empty() && with.chatters.is_empty());
    assert!(with.never_run.is_empty() && with.never_close.is_empty());
    // Both buttons let go: on after start, off at first.
    assert_eq!(with.order.len(), 1);
    assert_eq!(with.order[0].load.as_str(), "lamp");
    assert_eq!(
        with.order[0].runs,
        [input("start", true), input("start", false)]
    );
    assert!(with.order[0].rests.is_empty());
    // Start let go or held, stop let go or held, and the relay held or not: start held and stop let go holds the relay,
    // stop held lets it go.
    assert_eq!(with.states, 5);

    let without = explored(&self_holding(false), 0);
    assert_eq!(without.traps.len(), 1);
    let trap = &without.traps[0];
    assert_eq!(trap.way, [input("start", true)]);
    assert_eq!(trap.stay, [("k".into(), true)]);
    assert_eq!(trap.loads, [("lamp".into(), true)]);
}

#[test]
fn a_relay_that_cuts_its_own_coil_chatters_and_the_table_says_in_which_rows() {
    let buzzer = plan(
        vec![
            part("g", "generator", json!({})),
            part("s", "switch", json!({})),
            part("k", "relay", json!({"contact": "break"})),
        ],
        vec![
            wire("w1", "g.out", "s.feed"),
            wire("w2", "s.out", "k.feed"),
            wire("w3", "k.out", "k.coil"),
        ],
    );
    let rows: Vec<LogicRow> = Rows::new(&buzzer, 0).collect();
    assert_eq!(rows[0].rest, Rest::Settled);
    assert_eq!(rows[1].rest, Rest::Chatters(vec!["k".into()]));
    let found = explored(&buzzer, 0);
    assert_eq!(found.chatters.len(), 1);
    assert_eq!(found.chatters[0].way, [input("s", true)]);
    assert_eq!(found.chatters[0].contacts, ["k".into()]);
}

/// A generator, a push button, and the contact `kind` that it signals to, which feeds a lamp.
fn signalled(kind: &str, set: Value, port: &str) -> Plan {
    plan(
        vec![
            part("g", "generator", json!({})),
            part("h", "generator", json!({})),
            part("b", "button", json!({})),
            part("k", kind, set),
            part("lamp", "lamp", json!({})),
        ],
        vec![
            wire("w1", "g.out", "b.feed"),
            wire("w2", "b.out", &format!("k.{port}")),
            wire("w3", "h.out", "k.feed"),
            wire("w4", "k.out", "lamp.in"),
        ],
    )
}

#[test]
fn an_impulse_relay_remembers_and_can_always_be_turned_back() {
    let found = explored(&signalled("impulse", json!({}), "trigger"), 0);
    assert_eq!(found.states, 4, "button and relay, each on or off");
    assert!(found.traps.is_empty());
    assert_eq!(found.order[0].runs, [input("b", true), input("b", false)]);
}

#[test]
fn a_counter_that_nothing_resets_stays_at_its_target() {
    let found = explored(&signalled("counter", json!({"target": 3}), "count"), 0);
    assert_eq!(found.traps.len(), 1);
    let press = [input("b", true), input("b", false)];
    assert_eq!(
        found.traps[0].way,
        [press.clone(), press, [input("b", true), input("b", false)]].concat()[..5]
    );
    assert_eq!(found.traps[0].loads, [("lamp".into(), true)]);
}

#[test]
fn a_latch_that_is_never_reset_is_a_trap_and_one_that_is_never_set_leaves_its_lamp_dark() {
    let set = explored(&signalled("latch", json!({}), "set"), 0);
    assert_eq!(set.traps[0].stay, [("k".into(), true)]);
    let reset = explored(&signalled("latch", json!({}), "reset"), 0);
    assert_eq!(
        (reset.never_run, reset.never_close),
        (vec!["lamp".into()], vec!["k".into()])
    );
}

#[test]
fn timers_are_waited_for() {
    // An on-delay of an hour has come on and a pulse is over by the time that is looked at.
    let rows = |kind: &str, delay: u64| -> Vec<bool> {
        let plan = signalled(kind, json!({"delay_s": delay}), "trigger");
        Rows::new(&plan, 0).map(|row| row.runs[0]).collect()
    };
    assert_eq!(rows("on-delay", 3600), [false, true]);
    assert_eq!(rows("off-delay", 3600), [false, true]);
    assert_eq!(rows("pulse", 3600), [false, false]);
    // In passing it did run.
    let found = explored(&signalled("pulse", json!({"delay_s": 3600}), "trigger"), 0);
    assert!(found.never_run.is_empty() && found.never_close.is_empty());
}

#[test]
fn a_flasher_is_restless_and_does_not_chatter() {
    // Two on-delays that restart each other while the switch is closed.
    let flasher = plan(
        vec![
            part("g", "generator", json!({})),
            part("s", "switch", json!({})),
            part("d", "divider-2", json!({})),
            part("a", "on-delay", json!({"delay_s": 2, "contact": "break"})),
            part("b", "off-delay", json!({"delay_s": 2})),
        ],
        vec![
            wire("w1", "g.out", "s.feed"),
            wire("w2", "s.out", "d.in"),
            wire("w3", "d.out1", "a.feed"),
            wire("w4", "a.out", "b.trigger"),
            wire("w5", "d.out2", "b.feed"),
            wire("w6", "b.out", "a.trigger"),
        ],
    );
    let rows: Vec<LogicRow> = Rows::new(&flasher, 0).collect();
    assert_eq!(
        (&rows[0].rest, &rows[1].rest),
        (&Rest::Settled, &Rest::Restless)
    );
    let found = explored(&flasher, 0);
    assert_eq!(found.chatters.len(), 1);
    assert!(found.chatters[0].contacts.is_empty());
}

#[test]
fn a_relay_that_waits_for_dusk_is_seen_to_close_though_it_is_noon() {
    let dusk = plan(
        vec![
            part("panel", "sun-panel", json!({})),
            part("g", "generator", json!({})),
            part("k", "relay", json!({"contact": "break"})),
            part("lamp", "lamp", json!({})),
        ],
        vec![
            wire("w1", "panel.out", "k.coil"),
            wire("w2", "g.out", "k.feed"),
            wire("w3", "k.out", "lamp.in"),
        ],
    );
    let noon = 12 * 3_600_000;
    let rows: Vec<LogicRow> = Rows::new(&dusk, noon).collect();
    assert_eq!((rows.len(), rows[0].runs[0]), (1, false));
    let found = explored(&dusk, noon);
    assert!(found.never_run.is_empty() && found.never_close.is_empty() && found.complete);
}

#[test]
fn more_inputs_than_are_tried_are_named() {
    let mut parts = vec![part("g", "generator", json!({}))];
    parts.extend((0..14).map(|n| part(&format!("s{n}"), "switch", json!({}))));
    let rows = Rows::new(&plan(parts, vec![]), 0);
    assert_eq!((rows.table().inputs.len(), rows.table().rows), (12, 4096));
    assert_eq!(rows.table().left_out, ["s12".into(), "s13".into()]);
}

#[test]
fn the_bound_of_states_is_told() {
    // A counter to a million: each press is a new state.
    let found = explored(
        &signalled("counter", json!({"target": 1_000_000}), "count"),
        0,
    );
    assert!(!found.complete && found.traps.is_empty());
    assert_eq!(found.never_run, ["lamp".into()]);
}
