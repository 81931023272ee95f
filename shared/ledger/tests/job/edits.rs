//! What each edit does to the records.

use ledger::{
    About, CorrectionText, Edit, EditError, InstrumentText, JobText, PhotoText, PointText, Room, Stage,
};
use survey::{LengthUnit, State, parse_frame};

use crate::crew::{Tablet, one_of, set_unit, tape};

#[test]
fn a_reading_brings_its_points_its_person_and_its_unit() {
    let mut ana = Tablet::first();
    ana.does(set_unit(LengthUnit::Inch));
    let id = ana.tape("sill-L", " sill-R ", "40 5/8");
    let records = ana.job.records();
    let reading = &records.readings[&id];
    assert_eq!(
        (
            reading.name.as_str(),
            reading.now.value.as_str(),
            reading.by.as_str()
        ),
        ("r001", "40 5/8 in", "Ana")
    );
    let labels: Vec<&str> = records
        .marks()
        .iter()
        .map(|(_, point)| point.label.as_str())
        .collect();
    assert_eq!(labels.len(), 2);
    assert!(labels.contains(&"sill-R"));
    assert_eq!(records.people.len(), 1);

    // The unit in force then is what it means for ever.
    ana.does(set_unit(LengthUnit::Millimetre));
    let survey = ana.job.records().survey(&Stage::All);
    assert_eq!(survey.problems, []);
    assert_eq!(survey.survey.readings[0].observed, 40.625 * 25.4);
    assert_eq!(survey.readings, [id]);
    assert_eq!(survey.points.len(), 2);
}

#[test]
fn what_the_sheet_reader_refuses_is_refused_at_the_pad() {
    let mut ana = Tablet::first();
    for (reading, piece) in [
        (tape("A", "B", "1,032 mm"), "a comma"),
        (tape("A", "B", "1032"), "has no unit"),
        (tape("A", "A", "1032 mm"), "stands twice"),
        (tape("A", "", "1032 mm"), "is empty"),
        (tape("A", "B", "40 m"), "more than 30 m"),
        (
            ledger::ReadingText {
                instrument: "tape 9".into(),
                ..tape("A", "B", "1 m")
            },
            "tape 9",
        ),
        (
            ledger::ReadingText {
                kind: "jump".into(),
                ..tape("A", "B", "1 m")
            },
            "no kind of reading",
        ),
    ] {
        let before = ana.job.heads();
        let error = ana.tries(Edit::LogReading(reading)).unwrap_err();
        assert!(matches!(error, EditError::Unusable(_)), "{error:?}");
        assert!(error.to_string().contains(piece), "{error}");
        assert_eq!(ana.job.heads(), before);
    }
}

#[test]
fn a_reading_is_set_aside_kept_and_brought_back() {
    let mut ana = Tablet::first();
    let reading = ana.tape("A", "B", "1 m");
    ana.does(Edit::SetAside {
        reading: reading.clone(),
        why: "tape was bent".into(),
    });
    let record = &ana.job.records().readings[&reading];
    assert_eq!(
        (record.state, record.why.as_str()),
        (State::SetAside, "tape was bent")
    );
    let again = ana.does(Edit::SetAside {
        reading: reading.clone(),
        why: "tape was bent".into(),
    });
    assert_eq!(again.change, None);
    ana.does(Edit::KeepReading {
        reading: reading.clone(),
        why: String::new(),
    });
    assert_eq!(ana.job.records().readings[&reading].state, State::Kept);
    ana.does(Edit::BringBack {
        reading: reading.clone(),
    });
    let record = &ana.job.records().readings[&reading];
    assert_eq!((record.state, record.why.as_str()), (State::Used, ""));
}

#[test]
fn a_correction_keeps_what_was_logged() {
    let mut ana = Tablet::first();
    let reading = ana.tape("A", "B", "344 mm");
    let text = CorrectionText {
        value: Some("434 mm".into()),
        points: Some(vec!["A".into(), "C".into()]),
        ..CorrectionText::default()
    };
    ana.does(Edit::Correct {
        reading: reading.clone(),
        text,
        why: "digits swapped".into(),
    });
    let (a, b, c) = (ana.point("A"), ana.point("B"), ana.point("C"));
    let record = &ana.job.records().readings[&reading];
    assert_eq!(
        (record.logged.value.as_str(), record.now.value.as_str()),
        ("344 mm", "434 mm")
    );
    assert_eq!(
        (&record.logged.points, &record.now.points),
        (&vec![a.clone(), b], &vec![a, c])
    );
    assert_eq!(record.corrected_why.as_deref(), Some("digits swapped"));

    // To another kind with fewer points and back to more.
    let text = CorrectionText {
        kind: Some("x".into()),
        points: Some(vec!["A".into()]),
        ..CorrectionText::default()
    };
    ana.does(Edit::Correct {
        reading: reading.clone(),
        text,
        why: String::new(),
    });
    assert_eq!(ana.job.records().readings[&reading].now.points.len(), 1);
    let bad = CorrectionText {
        value: Some("four".into()),
        ..CorrectionText::default()
    };
    assert!(
        ana.tries(Edit::Correct {
            reading,
            text: bad,
            why: String::new()
        })
        .is_err()
    );
}

#[test]
fn a_renamed_point_keeps_its_readings_and_frees_its_label() {
    let mut ana = Tablet::first();
    let reading = ana.tape("tower", "B", "1 m");
    let tower = ana.point("tower");
    ana.does(Edit::RenamePoint {
        point: tower.clone(),
        label: "tower-L".into(),
    });
    assert_eq!(ana.job.records().readings[&reading].now.points[0], tower);
    assert!(matches!(
        ana.tries(Edit::RenamePoint {
            point: tower.clone(),
            label: "B".into()
        }),
        Err(EditError::LabelTaken { .. })
    ));
    ana.tape("tower", "B", "1.1 m");
    assert_ne!(ana.point("tower"), tower);
    assert_eq!(ana.job.records().marks().len(), 3);
}

#[test]
fn joined_points_carry_their_readings_and_can_be_split() {
    let mut ana = Tablet::first();
    ana.does(Edit::DescribePoint {
        label: "mark".into(),
        text: PointText {
            side: Some("left".into()),
            ..PointText::default()
        },
    });
    ana.tape("mark", "B", "1 m");
    ana.tape("tower-L", "C", "2 m");
    let between = ana.tape("mark", "tower-L", "1 mm");
    let (mark, tower) = (ana.point("mark"), ana.point("tower-L"));
    ana.does(Edit::JoinPoints {
        point: mark.clone(),
        into: tower.clone(),
    });
    let survey = ana.job.records().survey(&Stage::All);
    let labels: Vec<&str> = survey
        .survey
        .points
        .iter()
        .map(|point| point.label.as_str())
        .collect();
    assert_eq!(labels.iter().filter(|label| **label == "mark").count(), 0);
    // Both readings are the tower's now, and so is what was known of the mark; the one between them cannot be used.
    let tower_at = survey
        .survey
        .point_index(&survey::Label::new("tower-L").unwrap())
        .unwrap();
    assert_eq!(
        survey
            .survey
            .readings
            .iter()
            .filter(|reading| reading.points.contains(&tower_at))
            .count(),
        2
    );
    assert_eq!(survey.survey.points[tower_at].side, Some(survey::Side::Left));
    assert_eq!(survey.problems.len(), 1, "{:?}", survey.problems);
    assert!(!survey.readings.contains(&between));
    // A label that was joined still finds its mark.
    ana.tape("mark", "D", "3 m");
    assert_eq!(ana.job.records().marks().len(), 4);

    ana.does(Edit::SplitPoint { point: mark });
    let survey = ana.job.records().survey(&Stage::All);
    assert_eq!((survey.survey.points.len(), survey.survey.readings.len()), (5, 4));
    assert_eq!(survey.problems, []);
}

#[test]
fn points_joined_crosswise_end_in_one_mark() {
    let mut ana = Tablet::first();
    ana.tape("A", "B", "1 m");
    let mut ben = ana.copy("Ben", 2);
    let (a, b) = (ana.point("A"), ana.point("B"));
    ana.does(Edit::JoinPoints {
        point: a.clone(),
        into: b.clone(),
    });
    ben.does(Edit::JoinPoints { point: b, into: a });
    ana.meet(&mut ben);
    assert_eq!(ana.job.records().marks().len(), 1);
}

#[test]
fn lines_instruments_frames_and_names() {
    let mut ana = Tablet::first();
    ana.tape("A", "B", "1 m");
    ana.tape("B", "C", "1 m");
    let line = one_of(
        &ana.does(Edit::BlockLine {
            a: "C".into(),
            b: "A".into(),
            why: "engine".into(),
        }),
        Room::Blocked,
    );
    // The same line from its other end: nothing new but the time.
    ana.does(Edit::BlockLine {
        a: "A".into(),
        b: "C".into(),
        why: "engine".into(),
    });
    let survey = ana.job.records().survey(&Stage::All);
    assert_eq!(survey.survey.blocked.len(), 1);
    ana.does(Edit::UnblockLine(line));
    assert_eq!(ana.job.records().survey(&Stage::All).survey.blocked.len(), 0);

    let text = InstrumentText {
        kind: Some("tape".into()),
        class: Some("II".into()),
        case_length: Some("75 mm".into()),
        ..InstrumentText::default()
    };
    ana.does(Edit::DescribeInstrument {
        name: "tape 1".into(),
        text,
    });
    let bad = InstrumentText {
        kind: Some("spoon".into()),
        ..InstrumentText::default()
    };
    assert!(
        ana.tries(Edit::DescribeInstrument {
            name: "spoon".into(),
            text: bad
        })
        .is_err()
    );
    let inside = ledger::ReadingText {
        instrument: "tape 1".into(),
        from: "case".into(),
        stand: "on blocks".into(),
        epoch: "after welding".into(),
        ..tape("A", "C", "1 m")
    };
    ana.does(Edit::LogReading(inside));
    let survey = ana.job.records().survey(&Stage::All);
    assert_eq!(survey.survey.readings[2].observed, 1075.0);
    assert_eq!(survey.survey.readings[2].stand, "on blocks");
    let epoch = ana.job.records().epochs.keys().next().unwrap().clone();
    let after = ana.job.records().survey(&Stage::Only(Some(epoch.clone())));
    assert_eq!(after.survey.readings.len(), 1);
    assert_eq!(
        ana.job.records().survey(&Stage::Only(None)).survey.readings.len(),
        2
    );
    ana.does(Edit::Rename {
        room: Room::Epochs,
        entry: epoch,
        name: "welded".into(),
    });
    assert_eq!(
        ana.job.records().survey(&Stage::All).survey.readings[2].epoch,
        "welded"
    );

    let frame = parse_frame("three:A,B,C").unwrap();
    ana.does(Edit::SetJob(JobText {
        frame: Some(Some(frame)),
        above: Some(Some("C".into())),
        ..JobText::default()
    }));
    let a = ana.point("A");
    ana.does(Edit::RenamePoint {
        point: a.clone(),
        label: "origin".into(),
    });
    let job = &ana.job.records().job;
    assert_eq!(job.frame.as_ref().unwrap().points[0], a);
    assert_eq!(job.above, Some(ana.point("C")));
    let unknown = parse_frame("three:A,B,Z").unwrap();
    assert!(matches!(
        ana.tries(Edit::SetJob(JobText {
            frame: Some(Some(unknown)),
            ..JobText::default()
        })),
        Err(EditError::NoSuchPoint(_))
    ));
}

#[test]
fn photos_and_pins() {
    let mut ana = Tablet::first();
    let reading = ana.tape("A", "B", "1 m");
    let photo = ledger::EntryId::parse(&"ab".repeat(32)).unwrap();
    let text = PhotoText {
        photo: photo.clone(),
        media_type: "jpeg".into(),
        width: 4000,
        height: 3000,
        bytes: 123,
        leaves_as: "cd".repeat(32),
        name: "IMG_1.jpg".into(),
        taken: String::new(),
        caption: "left tower".into(),
        about: Some(About {
            room: Room::Readings,
            entry: reading,
        }),
    };
    ana.does(Edit::AddPhoto(text.clone()));
    let pin = one_of(
        &ana.does(Edit::PinPhoto {
            photo: photo.clone(),
            point: "A".into(),
            note: String::new(),
            x: 0.25,
            y: 0.75,
        }),
        Room::Pins,
    );
    assert!(matches!(
        ana.tries(Edit::PinPhoto {
            photo: photo.clone(),
            point: "A".into(),
            note: String::new(),
            x: 1.25,
            y: 0.75
        }),
        Err(EditError::OutsideThePicture)
    ));
    ana.does(Edit::MovePin {
        pin: pin.clone(),
        x: 0.5,
        y: 0.5,
    });
    ana.does(Edit::CaptionPhoto {
        photo: photo.clone(),
        caption: String::new(),
    });
    let records = ana.job.records();
    assert_eq!(records.photos[&photo].caption, "");
    assert_eq!(
        (records.pins[&pin].x, records.pins[&pin].point.as_ref()),
        (0.5, Some(&ana.point("A")))
    );

    ana.does(Edit::RemovePhoto {
        photo: photo.clone(),
        removed: true,
    });
    assert!(ana.job.records().photos[&photo].removed);
    // The same picture taken in again comes back, with its pins.
    ana.does(Edit::AddPhoto(text));
    assert!(!ana.job.records().photos[&photo].removed);
    assert_eq!(ana.job.records().photos.len(), 1);
}

#[test]
fn a_pin_may_say_in_words_what_is_there_and_be_tied_to_a_point_later() {
    let mut ana = Tablet::first();
    let photo = photo(&mut ana);
    let pinned = |point: &str, note: &str| Edit::PinPhoto {
        photo: photo.clone(),
        point: point.into(),
        note: note.into(),
        x: 0.25,
        y: 0.75,
    };
    let pin = one_of(&ana.does(pinned("", " bracket, no mark yet ")), Room::Pins);
    let said = |ana: &Tablet| {
        let pin = &ana.job.records().pins[&pin];
        (pin.point.clone(), pin.note.clone())
    };
    assert_eq!(said(&ana), (None, "bracket, no mark yet".to_owned()));
    assert!(matches!(ana.tries(pinned(" ", "")), Err(EditError::PinOfNothing)));

    let tied = |point: &str| Edit::TiePin {
        pin: pin.clone(),
        point: point.into(),
    };
    ana.does(tied("bracket-L"));
    assert_eq!(said(&ana).0, Some(ana.point("bracket-L")));
    ana.does(tied("bracket-R"));
    assert_eq!(said(&ana).0, Some(ana.point("bracket-R")));
    assert!(matches!(ana.tries(tied("")), Err(EditError::Nameless)));
    // Each tie is taken back by itself, and the words are there as before.
    for expected in [Some(ana.point("bracket-L")), None] {
        let stamp = ana.stamp();
        ana.job.undo(&stamp).unwrap();
        assert_eq!(said(&ana), (expected, "bracket, no mark yet".to_owned()));
    }
    let other = ledger::EntryId::parse("nobody").unwrap();
    let lost = Edit::TiePin {
        pin: other,
        point: "A".into(),
    };
    assert!(matches!(ana.tries(lost), Err(EditError::NoSuchEntry { .. })));
}

#[test]
fn a_pin_that_two_tie_to_different_points_at_once_is_in_dispute_until_somebody_chooses() {
    let mut ana = Tablet::first();
    let photo = photo(&mut ana);
    let pin = one_of(
        &ana.does(Edit::PinPhoto {
            photo,
            point: String::new(),
            note: "bracket".into(),
            x: 0.5,
            y: 0.5,
        }),
        Room::Pins,
    );
    let mut ben = ana.copy("Ben", 2);
    let tied = |point: &str| Edit::TiePin {
        pin: pin.clone(),
        point: point.into(),
    };
    ana.does(tied("bracket-L"));
    ben.does(tied("bracket-R"));
    ana.meet(&mut ben);
    let disputes = ana.job.disputes();
    assert_eq!(disputes.len(), 1);
    assert_eq!(
        (disputes[0].key.room, disputes[0].key.field.as_str()),
        (Room::Pins, "point")
    );
    assert_eq!(disputes[0].values.len(), 2);
    let left = disputes[0].values.iter().find(|said| said.by == "Ana").unwrap();
    ana.does(Edit::Choose {
        key: disputes[0].key.clone(),
        value: left.value.clone(),
    });
    assert!(ana.job.disputes().is_empty());
    assert_eq!(ana.job.records().pins[&pin].point, Some(ana.point("bracket-L")));
}

/// A photo of nothing in particular.
fn photo(tablet: &mut Tablet) -> ledger::EntryId {
    let photo = ledger::EntryId::parse(&"ab".repeat(32)).unwrap();
    tablet.does(Edit::AddPhoto(PhotoText {
        photo: photo.clone(),
        media_type: "jpeg".into(),
        width: 4000,
        height: 3000,
        bytes: 123,
        leaves_as: "cd".repeat(32),
        name: "IMG_1.jpg".into(),
        taken: String::new(),
        caption: String::new(),
        about: None,
    }));
    photo
}
