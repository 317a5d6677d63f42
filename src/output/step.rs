//! STEP (ISO 10303-21) files of solids, in the AP214 schema, millimetres.
//!
//! The entities are the faces, edges and points of the bodies as they stand: planes, cylinders,
//! cones, tori and spheres are written as themselves, edges as lines and circles, every edge once
//! and used by both its faces. No spline stands in for a round wall, so another program finds a
//! true radius where it measures one.
//!
//! They are written here rather than through truck-stepio 0.3, whose header makes a strict reader
//! report two unresolved references and names the schema in a form few readers expect, and whose
//! solids carry circles as splines.
//!
//! The same bodies give the same bytes: the time stamp is fixed, since it says nothing of the part.

use crate::error::{Error, Result};
use crate::solid::body::{Curve, Edge, Face};
use crate::solid::surface::{Kind, Surface};
use crate::solid::{Body, EPSILON, Frame, Point3, Vector3};
use std::fmt::Write;

/// The bytes of a STEP file named `name` that holds each body as a product of its own name.
///
/// Fails for a torus whose tube reaches across its axis, which the schema has no plain word for.
pub fn step(name: &str, bodies: &[(&str, &Body)]) -> Result<Vec<u8>> {
    let mut file = File::default();
    let context = Context::write(&mut file);
    for (product, body) in bodies {
        file.product(&context, product, body)?;
    }
    let mut text = header(name);
    text.push_str(&file.data);
    text.push_str("ENDSEC;\nEND-ISO-10303-21;\n");
    Ok(text.into_bytes())
}

fn header(name: &str) -> String {
    format!(
        "ISO-10303-21;\nHEADER;\n\
         FILE_DESCRIPTION(('solids to print, millimetres'),'2;1');\n\
         FILE_NAME({},'2000-01-01T00:00:00',(''),(''),'fixwright {}','fixwright','');\n\
         FILE_SCHEMA(('AUTOMOTIVE_DESIGN {{ 1 0 10303 214 1 1 1 1 }}'));\n\
         ENDSEC;\nDATA;\n",
        string(&format!("{name}.step")),
        env!("CARGO_PKG_VERSION")
    )
}

/// The entities all products share.
struct Context {
    application: u32,
    units: u32,
}

impl Context {
    fn write(file: &mut File) -> Self {
        let application =
            file.add("APPLICATION_CONTEXT('core data for automotive mechanical design processes')");
        file.add(&format!("APPLICATION_PROTOCOL_DEFINITION('international standard','automotive_design',2000,#{application})"));
        let length = file.add("(LENGTH_UNIT()NAMED_UNIT(*)SI_UNIT(.MILLI.,.METRE.))");
        let angle = file.add("(NAMED_UNIT(*)PLANE_ANGLE_UNIT()SI_UNIT($,.RADIAN.))");
        let solid = file.add("(NAMED_UNIT(*)SI_UNIT($,.STERADIAN.)SOLID_ANGLE_UNIT())");
        let close = file.add(&format!(
            "UNCERTAINTY_MEASURE_WITH_UNIT(LENGTH_MEASURE({}),#{length},'distance_accuracy_value','points nearer than this are one')",
            real(EPSILON)
        ));
        let units = file.add(&format!(
            "(GEOMETRIC_REPRESENTATION_CONTEXT(3)GLOBAL_UNCERTAINTY_ASSIGNED_CONTEXT((#{close}))\
             GLOBAL_UNIT_ASSIGNED_CONTEXT((#{length},#{angle},#{solid}))REPRESENTATION_CONTEXT('',''))"
        ));
        Self { application, units }
    }
}

/// The data section as it grows.
#[derive(Default)]
struct File {
    data: String,
    last: u32,
}

impl File {
    /// Adds an entity and gives its number.
    fn add(&mut self, entity: &str) -> u32 {
        self.last += 1;
        // Writing to a String cannot fail.
        let _ = writeln!(self.data, "#{}={entity};", self.last);
        self.last
    }

    fn list(numbers: &[u32]) -> String {
        let texts: Vec<String> = numbers.iter().map(|n| format!("#{n}")).collect();
        format!("({})", texts.join(","))
    }

    fn product(&mut self, context: &Context, name: &str, body: &Body) -> Result<()> {
        let Context { application, units } = context;
        let name = string(name);
        let mechanical = self.add(&format!("PRODUCT_CONTEXT('',#{application},'mechanical')"));
        let product = self.add(&format!("PRODUCT({name},{name},'',(#{mechanical}))"));
        self.add(&format!("PRODUCT_RELATED_PRODUCT_CATEGORY('part',$,(#{product}))"));
        let formation = self.add(&format!("PRODUCT_DEFINITION_FORMATION('','',#{product})"));
        let design =
            self.add(&format!("PRODUCT_DEFINITION_CONTEXT('part definition',#{application},'design')"));
        let definition = self.add(&format!("PRODUCT_DEFINITION('design','',#{formation},#{design})"));
        let shape = self.add(&format!("PRODUCT_DEFINITION_SHAPE('','',#{definition})"));
        let mut items = vec![self.placement(&Frame::world())];
        items.extend(self.solids(&name, body)?);
        let items = Self::list(&items);
        let representation =
            self.add(&format!("ADVANCED_BREP_SHAPE_REPRESENTATION({name},{items},#{units})"));
        self.add(&format!("SHAPE_DEFINITION_REPRESENTATION(#{shape},#{representation})"));
        Ok(())
    }

    /// One solid for every lump of the body, with its hollows.
    fn solids(&mut self, name: &str, body: &Body) -> Result<Vec<u32>> {
        let vertices: Vec<u32> = body
            .points()
            .iter()
            .map(|p| {
                let point = self.point(*p);
                self.add(&format!("VERTEX_POINT('',#{point})"))
            })
            .collect();
        let edges: Vec<u32> = body.edges().iter().map(|edge| self.edge(body, edge, &vertices)).collect();
        let mut solids = Vec::new();
        for lump in body.lumps() {
            let shell = |file: &mut Self, faces: &[usize]| -> Result<u32> {
                let faces =
                    faces.iter().map(|&f| file.face(&body.faces()[f], &edges)).collect::<Result<Vec<_>>>()?;
                Ok(file.add(&format!("CLOSED_SHELL('',{})", Self::list(&faces))))
            };
            let outer = shell(self, &lump.outer)?;
            let hollows = lump.hollows.iter().map(|faces| shell(self, faces)).collect::<Result<Vec<_>>>()?;
            solids.push(if hollows.is_empty() {
                self.add(&format!("MANIFOLD_SOLID_BREP({name},#{outer})"))
            } else {
                let turned: Vec<u32> = hollows
                    .iter()
                    .map(|h| self.add(&format!("ORIENTED_CLOSED_SHELL('',*,#{h},.T.)")))
                    .collect();
                self.add(&format!("BREP_WITH_VOIDS({name},#{outer},{})", Self::list(&turned)))
            });
        }
        Ok(solids)
    }

    fn edge(&mut self, body: &Body, edge: &Edge, vertices: &[u32]) -> u32 {
        let [a, b] = edge.ends.map(|i| body.points()[i as usize]);
        let curve = match edge.curve {
            Curve::Line => {
                let (point, direction) = (self.point(a), self.direction(b - a));
                let vector = self.add(&format!("VECTOR('',#{direction},1.)"));
                self.add(&format!("LINE('',#{point},#{vector})"))
            }
            Curve::Arc { frame, radius, .. } => {
                let placement = self.placement(&frame);
                self.add(&format!("CIRCLE('',#{placement},{})", real(radius)))
            }
        };
        let [from, to] = edge.ends.map(|i| vertices[i as usize]);
        self.add(&format!("EDGE_CURVE('',#{from},#{to},#{curve},.T.)"))
    }

    fn face(&mut self, face: &Face, edges: &[u32]) -> Result<u32> {
        let surface = self.surface(face)?;
        let mut bounds = Vec::new();
        for (i, sides) in face.sides().enumerate() {
            // Loops run counter-clockwise as seen from outside: backwards on a face seen from behind.
            let mut oriented: Vec<u32> = sides
                .map(|(edge, along)| {
                    let sense = if along != face.inward { ".T." } else { ".F." };
                    self.add(&format!("ORIENTED_EDGE('',*,*,#{},{sense})", edges[edge]))
                })
                .collect();
            if face.inward {
                oriented.reverse();
            }
            let ring = self.add(&format!("EDGE_LOOP('',{})", Self::list(&oriented)));
            let kind = if i == 0 { "FACE_OUTER_BOUND" } else { "FACE_BOUND" };
            bounds.push(self.add(&format!("{kind}('',#{ring},.T.)")));
        }
        let sense = if face.inward { ".F." } else { ".T." };
        Ok(self.add(&format!("ADVANCED_FACE('',{},#{surface},{sense})", Self::list(&bounds))))
    }

    fn surface(&mut self, face: &Face) -> Result<u32> {
        let Surface { frame, kind } = face.surface;
        Ok(match kind {
            Kind::Plane => {
                let placement = self.placement(&frame);
                self.add(&format!("PLANE('',#{placement})"))
            }
            Kind::Cylinder { radius } => {
                let placement = self.placement(&frame);
                self.add(&format!("CYLINDRICAL_SURFACE('',#{placement},{})", real(radius)))
            }
            Kind::Cone { slope, .. } => {
                // The schema wants the radius to grow along the axis and not to be negative at its
                // origin: the narrow end of the face is taken for that.
                let (low, high) = face.region.bounds();
                let narrow = if slope > 0.0 { low.y } else { high.y };
                let z = frame.z * slope.signum();
                let origin = frame.origin + frame.z * narrow;
                let placement = self.placement(&Frame { origin, x: frame.x, y: z.cross(&frame.x), z });
                let radius = face.surface.radius(narrow).max(0.0);
                self.add(&format!(
                    "CONICAL_SURFACE('',#{placement},{},{})",
                    real(radius),
                    real(slope.abs().atan())
                ))
            }
            Kind::Torus { major, minor } if major.abs() < EPSILON => {
                let placement = self.placement(&frame);
                self.add(&format!("SPHERICAL_SURFACE('',#{placement},{})", real(minor)))
            }
            Kind::Torus { major, minor } if major > minor => {
                let placement = self.placement(&frame);
                self.add(&format!("TOROIDAL_SURFACE('',#{placement},{},{})", real(major), real(minor)))
            }
            Kind::Torus { .. } => {
                return Err(Error::geometry(
                    "A rounding whose circle reaches across the part's axis cannot be written as STEP.",
                    "Make the rounding's radius smaller, or leave out the STEP file.",
                ));
            }
        })
    }

    fn placement(&mut self, frame: &Frame) -> u32 {
        let (origin, z, x) = (self.point(frame.origin), self.direction(frame.z), self.direction(frame.x));
        self.add(&format!("AXIS2_PLACEMENT_3D('',#{origin},#{z},#{x})"))
    }

    fn point(&mut self, p: Point3) -> u32 {
        self.add(&format!("CARTESIAN_POINT('',({},{},{}))", real(p.x), real(p.y), real(p.z)))
    }

    fn direction(&mut self, v: Vector3) -> u32 {
        let v = v.normalize();
        self.add(&format!("DIRECTION('',({},{},{}))", real(v.x), real(v.y), real(v.z)))
    }
}

/// A number as the exchange structure writes reals: always with a point. Noise below 1e-13 goes.
fn real(value: f64) -> String {
    let value = (value * 1e13).round() / 1e13 + 0.0;
    let text = format!("{value:?}");
    let (digits, exponent) = text.split_once('e').unwrap_or((&text, ""));
    let point = if digits.contains('.') { "" } else { "." };
    let digits = digits.strip_suffix(".0").map_or(digits.to_string(), |whole| format!("{whole}."));
    match exponent {
        "" => format!("{digits}{point}"),
        e => format!("{digits}{point}E{e}"),
    }
}

/// A string as the exchange structure writes it: apostrophes and backslashes doubled, what is not
/// plain ASCII by its code.
fn string(text: &str) -> String {
    let mut out = String::from("'");
    for c in text.chars() {
        match c {
            '\'' => out.push_str("''"),
            '\\' => out.push_str("\\\\"),
            ' '..='~' => out.push(c),
            _ => {
                let _ = match c as u32 {
                    code @ 0..=0xFFFF => write!(out, "\\X2\\{code:04X}\\X0\\"),
                    code => write!(out, "\\X4\\{code:08X}\\X0\\"),
                };
            }
        }
    }
    out.push('\'');
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn reals_carry_a_point_and_strings_their_escapes() {
        for (value, text) in [
            (1.0, "1."),
            (-0.0, "0."),
            (0.5, "0.5"),
            (1e-6, "1.E-6"),
            (1.5e-7, "1.5E-7"),
            (1e-17, "0."),
            (-12.25, "-12.25"),
        ] {
            assert_eq!(real(value), text);
        }
        assert_eq!(string("d'or \\ \u{e9}\u{1f600}"), "'d''or \\\\ \\X2\\00E9\\X0\\\\X4\\0001F600\\X0\\'");
    }
}
