//! The plan: the document somebody edits, keeps and sends.
//!
//! Parts, wires, duties and a world, by ids of our own that are never used again within a plan. [`Edit`]s are data and
//! give their inverse; [`History`] makes one undo step of one gesture. The plan has a file form ([`read_plan`],
//! [`Plan::print`]) and a link form ([`link`]). It knows nothing of solving.

mod book_versions;
mod by_hand;
mod crossing;
mod diff;
mod duty;
mod edit;
mod example;
mod fingerprint;
mod follows;
mod history;
mod id;
mod impact;
mod indexed;
pub mod link;
mod meant;
mod named_world;
mod numbers;
mod on_numbers;
mod on_site;
mod own_book;
mod read;
mod snippet;
mod spec;
mod walk_steps;
mod world;
mod write;

pub use book_versions::is_other_version;
pub use by_hand::Throw;
pub use diff::{Change, Differences, differences};
pub use duty::{Conditions, Duty, When};
pub use edit::exercise::{Exercise, Lost, Trial};
pub use edit::walk::{Lit, Route, StateEdits, Walk, WalkQuestion, WalkStep};
pub use edit::{Edit, EditError};
pub use example::examples;
pub use fingerprint::Fingerprint;
pub use follows::Follows;
pub use history::History;
pub use id::{PartId, WireId};
pub use impact::Impact;
pub use indexed::{IndexedList, Keyed, WireKey};
pub use meant::{FindingKind, Meant};
pub use named_world::{NamedWorld, WORLD_FORMAT, WORLD_VERSION, read_world, world_of_value};
pub use numbers::{Changed, NumberChange, Numbers};
pub use on_numbers::Refusal;
pub use on_site::{Mount, Unfit};
pub use own_book::{BookError, Template};
pub use read::{Salvage, read_plan, salvage, salvage_value};
pub(crate) use read::{duty_of, read_book_ref};
pub use snippet::Snippet;
pub use spec::{Function, Spec};
pub use world::{SkyRef, World};

pub use crate::clock::{Clock, DialMoment, Span};
pub use crate::site::Reach;

use crate::book::{Book, PartType, Port, Side};
use crate::read::Head;
use crate::site::{Face, Site};
use serde::{Deserialize, Serialize};
use serde_json::{Map, Value};
use std::fmt;
use std::sync::Arc;

/// The name of the file form.
pub const FORMAT: &str = "duskline/plan";
/// The version of the file form that this program reads and writes.
pub const VERSION: u64 = 1;
/// What a plan's file says of itself.
const HEAD: Head = Head {
    format: FORMAT,
    version: VERSION,
    what: "plan",
};

/// A plan.
#[derive(Clone, Debug, PartialEq)]
pub struct Plan {
    /// What it is called.
    pub title: String,
    /// What there is to say about it.
    pub notes: String,
    /// Its book: as named or as written into the plan.
    pub book: BookRef,
    /// The world it stands in.
    pub world: World,
    /// The world whose numbers its own are meant to be, if it follows one. It has its own copy all the same.
    pub follows: Option<Follows>,
    /// The parts, in the plan's order.
    pub parts: IndexedList<Part>,
    /// The wires, in the plan's order.
    pub wires: IndexedList<Wire>,
    /// The place in which it is built, if it has one.
    pub site: Option<Arc<Site>>,
    /// What its loads are for.
    pub duties: Vec<Duty>,
    /// Findings that are meant so.
    pub meant: Vec<Meant>,
    /// The walk by which somebody is led through it.
    pub walk: Option<Arc<Walk>>,
    /// The exercise that it sets, or that it is a solution of.
    pub exercise: Option<Arc<Exercise>>,
    /// What is thrown by hand, in the order of time: only in a plan that is tried, see [`Throw`].
    pub by_hand: Vec<Throw>,
    /// The next numbers for ids of parts and wires; they only grow.
    pub next: (u64, u64),
    /// Fields that this program does not know, kept.
    pub extra: Map<String, Value>,
}

/// The book of a plan.
#[derive(Clone, Serialize, Deserialize)]
#[serde(into = "crossing::Json", try_from = "crossing::Json")]
pub struct BookRef {
    /// The book itself.
    pub book: Arc<Book>,
    /// As it stands in the file: a name or a whole book.
    pub written: Value,
    /// Its fingerprint, once it was asked for.
    remembered: fingerprint::Remembered,
}

impl fmt::Debug for BookRef {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let mut said = f.debug_struct("BookRef");
        said.field("book", &self.book)
            .field("written", &self.written);
        said.finish()
    }
}

/// Two written-out books are the same whatever order and defaults they were written with; a name is not a whole book.
impl PartialEq for BookRef {
    fn eq(&self, other: &BookRef) -> bool {
        let whole = self.written.is_object() && other.written.is_object();
        self.written == other.written || whole && self.book == other.book
    }
}

/// A part of a plan.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Part {
    /// Its id.
    pub id: PartId,
    /// The name of its type in the book.
    pub kind: String,
    /// What the builder calls it; may be empty.
    pub name: String,
    /// The place of its card's top left corner on the board, in pixels, if it has one.
    pub at: Option<(f64, f64)>,
    /// How many equal ones it stands for; at least 1.
    pub count: u64,
    /// The settings that differ from the book's.
    #[serde(with = "crossing")]
    pub set: Map<String, Value>,
    /// Who can reach it, where the plan says.
    pub reach: Option<Reach>,
    /// Where in the plan's site it hangs or stands, once it has a place there.
    pub hangs: Option<Face>,
    /// Fields that this program does not know, kept.
    #[serde(with = "crossing")]
    pub extra: Map<String, Value>,
}

/// One end of a wire: a port of a part.
#[derive(Clone, Debug, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize, Deserialize)]
pub struct End {
    /// The part.
    pub part: PartId,
    /// The port's name.
    pub port: String,
}

impl End {
    /// The port `port` of `part`.
    pub fn new(part: &PartId, port: &str) -> End {
        End {
            part: part.clone(),
            port: port.to_string(),
        }
    }
}

impl fmt::Display for End {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}.{}", self.part, self.port)
    }
}

/// A wire from an output port to an input port.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Wire {
    /// Its id.
    pub id: WireId,
    /// The output.
    pub from: End,
    /// The input.
    pub to: End,
    /// Places through which it goes, given by hand, in pixels of the board.
    pub bends: Vec<(f64, f64)>,
    /// Faces of the site that it is led over by hand, in their order.
    pub via: Vec<Face>,
    /// Fields that this program does not know, kept.
    #[serde(with = "crossing")]
    pub extra: Map<String, Value>,
}

impl Plan {
    /// An empty plan with the built-in book `outpost`.
    pub fn empty() -> Plan {
        Plan {
            title: String::new(),
            notes: String::new(),
            book: BookRef::built_in("outpost").unwrap_or_else(BookRef::none),
            world: World::default(),
            follows: None,
            site: None,
            parts: IndexedList::new(),
            wires: IndexedList::new(),
            duties: Vec::new(),
            meant: Vec::new(),
            walk: None,
            exercise: None,
            by_hand: Vec::new(),
            next: (1, 1),
            extra: Map::new(),
        }
    }

    /// What somebody begins with: an empty plan in the first of the ready sites.
    pub fn fresh() -> Plan {
        let ready = crate::site::READY.first();
        Plan {
            site: ready
                .and_then(|(name, _)| crate::site::ready_site(name))
                .map(std::sync::Arc::new),
            ..Plan::empty()
        }
    }

    /// The part called `id`.
    pub fn part(&self, id: &PartId) -> Option<&Part> {
        self.parts.find(id)
    }

    /// The wire called `id`.
    pub fn wire(&self, id: &WireId) -> Option<&Wire> {
        self.wires.find(&WireKey::Id(id.clone()))
    }

    /// Where the part called `id` stands in the plan's order.
    pub fn part_place(&self, id: &PartId) -> Option<usize> {
        self.parts.place(id)
    }

    /// Where the wire called `id` stands in the plan's order.
    pub fn wire_place(&self, id: &WireId) -> Option<usize> {
        self.wires.place(&WireKey::Id(id.clone()))
    }

    /// The part's type in the plan's book.
    pub fn kind_of(&self, part: &Part) -> Option<&PartType> {
        self.book.book.find(&part.kind)
    }

    /// What people call the part: its name, or its type's label.
    pub fn called(&self, id: &PartId) -> String {
        match self.part(id) {
            Some(p) if !p.name.is_empty() => p.name.clone(),
            Some(p) => self
                .kind_of(p)
                .map_or_else(|| p.kind.clone(), |t| t.label.clone()),
            None => id.to_string(),
        }
    }

    /// The wire at the port `end`, if one is there.
    pub fn wire_at(&self, end: &End) -> Option<&Wire> {
        self.wires.find(&WireKey::End(end.clone()))
    }

    /// The wires at any port of the part called `id`, by their ports' names; one that joins it to itself comes twice.
    pub fn wires_of(&self, id: &PartId) -> impl Iterator<Item = &Wire> {
        let first = WireKey::End(End::new(id, ""));
        let rest = self.wires.from(first);
        let own =
            rest.take_while(move |(key, _)| matches!(key, WireKey::End(end) if end.part == *id));
        own.filter_map(|(_, at)| self.wires.get(at))
    }

    /// The port that `end` names, if its part and the part's type have it.
    pub fn port(&self, end: &End) -> Option<Port> {
        self.kind_of(self.part(&end.part)?)?.port(&end.port)
    }

    /// Whether a wire may join `a` and `b` (in either order), the ends put in order; taken ports are not looked at.
    pub fn joins(&self, a: &End, b: &End) -> Option<(End, End)> {
        match (self.port(a)?.side, self.port(b)?.side) {
            (Side::Out, Side::In | Side::Signal) => Some((a.clone(), b.clone())),
            (Side::In | Side::Signal, Side::Out) => Some((b.clone(), a.clone())),
            _ => None,
        }
    }

    /// An id that no part of the plan has had. Taking it counts up, also when the part is never added.
    pub fn new_part_id(&mut self) -> PartId {
        let id = PartId::from(format!("p{}", self.next.0));
        self.next.0 += 1;
        id
    }

    /// An id that no wire of the plan has had. Taking it counts up, also when the wire is never added.
    pub fn new_wire_id(&mut self) -> WireId {
        let id = WireId::from(format!("w{}", self.next.1));
        self.next.1 += 1;
        id
    }

    /// The names of the plan's batteries' parts, in the plan's order.
    pub fn batteries(&self) -> Vec<&Part> {
        let is = |p: &&Part| {
            self.kind_of(p)
                .is_some_and(|t| t.behaviour.name() == "battery")
        };
        self.parts.iter().filter(is).collect()
    }
}

impl From<BookRef> for crossing::Json {
    fn from(book: BookRef) -> crossing::Json {
        book.written.into()
    }
}

impl TryFrom<crossing::Json> for BookRef {
    type Error = String;

    fn try_from(json: crossing::Json) -> Result<BookRef, String> {
        let written = Value::from(json);
        if let Some(name) = written.as_str() {
            return BookRef::built_in(name).ok_or_else(|| name.to_string());
        }
        let place = crate::read::Place::root("book");
        match crate::book::read_book_at(&written, &place) {
            Ok(book) => {
                let written = crate::book::with_stages(written);
                Ok(BookRef::new(book.into(), written))
            }
            Err(faults) => Err(faults.iter().map(|f| f.to_string()).collect()),
        }
    }
}

impl BookRef {
    /// A book that stands in a file as `written`.
    pub fn new(book: Arc<Book>, written: Value) -> BookRef {
        BookRef {
            book,
            written,
            remembered: fingerprint::Remembered::default(),
        }
    }

    /// The built-in book called `name`.
    pub fn built_in(name: &str) -> Option<BookRef> {
        crate::book::built_in(name).map(|book| BookRef::new(book, Value::from(name)))
    }

    /// A book without any part type, for a plan whose own can't be read.
    pub fn none() -> BookRef {
        let unit = crate::quantity::Unit {
            sign: "u".into(),
            step: 1.0,
        };
        let book = Book {
            name: String::new(),
            label: String::new(),
            unit,
            lag_ms: 100,
            says: String::new(),
            caution: String::new(),
            types: Vec::new(),
            extra: Map::new(),
        };
        let written = serde_json::json!({ "name": "", "types": [] });
        BookRef::new(Arc::new(book), written)
    }
}

impl Part {
    /// A part of the type called `kind`, with the book's settings.
    pub fn new(id: PartId, kind: &str, at: (f64, f64)) -> Part {
        Part {
            id,
            kind: kind.into(),
            name: String::new(),
            at: Some(at),
            count: 1,
            set: Map::new(),
            reach: None,
            hangs: None,
            extra: Map::new(),
        }
    }
}

impl Wire {
    /// A wire without bends.
    pub fn new(id: WireId, from: End, to: End) -> Wire {
        Wire {
            id,
            from,
            to,
            bends: Vec::new(),
            via: Vec::new(),
            extra: Map::new(),
        }
    }
}
