//! Surveys put together by hand, for figures that were printed or are exact.

use survey::{Kind, Label, Point, Reading, Survey};

use crate::observe::V3;

/// A label that is known to be one.
pub fn label(text: &str) -> Label {
    Label::new(text).unwrap_or_else(|| unreachable!("a label with only white space"))
}

/// A reading of which only what counts is said.
pub fn reading(id: String, kind: Kind, points: Vec<usize>, observed: f64, sd: f64) -> Reading {
    Reading {
        typed: format!("{observed}"),
        ..Reading::bare(id, kind, points, observed, sd)
    }
}

/// A survey that grows point by point and reading by reading. Lengths come in a unit of their own.
#[derive(Debug, Clone)]
pub struct Net {
    /// What was put together so far, in mm.
    pub survey: Survey,
    unit_mm: f64,
}

impl Net {
    /// An empty one; `unit_mm` is the length of the unit of what is to come, such as 1000 for metres.
    pub fn new(unit_mm: f64) -> Net {
        Net {
            survey: Survey::default(),
            unit_mm,
        }
    }

    fn push(&mut self, name: &str, at: [Option<f64>; 3], fixed: [bool; 3]) -> usize {
        let rough_mm = at.map(|v| v.map(|v| v * self.unit_mm));
        self.survey.points.push(Point {
            rough_mm,
            fixed,
            ..Point::named(label(name))
        });
        self.survey.points.len() - 1
    }

    /// A point whose three coordinates are exact.
    pub fn fixed(&mut self, name: &str, at: V3) -> usize {
        self.push(name, at.map(Some), [true; 3])
    }

    /// An unknown point with a rough position.
    pub fn rough(&mut self, name: &str, at: V3) -> usize {
        self.push(name, at.map(Some), [false; 3])
    }

    /// An unknown point of a survey in the plane z = 0, with a rough position.
    pub fn in_plane(&mut self, name: &str, x: f64, y: f64) -> usize {
        self.push(name, [Some(x), Some(y), Some(0.0)], [false, false, true])
    }

    /// An unknown point of which nothing is known.
    pub fn unknown(&mut self, name: &str) -> usize {
        self.push(name, [None; 3], [false; 3])
    }

    /// A tape.
    pub fn tape(&mut self, a: usize, b: usize, length: f64, sd: f64) -> usize {
        self.read(Kind::Tape, vec![a, b], length, sd)
    }

    /// A reading of any kind that is a length.
    pub fn read(&mut self, kind: Kind, points: Vec<usize>, value: f64, sd: f64) -> usize {
        let id = format!("q{}", self.survey.readings.len() + 1);
        self.survey
            .readings
            .push(reading(id, kind, points, value * self.unit_mm, sd * self.unit_mm));
        self.survey.readings.len() - 1
    }
}
