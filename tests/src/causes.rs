//! Surveys with one cause that several readings share.

use adjust::Slip;
use survey::{INCH_MM, Instrument, InstrumentKind, Kind, ReadFrom};

use crate::observe::{V3, gauss, true_value, unit};
use crate::shell::{Options, Simulated, simulate};

/// A shared cause to plant.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Shared {
    /// A mark moves by 15 to 60 mm.
    MovedMark,
    /// Two labels are exchanged in a run of rows.
    LabelsExchanged,
    /// A point is taken for its mirror partner in a run of rows.
    MirrorPoint,
    /// A run of rows is read from the 1 inch mark.
    Run,
    /// One person's readings are all read from the 1 inch mark.
    Person,
    /// An instrument adds 3 to 30 mm to whatever it reads.
    Instrument,
    /// The toggle "from the 1 inch mark" is forgotten for a run within rows where it is on.
    ForgottenFrom,
}

impl Shared {
    /// Every one.
    pub const ALL: [Shared; 7] = [
        Shared::MovedMark,
        Shared::LabelsExchanged,
        Shared::MirrorPoint,
        Shared::Run,
        Shared::Person,
        Shared::Instrument,
        Shared::ForgottenFrom,
    ];

    /// What it is called.
    pub fn slip(self) -> Slip {
        match self {
            Shared::MovedMark => Slip::MovedMark,
            Shared::LabelsExchanged => Slip::LabelsExchanged,
            Shared::MirrorPoint => Slip::MirrorPoint,
            Shared::Run | Shared::Person | Shared::Instrument => Slip::WholeSheet,
            Shared::ForgottenFrom => Slip::FromForgotten,
        }
    }
}

/// A simulated survey with a shared cause; `slips` are the readings it acts on, and by how much.
pub fn plant(seed: u64, shared: Shared) -> Simulated {
    let options = Options {
        sides: true,
        ..Options::default()
    };
    let mut made = simulate(seed, &options);
    let mut rng = fastrand::Rng::with_seed(seed ^ 0xca_05e5);
    match shared {
        Shared::MovedMark => moved_mark(&mut made, &mut rng),
        Shared::LabelsExchanged | Shared::MirrorPoint => labels(&mut made, &mut rng, shared),
        Shared::Run => {
            let tapes = tapes(&made);
            let run = run(&mut rng, tapes.len(), 15..50);
            add(&mut made, &tapes[run], INCH_MM);
        }
        Shared::Person => {
            for reading in &mut made.survey.readings {
                reading.by = if rng.u8(..3) == 0 { "second" } else { "first" }.to_owned();
            }
            let own: Vec<usize> = tapes(&made)
                .into_iter()
                .filter(|&i| made.survey.readings[i].by == "second")
                .collect();
            add(&mut made, &own, INCH_MM);
        }
        Shared::Instrument => {
            for name in ["tape one", "tape two"] {
                made.survey
                    .instruments
                    .push(Instrument::named(name, InstrumentKind::Tape));
            }
            let tapes = tapes(&made);
            for &i in &tapes {
                made.survey.readings[i].instrument = Some(usize::from(rng.u8(..3) == 0));
            }
            let own: Vec<usize> = tapes
                .into_iter()
                .filter(|&i| made.survey.readings[i].instrument == Some(1))
                .collect();
            let size = 3.0 + 27.0 * rng.f64();
            add(&mut made, &own, size);
        }
        Shared::ForgottenFrom => {
            let tapes = tapes(&made);
            let on = run(&mut rng, tapes.len(), 30..60);
            let off = run(&mut rng, on.len() - 6, 5..12);
            for &i in &tapes[on.clone()] {
                made.survey.readings[i].from = ReadFrom::BurnInch;
                made.survey.readings[i].read += INCH_MM;
            }
            let off: Vec<usize> = tapes[on.start + 3 + off.start..on.start + 3 + off.end].to_vec();
            for &i in &off {
                made.survey.readings[i].from = ReadFrom::Hook;
                made.survey.readings[i].read -= INCH_MM;
            }
            add(&mut made, &off, INCH_MM);
        }
    }
    made
}

fn tapes(made: &Simulated) -> Vec<usize> {
    (0..made.survey.readings.len())
        .filter(|&i| made.survey.readings[i].kind == Kind::Tape)
        .collect()
}

/// A run of so many of so many.
fn run(rng: &mut fastrand::Rng, of: usize, length: std::ops::Range<usize>) -> std::ops::Range<usize> {
    let length = rng.usize(length).min(of);
    let start = rng.usize(..=of - length);
    start..start + length
}

/// Adds to what was read.
fn add(made: &mut Simulated, readings: &[usize], amount: f64) {
    for &i in readings {
        let one = &mut made.survey.readings[i];
        one.observed += amount;
        one.read += amount;
        made.slips.push((i, amount));
    }
}

fn places(made: &Simulated, points: &[usize]) -> Vec<V3> {
    points.iter().map(|&p| made.truth_mm[p]).collect()
}

/// What a reading's truth changes by when its points lie elsewhere. The shell of [`simulate`] leans by little, which
/// is a change of the second order.
fn change(kind: Kind, from: &[V3], to: &[V3]) -> f64 {
    let up = [0.0, 0.0, 1.0];
    true_value(kind, to, up) - true_value(kind, from, up)
}

fn moved_mark(made: &mut Simulated, rng: &mut fastrand::Rng) {
    let readings_at = |made: &Simulated, p: usize| -> Vec<usize> {
        (0..made.survey.readings.len())
            .filter(|&i| made.survey.readings[i].points.contains(&p))
            .collect()
    };
    let (point, readings) = loop {
        let p = rng.usize(6..made.truth_mm.len());
        let readings = readings_at(made, p);
        if readings.len() >= 9 {
            break (p, readings);
        }
    };
    let shift = unit([gauss(rng), gauss(rng), gauss(rng)]).map(|x| x * (15.0 + 45.0 * rng.f64()));
    let first = rng.usize(readings.len() / 2 + 1..readings.len() - 2);
    for &i in &readings[first..] {
        let points = made.survey.readings[i].points.clone();
        let before = places(made, &points);
        let after: Vec<V3> = points
            .iter()
            .zip(&before)
            .map(|(&p, &at)| {
                if p == point {
                    [at[0] + shift[0], at[1] + shift[1], at[2] + shift[2]]
                } else {
                    at
                }
            })
            .collect();
        let by = change(made.survey.readings[i].kind, &before, &after);
        add(made, &[i], by);
    }
}

/// The readings stay as they are; their labels are not those of the points that were read.
fn labels(made: &mut Simulated, rng: &mut fastrand::Rng, shared: Shared) {
    loop {
        let a = rng.usize(6..40);
        let b = match shared {
            Shared::MirrorPoint => a ^ 1,
            _ => rng.usize(6..made.truth_mm.len()),
        };
        let rows = run(rng, made.survey.readings.len(), 40..90);
        let touched: Vec<usize> = rows
            .filter(|&i| {
                let points = &made.survey.readings[i].points;
                let at_a = points.contains(&a);
                let at_b = points.contains(&b) && shared == Shared::LabelsExchanged;
                (at_a || at_b) && !(points.contains(&a) && points.contains(&b))
            })
            .collect();
        let of_b = touched
            .iter()
            .filter(|&&i| made.survey.readings[i].points.contains(&b))
            .count();
        let of_a = touched.len() - of_b;
        let readings_at = |p: usize| {
            made.survey
                .readings
                .iter()
                .filter(|reading| reading.points.contains(&p))
                .count()
        };
        let few = |p: usize, here: usize| here >= 2 && 3 * here <= readings_at(p);
        if a == b || !few(a, of_a) || shared == Shared::LabelsExchanged && !few(b, of_b) {
            continue;
        }
        for i in touched {
            let points = made.survey.readings[i].points.clone();
            let said: Vec<usize> = points
                .iter()
                .map(|&p| {
                    if p == a {
                        b
                    } else if p == b && shared == Shared::LabelsExchanged {
                        a
                    } else {
                        p
                    }
                })
                .collect();
            let kind = made.survey.readings[i].kind;
            let by = change(kind, &places(made, &said), &places(made, &points));
            made.survey.readings[i].points = said;
            made.slips.push((i, by));
        }
        return;
    }
}
