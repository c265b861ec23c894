//! (room: read)
