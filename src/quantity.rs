//! (room: quantity)
