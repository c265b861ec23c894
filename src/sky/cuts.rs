//! Milliseconds between which something goes one way, found from an instant that was worked out in floating point.

/// The whole milliseconds from one before to two after an instant: room for the rounding of the instant itself.
pub(super) fn around(instant: f64, into: &mut Vec<u64>) {
    let floor = instant as u64;
    into.extend([
        floor.saturating_sub(1),
        floor,
        floor.saturating_add(1),
        floor.saturating_add(2),
    ]);
}
