//! The lines that a crew could read next.

use super::State;
use crate::network::Configuration;
use crate::observe::{Predicted, Vec3, predict};
use survey::Kind;

/// A crew tapes no further than this.
const LONGEST_MM: f64 = 4000.0;
/// And nothing that its thumb covers.
const SHORTEST_MM: f64 = 50.0;

/// A reading between two canonical points.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct Line {
    pub(crate) kind: Kind,
    pub(crate) a: usize,
    pub(crate) b: usize,
}

impl Line {
    /// Whether it is the same line, from whichever end.
    pub(crate) fn same(&self, other: &Line) -> bool {
        self.key() == other.key()
    }

    fn key(&self) -> (Kind, usize, usize) {
        (self.kind, self.a.min(self.b), self.a.max(self.b))
    }
}

/// Which lines are open.
pub(crate) struct Lines<'a> {
    state: &'a State<'a>,
    read: Vec<(Kind, usize, usize)>,
    blocked: Vec<(usize, usize)>,
    stand: Option<usize>,
}

impl<'a> Lines<'a> {
    pub(crate) fn new(state: &'a State<'a>) -> Lines<'a> {
        let network = state.network;
        let mut read: Vec<_> = network
            .observations
            .iter()
            .filter(|o| !o.set_aside && o.kind.point_count() == 2)
            .map(|o| {
                Line {
                    kind: o.kind,
                    a: o.points[0],
                    b: o.points[1],
                }
                .key()
            })
            .collect();
        read.sort_unstable();
        read.dedup();
        let mut blocked: Vec<_> = state
            .survey
            .blocked
            .iter()
            .map(|line| {
                let [a, b] = line.map(|p| network.canonical_point[p]);
                (a.min(b), a.max(b))
            })
            .collect();
        blocked.sort_unstable();
        Lines {
            state,
            read,
            blocked,
            stand: standing(state),
        }
    }

    /// The stand that slopes and rises can still be read in, where its plumb line is known.
    pub(crate) fn stand(&self) -> Option<usize> {
        self.stand
    }

    /// The kinds that can be read, tapes first.
    pub(crate) fn kinds(&self) -> &'static [Kind] {
        match self.stand {
            Some(_) => &[Kind::Tape, Kind::Rise, Kind::Slope],
            None => &[Kind::Tape],
        }
    }

    /// The points within a tape's length of a point, lines that are blocked left out.
    pub(crate) fn around(&self, p: usize) -> Vec<usize> {
        (0..self.state.network.point_count())
            .filter(|&q| self.reach(p, q))
            .collect()
    }

    /// Whether a line could be read and was not.
    pub(crate) fn open(&self, line: &Line) -> bool {
        self.reach(line.a, line.b) && self.read.binary_search(&line.key()).is_err()
    }

    fn reach(&self, a: usize, b: usize) -> bool {
        let length = (self.state.fit.at.positions[a] - self.state.fit.at.positions[b]).norm();
        a != b
            && (SHORTEST_MM..=LONGEST_MM).contains(&length)
            && self.blocked.binary_search(&(a.min(b), a.max(b))).is_err()
    }

    /// A reading with two points as a line to read again.
    pub(crate) fn repeat(&self, index: usize) -> Option<Line> {
        let o = &self.state.network.observations[index];
        let line = Line {
            kind: o.kind,
            a: o.points[0],
            b: o.points[1],
        };
        let possible = o.kind == Kind::Tape || o.kind.point_count() == 2 && self.stand == Some(o.stand);
        (possible && self.reach(line.a, line.b)).then_some(line)
    }

    /// What a line would read in a configuration.
    pub(crate) fn predicted(&self, line: &Line, at: &Configuration) -> Predicted {
        let places = [
            at.positions[line.a],
            at.positions[line.b],
            Vec3::zeros(),
            Vec3::zeros(),
        ];
        let up = self.stand.map_or(Vec3::z(), |stand| at.ups[stand]);
        predict(line.kind, &places, &up)
    }

    /// The standard deviation that a new reading of it has.
    pub(crate) fn sd(&self, kind: Kind, value: f64) -> f64 {
        survey::default_sd(kind, None, value)
    }
}

/// Slopes and rises can be read only as the shell stands now. That is known where it stood in one way alone, and
/// of use where the readings determine its plumb line.
fn standing(state: &State<'_>) -> Option<usize> {
    let network = state.network;
    let used = network
        .observations
        .iter()
        .zip(&state.fit.active)
        .any(|(o, active)| *active && o.kind.needs_plumb());
    let known = used
        && network.stands.len() == 1
        && state.fit.free.iter().all(|motion| {
            let first = network.stand_column[0];
            motion[first].abs() < 1e-9 && motion[first + 1].abs() < 1e-9
        });
    known.then_some(0)
}
