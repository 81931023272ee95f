//! Is the shell straight? Verdicts on straight shells are wrong one time in twenty, bent ones are found with the
//! right amount, and the frame changes nothing.
#![allow(clippy::unwrap_used, reason = "a test binary: a panic is how it fails")]

use adjust::{Adjustment, Settings, Symmetry, Tested};
use survey::{Frame, Side, Survey};
use trials::every::every;
use trials::observe::{V3, distance};
use trials::shell::{Bent, Options, Simulated, simulate};

fn shell(seed: u64, bent: Option<Bent>) -> Simulated {
    simulate(
        seed,
        &Options {
            rough: Some(40.0),
            sides: true,
            straight: true,
            bent,
            ..Options::default()
        },
    )
}

fn solve(survey: &Survey, frame: Option<Frame>) -> Adjustment {
    let settings = Settings {
        frame,
        ..Settings::default()
    };
    adjust::adjust(survey, &settings).unwrap()
}

fn symmetry(made: &Simulated) -> Symmetry {
    solve(&made.survey, Some(made.frame())).symmetry.unwrap()
}

fn share(verdicts: impl Iterator<Item = bool>) -> f64 {
    let (said, all) = verdicts.fold((0.0, 0.0), |(said, all), verdict| {
        (said + f64::from(u8::from(verdict)), all + 1.0)
    });
    said / all
}

/// The first eight pairs with the readings between them: a quarter of the work.
fn eight_pairs(seed: u64) -> Simulated {
    let mut made = shell(seed, None);
    made.survey.points.truncate(16);
    made.survey.readings.retain(|r| r.points.iter().all(|&p| p < 16));
    made
}

#[test]
fn a_straight_shell_is_accused_one_time_in_twenty() {
    const SHELLS: u64 = 4000;
    let found = every(0..SHELLS, |seed| symmetry(&eight_pairs(seed)));
    let pairs = share(found.iter().flat_map(|s| &s.pairs).map(|p| p.significant));
    let diagonals = share(
        found
            .iter()
            .flat_map(|s| &s.diagonals)
            .map(|d| d.difference_mm.significant),
    );
    let racked = share(found.iter().map(|s| s.racked_mm.unwrap().significant));
    let twisted = share(found.iter().map(|s| s.twisted.unwrap().significant));
    let standing_out = share(found.iter().map(|s| s.pairs.iter().any(|p| p.stands_out)));
    println!(
        "pairs {pairs:.4}, diagonals {diagonals:.4}, racked {racked:.4}, twisted {twisted:.4}, \
         a pair stands out {standing_out:.4}"
    );
    // Of 4,000 verdicts the standard error of the share is 0.0034: ±0.01 is nearly three of them.
    for (what, share) in [
        ("pairs", pairs),
        ("diagonals", diagonals),
        ("racked", racked),
        ("twisted", twisted),
        ("a pair stands out", standing_out),
    ] {
        assert!((share - 0.05).abs() < 0.01, "{what}: {share}");
    }
    // The deviations are those of the amounts, not only of their verdicts.
    for (what, amount) in [
        ("racked", (|s| s.racked_mm.unwrap()) as fn(&Symmetry) -> Tested),
        ("twisted", |s| s.twisted.unwrap()),
    ] {
        let square = found
            .iter()
            .map(|s| (amount(s).value / amount(s).sd).powi(2))
            .sum::<f64>()
            / SHELLS as f64;
        // The mean square of 4,000 standard normal values has a standard error of 0.022.
        assert!((square - 1.0).abs() < 0.08, "{what}: mean square {square}");
    }
    // And of whole shells, where a standard error is 0.004 at most.
    let found = every(0..200, |seed| symmetry(&shell(seed, None)));
    // A point may come out with two places: the readings are random. Its pair is then not compared.
    let (compared, diagonals) = found.iter().fold((0, 0), |(pairs, diagonals), s| {
        assert!(s.diagonals.len() <= 10);
        (pairs + s.pairs.len(), diagonals + s.diagonals.len())
    });
    assert!(
        compared >= 200 * 20 - 20 && diagonals >= 200 * 10 - 20,
        "{compared} {diagonals}"
    );
    let pairs = share(found.iter().flat_map(|s| &s.pairs).map(|p| p.significant));
    println!("whole shells: pairs {pairs:.4}");
    assert!((pairs - 0.05).abs() < 0.01, "whole shells, pairs: {pairs}");
}

/// How far amounts are from the true ones, in their own standard deviations: mean and mean square.
fn held_against(found: &[(f64, Tested)]) -> (f64, f64) {
    let n = found.len() as f64;
    let off = || {
        found
            .iter()
            .map(|(truth, found)| (found.value - truth) / found.sd)
    };
    (off().sum::<f64>() / n, off().map(|u| u * u).sum::<f64>() / n)
}

/// The mean width of the pairs and the length that they span, in the truth of a straight shell.
fn width_and_length(made: &Simulated) -> (f64, f64) {
    let pairs: Vec<[V3; 2]> = made.truth_mm[..40].chunks(2).map(|p| [p[0], p[1]]).collect();
    let width = pairs.iter().map(|&[l, r]| distance(l, r)).sum::<f64>() / 20.0;
    // The datum points are the floor's, so x runs along the right side: a degree or two in its direction is nothing
    // to the length.
    let along = || pairs.iter().map(|[l, r]| 0.5 * (l[0] + r[0]));
    let length = along().fold(f64::MIN, f64::max) - along().fold(f64::MAX, f64::min);
    (width, length)
}

#[test]
fn a_racked_shell_is_found_with_the_right_amount() {
    let found = every(0..150, |seed| {
        let (width, _) = width_and_length(&shell(seed, None));
        (
            12.0 * width / 1000.0,
            symmetry(&shell(seed, Some(Bent::Racked(12.0)))),
        )
    });
    let racked: Vec<(f64, Tested)> = found.iter().map(|(t, s)| (*t, s.racked_mm.unwrap())).collect();
    let (mean, square) = held_against(&racked);
    println!(
        "racked: mean {mean:.3}, mean square {square:.3}, sd {:.2} mm",
        racked[0].1.sd
    );
    // Standard errors 0.082 and 0.115.
    assert!(mean.abs() < 0.3 && (square - 1.0).abs() < 0.4, "{mean} {square}");
    assert!(share(racked.iter().map(|(_, t)| t.significant)) > 0.99);
    let longer = share(
        found
            .iter()
            .flat_map(|(_, s)| &s.diagonals)
            .map(|d| d.difference_mm.value > 0.0),
    );
    assert!(
        longer > 0.99,
        "the diagonal from the side that is ahead is longer: {longer}"
    );
    let twisted = share(found.iter().map(|(_, s)| s.twisted.unwrap().significant));
    assert!(twisted < 0.12, "a rack is no twist: {twisted}");
}

#[test]
fn a_twisted_shell_is_found_with_the_right_amount() {
    let found = every(0..150, |seed| {
        let (_, length) = width_and_length(&shell(seed, None));
        (
            (0.3 * length / 1000.0).to_radians(),
            symmetry(&shell(seed, Some(Bent::Twisted(0.3)))).twisted.unwrap(),
        )
    });
    let (mean, square) = held_against(&found);
    println!(
        "twisted: mean {mean:.3}, mean square {square:.3}, sd {:.3}°",
        found[0].1.sd.to_degrees()
    );
    assert!(mean.abs() < 0.3 && (square - 1.0).abs() < 0.4, "{mean} {square}");
    assert!(share(found.iter().map(|(_, t)| t.significant)) > 0.99);
}

fn statistic(pair: &adjust::PairOff) -> f64 {
    trials::rigid::mahalanobis(pair.covariance_mm2, pair.off_mm).unwrap_or(0.0)
}

#[test]
fn one_bent_corner_is_named() {
    for seed in 0..40 {
        let pair = seed as usize % 20;
        let by = [[15.0, 0.0, 0.0], [0.0, 15.0, 0.0], [0.0, 0.0, -15.0]][seed as usize % 3];
        let found = symmetry(&shell(seed, Some(Bent::Pair(pair, by))));
        let worst = found
            .pairs
            .iter()
            .max_by(|a, b| statistic(a).total_cmp(&statistic(b)))
            .unwrap();
        assert_eq!((worst.left, worst.right), (2 * pair, 2 * pair + 1), "seed {seed}");
        assert!(worst.significant && worst.stands_out, "seed {seed}");
        for k in 0..3 {
            // The other nineteen hold the plane, all but a tenth or two.
            let sd = worst.covariance_mm2[k][k].sqrt();
            assert!(
                (worst.off_mm[k] - by[k]).abs() < 4.0 * sd + 3.0,
                "seed {seed}: {:?} for {by:?}",
                worst.off_mm
            );
        }
    }
}

fn same(one: &Symmetry, other: &Symmetry, tolerance: f64, what: &str) {
    assert_eq!(one.pairs.len(), other.pairs.len(), "{what}");
    for (p, q) in one.pairs.iter().zip(&other.pairs) {
        assert_eq!(
            (p.left, p.right, p.significant),
            (q.left, q.right, q.significant),
            "{what}"
        );
        for k in 0..3 {
            assert!(
                (p.off_mm[k] - q.off_mm[k]).abs() < tolerance,
                "{what}: {p:?} {q:?}"
            );
            let (a, b) = (p.covariance_mm2[k][k], q.covariance_mm2[k][k]);
            assert!((a - b).abs() < tolerance * (1.0 + a), "{what}: {p:?} {q:?}");
        }
    }
    assert_eq!(one.diagonals.len(), other.diagonals.len(), "{what}");
    for (p, q) in one.diagonals.iter().zip(&other.diagonals) {
        assert_eq!((p.one, p.other), (q.one, q.other), "{what}");
        let (p, q) = (p.difference_mm, q.difference_mm);
        assert!(
            (p.value - q.value).abs() < 1e-6 && (p.sd - q.sd).abs() < 1e-6,
            "{what}"
        );
    }
    let amounts = [(one.racked_mm, other.racked_mm), (one.twisted, other.twisted)];
    for (p, q) in amounts.map(|(p, q)| (p.unwrap(), q.unwrap())) {
        assert_eq!(p.significant, q.significant, "{what}");
        assert!((p.value - q.value).abs() < tolerance, "{what}: {p:?} {q:?}");
        assert!((p.sd - q.sd).abs() < tolerance, "{what}: {p:?} {q:?}");
    }
}

#[test]
fn the_frame_changes_nothing() {
    for (seed, bent) in [
        (1, None),
        (2, Some(Bent::Racked(9.0))),
        (3, Some(Bent::Twisted(0.4))),
    ] {
        let made = shell(seed, bent);
        let label = |i: usize| made.survey.points[i].label.clone();
        let one = symmetry(&made);
        let (origin, ahead) = (label(5), label(1));
        let with = |frame: Frame| solve(&made.survey, Some(frame)).symmetry.unwrap();
        let centreline = with(Frame::Centreline {
            origin: origin.clone(),
            ahead: ahead.clone(),
            above: label(16),
        });
        same(&one, &centreline, 1e-6, "centreline");
        let another_left = with(Frame::Three {
            origin: origin.clone(),
            ahead: ahead.clone(),
            left: label(16),
        });
        same(&one, &another_left, 1e-6, "another left");
        // The plumb line leans by 1.5 degrees against the floor frame, and so do x and z: 26 mm in a metre.
        let plumb = with(Frame::Plumb {
            origin,
            ahead,
            left: label(4),
        });
        same(&one, &plumb, 0.5, "plumb");
        for (p, q) in one.pairs.iter().zip(&plumb.pairs) {
            assert!((p.off_mm[1] - q.off_mm[1]).abs() < 1e-6);
            let square = |off: [f64; 3]| off.iter().map(|x| x * x).sum::<f64>();
            assert!((square(p.off_mm) - square(q.off_mm)).abs() < 1e-6);
        }
        // A bench that holds the shell by three points where they were found, and by nothing more.
        let free = solve(&made.survey, Some(made.frame()));
        let mut held = made.survey.clone();
        for (p, axes) in [
            (5, [true; 3]),
            (1, [false, true, true]),
            (4, [false, false, true]),
        ] {
            held.points[p].rough_mm = free.points[p].coordinates_mm;
            held.points[p].fixed = axes;
        }
        for frame in [Some(Frame::Bench), None] {
            same(&one, &solve(&held, frame).symmetry.unwrap(), 1e-5, "bench");
        }
    }
}

#[test]
fn without_a_frame_ahead_is_along_the_shell_and_up_is_up() {
    for seed in 0..20 {
        let made = shell(seed, Some(Bent::Pair(11, [20.0, 0.0, 0.0])));
        let solved = solve(&made.survey, None);
        // The frame that is chosen agrees with the rough positions about what is up.
        assert_eq!(solved.problems, Vec::<String>::new(), "seed {seed}");
        let off = solved.symmetry.unwrap().pairs[11].off_mm;
        assert!(
            (off[0] - 20.0).abs() < 9.0 && off[2].abs() < 9.0,
            "seed {seed}: {off:?}"
        );
    }
}

#[test]
fn left_is_where_the_points_lie() {
    // Sides exchanged on the paper for one pair: it is still told with its left point first. Sides that are not
    // told at all are seen from the frame.
    let mut made = shell(4, Some(Bent::Racked(9.0)));
    let one = symmetry(&made);
    for (p, side) in [(12, Side::Right), (13, Side::Left)] {
        made.survey.points[p].side = Some(side);
    }
    same(&one, &symmetry(&made), 1e-6, "one pair exchanged");
    for point in &mut made.survey.points {
        point.side = None;
    }
    same(&one, &symmetry(&made), 1e-6, "no sides");
}

#[test]
fn what_is_not_pinned_down_is_left_out() {
    let options = Options {
        rough: Some(40.0),
        sides: true,
        straight: true,
        loose: true,
        ..Options::default()
    };
    let made = simulate(5, &options);
    let special = made.special.unwrap();
    let found = symmetry(&made);
    assert_eq!(found.pairs.len(), 19);
    assert!(
        found
            .pairs
            .iter()
            .all(|p| p.left != special && p.right != special)
    );

    let mut few = made.clone();
    few.survey.points[4..].iter_mut().for_each(|p| p.mirror = None);
    assert_eq!(symmetry(&few).pairs.len(), 2);
    few.survey.points[2..].iter_mut().for_each(|p| p.mirror = None);
    assert_eq!(solve(&few.survey, Some(made.frame())).symmetry, None);
}

#[test]
fn two_pairs_are_judged_by_what_they_can_show() {
    // Two pairs share three degrees of freedom: neither has three directions of its own.
    let found = every(0..1500, |seed| {
        let mut made = eight_pairs(seed);
        for (p, point) in made.survey.points.iter_mut().enumerate() {
            if !matches!(p, 0 | 1 | 4 | 5) {
                point.mirror = None;
            }
        }
        symmetry(&made)
    });
    let pairs = share(found.iter().flat_map(|s| &s.pairs).map(|p| p.significant));
    let racked = share(found.iter().map(|s| s.racked_mm.unwrap().significant));
    let twisted = share(found.iter().map(|s| s.twisted.unwrap().significant));
    println!("two pairs: {pairs:.4}, racked {racked:.4}, twisted {twisted:.4}");
    for share in [pairs, racked, twisted] {
        // Standard error 0.0056.
        assert!((share - 0.05).abs() < 0.02, "{share}");
    }
}
