//! Each bad input, and what is said of it: how much it stops, where, and why.

use survey::{LengthUnit, Problem, Severity};

use crate::read;

const READINGS: &str = "id,kind,a,b,c,d,value,sd,instrument,from,add,state\n";
const INSTRUMENTS: &str = "name,kind,case_length,zero_offset\n\
    t,tape,76 mm,-5 mm\nplain,tape,,\nf,finder,,\nl,level,,\nbroken,tape,-3 mm,\n";

/// What the only problem must be: severity, row, column, a piece of the reason.
type Expected = (Severity, Option<usize>, Option<&'static str>, &'static str);

fn check(input: &str, file: &str, problems: &[Problem], expected: Expected) {
    let problems: Vec<&Problem> = problems.iter().filter(|problem| problem.file == file).collect();
    let (severity, row, column, piece) = expected;
    assert_eq!(problems.len(), 1, "{input:?}: {problems:#?}");
    let found = problems[0];
    let place = (found.severity, found.row, found.column.as_deref());
    assert_eq!(place, (severity, row, column), "{input:?}: {found}");
    assert!(found.reason.contains(piece), "{input:?}: {found}");
}

#[test]
fn rows_of_readings() {
    let cases: &[(&str, Option<&'static str>, &'static str)] = &[
        (",tape,A,B,,,5 mm,,,,,", Some("id"), "needs an id"),
        (
            "1,tap,A,B,,,5 mm,,,,,",
            Some("kind"),
            "\"tap\" is no kind of reading",
        ),
        ("1,,A,B,,,5 mm,,,,,", Some("kind"), "is empty: write one of"),
        ("1,tape,A,,,,5 mm,,,,,", Some("b"), "tape needs a, b"),
        ("1,tape,A,B,C,,5 mm,,,,,", Some("c"), "one point too many"),
        (
            "1,tape,A, A ,,,5 mm,,,,,",
            Some("b"),
            "stands twice in this reading",
        ),
        ("1,corner,A,B,A,,5 deg,,,,,", Some("c"), "stands twice"),
        ("1,string,A,B,B,,5 mm,,,,,", Some("c"), "stands twice"),
        ("1,face,A,B,C,B,5 mm,,,,,", Some("d"), "stands twice"),
        ("1,face,A,B,C,,5 mm,,,,,", Some("d"), "face needs a, b, c, d"),
        ("1,x,A,B,,,5 mm,,,,,", Some("b"), "one point too many"),
        ("1,tape,A,B,,,,,,,,", Some("value"), "is empty"),
        (
            "1,tape,A,B,,,1032,,,,,",
            Some("value"),
            "has no unit: write 1032 mm or 40 5/8 in, or say the unit",
        ),
        (
            "1,slope,A,B,,,12,,,,,",
            Some("value"),
            "has no unit: write 12.4 deg",
        ),
        (
            "1,tape,A,B,,,12 deg,,,,,",
            Some("value"),
            "is an angle where a length is needed",
        ),
        (
            "1,slope,A,B,,,12 mm,,,,,",
            Some("value"),
            "is a length where an angle is needed",
        ),
        ("1,tape,A,B,,,0 mm,,,,,", Some("value"), "reads more than 0"),
        ("1,tape,A,B,,,-5 mm,,,,,", Some("value"), "reads more than 0"),
        ("1,string,A,B,C,,-5 mm,,,,,", Some("value"), "is negative"),
        ("1,face,A,B,C,D,-5 mm,,,,,", Some("value"), "is negative"),
        (
            "1,slope,A,B,,,90.1 deg,,,,,",
            Some("value"),
            "steeper than upright",
        ),
        ("1,corner,A,B,C,,180.1 deg,,,,,", Some("value"), "0 to 180"),
        ("1,corner,A,B,C,,-1 deg,,,,,", Some("value"), "0 to 180"),
        ("1,tape,A,B,,,30.1 m,,,,,", Some("value"), "more than 30 m"),
        (
            "1,tape,A,B,,,10.1 m,,,,10 km,",
            Some("add"),
            "\"km\" at character 4, which is no unit",
        ),
        (
            "1,tape,A,B,,,10001 m,1 mm,,,,",
            Some("value"),
            "longer than any shell: check the unit",
        ),
        (
            "1,tape,A,B,,,3-Apr,,,,,",
            Some("value"),
            "a spreadsheet turned a fraction into a date",
        ),
        (
            "1,tape,A,B,,,\"12,5 mm\",,,,,",
            Some("value"),
            "comma at character 3",
        ),
        ("1,tape,A,B,,,5 mm,0 mm,,,,", Some("sd"), "must be more than 0"),
        ("1,tape,A,B,,,5 mm,-1 mm,,,,", Some("sd"), "must be more than 0"),
        ("1,tape,A,B,,,5 mm,1,,,,", Some("sd"), "has no unit"),
        ("1,tape,A,B,,,5 mm,1 deg,,,,", Some("sd"), "is an angle"),
        ("1,slope,A,B,,,5 deg,1 mm,,,,", Some("sd"), "is a length"),
        ("1,tape,A,B,,,5 mm,nan,,,,", Some("sd"), "is not a number"),
        (
            "1,tape,A,B,,,5 mm,,t2,,,",
            Some("instrument"),
            "\"t2\" is not in the instruments sheet",
        ),
        (
            "1,tape,A,B,,,5 mm,,broken,,,",
            Some("instrument"),
            "could not be read: see row 6",
        ),
        (
            "1,tape,A,B,,,5 mm,,f,,,",
            Some("instrument"),
            "is a finder, which does not read a tape",
        ),
        (
            "1,tape,A,B,,,5 mm,,l,,,",
            Some("instrument"),
            "is a level, which does not read a tape",
        ),
        (
            "1,slope,A,B,,,5 deg,,t,,,",
            Some("instrument"),
            "is a tape, which does not read a slope",
        ),
        (
            "1,tape,A,B,,,50 mm,,t,burn,,",
            Some("from"),
            "\"burn\" is nothing to read from",
        ),
        (
            "1,tape,A,B,,,50 mm,,plain,case,,",
            Some("from"),
            "instrument with a case_length",
        ),
        (
            "1,tape,A,B,,,50 mm,,,case,,",
            Some("from"),
            "instrument with a case_length",
        ),
        (
            "1,slope,A,B,,,5 deg,,,burn-1in,,",
            Some("from"),
            "a slope is an angle",
        ),
        (
            "1,slope,A,B,,,5 deg,,,,5 mm,",
            Some("add"),
            "cannot be added to a slope",
        ),
        ("1,tape,A,B,,,50 mm,,,,5,", Some("add"), "has no unit"),
        (
            "1,tape,A,B,,,20 mm,,,burn-1in,,",
            Some("value"),
            "is less than the burn-1in",
        ),
        ("1,tape,A,B,,,20 mm,,,,-20 mm,", Some("value"), "leaves nothing"),
        ("1,tape,A,B,,,4 mm,,t,,,", Some("value"), "leaves nothing"),
        (
            "1,tape,A,B,,,50 mm,,,,,aside",
            Some("state"),
            "\"aside\" is no state",
        ),
        (
            "1,blocked,A,B,,,5 mm,,,,,",
            Some("value"),
            "a blocked line has no value",
        ),
        ("1,blocked,A,,,,,,,,,", Some("b"), "blocked needs a, b"),
        ("1,blocked,A,A,,,,,,,,", Some("b"), "stands twice"),
        (
            "1,tape,A,B,,,12,5 mm,,,,,x",
            None,
            "more cells than the header (13 and 12)",
        ),
        (
            "1,tape,A,B,,,\"5/8\" in,,,,,",
            None,
            "between a closing quote and the comma",
        ),
        (
            "1,tape,\"A\nA\",B,,,5 mm,,,,,",
            Some("a"),
            "a quote opens in this cell",
        ),
    ];
    for (row, column, piece) in cases {
        let (survey, problems) = read(&format!("{READINGS}{row}\n"), None, Some(INSTRUMENTS), None);
        let survey = survey.unwrap();
        assert!(survey.readings.is_empty() && survey.blocked.is_empty(), "{row}");
        assert!(survey.points.is_empty(), "a row left out makes no points: {row}");
        check(
            row,
            "readings.csv",
            &problems,
            (Severity::Row, Some(2), *column, piece),
        );
    }
}

#[test]
fn every_fault_of_a_row_is_told() {
    let row = "1,tape,A,A,C,,12,0 mm,nobody,burn,x,aside";
    let (_, problems) = read(&format!("{READINGS}{row}\n"), None, Some(INSTRUMENTS), None);
    let columns: Vec<_> = problems
        .iter()
        .filter(|p| p.file == "readings.csv")
        .filter_map(|p| p.column.as_deref())
        .collect();
    assert_eq!(
        columns,
        ["b", "c", "instrument", "from", "state", "add", "sd", "value"]
    );
}

#[test]
fn an_instrument_without_its_sheet() {
    let (_, problems) = read(&format!("{READINGS}1,tape,A,B,,,5 mm,,t,,,\n"), None, None, None);
    check(
        "t",
        "readings.csv",
        &problems,
        (
            Severity::Row,
            Some(2),
            Some("instrument"),
            "there is no instruments sheet",
        ),
    );
}

#[test]
fn sheets_that_cannot_be_used() {
    let cases: &[(&str, Option<usize>, Option<&'static str>, &'static str)] = &[
        ("", None, None, "is empty"),
        ("\n  \n,,\n", None, None, "is empty"),
        (
            "id,kind,a,b\n1,blocked,A,B\n",
            Some(1),
            Some("value"),
            "has no column value",
        ),
        ("\n\nkind,a,b,value\n", Some(3), Some("id"), "has no column id"),
        (
            "id,kind,a,b,value,Value \n",
            Some(1),
            Some("Value"),
            "stands twice in the header, as columns 5 and 6",
        ),
        (
            "id;kind;a;b;value\n1;tape;A;B;12,5 mm\n",
            Some(1),
            None,
            "separated by semicolons",
        ),
        ("id\tkind\ta\tb\tvalue\n", Some(1), None, "separated by tabs"),
        (
            "id,kind,a,b,value\n1,tape,A,B,5 mm\n\n1,tape,A,C,6 mm\n",
            Some(4),
            Some("id"),
            "\"1\" stands in rows 2 and 4",
        ),
        (
            "id,kind,a,b,value\n1,nonsense,A,B,5 mm\n",
            Some(2),
            Some("kind"),
            "is no kind",
        ),
        (
            "id,kind,a,b,value\n1,tape,A,B,\"5 mm\n2,tape,A,C,6 mm\n",
            Some(2),
            None,
            "never closes",
        ),
    ];
    for (text, row, column, piece) in cases {
        let (survey, problems) = read(text, None, None, None);
        let severity = if survey.is_some() {
            Severity::Row
        } else {
            Severity::Sheet
        };
        assert_eq!(survey.is_some(), piece == &"is no kind", "{text:?}");
        check(text, "readings.csv", &problems, (severity, *row, *column, piece));
    }
}

#[test]
fn doubled_ids_are_found_in_rows_with_other_faults() {
    let text = "id,kind,a,b,value\n1,tape,A,B,5\n1,tap,A,B,5 mm\n1,tape,A,C,5 mm\n";
    let (survey, problems) = read(text, None, None, None);
    assert!(survey.is_none());
    let rows: Vec<_> = problems.iter().map(|p| (p.severity, p.row)).collect();
    assert_eq!(
        rows,
        [
            (Severity::Row, Some(2)),
            (Severity::Sheet, Some(3)),
            (Severity::Row, Some(3)),
            (Severity::Sheet, Some(4)),
        ]
    );
}

#[test]
fn points() {
    let cases: &[(&str, Severity, usize, Option<&'static str>, &'static str)] = &[
        (",left,,,,,", Severity::Row, 2, Some("label"), "needs a label"),
        (
            "A,port,,,,,",
            Severity::Row,
            2,
            Some("side"),
            "\"port\" is no side",
        ),
        (
            "A,,A,,,,",
            Severity::Row,
            2,
            Some("mirror"),
            "its own mirror partner",
        ),
        (
            "A,,B,,,,",
            Severity::Row,
            2,
            Some("mirror"),
            "\"B\" is not in the points sheet",
        ),
        ("A,,,12,,,", Severity::Row, 2, Some("x"), "has no unit"),
        ("A,,,,11 km,,", Severity::Row, 2, Some("y"), "is no unit"),
        (
            "A,,,,11000 m,,",
            Severity::Row,
            2,
            Some("y"),
            "longer than any shell",
        ),
        (
            "A,,,1 mm,,,xy",
            Severity::Row,
            2,
            Some("fixed"),
            "y is fixed and has no value",
        ),
        (
            "A,,,1 mm,,,w",
            Severity::Row,
            2,
            Some("fixed"),
            "other letters than x, y and z",
        ),
        (
            "A,,,,,,\n A ,,,,,,",
            Severity::Sheet,
            3,
            Some("label"),
            "\"A\" stands in rows 2 and 3",
        ),
        (
            "A,left,B,,,,\nB,left,A,,,,",
            Severity::Note,
            2,
            Some("side"),
            "one left and one right",
        ),
        (
            "Sill L,,,,,,\nsill-l,,,,,,",
            Severity::Note,
            3,
            Some("label"),
            "differ only in case, spaces or hyphens",
        ),
    ];
    for (rows, severity, row, column, piece) in cases {
        let sheet = format!("label,side,mirror,x,y,z,fixed\n{rows}\n");
        let (survey, problems) = read(
            &format!("{READINGS}1,tape,P,Q,,,5 mm,,,,,\n"),
            Some(&sheet),
            None,
            None,
        );
        assert_eq!(survey.is_none(), *severity == Severity::Sheet, "{rows}");
        check(
            rows,
            "points.csv",
            &problems,
            (*severity, Some(*row), *column, piece),
        );
    }
}

#[test]
fn mirror_partners_that_disagree() {
    type Case = (&'static str, &'static [usize], [Option<usize>; 3]);
    let cases: [Case; 4] = [
        // B and C agree; A is the one who does not.
        ("A,B\nB,C\nC,B\n", &[2], [None, Some(2), Some(1)]),
        ("A,B\nB,C\nC,A\n", &[2, 3, 4], [None; 3]),
        ("A,C\nB,C\nC,\n", &[2, 3], [None; 3]),
        ("A,B\nB,\nC,\n", &[], [Some(1), Some(0), None]),
    ];
    for (rows, told, mirrors) in cases {
        let (survey, problems) = read(READINGS, Some(&format!("label,mirror\n{rows}")), None, None);
        assert!(
            problems
                .iter()
                .all(|p| p.severity == Severity::Row && p.reason.contains("disagree"))
        );
        assert_eq!(
            problems.iter().filter_map(|p| p.row).collect::<Vec<_>>(),
            told,
            "{rows}"
        );
        let found: Vec<_> = survey.unwrap().points.iter().map(|point| point.mirror).collect();
        assert_eq!(found, mirrors, "{rows}");
    }
}

#[test]
fn instruments() {
    let cases: &[(&str, Severity, usize, Option<&'static str>, &'static str)] = &[
        (",tape,,,,,,", Severity::Row, 2, Some("name"), "needs a name"),
        (
            "t,stick,,,,,,",
            Severity::Row,
            2,
            Some("kind"),
            "\"stick\" is no kind of instrument",
        ),
        (
            "t,tape,IV,,,,,",
            Severity::Row,
            2,
            Some("class"),
            "write I, II or III",
        ),
        (
            "t,tape,,0 mm,,,,",
            Severity::Row,
            2,
            Some("graduation"),
            "more than 0",
        ),
        (
            "t,tape,,1,,,,",
            Severity::Row,
            2,
            Some("graduation"),
            "has no unit",
        ),
        (
            "t,tape,,,1,,,",
            Severity::Row,
            2,
            Some("zero_offset"),
            "has no unit",
        ),
        (
            "t,tape,,,,0 mm,,",
            Severity::Row,
            2,
            Some("case_length"),
            "more than 0",
        ),
        (
            "t,tape,,,,,-1 mm,",
            Severity::Row,
            2,
            Some("point_sd"),
            "is negative",
        ),
        ("t,tape,,,,,,0 mm", Severity::Row, 2, Some("sd"), "more than 0"),
        ("t,tape,,,,,,1 deg", Severity::Row, 2, Some("sd"), "is an angle"),
        ("f,finder,,,,,,1 mm", Severity::Row, 2, Some("sd"), "is a length"),
        (
            "l,level,,,,,,1",
            Severity::Row,
            2,
            Some("sd"),
            "may be a length or an angle",
        ),
        (
            "f,finder,,0.1 deg,,,,",
            Severity::Note,
            2,
            Some("graduation"),
            "is not used",
        ),
        (
            "t,tape,,,,,,\nt,rule,,,,,,",
            Severity::Sheet,
            3,
            Some("name"),
            "\"t\" stands in rows 2 and 3",
        ),
    ];
    for (rows, severity, row, column, piece) in cases {
        let sheet = format!("name,kind,class,graduation,zero_offset,case_length,point_sd,sd\n{rows}\n");
        let (survey, problems) = read(READINGS, None, Some(&sheet), None);
        assert_eq!(survey.is_none(), *severity == Severity::Sheet, "{rows}");
        check(
            rows,
            "instruments.csv",
            &problems,
            (*severity, Some(*row), *column, piece),
        );
    }
}

#[test]
fn notes_leave_nothing_out() {
    let text = "id,kind,a,b,value,colour,\n1,tape,Sill,Door,5 mm,red,\n2,tape,sill,Door,5 mm,,x\n3,tape,E,F,5 mm,,y\n";
    let (survey, problems) = read(text, None, None, Some(LengthUnit::Millimetre));
    let survey = survey.unwrap();
    assert_eq!((survey.readings.len(), survey.points.len()), (3, 5));
    let found: Vec<_> = problems
        .iter()
        .map(|p| (p.severity, p.row, p.column.as_deref(), p.reason.as_str()))
        .collect();
    assert_eq!(found.len(), 3, "{found:#?}");
    assert!(found.iter().all(|note| note.0 == Severity::Note));
    assert_eq!((found[0].1, found[0].2), (Some(1), Some("colour")));
    assert!(
        found
            .iter()
            .any(|note| note.1 == Some(3) && note.2 == Some("a") && note.3.contains("\"Sill\""))
    );
    assert!(found.iter().any(|note| note.3.contains("cell 7 has no name")));
}
