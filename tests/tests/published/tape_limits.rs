//! Permitted errors of tapes: Directive 2014/32/EU, Annex X, chapter I (text seen as its transposition). The sheet
//! is read, and the limit is got back from the deviation that was given to the reading.

use survey::{SheetText, Sheets, read_sheets};

use super::near;

/// The permitted error of a tape of that class at that length, mm.
fn limit(kind: &str, class: &str, metres: &str) -> f64 {
    let readings = format!("id,kind,a,b,value,instrument\nq1,tape,A,B,{metres} m,T\n");
    let instruments = format!("name,kind,class,graduation,point_sd\nT,{kind},{class},1 mm,0.5 mm\n");
    let sheets = Sheets {
        readings: SheetText {
            name: "READINGS.csv",
            bytes: readings.as_bytes(),
        },
        points: None,
        instruments: Some(SheetText {
            name: "INSTRUMENTS.csv",
            bytes: instruments.as_bytes(),
        }),
        unit: None,
    };
    let (survey, problems) = read_sheets(&sheets);
    let Some(survey) = survey else {
        panic!("{problems:?}")
    };
    let sd = survey.readings[0].sd;
    (3.0 * (sd * sd - 1.0 / 12.0 - 2.0 * 0.25)).sqrt()
}

#[test]
fn annex_x_classes_at_three_lengths() {
    for (metres, limits) in [
        ("0.80", [0.2, 0.5, 1.0]),
        ("2.70", [0.4, 0.9, 1.8]),
        ("5.00", [0.6, 1.3, 2.6]),
    ] {
        for ((class, limit_mm), hook) in ["I", "II", "III"].into_iter().zip(limits).zip([0.1, 0.2, 0.3]) {
            near(
                limit("ring tape", class, metres),
                limit_mm,
                1e-9,
                "between two marks",
            );
            near(
                limit("tape", class, metres),
                limit_mm + hook,
                1e-9,
                "from the hook",
            );
        }
    }
}

/// 1.1 mm as an even distribution (JCGM 100:2008, 4.3.7, from memory): 0.63509 mm; with a graduation of 1 mm and
/// 0.5 mm at each end 0.993 mm.
#[test]
fn a_class_two_hook_tape_at_2_70_metres() {
    near(
        limit("tape", "II", "2.70") / 3_f64.sqrt(),
        0.63509,
        1e-5,
        "as a standard deviation",
    );
}
