//! What two devices wrote before they met.

use ledger::{CorrectionText, Edit, EditError, Value};

use crate::crew::Tablet;

fn corrected(value: &str) -> CorrectionText {
    CorrectionText {
        value: Some(value.into()),
        ..CorrectionText::default()
    }
}

#[test]
fn both_values_are_kept_until_someone_chooses() {
    let mut ana = Tablet::first();
    let reading = ana.tape("A", "B", "344 mm");
    let mut ben = ana.copy("Ben", 2);
    for (tablet, value) in [(&mut ana, "434 mm"), (&mut ben, "443 mm")] {
        tablet.does(Edit::Correct {
            reading: reading.clone(),
            text: corrected(value),
            why: "swapped".into(),
        });
    }
    ana.meet(&mut ben);
    assert_eq!(ana.job.disputes(), ben.job.disputes());
    let disputes = ana.job.disputes();
    // The reason is the same on both: nobody disagrees about that.
    assert_eq!(disputes.len(), 1);
    let dispute = &disputes[0];
    assert_eq!(dispute.key.field, "now.value");
    let mut said: Vec<(&str, &str)> = dispute
        .values
        .iter()
        .map(|said| (said.by.as_str(), said.value.text().unwrap()))
        .collect();
    said.sort_unstable();
    assert_eq!(said, [("Ana", "434 mm"), ("Ben", "443 mm")]);
    assert!(
        dispute
            .values
            .iter()
            .all(|said| said.at_s > 0 && said.change.is_some())
    );
    let counts = dispute.values.last().unwrap().value.clone();
    assert_eq!(
        ana.job.records().readings[&reading].now.value,
        counts.text().unwrap()
    );

    // Either can be chosen, the one that counts already too.
    for value in ["434 mm", "443 mm"] {
        let mut chooser = ana.copy("Cleo", 9);
        chooser.does(Edit::Choose {
            key: dispute.key.clone(),
            value: Value::from(value),
        });
        assert_eq!(chooser.job.disputes(), []);
        assert_eq!(chooser.job.records().readings[&reading].now.value, value);
        let again = chooser.tries(Edit::Choose {
            key: dispute.key.clone(),
            value: Value::from(value),
        });
        assert!(matches!(again, Err(EditError::NothingToChoose(_))));
    }
    let third = ana.tries(Edit::Choose {
        key: dispute.key.clone(),
        value: Value::from("1 mm"),
    });
    assert!(matches!(third, Err(EditError::NothingToChoose(_))));
}

#[test]
fn the_same_point_made_on_two_tablets_is_one_point() {
    let mut ana = Tablet::first();
    let mut ben = ana.copy("Ben", 2);
    ana.tape("sill-L", "tower-L", "1 m");
    ben.tape("sill-L", "roof", "2 m");
    ana.meet(&mut ben);
    assert_eq!(ana.job.records().marks().len(), 3);
    assert_eq!(ana.job.disputes(), []);
    // Both called theirs the first reading; people see two names.
    let mut names: Vec<String> = ana.job.records().reading_names().into_values().collect();
    names.sort();
    assert_eq!(names, ["r001", "r001 (2)"]);
}

#[test]
fn two_points_renamed_alike_are_told_apart_until_someone_acts() {
    let mut ana = Tablet::first();
    ana.tape("A", "B", "1 m");
    let mut ben = ana.copy("Ben", 2);
    let (a, b) = (ana.point("A"), ana.point("B"));
    ana.does(Edit::RenamePoint {
        point: a,
        label: "sill".into(),
    });
    ben.does(Edit::RenamePoint {
        point: b,
        label: "sill".into(),
    });
    ana.meet(&mut ben);
    let mut labels: Vec<String> = ana.job.records().labels().into_values().collect();
    labels.sort();
    assert_eq!(labels, ["sill", "sill (2)"]);
    let survey = ana.job.records().survey(&ledger::Stage::All);
    assert_eq!((survey.survey.readings.len(), survey.problems.len()), (1, 0));
    // Who types what the screen shows means that point, and makes no third.
    ana.tape("sill (2)", "C", "2 m");
    assert_eq!(ana.job.records().marks().len(), 3);
}
