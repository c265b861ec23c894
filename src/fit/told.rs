//! What a world says to a reading: what it gives for it, what the reading allows, and how far the one is beyond the other.

/// What a world says to a reading; nothing is known of the first two where the readings do not settle the value.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub(super) struct Told {
    /// What the world gives.
    pub(super) gives: Option<f64>,
    /// The least and the most that the reading allows, in the same unit.
    pub(super) allows: Option<(f64, f64)>,
    /// How much more the reading says than the world gives, beyond what it is right to.
    pub(super) residual: f64,
}
