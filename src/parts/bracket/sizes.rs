//! Every size of a bracket with where it came from.

use super::orientation::Orientation;
use super::spec::Style;
use super::{Settled, clamp, drive, hold, layout, screws};
use crate::design::{Origin, Size, Sizes};
use crate::error::Result;

/// The numbers that hands need.
const AT_BENCH: &[&str] = &[
    "span_frequency_hz",
    "tension_n",
    "hub_load_n",
    "centre_distance",
    "hole_1_from_spindle",
    "hole_2_from_spindle",
    "belt_plane",
    "slot_travel",
    "clamp_torque_nm",
    "jack_torque_nm",
];

/// Every size, in the order a report shows them.
pub fn sizes(s: &Settled) -> Result<Vec<Size>> {
    let mut list = Sizes::default();
    drive_dimensions(&mut list, s);
    hole_dimensions(&mut list, s);
    encoder_dimensions(&mut list, s);
    bracket_dimensions(&mut list, s);
    holding_dimensions(&mut list, s);
    clamp::Clamp::new(s)?.sizes(&mut list);
    if let Some(jack) = super::jacking::Standing::of(s) {
        jack.sizes(&mut list)?;
    }
    list.for_bench(AT_BENCH);
    Ok(list.0)
}

fn drive_dimensions(list: &mut Sizes, s: &Settled) {
    let f = s.drive.numbers();
    let solved = || Origin::Formula("two-pulley length equation, solved exactly".into());
    let pulley = || Origin::Table(s.drive.profile.source.clone());
    list.add("centre_distance", "centre distance", f.centre_distance, solved());
    list.add(
        "belt_length",
        "belt pitch length",
        f.belt_length,
        Origin::Table(s.drive.stocked().map_or("not stocked".into(), |row| row.source.clone())),
    );
    list.add("span_length", "free span", f.span_length, solved());
    list.add("wrap_small_deg", "wrap on the smaller pulley", f.wrap_small_deg, solved());
    list.add("outside_diameter_small", "smaller pulley outside", f.outside_diameter_small, pulley());
    list.add("outside_diameter_large", "larger pulley outside", f.outside_diameter_large, pulley());
    let makers = if s.drive.tension < s.drive.profile.tension * s.drive.width {
        Origin::Formula("less than the maker's, to spare the encoder's bearings".into())
    } else {
        Origin::Table(s.drive.profile.tension_source.clone())
    };
    let tension = Origin::given_or(s.spec.tension.is_some(), "--tension", makers);
    let body = &s.drive.encoder_pulley;
    let width = if body.listed || s.spec.pulley_width.is_some() {
        Origin::Table(body.source.clone())
    } else {
        Origin::Estimate(format!("{}: give --pulley-width", body.source))
    };
    let width = Origin::given_or(s.spec.pulley_width.is_some(), "--pulley-width", width);
    list.add("pulley_width", "encoder's pulley over its flanges", body.width, width);
    list.add("tension_n", "tension of each span", f.tension_n, tension);
    list.add(
        "hub_load_n",
        "load on the encoder's shaft",
        f.hub_load_n,
        Origin::Formula("sum of the two spans' pulls".into()),
    );
    list.add(
        "span_frequency_hz",
        "a span sounds at",
        f.span_frequency_hz,
        Origin::Formula(format!("T = 4·m·L²·f²; mass: {}", s.drive.profile.mass_source)),
    );
    let stiffness = format!("belt stiffness: {}", s.drive.profile.stiffness_source);
    let stiffness = if s.drive.profile.stiffness_scatter > 1.0 {
        Origin::Estimate(stiffness)
    } else {
        Origin::Table(stiffness)
    };
    list.add("take_up", "slack to tension", f.take_up, stiffness.clone());
    list.add("take_up_least", "slack to tension, at least", f.take_up_least, stiffness);
}

/// Where the machine's holes go, at the working place.
fn hole_dimensions(list: &mut Sizes, s: &Settled) {
    let [near, far] = screws::holes(s);
    let placed = || {
        let formula = Origin::Formula("the working place, with the belt tensioned".into());
        Origin::given_or(!s.spec.hole_at.is_empty(), "--hole-at", formula)
    };
    let (first, second) = match near.name {
        "slot" => ("slot's hole level from the spindle", "pivot level from the spindle"),
        "pivot" => ("pivot level from the spindle", "slot's hole level from the spindle"),
        _ => ("first hole level from the spindle", "second hole level from the spindle"),
    };
    list.add("hole_1_from_spindle", first, near.from_spindle, placed());
    list.add("hole_2_from_spindle", second, far.from_spindle, placed());
    let below = if s.layout.style == Style::Foot {
        "face below the spindle's axis"
    } else {
        "holes below the spindle's axis"
    };
    list.add("holes_below_spindle", below, -near.over_spindle, placed());
    let behind = if s.layout.style == Style::Foot {
        "holes behind the middle of the belt"
    } else {
        "machine's face behind the middle of the belt"
    };
    list.add("holes_behind_belt", behind, near.behind_belt, placed());
}

/// What the encoder is taken for beyond its seat.
fn encoder_dimensions(list: &mut Sizes, s: &Settled) {
    let (e, spec) = (&s.encoder, s.spec);
    let mut add = |key, label, value, given: bool, option: &'static str| {
        let origin = if e.assumed.contains(&option) {
            Origin::Estimate(format!("nobody measured it: give {option}"))
        } else {
            Origin::given_or(given, option, Origin::Table(e.source.clone()))
        };
        list.add(key, label, value, origin);
    };
    let height = spec.register_height.is_some();
    add("register_height", "height of the register", e.register_height, height, "--register-height");
    let length = spec.body_length.is_some();
    add("body_length", "encoder's body behind its flange", e.body_length, length, "--body-length");
    add("encoder_mass_g", "mass of the encoder", e.mass, spec.encoder_mass.is_some(), "--encoder-mass");
    add(
        "encoder_greatest_rpm",
        "encoder made for up to",
        e.greatest_rpm,
        spec.encoder_rpm.is_some(),
        "--encoder-rpm",
    );
}

fn bracket_dimensions(list: &mut Sizes, s: &Settled) {
    let (l, spec) = (&s.layout, s.spec);
    let allowance = || {
        Origin::Formula(format!(
            "maker's allowance for laying on and tensioning, and {} mm at each end for the print",
            drive::SLOT_TOLERANCE
        ))
    };
    let travel = l.slot_length() - 2.0 * drive::SLOT_TOLERANCE;
    list.add(
        "slot_travel",
        "travel of the slide",
        travel,
        Origin::given_or(
            spec.travel_in.is_some() || spec.travel_out.is_some(),
            "--travel-in, --travel-out",
            allowance(),
        ),
    );
    list.add("slot_length", "slot, between end centres", l.slot_length(), allowance());
    let slot = match Orientation::of(l) {
        Orientation::Front => {
            Origin::Table(format!("{}, + a layer, since it prints upright", Origin::hole(&l.screw.size)))
        }
        _ => Origin::clearance_hole(&l.screw.size),
    };
    list.add("slot_width", "slot width", l.slot_width, slot);
    list.add(
        "axis_height",
        "encoder's axis",
        l.axis_height,
        Origin::given_or(
            spec.axis_height.is_some(),
            "--axis-height",
            Origin::Formula("lowest that the encoder's body allows".into()),
        ),
    );
    list.add(
        "register_bore",
        "register bore",
        l.seat.register_bore,
        Origin::Table(format!(
            "{}, + the printer's hole allowance and {} mm of play",
            s.encoder.source,
            layout::REGISTER_PLAY
        )),
    );
    list.add(
        "bolt_hole",
        "flange screw holes",
        l.seat.screw.hole,
        Origin::clearance_hole(&l.seat.screw.size),
    );
    if s.encoder.layout == crate::catalog::encoders::Layout::Circle {
        let source = Origin::Table(s.encoder.source.clone());
        list.add(
            "bolt_circle",
            "flange screws on a circle of",
            2.0 * s.encoder.screw_radius(),
            Origin::given_or(spec.bolt_spacing.is_some(), "--bolt-spacing", source),
        );
    }
    if let Some((depth, shaft)) = l.seat.recess {
        let play = || Origin::Practice("the register's height and a little play".into());
        list.add("recess_depth", "recess for the register", depth, play());
        let room = Origin::Practice("room round the encoder's shaft".into());
        list.add("shaft_bore", "bore for the shaft", shaft, room);
    }
    list.add(
        "screw_spacing",
        "between the screws",
        (l.screws[1] - l.screws[0]).norm(),
        Origin::given_or(
            spec.screw_spacing.is_some() || !spec.hole_at.is_empty(),
            if spec.hole_at.is_empty() { "--screw-spacing" } else { "--hole-at" },
            Origin::Formula("beside the encoder, where a key reaches".into()),
        ),
    );
    if l.style == Style::Foot {
        list.add(
            "screw_row",
            "screws from the front face",
            l.screws[0].y,
            Origin::Formula("upright, root and washer".into()),
        );
    }
    list.add(
        "belt_plane",
        "belt from the encoder's flange",
        l.belt_lever + l.thick.upright,
        Origin::given_or(
            spec.belt_plane.is_some(),
            "--belt-plane",
            Origin::Formula("pulley as near as heads and register allow".into()),
        ),
    );
    let stiff = || Origin::Formula("least that keeps the deflection limit".into());
    list.add(
        "upright_thickness",
        if l.style == Style::Foot { "upright" } else { "plate" },
        l.thick.upright,
        Origin::given_or(spec.upright_thickness.is_some(), "--upright-thickness", stiff()),
    );
    let (base, of_base) = if l.style == Style::Foot {
        let practice = Origin::Practice("2 mm more than the upright".into());
        let given = spec.base_thickness.is_some();
        (l.thick.base, Origin::given_or(given, "--base-thickness", practice))
    } else {
        (0.0, Origin::Formula("a flat plate has none".into()))
    };
    list.add("base_thickness", "base", base, of_base);
    let (gusset, of_gusset) = if l.gussets > 0 {
        let practice = Origin::Practice("as thick as the upright".into());
        let given = spec.gusset_thickness.is_some();
        (l.thick.gusset, Origin::given_or(given, "--gusset-thickness", practice))
    } else {
        (0.0, Origin::Formula("there are none".into()))
    };
    list.add("gusset_thickness", "gussets", gusset, of_gusset);
    if l.root > 0.0 {
        list.add(
            "root_radius",
            "rounding at the root",
            l.root,
            Origin::Practice("most of the base's thickness, at most 6 mm".into()),
        );
    }
    if !l.vents.is_empty() {
        list.add(
            "vent_width",
            "vent width",
            l.vent_width,
            Origin::given_or(
                spec.vent_width.is_some(),
                "--vent-width",
                Origin::Practice("what leaves sound webs, at most 8 mm".into()),
            ),
        );
    }
    let (width, depth, height) = l.size();
    let drawn = || Origin::Formula("from the slots, the seat and the walls they need".into());
    list.add("width", "width along the slide", width, drawn());
    list.add("depth", "depth along the shaft", depth, drawn());
    list.add("height", "height", height, drawn());
}

fn holding_dimensions(list: &mut Sizes, s: &Settled) {
    let h = &s.holding;
    let cells = || Origin::Formula(h.cells());
    list.add("deflection", "gives under the belt", h.deflection, cells());
    list.add(
        "deflection_lasting",
        "gives after months",
        h.deflection * hold::CREEP,
        Origin::Practice(format!("creep factor {}", hold::CREEP)),
    );
    list.add("slope_deg", "encoder's axis turns by", h.slope.to_degrees(), cells());
    list.add("root_stress_mpa", "greatest stress", h.stress, cells());
    list.add(
        "lowest_frequency_hz",
        "lowest frequency",
        h.frequency,
        Origin::Formula(format!("{}; encoder, pulley and print as masses", h.cells())),
    );
    list.add(
        "print_modulus_mpa",
        "modulus of the print",
        h.elastic.modulus,
        Origin::Preset(format!("{}, at {} % infill", s.workshop.material.name, hold::infill(s.spec))),
    );
}
