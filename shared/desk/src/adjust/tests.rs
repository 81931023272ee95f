use super::*;

const SMALL: &str = "id,kind,a,b,value\nr1,tape,A,B,1000 mm\nr2,tape,B,C,1000 mm\nr3,tape,A,C,1000 mm\n";

fn request(readings: &str) -> AdjustRequest {
    AdjustRequest::of(SheetBytes {
        name: "readings.csv".to_owned(),
        bytes: readings.as_bytes().to_vec(),
    })
}

fn reasons(error: &AdjustError) -> Vec<String> {
    error.problems().iter().map(ToString::to_string).collect()
}

#[test]
fn every_problem_of_sheets_and_options_is_listed() {
    let readings = format!("{SMALL}r4,tape,A,B,forty\nr5,hop,A,B,40 mm\n");
    let error = adjust(AdjustRequest {
        frame: Some("three:A,B,nowhere".to_owned()),
        above: Some("  ".to_owned()),
        ..request(&readings)
    })
    .unwrap_err();
    assert_eq!(error.code(), "unusable-sheets");
    let reasons = reasons(&error);
    assert_eq!(reasons.len(), 4, "{reasons:#?}");
    assert!(reasons[0].contains("row 5, column value"), "{reasons:#?}");
    assert!(reasons[1].contains("row 6, column kind"), "{reasons:#?}");
    assert!(
        reasons[2].starts_with("--frame: no sheet has a point `nowhere`"),
        "{reasons:#?}"
    );
    assert!(
        reasons[3].starts_with("--above: no point is named"),
        "{reasons:#?}"
    );
}

#[test]
fn a_bad_option_stops_even_when_going_on() {
    let error = adjust(AdjustRequest {
        frame: Some("round".to_owned()),
        keep_going: true,
        ..request(SMALL)
    })
    .unwrap_err();
    assert_eq!(error.code(), "unusable-sheets");
}

#[test]
fn a_sheet_with_no_readings_has_nothing_to_solve() {
    let error = adjust(request("id,kind,a,b,value\n")).unwrap_err();
    assert_eq!(error.code(), "nothing-to-solve");
}

#[test]
fn a_file_of_another_kind_is_refused() {
    let picture = SheetBytes {
        name: "photo.jpg".to_owned(),
        bytes: vec![0xff, 0xd8, 0xff, 0xe0, 0, 0x10],
    };
    let error = adjust(AdjustRequest {
        keep_going: true,
        ..AdjustRequest::of(picture)
    })
    .unwrap_err();
    assert_eq!(error.code(), "unusable-sheets");
    assert_eq!(error.problems()[0].file, "photo.jpg");
}

#[test]
fn the_crew_is_answered_in_the_unit_it_types_most() {
    let unit_of = |values: [&str; 3]| {
        let rows = values.iter().zip(["A,B", "B,C", "A,C"]).enumerate();
        let rows: String = rows
            .map(|(i, (value, ab))| format!("r{i},tape,{ab},{value}\n"))
            .collect();
        let readings = format!("id,kind,a,b,value\n{rows}");
        let sheets = Sheets {
            readings: SheetText {
                name: "readings.csv",
                bytes: readings.as_bytes(),
            },
            points: None,
            instruments: None,
            unit: None,
        };
        most_typed_unit(&survey::read_sheets(&sheets).0.unwrap())
    };
    assert_eq!(unit_of(["40 5/8 in", "3' 4 in", "1032 mm"]), LengthUnit::Inch);
    assert_eq!(
        unit_of(["40 5/8 in", "1.032 m", "1032 mm"]),
        LengthUnit::Millimetre
    );
}

#[test]
fn the_sheets_of_the_demo_can_be_used_as_they_are() {
    let [readings, points, instruments] = crate::demo::SHEETS.map(|(name, text)| SheetText {
        name,
        bytes: text.as_bytes(),
    });
    let (survey, problems) = survey::read_sheets(&Sheets {
        readings,
        points: Some(points),
        instruments: Some(instruments),
        unit: None,
    });
    assert_eq!(problems, []);
    let survey = survey.unwrap();
    assert_eq!(
        (
            survey.points.len(),
            survey.instruments.len(),
            survey.blocked.len()
        ),
        (44, 4, 5)
    );
    assert!(survey.readings.len() >= 220);
    assert!(
        survey.readings.iter().all(|reading| reading.observed < 4000.0),
        "nobody tapes further"
    );
}

#[test]
fn readings_of_two_epochs_in_one_sheet_are_told() {
    let text = "id,kind,a,b,value,epoch\n1,tape,A,B,1 m,\n2,tape,A,C,1 m,welded\n3,tape,B,C,1 m,welded\n";
    let request = AdjustRequest::of(SheetBytes {
        name: "r.csv".into(),
        bytes: text.into(),
    });
    let answer = adjust(request).unwrap();
    let told: Vec<String> = answer.problems.iter().map(ToString::to_string).collect();
    let epochs = "r.csv, epoch: readings of 2 epochs (welded)";
    assert!(told.iter().any(|line| line.starts_with(epochs)), "{told:#?}");
}
