//! Reading the site part of a plan's file. Every fault is told with its place; what can't be read is air, or left out.
//!
//! A storey is drawn as people draw with characters: rows of cells with the edges between them. Of a site of `w` by `d`
//! cells it has `2d + 1` rows of `2w + 1` characters; at odd places in odd rows stand cells, between two cells the edge
//! that parts them, and everywhere else a `+`.

use super::cell::{Edge, Fitting, Ground};
use super::face::Surface;
use super::place::{Room, Site, Storey};
use super::priorities::Priorities;
use super::reach::Reach;
use crate::limits::{
    SITE_CELL_CM, SITE_NAME, SITE_PRIORITY, SITE_ROOMS, SITE_SIDE, SITE_STOREY_CM, SITE_STOREYS,
};
use crate::read::{self, FaultKind, Faults, Place};
use serde_json::{Map, Value};

/// The characters of cells.
pub(super) const CELLS: [(char, Ground, Fitting); 13] = [
    ('.', Ground::Air, Fitting::None),
    (',', Ground::Ground, Fitting::None),
    ('f', Ground::Floor, Fitting::None),
    ('r', Ground::Roof, Fitting::None),
    ('G', Ground::Ground, Fitting::Furniture),
    ('F', Ground::Floor, Fitting::Furniture),
    ('R', Ground::Roof, Fitting::Furniture),
    ('H', Ground::Ground, Fitting::Hatch),
    ('S', Ground::Ground, Fitting::Stairs),
    ('h', Ground::Floor, Fitting::Hatch),
    ('s', Ground::Floor, Fitting::Stairs),
    ('k', Ground::Roof, Fitting::Hatch),
    ('t', Ground::Roof, Fitting::Stairs),
];
/// The characters of edges: those that run from west to east, and the others.
pub(super) const ACROSS: [(char, Edge); 3] =
    [(' ', Edge::Open), ('-', Edge::Wall), ('d', Edge::Door)];
/// As [`ACROSS`].
pub(super) const ALONG: [(char, Edge); 3] =
    [(' ', Edge::Open), ('|', Edge::Wall), ('d', Edge::Door)];
/// Where neither a cell nor an edge stands.
pub(super) const POST: char = '+';
/// A cell that belongs to no room.
pub(super) const NO_ROOM: char = '.';

/// Reads a site; none where there is nothing to draw it from.
pub fn read_site(value: &Value, place: &Place, faults: &mut Faults) -> Option<Site> {
    let map = read::object(value, place, faults)?;
    let at = place.key("storeys");
    let written = read::list(map, "storeys", place, faults);
    if written.is_empty() || written.len() > usize::from(SITE_STOREYS) {
        let expected = format!("a list of 1 to {SITE_STOREYS} storeys");
        let found = format!("{} storeys", written.len());
        faults.push(at.fault(FaultKind::Range, found, expected));
    }
    let (width, depth) = size(written.first()?, &at, faults)?;
    let mut site = Site {
        storeys: Vec::new(),
        rooms: read_rooms(map, place, faults),
        ..Site::empty(width, depth)
    };
    let mut cm = |key: &str, (least, most): (u64, u64), usual: u32| {
        let value = map.get(key);
        let read = value.and_then(|v| read::whole(v, least, most, &place.key(key), faults));
        read.and_then(|cm| u32::try_from(cm).ok()).unwrap_or(usual)
    };
    site.cell_cm = cm("cell_cm", SITE_CELL_CM, site.cell_cm);
    site.storey_cm = cm("storey_cm", SITE_STOREY_CM, site.storey_cm);
    site.priorities = read_priorities(map, place, faults);
    for (index, value) in written.iter().take(SITE_STOREYS.into()).enumerate() {
        let here = at.index(index);
        let mut storey = Storey::empty("", width, depth);
        if let Some(map) = read::object(value, &here, faults) {
            storey.name = read_text(map, "name", &here, faults);
            site.storeys.push(storey);
            // Eight storeys at the most.
            let s = index as u8;
            draw(&mut site, s, map, &here, faults);
            mark_rooms(&mut site, s, map, &here, faults);
        } else {
            site.storeys.push(storey);
        }
    }
    Some(site)
}

/// How many cells a site has, by its first storey's drawing.
fn size(first: &Value, storeys: &Place, faults: &mut Faults) -> Option<(u8, u8)> {
    let here = storeys.index(0);
    let at = here.key("drawing");
    let rows = first.get("drawing").and_then(Value::as_array);
    let columns = rows.and_then(|rows| rows.first()?.as_str());
    let cells = |n: usize| {
        let cells = u8::try_from(n.checked_sub(1)? / 2).ok()?;
        (n % 2 == 1 && (1..=SITE_SIDE).contains(&cells)).then_some(cells)
    };
    let depth = rows.and_then(|rows| cells(rows.len()));
    let width = columns.and_then(|columns| cells(columns.chars().count()));
    if let (Some(width), Some(depth)) = (width, depth) {
        return Some((width, depth));
    }
    let most = 2 * usize::from(SITE_SIDE) + 1;
    let found = match (rows, columns) {
        (None, _) => "no list of rows".to_string(),
        (Some(rows), None) => format!("{} rows, the first of them no text", rows.len()),
        (Some(rows), Some(columns)) => {
            format!(
                "{} rows of {} characters",
                rows.len(),
                columns.chars().count()
            )
        }
    };
    let expected =
        format!("an odd number of rows of an odd number of characters, 3 to {most} each");
    faults.push(at.fault(FaultKind::Range, found, expected));
    None
}

/// The rows of a list of texts, each of so many characters; rows that can't be read are missing.
fn rows(
    map: &Map<String, Value>,
    key: &str,
    size: (usize, usize),
    place: &Place,
    faults: &mut Faults,
) -> Vec<(usize, Vec<char>)> {
    let at = place.key(key);
    let written = read::list(map, key, place, faults);
    if written.len() != size.1 {
        let found = format!("{} rows", written.len());
        let expected = format!("{} rows, as the first storey is deep", size.1);
        faults.push(at.fault(FaultKind::Range, found, expected));
    }
    let mut rows = Vec::new();
    for (index, value) in written.iter().take(size.1).enumerate() {
        let text: Option<Vec<char>> = value.as_str().map(|text| text.chars().collect());
        match text.filter(|text| text.len() == size.0) {
            Some(text) => rows.push((index, text)),
            None => {
                let expected = format!("a text of {} characters, as the first row", size.0);
                faults.push(at.index(index).wrong(FaultKind::Range, value, expected));
            }
        }
    }
    rows
}

/// Draws a storey into the site.
fn draw(site: &mut Site, s: u8, map: &Map<String, Value>, place: &Place, faults: &mut Faults) {
    let size = |cells: u8| 2 * usize::from(cells) + 1;
    let rows = rows(
        map,
        "drawing",
        (size(site.width), size(site.depth)),
        place,
        faults,
    );
    let at = place.key("drawing");
    for (row, text) in rows {
        let mut wrong = |column: usize, expected: String| {
            let found = format!("'{}' as character {}", text[column], column + 1);
            let here = at.index(row);
            faults.push(here.fault(FaultKind::Unknown, found, expected));
        };
        for (column, char) in text.iter().enumerate() {
            // The cell that this place belongs to, or the last one where it lies at the far side.
            let cell = |at: usize, cells: u8| ((at / 2) as u8).min(cells - 1);
            let (x, y) = (cell(column, site.width), cell(row, site.depth));
            let far = |at: usize, cells: u8| at == 2 * usize::from(cells);
            match (row % 2 == 1, column % 2 == 1) {
                (true, true) => match CELLS.iter().find(|(c, ..)| c == char) {
                    Some((_, ground, fitting)) => {
                        if let Some(cell) = site.cell_mut(s, x, y) {
                            (cell.ground, cell.fitting) = (*ground, *fitting);
                        }
                    }
                    None => wrong(
                        column,
                        format!("a cell: one of {}", listed(&CELLS.map(|c| c.0))),
                    ),
                },
                (false, false) if *char == POST => {}
                (false, false) => {
                    wrong(column, format!("'{POST}', since no cell or edge is there"))
                }
                (is_along, _) => {
                    let (chars, wall) = match is_along {
                        true if far(column, site.width) => (&ALONG, Surface::East),
                        true => (&ALONG, Surface::West),
                        false if far(row, site.depth) => (&ACROSS, Surface::South),
                        false => (&ACROSS, Surface::North),
                    };
                    match chars.iter().find(|(c, _)| c == char) {
                        Some((_, edge)) => {
                            if let Some(place) = site.edge_mut(s, x, y, wall) {
                                *place = *edge;
                            }
                        }
                        None => wrong(
                            column,
                            format!("an edge: one of {}", listed(&chars.map(|c| c.0))),
                        ),
                    }
                }
            }
        }
    }
}

fn listed(chars: &[char]) -> String {
    let chars: Vec<String> = chars.iter().map(|c| format!("'{c}'")).collect();
    chars.join(", ")
}

/// The letter of a room in a file.
pub(super) fn letter(room: usize) -> char {
    char::from(b'a' + (room % SITE_ROOMS) as u8)
}

/// Gives the cells of a storey their rooms.
fn mark_rooms(
    site: &mut Site,
    s: u8,
    map: &Map<String, Value>,
    place: &Place,
    faults: &mut Faults,
) {
    if !map.contains_key("rooms") {
        return;
    }
    let size = (site.width.into(), site.depth.into());
    let at = place.key("rooms");
    for (row, text) in rows(map, "rooms", size, place, faults) {
        for (column, char) in text.iter().enumerate() {
            let room = (0..site.rooms.len()).find(|room| letter(*room) == *char);
            if room.is_none() && *char != NO_ROOM {
                let found = format!("'{char}' as character {}", column + 1);
                let expected = format!(
                    "'{NO_ROOM}', or the letter of one of the site's {} rooms, 'a' for the first",
                    site.rooms.len()
                );
                faults.push(at.index(row).fault(FaultKind::Unknown, found, expected));
            }
            if let Some(cell) = site.cell_mut(s, column as u8, row as u8) {
                cell.room = room.map(|room| room as u8);
            }
        }
    }
}

fn read_rooms(map: &Map<String, Value>, place: &Place, faults: &mut Faults) -> Vec<Room> {
    let at = place.key("rooms");
    let written = read::list(map, "rooms", place, faults);
    if written.len() > SITE_ROOMS {
        let found = format!("{} rooms", written.len());
        faults.push(at.fault(FaultKind::Range, found, format!("at most {SITE_ROOMS}")));
    }
    let room = |(index, value): (usize, &Value)| {
        let here = at.index(index);
        // A room that can't be read keeps its letter, so that the others keep theirs.
        let mut room = Room {
            name: String::new(),
            who: Reach::Builders,
        };
        let Some(map) = read::object(value, &here, faults) else {
            return room;
        };
        room.name = read_text(map, "name", &here, faults);
        if let Some(value) = map.get("who") {
            let word = value.as_str();
            match Reach::ALL.into_iter().find(|r| Some(r.word()) == word) {
                Some(who) => room.who = who,
                None => {
                    let expected = "one of builders, friends, anyone";
                    faults.push(here.key("who").wrong(FaultKind::Unknown, value, expected));
                }
            }
        }
        room
    };
    written
        .iter()
        .take(SITE_ROOMS)
        .enumerate()
        .map(room)
        .collect()
}

/// A name, which may be missing.
fn read_text(map: &Map<String, Value>, key: &str, place: &Place, faults: &mut Faults) -> String {
    let text = read::text(map, key, place, faults).unwrap_or_default();
    let length = text.chars().count();
    if length > SITE_NAME {
        let found = format!("{length} characters");
        let expected = format!("at most {SITE_NAME}");
        faults.push(place.key(key).fault(FaultKind::Range, found, expected));
    }
    text.chars().take(SITE_NAME).collect()
}

fn read_priorities(map: &Map<String, Value>, place: &Place, faults: &mut Faults) -> Priorities {
    let at = place.key("priorities");
    let mut priorities = Priorities::default();
    let Some(map) = map
        .get("priorities")
        .and_then(|value| read::object(value, &at, faults))
    else {
        return priorities;
    };
    for (key, field) in [
        ("hide", &mut priorities.hide),
        ("corner_cm", &mut priorities.corner_cm),
        ("edges", &mut priorities.edges),
    ] {
        let value = map.get(key);
        let read = value.and_then(|v| read::whole(v, 0, SITE_PRIORITY, &at.key(key), faults));
        *field = read.and_then(|n| u32::try_from(n).ok()).unwrap_or(0);
    }
    priorities
}
