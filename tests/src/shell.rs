//! Simulated surveys of an invented shell: 43 points, read as a crew would read them.

use survey::{Frame, Label, Point, Survey};

use crate::crew::Crew;
use crate::net::label;
use crate::observe::{V3, add_scaled, even, three_frame};

/// The mirror pairs as (name, x ahead, half the width, z up), mm, in the order a crew takes them.
pub(crate) const PAIRS: [(&str, f64, f64, f64); 20] = [
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
pub(crate) const FLOOR: usize = 6;
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
    /// The true shell is its own mirror image to the last digit; otherwise every point is somewhere else by up to
    /// 30 mm.
    pub straight: bool,
    /// What was then done to the shell.
    pub bent: Option<Bent>,
}

/// What a knock does to a shell.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Bent {
    /// The left side is ahead of the right one by so many mm over a width of 1,000 mm.
    Racked(f64),
    /// The front is turned about x against the rear by so many degrees over a length of 1,000 mm; the left side
    /// rises.
    Twisted(f64),
    /// The right point of this pair is moved, mm ahead, left, up.
    Pair(usize, V3),
}

impl Bent {
    fn moved(self, index: usize, [x, y, z]: V3) -> V3 {
        match self {
            Bent::Racked(mm) => [x + y * mm / 1000.0, y, z],
            Bent::Twisted(degrees) => {
                let (sine, cosine) = (degrees * x / 1000.0).to_radians().sin_cos();
                [x, y * cosine - z * sine, z * cosine + y * sine]
            }
            Bent::Pair(pair, by) if index == 2 * pair + 1 => add_scaled([x, y, z], 1.0, by),
            Bent::Pair(..) => [x, y, z],
        }
    }
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
            straight: false,
            bent: None,
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
    let (points, mut truth) = shell(&mut rng);
    if options.straight {
        straighten(&mut truth);
    }
    if let Some(bent) = options.bent {
        for (index, place) in truth.iter_mut().enumerate() {
            *place = bent.moved(index, *place);
        }
    }
    let truth_mm = three_frame(&truth, DATUM[0], DATUM[1], DATUM[2]);
    read(rng, points, truth_mm, options)
}

/// The same shell read once more, by a crew that takes other lines, after points of it were moved by so many mm. The
/// frame of the truth stays; it is that of the datum points as long as these are not moved.
pub fn read_again(first: &Simulated, seed: u64, options: &Options, moved: &[(usize, V3)]) -> Simulated {
    let points = first
        .survey
        .points
        .iter()
        .map(|p| Point::named(p.label.clone()))
        .collect();
    let mut truth_mm = first.truth_mm.clone();
    for &(p, by) in moved {
        truth_mm[p] = add_scaled(truth_mm[p], 1.0, by);
    }
    read(fastrand::Rng::with_seed(seed), points, truth_mm, options)
}

/// Origin, ahead and left: floor-rear-R, floor-front-R, floor-rear-L.
const DATUM: [usize; 3] = [5, 1, 4];

fn read(rng: fastrand::Rng, points: Vec<Point>, truth_mm: Vec<V3>, options: &Options) -> Simulated {
    let labels = DATUM.map(|i| points[i].label.clone());
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
        datum: DATUM,
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

/// Makes the right side the mirror image of the left one.
fn straighten(truth: &mut [V3]) {
    for pair in 0..PAIRS.len() {
        let [x, y, z] = truth[2 * pair];
        truth[2 * pair + 1] = [x, -y, z];
    }
    for centre in &mut truth[2 * PAIRS.len()..] {
        centre[1] = 0.0;
    }
}

#[cfg(test)]
mod tests {
    use survey::Kind;

    use super::*;
    use crate::observe::distance;

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
