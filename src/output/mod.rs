//! Writers: what reaches the shop.

pub mod bed_packing;
pub mod drawing;
pub mod picture;
pub mod threemf;
