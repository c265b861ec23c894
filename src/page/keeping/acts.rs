//! What is done with the plans that are kept: the bin, titles, tags, copies, verdicts, small pictures.

use super::boot::read_plan;
use super::{Keeper, PlanText, new_key, now};
use crate::plan::{Edit, Plan};
use crate::read::Faults;
use crate::sheet::thumbnail;
use crate::shelf::{Change, KnownVerdict, Open, Origin, Record, Shelf, Store as Records};
use leptos::prelude::*;
use std::collections::BTreeMap;

impl Keeper {
    /// Puts the plan kept under `key` into the bin.
    pub fn bin(self, key: &str) {
        let is_open = self.key.with_untracked(|k| k == key);
        if is_open {
            self.save_due();
        }
        let (binned, time) = (key.to_string(), now());
        self.act(move |shelf| shelf.bin(&binned, time));
        if is_open {
            self.open_next();
        }
    }

    /// Opens the plan that was opened last of all that are there, else an empty one.
    fn open_next(self) {
        self.in_turn(move |keeper| async move {
            let key = keeper.shelf.with_untracked(|shelf| {
                let last = shelf.there().max_by_key(|entry| entry.own.opened);
                last.map(|entry| entry.key.clone())
            });
            let text = match key {
                Some(key) => read_plan(&keeper.database(), &key).await.ok().flatten(),
                None => None,
            };
            match text {
                Some(text) => keeper.take_text(text),
                None => keeper.take(Plan::fresh(), Open::fresh(new_key()), Origin::Own, None),
            }
        });
    }

    /// Does something with a plan that is kept and not open, if it can be read.
    fn with_kept(self, key: &str, act: impl FnOnce(&Shelf, &Plan) -> Change + 'static) {
        let key = key.to_string();
        self.in_turn(move |keeper| async move {
            match keeper.kept_plan(&key).await {
                Some(plan) => {
                    let change = keeper.shelf.with_untracked(|shelf| act(shelf, &plan));
                    keeper.carry_out(change).await;
                }
                None => keeper
                    .store
                    .notice("That plan is damaged: open it to see what is left of it.".into()),
            }
        });
    }

    /// The plan kept under a key, if it can be read throughout.
    async fn kept_plan(self, key: &str) -> Option<Plan> {
        self.read_kept(key).await?.ok()
    }

    /// The plan kept under a key, or what is wrong with it; none where it is no longer kept.
    async fn read_kept(self, key: &str) -> Option<Result<Plan, Faults>> {
        let text = read_plan(&self.database(), key).await.ok()??;
        Some(crate::plan::read_plan(Record::read(&text.record).text))
    }

    /// The plan kept under a key, the open one with its last edits, handed to `then` when it is read, or what is wrong with
    /// it; none where it is no longer kept. Nothing of it is changed, and nothing opened.
    pub fn kept(self, key: &str, then: impl FnOnce(Option<Result<Plan, Faults>>) + 'static) {
        self.save_due();
        let key = key.to_string();
        self.in_turn(move |keeper| async move { then(keeper.read_kept(&key).await) });
    }

    /// The plans kept under these keys that can be read throughout, handed to `then` in their order when all are read.
    pub fn all_kept(self, keys: Vec<String>, then: impl FnOnce(Vec<(String, Plan)>) + 'static) {
        self.save_due();
        self.in_turn(move |keeper| async move {
            let mut read = Vec::new();
            for key in keys {
                let plan = keeper.kept_plan(&key).await;
                read.extend(plan.map(|plan| (key, plan)));
            }
            then(read);
        });
    }

    /// Calls the plan kept under `key` otherwise; the open one as a step that can be taken back.
    pub fn rename(self, key: &str, title: &str) {
        let (key, title) = (key.to_string(), title.trim().to_string());
        if self.key.with_untracked(|k| *k == key) {
            self.store
                .commit("rename the plan", vec![Edit::Title(title)]);
            return;
        }
        let of = key.clone();
        self.with_kept(&of, move |shelf, plan| {
            shelf.rename(&key, plan, &title, now())
        });
    }

    /// Puts a copy of the plan kept under `key` beside it.
    pub fn duplicate(self, key: &str) {
        self.save_due();
        let (of, key) = (key.to_string(), key.to_string());
        self.with_kept(&of, move |shelf, plan| {
            shelf.duplicate(&key, plan, &new_key(), now())
        });
    }

    /// Takes the plan kept under `key` out of the bin.
    pub fn unbin(self, key: &str) {
        let key = key.to_string();
        self.act(move |shelf| shelf.unbin(&key));
    }

    /// Removes what is in the bin for good.
    pub fn empty_bin(self) {
        let time = now() + 1;
        self.in_turn(move |keeper| async move {
            let keys = || (keeper.shelf).with_untracked(|s| s.entries.keys().cloned().collect());
            let before: Vec<String> = keys();
            let change = keeper.shelf.with_untracked(|shelf| shelf.empty_bin(time));
            keeper.carry_out(change).await;
            let after: Vec<String> = keys();
            for gone in before.iter().filter(|key| !after.contains(key)) {
                for which in PlanText::ALL {
                    // What is forgotten can't fail.
                    let _ = keeper.keep_plan_text(which, gone, "");
                }
            }
        });
    }

    /// Gives a plan these tags in place of all.
    pub fn tag(self, key: &str, tags: Vec<String>) {
        let key = key.to_string();
        self.act(move |shelf| shelf.tag(&key, &tags));
    }

    /// Notes the verdict on the open plan.
    pub fn note_verdict(self, verdict: KnownVerdict) {
        self.verdict.set_value(Some(verdict));
        self.note_last_verdict();
    }

    /// Notes the last verdict, which may have come before the plan was kept.
    pub(super) fn note_last_verdict(self) {
        let key = self.key.get_untracked();
        if let Some(verdict) = self.verdict.get_value() {
            self.note(move |shelf| shelf.note_verdict(&key, verdict));
        }
    }

    /// Says something in the polite line.
    pub fn say(self, text: &str) {
        self.store.notice(text.into());
    }

    /// The small pictures of all plans, by key, handed to `then` when they are read; those that are not kept yet are drawn
    /// and come one by one.
    pub fn pictures(self, then: impl Fn(BTreeMap<String, String>) + Copy + 'static) {
        self.in_turn(move |keeper| async move {
            let all = keeper.database().read_all(Records::Pictures, "").await;
            let all: BTreeMap<String, String> = all.unwrap_or_default().into_iter().collect();
            let missing: Vec<String> = keeper.shelf.with_untracked(|shelf| {
                let sound = shelf.entries.values().filter(|entry| !entry.damaged);
                let keys = sound.map(|entry| entry.key.clone());
                keys.filter(|key| !all.contains_key(key)).collect()
            });
            then(all);
            missing.into_iter().for_each(|key| keeper.draw(key, then));
        });
    }

    /// Draws the small picture of a plan and keeps it; of one without parts there is none.
    fn draw(self, key: String, then: impl Fn(BTreeMap<String, String>) + 'static) {
        self.in_turn(move |keeper| async move {
            let plan = keeper.kept_plan(&key).await;
            if let Some(picture) = plan.as_ref().and_then(thumbnail::picture) {
                then(BTreeMap::from([(key.clone(), picture.clone())]));
                keeper.note(move |shelf| shelf.note_picture(&key, picture));
            }
        });
    }
}
