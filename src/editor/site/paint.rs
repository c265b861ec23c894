//! Drawing on the site: what a drag over cells or along their sides draws. The cell or side where it begins says whether
//! it draws or takes away, so that one tool does both.

use super::SiteState;
use crate::editor::view::Point;
use crate::editor::{Editor, SiteTool};
use crate::plan::{Edit, Plan};
use crate::sheet::site::places::{nearest_cell, nearest_side};
use crate::sheet::site::said;
use crate::site::{Edge, Fitting, Ground, Mark, Patch, Site, Surface};

impl SiteTool {
    /// Whether it draws along the sides of cells.
    pub fn is_of_sides(self) -> bool {
        matches!(self, SiteTool::Edge(_))
    }

    /// What a step with it is called.
    fn says(self, site: &Site, draws: bool) -> String {
        let thing = match self {
            SiteTool::Choose => "nothing".to_string(),
            SiteTool::Ground(Ground::Air) => return "take ground away".into(),
            SiteTool::Ground(Ground::Ground) => "ground".into(),
            SiteTool::Ground(Ground::Floor) => "floor".into(),
            SiteTool::Ground(Ground::Roof) => "roof".into(),
            SiteTool::Edge(Edge::Wall) => "walls".into(),
            SiteTool::Edge(Edge::Door) => "a door".into(),
            SiteTool::Edge(Edge::Open) => return "take walls away".into(),
            SiteTool::Fitting(Fitting::Furniture) => "furniture".into(),
            SiteTool::Fitting(Fitting::Hatch) => "a hatch".into(),
            SiteTool::Fitting(Fitting::Stairs) => "stairs".into(),
            SiteTool::Fitting(Fitting::None) => "nothing".into(),
            SiteTool::Room(at) => said::room(site, at),
        };
        match draws {
            true => format!("draw {thing}"),
            false => format!("take {thing} away"),
        }
    }
}

/// A side of a cell: of two cells it is the one in the south or east, but for the last row and column.
type SidePlace = (u8, u8, Surface);

/// The side nearest to a place of the drawing.
pub(super) fn side_at(site: &Site, at: Point) -> SidePlace {
    let cell = nearest_cell(site, at);
    first_of(site, (cell.0, cell.1, nearest_side(cell, at)))
}

/// The same side as seen from the cell in the south or east of it, where there is one.
pub(super) fn first_of(site: &Site, (x, y, side): SidePlace) -> SidePlace {
    match (side, site.beside(x, y, side)) {
        (Surface::South | Surface::East, Some((x, y))) => (x, y, side.opposite()),
        _ => (x, y, side),
    }
}

/// What is drawn from one cell to another, whether it draws or takes away, and what a step of it is called.
pub(super) struct Stroke {
    pub(super) patches: Vec<Patch>,
    pub(super) says: String,
}

/// The rectangle of cells between two.
fn cells_between(a: (u8, u8), b: (u8, u8)) -> impl Iterator<Item = (u8, u8)> {
    let xs = a.0.min(b.0)..=a.0.max(b.0);
    let ys = a.1.min(b.1)..=a.1.max(b.1);
    ys.flat_map(move |y| xs.clone().map(move |x| (x, y)))
}

impl SiteTool {
    /// What it draws over the rectangle of cells from `a` to `b`, only where that changes something.
    pub(super) fn over(self, site: &Site, storey: u8, a: (u8, u8), b: (u8, u8)) -> Stroke {
        let first = site.cell(storey, a.0, a.1);
        let draws = match self {
            SiteTool::Fitting(fitting) => first.fitting != fitting,
            SiteTool::Room(room) => first.room != Some(room),
            _ => true,
        };
        let mark = |(x, y): (u8, u8)| {
            let cell = site.cell(storey, x, y);
            let mark = match self {
                SiteTool::Ground(Ground::Air) => Mark::Ground(Ground::Air, Fitting::None),
                SiteTool::Ground(ground) => Mark::Ground(ground, cell.fitting),
                SiteTool::Fitting(_) if !cell.bears() => return None,
                SiteTool::Fitting(fitting) if draws => Mark::Ground(cell.ground, fitting),
                SiteTool::Fitting(_) => Mark::Ground(cell.ground, Fitting::None),
                SiteTool::Room(room) => Mark::Room(draws.then_some(room)),
                SiteTool::Choose | SiteTool::Edge(_) => return None,
            };
            let same = match mark {
                Mark::Ground(ground, fitting) => (ground, fitting) == (cell.ground, cell.fitting),
                Mark::Room(room) => room == cell.room,
                Mark::Edge(..) => false,
            };
            (!same).then_some(Patch { storey, x, y, mark })
        };
        Stroke {
            patches: cells_between(a, b).filter_map(mark).collect(),
            says: self.says(site, draws),
        }
    }

    /// What it draws along the sides from `from` on, as far as the cell `to` reaches.
    pub(super) fn along(self, site: &Site, storey: u8, from: SidePlace, to: (u8, u8)) -> Stroke {
        let (x, y, side) = from;
        let SiteTool::Edge(edge) = self else {
            return Stroke {
                patches: Vec::new(),
                says: String::new(),
            };
        };
        let draws = site.edge(storey, x, y, side) != edge;
        let end = match side {
            Surface::North | Surface::South => (to.0, y),
            _ => (x, to.1),
        };
        let edge = if draws { edge } else { Edge::Open };
        let patch = |(x, y): (u8, u8)| {
            let mark = Mark::Edge(side, edge);
            (site.edge(storey, x, y, side) != edge).then_some(Patch { storey, x, y, mark })
        };
        Stroke {
            patches: cells_between((x, y), end).filter_map(patch).collect(),
            says: self.says(site, draws),
        }
    }
}

impl SiteState {
    /// What the stretch from where it begins to the cursor draws.
    pub(super) fn stretch(&self, plan: &Plan) -> Option<Stroke> {
        let site = plan.site.as_deref()?;
        let to = (self.cursor.x, self.cursor.y);
        let from = self.cursor.from.unwrap_or(to);
        Some(match self.tool.is_of_sides() {
            true => {
                let side = match self.cursor.surface {
                    side if side.is_wall() => side,
                    _ => Surface::North,
                };
                let from = first_of(site, (from.0, from.1, side));
                self.tool.along(site, self.storey, from, to)
            }
            false => self.tool.over(site, self.storey, from, to),
        })
    }
}

impl Editor {
    /// Draws a stroke as one step.
    pub(super) fn draw_on_site(&mut self, stroke: Stroke) {
        let tool = self.site.tool;
        if stroke.patches.is_empty() {
            if let SiteTool::Fitting(fitting) = tool {
                let what = match fitting {
                    Fitting::Furniture => "Furniture stands",
                    Fitting::Hatch => "A hatch opens",
                    _ => "Stairs open",
                };
                self.say(format!(
                    "{what} in a floor, a roof or the ground: draw that first."
                ));
            }
            return;
        }
        self.commit(&stroke.says, vec![Edit::Draw(stroke.patches)]);
    }
}
