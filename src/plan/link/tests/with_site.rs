//! Links of plans that have a site: they come back, stay short, and links of plans without one stay as they were.

use super::super::{from_link, on_site, to_fragment};
use super::{Dice, built, kittiwake, opened};
use crate::plan::{Edit, Plan};
use crate::site::{
    Cell, Edge, Face, Fitting, Ground, Mark, Patch, Priorities, Reach, Room, Site, Storey, Surface,
};
use proptest::prelude::*;
use serde_json::Map;

/// A site with anything anywhere.
fn any_site(dice: &mut Dice) -> Site {
    let mut site = Site::empty(1 + dice.roll(7) as u8, 1 + dice.roll(7) as u8);
    let storeys = 1 + dice.roll(4);
    let storey = |n| {
        Storey::empty(
            ["", "Cellar", "Dachböden ⌂"][n as usize % 3],
            site.width,
            site.depth,
        )
    };
    site.storeys = (0..storeys).map(storey).collect();
    site.rooms = (0..dice.roll(5))
        .map(|n| Room {
            name: ["Galley", "", "Stair"][n as usize % 3].into(),
            who: Reach::ALL[dice.roll(3) as usize],
        })
        .collect();
    site.cell_cm = 20 + dice.roll(200) as u32;
    site.storey_cm = 100 + dice.roll(300) as u32;
    site.priorities = Priorities {
        hide: dice.roll(300) as u32,
        corner_cm: dice.roll(50) as u32,
        edges: 0,
    };
    let cells: Vec<(u8, u8, u8)> = site.cells().collect();
    for (storey, x, y) in cells {
        let grounds = [Ground::Air, Ground::Ground, Ground::Floor, Ground::Roof];
        let fittings = [
            Fitting::None,
            Fitting::Furniture,
            Fitting::Hatch,
            Fitting::Stairs,
        ];
        let ground = grounds[dice.roll(4) as usize];
        let fitting = match ground {
            Ground::Air => Fitting::None,
            _ => fittings[dice.roll(4) as usize],
        };
        let mut marks = vec![Mark::Ground(ground, fitting)];
        for wall in Surface::WALLS {
            let edges = [Edge::Open, Edge::Wall, Edge::Door];
            marks.push(Mark::Edge(wall, edges[dice.roll(3) as usize]));
        }
        if !site.rooms.is_empty() && dice.roll(2) == 0 {
            marks.push(Mark::Room(Some(dice.roll(site.rooms.len() as u64) as u8)));
        }
        for mark in marks {
            let patch = Patch { storey, x, y, mark };
            site.paint(patch).unwrap_or_else(|| panic!("{patch:?}"));
        }
    }
    site
}

fn any_face(dice: &mut Dice) -> Face {
    let surface = Surface::ALL[dice.roll(7) as usize];
    Face::new(
        dice.roll(8) as u8,
        dice.roll(32) as u8,
        dice.roll(32) as u8,
        surface,
    )
}

/// A station of four storeys and its ground, as somebody would draw it.
fn station() -> Site {
    let (width, depth) = (12, 10);
    let mut site = Site::empty(width, depth);
    site.storeys = ["Ground", "Quarters", "Stores", "Lantern", "Roof"]
        .map(|name| Storey::empty(name, width, depth))
        .to_vec();
    site.rooms = ["Galley", "Bunks", "Battery shelf", "Stair", "Causeway"]
        .map(|name| Room {
            name: name.into(),
            who: Reach::Builders,
        })
        .to_vec();
    site.rooms[4].who = Reach::Anyone;
    for y in 0..depth {
        for x in 0..width {
            let mut draw = |storey, mark| site.paint(Patch { storey, x, y, mark }).is_some();
            let inside = (3..9).contains(&x) && (2..8).contains(&y);
            draw(
                0,
                Mark::Ground(
                    if inside {
                        Ground::Floor
                    } else {
                        Ground::Ground
                    },
                    Fitting::None,
                ),
            );
            if !inside {
                continue;
            }
            for storey in 1..4 {
                let stairs = x == 8 && y == 2 + 5 * (storey % 2);
                let fitting = if stairs {
                    Fitting::Stairs
                } else {
                    Fitting::None
                };
                draw(storey, Mark::Ground(Ground::Floor, fitting));
            }
            draw(
                4,
                Mark::Ground(
                    Ground::Roof,
                    if x == 5 && y == 5 {
                        Fitting::Hatch
                    } else {
                        Fitting::None
                    },
                ),
            );
            for storey in 0..4 {
                let wall = |wall| Mark::Edge(wall, Edge::Wall);
                let ends = [
                    (x == 3, Surface::West),
                    (x == 8, Surface::East),
                    (y == 2, Surface::North),
                    (y == 7, Surface::South),
                    (x == 6 && storey > 0, Surface::West),
                ];
                for (_, side) in ends.into_iter().filter(|(is, _)| *is) {
                    draw(storey, wall(side));
                }
                let room = if x < 6 { storey } else { 3 };
                draw(storey, Mark::Room(Some(room)));
            }
        }
    }
    for (storey, y) in [(0, 4), (1, 4), (2, 3), (3, 6)] {
        let mark = Mark::Edge(Surface::West, Edge::Door);
        site.paint(Patch {
            storey,
            x: 6,
            y,
            mark,
        });
    }
    site
}

/// Gives every part a place: those that were put up one after the other hang near each other, as people hang them.
fn placed(mut plan: Plan, dice: &mut Dice) -> Plan {
    let site = station();
    let faces: Vec<Face> = site
        .faces()
        .filter(|face| site.takes_parts(*face))
        .collect();
    plan.apply(Edit::Site(Some(Box::new(site)))).unwrap();
    let mut at = 0;
    let ids: Vec<_> = plan.parts.iter().map(|part| part.id.clone()).collect();
    for id in ids {
        at = (at + 1 + dice.roll(9) as usize) % faces.len();
        plan.apply(Edit::Hang(id, Some(faces[at]))).unwrap();
    }
    plan
}

#[test]
fn sixty_parts_placed_and_wired_in_a_site_fit_in_fourteen_hundred_characters() {
    let mut sizes: Vec<usize> = (1..=9)
        .map(|seed| {
            let plan = placed(built(seed, 60, 90), &mut Dice(seed));
            let link = to_fragment(&plan);
            assert!(link.starts_with("d3."), "{link}");
            assert_eq!(opened(&link), plan);
            link.len()
        })
        .collect();
    sizes.sort();
    println!("60 parts, 90 wires, in a site: {sizes:?}");
    assert!(sizes[8] <= 1400, "{sizes:?}");
}

#[test]
fn a_plan_without_its_site_has_the_link_that_it_always_had() {
    let plan = placed(built(3, 20, 20), &mut Dice(3));
    assert_eq!(
        to_fragment(&on_site::without(&plan)),
        to_fragment(&built(3, 20, 20))
    );
    assert!(!on_site::has_any(&on_site::without(&plan)));
}

#[test]
fn a_place_without_a_site_and_a_room_that_is_none_come_back_too() {
    let mut plan = on_site::without(&kittiwake());
    let id = plan.parts[3].id.clone();
    let face = Face::new(1, 2, 3, Surface::Ceiling);
    plan.apply(Edit::Hang(id, Some(face))).unwrap();
    let wire = plan.wires[2].id.clone();
    plan.apply(Edit::Lead(
        wire,
        vec![face, Face::new(0, 0, 0, Surface::Floor)],
    ))
    .unwrap();
    assert_eq!(opened(&to_fragment(&plan)), plan);
    assert_eq!(Cell::default().room, None);
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(64))]

    #[test]
    fn every_plan_with_a_site_comes_back(seed: u64, parts in 1usize..20) {
        let mut dice = Dice(seed);
        let mut plan = built(seed % 1000, parts, parts / 2);
        let site = any_site(&mut dice);
        plan.apply(Edit::Site(Some(Box::new(site)))).unwrap();
        for id in plan.parts.iter().map(|p| p.id.clone()).collect::<Vec<_>>() {
            if dice.roll(3) > 0 {
                plan.apply(Edit::Hang(id, Some(any_face(&mut dice)))).unwrap();
            }
        }
        for id in plan.wires.iter().map(|w| w.id.clone()).collect::<Vec<_>>() {
            let via = (0..dice.roll(3)).map(|_| any_face(&mut dice)).collect();
            plan.apply(Edit::Lead(id, via)).unwrap();
        }
        let link = to_fragment(&plan);
        prop_assert!(link.starts_with("d3."), "{}", link);
        prop_assert_eq!(opened(&link), plan);
    }

    #[test]
    fn no_coded_site_panics(bytes in proptest::collection::vec(any::<u8>(), 0..200)) {
        let mut map = Map::new();
        map.insert("parts".into(), serde_json::json!([{}, {}]));
        let _ = on_site::unpack(&bytes, &mut map);
    }

    #[test]
    fn no_text_of_the_third_version_panics(body in "[A-Za-z0-9_-]{0,200}") {
        let _ = from_link(&format!("d3.{body}"));
    }
}
