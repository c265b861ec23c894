//! Whether something of the site stands between a face and the sun. A hint for whoever aims panels: no shading is
//! reckoned anywhere.

use super::face::Face;
use super::place::Site;
use super::sight::{Beyond, Place, beyond};

/// How high above its face a panel's middle is, in storeys.
const ABOVE: f64 = 0.1;

impl Site {
    /// Whether a wall, a door or ground of the site lies on the straight line from a thing on the face to the sun. Azimuth
    /// in degrees clockwise from north, elevation in degrees above the horizon; nothing is in the way of a sun below it.
    pub fn hides_the_sun(&self, face: Face, azimuth: f64, elevation: f64) -> bool {
        if elevation <= 0.0 {
            return false;
        }
        let (azimuth, elevation) = (azimuth.to_radians(), elevation.to_radians());
        let (cell, storey) = (f64::from(self.cell_cm), f64::from(self.storey_cm));
        let level = libm::cos(elevation);
        // How far it goes in each direction, in storeys, cells to the east and cells to the south.
        let gone = [
            libm::sin(elevation) / storey,
            libm::sin(azimuth) * level / cell,
            -libm::cos(azimuth) * level / cell,
        ];
        let mut at: Place = [face.storey, face.x, face.y].map(i64::from);
        let start = [
            f64::from(face.storey) + ABOVE,
            f64::from(face.x) + 0.5,
            f64::from(face.y) + 0.5,
        ];
        loop {
            let met = |axis: usize| {
                let side = at[axis] as f64 + if gone[axis] > 0.0 { 1.0 } else { 0.0 };
                match gone[axis] == 0.0 {
                    true => f64::INFINITY,
                    false => (side - start[axis]) / gone[axis],
                }
            };
            let mut axis = 0;
            for other in 1..3 {
                if met(other) < met(axis) {
                    axis = other;
                }
            }
            let way = if gone[axis] > 0.0 { 1 } else { -1 };
            match beyond(self, at, axis, way) {
                Beyond::Cell(to) => at = to,
                Beyond::Outside => return false,
                Beyond::Shut => return true,
            }
        }
    }
}
