//! What sorts of bearing there are, and what closes their sides.

use serde::{Deserialize, Serialize};
use std::fmt;

/// What sort of bearing it is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Kind {
    /// Single row deep groove ball bearing.
    DeepGrooveBall,
    /// Single row angular contact ball bearing.
    AngularContactBall,
    /// Double row angular contact ball bearing.
    DoubleRowAngularContactBall,
    /// Self-aligning ball bearing.
    SelfAligningBall,
    /// Cylindrical roller bearing, ribs on the inner ring only.
    CylindricalRollerN,
    /// Cylindrical roller bearing, ribs on the outer ring only.
    CylindricalRollerNu,
    /// Cylindrical roller bearing, one rib on the inner ring.
    CylindricalRollerNj,
    /// Cylindrical roller bearing, one rib and one loose rib on the inner ring.
    CylindricalRollerNup,
    /// Single row tapered roller bearing: cone and cup.
    TaperedRoller,
    /// Known by its three measured dimensions only.
    Measured,
}

impl Kind {
    /// The name as a colleague would say it, without an article.
    pub fn name(self) -> &'static str {
        match self {
            Self::DeepGrooveBall => "deep groove ball bearing",
            Self::AngularContactBall => "single row angular contact ball bearing",
            Self::DoubleRowAngularContactBall => "double row angular contact ball bearing",
            Self::SelfAligningBall => "self-aligning ball bearing",
            Self::CylindricalRollerN => "cylindrical roller bearing N (no ribs on the outer ring)",
            Self::CylindricalRollerNu => "cylindrical roller bearing NU (no ribs on the inner ring)",
            Self::CylindricalRollerNj => "cylindrical roller bearing NJ (one rib on the inner ring)",
            Self::CylindricalRollerNup => {
                "cylindrical roller bearing NUP (one rib and a loose rib on the inner ring)"
            }
            Self::TaperedRoller => "tapered roller bearing",
            Self::Measured => "bearing known by measurement",
        }
    }

    /// The directions in which it takes load.
    pub fn load(self) -> &'static str {
        match self {
            Self::DeepGrooveBall => "radial load, and moderate axial load both ways",
            Self::AngularContactBall => "radial load with axial load one way only",
            Self::DoubleRowAngularContactBall => "radial load with axial load both ways, and tilting moments",
            Self::SelfAligningBall => {
                "radial load with little axial load both ways; forgives a misaligned shaft"
            }
            Self::CylindricalRollerN | Self::CylindricalRollerNu => {
                "heavy radial load, no axial load; the shaft may move along"
            }
            Self::CylindricalRollerNj => "heavy radial load, light axial load one way",
            Self::CylindricalRollerNup => "heavy radial load, light axial load both ways",
            Self::TaperedRoller => "heavy radial load with heavy axial load one way only",
            Self::Measured => "unknown: the kind was not given",
        }
    }

    /// What tells it from others of its size, with the bearing in the hand.
    pub fn in_the_hand(self) -> &'static str {
        match self {
            Self::DeepGrooveBall => "one row of balls; both faces alike, nothing comes apart or swivels",
            Self::AngularContactBall => {
                "one row of balls; the inner ring stands higher on one face than on the other"
            }
            Self::DoubleRowAngularContactBall => "two rows of balls; the outer ring does not swivel",
            Self::SelfAligningBall => "two rows of balls; the outer ring swivels over them",
            Self::CylindricalRollerN => "straight rollers; the outer ring slides off both ways",
            Self::CylindricalRollerNu => "straight rollers; the inner ring slides out both ways",
            Self::CylindricalRollerNj => "straight rollers; the inner ring slides out one way only",
            Self::CylindricalRollerNup => {
                "straight rollers; the inner ring slides out only with its loose flat rib"
            }
            Self::TaperedRoller => "tapered rollers; the cone lifts out of the cup",
            Self::Measured => "unknown",
        }
    }

    /// Whether it must be set against a second bearing, in words.
    pub fn adjustment(self) -> &'static str {
        match self {
            Self::DeepGrooveBall | Self::SelfAligningBall => {
                "needs no adjustment; locates the shaft both ways"
            }
            Self::AngularContactBall => {
                "must be paired and adjusted axially against a second bearing; mind which way round it goes"
            }
            Self::DoubleRowAngularContactBall => "needs no adjustment; locates the shaft both ways",
            Self::CylindricalRollerN | Self::CylindricalRollerNu => {
                "needs no adjustment; another bearing must locate the shaft"
            }
            Self::CylindricalRollerNj => {
                "needs no adjustment; locates the shaft one way, another bearing the other"
            }
            Self::CylindricalRollerNup => "needs no adjustment; locates the shaft both ways",
            Self::TaperedRoller => {
                "must be paired and adjusted axially against a second bearing; cone and cup come apart"
            }
            Self::Measured => "unknown: the kind was not given",
        }
    }
}

impl fmt::Display for Kind {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.name())
    }
}

/// What closes a bearing's side.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Cover {
    /// Nothing.
    #[default]
    Open,
    /// A sheet-metal shield with a gap at the inner ring.
    Shield,
    /// A rubber seal that does not touch, or touches lightly.
    LowFrictionSeal,
    /// A rubber seal that rubs on the inner ring.
    ContactSeal,
}

/// The cover and how many sides wear one.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize)]
pub struct Closure {
    /// The tightest cover on either side.
    pub cover: Cover,
    /// 0, 1 or 2.
    pub sides: u8,
}

impl fmt::Display for Closure {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let one = self.sides == 1;
        f.write_str(match (self.cover, one) {
            (Cover::Open, _) => "open",
            (Cover::Shield, true) => "shielded on one side",
            (Cover::Shield, false) => "shielded on both sides",
            (Cover::LowFrictionSeal, true) => "low-friction seal on one side",
            (Cover::LowFrictionSeal, false) => "low-friction seals on both sides",
            (Cover::ContactSeal, true) => "contact seal on one side",
            (Cover::ContactSeal, false) => "contact seals on both sides",
        })
    }
}

impl Kind {
    /// One of N, NU, NJ and NUP.
    pub fn is_cylindrical(self) -> bool {
        matches!(
            self,
            Self::CylindricalRollerN
                | Self::CylindricalRollerNu
                | Self::CylindricalRollerNj
                | Self::CylindricalRollerNup
        )
    }
}

/// One of a bearing's two rings.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Side {
    /// The inner ring, on a shaft.
    Inner,
    /// The outer ring, in a housing.
    Outer,
}

impl Side {
    /// `inner` or `outer`.
    pub fn word(self) -> &'static str {
        match self {
            Self::Inner => "inner",
            Self::Outer => "outer",
        }
    }
}

/// A bearing that has the measured size.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Known {
    /// Its designation.
    pub designation: String,
    /// What it is, in words.
    pub kind: String,
    /// What tells it in the hand.
    pub told_by: &'static str,
}
