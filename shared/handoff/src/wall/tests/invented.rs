//! Invented shells to be drawn.

use survey::{LengthUnit, Side};

use crate::wall::*;

/// A point that is pinned down, with an ellipsoid.
pub(super) fn fixed(label: &str, at: [f64; 3]) -> WallPoint {
    let text = |mm: f64| Figure {
        value: Some(format!("{mm:.1}")),
        half_width_95: Some("1.4".to_owned()),
    };
    WallPoint {
        label: label.to_owned(),
        side: None,
        place: Place::Fixed {
            at,
            axes_95_mm: Some([[3.0, 0.5, 0.0], [0.0, 1.5, 0.4], [0.0, 0.0, 1.0]]),
        },
        rows: vec![at.map(text)],
        remarks: Vec::new(),
    }
}

fn sheet_of(points: Vec<WallPoint>) -> Wall {
    let neighbours = (1..points.len()).map(|point| [point - 1, point]).collect();
    Wall {
        job: "invented shell".to_owned(),
        cells: TitleCells {
            frame: "Centreline".to_owned(),
            epoch: "as found".to_owned(),
            last_read: Some(Day { year: 2026, month: 4, day: 3 }),
            readings: 187,
        },
        unit: LengthUnit::Millimetre,
        points,
        outline: neighbours,
        suspects: Vec::new(),
        mid_plane: Some(MidPlane { point: [0.0; 3], normal: [0.0, 1.0, 0.0] }),
        axes: vec!["y = 0 is the middle of the mirror pairs.".to_owned()],
        stamp: "3 readings held out, 12 unchecked. Measured, not approved.".to_owned(),
        caution: "A cage holds a life. These are measurements; Trammel does not design or certify. Follow the rules \
                  of your sanctioning body, local law and a qualified engineer or welder."
            .to_owned(),
    }
}

/// 20 mirror pairs and 4 points of the middle, in the places of a small saloon.
pub(super) fn shell() -> Wall {
    let pairs = [
        ("sill-rear", 0.0, 640.0, 0.0),
        ("sill-mid", 660.0, 650.0, 2.0),
        ("sill-front", 1320.0, 645.0, 4.0),
        ("floor-rear", 120.0, 330.0, 35.0),
        ("floor-front", 1230.0, 335.0, 30.0),
        ("seat-bolt-rear", 380.0, 420.0, 60.0),
        ("seat-bolt-front", 770.0, 415.0, 66.0),
        ("hoop-foot", 60.0, 520.0, 20.0),
        ("lock-pillar", -40.0, 690.0, 520.0),
        ("roof-rear", -180.0, 480.0, 1090.0),
        ("screen-foot", 1490.0, 590.0, 660.0),
        ("screen-top", 850.0, 500.0, 1100.0),
        ("firewall-low", 1480.0, 400.0, 90.0),
        ("strut-front", 1890.0, 470.0, 640.0),
        ("rail-tip-front", 2510.0, 400.0, 310.0),
        ("rear-arch", -310.0, 600.0, 330.0),
        ("strut-rear", -480.0, 470.0, 560.0),
        ("rail-tip-rear", -1010.0, 430.0, 300.0),
        ("door-hinge-low", 1400.0, 660.0, 240.0),
        ("door-hinge-high", 1410.0, 665.0, 520.0),
    ];
    let mut points = Vec::new();
    for (name, x, y, z) in pairs {
        for (letter, side, sign) in [("L", Side::Left, 1.0), ("R", Side::Right, -1.0)] {
            let mut point = fixed(
                &format!("{name}-{letter}"),
                [x + sign * 1.3, sign * y, z + sign * 2.1],
            );
            point.side = Some(side);
            points.push(point);
        }
    }
    for (name, x, z) in [
        ("roof-front", 880.0, 1130.0),
        ("cowl", 1600.0, 700.0),
        ("tail", -1050.0, 330.0),
        ("tunnel", 700.0, 150.0),
    ] {
        let mut point = fixed(name, [x, 3.0, z]);
        point.side = Some(Side::Centre);
        points.push(point);
    }
    sheet_of(points)
}

/// The same with one of each doubt that is drawn.
pub(super) fn with_doubts() -> Wall {
    let mut wall = shell();
    let at = |wall: &Wall, place: usize| wall.points[place].place.each()[0];
    let (a, b) = (at(&wall, 4), at(&wall, 20));
    wall.suspects = vec![SuspectLine {
        name: "r041".to_owned(),
        points: vec![4, 20],
        path: vec![a, b],
    }];
    let loose = at(&wall, 10);
    wall.points[10].place = Place::Loose {
        at: loose,
        directions: vec![[0.6, 0.8, 0.0]],
    };
    wall.points[10].rows = Vec::new();
    let [x, y, z] = at(&wall, 13);
    wall.points[13].place = Place::Two([[x, y, z], [x - 40.0, y - 25.0, z - 190.0]]);
    wall.points[13].rows.push(Row::default());
    wall.points[15].place = Place::Nowhere;
    wall.points[15].rows = Vec::new();
    wall.points[15].remarks = vec!["No place yet. Tape it from three points.".to_owned()];
    wall
}

/// So many points anywhere in a box.
pub(super) fn random(count: usize, seed: u64) -> Wall {
    let mut random = fastrand::Rng::with_seed(seed);
    let mut within = |low: f64, high: f64| low + (high - low) * random.f64();
    let points = (0..count)
        .map(|number| {
            let at = [within(-800.0, 2900.0), within(-750.0, 750.0), within(0.0, 1250.0)];
            fixed(&format!("point-{number}"), at)
        })
        .collect();
    sheet_of(points)
}
