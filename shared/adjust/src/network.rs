//! The survey as the solver sees it: canonical order, one inner frame, a column for every unknown.
//!
//! Points are sorted by label and readings by id, so that the order of entry cannot change a digit.

use crate::observe::{Vec3, axis_of};
use survey::{Kind, Quantity, Reading, State as Use, Survey};

/// One reading as the solver sees it.
#[derive(Debug, Clone)]
pub(crate) struct Observation {
    /// Its index in the survey.
    pub(crate) reading: usize,
    pub(crate) kind: Kind,
    /// Canonical point indices; the first `kind.point_count()` count.
    pub(crate) points: [usize; 4],
    /// mm or radians; bench coordinates are relative to the inner origin.
    pub(crate) value: f64,
    pub(crate) sd: f64,
    /// Canonical stand index, for kinds that need the plumb line.
    pub(crate) stand: usize,
    /// Index of the offset unknown.
    pub(crate) offset: Option<usize>,
    pub(crate) kept: bool,
    pub(crate) set_aside: bool,
}

impl Observation {
    pub(crate) fn points(&self) -> &[usize] {
        &self.points[..self.kind.point_count()]
    }
}

/// The survey in canonical order.
#[derive(Debug, Clone)]
pub(crate) struct Network {
    /// Survey index of each canonical point.
    pub(crate) survey_point: Vec<usize>,
    /// Canonical index of each survey point.
    pub(crate) canonical_point: Vec<usize>,
    pub(crate) observations: Vec<Observation>,
    /// Subtracted from bench coordinates, so that far-off origins cost no digits.
    pub(crate) origin: Vec3,
    pub(crate) rough: Vec<[Option<f64>; 3]>,
    pub(crate) fixed: Vec<[bool; 3]>,
    pub(crate) stands: Vec<String>,
    /// The stand that the sheet names first among those with plumb readings.
    pub(crate) first_stand: Option<usize>,
    /// Instruments whose zero offset is an unknown.
    pub(crate) offsets: Vec<usize>,
    pub(crate) point_column: Vec<[Option<usize>; 3]>,
    pub(crate) stand_column: Vec<usize>,
    pub(crate) offset_column: Vec<usize>,
    pub(crate) unknowns: usize,
}

/// A configuration of the unknowns.
#[derive(Debug, Clone)]
pub(crate) struct Configuration {
    pub(crate) positions: Vec<Vec3>,
    /// Plumb direction of each stand, unit vectors.
    pub(crate) ups: Vec<Vec3>,
    /// Zero offsets still to be added, mm.
    pub(crate) offsets: Vec<f64>,
}

impl Network {
    pub(crate) fn new(survey: &Survey, estimate_offsets: bool) -> Network {
        let mut survey_point: Vec<usize> = (0..survey.points.len()).collect();
        survey_point.sort_by(|&a, &b| survey.points[a].label.cmp(&survey.points[b].label));
        let mut canonical_point = vec![0; survey_point.len()];
        for (canonical, &original) in survey_point.iter().enumerate() {
            canonical_point[original] = canonical;
        }
        let origin = inner_origin(survey, &survey_point);
        let rough = survey_point
            .iter()
            .map(|&p| [0, 1, 2].map(|k| survey.points[p].rough_mm[k].map(|x| x - origin[k])))
            .collect();
        let fixed: Vec<[bool; 3]> = survey_point
            .iter()
            .map(|&p| [0, 1, 2].map(|k| survey.points[p].fixed[k] && survey.points[p].rough_mm[k].is_some()))
            .collect();

        let mut order: Vec<usize> = (0..survey.readings.len()).collect();
        order.sort_by(|&a, &b| survey.readings[a].id.cmp(&survey.readings[b].id).then(a.cmp(&b)));
        let mut stands: Vec<String> = survey
            .readings
            .iter()
            .filter(|reading| reading.kind.needs_plumb())
            .map(|reading| reading.stand.clone())
            .collect();
        let first_name = stands.first().cloned();
        stands.sort();
        stands.dedup();
        let first_stand = first_name.and_then(|name| stands.iter().position(|stand| *stand == name));
        let mut offsets: Vec<usize> = Vec::new();
        if estimate_offsets {
            offsets = survey
                .readings
                .iter()
                .filter(|reading| takes_offset(reading.kind))
                .filter_map(|reading| reading.instrument)
                .collect();
            offsets.sort_by(|&a, &b| survey.instruments[a].name.cmp(&survey.instruments[b].name));
            offsets.dedup();
        }
        let mut network = Network {
            survey_point,
            canonical_point,
            observations: Vec::new(),
            origin,
            rough,
            fixed,
            stands,
            first_stand,
            offsets,
            point_column: Vec::new(),
            stand_column: Vec::new(),
            offset_column: Vec::new(),
            unknowns: 0,
        };
        network.number(network.offsets.len());
        network.observations = order
            .into_iter()
            .map(|index| network.observation(index, &survey.readings[index]))
            .collect();
        network
    }

    /// Gives every unknown its column: the coordinates that are not fixed, two turns for each stand, the offsets.
    fn number(&mut self, offsets: usize) {
        let mut unknowns = 0;
        let mut next = || {
            unknowns += 1;
            unknowns - 1
        };
        self.point_column = self
            .fixed
            .iter()
            .map(|axes| axes.map(|exact| (!exact).then(&mut next)))
            .collect();
        self.stand_column = self
            .stands
            .iter()
            .map(|_| {
                let first = next();
                next();
                first
            })
            .collect();
        self.offset_column = (0..offsets).map(|_| next()).collect();
        self.unknowns = unknowns;
    }

    /// A reading as the solver sees it, between points that the network has.
    pub(crate) fn observation(&self, index: usize, reading: &Reading) -> Observation {
        let mut points = [0; 4];
        for (slot, &point) in points.iter_mut().zip(&reading.points) {
            *slot = self.canonical_point[point];
        }
        let bench = matches!(reading.kind, Kind::X | Kind::Y | Kind::Z);
        let shift = if bench {
            self.origin[axis_of(reading.kind)]
        } else {
            0.0
        };
        Observation {
            reading: index,
            kind: reading.kind,
            points,
            value: reading.observed - shift,
            sd: reading.sd,
            stand: self
                .stands
                .iter()
                .position(|stand| *stand == reading.stand)
                .unwrap_or(0),
            offset: reading
                .instrument
                .filter(|_| takes_offset(reading.kind))
                .and_then(|i| self.offsets.iter().position(|&o| o == i)),
            kept: reading.state == Use::Kept,
            set_aside: reading.state == Use::SetAside,
        }
    }

    /// The same network with one more offset, which these observations share.
    pub(crate) fn with_shared_offset(&self, observations: &[usize]) -> Network {
        let mut with = self.clone();
        let offset = with.offset_column.len();
        with.offset_column.push(with.unknowns);
        with.unknowns += 1;
        for &index in observations {
            with.observations[index].offset = Some(offset);
        }
        with
    }

    /// These points and all that a reading ties to them; `of` has the readings at each point.
    pub(crate) fn around(&self, of: &[Vec<usize>], points: &[usize]) -> Vec<usize> {
        let mut around: Vec<usize> = points
            .iter()
            .flat_map(|&p| of[p].iter().flat_map(|&index| self.observations[index].points()))
            .chain(points)
            .copied()
            .collect();
        around.sort_unstable();
        around.dedup();
        around
    }

    /// A part of the network: these observations, with every point that is not `free` fixed where it is.
    pub(crate) fn part(&self, free: &[usize], observations: &[usize], at: &[Vec3]) -> Network {
        let mut part = self.clone();
        part.observations = observations
            .iter()
            .map(|&i| self.observations[i].clone())
            .collect();
        let mut is_free = vec![false; self.point_count()];
        free.iter().for_each(|&p| is_free[p] = true);
        for p in (0..self.point_count()).filter(|&p| !is_free[p]) {
            part.fixed[p] = [true; 3];
            part.rough[p] = [0, 1, 2].map(|k| Some(at[p][k]));
        }
        part.number(self.offset_column.len());
        part
    }

    pub(crate) fn point_count(&self) -> usize {
        self.survey_point.len()
    }

    /// The readings that the crew uses.
    pub(crate) fn in_use(&self) -> Vec<bool> {
        self.observations.iter().map(|o| !o.set_aside).collect()
    }

    /// The columns that an observation touches.
    pub(crate) fn columns(&self, observation: &Observation) -> Vec<usize> {
        let mut columns: Vec<usize> = observation
            .points()
            .iter()
            .flat_map(|&p| self.point_column[p])
            .flatten()
            .collect();
        if observation.kind.needs_plumb() {
            let first = self.stand_column[observation.stand];
            columns.extend([first, first + 1]);
        }
        columns.extend(observation.offset.map(|o| self.offset_column[o]));
        columns
    }

    /// Coordinates that are known in the bench frame: fixed ones, and x, y, z readings in use.
    pub(crate) fn bench_coordinates(&self, active: &[bool]) -> Vec<(usize, usize, f64)> {
        let mut known = Vec::new();
        for (p, axes) in self.fixed.iter().enumerate() {
            for k in 0..3 {
                if let (true, Some(x)) = (axes[k], self.rough[p][k]) {
                    known.push((p, k, x));
                }
            }
        }
        for (o, _) in self
            .observations
            .iter()
            .zip(active)
            .filter(|(_, active)| **active)
        {
            if matches!(o.kind, Kind::X | Kind::Y | Kind::Z) {
                known.push((o.points[0], axis_of(o.kind), o.value));
            }
        }
        known
    }

    /// Whether anything is said in the bench frame.
    pub(crate) fn has_bench(&self) -> bool {
        self.fixed.iter().any(|axes| axes.contains(&true))
            || self
                .observations
                .iter()
                .any(|o| matches!(o.kind, Kind::X | Kind::Y | Kind::Z) && !o.set_aside)
    }

    /// Groups of canonical points that readings in use tie together, largest first; fixed and bench-read points
    /// are tied by the bench. Points without any reading are left out.
    pub(crate) fn components(&self, active: &[bool]) -> Vec<Vec<usize>> {
        let n = self.point_count();
        let mut leader: Vec<usize> = (0..=n).collect();
        fn find(leader: &mut [usize], mut p: usize) -> usize {
            while leader[p] != p {
                leader[p] = leader[leader[p]];
                p = leader[p];
            }
            p
        }
        let mut touched = vec![false; n];
        for (o, _) in self
            .observations
            .iter()
            .zip(active)
            .filter(|(_, active)| **active)
        {
            let first = find(&mut leader, o.points[0]);
            for &p in o.points() {
                touched[p] = true;
                let other = find(&mut leader, p);
                leader[other] = first;
            }
            if o.kind.point_count() == 1 {
                let (bench, first) = (find(&mut leader, n), find(&mut leader, o.points[0]));
                leader[first] = bench;
            }
        }
        for (p, axes) in self.fixed.iter().enumerate() {
            if axes.contains(&true) {
                touched[p] = true;
                let (bench, own) = (find(&mut leader, n), find(&mut leader, p));
                leader[own] = bench;
            }
        }
        let mut groups: Vec<Vec<usize>> = vec![Vec::new(); n + 1];
        for p in 0..n {
            if touched[p] {
                groups[find(&mut leader, p)].push(p);
            }
        }
        groups.retain(|group| !group.is_empty());
        groups.sort_by(|a, b| b.len().cmp(&a.len()).then(a[0].cmp(&b[0])));
        groups
    }
}

/// Whether a zero offset acts on readings of this kind.
pub(crate) fn takes_offset(kind: Kind) -> bool {
    kind.quantity() == Quantity::Length && kind.point_count() >= 2 && !kind.needs_plumb()
}

fn inner_origin(survey: &Survey, order: &[usize]) -> Vec3 {
    let mut origin = Vec3::zeros();
    for k in 0..3 {
        let known: Vec<f64> = order
            .iter()
            .map(|&p| &survey.points[p])
            .filter(|point| point.fixed[k])
            .filter_map(|point| point.rough_mm[k])
            .collect();
        if !known.is_empty() {
            // Whole millimetres: subtracting them is exact.
            origin[k] = (known.iter().sum::<f64>() / known.len() as f64).round();
        }
    }
    origin
}
