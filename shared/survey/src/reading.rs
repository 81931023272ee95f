//! Readings: one observation each, of one of nine kinds.

/// What was observed, and between which points.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Kind {
    /// Straight distance from a to b.
    Tape,
    /// Angle above the horizontal of the line from a to b, positive when b is higher.
    Slope,
    /// Angle at b between the legs to a and to c.
    Corner,
    /// Height of b above a along the plumb line.
    Rise,
    /// Shortest distance from a to the straight line through b and c.
    String,
    /// Shortest distance from a to the plane through b, c and d.
    Face,
    /// x of a in the bench frame.
    X,
    /// y of a in the bench frame.
    Y,
    /// z of a in the bench frame.
    Z,
}

/// What a reading's number is: a length or an angle.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Quantity {
    /// Millimetres inside.
    Length,
    /// Radians inside, degrees for people.
    Angle,
}

impl Kind {
    /// Every kind, in the order of the design.
    pub const ALL: [Kind; 9] = [
        Kind::Tape,
        Kind::Slope,
        Kind::Corner,
        Kind::Rise,
        Kind::String,
        Kind::Face,
        Kind::X,
        Kind::Y,
        Kind::Z,
    ];

    /// The word for it, in sheets, results and on screens alike.
    pub fn word(self) -> &'static str {
        match self {
            Kind::Tape => "tape",
            Kind::Slope => "slope",
            Kind::Corner => "corner",
            Kind::Rise => "rise",
            Kind::String => "string",
            Kind::Face => "face",
            Kind::X => "x",
            Kind::Y => "y",
            Kind::Z => "z",
        }
    }

    /// The kind of that word.
    pub fn from_word(word: &str) -> Option<Kind> {
        Kind::ALL.into_iter().find(|kind| kind.word() == word)
    }

    /// How many points it takes: a, a and b, and so on.
    pub fn point_count(self) -> usize {
        match self {
            Kind::X | Kind::Y | Kind::Z => 1,
            Kind::Tape | Kind::Slope | Kind::Rise => 2,
            Kind::Corner | Kind::String => 3,
            Kind::Face => 4,
        }
    }

    /// Whether its number is a length or an angle.
    pub fn quantity(self) -> Quantity {
        match self {
            Kind::Slope | Kind::Corner => Quantity::Angle,
            _ => Quantity::Length,
        }
    }

    /// Whether it refers to the plumb line of its stand.
    pub fn needs_plumb(self) -> bool {
        matches!(self, Kind::Slope | Kind::Rise)
    }
}

/// What the number was read from, on purpose.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum ReadFrom {
    /// From the hook or zero mark: the number as read.
    #[default]
    Hook,
    /// From the 1 inch mark: 25.4 mm too long.
    BurnInch,
    /// From the 100 mm mark: 100 mm too long.
    Burn100mm,
    /// Along an inside with the case: the instrument's case length is to be added.
    Case,
}

/// Whether a reading takes part.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum State {
    /// In use; it may be held out when the tests single it out.
    #[default]
    Used,
    /// Set aside by the crew: not used, still shown.
    SetAside,
    /// Kept by the crew: used, and never held out.
    Kept,
}

/// One observation as the crew logged it. Units: mm, and radians for [`Quantity::Angle`].
#[derive(Debug, Clone, PartialEq)]
pub struct Reading {
    /// Unique text.
    pub id: String,
    /// What was observed.
    pub kind: Kind,
    /// The points a, b, c, d as far as the kind needs them: indices into [`Survey::points`](crate::Survey::points).
    pub points: Vec<usize>,
    /// The value as it was typed.
    pub typed: String,
    /// The value as it was read, in mm or radians.
    pub read: f64,
    /// What the adjustment works with: `read` after from, add and zero offset.
    pub observed: f64,
    /// Standard deviation of `observed`: as the sheet says, else from the instrument.
    pub sd: f64,
    /// Index into [`Survey::instruments`](crate::Survey::instruments).
    pub instrument: Option<usize>,
    /// What it was read from.
    pub from: ReadFrom,
    /// Length added to get from point to point, in mm.
    pub add_mm: f64,
    /// How the shell stood. Every stand has a plumb line of its own.
    pub stand: String,
    /// The stage of the work in which it was read. Readings of two epochs are compared, not solved together.
    pub epoch: String,
    /// Whether it takes part.
    pub state: State,
    /// Who, when, and what they noted.
    pub by: String,
    /// When.
    pub at: String,
    /// Note.
    pub note: String,
}

impl Reading {
    /// A reading of which nothing is said but what counts: read from the hook, in use, with nothing typed.
    pub fn bare(id: String, kind: Kind, points: Vec<usize>, observed: f64, sd: f64) -> Reading {
        Reading {
            id,
            kind,
            points,
            typed: String::new(),
            read: observed,
            observed,
            sd,
            instrument: None,
            from: ReadFrom::Hook,
            add_mm: 0.0,
            stand: String::new(),
            epoch: String::new(),
            state: State::Used,
            by: String::new(),
            at: String::new(),
            note: String::new(),
        }
    }
}
