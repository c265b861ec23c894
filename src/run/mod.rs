//! (room: run)
