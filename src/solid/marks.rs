//! Marks: capital letters, digits and a few signs as strokes of one width, raised on a level face or cut into it.
//!
//! The alphabet is drawn here for plastic: every stroke is as wide as the next, no two signs share an outline, and
//! what stands up from a face stands straight up, so it prints without support.

use super::{Body, Loop, Point2, Region, Vector2};
use crate::error::{Error, Result, number, within};

/// Strokes of the signs on a grid 4 wide and 6 high: polylines `x,y x,y`, one after another, parted by `;`.
const STROKES: [(char, &str); 41] = [
    ('A', "0,0 0,4.5 1.5,6 2.5,6 4,4.5 4,0;0,2.5 4,2.5"),
    ('B', "0,3.2 0,0 3,0 4,1 4,2.2 3,3.2 0,3.2 0,6 3,6 4,5 4,4.2 3,3.2"),
    ('C', "4,1 3,0 1,0 0,1 0,5 1,6 3,6 4,5"),
    ('D', "0,0 0,6 2,6 4,4 4,2 2,0 0,0"),
    ('E', "4,0 0,0 0,6 4,6;0,3 3,3"),
    ('F', "0,0 0,6 4,6;0,3 3,3"),
    ('G', "4,5 3,6 1,6 0,5 0,1 1,0 3,0 4,1 4,2.8 2.4,2.8"),
    ('H', "0,0 0,6;4,0 4,6;0,3 4,3"),
    ('I', "1,0 3,0;1,6 3,6;2,0 2,6"),
    ('J', "0,1 1,0 2.5,0 3.5,1 3.5,6"),
    ('K', "0,0 0,6;4,6 0,2.6;1.3,3.7 4,0"),
    ('L', "0,6 0,0 4,0"),
    ('M', "0,0 0,6 2,3 4,6 4,0"),
    ('N', "0,0 0,6 4,0 4,6"),
    ('O', "1,0 3,0 4,1 4,5 3,6 1,6 0,5 0,1 1,0"),
    ('P', "0,0 0,6 3,6 4,5 4,3.8 3,2.8 0,2.8"),
    ('Q', "1,0 3,0 4,1 4,5 3,6 1,6 0,5 0,1 1,0;2.4,1.6 4.4,-0.4"),
    ('R', "0,0 0,6 3,6 4,5 4,3.8 3,2.8 0,2.8;1.8,2.8 4,0"),
    ('S', "4,5.2 3.2,6 0.8,6 0,5.2 0,4 4,2 4,0.8 3.2,0 0.8,0 0,0.8"),
    ('T', "0,6 4,6;2,6 2,0"),
    ('U', "0,6 0,1 1,0 3,0 4,1 4,6"),
    ('V', "0,6 2,0 4,6"),
    ('W', "-0.5,6 0.6,0 2,4.5 3.4,0 4.5,6"),
    ('X', "0,0 4,6;0,6 4,0"),
    ('Y', "0,6 2,3 4,6;2,3 2,0"),
    ('Z', "0,6 4,6 0,0 4,0"),
    ('0', "1,0 3,0 4,1 4,5 3,6 1,6 0,5 0,1 1,0;0,1 4,5"),
    ('1', "0.6,4.6 2,6 2,0;0.6,0 3.4,0"),
    ('2', "0,5 1,6 3,6 4,5 4,4 0,0 4,0"),
    ('3', "0,6 4,6 1.8,3.6 3,3.6 4,2.6 4,1 3,0 1,0 0,1"),
    ('4', "3,0 3,6 0,2 4.2,2"),
    ('5', "4,6 0,6 0,3.4 3,3.4 4,2.4 4,1 3,0 0,0"),
    ('6', "3.5,6 2,6 0,4 0,1 1,0 3,0 4,1 4,2.2 3,3.2 0,3.2"),
    ('7', "0,6 4,6 1.5,0"),
    ('8', "1,3.2 0,4.2 0,5 1,6 3,6 4,5 4,4.2 3,3.2 1,3.2 0,2.2 0,1 1,0 3,0 4,1 4,2.2 3,3.2"),
    ('9', "0.5,0 2,0 4,2 4,5 3,6 1,6 0,5 0,3.8 1,2.8 4,2.8"),
    ('-', "0.5,3 3.5,3"),
    ('+', "0.5,3 3.5,3;2,1.5 2,4.5"),
    ('.', "2,0 2,0"),
    ('/', "0,0 4,6"),
    (' ', ""),
];
/// The grid's width and height.
const GRID: (f64, f64) = (4.0, 6.0);

/// How a mark is drawn, mm.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Lettering {
    /// Height of the capitals, stroke included.
    pub height: f64,
    /// Width of the stroke.
    pub stroke: f64,
}

impl Lettering {
    /// Width of one sign, stroke included.
    pub fn width(&self) -> f64 {
        GRID.0 * self.unit() + self.stroke
    }

    /// From one sign to the next: the room between them is a stroke and a half.
    pub fn pitch(&self) -> f64 {
        self.width() + 1.5 * self.stroke
    }

    fn unit(&self) -> f64 {
        (self.height - self.stroke) / GRID.1
    }

    /// The regions a text covers, its first sign's lower left corner at `at`. Small letters are drawn as capitals.
    ///
    /// Fails for a sign the alphabet lacks, and for a stroke so wide that the signs would close.
    pub fn regions(&self, text: &str, at: Point2) -> Result<Vec<Region>> {
        within("the stroke of a mark", self.stroke, 0.1, self.height / 4.0, "mm")?;
        let mut regions = vec![];
        for (k, sign) in text.chars().enumerate() {
            let corner = at + Vector2::new(k as f64 * self.pitch(), 0.0);
            regions.extend(self.sign(sign, corner)?);
        }
        Ok(regions)
    }

    fn sign(&self, sign: char, corner: Point2) -> Result<Vec<Region>> {
        let wanted = sign.to_ascii_uppercase();
        let Some((_, strokes)) = STROKES.iter().find(|(known, _)| *known == wanted) else {
            return Err(Error::request(
                format!("'{sign}' is no sign that can be marked."),
                "Use the letters A to Z, digits, space and - + . /.",
            ));
        };
        let half = Vector2::new(self.stroke, self.stroke) / 2.0;
        let place = |(x, y): (f64, f64)| corner + half + Vector2::new(x, y) * self.unit();
        let mut covered: Vec<Region> = vec![];
        for line in strokes.split(';').filter(|line| !line.is_empty()) {
            let points: Vec<Point2> = line.split(' ').filter_map(point).map(place).collect();
            for ends in points.windows(2) {
                let stroke = Region::new(Loop::obround(ends[0], ends[1], self.stroke)?, vec![])?;
                covered = with(covered, stroke);
            }
        }
        Ok(covered)
    }
}

fn point(text: &str) -> Option<(f64, f64)> {
    let (x, y) = text.split_once(',')?;
    Some((x.parse().ok()?, y.parse().ok()?))
}

/// The regions with one more, which becomes one with those it meets.
fn with(regions: Vec<Region>, more: Region) -> Vec<Region> {
    let mut grown = more;
    let mut apart = vec![];
    for region in regions {
        let mut both = region.union(&grown);
        match both.len() {
            1 => grown = both.remove(0),
            _ => apart.push(region),
        }
    }
    apart.push(grown);
    apart
}

impl Body {
    /// The body with a text raised by `by` mm on its level face at `z`; where `by` is negative the text is cut in.
    ///
    /// Fails as [`Lettering::regions`] and [`Body::join`] do.
    pub fn marked(&self, text: &str, how: &Lettering, (at, z): (Point2, f64), by: f64) -> Result<Body> {
        if by == 0.0 || !by.is_finite() {
            return Err(Error::geometry(
                format!("A mark raised by {} mm is none.", number(by)),
                "Raise it or cut it in by a layer or more.",
            ));
        }
        how.regions(text, at)?.iter().try_fold(self.clone(), |body, region| {
            let strokes = Body::prism(region, z, z + by)?;
            if by > 0.0 { body.join(&strokes) } else { body.cut(&strokes) }
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const FINE: Lettering = Lettering { height: 4.0, stroke: 0.9 };

    fn area(regions: &[Region]) -> f64 {
        regions.iter().map(Region::area).sum()
    }

    #[test]
    fn every_sign_stands_on_a_face_and_sinks_into_it_closed_and_of_the_right_volume() {
        let face = Loop::rectangle(Point2::new(0.0, 0.0), 12.0, 12.0).unwrap();
        let plate = Body::prism(&Region::new(face, vec![]).unwrap(), 0.0, 2.0).unwrap();
        for (sign, _) in STROKES {
            let at = (Point2::new(-2.0, -2.0), 2.0);
            let covered = area(&FINE.regions(&sign.to_string(), at.0).unwrap());
            for by in [0.6, -0.6] {
                let marked = plate.marked(&sign.to_string(), &FINE, at, by).unwrap();
                assert!((marked.volume() - plate.volume() - by * covered).abs() < 1e-6, "{sign}");
                assert_eq!(marked.mesh(0.01).unwrap().open_edges(), 0, "{sign}");
                assert!(by < 0.0 || marked.mesh(0.01).unwrap().overhangs(0.1).is_empty(), "{sign}");
            }
        }
    }

    #[test]
    fn no_two_signs_can_be_taken_for_each_other() {
        let signs = STROKES.iter().filter(|(sign, _)| !" I".contains(*sign));
        let drawn: Vec<(char, Vec<Region>)> =
            signs.map(|(s, _)| (*s, FINE.regions(&s.to_string(), Point2::origin()).unwrap())).collect();
        for (i, (a, one)) in drawn.iter().enumerate() {
            for (b, other) in &drawn[..i] {
                let pairs = one.iter().flat_map(|r| other.iter().map(move |s| area(&r.common(s))));
                let differs = area(one) + area(other) - 2.0 * pairs.sum::<f64>();
                assert!(differs > 0.6, "{a} and {b} differ by {differs} mm²");
            }
        }
    }

    #[test]
    fn a_sign_the_alphabet_lacks_is_refused() {
        assert!(FINE.regions("ü", Point2::origin()).unwrap_err().says.contains('ü'));
        assert!(Lettering { height: 2.0, stroke: 0.9 }.regions("A", Point2::origin()).is_err());
        assert_eq!(FINE.regions("6204 inner", Point2::origin()).unwrap().len(), 9);
    }
}
