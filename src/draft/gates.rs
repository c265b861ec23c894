//! Gates: the contacts ahead of a load that let it run only while a condition of its duty holds, and the house switch.
//!
//! A condition has several contacts: a sensor of its own, or for dark and light a relay whose coil hangs on a tap ahead of
//! a battery or on a panel kept apart, where it is live while the panels give anything. A twilight switch is set to the roundest light whose
//! moments lie within the grace of the dark's own. Nobody is asked to throw a switch or press a button every day.

use super::allowed::Allowed;
use crate::book::{Behaviour, FunctionName, Profile};
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
    /// A relay whose coil is live while panels give anything.
    Dusk {
        /// The relay's type.
        relay: usize,
        /// Where the coil has its power.
        from: CoilFrom,
        /// What the coil takes, in steps.
        coil: u64,
        /// Whether it conducts in the dark.
        breaks: bool,
    },
}

/// Where a dusk relay's coil has its power.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum CoilFrom {
    /// A tap of a type ahead of the battery.
    Tap(usize),
    /// A divider of a type there, which sets half aside.
    Divider(usize),
    /// A panel of a type, kept apart.
    Panel(usize),
}

impl CoilFrom {
    /// The type of the part that is there for the coil.
    pub fn kind(self) -> usize {
        match self {
            CoilFrom::Tap(kind) | CoilFrom::Divider(kind) | CoilFrom::Panel(kind) => kind,
        }
    }

    /// Whether it stands between panels and battery.
    pub fn is_ahead(self) -> bool {
        !matches!(self, CoilFrom::Panel(_))
    }
}

/// Lights at which a twilight switch may be set, the roundest first. The last is so near to nothing that it is the
/// horizon to the millisecond.
const LIGHTS: [f64; 9] = [0.05, 0.02, 0.01, 0.005, 0.002, 0.001, 0.0001, 0.00001, 1e-9];

/// How many contacts are tried for one gate.
const MOST: usize = 4;

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
            own.take(MOST - 2)
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

/// The cheapest relay, its coil on the cheapest tap, on a divider where no tap may be used, or on the cheapest panel.
fn dusk(allowed: &Allowed, breaks: bool) -> Vec<GateContact> {
    let Some(relay) = allowed.contacts(FunctionName::Relay).first().copied() else {
        return Vec::new();
    };
    let Behaviour::Contact { coil, .. } = allowed.kind(relay).behaviour else {
        return Vec::new();
    };
    let tap = allowed.taps().first().copied().map(CoilFrom::Tap);
    let divider = allowed.dividers(2).first().copied().map(CoilFrom::Divider);
    let panel = allowed.sources(Profile::Sun).first().copied();
    let from = [tap.or(divider), panel.map(CoilFrom::Panel)];
    let each = from.into_iter().flatten().map(|from| GateContact::Dusk {
        relay,
        from,
        coil,
        breaks,
    });
    each.collect()
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
