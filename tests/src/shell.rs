//! Simulated surveys of an invented shell: 43 points, read as a crew would read them.

use survey::{Frame, Kind, Label, Point, Side, Survey};

use crate::net::{label, reading};
use crate::observe::{
    V3, add_scaled, cross, distance, even, gauss, norm, sub, three_frame, true_value, unit,
};
use crate::rigid::eigen;

/// The mirror pairs as (name, x ahead, half the width, z up), mm, in the order a crew takes them.
const PAIRS: [(&str, f64, f64, f64); 20] = [
    ("floor-front", 1330.0, 570.0, 0.0),
    ("floor-mid", 660.0, 600.0, 0.0),
    ("floor-rear", 0.0, 590.0, 0.0),
    ("sill-front", 1290.0, 680.0, 150.0),
    ("sill-mid", 640.0, 700.0, 170.0),
    ("sill-rear", -40.0, 690.0, 160.0),
    ("pillar-foot", 1450.0, 660.0, 380.0),
    ("screen-corner", 830.0, 540.0, 1130.0),
    ("header", 620.0, 480.0, 1200.0),
    ("door-latch", 60.0, 650.0, 560.0),
    ("hoop-foot", 90.0, 560.0, 300.0),
    ("belt-rail", -190.0, 610.0, 740.0),
    ("arch-top", -480.0, 520.0, 480.0),
    ("strut-rear", -620.0, 480.0, 760.0),
    ("bulkhead-low", 1500.0, 430.0, 260.0),
    ("bulkhead-high", 1520.0, 560.0, 720.0),
    ("strut-front", 2030.0, 540.0, 640.0),
    ("rail-front", 2400.0, 420.0, 330.0),
    ("rail-rear", -1190.0, 430.0, 330.0),
    ("roof-rear", -240.0, 470.0, 1080.0),
];

/// The points on the mid-plane.
const CENTRES: [(&str, f64, f64); 3] = [
    ("tunnel", 900.0, 230.0),
    ("dash", 1400.0, 810.0),
    ("parcel-shelf", -380.0, 700.0),
];

/// How many of the points are the floor frame.
const FLOOR: usize = 6;
/// The furthest that two people tape, mm.
const REACH: f64 = 2600.0;
/// What slips do to a reading, mm: the 1 inch mark, a foot, a decimetre, half an inch.
const SLIPS: [f64; 7] = [25.4, 304.8, -304.8, 100.0, -100.0, 12.7, -12.7];

/// The left strut is the point that has too few tapes where that is asked for.
const SPECIAL: &str = "strut-front-L";

/// What the survey is to be like.
#[derive(Debug, Clone, PartialEq)]
pub struct Options {
    /// Noise of the rough positions, mm; without it there are none.
    pub rough: Option<f64>,
    /// The rough positions of one mirror pair are exchanged.
    pub swapped_pair: bool,
    /// Points have their sides and mirror partners.
    pub sides: bool,
    /// How many tapes have a slip.
    pub slips: usize,
    /// How far the shell leans, degrees.
    pub tilt_deg: f64,
    /// No slopes and no rises.
    pub tape_only: bool,
    /// The left strut has two tapes only.
    pub loose: bool,
    /// The left strut has three tapes only.
    pub two_valued: bool,
    /// In how many ways the shell stood.
    pub stands: usize,
    /// Corners, faces and strings besides.
    pub mixed: bool,
}

impl Default for Options {
    fn default() -> Options {
        Options {
            rough: Some(100.0),
            swapped_pair: false,
            sides: false,
            slips: 0,
            tilt_deg: 1.5,
            tape_only: false,
            loose: false,
            two_valued: false,
            stands: 1,
            mixed: false,
        }
    }
}

/// A simulated survey and what is true about it.
#[derive(Debug, Clone)]
pub struct Simulated {
    /// What the solver is given.
    pub survey: Survey,
    /// Where the points are, mm, in the frame of the datum points.
    pub truth_mm: Vec<V3>,
    /// The readings with a slip, and how much it adds, mm.
    pub slips: Vec<(usize, f64)>,
    /// Origin, ahead and left as indices.
    pub datum: [usize; 3],
    /// Origin, ahead and left as labels.
    pub labels: [Label; 3],
    /// The point with too few tapes.
    pub special: Option<usize>,
}

impl Simulated {
    /// The frame that the truth is given in.
    pub fn frame(&self) -> Frame {
        let [origin, ahead, left] = self.labels.clone();
        Frame::Three { origin, ahead, left }
    }
}

/// Simulates a survey. The same seed and options give the same survey.
pub fn simulate(seed: u64, options: &Options) -> Simulated {
    let mut rng = fastrand::Rng::with_seed(seed);
    let (points, truth) = shell(&mut rng);
    let datum = [5, 1, 4]; // floor-rear-R, floor-front-R, floor-rear-L
    let truth_mm = three_frame(&truth, datum[0], datum[1], datum[2]);
    let labels = datum.map(|i| points[i].label.clone());
    let special = (options.loose || options.two_valued)
        .then(|| points.iter().position(|p| p.label.as_str() == SPECIAL))
        .flatten();
    let mut crew = Crew {
        rng,
        truth: truth_mm,
        special,
        special_tapes: if options.loose { 2 } else { 3 },
        survey: Survey {
            points,
            ..Survey::default()
        },
    };
    crew.tapes();
    if !options.tape_only {
        crew.plumb_readings(options);
    }
    if options.mixed {
        crew.mixed();
    }
    let slips = crew.slip(options.slips);
    crew.describe(options);
    Simulated {
        survey: crew.survey,
        truth_mm: crew.truth,
        slips,
        datum,
        labels,
        special,
    }
}

fn shell(rng: &mut fastrand::Rng) -> (Vec<Point>, Vec<V3>) {
    let jitter = 15.0 + 15.0 * rng.f64();
    let mut points = Vec::new();
    let mut truth = Vec::new();
    for (name, x, half, z) in PAIRS {
        for (suffix, y) in [("L", half), ("R", -half)] {
            let up = if points.len() < FLOOR { 6.0 } else { jitter };
            points.push(Point::named(label(&format!("{name}-{suffix}"))));
            truth.push([x + even(rng, jitter), y + even(rng, jitter), z + even(rng, up)]);
        }
    }
    for (name, x, z) in CENTRES {
        points.push(Point::named(label(name)));
        truth.push([x + even(rng, jitter), even(rng, jitter), z + even(rng, jitter)]);
    }
    (points, truth)
}

struct Crew {
    rng: fastrand::Rng,
    truth: Vec<V3>,
    special: Option<usize>,
    special_tapes: usize,
    survey: Survey,
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

    fn tapes(&mut self) {
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
                self.rng.usize(4..=6)
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

    fn plumb_readings(&mut self, options: &Options) {
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

    fn mixed(&mut self) {
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
    fn slip(&mut self, count: usize) -> Vec<(usize, f64)> {
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
    fn describe(&mut self, options: &Options) {
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

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_seed_gives_the_same_survey_and_another_seed_another_one() {
        let one = simulate(7, &Options::default());
        assert_eq!(one.survey, simulate(7, &Options::default()).survey);
        assert_ne!(one.survey, simulate(8, &Options::default()).survey);
        assert_eq!(one.survey.points.len(), 43);
    }

    #[test]
    fn every_point_has_the_tapes_a_crew_would_take() {
        for seed in 0..200 {
            let made = simulate(
                seed,
                &Options {
                    loose: true,
                    ..Options::default()
                },
            );
            let mut count = vec![0; made.truth_mm.len()];
            for r in made.survey.readings.iter().filter(|r| r.kind == Kind::Tape) {
                let true_length = distance(made.truth_mm[r.points[0]], made.truth_mm[r.points[1]]);
                assert!((r.observed - true_length).abs() < 6.0);
                r.points.iter().for_each(|&p| count[p] += 1);
            }
            let special = made.special.unwrap();
            assert_eq!(count[special], 2);
            for (i, n) in count.into_iter().enumerate() {
                assert!(i == special || n >= 4, "seed {seed}: point {i} has {n} tapes");
            }
        }
    }

    #[test]
    fn slips_are_where_it_says_and_nowhere_else() {
        for seed in 0..200 {
            let made = simulate(
                seed,
                &Options {
                    slips: 3,
                    ..Options::default()
                },
            );
            assert_eq!(made.slips.len(), 3, "seed {seed}");
            for (i, r) in made
                .survey
                .readings
                .iter()
                .enumerate()
                .filter(|(_, r)| r.kind == Kind::Tape)
            {
                let true_length = distance(made.truth_mm[r.points[0]], made.truth_mm[r.points[1]]);
                let change = made.slips.iter().find(|&&(j, _)| i == j).map_or(0.0, |&(_, c)| c);
                assert!(
                    (r.observed - true_length - change).abs() < 6.0,
                    "seed {seed}: {}",
                    r.id
                );
            }
        }
    }
}
