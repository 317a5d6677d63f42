//! Writers: what reaches the shop.

pub mod picture;
