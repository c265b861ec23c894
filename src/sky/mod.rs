//! (room: sky)
