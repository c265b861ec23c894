//! Naming how a plan is now, and putting it back to how it was. Both add versions and take none away.

use super::entry::{Time, text_of};
use super::save::{Open, Save, Saved};
use super::{Calendar, Change, Shelf, Version, Versions};
use crate::plan::Plan;

impl Shelf {
    /// Adds a version with a name of a plan as it is kept.
    pub fn name_version(
        &self,
        open: &Open,
        plan: &Plan,
        name: &str,
        now: Time,
        versions: (&Versions, Calendar),
    ) -> (Change, Versions) {
        let text = text_of(plan);
        let mut version = Version::of(&text, plan.parts.len() as u64, now);
        version.head.name = Some(name.trim().to_string()).filter(|name| !name.is_empty());
        let (versions, writes) = versions.0.with(&open.key, version, versions.1);
        let change = Change {
            writes,
            ..self.unchanged()
        };
        (change, versions)
    }

    /// Puts a plan back to how it was in a version: `now_plan` is how it is now, which becomes a version first where it is
    /// none, and `plan` the plan of the version `number`. Both are kept in the order in which they came about.
    pub fn restore_version(
        &self,
        open: &Open,
        now_plan: &Plan,
        (number, plan): (u64, &Plan),
        save: &Save,
    ) -> Saved {
        let Some((versions, calendar)) = save.versions else {
            return self.save(open, plan, save);
        };
        let text = text_of(now_plan);
        let version = Version::of(&text, now_plan.parts.len() as u64, save.now);
        let (versions, mut writes) = versions.with(&open.key, version, calendar);
        let without = Save {
            versions: None,
            ..save.clone()
        };
        let mut saved = self.save(open, plan, &without);
        let mut version = Version::of(&text_of(plan), plan.parts.len() as u64, save.now);
        version.head.restores = Some(number);
        let (versions, more) = versions.with(&open.key, version, calendar);
        writes.append(&mut saved.change.writes);
        writes.extend(more);
        saved.change.writes = writes;
        saved.versions = Some(versions);
        saved
    }
}
