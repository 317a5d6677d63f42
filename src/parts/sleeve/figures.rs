//! The sizes a sleeve's drawing shows, each with where it lies.

use super::shape::{End, Shape};
use crate::design::Figure;
use crate::solid::{Point3, Vector3};

/// The figures of a sleeve in the print's coordinates.
pub fn figures(shape: &Shape) -> Vec<Figure> {
    let mut list = diameters(shape);
    list.extend(lengths(shape));
    list
}

/// A height over the nose face as it stands on the bed.
fn stands(shape: &Shape, height: f64) -> f64 {
    if shape.nose_down() { height } else { shape.length() - height }
}

/// Diameters: name, size and a height over the nose face where that wall or rim stands.
fn diameters(shape: &Shape) -> Vec<Figure> {
    let length = shape.length();
    let mut list: Vec<(&str, f64, f64)> = vec![
        ("nose outside", shape.nose_diameter, shape.nose_length / 2.0),
        ("body outside", shape.body_diameter, length - 1.0),
        ("touches from", shape.contact.inner, 0.0),
    ];
    match shape.outer_contact {
        None => list.push(("touches to", shape.contact.outer, 0.0)),
        Some(outer) => list.extend([
            ("touches to", shape.contact.outer, shape.relief / 2.0),
            ("touches outer ring from", outer.inner, shape.relief / 2.0),
            ("touches outer ring to", outer.outer, 0.0),
        ]),
    }
    for (k, step) in shape.bore.iter().enumerate() {
        let name = ["bore at the nose", "bore behind"][k.min(1)];
        list.push((name, step.diameter, step.to - 2.0));
    }
    match shape.end {
        End::Rod { hole } => list.push(("rod clearance hole", hole, length - 1.0)),
        End::Puller { recess, recess_depth, dimple } => list.extend([
            ("washer recess", recess, length - recess_depth / 2.0),
            ("dimple under the washer", dimple, length - recess_depth),
        ]),
        End::Open | End::Flat => {}
    }
    list.into_iter()
        .map(|(name, size, height)| {
            let at = Point3::new(0.0, 0.0, stands(shape, height));
            Figure::diameter(name, Vector3::z(), size, vec![at])
        })
        .collect()
}

/// A place on the profile: a diameter and a height over the nose face.
type Place = (f64, f64);

/// Lengths: name, and the two places each lies between.
fn lengths(shape: &Shape) -> Vec<Figure> {
    let (length, floor) = (shape.length(), shape.floor());
    let (rim, drive) = ((shape.face_outer(), 0.0), (shape.body_diameter, length));
    let mut list: Vec<(&str, Place, Place)> = vec![("length", rim, drive)];
    if shape.body_diameter > shape.nose_diameter + 1e-6 {
        list.push(("nose length", rim, (shape.nose_diameter, shape.nose_length)));
    }
    if let Some(outer) = shape.outer_contact {
        let middle = (outer.inner + shape.contact.outer) / 2.0;
        let at = if shape.nose_down() { outer.inner } else { middle };
        list.push(("relief between the faces", (outer.inner, 0.0), (at, shape.relief)));
    }
    let narrowed = shape.bore.len().saturating_sub(1);
    for step in &shape.bore[..narrowed] {
        let mouth = (shape.contact.inner, 0.0);
        list.push(("bore, depth", mouth, (step.diameter, step.to)));
    }
    let inner = shape.bore.last().map_or(0.0, |step| step.diameter);
    let closed = |diameter: f64| ("closed end", (diameter, floor), (diameter, length));
    match shape.end {
        End::Open => {}
        End::Flat => list.push(closed(inner / 2.0)),
        End::Rod { hole } => list.push(closed((inner + hole) / 2.0)),
        End::Puller { recess, recess_depth, .. } => {
            list.push(("washer recess, depth", (recess, length - recess_depth), (recess, length)))
        }
    }
    list.into_iter()
        .map(|(name, from, to)| {
            let places = [-0.5, 0.5]
                .map(|side| {
                    let at =
                        |(diameter, height): Place| Point3::new(side * diameter, 0.0, stands(shape, height));
                    [at(from), at(to)]
                })
                .to_vec();
            Figure::any_between(name, Vector3::z(), places)
        })
        .collect()
}
