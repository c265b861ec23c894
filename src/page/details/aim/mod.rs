//! The aim of a sun panel: a sky dome with the panel's normal to drag, what that aim gives over the day, the best aims, and
//! a table of output against direction and tilt.
//!
//! What is dragged shows at once and enters the plan when it is let go, as one step of undo. The core works everything
//! out; the search for the best aims goes on beside the page.

mod bests;
mod dome;
mod output;
mod table;

use super::field::Entry;
use crate::page::jobs::{Job, Subject, priority, use_jobs};
use crate::page::store::{Store, use_store};
use crate::plan::{Edit, PartId};
use crate::sheet::aims::{Found, Panel};
use crate::sheet::entry;
use crate::sky::{Aim, Output};
use crate::worker::{Answer, Task};
use leptos::prelude::*;
use serde_json::Value;

/// Panels of more steps than this are worked out when they are let go, not while they are dragged.
const LIVE: u64 = 4000;

/// What the pieces of the aim share. Cheap to copy.
#[derive(Clone, Copy)]
struct Aiming {
    store: Store,
    id: StoredValue<PartId>,
    /// The panel as the plan has it.
    panel: Memo<Option<Panel>>,
    /// Where it is turned to for the length of a gesture.
    draft: RwSignal<Option<Aim>>,
    /// Steps of one panel that are useful.
    least: RwSignal<u64>,
    /// What it gives as it is aimed now.
    output: Memo<Option<Output>>,
    search: Job<Found>,
}

impl Aiming {
    fn new(store: Store, id: PartId) -> Aiming {
        let day = Memo::new(move |_| {
            store.revision();
            store.moment().get() / store.with_plan(|plan| plan.world.day_ms())
        });
        let panel = {
            let id = id.clone();
            Memo::new(move |_| {
                store.revision();
                store.with_plan(|plan| Panel::of(plan, &id, day.get()))
            })
        };
        let (draft, least) = (RwSignal::new(None), RwSignal::new(1));
        let output = Memo::new(move |_| {
            let panel = panel.get()?;
            let live = (panel.most() <= LIVE).then(|| draft.get()).flatten();
            let aim = live.unwrap_or(panel.aim);
            Some((panel.sky).output(aim, panel.peak, panel.weather, least.get()))
        });
        let aiming = Aiming {
            store,
            id: StoredValue::new(id),
            panel,
            draft,
            least,
            output,
            search: Job::new(use_jobs(), Subject::Document, |found, piece, _| {
                if let Answer::Aims(more) = piece {
                    *found = Some(*more);
                }
                true
            }),
        };
        aiming.seek(day);
        aiming
    }

    /// Looks for the best aims anew whenever sky, weather or panel are others. Where it looks is not asked about.
    fn seek(self, day: Memo<u64>) {
        let question = Memo::new(move |_| {
            let panel = self.panel.get()?;
            Some((
                panel.sky,
                panel.peak,
                panel.weather.to_bits(),
                self.least.get(),
            ))
        });
        Effect::new(move |_| {
            let Some((.., least)) = question.get() else {
                return self.search.clear();
            };
            let task = Task::Aims {
                part: self.id.get_value(),
                day: day.get_untracked(),
                least,
            };
            self.search.ask_anew(vec![task], priority::IN_SIGHT);
        });
    }

    /// What is found of the best aims, for the panel or the sky before until there is better. Tracked.
    fn found(self) -> Found {
        let answer = self.search.answer();
        answer.map(|a| a.value.clone()).unwrap_or_default()
    }

    /// Whether the search is not at its end. Tracked.
    fn is_looking(self) -> bool {
        self.search.status().is_running()
    }

    /// Where it looks, as dragged or as planned. Tracked.
    fn aim(self) -> Aim {
        let flat = Aim {
            azimuth: 0.0,
            tilt: 0.0,
        };
        let planned = || self.panel.with(|p| p.as_ref().map(|p| p.aim));
        self.draft.get().or_else(planned).unwrap_or(flat)
    }

    /// Enters the aim into the plan, whole degrees, as one step.
    fn put(self, aim: Aim, says: &str) {
        let Some(planned) = self.panel.get_untracked().map(|p| p.aim) else {
            return;
        };
        if planned == aim {
            return;
        }
        let id = self.id.get_value();
        let edits = self.store.with_plan(|plan| {
            let part = plan.part(&id)?;
            let kind = plan.kind_of(part)?;
            let edit = |key: &str, degrees: f64| {
                // What the book says anyway is not said again.
                let book = kind.set.get(key).and_then(Value::as_f64);
                let value = (book != Some(degrees)).then(|| Value::from(degrees as i64));
                Edit::Set(id.clone(), key.into(), value)
            };
            Some(vec![edit("azimuth", aim.azimuth), edit("tilt", aim.tilt)])
        });
        if let Some(edits) = edits {
            self.store.commit(says, edits);
        }
    }

    /// The end of a gesture.
    fn let_go(self) {
        if let Some(aim) = self.draft.get_untracked() {
            self.put(aim, "aim the panel");
            self.draft.set(None);
        }
    }
}

/// The aim of the sun panel `id`.
#[component]
pub(super) fn AimOf(
    /// The panel.
    id: PartId,
) -> impl IntoView {
    let aiming = Aiming::new(use_store(), id);
    let field = crate::limits::Field {
        key: "least",
        label: "Useful from",
        unit: "steps",
        kind: crate::limits::Kind::Whole(1, crate::limits::PEAK),
        optional: false,
    };
    let least = Signal::derive(move || aiming.least.get().to_string());
    let read = move |text: String| {
        let number = entry::read(&field, &text)?.as_u64().unwrap_or(1);
        aiming.least.set(number.max(1));
        Ok(())
    };
    view! {
        <section class="aim" aria-labelledby="details-aim">
            <h3 id="details-aim">"Aim"</h3>
            <dome::Dome aiming/>
            <output::OverTheDay aiming/>
            <Entry id="aim-least".to_string() label=field.label unit=field.unit value=least read numeric=true/>
            <bests::Bests aiming/>
            <table::Table aiming/>
        </section>
    }
}
