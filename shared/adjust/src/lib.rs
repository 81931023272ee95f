//! From readings to an adjustment.

mod result;

pub use result::*;
use survey::Survey;

/// The least-squares result of a survey.
#[derive(Debug, Clone)]
pub struct Adjustment {
    /// The frame of the coordinates.
    pub frame: survey::Frame,
    /// What decided between mirror images.
    pub handedness: Handedness,
    /// The most serious thing that applies.
    pub outcome: Outcome,
    /// The points, in the order of the survey.
    pub points: Vec<AdjustedPoint>,
    /// The readings, in the order of the survey.
    pub readings: Vec<AdjustedReading>,
    /// The figures of the whole.
    pub summary: Summary,
    /// Points that are not pinned down.
    pub loose: Vec<Loose>,
    /// Points with two places.
    pub two_valued: Vec<TwoValued>,
    /// Groups of points that hang together but not with each other.
    pub islands: Vec<Vec<usize>>,
    /// What to read next, best first, at most 20.
    pub next: Vec<NextReading>,
    /// How the instruments behave.
    pub instruments: Vec<InstrumentBehaviour>,
    /// What must be told beside the result.
    pub problems: Vec<String>,
}

/// Solves a survey.
pub fn adjust(survey: &Survey, settings: &Settings) -> Result<Adjustment, Unsolvable> {
    let _ = (survey, settings);
    Err(Unsolvable::NoReadings)
}

impl Adjustment {
    /// The distance between two points, measured or not, with its standard deviation; `None` where a point
    /// is not pinned down.
    pub fn distance(&self, a: usize, b: usize) -> Option<Estimate> {
        let _ = (a, b);
        None
    }

    /// What the readings in use predict for another one, without solving again.
    pub fn predict(&self, kind: survey::Kind, points: &[usize], stand: &str) -> Option<Estimate> {
        let _ = (kind, points, stand);
        None
    }
}
