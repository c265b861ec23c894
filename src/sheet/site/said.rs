//! A site in words: storeys, cells, faces, and why a part can't hang somewhere.

use crate::plan::{Part, PartId, Plan, Unfit};
pub use crate::site::{face_said as on, room_called as room, storey_called as storey};

use crate::site::{Edge, Face, Fitting, Ground, Reach, Site, Surface};

/// Who can come or reach: `only the builders`.
pub fn who(reach: Reach) -> &'static str {
    match reach {
        Reach::Builders => "only the builders",
        Reach::Friends => "friends",
        Reach::Anyone => "anyone, strangers too",
    }
}

/// Why a part can't hang on a face, or beside all faces where none is meant; none where it can.
pub fn refused(plan: &Plan, part: &Part, face: Option<Face>) -> Option<String> {
    let name = plan.called(&part.id);
    let goes = plan.mount_of(part).said();
    let Some(face) = face else {
        return Some(format!("{name} finds nothing here: it goes {goes}."));
    };
    match plan.unfit(part, face) {
        Some(Unfit::Mount) => Some(format!("{name} can't hang here: it goes {goes}.")),
        Some(_) if plan.site.as_deref().is_some_and(|site| site.has(face)) => Some(format!(
            "Nothing can hang here: furniture or an opening is in the way. {name} goes {goes}."
        )),
        Some(_) => Some(format!(
            "There is {} here. {name} goes {goes}.",
            nothing(face.surface)
        )),
        None => hangs_there(plan, face, &part.id)
            .map(|other| format!("{} hangs here already.", plan.called(other))),
    }
}

/// That a cell has no such surface.
fn nothing(surface: Surface) -> String {
    match surface {
        Surface::Floor => "no ground underfoot".into(),
        Surface::Ceiling => "no ceiling".into(),
        Surface::Furniture => "no furniture".into(),
        wall => format!("no wall in the {}", wall.word()),
    }
}

/// Another part that hangs on a face.
pub fn hangs_there<'p>(plan: &'p Plan, face: Face, but: &PartId) -> Option<&'p PartId> {
    let other = plan
        .parts
        .iter()
        .find(|p| p.hangs == Some(face) && p.id != *but);
    other.map(|p| &p.id)
}

/// A cell with all that stands and hangs there, for who can't see it.
pub fn cell(plan: &Plan, site: &Site, (at, x, y): (u8, u8, u8)) -> String {
    let cell = site.cell(at, x, y);
    let mut said = vec![format!(
        "Column {}, row {}",
        u32::from(x) + 1,
        u32::from(y) + 1
    )];
    said.push(
        match cell.ground {
            Ground::Air => "air",
            Ground::Ground => "ground outside",
            Ground::Floor => "floor",
            Ground::Roof => "roof",
        }
        .into(),
    );
    said.extend(cell.room.map(|at| format!("of {}", room(site, at))));
    match cell.fitting {
        Fitting::None => {}
        Fitting::Furniture => said.push("with furniture".into()),
        Fitting::Hatch => said.push("with a hatch".into()),
        Fitting::Stairs => said.push("with stairs down".into()),
    }
    for side in Surface::WALLS {
        let what = match site.edge(at, x, y, side) {
            Edge::Open => continue,
            Edge::Wall => "wall",
            Edge::Door => "door",
        };
        said.push(format!("{what} in the {}", side.word()));
    }
    let here = plan.parts.iter().filter_map(|p| {
        let face = p.hangs.filter(|face| face.cell() == (at, x, y))?;
        Some(format!("{} {}", plan.called(&p.id), surface(face.surface)))
    });
    said.extend(here);
    said.join(", ")
}

/// A surface by itself: `on the north wall`.
pub fn surface(surface: Surface) -> String {
    match surface {
        Surface::Floor => "on the floor".into(),
        Surface::Ceiling => "under the ceiling".into(),
        Surface::Furniture => "on the furniture".into(),
        side => format!("on the {} wall", side.word()),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::site::ready_site;

    #[test]
    fn a_face_is_said_as_one_would_tell_it() {
        let hut = ready_site("Hut").expect("a ready site");
        let said = |face| on(&hut, face);
        let inside = Face::new(0, 3, 2, Surface::North);
        assert_eq!(said(inside), "on the north wall of Hut, Ground");
        // The same wall from the ground outside.
        let outside = Face::new(0, 3, 1, Surface::South);
        assert_eq!(said(outside), "on the outside of the north wall, Ground");
        let roof = Face::new(1, 3, 3, Surface::Floor);
        assert_eq!(said(roof), "on the roof");
    }
}
