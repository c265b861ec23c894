//! (room: book)
