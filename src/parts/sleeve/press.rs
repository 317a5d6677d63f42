//! How tight the rings are, and so how hard they press on; and what warmth and chill do to that.

use super::spec::{Ring, Sleeve};
use crate::catalog::bearings::Bearing;
use crate::catalog::materials::{self, Metal};
use crate::error::{Error, Result, number, within};
use crate::fit::{self, FitReport, Gauge, RingFit, Seat, Side};
use crate::mechanics::thermal::{self, Cooling, REFERENCE_C, assembly_clearance_um};
use crate::units::Length;

/// A domestic freezer, °C, where a shaft or a bearing may be chilled (common practice).
pub const FREEZER_C: f64 = -18.0;

/// Three forces, N.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Force {
    /// The least that the sizes and a well-oiled seat allow.
    pub least: f64,
    /// What is likely.
    pub likely: f64,
    /// The most that the sizes allow on a seat oiled as the steps say: what the set-up is checked for.
    pub checked: f64,
    /// The most that the sizes and a dry seat allow.
    pub most: f64,
}

impl Force {
    fn of(fit: &FitReport) -> Force {
        Force {
            least: fit.press_force_min_n,
            likely: fit.press_force_likely_n,
            checked: fit.press_force_max_n * fit.friction.likely / fit.friction.most.max(1e-9),
            most: fit.press_force_max_n,
        }
    }
}

impl std::ops::Add for Force {
    type Output = Force;

    fn add(self, other: Force) -> Force {
        Force {
            least: self.least + other.least,
            likely: self.likely + other.likely,
            checked: self.checked + other.checked,
            most: self.most + other.most,
        }
    }
}

/// What is left of a joint when one partner is warmed, the other chilled, or both.
#[derive(Clone, Copy, Debug)]
pub struct Eased {
    /// Temperature of the partner that goes around, °C, where it is warmed.
    pub warm_c: Option<f64>,
    /// Temperature of the partner that goes in, °C, where it is chilled.
    pub chill_c: Option<f64>,
    /// The most interference that is left, µm; negative where there is a gap.
    pub left_um: f64,
    /// The most force that is left on an oiled seat, N.
    pub force: f64,
    /// Whether the gap is wide enough to drop it on by hand.
    pub drops_on: bool,
    /// How long it stays loose.
    pub cooling: Option<Cooling>,
}

/// One tight joint: a ring on the shaft, or a ring in the housing.
#[derive(Clone, Debug)]
pub struct Joint {
    /// `shaft` or `housing`.
    pub partner: &'static str,
    /// The partner's sizes in words: `shaft k5`, `shaft measured`.
    pub sizes: String,
    /// What shaft or housing is made of.
    pub metal: String,
    /// Whether the class was taken for want of a word from the user.
    pub assumed: bool,
    /// Interference, pressure and force at the temperatures given; at 20 °C where those leave none.
    pub fit: FitReport,
    /// The force of that fit.
    pub force: Force,
    /// The most interference with both partners at 20 °C, µm.
    pub cold_um: f64,
    /// The most interference at the temperatures given, µm; negative where there is a gap.
    pub meets_um: f64,
    /// Whether heat or cold takes all of the interference away.
    pub freed: bool,
    /// Whether the temperatures given let it drop on by hand.
    pub drops_on: bool,
    /// How long it then stays loose.
    pub cooling: Option<Cooling>,
    /// Its seat, ring and metal, both at 20 °C.
    pub ring: RingFit,
    /// What warming to the bearing's limit, a freezer, and both together leave.
    pub eased: Vec<Eased>,
    /// Temperature at which it drops on with the other partner at shop temperature, °C.
    pub drops_on_c: f64,
}

/// Every joint the sleeve closes, and the force that takes.
#[derive(Clone, Debug)]
pub struct Press {
    /// The joint on the shaft.
    pub shaft: Option<Joint>,
    /// The joint in the housing.
    pub housing: Option<Joint>,
    /// The force on the sleeve: the joints' sum.
    pub force: Force,
    /// Temperature of the bearing while it is pressed, °C.
    pub bearing_c: f64,
    /// The warmest thing the nose touches while it presses, °C; the shop's where nothing warm is pressed.
    pub nose_c: f64,
    /// Whether heat and cold alone put it together, by hand. The sleeve is then for a ring that sticks, and
    /// presses it cold.
    pub by_hand: bool,
}

impl Press {
    /// The joints, the shaft's first.
    pub fn joints(&self) -> impl Iterator<Item = &Joint> {
        self.shaft.iter().chain(&self.housing)
    }
}

/// Temperatures at which the partners of a joint meet, °C.
struct Meeting {
    shop: f64,
    warm: Option<f64>,
    chill: Option<f64>,
}

impl Meeting {
    fn of(spec: &Sleeve) -> Result<Meeting> {
        let shop = within("--shop", spec.shop.unwrap_or(REFERENCE_C), -10.0, 45.0, "°C")?;
        let warm = spec.warm.map(|warm| within("--warm", warm, shop, 150.0, "°C")).transpose()?;
        let least = if spec.ring == Ring::Outer { -50.0 } else { -80.0 };
        let chill = spec.chill.map(|chill| within("--chill", chill, least, shop, "°C")).transpose()?;
        Ok(Meeting { shop, warm, chill })
    }
}

/// Works out the joints the pressed ring makes.
///
/// `--warm` is the bearing for an inner ring and the housing for an outer one or both; `--chill` the
/// shaft for an inner ring or both and the bearing for an outer one. Fails for sizes, classes,
/// materials and temperatures out of bounds.
pub fn press(spec: &Sleeve, bearing: &Bearing) -> Result<Press> {
    let meeting = Meeting::of(spec)?;
    let shop = meeting.shop;
    let (warm, chill) = (meeting.warm.unwrap_or(shop), meeting.chill.unwrap_or(shop));
    let (bearing_on_shaft, bearing_in_housing) = match spec.ring {
        Ring::Inner => (warm, warm),
        Ring::Outer => (chill, chill),
        Ring::Both => (shop, shop),
    };
    let on_shaft = || on_shaft(spec, bearing, &meeting, (bearing_on_shaft, chill));
    let in_housing = || in_housing(spec, bearing, &meeting, (warm, bearing_in_housing));
    let shaft = spec.ring.presses_inner().then(on_shaft).transpose()?;
    let housing = spec.ring.presses_outer().then(in_housing).transpose()?;
    let joints = || shaft.iter().chain(&housing);
    let force = joints().fold(Force::default(), |sum, joint| sum + joint.force);
    let by_hand = joints().all(|joint| joint.drops_on);
    Ok(Press {
        force,
        bearing_c: bearing_on_shaft,
        nose_c: if by_hand { shop } else { warm.max(shop) },
        by_hand,
        shaft,
        housing,
    })
}

fn on_shaft(spec: &Sleeve, bearing: &Bearing, meeting: &Meeting, at: (f64, f64)) -> Result<Joint> {
    let metal = materials::metal(spec.shaft_material.as_deref().unwrap_or("steel"))?;
    let hollow = match spec.shaft_bore {
        Some(hollow) => within("--shaft-bore", hollow.mm(), 0.0, 0.95 * bearing.bore, "mm")?,
        None => 0.0,
    };
    // Turning inner ring, usual loads: j5 up to 18 mm, k5 above (SKF Rolling bearings, 2018,
    // "Tolerance classes for solid steel shafts, radial ball bearings").
    let usual = if bearing.bore <= 18.0 { "j5" } else { "k5" };
    let seat =
        seat("shaft", bearing.bore, (spec.shaft_measured, spec.measured_by), &spec.shaft_class, usual)?;
    let assumed = spec.shaft_class.is_none() && spec.shaft_measured.is_none();
    joint(bearing, Side::Inner, (seat, assumed), (hollow, metal), meeting, at)
}

fn in_housing(spec: &Sleeve, bearing: &Bearing, meeting: &Meeting, at: (f64, f64)) -> Result<Joint> {
    let metal = materials::metal(spec.housing_material.as_deref().unwrap_or("cast iron"))?;
    let around = match spec.housing_outside {
        Some(around) => within("--housing-outside", around.mm(), 1.02 * bearing.outside, 5000.0, "mm")?,
        None => f64::INFINITY,
    };
    // Turning outer ring, usual loads: N7 (SKF Rolling bearings, 2018, "Tolerance classes for
    // cast iron and steel housings").
    let seat = seat(
        "housing",
        bearing.outside,
        (spec.housing_measured, spec.measured_by),
        &spec.housing_class,
        "N7",
    )?;
    let assumed = spec.housing_class.is_none() && spec.housing_measured.is_none();
    joint(bearing, Side::Outer, (seat, assumed), (around, metal), meeting, at)
}

fn seat(
    partner: &str,
    nominal: f64,
    (measured, gauge): (Option<Length>, Option<Gauge>),
    class: &Option<String>,
    usual: &str,
) -> Result<Seat> {
    match (measured, class) {
        (Some(_), Some(class)) => Err(Error::request(
            format!("{partner}-class {class} and {partner}-measured were both given."),
            "Give the measured diameter alone; it is the better of the two.",
        )),
        (Some(measured), None) => {
            let option = format!("--{partner}-measured");
            let diameter = within(&option, measured.mm(), nominal - 0.5, nominal + 0.5, "mm")?;
            Ok(Seat::Measured { diameter, uncertainty_um: gauge.unwrap_or_default().uncertainty_um() })
        }
        (None, class) => Ok(Seat::Class(class.as_deref().unwrap_or(usual).trim().to_string())),
    }
}

fn joint(
    bearing: &Bearing,
    side: Side,
    (seat, assumed): (Seat, bool),
    (other, metal): (f64, Metal),
    meeting: &Meeting,
    at: (f64, f64),
) -> Result<Joint> {
    let word = if side == Side::Inner { "shaft" } else { "housing" };
    let sizes = match &seat {
        Seat::Class(class) => format!("{word} {class}"),
        Seat::Measured { diameter, .. } => format!("{word} measured {} mm", number(*diameter)),
    };
    let ring = RingFit { partner: metal.clone(), ..RingFit::of(bearing, side, seat, other)? };
    let cold = ring.reckon()?;
    let gap = assembly_clearance_um(cold.nominal);
    let wall = (ring.shoulder.unwrap_or(cold.ring_section) - cold.nominal).abs() / 2.0;
    let growth = thermal::growth_um(cold.nominal, materials::metal("bearing steel")?.expansion, 1.0);
    let cools = |(outer_c, inner_c): (f64, f64), left_um: f64| {
        thermal::cooling(wall, outer_c, inner_c, -left_um, gap, growth)
    };
    let at_temperatures = |(outer_c, inner_c): (f64, f64)| -> Result<FitReport> {
        let eased_um = ring.at_temperatures(outer_c, inner_c)?.eased_um()?;
        RingFit { eased_um, ..ring.clone() }.reckon()
    };
    let meets = at_temperatures(at)?;
    let limit = fit::heat_closure(bearing).limit_c().0;
    let mut eased = Vec::new();
    if cold.interference_max_um > 0.0 {
        for (warm_c, chill_c) in
            [(Some(limit), None), (None, Some(FREEZER_C)), (Some(limit), Some(FREEZER_C))]
        {
            let (outer_c, inner_c) = (warm_c.unwrap_or(meeting.shop), chill_c.unwrap_or(meeting.shop));
            let left = at_temperatures((outer_c, inner_c))?;
            let left_um = left.interference_max_um;
            let drops_on = left_um <= -gap;
            let cooling = (drops_on && warm_c.is_some()).then(|| cools((outer_c, inner_c), left_um));
            eased.push(Eased {
                warm_c,
                chill_c,
                left_um,
                force: Force::of(&left).checked,
                drops_on,
                cooling,
            });
        }
    }
    let heated = at != (meeting.shop, meeting.shop);
    let meets_um = meets.interference_max_um;
    let drops_on = heated && meets_um <= -gap;
    // What sticks half way on is pressed once all is cold: a fit that heat or cold frees is reckoned at 20 °C.
    let freed = heated && meets_um <= 0.0 && cold.interference_max_um > 0.0;
    let cold_um = cold.interference_max_um;
    let fit = if freed { cold } else { meets };
    Ok(Joint {
        partner: word,
        sizes,
        metal: metal.name,
        assumed,
        force: Force::of(&fit),
        meets_um,
        freed,
        drops_on,
        cooling: (drops_on && at.0 > meeting.shop).then(|| cools(at, meets_um)),
        drops_on_c: ring.at_temperatures(meeting.shop, meeting.shop)?.drops_on_c(cold_um)?,
        cold_um,
        eased,
        ring,
        fit,
    })
}
