//! What would clear a finding: changes to the request, each tried on the whole pressing before it is
//! given.

use super::press::FREEZER_C;
use super::spec::{Closure, Drive, Ring, Sleeve};
use super::{Settled, checks, settle};
use crate::catalog::materials;
use crate::checks::{Finding, Level};
use crate::error::number;
use crate::fit;
use crate::units::Length;
use crate::workshop::{PRINTERS, Workshop};

/// A request changed in one respect (or in two that belong together), and the change in words.
struct Change {
    words: String,
    spec: Sleeve,
    workshop: Workshop,
}

/// Puts in the place of each finding's remedy the first change that was seen to clear it, or to turn a
/// stop into a caution, and that stops nothing else. Where none does, the remedy stays as it was.
pub fn advise(findings: &mut [Finding], spec: &Sleeve, workshop: &Workshop, settled: &Settled) {
    let stopped: Vec<&str> =
        findings.iter().filter(|finding| finding.level == Level::Stop).map(|finding| finding.check).collect();
    for finding in findings.iter_mut().filter(|finding| finding.level != Level::Ok) {
        let changes = Ladder { spec, workshop, settled }.changes(finding.check);
        let mut best: Option<(Level, String)> = None;
        for change in changes {
            let Some(level) = outcome(&change, finding.check, &stopped) else {
                continue;
            };
            let better = best.as_ref().map_or(finding.level, |(level, _)| *level);
            if level < better {
                best = Some((level, change.words));
            }
            if level == Level::Ok {
                break;
            }
        }
        if let Some((level, words)) = best {
            let still = if level == Level::Ok { "" } else { " (a caution stays)" };
            finding.remedy = Some(format!("{words}{still}."));
        }
    }
}

/// What becomes of a check under a change; `None` where the change cannot be made, or stops something
/// that was not stopped before.
fn outcome(change: &Change, check: &str, stopped: &[&str]) -> Option<Level> {
    let after = settle(&change.spec, &change.workshop).ok()?;
    let found = after.checked(&change.spec, &change.workshop).findings().ok()?;
    let harm = found.iter().any(|finding| finding.level == Level::Stop && !stopped.contains(&finding.check));
    let level = |found: &[Finding]| {
        found.iter().filter(|finding| finding.check == check).map(|finding| finding.level).max()
    };
    (!harm).then(|| level(&found).unwrap_or(Level::Ok))
}

struct Ladder<'a> {
    spec: &'a Sleeve,
    workshop: &'a Workshop,
    settled: &'a Settled,
}

impl Ladder<'_> {
    /// The changes that may help a check, the nearest first.
    fn changes(&self, check: &str) -> Vec<Change> {
        match check {
            "contact-crushing" | "nose-crushing" | "nose-wrinkling" => {
                flat([self.solid(), self.steel_nose(), self.heat(), self.materials()])
            }
            "body-crushing" | "column-bowing" | "flare-bursting" => {
                flat([self.solid(), self.bodies(), self.heat(), self.materials()])
            }
            "drive-crushing" => flat([self.solid(), self.rods(), self.end(), self.heat(), self.materials()]),
            "end-bending" | "end-shear" => {
                flat([self.solid(), self.ends(), self.end(), self.rods(), self.materials()])
            }
            "screw-proof" | "far-plate" | "rod-passes" | "thread-engagement" => {
                flat([self.rods(), self.strong_rods()])
            }
            "nose-wall" => flat([self.plays(), self.printers(), self.steel_nose()]),
            "land-clearance" => flat([self.plain_nose(), self.plays()]),
            "housing-clearance" => self.plain_nose(),
            "shaft-clearance" => self.plays(),
            "bed-size" | "bed-height" => self.printers(),
            "softening" | "bearing-heat" => self.heat(),
            "warm-mounting" => self.heat(),
            _ => vec![],
        }
    }

    fn with(&self, words: impl Into<String>, change: impl FnOnce(&mut Sleeve)) -> Change {
        let mut spec = self.spec.clone();
        change(&mut spec);
        Change { words: words.into(), spec, workshop: self.workshop.clone() }
    }

    fn solid(&self) -> Vec<Change> {
        if self.spec.infill.is_none_or(|infill| infill >= 100.0) {
            return vec![];
        }
        vec![self.with("Print it solid: leave --infill out, or give --infill 100", |s| s.infill = None)]
    }

    fn steel_nose(&self) -> Vec<Change> {
        if self.spec.steel_nose {
            return vec![];
        }
        vec![self.with(
            "Give --steel-nose: a turned steel ring, whose sizes are then told, takes the contact",
            |s| {
                s.steel_nose = true;
                s.nose_diameter = None;
                s.nose_length = None;
            },
        )]
    }

    /// Freezer, oven, and both. What is pressed by plastic is not warm; what is warm drops on by hand.
    fn heat(&self) -> Vec<Change> {
        let (warmed, chilled) = match self.spec.ring {
            Ring::Inner => ("bearing", "shaft"),
            Ring::Outer => ("housing", "bearing"),
            Ring::Both => ("housing", "shaft"),
        };
        let limit = fit::heat_closure(&self.settled.bearing).limit_c().0;
        let cold = number(FREEZER_C);
        let mut changes = Vec::new();
        if self.spec.warm.is_some() {
            changes.push(self.with("Leave --warm out and press cold", |s| s.warm = None));
        }
        let chill = format!("Chill the {chilled} in a freezer and give --chill {cold}");
        changes.push(self.with(chill, |s| (s.warm, s.chill) = (None, Some(FREEZER_C))));
        let warm =
            format!("Warm the {warmed} to {limit:.0} °C, drop it on by hand and give --warm {limit:.0}");
        changes.push(self.with(warm, |s| (s.warm, s.chill) = (Some(limit), None)));
        let both = format!(
            "Warm the {warmed} to {limit:.0} °C and chill the {chilled} in a freezer, join them by hand, and give --warm {limit:.0} --chill {cold}"
        );
        changes.push(self.with(both, |s| (s.warm, s.chill) = (Some(limit), Some(FREEZER_C))));
        changes
    }

    fn materials(&self) -> Vec<Change> {
        if self.spec.crush_reading.is_some() {
            return vec![];
        }
        let names = materials::material_names().into_iter();
        let others = names.filter_map(|name| materials::material(name).ok());
        let mut stronger: Vec<_> = others
            .filter(|other| other.compressive_yield > self.workshop.material.compressive_yield)
            .collect();
        stronger.sort_by(|a, b| a.compressive_yield.total_cmp(&b.compressive_yield));
        let change = |material: materials::Material| {
            let words = format!("Print it in {} (--material {})", material.label(), material.name);
            Change {
                words,
                spec: self.spec.clone(),
                workshop: Workshop { material, ..self.workshop.clone() },
            }
        };
        stronger.into_iter().map(change).collect()
    }

    fn printers(&self) -> Vec<Change> {
        let tolerance = self.workshop.chord_tolerance;
        let material = &self.workshop.material.name;
        let others = PRINTERS.iter().filter(|(name, _)| *name != self.workshop.printer.name);
        others
            .filter_map(|(name, _)| {
                let workshop = Workshop::find(name, material, tolerance).ok()?;
                let words = format!(
                    "Use a printer of {} mm line width and {} mm height (--printer {name})",
                    number(workshop.printer.line_width),
                    number(workshop.printer.bed[2])
                );
                Some(Change { words, spec: self.spec.clone(), workshop })
            })
            .collect()
    }

    fn bodies(&self) -> Vec<Change> {
        if self.spec.ring != Ring::Inner || self.spec.steel_nose {
            return vec![];
        }
        let now = self.settled.sizing.shape.body_diameter.ceil();
        let most = self.settled.bearing.outside;
        let sizes = (1..).map(|step| now + f64::from(step)).take_while(|size| *size < most);
        sizes
            .filter_map(|size| {
                let length = Length::from_mm(size).ok()?;
                Some(self.with(format!("Give --body-diameter {}", number(size)), |s| {
                    s.body_diameter = Some(length);
                }))
            })
            .collect()
    }

    fn ends(&self) -> Vec<Change> {
        let now = self.settled.sizing.shape.end_thickness.ceil();
        let sizes = (1..=24).map(|step| now + 2.0 * f64::from(step));
        sizes
            .filter_map(|size| {
                let length = Length::from_mm(size).ok()?;
                Some(self.with(format!("Give --end-thickness {}", number(size)), |s| {
                    s.end_thickness = Some(length);
                }))
            })
            .collect()
    }

    /// A flat end left open stands on the walls and has nothing to bend.
    fn end(&self) -> Vec<Change> {
        if self.spec.drive != Drive::Flat || self.spec.end == Closure::Open {
            return vec![];
        }
        vec![self.with("Give --end open: a plate then stands on the walls", |s| s.end = Closure::Open)]
    }

    fn rods(&self) -> Vec<Change> {
        let larger = checks::larger_rods(&self.settled.sizing).into_iter();
        larger
            .map(|size| {
                self.with(format!("Use an {size} rod (--rod {size})"), |s| s.rod = Some(size.to_string()))
            })
            .collect()
    }

    /// The same rod and the thinner ones in marked classes.
    fn strong_rods(&self) -> Vec<Change> {
        let mut changes = Vec::new();
        for class in ["8.8", "10.9"] {
            for size in ["M20", "M16", "M12", "M10", "M8", "M6"] {
                changes.push(self.with(
                    format!("Use an {size} rod marked {class} (--rod {size} --rod-class {class})"),
                    |s| (s.rod, s.rod_class) = (Some(size.to_string()), Some(class.to_string())),
                ));
            }
        }
        changes
    }

    fn plays(&self) -> Vec<Change> {
        let now = self.settled.sizing.play;
        [0.4, 0.3, 0.25, 0.2, 0.15, 0.1, 0.05]
            .into_iter()
            .filter(|play| (play - now).abs() > 1e-9)
            .filter_map(|play| {
                let length = Length::from_mm(play).ok()?;
                Some(self.with(format!("Give --play {}", number(play)), |s| s.play = Some(length)))
            })
            .collect()
    }

    fn plain_nose(&self) -> Vec<Change> {
        if self.spec.nose_diameter.is_none() && self.spec.body_diameter.is_none() {
            return vec![];
        }
        vec![self.with("Leave --nose-diameter and --body-diameter out", |s| {
            (s.nose_diameter, s.body_diameter) = (None, None);
        })]
    }
}

fn flat<const N: usize>(changes: [Vec<Change>; N]) -> Vec<Change> {
    changes.into_iter().flatten().collect()
}
