//! (room: plan)
