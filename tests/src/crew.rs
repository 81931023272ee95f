//! How a crew reads a shell: which lines it tapes, and the slips it makes.

use survey::{Kind, Side, Survey};

use crate::net::reading;
use crate::observe::{V3, add_scaled, cross, distance, gauss, norm, sub, true_value, unit};
use crate::rigid::eigen;
use crate::shell::{FLOOR, Options, PAIRS};

/// The furthest that two people tape, mm.
const REACH: f64 = 2600.0;
/// What slips do to a reading, mm: the 1 inch mark, a foot, a decimetre, half an inch.
const SLIPS: [f64; 7] = [25.4, 304.8, -304.8, 100.0, -100.0, 12.7, -12.7];

/// Two people with a tape, taking one reading after the other.
pub(crate) struct Crew {
    pub(crate) rng: fastrand::Rng,
    pub(crate) truth: Vec<V3>,
    pub(crate) special: Option<usize>,
    pub(crate) special_tapes: usize,
    pub(crate) survey: Survey,
}

impl Crew {
    fn read(&mut self, kind: Kind, points: Vec<usize>, sd: f64, up: V3, stand: &str) {
        let at: Vec<V3> = points.iter().map(|&i| self.truth[i]).collect();
        let noisy = true_value(kind, &at, up) + sd * gauss(&mut self.rng);
        // A distance or a corner cannot come out negative.
        let value = if matches!(kind, Kind::Slope | Kind::Rise) {
            noisy
        } else {
            noisy.abs()
        };
        let id = format!("q{}", self.survey.readings.len() + 1);
        let mut one = reading(id, kind, points, value, sd);
        one.stand = stand.to_owned();
        self.survey.readings.push(one);
    }

    fn tape(&mut self, a: usize, b: usize) {
        self.read(Kind::Tape, vec![a, b], 1.0, [0.0, 0.0, 1.0], "");
    }

    pub(crate) fn tapes(&mut self) {
        for i in 1..FLOOR {
            for j in 0..i {
                if distance(self.truth[i], self.truth[j]) < 2000.0 {
                    self.tape(i, j);
                }
            }
        }
        for i in FLOOR..self.truth.len() {
            let count = if self.special == Some(i) {
                self.special_tapes
            } else {
                self.rng.usize(5..=7)
            };
            for j in self.choose(i, count) {
                self.tape(i, j);
            }
        }
    }

    /// Earlier points to tape a new one from: a random pick of decent geometry, mostly on the floor frame.
    fn choose(&mut self, new: usize, count: usize) -> Vec<usize> {
        let near = |j: &usize| distance(self.truth[new], self.truth[*j]) < REACH && self.special != Some(*j);
        let floor: Vec<usize> = (0..FLOOR).filter(near).collect();
        let earlier: Vec<usize> = (FLOOR..new).filter(near).collect();
        let from_floor = count - (2 * count / 5).min(earlier.len());
        let mut best = (f64::NEG_INFINITY, Vec::new());
        for _ in 0..40 {
            let mut picked = self.rng.choose_multiple(floor.iter().copied(), from_floor);
            let rest = count - picked.len();
            picked.extend(self.rng.choose_multiple(earlier.iter().copied(), rest));
            let strength = self.strength(new, &picked);
            if strength > best.0 {
                best = (strength, picked);
            }
            if strength > 0.04 {
                break;
            }
        }
        best.1
    }

    /// How well tapes from those points fix the new one: the smallest eigenvalue of the normal matrix, nothing
    /// where the points lie all on one line.
    fn strength(&self, new: usize, from: &[usize]) -> f64 {
        let mut normal = [[0.0; 3]; 3];
        for &j in from {
            let u = unit(sub(self.truth[j], self.truth[new]));
            for r in 0..3 {
                for c in 0..3 {
                    normal[r][c] += u[r] * u[c];
                }
            }
        }
        let (a, b) = (self.truth[from[0]], self.truth[from[1]]);
        let on_line = from[2..]
            .iter()
            .all(|&j| norm(cross(sub(self.truth[j], a), unit(sub(b, a)))) < 150.0);
        if on_line && from.len() > 2 {
            f64::NEG_INFINITY
        } else {
            eigen(normal).0[0]
        }
    }

    /// Two different points that are not the special one, between 0.3 m and a tape's reach apart.
    fn pair(&mut self) -> (usize, usize) {
        loop {
            let (a, b) = (
                self.rng.usize(..self.truth.len()),
                self.rng.usize(..self.truth.len()),
            );
            let apart = distance(self.truth[a], self.truth[b]);
            if (300.0..REACH).contains(&apart) && self.special != Some(a) && self.special != Some(b) {
                return (a, b);
            }
        }
    }

    pub(crate) fn plumb_readings(&mut self, options: &Options) {
        let stands: Vec<(String, V3)> = (0..options.stands.max(1))
            .map(|k| {
                let azimuth = std::f64::consts::TAU * self.rng.f64();
                let lean = options.tilt_deg.to_radians();
                let up = [lean.sin() * azimuth.cos(), lean.sin() * azimuth.sin(), lean.cos()];
                (
                    if k == 0 {
                        String::new()
                    } else {
                        format!("stand {}", k + 1)
                    },
                    up,
                )
            })
            .collect();
        for k in 0..self.rng.usize(10..=14) {
            let (name, up) = stands[k % stands.len()].clone();
            let (a, b) = self.pair();
            self.read(Kind::Slope, vec![a, b], 0.15_f64.to_radians(), up, &name);
        }
        for k in 0..6 {
            let (name, up) = stands[k % stands.len()].clone();
            let (a, b) = self.pair();
            self.read(Kind::Rise, vec![a, b], 1.5, up, &name);
        }
    }

    pub(crate) fn mixed(&mut self) {
        let up = [0.0, 0.0, 1.0];
        for k in 0..18 {
            let (kind, sd) = match k {
                0..8 => (Kind::Corner, 0.2_f64.to_radians()),
                8..13 => (Kind::String, 2.0),
                _ => (Kind::Face, 2.0),
            };
            loop {
                let (a, b) = self.pair();
                let (c, d) = self.pair();
                let mut points = vec![a, b, c, d];
                let at: Vec<V3> = points.iter().map(|&i| self.truth[i]).collect();
                let legs = [(0, 1), (0, 2), (1, 2), (0, 3), (1, 3), (2, 3)];
                if legs.iter().any(|&(i, j)| distance(at[i], at[j]) < 300.0) {
                    continue;
                }
                let value = true_value(kind, &at, up);
                // Away from where the value has a kink, and with a face that is a face.
                let turn = true_value(Kind::Corner, &at[1..], up).to_degrees();
                let good = match kind {
                    Kind::Corner => (15.0..165.0).contains(&value.to_degrees()),
                    _ => value > 80.0 && (25.0..155.0).contains(&turn),
                };
                if good {
                    points.truncate(kind.point_count());
                    self.read(kind, points, sd, up, "");
                    break;
                }
            }
        }
    }

    /// Puts slips in tapes whose points keep at least five others, so that each can be seen.
    pub(crate) fn slip(&mut self, count: usize) -> Vec<(usize, f64)> {
        let mut good = vec![0_usize; self.truth.len()];
        let tapes: Vec<usize> = (0..self.survey.readings.len())
            .filter(|&i| self.survey.readings[i].kind == Kind::Tape)
            .collect();
        for &i in &tapes {
            for &p in &self.survey.readings[i].points {
                good[p] += 1;
            }
        }
        let mut slips: Vec<(usize, f64)> = Vec::new();
        for _ in 0..10_000 {
            if slips.len() == count {
                break;
            }
            let i = tapes[self.rng.usize(..tapes.len())];
            let change = SLIPS[self.rng.usize(..SLIPS.len())];
            let one = &mut self.survey.readings[i];
            let taken = slips.iter().any(|&(j, _)| i == j);
            if taken || one.observed + change < 100.0 || one.points.iter().any(|&p| good[p] < 6) {
                continue;
            }
            for &p in &one.points {
                good[p] -= 1;
            }
            one.observed += change;
            one.read = one.observed;
            slips.push((i, change));
        }
        slips.sort_by_key(|&(i, _)| i);
        slips
    }

    /// Rough positions, sides and mirror partners.
    pub(crate) fn describe(&mut self, options: &Options) {
        let pairs = 2 * PAIRS.len();
        let swapped = options
            .swapped_pair
            .then(|| self.rng.usize(FLOOR / 2..PAIRS.len()));
        for i in 0..self.truth.len() {
            let point = &mut self.survey.points[i];
            if options.sides {
                point.side = Some(if i >= pairs {
                    Side::Centre
                } else {
                    [Side::Left, Side::Right][i % 2]
                });
                point.mirror = (i < pairs).then_some(i ^ 1);
            }
            if let Some(noise) = options.rough {
                let place = if swapped == Some(i / 2) {
                    self.truth[i ^ 1]
                } else {
                    self.truth[i]
                };
                let off = [0; 3].map(|_| gauss(&mut self.rng));
                point.rough_mm = add_scaled(place, noise, off).map(Some);
            }
        }
    }
}
