use super::*;
use crate::hand_made;

fn section<'a>(told: &'a Told, title: &str) -> &'a Section {
    told.sections
        .iter()
        .find(|section| section.title == title)
        .expect("the section is told")
}

#[test]
fn the_headline_says_what_is_so_and_what_to_do() {
    let told = Told::of(&hand_made::answer());
    assert_eq!(told.headline.verdict, "1 reading held out, 7 doubts open.");
    assert!(
        told.headline
            .action
            .starts_with("They stand between you and an order for tube.")
    );
    assert_eq!(
        told.stamp,
        "1 reading held out, 1 unchecked. Measured, not approved."
    );
}

#[test]
fn a_suspect_is_told_with_how_far_it_is_off_and_the_likely_slip() {
    let told = Told::of(&hand_made::answer());
    let item = &section(&told, "Off, and held out").items[0];
    assert_eq!(item.head, "r2: tape from sill-RR to sill-RL");
    assert_eq!(item.said[0], "Off by 1 in long.");
    assert_eq!(
        item.said[1],
        "Likely read from the 1 inch mark. Odds 97 in 100. Without it: 48 in."
    );
    assert_eq!(
        item.said[2],
        "Or taken to another point: tape from sill-RR to roof: 2 in 100."
    );
    assert_eq!(
        item.said[3],
        "Typed 49 in. Read: 49 in. The others expect: 48 in."
    );
}

#[test]
fn a_group_is_told_as_a_group() {
    let told = Told::of(&hand_made::answer());
    let item = &section(&told, "Cannot tell which").items[0];
    assert_eq!(item.head, "Cannot tell which of these 2 is off. Read both again.");
    assert_eq!(item.said.len(), 3);
    assert_eq!(item.said[2], "Until then they count for nothing in the points.");
}

#[test]
fn a_loose_point_is_told_with_how_it_moves() {
    let told = Told::of(&hand_made::answer());
    let item = &section(&told, "Points that can move").items[0];
    assert_eq!(item.head, "roof can move.");
    assert_eq!(
        item.said,
        [
            "Only one tape holds it. Tape it from three more points.",
            "It moves left or right together with up or down."
        ]
    );
}

#[test]
fn a_crooked_shell_is_told_with_which_side_is_ahead() {
    let told = Told::of(&hand_made::answer());
    let section = section(&told, "Is the shell straight?");
    let heads: Vec<&str> = section.items.iter().map(|item| item.head.as_str()).collect();
    assert_eq!(
        heads,
        [
            "Racked: the right side sits 0.31 in ahead of the left one, ± 0.08 in.",
            "No twist shows: from rear to front the left side comes out rising by 0.25 deg, within its ± 0.98 deg.",
            "Diagonal sill-RL to sill-RR is 0.10 in longer than sill-FR to sill-RL, ± 0.08 in.",
            "sill-RL and sill-RR: the right one is 0.31 in ahead (±0.08 in).",
            "No pair mirrors within what the readings can show.",
        ]
    );
    let doubts: Vec<bool> = section.items.iter().map(|item| item.doubt).collect();
    assert_eq!(doubts, [true, false, false, true, false]);
    assert!(
        section
            .intro
            .as_ref()
            .unwrap()
            .contains("Tape the lines at what is off again.")
    );
}

#[test]
fn a_crooked_shell_is_a_doubt_and_one_pair_of_many_by_chance_is_none() {
    let mut answer = hand_made::answer();
    let verdict = |answer: &AdjustAnswer| Told::of(answer).headline.verdict;
    let symmetry = answer.adjustment.symmetry.as_mut().unwrap();
    symmetry.pairs[0].stands_out = false;
    assert_eq!(verdict(&answer), "1 reading held out, 6 doubts open.");
    let symmetry = answer.adjustment.symmetry.as_mut().unwrap();
    symmetry.racked_mm.as_mut().unwrap().significant = false;
    assert_eq!(verdict(&answer), "1 reading held out, 5 doubts open.");
    let told = Told::of(&answer);
    let section = section(&told, "Is the shell straight?");
    assert!(section.items.iter().all(|item| !item.doubt));
    assert!(!section.intro.as_ref().unwrap().contains("Tape"));
    let symmetry = answer.adjustment.symmetry.as_mut().unwrap();
    symmetry.twisted.as_mut().unwrap().significant = true;
    assert_eq!(verdict(&answer), "1 reading held out, 6 doubts open.");
}

#[test]
fn pairs_that_stand_out_are_one_doubt() {
    let mut answer = hand_made::answer();
    let pairs = &mut answer.adjustment.symmetry.as_mut().unwrap().pairs;
    pairs.push(pairs[0].clone());
    pairs.push(adjust::PairOff {
        stands_out: false,
        ..pairs[0].clone()
    });
    let told = Told::of(&answer);
    assert_eq!(told.headline.verdict, "1 reading held out, 7 doubts open.");
    let items = &section(&told, "Is the shell straight?").items;
    let pairs = items
        .iter()
        .position(|item| item.head == "2 of 3 pairs do not mirror.")
        .unwrap();
    assert!(items[pairs].doubt && !items[pairs + 1].doubt);
    assert_eq!(items[pairs].said.len(), 2);
    assert_eq!(items[pairs + 1].head, items[pairs].said[0]);
}

#[test]
fn a_shell_without_pairs_is_told_what_it_takes() {
    let mut answer = hand_made::answer();
    answer.adjustment.symmetry = None;
    let told = Told::of(&answer);
    assert!(told.sections.iter().all(|s| s.title != "Is the shell straight?"));
    let last = section(&told, "What was not checked").items.last().unwrap();
    assert!(last.head.contains("at least two mirror pairs"), "{}", last.head);
}

#[test]
fn a_tape_with_a_worn_hook_is_told_with_what_to_write() {
    let told = Told::of(&hand_made::answer());
    let item = &section(&told, "Instruments").items[0];
    assert_eq!(
        item.said[1],
        "Reads 0.08 in short at its zero, ± 0.04 in. Write 0.08 in as its zero_offset if you trust that."
    );
    let item = &section(&told, "People").items[0];
    assert_eq!(item.head, "Kim, 3 readings");
    assert_eq!(
        item.said,
        [
            "Scatter 2.5 times as wide as the instruments promise. Have the other person read some of them again.",
            "Beside these, 1 reading held out."
        ]
    );
}

#[test]
fn plus_or_minus_is_rounded_up_and_never_told_where_it_is_not_known() {
    let told = Told::of(&hand_made::answer());
    let sure = told.points[1].half_widths.each_ref().map(|half| half.as_deref());
    assert_eq!(sure, [Some("1/16"), Some("0"), Some("0")]);
    assert_eq!(
        told.points[2].half_widths[0].as_deref(),
        Some("1/8"),
        "1.96 mm is more than 1/16 in"
    );
    assert_eq!(told.points[3].half_widths, [None, None, None]);
    assert_eq!(told.points[3].coordinates, [Some("10".to_owned()), None, None]);
}

#[test]
fn millimetres_are_told_where_the_crew_works_in_them() {
    let mut answer = hand_made::answer();
    answer.crew_unit = LengthUnit::Millimetre;
    let told = Told::of(&answer);
    assert_eq!(told.unit, "mm");
    assert_eq!(told.points[1].coordinates[0].as_deref(), Some("1381.1"));
    assert_eq!(
        told.points[1].half_widths[0].as_deref(),
        Some("1.0"),
        "0.98 mm, rounded up"
    );
}

#[test]
fn nothing_is_called_what_only_a_person_may_call_it() {
    let told = format!("{:?} {CAUTION}", Told::of(&hand_made::answer())).to_lowercase();
    for word in ["clean", "safe", "ready", "certified", "all good"] {
        assert!(!told.contains(word), "{word}");
    }
    assert_eq!(
        told.matches("approved").count(),
        told.matches("measured, not approved.").count()
    );
}

#[test]
fn every_slip_has_words_of_its_own() {
    let mut answer = hand_made::answer();
    let mut told = std::collections::BTreeSet::new();
    for slip in adjust::Slip::ALL {
        let likely = adjust::LikelySlip {
            slip,
            corrected: Some(1219.2),
            belongs_to: None,
            odds: 0.9,
        };
        answer.adjustment.readings[1].slips = Some(adjust::LikelySlips {
            slips: vec![likely],
            none_of_these: 0.1,
        });
        let line = section(&Told::of(&answer), "Off, and held out").items[0].said[1].clone();
        assert!(line.starts_with("Likely ") && !line.contains('-'), "{line}");
        told.insert(line);
    }
    assert_eq!(told.len(), adjust::Slip::ALL.len());
}

#[test]
fn a_forgotten_toggle_is_told_from_where_to_where() {
    use survey::ReadFrom;
    let mut answer = hand_made::answer();
    for (from, corrected, words) in [
        (
            ReadFrom::Hook,
            1219.2,
            "Likely read from the 1 inch mark on purpose, and not logged so.",
        ),
        (
            ReadFrom::Hook,
            1144.6,
            "Likely read from the 100 mm mark on purpose, and not logged so.",
        ),
        (
            ReadFrom::BurnInch,
            1270.0,
            "Likely logged as read from the 1 inch mark, and read from the hook.",
        ),
    ] {
        answer.survey.readings[1].from = from;
        let likely = adjust::LikelySlip {
            slip: adjust::Slip::FromForgotten,
            corrected: Some(corrected),
            belongs_to: None,
            odds: 0.9,
        };
        answer.adjustment.readings[1].slips = Some(adjust::LikelySlips {
            slips: vec![likely],
            none_of_these: 0.1,
        });
        let line = section(&Told::of(&answer), "Off, and held out").items[0].said[1].clone();
        assert!(line.starts_with(words), "{line}");
    }
}

#[test]
fn a_doubt_near_the_limit_says_so() {
    let mut answer = hand_made::answer();
    answer.adjustment.readings[1].w = Some(-4.6);
    let said = section(&Told::of(&answer), "Off, and held out").items[0]
        .said
        .clone();
    assert!(
        said.iter()
            .any(|line| line.contains("Have the other person read it again")),
        "{said:?}"
    );
    let sure = section(&Told::of(&hand_made::answer()), "Off, and held out").items[0]
        .said
        .clone();
    assert!(!sure.iter().any(|line| line.contains("other person")), "{sure:?}");
}
