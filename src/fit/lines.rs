//! Values that hang on their readings along a straight line: the length of the day, and a battery's capacity and
//! efficiency.
//!
//! Each reading says in which stretch the value lies. What is answered is the least-squares line through the origin,
//! brought within the stretch that all leave.

/// What one reading says of the value: `gone = value · per`, and the stretch that its last places leave.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Point {
    /// The number of the reading.
    pub(super) reading: usize,
    pub(super) gone: f64,
    /// 0 for a reading that only bounds the value.
    pub(super) per: f64,
    pub(super) least: f64,
    pub(super) most: f64,
}

/// What the readings come to.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Line {
    /// By least squares, within the range; none where readings only bound the value.
    pub(super) value: Option<f64>,
    pub(super) range: (f64, f64),
    /// The readings that, left out, let the rest agree: any one of them, or all of them together.
    pub(super) contradicts: Vec<usize>,
}

/// Fits the points; none where there is no point.
pub(super) fn line(points: &[Point]) -> Option<Line> {
    if points.is_empty() {
        return None;
    }
    let (mut contradicts, mut range) = (Vec::new(), shared(points));
    if range.0 > range.1 {
        let without = |out: &Point| -> Vec<Point> {
            let kept = points.iter().filter(|p| p.reading != out.reading);
            kept.copied().collect()
        };
        let one = points.iter().filter_map(|out| {
            let (least, most) = shared(&without(out));
            (least <= most).then_some((out.reading, least, most))
        });
        let one: Vec<(usize, f64, f64)> = one.collect();
        if one.is_empty() {
            (contradicts, range) = most_agreed(points);
        } else {
            range = hull(one.iter().map(|(_, least, most)| (*least, *most)));
            contradicts = one.iter().map(|(reading, ..)| *reading).collect();
        }
    }
    contradicts.sort_unstable();
    contradicts.dedup();
    let kept = points.iter().filter(|p| !contradicts.contains(&p.reading));
    let value = squares(kept).or_else(|| squares(points.iter()));
    Some(Line {
        value: value.map(|value| value.max(range.0).min(range.1)),
        range,
        contradicts,
    })
}

/// The stretch that all points leave; its ends are the wrong way about where there is none.
fn shared(points: &[Point]) -> (f64, f64) {
    points.iter().fold((0.0, f64::INFINITY), |(low, high), p| {
        (p.least.max(low), p.most.min(high))
    })
}

fn hull(ranges: impl Iterator<Item = (f64, f64)>) -> (f64, f64) {
    ranges.fold((f64::INFINITY, 0.0), |(low, high), (least, most)| {
        (least.min(low), most.max(high))
    })
}

/// Where most points agree: the readings that do not, and the stretch. Where no more than half agree nothing is said
/// against any, and the range is all that any of them leaves.
fn most_agreed(points: &[Point]) -> (Vec<usize>, (f64, f64)) {
    let agree = |at: f64| points.iter().filter(move |p| p.least <= at && at <= p.most);
    let mut best: (usize, f64) = (0, 0.0);
    for point in points {
        let count = agree(point.least).count();
        if count > best.0 {
            best = (count, point.least);
        }
    }
    if best.0 * 2 <= points.len() {
        return (Vec::new(), hull(points.iter().map(|p| (p.least, p.most))));
    }
    let out = points
        .iter()
        .filter(|p| best.1 < p.least || p.most < best.1);
    let kept: Vec<Point> = agree(best.1).copied().collect();
    (out.map(|p| p.reading).collect(), shared(&kept))
}

/// The least-squares line through the origin.
fn squares<'p>(points: impl Iterator<Item = &'p Point>) -> Option<f64> {
    let (above, below) = points.fold((0.0, 0.0), |(above, below), p| {
        (above + p.gone * p.per, below + p.per * p.per)
    });
    (below > 0.0).then(|| above / below)
}

/// A residual: how far `read` is outside `gives ± right_to`.
pub(super) fn beyond(read: f64, gives: f64, right_to: f64) -> f64 {
    let off = read - gives;
    if off > right_to + 1e-9 {
        off - right_to
    } else if off < -right_to - 1e-9 {
        off + right_to
    } else {
        0.0
    }
}

/// Whether a range settles its value: the most is less than twice the least.
pub(super) fn settles((least, most): (f64, f64)) -> bool {
    most < 2.0 * least
}

#[cfg(test)]
mod tests {
    use super::*;

    fn point(reading: usize, value: f64, give: f64) -> Point {
        Point {
            reading,
            gone: value,
            per: 1.0,
            least: value - give,
            most: value + give,
        }
    }

    #[test]
    fn points_that_agree_leave_the_stretch_they_share() {
        let found = line(&[point(0, 10.0, 1.0), point(4, 11.0, 1.0)]).unwrap();
        assert_eq!(found.value, Some(10.5));
        assert_eq!(found.range, (10.0, 11.0));
        assert!(found.contradicts.is_empty());
        assert_eq!(line(&[]), None);
    }

    #[test]
    fn one_that_does_not_agree_is_left_out() {
        let points = [
            point(0, 10.0, 1.0),
            point(1, 10.5, 1.0),
            point(2, 30.0, 1.0),
        ];
        let found = line(&points).unwrap();
        assert_eq!(found.contradicts, [2]);
        assert_eq!(found.value, Some(10.25));
    }

    #[test]
    fn of_two_that_do_not_agree_either_may_be_wrong() {
        let found = line(&[point(3, 10.0, 1.0), point(5, 20.0, 1.0)]).unwrap();
        assert_eq!(found.contradicts, [3, 5]);
        assert_eq!(found.range, (9.0, 21.0));
    }

    #[test]
    fn where_several_are_wrong_most_are_believed() {
        let at = |reading, value| point(reading, value, 1.0);
        let points = [
            at(0, 10.0),
            at(1, 30.0),
            at(2, 10.4),
            at(3, 50.0),
            at(4, 9.8),
        ];
        let found = line(&points).unwrap();
        assert_eq!(found.contradicts, [1, 3]);
        assert_eq!(found.range, (9.4, 10.8));
        let points = [at(0, 10.0), at(1, 30.0), at(2, 50.0), at(3, 70.0)];
        let found = line(&points).unwrap();
        assert!(found.contradicts.is_empty());
        assert_eq!(found.range, (9.0, 71.0));
    }
}
