//! Reading the edits of a walk's step. Each is done on the state at once, so that one which can't be is told where it
//! stands; after the first fault nothing more is read.

use super::duties::read_duty;
use super::meant::read_meant;
use super::parts::{place_of, read_part, read_reach};
use super::wires::{read_bends, read_via};
use super::{Written, read_book_ref};
use crate::limits;
use crate::plan::edit::walk::StateEdits;
use crate::plan::follows::read_follows;
use crate::plan::write::walk::Places;
use crate::plan::{Duty, Edit, End, Part, PartId, Plan, Wire, WireId, World};
use crate::read::{self, FaultKind, Faults, Place};
use crate::site::{Face, read_site};
use serde_json::{Map, Value};

/// The forms that an edit can have.
const FORMS: &str = "an edit: one of add, part, wire, remove, change, duties, meant, world, title, notes, book, follows, site";

/// Reads the edits in the list `key` and does them to `state`.
pub(super) fn read_edits(
    map: &Map<String, Value>,
    key: &str,
    place: &Place,
    state: &mut Plan,
    places: &mut Places,
    faults: &mut Faults,
) -> StateEdits {
    let at = place.key(key);
    let entries = read::list(map, key, place, faults);
    let mut reader = EditReader {
        state,
        places,
        faults,
        done: Vec::new(),
    };
    for (index, entry) in entries.iter().enumerate() {
        if reader.read(entry, &at.index(index)).is_none() {
            break;
        }
    }
    StateEdits::of(reader.done)
}

/// The texts of a list of ids.
pub(super) fn read_ids<'v>(
    map: &'v Map<String, Value>,
    key: &str,
    place: &Place,
    faults: &mut Faults,
) -> impl Iterator<Item = &'v str> + use<'v> {
    let at = place.key(key);
    let entries = read::list(map, key, place, faults);
    for (index, entry) in entries.iter().enumerate() {
        if !entry.is_string() {
            let fault = at
                .index(index)
                .wrong(FaultKind::Type, entry, "an id, a text");
            faults.push(fault);
        }
    }
    entries.iter().filter_map(Value::as_str)
}

/// The state as far as edits are read. What reads answers with none after a fault.
struct EditReader<'r, 'p> {
    state: &'r mut Plan,
    places: &'r mut Places<'p>,
    faults: &'r mut Faults,
    done: Vec<Edit>,
}

/// Whether a field belongs to a part or a wire that is written out.
fn is_whole(key: &str) -> bool {
    matches!(key, "part" | "wire" | "place")
}

impl EditReader<'_, '_> {
    /// Does an edit, or tells why not as a fault at `place`.
    fn make(&mut self, edit: Edit, place: &Place) -> Option<()> {
        if self.done.len() >= limits::WALK_EDITS {
            let expected = format!("at most {} edits", limits::WALK_EDITS);
            self.faults
                .push(place.fault(FaultKind::Range, "more edits", expected));
            return None;
        }
        match self.state.apply(edit.clone()) {
            Ok(_) => {
                self.places.follow(&edit);
                self.done.push(edit);
                Some(())
            }
            Err(error) => {
                let found = format!("an edit that can't be made here: {error}");
                let expected = "one that can be made on the board as it stands by then";
                self.faults
                    .push(place.fault(FaultKind::Unknown, found, expected));
                None
            }
        }
    }

    /// Runs a reader of the document's own; none where it told a fault.
    fn sound<T>(&mut self, read: impl FnOnce(&mut Plan, &mut Faults) -> T) -> Option<T> {
        let before = self.faults.len();
        let found = read(self.state, self.faults);
        (self.faults.len() == before).then_some(found)
    }

    fn read(&mut self, entry: &Value, here: &Place) -> Option<()> {
        let map = read::object(entry, here, self.faults)?;
        let Some((form, value)) = map.iter().next() else {
            self.faults
                .push(here.fault(FaultKind::Missing, "nothing", FORMS));
            return None;
        };
        // An edit is one thing: a second one in the same object would be lost.
        let goes_with = |key: &str| {
            key == form || (is_whole(form) && is_whole(key) && (form == "place" || key == "place"))
        };
        if let Some(key) = map.keys().find(|key| !goes_with(key)) {
            return self.unknown(key, "nothing else beside one edit", here);
        }
        let at = here.key(form);
        match form.as_str() {
            "add" => self.add(value, &at),
            "part" | "wire" | "place" => self.whole(map, here),
            "remove" => self.remove(value, &at),
            "change" => self.change(value, &at),
            "duties" => self.duties(value, &at),
            _ => self.of_plan(form, value, map, here),
        }
    }

    /// The object of what is named by parts and wires, and nothing else.
    fn things<'v>(&mut self, value: &'v Value, at: &Place) -> Option<&'v Map<String, Value>> {
        let map = read::object(value, at, self.faults)?;
        match map
            .keys()
            .find(|key| !["parts", "wires"].contains(&key.as_str()))
        {
            Some(key) => {
                self.unknown(key, "parts or wires", at)?;
                None
            }
            None => Some(map),
        }
    }

    fn add(&mut self, value: &Value, at: &Place) -> Option<()> {
        let map = self.things(value, at)?;
        let parts = at.key("parts");
        let ids: Vec<&str> =
            self.sound(|_, faults| read_ids(map, "parts", at, faults).collect())?;
        for (index, id) in ids.into_iter().enumerate() {
            let here = parts.index(index);
            let found = self.places.part(self.state, &PartId::from(id));
            let edit = found.map(|(place, part)| Edit::AddPart(place, part.clone()));
            self.named(edit, id, "the id of a part of the plan", &here)?;
        }
        let wires = at.key("wires");
        let ids: Vec<&str> =
            self.sound(|_, faults| read_ids(map, "wires", at, faults).collect())?;
        for (index, id) in ids.into_iter().enumerate() {
            let here = wires.index(index);
            let found = self.places.wire(self.state, &WireId::from(id));
            let edit = found.map(|(place, wire)| Edit::AddWire(place, wire.clone()));
            self.named(edit, id, "the id of a wire of the plan", &here)?;
        }
        Some(())
    }

    /// Does the edit about a thing called `id`, which the plan has or not.
    fn named(&mut self, edit: Option<Edit>, id: &str, expected: &str, here: &Place) -> Option<()> {
        if edit.is_none() {
            let found = read::brief(&Value::from(id));
            self.faults
                .push(here.fault(FaultKind::Unknown, found, expected));
        }
        self.make(edit?, here)
    }

    fn remove(&mut self, value: &Value, at: &Place) -> Option<()> {
        let map = self.things(value, at)?;
        for (key, is_wire) in [("wires", true), ("parts", false)] {
            let list = at.key(key);
            let ids: Vec<&str> =
                self.sound(|_, faults| read_ids(map, key, at, faults).collect())?;
            for (index, id) in ids.into_iter().enumerate() {
                let edit = match is_wire {
                    true => Edit::RemoveWire(id.into()),
                    false => Edit::RemovePart(id.into()),
                };
                self.make(edit, &list.index(index))?;
            }
        }
        Some(())
    }

    /// A part or a wire that is written whole, with its place in the order.
    fn whole(&mut self, map: &Map<String, Value>, here: &Place) -> Option<()> {
        let place = match map.get("place") {
            Some(value) => {
                let at = here.key("place");
                let most = limits::PARTS as u64;
                Some(self.sound(|_, faults| read::whole(value, 0, most, &at, faults))?? as usize)
            }
            None => None,
        };
        if let Some(value) = map.get("part") {
            let at = here.key("part");
            let part = self.part(value, &at)?;
            let place = self.place(place, self.state.parts.len(), here)?;
            return self.make(Edit::AddPart(place, part), &at);
        }
        let at = here.key("wire");
        let Some(value) = map.get("wire") else {
            self.faults
                .push(here.fault(FaultKind::Missing, "nothing", FORMS));
            return None;
        };
        let wire = self.wire(value, &at)?;
        let place = self.place(place, self.state.wires.len(), here)?;
        self.make(Edit::AddWire(place, wire), &at)
    }

    fn place(&mut self, place: Option<usize>, end: usize, here: &Place) -> Option<usize> {
        let place = place.unwrap_or(end);
        if place > end {
            let expected = format!("at most {end}, as many as there are by then");
            let found = place.to_string();
            self.faults
                .push(here.key("place").fault(FaultKind::Range, found, expected));
            return None;
        }
        Some(place)
    }

    fn part(&mut self, value: &Value, at: &Place) -> Option<Part> {
        let map = read::object(value, at, self.faults)?;
        self.sound(|state, faults| {
            let id = read::name(map, "id", at, faults);
            let part = read_part(map, at, state, true, faults);
            Some(Part {
                id: PartId::from(id?),
                ..part?
            })
        })?
    }

    fn wire(&mut self, value: &Value, at: &Place) -> Option<Wire> {
        let map = read::object(value, at, self.faults)?;
        self.sound(|_, faults| {
            let id = read::name(map, "id", at, faults);
            let mut end = |key: &str| {
                let expected = "a port, as \"part.port\"";
                let text = read::named(map, key, at, expected, faults)?;
                let end = text.rsplit_once('.').map(|(part, port)| End {
                    part: PartId::from(part),
                    port: port.into(),
                });
                if end.is_none() {
                    let found = format!("\"{text}\"");
                    faults.push(at.key(key).fault(FaultKind::Unknown, found, expected));
                }
                end
            };
            let (from, to) = (end("from"), end("to"));
            Some(Wire {
                id: WireId::from(id?),
                from: from?,
                to: to?,
                bends: read_bends(map, at, faults),
                via: read_via(map, at, faults),
                extra: read::extra(map, &["id", "from", "to", "bends", "via"]),
            })
        })?
    }

    fn change(&mut self, value: &Value, at: &Place) -> Option<()> {
        let map = read::object(value, at, self.faults)?;
        let id = |key: &str| map.get(key).and_then(Value::as_str);
        let (part, wire) = (id("part").map(PartId::from), id("wire").map(WireId::from));
        if part.is_some() && wire.is_some() {
            return self.unknown("wire", "a part or a wire, not both", at);
        }
        if part.is_none() && wire.is_none() {
            let expected = "the id of a part as part, or of a wire as wire";
            self.faults
                .push(at.fault(FaultKind::Missing, "nothing", expected));
            return None;
        }
        for (key, value) in map {
            let here = at.key(key);
            match (key.as_str(), &part, &wire) {
                ("part" | "wire", ..) => {}
                ("set", Some(part), _) => self.set(part, value, &here)?,
                (_, Some(part), _) => {
                    let edit = self.part_change(part, key, value, &here)?;
                    self.make(edit, &here)?;
                }
                ("bends", _, Some(wire)) => {
                    let bends = self.sound(|_, faults| read_bends(map, at, faults))?;
                    self.make(Edit::Bend(wire.clone(), bends), &here)?;
                }
                ("via", _, Some(wire)) => {
                    let via = self.sound(|_, faults| read_via(map, at, faults))?;
                    self.make(Edit::Lead(wire.clone(), via), &here)?;
                }
                _ => self.unknown(key, "bends or via", &here)?,
            }
        }
        Some(())
    }

    fn unknown(&mut self, key: &str, expected: &str, here: &Place) -> Option<()> {
        let found = format!("a field \"{key}\"");
        self.faults
            .push(here.fault(FaultKind::Unknown, found, expected));
        None
    }

    fn set(&mut self, part: &PartId, value: &Value, at: &Place) -> Option<()> {
        let map = read::object(value, at, self.faults)?;
        for (key, value) in map {
            let value = (!value.is_null()).then(|| value.clone());
            self.make(Edit::Set(part.clone(), key.clone(), value), &at.key(key))?;
        }
        Some(())
    }

    fn part_change(&mut self, id: &PartId, key: &str, value: &Value, at: &Place) -> Option<Edit> {
        let id = id.clone();
        let none = value.is_null();
        Some(match key {
            "at" if none => Edit::MovePart(id, None),
            "at" => {
                let place = self.sound(|_, faults| place_of(value, at, faults))?;
                Edit::MovePart(id, place)
            }
            "name" => {
                let Some(name) = value.as_str() else {
                    self.faults
                        .push(at.wrong(FaultKind::Type, value, "a name, a text"));
                    return None;
                };
                Edit::Rename(id, name.into())
            }
            "count" => {
                let most = limits::COUNT;
                let count = self.sound(|_, faults| read::whole(value, 1, most, at, faults))??;
                Edit::Count(id, count)
            }
            "reach" if none => Edit::Reach(id, None),
            "reach" => {
                let reach = self.sound(|_, faults| read_reach(value, at, faults))?;
                Edit::Reach(id, reach)
            }
            "hangs" if none => Edit::Hang(id, None),
            "hangs" => {
                let face = self.sound(|_, faults| Face::read(value, at, faults))?;
                Edit::Hang(id, face)
            }
            _ => {
                self.unknown(key, "one of at, name, count, reach, hangs, set", at)?;
                return None;
            }
        })
    }

    /// All duties from now on: of the plan by their places, or written out.
    fn duties(&mut self, value: &Value, at: &Place) -> Option<()> {
        let Some(entries) = value.as_array() else {
            self.faults
                .push(at.wrong(FaultKind::Type, value, "a list of duties"));
            return None;
        };
        let mut duties: Vec<Duty> = Vec::new();
        for (index, entry) in entries.iter().enumerate() {
            let here = at.index(index);
            let duty = match entry.as_u64() {
                Some(number) => self.duty_of_plan(number, &here),
                None => self.sound(|state, faults| {
                    read_duty(entry, &Written::nothing(), &here, state, faults)
                })?,
            };
            duties.push(duty?);
        }
        self.make(Edit::Duties(duties), at)
    }

    fn duty_of_plan(&mut self, number: u64, here: &Place) -> Option<Duty> {
        let all = self.places.duties();
        let duty = usize::try_from(number).ok().and_then(|at| all.get(at));
        if duty.is_none() {
            let expected = format!(
                "the place of one of the plan's {} duties, from 0",
                all.len()
            );
            self.faults
                .push(here.fault(FaultKind::Range, number.to_string(), expected));
        }
        duty.cloned()
    }

    /// What an edit puts in place of something of the whole plan.
    fn of_plan(
        &mut self,
        form: &str,
        value: &Value,
        map: &Map<String, Value>,
        here: &Place,
    ) -> Option<()> {
        let at = here.key(form);
        let edit = match form {
            "title" | "notes" => {
                let text = self.sound(|_, faults| read::text(map, form, here, faults))?;
                let text = text.unwrap_or("").to_string();
                match form {
                    "title" => Edit::Title(text),
                    _ => Edit::Notes(text),
                }
            }
            "world" => {
                let world = self.sound(|_, faults| World::read(value, &at, faults))?;
                Edit::World(Box::new(world))
            }
            "book" => Edit::Book(self.sound(|_, faults| read_book_ref(map, here, faults))??),
            "follows" if value.is_null() => Edit::Follow(None),
            "follows" => Edit::Follow(self.sound(|_, faults| read_follows(map, here, faults))?),
            "site" if value.is_null() => Edit::Site(None),
            "site" => {
                let site = self.sound(|_, faults| read_site(value, &at, faults))?;
                Edit::Site(site.map(Box::new))
            }
            "meant" => {
                let meant = self.sound(|state, faults| {
                    let before = std::mem::take(&mut state.meant);
                    read_meant(map, &Written::nothing(), here, state, faults);
                    std::mem::replace(&mut state.meant, before)
                })?;
                Edit::Meant(meant)
            }
            _ => return self.unknown(form, FORMS, here),
        };
        self.make(edit, &at)
    }
}
