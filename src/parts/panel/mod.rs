//! The panel: a flat plate with buttons, connectors, glands and meters where the person says.
//!
//! * [`spec`]: what the person says;
//! * `layout`: cut-outs, screws and outline; what stands in what's way;
//! * this file: the design with its checks and words.

mod layout;
pub mod spec;

pub use spec::Panel;

use super::drilled::{Hole, Walls, first_layers, print_findings, print_notes, wall_finding, walls};
use crate::catalog::fasteners;
use crate::catalog::least_strengths;
use crate::catalog::materials::{self, Material};
use crate::checks::{Finding, Level};
use crate::design::advice::{self, Ladder, by_steps};
use crate::design::change::Change;
use crate::design::made_with::MadeWith;
use crate::design::size::Shown;
use crate::design::{
    Design, Extent, Feature, Figure, Flat, FreeFace, Hardware, Lettered, Notes, Origin, Part, Piece, Size,
    Sizes,
};
use crate::error::{Result, hundredth, number};
use crate::parts::plate::Screw;
use crate::parts::plate::spec::Head;
use crate::solid::{Body, Point3, Region, Vector2, Vector3};
use crate::workshop::Workshop;
use layout::{Cutout, Layout};
use serde_json::{Map, json};

/// The view from above a panel, which prints face down.
const SEEN_FROM: &str = "seen from the front";

impl Part for Panel {
    fn default_name(&self) -> String {
        format!("panel-{}", self.place.len())
    }

    /// A cabinet is warmer than PLA bears.
    fn usual_material(&self) -> &'static str {
        "PETG"
    }

    fn design(&self, workshop: &Workshop, name: &str) -> Result<Design> {
        let (layout, mut piece, measured) = drawn(self, workshop)?;
        let mut findings = findings(self, &layout, &piece, &measured, workshop)?;
        advise(self, &mut findings, &layout, workshop);
        piece.figures = figures(&layout);
        piece.letters = letters(&layout);
        piece.seen_from = Some(SEEN_FROM);
        let holes: Vec<Hole> = layout.cutouts.iter().map(|cutout| cutout.hole.clone()).collect();
        let volume = piece.body.volume();
        Ok(Design {
            kind: "panel",
            name: name.to_string(),
            sizes: sizes(&layout, &piece, &measured, workshop.printer.hole_allowance),
            lists: Map::from_iter([
                ("holes".to_string(), holes.iter().map(Hole::json).collect()),
                ("placements".to_string(), json!([{ "piece": "", "moved_x": 0.0, "moved_y": 0.0 }])),
            ]),
            findings,
            notes: notes(self, &layout, workshop, volume),
            chord_tolerance: workshop.chord_tolerance,
            flat: Some(Flat {
                height: 0.5 * layout.thickness.0,
                allowance: workshop.printer.hole_allowance,
                pieces: vec![(String::new(), Vector2::zeros())],
                ..Flat::default()
            }),
            pieces: vec![piece],
            mating: layout.company()?,
            // Nuts and flanges of what is set in lie round its holes.
            free_face: FreeFace::Level { piece: String::new(), up: None, margin: 5.0, lettered: false },
            slices: first_layers(
                "openings",
                layout.thickness.0,
                &["opening", "screw_hole"],
                "Lay it where the panel goes: the screws must find their holes, and each device must go into its own by hand, its key in the notch.",
            ),
            ..Design::default()
        })
    }
}

/// A panel's layout, its solid and what its walls measure.
fn drawn(spec: &Panel, workshop: &Workshop) -> Result<(Layout, Piece, Walls)> {
    let layout = Layout::new(spec, workshop)?;
    let holes = layout.cutouts.iter().map(|cutout| cutout.outline.clone()).collect();
    let body = Body::prism(&Region::new(layout.outline.clone(), holes)?, 0.0, layout.thickness.0)?;
    let piece = Piece::new("", body, workshop.chord_tolerance)?;
    let measured = walls(&piece.mesh, &[0.5 * layout.thickness.0]);
    Ok((layout, piece, measured))
}

/// Gives what bends under a push, or is too warm, the least change that clears it, tried on the whole panel.
fn advise(spec: &Panel, list: &mut [Finding], layout: &Layout, workshop: &Workshop) {
    let strength = |material: &Material| least_strengths::of(material).map(|least| least.tension).ok();
    let names = materials::material_names().into_iter();
    let mut others: Vec<(f64, String)> = names
        .filter_map(|name| materials::material(name).ok())
        .filter_map(|other| Some((strength(&other)?, other.name)))
        .filter(|(_, name)| *name != workshop.material.name)
        .collect();
    others.sort_by(|a, b| a.0.total_cmp(&b.0));
    let materials: Ladder = others.into_iter().map(|(_, name)| Change::give("material", name)).collect();
    let ladders = |finding: &Finding| match finding.check {
        "push" => vec![by_steps("thickness", (layout.thickness.0, 0.5), (0.8, 20.0)), materials.clone()],
        "cabinet-temperature" => vec![materials.clone()],
        _ => vec![],
    };
    let tried = |order: &MadeWith<Panel>| {
        let workshop = order.workshop(workshop)?;
        let (layout, piece, measured) = drawn(&order.request, &workshop).ok()?;
        findings(&order.request, &layout, &piece, &measured, &workshop).ok()
    };
    advice::advise(&MadeWith::of(spec.clone(), workshop), &workshop.advice, list, ladders, &tried);
}

fn sizes(layout: &Layout, piece: &Piece, walls: &Walls, allowance: f64) -> Vec<Size> {
    let bounds = piece.body.bounds();
    let measured = |what: &str| Origin::Formula(format!("{what}, measured on the mesh"));
    let foot = Point3::new(bounds.least.x, bounds.centre().y, 0.0);
    let up = Extent::between(Vector3::z(), foot, foot + Vector3::z() * layout.thickness.0);
    let outline = || Origin::Formula("what is set in, and the margin round it".into());
    let mut list = Sizes::default();
    list.push(
        Size::at("thickness", "thickness", "", up, layout.thickness.1.clone())
            .printed(Feature::Height, 0.0)
            .about(0.2),
    );
    list.add("min_edge", "least distance from a hole to the edge", walls.edge, measured("hole to edge"));
    if walls.web.is_finite() {
        list.add("min_web", "least distance between holes", walls.web, measured("hole to hole"));
    }
    list.push(
        Size::new("width", "width", bounds.size().x, outline()).printed(Feature::Outside, 0.0).about(0.4),
    );
    list.push(
        Size::new("height", "height", bounds.size().y, outline()).printed(Feature::Outside, 0.0).about(0.4),
    );
    list.add(
        "depth_behind",
        "depth behind the panel",
        layout.depth(),
        Origin::Table("the deepest of what is set in".into()),
    );
    if let Some(screw) = &layout.screw {
        let at = layout.screws.iter().map(|at| Point3::new(at.x, at.y, layout.thickness.0 / 2.0)).collect();
        let extent = Extent::diameter(Vector3::z(), screw.hole, at);
        list.push(
            Size::at("screw_hole", "mounting holes", "", extent, Origin::Table(screw.source.clone()))
                .printed(Feature::Hole, allowance)
                .good(0.1, 0.4),
        );
    }
    list.0.extend(openings(layout, allowance));
    list.for_bench(&["thickness", "screw_hole", "depth_behind"]);
    list.0
}

/// How much narrower a cut-out may print than its table says, and how much wider, mm: what is set in must go in, and its
/// flange or nut must cover what is left (common practice; of a button a quarter and three of its tolerance).
const GOES_IN: (f64, f64) = (0.1, 0.4);

/// The sizes of what is cut out, once for each sort of it.
fn openings(layout: &Layout, allowance: f64) -> Vec<Size> {
    let mut list: Vec<Size> = vec![];
    let mut sorts: Vec<(String, f64, f64)> = vec![];
    for (place, cutout) in layout.set_in() {
        let part = &place.part;
        let alike = |sort: &(String, f64, f64)| *sort == (part.name.clone(), part.width, part.height);
        let sort = sorts.iter().position(alike).unwrap_or_else(|| {
            sorts.push((part.name.clone(), part.width, part.height));
            sorts.len() - 1
        });
        for (at, (what, extent)) in cutout.sizes.iter().enumerate() {
            let number = if sort == 0 { String::new() } else { format!("_{}", sort + 1) };
            let key = format!("opening{number}{}", if at == 0 { "" } else { "_second" });
            let Some(extent) = extent.clone().levelled(layout.thickness.0 / 2.0) else { continue };
            match list.iter_mut().find(|size| size.key == key) {
                Some(size) => size.shown.push(Shown { piece: String::new(), extent }),
                None => {
                    let label = format!("hole for {}, {what}", part.name);
                    let origin = Origin::Table(part.source.clone());
                    list.push(
                        Size::at(key, label.trim_end_matches(", "), "", extent, origin)
                            .printed(Feature::Hole, allowance)
                            .good(GOES_IN.0, GOES_IN.1),
                    );
                }
            }
        }
    }
    list
}

/// The holes of what has screws of its own, alike under one figure, and the pitch of the mounting screws.
fn figures(layout: &Layout) -> Vec<Figure> {
    let z = Vector3::z();
    let up = |at: crate::solid::Point2| Point3::new(at.x, at.y, layout.thickness.0 / 2.0);
    let mut list: Vec<Figure> = vec![];
    let round = layout.cutouts.iter().filter(|cutout| {
        cutout.sizes.is_empty() && !layout.screws.iter().any(|at| (at - cutout.hole.at).norm() < 1e-9)
    });
    let mut sizes: Vec<f64> = round.clone().map(|cutout| cutout.hole.diameter).collect();
    sizes.sort_by(|a, b| b.total_cmp(a));
    sizes.dedup_by(|a, b| (*a - *b).abs() < 1e-6);
    for size in sizes {
        let alike = round.clone().filter(|cutout| (cutout.hole.diameter - size).abs() < 1e-6);
        list.push(Figure::diameter("hole", z, size, alike.map(|cutout| up(cutout.hole.at)).collect()));
    }
    let screws: Vec<Point3> = layout.screws.iter().map(|&at| up(at)).collect();
    list.extend(super::plate::pitches_of("mounting screws apart", &screws));
    list
}

/// Every cut-out lettered, with its place from 0,0 of the request: the table to mark out and to check by.
fn letters(layout: &Layout) -> Vec<Lettered> {
    let cutouts = layout.cutouts.iter().enumerate();
    cutouts
        .map(|(k, Cutout { outline, hole, .. })| {
            let (least, most) = outline.bounds();
            Lettered {
                letter: Lettered::letter(k),
                what: format!("{} at {}, {}", hole.purpose, hundredth(hole.at.x), hundredth(hole.at.y)),
                at: Point3::new(hole.at.x, hole.at.y, layout.thickness.0),
                radius: (most - least).max() / 2.0,
                place: None,
                raised: false,
            }
        })
        .collect()
}

fn findings(
    spec: &Panel,
    layout: &Layout,
    piece: &Piece,
    walls: &Walls,
    workshop: &Workshop,
) -> Result<Vec<Finding>> {
    let mut found = vec![];
    let apart = "Set them further apart.".to_string();
    found.extend(wall_finding("web", "one hole to another", walls.web, workshop, apart));
    found.extend(wall_finding(
        "edge",
        "a hole to the edge",
        walls.edge,
        workshop,
        "Give a larger --margin.".into(),
    ));
    found.extend(layout.pitch_finding());
    found.extend(layout.panel_finding());
    found.extend(layout.push_finding());
    found.extend(layout.in_hole_finding());
    if let Some(behind) = spec.behind {
        let (deep, what) = layout.deepest();
        found.push(Finding::at_most(
            "depth-behind",
            (deep, behind.mm(), "mm"),
            Level::Stop,
            format!(
                "{what} needs {} mm behind the panel, of {} mm that are free.",
                hundredth(deep),
                number(behind.mm())
            ),
            "Set it where there is more room behind, or take a flatter one.",
            "makers' catalogues, from memory: measure yours with its plugs and wires",
        ));
    }
    let celsius = layout.celsius;
    let least = least_strengths::of(&workshop.material)?;
    let better =
        least_strengths::that_bears(celsius).map_or("a metal".to_string(), |row| row.material.to_uppercase());
    found.push(Finding::at_most(
        "cabinet-temperature",
        (celsius, least.top_c, "°C"),
        Level::Stop,
        format!(
            "Inside it is taken to be {} °C; printed {} carries load, such as a nut's clamping, up to {} °C.",
            number(celsius),
            workshop.material.label(),
            number(least.top_c)
        ),
        format!("Print it of {better}, or measure the air inside and give --cabinet-temperature."),
        least.source,
    ));
    found.extend(print_findings(piece, workshop));
    Ok(found)
}

/// What holds the panel: screws through it and a sheet with washer and nut behind, or into a thread.
fn mounting(screw: &Screw, layout: &Layout, through_sheet: bool) -> Vec<Hardware> {
    /// The sheet of a cabinet, mm: 1.5 to 2 (common practice).
    const CABINET_SHEET: f64 = 2.0;
    /// Thread that a screw takes hold of, in diameters. Common practice, for any metal.
    const THREAD: f64 = 1.5;
    let (count, panel) = (layout.screws.len(), layout.thickness.0);
    let fixed = |what: &str, size: String, standard: &str| Hardware::new(what, size, standard, count);
    let made = fasteners::standards(&screw.size);
    let standard = Head::Button.standard(&screw.size);
    if !through_sheet {
        let length = fasteners::asked_length(&screw.size, panel + THREAD * screw.thread);
        let size = format!("{} × {length}, into a thread", screw.size);
        return vec![fixed("mounting screw", size, standard)];
    }
    let length = fasteners::asked_length(&screw.size, panel + CABINET_SHEET + screw.beyond());
    let sheet = ((length.mm - panel - screw.beyond()) * 10.0).floor() / 10.0;
    let size = format!("{} × {length}, for a sheet of up to {} mm", screw.size, number(sheet));
    vec![
        fixed("mounting screw", size, standard),
        fixed("plain washer", screw.size.clone(), made.washer),
        fixed("hexagon nut", screw.size.clone(), made.nut),
    ]
}

fn notes(spec: &Panel, layout: &Layout, workshop: &Workshop, volume: f64) -> Notes {
    let count = spec.place.len();
    let closes = spec.hole.map_or(String::new(), |hole| format!(", over a {}", hole.words()));
    let mut steps = vec![
        "Switch the cabinet off, lock it off and prove it dead.".to_string(),
        "Try everything in its opening before the panel goes on; file, do not force.".to_string(),
        "Tighten nuts by hand: a printed panel yields under them. Tighten again after a day.".to_string(),
    ];
    if let Some(screw) = &layout.screw {
        steps.insert(
            1,
            format!(
                "Hold the panel in its place, mark its {} holes and drill for {}.",
                layout.screws.len(),
                screw.size
            ),
        );
    }
    let mut cautions = vec![];
    if spec.place.iter().any(|place| place.part.name == "estop") {
        cautions.push("An emergency stop stops only what its circuit stops: contacts that open positively, tested by hand each week, red on yellow, nothing in the way of a palm, never behind a lid (ISO 13850, IEC 60204-1). A printed panel must not let it be pushed through: try it with a thumb.".to_string());
    }
    if spec.place.iter().any(|place| place.part.name.starts_with('c')) {
        cautions.push("Mains comes in here: the inlet's earth goes first to the machine's earth bar, and what is behind it is covered. A licensed electrician decides.".to_string());
    }
    cautions.push("A printed panel bonds nothing, is no fire barrier and keeps out water and dust only as far as somebody has tested it: bond metal parts set into it, and look for a UL 94 V-0 filament near mains.".to_string());
    cautions
        .push("Local code and a licensed electrician decide what may be set in here, and how.".to_string());
    let own = spec.place.iter().filter(|place| place.part.screws > 0).map(|place| {
        let what = format!("screws of {}", place.name());
        Hardware::new(&what, place.part.screw.clone(), "", usize::from(place.part.screws))
    });
    let mounting = layout.screw.as_ref().map(|screw| mounting(screw, layout, spec.hole.is_some()));
    Notes {
        purpose: format!("Carries {count} thing{} where they are wanted{closes}.", if count == 1 { "" } else { "s" }),
        mechanics: vec![format!(
            "{} mm thick, which everything in it clamps. Seen from the front; x runs right and y up from the place 0,0 of the request.",
            number(layout.thickness.0)
        )],
        print: print_notes("Back on the bed, seen from above as from the front; no support.", volume, workshop),
        steps,
        cautions,
        hardware: mounting.into_iter().flatten().chain(own).collect(),
        readings_wanted: vec![
            "Each part's thread and flange by caliper before it is printed: makers differ, and most rows of the table are from memory.".into(),
        ],
        print_readings: vec![],
    }
}
