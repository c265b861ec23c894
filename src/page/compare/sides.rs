//! Two plans side by side: worked out beside the page, shown as a table. What differs stands in bold and has a mark.

use crate::page::worker::{Answer, Clerk, Task};
use crate::plan::Plan;
use crate::proof::compare::Row;
use leptos::prelude::*;

/// Two plans side by side. Cheap to copy; lives as long as the scope that made it.
#[derive(Clone, Copy)]
pub struct Sides {
    rows: RwSignal<Vec<Row>>,
    progress: RwSignal<Option<(u64, u64)>>,
    stopped: RwSignal<Option<String>>,
    clerk: Clerk,
}

impl Sides {
    /// Nothing beside nothing.
    pub fn new() -> Sides {
        Sides {
            rows: RwSignal::new(Vec::new()),
            progress: RwSignal::new(None),
            stopped: RwSignal::new(None),
            clerk: Clerk::new(),
        }
    }

    /// Works out two plans; their single losses too, if asked.
    pub fn ask(self, first: &Plan, second: &Plan, losses: bool) {
        self.stopped.set(None);
        self.progress.set(Some((0, 1)));
        let other = second.print();
        let task = Task::Compare { other, losses };
        self.clerk.ask(first, task, move |piece| match piece {
            Ok(Answer::Progress(done, of)) => self.progress.set(Some((done, of))),
            Ok(Answer::Compared(rows, complete)) => {
                self.rows.set(rows);
                if complete {
                    self.progress.set(None);
                }
            }
            Ok(_) => self.progress.set(None),
            Err(why) => {
                self.progress.set(None);
                self.stopped
                    .set(Some(format!("They could not be compared: {why}.")));
            }
        });
    }

    /// Stops; what is there stays.
    pub fn stop(self) {
        self.clerk.stop();
        self.progress.set(None);
        self.stopped.set(Some("Stopped.".into()));
    }

    /// Forgets what is there.
    pub fn clear(self) {
        self.clerk.stop();
        self.progress.set(None);
        self.stopped.set(None);
        self.rows.set(Vec::new());
    }
}

/// The table of two plans, with how far it is.
#[component]
pub fn SidesTable(
    /// The two plans.
    sides: Sides,
    /// What the first is called.
    first: Signal<String>,
    /// What the second is called.
    second: Signal<String>,
    /// Whether only duties and what differs is shown.
    only_changed: bool,
) -> impl IntoView {
    let under = move || {
        let (done, of) = sides.progress.get()?;
        Some(view! {
            <p class="under-way">
                <label>"Comparing "<progress max=of.to_string() value=done.to_string()></progress></label>
                <button type="button" class="quiet" on:click=move |_| sides.stop()>"Stop"</button>
            </p>
        })
    };
    let stopped = move || {
        sides
            .stopped
            .get()
            .map(|why| view! { <p class="aside">{why}</p> })
    };
    let rows = move || {
        let all = sides.rows.get().into_iter();
        let mut shown: Vec<Row> = all
            .filter(|r| !only_changed || r.first != r.second || is_verdict(r))
            .collect();
        if only_changed {
            // What a change does is read first.
            shown.sort_by_key(|r| r.first == r.second);
        }
        shown
            .into_iter()
            .map(|row| {
                let differs = row.first != row.second;
                view! {
                    <tr class:differs=differs>
                        <th scope="row">{row.what}</th>
                        <td>{row.first}</td>
                        <td>{differs.then_some("≠ ")}{row.second}</td>
                    </tr>
                }
            })
            .collect::<Vec<_>>()
    };
    view! {
        {under}
        {stopped}
        <table class="sides" hidden=move || sides.rows.with(Vec::is_empty)>
            <thead><tr><th scope="col">"What"</th><th scope="col">{move || first.get()}</th><th scope="col">{move || second.get()}</th></tr></thead>
            <tbody>{rows}</tbody>
        </table>
    }
}

/// Whether a row says how a duty stands.
fn is_verdict(row: &Row) -> bool {
    let verdict = |text: &str| text == "kept" || text.contains(" gap");
    row.what == "Duties kept" || verdict(&row.first) || verdict(&row.second)
}
