//! Values over a day as elements of SMIL animation (SVG 1.1, chapter 19): discrete ones that keep, and levels as lines.
//!
//! Times are shares of the day, written to ten places, so that of any day that a plan can have the millisecond is kept.

use crate::picture::pen::round;
use crate::quantity::{Energy, Ms};
use crate::sheet::chart::Window;
use crate::sheet::figure::Px;

/// The day that is shown, and how many seconds it takes.
#[derive(Clone, Copy, Debug)]
pub(super) struct Film {
    /// The day.
    pub window: Window,
    /// The seconds.
    pub seconds: u32,
}

impl Film {
    /// A time as a share of the day.
    fn share(self, t: Ms) -> String {
        let long = (self.window.to - self.window.from).max(1) as f64;
        let share = (t - self.window.from) as f64 / long;
        let text = format!("{share:.10}");
        let text = text.trim_end_matches('0').trim_end_matches('.');
        text.strip_prefix('0')
            .filter(|t| !t.is_empty())
            .unwrap_or(text)
            .to_string()
    }

    /// That it begins again at the end.
    fn rounds(self) -> String {
        format!("dur=\"{}s\" repeatCount=\"indefinite\"", self.seconds)
    }

    /// Shows and hides: `shown` says it from each of the times on, the first of which is the day's beginning.
    pub fn seen(self, times: &[Ms], shown: &[bool]) -> String {
        let (mut values, mut at): (Vec<&str>, Vec<String>) = (Vec::new(), Vec::new());
        let mut before = None;
        for (t, is_shown) in times.iter().zip(shown) {
            if before != Some(is_shown) {
                values.push(if *is_shown { "visible" } else { "hidden" });
                at.push(self.share(*t));
            }
            before = Some(is_shown);
        }
        format!(
            "<animate attributeName=\"visibility\" calcMode=\"discrete\" {} values=\"{}\" keyTimes=\"{}\"/>",
            self.rounds(),
            values.join(";"),
            at.join(";")
        )
    }

    /// The width of a gauge, `full` at `capacity`: straight lines from point to point, from end to end of the day.
    pub fn width(self, level: &[(Ms, Energy)], capacity: Energy, full: f64) -> String {
        let wide = |level: Energy| {
            let share = (level as f64 / capacity.max(1) as f64).clamp(0.0, 1.0);
            Px((share * full * 1000.0).round() / 1000.0).to_string()
        };
        let values: Vec<String> = level.iter().map(|(_, level)| wide(*level)).collect();
        let at: Vec<String> = level.iter().map(|(t, _)| self.share(*t)).collect();
        format!(
            "<animate attributeName=\"width\" {} values=\"{}\" keyTimes=\"{}\"/>",
            self.rounds(),
            values.join(";"),
            at.join(";")
        )
    }

    /// A move from one place to another over the day.
    pub fn glide(self, from: f64, to: f64) -> String {
        format!(
            "<animateTransform attributeName=\"transform\" type=\"translate\" {} from=\"{} 0\" to=\"{} 0\"/>",
            self.rounds(),
            Px(from),
            Px(to)
        )
    }

    /// Steps upwards, each so high, `count` of them and again from the first, `times` times a day.
    pub fn drum(self, high: f64, count: usize, times: u32) -> String {
        let places: Vec<String> = (0..count)
            .map(|n| format!("0 {}", Px(-high * n as f64)))
            .collect();
        let lasts = round(f64::from(self.seconds) / f64::from(times.max(1)) * 100.0) / 100.0;
        format!(
            "<animateTransform attributeName=\"transform\" type=\"translate\" calcMode=\"discrete\" dur=\"{lasts}s\" \
             repeatCount=\"indefinite\" values=\"{}\"/>",
            places.join(";")
        )
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const FILM: Film = Film {
        window: Window {
            from: 86_400_000,
            to: 172_800_000,
        },
        seconds: 60,
    };

    #[test]
    fn times_keep_their_millisecond() {
        assert_eq!(FILM.share(86_400_000), "0");
        assert_eq!(FILM.share(86_400_000 + 43_200_000), ".5");
        assert_eq!(FILM.share(172_800_000), "1");
        for t in [1, 12_345, 43_199_999, 86_399_999] {
            let share: f64 = FILM.share(86_400_000 + t).parse().expect("a number");
            assert_eq!((share * 86_400_000.0).round() as Ms, t);
        }
    }

    #[test]
    fn a_value_is_told_where_it_changes() {
        let times = [86_400_000, 108_000_000, 129_600_000];
        let said = FILM.seen(&times, &[true, true, false]);
        assert!(
            said.contains("values=\"visible;hidden\" keyTimes=\"0;.5\""),
            "{said}"
        );
        let level = [(86_400_000, 0), (172_800_000, 50)];
        let said = FILM.width(&level, 100, 90.0);
        assert!(said.contains("values=\"0;45\" keyTimes=\"0;1\""), "{said}");
    }
}
