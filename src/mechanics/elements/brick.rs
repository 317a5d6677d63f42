//! The brick of twenty nodes: its shape functions as sums of monomials, and the integrals of their
//! products from the moments of the material inside it.
//!
//! Corners and middles of edges of a cube from −1 to 1 (Zienkiewicz and Taylor, *The Finite Element
//! Method*, vol. 1, serendipity family). Every integral over a part of the cube is a sum of moments
//! ∫xᵃyᵇzᶜ with powers up to four, so a cut cell costs no more than its 125 moments.

use std::sync::LazyLock;

/// Nodes of a brick.
pub(super) const NODES: usize = 20;

/// ∫xᵃyᵇzᶜ over the material in a cell of −1 to 1, at `25·a + 5·b + c`.
pub(super) type Moments = [f64; 125];

/// What a power of one in each direction adds to a moment's index.
pub(super) const STEP: [usize; 3] = [25, 5, 1];

/// Pairs of directions of [`Products`].
pub(super) const PAIRS: [(usize, usize); 6] = [(0, 0), (1, 1), (2, 2), (0, 1), (0, 2), (1, 2)];

/// ∫∂Nᵢ/∂a·∂Nⱼ/∂b for each pair (a, b) of [`PAIRS`], in the coordinates of the cube.
pub(super) type Products = [[[f64; NODES]; NODES]; 6];

/// Powers of the monomials of which the shape functions are sums.
pub(super) const POWERS: [[usize; 3]; NODES] = [
    [0, 0, 0],
    [1, 0, 0],
    [0, 1, 0],
    [0, 0, 1],
    [2, 0, 0],
    [0, 2, 0],
    [0, 0, 2],
    [1, 1, 0],
    [0, 1, 1],
    [1, 0, 1],
    [1, 1, 1],
    [2, 1, 0],
    [2, 0, 1],
    [1, 2, 0],
    [0, 2, 1],
    [1, 0, 2],
    [0, 1, 2],
    [2, 1, 1],
    [1, 2, 1],
    [1, 1, 2],
];

/// Where the nodes lie: 0, 1 or 2 half edges from the cell's least corner, along each direction.
pub(super) const PLACES: [[usize; 3]; NODES] = places();

const fn places() -> [[usize; 3]; NODES] {
    let (mut all, mut found, mut at) = ([[0; 3]; NODES], 0, 0);
    while at < 27 {
        let (i, j, k) = (at / 9, at / 3 % 3, at % 3);
        if (i == 1) as usize + (j == 1) as usize + (k == 1) as usize <= 1 {
            all[found] = [i, j, k];
            found += 1;
        }
        at += 1;
    }
    all
}

/// The shape functions, and the products of a full cell.
pub(super) struct Brick {
    /// Factor of each monomial in each shape function: monomial first.
    pub factors: [[f64; NODES]; NODES],
    /// Moments of a full cell by 2 × 2 × 2 points: exact up to the third power. The fourth, which they
    /// leave out, is what makes a brick bend too stiffly.
    pub full_moments: Moments,
    /// Products of a full cell.
    pub full: Products,
}

/// The one brick.
pub(super) static BRICK: LazyLock<Brick> = LazyLock::new(|| {
    let factors = factors();
    let full_moments = two_point_moments();
    let full = products(&factors, &full_moments);
    Brick { factors, full_moments, full }
});

fn index(powers: [usize; 3]) -> usize {
    (0..3).map(|a| powers[a] * STEP[a]).sum()
}

fn factors() -> [[f64; NODES]; NODES] {
    let mut all = [[0.0; NODES]; NODES];
    for (node, place) in PLACES.iter().enumerate() {
        let sign = place.map(|p| p as f64 - 1.0);
        let mut add = |powers: [usize; 3], factor: f64| {
            if let Some(k) = POWERS.iter().position(|p| *p == powers) {
                all[k][node] += factor;
            }
        };
        // Every way of taking either 1 or the direction's own term from each of the three factors.
        for ways in 0..8_usize {
            let taken = [0, 1, 2].map(|a| ways >> a & 1);
            let with = |a: usize, power: usize| {
                let mut powers = taken;
                powers[a] += power;
                powers
            };
            match (0..3).find(|&a| place[a] == 1) {
                None => {
                    let product: f64 =
                        (0..3).map(|a| if taken[a] == 1 { sign[a] } else { 1.0 }).product::<f64>() / 8.0;
                    add(taken, -2.0 * product);
                    (0..3).for_each(|a| add(with(a, 1), sign[a] * product));
                }
                Some(middle) if taken[middle] == 0 => {
                    let product: f64 =
                        (0..3).map(|a| if taken[a] == 1 { sign[a] } else { 1.0 }).product::<f64>() / 4.0;
                    add(taken, product);
                    add(with(middle, 2), -product);
                }
                Some(_) => {}
            }
        }
    }
    all
}

fn two_point_moments() -> Moments {
    let even = [2.0, 0.0, 2.0 / 3.0, 0.0, 2.0 / 9.0];
    let mut all = [0.0; 125];
    for (at, moment) in all.iter_mut().enumerate() {
        *moment = even[at / 25] * even[at / 5 % 5] * even[at % 5];
    }
    all
}

/// The products of a cell with these moments.
pub(super) fn products(factors: &[[f64; NODES]; NODES], moments: &Moments) -> Products {
    let mut all = [[[0.0; NODES]; NODES]; 6];
    for (product, &(a, b)) in all.iter_mut().zip(&PAIRS) {
        let mut half = [[0.0; NODES]; NODES];
        for (row, p) in half.iter_mut().zip(&POWERS).filter(|(_, p)| p[a] > 0) {
            for (of, q) in factors.iter().zip(&POWERS).filter(|(_, q)| q[b] > 0) {
                let moment = moments[index(*p) + index(*q) - STEP[a] - STEP[b]];
                let share = (p[a] * q[b]) as f64 * moment;
                row.iter_mut().zip(of).for_each(|(sum, factor)| *sum += share * factor);
            }
        }
        for (row, of) in half.iter().zip(factors) {
            for (sums, factor) in product.iter_mut().zip(of).filter(|(_, factor)| **factor != 0.0) {
                sums.iter_mut().zip(row).for_each(|(sum, value)| *sum += factor * value);
            }
        }
    }
    all
}

/// The shape functions at a point of the cube.
pub(super) fn values(at: [f64; 3]) -> [f64; NODES] {
    let power = |k: usize| -> f64 { (0..3).map(|a| at[a].powi(POWERS[k][a] as i32)).product() };
    let mut all = [0.0; NODES];
    for (k, of) in BRICK.factors.iter().enumerate() {
        let monomial = power(k);
        all.iter_mut().zip(of).for_each(|(sum, factor)| *sum += monomial * factor);
    }
    all
}

/// ∫φₖφₗ of two monomials.
pub(super) fn mass(moments: &Moments, k: usize, l: usize) -> f64 {
    moments[index(POWERS[k]) + index(POWERS[l])]
}

/// ∫∂φₖ/∂a·ψ, where ψ is 1 (`along` none) or the coordinate along a direction.
pub(super) fn slope(moments: &Moments, k: usize, a: usize, along: Option<usize>) -> f64 {
    let power = POWERS[k][a];
    if power == 0 {
        return 0.0;
    }
    power as f64 * moments[index(POWERS[k]) - STEP[a] + along.map_or(0, |d| STEP[d])]
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn each_shape_function_is_one_at_its_own_node_and_nothing_at_the_others() {
        for (node, place) in PLACES.iter().enumerate() {
            let all = values(place.map(|p| p as f64 - 1.0));
            for (other, value) in all.iter().enumerate() {
                let expected = f64::from(u8::from(node == other));
                assert!((value - expected).abs() < 1e-12, "{node} at {other}: {value}");
            }
        }
        // A rigid movement and an even stretch are represented exactly: the functions add up to one.
        let sum: f64 = values([0.3, -0.7, 0.55]).iter().sum();
        assert!((sum - 1.0).abs() < 1e-12);
    }

    #[test]
    fn no_rigid_movement_strains_a_cell_however_it_is_cut() {
        // Half of the cell, x < 0: moments of the half range times those of the full one.
        let mut half = [0.0; 125];
        for (at, moment) in half.iter_mut().enumerate() {
            let whole = |n: usize| if n.is_multiple_of(2) { 2.0 / (n as f64 + 1.0) } else { 0.0 };
            let cut = |n: usize| if n.is_multiple_of(2) { 1.0 } else { -1.0 } / (n as f64 + 1.0);
            *moment = cut(at / 25) * whole(at / 5 % 5) * whole(at % 5);
        }
        for products in [products(&BRICK.factors, &half), BRICK.full] {
            for product in &products {
                for row in product {
                    assert!(row.iter().sum::<f64>().abs() < 1e-12);
                }
            }
            // u = x: ∫(∂u/∂x)² is the volume.
            let x: Vec<f64> = PLACES.iter().map(|p| p[0] as f64 - 1.0).collect();
            let energy: f64 = (0..NODES)
                .flat_map(|i| (0..NODES).map(move |j| (i, j)))
                .map(|(i, j)| x[i] * products[0][i][j] * x[j])
                .sum();
            assert!((energy - 4.0).abs() < 1e-12 || (energy - 8.0).abs() < 1e-12, "{energy}");
        }
    }
}
