//! What contacts do: the table at an instant, then what comes of changing inputs in turn.

use super::host::Host;
use super::task::Answer;
use crate::plan::Plan;
use crate::proof::{Explorer, Rows};
use crate::quantity::Ms;

/// So many rows go over at once.
const ROWS: usize = 128;

/// So many settled states are looked at between two words on how far it is.
const STATES: usize = 64;

/// The table, then the exploration.
pub(super) async fn contacts(plan: &Plan, t: Ms, host: &dyn Host) {
    let mut rows = Rows::new(plan, t);
    let table = rows.table().clone();
    let of = table.rows as u64;
    host.say(Answer::LogicTable(table));
    let mut done = 0;
    loop {
        let some: Vec<_> = rows.by_ref().take(ROWS).collect();
        if some.is_empty() {
            break;
        }
        done += some.len() as u64;
        host.say(Answer::LogicRows(some));
        host.say(Answer::Progress(done, of));
        if !host.goes_on().await {
            return;
        }
    }
    let mut explorer = Explorer::new(plan, t);
    let mut steps = 0;
    while explorer.step() {
        steps += 1;
        if steps % STATES == 0 {
            let (done, known) = explorer.progress();
            host.say(Answer::Progress(done as u64, known as u64));
        }
        if !host.goes_on().await {
            return;
        }
    }
    host.say(Answer::Logic(explorer.findings()));
}
