//! A kind of part added from outside the crate: a spacer for a screw. Its request derives what the
//! command line, job files and their schema need; its design is all that the formats ask for.
//! `cargo run --example spacer -- spacer --screw M8 --height 12 --format step,drawing`

use clap::Args;
use fixwright::catalog::fasteners;
use fixwright::design::{Extent, Feature, Mating, Notes, Origin, PrintNotes};
use fixwright::error::within;
use fixwright::prelude::*;
use fixwright::solid::{Body, Loop, Point2, Point3, Region, Vector3};

/// A spacer a person asks for.
#[derive(Clone, Debug, Default, Args, serde::Deserialize, schemars::JsonSchema)]
#[serde(rename_all = "kebab-case", deny_unknown_fields, default)]
pub struct Spacer {
    /// The screw that goes through it, M3 to M12 [default: M6]
    #[arg(long, value_name = "M..")]
    screw: Option<String>,
    /// How far it holds the two faces apart [default: 10]
    #[arg(long, value_name = "MM")]
    height: Option<Length>,
}

impl Spacer {
    fn screw(&self) -> &str {
        self.screw.as_deref().unwrap_or("M6")
    }
}

impl Part for Spacer {
    fn default_name(&self) -> String {
        format!("spacer-{}", self.screw().to_lowercase())
    }

    fn design(&self, workshop: &Workshop, name: &str) -> Result<Design> {
        let washer = fasteners::washer(self.screw())?;
        let height = within("--height", self.height.map_or(10.0, Length::mm), 1.0, 100.0, "mm")?;
        let (bore, outside) = (washer.inner + workshop.printer.hole_allowance, washer.outer);
        let disc = |diameter: f64| Loop::circle(Point2::origin(), diameter / 2.0);
        let tube = Region::new(disc(outside)?, vec![disc(bore)?])?;
        let screw = Body::prism(&disc(washer.inner - 0.4)?.into(), -5.0, height + 5.0)?;

        let top = Point3::new(0.0, 0.0, height);
        let up = |diameter| Extent::diameter(Vector3::z(), diameter, vec![top]);
        let table = || Origin::Table(format!("ISO 7089, washer for {}", self.screw()));
        let edge = Vector3::x() * (outside / 2.0);
        let tall = Extent::between(Vector3::z(), Point3::from(edge), top + edge);
        let sizes = vec![
            Size::at("bore", "bore", "", up(bore), table())
                .printed(Feature::Hole, workshop.printer.hole_allowance)
                .good(0.1, 0.3),
            Size::at("outside", "outside", "", up(outside), table()),
            Size::at("height", "height", "", tall, Origin::Given("--height".into()))
                .printed(Feature::Height, 0.0)
                .good(0.1, 0.1)
                .at_bench(0),
        ];
        let wall = (outside - bore) / 2.0;
        let lines = 2.0 * workshop.printer.line_width;
        Ok(Design {
            kind: "spacer",
            name: name.into(),
            sizes,
            findings: vec![Finding::at_least(
                "wall",
                (wall, lines, "mm"),
                Level::Stop,
                "The wall of the spacer is printed in two lines or more.",
                format!("Take a larger screw than {}.", self.screw()),
                "common practice: two lines of the nozzle",
            )],
            chord_tolerance: workshop.chord_tolerance,
            pieces: vec![Piece::new("", Body::prism(&tube, 0.0, height)?, workshop.chord_tolerance)?],
            mating: vec![Mating::clear("screw", screw).left_whole()],
            notes: Notes {
                purpose: format!("Holds two faces {height} mm apart on an {} screw.", self.screw()),
                print: PrintNotes {
                    material: workshop.material.name.clone(),
                    layer_mm: workshop.printer.layer,
                    ..PrintNotes::default()
                },
                steps: vec!["Slip it over the screw between the two faces, and tighten.".into()],
                ..Notes::default()
            },
            ..Design::default()
        })
    }
}

/// This crate's kinds and the one added here.
pub fn kinds() -> Vec<Kind> {
    let spacer = Kind::of::<Spacer>("spacer", "A spacer that holds two faces apart on a screw");
    KINDS.iter().copied().chain([spacer]).collect()
}

#[allow(dead_code, reason = "the test that runs this kind has a main of its own")]
fn main() -> std::process::ExitCode {
    fixwright::cli::run_kinds(&kinds(), std::env::args_os())
}
