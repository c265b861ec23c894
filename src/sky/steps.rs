//! Whole steps of power from the sun and from the wind, and the milliseconds at which a panel's change.
//!
//! A product less than 1e-9 below a whole step counts as that step: it makes up for the rounding of the sun's curve.

use super::changes::changes;
use super::panel::Panel;
use super::{Aim, Sky};

/// How little a product may lack of a whole step and still count as it.
const ALLOWANCE: f64 = 1e-9;

impl Sky {
    /// Whole steps that a panel of `peak` steps gives `t` ms after midnight (modulo the day):
    /// `⌊peak · factor · weather⌋` with the allowance. 0 for a weather that is negative or no number.
    pub fn steps(&self, t: u64, aim: Aim, peak: u64, weather: f64) -> u64 {
        whole(peak, self.factor(t, aim), weather)
    }

    /// The steps at midnight, and every millisecond of the day at which [`Sky::steps`] differs from the millisecond
    /// before, with the new value. Complete and exact to the millisecond.
    ///
    /// The work grows with the number of changes, at most some `4 · peak · weather` a day.
    pub fn step_changes(&self, aim: Aim, peak: u64, weather: f64) -> (u64, Vec<(u64, u64)>) {
        let panel = Panel::new(self, aim);
        changes(
            self.length(),
            panel.cuts(),
            |t| panel.moment(t),
            |moment| whole(peak, moment.factor(), weather),
            |a, b| {
                let (least, most) = panel.bounds(a, b);
                whole(peak, least, weather) == whole(peak, most, weather)
            },
        )
    }
}

impl Sky {
    /// Whether a panel gives `least` steps or more at midnight, and every millisecond of the day at which that changes.
    pub(super) fn useful_changes(
        &self,
        aim: Aim,
        peak: u64,
        weather: f64,
        least: u64,
    ) -> (bool, Vec<(u64, bool)>) {
        let panel = Panel::new(self, aim);
        let enough = |factor| whole(peak, factor, weather) >= least;
        changes(
            self.length(),
            panel.cuts(),
            |t| panel.moment(t),
            |moment| enough(moment.factor()),
            |a, b| {
                let (least, most) = panel.bounds(a, b);
                enough(least) == enough(most)
            },
        )
    }
}

/// `⌊peak · factor · weather⌋` with the allowance; never falls where `factor` grows.
pub(super) fn whole(peak: u64, factor: f64, weather: f64) -> u64 {
    let product = peak as f64 * factor * weather;
    if product.is_nan() || product <= 0.0 {
        return 0;
    }
    let floor = libm::floor(product);
    let up = floor + 1.0 - product < ALLOWANCE;
    (if up { floor + 1.0 } else { floor }) as u64
}

/// Whole steps that a wind turbine of `peak` steps gives in a wind of `wind`: `⌊peak · wind⌋` with the same allowance,
/// where `wind` is the decimal as it is written, not the nearest binary fraction: the shortest decimal that reads back as
/// the same number, worked in integers. 0 for a wind that is negative or not finite; at most `u64::MAX`.
pub fn wind_steps(peak: u64, wind: f64) -> u64 {
    let Some((digits, exponent)) = decimal(wind) else {
        return 0;
    };
    // At most 20 + 17 digits: fits.
    let product = u128::from(peak) * u128::from(digits);
    let Some(scale) = 10_u128.checked_pow(exponent.unsigned_abs()) else {
        // Beyond 38 places: too little for a first step, or too much for any number.
        return if exponent < 0 || product == 0 {
            0
        } else {
            u64::MAX
        };
    };
    let steps = if exponent >= 0 {
        product.saturating_mul(scale)
    } else {
        let lacks = scale - product % scale;
        product / scale + u128::from(lacks < scale / 1_000_000_000)
    };
    u64::try_from(steps).unwrap_or(u64::MAX)
}

/// A positive number as `digits · 10^exponent`, by its shortest decimal form.
fn decimal(x: f64) -> Option<(u64, i32)> {
    if !(x > 0.0 && x.is_finite()) {
        return None;
    }
    let text = format!("{x:e}");
    let (mantissa, exponent) = text.split_once('e')?;
    let (whole, places) = mantissa.split_once('.').unwrap_or((mantissa, ""));
    let digits = format!("{whole}{places}").parse().ok()?;
    let shift = i32::try_from(places.len()).ok()?;
    Some((digits, exponent.parse::<i32>().ok()? - shift))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn wind_is_the_decimal_as_written() {
        for (peak, wind, steps) in [
            (10, 0.3, 3),
            (100, 0.29, 29),
            (1_000_000_000, 0.7, 700_000_000),
            (u64::MAX, 1.0, u64::MAX),
            (u64::MAX, 0.1, u64::MAX / 10),
            (1000, 0.0009999, 0),
            (3, 0.6666, 1),
            (7, 2.5, 17),
            (2, 1e22, u64::MAX),
            (2, 1e300, u64::MAX),
            (u64::MAX, 1e-300, 0),
            (0, 1e300, 0),
            (5, 0.0, 0),
            (5, -1.0, 0),
            (5, f64::NAN, 0),
            (5, f64::INFINITY, 0),
        ] {
            assert_eq!(wind_steps(peak, wind), steps, "{peak} · {wind}");
        }
    }

    #[test]
    fn what_lacks_less_than_the_allowance_counts() {
        assert_eq!(wind_steps(1, 0.9999999991), 1);
        assert_eq!(wind_steps(1, 0.999999999), 0);
        assert_eq!(wind_steps(1, 0.9999999989), 0);
        assert_eq!(wind_steps(10, 0.29999999991), 3);
        assert_eq!(wind_steps(10, 0.2999999999), 2);
        assert_eq!(whole(1, 0.9999999991, 1.0), 1);
        assert_eq!(whole(1, 0.9999999989, 1.0), 0);
        assert_eq!(whole(20, 0.7, 0.5), 7);
    }

    #[test]
    fn odd_numbers_give_no_steps() {
        assert_eq!(whole(5, 1.0, f64::NAN), 0);
        assert_eq!(whole(5, 1.0, -1.0), 0);
        assert_eq!(whole(5, 0.0, f64::INFINITY), 0);
        assert_eq!(whole(5, 1.0, f64::INFINITY), u64::MAX);
        assert_eq!(whole(u64::MAX, 1.0, 2.0), u64::MAX);
    }
}
