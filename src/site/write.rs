//! Writing a site as the part of a plan's file that [`read_site`](super::read_site) reads.

use super::cell::{Cell, Edge};
use super::face::Surface;
use super::place::Site;
use super::reach::Reach;
use super::read::{ACROSS, ALONG, CELLS, NO_ROOM, POST, letter};
use serde_json::{Map, Value, json};

impl Site {
    /// The site as a JSON value.
    pub fn to_value(&self) -> Value {
        let mut map = Map::new();
        map.insert("cell_cm".into(), self.cell_cm.into());
        map.insert("storey_cm".into(), self.storey_cm.into());
        let storeys = (0..self.storeys.len()).map(|s| self.storey_value(s as u8));
        map.insert("storeys".into(), storeys.collect());
        let rooms = self.rooms.iter().map(|room| {
            let mut map = Map::new();
            map.insert("name".into(), room.name.as_str().into());
            if room.who != Reach::Builders {
                map.insert("who".into(), room.who.word().into());
            }
            Value::Object(map)
        });
        let rooms: Vec<Value> = rooms.collect();
        if !rooms.is_empty() {
            map.insert("rooms".into(), rooms.into());
        }
        let p = self.priorities;
        if p != super::Priorities::default() {
            let value = json!({"hide": p.hide, "corner_cm": p.corner_cm, "edges": p.edges});
            map.insert("priorities".into(), value);
        }
        Value::Object(map)
    }

    fn storey_value(&self, s: u8) -> Value {
        let mut map = Map::new();
        let name = &self.storeys[usize::from(s)].name;
        if !name.is_empty() {
            map.insert("name".into(), name.as_str().into());
        }
        map.insert("drawing".into(), self.drawing(s).into());
        let has_rooms =
            (0..self.depth).any(|y| (0..self.width).any(|x| self.cell(s, x, y).room.is_some()));
        if has_rooms {
            let row = |y: u8| -> String {
                let letter = |x: u8| {
                    let room = self.cell(s, x, y).room;
                    room.map_or(NO_ROOM, |room| letter(room.into()))
                };
                (0..self.width).map(letter).collect()
            };
            let rows: Vec<String> = (0..self.depth).map(row).collect();
            map.insert("rooms".into(), rows.into());
        }
        Value::Object(map)
    }

    /// A storey as rows of characters.
    pub fn drawing(&self, s: u8) -> Vec<String> {
        let edge = |chars: &[(char, Edge); 3], x: u8, y: u8, wall: Surface| {
            let edge = self.edge(s, x, y, wall);
            chars.iter().find(|(_, e)| *e == edge).map_or(' ', |c| c.0)
        };
        let across = |y: u8, wall: Surface| -> String {
            let mut row = String::from(POST);
            for x in 0..self.width {
                row.push(edge(&ACROSS, x, y, wall));
                row.push(POST);
            }
            row
        };
        let mut rows = Vec::new();
        for y in 0..self.depth {
            rows.push(across(y, Surface::North));
            let mut row = String::new();
            for x in 0..self.width {
                row.push(edge(&ALONG, x, y, Surface::West));
                row.push(char_of(self.cell(s, x, y)));
            }
            row.push(edge(&ALONG, self.width - 1, y, Surface::East));
            rows.push(row);
        }
        rows.push(across(self.depth - 1, Surface::South));
        rows
    }
}

fn char_of(cell: Cell) -> char {
    let same =
        |(_, ground, fitting): &&(char, _, _)| (*ground, *fitting) == (cell.ground, cell.fitting);
    CELLS.iter().find(same).map_or('.', |c| c.0)
}
