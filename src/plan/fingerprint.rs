//! A plan's fingerprint: 128 bits over all that an answer depends on, and nothing else.
//!
//! Two plans with one fingerprint have the same runs, checks, losses and sizes; only names in sentences may differ. It
//! covers the book, the world, the parts with their kinds, counts, settings and reach, the wires' ends, and the duties,
//! each list in its order. It leaves out title, notes, names, places, bends, unknown fields and the counters of ids. The
//! hash is SipHash-1-3 with a fixed key, the same on every target; it is no proof against people who look for two plans
//! with one fingerprint.

use super::{BookRef, Duty, Part, Plan, SkyRef, Span, When, Wire, World};
use crate::book::{Behaviour, Book, PartType};
use crate::sky::Air;
use serde::{Deserialize, Serialize};
use serde_json::{Map, Number, Value};
use siphasher::sip128::{Hasher128, SipHasher13};
use std::fmt;
use std::hash::Hasher as _;
use std::sync::{Arc, OnceLock};

/// What a plan's answers depend on, as 128 bits.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
pub struct Fingerprint([u64; 2]);

impl fmt::Debug for Fingerprint {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{:016x}{:016x}", self.0[0], self.0[1])
    }
}

impl Plan {
    /// The plan's fingerprint.
    pub fn fingerprint(&self) -> Fingerprint {
        let mut hash = Hash::new();
        let Fingerprint([first, second]) = self.book.fingerprint();
        hash.number(first);
        hash.number(second);
        hash.world(&self.world);
        hash.list(&self.parts, |hash, part| {
            hash.part(part);
            // Whom the plan names stands above whom the site lets come there, and is not the same.
            hash.number(match (part.reach, self.reach_on_site(part)) {
                (None, None) => 0,
                (Some(named), _) => 1 + named as u64,
                (None, Some(on_site)) => 4 + on_site as u64,
            });
        });
        hash.list(&self.wires, Hash::wire);
        hash.list(&self.duties, Hash::duty);
        hash.end()
    }
}

/// A book's fingerprint, kept with the very book that it is of.
#[derive(Clone, Default)]
pub(super) struct Remembered(OnceLock<(Arc<Book>, Fingerprint)>);

impl BookRef {
    /// The fingerprint of the book's content. It is worked out once, and anew where `book` was replaced since.
    pub fn fingerprint(&self) -> Fingerprint {
        let (of, known) = self
            .remembered
            .0
            .get_or_init(|| (self.book.clone(), book(&self.book)));
        match Arc::ptr_eq(of, &self.book) {
            true => *known,
            false => book(&self.book),
        }
    }
}

fn book(book: &Book) -> Fingerprint {
    let mut hash = Hash::new();
    hash.text(&book.name);
    hash.text(&book.unit.sign);
    hash.decimal(book.unit.step);
    hash.number(book.lag_ms);
    hash.list(&book.types, Hash::part_type);
    hash.end()
}

/// The hash under way. Every text and list is led by its length, every choice by a number, so that no two different
/// contents are the same bytes.
struct Hash(SipHasher13);

impl Hash {
    fn new() -> Hash {
        Hash(SipHasher13::new())
    }

    fn end(self) -> Fingerprint {
        let hash = self.0.finish128();
        Fingerprint([hash.h1, hash.h2])
    }

    fn number(&mut self, number: u64) {
        self.0.write(&number.to_le_bytes());
    }

    fn decimal(&mut self, number: f64) {
        // Adding makes one zero of the two.
        self.number((number + 0.0).to_bits());
    }

    fn text(&mut self, text: &str) {
        self.number(text.len() as u64);
        self.0.write(text.as_bytes());
    }

    fn list<T>(&mut self, list: &[T], mut one: impl FnMut(&mut Hash, &T)) {
        self.number(list.len() as u64);
        list.iter().for_each(|item| one(self, item));
    }

    fn part_type(&mut self, kind: &PartType) {
        for text in [&kind.name, &kind.label, &kind.group, &kind.symbol] {
            self.text(text);
        }
        self.behaviour(&kind.behaviour);
        self.map(&kind.set);
        self.list(&kind.cost, |hash, (what, amount)| {
            hash.text(what);
            hash.number(*amount);
        });
        self.number(kind.stage);
        self.text(&kind.mount);
        self.number(u64::from(kind.max_run.is_some()));
        self.decimal(kind.max_run.unwrap_or(0.0));
        self.text(&kind.says);
        self.text(&kind.note);
    }

    fn behaviour(&mut self, behaviour: &Behaviour) {
        self.text(behaviour.name());
        match behaviour {
            Behaviour::Source { peak, profile } => {
                self.number(*peak);
                self.number(*profile as u64);
            }
            Behaviour::Battery {
                capacity,
                max_in,
                max_out,
                efficiency,
                cut_out,
                cut_in,
            } => {
                self.0.write(&capacity.to_le_bytes());
                let numbers = [max_in, max_out, efficiency, cut_out, cut_in];
                numbers.into_iter().for_each(|n| self.number(*n));
            }
            Behaviour::Load { draw, short } => {
                self.number(*draw);
                self.number(*short as u64);
            }
            Behaviour::Divider { ways } | Behaviour::Busbar { ways } => self.number(*ways),
            Behaviour::Contact { function, coil } => {
                self.text(function.name());
                self.number(*coil);
            }
            Behaviour::Tap | Behaviour::Changeover | Behaviour::Meter => {}
        }
    }

    fn world(&mut self, world: &World) {
        self.decimal(world.day_s);
        match world.sky {
            SkyRef::Place {
                latitude,
                day_of_year,
            } => {
                self.number(0);
                self.decimal(latitude);
                self.decimal(day_of_year);
            }
            SkyRef::Arc {
                rise,
                set,
                rise_azimuth,
                highest,
            } => {
                self.number(1);
                self.span(&Span {
                    from: rise,
                    to: set,
                });
                self.decimal(rise_azimuth);
                self.decimal(highest);
            }
        }
        self.number(u64::from(world.air == Air::Clear));
        self.list(&world.weather, |hash, n| hash.decimal(*n));
        self.list(&world.wind, |hash, n| hash.decimal(*n));
        self.list(&world.home, Hash::span);
    }

    fn span(&mut self, span: &Span) {
        self.number(u64::from(span.from.minute()));
        self.number(u64::from(span.to.minute()));
    }

    fn part(&mut self, part: &Part) {
        self.text(part.id.as_str());
        self.text(&part.kind);
        self.number(part.count);
        self.map(&part.set);
    }

    fn wire(&mut self, wire: &Wire) {
        self.text(wire.id.as_str());
        for end in [&wire.from, &wire.to] {
            self.text(end.part.as_str());
            self.text(&end.port);
        }
    }

    fn duty(&mut self, duty: &Duty) {
        self.text(duty.part.as_str());
        // Their order is not hashed, nor an `always` beside others. What follows the last is 0 or 1, shorter than any word.
        for when in duty.when.deciding() {
            self.text(when.word());
            if let When::Clock(span) = &when {
                self.span(span);
            }
        }
        self.number(u64::from(duty.only));
        self.decimal(duty.grace_s);
    }

    /// The order of keys is not hashed: a setting that was taken away and given again is the same setting.
    fn map(&mut self, map: &Map<String, Value>) {
        let mut entries: Vec<(&String, &Value)> = map.iter().collect();
        entries.sort_unstable_by_key(|(key, _)| *key);
        self.list(&entries, |hash, (key, value)| {
            hash.text(key);
            hash.value(value);
        });
    }

    fn value(&mut self, value: &Value) {
        match value {
            Value::Null => self.number(0),
            Value::Bool(is) => self.number(1 + u64::from(*is)),
            Value::Number(number) => self.json_number(number),
            Value::String(text) => {
                self.number(6);
                self.text(text);
            }
            Value::Array(list) => {
                self.number(7);
                self.list(list, Hash::value);
            }
            Value::Object(map) => {
                self.number(8);
                self.map(map);
            }
        }
    }

    fn json_number(&mut self, number: &Number) {
        if let Some(whole) = number.as_u64() {
            self.number(3);
            self.number(whole);
        } else if let Some(whole) = number.as_i64() {
            self.number(4);
            self.0.write(&whole.to_le_bytes());
        } else {
            self.number(5);
            self.decimal(number.as_f64().unwrap_or(0.0));
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::plan::{Conditions, Edit, End, Reach, WireId, read_plan};
    use serde_json::json;

    fn kittiwake() -> Plan {
        read_plan(include_str!("../../assets/examples/kittiwake-light.json")).unwrap()
    }

    /// The same bits on every target, so that what a page asks and what a terminal answers can be told to belong together.
    #[test]
    fn a_fingerprint_is_the_same_everywhere() {
        let plan = read_plan(
            r#"{"format":"duskline/plan","version":1,"book":{"name":"b","types":[]},"parts":[],"wires":[]}"#,
        )
        .unwrap();
        assert_eq!(
            format!("{:?}", plan.fingerprint()),
            "ba6a778a1bbbb578abe5403ee0924501"
        );
    }

    #[test]
    fn every_kind_of_power_edit_changes_it_and_its_inverse_brings_it_back() {
        let mut plan = kittiwake();
        let before = plan.fingerprint();
        let lamp = plan
            .parts
            .iter()
            .find(|p| p.kind == "lamp")
            .unwrap()
            .clone();
        let battery = plan.batteries()[0].clone();
        let wire = plan.wires[0].clone();
        let mut extra = lamp.clone();
        extra.id = "p900".into();
        let mut world = plan.world.clone();
        world.weather.push(0.5);
        let mut book = Book::clone(&plan.book.book);
        book.lag_ms += 1;
        let book = BookRef::new(book.into(), json!({"name": "other"}));
        let id = WireId::from("w900");
        let free = End::new(&"p900".into(), "in");
        let edits = [
            vec![Edit::AddPart(0, extra.clone())],
            vec![Edit::RemoveWire(wire.id.clone())],
            plan.removal(std::slice::from_ref(&lamp.id), &[]),
            vec![Edit::Count(lamp.id.clone(), lamp.count + 1)],
            vec![Edit::Reach(battery.id.clone(), Some(Reach::Friends))],
            vec![Edit::Set(
                battery.id.clone(),
                "start".into(),
                Some(json!(123)),
            )],
            vec![Edit::Duties(plan.duties[1..].to_vec())],
            vec![Edit::World(Box::new(world))],
            vec![Edit::Book(book)],
            vec![
                Edit::RemoveWire(wire.id.clone()),
                Edit::AddPart(plan.parts.len(), extra),
                Edit::AddWire(0, Wire::new(id, wire.from.clone(), free)),
            ],
        ];
        for edits in edits {
            let said = format!("{edits:?}");
            let inverse = plan.apply_all(edits).unwrap();
            assert_ne!(plan.fingerprint(), before, "{said}");
            plan.apply_all(inverse).unwrap();
            assert_eq!(plan.fingerprint(), before, "{said}");
        }
    }

    #[test]
    fn the_order_in_which_settings_were_made_does_not_count() {
        let (mut a, mut b) = (kittiwake(), kittiwake());
        let id = a.batteries()[0].id.clone();
        for (plan, keys) in [(&mut a, ["one", "two"]), (&mut b, ["two", "one"])] {
            for key in keys {
                let edit = Edit::Set(id.clone(), key.into(), Some(json!({"x": [1.5, null]})));
                plan.apply(edit).unwrap();
            }
        }
        assert_eq!(a.fingerprint(), b.fingerprint());
    }

    #[test]
    fn conditions_of_a_duty_count_and_their_order_does_not() {
        let of = |all: &[When]| {
            let mut plan = kittiwake();
            plan.duties[0].when = Conditions::new(all).unwrap();
            plan.fingerprint()
        };
        let both = of(&[When::Dark, When::Home]);
        assert_eq!(both, of(&[When::Home, When::Dark]));
        assert_eq!(of(&[When::Always, When::Dark]), of(&[When::Dark]));
        for other in [When::Dark, When::Home, When::Always] {
            assert_ne!(both, of(&[other]));
        }
    }

    #[test]
    fn a_book_that_was_replaced_is_not_taken_for_the_one_before() {
        let mut plan = kittiwake();
        let before = plan.fingerprint();
        Arc::make_mut(&mut plan.book.book).lag_ms += 1;
        assert_ne!(plan.fingerprint(), before);
    }
}
