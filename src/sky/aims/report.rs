//! The best aims of a panel and the table of what it gives by direction and tilt, found piece by piece.
//!
//! Energies are step·ms of one panel over one day. Nothing fails; nothing is said about a bank or in words.

use super::{Aims, Bests, DIRECTIONS, TILTS, direction};
use crate::sky::{Aim, Sky};
use serde::{Deserialize, Serialize};

/// What is found of a panel's aims; more and more of it until it is complete.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
pub struct AimReport {
    /// The best aims.
    pub bests: Bests,
    /// How many of the four have been sought to the end.
    pub done: usize,
    /// The table: for each tilt of [`TILTS`] the step·ms of one panel in each direction.
    pub rows: Vec<Vec<u128>>,
    /// Whether all of it is there.
    pub complete: bool,
}

/// Rounds of the search between two looks at how far it is.
const ROUNDS: usize = 200;

impl Sky {
    /// Finds the best aims of a panel of `peak` steps under a factor of `weather`, `least` steps being useful, and fills
    /// the table; `say` is called with the report after every piece.
    pub fn report_aims(
        &self,
        peak: u64,
        weather: f64,
        least: u64,
        say: &mut dyn FnMut(&AimReport),
    ) {
        let mut report = AimReport::default();
        let mut aims = Aims::new(self, peak, weather, least);
        loop {
            let over = aims.go(ROUNDS);
            if over || aims.done() > report.done {
                (report.bests, report.done) = (*aims.found(), aims.done());
                say(&report);
            }
            if over {
                break;
            }
        }
        for tilt in TILTS {
            report.rows.push(self.row(tilt, peak, weather, least));
            report.complete = report.rows.len() == TILTS.len();
            say(&report);
        }
    }

    /// The step·ms of one panel at one tilt in each direction of the table.
    fn row(&self, tilt: u16, peak: u64, weather: f64, least: u64) -> Vec<u128> {
        let energy = |number: usize| {
            let aim = Aim {
                azimuth: direction(number),
                tilt: f64::from(tilt),
            };
            self.output(aim, peak, weather, least).gives.energy
        };
        match tilt {
            // A flat panel looks nowhere.
            0 => vec![energy(0); DIRECTIONS],
            _ => (0..DIRECTIONS).map(energy).collect(),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::sky::{Air, Path};

    #[test]
    fn a_report_comes_piece_by_piece_and_ends_with_the_best_aims() {
        let sky = Sky {
            path: Path::Place {
                latitude: 56.2,
                day_of_year: 80.0,
            },
            air: Air::Clear,
            day_ms: 86_400_000,
        };
        let mut pieces: Vec<AimReport> = Vec::new();
        sky.report_aims(12, 1.0, 1, &mut |report| pieces.push(report.clone()));
        let grows = |p: &[AimReport]| p[0].done <= p[1].done && !p[0].complete;
        assert!(pieces.windows(2).all(grows));
        let last = pieces.last().expect("an answer");
        assert!(last.complete && last.done == 4);
        assert_eq!(last.bests, sky.best_aims(12, 1.0, 1));
        assert_eq!(last.rows.len(), 7);
        assert!(last.rows.iter().all(|row| row.len() == 16));
        assert!(
            last.rows[0].iter().all(|e| *e == last.rows[0][0]),
            "flat is flat"
        );
        let most = last.bests.energy.expect("a best").gives.energy;
        assert!(last.rows.iter().flatten().all(|e| *e <= most));
        let aim = Aim {
            azimuth: 180.0,
            tilt: 60.0,
        };
        let south_steep = sky.output(aim, 12, 1.0, 1);
        assert_eq!(last.rows[4][8], south_steep.gives.energy);
    }
}
