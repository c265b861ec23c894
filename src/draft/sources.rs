//! What one of each source that may be used gives: its aim, the energy of the days of the weather's cycle, and when it
//! gives nothing on any of them. Steps, milliseconds, and energies in step·ms.

use super::allowed::Allowed;
use crate::book::{Behaviour, Book, PartType, Profile};
use crate::plan::World;
use crate::quantity::Ms;
use crate::sky::{Aim, Sky, wind_steps};
use serde_json::Value;

/// Stretches of the day, in their order.
pub(super) type Spans = Vec<(Ms, Ms)>;

/// A type of source, aimed.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct SourceChoice {
    /// The type.
    pub kind: usize,
    /// How it gives through the day.
    pub profile: Profile,
    /// Where a panel looks; none as in the book.
    pub aim: Option<Aim>,
    /// What one gives over all days of the weather.
    pub energy: u128,
    /// When one gives nothing on the best of the days, and so on none.
    pub nothing: Spans,
    /// The most that one gives at any time.
    pub most: u64,
    /// Whether it is aimed for hours of the day and not for energy: of use only where nothing is stored.
    pub by_hours: bool,
}

/// Aims for hours of the day: directions and tilts in degrees.
const DIRECTIONS: [f64; 9] = [60.0, 90.0, 120.0, 150.0, 180.0, 210.0, 240.0, 270.0, 300.0];
const TILTS: [f64; 3] = [30.0, 60.0, 90.0];

/// The peak for which the best aim is looked for, at the most: a larger panel's differs by a degree or so.
const AIMED_PEAK: u64 = 100;

/// Where panels give most over the best day: of the book's panel with the largest peak. Finding it takes long, so it is
/// found once for all orders of one book and world.
pub(super) fn best_aim(book: &Book, world: &World) -> Option<Aim> {
    let peak = |kind: &PartType| match kind.behaviour {
        Behaviour::Source {
            peak,
            profile: Profile::Sun,
        } => Some(peak.min(AIMED_PEAK)),
        _ => None,
    };
    let peak = book.types.iter().filter_map(peak).max()?;
    let best_day = world.weather.iter().copied().fold(0.0, f64::max);
    let best = world.sky().best_aims(peak, best_day, 1).energy;
    best.map(|best| best.aim())
}

/// Every source that may be used, the cheapest first; a panel as the book aims it, and where panels give most; also aimed
/// for hours where that is asked for.
pub(super) fn choices(
    allowed: &Allowed,
    world: &World,
    (best, by_hours): (Option<Aim>, bool),
) -> Vec<SourceChoice> {
    let sky = world.sky();
    let mut found = Vec::new();
    for profile in [Profile::Steady, Profile::Wind, Profile::Sun] {
        for kind in allowed.sources(profile) {
            let Behaviour::Source { peak, .. } = allowed.kind(kind).behaviour else {
                continue;
            };
            match profile {
                Profile::Steady => found.push(steady(kind, peak, world)),
                Profile::Wind => found.push(windy(kind, peak, world)),
                Profile::Sun => found.extend(sunny(
                    (kind, peak),
                    allowed,
                    (world, &sky),
                    (best, by_hours),
                )),
            }
        }
    }
    found.retain(|choice| choice.energy > 0);
    found.sort_by_key(|choice| (allowed.price(choice.kind), choice.kind));
    found
}

fn steady(kind: usize, peak: u64, world: &World) -> SourceChoice {
    SourceChoice {
        kind,
        profile: Profile::Steady,
        aim: None,
        energy: u128::from(peak) * u128::from(world.day_ms()) * world.weather.len() as u128,
        nothing: Spans::new(),
        most: peak,
        by_hours: false,
    }
}

fn windy(kind: usize, peak: u64, world: &World) -> SourceChoice {
    let day = world.day_ms();
    let begins = |hour: u64| (u128::from(hour) * u128::from(day)).div_ceil(24) as Ms;
    let mut steps = Vec::new();
    for hour in 0..24u64 {
        let wind = world.wind.get(hour as usize).copied().unwrap_or(0.0);
        steps.push((begins(hour), wind_steps(peak, wind)));
    }
    of_steps(
        (kind, Profile::Wind, None),
        &steps,
        day,
        world.weather.len() as u128,
    )
}

/// What so many equal days of these steps come to.
fn of_steps(
    (kind, profile, aim): (usize, Profile, Option<Aim>),
    steps: &[(Ms, u64)],
    day: Ms,
    days: u128,
) -> SourceChoice {
    let mut choice = SourceChoice {
        kind,
        profile,
        aim,
        energy: 0,
        nothing: Spans::new(),
        most: 0,
        by_hours: false,
    };
    for (at, (from, gives)) in steps.iter().enumerate() {
        let to = steps.get(at + 1).map_or(day, |next| next.0);
        choice.energy += u128::from(*gives) * u128::from(to.saturating_sub(*from)) * days;
        choice.most = choice.most.max(*gives);
        match choice.nothing.last_mut().filter(|last| last.1 == *from) {
            _ if *gives > 0 || to <= *from => {}
            Some(last) => last.1 = to,
            None => choice.nothing.push((*from, to)),
        }
    }
    choice
}

fn sunny(
    (kind, peak): (usize, u64),
    allowed: &Allowed,
    (world, sky): (&World, &Sky),
    (best, by_hours): (Option<Aim>, bool),
) -> Vec<SourceChoice> {
    let best_day = world.weather.iter().copied().fold(0.0, f64::max);
    let set = &allowed.kind(kind).set;
    let number = |key: &str| set.get(key).and_then(Value::as_f64).unwrap_or(0.0);
    let own = Aim {
        azimuth: number("azimuth"),
        tilt: number("tilt"),
    };
    let best = best.filter(|aim| *aim != own);
    let aims = [Some((own, None)), best.map(|aim| (aim, Some(aim)))];
    let hours = DIRECTIONS.iter().flat_map(|azimuth| {
        TILTS.iter().map(|tilt| Aim {
            azimuth: *azimuth,
            tilt: *tilt,
        })
    });
    let known = aims.into_iter().flatten().map(|aim| (aim, false));
    let more = hours
        .filter(|_| by_hours)
        .map(|aim| ((aim, Some(aim)), true));
    let aimed = known.chain(more).map(|((aim, set), by_hours)| {
        let steps = sky.output(aim, peak, best_day, 1).steps;
        let mut choice = of_steps((kind, Profile::Sun, set), &steps, world.day_ms(), 1);
        let energy = |weather: &f64| sky.output(aim, peak, *weather, 1).gives.energy;
        choice.by_hours = by_hours;
        choice.energy = world.weather.iter().map(energy).sum();
        choice
    });
    aimed.collect()
}

/// What is in both.
pub(super) fn common(a: &Spans, b: &Spans) -> Spans {
    let pairs = a.iter().flat_map(|a| b.iter().map(move |b| (a, b)));
    let both = pairs.map(|(a, b)| (a.0.max(b.0), a.1.min(b.1)));
    let mut found: Spans = both.filter(|(from, to)| from < to).collect();
    found.sort_unstable();
    found
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_day_of_steps_adds_up_and_knows_its_nights() {
        let what = (3, Profile::Sun, None);
        let choice = of_steps(what, &[(0, 0), (10, 0), (20, 4), (40, 0)], 100, 2);
        assert_eq!((choice.energy, choice.most), (160, 4));
        assert_eq!(choice.nothing, [(0, 20), (40, 100)]);
        assert_eq!(
            common(&choice.nothing, &vec![(10, 50)]),
            [(10, 20), (40, 50)]
        );
    }
}
