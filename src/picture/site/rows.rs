//! Rectangles in rows, so that they are as large as a sheet lets them be. Pixels of the drawing.

use crate::picture::pen::Area;

/// What is free between two of them.
const GAP: f64 = 24.0;

/// Rectangles in rows, in their order.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Rows {
    /// The left top corner of each.
    pub places: Vec<(f64, f64)>,
    /// What all take together.
    pub area: Area,
}

impl Rows {
    /// The rows that have the largest scale on a sheet, which `scale` tells of an area.
    pub fn largest(sizes: &[(f64, f64)], scale: impl Fn(Area) -> f64) -> Rows {
        let mut best = Rows::within(sizes, f64::MAX);
        // A row is as wide as some of them beside each other.
        for from in 0..sizes.len() {
            let mut width = 0.0;
            for (wide, _) in &sizes[from..] {
                width += wide + GAP;
                let rows = Rows::within(sizes, width);
                if scale(rows.area) > scale(best.area) {
                    best = rows;
                }
            }
        }
        best
    }

    /// Rows that are no wider than this, but for one that is wider by itself.
    fn within(sizes: &[(f64, f64)], width: f64) -> Rows {
        let mut places = Vec::new();
        let (mut x, mut y, mut high, mut most) = (0.0, 0.0, 0.0_f64, 0.0_f64);
        for (wide, tall) in sizes {
            if x > 0.0 && x + wide > width {
                (x, y, high) = (0.0, y + high + GAP, 0.0);
            }
            places.push((x, y));
            x += wide + GAP;
            most = most.max(x - GAP);
            high = high.max(*tall);
        }
        Rows {
            places,
            area: (0.0, 0.0, most, y + high),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn rows_fill_a_sheet() {
        let sizes = [(100.0, 100.0); 4];
        let square = |(_, _, wide, high): Area| (300.0_f64 / wide).min(300.0 / high);
        let rows = Rows::largest(&sizes, square);
        let places = [(0.0, 0.0), (124.0, 0.0), (0.0, 124.0), (124.0, 124.0)];
        assert_eq!(rows.places, places);
        assert_eq!(rows.area, (0.0, 0.0, 224.0, 224.0));
        let wide = |(_, _, wide, high): Area| (900.0_f64 / wide).min(100.0 / high);
        assert_eq!(Rows::largest(&sizes, wide).area.3, 100.0);
        assert_eq!(Rows::largest(&[], square).places, []);
    }
}
