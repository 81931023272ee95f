//! Likely slips in plain words of the trade, with their odds.

use adjust::{LikelySlip, LikelySlips, Slip};
use survey::{INCH_MM, Kind, ReadFrom, Reading};

use super::words::Words;

/// Under so many standard deviations of the test nobody can be sure of a slip.
const HARD_TO_SEE: f64 = 5.0;
/// Other answers than the likeliest that are told: so many, and none that is less likely than this.
const OTHERS_TOLD: usize = 3;
const WORTH_SAYING: f64 = 0.02;

/// The likely slip with its odds, and what else it can have been.
pub(super) fn lines(words: &Words<'_>, said: &Reading, slips: &LikelySlips, w: Option<f64>) -> Vec<String> {
    let best = slips.best();
    let first = match best {
        Some(likely) => {
            let would_be = likely
                .corrected
                .map(|corrected| format!(" Without it: {}.", words.value(said.kind, corrected)))
                .unwrap_or_default();
            format!(
                "Likely {}. Odds {}.{would_be}",
                slip(words, said, likely),
                in_hundred(likely.odds)
            )
        }
        None => format!(
            "No slip on the list explains it well. Odds of none of these: {}.",
            in_hundred(slips.none_of_these)
        ),
    };
    let others: Vec<String> = slips
        .slips
        .iter()
        .skip(usize::from(best.is_some()))
        .filter(|likely| likely.odds >= WORTH_SAYING)
        .take(OTHERS_TOLD)
        .map(|likely| format!("{}: {}.", slip(words, said, likely), in_hundred(likely.odds)))
        .chain(
            (best.is_some() && slips.none_of_these >= WORTH_SAYING)
                .then(|| format!("none of these: {}.", in_hundred(slips.none_of_these))),
        )
        .map(|other| format!("Or {other}"))
        .collect();
    let mut lines = vec![first];
    if !others.is_empty() {
        lines.push(others.join(" "));
    }
    lines.extend(hard_to_see(w));
    lines
}

/// What it likely is if this one of several is off; nothing where no slip explains it.
pub(super) fn if_this_one(words: &Words<'_>, said: &Reading, slips: &LikelySlips) -> Option<String> {
    let best = slips.best()?;
    let odds = in_hundred(best.odds);
    Some(format!("Then likely {}. Odds {odds}.", slip(words, said, best)))
}

/// Whether a doubt is near the limit of what readings can show.
pub(crate) fn is_hard_to_see(w: Option<f64>) -> bool {
    w.is_some_and(|w| w.abs() < HARD_TO_SEE)
}

/// Said beside a doubt that is near the limit of what readings can show.
pub(super) fn hard_to_see(w: Option<f64>) -> Option<String> {
    is_hard_to_see(w).then(|| {
        "So small a slip cannot be proved by the other readings. Have the other person read it again, without \
         seeing the first number."
            .to_owned()
    })
}

/// `read from the 1 inch mark`.
fn slip(words: &Words<'_>, said: &Reading, likely: &LikelySlip) -> String {
    let lost = likely
        .corrected
        .is_some_and(|corrected| corrected.abs() > said.observed.abs());
    let or = |lost_words: &str, gained_words: &str| if lost { lost_words } else { gained_words }.to_owned();
    let taken_to = |what: &str| match &likely.belongs_to {
        Some(points) => format!("taken to {what}: {}", words.between(said.kind, points)),
        None => format!("taken to {what}"),
    };
    match likely.slip {
        Slip::BurnedInch => "read from the 1 inch mark".to_owned(),
        Slip::Foot => or("a foot lost between marks", "a foot too many"),
        Slip::Decimetre => or("100 mm lost between marks", "100 mm too many"),
        Slip::Inch => "an inch lost between marks".to_owned(),
        Slip::HalfInch => or("half an inch lost", "half an inch too many"),
        Slip::Fraction => "read off the mark beside the right one".to_owned(),
        Slip::DigitsSwapped => "two digits swapped on paper".to_owned(),
        Slip::CaseLength => or(
            "the case of an inside reading not added",
            "the case added where it was not used",
        ),
        Slip::CmForInch => or(
            "inches written down as centimetres",
            "centimetres written down as inches",
        ),
        Slip::FromForgotten if said.from == ReadFrom::Hook => format!(
            "read {} on purpose, and not logged so",
            really_from(words, said, likely.corrected)
        ),
        Slip::FromForgotten => format!(
            "logged as read {}, and read {}",
            place(said.from),
            really_from(words, said, likely.corrected)
        ),
        Slip::Complement if said.kind == Kind::Slope => "read from plumb instead of level".to_owned(),
        Slip::Complement => "read from square instead of the other leg".to_owned(),
        Slip::Supplement => "read on the other side of the leg, 180 deg less the corner".to_owned(),
        Slip::Sign if said.kind.needs_plumb() => "up and down mixed up".to_owned(),
        Slip::Sign => "a minus sign lost, or one too many".to_owned(),
        Slip::MirrorPoint => taken_to("the mirror point"),
        Slip::WrongPoint => taken_to("another point"),
        Slip::MovedMark => "a mark that moved between readings".to_owned(),
        Slip::LabelsExchanged => "two labels exchanged".to_owned(),
        Slip::WholeSheet => "all of them read that way".to_owned(),
        Slip::TapeBent => "the tape bent round something, or sagging: it reads long".to_owned(),
    }
}

/// Where the number was really read from, if only that was logged wrong.
fn really_from(words: &Words<'_>, said: &Reading, corrected: Option<f64>) -> &'static str {
    let case = words
        .answer
        .survey
        .instrument_of(said)
        .and_then(|instrument| instrument.case_length_mm);
    let added = |from: ReadFrom| match from {
        ReadFrom::Hook => Some(0.0),
        ReadFrom::BurnInch => Some(-INCH_MM),
        ReadFrom::Burn100mm => Some(-100.0),
        ReadFrom::Case => case,
    };
    let (Some(corrected), Some(said_added)) = (corrected, added(said.from)) else {
        return "elsewhere";
    };
    let really = corrected.abs() - said.observed.abs() + said_added;
    let off = |from: &ReadFrom| added(*from).map_or(f64::INFINITY, |added| (added - really).abs());
    [
        ReadFrom::Hook,
        ReadFrom::BurnInch,
        ReadFrom::Burn100mm,
        ReadFrom::Case,
    ]
    .into_iter()
    .min_by(|a, b| off(a).total_cmp(&off(b)))
    .map_or("elsewhere", place)
}

fn place(from: ReadFrom) -> &'static str {
    match from {
        ReadFrom::Hook => "from the hook",
        ReadFrom::BurnInch => "from the 1 inch mark",
        ReadFrom::Burn100mm => "from the 100 mm mark",
        ReadFrom::Case => "with the case",
    }
}

fn in_hundred(odds: f64) -> String {
    match (odds * 100.0).floor() {
        hundredths if hundredths >= 99.0 => "better than 99 in 100".to_owned(),
        hundredths => format!("{hundredths:.0} in 100"),
    }
}
