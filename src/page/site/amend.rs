//! Changes of the site as a whole, each one step of undo.

use crate::page::store::Store;
use crate::plan::Edit;
use crate::site::{Moved, Room, Site};
use std::sync::Arc;

/// Puts another site in place, made of the one that is there, and answers whether that could be done; else a notice says
/// why not.
pub fn change(
    store: Store,
    says: &str,
    make: impl FnOnce(&Site) -> Option<(Site, Moved)>,
    else_say: &str,
) -> bool {
    let edits = store.with_plan(|plan| {
        let (site, moved) = make(plan.site.as_deref()?)?;
        Some(plan.with_other_site(site, moved))
    });
    let Some(edits) = edits else {
        store.notice(else_say.into());
        return false;
    };
    store.commit(says, edits);
    true
}

/// Changes numbers or names of the site in place.
pub fn amend(store: Store, says: &str, amend: impl FnOnce(&mut Site)) {
    let site = store.with_plan(|plan| plan.site.as_deref().cloned());
    if let Some(mut site) = site {
        amend(&mut site);
        store.commit(says, vec![Edit::Site(Some(Box::new(site)))]);
    }
}

/// The rooms of a site, each with its number.
pub fn rooms_of(site: &Option<Arc<Site>>) -> Vec<(usize, Room)> {
    let rooms = site.as_ref().map(|site| site.rooms.clone());
    rooms.unwrap_or_default().into_iter().enumerate().collect()
}
