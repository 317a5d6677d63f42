//! What `fixwright bearing` prints: for a program, and for a person.

use super::bearing::{Bearing, Pair, Suffix};
use super::kind::{Kind, Known, Side};
use super::lands::{Face, Land};
use super::seats::{Clearance, SeatClass, Shoulder, SpringPreload};
use crate::error::number;
use serde::Serialize;

/// Everything known of a bearing, as JSON. Millimetres.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct BearingReport {
    /// Basic designation.
    pub designation: String,
    /// What was typed.
    pub asked: String,
    /// Its kind.
    pub kind: Kind,
    /// Bore.
    pub bore: f64,
    /// Outside diameter.
    pub outside: f64,
    /// Width; for tapered bearings assembled.
    pub width: f64,
    /// Least chamfer.
    pub chamfer_min: f64,
    /// Largest radial chamfer at the bore.
    pub chamfer_max_radial_inner: f64,
    /// Largest radial chamfer at the outside.
    pub chamfer_max_radial_outer: f64,
    /// Inner ring's face reaches out to here.
    pub inner_shoulder: f64,
    /// Outer ring's face reaches in to here.
    pub outer_shoulder: f64,
    /// Where the shoulders come from.
    pub shoulder_basis: String,
    /// The band that may be touched on every face of both rings; none where nothing is left.
    pub lands: Vec<Land>,
    /// Band of the inner ring's face that may be touched, whichever face is met; `null` when nothing is left.
    pub inner_land: Option<Land>,
    /// Band of the outer ring's face that may be touched, whichever face is met; `null` when nothing is left.
    pub outer_land: Option<Land>,
    /// Width of the cone.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub cone_width: Option<f64>,
    /// Width of the cup.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub cup_width: Option<f64>,
    /// Width of both together.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub assembled_width: Option<f64>,
    /// Least chamfer of the cup.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub cup_chamfer_min: Option<f64>,
    /// Shields and seals, in words.
    pub closure: String,
    /// Snap-ring groove in the outer ring.
    pub snap_ring_groove: bool,
    /// Snap ring on the outer ring.
    pub snap_ring: bool,
    /// Tapered bore.
    pub tapered_bore: bool,
    /// ISO 492 class: Normal, P6, P5, P4 or P2.
    pub precision: String,
    /// Internal clearance as stamped; Normal when nothing is.
    pub clearance: String,
    /// How the two of a matched pair stand.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub pair: Option<Pair>,
    /// Width of both bearings of a matched pair together.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub pair_width: Option<f64>,
    /// The shoulders of shaft and housing it stands against.
    pub shoulders: [Shoulder; 2],
    /// The usual classes of both seats.
    pub seat_classes: Vec<&'static SeatClass>,
    /// The groups of radial internal clearance it comes in, before mounting.
    pub clearances: Vec<&'static Clearance>,
    /// Spring preload of two on one shaft, N.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub spring_preload: Option<SpringPreload>,
    /// The bearings that have a measured size, and how they are told apart.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub known: Vec<Known>,
    /// Every suffix with its meaning.
    pub suffixes: Vec<Suffix>,
    /// The directions in which it takes load.
    pub load: &'static str,
    /// Whether it must be set against another bearing.
    pub adjustment: &'static str,
    /// What to mind when pressing it.
    pub cautions: Vec<String>,
    /// Where the boundary dimensions stand.
    pub source: String,
}

impl Bearing {
    /// The report of this bearing.
    pub fn report(&self) -> BearingReport {
        BearingReport {
            designation: self.designation.clone(),
            asked: self.asked.clone(),
            kind: self.kind,
            bore: self.bore,
            outside: self.outside,
            width: self.width,
            chamfer_min: self.chamfer_min,
            chamfer_max_radial_inner: self.chamfer_max_radial_inner,
            chamfer_max_radial_outer: self.chamfer_max_radial_outer,
            inner_shoulder: self.inner_shoulder,
            outer_shoulder: self.outer_shoulder,
            shoulder_basis: self.shoulder_basis(),
            lands: self.lands(),
            inner_land: self.inner_land().ok(),
            outer_land: self.outer_land().ok(),
            cone_width: self.tapered.map(|t| t.cone_width),
            cup_width: self.tapered.map(|t| t.cup_width),
            assembled_width: self.tapered.map(|t| t.assembled_width),
            cup_chamfer_min: self.tapered.map(|t| t.cup_chamfer_min),
            closure: self.closure.to_string(),
            snap_ring_groove: self.snap_ring_groove,
            snap_ring: self.snap_ring,
            tapered_bore: self.tapered_bore,
            precision: self.precision.to_string(),
            clearance: self.clearance.clone().unwrap_or_else(|| "Normal".to_string()),
            pair: self.pair,
            pair_width: self.pair.map(|_| 2.0 * self.width),
            shoulders: self.shoulders(),
            seat_classes: self.seat_classes(),
            clearances: self.clearances(),
            spring_preload: self.spring_preload(),
            known: self.known.clone(),
            suffixes: self.suffixes.clone(),
            load: self.kind.load(),
            adjustment: self.kind.adjustment(),
            cautions: self.cautions(),
            source: self.source.clone(),
        }
    }

    /// What to mind when pressing this bearing, one sentence each, the gravest first.
    pub fn cautions(&self) -> Vec<String> {
        let mut says = Vec::new();
        if self.tapered_bore {
            says.push(
                "The bore is tapered: it seats on a tapered shaft or an adapter sleeve, driven up by a nut until the clearance is right. A plain sleeve cannot tell when."
                    .to_string(),
            );
        }
        if self.flanged {
            says.push(
                "The outer ring has a flange that is not in the tables: press on the inner ring, or measure."
                    .to_string(),
            );
        }
        if self.snap_ring {
            says.push(
                "A snap ring stands proud of the outside diameter: take it off before pressing into a plain bore."
                    .to_string(),
            );
        }
        if self.ball_protrusion > 0.0 {
            says.push(format!(
                "The balls stand {} mm proud of the ring faces: a flat face over both rings would rest on them.",
                number(self.ball_protrusion)
            ));
        }
        if self.tapered.is_some() {
            says.push(
                "Cone and cup come apart and are pressed one by one. Their thick back faces go against the shoulders of shaft and housing, so a sleeve meets the thin front faces, beside the cage."
                    .to_string(),
            );
        }
        if let Some(pair) = self.pair {
            says.push(format!(
                "A matched pair, two of {} mm, together {} mm, mounted {}. Keep the pair and its marks together. Forces are those of both seats; pressed one after the other each needs half.",
                number(self.width),
                number(2.0 * self.width),
                pair.words()
            ));
        }
        if !self.known.is_empty() {
            let list: Vec<String> =
                self.known.iter().map(|k| format!("{} ({}: {})", k.designation, k.kind, k.told_by)).collect();
            says.push(format!(
                "Known bearings of this size: {}. The least land of those a sleeve is for is taken: give the designation for its own.",
                list.join("; ")
            ));
        } else if self.kind == Kind::Measured {
            says.push(
                "No bearing of the tables has this size: read the stamp, or measure bore and outside diameter by micrometer."
                    .to_string(),
            );
        }
        if self.kind == Kind::AngularContactBall {
            says.push("It goes in one way round: the wide face of a ring takes the axial load.".to_string());
        }
        says
    }
}

/// What is known of a bearing, as a colleague would note it down.
pub fn note(bearing: &Bearing) -> String {
    let mut lines = vec![headline(bearing), String::new()];
    lines.push(line(
        "size",
        format!(
            "{} x {} x {} mm (bore x outside x width)",
            number(bearing.bore),
            number(bearing.outside),
            number(bearing.width)
        ),
    ));
    if let Some(t) = bearing.tapered {
        lines.push(line(
            "rings",
            format!(
                "cone {} wide, cup {} wide, together {} mm",
                number(t.cone_width),
                number(t.cup_width),
                number(t.assembled_width)
            ),
        ));
    }
    lines.push(line("chamfer", chamfers(bearing)));
    for ring in [Side::Inner, Side::Outer] {
        lines.extend(faces(bearing, ring));
    }
    lines.extend(seats(bearing));
    lines.push(line("sides", bearing.closure.to_string()));
    if bearing.snap_ring_groove {
        lines.push(line("snap ring", "groove in the outer ring".to_string()));
    }
    lines.push(line("takes", bearing.kind.load().to_string()));
    lines.push(line("setting", bearing.kind.adjustment().to_string()));
    lines.extend(bearing.spring_words().map(|words| line("spring", words)));
    for suffix in &bearing.suffixes {
        lines.push(line(&suffix.text, suffix.meaning.clone()));
    }
    if let Some(pair) = bearing.pair {
        lines.push(line(
            "pair",
            format!("{} mm wide together, {}", number(2.0 * bearing.width), pair.words()),
        ));
    }
    lines.push(line("class", format!("{} (ISO 492)", bearing.precision)));
    lines.push(line("source", bearing.source.clone()));
    let cautions = bearing.cautions();
    if !cautions.is_empty() {
        lines.push(String::new());
        lines.extend(cautions.iter().map(|caution| format!("Mind: {caution}")));
    }
    lines.join("\n") + "\n"
}

fn headline(bearing: &Bearing) -> String {
    let also = if same_letters(&bearing.asked, &bearing.designation) {
        String::new()
    } else {
        format!(" (asked for as {})", bearing.asked)
    };
    format!("{}: {}{also}", bearing.designation, bearing.kind)
}

fn same_letters(a: &str, b: &str) -> bool {
    a.to_uppercase().starts_with(&b.to_uppercase())
}

fn line(what: &str, text: String) -> String {
    format!("  {what:<11} {text}")
}

fn chamfers(bearing: &Bearing) -> String {
    let (inner, outer) = (bearing.chamfer_max_radial_inner, bearing.chamfer_max_radial_outer);
    let least = match bearing.tapered {
        Some(t) => format!(
            "at least {} on the cone, {} on the cup",
            number(bearing.chamfer_min),
            number(t.cup_chamfer_min)
        ),
        None => format!("at least {}", number(bearing.chamfer_min)),
    };
    if inner == outer {
        format!("{least}, up to {} mm along the face (ISO 582)", number(inner))
    } else {
        format!("{least}; up to {} and {} mm along the face (ISO 582)", number(inner), number(outer))
    }
}

/// What shaft and housing must be: shoulders, fillets, usual classes.
fn seats(bearing: &Bearing) -> Vec<String> {
    [Side::Inner, Side::Outer].into_iter().flat_map(|ring| seat(bearing, ring)).collect()
}

/// What one seat must be, a line each: its shoulder and fillet, its usual classes.
pub fn seat(bearing: &Bearing, ring: Side) -> Vec<String> {
    let mut lines = Vec::new();
    for shoulder in bearing.shoulders().into_iter().filter(|shoulder| shoulder.ring == ring) {
        let partner = if shoulder.ring == Side::Inner { "shaft" } else { "housing" };
        lines.push(line(partner, format!("shoulder {}", shoulder.limits())));
        let classes = bearing.seat_classes();
        let of_ring = classes.iter().filter(|row| row.ring == shoulder.ring);
        let words: Vec<String> = of_ring
            .map(|row| {
                let turns = if row.turns == "yes" { "turning" } else { "standing" };
                format!("{} ({turns} ring, {} load, {})", row.class, row.load, row.metal)
            })
            .collect();
        lines.push(line("", format!("usual class {}", words.join("; "))));
    }
    lines
}

/// One line a face: what may be touched of it, and why.
fn faces(bearing: &Bearing, ring: Side) -> Vec<String> {
    let (what, land) = match ring {
        Side::Inner => ("inner ring", bearing.inner_land()),
        Side::Outer => ("outer ring", bearing.outer_land()),
    };
    let lands: Vec<Land> = bearing.lands().into_iter().filter(|land| land.ring == ring).collect();
    let mut lines: Vec<String> = lines_of(what, &lands);
    if let Err(error) = land {
        lines.push(line(what, format!("{} {}", error.says, error.remedy)));
    }
    lines
}

fn lines_of(what: &str, lands: &[Land]) -> Vec<String> {
    let word = |face| match face {
        Face::Back => "back face: ",
        Face::Front => "front face: ",
        Face::Either => "",
    };
    let text = |land: &Land| {
        format!(
            "{}may be touched from {} to {} mm diameter; {}",
            word(land.face),
            number(land.inner_diameter),
            number(land.outer_diameter),
            land.basis
        )
    };
    lands.iter().map(|land| line(what, text(land))).collect()
}

#[cfg(test)]
mod tests {
    use super::super::read;
    use super::*;

    #[test]
    fn the_json_report_carries_the_promised_names() {
        let json = serde_json::to_value(read("30204 J2/Q").unwrap().report()).unwrap();
        for key in [
            "designation",
            "kind",
            "bore",
            "outside",
            "width",
            "chamfer_min",
            "inner_shoulder",
            "outer_shoulder",
            "shoulder_basis",
            "suffixes",
            "cone_width",
            "cup_width",
            "assembled_width",
        ] {
            assert!(json.get(key).is_some(), "{key}");
        }
        assert_eq!(json["kind"], "tapered-roller");
        assert_eq!(json["assembled_width"], 15.25);
        assert_eq!(json["suffixes"][0]["text"], "J2");
        let json = serde_json::to_value(read("6204").unwrap().report()).unwrap();
        assert!(json.get("cone_width").is_none());
        assert!(json["shoulder_basis"].as_str().unwrap().contains("catalogue"));
    }

    #[test]
    fn the_note_tells_size_lands_and_letters() {
        let text = note(&read("6204-2Z/C3").unwrap());
        for part in [
            "20 x 47 x 14 mm",
            "23 to 26.3",
            "41 to 44",
            "shields on both sides",
            "least of SKF, Schaeffler, NSK, NTN",
        ] {
            assert!(text.contains(part), "{part}\n{text}");
        }
    }

    #[test]
    fn a_tapered_bore_says_why_a_plain_sleeve_will_not_do() {
        let b = read("1208 K").unwrap();
        assert!(b.cautions()[0].contains("tapered"));
        assert!(note(&read("1320").unwrap()).contains("2.5 mm proud"));
    }
}
