//! The job, names, instruments, lines that cannot be taped.

use survey::LengthUnit;

use super::Made;
use crate::registers::Fields;
use crate::schema::EntryId;

/// What is said of the job as a whole.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct JobRecord {
    /// The schema of the document.
    pub format: i64,
    /// Its name for people.
    pub name: String,
    /// When it was made.
    pub made: Made,
    /// The unit of bare numbers, and of answers.
    pub unit: Option<LengthUnit>,
    /// The axes that coordinates are given in.
    pub frame: Option<FrameRecord>,
    /// A point on the upper side.
    pub above: Option<EntryId>,
    /// What of the shell is crooked and taken as it is.
    pub crooked: Option<CrookedRecord>,
}

impl JobRecord {
    pub(super) fn read(fields: &Fields) -> JobRecord {
        JobRecord {
            format: fields.whole("format").unwrap_or_default(),
            name: fields.words("name"),
            made: Made::read(fields),
            unit: fields.text("unit").and_then(unit_of_word),
            frame: fields.text("frame").and_then(FrameRecord::parse),
            above: fields.entry("above"),
            crooked: fields.text("crooked").map(|text| CrookedRecord {
                why: fields.words("crooked_why"),
                ..CrookedRecord::parse(text)
            }),
        }
    }
}

/// What of a shell is crooked and taken as it is, for a reason.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct CrookedRecord {
    /// One side sits ahead of the other.
    pub racked: bool,
    /// The front is turned against the rear.
    pub twisted: bool,
    /// Mirror pairs that are not alike, each the left and the right point.
    pub pairs: Vec<[EntryId; 2]>,
    /// Why that is so, or may stay.
    pub why: String,
}

impl CrookedRecord {
    /// What the register says; words of a later Trammel are passed over.
    fn parse(text: &str) -> CrookedRecord {
        let pair = |word: &str| {
            let (left, right) = word.split_once('/')?;
            Some([EntryId::parse(left)?, EntryId::parse(right)?])
        };
        CrookedRecord {
            racked: text.split(' ').any(|word| word == "racked"),
            twisted: text.split(' ').any(|word| word == "twisted"),
            pairs: text.split(' ').filter_map(pair).collect(),
            why: String::new(),
        }
    }

    /// Whether nothing is crooked.
    pub fn is_empty(&self) -> bool {
        !self.racked && !self.twisted && self.pairs.is_empty()
    }
}

/// The text of the register, without the reason.
impl std::fmt::Display for CrookedRecord {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        let words = [(self.racked, "racked"), (self.twisted, "twisted")];
        let words = words
            .into_iter()
            .filter(|(is, _)| *is)
            .map(|(_, word)| word.to_owned());
        let pairs = self.pairs.iter().map(|[left, right]| format!("{left}/{right}"));
        f.write_str(&words.chain(pairs).collect::<Vec<_>>().join(" "))
    }
}

/// The word of a unit in the document.
pub(crate) fn word_of_unit(unit: LengthUnit) -> &'static str {
    match unit {
        LengthUnit::Inch => "in",
        LengthUnit::Millimetre => "mm",
    }
}

fn unit_of_word(word: &str) -> Option<LengthUnit> {
    match word {
        "in" => Some(LengthUnit::Inch),
        "mm" => Some(LengthUnit::Millimetre),
        _ => None,
    }
}

/// Which kind of axes; see [`survey::Frame`].
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum AxesKind {
    /// Origin, ahead, left.
    Three,
    /// Origin, ahead, left, with z along the plumb line.
    Plumb,
    /// Origin, ahead, above, with the mid-plane of the mirror pairs.
    Centreline,
    /// That of fixed coordinates.
    Bench,
}

/// The axes, with points by entry and not by label: who renames a point keeps the frame.
#[derive(Debug, Clone, PartialEq)]
pub struct FrameRecord {
    /// Which kind.
    pub kind: AxesKind,
    /// Its three points; none for the bench.
    pub points: Vec<EntryId>,
}

impl FrameRecord {
    fn parse(text: &str) -> Option<FrameRecord> {
        let mut words = text.split(' ');
        let kind = match words.next()? {
            "three" => AxesKind::Three,
            "plumb" => AxesKind::Plumb,
            "centreline" => AxesKind::Centreline,
            "bench" => AxesKind::Bench,
            _ => return None,
        };
        let points: Vec<EntryId> = words.map(EntryId::parse).collect::<Option<_>>()?;
        let needed = if kind == AxesKind::Bench { 0 } else { 3 };
        (points.len() == needed).then_some(FrameRecord { kind, points })
    }
}

impl std::fmt::Display for FrameRecord {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(match self.kind {
            AxesKind::Three => "three",
            AxesKind::Plumb => "plumb",
            AxesKind::Centreline => "centreline",
            AxesKind::Bench => "bench",
        })?;
        self.points.iter().try_for_each(|point| write!(f, " {point}"))
    }
}

/// A person, a stand or an epoch.
#[derive(Debug, Clone, PartialEq)]
pub struct NamedRecord {
    /// Its name for people.
    pub name: String,
    /// What was noted.
    pub note: String,
    /// When it was made.
    pub made: Made,
}

impl NamedRecord {
    pub(super) fn read(fields: &Fields) -> Option<NamedRecord> {
        Some(NamedRecord {
            name: fields.text("name")?.to_owned(),
            note: fields.words("note"),
            made: Made::read(fields),
        })
    }
}

/// An instrument as it was described, in the words of the instruments sheet.
#[derive(Debug, Clone, PartialEq)]
pub struct InstrumentRecord {
    /// Its name.
    pub name: String,
    /// `tape`, `ring tape`, `laser`, `finder`, `level` or `rule`.
    pub kind: String,
    /// Accuracy class: `I`, `II`, `III`, or nothing said.
    pub class: String,
    /// Smallest mark, as typed, with its unit.
    pub graduation: String,
    /// Added to what was read.
    pub zero_offset: String,
    /// Length of the case.
    pub case_length: String,
    /// How well a point is met.
    pub point_sd: String,
    /// The standard deviation that replaces the rule.
    pub sd: String,
    /// What was noted.
    pub note: String,
    /// When it was made.
    pub made: Made,
}

impl InstrumentRecord {
    pub(super) fn read(fields: &Fields) -> Option<InstrumentRecord> {
        Some(InstrumentRecord {
            name: fields.text("name")?.to_owned(),
            kind: fields.words("kind"),
            class: fields.words("class"),
            graduation: fields.words("graduation"),
            zero_offset: fields.words("zero_offset"),
            case_length: fields.words("case_length"),
            point_sd: fields.words("point_sd"),
            sd: fields.words("sd"),
            note: fields.words("note"),
            made: Made::read(fields),
        })
    }
}

/// A line that cannot be taped.
#[derive(Debug, Clone, PartialEq)]
pub struct BlockedRecord {
    /// The id it has in sheets.
    pub name: String,
    /// From where to where.
    pub ends: [EntryId; 2],
    /// What stands in the way.
    pub why: String,
    /// When it was made.
    pub made: Made,
}

impl BlockedRecord {
    pub(super) fn read(fields: &Fields) -> Option<BlockedRecord> {
        Some(BlockedRecord {
            name: fields.words("name"),
            ends: [fields.entry("a")?, fields.entry("b")?],
            why: fields.words("why"),
            made: Made::read(fields),
        })
    }
}
