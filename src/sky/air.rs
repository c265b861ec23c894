//! What a clear sky leaves of the beam.
//!
//! Air mass: F. Kasten, A. T. Young, "Revised optical air mass tables and approximation formula", Applied Optics
//! 28(22), 1989, pp. 4735-4738. Beam: the column ratio `0.7^(AM^0.678)` of A. B. Meinel, M. P. Meinel, "Applied Solar
//! Energy", 1976, here relative to a sun in the zenith (`/ 0.7`) and at most 1.

use super::Air;

/// Relative optical air mass for an elevation in degrees, 0 to 90: 1 in the zenith (to 0.03 %), about 38 at the horizon.
pub fn air_mass(elevation: f64) -> f64 {
    let radians = elevation * (std::f64::consts::PI / 180.0);
    1.0 / (libm::sin(radians) + 0.50572 * libm::pow(elevation + 6.07995, -1.6364))
}

impl Air {
    /// The share of the beam left for a sun at `elevation` degrees, above the horizon; it grows with the elevation.
    pub fn leaves(self, elevation: f64) -> f64 {
        match self {
            Air::None => 1.0,
            Air::Clear => {
                let mass = air_mass(elevation);
                let left = libm::pow(0.7, libm::pow(mass, 0.678)) / 0.7;
                if left < 1.0 { left } else { 1.0 }
            }
        }
    }

    /// That share, and how fast it grows, a degree of elevation: its derivative.
    pub fn leaves_with_slope(self, elevation: f64) -> (f64, f64) {
        let left = self.leaves(elevation);
        if self == Air::None || left >= 1.0 {
            return (left, 0.0);
        }
        let degree = std::f64::consts::PI / 180.0;
        let above = elevation + 6.07995;
        let term = 0.50572 * libm::pow(above, -1.6364);
        let mass = 1.0 / (libm::sin(elevation * degree) + term);
        let below = degree * libm::cos(elevation * degree) - 1.6364 * term / above;
        // The logarithm of the share, less a constant, is `ln 0.7 · mass^0.678`.
        let exponent = libm::log(left * 0.7);
        (
            left,
            left * exponent * 0.678 / mass * (-mass * mass * below),
        )
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Computed with pvlib 0.16.1, `get_relative_airmass(model="kastenyoung1989")`.
    #[test]
    fn air_mass_agrees_with_the_formula_as_computed_elsewhere() {
        for (elevation, mass) in [
            (90.0, 0.9997119918558381),
            (60.0, 1.1539922333636758),
            (45.0, 1.4125952520262743),
            (30.0, 1.9942928525292494),
            (20.0, 2.9031466488030997),
            (15.0, 3.812911869220776),
            (10.0, 5.5860358798512),
            (5.0, 10.305791327930304),
            (1.0, 26.310555068385266),
            (0.0, 37.91960837783625),
        ] {
            let got = air_mass(elevation);
            assert!((got / mass - 1.0).abs() < 1e-13, "{elevation}: {got}");
        }
    }

    /// Table II of Kasten & Young (1989), read in a public log that quotes it; formula and table agree within 0.5 %.
    #[test]
    fn air_mass_is_near_the_published_table() {
        for (elevation, mass) in [
            (10.0, 5.5841),
            (5.0, 10.3164),
            (1.0, 26.2595),
            (0.0, 38.0868),
        ] {
            let got = air_mass(elevation);
            assert!((got / mass - 1.0).abs() < 0.005, "{elevation}: {got}");
        }
    }

    /// The beam `1.353 · 0.7^(AM^0.678)` kW/m² with Kasten & Young's air mass, computed with pvlib 0.16.1. The
    /// constants 1.353, 0.7 and 0.678 are Meinel's (1976; the arrangement is from memory).
    #[test]
    fn a_clear_sky_leaves_the_column_ratio() {
        for (elevation, watts) in [
            (5.0, 238.81987963922103),
            (10.0, 430.5530584229805),
            (15.0, 559.0605961218405),
            (20.0, 648.9790211859864),
            (30.0, 765.5026835450777),
            (45.0, 862.0203490721892),
            (50.0, 882.7368302602271),
            (60.0, 913.2695883499874),
        ] {
            let got = Air::Clear.leaves(elevation) * 0.7 * 1353.0;
            assert!((got - watts).abs() < 1e-9, "{elevation}: {got}");
        }
    }

    #[test]
    fn the_slope_is_what_the_share_grows_by() {
        for elevation in [0.5, 2.0, 10.0, 33.3, 70.0, 89.0] {
            let step = 1e-4;
            let grown = Air::Clear.leaves(elevation + step) - Air::Clear.leaves(elevation - step);
            let (left, got) = Air::Clear.leaves_with_slope(elevation);
            assert_eq!(left, Air::Clear.leaves(elevation));
            assert!(
                (got - grown / (2.0 * step)).abs() < 1e-8,
                "{elevation}: {got}"
            );
        }
        assert_eq!(Air::None.leaves_with_slope(10.0), (1.0, 0.0));
        let zenith = Air::Clear.leaves_with_slope(90.0);
        assert_eq!(zenith, (1.0, 0.0), "the share is cut off at 1");
    }

    /// In the zenith the formula is a hair above 1 (947.17 of 947.1 W/m²), which the rule cuts off.
    #[test]
    fn a_clear_sky_never_adds_and_always_grows_with_height() {
        assert_eq!(Air::Clear.leaves(90.0), 1.0);
        let mut before = 0.0;
        for tenth in 0..=900 {
            let left = Air::Clear.leaves(f64::from(tenth) / 10.0);
            assert!(left >= before && left <= 1.0, "{tenth}");
            before = left;
        }
        assert_eq!(Air::None.leaves(1.0), 1.0);
    }
}
