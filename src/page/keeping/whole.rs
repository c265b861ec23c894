//! All plans that are kept as one file, and such a file taken in.

use super::{Keeper, Message, new_key, now};
use crate::page::download;
use crate::shelf::{Store, Stored, export, import};
use leptos::prelude::*;

impl Keeper {
    /// Hands all plans, with tags, history and variants, to the browser as one file.
    pub fn save_whole(self) {
        self.save_due();
        self.in_turn(move |keeper| async move {
            let mut all = Vec::new();
            for store in Store::ALL {
                match keeper.database().read_all(store, "").await {
                    Ok(records) => all.extend(records.into_iter().map(|(k, t)| (store, k, t))),
                    Err(trouble) => return keeper.store.notice(format!("{trouble}.")),
                }
            }
            let stored: Stored = all.into_iter().collect();
            let text = keeper.shelf.with_untracked(|shelf| export(shelf, &stored));
            let name = "plans.duskline-shelf.json";
            download::save(keeper.store, &text, name, "application/json");
        });
    }

    /// Takes in the plans of such a file: what is here already stays, and the rest comes beside it.
    pub fn take_whole(self, text: String, name: String) {
        self.in_turn(move |keeper| async move {
            let read = keeper
                .shelf
                .with_untracked(|shelf| import(shelf, &text, now(), &mut new_key));
            let read = match read {
                Ok(read) => read,
                Err(faults) => {
                    let said =
                        format!("{name} can't be read as a file of plans. Nothing was changed.");
                    let message = Message::new("No plans", said).with_faults(&faults);
                    return keeper.message.set(Some(message));
                }
            };
            let (added, same) = (read.added.len(), read.same);
            if !keeper.carry_out(read.change).await {
                return;
            }
            let counted = |count: usize| match count {
                1 => "1 was".to_string(),
                count => format!("{count} were"),
            };
            let mut said = format!("{} added, {} here already.", counted(added), counted(same));
            for (there, here) in &read.renamed {
                said.push_str(&format!(" “{there}” is called “{here}” here."));
            }
            if !read.faults.is_empty() {
                said.push_str(" What is listed here could not be taken.");
            }
            let message = Message::new("Plans taken in", said).with_faults(&read.faults);
            keeper.message.set(Some(message));
        });
    }
}
