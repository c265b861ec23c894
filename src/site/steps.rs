//! From face to face: how a wire can go on from the middle of one surface to the middle of the next.
//!
//! A wire runs on surfaces and goes through nothing but doors (along the floor), hatches and the openings of stairs. Each
//! step has a length on the face that it leaves and one on the face that it comes to, which are half a cell or half a
//! storey, and the direction in which it sets out and arrives. Steps are the same both ways round.

use super::cell::{Edge, Fitting};
use super::face::{Face, Surface};
use super::place::Site;
use serde::{Deserialize, Serialize};

/// A direction in which a wire runs.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
pub enum Heading {
    /// To the north.
    North,
    /// To the east.
    East,
    /// To the south.
    South,
    /// To the west.
    West,
    /// Up.
    Up,
    /// Down.
    Down,
}

impl Heading {
    /// The direction towards a wall; down for the floor, up for the rest.
    const fn towards(surface: Surface) -> Heading {
        match surface {
            Surface::North => Heading::North,
            Surface::East => Heading::East,
            Surface::South => Heading::South,
            Surface::West => Heading::West,
            Surface::Floor => Heading::Down,
            Surface::Ceiling | Surface::Furniture => Heading::Up,
        }
    }

    /// The direction away from a wall.
    const fn from(wall: Surface) -> Heading {
        Heading::towards(wall.opposite())
    }
}

/// What a step goes through or over.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub enum Passage {
    /// Nothing: it stays on surfaces that meet.
    None,
    /// A door.
    Door,
    /// A hatch.
    Hatch,
    /// The opening of stairs, or along the stairs.
    Stairs,
    /// The edge of a roof or floor, or the top of a wall.
    Brink,
}

/// A step to a neighbouring face.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct FaceStep {
    /// Where it leads.
    pub to: Face,
    /// The direction in which it sets out.
    pub leaves: Heading,
    /// The direction in which it arrives.
    pub arrives: Heading,
    /// How long it is on the face that it leaves, in millimetres.
    pub from_mm: u64,
    /// How long it is on the face that it comes to, in millimetres.
    pub to_mm: u64,
    /// What it goes through.
    pub passage: Passage,
}

/// Whether a length is half a cell, half a storey, or none.
#[derive(Clone, Copy)]
enum Half {
    Cell,
    Storey,
    None,
}

/// The steps from one face, as they are found.
struct Found<'s> {
    site: &'s Site,
    at: Face,
    steps: Vec<FaceStep>,
}

impl Site {
    /// Every step from a face, in a fixed order; none from a face that the site has not.
    pub fn steps_from(&self, at: Face) -> Vec<FaceStep> {
        let mut found = Found {
            site: self,
            at,
            steps: Vec::new(),
        };
        if self.has(at) {
            match at.surface {
                Surface::Floor => found.leave_floor(),
                Surface::Ceiling => found.leave_ceiling(),
                Surface::Furniture => found.leave_furniture(),
                wall => found.leave_wall(wall),
            }
        }
        found.steps
    }
}

impl Found<'_> {
    fn push(&mut self, to: Face, way: [Heading; 2], halves: [Half; 2], passage: Passage) {
        let site = self.site;
        let mm = |half| match half {
            Half::Cell => site.cell_mm() / 2,
            Half::Storey => site.storey_mm() / 2,
            Half::None => 0,
        };
        self.steps.push(FaceStep {
            to,
            leaves: way[0],
            arrives: way[1],
            from_mm: mm(halves[0]),
            to_mm: mm(halves[1]),
            passage,
        });
    }

    /// The same surface, or another one, of a cell of the same storey.
    fn here(&self, (x, y): (u8, u8), surface: Surface) -> Face {
        Face::new(self.at.storey, x, y, surface)
    }

    fn bears(&self, storey: u8, (x, y): (u8, u8)) -> bool {
        self.site.cell(storey, x, y).bears()
    }

    fn edge(&self, storey: u8, (x, y): (u8, u8), wall: Surface) -> Edge {
        self.site.edge(storey, x, y, wall)
    }

    fn leave_floor(&mut self) {
        let Face { storey, x, y, .. } = self.at;
        let cell = self.site.cell(storey, x, y);
        for side in Surface::WALLS {
            let out = Heading::towards(side);
            let edge = self.edge(storey, (x, y), side);
            if edge == Edge::Wall {
                let wall = self.here((x, y), side);
                let way = [out, Heading::Up];
                self.push(wall, way, [Half::Cell, Half::Storey], Passage::None);
                continue;
            }
            let Some(next) = self.site.beside(x, y, side) else {
                continue;
            };
            if self.bears(storey, next) {
                let passage = match edge {
                    Edge::Door => Passage::Door,
                    _ => Passage::None,
                };
                let floor = self.here(next, Surface::Floor);
                self.push(floor, [out, out], [Half::Cell, Half::Cell], passage);
            } else if let (Edge::Open, Some(below)) = (edge, storey.checked_sub(1)) {
                self.over_the_brink(below, next, side);
            }
        }
        match (cell.fitting, storey.checked_sub(1)) {
            (Fitting::Furniture, _) => {
                let top = self.here((x, y), Surface::Furniture);
                let way = [Heading::Up, Heading::Up];
                self.push(top, way, [Half::Storey, Half::Cell], Passage::None);
            }
            (Fitting::Hatch | Fitting::Stairs, Some(below)) => {
                let passage = opening(cell.fitting);
                let way = [Heading::Down, Heading::Down];
                let ceiling = Face::new(below, x, y, Surface::Ceiling);
                self.push(ceiling, way, [Half::None, Half::None], passage);
                if cell.fitting == Fitting::Stairs && self.bears(below, (x, y)) {
                    let foot = Face::new(below, x, y, Surface::Floor);
                    self.push(foot, way, [Half::Storey, Half::Storey], Passage::Stairs);
                }
            }
            _ => {}
        }
        if self.site.cell(storey + 1, x, y).fitting == Fitting::Stairs {
            let head = Face::new(storey + 1, x, y, Surface::Floor);
            let way = [Heading::Up, Heading::Up];
            self.push(head, way, [Half::Storey, Half::Storey], Passage::Stairs);
        }
    }

    /// Over the edge of the ground underfoot, towards a cell of air, to what is below.
    fn over_the_brink(&mut self, below: u8, next: (u8, u8), side: Surface) {
        let Face { x, y, .. } = self.at;
        let out = Heading::towards(side);
        match self.edge(below, (x, y), side) {
            Edge::Wall => {
                let wall = Face::new(below, next.0, next.1, side.opposite());
                let way = [out, Heading::Down];
                self.push(wall, way, [Half::Cell, Half::Storey], Passage::Brink);
            }
            Edge::Open => {
                let ceiling = Face::new(below, x, y, Surface::Ceiling);
                let way = [out, Heading::from(side)];
                self.push(ceiling, way, [Half::Cell, Half::Cell], Passage::Brink);
            }
            Edge::Door => {}
        }
    }

    fn leave_ceiling(&mut self) {
        let Face { storey, x, y, .. } = self.at;
        let above = storey + 1;
        for side in Surface::WALLS {
            let out = Heading::towards(side);
            match self.edge(storey, (x, y), side) {
                Edge::Wall => {
                    let wall = self.here((x, y), side);
                    let way = [out, Heading::Down];
                    self.push(wall, way, [Half::Cell, Half::Storey], Passage::None);
                }
                Edge::Door => {}
                Edge::Open => {
                    let Some(next) = self.site.beside(x, y, side) else {
                        continue;
                    };
                    if self.bears(above, next) {
                        let ceiling = self.here(next, Surface::Ceiling);
                        self.push(ceiling, [out, out], [Half::Cell, Half::Cell], Passage::None);
                        continue;
                    }
                    match self.edge(above, (x, y), side) {
                        Edge::Open => {
                            let floor = Face::new(above, x, y, Surface::Floor);
                            let way = [out, Heading::from(side)];
                            self.push(floor, way, [Half::Cell, Half::Cell], Passage::Brink);
                        }
                        Edge::Wall => {
                            let wall = Face::new(above, next.0, next.1, side.opposite());
                            let way = [out, Heading::Up];
                            self.push(wall, way, [Half::Cell, Half::Storey], Passage::Brink);
                        }
                        Edge::Door => {}
                    }
                }
            }
        }
        let cell = self.site.cell(above, x, y);
        if cell.is_open_below() {
            let floor = Face::new(above, x, y, Surface::Floor);
            let way = [Heading::Up, Heading::Up];
            self.push(floor, way, [Half::None, Half::None], opening(cell.fitting));
        }
    }

    fn leave_furniture(&mut self) {
        let Face { storey, x, y, .. } = self.at;
        let floor = self.here((x, y), Surface::Floor);
        let way = [Heading::Down, Heading::Down];
        self.push(floor, way, [Half::Cell, Half::Storey], Passage::None);
        for side in Surface::WALLS {
            let out = Heading::towards(side);
            match self.edge(storey, (x, y), side) {
                Edge::Wall => {
                    let wall = self.here((x, y), side);
                    self.push(wall, [out, out], [Half::Cell, Half::None], Passage::None);
                }
                Edge::Open => {
                    let next = self.site.beside(x, y, side);
                    let top = next.map(|next| self.here(next, Surface::Furniture));
                    if let Some(top) = top.filter(|top| self.site.has(*top)) {
                        self.push(top, [out, out], [Half::Cell, Half::Cell], Passage::None);
                    }
                }
                Edge::Door => {}
            }
        }
    }

    fn leave_wall(&mut self, wall: Surface) {
        let Face { storey, x, y, .. } = self.at;
        let away = Heading::from(wall);
        let cell = self.site.cell(storey, x, y);
        if cell.bears() {
            let floor = self.here((x, y), Surface::Floor);
            let way = [Heading::Down, away];
            self.push(floor, way, [Half::Storey, Half::Cell], Passage::None);
        }
        if self.site.has_ceiling(storey, x, y) {
            let ceiling = self.here((x, y), Surface::Ceiling);
            let way = [Heading::Up, away];
            self.push(ceiling, way, [Half::Storey, Half::Cell], Passage::None);
        }
        if cell.fitting == Fitting::Furniture {
            let top = self.here((x, y), Surface::Furniture);
            self.push(top, [away, away], [Half::None, Half::Cell], Passage::None);
        }
        for side in Surface::WALLS {
            if side != wall && side != wall.opposite() {
                self.along_a_wall(wall, side);
            }
        }
        self.up_a_wall(wall);
        self.down_a_wall(wall);
    }

    /// From a wall sideways: straight on, into the corner, round an outer corner, or round the wall's end.
    fn along_a_wall(&mut self, wall: Surface, side: Surface) {
        let Face { storey, x, y, .. } = self.at;
        let cells = [Half::Cell, Half::Cell];
        let out = Heading::towards(side);
        match self.edge(storey, (x, y), side) {
            Edge::Wall => {
                let corner = self.here((x, y), side);
                self.push(corner, [out, Heading::from(wall)], cells, Passage::None);
            }
            Edge::Door => {}
            Edge::Open => {
                let Some(next) = self.site.beside(x, y, side) else {
                    return;
                };
                match self.edge(storey, next, wall) {
                    Edge::Wall => {
                        let on = self.here(next, wall);
                        self.push(on, [out, out], cells, Passage::None);
                    }
                    Edge::Door => {}
                    Edge::Open => {
                        let Some(diagonal) = self.site.beside(next.0, next.1, wall) else {
                            return;
                        };
                        match self.edge(storey, diagonal, side.opposite()) {
                            Edge::Wall => {
                                let round = self.here(diagonal, side.opposite());
                                let way = [out, Heading::towards(wall)];
                                self.push(round, way, cells, Passage::None);
                            }
                            Edge::Open => {
                                let Some(behind) = self.site.beside(x, y, wall) else {
                                    return;
                                };
                                let back = self.here(behind, wall.opposite());
                                let way = [out, Heading::from(side)];
                                self.push(back, way, cells, Passage::None);
                            }
                            Edge::Door => {}
                        }
                    }
                }
            }
        }
    }

    fn up_a_wall(&mut self, wall: Surface) {
        let Face { storey, x, y, .. } = self.at;
        let above = storey + 1;
        let cell = self.site.cell(above, x, y);
        let storeys = [Half::Storey, Half::Storey];
        match self.edge(above, (x, y), wall) {
            Edge::Wall if !cell.bears() || cell.is_open_below() => {
                let passage = match cell.bears() {
                    true => opening(cell.fitting),
                    false => Passage::None,
                };
                let on = Face::new(above, x, y, wall);
                self.push(on, [Heading::Up, Heading::Up], storeys, passage);
            }
            Edge::Open if !cell.bears() => {
                let Some(behind) = self.site.beside(x, y, wall) else {
                    return;
                };
                if self.bears(above, behind) {
                    let floor = Face::new(above, behind.0, behind.1, Surface::Floor);
                    let way = [Heading::Up, Heading::towards(wall)];
                    self.push(floor, way, [Half::Storey, Half::Cell], Passage::Brink);
                } else {
                    let back = self.here(behind, wall.opposite());
                    let way = [Heading::Up, Heading::Down];
                    self.push(back, way, storeys, Passage::Brink);
                }
            }
            _ => {}
        }
    }

    fn down_a_wall(&mut self, wall: Surface) {
        let Face { storey, x, y, .. } = self.at;
        let cell = self.site.cell(storey, x, y);
        let Some(below) = storey.checked_sub(1) else {
            return;
        };
        match self.edge(below, (x, y), wall) {
            Edge::Wall if !cell.bears() || cell.is_open_below() => {
                let passage = match cell.bears() {
                    true => opening(cell.fitting),
                    false => Passage::None,
                };
                let on = Face::new(below, x, y, wall);
                let way = [Heading::Down, Heading::Down];
                self.push(on, way, [Half::Storey, Half::Storey], passage);
            }
            Edge::Open if !cell.bears() => {
                let behind = self.site.beside(x, y, wall);
                if let Some(behind) = behind.filter(|next| self.bears(storey, *next)) {
                    let ceiling = Face::new(below, behind.0, behind.1, Surface::Ceiling);
                    let way = [Heading::Down, Heading::towards(wall)];
                    self.push(ceiling, way, [Half::Storey, Half::Cell], Passage::Brink);
                }
            }
            _ => {}
        }
    }
}

fn opening(fitting: Fitting) -> Passage {
    match fitting {
        Fitting::Hatch => Passage::Hatch,
        _ => Passage::Stairs,
    }
}
