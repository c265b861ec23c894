//! The exact search for the milliseconds at which a value that hangs on time changes.
//!
//! It halves stretches of time until it can be shown that nothing changes within one, or the stretch is 1 ms. So it finds
//! all changes, also two that are a few milliseconds apart, and asks for the value at few instants. That a stretch is
//! settled is for the caller to show, from the two ends and from what he knows of the curve between them.

/// The value at 0, and every millisecond above 0 and below `day` at which the value differs from the millisecond before,
/// with the new value.
///
/// `sample` says how things stand at a millisecond, `value` what that comes to, and `settled` is true only where the value
/// is the same at every millisecond from the first sample to the second. `settled` is only asked for stretches without a
/// cut inside; cuts may come unordered and may lie outside the day.
pub(super) fn changes<S, V: PartialEq>(
    day: u64,
    mut cuts: Vec<u64>,
    sample: impl Fn(u64) -> S,
    value: impl Fn(&S) -> V,
    settled: impl Fn(&S, &S) -> bool,
) -> (V, Vec<(u64, V)>) {
    let last = day.saturating_sub(1);
    cuts.retain(|&cut| 0 < cut && cut < last);
    cuts.push(last);
    cuts.sort_unstable();
    cuts.dedup();

    let mut here = (0, sample(0));
    let first = value(&here.1);
    let mut found = Vec::new();
    // Ends of the stretches still to do, the nearest on top.
    let mut ends: Vec<(u64, S)> = Vec::new();
    for cut in cuts {
        ends.push((cut, sample(cut)));
        while let Some(end) = ends.last() {
            let span = end.0 - here.0;
            if span > 1 && !settled(&here.1, &end.1) {
                let middle = here.0 + span / 2;
                ends.push((middle, sample(middle)));
                continue;
            }
            let new = value(&end.1);
            if new != value(&here.1) {
                found.push((end.0, new));
            }
            if let Some(end) = ends.pop() {
                here = end;
            }
        }
    }
    (first, found)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A staircase that never falls is settled where its ends agree.
    fn stairs(day: u64, steps: &[u64]) -> Vec<(u64, usize)> {
        let height = |t: u64| steps.iter().filter(|&&s| s <= t).count();
        changes(
            day,
            vec![700, 3, 3, 9_999_999],
            height,
            |h| *h,
            |a, b| a == b,
        )
        .1
    }

    #[test]
    fn every_step_is_found_at_its_millisecond() {
        assert_eq!(stairs(1000, &[]), vec![]);
        assert_eq!(
            stairs(1000, &[1, 2, 3, 500, 999]),
            vec![(1, 1), (2, 2), (3, 3), (500, 4), (999, 5)]
        );
        assert_eq!(stairs(1000, &[701, 701]), vec![(701, 2)]);
        assert_eq!(stairs(1000, &[1000]), vec![]);
    }

    #[test]
    fn the_shortest_days_have_a_value_and_no_change() {
        assert_eq!(stairs(0, &[]), vec![]);
        assert_eq!(stairs(1, &[1]), vec![]);
        assert_eq!(stairs(2, &[1]), vec![(1, 1)]);
    }

    #[test]
    fn a_pulse_of_one_millisecond_is_found_where_nothing_can_be_shown() {
        let (first, found) = changes(100, vec![], |t| t, |&t| t == 41, |_, _| false);
        assert_eq!((first, found), (false, vec![(41, true), (42, false)]));
    }

    #[test]
    fn a_settled_day_asks_for_two_instants_only() {
        let asked = std::cell::Cell::new(0);
        let sample = |_| asked.set(asked.get() + 1);
        assert_eq!(
            changes(86_400_000, vec![], sample, |_| 7, |_, _| true),
            (7, vec![])
        );
        assert_eq!(asked.get(), 2);
    }
}
