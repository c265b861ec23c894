//! The ground of a card on the board. Pixels, y downwards.

/// A rectangle: the ground of a card.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Box {
    /// Its left edge.
    pub x: f64,
    /// Its top edge.
    pub y: f64,
    /// Its width.
    pub w: f64,
    /// Its height.
    pub h: f64,
}
