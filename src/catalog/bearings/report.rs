//! What `fixwright bearing` prints: for a program, and for a person.

use super::{Bearing, Kind, Land, Suffix};
use crate::error::number;
use serde::Serialize;

/// One suffix in the JSON report.
pub type SuffixReport = Suffix;

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
    /// Band of the inner ring's face that may be touched; `null` when nothing is left.
    pub inner_land: Option<Land>,
    /// Band of the outer ring's face that may be touched; `null` when nothing is left.
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
    /// Every suffix with its meaning; `null` where none is known.
    pub suffixes: Vec<SuffixReport>,
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
        if let Some(tapered) = self.tapered {
            says.push(format!(
                "Cone and cup come apart and are pressed one by one. The cone's figures hold for either face{}; the cup's hold for its wide back face{}.",
                tapered.cone_back_shoulder.map_or(String::new(), |d| format!(
                    " (its back face, with the large rib, reaches out to {} mm)",
                    number(d)
                )),
                tapered.cup_front_clearance.map_or(String::new(), |d| format!(
                    ", on the thin front face stay outside {} mm, clear of cage and rollers",
                    number(d)
                )),
            ));
        }
        if self.kind == Kind::AngularContactBall {
            says.push("It goes in one way round: the wide face of a ring takes the axial load.".to_string());
        }
        let unknown: Vec<&str> = self.unknown_suffixes().collect();
        if !unknown.is_empty() {
            says.push(format!(
                "Unknown suffix '{}': look it up with the maker before trusting this.",
                unknown.join("', '")
            ));
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
    lines.push(line("inner ring", face(bearing.inner_land(), &bearing.inner_basis)));
    lines.push(line("outer ring", face(bearing.outer_land(), &bearing.outer_basis)));
    lines.push(line("sides", bearing.closure.to_string()));
    if bearing.snap_ring_groove {
        lines.push(line("snap ring", "groove in the outer ring".to_string()));
    }
    lines.push(line("takes", bearing.kind.load().to_string()));
    lines.push(line("setting", bearing.kind.adjustment().to_string()));
    for suffix in &bearing.suffixes {
        let meaning = suffix.meaning.as_deref().unwrap_or("unknown");
        lines.push(line(&suffix.text, meaning.to_string()));
    }
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

fn face(land: crate::error::Result<Land>, basis: &super::Basis) -> String {
    match land {
        Ok(land) => format!(
            "may be touched from {} to {} mm diameter; {basis}",
            number(land.inner_diameter),
            number(land.outer_diameter)
        ),
        Err(error) => format!("{} {}", error.says, error.remedy),
    }
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
        let text = note(&read("6204-2Z/C3 QQ9").unwrap());
        for part in
            ["20 x 47 x 14 mm", "23 to 26.3", "40.6 to 44", "shields on both sides", "Unknown suffix 'QQ9'"]
        {
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
