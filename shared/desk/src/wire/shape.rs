//! Everything that a drawing of the shell needs, as JSON: places and lines in mm, in the frame of the answer. What is
//! not known is `null`.

use serde::Serialize;

use super::{DoubtKind, FrameWire, QuantityWord};

/// A shell to be drawn.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(test, derive(ts_rs::TS))]
pub struct ShapeShown {
    /// The points, in the order of the job.
    pub points: Vec<ShapePoint>,
    /// The readings as lines, in the order in which they were logged.
    pub lines: Vec<ShapeLine>,
    /// Which points hang together for the eye, each pair once: the relative neighbourhood graph of the points that are
    /// pinned down, with the mirror image of each of its edges. Nobody measured these lines, and they need not be edges
    /// of the shell.
    pub outline: Vec<[String; 2]>,
    /// The best mid-plane of the mirror pairs; `null` where fewer than two pairs are pinned down.
    pub plane: Option<PlaneWire>,
    /// The point that is known least of those pinned down: the one with the longest 95 % ellipsoid.
    pub worst: Option<String>,
    /// The axes; `null` where nothing is solved.
    pub frame: Option<FrameWire>,
    /// What all places lie in; `null` where no point has a place.
    #[serde(rename = "box")]
    pub extent: Option<Extent>,
    /// The epochs that have readings, in the order in which they began; an empty name is what was read before any was
    /// named.
    pub epochs: Vec<String>,
    /// The epoch that is shown.
    pub epoch: String,
    /// Who read the lines, in the order in which they come.
    pub people: Vec<String>,
    /// The stands of the lines.
    pub stands: Vec<String>,
    /// The instruments of the lines.
    pub instruments: Vec<String>,
    /// Why no point is determined yet, in words.
    pub unsolved: Option<String>,
}

/// A point to be drawn.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(test, derive(ts_rs::TS))]
pub struct ShapePoint {
    /// Its label.
    pub label: String,
    /// On which side it is, where that was said.
    pub side: Option<SideWord>,
    /// Its mirror partner.
    pub mirror: Option<String>,
    /// Whether the readings pin it down.
    pub status: ShapeStatus,
    /// Where to draw it. Of a loose point, where the solve ended; of one with two places, the first; of one that the
    /// readings do not place, the rough place that was typed, laid on the others where enough of them have one too.
    pub place: Option<[f64; 3]>,
    /// Whether that is only the rough place.
    pub is_rough: bool,
    /// Both places of a point with two.
    pub places: Option<[[f64; 3]; 2]>,
    /// Standard deviations along the axes of the frame. ± at 95 % is 1.96 times that.
    pub sd_mm: Option<[f64; 3]>,
    /// The semi-axes of its 95 % ellipsoid as vectors, longest first.
    pub axes_95_mm: Option<[[f64; 3]; 3]>,
    /// Unit vectors along which a loose point can move.
    pub directions: Vec<[f64; 3]>,
    /// Which way it is known least; `null` where it is known exactly or not at all.
    pub weakest: Option<Weakest>,
    /// How it lies to its mirror partner; `null` where one of the two is not pinned down.
    pub off_mirror: Option<OffMirror>,
    /// The gravest doubt that names it.
    pub doubt: Option<DoubtKind>,
    /// The readings that name it, those set aside too.
    pub readings: Vec<String>,
    /// How many of these are held out.
    pub held_out: usize,
    /// How many photos show it: those of it, and those with a pin on it.
    pub photos: usize,
}

/// Which way a point is known least.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
#[cfg_attr(test, derive(ts_rs::TS))]
pub struct Weakest {
    /// The axis of the frame that is nearest to the longest semi-axis of its ellipsoid.
    pub way: FrameWay,
    /// ± at 95 % along that axis of the frame.
    pub half_width_95_mm: f64,
}

/// How a point lies to its mirror partner. Both of a pair say the same.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(test, derive(ts_rs::TS))]
pub struct OffMirror {
    /// Where the right one lies from the mirror image of the left one: x ahead, y left, z up of the mid-plane.
    pub off_mm: [f64; 3],
    /// Standard deviations of that.
    pub sd_mm: [f64; 3],
    /// The length of `off_mm`.
    pub distance_mm: f64,
    /// Standard deviation along its own direction.
    pub distance_sd_mm: f64,
    /// How far the two are from each other.
    pub apart_mm: f64,
    /// Standard deviation of that.
    pub apart_sd_mm: f64,
    /// Whether the offset is more than the readings leave open, at 5 % for this pair alone.
    pub significant: bool,
    /// Whether it is so with all pairs in view. Only then it is a doubt.
    pub stands_out: bool,
}

/// A reading to be drawn.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(test, derive(ts_rs::TS))]
pub struct ShapeLine {
    /// What it is called.
    pub reading: String,
    /// Its kind.
    #[cfg_attr(test, ts(type = "KindWord"))]
    pub kind: &'static str,
    /// The labels of its points.
    pub points: Vec<String>,
    /// Who read it.
    pub by: String,
    /// How the shell stood.
    pub stand: String,
    /// What it was read with.
    pub instrument: String,
    /// When in the work it was read.
    pub epoch: String,
    /// What is known of it.
    pub state: LineState,
    /// The number of its group, where it is unclear.
    pub group: Option<usize>,
    /// Whether it counts for nothing in the points until it is settled.
    pub held_out: bool,
    /// Observed less what all others predict, mm or degrees; `null` where they predict nothing.
    pub off: Option<f64>,
    /// Whether that is a length or an angle.
    pub quantity: QuantityWord,
    /// What to draw: a tape, slope or rise from point to point, a corner along both legs, a string or a face from the
    /// point to its foot on the line or plane. Empty for a coordinate, and where a point has no place.
    pub path: Vec<[f64; 3]>,
}

/// A plane.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
#[cfg_attr(test, derive(ts_rs::TS))]
pub struct PlaneWire {
    /// A point of it.
    pub point: [f64; 3],
    /// Across it, to the left; of length 1.
    pub normal: [f64; 3],
}

/// A box along the axes.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
#[cfg_attr(test, derive(ts_rs::TS))]
pub struct Extent {
    /// Least x, y, z.
    pub low: [f64; 3],
    /// Greatest x, y, z.
    pub high: [f64; 3],
}

/// On which side of the shell a point is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[cfg_attr(test, derive(ts_rs::TS))]
#[serde(rename_all = "kebab-case")]
#[expect(missing_docs, reason = "the names say it")]
pub enum SideWord {
    Left,
    Right,
    Centre,
}

/// Whether the readings pin a point down.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[cfg_attr(test, derive(ts_rs::TS))]
#[serde(rename_all = "kebab-case")]
pub enum ShapeStatus {
    /// Pinned down.
    Fixed,
    /// It can move.
    Loose,
    /// It has two places.
    TwoValued,
    /// No reading in use ties it to the others.
    Unsolved,
}

/// An axis of the frame.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[cfg_attr(test, derive(ts_rs::TS))]
#[serde(rename_all = "kebab-case")]
pub enum FrameWay {
    /// x.
    Along,
    /// y.
    Across,
    /// z.
    Up,
}

/// What is known of a reading, the gravest first.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[cfg_attr(test, derive(ts_rs::TS))]
#[serde(rename_all = "kebab-case")]
pub enum LineState {
    /// The crew set it aside.
    SetAside,
    /// It is off.
    Suspect,
    /// One of a group of which one is off.
    Unclear,
    /// Nothing else would show a slip in it.
    Unchecked,
    /// It fits poorly, and no worse than one in a big survey may.
    LookAgain,
    /// Nothing is seen against it.
    Fits,
    /// It could not be used, or nothing is solved.
    Unused,
}
