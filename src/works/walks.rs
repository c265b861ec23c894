//! How far it is from part to part for somebody who builds a plan in its site. Centimetres.

use crate::plan::{PartId, Plan};
use crate::site::{Face, Site};
use std::collections::BTreeMap;

/// A cell: storey, x, y.
type Place = (u8, u8, u8);

/// The ways between the places at which a plan's parts are worked at.
#[derive(Clone, Debug, Default)]
pub struct Walks {
    /// Where one stands at each part that has a place.
    stands: BTreeMap<PartId, Place>,
    /// From each of those places to all others, in millimetres.
    from: BTreeMap<Place, BTreeMap<Place, u64>>,
    /// What counts for a way that there is not, in millimetres: longer than any that there is.
    none: u64,
}

impl Walks {
    /// The ways in a plan's site; of a plan without one all are 0.
    pub fn of(plan: &Plan) -> Walks {
        let mut walks = Walks::default();
        let Some(site) = plan.site.as_deref() else {
            return walks;
        };
        walks.none = longest(site);
        for part in &plan.parts {
            let stand = part.hangs.and_then(|face: Face| site.stand_at(face));
            let Some(stand) = stand else { continue };
            walks.stands.insert(part.id.clone(), stand);
            walks
                .from
                .entry(stand)
                .or_insert_with(|| site.walks_from(stand));
        }
        walks
    }

    /// How far it is from one part to another; 0 where one of them has no place.
    pub fn cm(&self, from: &PartId, to: &PartId) -> u64 {
        let (Some(from), Some(to)) = (self.stands.get(from), self.stands.get(to)) else {
            return 0;
        };
        if from == to {
            return 0;
        }
        let known = self.from.get(from).and_then(|ways| ways.get(to));
        known.copied().unwrap_or(self.none) / 10
    }
}

/// More than any way in a site: through every cell once, up and down every storey.
fn longest(site: &Site) -> u64 {
    let cells = u64::from(site.width) * u64::from(site.depth) * site.storeys.len() as u64;
    cells * (site.cell_mm() + site.storey_mm())
}
