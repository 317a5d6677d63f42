//! How thick a bundle of wires alike is.

/// Diameter of the least circle round `n` equal circles, in their diameters, from one on: R. L. Graham et al.,
/// Dense packings of congruent circles in a circle, Discrete Mathematics 181 (1998), 139 to 154, Table 1.
const LEAST: [f64; 20] = [
    1.0, 2.0, 2.1547, 2.4142, 2.7013, 3.0, 3.0, 3.3048, 3.6131, 3.8130, 3.9238, 4.0296, 4.2361, 4.3284,
    4.5214, 4.6154, 4.7920, 4.8637, 4.8637, 5.1223,
];
/// The densest that circles lie in the plane: π/√12.
const DENSEST: f64 = 0.9069;
/// A bundle as a tie leaves it, over the root of the number of its wires (common practice of harness makers).
const TIED: f64 = 1.2;

/// Least and greatest diameter of a bundle of `count` wires of one diameter (mm), tied round.
pub fn diameter(count: usize, wire: f64) -> (f64, f64) {
    let root = (count as f64).sqrt();
    let most_listed = LEAST[LEAST.len() - 1];
    let densest = LEAST.get(count.saturating_sub(1)).copied();
    let densest = densest.unwrap_or_else(|| (root / DENSEST.sqrt()).max(most_listed));
    (densest * wire, (TIED * root).max(densest) * wire)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn seven_wires_lie_round_one_and_more_are_never_thinner() {
        assert_eq!(diameter(1, 1.4), (1.4, 1.4 * TIED));
        assert_eq!(diameter(7, 1.5).0, 4.5);
        for count in 1..100 {
            let ((least, most), next) = (diameter(count, 1.0), diameter(count + 1, 1.0));
            // Never denser than the plane allows, never thinner with one wire more.
            assert!(count as f64 / (least * least) <= DENSEST + 1e-4 || count == 1, "{count}");
            assert!(least <= most && next.0 >= least - 1e-9, "{count}");
        }
    }
}
