//! The jack screw: it lies in the slide, goes through a nut let into the bracket's end away from the
//! spindle, and presses on the shank of the screw in that slot. Turned in, it pushes the bracket away from
//! the spindle; as it stands, the belt cannot pull it back.
//!
//! It reacts on a screw that is there anyway, is turned from the side away from belt and spindle, and lies
//! wholly within the sheet it goes through: nothing of it stands in the way of belt, washers or key.

use crate::catalog::fasteners::{self, HexNut, SocketHead};
use crate::error::{Error, Result, hundredth, within};
use crate::solid::{Loop, Point2};
use crate::workshop::Workshop;

/// Play of the nut in its slit, mm over both sides (common practice).
pub const NUT_PLAY: f64 = 0.2;
/// Least plastic between the nut and the bracket's end, mm (common practice).
pub const WALL: f64 = 5.0;
/// Plastic over and under the nut's corners, mm together.
const COVER: f64 = 0.4;
/// Greatest corner left between the slot's flat end and the jack's bore, mm.
const FLAT: f64 = 0.1;

/// A jack screw before its bracket is laid out.
#[derive(Clone, Debug, PartialEq)]
pub struct JackScrew {
    /// Thread size.
    pub size: String,
    /// Thread diameter, mm.
    pub diameter: f64,
    /// Bore for it, mm.
    pub bore: f64,
    /// The printer's allowance in bore and slit, mm.
    pub allowance: f64,
    /// Its nut.
    pub nut: HexNut,
    /// Its head.
    pub head: SocketHead,
}

impl JackScrew {
    /// The screw of a size, for a bracket held in slots of such a width.
    pub fn new(size: &str, slot_width: f64, workshop: &Workshop) -> Result<JackScrew> {
        let thread = fasteners::thread(size)?;
        within("--jack", thread.diameter, 3.0, 6.0, "mm")?;
        let bore = fasteners::clearance_hole(size)?.medium + workshop.printer.hole_allowance;
        if bore + 2.0 * FLAT > slot_width {
            return Err(Error::geometry(
                format!(
                    "--jack {} is bored {} mm, which is no narrower than the slot of {} mm that it presses through.",
                    thread.size,
                    hundredth(bore),
                    hundredth(slot_width)
                ),
                "Give a smaller --jack, or a larger --screw.",
            ));
        }
        Ok(JackScrew {
            diameter: thread.diameter,
            size: thread.size,
            bore,
            allowance: workshop.printer.hole_allowance,
            nut: fasteners::hex_nut(size)?,
            head: fasteners::socket_head(size)?,
        })
    }

    /// The screw that is asked for, where one is, in a sheet that an option settles. Fails where that hides no nut.
    pub fn asked(
        size: Option<&str>,
        slot_width: f64,
        sheet: f64,
        workshop: &Workshop,
    ) -> Result<Option<JackScrew>> {
        let Some(size) = size else { return Ok(None) };
        let jack = JackScrew::new(size, slot_width, workshop)?;
        within(
            "the sheet that --jack goes through (--base-thickness of a foot, --upright-thickness of a plate)",
            sheet,
            jack.sheet(),
            40.0,
            "mm",
        )?;
        Ok(Some(jack))
    }

    /// Length of the slit for the nut along the slide, and its width, mm. The nut stands on edge in it, two
    /// flats along the slit's sides, so that it cannot turn.
    pub fn slit(&self) -> (f64, f64) {
        (self.nut.height + NUT_PLAY + self.allowance, self.nut.across_flats + NUT_PLAY + self.allowance)
    }

    /// Thickness of the sheet that hides the nut's corners, mm.
    pub fn sheet(&self) -> f64 {
        self.nut.across_corners() + COVER
    }

    /// The same for a size that a request names; nothing where it names none.
    pub fn sheet_for(size: Option<&str>) -> Result<f64> {
        size.map_or(Ok(0.0), |size| Ok(fasteners::hex_nut(size)?.across_corners() + COVER))
    }
}

/// A jack screw in its bracket, mm.
#[derive(Clone, Debug, PartialEq)]
pub struct Jack {
    /// The screw.
    pub screw: JackScrew,
    /// Away from the spindle: +1 or −1 along x.
    pub away: f64,
    /// Middle of the nut's slit: x and y on a foot's base, x and z on a plate.
    pub slit: Point2,
    /// The bracket's end, measured from the encoder's axis.
    pub end: f64,
}

impl Jack {
    /// The jack of a plate, whose nut stands beyond such a distance from the encoder's axis.
    pub fn beyond(screw: JackScrew, away: f64, beyond: f64) -> Jack {
        let slit = screw.slit().0;
        Jack { away, slit: Point2::new(away * (beyond + slit / 2.0), 0.0), end: beyond + slit + WALL, screw }
    }

    /// The outline of the nut's slit.
    pub fn slit_outline(&self) -> Result<Loop> {
        let (along, across) = self.screw.slit();
        Loop::rectangle(self.slit, along, across)
    }

    /// Plastic between the nut and the bracket's end, mm.
    pub fn wall(&self) -> f64 {
        self.end - self.away * self.slit.x - self.screw.slit().0 / 2.0
    }

    /// The slot it presses through: round at the spindle's end, flat at the other, where the bore ends.
    pub fn slot_outline(&self, a: Point2, b: Point2, width: f64) -> Result<Loop> {
        let half = width / 2.0;
        let corner = half - self.screw.bore / 2.0 - FLAT;
        let corners = [
            (a.x - half, a.y - half),
            (b.x + half, a.y - half),
            (b.x + half, a.y + half),
            (a.x - half, a.y + half),
        ]
        .map(|(x, y)| Point2::new(x, y));
        let radii = match self.away > 0.0 {
            true => [half, corner, corner, half],
            false => [corner, half, half, corner],
        };
        Loop::filleted(&corners, &radii)
    }

    /// Whether it presses through a slot between these ends.
    pub fn is_in(&self, a: Point2, b: Point2) -> bool {
        (a.x + b.x) * self.away > 0.0
    }

    /// Where its screw of the bracket stands among `screws`.
    pub fn stop(&self, screws: &[Point2]) -> usize {
        usize::from(screws.len() > 1 && self.away * screws[1].x > self.away * screws[0].x)
    }
}
