//! Instruments: what was read with, and how well it reads.

/// The accuracy class of a material measure of length (Directive 2014/32/EU, Annex X).
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Class {
    /// a 0.1, b 0.1, c 0.1 mm.
    I,
    /// a 0.3, b 0.2, c 0.2 mm.
    II,
    /// a 0.6, b 0.4, c 0.3 mm.
    III,
}

/// What an instrument is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum InstrumentKind {
    /// A tape with a hook end.
    Tape,
    /// A tape whose zero mark lies inside.
    RingTape,
    /// A laser distance meter.
    Laser,
    /// An angle finder.
    Finder,
    /// A level.
    Level,
    /// A rule.
    Rule,
}

/// One tape, angle finder or level, as the crew described it. Lengths in mm.
#[derive(Debug, Clone, PartialEq)]
pub struct Instrument {
    /// Unique name.
    pub name: String,
    /// What it is.
    pub kind: InstrumentKind,
    /// Accuracy class; II unless said.
    pub class: Class,
    /// Smallest mark; 1 mm unless said.
    pub graduation_mm: f64,
    /// Added to what was read.
    pub zero_offset_mm: f64,
    /// Length of the case, for inside readings, where it is known.
    pub case_length_mm: Option<f64>,
    /// How well a point can be met, at each end; 0.5 mm unless said.
    pub point_sd_mm: f64,
    /// Where given, replaces the rule: mm, or radians for a finder.
    pub sd: Option<f64>,
}
