//! Is the shell straight? Mirror pairs against their own best mid-plane, the diagonals between pairs, and how far
//! the whole is racked and twisted.
//!
//! **Mid-plane.** The plane whose mirror brings the left points nearest to their right partners, by least squares
//! over all pairs. It comes from the pairs alone, so no frame changes it.
//!
//! **Axes.** y is across the mid-plane, to the left. x is the frame's x laid into the mid-plane where the crew
//! asked for a frame or has a bench; otherwise, and where the frame's x runs across the shell, it is the line
//! along which the middles of the pairs spread most. z = x × y. Frames with the same ahead give the same digits;
//! the length of an offset, its y, every verdict and the diagonals do not depend on the choice at all.
//!
//! **Offset of a pair.** With H the mirror, off = r − H l: where the right point lies, seen from where the mirror
//! image of the left one is. x > 0: the right one is further ahead. y > 0: the pair as a whole is moved to the
//! left, each by half. z > 0: the right one is higher.
//!
//! **How sure.** The mid-plane is itself estimated from the pairs. Shifting and turning it changes the offsets by
//! G a with three amounts a; at the best plane Gᵀ off = 0, so to first order the offsets are (I − G (GᵀG)⁻¹ Gᵀ)
//! times those against a plane that stands still: linear forms of the unknowns, whose covariance takes one solve
//! each. About y the axes turn with the mean of all pairs, so that the datum drops out; how surely the frame's x lies
//! in the shell would change an offset by a thousandth of itself, and is left out.
//!
//! **Racked.** The shear that makes a parallelogram of the plan: how far the left side is ahead of the right one
//! over the mean width of the pairs. The fore-aft offsets are fitted in proportion to the width, the middles of
//! the pairs by a straight line in x (and height); the angle between the two less 90° is the shear. The line of
//! the middles must be in it: a racked shell turns its own best mid-plane.
//!
//! **Twisted.** The turn about x of the foremost pairs against the rearmost ones: the slope over x of the height
//! differences per width, times the length from the first pair to the last. Positive where the left side rises
//! against the right one towards the front.
//!
//! **Diagonals.** From the left point of the one pair to the right point of the other, less the crossing one: what
//! a crew tapes to see whether a frame is square. It needs no mid-plane.
//!
//! **Significant** is what an exactly straight shell shows in one verdict of twenty: a pair by chi-square of its
//! offset with as many degrees of freedom as its covariance has, a single amount beyond 1.96 standard deviations.

use crate::fit::Fit;
use crate::frames::Placed;
use crate::network::{Configuration, Network};
use crate::observe::Vec3;
use crate::quantiles::chi_square_quantile;
use crate::result::Tested;
use nalgebra::{DMatrix, DVector, Matrix3, SymmetricEigen};
use survey::{Side, Survey};

/// Mirror pairs against the best mid-plane. Angles in radians.
#[derive(Debug, Clone, PartialEq)]
pub struct Symmetry {
    /// Every pair of which both points are pinned down, in the order of the survey's points.
    pub pairs: Vec<PairOff>,
    /// How far the left side is ahead of the right one, over the mean width of the pairs, mm; `None` where all
    /// pairs stand at one place along the shell.
    pub racked_mm: Option<Tested>,
    /// How far the front is turned about x against the rear, over the length that the pairs span, radians;
    /// positive where the left side rises towards the front.
    pub twisted: Option<Tested>,
    /// The longest pairs of crossing diagonals, at most ten, no pair of points in more than two of them.
    pub diagonals: Vec<Diagonal>,
}

/// One mirror pair.
#[derive(Debug, Clone, PartialEq)]
pub struct PairOff {
    /// Index into the survey's points: the one on the left of the mid-plane.
    pub left: usize,
    /// Its partner.
    pub right: usize,
    /// Where the right point lies from the mirror image of the left one: x ahead, y left, z up.
    pub off_mm: [f64; 3],
    /// Covariance of `off_mm`.
    pub covariance_mm2: [[f64; 3]; 3],
    /// Whether that is more than the readings leave open, at 5 %.
    pub significant: bool,
}

/// Two crossing distances between two mirror pairs. In a straight shell they are the same.
#[derive(Debug, Clone, PartialEq)]
pub struct Diagonal {
    /// From the left point of the front pair to the right point of the rear pair: indices into the survey's points.
    pub one: [usize; 2],
    /// From the right point of the front pair to the left point of the rear pair.
    pub other: [usize; 2],
    /// Their lengths.
    pub lengths_mm: [f64; 2],
    /// The first less the second, mm. Of a racked shell, the one that starts on the side that is ahead is longer.
    pub difference_mm: Tested,
}

/// What the pairs are held against each other with.
pub(crate) struct Mirror<'a> {
    pub(crate) network: &'a Network,
    pub(crate) survey: &'a Survey,
    pub(crate) fit: &'a Fit,
    pub(crate) placed: &'a Placed,
    /// Whether the crew said what is ahead.
    pub(crate) ahead_is_said: bool,
    /// Factor on every covariance.
    pub(crate) scale: f64,
}

/// A linear form of the unknowns.
type Form = Vec<(usize, f64)>;

/// A pair in the mid-plane's axes.
struct Pair {
    left: usize,
    right: usize,
    /// The middle of the right point and the left one's image, from the centre of all.
    at: Vec3,
    width: f64,
    off: Vec3,
    /// The forms of `off` against the estimated plane.
    forms: [Form; 3],
    covariance: Matrix3<f64>,
}

/// At most so many diagonals are told.
const DIAGONALS: usize = 10;
/// An offset direction less sure than this share of the surest is no rounding; in variance.
const RANK: f64 = 1e-4;
/// Below this nothing lies between two places, mm.
const NOTHING_MM: f64 = 1e-6;

impl Mirror<'_> {
    /// Compares mirror pairs (canonical, both pinned down). `None` for fewer than two, or where they show no plane.
    pub(crate) fn symmetry(&self, pairs: &[[usize; 2]]) -> Option<Symmetry> {
        if pairs.len() < 2 {
            return None;
        }
        let (mean, axes) = self.axes(pairs)?;
        let pairs = self.pairs(pairs, &mean, &axes)?;
        let width = pairs.iter().map(|p| p.width).sum::<f64>() / pairs.len() as f64;
        let along = pairs.iter().map(|p| p.at.x);
        let length = along.clone().fold(f64::MIN, f64::max) - along.fold(f64::MAX, f64::min);
        let spread_out = length > 0.1 * width;
        let told = |p: usize| self.network.survey_point[p];
        let mut off: Vec<PairOff> = pairs
            .iter()
            .map(|pair| PairOff {
                left: told(pair.left),
                right: told(pair.right),
                off_mm: pair.off.into(),
                covariance_mm2: [0, 1, 2].map(|i| [0, 1, 2].map(|j| pair.covariance[(i, j)])),
                significant: is_off(&pair.off, &pair.covariance),
            })
            .collect();
        off.sort_by_key(|pair| pair.left.min(pair.right));
        Some(Symmetry {
            pairs: off,
            racked_mm: self.racked(&pairs, width).filter(|_| spread_out),
            twisted: self.twisted(&pairs, length).filter(|_| spread_out),
            diagonals: self.diagonals(&pairs),
        })
    }

    /// The centre of the pairs, and the rows x, y, z of the mid-plane's axes.
    fn axes(&self, pairs: &[[usize; 2]]) -> Option<(Vec3, Matrix3<f64>)> {
        let at = &self.fit.at.positions;
        let (mean, eigen) = mid_plane(&self.fit.at, pairs);
        let least = eigen.eigenvalues.imin();
        let second = (0..3)
            .filter(|&k| k != least)
            .map(|k| eigen.eigenvalues[k])
            .fold(f64::MAX, f64::min);
        let size: f64 = pairs
            .iter()
            .flatten()
            .map(|&p| (at[p] - mean).norm_squared())
            .sum();
        // Without a width in the pairs any plane through their middles is as good.
        if eigen.eigenvalues[least] > -1e-6 * size || second - eigen.eigenvalues[least] < 1e-6 * size {
            return None;
        }
        let mut left: Vec3 = eigen.eigenvectors.column(least).into_owned();
        let side = |p: usize| match self.survey.points[self.network.survey_point[p]].side {
            Some(Side::Left) => 1.0,
            Some(Side::Right) => -1.0,
            _ => 0.0,
        };
        let by_sides: f64 = pairs
            .iter()
            .map(|&[p, q]| (side(p) - side(q)) * (at[p] - at[q]).dot(&left).signum())
            .sum();
        if by_sides < 0.0 || by_sides == 0.0 && left.dot(&self.placed.axis(1)) < 0.0 {
            left = -left;
        }
        let laid = |v: Vec3| v - left * left.dot(&v);
        let said = laid(self.placed.axis(0));
        let ahead = if self.ahead_is_said && said.norm() > 0.5 {
            said.normalize()
        } else {
            let mut spread = Matrix3::zeros();
            for &[p, q] in pairs {
                let middle = laid((at[p] + at[q]) * 0.5 - mean);
                spread += middle * middle.transpose();
            }
            let spread = spread.symmetric_eigen();
            let most = spread.eigenvalues.imax();
            if spread.eigenvalues[most] <= 1e-6 * size {
                return None;
            }
            let along = laid(spread.eigenvectors.column(most).into_owned()).normalize();
            let up = match self.network.first_stand {
                Some(stand) => self.fit.at.ups[stand],
                None => self.placed.axis(2),
            };
            if along.cross(&left).dot(&up) < 0.0 {
                -along
            } else {
                along
            }
        };
        let up = ahead.cross(&left);
        Some((
            mean,
            Matrix3::from_rows(&[ahead.transpose(), left.transpose(), up.transpose()]),
        ))
    }

    fn pairs(&self, pairs: &[[usize; 2]], mean: &Vec3, axes: &Matrix3<f64>) -> Option<Vec<Pair>> {
        let mut found: Vec<Pair> = pairs
            .iter()
            .map(|&[p, q]| {
                let place = |p: usize| axes * (self.fit.at.positions[p] - mean);
                let (left, right) = if place(p).y >= place(q).y { (p, q) } else { (q, p) };
                let (l, r) = (place(left), place(right));
                let image = Vec3::new(l.x, -l.y, l.z);
                let forms = [0, 1, 2].map(|k| {
                    let axis: Vec3 = axes.row(k).transpose();
                    let mut form = Form::new();
                    self.add(&mut form, right, axis);
                    self.add(&mut form, left, if k == 1 { axis } else { -axis });
                    form
                });
                Pair {
                    left,
                    right,
                    at: (r + image) * 0.5,
                    width: l.y - r.y,
                    off: r - image,
                    forms,
                    covariance: Matrix3::zeros(),
                }
            })
            .collect();
        let pitch = self.pitch(&found, mean, axes)?;
        for pair in &mut found {
            let pitched = Vec3::y().cross(&pair.off);
            for (k, form) in pair.forms.iter_mut().enumerate() {
                form.extend(pitch.iter().map(|&(c, e)| (c, -e * pitched[k])));
            }
        }
        // What the plane's own shift, yaw and roll do to each offset.
        let modes: Vec<Matrix3<f64>> = found
            .iter()
            .map(|pair| {
                Matrix3::from_columns(&[-Vec3::y(), Vec3::z().cross(&pair.at), Vec3::x().cross(&pair.at)])
            })
            .collect();
        let inverse = modes
            .iter()
            .map(|mode| mode.transpose() * mode)
            .sum::<Matrix3<f64>>()
            .try_inverse()?;
        let plane: Vec<Form> = (0..3)
            .map(|amount| {
                let mut form = Form::new();
                for (pair, mode) in found.iter().zip(&modes) {
                    let share = inverse * mode.transpose();
                    for (k, own) in pair.forms.iter().enumerate() {
                        form.extend(own.iter().map(|&(c, e)| (c, e * share[(amount, k)])));
                    }
                }
                form
            })
            .collect();
        for (pair, mode) in found.iter_mut().zip(&modes) {
            for (k, form) in pair.forms.iter_mut().enumerate() {
                for (amount, of_plane) in plane.iter().enumerate() {
                    form.extend(of_plane.iter().map(|&(c, e)| (c, -e * mode[(k, amount)])));
                }
            }
            let columns = pair.forms.each_ref().map(|form| self.fit.inverse_times(form));
            let raw = Matrix3::from_fn(|i, j| value(&pair.forms[i], &columns[j]) * self.scale);
            pair.covariance = 0.5 * (raw + raw.transpose());
        }
        Some(found)
    }

    /// The form of the turn about y of all pairs together: of ω = I⁻¹ Σ p × dp with the moment of inertia I.
    fn pitch(&self, pairs: &[Pair], mean: &Vec3, axes: &Matrix3<f64>) -> Option<Form> {
        let points = || pairs.iter().flat_map(|pair| [pair.left, pair.right]);
        let place = |p: usize| axes * (self.fit.at.positions[p] - mean);
        let inertia: Matrix3<f64> = points()
            .map(|p| {
                let v = place(p);
                Matrix3::identity() * v.norm_squared() - v * v.transpose()
            })
            .sum();
        let row = inertia.try_inverse()? * Vec3::y();
        let mut form = Form::new();
        for p in points() {
            self.add(&mut form, p, axes.transpose() * row.cross(&place(p)));
        }
        Some(form)
    }

    /// Fore-aft offsets in proportion to the width, and the line of the middles.
    fn racked(&self, pairs: &[Pair], width: f64) -> Option<Tested> {
        let across = regression(pairs, |pair| vec![pair.width])?;
        let with_height = (pairs.len() > 2)
            .then(|| regression(pairs, |pair| vec![pair.at.x, 1.0, pair.at.z]))
            .flatten();
        let middle = match with_height {
            Some(row) => row,
            None => regression(pairs, |pair| vec![pair.at.x, 1.0])?,
        };
        // off_x = (yaw − shear) width, off_y = 2 yaw x: what is left when the yaw of the plane is taken out.
        let mut shear = 0.0;
        let mut form = Form::new();
        for (n, pair) in pairs.iter().enumerate() {
            for (k, share) in [(0, -across[n]), (1, 0.5 * middle[n])] {
                shear += share * pair.off[k];
                form.extend(pair.forms[k].iter().map(|&(c, e)| (c, e * share * width)));
            }
        }
        Some(self.tested(shear * width, &form))
    }

    /// Height differences per width, over x.
    fn twisted(&self, pairs: &[Pair], length: f64) -> Option<Tested> {
        let slope = regression(pairs, |pair| vec![pair.width * pair.at.x, pair.width])?;
        let mut turn = 0.0;
        let mut form = Form::new();
        for (pair, slope) in pairs.iter().zip(&slope) {
            let share = -slope * length;
            turn += share * pair.off.z;
            form.extend(pair.forms[2].iter().map(|&(c, e)| (c, e * share)));
        }
        Some(self.tested(turn, &form))
    }

    /// The longest crossing diagonals. Two pairs at one place along the shell have none that a rack would show in.
    fn diagonals(&self, pairs: &[Pair]) -> Vec<Diagonal> {
        let at = &self.fit.at.positions;
        let mut candidates = Vec::new();
        for a in 0..pairs.len() {
            for b in 0..a {
                let (front, rear) = if pairs[a].at.x >= pairs[b].at.x {
                    (a, b)
                } else {
                    (b, a)
                };
                let (f, r) = (&pairs[front], &pairs[rear]);
                let lengths = [[f.left, r.right], [f.right, r.left]].map(|[p, q]| (at[p] - at[q]).norm());
                if f.at.x - r.at.x > 0.25 * (f.width + r.width) {
                    candidates.push((front, rear, lengths));
                }
            }
        }
        candidates.sort_by(|a, b| (b.2[0] + b.2[1]).total_cmp(&(a.2[0] + a.2[1])));
        let mut used = vec![0; pairs.len()];
        candidates.retain(|&(front, rear, _)| {
            let fresh = used[front] < 2 && used[rear] < 2;
            if fresh {
                used[front] += 1;
                used[rear] += 1;
            }
            fresh
        });
        candidates.truncate(DIAGONALS);
        candidates
            .into_iter()
            .map(|(front, rear, lengths)| {
                let (f, r) = (&pairs[front], &pairs[rear]);
                let mut form = Form::new();
                for (p, q, sign) in [(f.left, r.right, 1.0), (f.right, r.left, -1.0)] {
                    let along = (at[p] - at[q]).normalize() * sign;
                    self.add(&mut form, p, along);
                    self.add(&mut form, q, -along);
                }
                let told = |p: usize| self.network.survey_point[p];
                Diagonal {
                    one: [told(f.left), told(r.right)],
                    other: [told(f.right), told(r.left)],
                    lengths_mm: lengths,
                    difference_mm: self.tested(lengths[0] - lengths[1], &form),
                }
            })
            .collect()
    }

    fn add(&self, form: &mut Form, p: usize, by: Vec3) {
        for k in 0..3 {
            if let Some(column) = self.network.point_column[p][k] {
                form.push((column, by[k]));
            }
        }
    }

    fn tested(&self, amount: f64, form: &Form) -> Tested {
        let variance = value(form, &self.fit.inverse_times(form)) * self.scale;
        Tested::of(amount, variance.max(0.0).sqrt())
    }
}

/// The best mid-plane: minimising Σ|H l − r|² over reflections H leaves nᵀ S n with S = Σ sym(l rᵀ) about the
/// mean of all. The normal is the eigenvector of its least eigenvalue.
pub(crate) fn mid_plane(
    at: &Configuration,
    pairs: &[[usize; 2]],
) -> (Vec3, SymmetricEigen<f64, nalgebra::U3>) {
    let place = |p: usize| at.positions[p];
    let count = pairs.len() as f64;
    let mean = pairs
        .iter()
        .map(|&[l, r]| (place(l) + place(r)) * 0.5)
        .sum::<Vec3>()
        / count;
    let mut shape = Matrix3::zeros();
    for &[l, r] in pairs {
        let (l, r) = (place(l) - mean, place(r) - mean);
        shape += (l * r.transpose() + r * l.transpose()) * 0.5;
    }
    (mean, shape.symmetric_eigen())
}

/// The value of a form.
fn value(form: &Form, unknowns: &[f64]) -> f64 {
    form.iter().map(|&(c, e)| unknowns[c] * e).sum()
}

/// The row that gives the first coefficient of a weighted linear regression on these columns; `None` where the
/// columns cannot be told apart. A pair counts by how sure its offset is.
fn regression(pairs: &[Pair], columns: impl Fn(&Pair) -> Vec<f64>) -> Option<Vec<f64>> {
    let rows: Vec<DVector<f64>> = pairs.iter().map(|pair| columns(pair).into()).collect();
    let weights: Vec<f64> = pairs
        .iter()
        .map(|pair| 1.0 / (pair.covariance.trace() + 1e-2))
        .collect();
    let n = rows.first()?.len();
    let mut normal = DMatrix::zeros(n, n);
    for (row, weight) in rows.iter().zip(&weights) {
        normal += row * row.transpose() * *weight;
    }
    let root: Vec<f64> = (0..n).map(|k| normal[(k, k)].sqrt()).collect();
    if root.iter().any(|r| *r <= 0.0 || !r.is_finite()) {
        return None;
    }
    let scaled = DMatrix::from_fn(n, n, |i, j| normal[(i, j)] / (root[i] * root[j]));
    let least = scaled
        .symmetric_eigenvalues()
        .iter()
        .copied()
        .fold(f64::MAX, f64::min);
    if least < 1e-2 {
        return None;
    }
    let inverse = scaled.try_inverse()?;
    Some(
        rows.iter()
            .zip(&weights)
            .map(|(row, weight)| {
                (0..n)
                    .map(|k| inverse[(0, k)] / (root[0] * root[k]) * row[k] * weight)
                    .sum()
            })
            .collect(),
    )
}

/// Chi-square of an offset over the directions that its covariance spans. Two pairs share three degrees of freedom,
/// so that a covariance may span fewer than three.
fn is_off(off: &Vec3, covariance: &Matrix3<f64>) -> bool {
    let eigen = covariance.symmetric_eigen();
    let most = eigen.eigenvalues.max();
    if most <= NOTHING_MM * NOTHING_MM {
        return off.norm() > 1e-3;
    }
    let mut rank = 0.0;
    let mut square = 0.0;
    for k in 0..3 {
        if eigen.eigenvalues[k] > RANK * most {
            rank += 1.0;
            square += eigen.eigenvectors.column(k).dot(off).powi(2) / eigen.eigenvalues[k];
        }
    }
    square > chi_square_quantile(0.95, rank)
}
