//! What warming the bearing or chilling the shaft takes off the interference.
//!
//! A ring that is warmer than its seat by ΔT is larger by `α·d·ΔT`. Enough of it and the ring drops
//! on with no force at all. The limits are the bearing's: above about 125 °C the ring steel itself
//! starts to change size, and grease, seals and shields give up long before.

use crate::error::{Error, Result, number, within};
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
            Closure::Shielded => (100.0, "the grease fill; makers' mounting handbooks, 100 °C (from memory)"),
            Closure::Sealed => (80.0, "SKF: sealed bearings are not to be heated above 80 °C"),
        }
    }
}

/// What a temperature plan does for one joint.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct WarmFit {
    /// Interference that is left with the bearing at its limit and the shaft as chilled, µm;
    /// negative where it drops on.
    pub left_um: f64,
    /// The bearing temperature at which it drops on with the gap wanted, °C.
    pub drops_on_c: f64,
    /// The most the bearing may be warmed to, °C.
    pub limit_c: f64,
    /// Where the limit stands.
    pub basis: &'static str,
    /// Whether it drops on within the limit.
    pub drops_on: bool,
}

/// The partners of a warm fit: which one is warm, which one cold.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Warming {
    /// Nominal diameter of the joint, mm.
    pub diameter: f64,
    /// Linear expansion of the partner that is warmed and goes around, 1/K.
    pub outer_expansion: f64,
    /// Linear expansion of the partner that stays or is chilled and goes in, 1/K.
    pub inner_expansion: f64,
    /// Temperature of the shop, °C.
    pub shop_c: f64,
    /// Temperature of the inner partner, °C: `shop_c` unless chilled.
    pub inner_c: f64,
}

impl Warming {
    /// Whether, and at what temperature, the ring drops on. `interference_um` is the most the sizes
    /// allow (µm), since the ring that sticks half way is the one that is ruined.
    ///
    /// Fails where a temperature lies outside −200 to 300 °C or a size or coefficient is no number.
    pub fn plan(&self, interference_um: f64, closure: Closure) -> Result<WarmFit> {
        within("the shop's temperature", self.shop_c, -30.0, 60.0, "°C")?;
        within("the chilled partner's temperature", self.inner_c, -200.0, 300.0, "°C")?;
        within("the inner partner's thermal expansion", self.inner_expansion, 1e-7, 1e-3, "1/K")?;
        if self.inner_c > self.shop_c {
            return Err(Error::request(
                format!(
                    "The partner that goes in is at {} °C, warmer than the shop at {} °C.",
                    number(self.inner_c),
                    number(self.shop_c)
                ),
                "Chill the partner that goes in and warm the one that goes around.",
            ));
        }
        let chilled_off = -growth_um(self.diameter, self.inner_expansion, self.inner_c - self.shop_c);
        let remaining = interference_um - chilled_off;
        let gap = assembly_clearance_um(self.diameter);
        let rise = rise_to_open(remaining, gap, self.diameter, self.outer_expansion)?;
        let (limit_c, basis) = closure.limit_c();
        let drops_on_c = self.shop_c + rise;
        Ok(WarmFit {
            left_um: remaining - growth_um(self.diameter, self.outer_expansion, limit_c - self.shop_c),
            drops_on_c,
            limit_c,
            basis,
            drops_on: drops_on_c <= limit_c,
        })
    }
}

/// The cautions that go with warming and chilling, the gravest first.
pub fn cautions(closure: Closure) -> Vec<&'static str> {
    let mut said = vec![
        "Wear dry leather gloves and eye protection: a ring this warm burns at once, and a part from the freezer or dry ice sticks to skin.",
        "Never warm a bearing with a flame; use an oven, a hot plate with a thermometer or an induction heater, and hold the limit.",
        "A printed sleeve must not touch a ring above its softening temperature: let it drop on by hand, then hold it home with a steel tube.",
        "A chilled shaft gathers frost: wipe it, oil it and be quick, or the film of water rusts the seat.",
        "Do not chill the bearing itself below -50 °C, nor an outer ring by liquid nitrogen: the steel grows when part of it transforms.",
        "Hold the ring against its shoulder until it has cooled; it draws away from the shoulder as it shrinks.",
    ];
    if closure != Closure::Open {
        said.insert(1, "This bearing is greased for life: no oil bath, no solvent, and no more than its limit temperature.");
    }
    said
}

#[cfg(test)]
mod tests {
    use super::*;

    const STEEL: f64 = 12e-6;

    #[test]
    fn a_warm_ring_grows_by_its_coefficient() {
        // 30 mm of steel by 80 K: 30·12e-6·80 = 28.8 µm.
        assert!((growth_um(30.0, STEEL, 80.0) - 28.8).abs() < 1e-9);
        assert!((rise_to_open(18.8, 10.0, 30.0, STEEL).unwrap() - 80.0).abs() < 1e-3);
        assert_eq!(rise_to_open(-50.0, 10.0, 30.0, STEEL).unwrap(), 0.0);
    }

    #[test]
    fn chilling_the_shaft_lowers_the_temperature_it_drops_on_at() {
        let mut warming = Warming {
            diameter: 30.0,
            outer_expansion: 12.5e-6,
            inner_expansion: 11.5e-6,
            shop_c: 20.0,
            inner_c: 20.0,
        };
        let warm = warming.plan(21.0, Closure::Open).unwrap();
        assert!((warm.drops_on_c - (20.0 + 36.0 / 0.375)).abs() < 1e-9);
        assert!(warm.drops_on);
        assert!(!warming.plan(21.0, Closure::Sealed).unwrap().drops_on);
        warming.inner_c = -18.0;
        let chilled = warming.plan(21.0, Closure::Open).unwrap();
        // 38 K off 30 mm at 11.5e-6 is 13.11 µm.
        assert!((warm.left_um - chilled.left_um - 13.11).abs() < 1e-9);
        assert!(chilled.drops_on && chilled.drops_on_c < warm.drops_on_c);
    }

    #[test]
    fn a_sealed_bearing_is_held_to_less_than_an_open_one() {
        let limit = |closure: Closure| closure.limit_c().0;
        assert!(
            limit(Closure::Sealed) < limit(Closure::Shielded)
                && limit(Closure::Shielded) < limit(Closure::Open)
        );
        assert!(limit(Closure::Open) <= 125.0);
        assert!(cautions(Closure::Sealed).len() > cautions(Closure::Open).len());
    }

    #[test]
    fn warming_the_wrong_partner_is_refused() {
        let warming = Warming {
            diameter: 30.0,
            outer_expansion: STEEL,
            inner_expansion: STEEL,
            shop_c: 20.0,
            inner_c: 80.0,
        };
        assert!(warming.plan(10.0, Closure::Open).is_err());
        let chilled = Warming { inner_c: f64::NAN, ..warming };
        assert!(chilled.plan(10.0, Closure::Open).is_err());
    }
}
