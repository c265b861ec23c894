//! (room: net)
