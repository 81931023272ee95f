//! What is asked for on request: zero offsets as unknowns, and deviations scaled by the variance found.

use adjust::{Outcome, Settings, adjust};
use survey::{Instrument, InstrumentKind, Kind};
use trials::shell::{Options, simulate};

#[test]
fn a_zero_offset_is_taken_up_where_it_is_an_unknown() {
    for seed in 0..10 {
        let mut made = simulate(seed, &Options::default());
        let clean = made.survey.clone();
        made.survey
            .instruments
            .push(Instrument::named("short tape", InstrumentKind::Tape));
        for reading in made
            .survey
            .readings
            .iter_mut()
            .filter(|r| r.kind == Kind::Tape)
            .step_by(2)
        {
            reading.instrument = Some(0);
            reading.observed -= 5.0;
        }
        let settings = Settings {
            frame: Some(made.frame()),
            ..Settings::default()
        };
        let without = adjust(&made.survey, &settings).expect("solved");
        let with = adjust(
            &made.survey,
            &Settings {
                estimate_offsets: true,
                ..settings.clone()
            },
        )
        .expect("solved");
        let truth = adjust(&clean, &settings).expect("solved");
        assert!(
            without.summary.chi_square_all > 3.0 * with.summary.chi_square_all,
            "seed {seed}"
        );
        assert_eq!(
            with.summary.degrees_of_freedom + 1,
            truth.summary.degrees_of_freedom,
            "seed {seed}"
        );
        for (ours, theirs) in with.points.iter().zip(&truth.points) {
            let covariance = ours.covariance_mm2.expect("pinned down");
            for k in 0..3 {
                let (a, b) = (
                    ours.coordinates_mm[k].expect("known"),
                    theirs.coordinates_mm[k].expect("known"),
                );
                let sd = covariance[k][k].max(0.0).sqrt();
                assert!(
                    (a - b).abs() < 4.0 * sd + 1e-6,
                    "seed {seed}: {a} against {b}, sd {sd}"
                );
            }
        }
    }
}

#[test]
fn scaled_deviations_follow_the_variance_found() {
    let mut made = simulate(3, &Options::default());
    let settings = Settings {
        frame: Some(made.frame()),
        scale: true,
        ..Settings::default()
    };
    let honest = adjust(&made.survey, &settings).expect("solved");
    assert_eq!(honest.outcome, Outcome::Fits);
    // Twice as sure as they are: the variance found is four times what it was, the scaled covariance the same.
    for reading in &mut made.survey.readings {
        reading.sd /= 2.0;
        reading.state = survey::State::Kept;
    }
    let boastful = adjust(&made.survey, &settings).expect("solved");
    let ratio =
        boastful.summary.variance_factor.expect("checked") / honest.summary.variance_factor.expect("checked");
    assert!((ratio - 4.0).abs() < 1e-6, "{ratio}");
    let at =
        |adjustment: &adjust::Adjustment| adjustment.points[20].covariance_mm2.expect("pinned down")[2][2];
    assert!((at(&boastful) / at(&honest) - 1.0).abs() < 1e-6);
    let (a, b) = (
        honest.distance(3, 20).expect("known"),
        boastful.distance(3, 20).expect("known"),
    );
    assert!((a.value - b.value).abs() < 1e-6 && (a.sd / b.sd - 1.0).abs() < 1e-6);
}
