//! The mechanics of a part under load: pure functions of numbers.
//!
//! Millimetres, newtons, megapascals, newton-millimetres (torque), degrees Celsius and kelvin
//! differences, throughout; interference alone is in micrometres and says so in its name. No
//! geometry, no tables: what a tolerance class or a material is comes from `catalog/`.
pub mod ball_bearing;
pub mod belt_drive;
pub mod bundle;
pub mod clamp;
pub mod elements;
pub mod press_fit;
pub mod screws;
pub mod strength;
pub mod thermal;
pub mod toolpath;
