//! The reference cases in `data/cases`: sheets and what an independent solver made of them.

use std::path::{Path, PathBuf};

use serde_json::Value;
use survey::{Frame, Label, Problem, SheetText, Sheets, Survey, read_sheets};

use crate::net::label;
use crate::observe::V3;

/// Every case whose survey can be solved in full, but for the big one.
pub const SOLVED: [&str; 5] = ["plain", "no-hints", "tape-only", "three-slips", "notebook"];

/// One case.
#[derive(Debug, Clone)]
pub struct Case {
    /// Its folder's name.
    pub name: String,
    /// What was read from its sheets.
    pub survey: Survey,
    /// What was said about the sheets.
    pub problems: Vec<Problem>,
    /// `reference.json`.
    pub reference: Value,
}

/// The folder of the cases.
pub fn folder() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("data/cases")
}

/// The sheets of a case as they lie on the disk.
#[derive(Debug, Clone)]
pub struct CaseSheets {
    readings: Vec<u8>,
    points: Option<Vec<u8>>,
    instruments: Option<Vec<u8>>,
}

impl CaseSheets {
    /// Takes them off the disk.
    ///
    /// # Panics
    /// Where the case has no readings.
    pub fn of(name: &str) -> CaseSheets {
        let bytes = |file: &str| std::fs::read(folder().join(name).join(file)).ok();
        let Some(readings) = bytes("readings.csv") else {
            panic!("the case {name} has no readings.csv")
        };
        CaseSheets {
            readings,
            points: bytes("points.csv"),
            instruments: bytes("instruments.csv"),
        }
    }

    /// Reads them.
    pub fn read(&self) -> (Option<Survey>, Vec<Problem>) {
        read_sheets(&Sheets {
            readings: SheetText {
                name: "readings.csv",
                bytes: &self.readings,
            },
            points: self.points.as_deref().map(|bytes| SheetText {
                name: "points.csv",
                bytes,
            }),
            instruments: self.instruments.as_deref().map(|bytes| SheetText {
                name: "instruments.csv",
                bytes,
            }),
            unit: None,
        })
    }
}

/// Loads a case.
///
/// # Panics
/// Where the case is not there or its sheets cannot be used: the tests rest on it.
pub fn load(name: &str) -> Case {
    let (survey, problems) = CaseSheets::of(name).read();
    let Some(survey) = survey else {
        panic!("the sheets of {name} cannot be used: {problems:?}")
    };
    let path = folder().join(name).join("reference.json");
    let reference = std::fs::read_to_string(&path)
        .ok()
        .and_then(|text| serde_json::from_str(&text).ok());
    let Some(reference) = reference else {
        panic!("{} cannot be read", path.display())
    };
    Case {
        name: name.to_owned(),
        survey,
        problems,
        reference,
    }
}

impl Case {
    /// The frame of the reference coordinates.
    ///
    /// # Panics
    /// Where the reference names none.
    pub fn frame(&self) -> Frame {
        let named: Vec<Label> = self
            .list("/datum")
            .iter()
            .filter_map(Value::as_str)
            .map(label)
            .collect();
        let [origin, ahead, left] = <[Label; 3]>::try_from(named)
            .unwrap_or_else(|found| panic!("{}: the datum is {found:?}", self.name));
        Frame::Three { origin, ahead, left }
    }

    /// The list at a JSON pointer; empty where there is none.
    pub fn list(&self, pointer: &str) -> &[Value] {
        self.reference
            .pointer(pointer)
            .and_then(Value::as_array)
            .map_or(&[], Vec::as_slice)
    }

    /// The number at a JSON pointer.
    pub fn number(&self, pointer: &str) -> Option<f64> {
        self.reference.pointer(pointer)?.as_f64()
    }

    /// The three numbers of a point in the map at a JSON pointer.
    pub fn of_point(&self, pointer: &str, point: usize) -> Option<V3> {
        let list = self
            .reference
            .pointer(pointer)?
            .get(self.survey.points[point].label.as_str())?
            .as_array()?;
        let [x, y, z] = [0, 1, 2].map(|i| list.get(i).and_then(Value::as_f64));
        Some([x?, y?, z?])
    }

    /// The index of a reading.
    ///
    /// # Panics
    /// Where the survey does not have it.
    pub fn reading(&self, id: &str) -> usize {
        let found = self.survey.readings.iter().position(|r| r.id == id);
        found.unwrap_or_else(|| panic!("{} has no reading {id}", self.name))
    }
}
