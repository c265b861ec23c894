//! A run in words, as one tells the way to somebody who lays the wire.

use super::cell::Ground;
use super::face::{Face, Surface};
use super::place::Site;
use super::route::{Leg, Route};
use super::steps::{Heading, Passage};

/// The way of a run: `up the north wall, through the hatch, along the ceiling to the east`.
pub fn run_said(site: &Site, route: &Route) -> String {
    let mut phrases: Vec<String> = Vec::new();
    let mut room = room_of(site, route.from);
    let mut at = route.from;
    for leg in &route.legs {
        let passed = passage_said(site, at, leg);
        let phrase = on_face(site, leg);
        at = leg.to;
        let now = room_of(site, at);
        let entered = now
            .filter(|_| now != room)
            .map(|name| format!("{phrase} in {name}"));
        room = now;
        let phrase = entered.unwrap_or(phrase);
        for phrase in passed.into_iter().chain([phrase]) {
            // What goes on as before is not said again, in whatever room.
            let goes_on = phrases.last().is_some_and(|last| {
                *last == phrase
                    || last
                        .strip_prefix(&phrase)
                        .is_some_and(|more| more.starts_with(" in "))
            });
            if !goes_on {
                phrases.push(phrase);
            }
        }
    }
    match phrases.is_empty() {
        true => "from one to the other on the spot".into(),
        false => phrases.join(", "),
    }
}

fn room_of(site: &Site, face: Face) -> Option<&str> {
    let room = site.cell(face.storey, face.x, face.y).room?;
    let room = site.rooms.get(usize::from(room))?;
    (!room.name.is_empty()).then_some(room.name.as_str())
}

fn passage_said(site: &Site, from: Face, leg: &Leg) -> Option<String> {
    match leg.passage {
        Passage::None => None,
        Passage::Door => Some("through the door".into()),
        Passage::Hatch => Some("through the hatch".into()),
        Passage::Stairs if from.surface == leg.to.surface && leg.to.surface == Surface::Floor => {
            Some("along the stairs".into())
        }
        Passage::Stairs => Some("through the opening of the stairs".into()),
        Passage::Brink => {
            let wall = from.surface.is_wall() && leg.to.surface.is_wall();
            let roof = [from, leg.to].iter().any(|face| {
                face.surface == Surface::Floor
                    && site.cell(face.storey, face.x, face.y).ground == Ground::Roof
            });
            Some(match (wall, roof) {
                (true, _) => "over the top of the wall".into(),
                (_, true) => "over the edge of the roof".into(),
                _ => "round the edge of the floor".into(),
            })
        }
    }
}

/// What a storey is called: its name, or its number from the ground.
pub fn storey_called(site: &Site, at: u8) -> String {
    let named = site.storeys.get(usize::from(at));
    match named.map(|storey| storey.name.as_str()) {
        Some(name) if !name.is_empty() => name.to_string(),
        _ => format!("Storey {}", u32::from(at) + 1),
    }
}

/// What a room is called: its name, or its number.
pub fn room_called(site: &Site, at: u8) -> String {
    let named = site.rooms.get(usize::from(at));
    match named.map(|room| room.name.as_str()) {
        Some(name) if !name.is_empty() => name.to_string(),
        _ => format!("Room {}", u32::from(at) + 1),
    }
}

/// Where a thing on a face is: `on the north wall of Hut, Ground`. A storey that is called like its room, or like what the
/// thing is on, is not named.
pub fn face_said(site: &Site, face: Face) -> String {
    let thing = thing(site, face);
    let on = match face.surface {
        Surface::Ceiling => "under",
        _ => "on",
    };
    let storey = storey_called(site, face.storey);
    let room = site.cell(face.storey, face.x, face.y).room;
    match room.map(|room| room_called(site, room)) {
        Some(room) if room == storey => format!("{on} {thing} of {room}"),
        Some(room) => format!("{on} {thing} of {room}, {storey}"),
        None if thing.eq_ignore_ascii_case(&format!("the {storey}")) => format!("{on} {thing}"),
        None => format!("{on} {thing}, {storey}"),
    }
}

/// A face as a thing: `the north wall`, `the outside of the north wall`, `the floor`.
fn thing(site: &Site, face: Face) -> String {
    let Face {
        storey,
        x,
        y,
        surface,
    } = face;
    let outside = site.is_under_the_sky(storey, x, y);
    let wall = |wall: Surface| match outside {
        true => format!("the outside of the {} wall", wall.opposite().word()),
        false => format!("the {} wall", wall.word()),
    };
    let ground = match site.cell(storey, x, y).ground {
        Ground::Roof => "the roof",
        Ground::Ground => "the ground",
        _ => "the floor",
    };
    match surface {
        Surface::Floor => ground.to_string(),
        Surface::Ceiling => "the ceiling".into(),
        Surface::Furniture => "the furniture".into(),
        side => wall(side),
    }
}

fn on_face(site: &Site, leg: &Leg) -> String {
    let (thing, surface) = (thing(site, leg.to), leg.to.surface);
    match (leg.arrives, surface) {
        (Heading::Up, Surface::Furniture) => format!("up onto {thing}"),
        (Heading::Up, Surface::Ceiling) => format!("up to {thing}"),
        (Heading::Up, Surface::Floor) => format!("up to {thing}"),
        (Heading::Down, Surface::Floor | Surface::Ceiling) => format!("down to {thing}"),
        (Heading::Up, _) => format!("up {thing}"),
        (Heading::Down, _) => format!("down {thing}"),
        (Heading::North, _) => format!("along {thing} to the north"),
        (Heading::East, _) => format!("along {thing} to the east"),
        (Heading::South, _) => format!("along {thing} to the south"),
        (Heading::West, _) => format!("along {thing} to the west"),
    }
}
