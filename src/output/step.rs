//! STEP (ISO 10303-21, schema AUTOMOTIVE_DESIGN of ISO 10303-214): the exact solid, face by face.
//!
//! The faces, edges and points of a [`Body`] are STEP entities as they stand: planes, cylinders,
//! cones, tori and spheres bounded by lines and circles. Lengths are millimetres. The same body gives
//! the same bytes: the header carries no time of day.

use crate::solid::body::{Curve, Edge, Face};
use crate::solid::surface::Kind;
use crate::solid::{Body, Frame, Point3, Vector3};
use std::fmt::Write;

/// Uncertainty told to the reader, mm: what the solid's own points are good to.
const UNCERTAINTY: &str = "1.E-06";

/// The bytes of a STEP file of one solid; `name` is one line of text, of which anything that is not
/// printable ASCII becomes an underscore.
pub fn bytes(name: &str, body: &Body) -> Vec<u8> {
    let mut file = File { text: String::new(), count: 0 };
    let solid = file.solid(body);
    let name = quoted(name);
    file.product(&name, solid);
    let header = format!(
        "ISO-10303-21;\nHEADER;\nFILE_DESCRIPTION(('exact solid'),'2;1');\n\
         FILE_NAME({name},'1970-01-01T00:00:00',(''),(''),'fixwright','fixwright','');\n\
         FILE_SCHEMA(('AUTOMOTIVE_DESIGN {{ 1 0 10303 214 1 1 1 1 }}'));\nENDSEC;\nDATA;\n"
    );
    format!("{header}{}ENDSEC;\nEND-ISO-10303-21;\n", file.text).into_bytes()
}

fn quoted(name: &str) -> String {
    let clean: String = name
        .trim()
        .chars()
        .map(|c| if (c.is_ascii_graphic() && c != '\'' && c != '\\') || c == ' ' { c } else { '_' })
        .collect();
    format!("'{clean}'")
}

/// A number as STEP wants it: with a point, and nought without a sign.
fn real(value: f64) -> String {
    let value = if value.abs() < 1e-12 { 0.0 } else { value };
    let mut text = format!("{value:?}");
    if let Some(at) = text.find('e') {
        let (mantissa, exponent) = text.split_at(at);
        let point = if mantissa.contains('.') { "" } else { "." };
        text = format!("{mantissa}{point}E{}", &exponent[1..]);
    }
    text.strip_suffix(".0").map_or(text.clone(), |whole| format!("{whole}."))
}

fn triple(x: f64, y: f64, z: f64) -> String {
    format!("({},{},{})", real(x), real(y), real(z))
}

fn list(entities: &[usize]) -> String {
    let names: Vec<String> = entities.iter().map(|id| format!("#{id}")).collect();
    format!("({})", names.join(","))
}

/// The data section as it grows.
struct File {
    text: String,
    count: usize,
}

impl File {
    fn add(&mut self, entity: &str) -> usize {
        self.count += 1;
        // Writing to a String cannot fail.
        let _ = writeln!(self.text, "#{}={entity};", self.count);
        self.count
    }

    fn point(&mut self, p: Point3) -> usize {
        self.add(&format!("CARTESIAN_POINT('',{})", triple(p.x, p.y, p.z)))
    }

    fn direction(&mut self, v: Vector3) -> usize {
        let v = v.normalize();
        self.add(&format!("DIRECTION('',{})", triple(v.x, v.y, v.z)))
    }

    fn placement(&mut self, origin: Point3, z: Vector3, x: Vector3) -> usize {
        let (origin, z, x) = (self.point(origin), self.direction(z), self.direction(x));
        self.add(&format!("AXIS2_PLACEMENT_3D('',#{origin},#{z},#{x})"))
    }

    fn solid(&mut self, body: &Body) -> usize {
        let vertices: Vec<usize> = body
            .points()
            .iter()
            .map(|&p| {
                let point = self.point(p);
                self.add(&format!("VERTEX_POINT('',#{point})"))
            })
            .collect();
        let edges: Vec<usize> = body.edges().iter().map(|edge| self.edge(body, edge, &vertices)).collect();
        let faces: Vec<usize> = body.faces().iter().map(|face| self.face(face, &edges)).collect();
        let shell = self.add(&format!("CLOSED_SHELL('',{})", list(&faces)));
        self.add(&format!("MANIFOLD_SOLID_BREP('',#{shell})"))
    }

    fn edge(&mut self, body: &Body, edge: &Edge, vertices: &[usize]) -> usize {
        let [a, b] = edge.ends.map(|end| end as usize);
        let curve = match edge.curve {
            Curve::Line => {
                let (from, to) = (body.points()[a], body.points()[b]);
                let (point, direction) = (self.point(from), self.direction(to - from));
                let vector = self.add(&format!("VECTOR('',#{direction},1.)"));
                self.add(&format!("LINE('',#{point},#{vector})"))
            }
            Curve::Arc { frame, radius, .. } => {
                let placement = self.placement(frame.origin, frame.z, frame.x);
                self.add(&format!("CIRCLE('',#{placement},{})", real(radius)))
            }
        };
        self.add(&format!("EDGE_CURVE('',#{},#{},#{curve},.T.)", vertices[a], vertices[b]))
    }

    fn face(&mut self, face: &Face, edges: &[usize]) -> usize {
        let surface = self.surface(face.surface.kind, &face.surface.frame);
        let bounds: Vec<usize> = face
            .rims
            .iter()
            .enumerate()
            .map(|(k, rim)| {
                // The loops run left about the surface's normal; a face seen from behind turns them.
                let sides = rim.iter().filter_map(|side| side.edge.map(|edge| (edges[edge as usize], side.along)));
                let mut oriented: Vec<(usize, bool)> = sides.collect();
                if face.inward {
                    oriented.reverse();
                    oriented.iter_mut().for_each(|(_, along)| *along = !*along);
                }
                let oriented: Vec<usize> = oriented
                    .into_iter()
                    .map(|(edge, along)| self.add(&format!("ORIENTED_EDGE('',*,*,#{edge},{})", truth(along))))
                    .collect();
                let edge_loop = self.add(&format!("EDGE_LOOP('',{})", list(&oriented)));
                let kind = if k == 0 { "FACE_OUTER_BOUND" } else { "FACE_BOUND" };
                self.add(&format!("{kind}('',#{edge_loop},.T.)"))
            })
            .collect();
        self.add(&format!("ADVANCED_FACE('',{},#{surface},{})", list(&bounds), truth(!face.inward)))
    }

    fn surface(&mut self, kind: Kind, frame: &Frame) -> usize {
        match kind {
            Kind::Plane => {
                let placement = self.placement(frame.origin, frame.z, frame.x);
                self.add(&format!("PLANE('',#{placement})"))
            }
            Kind::Cylinder { radius } => {
                let placement = self.placement(frame.origin, frame.z, frame.x);
                self.add(&format!("CYLINDRICAL_SURFACE('',#{placement},{})", real(radius)))
            }
            Kind::Cone { radius, slope } => self.cone(radius, slope, frame),
            Kind::Torus { major, minor } if major == 0.0 => {
                let placement = self.placement(frame.origin, frame.z, frame.x);
                self.add(&format!("SPHERICAL_SURFACE('',#{placement},{})", real(minor)))
            }
            Kind::Torus { major, minor } => {
                let placement = self.placement(frame.origin, frame.z, frame.x);
                self.add(&format!("TOROIDAL_SURFACE('',#{placement},{},{})", real(major), real(minor)))
            }
        }
    }

    /// STEP's cones open along their axis and are told by their radius at the placement, which may
    /// not be negative: one that starts at its tip is told from there.
    fn cone(&mut self, radius: f64, slope: f64, frame: &Frame) -> usize {
        let axis = if slope < 0.0 { -frame.z } else { frame.z };
        let (origin, radius) = if radius < 0.0 { (frame.origin - frame.z * (radius / slope), 0.0) } else { (frame.origin, radius) };
        let placement = self.placement(origin, axis, frame.x);
        self.add(&format!("CONICAL_SURFACE('',#{placement},{},{})", real(radius), real(slope.abs().atan())))
    }

    fn product(&mut self, name: &str, solid: usize) {
        let context = self.add("APPLICATION_CONTEXT('core data for automotive mechanical design processes')");
        self.add(&format!("APPLICATION_PROTOCOL_DEFINITION('international standard','automotive_design',2000,#{context})"));
        let product_context = self.add(&format!("PRODUCT_CONTEXT('',#{context},'mechanical')"));
        let product = self.add(&format!("PRODUCT({name},{name},'',(#{product_context}))"));
        self.add(&format!("PRODUCT_RELATED_PRODUCT_CATEGORY('part',$,(#{product}))"));
        let formation = self.add(&format!("PRODUCT_DEFINITION_FORMATION('','',#{product})"));
        let design = self.add(&format!("PRODUCT_DEFINITION_CONTEXT('part definition',#{context},'design')"));
        let definition = self.add(&format!("PRODUCT_DEFINITION('design','',#{formation},#{design})"));
        let shape = self.add(&format!("PRODUCT_DEFINITION_SHAPE('','',#{definition})"));
        let units = self.units();
        let origin = self.placement(Point3::origin(), Vector3::z(), Vector3::x());
        let representation = self.add(&format!("ADVANCED_BREP_SHAPE_REPRESENTATION({name},(#{origin},#{solid}),#{units})"));
        self.add(&format!("SHAPE_DEFINITION_REPRESENTATION(#{shape},#{representation})"));
    }

    fn units(&mut self) -> usize {
        let length = self.add("(LENGTH_UNIT()NAMED_UNIT(*)SI_UNIT(.MILLI.,.METRE.))");
        let angle = self.add("(NAMED_UNIT(*)PLANE_ANGLE_UNIT()SI_UNIT($,.RADIAN.))");
        let solid_angle = self.add("(NAMED_UNIT(*)SI_UNIT($,.STERADIAN.)SOLID_ANGLE_UNIT())");
        let uncertainty = self.add(&format!(
            "UNCERTAINTY_MEASURE_WITH_UNIT(LENGTH_MEASURE({UNCERTAINTY}),#{length},'distance_accuracy_value','confusion accuracy')"
        ));
        self.add(&format!(
            "(GEOMETRIC_REPRESENTATION_CONTEXT(3)GLOBAL_UNCERTAINTY_ASSIGNED_CONTEXT((#{uncertainty}))\
             GLOBAL_UNIT_ASSIGNED_CONTEXT((#{length},#{angle},#{solid_angle}))REPRESENTATION_CONTEXT('',''))"
        ))
    }
}

fn truth(value: bool) -> &'static str {
    if value { ".T." } else { ".F." }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::solid::{Loop, Point2, Region};

    fn plate() -> Body {
        let outer = Loop::rounded_rectangle(Point2::origin(), 40.0, 30.0, 4.0).unwrap();
        let hole = Loop::circle(Point2::origin(), 8.0).unwrap();
        Body::prism(&Region::new(outer, vec![hole]).unwrap(), 0.0, 5.0).unwrap()
    }

    #[test]
    fn every_reference_is_defined_once_and_before_use() {
        let text = String::from_utf8(bytes("a 'name'", &plate())).unwrap();
        let mut defined = 0;
        for line in text.lines().filter(|line| line.starts_with('#')) {
            let (id, entity) = line[1..].split_once('=').unwrap();
            defined += 1;
            assert_eq!(id.parse::<usize>().unwrap(), defined);
            for used in entity.split('#').skip(1) {
                let digits: String = used.chars().take_while(char::is_ascii_digit).collect();
                assert!(digits.parse::<usize>().unwrap() < defined, "{line}");
            }
        }
        assert!(defined > 100 && text.contains("'a _name_'"));
    }

    #[test]
    fn every_edge_is_used_twice_once_each_way() {
        let text = String::from_utf8(bytes("plate", &plate())).unwrap();
        let count = |what: &str| text.matches(what).count();
        assert_eq!(count("ORIENTED_EDGE"), 2 * count("EDGE_CURVE"));
        assert_eq!(count("ADVANCED_FACE"), plate().faces().len());
        for line in text.lines().filter(|line| line.contains("=EDGE_CURVE")) {
            let id = line[1..].split('=').next().unwrap();
            for way in [".T.", ".F."] {
                assert_eq!(count(&format!("*,*,#{id},{way})")), 1, "edge {id} {way}");
            }
        }
    }

    #[test]
    fn numbers_have_a_point() {
        for (value, text) in [(1.0, "1."), (-0.0, "0."), (0.5, "0.5"), (1e-7, "1.E-7"), (1.25e-9, "1.25E-9"), (-3e20, "-3.E20")] {
            assert_eq!(real(value), text);
        }
    }

    #[test]
    fn the_same_body_gives_the_same_bytes() {
        assert_eq!(bytes("plate", &plate()), bytes("plate", &plate()));
    }
}
