//! An answer made by hand, with something of everything in it, for the tests of what is written and told.

use adjust::{
    AdjustedPoint, AdjustedReading, Adjustment, Diagonal, Handedness, InstrumentBehaviour, LikelySlip,
    LikelySlips, Loose, MidPlane, NextReading, Outcome, PairOff, PersonBehaviour, PointStatus, Purpose, Slip,
    Summary, Symmetry, Tested, TwoValued, Unclear, Verdict,
};
use survey::{Frame, Kind, Label, LengthUnit, SheetText, Sheets};

use crate::AdjustAnswer;

const READINGS: &[u8] = b"id,kind,a,b,c,value,instrument,note\n\
    r1,tape,sill-RR,sill-FR,,54 3/8 in,inch tape,\n\
    r2,tape,sill-RR,sill-RL,,49 in,inch tape,a burned inch\n\
    r3,slope,sill-RR,sill-FR,,1.5 deg,,\n\
    r4,corner,sill-FR,sill-RR,sill-RL,90 deg,,\n\
    r5,tape,sill-FR,sill-RL,,72 1/2 in,inch tape,\n\
    r6,tape,sill-RL,roof,,40 in,inch tape,\n";
const INSTRUMENTS: &[u8] = b"name,kind,class,graduation\ninch tape,tape,II,1/16 in\n";

pub(crate) fn answer() -> AdjustAnswer {
    let sheets = Sheets {
        readings: SheetText {
            name: "readings.csv",
            bytes: READINGS,
        },
        points: None,
        instruments: Some(SheetText {
            name: "instruments.csv",
            bytes: INSTRUMENTS,
        }),
        unit: None,
    };
    let (survey, problems) = survey::read_sheets(&sheets);
    let survey = survey.expect("the sheets can be read");
    let label = |text| Label::new(text).expect("a label");
    let fits = |observed: f64, sd: f64| AdjustedReading {
        observed,
        adjusted: Some(observed + 0.5 * sd),
        residual: Some(0.5 * sd),
        sd,
        redundancy: Some(0.25),
        w: Some(1.0),
        smallest_visible_slip: Some(8.0 * sd),
        unchecked: false,
        verdict: Verdict::Fits,
        group: None,
        likely_slip: None,
        slips: None,
    };
    let burned = LikelySlip {
        slip: Slip::BurnedInch,
        corrected: Some(1219.2),
        belongs_to: None,
        odds: 0.975,
    };
    let degree = std::f64::consts::PI / 180.0;
    let pinned = |at: [f64; 3], sd: [f64; 3]| AdjustedPoint {
        coordinates_mm: at.map(Some),
        covariance_mm2: Some([
            [sd[0] * sd[0], 0.0, 0.0],
            [0.0, sd[1] * sd[1], 0.0],
            [0.0, 0.0, sd[2] * sd[2]],
        ]),
        axes_95_mm: Some([[0.0, 3.0, 0.0], [0.0, 0.0, 2.0], [1.0, 0.0, 0.0]]),
        status: PointStatus::Fixed,
    };
    let adjustment = Adjustment {
        frame: Frame::Three {
            origin: label("sill-RR"),
            ahead: label("sill-FR"),
            left: label("sill-RL"),
        },
        handedness: Handedness::Plumb,
        outcome: Outcome::LoosePoints,
        points: vec![
            pinned([0.0; 3], [0.0; 3]),
            pinned([1381.125, 0.0, 0.0], [0.5, 0.0, 0.0]),
            AdjustedPoint {
                status: PointStatus::TwoValued,
                ..pinned([-3.0, 1219.2, 0.0], [1.0, 0.5, 0.0])
            },
            AdjustedPoint {
                coordinates_mm: [Some(254.0), None, None],
                covariance_mm2: None,
                axes_95_mm: None,
                status: PointStatus::Loose,
            },
        ],
        readings: vec![
            fits(1381.125, 1.0),
            AdjustedReading {
                adjusted: Some(1219.2),
                residual: Some(-25.4),
                w: Some(-20.0),
                verdict: Verdict::Suspect,
                likely_slip: Some(burned.clone()),
                slips: Some(LikelySlips {
                    slips: vec![
                        burned,
                        LikelySlip {
                            slip: Slip::WrongPoint,
                            corrected: None,
                            belongs_to: Some(vec![0, 3]),
                            odds: 0.02,
                        },
                    ],
                    none_of_these: 0.005,
                }),
                ..fits(1244.6, 1.0)
            },
            AdjustedReading {
                verdict: Verdict::Unclear,
                group: Some(1),
                likely_slip: Some(LikelySlip {
                    slip: Slip::MirrorPoint,
                    corrected: None,
                    belongs_to: Some(vec![0, 2]),
                    odds: 0.5,
                }),
                ..fits(1.5 * degree, 0.25 * degree)
            },
            AdjustedReading {
                verdict: Verdict::Unclear,
                group: Some(1),
                ..fits(90.0 * degree, 0.25 * degree)
            },
            AdjustedReading {
                verdict: Verdict::LookAgain,
                w: Some(3.5),
                ..fits(1841.5, 1.0)
            },
            AdjustedReading {
                adjusted: None,
                residual: None,
                redundancy: None,
                w: None,
                smallest_visible_slip: None,
                unchecked: true,
                ..fits(1016.0, 1.0)
            },
        ],
        summary: Summary {
            points: 4,
            readings: 5,
            held_out: 1,
            unclear: 2,
            unknowns: 4,
            degrees_of_freedom: 1,
            chi_square: 1.5,
            chi_square_band_95: Some([0.001, 5.02]),
            chi_square_all: 400.0,
            variance_factor: Some(1.5),
            passes: Some(true),
            critical_w: 3.5,
        },
        loose: vec![Loose {
            point: 3,
            directions: vec![[0.0, 0.6, 0.8]],
        }],
        two_valued: vec![TwoValued {
            point: 2,
            candidates: [[-3.0, 1219.2, 0.0], [3.0, 1219.2, 0.0]],
            chi_square: [1.5, 1.75],
        }],
        islands: vec![vec![0, 1, 2, 3]],
        causes: Vec::new(),
        unclear: vec![Unclear {
            readings: vec![2, 3],
            held_out: true,
            moves: Vec::new(),
            cause: None,
        }],
        next: vec![NextReading {
            kind: Kind::Tape,
            a: 0,
            b: 3,
            purpose: Purpose::Pins,
            points: vec![3],
            readings: Vec::new(),
            worst_sd_before_mm: None,
            worst_sd_after_mm: Some(1.25),
            why: "pins roof".to_owned(),
        }],
        symmetry: Some(Symmetry {
            plane: MidPlane {
                point_mm: [0.0, 609.6, 0.0],
                normal: [0.0, 1.0, 0.0],
            },
            pairs: vec![PairOff {
                left: 2,
                right: 0,
                off_mm: [8.0, -2.0, 0.5],
                covariance_mm2: [[1.0, 0.0, 0.0], [0.0, 4.0, 0.0], [0.0, 0.0, 0.25]],
                significant: true,
                stands_out: true,
            }],
            racked_mm: Some(Tested {
                value: -8.0,
                sd: 1.0,
                significant: true,
            }),
            twisted: Some(Tested {
                value: 0.25 * degree,
                sd: 0.5 * degree,
                significant: false,
            }),
            diagonals: vec![Diagonal {
                one: [1, 2],
                other: [2, 0],
                lengths_mm: [1841.5, 1844.0],
                difference_mm: Tested {
                    value: -2.5,
                    sd: 1.0,
                    significant: true,
                },
            }],
        }),
        instruments: vec![InstrumentBehaviour {
            instrument: 0,
            readings: 3,
            redundancy: 0.75,
            variance_ratio: None,
            band_95: None,
            said_sd: 1.0,
            behaves_like_sd: None,
            offset: Some(Tested {
                value: 2.0,
                sd: 0.5,
                significant: true,
            }),
        }],
        people: vec![PersonBehaviour {
            name: "Kim".to_owned(),
            readings: 3,
            held_out: 1,
            redundancy: 2.0,
            variance_ratio: Some(6.25),
            band_95: Some([0.025, 3.69]),
        }],
        scale_uncertainty: Some(0.5),
        solution: None,
        problems: vec!["the sides and the plumb line disagree".to_owned()],
    };
    AdjustAnswer {
        survey,
        adjustment,
        crew_unit: LengthUnit::Inch,
        problems,
    }
}
