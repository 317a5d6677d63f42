//! What is asked of a packing, and what comes of it: discs with their posts in a room, the distances they keep, and
//! what a search may spend.

use super::room::Room;
use crate::solid::Point2;

/// A tie post: it stands at a fixed distance from its own opening, in whichever direction has room.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Post {
    /// Radius of the circle round its footprint, mm.
    pub radius: f64,
    /// From the opening's centre to the post's, mm.
    pub reach: f64,
    /// How far it must be off the parting line that its own opening lies on, mm: beside it a post stands
    /// nearly square to the line, and then takes up less than the circle round it.
    pub own_line: f64,
}

/// One opening that must find its place.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Disc {
    /// Its radius, mm.
    pub radius: f64,
    /// Whether its centre must lie on a parting line.
    pub parted: bool,
    /// The post that goes with it.
    pub post: Option<Post>,
    /// Whether it must lie along the wall, so that its cable has a free way to the margin.
    pub outer: bool,
    /// Openings of a higher rank lie further along x; equal ranks do not care.
    pub rank: u8,
}

/// Least distances that openings, posts and parting lines keep.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Distances {
    /// Least distance from an opening's edge to the room's wall, mm.
    pub rim: f64,
    /// Least distance from a parting line to the edge of an opening or post that is not on it, mm.
    pub line_gap: f64,
    /// Least distance between two parting lines, mm.
    pub line_pitch: f64,
    /// Least distance from a parting line to the room's top and bottom, mm.
    pub end_height: f64,
    /// Where there are two parting lines: how far each keeps off the room's middle, mm.
    pub off_middle: f64,
    /// Least distance from a post to an opening that is not its own, mm.
    pub post_gap: f64,
    /// Least distance from a post to another, mm.
    pub post_apart: f64,
    /// Least distance from a post's edge to the room's wall, mm.
    pub post_rim: f64,
}

/// The whole question.
#[derive(Clone, Debug, PartialEq)]
pub struct Question {
    /// Where openings and posts may be.
    pub room: Room,
    /// The openings.
    pub discs: Vec<Disc>,
    /// `gaps[i][j]`: least distance between the edges of openings i and j, mm.
    pub gaps: Vec<Vec<f64>>,
    /// Least distances that go with the room.
    pub least: Distances,
    /// Number of parting lines, all parallel to x.
    pub lines: usize,
    /// What stands in the room already: centre and the radius that openings and posts keep out of.
    pub fixed: Vec<(Point2, f64)>,
    /// Webs and rims grow by no more than this beyond what is asked, mm.
    pub spread: f64,
}

impl Question {
    /// Discs of those radii in a room, free of all rules but that none overlaps.
    pub fn plain(room: Room, radii: impl IntoIterator<Item = f64>) -> Self {
        let discs: Vec<Disc> = radii
            .into_iter()
            .map(|radius| Disc { radius, parted: false, post: None, outer: false, rank: 0 })
            .collect();
        Self {
            room,
            gaps: vec![vec![0.0; discs.len()]; discs.len()],
            discs,
            least: Distances::default(),
            lines: 0,
            fixed: vec![],
            spread: 0.0,
        }
    }
}

/// An answer: where everything goes.
#[derive(Clone, Debug, PartialEq)]
pub struct Layout {
    /// Centres of the openings, in the question's order.
    pub centres: Vec<Point2>,
    /// Centres of the posts, where an opening has one.
    pub posts: Vec<Option<Point2>>,
    /// Heights (y) of the parting lines, upwards.
    pub lines: Vec<f64>,
    /// The line each opening lies on.
    pub on_line: Vec<Option<usize>>,
    /// What every web and rim has beyond what was asked, mm.
    pub slack: f64,
}

/// What a search may spend: distances looked at, and what else a step downhill costs in the same
/// coin.
#[derive(Clone, Debug, PartialEq)]
pub struct Work(i64);

impl Work {
    /// So much and no more.
    pub fn of(amount: i64) -> Self {
        Self(amount)
    }

    /// No bound but the number of starts.
    pub fn endless() -> Self {
        Self(i64::MAX)
    }

    /// What is left.
    pub fn left(&self) -> i64 {
        self.0.max(0)
    }

    /// Takes that much off.
    pub fn spend(&mut self, amount: i64) {
        self.0 = self.0.saturating_sub(amount);
    }
}
