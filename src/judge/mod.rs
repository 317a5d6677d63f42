//! Independent judges: libraries that know nothing of our kernel look at what is about to be written.
//!
//! - [`mod@read_back`]: each STEP file is read by `truck-stepio` and meshed by `truck-meshalgo`. It must be
//!   closed and of the solid's volume. What the judge cannot see: whether a face is a true cylinder or a
//!   spline, names and units beyond millimetres, and anything smaller than its own chord tolerance. Where
//!   the judge cannot mesh a face (a round wall with a window in it) the file counts as not judged.
//! - [`mod@contact`]: the meshes of the printed pieces are laid against the meshes of the bodies they work
//!   with, and `truck-meshalgo` says which triangles cut each other: the part touches what it should and
//!   nothing else. What it cannot see: a gap or an overlap under [`contact::REACH`], and whatever the
//!   bodies themselves leave out (a seal's lip, a housing nobody measured).

pub mod contact;
pub mod read_back;
