//! From the words about belt and place to a drive, and to the slide that tensions it.

use super::spec::{Bracket, Hand, Style};
use crate::belt_drive::ratio::first_that_meshes;
use crate::belt_drive::{Drive, LEAST_MESH, PROFILE, Pulleys, least_teeth_for_shaft};
use crate::catalog::belts;
use crate::catalog::encoders::Encoder;
use crate::catalog::pulleys;
use crate::error::{Error, Result, hundredth, number, within};
use crate::mechanics::belt_drive::{self as mechanics, Travel};
use crate::solid::Point2;
use crate::units::Length;

/// Print tolerance added to the travel at either end of a slot, mm (common practice, no source).
pub const SLOT_TOLERANCE: f64 = 0.5;

/// The drive the request settles: the belt given, or the stocked one nearest to the place there is.
///
/// Fails when no belt fits, naming the nearest stocked lengths that do.
pub fn settle(spec: &Bracket, encoder: &Encoder) -> Result<Choice> {
    let mut choice = choice(spec, encoder)?;
    let pulley = &mut choice.drive.encoder_pulley;
    if let Some(width) = spec.pulley_width {
        pulley.width = within("--pulley-width", width.mm(), choice.drive.width, 150.0, "mm")?;
        pulley.source = "given, --pulley-width".into();
    }
    if let Some(length) = spec.hub_length {
        pulley.hub_length = within("--hub-length", length.mm(), 0.0, 100.0, "mm")?;
    }
    Ok(choice)
}

/// A drive, and the stocked belt that would come nearer to the distance wished for, where one does.
#[derive(Clone, Debug, PartialEq)]
pub struct Choice {
    /// The drive taken.
    pub drive: Drive,
    /// The nearer one that was passed over.
    pub nearer: Option<Drive>,
}

/// How far from the nearest stocked belt a commoner one may put the axes, mm: 2 mm or a fiftieth of the
/// distance wished for (common practice, no source).
pub fn drift(wanted: f64) -> f64 {
    (wanted / 50.0).max(2.0)
}

fn choice(spec: &Bracket, encoder: &Encoder) -> Result<Choice> {
    let profile = belts::profile(spec.profile.as_deref().unwrap_or(PROFILE))?;
    let width = width(spec, profile, encoder);
    let with = |teeth: (u32, u32)| {
        let tension = spec.tension.unwrap_or(tension(profile, width, encoder));
        chosen(spec, &Pulleys::new(profile, teeth, Some(width), Some(tension))?)
    };
    if let (Some(ratio), []) = (spec.ratio, &spec.pulleys[..]) {
        let bored = |shaft: &Length| within("--shafts", shaft.mm(), 1.0, 200.0, "mm");
        let spindle = spec.shafts.first().map(bored).transpose()?;
        let pairs = ratio.pairs(profile, [spindle, Some(encoder.shaft_diameter)])?;
        return first_that_meshes(&pairs, with, |choice| choice.drive.mesh());
    }
    let mut teeth = teeth(spec, profile, encoder)?;
    let first = with(teeth)?;
    if !spec.pulleys.is_empty() || first.drive.mesh() >= LEAST_MESH {
        return Ok(first);
    }
    // The least pulleys that can be bored may carry too few teeth: raise the smaller until six mesh.
    let kept = pulleys::stocked_teeth(profile);
    let next = |teeth: u32| kept.iter().copied().find(|n| *n > teeth).unwrap_or(teeth + 1);
    for _ in 0..MOST_RAISED {
        let (spindle, encoders) = teeth;
        if spindle <= encoders {
            teeth.0 = next(spindle);
        }
        if encoders <= spindle {
            teeth.1 = next(encoders);
        }
        match with(teeth) {
            Ok(choice) if choice.drive.mesh() >= LEAST_MESH => return Ok(choice),
            _ => {}
        }
    }
    Ok(first)
}

/// How often at most the next tooth count is taken for the smaller pulley,
/// where --shafts leaves the pulleys open.
const MOST_RAISED: u32 = 60;

/// The belt for a pair of pulleys: the one given, or the stocked one nearest to the place there is.
fn chosen(spec: &Bracket, pulleys: &Pulleys) -> Result<Choice> {
    let given = |drive: Result<Drive>| drive.map(|drive| Choice { drive, nearer: None });
    if let (Some(holes), None) = (spec.holes()?, spec.belt_teeth) {
        return given(for_holes(spec, pulleys, holes));
    }
    let range = match spec.range[..] {
        [] => None,
        [least, most] => Some((least.mm(), most.mm())),
        _ => {
            return Err(Error::request(
                format!("--range has {} value(s); it takes two.", spec.range.len()),
                "Give the nearer and the further centre distance: --range 80,90.",
            ));
        }
    };
    match (spec.belt_teeth, spec.near, range) {
        (Some(belt_teeth), Some(near), _) => Err(Error::request(
            format!(
                "--belt-teeth {belt_teeth} and --near {} are both given, but a closed belt settles the centre distance{}.",
                number(near.mm()),
                pulleys
                    .with_belt(belt_teeth)
                    .map_or(String::new(), |drive| format!(" by itself, at {:.2} mm", drive.centre))
            ),
            "Leave --near out to take that belt, or --belt-teeth to have a stocked belt chosen; --range with --belt-teeth tells whether it fits.",
        )),
        (Some(belt_teeth), None, Some((least, most))) => {
            given(pulleys.with_belt_between(belt_teeth, least, most))
        }
        (Some(belt_teeth), None, None) => given(pulleys.with_belt(belt_teeth)),
        (None, Some(near), None) => preferred(pulleys.near(near.mm(), 4)?, Some(near.mm())),
        (None, near, Some((least, most))) => {
            let mut list = pulleys.between(least, most)?;
            if let Some(near) = near {
                list.sort_by(|a, b| (a.centre - near.mm()).abs().total_cmp(&(b.centre - near.mm()).abs()));
            }
            preferred(list, near.map(Length::mm))
        }
        (None, None, None) => Err(Error::request(
            "Neither the belt nor the centre distance is given, so the encoder has no place.",
            "Give --near with the centre distance you would like, --range with what there is room for, or --belt-teeth.",
        )),
    }
}

/// Stocked belts that are tried on holes the machine has.
const TRIED_ON_HOLES: usize = 24;
/// How much longer a slot may become to reach holes the machine has, mm (common practice).
const LONGER: f64 = 24.0;
/// How much longer a slot may become for a belt that most makers keep, mm (common practice).
const FOR_COMMON: f64 = 2.0;

/// The stocked belt whose slots reach the machine's holes with the least length to spare.
///
/// Fails where none does within reason, naming the nearest and what adapter would do.
fn for_holes(spec: &Bracket, pulleys: &Pulleys, holes: (f64, f64)) -> Result<Drive> {
    let middle = f64::midpoint(holes.0, holes.1);
    let fits = |drive: &Drive| match spec.range[..] {
        [least, most] => (least.mm()..=most.mm()).contains(&drive.centre),
        _ => true,
    };
    let height = spec.axis_height.map_or(40.0, Length::mm);
    let mut list: Vec<(f64, Drive)> = Vec::new();
    for drive in pulleys.near(middle.max(pulleys.least_centre() + 1.0), TRIED_ON_HOLES)? {
        if let Ok(place) = Place::new(spec, &drive, height, 0.0)
            && fits(&drive)
        {
            list.push((place.longer, drive));
        }
    }
    list.sort_by(|a, b| a.0.abs().total_cmp(&b.0.abs()));
    let common = |drive: &Drive| drive.stocked().is_some_and(|row| row.stock == belts::Stock::Common);
    let Some((least, nearest)) = list.first() else {
        return Err(Error::geometry(
            format!(
                "No stocked belt that fits --range has its encoder near the holes, whose middle lies {} mm from the spindle.",
                number(middle)
            ),
            "Leave --range out, or take other --pulleys.",
        ));
    };
    if least.abs() > LONGER {
        let apart = number(holes.1 - holes.0);
        let screw = spec.screw.as_deref().unwrap_or("M5");
        return Err(Error::geometry(
            format!(
                "No stocked belt fits the holes at {} and {} mm: the nearest, {}, puts its encoder {} mm from the spindle and would need slots {:.1} mm longer than it asks for; up to {LONGER} mm are drawn.",
                number(holes.0),
                number(holes.1),
                nearest.designation(),
                hundredth(nearest.centre),
                least.abs()
            ),
            format!(
                "Take other --pulleys or another --profile, drill new holes, or screw an adapter plate on these that moves them by {:.1} mm: fixwright adapter --old {screw}x2@{apart} --new {screw}x2@{apart} --offset {:.1},0.",
                (least / 2.0).abs(),
                -least / 2.0
            ),
        ));
    }
    let chosen =
        list.iter().find(|(longer, drive)| common(drive) && longer.abs() <= least.abs() + FOR_COMMON);
    Ok(chosen.unwrap_or(&list[0]).1.clone())
}

/// The width given, or the usual one, or the next narrower that spares the encoder's bearings.
fn width(spec: &Bracket, profile: &belts::Profile, encoder: &Encoder) -> f64 {
    if let Some(width) = spec.width {
        return width.mm();
    }
    let spares = |width: &f64| spec.tension.unwrap_or(profile.tension * width) * 2.0 <= encoder.radial_load;
    let usual = profile.usual_widths();
    let narrower: Vec<f64> = usual.iter().copied().filter(|w| *w <= profile.usual_width).collect();
    narrower
        .iter()
        .rev()
        .copied()
        .find(|w| spares(w))
        .unwrap_or(narrower.first().copied().unwrap_or(profile.usual_width))
}

/// The maker's tension, or less where two spans of it would load the encoder's bearings beyond nine
/// tenths of what they are rated for: an encoder turns freely, and asks a belt for next to nothing. Not
/// below a third of the maker's, where a belt would flap (common practice, no source).
fn tension(profile: &belts::Profile, width: f64, encoder: &Encoder) -> f64 {
    let makers = profile.tension * width;
    makers.min((0.45 * encoder.radial_load).max(makers / 3.0))
}

/// Of the nearest few, one that most makers keep, if there is one; where a distance is wished for, only
/// one that comes about as near as the nearest.
fn preferred(list: Vec<Drive>, wanted: Option<f64>) -> Result<Choice> {
    let first =
        list.first().cloned().ok_or_else(|| Error::internal("A list of belts that fit came back empty."))?;
    let off = |drive: &Drive| wanted.map_or(0.0, |wanted| (drive.centre - wanted).abs());
    let most = off(&first) + wanted.map_or(f64::INFINITY, drift);
    let common = list
        .into_iter()
        .take(4)
        .filter(|drive| off(drive) <= most)
        .find(|drive| drive.stocked().is_some_and(|row| row.stock == belts::Stock::Common));
    let Some(drive) = common else {
        return Ok(Choice { drive: first, nearer: None });
    };
    let nearer = (off(&first) + 1e-9 < off(&drive)).then_some(first);
    Ok(Choice { drive, nearer })
}

fn teeth(spec: &Bracket, profile: &'static belts::Profile, encoder: &Encoder) -> Result<(u32, u32)> {
    match (&spec.pulleys[..], &spec.shafts[..]) {
        ([spindle, encoder], _) => Ok((*spindle, *encoder)),
        ([], [spindle]) => Ok((
            least_teeth_for_shaft(profile, spindle.mm())?.teeth,
            least_teeth_for_shaft(profile, encoder.shaft_diameter)?.teeth,
        )),
        ([], [spindle, shaft]) => Ok((
            least_teeth_for_shaft(profile, spindle.mm())?.teeth,
            least_teeth_for_shaft(profile, shaft.mm())?.teeth,
        )),
        ([], []) => Err(Error::request(
            "Neither --pulleys nor --shafts is given, so the pulleys are unknown.",
            "Give the teeth of both pulleys, such as --pulleys 36,24, or their --ratio, or --shafts with the spindle's diameter to take the least that can be bored.",
        )),
        (some, _) => Err(Error::request(
            format!("--pulleys has {} value(s); a drive has two pulleys.", some.len()),
            "Give two, the spindle's first: --pulleys 36,24.",
        )),
    }
}

/// Where spindle and encoder stand, and how far the bracket slides.
#[derive(Clone, Debug, PartialEq)]
pub struct Place {
    /// Kind of slide.
    pub style: Style,
    /// Height of the encoder's axis over foot, slot line or pivot, mm.
    pub axis_height: f64,
    /// The spindle's axis from the encoder's at the working place, mm: x to the right seen from the
    /// belt, y up.
    pub spindle: Point2,
    /// A swing's pivot from the encoder's axis, mm.
    pub pivot: Point2,
    /// Distance between the screws where the machine has its holes already, mm.
    pub screw_spacing: Option<f64>,
    /// How much longer the slots are for the sake of those holes, mm; less than nothing where that is towards the
    /// spindle.
    pub longer: f64,
    /// Greatest depth of a foot's base there is room for, mm.
    pub depth: Option<f64>,
    /// Inward centre travel the maker asks for, mm.
    pub wants_in: f64,
    /// Outward centre travel the maker asks for, mm.
    pub wants_out: f64,
    /// Travel of the slide from the working place towards the spindle: mm, or rad for a swing.
    pub inward: f64,
    /// Travel away from it.
    pub outward: f64,
    /// Centre distance with the slide all the way in and all the way out, mm.
    pub reaches: (f64, f64),
}

impl Place {
    /// Solves the slide for a drive.
    ///
    /// Fails when the slide cannot bring the axes near enough or far enough.
    ///
    /// `aside` is how far a swing's pivot lies to the side of the encoder's axis, away from the
    /// spindle.
    pub fn new(spec: &Bracket, drive: &Drive, axis_height: f64, aside: f64) -> Result<Place> {
        let spindle_height = match spec.spindle_height {
            Some(height) => within("--spindle-height", height.mm(), -2000.0, 2000.0, "mm")?,
            None => axis_height,
        };
        let rise = spindle_height - axis_height;
        if rise.abs() > 0.9 * drive.centre {
            return Err(Error::geometry(
                format!(
                    "The spindle's axis lies {} mm off the encoder's height, too much for a centre distance of {:.2} mm: the slide would hardly tension the belt.",
                    number(rise.abs()),
                    drive.centre
                ),
                format!(
                    "Bring the axes within {:.1} mm of one height, or take a longer belt.",
                    0.9 * drive.centre
                ),
            ));
        }
        let side = if spec.spindle == Hand::Left { -1.0 } else { 1.0 };
        let level = (drive.centre * drive.centre - rise * rise).sqrt();
        let mut place = Place {
            style: spec.style,
            axis_height,
            spindle: Point2::new(side * level, rise),
            pivot: Point2::new(-side * aside, -axis_height),
            screw_spacing: spec.screw_spacing.map(Length::mm),
            longer: 0.0,
            depth: spec.depth.map(Length::mm),
            wants_in: drive.install_allowance(spec.flanges.unwrap_or_default()),
            wants_out: drive.tension_allowance(),
            inward: 0.0,
            outward: 0.0,
            reaches: (0.0, 0.0),
        };
        let travel = place.travel(drive)?;
        // A slot's travel is measured along its own middle line, round the pivot.
        let radius = place.slot_radius();
        let given = |field: &str, value: Option<Length>, wanted: f64| match value {
            Some(value) => within(field, value.mm(), 0.0, 200.0, "mm")
                .map(|mm| if spec.style == Style::Swing { mm / radius } else { mm }),
            None => Ok(wanted),
        };
        place.inward = given("--travel-in", spec.travel_in, travel.work - travel.from)?;
        place.outward = given("--travel-out", spec.travel_out, travel.to - travel.work)?;
        if let Some((near, far)) = spec.holes()? {
            place.screw_spacing = Some(far - near);
            // A slot stands about its screw's place, so that half of what one end gains moves its middle.
            let middle = level + (place.outward - place.inward) / 2.0;
            place.longer = 2.0 * (f64::midpoint(near, far) - middle);
            place.outward += place.longer.max(0.0);
            place.inward -= place.longer.min(0.0);
        }
        place.reaches = (place.centre_at(-place.inward), place.centre_at(place.outward));
        Ok(place)
    }

    fn travel(&self, drive: &Drive) -> Result<Travel> {
        let (near, far) = (drive.centre - self.wants_in, drive.centre + self.wants_out);
        let solved = match self.style {
            Style::Swing => mechanics::swing_travel(
                near,
                drive.centre,
                far,
                (self.spindle - self.pivot).norm(),
                self.arm(),
            ),
            _ => mechanics::straight_travel(near, drive.centre, far, self.spindle.y),
        };
        solved.ok_or_else(|| {
            Error::geometry(
                format!("The slide cannot bring the axes from {near:.2} to {far:.2} mm apart, which laying the belt on and tensioning it ask for."),
                "Bring the axes nearer to one height, take a longer belt, or slip the belt on with a pulley (--flanges none).",
            )
        })
    }

    /// From a swing's pivot to the encoder's axis, mm.
    pub fn arm(&self) -> f64 {
        self.pivot.coords.norm()
    }

    /// From a swing's pivot to the middle line of its slot, mm.
    pub fn slot_radius(&self) -> f64 {
        2.0 * self.pivot.x.abs()
    }

    /// The spindle's axis from the encoder's, as the bracket sees it when it stands `shift` from the
    /// working place (mm, or rad for a swing; positive is away from the spindle).
    pub fn spindle_at(&self, shift: f64) -> Point2 {
        self.seen(self.spindle, shift)
    }

    /// A point fixed to the machine as the bracket sees it after a shift; coordinates from the
    /// encoder's axis.
    pub fn seen(&self, point: Point2, shift: f64) -> Point2 {
        let away = -self.spindle.x.signum();
        match self.style {
            Style::Swing => {
                // The plate turns about its pivot so that the encoder moves away; the machine, seen
                // from the plate, turns the other way.
                let (sin, cos) = (away * shift).sin_cos();
                let d = point - self.pivot;
                Point2::new(self.pivot.x + d.x * cos - d.y * sin, self.pivot.y + d.x * sin + d.y * cos)
            }
            _ => Point2::new(point.x - away * shift, point.y),
        }
    }

    /// A point fixed to the bracket as the machine sees it after a shift; coordinates from the encoder's axis at the
    /// working place.
    pub fn on_machine(&self, point: Point2, shift: f64) -> Point2 {
        // The bracket turns and slides against the machine as the machine does against it.
        self.seen(point, -shift)
    }

    /// The centre distance after a shift, mm.
    pub fn centre_at(&self, shift: f64) -> f64 {
        let spindle = self.spindle_at(shift);
        spindle.x.hypot(spindle.y)
    }

    /// Travel of the whole slide, mm along the slot or rad.
    pub fn whole(&self) -> f64 {
        self.inward + self.outward
    }

    /// The shifts at which clearances are looked at: ends, work and between.
    pub fn shifts(&self) -> [f64; 5] {
        [-self.inward, -self.inward / 2.0, 0.0, self.outward / 2.0, self.outward]
    }

    /// Direction of the belt's pull on the encoder's shaft at the working place, unit vector.
    pub fn pull(&self) -> Point2 {
        let centre = self.spindle.x.hypot(self.spindle.y);
        Point2::new(self.spindle.x / centre, self.spindle.y / centre)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::catalog::encoders;

    fn spec(style: Style) -> Bracket {
        Bracket {
            style,
            pulleys: vec![36, 20],
            near: Some(Length::from_mm(110.0).unwrap()),
            ..Default::default()
        }
    }

    fn place(spec: &Bracket) -> (Drive, Place) {
        let encoder = encoders::encoder("38").unwrap();
        let drive = settle(spec, &encoder).unwrap().drive;
        let place = Place::new(spec, &drive, 40.0, 25.0).unwrap();
        (drive, place)
    }

    #[test]
    fn every_slide_reaches_what_the_maker_asks_for() {
        for style in [Style::Foot, Style::Face, Style::Swing] {
            for height in [40.0, 70.0, 10.0] {
                for hand in [Hand::Left, Hand::Right] {
                    let spec = Bracket {
                        spindle_height: Some(Length::from_mm(height).unwrap()),
                        spindle: hand,
                        ..spec(style)
                    };
                    let (drive, place) = place(&spec);
                    assert!((place.centre_at(0.0) - drive.centre).abs() < 1e-9);
                    assert!(
                        (place.reaches.0 - (drive.centre - place.wants_in)).abs() < 1e-9,
                        "{style:?} {height}"
                    );
                    assert!(
                        (place.reaches.1 - (drive.centre + place.wants_out)).abs() < 1e-9,
                        "{style:?} {height}"
                    );
                }
            }
        }
    }

    #[test]
    fn a_belt_too_long_for_the_space_names_those_that_fit() {
        let mm = |v| Length::from_mm(v).unwrap();
        let encoder = encoders::encoder("38").unwrap();
        let spec = Bracket {
            near: None,
            belt_teeth: Some(150),
            range: vec![mm(100.0), mm(120.0)],
            ..spec(Style::Foot)
        };
        let error = settle(&spec, &encoder).unwrap_err();
        assert!(
            error.says.contains("there is room for 100 to 120") && error.remedy.contains("-2GT ("),
            "{error}"
        );
        let both = Bracket { near: mm(150.0).into(), range: vec![], ..spec };
        let error = settle(&both, &encoder).unwrap_err();
        assert!(error.says.contains("--near 150 are both given") && error.says.contains("at "), "{error}");
    }

    #[test]
    fn a_swing_s_slot_is_as_long_as_the_travel_given() {
        let mm = |v| Length::from_mm(v).unwrap();
        let spec = Bracket { travel_in: Some(mm(10.0)), travel_out: Some(mm(2.0)), ..spec(Style::Swing) };
        let (_, place) = place(&spec);
        assert!((place.whole() * place.slot_radius() - 12.0).abs() < 1e-9);
    }

    #[test]
    fn pulleys_found_from_shafts_mesh_with_six_teeth() {
        let mm = |v| Length::from_mm(v).unwrap();
        let encoder = encoders::encoder("38").unwrap();
        for (profile, near) in [("T5", 110.0), ("XL", 90.0), ("2GT", 40.0)] {
            let spec = Bracket {
                profile: Some(profile.into()),
                pulleys: vec![],
                shafts: vec![mm(30.0), mm(6.0)],
                near: Some(mm(near)),
                ..spec(Style::Foot)
            };
            assert!(settle(&spec, &encoder).unwrap().drive.mesh() >= 6, "{profile}");
        }
    }

    #[test]
    fn shafts_alone_settle_the_pulleys() {
        let mm = |v| Length::from_mm(v).unwrap();
        let encoder = encoders::encoder("38").unwrap();
        let spec = Bracket { pulleys: vec![], shafts: vec![mm(25.0)], ..spec(Style::Foot) };
        let drive = settle(&spec, &encoder).unwrap().drive;
        assert!(drive.profile.root_diameter(drive.spindle_teeth) > 25.0 + 2.0 * 5.0);
        assert!(settle(&Bracket { shafts: vec![], ..spec }, &encoder).unwrap_err().says.contains("--shafts"));
    }

    #[test]
    fn axes_too_far_off_one_height_are_refused() {
        let spec = Bracket { spindle_height: Some(Length::from_mm(150.0).unwrap()), ..spec(Style::Foot) };
        let encoder = encoders::encoder("38").unwrap();
        let drive = settle(&spec, &encoder).unwrap().drive;
        assert!(Place::new(&spec, &drive, 40.0, 25.0).is_err());
    }
}
