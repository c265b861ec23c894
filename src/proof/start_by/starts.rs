//! When a load starts on a day of a run, for somebody to pick from.

use crate::plan::Clock;
use crate::quantity::Ms;

/// Of `starts`, in milliseconds since the first midnight and in order, those of the last day that has any, by their places
/// on the dial: each minute once.
pub fn starts_of_day(starts: &[Ms], day_ms: Ms) -> Vec<Clock> {
    let last = starts.iter().max().map_or(0, |t| t / day_ms.max(1));
    let of_day = starts.iter().filter(|t| *t / day_ms.max(1) == last);
    let mut all: Vec<Clock> = of_day.map(|t| Clock::at(*t, day_ms)).collect();
    all.dedup();
    all
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn each_minute_of_the_last_day_that_has_a_start_is_told_once() {
        let hour = 3_600_000;
        let day = 24 * hour;
        let starts = [hour, day + hour, day + hour + 1, day + 2 * hour];
        let said = |starts: &[Ms]| -> Vec<String> {
            let all = starts_of_day(starts, day);
            all.iter().map(Clock::to_string).collect()
        };
        assert_eq!(said(&starts), ["01:00", "02:00"]);
        assert_eq!(said(&starts[..1]), ["01:00"]);
        assert!(said(&[]).is_empty());
    }
}
