//! The job: what the person wants, as a file lists it.
//!
//! A job file is TOML. Its head names the job and what all parts share; each part is one entry of
//! an array of tables called after its kind:
//!
//! ```toml
//! title = "Coil winder, front spindle"
//! material = "PETG"
//!
//! [[sleeve]]
//! name = "front-inner"
//! bearing = "6204-2Z"
//! reach = "60mm"
//! ```

mod read;
pub mod schema;

use crate::design::{Kind, Part};
use crate::error::Result;
use crate::parts::KINDS;
use crate::text;
use crate::workshop::Workshop;
use std::path::Path;

/// Longest job file, bytes.
pub(crate) const LONGEST: u64 = 1 << 20;

/// The keys of the job's head that its parts share.
pub(crate) const HEAD_KEYS: [&str; 4] = ["printer", "material", "tolerance", "units"];

/// What every part shares, on the command line as in a job file.
#[derive(Clone, Debug, Default, PartialEq, clap::Args, serde::Deserialize, schemars::JsonSchema)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
pub struct Shared {
    /// Name of the part; its files are called after it
    #[arg(long, value_name = "NAME")]
    #[schemars(length(max = 100), regex(pattern = r"^[^\s./\\:-]([^/\\:]*[^\s./\\:])?$"))]
    pub name: Option<String>,
    /// Printer preset (`fixwright presets` lists them), or the path of your own
    #[arg(long, value_name = "NAME")]
    pub printer: Option<String>,
    /// Printing material preset
    #[arg(long, value_name = "NAME")]
    pub material: Option<String>,
    /// Greatest distance between a round face and its triangles, mm [default: 0.01]
    #[arg(long, value_name = "MM")]
    pub tolerance: Option<crate::units::Length>,
    /// Tell every size in inches too: inch; or metric alone [default: metric]
    #[arg(long, value_name = "UNITS")]
    pub units: Option<crate::units::Units>,
    /// Mark the part with a text, in letters on a face that does no work, such as "6204 inner"
    #[arg(long, value_name = "TEXT")]
    pub mark: Option<String>,
    /// Print only a slice to try the fit on, such as nose or bore; a name that the part lacks is answered with those it has
    #[arg(long, value_name = "NAME")]
    pub slice: Option<String>,
    /// Let this stop through; the report will always say so (repeatable)
    #[arg(long, value_name = "CHECK")]
    #[serde(default)]
    pub accept: Vec<String>,
}

/// The keys of [`Shared`], which a part's table may hold beside the part's own.
const SHARED_KEYS: [&str; 8] =
    ["name", "printer", "material", "tolerance", "units", "mark", "slice", "accept"];

impl Shared {
    /// The printer and material, with the preset everyone starts from where no printer is named, and
    /// `usual` where no material is.
    pub fn workshop(&self, usual: &str) -> Result<Workshop> {
        Workshop::find(
            self.printer.as_deref().unwrap_or(Workshop::PRINTER),
            self.material.as_deref().unwrap_or(usual),
            self.tolerance.map_or(Workshop::CHORD_TOLERANCE, crate::units::Length::mm),
        )
    }

    /// A printer that is named by a path is looked for in a folder first.
    pub(crate) fn look_beside(&mut self, folder: &Path) {
        let printer = self.printer.iter_mut().filter(|name| name.ends_with(".toml"));
        for name in printer {
            let beside = folder.join(&*name);
            if beside.is_file() {
                *name = beside.to_string_lossy().into_owned();
            }
        }
    }

    /// These, with what they leave open taken from `head`.
    fn or(self, head: &Shared) -> Shared {
        Shared {
            name: self.name,
            printer: self.printer.or_else(|| head.printer.clone()),
            material: self.material.or_else(|| head.material.clone()),
            tolerance: self.tolerance.or(head.tolerance),
            units: self.units.or(head.units),
            mark: self.mark,
            slice: self.slice,
            accept: self.accept.into_iter().chain(head.accept.iter().cloned()).collect(),
        }
    }
}

/// The job files that come with the program: name and text.
pub const JOBS: [(&str, &str); 10] = [
    ("sleeve", include_str!("../../presets/jobs/sleeve.toml")),
    ("receiver", include_str!("../../presets/jobs/receiver.toml")),
    ("bracket", include_str!("../../presets/jobs/bracket.toml")),
    ("plate", include_str!("../../presets/jobs/plate.toml")),
    ("guard", include_str!("../../presets/jobs/guard.toml")),
    ("pulley", include_str!("../../presets/jobs/pulley.toml")),
    ("panel", include_str!("../../presets/jobs/panel.toml")),
    ("adapter", include_str!("../../presets/jobs/adapter.toml")),
    ("coupon", include_str!("../../presets/jobs/coupon.toml")),
    ("coil-winder", include_str!("../../presets/jobs/coil-winder.toml")),
];

/// One part to be made.
pub struct Order {
    /// The kind's name.
    pub kind: &'static str,
    /// What all parts share.
    pub shared: Shared,
    /// The part itself.
    pub part: Box<dyn Part>,
    /// What was asked, as it was typed: option or key without dashes, and its value.
    pub asked: Vec<(String, String)>,
}

impl Order {
    /// The order of one part's answers alone, as its table in a job file would hold them.
    pub fn read(kind: &Kind, answers: toml::Table, head: &Shared) -> Result<Order> {
        read::order(kind, answers, head)
    }

    /// The name its files are written under.
    pub fn name(&self) -> String {
        self.shared.name.clone().unwrap_or_else(|| self.part.default_name())
    }
}

/// A job: its title and its parts, in the order of the file.
pub struct Job {
    /// What the job is called.
    pub title: String,
    /// Its parts.
    pub orders: Vec<Order>,
    /// Whether these are all its parts, so that what tells of all of them is written too.
    pub whole: bool,
}

impl Job {
    /// Reads a job file; the presets it names by a path are looked for beside it.
    pub fn open(path: &Path, kinds: &[Kind]) -> Result<Job> {
        let step = "Give the path of a TOML job file, such as presets/jobs/coil-winder.toml.";
        let mut job = Self::read_kinds(&text::read(path, "The job file", LONGEST, step)?, kinds)?;
        job.look_beside(path.parent().unwrap_or(Path::new("")));
        Ok(job)
    }

    /// Presets that are named by a path are looked for in a folder first.
    pub(crate) fn look_beside(&mut self, folder: &Path) {
        self.orders.iter_mut().for_each(|order| order.shared.look_beside(folder));
    }

    /// Reads the text of a job file. Unknown keys, unknown kinds, parts of one name and an empty job are
    /// refused, everything that is wrong at once.
    pub fn read(text: &str) -> Result<Job> {
        Self::read_kinds(text, KINDS)
    }

    /// [`Job::read`] for kinds of part other than this crate's own.
    pub fn read_kinds(text: &str, kinds: &[Kind]) -> Result<Job> {
        read::read(text, kinds)
    }
}
