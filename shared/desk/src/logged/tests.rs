use super::*;
use crate::{AdjustRequest, SheetBytes, adjust};

/// The corners of a box of 1200 by 900 by 700 mm, every line taped but the last, in whole millimetres.
fn a_box() -> AdjustAnswer {
    let corners: Vec<[f64; 3]> = (0..8)
        .map(|n| {
            let at = |bit: usize, size: f64| if n >> bit & 1 == 1 { size } else { 0.0 };
            [at(0, 1200.0), at(1, 900.0), at(2, 700.0)]
        })
        .collect();
    let mut sheet = "id,kind,a,b,value\n".to_owned();
    for a in 0..8 {
        for b in 0..a {
            let square: f64 = (0..3).map(|k| (corners[a][k] - corners[b][k]).powi(2)).sum();
            sheet += &format!("r{a}{b},tape,P{a},P{b},{:.0} mm\n", square.sqrt());
        }
    }
    let readings = SheetBytes {
        name: "readings.csv".into(),
        bytes: sheet.into_bytes(),
    };
    adjust(AdjustRequest::of(readings)).unwrap()
}

/// The tape of that id, read again so much longer.
fn again(answer: &AdjustAnswer, id: &str, longer_mm: f64) -> LoggedAnswer {
    let number = answer.survey.reading_index(id).unwrap();
    let mut reading = answer.survey.readings[number].clone();
    reading.id = "again".into();
    reading.read += longer_mm;
    reading.observed += longer_mm;
    reading.typed = format!("{} mm", reading.read);
    just_logged(answer, &reading)
}

#[test]
fn what_fits_is_told_with_how_near_it_lies() {
    let told = again(&a_box(), "r70", 0.0).words;
    assert!(told.headline.starts_with("Fits: within "), "{}", told.headline);
    assert!(told.headline.ends_with(" mm of what the others expect."));
    assert!(!told.doubt && told.said.is_empty());
}

#[test]
fn an_inch_too_many_is_told_with_its_slip_and_what_to_do() {
    let told = again(&a_box(), "r70", 25.4).words;
    assert!(told.headline.ends_with(" mm long."), "{}", told.headline);
    assert!(
        told.said[0].starts_with("Likely read from the 1 inch mark. Odds "),
        "{:?}",
        told.said
    );
    assert_eq!(told.said.last().unwrap(), "Read it again, or keep it.");
    assert!(told.doubt);
}

#[test]
fn a_new_point_has_nothing_to_be_compared_with() {
    let answer = a_box();
    let mut reading = answer.survey.readings[0].clone();
    reading.id = "new".into();
    reading.points[1] = answer.survey.points.len();
    let told = just_logged(&answer, &reading).words;
    assert_eq!(told.headline, "Nothing to compare it with yet.");
    assert_eq!(told.said, ["No other reading has this point yet."]);
    assert!(!told.doubt);
}

#[test]
fn what_cannot_be_seen_is_told_with_how_much_would_hide() {
    let answer = a_box();
    let mut reading = answer.survey.readings[0].clone();
    reading.id = "coarse".into();
    reading.sd = 50.0;
    let told = just_logged(&answer, &reading).words;
    assert_eq!(told.headline, "Nothing to compare it with yet.");
    assert!(told.said[0].starts_with("A slip of up to 2"), "{:?}", told.said);
}
