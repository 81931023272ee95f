//! How a reading that was just logged stands to the others.

use adjust::{Incomparable, LoggedVerdict};
use serde::Serialize;
use survey::Reading;

use crate::wire::{LikelySlipWire, QuantityWord};
use crate::{AdjustAnswer, LoggedAnswer};

/// How a reading that was just logged stands to what all others predict; mm or degrees.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(test, derive(ts_rs::TS))]
pub struct Compared {
    /// What is so.
    pub verdict: ComparedVerdict,
    /// Why there is nothing to compare it with.
    pub why: Option<NothingToCompare>,
    /// The point that the others do not know, where that is why.
    pub point: Option<String>,
    /// Whether it is a length or an angle.
    pub quantity: QuantityWord,
    /// What was read, from point to point.
    pub observed: f64,
    /// What the others expect.
    pub expected: Option<f64>,
    /// Standard deviation of that.
    pub expected_sd: Option<f64>,
    /// Expected less observed.
    pub residual: Option<f64>,
    /// The residual over its own standard deviation.
    pub w: Option<f64>,
    /// The smallest slip in it that would have been seen.
    pub smallest_visible_slip: Option<f64>,
    /// The slips that would explain it, best first, where it is off.
    pub slips: Vec<LikelySlipWire>,
    /// The odds that it was none of the catalogue.
    pub none_of_these: Option<f64>,
    /// Whether it is off by so little that the other readings cannot prove it.
    pub hard_to_see: bool,
    /// What is so, in one line of English.
    pub headline: String,
    /// What can have happened and what to do, in lines of English.
    pub said: Vec<String>,
}

/// What is so.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[cfg_attr(test, derive(ts_rs::TS))]
#[serde(rename_all = "kebab-case")]
pub enum ComparedVerdict {
    /// Nothing is seen against it.
    Fits,
    /// Further off than most, and no further than one in a big survey may be.
    LookAgain,
    /// Off.
    Off,
    /// The others have nothing to say.
    NothingToCompare,
}

/// Why there is nothing to compare it with.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[cfg_attr(test, derive(ts_rs::TS))]
#[serde(rename_all = "kebab-case")]
pub enum NothingToCompare {
    /// No other reading has one of its points.
    NewPoint,
    /// The others do not pin one of its points down.
    OpenPoint,
    /// No slope or rise was read in this stand yet.
    NewStand,
    /// Nothing else checks it.
    NothingElse,
    /// The others know it so poorly that an everyday slip would not show.
    TooUncertain,
}

impl Compared {
    /// Whether the crew should look at it before they go on.
    pub fn doubt(&self) -> bool {
        matches!(self.verdict, ComparedVerdict::LookAgain | ComparedVerdict::Off)
    }

    /// `label` is what a point is called, one that the answer does not know, too.
    pub(super) fn of(
        answer: &AdjustAnswer,
        reading: &Reading,
        found: &LoggedAnswer,
        label: impl Fn(usize) -> Option<String>,
    ) -> Compared {
        let logged = &found.logged;
        let quantity = reading.kind.quantity();
        let shown = |value: f64| crate::wire::shown(quantity, value);
        let (verdict, why, point) = match logged.verdict {
            LoggedVerdict::Fits => (ComparedVerdict::Fits, None, None),
            LoggedVerdict::LookAgain => (ComparedVerdict::LookAgain, None, None),
            LoggedVerdict::Off => (ComparedVerdict::Off, None, None),
            LoggedVerdict::NothingToCompare(why) => {
                let (why, point) = match why {
                    Incomparable::NewPoint(point) => (NothingToCompare::NewPoint, label(point)),
                    Incomparable::OpenPoint(point) => (NothingToCompare::OpenPoint, label(point)),
                    Incomparable::NewStand => (NothingToCompare::NewStand, None),
                    Incomparable::NothingElse => (NothingToCompare::NothingElse, None),
                    Incomparable::TooUncertain => (NothingToCompare::TooUncertain, None),
                };
                (ComparedVerdict::NothingToCompare, Some(why), point)
            }
        };
        let slips = logged.slips.as_ref();
        Compared {
            verdict,
            why,
            point,
            quantity: quantity.into(),
            observed: shown(reading.observed),
            expected: logged.expected.map(|expected| shown(expected.value)),
            expected_sd: logged.expected.map(|expected| shown(expected.sd)),
            residual: logged.residual.map(shown),
            w: logged.w,
            smallest_visible_slip: logged.smallest_visible_slip.map(shown),
            slips: slips.map_or_else(Vec::new, |slips| {
                slips
                    .slips
                    .iter()
                    .map(|slip| LikelySlipWire::of(&answer.survey, quantity, slip))
                    .collect()
            }),
            none_of_these: slips.map(|slips| slips.none_of_these),
            hard_to_see: logged.verdict == LoggedVerdict::Off && crate::told::is_hard_to_see(logged.w),
            headline: found.words.headline.clone(),
            said: found.words.said.clone(),
        }
    }
}
