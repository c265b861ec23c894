//! Changeovers that have gone to an empty backup although main has something. Powers in steps.

use super::words::{power, problem};
use crate::net::{Live, Net, Problem, ProblemKind, Weight};
use crate::plan::{PartId, Plan, Spec};
use crate::quantity::Steps;
use serde::{Deserialize, Serialize};

/// A changeover that has gone to a backup that offers nothing.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct EmptyBackup {
    /// The changeover.
    pub part: PartId,
    /// What its main is offered, which is lost.
    pub main: Steps,
    /// From how much on it would stay on main.
    pub least: Steps,
}

impl EmptyBackup {
    pub(in crate::net) fn says(&self, plan: &Plan) -> String {
        format!(
            "{} has gone to its backup, which offers nothing, and {} on main is lost. Lower its least of {}, or wire to \
             the backup what has something to give.",
            plan.called(&self.part),
            power(plan, self.main),
            power(plan, self.least)
        )
    }
}

/// One problem a changeover.
pub(super) fn find(plan: &Plan, net: &Net, live: &Live) -> Vec<Problem> {
    let of = |(part, node): (usize, &crate::net::Node)| {
        let Some(Spec::Changeover(least)) = node.spec else {
            return None;
        };
        let (main, backup) = (live.offered(node.ins[0]), live.offered(node.ins[1]));
        if main == 0 || main >= least || backup > 0 {
            return None;
        }
        let kind = ProblemKind::EmptyBackup(EmptyBackup {
            part: plan.parts[part].id.clone(),
            main: Steps(main),
            least: Steps(least),
        });
        let wires = node.ins.iter().flatten().copied().collect();
        Some(problem(plan, kind, Weight::Warning, vec![part], wires))
    };
    net.nodes.iter().enumerate().filter_map(of).collect()
}

#[cfg(test)]
mod tests {
    use crate::net::testing::{plan, said};

    #[test]
    fn a_changeover_on_an_empty_battery_is_named_and_its_loads_are_not() {
        let plan = plan(
            r#"{ "parts": { "gen": "hand-generator", "cell": ["battery", { "start": 0 }], "over": ["changeover", { "least": 12 }],
                            "lamp": "lamp" },
                 "wires": ["gen.out over.main", "cell.out over.backup", "over.out lamp.in"] }"#,
        );
        assert_eq!(
            said(&plan, "empty-backup"),
            [
                "warning [over] [w1 w2] over has gone to its backup, which offers nothing, and 10 u on main is lost. \
                 Lower its least of 12 u, or wire to the backup what has something to give."
            ]
        );
        assert!(said(&plan, "short").is_empty());
    }

    #[test]
    fn one_on_main_or_on_a_backup_with_something_is_none() {
        let plan = plan(
            r#"{ "parts": { "gen": "hand-generator", "cell": "battery", "over": ["changeover", { "least": 12 }], "lamp": "lamp",
                            "other": "hand-generator", "on": ["changeover", { "least": 10 }] },
                 "wires": ["gen.out over.main", "cell.out over.backup", "over.out lamp.in", "other.out on.main"] }"#,
        );
        assert!(said(&plan, "empty-backup").is_empty());
    }
}
