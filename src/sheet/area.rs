//! Rectangles of drawings. Pixels, y downwards.

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

/// Whether two rectangles, each as left, top, width and height, have something in common.
pub fn meet(a: (f64, f64, f64, f64), b: (f64, f64, f64, f64)) -> bool {
    a.0 < b.0 + b.2 && b.0 < a.0 + a.2 && a.1 < b.1 + b.3 && b.1 < a.1 + a.3
}
