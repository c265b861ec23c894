//! How far the sun stands north of the equator on a day of the year.
//!
//! Source: J. W. Spencer, "Fourier series representation of the position of the sun", Search 2(5), 1971, p. 172.
//! Its claim is an error of at most about 0.04°. It takes every year to have 365 days.

use std::f64::consts::PI;

/// Declination in degrees by Spencer's series, north positive. A `day_of_year` that is not finite counts as 0.
pub fn declination(day_of_year: f64) -> f64 {
    let g = 2.0 * PI * (super::finite(day_of_year) - 1.0) / 365.0;
    let radians = 0.006918 - 0.399912 * libm::cos(g) + 0.070257 * libm::sin(g)
        - 0.006758 * libm::cos(2.0 * g)
        + 0.000907 * libm::sin(2.0 * g)
        - 0.002697 * libm::cos(3.0 * g)
        + 0.00148 * libm::sin(3.0 * g);
    radians * (180.0 / PI)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Computed with pvlib 0.16.1, `declination_spencer71`.
    #[test]
    fn agrees_with_the_series_as_computed_elsewhere() {
        for (day, degrees) in [
            (1.0, -23.058629169260467),
            (34.0, -16.76379142181507),
            (44.0, -13.628352259311125),
            (81.0, 0.32893462043703864),
            (105.0, 9.48077095790093),
            (162.0, 23.03792050545629),
            (172.0, 23.452046074516133),
            (182.0, 23.177188441312605),
            (246.0, 7.845917462718849),
            (264.0, 1.0260736532584347),
            (284.0, -6.713437096439026),
            (344.0, -22.840630034428262),
            (355.0, -23.419890406297718),
        ] {
            let got = declination(day);
            assert!((got - degrees).abs() < 1e-12, "day {day}: {got}");
        }
    }

    /// Cooper (1969), as eq. 1.6.1a of Duffie & Beckman, "Solar Engineering of Thermal Processes" (formula read).
    /// The two differ by at most 1.3912°, on day 284 (computed with pvlib 0.16.1).
    #[test]
    fn stays_near_the_simpler_formula() {
        let mut worst = (0.0_f64, 0);
        for day in 1..=365 {
            let n = f64::from(day);
            let cooper = 23.45 * libm::sin((360.0 * (284.0 + n) / 365.0).to_radians());
            let apart = (declination(n) - cooper).abs();
            if apart > worst.0 {
                worst = (apart, day);
            }
        }
        assert_eq!(worst.1, 284);
        assert!((worst.0 - 1.3912).abs() < 1e-4, "{}", worst.0);
    }
}
