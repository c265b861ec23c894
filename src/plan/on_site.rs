//! How a plan's parts stand in its site: who can reach them there, and which places their types allow.

use super::{Part, Plan, Reach};
use crate::site::{Face, Ground, Site, Surface};
use serde::{Deserialize, Serialize};

/// Why a part can't be where it hangs.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub enum Unfit {
    /// The site has no such face, or something stands or opens there.
    NoFace,
    /// Its type goes elsewhere: on what the book says.
    Mount,
    /// Another part hangs there already; the earlier in the plan's order stays.
    Taken,
}

/// The places that parts of a type go to, as a book names them.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Mount {
    /// On a flat roof under the sky.
    Roof,
    /// On a wall, inside or outside.
    Wall,
    /// Under a ceiling.
    Ceiling,
    /// On a floor, a roof or the ground.
    Floor,
    /// On furniture.
    Shelf,
    /// On a pole that stands on a roof or on the ground, under the sky.
    Pole,
    /// Anywhere.
    Any,
}

impl Mount {
    /// What a book's word means; every other word means anywhere.
    pub fn of(word: &str) -> Mount {
        match word {
            "roof" => Mount::Roof,
            "wall" => Mount::Wall,
            "ceiling" => Mount::Ceiling,
            "floor" => Mount::Floor,
            "shelf" => Mount::Shelf,
            "pole" => Mount::Pole,
            _ => Mount::Any,
        }
    }

    /// Where that is, in a sentence: `on a wall`.
    pub const fn said(self) -> &'static str {
        match self {
            Mount::Roof => "on a flat roof under the sky",
            Mount::Wall => "on a wall",
            Mount::Ceiling => "under a ceiling",
            Mount::Floor => "on a floor, a roof or the ground",
            Mount::Shelf => "on furniture",
            Mount::Pole => "on a roof or on the ground, under the sky",
            Mount::Any => "anywhere",
        }
    }

    /// Whether something of this mount can be on the face, which the site must have free.
    pub fn fits(self, site: &Site, face: Face) -> bool {
        let Face {
            storey,
            x,
            y,
            surface,
        } = face;
        let ground = site.cell(storey, x, y).ground;
        let sky = || site.is_under_the_sky(storey, x, y);
        match self {
            Mount::Any => true,
            Mount::Wall => surface.is_wall(),
            Mount::Ceiling => surface == Surface::Ceiling,
            Mount::Shelf => surface == Surface::Furniture,
            Mount::Floor => surface == Surface::Floor,
            Mount::Roof => surface == Surface::Floor && ground == Ground::Roof && sky(),
            Mount::Pole => {
                surface == Surface::Floor
                    && matches!(ground, Ground::Roof | Ground::Ground)
                    && sky()
            }
        }
    }
}

impl Plan {
    /// Who can reach a part: whom the plan says, else who can touch the face on which it hangs; none where neither is known.
    pub fn reach_of(&self, part: &Part) -> Option<Reach> {
        part.reach.or_else(|| self.reach_on_site(part))
    }

    /// Who can touch the face on which a part hangs; only the builders where nobody can. None without such a face.
    pub fn reach_on_site(&self, part: &Part) -> Option<Reach> {
        let (site, face) = (self.site.as_deref()?, part.hangs?);
        site.has(face)
            .then(|| site.who_touches(face).unwrap_or(Reach::Builders))
    }

    /// Where a part's type goes.
    pub fn mount_of(&self, part: &Part) -> Mount {
        let mount = self.kind_of(part).map(|kind| Mount::of(&kind.mount));
        mount.unwrap_or(Mount::Any)
    }

    /// Why a part can't be on a face of the site, if it can't, whatever else hangs there.
    pub fn unfit(&self, part: &Part, face: Face) -> Option<Unfit> {
        let site = self.site.as_deref()?;
        match self.mount_of(part) {
            _ if !site.takes_parts(face) => Some(Unfit::NoFace),
            mount if !mount.fits(site, face) => Some(Unfit::Mount),
            _ => None,
        }
    }
}

impl Plan {
    /// What puts another site in place of the site, as one step: parts and bends go along with their faces to where
    /// `moved` says, and lose them where it says nowhere.
    pub fn with_other_site(
        &self,
        site: Site,
        moved: impl Fn(Face) -> Option<Face>,
    ) -> Vec<super::Edit> {
        let mut edits = vec![super::Edit::Site(Some(Box::new(site)))];
        for part in self.parts.iter().filter(|part| part.hangs.is_some()) {
            let to = part.hangs.and_then(&moved);
            if to != part.hangs {
                edits.push(super::Edit::Hang(part.id.clone(), to));
            }
        }
        for wire in &self.wires {
            let via: Vec<Face> = wire.via.iter().filter_map(|face| moved(*face)).collect();
            if via != wire.via {
                edits.push(super::Edit::Lead(wire.id.clone(), via));
            }
        }
        edits
    }
}
