//! A plan's book changed by hand: a type otherwise, one more, one less, another name. Each gives the edits that do it,
//! and changes nothing itself.
//!
//! A built-in book becomes the plan's own with the first change, as a copy with ` (own)` behind its name. What comes of a
//! change is read as any stranger's book and plan would be, so that every limit holds and what no longer fits a part or a
//! wire is told with its place, its value and what was expected.

use super::{BookRef, Edit, Numbers, Part, PartId, Plan, Refusal};
use crate::book::{Book, built_in, name_of_label, read_book_at};
use crate::read::{Faults, Place};
use serde_json::{Map, Value};

/// What a new part type starts from.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Template<'n> {
    /// A plain type of the built-in book `bare`, by its name: `load`, `sun`, `relay`.
    Bare(&'n str),
    /// A copy of a type of the plan's book.
    Copy(&'n str),
}

/// Why a book can't be changed so; `src/sheet/book_error.rs` has the words.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum BookError {
    /// There is no such type.
    NoType(String),
    /// These parts of the plan are of the type.
    InUse(String, Vec<PartId>),
    /// The book would not be sound: every fault with its place.
    Unsound(Faults),
    /// The plan can't stand on the book: every reason.
    Unfit(Vec<Refusal>),
}

impl BookRef {
    /// Whether it is a built-in book, known by its name.
    pub fn is_built_in(&self) -> bool {
        self.written.is_string()
    }

    /// The book as a plan's own, written out whole: itself, or a copy of a built-in one.
    fn own(&self) -> Book {
        let mut book = Book::clone(&self.book);
        if self.is_built_in() {
            book.name += " (own)";
            if !book.label.is_empty() {
                book.label += " (own)";
            }
        }
        book
    }

    /// The book that stands in a file as `value`.
    ///
    /// # Errors
    /// Every fault, with its place in the book.
    pub fn read(value: Value) -> Result<BookRef, Faults> {
        let book = read_book_at(&value, &Place::root("book"))?;
        // As this program writes it: older names of fields are gone.
        let written = book.to_value();
        Ok(BookRef::new(book.into(), written))
    }
}

impl Plan {
    /// The parts that are of this type, in the plan's order.
    pub fn parts_of_type(&self, kind: &str) -> Vec<&Part> {
        self.parts.iter().filter(|p| p.kind == kind).collect()
    }

    /// The same plan with only those types in its book that a part is of, to be sent; a built-in book stays as it is.
    pub fn with_used_types(&self) -> Plan {
        let mut plan = self.clone();
        if !self.book.is_built_in() {
            let mut book = self.book.own();
            book.types
                .retain(|t| self.parts.iter().any(|p| p.kind == t.name));
            let written = book.to_value();
            plan.book = BookRef::new(book.into(), written);
        }
        plan
    }

    /// A type of the plan's book as it stands in a file; what [`Plan::change_type`] takes.
    pub fn type_value(&self, kind: &str) -> Option<Value> {
        let book = &self.book.book;
        Some(book.find(kind)?.to_value(&book.unit))
    }

    /// The edits after which the type `kind` stands in the book as `value`, maybe under another name.
    ///
    /// # Errors
    /// No such type, or faults of what would come of it.
    pub fn change_type(&self, kind: &str, value: Value) -> Result<Vec<Edit>, BookError> {
        let at = self.type_place(kind)?;
        let name = value.get("type").and_then(Value::as_str).unwrap_or(kind);
        let name = name.to_string();
        self.with_types(|types| types[at] = value, (kind, &name))
    }

    /// As [`Plan::change_type`], of one field: `["draw"]`, `["set", "tilt"]`, `["cost", "copper"]`. Without a value the
    /// field is taken away.
    ///
    /// # Errors
    /// As [`Plan::change_type`].
    pub fn change_type_field(
        &self,
        kind: &str,
        path: &[&str],
        value: Option<Value>,
    ) -> Result<Vec<Edit>, BookError> {
        let no_type = || BookError::NoType(kind.into());
        let mut changed = self.type_value(kind).ok_or_else(no_type)?;
        let Some((key, above)) = path.split_last() else {
            return Ok(Vec::new());
        };
        let mut at = &mut changed;
        for step in above {
            if !at.get(step).is_some_and(Value::is_object) {
                at[*step] = Value::Object(Map::new());
            }
            at = &mut at[*step];
        }
        if let Some(map) = at.as_object_mut() {
            match value {
                Some(value) => map.insert(key.to_string(), value),
                None => map.shift_remove(*key),
            };
        }
        self.change_type(kind, changed)
    }

    /// The edits that add a type with this label (where it is empty: that of what it starts from), and the name that the
    /// type gets. A copy stands behind its original, a plain type at the end.
    ///
    /// # Errors
    /// What it starts from is not there.
    pub fn add_type(
        &self,
        template: Template,
        label: &str,
    ) -> Result<(String, Vec<Edit>), BookError> {
        let no_type = |kind: &str| BookError::NoType(kind.into());
        let (mut value, at) = match template {
            Template::Copy(kind) => {
                let value = self.type_value(kind).ok_or_else(|| no_type(kind))?;
                (value, self.type_place(kind)? + 1)
            }
            Template::Bare(kind) => {
                let bare = built_in("bare").ok_or_else(|| no_type(kind))?;
                let plain = bare.find(kind).ok_or_else(|| no_type(kind))?;
                let mut plain = plain.clone();
                // What is said of the plain type is not said of what is made of it.
                (plain.says, plain.note) = (String::new(), String::new());
                (
                    plain.to_value(&self.book.book.unit),
                    self.book.book.types.len(),
                )
            }
        };
        let own = value["label"].as_str().unwrap_or("").to_string();
        let label = if label.trim().is_empty() {
            &own
        } else {
            label.trim()
        };
        let name = self.free_name(label);
        value["label"] = label.into();
        value["type"] = name.as_str().into();
        let edits = self.with_types(|types| types.insert(at, value), ("", ""))?;
        Ok((name, edits))
    }

    /// The edits that delete a type.
    ///
    /// # Errors
    /// No such type, or parts are of it.
    pub fn delete_type(&self, kind: &str) -> Result<Vec<Edit>, BookError> {
        let at = self.type_place(kind)?;
        let parts = self.parts_of_type(kind);
        if !parts.is_empty() {
            let ids = parts.iter().map(|p| p.id.clone()).collect();
            return Err(BookError::InUse(kind.into(), ids));
        }
        self.with_types(|types| drop(types.remove(at)), ("", ""))
    }

    /// The edits that call a type otherwise in the book and in every part that is of it. What people see is its label,
    /// which [`Plan::change_type_field`] changes.
    ///
    /// # Errors
    /// No such type, or the name is empty or taken.
    pub fn rename_type(&self, kind: &str, name: &str) -> Result<Vec<Edit>, BookError> {
        self.change_type_field(kind, &["type"], Some(name.into()))
    }

    /// The edits that call the book otherwise.
    ///
    /// # Errors
    /// None are known; a book may have any name.
    pub fn rename_book(&self, name: &str) -> Result<Vec<Edit>, BookError> {
        let mut book = self.book.own();
        book.name = name.trim().into();
        self.with_value(book.to_value(), ("", ""))
    }

    /// The edits that give the book as a whole another number or text: `unit`, `step`, `lag_ms`, `label`, `says`.
    ///
    /// # Errors
    /// Faults of what would come of it.
    pub fn change_book_field(&self, key: &str, value: Value) -> Result<Vec<Edit>, BookError> {
        let mut book = self.book.own().to_value();
        book[key] = value;
        self.with_value(book, ("", ""))
    }

    /// The edits that put another book in place of the plan's, for example one read from a table.
    ///
    /// # Errors
    /// Faults of the plan with that book: types that parts are of and the book does not have, wires without ports.
    pub fn take_other_book(&self, book: &Book) -> Result<Vec<Edit>, BookError> {
        match BookRef::built_in(&book.name).filter(|known| *known.book == *book) {
            Some(known) => self.with_book(known, ("", "")),
            None => self.with_value(book.to_value(), ("", "")),
        }
    }

    fn type_place(&self, kind: &str) -> Result<usize, BookError> {
        let types = &self.book.book.types;
        let at = types.iter().position(|t| t.name == kind);
        at.ok_or_else(|| BookError::NoType(kind.into()))
    }

    /// A name that no type has yet, made of a label.
    fn free_name(&self, label: &str) -> String {
        let stem = name_of_label(label, "part");
        let taken = |name: &String| self.book.book.find(name).is_some();
        let mut names = std::iter::once(stem.clone()).chain((2..).map(|n| format!("{stem}-{n}")));
        names.find(|name| !taken(name)).unwrap_or(stem)
    }

    fn with_types(
        &self,
        change: impl FnOnce(&mut Vec<Value>),
        renamed: (&str, &str),
    ) -> Result<Vec<Edit>, BookError> {
        let mut value = self.book.own().to_value();
        if let Some(types) = value.get_mut("types").and_then(Value::as_array_mut) {
            change(types);
        }
        self.with_value(value, renamed)
    }

    fn with_value(&self, book: Value, renamed: (&str, &str)) -> Result<Vec<Edit>, BookError> {
        let book = BookRef::read(book).map_err(BookError::Unsound)?;
        self.with_book(book, renamed)
    }

    /// The edits that lead to this book, the parts of one type renamed, where the plan can stand on it.
    fn with_book(&self, book: BookRef, (from, to): (&str, &str)) -> Result<Vec<Edit>, BookError> {
        if book == self.book {
            return Ok(Vec::new());
        }
        let mut renamed = self.clone();
        let moves = from != to && self.parts.iter().any(|p| p.kind == from);
        if moves {
            for part in renamed.parts.iter_mut().filter(|p| p.kind == from) {
                part.kind = to.into();
            }
        }
        let numbers = Numbers {
            world: self.world.clone(),
            book,
        };
        let refusals = renamed.refusals(&numbers);
        if !refusals.is_empty() {
            return Err(BookError::Unfit(refusals));
        }
        if !moves {
            return Ok(vec![Edit::Book(numbers.book)]);
        }
        renamed.book = numbers.book;
        Ok(self.edits_to(&renamed))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::plan::read_plan;
    use crate::sheet::book_error::told;
    use serde_json::json;

    fn kittiwake() -> Plan {
        read_plan(include_str!("../../assets/examples/kittiwake-light.json")).unwrap()
    }

    /// Applies edits, looks whether the plan's file reads as the same plan, and whether undo brings the old one back.
    fn after(plan: &Plan, edits: Vec<Edit>) -> Plan {
        let mut changed = plan.clone();
        let inverse = changed.apply_all(edits).unwrap();
        assert_eq!(read_plan(&changed.print()).unwrap(), changed);
        let mut back = changed.clone();
        back.apply_all(inverse).unwrap();
        assert_eq!(back.to_value(), plan.to_value());
        changed
    }

    fn said(plan: &Plan, result: Result<Vec<Edit>, BookError>) -> String {
        told(plan, &result.unwrap_err()).join("\n")
    }

    #[test]
    fn a_built_in_book_becomes_ones_own_with_the_first_change() {
        let plan = kittiwake();
        let edits = plan
            .change_type_field("lamp", &["draw"], Some(json!(3)))
            .unwrap();
        assert!(matches!(edits[..], [Edit::Book(_)]));
        let changed = after(&plan, edits);
        let book = &changed.book.book;
        assert_eq!(
            (book.name.as_str(), book.label.as_str()),
            ("outpost (own)", "Outpost (own)")
        );
        assert_eq!(changed.type_value("lamp").unwrap()["draw"], 3);
        assert_eq!(book.types.len(), plan.book.book.types.len());
        let again = changed
            .change_type_field("lamp", &["draw"], Some(json!(4)))
            .unwrap();
        assert_eq!(after(&changed, again).book.book.name, "outpost (own)");
        let same = changed.change_type_field("lamp", &["draw"], Some(json!(3)));
        assert_eq!(same, Ok(Vec::new()));
        let called = changed.rename_book(" Island ").unwrap();
        assert_eq!(after(&changed, called).book.book.name, "Island");
    }

    #[test]
    fn settings_and_costs_are_fields_too() {
        let plan = kittiwake();
        let with = |path: &[&str], value| {
            let edits = plan.change_type_field("sun-panel", path, value).unwrap();
            after(&plan, edits).type_value("sun-panel").unwrap()
        };
        assert_eq!(with(&["set", "tilt"], Some(json!(50)))["set"]["tilt"], 50);
        assert_eq!(with(&["cost", "rope"], Some(json!(2)))["cost"]["rope"], 2);
        assert_eq!(with(&["cost", "glass"], None)["cost"].get("glass"), None);
        assert_eq!(with(&["mount"], None).get("mount"), None);
    }

    #[test]
    fn what_a_limit_forbids_is_told_with_place_value_and_expectation() {
        let plan = kittiwake();
        let wrong = |path: &[&str], value| said(&plan, plan.change_type_field("lamp", path, value));
        assert_eq!(
            wrong(&["draw"], Some(json!(0))),
            "types[11].draw: found 0, expected a whole number from 1 to 1000000000."
        );
        assert_eq!(
            wrong(&["draw"], None),
            "types[11].draw: found nothing, expected a whole number from 1 to 1000000000."
        );
        assert_eq!(
            wrong(&["type"], Some(json!("heater"))),
            "types[15].type: found \"heater\" a second time, expected a name of its own."
        );
        assert_eq!(
            wrong(&["type"], Some(json!(""))),
            "types[11].type: found an empty text, expected a text."
        );
        assert_eq!(
            said(&plan, plan.change_type_field("foghorn", &["draw"], None)),
            "The book has no part type \"foghorn\"."
        );
    }

    #[test]
    fn what_no_longer_fits_a_wire_or_a_part_is_told() {
        let plan = kittiwake();
        let fewer = said(
            &plan,
            plan.change_type_field("divider-4", &["ways"], Some(json!(2))),
        );
        let first = fewer.lines().next().unwrap();
        assert_eq!(
            first,
            "In the book Shelf divider has no port out3, and a wire ends there."
        );
        // A part's own low mark, and a book's high mark that comes to lie below it.
        let mut value = plan.to_value();
        value["parts"] = json!([
            { "id": "p1", "type": "battery" }, { "id": "p2", "type": "charge", "set": { "watches": "p1", "low": 300 } },
        ]);
        value["wires"] = json!([]);
        value["duties"] = json!([]);
        let watch = read_plan(&value.to_string()).unwrap();
        let mut charge = watch.type_value("charge").unwrap();
        charge["set"]["high"] = json!(250);
        assert_eq!(
            said(&watch, watch.change_type("charge", charge)),
            "parts[1].set.low: found 300, expected less than high, which is 250."
        );
    }

    #[test]
    fn a_type_is_added_plain_or_as_a_copy() {
        let plan = kittiwake();
        let (name, edits) = plan.add_type(Template::Copy("lamp"), "Quay lamp").unwrap();
        assert_eq!(name, "quay-lamp");
        let changed = after(&plan, edits);
        assert_eq!(changed.book.book.types[12].label, "Quay lamp");
        assert_eq!(changed.type_value("quay-lamp").unwrap()["draw"], 2);
        let (second, edits) = changed.add_type(Template::Copy("quay-lamp"), "").unwrap();
        assert_eq!(second, "quay-lamp-2");
        after(&changed, edits);
        for kind in &built_in("bare").unwrap().types {
            let (name, edits) = plan.add_type(Template::Bare(&kind.name), "").unwrap();
            let changed = after(&plan, edits);
            let last = changed.book.book.types.last().unwrap();
            assert_eq!((&last.name, &last.label), (&name, &kind.label));
            assert_eq!(last.behaviour.name(), kind.behaviour.name());
        }
        assert!(plan.add_type(Template::Bare("foghorn"), "").is_err());
    }

    #[test]
    fn only_a_type_that_no_part_is_of_is_deleted() {
        let plan = kittiwake();
        let edits = plan.delete_type("workbench").unwrap();
        assert_eq!(after(&plan, edits).book.book.find("workbench"), None);
        let Err(error @ BookError::InUse(..)) = plan.delete_type("lamp") else {
            panic!("the plan has lamps");
        };
        let BookError::InUse(_, ids) = &error else {
            unreachable!()
        };
        assert_eq!(ids.len(), plan.parts_of_type("lamp").len());
        let told = told(&plan, &error).join("\n");
        assert!(
            told.starts_with("Lamp is the type of Dusk lamp, "),
            "{told}"
        );
        assert!(
            told.ends_with("Delete them first, or let them be of another type."),
            "{told}"
        );
    }

    #[test]
    fn a_renamed_type_takes_its_parts_along() {
        let plan = kittiwake();
        let edits = plan.rename_type("lamp", "bright-lamp").unwrap();
        let changed = after(&plan, edits);
        assert_eq!(changed.parts_of_type("lamp").len(), 0);
        let ids = |plan: &Plan, kind: &str| -> Vec<PartId> {
            plan.parts_of_type(kind)
                .iter()
                .map(|p| p.id.clone())
                .collect()
        };
        assert_eq!(ids(&changed, "bright-lamp"), ids(&plan, "lamp"));
        assert_eq!(changed.wires, plan.wires);
        assert_eq!(changed.duties, plan.duties);
        let unused = plan.rename_type("workbench", "bench").unwrap();
        assert!(matches!(unused[..], [Edit::Book(_)]));
        after(&plan, unused);
    }

    #[test]
    fn another_book_is_taken_where_the_plan_fits_it() {
        let plan = kittiwake();
        let bare = built_in("bare").unwrap();
        let told = said(&plan, plan.take_other_book(&bare));
        let first = told.lines().next().unwrap();
        assert_eq!(
            first,
            "The book has no Large sun panel (sun-panel-large), and the plan has: East roof panels, West roof panels."
        );
        let mut more = Book::clone(&plan.book.book);
        more.types
            .extend(bare.types.iter().filter(|t| t.name == "load").cloned());
        let empty = Plan::empty().take_other_book(&bare).unwrap();
        assert!(after(&Plan::empty(), empty).book.is_built_in());
        let edits = plan.take_other_book(&more).unwrap();
        assert!(after(&plan, edits).book.book.find("load").is_some());
    }

    #[test]
    fn the_types_that_no_part_is_of_can_be_left_behind() {
        let plan = kittiwake();
        assert_eq!(plan.with_used_types(), plan);
        let edits = plan.rename_book("Island").unwrap();
        let sent = after(&plan, edits).with_used_types();
        let types = &sent.book.book.types;
        assert!(types.len() < plan.book.book.types.len());
        assert!(
            types
                .iter()
                .all(|t| !sent.parts_of_type(&t.name).is_empty())
        );
        assert_eq!(read_plan(&sent.print()).unwrap(), sent);
        assert_eq!(sent.parts, plan.parts);
    }
}
