//! Which points hang together for the eye.
//!
//! The relative neighbourhood graph (G. T. Toussaint, *The relative neighbourhood graph of a finite planar set*, 1980,
//! which holds in space as well): two points are joined where no third is nearer to both than they are to each other.
//! Of the corners of a box it leaves the twelve edges. It joins all points into one piece, and hangs on the order of
//! distances alone, so that a few mm seldom change it.
//!
//! A shell is alike left and right, and its drawing is easier to read where its edges are: the mirror image of every
//! edge is one too.

use std::collections::BTreeSet;

type Place = [f64; 3];

/// How many neighbours are asked before all. Nearly always one of them is the third point.
const NEAREST: usize = 12;

/// The edges, each once, by the indices of the points, in their order. `images` is the point on the other side of the
/// mid-plane, itself for one that lies on it.
pub(super) fn edges(places: &[Option<Place>], images: &[Option<usize>]) -> Vec<[usize; 2]> {
    let held: Vec<usize> = (0..places.len()).filter(|&at| places[at].is_some()).collect();
    let at: Vec<Place> = places.iter().copied().flatten().collect();
    let near: Vec<Vec<usize>> = (0..at.len()).map(|p| nearest(&at, p)).collect();
    let mut edges = BTreeSet::new();
    for p in 0..at.len() {
        for q in p + 1..at.len() {
            let apart = square(at[p], at[q]);
            let between = |r: usize| square(at[p], at[r]) < apart && square(at[q], at[r]) < apart;
            let parted = near[p].iter().chain(&near[q]).any(|&r| between(r)) || (0..at.len()).any(between);
            if parted {
                continue;
            }
            let edge = [held[p], held[q]];
            edges.insert(edge);
            let image = edge.map(|end| images[end].filter(|&image| places[image].is_some()));
            if let [Some(a), Some(b)] = image
                && a != b
            {
                edges.insert([a.min(b), a.max(b)]);
            }
        }
    }
    edges.into_iter().collect()
}

fn nearest(at: &[Place], p: usize) -> Vec<usize> {
    let mut others: Vec<(f64, usize)> = (0..at.len())
        .filter(|&q| q != p)
        .map(|q| (square(at[p], at[q]), q))
        .collect();
    if others.len() > NEAREST {
        others.select_nth_unstable_by(NEAREST, |a, b| a.0.total_cmp(&b.0).then(a.1.cmp(&b.1)));
        others.truncate(NEAREST);
    }
    others.sort_by(|a, b| a.0.total_cmp(&b.0));
    others.into_iter().map(|(_, q)| q).collect()
}

fn square(a: Place, b: Place) -> f64 {
    (0..3).map(|k| (a[k] - b[k]) * (a[k] - b[k])).sum()
}

#[cfg(test)]
mod tests;
