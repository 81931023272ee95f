//! Closed sets of words in answers: what a program may find in a field, and nothing else.

use serde::{Deserialize, Serialize};

/// Twins of enums that know no JSON: the same variants, each with its word.
macro_rules! words {
    ($($(#[$told:meta])* $name:ident is $of:path { $($variant:ident = $word:literal),+ $(,)? })+) => {$(
        $(#[$told])*
        #[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
        #[cfg_attr(test, derive(ts_rs::TS))]
        pub enum $name {
            $(#[doc = concat!("`", $word, "`")] #[serde(rename = $word)] $variant,)+
        }

        impl $name {
            /// The word.
            pub fn word(self) -> &'static str {
                match self {
                    $($name::$variant => $word,)+
                }
            }
        }

        impl From<$of> for $name {
            fn from(known: $of) -> $name {
                use $of as Of;
                match known {
                    $(Of::$variant => $name::$variant,)+
                }
            }
        }
    )+};
}

words! {
    /// The most serious thing that applies to a survey.
    OutcomeWord is adjust::Outcome {
        Fits = "fits",
        SuspectsHeldOut = "suspects held out",
        NothingChecked = "nothing checked",
        CannotTell = "cannot tell",
        TwoValued = "two-valued",
        LoosePoints = "loose points",
        Islands = "islands",
    }
    /// What decided between mirror images.
    HandednessWord is adjust::Handedness {
        Fixed = "fixed",
        Above = "above",
        Plumb = "plumb",
        Sides = "sides",
        RoughPositions = "rough positions",
        Unresolved = "unresolved",
    }
    /// Whether a point is pinned down.
    PointStatusWord is adjust::PointStatus {
        Fixed = "fixed",
        Loose = "loose",
        TwoValued = "two-valued",
    }
    /// What the tests say of a reading.
    VerdictWord is adjust::Verdict {
        Fits = "fits",
        LookAgain = "look again",
        Suspect = "suspect",
        Unclear = "unclear",
        SetAside = "set aside",
    }
    /// Why a step is in the order.
    StepReasonWord is adjust::StepReason {
        ReadAgain = "read again",
        Base = "base",
        Level = "level",
        Holds = "holds",
        TellsAbove = "tells above",
        Checks = "checks",
    }
    /// What a next reading is for.
    PurposeWord is adjust::Purpose {
        Pins = "pins",
        Settles = "settles",
        TellsApart = "tells-apart",
        ReadAgain = "read-again",
        Checks = "checks",
        Steadies = "steadies",
    }
    /// What a number is: a length in mm, or an angle in degrees.
    QuantityWord is survey::Quantity {
        Length = "length",
        Angle = "angle",
    }
}
