//! Closed polygons given by their corners, as sections through a mesh come: what they hold, and how far apart they are.

use super::Point2;

/// The sides of a polygon, each from corner to corner.
pub fn sides(polygon: &[Point2]) -> impl Iterator<Item = (&Point2, &Point2)> {
    polygon.iter().zip(polygon.iter().cycle().skip(1))
}

/// Whether a polygon holds a point.
pub fn holds(polygon: &[Point2], p: &Point2) -> bool {
    let crossed = |(a, b): &(&Point2, &Point2)| {
        (a.y > p.y) != (b.y > p.y) && p.x < a.x + (p.y - a.y) / (b.y - a.y) * (b.x - a.x)
    };
    sides(polygon).filter(crossed).count() % 2 == 1
}

/// How far a point lies from the nearest side.
pub fn distance(polygon: &[Point2], p: &Point2) -> f64 {
    let to_side = |(a, b): (&Point2, &Point2)| {
        let run = b - a;
        let share = ((p - a).dot(&run) / run.norm_squared().max(1e-18)).clamp(0.0, 1.0);
        (p - (a + run * share)).norm()
    };
    sides(polygon).map(to_side).fold(f64::INFINITY, f64::min)
}

/// The least distance between the sides of two polygons that do not cross.
pub fn apart(one: &[Point2], other: &[Point2]) -> f64 {
    let there = one.iter().map(|p| distance(other, p));
    let back = other.iter().map(|p| distance(one, p));
    there.chain(back).fold(f64::INFINITY, f64::min)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_square_holds_its_middle_and_stands_off_its_neighbour() {
        let square =
            |x: f64| [(x, 0.0), (x + 2.0, 0.0), (x + 2.0, 2.0), (x, 2.0)].map(|(x, y)| Point2::new(x, y));
        assert!(holds(&square(0.0), &Point2::new(1.0, 1.0)) && !holds(&square(0.0), &Point2::new(3.0, 1.0)));
        assert!((distance(&square(0.0), &Point2::new(5.0, 6.0)) - 5.0).abs() < 1e-12);
        assert!((apart(&square(0.0), &square(3.5)) - 1.5).abs() < 1e-12);
    }
}
