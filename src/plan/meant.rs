//! What a builder says of findings on his plan: "meant so". Kept in the plan, so that nobody is told twice.
//!
//! The kinds of findings are named here, since a plan's file names them; what they say and when is the proof's.

use super::PartId;
use serde::{Deserialize, Serialize};
use serde_json::{Map, Value};

/// A kind of finding. The order is that in which they are looked for, and told where they weigh the same.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
pub enum FindingKind {
    /// A duty is broken.
    DutyBroken,
    /// A switch within a stranger's reach commands something that matters.
    ReachableSwitch,
    /// A part without which duties break, and a part that would take that risk away.
    SinglePoint,
    /// A battery never gets full.
    NeverFull,
    /// A battery is full while power is spilled.
    Full,
    /// A source spills otherwise.
    Spilled,
    /// A load runs when nobody needs it.
    Needless,
    /// A share is lost.
    LostShare,
    /// A tap sets more aside than is ever taken.
    WideTap,
    /// A contact for which a plain wire would do.
    PlainLoop,
}

impl FindingKind {
    /// Every kind.
    pub const ALL: [FindingKind; 10] = [
        FindingKind::DutyBroken,
        FindingKind::ReachableSwitch,
        FindingKind::SinglePoint,
        FindingKind::NeverFull,
        FindingKind::Full,
        FindingKind::Spilled,
        FindingKind::Needless,
        FindingKind::LostShare,
        FindingKind::WideTap,
        FindingKind::PlainLoop,
    ];

    /// The kind of this word.
    pub fn of_code(code: &str) -> Option<FindingKind> {
        Self::ALL.into_iter().find(|kind| kind.code() == code)
    }

    /// Whether a plan may say that such a finding is meant so.
    pub const fn may_be_meant(self) -> bool {
        !matches!(self, FindingKind::DutyBroken)
    }

    /// The word in output and in files.
    pub const fn code(self) -> &'static str {
        match self {
            FindingKind::DutyBroken => "duty-broken",
            FindingKind::ReachableSwitch => "reachable-switch",
            FindingKind::SinglePoint => "single-point",
            FindingKind::NeverFull => "never-full",
            FindingKind::Full => "full",
            FindingKind::Spilled => "spilled",
            FindingKind::Needless => "needless",
            FindingKind::LostShare => "lost-share",
            FindingKind::WideTap => "wide-tap",
            FindingKind::PlainLoop => "plain-loop",
        }
    }

    /// The kind in a few words.
    pub const fn label(self) -> &'static str {
        match self {
            FindingKind::DutyBroken => "Duty broken",
            FindingKind::ReachableSwitch => "Switch within reach",
            FindingKind::SinglePoint => "Single point of failure",
            FindingKind::NeverFull => "Battery never full",
            FindingKind::Full => "Battery full",
            FindingKind::Spilled => "Power spilled",
            FindingKind::Needless => "On when not needed",
            FindingKind::LostShare => "Share lost",
            FindingKind::WideTap => "Tap too wide",
            FindingKind::PlainLoop => "Plain wire would do",
        }
    }
}

/// A finding on a part that is meant so.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Meant {
    /// The kind of finding.
    pub finding: FindingKind,
    /// The part that it is about.
    pub part: PartId,
    /// Fields that this program does not know, kept.
    pub extra: Map<String, Value>,
}

impl Meant {
    /// That this kind of finding on this part is meant so.
    pub fn new(finding: FindingKind, part: PartId) -> Meant {
        Meant {
            finding,
            part,
            extra: Map::new(),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::plan::{Edit, Impact, link, read_plan};

    const PLAN: &str = r#"{ "format": "duskline/plan", "version": 1, "book": "outpost",
        "parts": [{ "id": "p1", "type": "generator" }, { "id": "p2", "type": "lamp" }],
        "wires": [{ "id": "w1", "from": "p1.out", "to": "p2.in" }],
        "meant": [{ "finding": "spilled", "part": "p1", "why": "a spare" }] }"#;

    #[test]
    fn what_is_meant_so_is_kept_in_file_and_link_and_changes_no_answer() {
        let plan = read_plan(PLAN).expect("a sound plan");
        assert_eq!(plan.meant[0].finding, FindingKind::Spilled);
        let again = read_plan(&plan.print()).expect("a sound plan");
        assert_eq!(again, plan);
        assert_eq!(plan.to_value()["meant"][0]["why"], "a spare");
        let sent = link::from_link(&link::to_fragment(&plan)).expect("a link");
        assert_eq!(sent.plan, plan);
        let mut other = plan.clone();
        other.meant.clear();
        assert_eq!(other.fingerprint(), plan.fingerprint());
        assert_eq!(Edit::Meant(Vec::new()).impact(), Impact::Place);
    }

    #[test]
    fn it_is_undone_and_goes_with_its_part() {
        let mut plan = read_plan(PLAN).expect("a sound plan");
        let before = plan.clone();
        let inverse = plan.apply(Edit::Meant(Vec::new())).expect("it applies");
        assert!(plan.meant.is_empty());
        plan.apply(inverse).expect("it applies");
        assert_eq!(plan, before);
        let back = plan
            .apply_all(before.removal(&["p1".into()], &[]))
            .expect("they apply");
        assert!(plan.meant.is_empty());
        plan.apply_all(back).expect("they apply");
        assert_eq!(plan.meant, before.meant);
        // Another variant may lack the part, and the answer with it.
        let mut other = before.clone();
        other
            .apply_all(before.removal(&["p1".into()], &[]))
            .expect("they apply");
        for (from, to) in [(&before, &other), (&other, &before)] {
            let mut made = from.clone();
            made.apply_all(from.edits_to(to)).expect("they apply");
            assert_eq!((&made.meant, &made.parts), (&to.meant, &to.parts));
        }
        let gone = Meant::new(FindingKind::Full, "p9".into());
        assert!(plan.apply(Edit::Meant(vec![gone])).is_err());
    }
}
