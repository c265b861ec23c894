//! Sine and cosine of angles in degrees, exact at multiples of 90° and exactly symmetric.
//!
//! The angle is folded into 0° to 45° before it becomes radians. Every fold is an exact subtraction, so that
//! mirrored angles give mirrored results to the last bit: east and west panels get equal days. Azimuths are brought into
//! one turn here too.

use std::f64::consts::PI;

/// Sine of an angle in degrees; 0 for an angle that is not finite.
pub(super) fn sin_deg(angle: f64) -> f64 {
    let turn = libm::fmod(super::finite(angle), 360.0);
    if turn < 0.0 {
        return -sin_fold(-turn);
    }
    sin_fold(turn)
}

/// Cosine of an angle in degrees; 1 for an angle that is not finite.
pub(super) fn cos_deg(angle: f64) -> f64 {
    let turn = libm::fabs(libm::fmod(super::finite(angle), 360.0));
    let half = if turn > 180.0 { 360.0 - turn } else { turn };
    if half > 90.0 {
        -sin_first(half - 90.0)
    } else {
        cos_first(half)
    }
}

/// Sine for 0 to below 360.
fn sin_fold(turn: f64) -> f64 {
    if turn > 180.0 {
        return -sin_fold(360.0 - turn);
    }
    sin_first(if turn > 90.0 { 180.0 - turn } else { turn })
}

/// Sine for 0 to 90.
fn sin_first(angle: f64) -> f64 {
    if angle > 45.0 {
        libm::cos((90.0 - angle) * (PI / 180.0))
    } else {
        libm::sin(angle * (PI / 180.0))
    }
}

/// Cosine for 0 to 90.
fn cos_first(angle: f64) -> f64 {
    if angle > 45.0 {
        libm::sin((90.0 - angle) * (PI / 180.0))
    } else {
        libm::cos(angle * (PI / 180.0))
    }
}

/// An azimuth brought into 0 to below 360.
pub(super) fn from_north(azimuth: f64) -> f64 {
    let turn = libm::fmod(azimuth, 360.0);
    let turn = if turn < 0.0 { turn + 360.0 } else { turn };
    // A negative hair rounds up to the full turn; −0 becomes 0.
    if turn >= 360.0 { 0.0 } else { turn + 0.0 }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn quarter_turns_are_exact() {
        for (angle, sine, cosine) in [
            (0.0, 0.0, 1.0),
            (90.0, 1.0, 0.0),
            (180.0, 0.0, -1.0),
            (270.0, -1.0, 0.0),
            (-90.0, -1.0, 0.0),
            (720.0, 0.0, 1.0),
        ] {
            assert_eq!((sin_deg(angle), cos_deg(angle)), (sine, cosine), "{angle}");
        }
    }

    #[test]
    fn mirrored_angles_mirror_to_the_last_bit() {
        for quarter in 0..=1440 {
            let angle = f64::from(quarter) / 4.0;
            assert_eq!(sin_deg(360.0 - angle), -sin_deg(angle), "{angle}");
            assert_eq!(cos_deg(360.0 - angle), cos_deg(angle), "{angle}");
            assert!((sin_deg(angle) - libm::sin(angle.to_radians())).abs() < 2e-15);
            assert!((cos_deg(angle) - libm::cos(angle.to_radians())).abs() < 2e-15);
        }
    }

    #[test]
    fn no_number_is_taken_as_zero() {
        assert_eq!((sin_deg(f64::NAN), cos_deg(f64::INFINITY)), (0.0, 1.0));
    }
}
