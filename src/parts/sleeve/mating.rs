//! The bodies a sleeve works with, in its own coordinates as it prints: bearing and shaft, and the set-up
//! the force goes round through: turned ring, housing, rod, nuts, washers, plate.

use super::Settled;
use super::puller::Puller;
use super::rod::Screw;
use super::shape::{End, Shape};
use super::spec::{Drive, Ring, RodHolds, Sleeve};
use crate::catalog::bearings::{Bearing, Tapered};
use crate::design::Mating;
use crate::error::Result;
use crate::solid::{Body, Vector3};

/// Length of shaft shown behind the bearing, in bearing widths.
const SHAFT_BEHIND: f64 = 0.8;
/// Wall of the housing shown, mm.
const HOUSING_WALL: f64 = 10.0;
/// Thickness of a plate and of a press's bed as shown, mm.
const PLATE: f64 = 6.0;
const BED: f64 = 12.0;

/// Every body: the ring that is tight is pressed on, all else is kept clear of or only shown.
pub fn mating(spec: &Sleeve, settled: &Settled) -> Result<Vec<Mating>> {
    let (bearing, sizing) = (&settled.bearing, &settled.sizing);
    let scene = Scene {
        spec,
        settled,
        shape: &sizing.shape,
        steel: sizing.steel.as_ref().map_or(0.0, |ring| ring.thickness),
    };
    let mut bodies = match &bearing.tapered {
        Some(tapered) => scene.cone_and_cup(bearing, tapered)?,
        None => scene.rings(bearing)?,
    };
    bodies.extend(scene.shaft()?);
    bodies.extend(scene.turned_ring()?);
    bodies.extend(scene.housing()?);
    bodies.extend(scene.drive()?);
    bodies.extend(scene.held()?);
    Ok(bodies)
}

struct Scene<'a> {
    spec: &'a Sleeve,
    settled: &'a Settled,
    shape: &'a Shape,
    /// Thickness of the turned ring between bearing and print.
    steel: f64,
}

impl Scene<'_> {
    /// Height on the bed of a height over the bearing's pressed face.
    fn height(&self, over_face: f64) -> f64 {
        self.shape.on_bed(over_face - self.steel)
    }

    fn tube(&self, inner: f64, outer: f64, from: f64, to: f64) -> Result<Body> {
        self.turned(&[(inner, from), (outer, from), (outer, to), (inner, to)])
    }

    /// A ring by its corners: diameter and height over the bearing's pressed face.
    fn turned(&self, corners: &[(f64, f64)]) -> Result<Body> {
        let at = |&(diameter, over): &(f64, f64)| (diameter, self.height(over));
        Body::turned(&corners.iter().map(at).collect::<Vec<_>>())
    }

    /// A ring that is pressed, or kept clear of. Behind a turned ring the print touches neither.
    fn ring(&self, name: &str, body: Body, is_pressed: bool) -> Mating {
        match is_pressed && self.steel == 0.0 {
            true => Mating::touching(name, body),
            false => Mating::clear(name, body),
        }
    }

    /// Two straight rings, and between them shield or balls, a little behind the faces; a pair as one behind
    /// the other.
    fn rings(&self, bearing: &Bearing) -> Result<Vec<Mating>> {
        let mut bodies = Vec::new();
        for at in 0..bearing.count() {
            let (face, width) = (-bearing.width * f64::from(at), bearing.width);
            let behind = 0.06 * width;
            let (inner, outer) = (bearing.inner_shoulder, bearing.outer_shoulder);
            let ring = self.spec.ring;
            let inner_ring = self.tube(bearing.bore, inner, face - width, face)?;
            let outer_ring = self.tube(outer, bearing.outside, face - width, face)?;
            let shield = self.tube(inner, outer, face - width + behind, face - behind)?;
            bodies.extend(match at {
                0 => [
                    self.ring("inner ring", inner_ring, ring.presses_inner()),
                    self.ring("outer ring", outer_ring, ring.presses_outer()),
                    Mating::clear("shield", shield),
                ],
                _ => [
                    Mating::beside("second inner ring", inner_ring),
                    Mating::beside("second outer ring", outer_ring),
                    Mating::beside("second shield", shield),
                ],
            });
        }
        Ok(bodies)
    }

    /// The ring of a tapered roller bearing that is pressed, its thin front face at the nose: the thick
    /// back face goes against the shoulder. How steep the raceway is is drawn by eye: nothing is pressed
    /// there.
    fn cone_and_cup(&self, bearing: &Bearing, tapered: &Tapered) -> Result<Vec<Mating>> {
        let (front_of_cone, rib) = (bearing.inner_shoulder, tapered.cone_back_shoulder);
        let (cone, cup) = (tapered.cone_width, tapered.cup_width);
        if self.spec.ring == Ring::Outer {
            let (front, outside) = (bearing.outer_shoulder, bearing.outside);
            let back = front - 0.5 * (outside - front);
            let body = self.turned(&[(front, 0.0), (outside, 0.0), (outside, -cup), (back, -cup)])?;
            return Ok(vec![self.ring("cup", body, true)]);
        }
        let rib = rib.unwrap_or(front_of_cone);
        let body =
            self.turned(&[(bearing.bore, 0.0), (front_of_cone, 0.0), (rib, -cone), (bearing.bore, -cone)])?;
        Ok(vec![self.ring("cone", body, true)])
    }

    /// How far behind the bearing's face everything is cut off in the picture.
    fn behind(&self) -> f64 {
        self.settled.bearing.stack_width() + SHAFT_BEHIND * self.settled.bearing.width
    }

    /// The shaft from behind the bearing to its end, step by step; hollow where a rod passes it.
    fn shaft(&self) -> Result<Option<Mating>> {
        let sizing = &self.settled.sizing;
        if sizing.steps.is_empty() && self.spec.ring == Ring::Outer && sizing.way.is_some() {
            return Ok(None);
        }
        let holds = sizing.way.as_ref().map(|way| way.holds);
        let passed = matches!(holds, Some(RodHolds::Spindle | RodHolds::Housing));
        let bore = self.spec.shaft_bore.filter(|_| passed).map_or(0.0, |bore| bore.mm());
        // Behind the jaws of a puller the shaft goes on.
        let mut height = match self.spec.drive {
            Drive::Puller => -self.behind() - self.settled.bearing.width,
            _ => -self.behind(),
        };
        let mut profile = vec![(bore, height)];
        if sizing.steps.is_empty() {
            profile.extend([(self.settled.bearing.bore, height), (self.settled.bearing.bore, 0.0)]);
            height = 0.0;
        }
        for (at, step) in sizing.steps.iter().enumerate() {
            profile.push((step.diameter.max(bore + 0.2), height));
            height = if at == 0 { step.length } else { height + step.length };
            profile.push((step.diameter.max(bore + 0.2), height));
        }
        profile.push((bore, height));
        Ok(Some(Mating::clear("shaft", self.turned(&profile)?).left_whole()))
    }

    fn turned_ring(&self) -> Result<Option<Mating>> {
        let Some(ring) = &self.settled.sizing.steel else {
            return Ok(None);
        };
        let body = Body::revolve(&ring.profile(|over| self.height(over)))?;
        Ok(Some(Mating::touching("turned steel ring", body)))
    }

    /// The housing round an outer ring: what the force goes back through.
    fn housing(&self) -> Result<Option<Mating>> {
        if self.spec.ring == Ring::Inner {
            return Ok(None);
        }
        let bearing = &self.settled.bearing;
        let (inside, outside) = (bearing.outside, self.housing_outside());
        let face = self.settled.sizing.reach;
        let back = -bearing.stack_width();
        let opening = (bearing.outer_shoulder + bearing.outside) / 2.0;
        let body = self.turned(&[
            (opening, -self.behind()),
            (outside, -self.behind()),
            (outside, face),
            (inside, face),
            (inside, back),
            (opening, back),
        ])?;
        Ok(Some(Mating::clear("housing", body)))
    }

    /// Washer, nut and rod at the drive end, and what holds the rod's far end.
    fn drive(&self) -> Result<Vec<Mating>> {
        let sizing = &self.settled.sizing;
        let end = self.shape.length() + self.steel;
        let Some(screw) = &sizing.screw else {
            return self.ram(end);
        };
        let washer = |from: f64, to: f64| self.tube(screw.washer.inner, screw.washer.outer, from, to);
        if let End::Puller { recess_depth, .. } = self.shape.end {
            let seat = end - recess_depth;
            let top = seat + screw.washer.thickness;
            let head = top + screw.head.head_height;
            let thread = screw.diameter;
            let across = screw.nut.across_corners();
            let under = top - screw.head.shortest;
            // Its head, and in it the mark that the point finds.
            let screw = self.turned(&[
                (0.0, under),
                (screw.diameter, under),
                (screw.diameter, top),
                (across, top),
                (across, head),
                (0.3 * screw.diameter, head),
                (0.0, head - 0.2 * screw.diameter),
            ])?;
            let mut bodies = vec![
                Mating::touching("washer", washer(seat, top)?),
                Mating::beside("screw under the puller's point", screw).left_whole(),
            ];
            bodies.extend(self.puller(head - 0.2 * thread)?);
            return Ok(bodies);
        }
        let Some(way) = &sizing.way else {
            return Ok(vec![]);
        };
        let thick = screw.washer.thickness;
        let mut bodies = vec![
            Mating::touching("washer", washer(end, end + thick)?),
            Mating::beside("nut", self.nut(screw, end + thick)?).left_whole(),
        ];
        let top = end + thick + screw.nut.height + 3.0 * screw.pitch;
        let foot = if way.holds == RodHolds::ShaftEnd {
            sizing.shaft_reach
        } else {
            let plate = self.settled.pressing.far_plate.map_or(5.0, |plate| plate.thickness);
            let size = self.settled.pressing.far_plate.map_or(screw.washer.outer, |plate| plate.size);
            let face = -self.behind();
            bodies.push(Mating::beside(
                "far plate",
                self.tube(screw.clearance_hole, size, face - plate, face)?,
            ));
            bodies.push(Mating::beside("far washer", washer(face - plate - thick, face - plate)?));
            let nut = face - plate - thick - screw.nut.height;
            bodies.push(Mating::beside("far nut", self.nut(screw, nut)?).left_whole());
            nut - 3.0 * screw.pitch
        };
        let rod = self.tube(0.0, screw.diameter, foot, top)?;
        bodies.push(Mating::beside("threaded rod", rod).left_whole());
        Ok(bodies)
    }

    /// The plate over the drive end, and the ram that pushes on it.
    fn ram(&self, end: f64) -> Result<Vec<Mating>> {
        let pressing = &self.settled.pressing;
        let Some(plate) = pressing.drive_plate else { return Ok(vec![]) };
        let ram = pressing.ram.map_or(plate.size, |(ram, _)| ram);
        let (top, up) = (end + plate.thickness, self.settled.bearing.outside / 2.0);
        Ok(vec![
            Mating::touching("steel plate", self.tube(0.0, plate.size, end, top)?),
            Mating::beside("ram of the press", self.tube(0.0, ram, top, top + up)?).left_whole(),
        ])
    }

    /// What the far side rests on or is held by, where no rod holds it: the bed of the press, or what the
    /// puller's jaws hook behind.
    fn held(&self) -> Result<Vec<Mating>> {
        let far = -self.behind();
        let (bearing, outside) = (&self.settled.bearing, self.housing_outside());
        let back = -bearing.stack_width();
        let mut bodies = Vec::new();
        match (self.spec.drive, self.spec.ring) {
            (Drive::Rod, _) => {}
            (Drive::Puller, Ring::Inner) => {
                let collar = bearing.inner_shoulder;
                bodies.push(Mating::beside(
                    "shoulder of the shaft",
                    self.tube(bearing.bore, collar, far, back)?,
                ));
            }
            (Drive::Puller, Ring::Outer) => {}
            (Drive::Puller, Ring::Both) => {
                bodies.push(Mating::beside(
                    "steel plate under both",
                    self.tube(0.0, outside, far - PLATE, far)?,
                ));
            }
            (Drive::Flat, ring) => {
                let inner = if ring == Ring::Outer { bearing.outer_shoulder } else { 0.0 };
                bodies.push(Mating::beside("bed of the press", self.tube(inner, outside, far - BED, far)?));
            }
        }
        Ok(bodies)
    }

    /// The puller that presses on the point at a height over the bearing's face.
    fn puller(&self, point: f64) -> Result<Vec<Mating>> {
        let bearing = &self.settled.bearing;
        let far = -self.behind();
        let (hook, reach_in, round) = match self.spec.ring {
            Ring::Inner => (far, bearing.bore + 1.0, bearing.outside),
            Ring::Outer => {
                (far, (bearing.outer_shoulder + bearing.outside) / 2.0 + 2.0, self.housing_outside())
            }
            Ring::Both => (far - PLATE, bearing.outside, self.housing_outside()),
        };
        let screw = self.settled.sizing.screw.as_ref().map_or(10.0, |screw| screw.diameter);
        let (heights, across) = ((self.height(hook), self.height(point)), Vector3::new(1.0, -1.0, 0.0));
        Puller { heights, claws: (reach_in, round), screw, across }.bodies()
    }

    fn housing_outside(&self) -> f64 {
        self.settled.bearing.outside + 2.0 * HOUSING_WALL
    }

    /// A nut as the ring its corners turn in.
    fn nut(&self, screw: &Screw, from: f64) -> Result<Body> {
        self.tube(screw.diameter, screw.nut.across_corners(), from, from + screw.nut.height)
    }
}
