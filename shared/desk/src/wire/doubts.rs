//! Doubts as JSON: what stands between the crew and an order for tube, each with the one action that settles it.
//! Lengths in mm, angles in degrees; what is not known is `null`.

use serde::Serialize;

use super::{LikelySlipWire, PurposeWord, QuantityWord, TestedWire};
use crate::jobs::SaidLine;

/// Everything that stands between the crew and an order for tube.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(test, derive(ts_rs::TS))]
pub struct Doubts {
    /// What matters most comes first.
    pub doubts: Vec<Doubt>,
    /// What was checked, and what was not.
    pub checked: CheckedShare,
    /// The least certain point that is pinned down, by the longest axis of its covariance.
    pub worst: Option<WorstPoint>,
    /// What to read next, best first.
    pub next: Vec<Next>,
    /// Readings worth a second, blind reading: those that the others check least, at most five.
    pub blind: Vec<String>,
    /// Why no point is determined yet, in words.
    pub unsolved: Option<String>,
}

/// How much of a survey is checked.
#[derive(Debug, Clone, PartialEq, Default, Serialize)]
#[cfg_attr(test, derive(ts_rs::TS))]
pub struct CheckedShare {
    /// All readings, those set aside too.
    pub readings: usize,
    /// Those that count in the points.
    pub used: usize,
    /// Of these, those in which a slip would show.
    pub checked: usize,
    /// Of these, those in which none would.
    pub unchecked: usize,
    /// Those that are off and count for nothing until they are read again.
    pub held_out: usize,
    /// Those that the crew set aside.
    pub set_aside: usize,
    /// Those that the crew keeps on purpose.
    pub kept: usize,
    /// All points.
    pub points: usize,
    /// The checked reading in which the largest slip could hide.
    pub least_checked: Option<LeastChecked>,
    /// What of the shell is crooked and taken as it is.
    pub accepted: Option<Accepted>,
}

/// What of a shell is crooked and taken as it is. Whatever else comes out crooked later is a doubt again.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(test, derive(ts_rs::TS))]
pub struct Accepted {
    /// One side sits ahead of the other.
    pub racked: bool,
    /// The front is turned against the rear.
    pub twisted: bool,
    /// Mirror pairs that are not alike: left, right.
    pub pairs: Vec<[String; 2]>,
    /// Why that is so, or may stay.
    pub why: String,
}

/// The checked reading in which the largest slip could hide.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(test, derive(ts_rs::TS))]
pub struct LeastChecked {
    /// Which.
    pub reading: String,
    /// The smallest slip in it that would show.
    pub slip: f64,
    /// Whether that is a length or an angle.
    pub quantity: QuantityWord,
}

/// The least certain point.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(test, derive(ts_rs::TS))]
pub struct WorstPoint {
    /// Which.
    pub point: String,
    /// Its standard deviation along its worst axis. ± at 95 % is 1.96 times that.
    pub sd_mm: f64,
}

/// A reading worth taking next.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(test, derive(ts_rs::TS))]
pub struct Next {
    /// What to read.
    #[cfg_attr(test, ts(type = "KindWord"))]
    pub kind: &'static str,
    /// From.
    pub a: String,
    /// To.
    pub b: String,
    /// The worst standard deviation of all points that are pinned down now.
    pub worst_sd_before_mm: Option<f64>,
    /// The same with this one reading more; `null` where it hangs on a place that is not known yet.
    pub worst_sd_after_mm: Option<f64>,
    /// What it is for; where it serves several ends, the most serious.
    pub why: PurposeWord,
    /// The point that it is for, where it is for one.
    pub point: Option<String>,
    /// The reading that it is for, the first where it is for several.
    pub reading: Option<String>,
}

/// One thing that stands between the crew and an order for tube. What does not apply to its kind is empty or `null`.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(test, derive(ts_rs::TS))]
pub struct Doubt {
    /// What kind of doubt.
    pub kind: DoubtKind,
    /// The readings that it is about.
    pub readings: Vec<String>,
    /// The points that it is about.
    pub points: Vec<String>,
    /// Whether its numbers are lengths or angles.
    pub quantity: QuantityWord,
    /// How far off, without a sign; how far apart the two places of a point are.
    pub amount: Option<f64>,
    /// Which way.
    pub way: Option<Way>,
    /// What the others expect of the reading, from point to point.
    pub expected: Option<f64>,
    /// Standard deviation of that.
    pub expected_sd: Option<f64>,
    /// The slips that would explain it, best first.
    pub slips: Vec<LikelySlipWire>,
    /// The odds that it was none of the catalogue.
    pub none_of_these: Option<f64>,
    /// Unit vectors along which a loose point can move.
    pub directions: Vec<[f64; 3]>,
    /// The two places of a point with two.
    pub places: Option<[[f64; 3]; 2]>,
    /// Points that lie elsewhere by another explanation.
    pub moves: Vec<MovedPoint>,
    /// Whether its readings count for nothing until it is settled.
    pub held_out: bool,
    /// What several readings have in common.
    #[cfg_attr(test, ts(type = "SlipWord | null"))]
    pub cause: Option<&'static str>,
    /// The register that devices disagree about, for choosing.
    pub register: Option<String>,
    /// What each device says of it.
    pub values: Vec<SaidLine>,
    /// How many tapes hold a loose point.
    pub tapes: usize,
    /// How many other readings hold it.
    pub others: usize,
    /// The smallest slip that would show; `null` where none would.
    pub slip: Option<f64>,
    /// The mirror pair that is off most surely, of a shell that is not straight.
    pub pair: Option<PairOff>,
    /// All mirror pairs that are off by more than chance would have it, the surest first.
    pub pairs: Vec<PairOff>,
    /// How far the left side is ahead of the right one, where that is more than the readings leave open.
    pub racked: Option<TestedWire>,
    /// How far the front is turned against the rear in degrees, positive where the left side rises towards the front.
    pub twisted: Option<TestedWire>,
    /// In words, where there is nothing else to show: a problem of what was typed.
    pub said: Option<String>,
    /// The one action that settles it.
    pub settle: Settle,
}

/// Kinds of doubt.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[cfg_attr(test, derive(ts_rs::TS))]
#[serde(rename_all = "kebab-case")]
pub enum DoubtKind {
    /// A reading that is off.
    Suspect,
    /// One cause for several readings.
    SharedCause,
    /// Readings of which one is off, and nothing tells which.
    Unclear,
    /// A point that can move.
    Loose,
    /// A point with two places.
    TwoPlaces,
    /// Points without a reading yet, all as one.
    NotRead,
    /// Points that hang together, but not with the rest.
    Islands,
    /// Nothing tells the shell from its mirror image.
    MirrorImage,
    /// Devices disagree about a value.
    Differs,
    /// A reading that fits poorly, and no worse than one in a big survey may.
    LookAgain,
    /// A reading in which nothing would show a slip.
    Unchecked,
    /// The shell is racked or twisted, or left and right are not alike.
    NotStraight,
    /// Something typed that could not be used.
    SheetProblem,
}

/// Which way a reading is off.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[cfg_attr(test, derive(ts_rs::TS))]
#[serde(rename_all = "kebab-case")]
pub enum Way {
    /// A distance that is too long.
    Long,
    /// A distance that is too short.
    Short,
    /// A corner that is too wide.
    Wide,
    /// A corner that is too narrow.
    Narrow,
    /// A slope, a rise or a coordinate that is too much.
    More,
    /// A slope, a rise or a coordinate that is too little.
    Less,
}

/// A point that lies in different places by different explanations.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(test, derive(ts_rs::TS))]
pub struct MovedPoint {
    /// Which.
    pub point: String,
    /// Where, in mm.
    pub places: [[f64; 3]; 2],
}

/// A mirror pair: where the right point lies from the mirror image of the left one, x ahead, y left, z up.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(test, derive(ts_rs::TS))]
pub struct PairOff {
    /// The left point.
    pub left: String,
    /// The right point.
    pub right: String,
    /// How far off.
    pub off_mm: [f64; 3],
    /// Standard deviations of that.
    pub sd_mm: [f64; 3],
}

/// What settles a doubt.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(test, derive(ts_rs::TS))]
#[serde(tag = "do", rename_all = "kebab-case")]
pub enum Settle {
    /// Read them again.
    ReadAgain {
        /// By name.
        readings: Vec<String>,
    },
    /// Read this line.
    ReadNext {
        /// What to read.
        #[cfg_attr(test, ts(type = "KindWord"))]
        kind: &'static str,
        /// From.
        a: String,
        /// To.
        b: String,
    },
    /// Choose one of the values.
    Choose {
        /// Of this register.
        register: String,
    },
    /// Say which point is above.
    SayAbove,
    /// Exchange two labels in these readings.
    UndoSwap {
        /// One label.
        a: String,
        /// The other.
        b: String,
        /// By name.
        readings: Vec<String>,
    },
    /// Say what these readings were read from.
    SayFrom {
        /// The mark that fits, in the words of the readings sheet; nothing where none does.
        from: Option<&'static str>,
        /// By name.
        readings: Vec<String>,
    },
    /// Look at the shell; where it is so, take it as it is.
    Accept,
    /// Look at what was typed: no reading settles it.
    Look,
}
