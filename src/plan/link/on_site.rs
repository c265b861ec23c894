//! The site of a plan and the places in it as coded numbers, for version 3 of the link form: what goes before the packing
//! of the same plan without them.
//!
//! Cells follow the cell in the west or the north in most places, and edges the ground on their two sides: both are told as
//! what they differ in from that. Reading makes the fields of the plan's file again and leaves every check to the reader
//! of files.

use super::coder::{Column, Reader, Writer};
use crate::gather::Gather;
use crate::limits::{SITE_BENDS, SITE_NAME, SITE_ROOMS, SITE_SIDE, SITE_STOREYS};
use crate::plan::Plan;
use crate::site::{
    Cell, Edge, Face, Fitting, Ground, Mark, Patch, Priorities, Reach, Room, Site, Storey, Surface,
};
use serde_json::{Map, Value};
use std::collections::BTreeMap;

const GROUNDS: [Ground; 4] = [Ground::Air, Ground::Ground, Ground::Floor, Ground::Roof];
const FITTINGS: [Fitting; 4] = [
    Fitting::None,
    Fitting::Furniture,
    Fitting::Hatch,
    Fitting::Stairs,
];
const EDGES: [Edge; 3] = [Edge::Open, Edge::Wall, Edge::Door];

/// Whether the plan has anything of a site.
pub(super) fn has_any(plan: &Plan) -> bool {
    plan.site.is_some()
        || plan.parts.iter().any(|part| part.hangs.is_some())
        || plan.wires.iter().any(|wire| !wire.via.is_empty())
}

/// The plan without its site and all places in it.
pub(super) fn without(plan: &Plan) -> Plan {
    let mut bare = plan.clone();
    bare.site = None;
    for at in 0..bare.parts.len() {
        if let Some(part) = bare.parts.value_mut(at) {
            part.hangs = None;
        }
    }
    for at in 0..bare.wires.len() {
        if let Some(wire) = bare.wires.value_mut(at) {
            wire.via.clear();
        }
    }
    bare
}

/// The columns of faces: each number as the step from the one before.
struct Faces {
    columns: [Column; 3],
    surface: Column,
    last: [i64; 3],
}

impl Faces {
    fn new() -> Faces {
        Faces {
            columns: [Column::new(), Column::new(), Column::new()],
            surface: Column::new(),
            last: [0; 3],
        }
    }

    fn put(&mut self, out: &mut Writer, face: Face) {
        let place = [face.storey, face.x, face.y].map(i64::from);
        let steps = place.into_iter().zip(self.last);
        for (column, (to, from)) in self.columns.iter_mut().zip(steps) {
            out.put_signed(column, to - from);
        }
        self.last = place;
        out.put(&mut self.surface, face.surface as u64);
    }

    fn read(&mut self, reader: &mut Reader) -> Option<Face> {
        for axis in 0..3 {
            let step = reader.signed(&mut self.columns[axis]);
            self.last[axis] = self.last[axis].checked_add(step)?;
        }
        let [storey, x, y] = self.last.map(|n| u8::try_from(n).ok());
        let surface = reader.number(&mut self.surface);
        let surface = *Surface::ALL.get(usize::try_from(surface).ok()?)?;
        Some(Face::new(storey?, x?, y?, surface))
    }
}

/// The site and the places, coded.
pub(super) fn pack(plan: &Plan) -> Vec<u8> {
    let mut out = Writer::new();
    let mut head = Column::new();
    out.put(&mut head, u64::from(plan.site.is_some()));
    if let Some(site) = &plan.site {
        put_site(&mut out, site);
    }
    let mut faces = Faces::new();
    let mut placed = Column::new();
    for part in &plan.parts {
        out.put(&mut placed, u64::from(part.hangs.is_some()));
        if let Some(face) = part.hangs {
            faces.put(&mut out, face);
        }
    }
    let (mut counts, mut faces) = (Column::new(), Faces::new());
    for wire in &plan.wires {
        out.put(&mut counts, wire.via.len() as u64);
        wire.via.iter().for_each(|face| faces.put(&mut out, *face));
    }
    out.end()
}

/// Puts the fields that [`pack`] wrote into the JSON of the plan's file; none where they make no sense.
pub(super) fn unpack(bytes: &[u8], plan: &mut Map<String, Value>) -> Option<()> {
    let mut reader = Reader::new(bytes);
    let has_site = reader.number(&mut Column::new()) == 1;
    let site = match has_site {
        true => Some(read_site(&mut reader)?),
        false => None,
    };
    let list = |plan: &mut Map<String, Value>, key: &str| match plan.get_mut(key) {
        Some(Value::Array(list)) => std::mem::take(list),
        _ => Vec::new(),
    };
    let (mut parts, mut wires) = (list(plan, "parts"), list(plan, "wires"));
    let (mut placed, mut faces) = (Column::new(), Faces::new());
    for part in &mut parts {
        if reader.number(&mut placed) == 1 {
            let face = faces.read(&mut reader)?.to_value();
            part.as_object_mut()?.insert("hangs".into(), face);
        }
    }
    let (mut counts, mut faces) = (Column::new(), Faces::new());
    for wire in &mut wires {
        let count = usize::try_from(reader.number(&mut counts)).ok()?;
        if count > SITE_BENDS {
            return None;
        }
        if count > 0 {
            let via: Option<Vec<Value>> = (0..count)
                .map(|_| Some(faces.read(&mut reader)?.to_value()))
                .collect();
            wire.as_object_mut()?.insert("via".into(), via?.into());
        }
    }
    plan.insert("parts".into(), parts.into());
    plan.insert("wires".into(), wires.into());
    if let Some(site) = site {
        plan.insert("site".into(), site.to_value());
    }
    Some(())
}

/// Columns by what stands around a place, made as they are needed.
struct Contexts(BTreeMap<u64, Column>);

impl Contexts {
    fn new() -> Contexts {
        Contexts([].into_iter().gather())
    }

    fn at(&mut self, context: u64) -> &mut Column {
        self.0.entry(context).or_insert_with(Column::new)
    }
}

/// What a site is made of, place by place in one order, written or read through the same function.
enum Flow<'a, 'b> {
    Out(&'a mut Writer),
    In(&'a mut Reader<'b>),
}

impl Flow<'_, '_> {
    /// Writes the number, or reads it in its place.
    fn number(&mut self, column: &mut Column, n: u64) -> u64 {
        match self {
            Flow::Out(out) => {
                out.put(column, n);
                n
            }
            Flow::In(reader) => reader.number(column),
        }
    }
}

fn put_site(out: &mut Writer, site: &Site) {
    let mut copy = site.clone();
    // What is read back into the copy is what stands there: this changes nothing.
    let _ = flow(&mut Flow::Out(out), &mut copy);
}

fn read_site(reader: &mut Reader) -> Option<Site> {
    let mut site = Site::empty(1, 1);
    flow(&mut Flow::In(reader), &mut site)?;
    Some(site)
}

/// Takes a site through, all of it.
fn flow(flow: &mut Flow, site: &mut Site) -> Option<()> {
    let mut head = Column::new();
    let mut number =
        |flow: &mut Flow, n: u64, most: u64| Some(flow.number(&mut head, n)).filter(|n| *n <= most);
    let side = u64::from(SITE_SIDE);
    let width = number(flow, site.width.into(), side)?;
    let depth = number(flow, site.depth.into(), side)?;
    let storeys = number(flow, site.storeys.len() as u64, SITE_STOREYS.into())?;
    let rooms = number(flow, site.rooms.len() as u64, SITE_ROOMS as u64)?;
    let most = u64::from(u32::MAX);
    let p = site.priorities;
    let numbers = [site.cell_cm, site.storey_cm, p.hide, p.corner_cm, p.edges];
    let mut read = [0u32; 5];
    for (to, n) in read.iter_mut().zip(numbers) {
        *to = u32::try_from(number(flow, n.into(), most)?).ok()?;
    }
    if width == 0 || depth == 0 || storeys == 0 {
        return None;
    }
    if let Flow::In(_) = flow {
        *site = Site::empty(u8::try_from(width).ok()?, u8::try_from(depth).ok()?);
        site.storeys = vec![Storey::empty("", site.width, site.depth); storeys as usize];
        let room = Room {
            name: String::new(),
            who: Reach::Builders,
        };
        site.rooms = vec![room; rooms as usize];
    }
    [site.cell_cm, site.storey_cm] = [read[0], read[1]];
    site.priorities = Priorities {
        hide: read[2],
        corner_cm: read[3],
        edges: read[4],
    };
    let mut letters = Column::new();
    let mut who = Column::new();
    for room in &mut site.rooms {
        let word = flow.number(&mut who, room.who as u64);
        room.who = *Reach::ALL.get(usize::try_from(word).ok()?)?;
        room.name = text(flow, &mut letters, &room.name)?;
    }
    for storey in &mut site.storeys {
        storey.name = text(flow, &mut letters, &storey.name)?;
    }
    cells(flow, site)?;
    edges(flow, site)?;
    marks_of_rooms(flow, site)
}

/// A name: how long it is, then its characters.
fn text(flow: &mut Flow, letters: &mut Column, text: &str) -> Option<String> {
    let chars: Vec<char> = text.chars().collect();
    let length = flow.number(&mut Column::new(), chars.len() as u64);
    if length > SITE_NAME as u64 {
        return None;
    }
    let one = |at: u64| {
        let known = chars
            .get(at as usize)
            .map_or(0, |c| u64::from(u32::from(*c)));
        char::from_u32(u32::try_from(flow.number(letters, known)).ok()?)
    };
    (0..length).map(one).collect()
}

/// Every place of a site in the order in which it is told.
fn places(site: &Site) -> Vec<(u8, u8, u8)> {
    site.cells().collect()
}

/// The cells in the west and in the north, which the next one is likely to be like.
fn before(site: &Site, (s, x, y): (u8, u8, u8)) -> [Cell; 2] {
    let west = x.checked_sub(1).map(|x| site.cell(s, x, y));
    let north = y.checked_sub(1).map(|y| site.cell(s, x, y));
    [west.unwrap_or_default(), north.unwrap_or_default()]
}

fn cells(flow: &mut Flow, site: &mut Site) -> Option<()> {
    let (mut grounds, mut fittings) = (Contexts::new(), Contexts::new());
    for (s, x, y) in places(site) {
        let [west, north] = before(site, (s, x, y)).map(|cell| cell.ground as u64);
        let below = s.checked_sub(1).map(|s| site.cell(s, x, y).ground as u64);
        let context = (west * 4 + north) * 5 + below.map_or(4, |g| g);
        let cell = site.cell(s, x, y);
        let ground = flow.number(grounds.at(context), cell.ground as u64);
        let ground = *GROUNDS.get(usize::try_from(ground).ok()?)?;
        let mut fitting = Fitting::None;
        if ground != Ground::Air {
            let told = flow.number(fittings.at(ground as u64), cell.fitting as u64);
            fitting = *FITTINGS.get(usize::try_from(told).ok()?)?;
        }
        let mark = Mark::Ground(ground, fitting);
        site.paint(Patch {
            storey: s,
            x,
            y,
            mark,
        })?;
    }
    Some(())
}

fn edges(flow: &mut Flow, site: &mut Site) -> Option<()> {
    let mut contexts = Contexts::new();
    for (s, x, y) in places(site) {
        for wall in Surface::WALLS {
            // Edges between two cells are told from the one in the south or in the east.
            let next = site.beside(x, y, wall);
            if next.is_some() && matches!(wall, Surface::East | Surface::South) {
                continue;
            }
            let own = site.cell(s, x, y).ground as u64;
            let other = next.map_or(4, |(x, y)| site.cell(s, x, y).ground as u64);
            let context = own * 5 + other;
            let told = flow.number(contexts.at(context), site.edge(s, x, y, wall) as u64);
            let edge = *EDGES.get(usize::try_from(told).ok()?)?;
            let mark = Mark::Edge(wall, edge);
            site.paint(Patch {
                storey: s,
                x,
                y,
                mark,
            })?;
        }
    }
    Some(())
}

fn marks_of_rooms(flow: &mut Flow, site: &mut Site) -> Option<()> {
    if site.rooms.is_empty() {
        return Some(());
    }
    let mut contexts = Contexts::new();
    for (s, x, y) in places(site) {
        // 0 stands for no room.
        let number = |cell: Cell| cell.room.map_or(0, |room| u64::from(room) + 1);
        let cell = site.cell(s, x, y);
        let [west, north] = before(site, (s, x, y)).map(number);
        let is_apart = |wall| u64::from(site.edge(s, x, y, wall) != Edge::Open);
        let walls = is_apart(Surface::West) * 2 + is_apart(Surface::North);
        // What the cell before it says, told as 0, or else one more.
        let likely = if walls == 2 { north } else { west };
        let context = (cell.ground as u64 * 4 + walls) * 2 + u64::from(likely == 0);
        let own = number(cell);
        let told = match own == likely {
            true => 0,
            false => own + 1,
        };
        let told = flow.number(contexts.at(context), told);
        let room = match told {
            0 => likely,
            n => n - 1,
        };
        let room = match room.checked_sub(1) {
            Some(room) => Some(u8::try_from(room).ok()?),
            None => None,
        };
        let mark = Mark::Room(room);
        site.paint(Patch {
            storey: s,
            x,
            y,
            mark,
        })?;
    }
    Some(())
}
