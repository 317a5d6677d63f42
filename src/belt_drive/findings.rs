//! What holds of a drive, and what is close.

use super::{Drive, LEAST_MESH};
use crate::catalog::belts::{Stock, StockedLength};
use crate::catalog::pulleys;
use crate::checks::{Finding, Level, Relation};
use crate::error::number;

impl Drive {
    /// What holds and what is close.
    pub fn findings(&self) -> Vec<Finding> {
        vec![self.mesh_finding(), self.pulley_finding(), self.pulley_stock_finding(), self.stock_finding()]
    }

    pub(super) fn mesh_finding(&self) -> Finding {
        let mesh = self.mesh();
        let more = (f64::from(LEAST_MESH * self.small_teeth()) / f64::from(mesh.max(1))).ceil() as u32;
        Finding::at_least(
            "belt-teeth-in-mesh",
            (f64::from(mesh), f64::from(LEAST_MESH), ""),
            Level::Caution,
            format!("{mesh} teeth of the smaller pulley ({} teeth) carry the belt.", self.small_teeth()),
            format!("Move the axes apart with a longer belt, or give the smaller pulley about {more} teeth."),
            "makers' manuals rate belts at 6 or more teeth in mesh (ISO 5295:2017, from memory)",
        )
    }

    pub(super) fn pulley_finding(&self) -> Finding {
        let (teeth, least) = (self.small_teeth(), self.profile.least_teeth);
        Finding::at_least(
            "pulley-teeth",
            (f64::from(teeth), f64::from(least), ""),
            Level::Caution,
            format!(
                "The smaller pulley has {teeth} teeth; {} cords bend safely round {least} or more.",
                self.profile.name
            ),
            format!("Take a pulley of at least {least} teeth and keep the ratio."),
            self.profile.least_teeth_source.clone(),
        )
    }

    /// Whether makers keep pulleys of these tooth counts.
    pub(super) fn pulley_stock_finding(&self) -> Finding {
        let stocked = pulleys::stocked_teeth(self.profile);
        let both = [self.spindle_teeth, self.encoder_teeth];
        let missing: Vec<u32> = both.into_iter().filter(|teeth| !stocked.contains(teeth)).collect();
        let nearest = both.map(|teeth| pulleys::nearest_stocked(self.profile, teeth).unwrap_or(teeth));
        let names: Vec<String> = missing.iter().map(u32::to_string).collect();
        Finding::at_least(
            "pulley-stock",
            (2.0 - missing.len() as f64, 2.0, ""),
            Level::Caution,
            match missing.is_empty() {
                true => format!("{} pulleys of both tooth counts are in makers' lists.", self.profile.name),
                false => format!(
                    "{} pulleys of {} teeth are in none of the makers' lists looked through.",
                    self.profile.name,
                    names.join(" and of ")
                ),
            },
            format!(
                "Give --pulleys {},{}: the nearest that are kept, which changes the ratio; or have one made, or print it (fixwright pulley).",
                nearest[0], nearest[1]
            ),
            "makers' lists of stocked pulleys; many tooth counts from memory",
        )
    }

    pub(super) fn stock_finding(&self) -> Finding {
        let values = |found: f64| (found, 1.0, "");
        let widths = self.profile.usual_widths();
        if !widths.iter().any(|w| (w - self.width).abs() < 0.06) {
            let sold: Vec<String> = widths.iter().map(|w| number(*w)).collect();
            return Finding::settled(
                "belt-stock",
                Relation::AtLeast,
                values(0.0),
                Level::Caution,
                format!("{} belts are not sold {} mm wide as a rule.", self.profile.name, number(self.width)),
                format!("Take one of the usual widths: --width {}.", sold.join(", ")),
                "the usual widths in makers' lists",
            );
        }
        match self.stocked() {
            Some(row) if row.stock == Stock::Common => Finding::at_least(
                "belt-stock",
                values(1.0),
                Level::Caution,
                format!("{} is a stocked length.", row.designation),
                "",
                row.source.clone(),
            ),
            Some(row) => Finding::settled(
                "belt-stock",
                Relation::AtLeast,
                values(0.5),
                Level::Caution,
                format!("{} is in some makers' ranges but not on every shelf.", row.designation),
                "Find a seller before you print, or take a common length nearby.",
                row.source.clone(),
            ),
            None => {
                let near = self.nearest_stocked();
                Finding::settled(
                    "belt-stock",
                    Relation::AtLeast,
                    values(0.0),
                    Level::Caution,
                    format!(
                        "No maker in the table stocks a closed {} belt of {} teeth.",
                        self.profile.name, self.belt_teeth
                    ),
                    near,
                    "table of stocked lengths",
                )
            }
        }
    }

    fn nearest_stocked(&self) -> String {
        let mut rows: Vec<&StockedLength> = self.profile.lengths().collect();
        rows.sort_by_key(|row| row.teeth.abs_diff(self.belt_teeth));
        let list: Vec<String> =
            rows.iter().take(3).map(|row| format!("{} ({} teeth)", row.designation, row.teeth)).collect();
        format!("Take one of {}.", list.join(", "))
    }
}
