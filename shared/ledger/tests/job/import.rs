//! Sheets in, and the same sheets out.

use ledger::{Edit, EditError, Imported, SheetsIn, Stage};
use survey::{LengthUnit, SheetText, Sheets, read_sheets};

use crate::crew::Tablet;

const READINGS: &str = "\
id,kind,a,b,c,d,value,sd,instrument,from,add,stand,state,by,at,note
1,tape,sill-L,sill-R,,,\"53 7/16\"\"\",,tape 1,burn-1in,,,,Ana,2026-04-03,
2,tape,sill-L,tower-L,,,\"1,032\",,,,,,,,,
3,slope,sill-L,tower-L,,,12.4,0.3,,,,on blocks,,Ben,,windy
4,blocked,sill-R,tower-L,,,,,,,,,,,,engine
5,corner,sill-L,sill-R,tower-L,,33 deg,,,,,,set aside,,,
6,tape,sill-R,tower-L,,,1240,2,tape 1,case,12 mm,,kept,,,
";
const POINTS: &str =
    "label,side,mirror,x,y,z,fixed,note\nsill-L,left,sill-R,0,690,160,,\nsill-R,right,,0,-690,160,xyz,\n";
const INSTRUMENTS: &str = "name,kind,class,graduation,zero_offset,case_length\ntape 1,tape,II,1,0.4,75\n";

fn text<'a>(name: &'a str, text: &'a str) -> SheetText<'a> {
    SheetText {
        name,
        bytes: text.as_bytes(),
    }
}

fn sheets(keep_going: bool) -> SheetsIn<'static> {
    SheetsIn {
        readings: Some(text("r.csv", READINGS)),
        points: Some(text("p.csv", POINTS)),
        instruments: Some(text("i.csv", INSTRUMENTS)),
        unit: Some(LengthUnit::Millimetre),
        keep_going,
    }
}

fn import(tablet: &mut Tablet, sheets: &SheetsIn<'_>) -> Result<Imported, EditError> {
    let stamp = tablet.stamp();
    tablet.job.import(sheets, &stamp).map(|(imported, _)| imported)
}

#[test]
fn a_job_says_what_its_sheets_said() {
    let mut ana = Tablet::first();
    match import(&mut ana, &sheets(false)) {
        Err(EditError::Unusable(problems)) => assert_eq!(problems[0].row, Some(3)),
        other => panic!("{other:?}"),
    }
    assert_eq!(ana.job.records().readings.len(), 0);

    let imported = import(&mut ana, &sheets(true)).unwrap();
    assert_eq!(
        (
            imported.readings,
            imported.blocked,
            imported.points,
            imported.instruments,
            imported.already
        ),
        (4, 1, 3, 1, 0)
    );
    assert_eq!(imported.problems.len(), 1);
    let (direct, _) = read_sheets(&Sheets {
        readings: text("r.csv", READINGS),
        points: Some(text("p.csv", POINTS)),
        instruments: Some(text("i.csv", INSTRUMENTS)),
        unit: Some(LengthUnit::Millimetre),
    });
    let mut direct = direct.unwrap();
    let mut through = ana.job.records().survey(&Stage::All).survey;
    // The log writes the unit to each bare number; nothing else may differ.
    for (through, direct) in through.readings.iter_mut().zip(&mut direct.readings) {
        assert!(
            through.typed.starts_with(&direct.typed),
            "{} {}",
            through.typed,
            direct.typed
        );
        direct.typed.clone_from(&through.typed);
    }
    through
        .blocked
        .iter_mut()
        .chain(&mut direct.blocked)
        .for_each(|ends| ends.sort_unstable());
    through.unit = direct.unit;
    assert_eq!(through, direct);
}

#[test]
fn importing_twice_adds_nothing_twice() {
    let mut ana = Tablet::first();
    import(&mut ana, &sheets(true)).unwrap();
    let heads = ana.job.heads();
    let again = import(&mut ana, &sheets(true)).unwrap();
    assert_eq!(
        (
            again.readings,
            again.blocked,
            again.points,
            again.instruments,
            again.already
        ),
        (0, 0, 0, 0, 4)
    );
    assert_eq!(ana.job.heads(), heads);

    // Not even on two tablets that have not met.
    let mut ben = Tablet::first().copy("Ben", 2);
    import(&mut ben, &sheets(true)).unwrap();
    let mut cleo = ana.copy("Cleo", 3);
    ben.meet(&mut cleo);
    assert_eq!(ben.job.records().readings.len(), 4);
    assert_eq!(ben.job.records().marks().len(), 3);
    assert_eq!(ben.job.disputes(), []);

    // Nor do the sheets that the job itself gives out.
    let out = ana.job.records().sheets(&Stage::All);
    let own = SheetsIn {
        readings: Some(text("readings.csv", &out.readings)),
        points: Some(text("points.csv", &out.points)),
        instruments: Some(text("instruments.csv", &out.instruments)),
        unit: None,
        keep_going: false,
    };
    let again = import(&mut ana, &own).unwrap();
    assert_eq!((again.readings, again.already, again.problems), (0, 4, vec![]));
    assert_eq!(ana.job.heads(), heads);
}

#[test]
fn what_the_log_says_otherwise_is_told_and_kept() {
    let mut ana = Tablet::first();
    import(&mut ana, &sheets(true)).unwrap();
    let changed = READINGS.replace("1240", "1250").replace("set aside", "");
    let points = POINTS.replace("left", "centre");
    let told = import(
        &mut ana,
        &SheetsIn {
            readings: Some(text("r.csv", &changed)),
            points: Some(text("p.csv", &points)),
            ..sheets(true)
        },
    )
    .unwrap();
    let reasons: Vec<String> = told.problems.iter().map(ToString::to_string).collect();
    assert!(
        reasons
            .iter()
            .any(|reason| reason.contains("\"6\" is in the log with other words")),
        "{reasons:?}"
    );
    assert!(
        reasons
            .iter()
            .any(|reason| reason.contains("\"centre\" here and \"left\" in the log")),
        "{reasons:?}"
    );
    let six = ana
        .job
        .records()
        .readings
        .values()
        .find(|reading| reading.name == "6")
        .unwrap();
    assert_eq!(six.now.value, "1240 mm");
}

#[test]
fn an_undone_import_can_be_imported_again() {
    let mut ana = Tablet::first();
    import(&mut ana, &sheets(true)).unwrap();
    let stamp = ana.stamp();
    ana.job.undo(&stamp).unwrap();
    assert_eq!(ana.job.records().readings.len(), 0);
    assert_eq!(ana.job.records().marks().len(), 0);
    assert_eq!(import(&mut ana, &sheets(true)).unwrap().readings, 4);
    assert_eq!(ana.job.records().marks().len(), 3);
}

#[test]
fn a_reading_logged_after_an_import_can_use_its_instruments() {
    let mut ana = Tablet::first();
    import(&mut ana, &sheets(true)).unwrap();
    let reading = ledger::ReadingText {
        instrument: "tape 1".into(),
        ..crate::crew::tape("sill-L", "X", "1 m")
    };
    ana.does(Edit::LogReading(reading));
    let more = "id,kind,a,b,value,instrument\n7,tape,X,sill-R,900 mm,tape 1\n";
    let only = SheetsIn {
        readings: Some(text("more.csv", more)),
        ..SheetsIn::default()
    };
    assert_eq!(import(&mut ana, &only).unwrap().readings, 1);
}

#[test]
fn what_two_tablets_called_alike_is_not_taken_in_again() {
    let mut ana = Tablet::first();
    let mut ben = ana.copy("Ben", 2);
    ana.tape("A", "B", "1 m");
    ben.tape("A", "C", "2 m");
    let (b, c) = (ana.point("B"), ben.point("C"));
    ana.does(Edit::RenamePoint {
        point: b,
        label: "sill".into(),
    });
    ben.does(Edit::RenamePoint {
        point: c,
        label: "sill".into(),
    });
    ana.meet(&mut ben);
    let heads = ana.job.heads();
    let out = ana.job.records().sheets(&Stage::All);
    assert!(out.readings.contains("r001 (2)") && out.points.contains("sill (2)"));
    let own = SheetsIn {
        readings: Some(text("readings.csv", &out.readings)),
        points: Some(text("points.csv", &out.points)),
        ..SheetsIn::default()
    };
    let again = import(&mut ana, &own).unwrap();
    assert_eq!((again.readings, again.points, again.already), (0, 0, 2));
    assert_eq!(ana.job.heads(), heads);
}
