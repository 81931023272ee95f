//! What stands between the crew and an order for tube, each with what would settle it.

use adjust::{Moved, Verdict};
use survey::Kind;

use super::words::{Words, capital, direction, number};
use super::{Item, Section, is_unchecked, is_used, slips};
use crate::AdjustAnswer;

/// Readings that are off, with the likely slip.
pub(super) fn suspects(words: &Words<'_>) -> Section {
    let held_out = words.answer.adjustment.summary.held_out > 0;
    Section {
        title: if held_out {
            "Off, and held out"
        } else {
            "Off, and kept in as you asked"
        },
        intro: Some("Read these again. Until then they count for nothing in the points.".to_owned())
            .filter(|_| held_out),
        items: with_verdict(words, Verdict::Suspect)
            .filter(|&reading| !super::causes::explained_by_a_cause(words.answer, reading))
            .map(|reading| accused(words, reading))
            .collect(),
    }
}

/// Readings that are worth a second look.
pub(super) fn look_again(words: &Words<'_>) -> Section {
    Section {
        title: "Look again",
        intro: Some(
            "These fit poorly, but no worse than one in a big survey may. They are kept in.".to_owned(),
        ),
        items: with_verdict(words, Verdict::LookAgain)
            .map(|reading| Item {
                said: vec![off_by(words, reading)],
                ..accused(words, reading)
            })
            .collect(),
    }
}

/// Groups of readings of which some are off.
pub(super) fn unclear(words: &Words<'_>) -> Section {
    let groups = words
        .answer
        .adjustment
        .unclear
        .iter()
        .filter(|group| group.cause.is_none());
    let items = groups.map(|group| {
        let both = if group.readings.len() == 2 {
            "both"
        } else {
            "all of them"
        };
        let head = match group.readings.len() {
            1 => "Something is off here, and nothing else checks it. Read it again.".to_owned(),
            count => format!("Cannot tell which of these {count} is off. Read {both} again."),
        };
        let each = group.readings.iter().map(|&reading| {
            let one = &words.answer.survey.readings[reading];
            let line = words.line(one);
            let off = off_by(words, reading);
            if off.is_empty() {
                return line;
            }
            let likely = words.answer.adjustment.readings[reading]
                .slips
                .as_ref()
                .and_then(|found| slips::if_this_one(words, one, found))
                .map_or_else(String::new, |likely| format!(" {likely}"));
            format!("{line}. If it is this one: {}{likely}", lower_first(&off))
        });
        let kept = if group.held_out {
            "Until then they count for nothing in the points."
        } else {
            "Until then they are in the points: without them a point could move."
        };
        let said = each
            .chain([kept.to_owned()])
            .chain(group.moves.iter().map(|moved| either(words, moved)));
        Item {
            doubt: true,
            head,
            said: said.collect(),
        }
    });
    Section {
        title: "Cannot tell which",
        intro: None,
        items: items.collect(),
    }
}

/// Where a point is by one explanation and by another.
fn either(words: &Words<'_>, moved: &Moved) -> String {
    let [one, other] = moved.places.map(|place| words.place(place));
    format!("{} is at {one} or at {other}.", words.label(moved.point))
}

/// What groups that are kept in do to the points, for those who read the problems only.
pub(crate) fn unclear_problems(answer: &AdjustAnswer) -> Vec<String> {
    let words = Words { answer };
    let kept = answer
        .adjustment
        .unclear
        .iter()
        .enumerate()
        .filter(|(_, group)| !group.held_out);
    kept.map(|(number, group)| {
        let ids: Vec<&str> =
            group.readings.iter().map(|&reading| answer.survey.readings[reading].id.as_str()).collect();
        if group.cause.is_some() {
            return format!(
                "the readings of group {} share one amount, which is an unknown: without them points could move, so \
                 they are still in the coordinates ({})",
                number + 1,
                ids.join(", ")
            );
        }
        let places: String = group.moves.iter().map(|moved| format!(" {}", either(&words, moved))).collect();
        format!(
            "cannot tell which of group {} is off ({}): all of them are still in the coordinates; read them again.{places}",
            number + 1,
            ids.join(", ")
        )
    })
    .collect()
}

/// Points that can move, and those that nobody has read.
pub(super) fn loose(words: &Words<'_>) -> Section {
    let (read, unread): (Vec<_>, Vec<_>) = words
        .answer
        .adjustment
        .loose
        .iter()
        .partition(|loose| is_read(words.answer, loose.point));
    let items = read.into_iter().map(|loose| {
        let label = words.label(loose.point);
        let (tapes, others) = held_by(words.answer, loose.point);
        let held = match (tapes, others) {
            (0, 0) => "No reading that counts holds it. Tape it from at least four points.".to_owned(),
            (1, 0) => "Only one tape holds it. Tape it from three more points.".to_owned(),
            (2, 0) => "Only two tapes hold it. Tape a third, and a fourth to check.".to_owned(),
            (tapes, 0) => {
                format!(
                    "{} tapes hold it, and do not pin it down. Tape it from another side.",
                    capital(&number(tapes))
                )
            }
            (tapes, others) => format!(
                "{} tape{} and {} other reading{} do not pin it down. Tape it from another side.",
                capital(&number(tapes)),
                if tapes == 1 { "" } else { "s" },
                number(others),
                if others == 1 { "" } else { "s" },
            ),
        };
        let (head, way) = match loose.directions.as_slice() {
            [] => (format!("{label} can move."), None),
            [one] if tapes + others >= 2 => (format!("{label} can swing."), Some(direction(*one))),
            [one] => (format!("{label} can move."), Some(direction(*one))),
            [_, _] => (format!("{label} can move in two ways."), None),
            _ => (format!("{label} can be anywhere."), None),
        };
        let said = std::iter::once(held).chain(way.map(|way| format!("It moves {way}.")));
        Item {
            doubt: true,
            head,
            said: said.collect(),
        }
    });
    let waiting = (!unread.is_empty()).then(|| Item {
        doubt: true,
        head: match unread.as_slice() {
            [one] => format!("{} is not read yet.", words.label(one.point)),
            many => format!("{} points are not read yet.", many.len()),
        },
        said: (unread.len() > 1)
            .then(|| {
                let labels: Vec<String> = unread.iter().map(|loose| words.label(loose.point)).collect();
                labels.join(", ")
            })
            .into_iter()
            .chain([match unread.len() {
                1 => "Tape it from at least four points.".to_owned(),
                _ => "Tape each of them from at least four points.".to_owned(),
            }])
            .collect(),
    });
    Section {
        title: "Points that can move",
        intro: None,
        items: items.chain(waiting).collect(),
    }
}

/// Points with two places.
pub(super) fn two_valued(words: &Words<'_>) -> Section {
    let items = words.answer.adjustment.two_valued.iter().map(|two| Item {
        doubt: true,
        head: format!("{} can be in either of two places.", words.label(two.point)),
        said: two
            .candidates
            .iter()
            .map(|&at| format!("x, y, z: {}", words.place(at)))
            .chain(["Tape it once more, from a point to one side of the others.".to_owned()])
            .collect(),
    });
    Section {
        title: "Points with two places",
        intro: None,
        items: items.collect(),
    }
}

/// Groups of points that nothing joins.
pub(super) fn islands(words: &Words<'_>) -> Section {
    let islands = &words.answer.adjustment.islands;
    let shown = if islands.len() > 1 {
        islands.as_slice()
    } else {
        &[]
    };
    let items = shown.iter().enumerate().map(|(index, island)| Item {
        doubt: true,
        head: format!("Group {} of {}: {} points", index + 1, shown.len(), island.len()),
        said: vec![
            island
                .iter()
                .map(|&point| words.label(point))
                .collect::<Vec<_>>()
                .join(", "),
        ],
    });
    Section {
        title: "Groups that nothing joins",
        intro: Some(
            "Each group holds together, but not with the others. Tape at least six lines between them."
                .into(),
        ),
        items: items.collect(),
    }
}

/// Readings in which nothing would show a slip.
pub(super) fn unchecked(words: &Words<'_>) -> Section {
    let answer = words.answer;
    let items = (0..answer.survey.readings.len())
        .filter(|&reading| is_unchecked(answer, reading))
        .map(|reading| {
            let (said, found) = (
                &answer.survey.readings[reading],
                &answer.adjustment.readings[reading],
            );
            let told = match found.smallest_visible_slip {
                Some(slip) => format!(
                    "Nothing checks this reading. A slip of up to {} would not show.",
                    words.value_rounded_up(said.kind, slip)
                ),
                None => "Nothing checks this reading. No slip in it would show.".to_owned(),
            };
            Item {
                doubt: true,
                head: words.line(said),
                said: vec![told],
            }
        });
    Section {
        title: "Unchecked",
        intro: None,
        items: items.collect(),
    }
}

fn with_verdict<'a>(words: &'a Words<'_>, verdict: Verdict) -> impl Iterator<Item = usize> + 'a {
    let readings = words.answer.adjustment.readings.iter().enumerate();
    readings
        .filter(move |(_, reading)| reading.verdict == verdict)
        .map(|(index, _)| index)
}

fn accused(words: &Words<'_>, reading: usize) -> Item {
    let (said, found) = (
        &words.answer.survey.readings[reading],
        &words.answer.adjustment.readings[reading],
    );
    let mut lines = vec![off_by(words, reading)];
    match &found.slips {
        Some(slips) => lines.extend(slips::lines(words, said, slips, found.w)),
        None => lines.extend(slips::hard_to_see(found.w)),
    }
    lines.retain(|line| !line.is_empty());
    if let Some(expected) = found.adjusted {
        let between = if found.observed == said.read {
            ""
        } else {
            ", from point to point"
        };
        lines.push(format!(
            "Typed {}. Read{between}: {}. The others expect: {}.",
            said.typed,
            words.value(said.kind, found.observed),
            words.value(said.kind, expected)
        ));
    }
    Item {
        doubt: true,
        head: words.line(said),
        said: lines,
    }
}

/// `Off by 1 in long.`, or nothing where nothing is expected.
fn off_by(words: &Words<'_>, reading: usize) -> String {
    let kind = words.answer.survey.readings[reading].kind;
    words.answer.adjustment.readings[reading]
        .residual
        .map_or_else(String::new, |residual| {
            format!("Off by {}.", words.way_off(kind, residual))
        })
}

/// Whether any reading touches a point, counted or not.
pub(crate) fn is_read(answer: &AdjustAnswer, point: usize) -> bool {
    let readings = &answer.survey.readings;
    readings.iter().any(|reading| reading.points.contains(&point))
}

/// How many tapes and how many other readings in use touch a point.
pub(crate) fn held_by(answer: &AdjustAnswer, point: usize) -> (usize, usize) {
    let touching = (0..answer.survey.readings.len()).filter(|&reading| {
        is_used(answer, reading) && answer.survey.readings[reading].points.contains(&point)
    });
    touching.fold((0, 0), |(tapes, others), reading| {
        match answer.survey.readings[reading].kind {
            Kind::Tape => (tapes + 1, others),
            _ => (tapes, others + 1),
        }
    })
}

fn lower_first(text: &str) -> String {
    let mut letters = text.chars();
    letters
        .next()
        .map_or_else(String::new, |first| first.to_lowercase().chain(letters).collect())
}
