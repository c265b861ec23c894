//! (room: limits)
