//! Running a sum of squares downhill, and scattered numbers to begin from.

/// A fixed sequence of scattered numbers (SplitMix64, public domain constants).
pub(super) struct Chance(pub u64);

impl Chance {
    fn next(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9E37_79B9_7F4A_7C15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        z ^ (z >> 31)
    }

    /// In 0..1.
    pub fn unit(&mut self) -> f64 {
        (self.next() >> 11) as f64 / (1u64 << 53) as f64
    }

    pub fn below(&mut self, bound: usize) -> usize {
        ((self.unit() * bound as f64) as usize).min(bound.saturating_sub(1))
    }
}

/// Pairs of steps and slope changes that the quasi-Newton descent remembers.
const MEMORY: usize = 8;
/// Downhill steps before a start is called stuck.
const STEPS: usize = 220;

/// Minimises by limited-memory BFGS (Nocedal and Wright, Numerical Optimization, algorithm 7.5)
/// with a backtracking line search. Gives the value it came to rest at.
pub(super) fn descend(values: &mut Vec<f64>, mut energy: impl FnMut(&[f64], &mut [f64]) -> f64) -> f64 {
    let size = values.len();
    let mut slope = vec![0.0; size];
    let mut height = energy(values, &mut slope);
    let mut past: std::collections::VecDeque<(Vec<f64>, Vec<f64>, f64)> = Default::default();
    let (mut trial, mut its_slope) = (vec![0.0; size], vec![0.0; size]);
    for _ in 0..STEPS {
        if height < 1e-18 {
            break;
        }
        let mut way = quasi_newton(&slope, &past);
        let mut fall = dot(&way, &slope);
        if fall >= -1e-30 {
            way = slope.iter().map(|g| -g).collect();
            fall = -dot(&slope, &slope);
            past.clear();
            if fall > -1e-24 {
                break;
            }
        }
        let mut step = 1.0;
        let mut lower = f64::INFINITY;
        for _ in 0..25 {
            for ((t, v), w) in trial.iter_mut().zip(values.iter()).zip(&way) {
                *t = v + step * w;
            }
            lower = energy(&trial, &mut its_slope);
            if lower <= height + 1e-4 * step * fall {
                break;
            }
            step *= 0.5;
        }
        // No step goes down any more: at rest.
        if lower >= height {
            break;
        }
        let moved: Vec<f64> = trial.iter().zip(values.iter()).map(|(t, v)| t - v).collect();
        let turned: Vec<f64> = its_slope.iter().zip(&slope).map(|(a, b)| a - b).collect();
        let bend = dot(&moved, &turned);
        if bend > 1e-14 * dot(&turned, &turned) {
            if past.len() == MEMORY {
                past.pop_front();
            }
            past.push_back((moved, turned, bend));
        }
        std::mem::swap(values, &mut trial);
        std::mem::swap(&mut slope, &mut its_slope);
        let gained = height - lower;
        height = lower;
        if gained < 1e-9 * height {
            break;
        }
    }
    height
}

fn dot(a: &[f64], b: &[f64]) -> f64 {
    a.iter().zip(b).map(|(a, b)| a * b).sum()
}

/// The two-loop recursion: minus the slope, bent by what past steps taught of the curvature.
fn quasi_newton(slope: &[f64], past: &std::collections::VecDeque<(Vec<f64>, Vec<f64>, f64)>) -> Vec<f64> {
    let mut way: Vec<f64> = slope.iter().map(|g| -g).collect();
    let mut shares = Vec::with_capacity(past.len());
    for (moved, turned, bend) in past.iter().rev() {
        let share = dot(moved, &way) / bend;
        shares.push(share);
        way.iter_mut().zip(turned).for_each(|(w, t)| *w -= share * t);
    }
    if let Some((_, turned, bend)) = past.back() {
        let scale = bend / dot(turned, turned);
        way.iter_mut().for_each(|w| *w *= scale);
    }
    for ((moved, turned, bend), share) in past.iter().zip(shares.iter().rev()) {
        let back = dot(turned, &way) / bend;
        way.iter_mut().zip(moved).for_each(|(w, m)| *w += (share - back) * m);
    }
    way
}
