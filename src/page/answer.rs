//! One part's answers in, its report and mesh out.
//!
//! The report is the one that `--json` prints, made by the same calls. The mesh follows it as plain numbers,
//! little-endian: for each body its points (three 32-bit floats), triangles (three indices) and edges (two).

use super::edit::Answers;
use super::shown;
use crate::checks::Level;
use crate::design::{Design, Kind};
use crate::error::{Error, Result};
use crate::job::{Order, Shared};
use crate::output::{self, Made, report};
use crate::solid::{Mesh, Vector3};
use crate::text;
use crate::workshop::Advice;
use foldhash::fast::FixedState;
use serde::Deserialize;
use serde_json::{Value, json};
use std::collections::HashMap;

/// A part that is asked about.
#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Question {
    /// The kind's name.
    pub kind: String,
    /// Its answers, by the words of the job file.
    pub answers: Answers,
    /// Which window asks, and which of its questions this is: of those that wait only the newest is answered.
    pub window: String,
    /// Its number; a later one is greater.
    pub number: u64,
    /// Whether the bodies it works with are wanted too.
    #[serde(default)]
    pub mating: bool,
    /// Whether what does not hold is wanted at once, before changes are tried that would clear it.
    #[serde(default)]
    pub glance: bool,
}

/// How far a face of a body that is only shown may stray from its triangles, mm.
const SHOWN_WITHIN: f64 = 0.1;
/// Faces that meet at more than this have an edge between them.
const CREASE_DEG: f64 = 25.0;

/// The order behind a question.
pub fn order(kinds: &[Kind], question: &Question, head: &Shared) -> Result<Order> {
    let kind = kinds.iter().find(|kind| kind.name == question.kind).ok_or_else(|| {
        Error::unknown(
            format!("There is no kind of part called '{}'.", text::display(&question.kind)),
            "Choose one that the page offers.",
        )
    })?;
    let answers = question.answers.iter().filter(|(_, answer)| !answer.is_null());
    let mut table = toml::Table::new();
    for (key, answer) in answers {
        refuse_unfit(key, answer)?;
        let value = toml::Value::try_from(answer)
            .map_err(|e| Error::request(format!("{}: {e}.", text::display(key)), "Give it another value."))?;
        table.insert(key.clone(), value);
    }
    Order::read(kind, table, head)
}

fn refuse_unfit(key: &str, answer: &Value) -> Result<()> {
    text::refuse_unfit("A key", key)?;
    match answer {
        Value::String(words) => text::refuse_unfit(key, words),
        Value::Array(list) => list.iter().try_for_each(|one| refuse_unfit(key, one)),
        Value::Object(map) => map.iter().try_for_each(|(key, one)| refuse_unfit(key, one)),
        _ => Ok(()),
    }
}

/// The answer to an order, as bytes: the length of its JSON, the JSON, its meshes.
pub fn answer(order: &Order, advice: Advice, mating: bool) -> Vec<u8> {
    let drafted = output::look(order, advice);
    let mut meshes = Vec::new();
    let mut words = match &drafted {
        Ok(made) => of_part(made),
        Err(error) => json!({ "error": order.shared.units.unwrap_or_default().error(error) }),
    };
    if let Ok(made) = &drafted {
        words["meshes"] = bodies(&made.design, mating, &mut meshes);
        let axes = made.design.stands.map(|on| [on.x, on.y, on.z].map(|axis| [axis.x, axis.y, axis.z]));
        words["stands"] = json!(axes);
    }
    packed(&words, &meshes)
}

/// An error as such an answer.
pub fn refusal(error: &Error) -> Vec<u8> {
    packed(&json!({ "error": error }), &[])
}

fn packed(words: &Value, meshes: &[u8]) -> Vec<u8> {
    let mut text = words.to_string().into_bytes();
    // Numbers of four bytes begin at multiples of four.
    text.resize(text.len().next_multiple_of(4), b' ');
    let mut all = Vec::with_capacity(4 + text.len() + meshes.len());
    all.extend((text.len() as u32).to_le_bytes());
    all.extend(text);
    all.extend(meshes);
    all
}

fn of_part(made: &Made) -> Value {
    let design = &made.design.as_shown();
    let said = |value: f64, unit: &str| design.units.said(report::figures(value, unit), value, unit);
    let sizes = design.sizes.iter().filter(|size| size.is_worth_words()).map(|size| {
        let origin = json!(size.origin);
        json!({
            "key": size.key,
            "label": size.label,
            "value": size.value,
            "shown": report::short(size.value),
            "said": said(size.value, size.unit()),
            "origin": origin["origin"],
            "source": origin["source"],
            "bench": size.bench,
            "limits": size.limits(),
            "lines": shown::lines(design, size),
        })
    });
    let findings = design.findings.iter().map(|finding| {
        let limit = said(finding.limit, finding.unit);
        json!({ "value": said(finding.value, finding.unit), "limit": format!("{} {limit}", finding.relation.words()) })
    });
    let readings = design.readings();
    let readings = readings.iter().map(|r| [r.nominal, r.wanted, r.least, r.most].map(|mm| said(mm, "mm")));
    json!({
        "said": { "findings": findings.collect::<Vec<_>>(), "readings": readings.collect::<Vec<_>>() },
        "report": report::json(design, &[]),
        "sizes": sizes.collect::<Vec<_>>(),
        "state": report::state(design),
        "stopped": made.stopped(),
        "trouble": design.findings.iter().filter(|finding| finding.level != Level::Ok).count(),
        "hardware": design.notes.hardware.iter().map(|item| item.words()).collect::<Vec<_>>(),
    })
}

/// The printed pieces and, if wanted, what they work with: what each is, where it stands, how many numbers
/// of it follow.
fn bodies(design: &Design, mating: bool, bytes: &mut Vec<u8>) -> Value {
    let mut listed = Vec::new();
    let mut list = |name: &str, faces: Value, place: Option<Vector3>, mesh: &Mesh| {
        let edges = creases(mesh);
        listed.push(json!({
            "name": name,
            "printed": !faces.is_null(),
            "faces": faces,
            "place": place.map(|at| [at.x, at.y, at.z]),
            "points": mesh.points.len(),
            "triangles": mesh.triangles.len(),
            "edges": edges.len(),
        }));
        bytes.extend(mesh.points.iter().flat_map(|p| [p.x, p.y, p.z]).flat_map(|v| (v as f32).to_le_bytes()));
        bytes.extend(mesh.triangles.iter().flatten().flat_map(|at| at.to_le_bytes()));
        bytes.extend(edges.iter().flatten().flat_map(|at| at.to_le_bytes()));
    };
    for piece in &design.pieces {
        list(&piece.suffix, shown::faces(&piece.body), piece.place, &piece.mesh);
    }
    for body in design.mating.iter().filter(|_| mating) {
        // What cannot be meshed is left out of the view; nothing rests on it.
        if let Ok(mesh) = body.body.mesh(SHOWN_WITHIN) {
            list(&body.name, Value::Null, Some(Vector3::zeros()), &mesh);
        }
    }
    listed.into()
}

/// The sides of triangles at which the surface turns.
fn creases(mesh: &Mesh) -> Vec<[u32; 2]> {
    let normals: Vec<Vector3> = mesh.triangles.iter().map(|t| mesh.normal(*t)).collect();
    let flat = CREASE_DEG.to_radians().cos();
    let mut first: HashMap<(u32, u32), usize, FixedState> =
        HashMap::with_capacity_and_hasher(mesh.triangles.len() * 2, FixedState::default());
    let mut edges = Vec::new();
    for (at, t) in mesh.triangles.iter().enumerate() {
        for k in 0..3 {
            let (a, b) = (t[k], t[(k + 1) % 3]);
            match first.remove(&(a.min(b), a.max(b))) {
                Some(other) if normals[at].dot(&normals[other]) < flat => edges.push([a, b]),
                Some(_) => {}
                None => drop(first.insert((a.min(b), a.max(b)), at)),
            }
        }
    }
    edges
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::solid::{Body, Loop, Point2};

    #[test]
    fn a_cylinder_has_the_edges_of_its_two_ends_and_none_on_its_side() {
        let circle = Loop::circle(Point2::origin(), 10.0).unwrap();
        let mesh = Body::prism(&circle.into(), 0.0, 20.0).unwrap().mesh(0.05).unwrap();
        let edges = creases(&mesh);
        let level = |edge: &[u32; 2]| edge.map(|at| mesh.points[at as usize].z);
        assert!(edges.iter().all(|edge| level(edge)[0] == level(edge)[1]));
        let round = mesh.points.iter().filter(|p| p.z == 0.0 && p.coords.xy().norm() > 9.0).count();
        assert_eq!(edges.len(), 2 * round);
    }

    #[test]
    fn what_is_packed_begins_with_the_length_of_its_words_at_a_multiple_of_four() {
        let bytes = packed(&json!({ "a": 1 }), &[7, 0, 0, 0]);
        let length = u32::from_le_bytes([bytes[0], bytes[1], bytes[2], bytes[3]]) as usize;
        assert_eq!((length % 4, bytes.len()), (0, 4 + length + 4));
        assert_eq!(serde_json::from_slice::<Value>(&bytes[4..4 + length]).unwrap(), json!({ "a": 1 }));
    }
}
