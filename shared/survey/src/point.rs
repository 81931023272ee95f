//! Points: the marked, named hard points of a shell.

use unicode_normalization::UnicodeNormalization;

/// A point's name: trimmed, in Unicode normal form C, never empty.
///
/// Two labels that look alike are alike, whichever keyboard wrote the accent.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Label(String);

impl Label {
    /// Takes a label as somebody wrote it, or nothing where there is only white space.
    pub fn new(text: &str) -> Option<Label> {
        let trimmed = text.trim();
        (!trimmed.is_empty()).then(|| Label(trimmed.nfc().collect()))
    }

    /// The label as text.
    pub fn as_str(&self) -> &str {
        &self.0
    }
}

impl std::fmt::Display for Label {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.pad(&self.0)
    }
}

/// Which side of the shell a point is on, seen by someone who sits in it and looks ahead.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Side {
    /// On the left: +y in ISO 8855 axes.
    Left,
    /// On the right.
    Right,
    /// On the mid-plane.
    Centre,
}

/// One marked, named hard point.
#[derive(Debug, Clone, PartialEq)]
pub struct Point {
    /// Its name, unique in the survey.
    pub label: Label,
    /// Its side, where the crew said so.
    pub side: Option<Side>,
    /// The index of its mirror partner in [`Survey::points`](crate::Survey::points).
    pub mirror: Option<usize>,
    /// Rough position in the frame asked for, in mm. It starts the search and chooses between mirror
    /// images; it is never an observation. Where [`fixed`](Point::fixed) says so it is exact.
    pub rough_mm: [Option<f64>; 3],
    /// Which of x, y, z are exact, in the bench frame. A fixed coordinate always has its value in
    /// [`rough_mm`](Point::rough_mm).
    pub fixed: [bool; 3],
    /// Whatever the crew noted.
    pub note: String,
}

impl Point {
    /// A point of which nothing is known but its name.
    pub fn named(label: Label) -> Point {
        Point {
            label,
            side: None,
            mirror: None,
            rough_mm: [None; 3],
            fixed: [false; 3],
            note: String::new(),
        }
    }
}
