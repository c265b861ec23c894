//! Numbers change: every kept plan that they have to do with is proven again beside the page, one after the other, and a
//! report tells which duties change. Plans are read and never written. What is proven and said is made elsewhere
//! (`src/worker/`, `src/sheet/recheck_report.rs`).
//!
//! There is one report at a time. Numbers that change while plans are proven on earlier ones take the place of those; the
//! report stays for the visit, whatever is opened.

mod built_in;
mod line;
mod report;
mod round;

pub use line::{Progress, RecheckLine};
pub use report::RecheckReport;

use super::jobs::Jobs;
use super::keeping::{Keeper, use_keeper};
use crate::plan::{BookRef, NamedWorld};
use crate::proof::recheck::Side;
use crate::sheet::recheck_report::kept::{Report, Source};
use crate::worker::GivenNumbers;
use leptos::prelude::*;
use round::{Given, Round, Whom};

/// Kept plans on numbers that changed. Cheap to copy; provided by context.
#[derive(Clone, Copy)]
pub struct Rechecks {
    jobs: Jobs,
    keeper: Keeper,
    round: StoredValue<Round, LocalStorage>,
    report: RwSignal<Option<Report>>,
    /// Whether the standing line was put away.
    is_away: RwSignal<bool>,
}

/// Kept plans on numbers that changed, from the context that the page's second part provides.
pub fn use_rechecks() -> Rechecks {
    expect_context()
}

impl Rechecks {
    /// Nothing has changed yet. A moment later it looks whether built-in books have changed since the last visit.
    pub fn start(jobs: Jobs) -> Rechecks {
        let rechecks = Rechecks {
            jobs,
            keeper: use_keeper(),
            round: StoredValue::new_local(Round::default()),
            report: RwSignal::new(None),
            is_away: RwSignal::new(false),
        };
        built_in::look_soon(rechecks);
        rechecks
    }

    /// Proves every kept plan that follows this world. With [`Side::After`] the world has new numbers and the plans still
    /// have the old ones; with [`Side::Before`] they have taken the new ones over, and the world is as it was before.
    /// Where no plan follows it nothing happens.
    pub fn of_world(self, side: Side, world: &NamedWorld) {
        let given = Given {
            whom: Whom::Followers(world.id().into()),
            numbers: GivenNumbers::World(world.print()),
        };
        let source = Source::World(world.name.clone());
        self.begin(source, side, vec![given], || ());
    }

    /// Proves every kept plan but the open one whose book is called as this one, a plan's own. Where there is none the
    /// report says so.
    pub fn of_book(self, book: &BookRef) {
        let name = &book.book.name;
        let given = Given {
            whom: Whom::OthersWithBook {
                name: name.clone(),
                but: self.keeper.key().get_untracked(),
            },
            numbers: GivenNumbers::Book(book.book.print()),
        };
        let source = Source::OwnBook(name.clone());
        self.begin(source, Side::After, vec![given], || ());
    }

    /// Proves every kept plan that uses one of these built-in books: the name of each, and its text before the new
    /// version. `over` is called when that came to its end or was stopped, not where another change took its place.
    fn of_new_versions(self, old: Vec<(&'static str, String)>, over: impl FnOnce() + 'static) {
        let called = |(name, _): &(&str, String)| {
            BookRef::built_in(name).map_or_else(|| name.to_string(), |b| b.book.label.clone())
        };
        let source = Source::NewVersions(old.iter().map(called).collect());
        let given = old.into_iter().map(|(name, text)| Given {
            whom: Whom::OnBuiltIn(name),
            numbers: GivenNumbers::Book(text),
        });
        self.begin(source, Side::Before, given.collect(), over);
    }

    /// The report, as far as it is. Tracked.
    pub fn report(self) -> Signal<Option<Report>> {
        self.report.into()
    }
}
