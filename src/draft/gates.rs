//! Gates: the contacts ahead of a load that let it run only while a condition of its duty holds, and the house switch.
//!
//! A condition has several contacts: a sensor of its own, or for dark and light a relay whose coil hangs on a tap ahead of
//! a battery, where it is live while the panels give anything. A twilight switch is set to the roundest light whose
//! moments lie within the grace of the dark's own. Nobody is asked to throw a switch or press a button every day.

use super::allowed::Allowed;
use crate::book::{Behaviour, FunctionName};
use crate::plan::When;
use crate::quantity::Ms;
use crate::sky::Sky;
use serde_json::{Map, Value};

/// What a gate is there for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Gate {
    /// The hand switch that was asked for.
    House,
    /// A condition of duties; never `always`.
    While(When),
}

/// How a gate is built.
#[derive(Clone, Debug, PartialEq)]
pub(super) enum GateContact {
    /// One contact that knows by itself.
    Alone {
        /// Its type.
        kind: usize,
        /// Its settings.
        set: Map<String, Value>,
    },
    /// A relay with its coil on a tap ahead of a battery.
    Dusk {
        /// The relay's type.
        relay: usize,
        /// The tap's type.
        tap: usize,
        /// What the coil takes, in steps.
        coil: u64,
        /// Whether it conducts in the dark.
        breaks: bool,
    },
}

/// Lights at which a twilight switch may be set, the roundest first. The last is so near to nothing that it is the
/// horizon to the millisecond.
const LIGHTS: [f64; 9] = [0.05, 0.02, 0.01, 0.005, 0.002, 0.001, 0.0001, 0.00001, 1e-9];

/// How many contacts are tried for one gate.
const MOST: usize = 3;

/// The ways to build a gate, the cheapest first. `grace` is the least of the duties concerned.
pub(super) fn ways(gate: Gate, allowed: &Allowed, sky: &Sky, grace: Ms) -> Vec<GateContact> {
    let alone = |function: FunctionName, set: Map<String, Value>| {
        let kinds = allowed.contacts(function).into_iter();
        kinds.map(move |kind| GateContact::Alone {
            kind,
            set: set.clone(),
        })
    };
    let mut found: Vec<GateContact> = match gate {
        Gate::House => alone(FunctionName::Manual, one("closed", true.into())).collect(),
        Gate::While(When::Always) => Vec::new(),
        Gate::While(When::Home) => alone(FunctionName::Home, Map::new()).collect(),
        Gate::While(When::Away) => alone(FunctionName::Home, breaking()).collect(),
        Gate::While(When::Clock(span)) => {
            let mut set = one("from", span.from.to_string().into());
            set.insert("to".into(), span.to.to_string().into());
            alone(FunctionName::Clock, set).collect()
        }
        Gate::While(when @ (When::Dark | When::Light)) => {
            let mut set = one("below", crate::quantity::number(light(sky, grace)));
            if when == When::Light {
                set.extend(breaking());
            }
            let own = alone(FunctionName::Twilight, set);
            own.take(MOST - 1)
                .chain(dusk(allowed, when == When::Dark))
                .collect()
        }
    };
    found.truncate(MOST);
    found
}

fn one(key: &str, value: Value) -> Map<String, Value> {
    Map::from_iter([(key.to_string(), value)])
}

fn breaking() -> Map<String, Value> {
    one("contact", "break".into())
}

/// The cheapest relay with the cheapest tap.
fn dusk(allowed: &Allowed, breaks: bool) -> Option<GateContact> {
    let relay = *allowed.contacts(FunctionName::Relay).first()?;
    let tap = *allowed.taps().first()?;
    let Behaviour::Contact { coil, .. } = allowed.kind(relay).behaviour else {
        return None;
    };
    Some(GateContact::Dusk {
        relay,
        tap,
        coil,
        breaks,
    })
}

/// The roundest light whose moments are those of the dark to within the grace.
fn light(sky: &Sky, grace: Ms) -> f64 {
    let (dark, moments) = sky.dark_changes();
    let near = |below: &&f64| {
        let (first, own) = sky.twilight_changes(**below);
        let pairs = own.iter().zip(&moments);
        first == dark
            && own.len() == moments.len()
            && pairs.into_iter().all(|(a, b)| a.abs_diff(*b) <= grace)
    };
    let found = LIGHTS.iter().find(near);
    found.copied().unwrap_or(LIGHTS[LIGHTS.len() - 1])
}
