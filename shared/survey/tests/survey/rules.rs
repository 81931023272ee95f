//! What good rows become.

use survey::{Class, Instrument, InstrumentKind, Kind, LengthUnit, Quantity, ReadFrom, State, default_sd};

use crate::read;

fn observed(row: &str) -> f64 {
    let instruments = "name,kind,zero_offset,case_length\nt,tape,2 mm,76 mm\n";
    let text = format!("id,kind,a,b,c,d,value,instrument,from,add\n1,{row}\n");
    let (survey, problems) = read(&text, None, Some(instruments), None);
    assert_eq!(problems, [], "{row}");
    survey.expect("a good sheet").readings[0].observed
}

#[test]
fn observed_is_after_from_zero_offset_and_add() {
    // Exact: 1 inch is 25.4 mm (the international inch), the rest by hand.
    let cases = [
        ("tape,A,B,,,1000 mm,,,", 1000.0),
        ("tape,A,B,,,1000 mm,,hook,", 1000.0),
        ("tape,A,B,,,1000 mm,,burn-1in,", 974.6),
        ("tape,A,B,,,1000 mm,,burn-100mm,", 900.0),
        ("tape,A,B,,,1000 mm,t,case,", 1078.0),
        (
            "tape,A,B,,,1000 mm,t,burn-1in,3/4 in",
            1000.0 - 25.4 + 2.0 + 19.05,
        ),
        ("tape,A,B,,,1000 mm,,,-10 mm", 990.0),
        // The number on the tape is a magnitude; its sign is put back.
        ("rise,A,B,,,-500 mm,t,burn-100mm,10 mm", -412.0),
        ("z,A,,,,-500 mm,,,10 mm", -510.0),
        ("string,A,B,C,,0 mm,,,", 0.0),
    ];
    for (row, expected) in cases {
        assert!(
            (observed(row) - expected).abs() < 1e-9,
            "{row}: {}",
            observed(row)
        );
    }
    assert_eq!(observed("slope,A,B,,,-90 deg,,,"), (-90f64).to_radians());
    assert_eq!(observed("corner,A,B,C,,180 deg,,hook,"), std::f64::consts::PI);
}

#[test]
fn spreadsheets_layout_does_not_matter() {
    let text = "\u{feff}\r\n Value ,B,A,KIND,ID,State,sd,stand\r\n\r\n,,,,,,,\r\n\
        \"40 5/8\"\"\",  Door , Sill,Tape,1,Set aside,,\r\n\r\n12,Sill,Door,slope,2,KEPT,0.5,first\r\n";
    let (survey, problems) = read(text, None, None, Some(LengthUnit::Inch));
    assert_eq!(problems, []);
    let survey = survey.unwrap();
    assert_eq!(survey.unit, Some(LengthUnit::Inch));
    let labels: Vec<&str> = survey.points.iter().map(|point| point.label.as_str()).collect();
    assert_eq!(labels, ["Sill", "Door"]);
    let [tape, slope] = survey.readings.as_slice() else {
        panic!("two readings")
    };
    assert_eq!(
        (tape.kind, tape.points.as_slice(), tape.state),
        (Kind::Tape, [0, 1].as_slice(), State::SetAside)
    );
    assert_eq!(tape.typed, "40 5/8\"");
    assert_eq!(tape.read, 40.625 * 25.4);
    assert_eq!(tape.sd, default_sd(Kind::Tape, None, tape.observed));
    assert_eq!(
        (slope.points.as_slice(), slope.state),
        ([1, 0].as_slice(), State::Kept)
    );
    // A bare angle in a sheet with a unit is in degrees, and so is its standard deviation.
    assert!((slope.read - 12f64.to_radians()).abs() < 1e-15);
    assert!((slope.sd - 0.5f64.to_radians()).abs() < 1e-15);
    assert_eq!(slope.stand, "first");
}

#[test]
fn points_keep_the_order_of_their_sheet_and_made_ones_follow() {
    let points = "note,label,mirror,side,fixed,x,y,z\n\
        \"two\nlines\",B,A,left,,,,\n,A,,right,xZ,1 in,,-2 mm\n,C,,centre,,,5 mm,\n";
    let readings = "id,kind,a,b,value\n1,tape,D,A,5 mm\n2,blocked,E,C,\n3,tape,e\u{301},\u{e9}b,5 mm\n4,tape,\u{e9},D,5 mm\n";
    let (survey, problems) = read(readings, Some(points), None, None);
    assert_eq!(
        problems
            .iter()
            .filter(|p| p.severity != survey::Severity::Note)
            .count(),
        0,
        "{problems:?}"
    );
    let survey = survey.unwrap();
    let labels: Vec<&str> = survey.points.iter().map(|point| point.label.as_str()).collect();
    assert_eq!(labels, ["B", "A", "C", "D", "E", "\u{e9}", "\u{e9}b"]);
    // One of two partners may leave the column empty.
    assert_eq!(
        (survey.points[0].mirror, survey.points[1].mirror),
        (Some(1), Some(0))
    );
    assert_eq!(survey.points[1].fixed, [true, false, true]);
    assert_eq!(survey.points[1].rough_mm, [Some(25.4), None, Some(-2.0)]);
    assert_eq!(survey.points[0].note, "two\nlines");
    assert_eq!(survey.blocked, [[4, 2]]);
}

#[test]
fn lengths_over_30_m_need_an_sd_of_their_own() {
    let text = "id,kind,a,b,value,sd\n1,tape,A,B,31 m,5 mm\n2,tape,A,C,30 m,\n";
    let (survey, problems) = read(text, None, None, None);
    assert_eq!(problems, []);
    assert_eq!(survey.unwrap().readings[0].sd, 5.0);
}

#[test]
fn instruments_are_read_with_their_defaults() {
    let sheet = "name,kind,class,graduation,zero_offset,case_length,point_sd,sd\n\
        t,tape,,,,,,\nr,ring tape,iii,1/16 in,-0.5 mm,3 in,0 mm,2 mm\nf,Finder,,,,,,0.3 deg\nl,level,,,,,,0.1 deg\n";
    let (survey, problems) = read("id,kind,a,b,value\n", None, Some(sheet), None);
    assert_eq!(problems, []);
    let instruments = survey.unwrap().instruments;
    assert_eq!(instruments[0], Instrument::named("t", InstrumentKind::Tape));
    assert_eq!(
        (instruments[1].kind, instruments[1].class),
        (InstrumentKind::RingTape, Class::III)
    );
    assert_eq!(
        (instruments[1].graduation_mm, instruments[1].zero_offset_mm),
        (25.4 / 16.0, -0.5)
    );
    assert_eq!(
        (instruments[1].case_length_mm, instruments[1].point_sd_mm),
        (Some(76.199_999_999_999_99), 0.0)
    );
    assert_eq!(
        (instruments[1].sd, instruments[1].sd_quantity),
        (Some(2.0), Quantity::Length)
    );
    assert_eq!(
        (instruments[2].sd, instruments[2].sd_quantity),
        (Some(0.3f64.to_radians()), Quantity::Angle)
    );
    assert_eq!(instruments[3].sd_quantity, Quantity::Angle);
}

#[test]
fn a_case_reading_keeps_what_it_was_read_from() {
    let (survey, _) = read(
        "id,kind,a,b,value,instrument,from,add\n1,tape,A,B,500 mm,t,case,1 in\n",
        None,
        Some("name,kind,case_length\nt,tape,3 in\n"),
        None,
    );
    let reading = survey.unwrap().readings.remove(0);
    assert_eq!(
        (reading.from, reading.add_mm, reading.read),
        (ReadFrom::Case, 25.4, 500.0)
    );
    assert_eq!(reading.instrument, Some(0));
}
