//! Is the shell straight? Racked, twisted, diagonals, pairs: what shows, and what does not show by how much.

use adjust::{Adjustment, Diagonal, PairOff, Symmetry, Tested};
use survey::format_angle;

use super::words::{HALF_WIDTH_95, Words, number};
use super::{Item, Section};
use crate::AdjustAnswer;
use crate::adjust::counted;
use crate::wire::QuantityWord;

/// How many pairs are told one by one; the JSON has them all.
const PAIRS_TOLD: usize = 8;
/// How many diagonals.
const DIAGONALS_TOLD: usize = 3;

/// What the mirror pairs say.
pub(super) fn straight(words: &Words<'_>) -> Section {
    let items = match &words.answer.adjustment.symmetry {
        Some(symmetry) => items(words, symmetry),
        None => Vec::new(),
    };
    let mut intro =
        "Left against right, mirrored in the middle of all pairs. By chance alone about one line in \
                     twenty calls something crooked that is not."
            .to_owned();
    if items.iter().any(|item| item.doubt) {
        intro.push_str(
            " Tape the lines at what is off again. If it stays, settle whether the shell is straightened or the tube \
             made to fit.",
        );
    }
    Section {
        title: "Is the shell straight?",
        intro: Some(intro),
        items,
    }
}

/// A rack (a length) or a twist (an angle) in a sentence.
pub(crate) fn straight_words(answer: &AdjustAnswer, quantity: QuantityWord, tested: Tested) -> String {
    match quantity {
        QuantityWord::Length => of_rack(&Words { answer }, tested),
        QuantityWord::Angle => of_twist(tested),
    }
}

/// How many doubts of it stand between the crew and an order for tube: a rack, a twist, and the pairs that stand out,
/// which are one: hardly a shell mirrors to a sixteenth of an inch.
pub(super) fn doubts(adjustment: &Adjustment) -> usize {
    let Some(symmetry) = &adjustment.symmetry else {
        return 0;
    };
    let amounts = [symmetry.racked_mm, symmetry.twisted];
    amounts.iter().flatten().filter(|it| it.significant).count()
        + usize::from(symmetry.pairs.iter().any(|pair| pair.stands_out))
}

fn items(words: &Words<'_>, symmetry: &Symmetry) -> Vec<Item> {
    let amount = |tested: Tested, head: String| Item {
        doubt: tested.significant,
        ..plain(head)
    };
    let mut items = Vec::new();
    items.extend(
        symmetry
            .racked_mm
            .map(|racked| amount(racked, of_rack(words, racked))),
    );
    items.extend(symmetry.twisted.map(|twisted| amount(twisted, of_twist(twisted))));
    items.extend(diagonals(words, &symmetry.diagonals));
    items.extend(pairs(words, &symmetry.pairs));
    items
}

fn of_rack(words: &Words<'_>, racked: Tested) -> String {
    let (ahead, behind) = if racked.value >= 0.0 {
        ("left", "right")
    } else {
        ("right", "left")
    };
    let [by, half] = words.difference(racked.value, racked.sd);
    if racked.significant {
        format!("Racked: the {ahead} side sits {by} ahead of the {behind} one, ± {half}.")
    } else {
        format!("No rack shows: the {ahead} side comes out {by} ahead, within its ± {half}.")
    }
}

fn of_twist(twisted: Tested) -> String {
    let rises = if twisted.value >= 0.0 { "left" } else { "right" };
    let by = format_angle(twisted.value.abs(), 2);
    let half = angle_up(HALF_WIDTH_95 * twisted.sd);
    if twisted.significant {
        format!("Twisted: from rear to front the {rises} side rises by {by}, ± {half}.")
    } else {
        format!(
            "No twist shows: from rear to front the {rises} side comes out rising by {by}, within its ± {half}."
        )
    }
}

/// Those that differ, longest first; where none does, the longest one.
fn diagonals(words: &Words<'_>, all: &[Diagonal]) -> Vec<Item> {
    let differ: Vec<&Diagonal> = all.iter().filter(|it| it.difference_mm.significant).collect();
    let line = |it: &Diagonal| {
        let [one, other] =
            [it.one, it.other].map(|[a, b]| format!("{} to {}", words.label(a), words.label(b)));
        let (longer, shorter) = if it.difference_mm.value >= 0.0 {
            (one, other)
        } else {
            (other, one)
        };
        let [by, half] = words.difference(it.difference_mm.value, it.difference_mm.sd);
        (longer, shorter, by, half)
    };
    if differ.is_empty() {
        let told = all.iter().take(1).map(|it| {
            let (longer, shorter, by, half) = line(it);
            let head = match all.len() {
                1 => "The diagonals agree.".to_owned(),
                count => format!("The {} longest pairs of diagonals agree.", number(count)),
            };
            Item {
                doubt: false,
                head,
                said: vec![format!(
                    "The longest: {longer} is {by} more than {shorter}, ± {half}."
                )],
            }
        });
        return told.collect();
    }
    let told = differ.iter().take(DIAGONALS_TOLD).map(|it| {
        let (longer, shorter, by, half) = line(it);
        plain(format!(
            "Diagonal {longer} is {by} longer than {shorter}, ± {half}."
        ))
    });
    told.collect()
}

/// The pairs that are off, the surest first, and how many are not.
fn pairs(words: &Words<'_>, all: &[PairOff]) -> Vec<Item> {
    let mut off: Vec<&PairOff> = all.iter().filter(|pair| pair.significant).collect();
    let surest = |pair: &PairOff| (0..3).map(|k| in_deviations(pair, k)).fold(0.0, f64::max);
    off.sort_by(|a, b| surest(b).total_cmp(&surest(a)));
    let line = |pair: &PairOff| {
        let names = format!("{} and {}", words.label(pair.left), words.label(pair.right));
        format!("{names}: {}.", how_off(words, pair))
    };
    let (standing_out, by_chance): (Vec<&PairOff>, Vec<&PairOff>) =
        off.iter().partition(|pair| pair.stands_out);
    let mut items = Vec::new();
    match standing_out[..] {
        [] => {}
        [only] => items.push(Item {
            doubt: true,
            ..plain(line(only))
        }),
        _ => items.push(Item {
            doubt: true,
            head: format!(
                "{} of {} do not mirror.",
                standing_out.len(),
                counted(all.len(), "pair")
            ),
            said: standing_out
                .iter()
                .take(PAIRS_TOLD)
                .map(|pair| line(pair))
                .collect(),
        }),
    }
    let told = PAIRS_TOLD.min(standing_out.len());
    items.extend(
        by_chance
            .iter()
            .take(PAIRS_TOLD - told)
            .map(|pair| plain(line(pair))),
    );
    if off.len() > PAIRS_TOLD {
        items.push(plain(format!(
            "{} more pairs are off, less surely; the JSON lists them.",
            off.len() - PAIRS_TOLD
        )));
    }
    let rest = all.len() - off.len();
    items.push(plain(match (rest, off.is_empty()) {
        (0, _) => "No pair mirrors within what the readings can show.".to_owned(),
        (rest, true) => format!("{} mirror within what the readings can show.", all_of(rest)),
        (rest, false) => format!(
            "The other {} within what the readings can show.",
            if rest == 1 {
                "pair mirrors".to_owned()
            } else {
                format!("{} mirror", counted(rest, "pair"))
            }
        ),
    }));
    items
}

fn all_of(count: usize) -> String {
    match count {
        2 => "Both pairs".to_owned(),
        count => format!("All {}", counted(count, "pair")),
    }
}

/// In which ways, and by how much: each way that shows by itself, else the one that shows most.
fn how_off(words: &Words<'_>, pair: &PairOff) -> String {
    let mut ways: Vec<usize> = (0..3)
        .filter(|&k| in_deviations(pair, k) > HALF_WIDTH_95)
        .collect();
    if ways.is_empty() {
        ways.extend((0..3).max_by(|&a, &b| in_deviations(pair, a).total_cmp(&in_deviations(pair, b))));
    }
    let one = |k: usize, share: f64, ways: [&str; 2]| {
        let off = pair.off_mm[k] * share;
        let sd = pair.covariance_mm2[k][k].max(0.0).sqrt() * share;
        let [by, half] = words.difference(off, sd);
        let way = if off >= 0.0 { ways[0] } else { ways[1] };
        format!("{by} {way} (±{half})")
    };
    let right_one: Vec<String> = ways
        .iter()
        .filter_map(|&k| match k {
            0 => Some(one(0, 1.0, ["ahead", "back"])),
            2 => Some(one(2, 1.0, ["higher", "lower"])),
            _ => None,
        })
        .collect();
    let mut said = Vec::new();
    if !right_one.is_empty() {
        said.push(format!("the right one is {}", right_one.join(" and ")));
    }
    if ways.contains(&1) {
        // Each of the two has moved by half.
        said.push(format!(
            "both are {}",
            one(1, 0.5, ["to the left", "to the right"])
        ));
    }
    said.join("; ")
}

fn in_deviations(pair: &PairOff, k: usize) -> f64 {
    let sd = pair.covariance_mm2[k][k].max(0.0).sqrt();
    if sd > 0.0 { pair.off_mm[k].abs() / sd } else { 0.0 }
}

/// An angle that must not be told too small, to a hundredth of a degree.
fn angle_up(radians: f64) -> String {
    format_angle(
        (radians.to_degrees() * 100.0 - 1e-6).ceil().max(1.0).to_radians() / 100.0,
        2,
    )
}

fn plain(head: String) -> Item {
    Item {
        doubt: false,
        head,
        said: Vec::new(),
    }
}
