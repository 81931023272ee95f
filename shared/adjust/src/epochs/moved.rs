//! Which points moved: as few as can be, and whether others would explain it as well.

use super::CannotCompare;
use super::common::Epoch;
use super::laid::Laid;

/// Explanations whose chi-squares differ by less are not told apart: the odds between them are 220 to 1.
const TOLD_APART: f64 = 10.8;
/// So many explanations are looked at.
const MOST_EXPLANATIONS: usize = 24;

/// What moved, as far as the readings tell.
pub(super) struct Explained {
    /// The points that kept their places against each other; all of them where nothing stands still.
    pub(super) still: Vec<usize>,
    /// Whether these are most of all.
    pub(super) stands_still: bool,
    /// The points that moved by one explanation and not by another that is as small and fits nearly as well, each with
    /// those that stand still in the best explanation by which it moved.
    pub(super) unclear: Vec<(usize, Vec<usize>)>,
}

/// The smallest explanation that is found, the best of its size, and where others differ from it.
pub(super) fn explain(from: &Epoch, to: &Epoch, critical: f64) -> Result<Explained, CannotCompare> {
    let (still, stands_still) = that_stand_still(from, to, critical)?;
    let mut unclear = Vec::new();
    if !stands_still || still.len() == from.places.len() {
        return Ok(Explained {
            still,
            stands_still,
            unclear,
        });
    }
    let mut found = explanations(from, to, critical, still)?;
    found.sort_by(|a, b| a.total.total_cmp(&b.total).then_with(|| a.still.cmp(&b.still)));
    let best = found.remove(0);
    for other in found.iter().filter(|it| it.total <= best.total + TOLD_APART) {
        let stands = [&best, other].map(|it| {
            (0..from.places.len())
                .map(|p| it.still.contains(&p))
                .collect::<Vec<_>>()
        });
        for p in (0..from.places.len()).filter(|&p| stands[0][p] != stands[1][p]) {
            if unclear.iter().all(|(q, _)| *q != p) {
                let its_own = if stands[0][p] { other } else { &best };
                unclear.push((p, its_own.still.clone()));
            }
        }
    }
    unclear.sort_unstable_by_key(|(p, _)| *p);
    Ok(Explained {
        still: best.still,
        stands_still,
        unclear,
    })
}

/// Points that stand still together, and how badly they fit.
struct Explanation {
    still: Vec<usize>,
    total: f64,
}

/// This explanation and those of its size that are reached from it by exchanging one moved point for another at a time,
/// each fitting nearly as well as the first.
fn explanations(
    from: &Epoch,
    to: &Epoch,
    critical: f64,
    first: Vec<usize>,
) -> Result<Vec<Explanation>, CannotCompare> {
    let total = Laid::new(from, to, &first, &first)?.total;
    let most = total + TOLD_APART;
    let mut found = vec![Explanation { still: first, total }];
    let mut next = 0;
    while next < found.len() && found.len() < MOST_EXPLANATIONS {
        let still = found[next].still.clone();
        next += 1;
        for p in (0..from.places.len()).filter(|p| !still.contains(p)) {
            // With this one let back, each of those that stood still is tried in its place.
            let mut more = still.clone();
            more.push(p);
            more.sort_unstable();
            let laid = Laid::new(from, to, &more, &still)?;
            for (n, _) in more.iter().enumerate().filter(|(_, q)| **q != p) {
                let Some(shift) = laid.shift(n) else { continue };
                if laid.total - shift.square > most || found.len() >= MOST_EXPLANATIONS {
                    continue;
                }
                let mut others = more.clone();
                others.remove(n);
                if found.iter().any(|it| it.still == others) {
                    continue;
                }
                let there = Laid::new(from, to, &others, &others)?;
                let explains = |n| there.shift(n).is_none_or(|shift| shift.square <= critical);
                if (0..others.len()).all(explains) {
                    found.push(Explanation {
                        total: there.total,
                        still: others,
                    });
                }
            }
        }
    }
    Ok(found)
}

/// The points that kept their places against each other, and whether they are most of all; else all of them.
fn that_stand_still(from: &Epoch, to: &Epoch, critical: f64) -> Result<(Vec<usize>, bool), CannotCompare> {
    let m = from.places.len();
    let mut still: Vec<usize> = (0..m).collect();
    loop {
        let laid = Laid::new(from, to, &still, &still)?;
        let worst = (0..still.len())
            .filter_map(|n| Some((n, laid.shift(n)?.square)))
            .fold(None, |worst: Option<(usize, f64)>, one| match worst {
                Some(worst) if worst.1 >= one.1 => Some(worst),
                _ => Some(one),
            });
        match worst {
            Some((n, square)) if square > critical => {
                if 2 * (still.len() - 1) <= m || still.len() <= 4 {
                    return Ok(((0..m).collect(), false));
                }
                still.remove(n);
            }
            _ => break,
        }
    }
    // What was taken out while others still pulled at the fit may belong to those that stayed.
    let gone: Vec<usize> = (0..m).filter(|p| !still.contains(p)).collect();
    let mut back = Vec::new();
    for p in gone {
        if Laid::with(from, to, &still, p)?.is_some_and(|shift| shift.square <= critical) {
            back.push(p);
        }
    }
    for p in back {
        let mut more = still.clone();
        more.push(p);
        more.sort_unstable();
        let laid = Laid::new(from, to, &more, &more)?;
        if (0..more.len()).all(|n| laid.shift(n).is_none_or(|shift| shift.square <= critical)) {
            still = more;
        }
    }
    Ok((still, true))
}
