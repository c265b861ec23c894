//! Linear programs of few unknowns: the dual simplex method on rows `a · x ≤ b`.
//!
//! A basis is a set of as many rows as there are unknowns; its vertex is optimal as soon as it breaks no row. One starts
//! from bounds of the unknowns, so that there always is a first basis. Crates for large programs read a clock; this needs
//! a few dozen lines for six unknowns.

/// The number of unknowns.
pub(super) const UNKNOWNS: usize = 6;
pub(super) type Vector = [f64; UNKNOWNS];

/// A row: `along · x ≤ most`.
#[derive(Clone, Copy, Debug)]
pub(super) struct Row {
    pub(super) along: Vector,
    pub(super) most: f64,
}

/// A row counts as kept where it is broken by no more than this.
const KEPT: f64 = 1e-11;
/// A share of a row in the basis counts as none below this.
const NONE: f64 = 1e-11;
/// Steps after which a program is given up.
const STEPS: usize = 400;

/// The `x` with the largest `worth · x` that keeps every row and is at most `bounds` either way; none where rows exclude
/// each other, or where the steps do not come to an end.
pub(super) fn best(worth: Vector, bounds: Vector, rows: &[Row]) -> Option<Vector> {
    // A little worth of its own for every unknown, so that no two vertices are equally good.
    let mut worth = worth;
    for (place, worth) in worth.iter_mut().enumerate() {
        *worth += 1e-10 * (place + 1) as f64;
    }
    // The basis itself is not needed, only its inverse, by columns, and the right sides of its rows.
    let mut inverse = [[0.0; UNKNOWNS]; UNKNOWNS];
    let mut right = bounds;
    for (place, column) in inverse.iter_mut().enumerate() {
        column[place] = if worth[place] < 0.0 { -1.0 } else { 1.0 };
    }
    for _ in 0..STEPS {
        let mut x = [0.0; UNKNOWNS];
        for (column, right) in inverse.iter().zip(right) {
            for (x, entry) in x.iter_mut().zip(column) {
                *x += entry * right;
            }
        }
        let Some(broken) = most_broken(&x, bounds, rows) else {
            return Some(x);
        };
        let shares = inverse.map(|column| dot(&broken.along, &column));
        let mut leaves: Option<(usize, f64)> = None;
        for (place, (column, share)) in inverse.iter().zip(shares).enumerate() {
            if share > NONE {
                let ratio = dot(&worth, column) / share;
                if leaves.is_none_or(|(_, least)| ratio < least) {
                    leaves = Some((place, ratio));
                }
            }
        }
        let (leaves, _) = leaves?;
        let new = inverse[leaves].map(|entry| entry / shares[leaves]);
        for (column, share) in inverse.iter_mut().zip(shares) {
            for (entry, new) in column.iter_mut().zip(new) {
                *entry -= share * new;
            }
        }
        inverse[leaves] = new;
        right[leaves] = broken.most;
    }
    None
}

/// The row that `x` breaks most, bounds included.
fn most_broken(x: &Vector, bounds: Vector, rows: &[Row]) -> Option<Row> {
    let mut worst: Option<(f64, Row)> = None;
    let mut look = |row: &Row| {
        let over = dot(&row.along, x) - row.most;
        if over > KEPT && worst.as_ref().is_none_or(|(most, _)| over > *most) {
            worst = Some((over, *row));
        }
    };
    rows.iter().for_each(&mut look);
    for place in 0..UNKNOWNS {
        for sign in [1.0, -1.0] {
            let mut along = [0.0; UNKNOWNS];
            along[place] = sign;
            look(&Row {
                along,
                most: bounds[place],
            });
        }
    }
    worst.map(|(_, row)| row)
}

pub(super) fn dot(a: &Vector, b: &Vector) -> f64 {
    a.iter().zip(b).map(|(a, b)| a * b).sum()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn row(along: Vector, most: f64) -> Row {
        Row { along, most }
    }

    #[test]
    fn a_program_with_two_rows_has_its_best_where_they_cross() {
        // x + 2y ≤ 4, 3x + y ≤ 6: the corner is (1.6, 1.2).
        let rows = [
            row([1.0, 2.0, 0.0, 0.0, 0.0, 0.0], 4.0),
            row([3.0, 1.0, 0.0, 0.0, 0.0, 0.0], 6.0),
        ];
        let x = best([1.0, 1.0, 0.0, 0.0, 0.0, 0.0], [10.0; 6], &rows).unwrap();
        assert!(
            (x[0] - 1.6).abs() < 1e-9 && (x[1] - 1.2).abs() < 1e-9,
            "{x:?}"
        );
    }

    #[test]
    fn without_rows_the_bounds_decide_and_rows_may_exclude_each_other() {
        let worth = [1.0, -1.0, 1.0, -1.0, 1.0, -1.0];
        let x = best(worth, [2.0; 6], &[]).unwrap();
        assert_eq!(x, [2.0, -2.0, 2.0, -2.0, 2.0, -2.0]);
        let rows = [
            row([1.0, 0.0, 0.0, 0.0, 0.0, 0.0], -1.0),
            row([-1.0, 0.0, 0.0, 0.0, 0.0, 0.0], -1.0),
        ];
        assert_eq!(best(worth, [2.0; 6], &rows), None);
    }
}
