//! What an adjustment says: plain data, lengths in mm, angles in radians. What is not known is `None`, never 0.

use survey::{Frame, Kind, Label};

/// What to do with readings that the tests single out.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Suspects {
    /// Hold them out of the coordinates.
    #[default]
    Hold,
    /// Keep every reading in; the tests are reported all the same.
    Keep,
}

/// What is asked of an adjustment.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Settings {
    /// The frame for the coordinates; where none is asked for, the bench frame if something is fixed there,
    /// else three well-shaped points.
    pub frame: Option<Frame>,
    /// A point said to be on the +z side.
    pub above: Option<Label>,
    /// What to do with suspects.
    pub suspects: Suspects,
    /// Multiply every covariance with the variance factor found.
    pub scale: bool,
    /// Make the zero offset of every instrument an unknown.
    pub estimate_offsets: bool,
}

/// Why nothing could be solved, and what is missing.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum Unsolvable {
    /// No reading is in use.
    #[error("there are no readings in use: log some tapes between at least three points")]
    NoReadings,
    /// Fewer than three points hang together.
    #[error("only {points} points are joined by readings: a frame needs three that are not in line")]
    TooFewPoints {
        /// How many are joined.
        points: usize,
    },
    /// A frame point that the survey does not have.
    #[error("the frame names `{0}`, which no sheet has: check the spelling")]
    UnknownFramePoint(Label),
    /// The frame's points do not span a frame.
    #[error("the frame cannot be set up: {0}")]
    BadFrame(String),
    /// No length: angles alone give a shape but no size.
    #[error("no length is in use: angles alone give no size, add at least one tape")]
    NoLength,
    /// The search found no arrangement of the points.
    #[error("no arrangement of the points could be found that comes near the readings: {0}")]
    NotConverged(String),
}

/// The most serious thing that applies.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Outcome {
    /// Every reading in use is explained.
    Fits,
    /// Readings are held out.
    SuspectsHeldOut,
    /// Something is off, and the readings cannot tell what.
    CannotTell,
    /// Points have two possible places.
    TwoValued,
    /// Points are not pinned down.
    LoosePoints,
    /// Groups of points hang together but not with each other.
    Islands,
    /// Nothing checks the readings: no redundancy.
    NothingChecked,
}

/// What decided between the two mirror images of the whole survey.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Handedness {
    /// Fixed or bench coordinates.
    Fixed,
    /// A point said to be above.
    Above,
    /// The plumb line.
    Plumb,
    /// Left and right of the points.
    Sides,
    /// Rough positions.
    RoughPositions,
    /// Nothing: both images fit.
    Unresolved,
}

/// Whether the readings pin a point down.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum PointStatus {
    /// Pinned down.
    Fixed,
    /// It can move.
    Loose,
    /// It has two possible places.
    TwoValued,
}

/// One point of the result, in the order of the survey's points.
#[derive(Debug, Clone, PartialEq)]
pub struct AdjustedPoint {
    /// x, y, z in the frame, as far as known.
    pub coordinates_mm: [Option<f64>; 3],
    /// Covariance of the coordinates in the frame.
    pub covariance_mm2: Option<[[f64; 3]; 3]>,
    /// Semi-axes of the 95 % ellipsoid as vectors in the frame, longest first; of a vector and its opposite the one
    /// whose largest component is positive.
    pub axes_95_mm: Option<[[f64; 3]; 3]>,
    /// Whether it is pinned down.
    pub status: PointStatus,
}

impl AdjustedPoint {
    /// Lengths of the semi-axes of the 95 % ellipsoid, longest first.
    pub fn ellipsoid_95_mm(&self) -> Option<[f64; 3]> {
        let length = |[x, y, z]: [f64; 3]| x.hypot(y).hypot(z);
        self.axes_95_mm.map(|axes| axes.map(length))
    }
}

/// What the tests say of a reading.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Verdict {
    /// Nothing is seen against it.
    Fits,
    /// Kept, but worth a second look.
    LookAgain,
    /// Held out.
    Suspect,
    /// One of a group of which one is off.
    Unclear,
    /// The crew set it aside.
    SetAside,
}

/// The slips that a reading can be explained with.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Slip {
    /// Read from the 1 inch mark: an inch too long.
    BurnedInch,
    /// A foot lost or gained between marks.
    Foot,
    /// A decimetre lost or gained.
    Decimetre,
    /// An inch lost.
    Inch,
    /// Half an inch lost or gained.
    HalfInch,
    /// A neighbouring mark of the graduation.
    Fraction,
    /// Two neighbouring digits exchanged.
    DigitsSwapped,
    /// The case of an inside reading was not added, or was added to a reading from the hook.
    CaseLength,
    /// Centimetres written as inches, or inches as centimetres.
    CmForInch,
    /// What it was read from on purpose was not said, or no longer held.
    FromForgotten,
    /// The angle to the other axis: 90° less the angle.
    Complement,
    /// The angle on the other side: 180° less the angle.
    Supplement,
    /// Above taken for below.
    Sign,
    /// Taken to the mirror partner of a point.
    MirrorPoint,
    /// Taken to another point than the one written down.
    WrongPoint,
    /// The mark of a point moved between readings.
    MovedMark,
    /// Two labels exchanged in several readings.
    LabelsExchanged,
    /// Readings taken together are all off by one amount.
    WholeSheet,
    /// The tape went round something, or sagged: a little too long.
    TapeBent,
}

impl Slip {
    /// Every slip, in the order of the formats.
    pub const ALL: [Slip; 19] = [
        Slip::BurnedInch,
        Slip::Foot,
        Slip::Decimetre,
        Slip::Inch,
        Slip::HalfInch,
        Slip::Fraction,
        Slip::DigitsSwapped,
        Slip::CaseLength,
        Slip::CmForInch,
        Slip::FromForgotten,
        Slip::Complement,
        Slip::Supplement,
        Slip::Sign,
        Slip::MirrorPoint,
        Slip::WrongPoint,
        Slip::MovedMark,
        Slip::LabelsExchanged,
        Slip::WholeSheet,
        Slip::TapeBent,
    ];

    /// The word for it in results.
    pub fn word(self) -> &'static str {
        match self {
            Slip::BurnedInch => "burned-inch",
            Slip::Foot => "foot",
            Slip::Decimetre => "decimetre",
            Slip::Inch => "inch",
            Slip::HalfInch => "half-inch",
            Slip::Fraction => "fraction",
            Slip::DigitsSwapped => "digits-swapped",
            Slip::CaseLength => "case-length",
            Slip::CmForInch => "cm-for-inch",
            Slip::FromForgotten => "from-forgotten",
            Slip::Complement => "complement",
            Slip::Supplement => "supplement",
            Slip::Sign => "sign",
            Slip::MirrorPoint => "mirror-point",
            Slip::WrongPoint => "wrong-point",
            Slip::MovedMark => "moved-mark",
            Slip::LabelsExchanged => "labels-exchanged",
            Slip::WholeSheet => "whole-sheet",
            Slip::TapeBent => "tape-bent",
        }
    }
}

/// The slips that would explain a reading that is off, with "none of these" among the answers.
#[derive(Debug, Clone, PartialEq)]
pub struct LikelySlips {
    /// Those with odds of at least 1 in 100, best first.
    pub slips: Vec<LikelySlip>,
    /// The odds that it was none of the catalogue.
    pub none_of_these: f64,
}

impl LikelySlips {
    /// The likeliest; `None` where "none of these" is likelier.
    pub fn best(&self) -> Option<&LikelySlip> {
        self.slips.first().filter(|best| best.odds > self.none_of_these)
    }
}

/// A slip that would explain a suspect.
#[derive(Debug, Clone, PartialEq)]
pub struct LikelySlip {
    /// Which.
    pub slip: Slip,
    /// The observed value with the slip undone; `None` where the reading belongs to other points, and where nobody
    /// knows by how much a bent tape reads long.
    pub corrected: Option<f64>,
    /// The points it would belong to (indices into the survey's points).
    pub belongs_to: Option<Vec<usize>>,
    /// Probability among the catalogue and "none of these".
    pub odds: f64,
}

/// One reading of the result, in the order of the survey's readings.
#[derive(Debug, Clone, PartialEq)]
pub struct AdjustedReading {
    /// What went in.
    pub observed: f64,
    /// What the solution says; for a reading that is not in use, what the others predict.
    pub adjusted: Option<f64>,
    /// Adjusted minus observed.
    pub residual: Option<f64>,
    /// Standard deviation of the observation.
    pub sd: f64,
    /// Share of it that the others check, 0 to 1.
    pub redundancy: Option<f64>,
    /// Residual over its own standard deviation.
    pub w: Option<f64>,
    /// The smallest slip that the test would see.
    pub smallest_visible_slip: Option<f64>,
    /// Nothing else would show a slip in it.
    pub unchecked: bool,
    /// What the tests say.
    pub verdict: Verdict,
    /// The number of its group, where it is unclear.
    pub group: Option<usize>,
    /// The slip that would explain it best.
    pub likely_slip: Option<LikelySlip>,
    /// All that would explain it, where it is suspect or unclear.
    pub slips: Option<LikelySlips>,
}

/// One cause shared by several readings: one removal, one doubt, one action.
#[derive(Debug, Clone, PartialEq)]
pub struct SharedCause {
    /// What happened: a moved mark, exchanged labels, a mirror point, a whole sheet, a forgotten `from`.
    pub slip: Slip,
    /// The readings that it explains (indices into the survey's readings), in the order of the sheet.
    pub readings: Vec<usize>,
    /// The points that it is about (indices into the survey's points): the mark that moved, the two labels.
    pub points: Vec<usize>,
    /// What it adds to each reading, where that is one amount, mm or radians.
    pub amount: Option<Estimate>,
    /// Whether its readings are held out of the coordinates. Where that would leave a point loose they stay in,
    /// with the amount as one more unknown.
    pub held_out: bool,
}

/// Readings of which some are off, and nothing tells which.
#[derive(Debug, Clone, PartialEq)]
pub struct Unclear {
    /// Its readings (indices into the survey's readings), in the order of the sheet.
    pub readings: Vec<usize>,
    /// Whether they are held out together; else they are kept, because without them a point would be loose.
    pub held_out: bool,
    /// The points that lie elsewhere by more than three standard deviations in another explanation.
    pub moves: Vec<Moved>,
    /// Where a shared cause explains them, its place among [`Adjustment::causes`](crate::Adjustment::causes): they are
    /// unclear only because they must stay in.
    pub cause: Option<usize>,
}

/// A point that lies in different places by different explanations.
#[derive(Debug, Clone, PartialEq)]
pub struct Moved {
    /// Index into the survey's points.
    pub point: usize,
    /// Its places in the frame, mm.
    pub places: [[f64; 3]; 2],
}

/// The figures of the whole, with suspects held out.
#[derive(Debug, Clone, PartialEq)]
pub struct Summary {
    /// Points.
    pub points: usize,
    /// Readings in use.
    pub readings: usize,
    /// Readings held out.
    pub held_out: usize,
    /// Readings that are unclear.
    pub unclear: usize,
    /// Unknowns that the readings determine.
    pub unknowns: usize,
    /// Readings in use less unknowns.
    pub degrees_of_freedom: usize,
    /// Weighted sum of squared residuals.
    pub chi_square: f64,
    /// Where it lies 95 times in 100 if only the stated deviations are at work.
    pub chi_square_band_95: Option<[f64; 2]>,
    /// The same sum with every reading in that the crew uses.
    pub chi_square_all: f64,
    /// chi_square over degrees of freedom.
    pub variance_factor: Option<f64>,
    /// Whether chi_square lies in its band.
    pub passes: Option<bool>,
    /// The critical value for w.
    pub critical_w: f64,
}

/// A point that is not pinned down.
#[derive(Debug, Clone, PartialEq)]
pub struct Loose {
    /// Index into the survey's points.
    pub point: usize,
    /// Unit vectors along which it can move, in the frame.
    pub directions: Vec<[f64; 3]>,
}

/// A point with two possible places.
#[derive(Debug, Clone, PartialEq)]
pub struct TwoValued {
    /// Index into the survey's points.
    pub point: usize,
    /// The two places in the frame, mm.
    pub candidates: [[f64; 3]; 2],
    /// Chi-square of the whole with each.
    pub chi_square: [f64; 2],
}

/// What a next reading is for, the most serious first.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Purpose {
    /// It holds a point that can move.
    Pins,
    /// It tells two places apart: of a point, or the whole from its mirror image.
    Settles,
    /// It tells which of an unclear group is off.
    TellsApart,
    /// A reading that is held out, once more.
    ReadAgain,
    /// It makes a slip show in readings in which it would not now.
    Checks,
    /// It makes the least certain point more certain.
    Steadies,
}

/// A reading worth taking next.
#[derive(Debug, Clone, PartialEq)]
pub struct NextReading {
    /// What to read.
    pub kind: Kind,
    /// From.
    pub a: usize,
    /// To.
    pub b: usize,
    /// What it is for; where it serves several ends, the most serious.
    pub purpose: Purpose,
    /// The points that it serves: those that it holds or tells two places of (indices into the survey's points).
    pub points: Vec<usize>,
    /// The readings that it serves: those that it checks, tells apart or reads again (indices into the survey's
    /// readings).
    pub readings: Vec<usize>,
    /// Worst standard deviation of all points that are pinned down now (longest axis of a point's covariance).
    pub worst_sd_before_mm: Option<f64>,
    /// The same with this one reading more: over the points that are pinned down then. `None` where it hangs on
    /// a place that is not known yet.
    pub worst_sd_after_mm: Option<f64>,
    /// Why, in words.
    pub why: String,
}

/// An amount that would be nothing in a perfect world, held against what the readings leave open; mm or radians.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Tested {
    /// The amount.
    pub value: f64,
    /// Its standard deviation.
    pub sd: f64,
    /// Beyond 1.96 standard deviations: one in twenty is, where there is nothing.
    pub significant: bool,
}

impl Tested {
    pub(crate) fn of(value: f64, sd: f64) -> Tested {
        Tested {
            value,
            sd,
            // What is known exactly is not accused of its rounding.
            significant: value.abs() > 1.959_964 * sd + 1e-9,
        }
    }
}

/// A value with its standard deviation, mm or radians.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Estimate {
    /// The value.
    pub value: f64,
    /// Its standard deviation.
    pub sd: f64,
}
