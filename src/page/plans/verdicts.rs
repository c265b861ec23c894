//! Notes the verdict on the open plan on the shelf, so that its card tells it.

use crate::page::duties::DutiesJob;
use crate::page::keeping::Keeper;
use crate::page::store::Store;
use crate::shelf::KnownVerdict;
use leptos::prelude::*;

/// From now on each whole verdict on the document is noted.
pub fn note_verdicts(store: Store, keeper: Keeper, duties: DutiesJob) {
    Effect::new(move |_| {
        // Of another plan the same verdict is another.
        store.shown();
        let verdicts = duties.verdicts();
        let is_other = store.preview().is_some() || store.walk_place().is_some();
        if duties.is_out_of_date() || is_other {
            return;
        }
        if let Some(verdicts) = verdicts {
            let check = &verdicts.check;
            let verdict = KnownVerdict {
                of: store.with_plan(|plan| plan.fingerprint()),
                kept: check.duties.iter().filter(|d| d.kept).count() as u64,
                duties: check.duties.len() as u64,
                for_ever: check.for_ever,
            };
            keeper.note_verdict(verdict);
        }
    });
}
