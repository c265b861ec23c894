//! Aims of a sun panel as they are offered: the panel with its sky and weather, and the best aims in words.
//!
//! Energies are those of the whole bank over a day, in 1/1000 step·ms; steps and times are one panel's. The search itself
//! is [`Sky::report_aims`].

use super::words::hours;
use crate::book::Profile;
use crate::plan::{Clock, PartId, Plan, Spec};
use crate::quantity::{Energy, STEP_MS, Unit};
use crate::sky::{Aim, Best, Bests, Sky};

/// A sun panel, or a bank of equal ones, under the sky of its world.
#[derive(Clone, Debug, PartialEq)]
pub struct Panel {
    /// The sky.
    pub sky: Sky,
    /// The weather's factor on the day in question.
    pub weather: f64,
    /// The peak of one, in steps.
    pub peak: u64,
    /// How many there are.
    pub count: u64,
    /// Where they look.
    pub aim: Aim,
}

impl Panel {
    /// The part `id` on a day of the run, counted from 0; `None` where it is no sun panel.
    pub fn of(plan: &Plan, id: &PartId, day: u64) -> Option<Panel> {
        let Spec::Source {
            peak,
            count,
            profile: Profile::Sun,
            aim,
        } = plan.spec(plan.part(id)?)?
        else {
            return None;
        };
        let weather = &plan.world.weather;
        let number = (day % (weather.len() as u64).max(1)) as usize;
        Some(Panel {
            sky: plan.world.sky(),
            weather: weather.get(number).copied().unwrap_or(1.0),
            peak,
            count,
            aim,
        })
    }

    /// What all of them give, from the step·ms of one.
    pub fn energy(&self, one: u128) -> Energy {
        let all = one.saturating_mul(u128::from(self.count));
        Energy::try_from(all)
            .unwrap_or(Energy::MAX)
            .saturating_mul(STEP_MS)
    }

    /// The steps over which the output is drawn: no more than it ever gives.
    pub fn most(&self) -> u64 {
        let most = self.peak as f64 * self.weather;
        (most.max(0.0).ceil() as u64).max(1)
    }
}

/// One of the four best aims as it is offered.
#[derive(Clone, Debug, PartialEq)]
pub struct Offer {
    /// What it is best at.
    pub best_for: &'static str,
    /// The aim, if there is one.
    pub aim: Option<Best>,
    /// What it gives, in words; or why there is none.
    pub gives: String,
}

/// The four best aims, each said by what it is best at.
pub fn offers(bests: &Bests, panel: &Panel, unit: &Unit) -> Vec<Offer> {
    let day = panel.sky.day_ms.max(1);
    let energy = |best: &Best| unit.say_energy(panel.energy(best.gives.energy));
    let until = |best: &Best| Clock::at(best.gives.last.map_or(0, |t| (t + 1).min(day - 1)), day);
    let each = |best_for, aim: Option<Best>, gives: &dyn Fn(&Best) -> String| Offer {
        best_for,
        gives: aim
            .as_ref()
            .map_or("no aim gives anything useful".into(), gives),
        aim,
    };
    vec![
        each("Most energy", bests.energy, &|b| {
            format!("{} a day", energy(b))
        }),
        each("Longest useful output", bests.longest, &|b| {
            format!("{}, {}", hours(b.gives.useful, day), energy(b))
        }),
        each("Latest last step", bests.latest, &|b| {
            format!("gives until {}, {}", until(b), energy(b))
        }),
        each("Earliest last step", bests.earliest, &|b| {
            format!(
                "gives until {}, {}; of aims that give half the most energy or more",
                until(b),
                energy(b)
            )
        }),
    ]
}

/// What an aim gives, as a sentence.
pub fn gives(gives: &crate::sky::Yield, panel: &Panel, unit: &Unit) -> String {
    let day = panel.sky.day_ms.max(1);
    let energy = unit.say_energy(panel.energy(gives.energy));
    match (gives.first, gives.last) {
        (Some(first), Some(last)) => format!(
            "{energy} a day; useful from {} to {}, {} in all.",
            Clock::at(first, day),
            Clock::at((last + 1).min(day - 1), day),
            hours(gives.useful, day)
        ),
        _ => format!("{energy} a day; never as much as is useful."),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::plan::read_plan;

    fn plan() -> Plan {
        let text = r#"{ "format": "duskline/plan", "version": 1, "book": "outpost",
            "world": { "sky": { "latitude": 56.2, "day_of_year": 80 }, "weather": [1, 0.5] },
            "parts": [
              { "id": "p1", "type": "sun-panel", "count": 3, "set": { "azimuth": 140, "tilt": 50 } },
              { "id": "p2", "type": "lamp" } ] }"#;
        read_plan(text).expect("a sound plan")
    }

    #[test]
    fn a_panel_knows_its_weather_and_its_bank() {
        let plan = plan();
        let panel = Panel::of(&plan, &"p1".into(), 0).expect("a sun panel");
        assert_eq!((panel.peak, panel.count, panel.weather), (12, 3, 1.0));
        assert_eq!((panel.aim.azimuth, panel.aim.tilt), (140.0, 50.0));
        assert_eq!(panel.energy(7), 21_000);
        assert_eq!(panel.most(), 12);
        let cloudy = Panel::of(&plan, &"p1".into(), 3).expect("a sun panel");
        assert_eq!((cloudy.weather, cloudy.most()), (0.5, 6));
        assert_eq!(Panel::of(&plan, &"p2".into(), 0), None);
        assert_eq!(Panel::of(&plan, &"p9".into(), 0), None);
    }

    #[test]
    fn the_best_aims_are_said_with_what_they_give() {
        let panel = Panel::of(&plan(), &"p1".into(), 0).expect("a sun panel");
        let unit = plan().book.book.unit.clone();
        let offers = offers(&panel.sky.best_aims(12, 1.0, 1), &panel, &unit);
        let said: Vec<_> = offers
            .iter()
            .map(|o| (o.best_for, o.gives.as_str()))
            .collect();
        assert!(said[0].1.ends_with(" u·h a day"), "{said:?}");
        assert!(said[2].1.starts_with("gives until 17:"), "{said:?}");
        let none = super::offers(&Bests::default(), &panel, &unit);
        assert!(
            none.iter()
                .all(|o| o.aim.is_none() && o.gives == "no aim gives anything useful")
        );
    }
}
