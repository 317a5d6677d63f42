//! strength
