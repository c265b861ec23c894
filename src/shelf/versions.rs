//! The versions of a plan: how it was, by time. Automatic ones are thinned out as they grow old; those that were given a
//! name, the first and the newest stay, and so does what was there before an older one was restored.

use super::entry::Time;
use super::pack::{pack, unpack};
use super::stored::{Content, Store, Stored, Write};
use serde::{Deserialize, Serialize};
use std::collections::BTreeSet;

const MINUTE: Time = 60_000;
const HOUR: Time = 60 * MINUTE;
const DAY: Time = 24 * HOUR;
/// How many days, today among them, keep a version an hour.
const WEEK: Time = 7;

/// What day it is where somebody sits, and how much room there is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Calendar {
    /// The moment at which today began.
    pub midnight: Time,
    /// The bytes that the versions of one plan should take at the most: where they would take more, one an hour stays of
    /// today too, and then one a day.
    pub room: u64,
}

/// How finely versions are kept.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Grain {
    /// A minute of today, an hour of the week, a day before.
    Minutes,
    /// An hour of the week, a day before.
    Hours,
    /// A day.
    Days,
}

/// What is told of a version without unpacking it.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(default)]
pub struct VersionHead {
    /// Its number: the larger, the later it was made; never given twice to a plan.
    pub number: u64,
    /// When it was made.
    pub at: Time,
    /// The name that somebody gave it; none for one that came about by itself.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub name: Option<String>,
    /// The number of the version that was restored with it, if it came about so.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub restores: Option<u64>,
    /// The content of the plan's text.
    pub content: Content,
    /// How many parts the plan had.
    pub parts: u64,
    /// How many bytes its packed text takes.
    pub bytes: u64,
}

/// A version of a plan.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Version {
    /// What is told of it.
    #[serde(flatten)]
    pub head: VersionHead,
    /// The plan's text, packed.
    pub text: String,
}

/// The versions of one plan, in the order of their numbers.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Versions(Vec<VersionHead>);

impl Version {
    /// A version of this text of a plan, without a number yet.
    pub fn of(text: &str, parts: u64, at: Time) -> Version {
        let packed = pack(text);
        Version {
            head: VersionHead {
                at,
                content: Content::of(text),
                parts,
                bytes: packed.len() as u64,
                ..VersionHead::default()
            },
            text: packed,
        }
    }

    /// The plan's text; none where it is damaged.
    pub fn unpack(&self) -> Option<String> {
        unpack(&self.text).filter(|text| Content::of(text) == self.head.content)
    }

    /// As it is stored.
    pub(super) fn record(&self) -> String {
        serde_json::to_string(self).unwrap_or_default()
    }

    /// The version in a record; none where it can't be read.
    pub fn read(record: &str) -> Option<Version> {
        serde_json::from_str(record).ok()
    }
}

/// Where a version is kept: numbers stand in the order of their keys.
pub(super) fn key_of(plan: &str, number: u64) -> String {
    format!("{plan}/{number:010}")
}

impl Versions {
    /// The versions that are kept of a plan; what can't be read is left out.
    pub fn read(stored: &Stored, plan: &str) -> Versions {
        let start = format!("{plan}/");
        let records = stored.under(Store::Versions, &start);
        Versions::of(records.filter_map(|(_, record)| Some(Version::read(record)?.head)))
    }

    /// These versions.
    pub fn of(heads: impl Iterator<Item = VersionHead>) -> Versions {
        let mut heads: Vec<VersionHead> = heads.collect();
        heads.sort_by_key(|head| head.number);
        Versions(heads)
    }

    /// The versions, the first first.
    pub fn all(&self) -> &[VersionHead] {
        &self.0
    }

    /// The version of this number.
    pub fn find(&self, number: u64) -> Option<&VersionHead> {
        self.0.iter().find(|head| head.number == number)
    }

    /// Where a version of this plan is kept.
    pub fn key(&self, plan: &str, number: u64) -> String {
        key_of(plan, number)
    }

    /// With one more at the end, thinned out, and the writes for that. One without a name that is as the newest is not
    /// added.
    pub(super) fn with(
        &self,
        plan: &str,
        mut version: Version,
        calendar: Calendar,
    ) -> (Versions, Vec<Write>) {
        let mut after = self.clone();
        let mut writes = Vec::new();
        let newest = self.0.last();
        let is_known = newest.is_some_and(|head| head.content == version.head.content);
        let is_plain = version.head.name.is_none() && version.head.restores.is_none();
        if !is_known || !is_plain {
            version.head.number = newest.map_or(1, |head| head.number + 1);
            let key = key_of(plan, version.head.number);
            writes.push(Write::put(Store::Versions, key, version.record()));
            after.0.push(version.head);
        }
        let thin = after.to_thin_out(calendar);
        let gone = thin
            .iter()
            .map(|n| Write::remove(Store::Versions, key_of(plan, *n)));
        writes.extend(gone);
        after.0.retain(|head| !thin.contains(&head.number));
        (after, writes)
    }

    /// Gives a version a name, or takes it away; `version` is the whole of it.
    pub fn rename(
        &self,
        plan: &str,
        version: &Version,
        name: Option<&str>,
    ) -> (Versions, Vec<Write>) {
        let name = name.map(str::trim).filter(|name| !name.is_empty());
        let mut version = version.clone();
        version.head.name = name.map(String::from);
        let mut after = self.clone();
        for head in after
            .0
            .iter_mut()
            .filter(|h| h.number == version.head.number)
        {
            *head = version.head.clone();
        }
        let key = key_of(plan, version.head.number);
        let write = Write::put(Store::Versions, key, version.record());
        (after, vec![write])
    }

    /// The numbers of those that may go: of each minute of today, each hour of the six days before and each day before
    /// those only the newest stays, of those that came about by themselves; the first and the newest stay always.
    pub fn to_thin_out(&self, calendar: Calendar) -> BTreeSet<u64> {
        let mut gone = BTreeSet::new();
        for grain in [Grain::Minutes, Grain::Hours, Grain::Days] {
            gone = self.too_many(calendar, grain);
            let left = self.0.iter().filter(|head| !gone.contains(&head.number));
            if left.map(|head| head.bytes).sum::<u64>() <= calendar.room {
                break;
            }
        }
        gone
    }

    /// The numbers of those that are too many where they are kept so finely.
    fn too_many(&self, calendar: Calendar, grain: Grain) -> BTreeSet<u64> {
        let mut seen: BTreeSet<(u8, Time)> = BTreeSet::new();
        let mut gone = BTreeSet::new();
        for (at, head) in self.0.iter().enumerate().rev() {
            let is_new = seen.insert(calendar.slot(head.at, grain));
            let next = self.0.get(at + 1);
            // What somebody did by hand stays: a name, a restoration, and what that put aside.
            let by_hand = head.name.is_some()
                || head.restores.is_some()
                || next.is_some_and(|next| next.restores.is_some());
            let stays = at == 0 || next.is_none() || by_hand;
            if !is_new && !stays {
                gone.insert(head.number);
            }
        }
        gone
    }
}

impl Calendar {
    /// The stretch of time of which one version stays.
    fn slot(self, at: Time, grain: Grain) -> (u8, Time) {
        match (at.checked_sub(self.midnight), grain) {
            (Some(today), Grain::Minutes) => (0, today / MINUTE),
            (Some(today), Grain::Hours) => (1, today / HOUR),
            (Some(today), Grain::Days) => (2, today / DAY),
            (None, grain) => {
                let ago = self.midnight - at;
                let days = ago.div_ceil(DAY);
                match grain {
                    Grain::Minutes | Grain::Hours if days < WEEK => (3, ago.div_ceil(HOUR)),
                    _ => (4, days),
                }
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const NOON: Calendar = Calendar {
        midnight: 100 * DAY,
        room: u64::MAX,
    };

    fn heads(times: &[Time], named: &[usize]) -> Versions {
        let head = |(at, time): (usize, &Time)| VersionHead {
            number: at as u64 + 1,
            at: *time,
            name: named.contains(&at).then(|| "Before the storm".into()),
            ..VersionHead::default()
        };
        Versions::of(times.iter().enumerate().map(head))
    }

    fn left(versions: &Versions, calendar: Calendar) -> Vec<u64> {
        let gone = versions.to_thin_out(calendar);
        let numbers = versions.all().iter().map(|head| head.number);
        numbers.filter(|number| !gone.contains(number)).collect()
    }

    #[test]
    fn of_each_minute_of_today_the_newest_stays() {
        let at = |minute: Time, second: Time| NOON.midnight + minute * MINUTE + second * 1000;
        let versions = heads(
            &[
                at(1, 0),
                at(1, 30),
                at(2, 0),
                at(2, 10),
                at(2, 59),
                at(3, 0),
            ],
            &[],
        );
        // The first stays though another is of its minute.
        assert_eq!(left(&versions, NOON), [1, 2, 5, 6]);
    }

    #[test]
    fn of_each_hour_of_the_week_and_each_day_before_the_newest_stays() {
        let ago = |hours: Time| NOON.midnight - hours * HOUR;
        let times = [
            ago(24 * 20),
            // Two of one day, eight days ago.
            ago(24 * 7 + 20),
            ago(24 * 7 + 2),
            // Two of one hour of the week.
            ago(30),
            ago(30) + 20 * MINUTE,
            ago(29),
            NOON.midnight + 5 * MINUTE,
            NOON.midnight + 5 * MINUTE + 1,
        ];
        assert_eq!(left(&heads(&times, &[]), NOON), [1, 3, 5, 6, 8]);
        assert_eq!(left(&heads(&times, &[1, 3]), NOON), [1, 2, 3, 4, 5, 6, 8]);
    }

    #[test]
    fn thinning_out_twice_takes_no_more_and_a_day_later_there_are_fewer() {
        let times: Vec<Time> = (0..4000)
            .map(|n| NOON.midnight - 9 * DAY + n * 217_003)
            .collect();
        let mut versions = heads(&times, &[17, 1200]);
        let gone = versions.to_thin_out(NOON);
        versions.0.retain(|head| !gone.contains(&head.number));
        assert_eq!(versions.to_thin_out(NOON), BTreeSet::new());
        assert!(
            [1, 18, 1201, 4000]
                .iter()
                .all(|n| versions.find(*n).is_some())
        );
        let tomorrow = Calendar {
            midnight: NOON.midnight + DAY,
            ..NOON
        };
        let count = left(&versions, tomorrow).len();
        assert!(count < versions.all().len(), "{count}");
        assert!(
            (150..300).contains(&count),
            "an hour each of a week, a day each before: {count}"
        );
    }

    #[test]
    fn where_there_is_little_room_fewer_are_kept_and_those_of_somebody_s_hand_stay() {
        let times: Vec<Time> = (0..600).map(|n| NOON.midnight + n * MINUTE).collect();
        let mut versions = heads(&times, &[70]);
        versions.0.iter_mut().for_each(|head| head.bytes = 1000);
        versions.0[200].restores = Some(3);
        let with = |room: u64| left(&versions, Calendar { room, ..NOON });
        assert_eq!(with(600_000).len(), 600);
        // Ten hours, the first, the named one, the restoration and what was before it.
        assert_eq!(with(599_999).len(), 14);
        assert_eq!(with(1), [1, 71, 200, 201, 600]);
    }

    #[test]
    fn what_is_as_the_newest_is_no_version_unless_it_is_named() {
        let version = |text: &str, at| Version::of(text, 0, at);
        let (versions, writes) = Versions::default().with("a", version("x", DAY), NOON);
        assert_eq!((versions.all().len(), writes.len()), (1, 1));
        let (same, writes) = versions.with("a", version("x", 2 * DAY), NOON);
        assert_eq!((&same, writes.len()), (&versions, 0));
        let mut named = version("x", 2 * DAY);
        named.head.name = Some("Spring".into());
        let (versions, writes) = same.with("a", named.clone(), NOON);
        assert_eq!((versions.all()[1].number, writes.len()), (2, 1));
        assert_eq!(Version::read(&named.record()), Some(named.clone()));
        assert_eq!(named.unpack().as_deref(), Some("x"));
        named.head.content = Content::of("y");
        assert_eq!(named.unpack(), None, "it is not what it says");
    }

    #[test]
    fn a_version_can_be_given_a_name_and_lose_it() {
        let mut version = Version::of("x", 0, DAY);
        version.head.number = 4;
        let versions = Versions::of([version.head.clone()].into_iter());
        let (named, writes) = versions.rename("a", &version, Some(" Spring "));
        assert_eq!(named.find(4).unwrap().name.as_deref(), Some("Spring"));
        assert_eq!(writes[0].key, "a/0000000004");
        let (plain, _) = named.rename("a", &version, Some("  "));
        assert_eq!(plain, versions);
    }
}
