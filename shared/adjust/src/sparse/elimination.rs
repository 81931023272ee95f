//! In which order unknowns are eliminated, and the shape that the factor takes of it.

use super::NONE;
use faer::dyn_stack::{MemBuffer, MemStack};
use faer::sparse::SymbolicSparseColMatRef;
use faer::sparse::linalg::amd;

/// The place of every unknown in the elimination order.
pub(super) fn ordering(unknowns: usize, rows: &[Vec<usize>]) -> Vec<usize> {
    let mut neighbours: Vec<Vec<usize>> = vec![Vec::new(); unknowns];
    for row in rows {
        for (n, &a) in row.iter().enumerate() {
            for &b in &row[..n] {
                neighbours[a].push(b);
                neighbours[b].push(a);
            }
        }
    }
    let mut start = vec![0];
    let mut index = Vec::new();
    for list in &mut neighbours {
        list.sort_unstable();
        list.dedup();
        index.extend_from_slice(list);
        start.push(index.len());
    }
    let mut permutation = vec![0usize; unknowns];
    let mut position: Vec<usize> = (0..unknowns).collect();
    if unknowns > 0 {
        let graph = SymbolicSparseColMatRef::new_checked(unknowns, unknowns, &start, None, &index);
        let mut memory = MemBuffer::new(amd::order_scratch::<usize>(unknowns, index.len()));
        let stack = MemStack::new(&mut memory);
        // The only failure is an index overflow; the natural order is then as good as any.
        if amd::order(
            &mut permutation,
            &mut position,
            graph,
            amd::Control::default(),
            stack,
        )
        .is_err()
        {
            position = (0..unknowns).collect();
        }
    }
    position
}

/// Elimination tree and column starts of the factor.
pub(super) fn elimination(n: usize, column_start: &[usize], row_index: &[usize]) -> (Vec<usize>, Vec<usize>) {
    let mut parent = vec![NONE; n];
    let mut mark = vec![NONE; n];
    let mut count = vec![0usize; n];
    for k in 0..n {
        mark[k] = k;
        for &row in &row_index[column_start[k]..column_start[k + 1]] {
            let mut i = row;
            while mark[i] != k {
                if parent[i] == NONE {
                    parent[i] = k;
                }
                count[i] += 1;
                mark[i] = k;
                i = parent[i];
            }
        }
    }
    let mut factor_start = vec![0];
    for k in 0..n {
        factor_start.push(factor_start[k] + count[k]);
    }
    (parent, factor_start)
}
