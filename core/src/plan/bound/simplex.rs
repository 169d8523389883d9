//! A small primal simplex with an explicit inverse, for column generation.
//!
//! Columns and rows may be added, and costs changed, between solves; the last basis is kept. Its floats only
//! choose multipliers, the bound is evaluated elsewhere in integers, so its errors cost tightness, never truth.

const TINY: f64 = 1e-9;
/// Pivots after which the inverse is computed anew.
const FRESH_AFTER: u32 = 150;

#[derive(Debug, Clone)]
struct Column {
    cost: f64,
    scale: f64,
    entries: Vec<(u32, f64)>,
}

/// Minimise the cost of non-negative columns whose sum meets every row's right-hand side.
#[derive(Debug, Default)]
pub(super) struct Simplex {
    rows: usize,
    /// Length of a row of `inverse`; at least `rows`.
    stride: usize,
    rhs: Vec<f64>,
    columns: Vec<Column>,
    basis: Vec<usize>,
    basic: Vec<bool>,
    inverse: Vec<f64>,
    level: Vec<f64>,
    dual: Vec<f64>,
    since_fresh: u32,
    direction: Vec<f64>,
    /// Pivots so far.
    pub(super) pivots: u64,
}

impl Simplex {
    pub(super) fn rows(&self) -> usize {
        self.rows
    }

    pub(super) fn columns(&self) -> usize {
        self.columns.len()
    }

    /// Adds a row that no existing column enters, and its first basic column (entry 1 in it).
    /// The right-hand side must not be negative.
    pub(super) fn add_row(&mut self, rhs: f64, cost: f64) -> (usize, usize) {
        let row = self.rows;
        if row == self.stride {
            let stride = (2 * self.stride).max(64);
            let mut inverse = vec![0.0; stride * stride];
            for i in 0..row {
                inverse[i * stride..i * stride + row]
                    .copy_from_slice(&self.inverse[i * self.stride..i * self.stride + row]);
            }
            self.inverse = inverse;
            self.stride = stride;
        }
        self.rows += 1;
        self.inverse[row * self.stride + row] = 1.0;
        // A little more than was asked, different for each row, so that ties in the ratio test are rare.
        let rhs = rhs + 1e-6 * (1.0 + ((row * 7919) % 997) as f64 / 997.0);
        self.rhs.push(rhs);
        self.level.push(rhs);
        self.dual.push(cost);
        let column = self.add_column(cost, vec![(row as u32, 1.0)]);
        self.basis.push(column);
        self.basic[column] = true;
        (row, column)
    }

    pub(super) fn add_column(&mut self, cost: f64, entries: Vec<(u32, f64)>) -> usize {
        let scale = 1.0 / (1.0 + entries.iter().map(|e| e.1 * e.1).sum::<f64>()).sqrt();
        self.columns.push(Column { cost, scale, entries });
        self.basic.push(false);
        self.columns.len() - 1
    }

    pub(super) fn set_cost(&mut self, column: usize, cost: f64) {
        self.columns[column].cost = cost;
    }

    pub(super) fn dual(&self, row: usize) -> f64 {
        self.dual[row]
    }

    /// Levels of the basic columns.
    pub(super) fn levels(&self) -> impl Iterator<Item = (usize, f64)> + '_ {
        self.basis.iter().copied().zip(self.level.iter().copied())
    }

    /// Levels of all columns.
    pub(super) fn level_of_columns(&self) -> Vec<f64> {
        let mut levels = vec![0.0; self.columns.len()];
        for (column, level) in self.levels() {
            levels[column] = level;
        }
        levels
    }

    pub(super) fn objective(&self) -> f64 {
        self.levels().map(|(c, x)| self.columns[c].cost * x).sum()
    }

    fn reduced_cost(&self, column: usize) -> f64 {
        let c = &self.columns[column];
        c.entries.iter().fold(c.cost, |d, &(r, a)| d - self.dual[r as usize] * a)
    }

    /// Duals from the basis and the costs as they are now.
    pub(super) fn refresh_duals(&mut self) {
        self.dual.fill(0.0);
        for (i, &c) in self.basis.iter().enumerate() {
            let cost = self.columns[c].cost;
            if cost != 0.0 {
                let row = &self.inverse[i * self.stride..i * self.stride + self.rows];
                for (d, v) in self.dual.iter_mut().zip(row) {
                    *d += cost * v;
                }
            }
        }
    }

    /// Runs to optimality or for so many pivots. False when the basis became singular.
    pub(super) fn solve(&mut self, pivots_max: u64) -> bool {
        self.refresh_duals();
        let stop = self.pivots + pivots_max;
        while self.pivots < stop {
            if self.since_fresh >= FRESH_AFTER && !self.refactor() {
                return false;
            }
            let mut entering = (-1e-6, usize::MAX);
            for c in 0..self.columns.len() {
                if !self.basic[c] {
                    let d = self.reduced_cost(c) * self.columns[c].scale;
                    if d < entering.0 {
                        entering = (d, c);
                    }
                }
            }
            if entering.1 == usize::MAX {
                return true;
            }
            if !self.pivot(entering.1) {
                return false;
            }
        }
        true
    }

    fn pivot(&mut self, entering: usize) -> bool {
        let (n, stride) = (self.rows, self.stride);
        let mut direction = std::mem::take(&mut self.direction);
        direction.clear();
        direction.resize(n, 0.0);
        let entries = &self.columns[entering].entries;
        for (i, w) in direction.iter_mut().enumerate() {
            let row = &self.inverse[i * stride..i * stride + n];
            *w = entries.iter().map(|&(r, a)| row[r as usize] * a).sum();
        }
        let mut leaving = (f64::INFINITY, 0.0, usize::MAX);
        for (i, &w) in direction.iter().enumerate() {
            if w > 1e-7 {
                let ratio = self.level[i].max(0.0) / w;
                if ratio < leaving.0 - 1e-12 || (ratio < leaving.0 + 1e-12 && w > leaving.1) {
                    leaving = (ratio, w, i);
                }
            }
        }
        let (step, by, r) = leaving;
        if r == usize::MAX {
            self.direction = direction;
            return false;
        }
        let reduced = self.reduced_cost(entering);
        let (before, rest) = self.inverse.split_at_mut(r * stride);
        let (pivot_row, after) = rest.split_at_mut(stride);
        let pivot_row = &mut pivot_row[..n];
        for v in pivot_row.iter_mut() {
            *v /= by;
        }
        for (d, v) in self.dual.iter_mut().zip(pivot_row.iter()) {
            *d += reduced * v;
        }
        let others = before
            .chunks_exact_mut(stride)
            .chain(std::iter::once(&mut [][..]))
            .chain(after.chunks_exact_mut(stride));
        for (i, row) in others.enumerate().take(n) {
            let w = direction[i];
            if i == r || w.abs() < TINY {
                continue;
            }
            for (v, p) in row[..n].iter_mut().zip(pivot_row.iter()) {
                *v -= w * p;
            }
        }
        for (i, &w) in direction.iter().enumerate() {
            self.level[i] -= step * w;
        }
        self.level[r] = step;
        self.basic[self.basis[r]] = false;
        self.basic[entering] = true;
        self.basis[r] = entering;
        self.direction = direction;
        self.pivots += 1;
        self.since_fresh += 1;
        true
    }

    /// Computes inverse, levels and duals anew by Gauss-Jordan elimination with row pivoting.
    fn refactor(&mut self) -> bool {
        let (n, stride) = (self.rows, self.stride);
        self.since_fresh = 0;
        let mut a = vec![0.0; n * n];
        for (j, &c) in self.basis.iter().enumerate() {
            for &(r, v) in &self.columns[c].entries {
                a[r as usize * n + j] += v;
            }
        }
        let mut inverse = vec![0.0; n * n];
        for i in 0..n {
            inverse[i * n + i] = 1.0;
        }
        for j in 0..n {
            let mut p = j;
            for i in j + 1..n {
                if a[i * n + j].abs() > a[p * n + j].abs() {
                    p = i;
                }
            }
            if a[p * n + j].abs() < 1e-10 {
                return false;
            }
            if p != j {
                for k in 0..n {
                    a.swap(p * n + k, j * n + k);
                    inverse.swap(p * n + k, j * n + k);
                }
            }
            let by = 1.0 / a[j * n + j];
            for k in 0..n {
                a[j * n + k] *= by;
                inverse[j * n + k] *= by;
            }
            let (a_row, inverse_row) = (a[j * n..][..n].to_vec(), inverse[j * n..][..n].to_vec());
            for i in 0..n {
                let w = a[i * n + j];
                if i == j || w == 0.0 {
                    continue;
                }
                for (v, p) in a[i * n + j..][..n - j].iter_mut().zip(&a_row[j..]) {
                    *v -= w * p;
                }
                for (v, p) in inverse[i * n..][..n].iter_mut().zip(&inverse_row) {
                    *v -= w * p;
                }
            }
        }
        for i in 0..n {
            self.inverse[i * stride..i * stride + n].copy_from_slice(&inverse[i * n..][..n]);
            self.level[i] = inverse[i * n..][..n].iter().zip(&self.rhs).map(|(v, b)| v * b).sum();
        }
        self.refresh_duals();
        true
    }
}
