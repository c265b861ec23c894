//! (room: sheet)
