//! Cut-outs, screws and the outline of a panel, and what stands in what's way.

use super::spec::{MOST_PLACES, Panel, Place};
use crate::catalog::buttons;
use crate::catalog::least_strengths;
use crate::catalog::panel_parts::Shape;
use crate::checks::{Finding, Level};
use crate::design::{Extent, Mating, Origin};
use crate::error::{Error, Result, hundredth, number, within};
use crate::mechanics::strength::{REFUSED_LEAST, TRUSTED_LEAST, temperature_factor};
use crate::parts::drilled::Hole;
use crate::parts::plate::spec::Head;
use crate::parts::plate::{Room, Screw, button_hole, contour};
use crate::solid::piece::Piece;
use crate::solid::{Body, Frame, Loop, Point2, Point3, Region, Vector2, Vector3};
use crate::workshop::Workshop;
use std::f64::consts::{FRAC_1_SQRT_2, PI};

/// Thickness unless something clamps less, mm. Common practice: stiff under a thumb over a hand's breadth.
const THICKNESS: f64 = 3.0;
/// Radius of the panel's corners, mm.
const CORNER: f64 = 4.0;
/// Thickest panel that is drawn unasked, and the step it grows by, mm.
const MOST_THICKNESS: f64 = 10.0;
const STEP: f64 = 0.5;
/// Thickness of a flange and of the cabinet's sheet, as a picture shows them, mm.
const FLANGE: f64 = 3.0;
const SHEET: f64 = 1.5;
/// Temperature inside a cabinet, °C: 40 outside and a rise of 10 K. Common practice, no source.
const CABINET_C: f64 = 50.0;

/// Something cut through the panel.
#[derive(Clone, Debug, PartialEq)]
pub struct Cutout {
    /// Its outline.
    pub outline: Loop,
    /// As the report lists it.
    pub hole: Hole,
    /// Its sizes, for one that something is set into: what each is beside the hole's name, and where it runs at the back.
    pub sizes: Vec<(&'static str, Extent)>,
}

/// Where everything is. Lengths in mm.
#[derive(Clone, Debug)]
pub struct Layout {
    places: Vec<Place>,
    /// Everything cut through.
    pub cutouts: Vec<Cutout>,
    /// The panel's outline.
    pub outline: Loop,
    /// Mounting screws.
    pub screws: Vec<Point2>,
    /// What they are.
    pub screw: Option<Screw>,
    /// Thickness and where it came from.
    pub thickness: (f64, Origin),
    /// The hole it closes, at its greatest, and how much narrower and lower it is at its least.
    hole: Option<Room>,
    ragged: f64,
    /// Temperature inside, °C.
    pub celsius: f64,
    /// Least strength within a layer, at that temperature, MPa.
    strength: f64,
}

impl Layout {
    /// Resolves the request.
    ///
    /// Fails when nothing is set in, a value is out of bounds, or two cut-outs run into each other.
    pub fn new(spec: &Panel, workshop: &Workshop) -> Result<Self> {
        if spec.place.is_empty() || spec.place.len() > MOST_PLACES {
            return Err(Error::request(
                format!("--place was given {} times; a panel takes 1 to {MOST_PLACES}.", spec.place.len()),
                "Say what goes where: --place button-22@0,0 --place estop@60,0.",
            ));
        }
        let screw = match spec.screw.as_deref() {
            Some("none") => None,
            size => Some(Screw::of(size.unwrap_or("M4"), Head::Button, workshop)?),
        };
        let celsius = within(
            "--cabinet-temperature",
            spec.cabinet_temperature.unwrap_or(CABINET_C),
            -25.0,
            120.0,
            "°C",
        )?;
        spec.hole.map_or(Ok(()), |hole| hole.refuse_small())?;
        let hole = spec.hole.map(|hole| hole.greatest()).map(|hole| Room {
            half_width: hole.width / 2.0,
            half_height: hole.height / 2.0,
            corner: hole.corner,
        });
        let beside = screw.as_ref().map_or(4.0, |screw| screw.head + 4.0);
        let margin = match spec.margin {
            Some(margin) => within("--margin", margin.mm(), 2.0, 100.0, "mm")?,
            None => beside,
        };
        let (middle, room) = match &hole {
            Some(hole) => (Point2::origin(), hole.shrunk(-margin)),
            None => round_everything(&spec.place, margin),
        };
        let mut made = Self {
            places: spec.place.clone(),
            cutouts: vec![],
            outline: contour(&room).moved(middle.coords),
            screws: corners(&room, middle, screw.as_ref()),
            screw,
            thickness: thickness(spec)?,
            hole,
            ragged: spec.hole.map_or(0.0, |hole| hole.ragged),
            celsius,
            strength: least_strengths::of(&workshop.material)?.tension
                * temperature_factor(celsius, workshop.material.softening_c)?,
        };
        made.cut(workshop)?;
        if spec.thickness.is_none() {
            made.thicken();
        }
        Ok(made)
    }

    /// Makes a panel whose thickness nobody gave as thick as pushing asks, and as what is in it clamps.
    fn thicken(&mut self) {
        let most = self.places.iter().map(|place| place.part.panel_most).fold(MOST_THICKNESS, f64::min);
        while self.thickness.0 + STEP <= most + 1e-9
            && self.push_finding().is_some_and(|push| push.level != Level::Ok)
        {
            self.thickness = (
                self.thickness.0 + STEP,
                Origin::Formula("pushed by hand it bends no more than it bears".into()),
            );
        }
    }

    fn cut(&mut self, workshop: &Workshop) -> Result<()> {
        let allowance = workshop.printer.hole_allowance;
        for place in &self.places {
            self.cutouts.push(cutout(place, allowance)?);
            let own = own_screws(place);
            if !own.is_empty() {
                let screw = Screw::of(&place.part.screw, Head::Button, workshop)?;
                for at in own {
                    self.cutouts.push(drilled(
                        at,
                        screw.hole,
                        format!("{} of {}", screw.size, place.name()),
                    )?);
                }
            }
        }
        if let Some(screw) = &self.screw {
            for &at in &self.screws {
                self.cutouts.push(drilled(at, screw.hole, format!("mounting {}", screw.size))?);
            }
        }
        for (i, one) in self.cutouts.iter().enumerate() {
            for other in &self.cutouts[..i] {
                if crosses(&one.outline, &other.outline) {
                    return Err(Error::geometry(
                        format!(
                            "The holes for {} and {} run into each other.",
                            other.hole.purpose, one.hole.purpose
                        ),
                        self.moved_apart().unwrap_or("Set them further apart.".into()),
                    ));
                }
            }
            if !self.outline.contains(one.hole.at) {
                return Err(Error::geometry(
                    format!("The hole for {} lies outside the panel.", one.hole.purpose),
                    "Set it nearer to the middle, or take a larger --hole or --margin.",
                ));
            }
        }
        Ok(())
    }

    /// What is set in, each with its cut-out.
    pub fn set_in(&self) -> impl Iterator<Item = (&Place, &Cutout)> {
        let cutouts = self.cutouts.iter().filter(|cutout| !cutout.sizes.is_empty());
        self.places.iter().zip(cutouts)
    }

    /// The deepest thing behind the panel, and what it is.
    pub fn deepest(&self) -> (f64, String) {
        let deep = self.places.iter().map(|place| (place.part.depth, place.name().to_string()));
        deep.max_by(|a, b| a.0.total_cmp(&b.0)).unwrap_or_default()
    }

    /// The depth that is needed behind the panel, mm.
    pub fn depth(&self) -> f64 {
        self.deepest().0
    }

    /// What is set in, its flange on the face it lies on, and the sheet behind a panel that closes a hole.
    pub fn company(&self) -> Result<Vec<Mating>> {
        let t = self.thickness.0;
        let mut bodies = vec![];
        for place in &self.places {
            let Some(cutout) = self.cutouts.iter().find(|cutout| cutout.outline.contains(place.at)) else {
                continue;
            };
            let (width, height) = place.turned(place.part.front_width, place.part.front_height);
            let flange = match place.part.shape {
                Shape::Rectangle => Loop::rectangle(place.at, width, height)?,
                _ => Loop::circle(place.at, width.min(height) / 2.0)?,
            };
            let (least, most) = cutout.outline.bounds();
            let inside = 0.8 * (most - least).min();
            let flange = Body::prism(&Region::new(flange, vec![])?, t, t + FLANGE)?;
            let behind = Region::new(Loop::circle(cutout.hole.at, inside / 2.0)?, vec![])?;
            let behind = Body::prism(&behind, t - place.part.depth.max(t + 1.0), t)?;
            bodies.push(Mating::touching(place.name(), flange.join(&behind)?).left_whole());
        }
        if let Some(hole) = &self.hole {
            let wide = hole.shrunk(-1.5 * self.screw.as_ref().map_or(20.0, |screw| screw.head + 12.0));
            let mut holes = vec![contour(hole)];
            let drill = self.screw.as_ref().map_or(0.0, |screw| screw.hole);
            for &at in &self.screws {
                holes.push(Loop::circle(at, drill / 2.0)?);
            }
            let sheet = Body::prism(&Region::new(contour(&wide), holes)?, -SHEET, 0.0)?;
            bodies.push(Mating::touching("the cabinet's sheet", sheet));
        }
        Ok(bodies)
    }

    /// The pair with the least room, what it lacks, and whether it touches.
    fn nearest(places: &[Place]) -> Option<(usize, usize, f64, bool)> {
        let pairs = (0..places.len()).flat_map(|i| (0..i).map(move |j| (i, j)));
        let judged = pairs.map(|(i, j)| {
            let (one, other) = (&places[i], &places[j]);
            let free = gap(one, other, |p| (p.part.free_width, p.part.free_height));
            let touch = gap(one, other, |p| (p.part.front_width, p.part.front_height)) < 0.0;
            (i, j, free, touch)
        });
        judged.min_by(|a, b| (!a.3).cmp(&!b.3).then(a.2.total_cmp(&b.2)))
    }

    /// Where one of the nearest pair would have to go so that everything has its room: tried on all of them.
    fn moved_apart(&self) -> Option<String> {
        let (i, j, ..) = Self::nearest(&self.places)?;
        let away = self.places[i].at - self.places[j].at;
        let ways = [
            Vector2::new(away.x.signum(), 0.0),
            Vector2::new(0.0, away.y.signum()),
            -Vector2::x(),
            -Vector2::y(),
        ];
        let tries = (1..400).flat_map(|k| ways.map(|way| way * (0.5 * f64::from(k))));
        let fits = |by: &Vector2| {
            let mut places = self.places.clone();
            places[i].at += by;
            Self::nearest(&places).is_none_or(|(.., free, touch)| free >= 0.0 && !touch)
        };
        tries.into_iter().find(fits).map(|by| {
            let at = self.places[i].at + by;
            let place = &self.places[i];
            format!(
                "Set {} at {},{} (--place {}@{},{}).",
                place.name(),
                number(at.x),
                number(at.y),
                place.part.name,
                number(at.x),
                number(at.y)
            )
        })
    }

    /// The room between the nearest two.
    pub fn pitch_finding(&self) -> Option<Finding> {
        let (i, j, free, touch) = Self::nearest(&self.places)?;
        let (one, other) = (&self.places[j], &self.places[i]);
        Some(Finding::at_least(
            "pitch",
            (free + 1e-9, 0.0, "mm"),
            if touch { Level::Stop } else { Level::Caution },
            format!(
                "{} and {} have {} mm over the room they need from each other{}.",
                one.name(),
                other.name(),
                hundredth(free),
                if touch { "; they touch" } else { "" }
            ),
            self.moved_apart().unwrap_or("Take fewer things, or a second panel.".into()),
            format!("{}; {}", one.part.source, other.part.source),
        ))
    }

    /// What is pushed by hand, as a beam of what its row leaves of the panel: between the columns of screws, or
    /// over the hole that it closes.
    pub fn push_finding(&self) -> Option<Finding> {
        let strength = self.strength;
        let (low, high) = self.outline.bounds();
        let across = |at: &[f64]| at.iter().fold((f64::MAX, f64::MIN), |(a, b), x| (a.min(*x), b.max(*x)));
        let columns = match &self.hole {
            Some(hole) => (-hole.half_width, hole.half_width),
            None => across(&self.screws.iter().map(|screw| screw.x).collect::<Vec<_>>()),
        };
        let t = self.thickness.0;
        let stressed = self.places.iter().filter_map(|place| {
            let push = pushed_with(place)?;
            let (a, b) = (place.at.x - columns.0, columns.1 - place.at.x);
            let cut = self.cutouts.iter().filter(|cutout| cutout.outline.contains(place.at));
            let cut = cut.map(|cutout| cutout.outline.bounds()).map(|(l, h)| h.y - l.y).fold(0.0, f64::max);
            let left = (high.y - low.y - cut).max(1.0);
            let bends =
                if a > 0.0 && b > 0.0 { push * a * b / (a + b) } else { push * (-a).max(-b).max(0.0) };
            Some((place, push, 6.0 * bends / (left * t * t)))
        });
        let worst = stressed.max_by(|a, b| a.2.total_cmp(&b.2));
        let (place, push, stress) = worst.filter(|_| columns.0 < columns.1)?;
        let safety = (strength / stress.max(1e-9)).min(999.0);
        Some(Finding::at_least(
            "push",
            ((100.0 * safety).round() / 100.0, TRUSTED_LEAST, ""),
            if safety < REFUSED_LEAST { Level::Stop } else { Level::Caution },
            format!(
                "Pushed with {push:.0} N, {} bends the panel by {stress:.1} MPa over {:.0} mm, of {strength:.1} MPa that a sound print bears; safety {safety:.1}.",
                place.name(),
                columns.1 - columns.0
            ),
            "Give it a rib or a bar behind, screws nearer to it (a --hole of its own, less between), a thicker panel where what is set in clamps it, or cut the panel from metal (--format flat).",
            "a beam on two rows of screws, Roark's Formulas; a palm's 100 N on a stop, a thumb's 30 N on a button (common practice)",
        ))
    }

    /// The thickness against what everything clamps.
    pub fn panel_finding(&self) -> Option<Finding> {
        let t = self.thickness.0;
        let over = self.places.iter().min_by(|a, b| a.part.panel_most.total_cmp(&b.part.panel_most))?;
        let under = self.places.iter().max_by(|a, b| a.part.panel_least.total_cmp(&b.part.panel_least))?;
        let says = |place: &Place| {
            format!(
                "It is {} mm thick; {} clamps {} to {} mm.",
                number(t),
                place.name(),
                number(place.part.panel_least),
                number(place.part.panel_most)
            )
        };
        Some(match t < under.part.panel_least {
            true => Finding::at_least(
                "panel-thickness",
                (t, under.part.panel_least, "mm"),
                Level::Stop,
                says(under),
                format!("Give --thickness {}.", number(under.part.panel_least)),
                under.part.source.clone(),
            ),
            false => Finding::at_most(
                "panel-thickness",
                (t, over.part.panel_most, "mm"),
                Level::Stop,
                says(over),
                format!("Give --thickness {} or less.", number(over.part.panel_most)),
                over.part.source.clone(),
            ),
        })
    }

    /// Whether what reaches behind goes through the hole that the panel closes.
    pub fn in_hole_finding(&self) -> Option<Finding> {
        let hole = self.hole.as_ref()?.shrunk(self.ragged / 2.0);
        let spare = |place: &Place| {
            let (w, h) = place.turned(place.part.front_width / 2.0, place.part.front_height / 2.0);
            let corners = [(-w, -h), (w, -h), (w, h), (-w, h)];
            match place.part.shape {
                Shape::Rectangle => corners
                    .map(|(x, y)| hole.depth(place.at + Vector2::new(x, y)).0)
                    .into_iter()
                    .fold(f64::INFINITY, f64::min),
                _ => hole.depth(place.at).0 - place.part.front_width / 2.0,
            }
        };
        let (place, left) = self.places.iter().map(|p| (p, spare(p))).min_by(|a, b| a.1.total_cmp(&b.1))?;
        Some(Finding::at_least(
            "in-hole",
            (left, 0.5, "mm"),
            Level::Stop,
            format!(
                "What {} has behind the panel keeps {} mm from the edge of the hole.",
                place.name(),
                hundredth(left)
            ),
            format!(
                "Set it {} mm nearer to the middle, or take a larger hole.",
                hundredth((0.5 - left).max(0.1))
            ),
            "nut or body as wide as the flange; 0.5 mm of play, common practice",
        ))
    }
}

/// How far two things are apart beyond the sizes given, along the axis on which they are clear.
fn gap(one: &Place, other: &Place, size: impl Fn(&Place) -> (f64, f64)) -> f64 {
    let of = |place: &Place| {
        let (w, h) = size(place);
        place.turned(w, h)
    };
    let ((w, h), (v, g)) = (of(one), of(other));
    let away = one.at - other.at;
    (away.x.abs() - (w + v) / 2.0).max(away.y.abs() - (h + g) / 2.0)
}

/// The middle and the size of a panel that holds everything with a margin.
fn round_everything(places: &[Place], margin: f64) -> (Point2, Room) {
    let mut least = Point2::new(f64::INFINITY, f64::INFINITY);
    let mut most = Point2::new(f64::NEG_INFINITY, f64::NEG_INFINITY);
    for place in places {
        let (w, h) = place.turned(place.part.front_width / 2.0, place.part.front_height / 2.0);
        least = least.inf(&(place.at - Vector2::new(w, h)));
        most = most.sup(&(place.at + Vector2::new(w, h)));
    }
    let half = (most - least) / 2.0 + Vector2::new(margin, margin);
    (
        nalgebra::center(&least, &most),
        Room { half_width: half.x, half_height: half.y, corner: CORNER.min(margin) },
    )
}

/// Mounting screws near the corners, half their head and 2 mm in.
fn corners(room: &Room, middle: Point2, screw: Option<&Screw>) -> Vec<Point2> {
    let Some(screw) = screw else {
        return vec![];
    };
    let inset = screw.head / 2.0 + 2.0;
    let inner = room.shrunk(inset);
    // On the diagonal of each rounded corner.
    let c = inner.corner * (1.0 - FRAC_1_SQRT_2);
    let (x, y) = (inner.half_width - c, inner.half_height - c);
    [(-x, -y), (x, -y), (x, y), (-x, y)].map(|(x, y)| middle + Vector2::new(x, y)).to_vec()
}

/// What a hand pushes a thing with, N; nothing where nobody pushes it.
fn pushed_with(place: &Place) -> Option<f64> {
    let name = place.part.name.as_str();
    match name {
        "estop" => Some(100.0),
        _ if name.starts_with("button") || name.starts_with("key") => Some(30.0),
        _ => None,
    }
}

fn thickness(spec: &Panel) -> Result<(f64, Origin)> {
    if let Some(given) = spec.thickness {
        return Ok((
            within("--thickness", given.mm(), 0.8, 20.0, "mm")?,
            Origin::Given("--thickness".into()),
        ));
    }
    let most = spec.place.iter().map(|place| place.part.panel_most).fold(THICKNESS, f64::min);
    let least = spec.place.iter().map(|place| place.part.panel_least).fold(0.0, f64::max);
    Ok((most.max(least), Origin::Practice("stiff under a thumb, and what everything in it clamps".into())))
}

fn drilled(at: Point2, diameter: f64, purpose: String) -> Result<Cutout> {
    Ok(Cutout {
        outline: Loop::circle(at, diameter / 2.0)?,
        hole: Hole { at, diameter, purpose },
        sizes: vec![],
    })
}

/// Where a thing's own screws go.
fn own_screws(place: &Place) -> Vec<Point2> {
    let (x, y) = (place.part.screw_x / 2.0, place.part.screw_y / 2.0);
    let drawn = match place.part.screws {
        2 => vec![Vector2::new(-x, -y), Vector2::new(x, y)],
        4 => vec![Vector2::new(-x, -y), Vector2::new(x, -y), Vector2::new(x, y), Vector2::new(-x, y)],
        _ => vec![],
    };
    let (sin, cos) = place.angle.to_radians().sin_cos();
    drawn.into_iter().map(|v| place.at + Vector2::new(v.x * cos - v.y * sin, v.x * sin + v.y * cos)).collect()
}

/// The cut-out of a thing, widened by what the printer takes off holes.
fn cutout(place: &Place, allowance: f64) -> Result<Cutout> {
    let (part, at) = (&place.part, place.at);
    let diameter = part.width + allowance;
    let (z, middle) = (Vector3::z(), Point3::new(at.x, at.y, 0.0));
    let across =
        |way: Vector3, from: f64, to: f64| Extent::between(way, middle + way * from, middle + way * to);
    let round = |diameter: f64| ("", Extent::diameter(z, diameter, vec![middle]));
    let (outline, diameter, sizes) = match part.shape {
        Shape::Round => (Loop::circle(at, diameter / 2.0)?, diameter, vec![round(diameter)]),
        Shape::Button => {
            let button = buttons::of_size(part.width)?;
            let diameter = button.middle() + allowance;
            let top = button.notch_height - button.hole / 2.0 + allowance / 2.0;
            let over = across(Vector3::y(), -diameter / 2.0, top);
            (
                button_hole(button, at, Vector2::y(), allowance),
                diameter,
                vec![round(diameter), ("over the notch", over)],
            )
        }
        Shape::Flat => {
            let below = part.height + allowance / 2.0 - part.width / 2.0;
            let over = across(Vector3::y(), -below, diameter / 2.0);
            let outline = flatted(at, diameter / 2.0, below, None)?;
            (outline, diameter, vec![round(diameter), ("over the flat", over)])
        }
        Shape::Flats => {
            let half = (part.height + allowance) / 2.0;
            let over = across(Vector3::y(), -half, half);
            let outline = flatted(at, diameter / 2.0, half, Some(half))?;
            (outline, diameter, vec![round(diameter), ("between the flats", over)])
        }
        Shape::Rectangle => {
            let (corner, height) = (part.corner.max(0.5), part.height + allowance);
            let outline = Loop::rounded_rectangle(at, diameter, height, corner)?;
            let wide = across(Vector3::x(), -diameter / 2.0, diameter / 2.0);
            let high = across(Vector3::y(), -height / 2.0, height / 2.0);
            (outline, diameter, vec![("wide", wide), ("high", high)])
        }
    };
    let (angle, home) = (place.angle.to_radians(), Frame::world());
    let turn = |v: Vector3| {
        Vector3::new(v.x * angle.cos() - v.y * angle.sin(), v.x * angle.sin() + v.y * angle.cos(), v.z)
    };
    let turned =
        Frame { origin: middle + turn(home.origin - middle), x: turn(home.x), y: turn(home.y), z: home.z };
    let outline = outline.turned(at, angle);
    let hole = Hole { at, diameter, purpose: place.name().to_string() };
    let sizes = sizes.into_iter().map(|(what, extent)| (what, extent.placed(&turned))).collect();
    Ok(Cutout { outline, hole, sizes })
}

/// A circle with a flat below, and perhaps one above, at those distances from its middle.
fn flatted(at: Point2, radius: f64, below: f64, above: Option<f64>) -> Result<Loop> {
    let lean = |off: f64| (off / radius).clamp(-1.0, 1.0).acos();
    // Angles from straight down and straight up at which the flats begin.
    let (low, high) = (lean(below), above.map(lean));
    let down = -PI / 2.0;
    let pieces: Vec<Piece> = match high {
        None => {
            let arc = Piece::sweep(at, radius, down + low, 2.0 * (PI - low));
            let mut pieces = arc.split(PI);
            pieces.push(Piece::line(arc.to, arc.from));
            pieces
        }
        Some(high) => {
            let right = Piece::sweep(at, radius, down + low, PI - low - high);
            let left = Piece::sweep(at, radius, PI / 2.0 + high, PI - low - high);
            vec![right, Piece::line(right.to, left.from), left, Piece::line(left.to, right.from)]
        }
    };
    let made = Loop::from_pieces(&pieces);
    made.check()?;
    Ok(made)
}

/// Whether two outlines cross, or one lies in the other.
fn crosses(one: &Loop, other: &Loop) -> bool {
    let (a, b) = (one.pieces(), other.pieces());
    let meet = a.iter().any(|piece| b.iter().any(|with| !piece.meets(with).is_empty()));
    meet || one.contains(other.start) || other.contains(one.start)
}
