//! STL, binary and ASCII: bare triangles, in millimetres by custom, in the order the mesh has them.
//!
//! Corners are 32-bit numbers in STL, so two points of the mesh may become one. Triangles that lose
//! a side to that are left out, and the file is refused if any edge would then be open: what is
//! written is what was checked.

use crate::error::{Error, Result};
use crate::solid::Mesh;
use foldhash::fast::FixedState;
use std::collections::HashMap;
use std::fmt::Write;
use stl_io::{Normal, Triangle, Vertex};

/// The bytes of a binary STL file; its header holds `name`, as far as it fits and is ASCII. The
/// same mesh gives the same bytes.
pub fn binary(name: &str, mesh: &Mesh) -> Result<Vec<u8>> {
    let triangles = rounded(mesh)?;
    let mut bytes = Vec::with_capacity(84 + 50 * triangles.len());
    stl_io::write_stl(&mut bytes, triangles.iter())
        .map_err(|e| Error::internal(format!("The STL writer failed: {e}.")))?;
    // A header that begins with "solid" would be taken for ASCII.
    let header = format!("fixwright {}", printable(name));
    let length = header.len().min(80);
    bytes[..length].copy_from_slice(&header.as_bytes()[..length]);
    Ok(bytes)
}

/// The bytes of an ASCII STL file. `name` is one line of text; anything that is not printable
/// ASCII becomes an underscore.
pub fn ascii(name: &str, mesh: &Mesh) -> Result<Vec<u8>> {
    let name = printable(name);
    let mut text = format!("solid fixwright {name}\n");
    for t in rounded(mesh)? {
        let [x, y, z] = t.normal.0;
        // Writing to a String cannot fail.
        let _ = write!(text, "  facet normal {x:e} {y:e} {z:e}\n    outer loop\n");
        for Vertex { 0: [x, y, z] } in t.vertices {
            let _ = writeln!(text, "      vertex {x:e} {y:e} {z:e}");
        }
        text.push_str("    endloop\n  endfacet\n");
    }
    let _ = writeln!(text, "endsolid fixwright {name}");
    Ok(text.into_bytes())
}

fn printable(name: &str) -> String {
    let keep = |c: char| {
        if c.is_ascii_graphic() || c == ' ' { c } else { '_' }
    };
    name.trim().chars().map(keep).collect()
}

/// The triangles in 32-bit numbers.
fn rounded(mesh: &Mesh) -> Result<Vec<Triangle>> {
    let mut seen: HashMap<[u32; 3], u32, FixedState> =
        HashMap::with_capacity_and_hasher(mesh.points.len(), FixedState::default());
    let mut points: Vec<[f32; 3]> = Vec::with_capacity(mesh.points.len());
    let merged: Vec<u32> = mesh
        .points
        .iter()
        .map(|p| {
            // Adding nought turns −0 into 0.
            let p = [p.x as f32 + 0.0, p.y as f32 + 0.0, p.z as f32 + 0.0];
            *seen.entry(p.map(f32::to_bits)).or_insert_with(|| {
                points.push(p);
                points.len() as u32 - 1
            })
        })
        .collect();
    let lost = points.len() < mesh.points.len();
    let welded = |t: &[u32; 3]| t.map(|i| merged[i as usize]);
    let whole = |t: &[u32; 3]| t[0] != t[1] && t[1] != t[2] && t[2] != t[0];
    if lost {
        let points = points.iter().map(|p| p.map(f64::from).into()).collect();
        let triangles = mesh.triangles.iter().map(welded).filter(whole).collect();
        let open = Mesh { points, triangles }.open_edges();
        if open > 0 {
            return Err(Error::internal(format!(
                "The STL file would be left open at {open} edges by its 32-bit numbers."
            )));
        }
    }
    let triangle = |t: [u32; 3]| Triangle {
        normal: normal(mesh, t),
        vertices: t.map(|i| Vertex::new(points[merged[i as usize] as usize])),
    };
    Ok(mesh.triangles.iter().filter(|t| whole(&welded(t))).map(|t| triangle(*t)).collect())
}

fn normal(mesh: &Mesh, triangle: [u32; 3]) -> Normal {
    let n = mesh.normal(triangle);
    Normal::new([n.x as f32 + 0.0, n.y as f32 + 0.0, n.z as f32 + 0.0])
}
