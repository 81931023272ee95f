//! Sparse symmetric normal matrices: ordering, LDLᵀ with pinned pivots, solves, and the selected inverse.
//!
//! The ordering is approximate minimum degree (Amestoy, Davis and Duff 1996, from faer). The factorisation is
//! the up-looking LDLᵀ of T. A. Davis, *Algorithm 849* (ACM TOMS 31, 2005), with one addition: a pivot that
//! vanishes against its diagonal marks an unknown that the readings leave free. It is pinned (its inverse pivot
//! is 0), so that the factor of a deficient matrix stays usable and the free unknowns are known by name.
//! The selected inverse is the recursion of Takahashi, Fagan and Chin (1973).

mod elimination;

use crate::stop;
use elimination::{elimination, ordering};

/// Where it matters what is determined, a pivot below this share of its diagonal is rounding: the unknown's deviation would be beyond 10⁵ times that
/// of one reading.
pub(crate) const VANISHING_PIVOT: f64 = 1e-10;

/// The structure of a normal matrix: which entries rows of the design matrix touch, in elimination order.
#[derive(Debug, Clone)]
pub(crate) struct Pattern {
    unknowns: usize,
    position: Vec<usize>,
    column_start: Vec<usize>,
    row_index: Vec<usize>,
    factor_start: Vec<usize>,
    parent: Vec<usize>,
    /// For each design row, the entries of the normal matrix it adds to: pairs (i, j ≤ i) of its columns.
    scatter: Vec<usize>,
    scatter_start: Vec<usize>,
}

const NONE: usize = usize::MAX;

impl Pattern {
    /// Makes the structure of the normal matrix for rows that touch these columns.
    pub(crate) fn new(unknowns: usize, rows: &[Vec<usize>]) -> Pattern {
        let position = ordering(unknowns, rows);
        let mut columns: Vec<Vec<usize>> = (0..unknowns).map(|k| vec![k]).collect();
        for row in rows {
            for (n, &a) in row.iter().enumerate() {
                for &b in &row[..n] {
                    let (low, high) = ordered(position[a], position[b]);
                    columns[high].push(low);
                }
            }
        }
        let mut column_start = vec![0];
        let mut row_index = Vec::new();
        for column in &mut columns {
            column.sort_unstable();
            column.dedup();
            row_index.extend_from_slice(column);
            column_start.push(row_index.len());
        }
        let mut scatter = Vec::new();
        let mut scatter_start = vec![0];
        for row in rows {
            for (n, &a) in row.iter().enumerate() {
                for &b in &row[..=n] {
                    let (low, high) = ordered(position[a], position[b]);
                    let column = &row_index[column_start[high]..column_start[high + 1]];
                    // Every pair was entered above, so the search always finds it.
                    let offset = column.partition_point(|&r| r < low);
                    scatter.push(column_start[high] + offset);
                }
            }
            scatter_start.push(scatter.len());
        }
        let (parent, factor_start) = elimination(unknowns, &column_start, &row_index);
        Pattern {
            unknowns,
            position,
            column_start,
            row_index,
            factor_start,
            parent,
            scatter,
            scatter_start,
        }
    }

    /// Number of unknowns.
    pub(crate) fn unknowns(&self) -> usize {
        self.unknowns
    }

    /// Multiplications of a factor, more or less.
    pub(crate) fn work(&self) -> usize {
        let lengths = self.factor_start.windows(2).map(|column| column[1] - column[0]);
        lengths.map(|length| length * (length + 1) / 2).sum()
    }

    /// An empty matrix of this structure.
    pub(crate) fn zeros(&self) -> Vec<f64> {
        vec![0.0; self.row_index.len()]
    }

    /// Adds weight · aᵀa for design row `row` with these entries.
    pub(crate) fn add_row(&self, matrix: &mut [f64], row: usize, entries: &[f64], weight: f64) {
        let mut at = self.scatter_start[row];
        for (n, &a) in entries.iter().enumerate() {
            for &b in &entries[..=n] {
                matrix[self.scatter[at]] += weight * a * b;
                at += 1;
            }
        }
    }

    /// The diagonal, by unknown.
    pub(crate) fn diagonal(&self, matrix: &[f64]) -> Vec<f64> {
        (0..self.unknowns)
            .map(|k| matrix[self.column_start[self.position[k] + 1] - 1])
            .collect()
    }

    /// Adds to the diagonal, by unknown.
    pub(crate) fn add_diagonal(&self, matrix: &mut [f64], amounts: &[f64]) {
        for (k, amount) in amounts.iter().enumerate() {
            matrix[self.column_start[self.position[k] + 1] - 1] += amount;
        }
    }

    /// Factors the matrix. Never fails: unknowns whose pivot is below the share `vanishing` of their diagonal are
    /// pinned and listed.
    pub(crate) fn factor(&self, matrix: &[f64], vanishing: f64) -> Factor {
        stop::place();
        let n = self.unknowns;
        let mut row = vec![0usize; self.factor_start[n]];
        let mut value = vec![0.0; self.factor_start[n]];
        let mut inverse_pivot = vec![0.0; n];
        let mut filled = vec![0usize; n];
        let mut work = vec![0.0; n];
        let mut mark = vec![NONE; n];
        let mut reach = vec![0usize; n];
        let mut path = vec![0usize; n];
        let mut pinned = Vec::new();
        for k in 0..n {
            let mut top = n;
            mark[k] = k;
            for at in self.column_start[k]..self.column_start[k + 1] {
                let mut i = self.row_index[at];
                work[i] += matrix[at];
                let mut length = 0;
                while mark[i] != k {
                    path[length] = i;
                    length += 1;
                    mark[i] = k;
                    i = self.parent[i];
                }
                while length > 0 {
                    top -= 1;
                    length -= 1;
                    reach[top] = path[length];
                }
            }
            let diagonal = work[k];
            let mut pivot = diagonal;
            work[k] = 0.0;
            for &i in &reach[top..n] {
                let y = work[i];
                work[i] = 0.0;
                let start = self.factor_start[i];
                let end = start + filled[i];
                for (&r, &l) in row[start..end].iter().zip(&value[start..end]) {
                    work[r] -= l * y;
                }
                let l = y * inverse_pivot[i];
                pivot -= l * y;
                row[start + filled[i]] = k;
                value[start + filled[i]] = l;
                filled[i] += 1;
            }
            if pivot > vanishing * diagonal && pivot.is_finite() {
                inverse_pivot[k] = 1.0 / pivot;
            } else {
                pinned.push(k);
            }
        }
        Factor {
            row,
            value,
            inverse_pivot,
            pinned,
        }
    }

    /// The unknowns that a factor pinned, by unknown.
    pub(crate) fn pinned_unknowns(&self, factor: &Factor) -> Vec<usize> {
        let mut unknown_at = vec![0; self.unknowns];
        for (unknown, &position) in self.position.iter().enumerate() {
            unknown_at[position] = unknown;
        }
        factor.pinned.iter().map(|&k| unknown_at[k]).collect()
    }

    /// Solves N x = b in place; pinned unknowns come out as 0.
    pub(crate) fn solve(&self, factor: &Factor, b: &mut [f64]) {
        stop::place();
        let n = self.unknowns;
        let mut x = vec![0.0; n];
        for (unknown, &position) in self.position.iter().enumerate() {
            x[position] = b[unknown];
        }
        for j in 0..n {
            let xj = x[j];
            for at in self.factor_start[j]..self.factor_start[j + 1] {
                x[factor.row[at]] -= factor.value[at] * xj;
            }
        }
        for j in 0..n {
            x[j] *= factor.inverse_pivot[j];
        }
        for j in (0..n).rev() {
            let mut xj = x[j];
            for at in self.factor_start[j]..self.factor_start[j + 1] {
                xj -= factor.value[at] * x[factor.row[at]];
            }
            x[j] = if factor.inverse_pivot[j] == 0.0 { 0.0 } else { xj };
        }
        for (unknown, &position) in self.position.iter().enumerate() {
            b[unknown] = x[position];
        }
    }

    /// N times a vector.
    pub(crate) fn multiply(&self, matrix: &[f64], x: &[f64]) -> Vec<f64> {
        let n = self.unknowns;
        let mut permuted = vec![0.0; n];
        for (unknown, &position) in self.position.iter().enumerate() {
            permuted[position] = x[unknown];
        }
        let mut product = vec![0.0; n];
        for j in 0..n {
            for at in self.column_start[j]..self.column_start[j + 1] {
                let i = self.row_index[at];
                product[i] += matrix[at] * permuted[j];
                if i != j {
                    product[j] += matrix[at] * permuted[i];
                }
            }
        }
        self.position.iter().map(|&position| product[position]).collect()
    }

    /// The entries of the inverse on the pattern of the factor.
    pub(crate) fn selected_inverse(&self, factor: &Factor) -> SelectedInverse {
        let n = self.unknowns;
        let mut off = vec![0.0; factor.value.len()];
        let mut diagonal = vec![0.0; n];
        let mut sums: Vec<f64> = Vec::new();
        for j in (0..n).rev() {
            let (start, end) = (self.factor_start[j], self.factor_start[j + 1]);
            if factor.inverse_pivot[j] == 0.0 {
                continue;
            }
            sums.clear();
            sums.resize(end - start, 0.0);
            for a in start..end {
                let k = factor.row[a];
                let l = factor.value[a];
                sums[a - start] += l * diagonal[k];
                // The rows of column j beyond k are a subset of the rows of column k, and mostly all of them.
                let rows = self.factor_start[k]..self.factor_start[k + 1];
                let beyond = a + 1 - start;
                let mut own = 0.0;
                if rows.len() == end - a - 1 {
                    let column = &factor.value[a + 1..end];
                    for ((z, value), sum) in off[rows].iter().zip(column).zip(&mut sums[beyond..]) {
                        *sum += l * z;
                        own += value * z;
                    }
                } else {
                    let mut at = rows.start;
                    for b in a + 1..end {
                        while factor.row[at] < factor.row[b] {
                            at += 1;
                        }
                        let z = off[at];
                        sums[b - start] += l * z;
                        own += factor.value[b] * z;
                    }
                }
                sums[a - start] += own;
            }
            let mut own = factor.inverse_pivot[j];
            for at in start..end {
                let z = -sums[at - start];
                own -= factor.value[at] * z;
                off[at] = z;
            }
            diagonal[j] = own;
        }
        SelectedInverse { off, diagonal }
    }

    /// Where each entry of a matrix of this structure stands in a selected inverse, for [`Pattern::trace`].
    pub(crate) fn places_in_inverse(&self, factor: &Factor) -> Vec<usize> {
        let mut places = Vec::with_capacity(self.row_index.len());
        for high in 0..self.unknowns {
            for &low in &self.row_index[self.column_start[high]..self.column_start[high + 1]] {
                let start = self.factor_start[low];
                let below = &factor.row[start..self.factor_start[low + 1]];
                // The factor has every entry of the matrix; those of the diagonal are not looked up.
                places.push(start + below.partition_point(|&row| row < high));
            }
        }
        places
    }

    /// The trace of a matrix of this structure times the inverse.
    pub(crate) fn trace(&self, matrix: &[f64], inverse: &SelectedInverse, places: &[usize]) -> f64 {
        let mut sum = 0.0;
        for high in 0..self.unknowns {
            let diagonal = self.column_start[high + 1] - 1;
            sum += matrix[diagonal] * inverse.diagonal[high];
            for at in self.column_start[high]..diagonal {
                sum += 2.0 * matrix[at] * inverse.off[places[at]];
            }
        }
        sum
    }

    /// One entry of the inverse; 0 outside the pattern.
    pub(crate) fn inverse_entry(
        &self,
        factor: &Factor,
        inverse: &SelectedInverse,
        a: usize,
        b: usize,
    ) -> f64 {
        let (low, high) = ordered(self.position[a], self.position[b]);
        if low == high {
            return inverse.diagonal[low];
        }
        let (start, end) = (self.factor_start[low], self.factor_start[low + 1]);
        match factor.row[start..end].binary_search(&high) {
            Ok(offset) => inverse.off[start + offset],
            Err(_) => 0.0,
        }
    }
}

/// A factor L D Lᵀ on a pattern.
#[derive(Debug, Clone)]
pub(crate) struct Factor {
    row: Vec<usize>,
    value: Vec<f64>,
    inverse_pivot: Vec<f64>,
    pinned: Vec<usize>,
}

impl Factor {
    /// Logarithm of the determinant, over the unknowns that are not pinned.
    pub(crate) fn log_determinant(&self) -> f64 {
        -self
            .inverse_pivot
            .iter()
            .filter(|pivot| **pivot > 0.0)
            .map(|pivot| pivot.ln())
            .sum::<f64>()
    }
}

/// Entries of the inverse where the factor has entries.
#[derive(Debug, Clone)]
pub(crate) struct SelectedInverse {
    off: Vec<f64>,
    diagonal: Vec<f64>,
}

fn ordered(a: usize, b: usize) -> (usize, usize) {
    if a < b { (a, b) } else { (b, a) }
}

#[cfg(test)]
mod tests;
