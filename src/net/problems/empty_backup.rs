//! Changeovers that have gone to an empty backup although main has something. Powers in steps.

use super::words::{name, power, problem};
use crate::net::{Live, Net, Problem, ProblemKind, Weight};
use crate::plan::{Plan, Spec};

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
        let says = format!(
            "{} has gone to its backup, which offers nothing, and {} on main is lost. Lower its least of {}, or wire \
             to the backup what has something to give.",
            name(plan, part),
            power(plan, main),
            power(plan, least)
        );
        let what = (ProblemKind::EmptyBackup, Weight::Warning);
        let wires = node.ins.iter().flatten().copied().collect();
        Some(problem(plan, what, vec![part], wires, says))
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
