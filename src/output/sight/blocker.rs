//! Triangles as they lie before the viewer, ready to be asked what hides a point.

/// A corner or a point as it is seen: right, up, towards the viewer.
pub type Placed = [f64; 3];

/// Triangles in a grid of square cells across the line of sight.
pub struct Blocker {
    triangles: Vec<[Placed; 3]>,
    least: [f64; 2],
    cell: f64,
    columns: usize,
    /// Where each cell's list begins in `lists`, and a last one where they end.
    starts: Vec<u32>,
    lists: Vec<u32>,
}

/// Cells along the longer side.
const CELLS: f64 = 64.0;

impl Blocker {
    /// Of triangles as they are seen.
    pub fn new(triangles: Vec<[Placed; 3]>) -> Self {
        let (mut least, mut most) = ([f64::MAX; 2], [f64::MIN; 2]);
        for corner in triangles.iter().flatten() {
            for axis in 0..2 {
                least[axis] = least[axis].min(corner[axis]);
                most[axis] = most[axis].max(corner[axis]);
            }
        }
        let cell = ((most[0] - least[0]).max(most[1] - least[1]) / CELLS).max(1e-6);
        let count = |axis: usize| ((most[axis] - least[axis]).max(0.0) / cell) as usize + 1;
        let (columns, rows) = (count(0), count(1));
        let mut blocker =
            Self { triangles, least, cell, columns, starts: vec![0; columns * rows + 1], lists: Vec::new() };
        blocker.fill();
        blocker
    }

    /// Counts each cell's triangles, then lays them out one list after the other.
    fn fill(&mut self) {
        let mut ends = vec![0u32; self.starts.len()];
        for t in &self.triangles {
            self.cells(t).for_each(|cell| ends[cell] += 1);
        }
        let mut before = 0;
        for (start, end) in self.starts.iter_mut().zip(&mut ends) {
            *start = before;
            before += *end;
            *end = *start;
        }
        self.lists = vec![0; before as usize];
        for (at, t) in self.triangles.iter().enumerate() {
            for cell in cells(t, self.least, self.cell, self.columns) {
                self.lists[ends[cell] as usize] = at as u32;
                ends[cell] += 1;
            }
        }
    }

    fn cells(&self, t: &[Placed; 3]) -> impl Iterator<Item = usize> + use<> {
        cells(t, self.least, self.cell, self.columns)
    }

    /// Whether a triangle lies between a point and the viewer, of those that count: each is asked
    /// for by its number and its distance towards the viewer.
    pub fn hides(&self, [x, y, depth]: Placed, counts: impl Fn(usize, f64) -> bool) -> bool {
        let (right, up) = ((x - self.least[0]) / self.cell, (y - self.least[1]) / self.cell);
        if right < 0.0 || up < 0.0 || right as usize >= self.columns {
            return false;
        }
        let cell = up as usize * self.columns + right as usize;
        let (Some(&from), Some(&to)) = (self.starts.get(cell), self.starts.get(cell + 1)) else {
            return false;
        };
        self.lists[from as usize..to as usize].iter().any(|&at| {
            height(&self.triangles[at as usize], [x, y]).is_some_and(|h| h > depth && counts(at as usize, h))
        })
    }
}

/// The cells a triangle's box covers.
fn cells(t: &[Placed; 3], least: [f64; 2], cell: f64, columns: usize) -> impl Iterator<Item = usize> + use<> {
    let bound = |axis: usize| {
        let (a, b, c) = (t[0][axis], t[1][axis], t[2][axis]);
        let at = |value: f64| ((value - least[axis]) / cell) as usize;
        at(a.min(b).min(c))..=at(a.max(b).max(c))
    };
    let across = bound(0);
    bound(1).flat_map(move |y| across.clone().map(move |x| y * columns + x))
}

/// The share of a triangle by which it reaches over its sides, so that no point falls between two
/// that share one.
const SHARED: f64 = 1e-9;

/// The distance towards the viewer of a triangle over a point of the paper, if it lies over it.
fn height([a, b, c]: &[Placed; 3], q: [f64; 2]) -> Option<f64> {
    let area = |p: &Placed, r: &Placed| (p[0] - q[0]) * (r[1] - q[1]) - (p[1] - q[1]) * (r[0] - q[0]);
    let (u, v, w) = (area(b, c), area(c, a), area(a, b));
    let whole = u + v + w;
    let least = [u, v, w].into_iter().fold(f64::INFINITY, |least, area| least.min(area * whole.signum()));
    let inside = least >= -SHARED * whole.abs();
    (inside && whole != 0.0).then(|| (u * a[2] + v * b[2] + w * c[2]) / whole)
}
