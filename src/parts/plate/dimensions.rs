//! The dimensions and lists of a plate's report.

use super::anchor_checks::anchor_safety;
use super::checks::{self, Checked};
use super::plan::{Hold, Plan};
use super::room;
use super::sizing::{self, Sizing};
use crate::design::{Origin, Size, Sizes};
use crate::error::to_millionth;
use crate::solid::{Point2, Vector2};
use serde_json::{Map, Value, json};

pub fn dimensions(checked: &Checked) -> Vec<Size> {
    let (sizing, plan) = (checked.sizing, checked.plan);
    let formula = |what: &str| Origin::Formula(what.into());
    let given = || match checked.spec.hole {
        Some(_) => Origin::Given("--hole".into()),
        None => formula("what the fan or the push-buttons need; cut it to this"),
    };
    let side = |room: &room::Room| match plan.turned {
        true => (2.0 * room.half_height, 2.0 * room.half_width),
        false => (2.0 * room.half_width, 2.0 * room.half_height),
    };
    let dimension = Size::new;
    let sourced = |key, label, value: &sizing::Sourced| dimension(key, label, value.mm, value.origin.clone());
    let ragged = dimension("hole_ragged", "hole, more at its greatest", sizing.hole.ragged, given());
    let (width, height) = side(&plan.flange);
    let (spigot_width, spigot_height) = side(&plan.spigot);
    let margin = || match sizing.margin {
        Some(_) => Origin::Given("--margin".into()),
        None => formula("what the screws, and ties on the margin, need"),
    };
    let mut list = vec![
        dimension("hole_width", "hole, width", sizing.hole.width, given()),
        dimension("hole_height", "hole, height", sizing.hole.height, given()),
        sourced("sheet_thickness", "sheet", &sizing.sheet),
        dimension("plate_width", "plate, width", width, formula("hole and margin on both sides")),
        dimension("plate_height", "plate, height", height, formula("hole and margin on both sides")),
        sourced("plate_thickness", "margin, thickness", &sizing.thickness),
        dimension("margin", "margin, overlap", plan.margin, margin()),
        dimension(
            "spigot_width",
            "spigot, width",
            spigot_width,
            formula("hole less the clearance on both sides"),
        ),
        dimension(
            "spigot_height",
            "spigot, height",
            spigot_height,
            formula("hole less the clearance on both sides"),
        ),
        sourced("spigot_depth", "spigot, depth", &sizing.spigot_depth),
        sourced("spigot_clearance", "spigot, clearance a side", &sizing.clearance),
        sourced("edge_chamfer", "openings, chamfer of the rims", &sizing.edge),
        dimension(
            "cabinet_c",
            "air inside the cabinet",
            sizing.strengths.cabinet_c,
            sizing.strengths.origin.clone(),
        ),
    ];
    if sizing.hole.ragged > 0.0 {
        list.insert(2, ragged);
    }
    let web = checks::least_web(sizing, plan);
    if web.is_finite() {
        list.push(dimension(
            "min_web",
            "thinnest web",
            web,
            formula("the plan, opening to opening and to parted edges"),
        ));
    }
    let rim = checks::least_rim(sizing, plan);
    if rim.is_finite() {
        list.push(dimension("min_rim", "thinnest rim", rim, formula("the plan, opening to spigot wall")));
    }
    let (gap, _) = checks::largest_gap(checked);
    list.push(dimension(
        "largest_gap",
        "largest gap left",
        gap,
        formula("opening less the thinnest jacket it may hold; rings of a grille"),
    ));
    list.push(dimension(
        "pieces",
        "pieces of the plate",
        checked.plate as f64,
        formula("parting lines and one"),
    ));
    if !plan.screws.is_empty() {
        list.push(dimension(
            "screw_hole",
            "screw holes",
            sizing.screw.hole,
            Origin::Table(sizing.screw.source.clone()),
        ));
    }
    let mut list = Sizes(list);
    list.for_bench(&["screw_hole", "spigot_depth", "sheet_thickness", "margin"]);
    list.0
}

pub fn lists(sizing: &Sizing, plan: &Plan, placements: &[(String, Vector2)]) -> Map<String, Value> {
    let place = |at: Point2| {
        let seen = plan.seen(at);
        (to_millionth(seen.x), to_millionth(seen.y))
    };
    let openings: Vec<Value> = sizing
        .openings
        .iter()
        .zip(&plan.centres)
        .map(|(opening, &at)| {
            let (x, y) = place(at);
            json!({
                "cable": opening.label,
                "group": if opening.is_cable() { opening.group.name() } else { "none" },
                "x": x, "y": y,
                "diameter": to_millionth(opening.diameter),
                "jacket_least": opening.least, "jacket_most": opening.most,
                "origin": opening.origin,
            })
        })
        .collect();
    let anchors: Vec<Value> = (0..plan.holds.len())
        .filter_map(|i| {
            let hold = plan.holds[i]?;
            let (x, y) = place(hold.at());
            let (kind, anchor) = match hold {
                Hold::Post(post) => ("post", post.shape),
                Hold::Comb(post) => ("comb", post.shape),
                Hold::Margin(_) => ("margin", sizing.openings[i].anchor?),
            };
            let safety = anchor_safety(sizing, plan, i)?;
            Some(json!({
                "cable": sizing.openings[i].label, "x": x, "y": y,
                "tie_width": anchor.tie.width, "kind": kind,
                "pull_n": anchor.pull, "load_factor": to_millionth(safety.factor), "gives_by": safety.mode,
                "width": anchor.width, "share": anchor.share, "depth": anchor.depth, "tie_height": anchor.tie_height(), "lever": anchor.lever(),
            }))
        })
        .collect();
    let screws: Vec<Value> = plan
        .screws
        .iter()
        .map(|&at| place(at))
        .map(|(x, y)| json!({ "x": x, "y": y, "diameter": to_millionth(sizing.screw.hole) }))
        .collect();
    let moved: Vec<Value> = placements
        .iter()
        .map(|(name, by)| json!({ "piece": name, "moved_x": to_millionth(by.x), "moved_y": to_millionth(by.y) }))
        .collect();
    let mut lists = Map::new();
    lists.insert("openings".into(), openings.into());
    lists.insert("anchors".into(), anchors.into());
    lists.insert("screws".into(), screws.into());
    lists.insert("placements".into(), moved.into());
    lists
}
