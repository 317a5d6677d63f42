//! 3MF (ISO/IEC 25422, core specification): what a slicer opens with names, material and picture.
//!
//! The zip archive is the `zip` crate's and the XML with its escapes `quick-xml`'s; the few elements
//! of the core specification are set here. The 3MF crates at hand were tried and each leaves
//! something out that a part needs: `threemf` 0.8 writes no thumbnail; `threemf2` 0.4 does not
//! escape names and requires an extension it does not declare; `lib3mf` 0.1 writes no thumbnail and
//! puts base materials outside the core namespace. The same request gives the same bytes: the
//! archive carries no time of day.

use super::bed_packing::Place;
use crate::checks::Level;
use crate::design::Design;
use crate::error::{Error, Result, number, to_millionth};
use crate::solid::Mesh;
use crate::text::{display, lines};
use quick_xml::Writer;
use quick_xml::events::{BytesDecl, BytesText, Event};
use std::io::{Cursor, Write};
use zip::ZipWriter;
use zip::write::SimpleFileOptions;

/// One printed piece on the bed.
#[derive(Clone, Debug)]
pub struct Item<'a> {
    /// What a slicer lists it as.
    pub name: String,
    /// The material's name.
    pub material: String,
    /// The piece as it prints, base on z = 0.
    pub mesh: &'a Mesh,
    /// Where it lies; its bed number is not looked at.
    pub place: Place,
}

/// What the package says of itself: the core specification's well-known metadata.
#[derive(Clone, Debug, Default)]
pub struct Label {
    /// Title: the part's or the job's name.
    pub title: String,
    /// Description: material, settings advised and findings in brief, in plain text.
    pub description: String,
    /// A PNG file's bytes.
    pub thumbnail: Option<Vec<u8>>,
}

/// The material's colour a slicer may show: the pictures' middle tone.
const DISPLAY: &str = "#428680";

/// Namespace of the core specification.
const CORE: &str = "http://schemas.microsoft.com/3dmanufacturing/core/2015/02";
/// Namespaces and relationship types of the package (ISO/IEC 29500-2 and the core specification).
const CONTENT_TYPES: &str = "http://schemas.openxmlformats.org/package/2006/content-types";
const RELATIONSHIPS: &str = "http://schemas.openxmlformats.org/package/2006/relationships";
const MODEL_RELATIONSHIP: &str = "http://schemas.microsoft.com/3dmanufacturing/2013/01/3dmodel";
const THUMBNAIL_RELATIONSHIP: &str =
    "http://schemas.openxmlformats.org/package/2006/relationships/metadata/thumbnail";
const MODEL_PART: &str = "3D/fixwright.model";
const THUMBNAIL_PART: &str = "Metadata/thumbnail.png";

/// A 3MF package's bytes, unit millimetre, one object and one build item a piece.
///
/// Fails when there is no piece, or a mesh has no triangle or a corner that is not finite.
pub fn package(label: &Label, items: &[Item]) -> Result<Vec<u8>> {
    if items.is_empty() {
        return Err(Error::internal("A 3MF package was asked for with no piece in it."));
    }
    items.iter().try_for_each(sound)?;
    let mut parts: Vec<(&str, Vec<u8>)> = vec![
        ("[Content_Types].xml", xml(content_types)?),
        ("_rels/.rels", xml(|w| relationships(w, label.thumbnail.is_some()))?),
        (MODEL_PART, xml(|w| model(w, label, items))?),
    ];
    if let Some(png) = &label.thumbnail {
        parts.push((THUMBNAIL_PART, png.clone()));
    }
    zipped(&parts).map_err(|error| Error::internal(format!("The 3MF package could not be zipped: {error}.")))
}

fn zipped(parts: &[(&str, Vec<u8>)]) -> zip::result::ZipResult<Vec<u8>> {
    let mut archive = ZipWriter::new(Cursor::new(Vec::new()));
    for (name, bytes) in parts {
        // The default options carry the least date a zip archive knows, not today's.
        archive.start_file(*name, SimpleFileOptions::default())?;
        archive.write_all(bytes)?;
    }
    Ok(archive.finish()?.into_inner())
}

type Xml = Writer<Vec<u8>>;

fn xml(content: impl FnOnce(&mut Xml) -> std::io::Result<()>) -> Result<Vec<u8>> {
    let mut writer = Writer::new_with_indent(Vec::new(), b' ', 1);
    let decl = BytesDecl::new("1.0", Some("UTF-8"), None);
    writer
        .write_event(Event::Decl(decl))
        .and_then(|()| content(&mut writer))
        .map_err(|error| Error::internal(format!("The 3MF model could not be written: {error}.")))?;
    Ok(writer.into_inner())
}

fn content_types(w: &mut Xml) -> std::io::Result<()> {
    const TYPES: [(&str, &str); 3] = [
        ("rels", "application/vnd.openxmlformats-package.relationships+xml"),
        ("model", "application/vnd.ms-package.3dmanufacturing-3dmodel+xml"),
        ("png", "image/png"),
    ];
    w.create_element("Types").with_attribute(("xmlns", CONTENT_TYPES)).write_inner_content(|w| {
        for (extension, content) in TYPES {
            w.create_element("Default")
                .with_attributes([("Extension", extension), ("ContentType", content)])
                .write_empty()?;
        }
        Ok(())
    })?;
    Ok(())
}

fn relationships(w: &mut Xml, thumbnail: bool) -> std::io::Result<()> {
    let mut all = vec![("model", MODEL_PART, MODEL_RELATIONSHIP)];
    if thumbnail {
        all.push(("thumbnail", THUMBNAIL_PART, THUMBNAIL_RELATIONSHIP));
    }
    w.create_element("Relationships").with_attribute(("xmlns", RELATIONSHIPS)).write_inner_content(|w| {
        for (id, target, kind) in &all {
            let target = format!("/{target}");
            w.create_element("Relationship")
                .with_attributes([("Id", *id), ("Target", target.as_str()), ("Type", *kind)])
                .write_empty()?;
        }
        Ok(())
    })?;
    Ok(())
}

fn model(w: &mut Xml, label: &Label, items: &[Item]) -> std::io::Result<()> {
    let attributes = [("xmlns", CORE), ("unit", "millimeter"), ("xml:lang", "en-GB")];
    w.create_element("model").with_attributes(attributes).write_inner_content(|w| {
        metadata(w, "Title", &label.title)?;
        metadata(w, "Description", &label.description)?;
        metadata(w, "Application", concat!("fixwright ", env!("CARGO_PKG_VERSION")))?;
        let materials = materials(items);
        w.create_element("resources").write_inner_content(|w| {
            w.create_element("basematerials").with_attribute(("id", "1")).write_inner_content(|w| {
                for material in &materials {
                    let name = display(material).into_owned();
                    w.create_element("base")
                        .with_attributes([("name", name.as_str()), ("displaycolor", DISPLAY)])
                        .write_empty()?;
                }
                Ok(())
            })?;
            for (at, item) in items.iter().enumerate() {
                object(w, at + 2, item, &materials)?;
            }
            Ok(())
        })?;
        w.create_element("build").write_inner_content(|w| {
            for (at, item) in items.iter().enumerate() {
                let (id, transform) = ((at + 2).to_string(), transform(item));
                w.create_element("item")
                    .with_attributes([("objectid", id.as_str()), ("transform", transform.as_str())])
                    .write_empty()?;
            }
            Ok(())
        })?;
        Ok(())
    })?;
    Ok(())
}

fn metadata(w: &mut Xml, name: &str, value: &str) -> std::io::Result<()> {
    w.create_element("metadata")
        .with_attribute(("name", name))
        .write_text_content(BytesText::new(&lines(value)))?;
    Ok(())
}

/// The materials in use, in order of appearance.
fn materials<'a>(items: &'a [Item]) -> Vec<&'a str> {
    let mut materials: Vec<&str> = Vec::new();
    for item in items {
        if !materials.contains(&item.material.as_str()) {
            materials.push(&item.material);
        }
    }
    materials
}

fn object(w: &mut Xml, id: usize, item: &Item, materials: &[&str]) -> std::io::Result<()> {
    let index = materials.iter().position(|m| *m == item.material).unwrap_or(0).to_string();
    let (id, name) = (id.to_string(), display(&item.name));
    let attributes =
        [("id", id.as_str()), ("type", "model"), ("name", name.as_ref()), ("pid", "1"), ("pindex", &index)];
    w.create_element("object").with_attributes(attributes).write_inner_content(|w| {
        w.create_element("mesh").write_inner_content(|w| {
            w.create_element("vertices").write_inner_content(|w| {
                for p in &item.mesh.points {
                    let [x, y, z] = [p.x, p.y, p.z].map(coordinate);
                    let at = [("x", x.as_str()), ("y", y.as_str()), ("z", z.as_str())];
                    w.create_element("vertex").with_attributes(at).write_empty()?;
                }
                Ok(())
            })?;
            w.create_element("triangles").write_inner_content(|w| {
                for t in &item.mesh.triangles {
                    let [a, b, c] = t.map(|at| at.to_string());
                    let corners = [("v1", a.as_str()), ("v2", b.as_str()), ("v3", c.as_str())];
                    w.create_element("triangle").with_attributes(corners).write_empty()?;
                }
                Ok(())
            })?;
            Ok(())
        })?;
        Ok(())
    })?;
    Ok(())
}

/// Material, settings and findings of a design in a few lines of plain text, for what is printed of `material`.
pub fn description(design: &Design, material: &str) -> String {
    let print = &design.notes.print;
    let mut lines = vec![design.notes.purpose.clone()];
    lines.push(format!(
        "Print in {}, layers of {} mm, {} walls, {} % infill. {}",
        material,
        number(print.layer_mm),
        print.walls,
        number(print.infill_percent),
        print.lie
    ));
    for finding in design.findings.iter().filter(|f| f.level != Level::Ok) {
        let level = match (finding.level, finding.accepted) {
            (Level::Stop, true) => "Stop, accepted",
            (Level::Stop, false) => "Stop",
            _ => "Caution",
        };
        lines.push(format!("{level} ({}): {}", finding.check, finding.says));
    }
    let kept = design.findings.iter().filter(|f| f.level == Level::Ok).count();
    lines.push(format!("{kept} of {} checks kept their limits.", design.findings.len()));
    lines.join("\n")
}

fn sound(item: &Item) -> Result<()> {
    let count = item.mesh.points.len() as u32;
    let whole = !item.mesh.triangles.is_empty()
        && item.mesh.triangles.iter().flatten().all(|&at| at < count)
        && item.mesh.points.iter().all(|p| p.coords.iter().all(|c| c.is_finite()));
    if whole {
        return Ok(());
    }
    Err(Error::internal(format!("The mesh of {} is empty or not finite.", item.name)))
}

/// A coordinate to a millionth of a millimetre, which is finer than any reader keeps.
fn coordinate(mm: f64) -> String {
    let value = to_millionth(mm);
    if value == 0.0 { "0".into() } else { value.to_string() }
}

/// From the piece's own coordinates to the bed's: the middle of its footprint goes to its place.
/// Twelve numbers, a row each for where x, y, z and the origin go.
fn transform(item: &Item) -> String {
    let (mut least, mut most) = ([f64::MAX; 2], [f64::MIN; 2]);
    for p in &item.mesh.points {
        for axis in 0..2 {
            least[axis] = least[axis].min(p[axis]);
            most[axis] = most[axis].max(p[axis]);
        }
    }
    let middle = [(least[0] + most[0]) / 2.0, (least[1] + most[1]) / 2.0];
    let place = item.place;
    let (turn, moved) = if place.turned {
        ("0 1 0 -1 0 0", [place.x + middle[1], place.y - middle[0]])
    } else {
        ("1 0 0 0 1 0", [place.x - middle[0], place.y - middle[1]])
    };
    format!("{turn} 0 0 1 {} {} 0", coordinate(moved[0]), coordinate(moved[1]))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::solid::Point3;
    use std::io::Read;

    fn tetrahedron() -> Mesh {
        let points =
            [[-1.0, -2.0, 0.0], [3.0, 0.0, 0.0], [0.0, 4.0, 0.0], [0.0, 0.0, 5.0]].map(Point3::from).to_vec();
        Mesh { points, triangles: vec![[0, 2, 1], [0, 1, 3], [1, 2, 3], [2, 0, 3]] }
    }

    fn part(bytes: &[u8], name: &str) -> Vec<u8> {
        let mut archive = zip::ZipArchive::new(Cursor::new(bytes)).unwrap();
        let mut content = Vec::new();
        archive.by_name(name).unwrap().read_to_end(&mut content).unwrap();
        content
    }

    fn item<'a>(name: &str, mesh: &'a Mesh, turned: bool) -> Item<'a> {
        let place = Place { bed: 0, x: 110.0, y: 105.0, turned };
        Item { name: name.into(), material: "pla".into(), mesh, place }
    }

    #[test]
    fn the_same_pieces_give_the_same_bytes() {
        let mesh = tetrahedron();
        let items = [item("one", &mesh, false), item("two", &mesh, true)];
        assert_eq!(package(&Label::default(), &items).unwrap(), package(&Label::default(), &items).unwrap());
    }

    #[test]
    fn names_with_markup_come_back_as_they_were() {
        let mesh = tetrahedron();
        let title = "A <b> & \"c\" 'd' µ\u{7}";
        let label = Label { title: title.into(), description: "one\ntwo".into(), thumbnail: None };
        let bytes = package(&label, &[item("x<&>\"y", &mesh, false)]).unwrap();
        let xml = String::from_utf8(part(&bytes, MODEL_PART)).unwrap();
        let document = roxmltree::Document::parse(&xml).unwrap();
        let find =
            |name: &'static str| document.descendants().find(move |n| n.has_tag_name((CORE, name))).unwrap();
        assert_eq!(find("metadata").text(), Some("A <b> & \"c\" 'd' µ\\u{7}"));
        assert_eq!(find("object").attribute("name"), Some("x<&>\"y"));
        assert_eq!(find("model").attribute("unit"), Some("millimeter"));
    }

    #[test]
    fn a_turned_piece_has_its_middle_at_its_place() {
        let mesh = tetrahedron();
        for turned in [false, true] {
            let numbers: Vec<f64> =
                transform(&item("a", &mesh, turned)).split(' ').map(|n| n.parse().unwrap()).collect();
            let at = |p: &Point3| {
                [0, 1]
                    .map(|k| p.x * numbers[k] + p.y * numbers[3 + k] + p.z * numbers[6 + k] + numbers[9 + k])
            };
            for (axis, middle) in [(0, 110.0), (1, 105.0)] {
                let along: Vec<f64> = mesh.points.iter().map(|p| at(p)[axis]).collect();
                let (least, most) =
                    along.iter().fold((f64::MAX, f64::MIN), |(l, m), &v| (l.min(v), m.max(v)));
                assert!(((least + most) / 2.0 - middle).abs() < 1e-9, "{turned} {axis}");
                assert!((most - least - if turned == (axis == 0) { 6.0 } else { 4.0 }).abs() < 1e-9);
            }
            let det = numbers[0] * numbers[4] - numbers[1] * numbers[3];
            assert_eq!(det, 1.0, "turned, not mirrored");
        }
    }

    #[test]
    fn the_thumbnail_is_in_the_package_as_it_was() {
        let mesh = tetrahedron();
        let label = Label { thumbnail: Some(vec![1, 2, 3]), ..Label::default() };
        let bytes = package(&label, &[item("a", &mesh, false)]).unwrap();
        assert_eq!(part(&bytes, THUMBNAIL_PART), [1, 2, 3]);
        assert!(String::from_utf8(part(&bytes, "_rels/.rels")).unwrap().contains(THUMBNAIL_RELATIONSHIP));
    }

    #[test]
    fn an_empty_or_broken_mesh_makes_no_package() {
        let mut mesh = tetrahedron();
        assert!(package(&Label::default(), &[]).is_err());
        mesh.points[1].x = f64::INFINITY;
        assert!(package(&Label::default(), &[item("bad", &mesh, false)]).unwrap_err().says.contains("bad"));
    }
}
