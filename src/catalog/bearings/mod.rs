//! Rolling bearings: their sizes, what their stamps mean, and where a press sleeve may touch them.
//!
//! The trade builds a bearing's size out of a plan. ISO 15 gives every *dimension series* (a width
//! series and a diameter series) one outside diameter, one width and one least chamfer for each
//! bore; a *bearing series* such as 62 or NU3 is a kind of bearing run through one dimension series.
//! So do the tables here: `plan.csv` holds the plan, `types.csv` the bearing series, and the other
//! files only what the plan cannot tell (single products, tapered bearings, shoulders, chamfers).
//! Every row names its source, and says so where a value was written down from memory.
//!
//! A sleeve may push on a ring's side face between the corner chamfer and where the face ends: the
//! [`Land`], which differs by face, by what closes the side and by design. The chamfer counts at its
//! largest (ISO 582). Where the face ends stands in no standard; it is the least of what makers print
//! (`lands.csv`), else an estimate under all their rows, else the caliper's; [`Basis`] says which.

mod bearing;
mod by_eye;
mod chamfer;
mod designation;
mod envelope;
mod kind;
mod lands;
mod measured;
mod others;
mod report;
mod seats;
mod tables;

pub use bearing::{Bearing, Pair, Suffix, Tapered, all};
pub use by_eye::{Agreeing, ByEye, agreeing};
pub use designation::read;
pub(super) use designation::read_own;
pub use envelope::{Envelope, EnvelopeRow, by_envelope};
pub use kind::{Closure, Cover, Kind, Known, Side};
pub use lands::{Basis, Face, Land};
pub use measured::{WIDTH, dimensions};
pub use report::{BearingReport, note, seat as seat_lines};
pub use seats::{Clearance, SeatClass, Shoulder, SpringPreload};
