//! The smallest set of readings whose removal explains the rest, and the sets that do as well.
//!
//! Finding it is the problem of the sparsest explanation, which no method solves in bounded time for every survey.
//! Three searches run one after the other, each on the linearised survey ([`Linear`]), where a removal costs
//! a few hundred multiplications:
//!
//! 1. a first set: what a robust solution leaves far off, completed largest w first, then put back what fits;
//! 2. a beam: for each size, the [`BEAM`] sets with the least chi-square grow by one reading each. The first size
//!    at which a set explains everything wins, then the least chi-square. Largest w first is a beam of width one;
//!    the others keep the way open where slips mask each other or a good reading carries the largest w;
//! 3. an exchange: every one, two and three linked readings of the set are put back, and a narrower beam looks for
//!    fewer, or as many with less chi-square, in their place. This goes on until nothing gets better.
//!
//! The same exchange, kept at equal size, lists the rivals: other sets as small that fit within
//! [`AS_GOOD`](crate::ambiguity::AS_GOOD). What the search can miss is a smaller set that differs from every set of
//! the beam and from the set found by more than three linked readings.

use super::linear::{Linear, Removal};

/// Sets kept for each size.
const BEAM: usize = 100;
/// Sets kept for each size where a few readings are exchanged.
const NARROW: usize = 24;
/// Larger sets are only improved by exchange.
const LARGEST_BEAM: usize = 12;
/// Up to so many removals, three, two or one readings are put back together in an exchange: the work grows with the
/// power.
const EXCHANGED: [(usize, usize); 3] = [(10, 3), (20, 2), (usize::MAX, 1)];
/// A removal must make this much of a difference to chi-square.
const LEAST_GAIN: f64 = 4.0;
/// Two readings are linked where the tests of both lean this much on one third reading, or on each other.
const LINKED: f64 = 0.15;

/// A set that explains everything, and the rivals that were seen on the way.
pub(crate) struct Smallest {
    pub(crate) set: Removal,
    /// Other sets as small whose chi-square is not much larger, best first.
    pub(crate) rivals: Vec<Removal>,
}

/// The smallest set found that explains everything; `None` where no set of at most `most` readings does.
/// `first` is where to begin, as places in [`Linear::readings`]; with `thorough` the beam looks for others.
/// Rivals are listed up to `within` above the least chi-square, as the linearised survey sees it.
pub(crate) fn smallest(
    linear: &Linear,
    first: &[usize],
    thorough: bool,
    most: usize,
    within: f64,
) -> Option<Smallest> {
    let mut best = complete(linear, first, most);
    if best.is_none() || thorough {
        if let Some(set) = complete(linear, &[], most)
            && best.as_ref().is_none_or(|b| better(&set, b))
        {
            best = Some(set);
        }
        let limit = best.as_ref().map_or(most, |b| b.out.len()).min(LARGEST_BEAM);
        if let Some(set) = grow(linear, &linear.whole(), limit, BEAM, f64::NEG_INFINITY)
            .into_iter()
            .next()
            && best.as_ref().is_none_or(|b| better(&set, b))
        {
            best = Some(set);
        }
    }
    let mut set = best?;
    loop {
        let mut others = exchanges(linear, &set, set.gain - within);
        match others.iter().position(|other| better(other, &set)) {
            Some(place) => set = others.swap_remove(place),
            None => {
                others.retain(|rival| rival.out != set.out);
                return Some(Smallest { set, rivals: others });
            }
        }
    }
}

/// Fewer readings, then less chi-square.
fn better(a: &Removal, b: &Removal) -> bool {
    a.out.len() < b.out.len() || a.out.len() == b.out.len() && a.gain > b.gain + 1e-6
}

fn sort(sets: &mut Vec<Removal>) {
    sets.sort_by(|a, b| {
        a.out
            .len()
            .cmp(&b.out.len())
            .then(b.gain.total_cmp(&a.gain))
            .then_with(|| a.out.cmp(&b.out))
    });
    sets.dedup_by(|a, b| a.out == b.out);
}

/// A set completed largest w first, less what fits again.
pub(crate) fn complete(linear: &Linear, start: &[usize], most: usize) -> Option<Removal> {
    let mut set = linear.without(start);
    while !linear.explained(&set) {
        if set.out.len() >= most {
            return None;
        }
        let worst = candidates(linear, &set)
            .max_by(|a, b| a.1.total_cmp(&b.1).then(b.0.cmp(&a.0)))?
            .0;
        set.hold_out(linear, worst);
    }
    // Put back, smallest contribution first, whatever is not needed.
    loop {
        let needless = set
            .out
            .iter()
            .map(|&back| {
                let rest: Vec<usize> = set.out.iter().copied().filter(|&i| i != back).collect();
                linear.without(&rest)
            })
            .filter(|less| linear.explained(less))
            .max_by(|a, b| a.gain.total_cmp(&b.gain).then_with(|| b.out.cmp(&a.out)));
        match needless {
            Some(less) => set = less,
            None => return Some(set),
        }
    }
}

/// What may be held out, with how much chi-square would fall.
fn candidates<'a>(linear: &'a Linear, set: &'a Removal) -> impl Iterator<Item = (usize, f64)> + 'a {
    (0..linear.len())
        .filter(|&i| linear.removable[i])
        .filter_map(|i| Some((i, set.w_square(i)?)))
        .filter(|(_, gain)| *gain >= LEAST_GAIN)
}

/// Explained sets with at most `steps` more readings, fewest first, then least chi-square: a beam of this width.
/// Of the sets with all `steps`, those that gain `at_least` this much in all.
fn grow(linear: &Linear, from: &Removal, steps: usize, width: usize, at_least: f64) -> Vec<Removal> {
    if linear.explained(from) {
        return vec![from.clone()];
    }
    let mut level = vec![from.clone()];
    for step in 1..=steps {
        let mut children: Vec<(f64, usize, usize)> = Vec::new();
        for (parent, set) in level.iter().enumerate() {
            for (i, gain) in candidates(linear, set) {
                let total = set.gain + gain;
                if step < steps || total >= at_least {
                    children.push((total, parent, i));
                }
            }
        }
        // The same set comes from as many parents as it has readings.
        let enough = width * step;
        let order = |a: &(f64, usize, usize), b: &(f64, usize, usize)| {
            b.0.total_cmp(&a.0).then((a.1, a.2).cmp(&(b.1, b.2)))
        };
        if children.len() > enough {
            children.select_nth_unstable_by(enough, order);
            children.truncate(enough);
        }
        children.sort_unstable_by(order);
        let mut next: Vec<Removal> = Vec::new();
        for (_, parent, i) in children {
            if next.len() == width {
                break;
            }
            let set = &level[parent];
            let same = |other: &Removal| {
                other.out.len() == set.out.len() + 1
                    && other.out.contains(&i)
                    && set.out.iter().all(|j| other.out.contains(j))
            };
            if next.iter().any(same) {
                continue;
            }
            let mut set = set.clone();
            set.hold_out(linear, i);
            next.push(set);
        }
        let mut explained: Vec<Removal> = next.iter().filter(|set| linear.explained(set)).cloned().collect();
        if !explained.is_empty() {
            sort(&mut explained);
            return explained;
        }
        level = next;
    }
    Vec::new()
}

/// Explained sets that come of putting one to three linked readings back and holding out as many others or fewer,
/// if they gain `at_least` this much in all.
fn exchanges(linear: &Linear, set: &Removal, at_least: f64) -> Vec<Removal> {
    let links = links(linear, &set.out);
    let mut found = Vec::new();
    for back in linked_subsets(&links) {
        let back: Vec<usize> = back.into_iter().map(|n| set.out[n]).collect();
        let rest: Vec<usize> = set.out.iter().copied().filter(|i| !back.contains(i)).collect();
        found.extend(grow(linear, &linear.without(&rest), back.len(), NARROW, at_least));
    }
    sort(&mut found);
    found
}

/// Which of these readings are linked.
fn links(linear: &Linear, out: &[usize]) -> Vec<Vec<bool>> {
    let whole = linear.whole();
    let leaning: Vec<Vec<f64>> = out
        .iter()
        .map(|&i| {
            (0..linear.len())
                .map(|j| whole.correlation(linear, i, j))
                .collect()
        })
        .collect();
    out.iter()
        .enumerate()
        .map(|(a, _)| {
            (0..out.len())
                .map(|b| {
                    leaning[a]
                        .iter()
                        .zip(&leaning[b])
                        .any(|(x, y)| *x > LINKED && *y > LINKED)
                })
                .collect()
        })
        .collect()
}

/// Subsets of one to three places that hang together by links.
fn linked_subsets(links: &[Vec<bool>]) -> Vec<Vec<usize>> {
    let n = links.len();
    let mut found: Vec<Vec<usize>> = (0..n).map(|i| vec![i]).collect();
    let mut last = found.clone();
    let largest = EXCHANGED
        .iter()
        .find(|(up_to, _)| n <= *up_to)
        .map_or(1, |(_, together)| *together);
    for _ in 1..largest {
        let mut next: Vec<Vec<usize>> = Vec::new();
        for subset in &last {
            for i in 0..n {
                if !subset.contains(&i) && subset.iter().any(|&j| links[i][j]) {
                    let mut larger = subset.clone();
                    larger.push(i);
                    larger.sort_unstable();
                    next.push(larger);
                }
            }
        }
        next.sort();
        next.dedup();
        found.extend(next.iter().cloned());
        last = next;
    }
    found
}

#[cfg(test)]
mod tests;
