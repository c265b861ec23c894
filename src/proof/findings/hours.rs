//! The hours of the dial in which a duty applies, in whole minutes, for settings that follow the clock.

use super::Simulation;
use crate::plan::Conditions;
use crate::run::Clockwork;

/// Stretches of the dial in minutes, each from and to; over midnight where the end is earlier, `(0, 1440)` all day. The
/// begun minutes count; none where the duty never applies.
pub fn hours(seen: &Simulation, when: Conditions) -> Vec<(u64, u64)> {
    let day = seen.plan.world.day_ms();
    let clock = Clockwork::of_duty(when, &seen.plan.world, &seen.plan.world.sky());
    let mut out: Vec<(u64, u64)> = Vec::new();
    let (mut t, mut since) = (0, clock.truth(0).then_some(0));
    while t < day {
        t = clock.next(t).filter(|t| *t < day).unwrap_or(day);
        let on = t < day && clock.truth(t);
        match since {
            Some(from) if !on => {
                out.push((from, t));
                since = None;
            }
            None if on => since = Some(t),
            _ => {}
        }
    }
    let minute = |t: u64, up: bool| {
        let parts = u128::from(t) * 1440;
        let of = u128::from(day.max(1));
        let whole = if up { parts.div_ceil(of) } else { parts / of };
        u64::try_from(whole).unwrap_or(0)
    };
    // What ends at midnight and goes on there is one stretch.
    if let [(0, _), .., (last, end)] = out.as_slice()
        && *end == day
    {
        let last = *last;
        out.pop();
        out[0].0 = last;
    }
    out.into_iter()
        .map(|(from, to)| (minute(from, false), minute(to, true)))
        .collect()
}

/// A minute of the dial as settings have it: `18:05`.
pub fn clock(minute: u64) -> String {
    format!("{:02}:{:02}", minute / 60, minute % 60)
}

/// `18:00 to 06:00`.
pub fn span((from, to): (u64, u64)) -> String {
    format!("{} to {}", clock(from), clock(to))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::net::testing::plan;
    use crate::plan::When;

    #[test]
    fn the_night_is_one_stretch_over_midnight() {
        let plan = plan(
            r#"{ "parts": {}, "wires": [], "world": { "home": [["18:00", "08:00"], ["12:00", "13:00"]] } }"#,
        );
        let seen = Simulation::new(&plan);
        let all = |all: &[When]| hours(&seen, Conditions::new(all).unwrap());
        let said = |stretches: Vec<_>| stretches.into_iter().map(span).collect::<Vec<_>>();
        let of = |when| said(all(&[when]));
        assert_eq!(of(When::Always), ["00:00 to 24:00"]);
        assert_eq!(of(When::Dark), ["18:00 to 06:01"]);
        assert_eq!(of(When::Home), ["18:00 to 08:00", "12:00 to 13:00"]);
        assert_eq!(of(When::Away), ["08:00 to 12:00", "13:00 to 18:00"]);
        let both = |one, other| said(all(&[one, other]));
        assert_eq!(both(When::Dark, When::Home), ["18:00 to 06:01"]);
        let day = ["06:00 to 08:00", "12:00 to 13:00"];
        assert_eq!(both(When::Home, When::Light), day);
        assert!(both(When::Dark, When::Light).is_empty());
    }
}
