//! Where something of the site stands between a sun panel and the sun. Looked at each quarter of an hour of the dial: a
//! hint, and no reckoning.

use super::site_problem::SiteProblem;
use crate::book::Profile;
use crate::plan::{Part, Plan, Spec};
use crate::site::Face;

/// How many moments of a day are looked at.
const MOMENTS: u64 = 96;

/// From when to when about a panel's view is blocked while it would give something, from the first such moment to the
/// last.
pub(super) fn hidden(plan: &Plan, part: &Part, face: Face) -> Option<SiteProblem> {
    let site = plan.site.as_deref()?;
    let Some(Spec::Source {
        profile: Profile::Sun,
        aim,
        ..
    }) = plan.spec(part)
    else {
        return None;
    };
    let sky = plan.world.sky();
    let day = plan.world.day_ms();
    let moments = (0..MOMENTS).map(|n| n * day / MOMENTS);
    let mut blocked = moments.filter(|t| {
        let sun = sky.sun(*t);
        sky.factor(*t, aim) > 0.0 && site.hides_the_sun(face, sun.azimuth, sun.elevation)
    });
    let from = blocked.next()?;
    let to = blocked.next_back().unwrap_or(from);
    Some(SiteProblem::Hidden(part.id.clone(), from, to))
}
