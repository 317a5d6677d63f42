//! A plane cut through the body: the outline of what is cut, and its hatching.

use super::view::View;
use crate::solid::{Mesh, Point2, Point3};
use std::collections::BTreeMap;

/// The closed outlines in which the plane through `at`, square to the line of sight, cuts the mesh,
/// in the view's coordinates; holes run the other way round.
///
/// The plane is moved by a ten-thousandth of a millimetre where it would meet a corner.
pub fn cut(mesh: &Mesh, view: &View, at: Point3) -> Vec<Vec<Point2>> {
    let depths: Vec<f64> = mesh.points.iter().map(|p| p.coords.dot(&view.toward)).collect();
    let mut wall = at.coords.dot(&view.toward);
    let meets = |wall: f64| depths.iter().any(|d| (d - wall).abs() < 1e-7);
    for k in 1..50 {
        if !meets(wall) {
            break;
        }
        wall -= 1e-4 * f64::from(k);
    }
    let mut next: BTreeMap<(u32, u32), ((u32, u32), Point2)> = BTreeMap::new();
    for t in &mesh.triangles {
        let above = t.map(|at| depths[at as usize] > wall);
        if above.iter().all(|&a| a == above[0]) {
            continue;
        }
        let (mut from, mut to) = (None, None);
        for k in 0..3 {
            let (a, b) = (t[k], t[(k + 1) % 3]);
            let key = (a.min(b), a.max(b));
            match (above[k], above[(k + 1) % 3]) {
                (true, false) => from = Some(key),
                (false, true) => to = Some(key),
                _ => {}
            }
        }
        if let (Some(from), Some(to)) = (from, to) {
            next.insert(from, (to, crossing(mesh, &depths, view, from, wall)));
        }
    }
    let mut loops = Vec::new();
    while let Some((&start, _)) = next.iter().next() {
        let mut points = Vec::new();
        let mut key = start;
        while let Some((to, point)) = next.remove(&key) {
            points.push(point);
            key = to;
        }
        loops.push(straight(points));
    }
    loops.retain(|points| points.len() > 2);
    loops
}

fn crossing(mesh: &Mesh, depths: &[f64], view: &View, (a, b): (u32, u32), wall: f64) -> Point2 {
    let (p, q) = (mesh.points[a as usize], mesh.points[b as usize]);
    let (da, db) = (depths[a as usize], depths[b as usize]);
    view.see(p + (q - p) * ((wall - da) / (db - da)))
}

/// A loop without the points in the middle of its straight runs.
fn straight(points: Vec<Point2>) -> Vec<Point2> {
    let mut kept: Vec<Point2> = Vec::new();
    for p in points {
        if kept.last().is_none_or(|last| (p - last).norm() > 1e-6) {
            kept.push(p);
        }
    }
    let count = kept.len();
    (0..count)
        .filter(|&k| {
            let (a, b, c) = (kept[(k + count - 1) % count], kept[k], kept[(k + 1) % count]);
            let (u, v) = ((b - a).normalize(), (c - b).normalize());
            (u.x * v.y - u.y * v.x).abs() > 1e-5 || u.dot(&v) < 0.0
        })
        .map(|k| kept[k])
        .collect()
}

/// Lines at 45° within loops, `step` mm apart: even-odd, so holes stay free.
pub fn hatching(loops: &[Vec<Point2>], step: f64) -> Vec<[Point2; 2]> {
    // Along the hatch s = x + y, across it d = y − x.
    let across = |p: &Point2| p.y - p.x;
    let reach =
        loops.iter().flatten().map(across).fold((f64::MAX, f64::MIN), |(l, m), d| (l.min(d), m.max(d)));
    let gap = step * 2f64.sqrt();
    let mut lines = Vec::new();
    let mut k = (reach.0 / gap).ceil();
    while k * gap < reach.1 {
        // Off the round number, so that no line runs through a corner of a round dimension.
        let d = k * gap + gap * 0.137;
        let mut hits: Vec<f64> = Vec::new();
        for points in loops {
            for (i, p) in points.iter().enumerate() {
                let q = &points[(i + 1) % points.len()];
                let (a, b) = (across(p) - d, across(q) - d);
                if (a > 0.0) != (b > 0.0) {
                    let t = a / (a - b);
                    hits.push((p.x + p.y) + t * ((q.x + q.y) - (p.x + p.y)));
                }
            }
        }
        hits.sort_by(f64::total_cmp);
        for pair in hits.chunks_exact(2) {
            let at = |s: f64| Point2::new((s - d) / 2.0, (s + d) / 2.0);
            lines.push([at(pair[0]), at(pair[1])]);
        }
        k += 1.0;
    }
    lines
}
