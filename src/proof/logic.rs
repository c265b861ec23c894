//! What a plan's contacts do: a table of every combination of its inputs, and what can come of changing them one after the
//! other.
//!
//! Inputs are the contacts that nothing on the board signals to: switches, buttons, detectors, twilight and time switches,
//! home and charge contacts. All of it is at one instant: sources give what they give then, batteries neither fill nor
//! empty, and what each input's own clock or sensor says is left aside. After a change of inputs all is waited for: every
//! lag, and every timer until it has run out, so that a pulse is over and an on-delay has come on. What latches, impulse
//! relays and counters remember at the instant is where they start. An input is never changed before the last change has
//! settled; what a hasty hand could do is not tried.

mod explore;
mod table;

pub use explore::{Chatter, Exploration, Explorer, OrderMatters, Trap, Way};
pub use table::{LogicRow, LogicTable, Rest, Rows};

use crate::book::Profile;
use crate::net::Net;
use crate::plan::{Function, PartId, Plan, Spec};
use crate::quantity::Ms;
use crate::run::{Engine, Frozen, Supply};
use serde::{Deserialize, Serialize};

/// The most inputs that are tried; the others stay as they are at the instant.
pub const INPUTS: usize = 12;

/// Changes within which a circuit comes to rest or is said not to: more than chatter needs to be found.
const PATIENCE: u64 = 2_000;

/// A contact that nothing on the board signals to.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct LogicInput {
    /// The contact.
    pub part: PartId,
    /// Whether its function is true at the instant.
    pub now: bool,
}

/// A plan's contacts at an instant, ready to be tried.
#[derive(Clone, Debug)]
struct Bench {
    /// Held at the instant.
    now: Frozen,
    /// Inputs tried, by their places in the plan.
    inputs: Vec<usize>,
    /// Inputs beyond [`INPUTS`].
    left_out: Vec<usize>,
    loads: Vec<usize>,
    /// Contacts that are no inputs.
    others: Vec<usize>,
    /// Sun and wind sources, with the most they give in a day.
    skies: Vec<(usize, u64)>,
}

impl Bench {
    fn new(plan: &Plan, t: Ms) -> Bench {
        let net = Net::compile(plan);
        let mut engine = Engine::new(plan);
        engine.advance(t.saturating_add(1));
        let mut bench = Bench {
            now: Frozen::new(engine),
            inputs: Vec::new(),
            left_out: Vec::new(),
            loads: Vec::new(),
            others: Vec::new(),
            skies: Vec::new(),
        };
        for (at, node) in net.nodes.iter().enumerate() {
            match &node.spec {
                Some(Spec::Load { .. }) => bench.loads.push(at),
                Some(Spec::Contact { function, .. }) if signalled(function) => {
                    bench.others.push(at)
                }
                Some(Spec::Contact { .. }) if bench.inputs.len() < INPUTS => bench.inputs.push(at),
                Some(Spec::Contact { .. }) => bench.left_out.push(at),
                Some(Spec::Source { .. }) => {
                    if let Some(most) = brightest(plan, at) {
                        bench.skies.push((at, most));
                    }
                }
                _ => {}
            }
        }
        bench
    }
}

/// Whether signals decide a function.
fn signalled(function: &Function) -> bool {
    matches!(
        function,
        Function::Relay
            | Function::And
            | Function::Or
            | Function::Xor
            | Function::OnDelay(_)
            | Function::OffDelay(_)
            | Function::Pulse(_)
            | Function::Latch { .. }
            | Function::Impulse
            | Function::Counter(_)
    )
}

/// The most that a sun or wind source gives in the days of its weather; none for any other part, and for a steady source,
/// which gives its peak whatever the sky.
fn brightest(plan: &Plan, at: usize) -> Option<u64> {
    let spec = plan.spec(&plan.parts[at])?;
    let steady = matches!(
        spec,
        Spec::Source {
            profile: Profile::Steady,
            ..
        }
    );
    let supply = Supply::of(plan, &spec).filter(|_| !steady)?;
    Some(supply.most())
}
