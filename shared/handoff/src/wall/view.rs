//! Which views there are, which points each shows, and to what scale.

use survey::{LengthUnit, Side};

use super::space::Box2;
use super::{Wall, WallPoint};

/// A flat view: what it is called, what it shows, and which way it looks.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct View {
    pub(super) kind: Kind,
    /// The points it shows, by their places in the sheet.
    pub(super) points: Vec<usize>,
}

/// From where it is looked at.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Kind {
    Plan,
    LeftSide,
    RightSide,
    Front,
    Rear,
}

impl Kind {
    /// What it is called.
    pub(super) fn title(self) -> &'static str {
        match self {
            Kind::Plan => "From above",
            Kind::LeftSide => "From the left",
            Kind::RightSide => "From the right",
            Kind::Front => "From ahead",
            Kind::Rear => "From behind",
        }
    }

    /// Which points it shows, where these are not all.
    pub(super) fn shows(self) -> &'static str {
        match self {
            Kind::Plan => "",
            Kind::LeftSide => "Points of the left side and the middle.",
            Kind::RightSide => "Points of the right side and the middle.",
            Kind::Front => "Points of the front half.",
            Kind::Rear => "Points of the rear half.",
        }
    }

    /// The directions in space that run to the right and down on paper.
    fn axes(self) -> [[f64; 3]; 2] {
        match self {
            Kind::Plan => [[0.0, -1.0, 0.0], [-1.0, 0.0, 0.0]],
            Kind::LeftSide => [[-1.0, 0.0, 0.0], [0.0, 0.0, -1.0]],
            Kind::RightSide => [[1.0, 0.0, 0.0], [0.0, 0.0, -1.0]],
            Kind::Front => [[0.0, 1.0, 0.0], [0.0, 0.0, -1.0]],
            Kind::Rear => [[0.0, -1.0, 0.0], [0.0, 0.0, -1.0]],
        }
    }

    /// A direction in space as it lies on paper, with its length.
    pub(super) fn flat(self, along: [f64; 3]) -> [f64; 2] {
        self.axes().map(|axis| (0..3).map(|k| axis[k] * along[k]).sum())
    }

    /// The axes of the frame that lie in it, by their words.
    pub(super) fn arrows(self) -> [([f64; 2], &'static str); 2] {
        let named = |along: [f64; 3], word| (self.flat(along), word);
        let (ahead, left, up) = ([1.0, 0.0, 0.0], [0.0, 1.0, 0.0], [0.0, 0.0, 1.0]);
        match self {
            Kind::Plan => [named(ahead, "ahead, x"), named(left, "left, y")],
            Kind::LeftSide | Kind::RightSide => [named(up, "up, z"), named(ahead, "ahead, x")],
            Kind::Front | Kind::Rear => [named(up, "up, z"), named(left, "left, y")],
        }
    }

    /// A covariance-like sum of squares of half axes, as its outline on paper: half axes and the angle of the first.
    pub(super) fn outline(self, axes: &[[f64; 3]; 3]) -> ([f64; 2], f64) {
        let [mut xx, mut xy, mut yy] = [0.0; 3];
        for [x, y] in axes.iter().map(|axis| self.flat(*axis)) {
            xx += x * x;
            xy += x * y;
            yy += y * y;
        }
        let (mean, half) = ((xx + yy) / 2.0, ((xx - yy) / 2.0).hypot(xy));
        let long = (mean + half).max(0.0).sqrt();
        let short = (mean - half).max(0.0).sqrt();
        ([long, short], 0.5 * (2.0 * xy).atan2(xx - yy))
    }
}

/// The views that have points, by the page they stand on.
pub(super) fn pages(wall: &Wall) -> Vec<Vec<View>> {
    let drawn: Vec<usize> = (0..wall.points.len())
        .filter(|&point| !wall.points[point].place.each().is_empty())
        .collect();
    let ahead: Vec<f64> = drawn.iter().map(|&point| first(&wall.points[point])[0]).collect();
    let [low, high] = ends(&ahead);
    let middle = (low + high) / 2.0;
    let of = |kind: Kind| {
        let shows = |point: &usize| {
            let point = &wall.points[*point];
            match kind {
                Kind::Plan => true,
                Kind::LeftSide => side(wall, point) != Side::Right,
                Kind::RightSide => side(wall, point) != Side::Left,
                Kind::Front => first(point)[0] >= middle,
                Kind::Rear => first(point)[0] < middle,
            }
        };
        View {
            kind,
            points: drawn.iter().copied().filter(shows).collect(),
        }
    };
    let pages = [
        vec![of(Kind::Plan)],
        vec![of(Kind::LeftSide), of(Kind::RightSide)],
        vec![of(Kind::Front), of(Kind::Rear)],
    ];
    pages
        .into_iter()
        .map(|views| {
            views
                .into_iter()
                .filter(|view| !view.points.is_empty())
                .collect::<Vec<_>>()
        })
        .filter(|views| !views.is_empty())
        .collect()
}

/// What the page of these views is called.
pub(super) fn title(views: &[View]) -> &'static str {
    match views {
        [view, ..] if view.kind == Kind::Plan => "Plan",
        [view, ..] if matches!(view.kind, Kind::Front | Kind::Rear) => "Ends",
        _ => "Sides",
    }
}

/// On which side a point is: as it was said, else as it lies.
fn side(wall: &Wall, point: &WallPoint) -> Side {
    point.side.unwrap_or_else(|| {
        let at = first(point);
        let across = match wall.mid_plane {
            Some(plane) => {
                let off: f64 = (0..3).map(|k| (at[k] - plane.point[k]) * plane.normal[k]).sum();
                if plane.normal[1] < 0.0 { -off } else { off }
            }
            None => {
                let all = wall.points.iter().flat_map(|point| point.place.each());
                let [low, high] = ends(&all.map(|at| at[1]).collect::<Vec<f64>>());
                at[1] - (low + high) / 2.0
            }
        };
        if across < 0.0 { Side::Right } else { Side::Left }
    })
}

fn first(point: &WallPoint) -> [f64; 3] {
    point.place.each().first().copied().unwrap_or_default()
}

fn ends(values: &[f64]) -> [f64; 2] {
    values
        .iter()
        .fold([f64::INFINITY, f64::NEG_INFINITY], |[low, high], &value| {
            [low.min(value), high.max(value)]
        })
}

/// How the places of a view lie on paper.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Projection {
    pub(super) kind: Kind,
    /// The scale is one to this.
    pub(super) denominator: f64,
    /// Where the zero of the frame is on paper.
    pub(super) zero: [f64; 2],
}

impl Projection {
    /// Where a place is on paper.
    pub(super) fn on_paper(&self, at: [f64; 3]) -> [f64; 2] {
        let [x, y] = self.kind.flat(at);
        [
            self.zero[0] + x / self.denominator,
            self.zero[1] + y / self.denominator,
        ]
    }

    /// The same in the middle of a box.
    pub(super) fn centred(view: &View, wall: &Wall, denominator: f64, within: Box2) -> Projection {
        let [left, top, right, bottom] = extent(view, wall);
        Projection {
            kind: view.kind,
            denominator,
            zero: [
                (within[0] + within[2] - (left + right) / denominator) / 2.0,
                (within[1] + within[3] - (top + bottom) / denominator) / 2.0,
            ],
        }
    }
}

/// The box of all places of a view, at full size.
pub(super) fn extent(view: &View, wall: &Wall) -> Box2 {
    let flat: Vec<[f64; 2]> = view
        .points
        .iter()
        .flat_map(|&point| wall.points[point].place.each())
        .map(|at| view.kind.flat(at))
        .collect();
    let along = |axis: usize| ends(&flat.iter().map(|at| at[axis]).collect::<Vec<f64>>());
    let ([left, right], [top, bottom]) = (along(0), along(1));
    [left, top, right, bottom]
}

/// Scales that a crew has on a rule: one to this.
fn denominators(unit: LengthUnit) -> Vec<f64> {
    let round: &[f64] = match unit {
        LengthUnit::Millimetre => &[1.0, 2.0, 5.0, 10.0, 20.0, 25.0, 50.0, 100.0, 200.0, 250.0, 500.0],
        LengthUnit::Inch => &[
            1.0, 2.0, 3.0, 4.0, 6.0, 8.0, 12.0, 16.0, 24.0, 32.0, 48.0, 64.0, 96.0, 128.0, 192.0, 384.0,
        ],
    };
    let beyond = (0..8).map(|power| 1000.0 * 10.0_f64.powi(power));
    round.iter().copied().chain(beyond).collect()
}

/// The largest scale to which all of these fit into a room of that width and height, mm.
pub(super) fn scale(unit: LengthUnit, views: &[View], wall: &Wall, [width, height]: [f64; 2]) -> f64 {
    let fits = |denominator: &f64| {
        views.iter().all(|view| {
            let [left, top, right, bottom] = extent(view, wall);
            (right - left) / denominator <= width && (bottom - top) / denominator <= height
        })
    };
    let all = denominators(unit);
    let last = all.last().copied().unwrap_or(1.0);
    all.into_iter().find(fits).unwrap_or(last)
}

/// A scale in words: `1:20`.
pub(super) fn scale_words(denominator: f64) -> String {
    format!("1:{denominator:.0}")
}
