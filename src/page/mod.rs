//! The bench sheet alive in the browser: its numbers can be changed, the part turned, the checks watched.
//!
//! * [`server`]: loopback only; which request is answered by whom;
//! * [`guard`]: whose requests are answered at all;
//! * [`answer`]: one part's answers in, its report and mesh out, by the same calls as the command line's;
//! * `shown`: where sizes run and which surfaces a piece has, for the view to light and to measure between;
//! * [`desk`]: the job file that lies open: its text, what was done to it, what is on disk;
//! * [`edit`]: a change of the job file's text that keeps its comments;
//! * [`start`]: from readings to a part's first answers;
//! * [`choices`]: the tables a field can be filled from.
//!
//! The page itself is plain HTML, CSS and JavaScript beside these files and inside the program. But for the
//! ways in from readings it knows no kind of part: its fields come from the schema of job files, what it shows from the report. The job file
//! is the one thing written here; parts are written by the same call as `fixwright make`.

pub mod answer;
pub mod choices;
pub mod desk;
pub mod edit;
pub mod guard;
pub mod server;
mod shown;
pub mod start;

pub use desk::Desk;
pub use server::{Make, Server};
