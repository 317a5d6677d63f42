//! What warming the bearing or chilling the shaft takes off the interference.
//!
//! A ring that is warmer than its seat by ΔT is larger by `α·d·ΔT`. Enough of it and the ring drops
//! on with no force at all. The limits are the bearing's: above about 125 °C the ring steel itself
//! starts to change size, and grease, seals and shields give up long before.

use crate::error::{Result, within};
use serde::Serialize;

/// Growth of a diameter, µm, for a temperature rise `rise_k` (K, negative for chilling) of a material
/// with linear expansion `expansion` (1/K).
///
/// `Δd = α·d·ΔT`. Diameter in mm. Valid from −80 to 200 °C for steel with a mean coefficient.
pub fn growth_um(diameter: f64, expansion: f64, rise_k: f64) -> f64 {
    1000.0 * diameter * expansion * rise_k
}

/// The temperature rise (K) of the outer partner that opens a joint by `interference_um +
/// clearance_um`, both µm. Never negative.
///
/// Fails where the expansion is not a positive number below 1e-3 1/K, or the diameter is out of
/// 0.1 to 5000 mm.
pub fn rise_to_open(interference_um: f64, clearance_um: f64, diameter: f64, expansion: f64) -> Result<f64> {
    within("--diameter", diameter, 0.1, 5000.0, "mm")?;
    within("the thermal expansion", expansion, 1e-7, 1e-3, "1/K")?;
    within("the interference to open", interference_um + clearance_um, -1e6, 1e6, "µm")?;
    Ok(((interference_um + clearance_um) / growth_um(diameter, expansion, 1.0)).max(0.0))
}

/// The gap a ring needs to drop over its seat without a hitch, µm: half a thousandth of the
/// diameter (mm), and never less than 10 µm (common practice, no source). A shaft is never quite
/// round, and the ring cools while the hand aims. It agrees with the rule of thumb of makers'
/// mounting handbooks that 80 to 90 K above the shaft is enough for usual bearing fits.
pub fn assembly_clearance_um(diameter: f64) -> f64 {
    (diameter / 2.0).max(10.0)
}

/// Temperature at which sizes and tolerances hold, °C (ISO 1).
pub const REFERENCE_C: f64 = 20.0;

/// What closes a bearing, which settles how hot it may get.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Closure {
    /// Open: nothing but steel and cage, no grease.
    Open,
    /// Metal shields, greased for life.
    Shielded,
    /// Rubber seals, greased for life.
    Sealed,
}

impl Closure {
    /// The most such a bearing may be warmed to, °C, and where that stands.
    pub fn limit_c(self) -> (f64, &'static str) {
        match self {
            Closure::Open => {
                (120.0, "ring steel is stabilised to 120 °C; makers' mounting handbooks: never above 125 °C")
            }
            Closure::Shielded | Closure::Sealed => (
                80.0,
                "SKF, Rolling bearings (2018), mounting: capped bearings (shield or seal) not above 80 °C, for their grease and seals",
            ),
        }
    }
}

/// A joint with its two partners at temperatures of their own: which one goes around, which one in.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Warming {
    /// Nominal diameter of the joint, mm.
    pub diameter: f64,
    /// Linear expansion of the partner that goes around, 1/K.
    pub outer_expansion: f64,
    /// Linear expansion of the partner that goes in, 1/K.
    pub inner_expansion: f64,
    /// Temperature of the partner that goes around, °C.
    pub outer_c: f64,
    /// Temperature of the partner that goes in, °C.
    pub inner_c: f64,
}

impl Warming {
    /// What the temperatures take off the interference, µm; negative where they add to it.
    ///
    /// Fails where a temperature lies outside −200 to 300 °C or a size or coefficient is no number.
    pub fn eased_um(&self) -> Result<f64> {
        within("the diameter of the joint", self.diameter, 0.1, 5000.0, "mm")?;
        let grown = |expansion: f64, temperature_c: f64| -> Result<f64> {
            within("the thermal expansion", expansion, 1e-7, 1e-3, "1/K")?;
            within("the temperature of a partner", temperature_c, -200.0, 300.0, "°C")?;
            Ok(growth_um(self.diameter, expansion, temperature_c - REFERENCE_C))
        };
        Ok(grown(self.outer_expansion, self.outer_c)? - grown(self.inner_expansion, self.inner_c)?)
    }

    /// The temperature (°C) of the partner that goes around at which it drops over the other with the
    /// gap a hand needs, for the most interference the sizes allow (µm at 20 °C): the ring that sticks
    /// half way is the one that is ruined. Never below `outer_c`.
    pub fn drops_on_c(&self, interference_um: f64) -> Result<f64> {
        let remaining = interference_um - self.eased_um()?;
        let gap = assembly_clearance_um(self.diameter);
        Ok(self.outer_c + rise_to_open(remaining, gap, self.diameter, self.outer_expansion)?)
    }
}

/// How long a warm ring stays loose, s.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Cooling {
    /// From the oven in the open air until the gap a hand needs is gone.
    pub in_hand_s: f64,
    /// Once over the cold partner, until it grips.
    pub on_seat_s: f64,
}

/// Volumetric heat of steel, J/(mm³·K): 7.8 g/cm³ at 0.46 J/(g·K) (Incropera and DeWitt,
/// *Fundamentals of Heat and Mass Transfer*, Table A.1).
const STEEL_HEAT: f64 = 7.8e-3 * 0.46;
/// Conductivity of air near 60 °C, W/(mm·K) (Incropera and DeWitt, Table A.4).
const AIR_CONDUCTS: f64 = 0.029e-3;
/// Heat a warm body loses in still air, radiation included, W/(mm²·K): 10 W/(m²·K) (common practice).
const AIR_COOLS: f64 = 10e-6;

/// How long a ring of `wall` (mm, radial) warmed to `warm_c` stays loose on a partner of `cold_c`
/// which it drops over with `gap_um` to spare on the diameter, when `hand_um` of that is what a hand
/// needs. `growth` is the ring's µm for each kelvin.
///
/// A body of one temperature (lumped capacity) loses heat through the film of air in the gap, whose
/// mean thickness on the way to gripping is a quarter of the diametral gap; in the hand, to still air
/// on all sides. Where the ring leans on its seat it grips sooner: the times are upper bounds.
pub fn cooling(wall: f64, warm_c: f64, cold_c: f64, gap_um: f64, hand_um: f64, growth: f64) -> Cooling {
    let rise = warm_c - cold_c;
    let seconds = |lost_um: f64, time_constant: f64| {
        let left = 1.0 - (lost_um / growth).max(0.0) / rise;
        if left > 0.0 { -time_constant * left.ln() } else { f64::INFINITY }
    };
    let film = AIR_CONDUCTS / (gap_um.max(1.0) / 4.0 / 1000.0);
    Cooling {
        in_hand_s: seconds(gap_um - hand_um, STEEL_HEAT * wall / (2.0 * AIR_COOLS)),
        on_seat_s: seconds(gap_um, STEEL_HEAT * wall / film),
    }
}

/// What is warmed or chilled, of a bearing and its partner.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Eases {
    /// The bearing is warmed.
    WarmBearing,
    /// Housing or shaft is warmed.
    WarmPartner,
    /// The bearing is chilled.
    ColdBearing,
    /// Housing or shaft is chilled.
    ColdPartner,
}

/// The cautions that go with one of them, the gravest first.
pub fn cautions(eases: Eases, closure: Closure) -> Vec<&'static str> {
    let mut said = match eases {
        Eases::WarmBearing => vec![
            "Wear dry leather gloves and eye protection: a ring this warm burns at once.",
            "Never warm a bearing with a flame; use an oven, a hot plate with a thermometer or an induction heater, and hold the limit.",
            "A warm ring is not pushed by plastic: drop it on by hand, and hold it home with a steel tube or a piece of hardwood.",
            "Hold the ring against its shoulder until it has cooled; it draws away from the shoulder as it shrinks.",
        ],
        Eases::WarmPartner => vec![
            "Wear dry leather gloves and eye protection: metal this warm burns at once.",
            "No flame: warm the housing evenly, in an oven or by hot air with a thermometer, with plastic, wiring and oil well away.",
            "A print softens against warm metal: set the bearing in by hand, and hold it home with a steel tube or a piece of hardwood until all is cold.",
        ],
        Eases::ColdBearing => vec![
            "Wear dry gloves and eye protection: metal from the freezer or dry ice sticks to skin.",
            "A chilled part gathers frost: wipe it, oil it and be quick, or the film of water rusts the seat.",
            "Do not chill the bearing below -50 °C, nor by liquid nitrogen: the steel grows when part of it transforms.",
        ],
        Eases::ColdPartner => vec![
            "Wear dry gloves and eye protection: metal from the freezer or dry ice sticks to skin.",
            "A chilled part gathers frost: wipe it, oil it and be quick, or the film of water rusts the seat.",
        ],
    };
    if eases == Eases::WarmBearing && closure != Closure::Open {
        said.insert(1, "This bearing is greased for life: no oil bath, no solvent, and no more than its limit temperature.");
    }
    said
}

#[cfg(test)]
mod tests {
    use super::*;

    const STEEL: f64 = 12e-6;

    fn cold() -> Warming {
        Warming {
            diameter: 30.0,
            outer_expansion: 12.5e-6,
            inner_expansion: 11.5e-6,
            outer_c: 20.0,
            inner_c: 20.0,
        }
    }

    #[test]
    fn a_warm_ring_grows_by_its_coefficient() {
        // 30 mm of steel by 80 K: 30·12e-6·80 = 28.8 µm.
        assert!((growth_um(30.0, STEEL, 80.0) - 28.8).abs() < 1e-9);
        assert!((rise_to_open(18.8, 10.0, 30.0, STEEL).unwrap() - 80.0).abs() < 1e-3);
        assert_eq!(rise_to_open(-50.0, 10.0, 30.0, STEEL).unwrap(), 0.0);
    }

    #[test]
    fn warming_one_partner_and_chilling_the_other_add_up() {
        let warm = Warming { outer_c: 80.0, ..cold() }.eased_um().unwrap();
        let chilled = Warming { inner_c: -18.0, ..cold() }.eased_um().unwrap();
        let both = Warming { outer_c: 80.0, inner_c: -18.0, ..cold() }.eased_um().unwrap();
        // 60 K on 30 mm at 12.5e-6 is 22.5 µm, 38 K at 11.5e-6 is 13.11 µm.
        assert!((warm - 22.5).abs() < 1e-9 && (chilled - 13.11).abs() < 1e-9);
        assert!((both - warm - chilled).abs() < 1e-9);
        // 21 µm and the 15 that a hand needs, over 0.375 µm for each kelvin.
        assert!((cold().drops_on_c(21.0).unwrap() - (20.0 + 36.0 / 0.375)).abs() < 1e-9);
        assert!(Warming { inner_c: -18.0, ..cold() }.drops_on_c(21.0).unwrap() < 85.0);
        assert!(Warming { inner_c: f64::NAN, ..cold() }.eased_um().is_err());
    }

    #[test]
    fn an_aluminium_housing_in_a_cold_shop_is_tighter() {
        let shop = Warming { outer_expansion: 23e-6, outer_c: 5.0, inner_c: 5.0, ..cold() };
        assert!(shop.eased_um().unwrap() < -5.0);
    }

    #[test]
    fn a_closed_bearing_is_held_to_eighty_degrees() {
        for closure in [Closure::Shielded, Closure::Sealed] {
            assert_eq!(closure.limit_c().0, 80.0);
            let warmed = |closure| cautions(Eases::WarmBearing, closure);
            assert!(warmed(closure).len() > warmed(Closure::Open).len());
            assert!(cautions(Eases::ColdBearing, closure).iter().all(|said| !said.contains("warm ")));
        }
        assert!(Closure::Open.limit_c().0 <= 125.0);
    }

    #[test]
    fn a_warm_ring_grips_in_seconds_and_waits_for_a_minute_in_the_hand() {
        // A ring 4 mm thick, 80 °C on 20 °C with 14 µm to spare and 0.25 µm for each kelvin: a film of 3.5 µm
        // passes 8.3e-3 W/(mm²·K), so the time constant is 1.7 s, and the gap is gone after 56 of its 60 K.
        let found = cooling(4.0, 80.0, 20.0, 14.0, 10.0, 0.25);
        assert!(found.on_seat_s > 1.0 && found.on_seat_s < 10.0, "{found:?}");
        assert!(found.in_hand_s > 60.0 && found.in_hand_s < 600.0, "{found:?}");
    }
}
