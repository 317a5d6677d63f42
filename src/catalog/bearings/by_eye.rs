//! What can be told of a bearing in the hand, and which bearings of a measured size look like that.

use super::bearing::Bearing;
use super::designation::read;
use super::kind::{Kind, Known};
use super::lands::Land;
use super::measured::WIDTH;
use serde::Deserialize;

/// Rows of what rolls.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Rows {
    /// One.
    One,
    /// Two.
    Two,
}

/// What rolls.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Rolling {
    /// Balls.
    Balls,
    /// Rollers, straight, tapered or barrel-shaped.
    Rollers,
}

/// What closes the sides.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Covers {
    /// Nothing: balls or rollers are in sight from both sides.
    Nothing,
    /// Sheet metal on one side.
    MetalOnOne,
    /// Sheet metal on both.
    MetalOnBoth,
    /// Rubber on one side.
    RubberOnOne,
    /// Rubber on both.
    RubberOnBoth,
}

impl Covers {
    /// The letters that may stand behind a designation (DIN 623-1): of rubber seals there are those that rub and
    /// those that do not, which no eye tells apart.
    fn letters(self) -> &'static [&'static str] {
        match self {
            Self::Nothing => &[""],
            Self::MetalOnOne => &["-Z"],
            Self::MetalOnBoth => &["-2Z"],
            Self::RubberOnOne => &["-RS", "-RZ"],
            Self::RubberOnBoth => &["-2RS", "-2RZ"],
        }
    }
}

/// Which ring slides off by hand.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Slides {
    /// Neither, pushed both ways.
    Neither,
    /// The inner ring comes out.
    Inner,
    /// The outer ring comes off.
    Outer,
}

/// What was told by eye and hand; what is left out leaves everything open.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "kebab-case", deny_unknown_fields, default)]
pub struct ByEye {
    /// Rows of what rolls.
    pub rows: Option<Rows>,
    /// What rolls.
    pub rolling: Option<Rolling>,
    /// What closes the sides.
    pub covers: Option<Covers>,
    /// Which ring slides off.
    pub slides: Option<Slides>,
}

/// A bearing that has the size and looks as it was told.
#[derive(Clone, Debug, PartialEq)]
pub struct Agreeing {
    /// Its designation, without what closes it.
    pub designation: String,
    /// What it is, and what tells it in the hand.
    pub told_by: String,
    /// The stamp its faces are taken by: with its covers, once they are told.
    pub stamp: Option<String>,
    /// Why there is no stamp, or why this one; a sentence, or nothing.
    pub says: &'static str,
}

/// The bearings of a measured size that look as it was told.
pub fn agreeing(size: &Bearing, eye: &ByEye) -> Vec<Agreeing> {
    let look = |known: &Known| {
        let (stamp, says) = match read(&known.designation) {
            Err(_) => {
                eye.agrees_with_words(&known.kind).then_some((None, "Nothing here is for this kind."))?
            }
            Ok(bearing) if !eye.agrees(bearing.kind) => return None,
            Ok(bearing) if eye.covers.is_none() && bearing.kind.wears_covers() => {
                (None, "Tell what closes its sides: a seal leaves less face than an open side.")
            }
            Ok(_) => closed(&known.designation, eye.covers.unwrap_or(Covers::Nothing), size.width)?,
        };
        let told_by = format!("{}: {}", known.kind, known.told_by);
        Some(Agreeing { designation: known.designation.clone(), told_by, stamp, says })
    };
    size.known.iter().filter_map(look).collect()
}

/// The stamp of a bearing with its covers, or why there is none; nothing where it would be of another width.
fn closed(designation: &str, covers: Covers, width: f64) -> Option<(Option<String>, &'static str)> {
    let stamps = covers.letters().iter().filter_map(|letters| read(&format!("{designation}{letters}")).ok());
    // Some are wider where they are closed.
    let all: Vec<Bearing> = stamps.filter(|one| (one.width - width).abs() <= 2.0 * WIDTH).collect();
    all.first()?;
    let least = all.iter().find(|one| all.iter().all(|other| is_within(one, other)));
    Some(match least {
        Some(least) if all.len() > 1 => {
            (Some(least.asked.clone()), "Of its two rubber seals the one that leaves less face is named.")
        }
        Some(least) => (Some(least.asked.clone()), ""),
        None => (None, "Read the letters behind its number: they say which of two rubber seals it has."),
    })
}

/// Whether a sleeve that keeps to the faces of the first keeps to those of the other too.
fn is_within(one: &Bearing, other: &Bearing) -> bool {
    let (ours, theirs) = (one.lands(), other.lands());
    let within = |(a, b): (&Land, &Land)| {
        (a.ring, a.face) == (b.ring, b.face)
            && a.outer_diameter <= b.outer_diameter
            && a.inner_diameter >= b.inner_diameter
    };
    ours.len() == theirs.len() && ours.iter().zip(&theirs).all(within)
}

impl ByEye {
    fn agrees(&self, kind: Kind) -> bool {
        let (rows, rolling, slides) = match kind {
            Kind::DeepGrooveBall | Kind::AngularContactBall => {
                (Rows::One, Rolling::Balls, &[Slides::Neither][..])
            }
            Kind::DoubleRowAngularContactBall | Kind::SelfAligningBall => {
                (Rows::Two, Rolling::Balls, &[Slides::Neither][..])
            }
            Kind::CylindricalRollerN => (Rows::One, Rolling::Rollers, &[Slides::Outer][..]),
            Kind::CylindricalRollerNu | Kind::CylindricalRollerNj | Kind::TaperedRoller => {
                (Rows::One, Rolling::Rollers, &[Slides::Inner][..])
            }
            // With its loose rib in place its inner ring stays.
            Kind::CylindricalRollerNup => {
                (Rows::One, Rolling::Rollers, &[Slides::Inner, Slides::Neither][..])
            }
            Kind::Measured => return true,
        };
        self.rows.is_none_or(|told| told == rows)
            && self.rolling.is_none_or(|told| told == rolling)
            && self.slides.is_none_or(|told| slides.contains(&told))
            && (kind.wears_covers() || self.covers.is_none_or(|told| told == Covers::Nothing))
    }

    /// The same for a kind that is known by its name only: left in wherever the name does not rule it out.
    fn agrees_with_words(&self, kind: &str) -> bool {
        match self.rolling {
            Some(Rolling::Balls) => !kind.contains("roller"),
            Some(Rolling::Rollers) => !kind.contains("ball"),
            None => true,
        }
    }
}

impl Kind {
    /// Whether shields or seals are made for it: only balls wear covers.
    pub(super) fn wears_covers(self) -> bool {
        !self.is_cylindrical() && self != Self::TaperedRoller
    }
}

#[cfg(test)]
mod tests {
    use super::super::all;
    use super::*;

    fn stamps(size: &str, eye: &ByEye) -> Vec<String> {
        agreeing(&read(size).unwrap(), eye).into_iter().filter_map(|one| one.stamp).collect()
    }

    #[test]
    fn what_is_seen_and_felt_leaves_the_bearings_that_look_so() {
        let covers = Some(Covers::Nothing);
        let one = |rolling, slides| ByEye {
            rows: Some(Rows::One),
            rolling: Some(rolling),
            covers,
            slides: Some(slides),
        };
        assert_eq!(stamps("20x47x14", &one(Rolling::Balls, Slides::Neither)), ["6204", "7204"]);
        assert_eq!(stamps("20x47x14", &one(Rolling::Rollers, Slides::Inner)), ["NU204", "NJ204", "NUP204"]);
        assert_eq!(stamps("20x47x14", &one(Rolling::Rollers, Slides::Outer)), ["N204"]);
        assert_eq!(stamps("20x47x14", &one(Rolling::Rollers, Slides::Neither)), ["NUP204"]);
        assert_eq!(stamps("20x47x14", &one(Rolling::Balls, Slides::Outer)), [""; 0]);
        let capped = ByEye { covers: Some(Covers::MetalOnBoth), ..ByEye::default() };
        assert_eq!(stamps("20x47x14", &capped), ["6204-2Z", "7204-2Z", "1204-2Z"]);
    }

    #[test]
    fn no_stamp_is_named_for_a_bearing_whose_sides_were_not_told() {
        let size = read("20x47x14").unwrap();
        let all = agreeing(&size, &ByEye::default());
        assert_eq!(all.len(), size.known.len());
        for one in all {
            let rollers = one.designation.starts_with('N');
            assert_eq!(one.stamp.is_some(), rollers, "{one:?}");
            assert_eq!(one.says.is_empty(), rollers, "{one:?}");
        }
    }

    #[test]
    fn a_kind_that_is_not_held_stays_in_sight_until_the_eye_rules_it_out() {
        let seen = |rolling| agreeing(&read("25x52x18").unwrap(), &ByEye { rolling, ..ByEye::default() });
        let names = |list: Vec<Agreeing>| list.into_iter().map(|one| one.designation).collect::<Vec<_>>();
        let spherical = |names: &[String]| names.iter().any(|name| name.starts_with("222"));
        assert!(spherical(&names(seen(None))) && spherical(&names(seen(Some(Rolling::Rollers)))));
        assert!(!spherical(&names(seen(Some(Rolling::Balls)))));
        assert!(seen(None).iter().all(|one| one.stamp.is_none() || one.designation.starts_with('N')));
    }

    #[test]
    fn of_two_rubber_seals_the_one_that_leaves_less_face_is_named() {
        let rubber = ByEye { covers: Some(Covers::RubberOnBoth), rows: Some(Rows::One), ..ByEye::default() };
        let named = |size: &str| stamps(size, &rubber)[0].clone();
        assert_eq!(named("20x47x14"), "6204-2RS");
        assert_eq!(named("120x260x55"), "6324-2RZ", "no catalogue tells where this seal begins");
        let mut seen = 0;
        for bearing in all().filter(|bearing| bearing.kind == Kind::DeepGrooveBall) {
            let size = read(&format!("{}x{}x{}", bearing.bore, bearing.outside, bearing.width)).unwrap();
            for stamp in stamps(&size.asked, &rubber) {
                seen += 1;
                let named = read(&stamp).unwrap();
                for other in
                    ["2RS", "2RZ"].map(|seal| read(&format!("{}-{seal}", named.designation)).unwrap())
                {
                    assert!(is_within(&named, &other), "{stamp} beside {}", other.asked);
                }
            }
        }
        assert!(seen > 100, "{seen}");
    }
}
