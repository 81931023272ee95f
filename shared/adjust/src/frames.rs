//! From the inner frame to the one asked for, with the covariance carried along.
//!
//! A frame set up by points moves when they do: y = R (x − o), with o and R functions of the points. To first
//! order dy = R dx − do + ω × y, where do and ω are linear in the unknowns. This is the S-transformation of
//! W. Baarda (*S-transformations and criterion matrices*, 1973) written for frames made of points, plumb lines
//! and mirror pairs alike; it needs six solves however many points there are.

use crate::fit::{Fit, Prediction};
use crate::gauge::rigid_motions;
use crate::network::{Configuration, Network};
use crate::observe::Vec3;
use crate::symmetry::mid_plane;
use nalgebra::{DMatrix, Matrix3, SMatrix};
use survey::Survey;

/// A frame with canonical point indices.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) enum Axes {
    Three {
        origin: usize,
        ahead: usize,
        left: usize,
    },
    Plumb {
        origin: usize,
        ahead: usize,
        left: usize,
        stand: usize,
    },
    Centreline {
        origin: usize,
        ahead: usize,
        above: usize,
    },
    Bench,
}

/// Axes laid on a configuration.
#[derive(Debug, Clone)]
pub(crate) struct Placed {
    rotation: Matrix3<f64>,
    origin: Vec3,
    /// Linear forms of the unknowns: what the frame does when they move.
    forms: Vec<Vec<(usize, f64)>>,
    kind: FormKind,
}

#[derive(Debug, Clone)]
enum FormKind {
    /// Shift of the origin in the frame, then rotation.
    ShiftAndTurn,
    /// Rigid motions about a centre, combined by these shares.
    Motions {
        centre: Vec3,
        radius: f64,
        open: Vec<[f64; 6]>,
    },
    Still,
}

/// Why a frame cannot be laid.
pub(crate) type FrameTrouble = String;

impl Placed {
    /// Lays axes on a configuration. `pairs` are the mirror pairs, left first where sides are told.
    pub(crate) fn new(
        network: &Network,
        survey: &Survey,
        at: &Configuration,
        axes: Axes,
        pairs: &[[usize; 2]],
    ) -> Result<Placed, FrameTrouble> {
        let place = |p: usize| at.positions[p];
        let name = |p: usize| survey.points[network.survey_point[p]].label.clone();
        match axes {
            Axes::Bench => Ok(Placed {
                rotation: Matrix3::identity(),
                origin: -network.origin,
                forms: Vec::new(),
                kind: FormKind::Still,
            }),
            Axes::Three { origin, ahead, left } => {
                let x = place(ahead) - place(origin);
                let x_length = x.norm();
                let ex = x / x_length;
                let side = place(left) - place(origin);
                let across = side - ex * side.dot(&ex);
                if x_length <= 1e-6 || across.norm() <= 1e-6 * x_length.max(side.norm()) {
                    return Err(in_line(&[name(origin), name(ahead), name(left)]));
                }
                let ey = across.normalize();
                let rotation = from_rows(ex, ey, ex.cross(&ey));
                let y_left = rotation * side;
                let mut forms = origin_forms(network, &rotation, origin);
                // AHEAD keeps y = z = 0, LEFT keeps z = 0.
                let mut turn_z = Form::default();
                turn_z.add(network, ahead, rotation.row(1).transpose() * (-1.0 / x_length));
                turn_z.add(network, origin, rotation.row(1).transpose() * (1.0 / x_length));
                let mut turn_y = Form::default();
                turn_y.add(network, ahead, rotation.row(2).transpose() * (1.0 / x_length));
                turn_y.add(network, origin, rotation.row(2).transpose() * (-1.0 / x_length));
                let mut turn_x = Form::default();
                turn_x.add(network, left, rotation.row(2).transpose() * (-1.0 / y_left.y));
                turn_x.add(network, origin, rotation.row(2).transpose() * (1.0 / y_left.y));
                turn_x.add_form(&turn_y, y_left.x / y_left.y);
                forms.extend([turn_x.0, turn_y.0, turn_z.0]);
                Ok(Placed {
                    rotation,
                    origin: place(origin),
                    forms,
                    kind: FormKind::ShiftAndTurn,
                })
            }
            // LEFT only chooses between the two hands, which is done before.
            Axes::Plumb {
                origin,
                ahead,
                left: _,
                stand,
            } => {
                let ez = at.ups[stand];
                let x = place(ahead) - place(origin);
                let run = x - ez * x.dot(&ez);
                if run.norm() <= 1e-6 * x.norm() || x.norm() <= 1e-6 {
                    return Err(format!(
                        "`{}` lies straight above or below `{}`",
                        name(ahead),
                        name(origin)
                    ));
                }
                let ex = run.normalize();
                let ey = ez.cross(&ex);
                let rotation = from_rows(ex, ey, ez);
                let y_ahead = rotation * x;
                let mut forms = origin_forms(network, &rotation, origin);
                let tangents = crate::solve::across(&ez);
                let mut turn_x = Form::default();
                let mut turn_y = Form::default();
                for (n, tangent) in tangents.iter().enumerate() {
                    let column = network.stand_column[stand] + n;
                    turn_x.0.push((column, ey.dot(tangent)));
                    turn_y.0.push((column, -ex.dot(tangent)));
                }
                // AHEAD keeps y = 0.
                let mut turn_z = Form::default();
                turn_z.add(network, ahead, ey * (-1.0 / y_ahead.x));
                turn_z.add(network, origin, ey * (1.0 / y_ahead.x));
                turn_z.add_form(&turn_x, y_ahead.z / y_ahead.x);
                forms.extend([turn_x.0, turn_y.0, turn_z.0]);
                Ok(Placed {
                    rotation,
                    origin: place(origin),
                    forms,
                    kind: FormKind::ShiftAndTurn,
                })
            }
            Axes::Centreline { origin, ahead, above } => {
                centreline(network, at, [origin, ahead, above], pairs).map_err(|trouble| match trouble {
                    None => "it needs at least two mirror pairs".to_string(),
                    Some(()) => in_line(&[name(origin), name(ahead), name(above)]),
                })
            }
        }
    }

    /// The inner-constraint frame of a fit, for covariances.
    pub(crate) fn free_net(network: &Network, fit: &Fit) -> Placed {
        let n = network.point_count().max(1) as f64;
        let centre = fit.at.positions.iter().sum::<Vec3>() / n;
        let radius = fit
            .at
            .positions
            .iter()
            .map(|p| (p - centre).norm())
            .fold(1.0, f64::max);
        let bench = network.bench_coordinates(&fit.active);
        let mut gram = SMatrix::<f64, 6, 6>::zeros();
        for (p, k, _) in bench {
            let motions = rigid_motions(&fit.at.positions[p], &centre, radius);
            let row = nalgebra::Vector6::from_fn(|i, _| motions[i][k]);
            gram += row * row.transpose();
        }
        let eigen = gram.symmetric_eigen();
        let open: Vec<[f64; 6]> = (0..6)
            .filter(|&i| eigen.eigenvalues[i] < 1e-9)
            .map(|i| [0, 1, 2, 3, 4, 5].map(|row| eigen.eigenvectors[(row, i)]))
            .collect();
        let k = open.len();
        let mut columns: Vec<Vec<(usize, f64)>> = vec![Vec::new(); k];
        for (p, place) in fit.at.positions.iter().enumerate() {
            let motions = rigid_motions(place, &centre, radius);
            for (m, shares) in open.iter().enumerate() {
                let shift: Vec3 = motions.iter().zip(shares).map(|(v, s)| v * *s).sum();
                for axis in 0..3 {
                    if let Some(c) = network.point_column[p][axis] {
                        columns[m].push((c, shift[axis]));
                    }
                }
            }
        }
        let product =
            |a: &[(usize, f64)], b: &[(usize, f64)]| -> f64 { a.iter().zip(b).map(|(x, y)| x.1 * y.1).sum() };
        let gram = DMatrix::from_fn(k, k, |i, j| product(&columns[i], &columns[j]));
        let inverse = gram.try_inverse().unwrap_or_else(|| DMatrix::zeros(k, k));
        let forms = (0..k)
            .map(|i| {
                let mut form: Vec<(usize, f64)> = columns
                    .first()
                    .map_or(Vec::new(), |c| c.iter().map(|e| (e.0, 0.0)).collect());
                for (j, column) in columns.iter().enumerate() {
                    for (entry, &(_, value)) in form.iter_mut().zip(column) {
                        entry.1 += inverse[(i, j)] * value;
                    }
                }
                form
            })
            .collect();
        Placed {
            rotation: Matrix3::identity(),
            origin: Vec3::zeros(),
            forms,
            kind: FormKind::Motions { centre, radius, open },
        }
    }

    /// A place in these axes.
    pub(crate) fn coordinates(&self, place: &Vec3) -> Vec3 {
        self.rotation * (place - self.origin)
    }

    /// The direction of x, y or z.
    pub(crate) fn axis(&self, k: usize) -> Vec3 {
        self.rotation.row(k).transpose()
    }

    /// A direction in these axes.
    pub(crate) fn direction(&self, direction: &Vec3) -> Vec3 {
        self.rotation * direction
    }

    /// What the frame's own motion adds to a point's, by form.
    fn lever(&self, place: &Vec3) -> Vec<Vec3> {
        match &self.kind {
            FormKind::Still => Vec::new(),
            FormKind::ShiftAndTurn => {
                let y = self.coordinates(place);
                vec![
                    -Vec3::x(),
                    -Vec3::y(),
                    -Vec3::z(),
                    Vec3::x().cross(&y),
                    Vec3::y().cross(&y),
                    Vec3::z().cross(&y),
                ]
            }
            FormKind::Motions { centre, radius, open } => {
                let motions = rigid_motions(place, centre, *radius);
                open.iter()
                    .map(|shares| -motions.iter().zip(shares).map(|(v, s)| v * *s).sum::<Vec3>())
                    .collect()
            }
        }
    }

    /// The forms' covariances with everything: one solve for each form.
    pub(crate) fn carry(&self, fit: &Fit) -> Carried {
        let columns: Vec<Vec<f64>> = self.forms.iter().map(|form| fit.inverse_times(form)).collect();
        let k = self.forms.len();
        let own = DMatrix::from_fn(k, k, |i, j| {
            self.forms[i].iter().map(|&(c, e)| e * columns[j][c]).sum()
        });
        Carried {
            placed: self.clone(),
            columns,
            own,
        }
    }
}

/// Axes together with the covariances that carry a point's covariance into them.
#[derive(Debug, Clone)]
pub(crate) struct Carried {
    pub(crate) placed: Placed,
    columns: Vec<Vec<f64>>,
    own: DMatrix<f64>,
}

impl Carried {
    /// Covariance of a point in the frame.
    pub(crate) fn covariance(&self, network: &Network, fit: &Fit, p: usize) -> Matrix3<f64> {
        let r = &self.placed.rotation;
        let mut total = r * fit.point_covariance(network, p) * r.transpose();
        let lever = self.placed.lever(&fit.at.positions[p]);
        for (i, b) in lever.iter().enumerate() {
            let with = Vec3::from_fn(|k, _| network.point_column[p][k].map_or(0.0, |c| self.columns[i][c]));
            let cross = (r * with) * b.transpose();
            total += cross + cross.transpose();
            for (j, other) in lever.iter().enumerate() {
                total += b * other.transpose() * self.own[(i, j)];
            }
        }
        0.5 * (total + total.transpose())
    }

    /// Covariance of a point's coordinates with a predicted reading.
    pub(crate) fn with_combination(
        &self,
        network: &Network,
        fit: &Fit,
        p: usize,
        reading: &Prediction,
    ) -> Vec3 {
        let r = &self.placed.rotation;
        let mut total =
            r * Vec3::from_fn(|k, _| network.point_column[p][k].map_or(0.0, |c| reading.column[c]));
        for (form, b) in self.columns.iter().zip(self.placed.lever(&fit.at.positions[p])) {
            let share: f64 = reading.entries.iter().map(|&(c, e)| form[c] * e).sum();
            total += b * share;
        }
        total
    }
}

/// A linear form of the unknowns under construction.
#[derive(Debug, Clone, Default)]
struct Form(Vec<(usize, f64)>);

impl Form {
    fn add(&mut self, network: &Network, p: usize, by: Vec3) {
        for k in 0..3 {
            if let Some(column) = network.point_column[p][k] {
                self.0.push((column, by[k]));
            }
        }
    }

    fn add_form(&mut self, other: &Form, share: f64) {
        self.0.extend(other.0.iter().map(|&(c, e)| (c, e * share)));
    }
}

fn origin_forms(network: &Network, rotation: &Matrix3<f64>, origin: usize) -> Vec<Vec<(usize, f64)>> {
    (0..3)
        .map(|k| {
            let mut form = Form::default();
            form.add(network, origin, rotation.row(k).transpose());
            form.0
        })
        .collect()
}

fn from_rows(x: Vec3, y: Vec3, z: Vec3) -> Matrix3<f64> {
    Matrix3::from_rows(&[x.transpose(), y.transpose(), z.transpose()])
}

fn in_line(names: &[survey::Label; 3]) -> String {
    format!("`{}`, `{}` and `{}` lie in line", names[0], names[1], names[2])
}

/// The frame on the best mid-plane.
fn centreline(
    network: &Network,
    at: &Configuration,
    [origin, ahead, above]: [usize; 3],
    pairs: &[[usize; 2]],
) -> Result<Placed, Option<()>> {
    if pairs.len() < 2 {
        return Err(None);
    }
    let place = |p: usize| at.positions[p];
    let count = pairs.len() as f64;
    let (mean, eigen) = mid_plane(at, pairs);
    let least = eigen.eigenvalues.imin();
    let normal: Vec3 = eigen.eigenvectors.column(least).into_owned();
    let project = |v: Vec3, n: &Vec3| v - n * n.dot(&v);
    let x = project(place(ahead) - place(origin), &normal);
    let run = x.norm();
    if run <= 1e-6 {
        return Err(Some(()));
    }
    let ex = x / run;
    let rise = place(above) - place(origin);
    let mut ez = ex.cross(&normal);
    if ez.dot(&rise).abs() <= 1e-9 * rise.norm() {
        return Err(Some(()));
    }
    if ez.dot(&rise) < 0.0 {
        ez = -ez;
    }
    // x, y, z are right-handed: y = z × x is the normal that makes z = x × y.
    let ey = ez.cross(&ex);
    let rotation = from_rows(ex, ey, ez);
    // The normal's motion: first-order perturbation of the eigenvector.
    let mut turn_of_normal = [Form::default(), Form::default()];
    for (form, along) in turn_of_normal.iter_mut().zip([&ex, &ez]) {
        // Component of d(ey) along `along`, expanded in the other two eigenvectors.
        for k in (0..3).filter(|&k| k != least) {
            let other: Vec3 = eigen.eigenvectors.column(k).into_owned();
            let gap = eigen.eigenvalues[least] - eigen.eigenvalues[k];
            if gap.abs() < 1e-9 {
                continue;
            }
            let share = other.dot(along) / gap;
            for &[l, r] in pairs {
                let (pl, pr) = (place(l) - mean, place(r) - mean);
                // otherᵀ dS ey with S symmetric in l and r; the mean's motion drops out of the sums but for the
                // pairs' own offsets, which add up to nothing along the mean.
                let by_left = (ey * other.dot(&pr) + other * ey.dot(&pr)) * 0.5 * share;
                let by_right = (ey * other.dot(&pl) + other * ey.dot(&pl)) * 0.5 * share;
                form.add(network, l, by_left);
                form.add(network, r, by_right);
            }
        }
    }
    let [along_x, along_z] = turn_of_normal;
    // d(ey) = along_x ex + along_z ez; the rotation's ω in the frame: R d(ey) = −ω × e_y.
    let mut turn_z = Form::default();
    turn_z.add_form(&along_x, 1.0);
    let mut turn_x = Form::default();
    turn_x.add_form(&along_z, -1.0);
    // AHEAD keeps z = 0 against ORIGIN: ω_y from their heights.
    let d = rotation * (place(ahead) - place(origin));
    let mut turn_y = Form::default();
    turn_y.add(network, ahead, ez * (1.0 / d.x));
    turn_y.add(network, origin, ez * (-1.0 / d.x));
    turn_y.add_form(&turn_x, d.y / d.x);
    // The origin: x and z of ORIGIN; y of the mid-plane at the mean of the pairs, carried to ORIGIN's foot.
    let foot = place(origin) - ey * ey.dot(&(place(origin) - mean));
    let from_mean = rotation * (foot - mean);
    let from_origin = rotation * (foot - place(origin));
    let mut forms = Vec::new();
    for k in 0..3 {
        let mut form = Form::default();
        if k == 1 {
            for &[l, r] in pairs {
                form.add(network, l, ey * (0.5 / count));
                form.add(network, r, ey * (0.5 / count));
            }
            // The mean stays on the plane as the frame turns: (ω × m)_y = ω_z m_x − ω_x m_z.
            form.add_form(&turn_z, -from_mean.x);
            form.add_form(&turn_x, from_mean.z);
        } else {
            form.add(network, origin, rotation.row(k).transpose());
            // The foot hangs on the origin by its height off the plane.
            let axis_turn = if k == 0 {
                (&turn_z, from_origin.y)
            } else {
                (&turn_x, -from_origin.y)
            };
            form.add_form(axis_turn.0, axis_turn.1);
        }
        forms.push(form.0);
    }
    forms.extend([turn_x.0, turn_y.0, turn_z.0]);
    Ok(Placed {
        rotation,
        origin: foot,
        forms,
        kind: FormKind::ShiftAndTurn,
    })
}

#[cfg(test)]
mod tests;
