//! What goes out: the job file, which people can read without this program.

use std::collections::BTreeSet;
use std::io::{Seek, Write};

use ledger::job_file::Writer;
use ledger::{Records, Stage};
use serde::Serialize;

use super::Desk;
use super::photos::{PhotoSize, extension};
use super::solve::newest_stage;
use crate::AdjustAnswer;
use crate::refusal::{Code, Refusal};
use crate::told::Told;
use crate::wire::AdjustmentWire;

/// What was written.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(test, derive(ts_rs::TS))]
pub struct Exported {
    /// What the job is called.
    pub name: String,
    /// How many readings are in it.
    pub readings: usize,
    /// How many pictures.
    pub photos: usize,
    /// Pictures that are not on this device, by the first letters of their ids.
    pub missing: Vec<String>,
    /// `N readings held out, M unchecked. Measured, not approved.`
    pub stamp: String,
}

/// A job as sheets that any program reads.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(test, derive(ts_rs::TS))]
pub struct SheetsShown {
    /// The readings, as they were typed.
    pub readings: String,
    /// The points with what was said of them.
    pub points: String,
    /// The instruments.
    pub instruments: String,
    /// Where the points are, in mm; nothing where none is determined yet.
    pub coordinates: Option<String>,
    /// `N readings held out, M unchecked. Measured, not approved.`
    pub stamp: String,
}

impl Desk {
    /// A job as CSV texts, with coordinates where there are any.
    ///
    /// # Errors
    /// Where there is no such job.
    pub fn sheets(&mut self, job: Option<&str>) -> Result<SheetsShown, Refusal> {
        let id = self.choose(job)?;
        let stage = newest_stage(self.job(id)?.records());
        let solved = self.solved_stage(id, stage).ok();
        let texts = self.job(id)?.records().sheets(&Stage::All);
        Ok(SheetsShown {
            readings: texts.readings,
            points: texts.points,
            instruments: texts.instruments,
            coordinates: solved.as_deref().map(coordinates_sheet),
            stamp: stamp(solved.as_deref()),
        })
    }

    /// Writes a job as a zip: the document, sheets, history, coordinates where there are any, and photos without where
    /// they were taken. The same job gives the same bytes.
    ///
    /// # Errors
    /// Where there is no such job, or it cannot be written.
    pub fn export(&mut self, job: Option<&str>, to: impl Write + Seek) -> Result<Exported, Refusal> {
        let id = self.choose(job)?;
        let stage = newest_stage(self.job(id)?.records());
        let solved = self.solved_stage(id, stage).ok();
        self.watch.go_on()?;
        let history = self.history_sheet(id)?;
        let job = self.job(id)?;
        let (records, document) = (job.records().clone(), job.save());
        let sheets = records.sheets(&Stage::All);
        let stamp = stamp(solved.as_deref());
        let mut texts = vec![
            ("README.txt", readme(&records, &stamp, solved.as_deref())),
            ("readings.csv", sheets.readings),
            ("points.csv", sheets.points),
            ("instruments.csv", sheets.instruments),
            ("history.csv", history),
            ("photos.csv", photos_sheet(&records)),
        ];
        texts.extend(
            solved
                .as_deref()
                .map(|answer| ("coordinates.csv", coordinates_sheet(answer))),
        );

        let cannot = |error: ledger::job_file::PackError| Refusal::new(Code::DiskFailed, error.to_string());
        let mut writer = Writer::new(to);
        for (name, text) in &texts {
            writer.text(name, text).map_err(cannot)?;
        }
        writer.document(&document).map_err(cannot)?;
        self.watch
            .begins("photos", u64::try_from(records.photos.len()).ok());
        let (mut photos, mut missing) = (0, Vec::new());
        let mut written = BTreeSet::new();
        for (entry, record) in &records.photos {
            self.watch.step()?;
            // Two tablets may have added one picture, one of them a copy without where it was taken.
            if !written.insert(&record.leaves_as) {
                continue;
            }
            match self.picture_of(entry, PhotoSize::ToLeave) {
                Ok((_, bytes)) => {
                    writer
                        .photo(&record.leaves_as, extension(&record.media_type), &bytes)
                        .map_err(cannot)?;
                    photos += 1;
                }
                Err(_) => missing.push(super::photos::short(entry).to_owned()),
            }
        }
        writer.finish().map_err(cannot)?;
        Ok(Exported {
            name: records.job.name.clone(),
            readings: records.readings.len(),
            photos,
            missing,
            stamp,
        })
    }
}

/// What every paper and file says that leaves.
pub(super) fn stamp(answer: Option<&AdjustAnswer>) -> String {
    let Some(answer) = answer else {
        return "No points are determined yet. Measured, not approved.".to_owned();
    };
    let wire = AdjustmentWire::of(answer);
    let unchecked = wire.readings.iter().filter(|reading| reading.unchecked).count();
    let held_out = crate::adjust::counted(wire.summary.held_out, "reading");
    format!("{held_out} held out, {unchecked} unchecked. Measured, not approved.")
}

fn readme(records: &Records, stamp: &str, answer: Option<&AdjustAnswer>) -> String {
    let mut coordinates = String::new();
    let mut frame = String::new();
    if let Some(answer) = answer {
        coordinates.push_str(
            "coordinates.csv  Where the points are, in mm, with standard deviations (sd).\n                 \
             The axes are told below.\n",
        );
        frame.push_str("The axes of coordinates.csv:\n\n");
        for line in Told::of(answer).frame {
            frame.push_str(&format!("- {line}\n"));
        }
        frame.push('\n');
    }
    let asked = super::solve::frame_of(records).map_or_else(String::new, |axes| {
        format!(
            " \\\n                     --frame '{}'",
            axes.to_string().replace('\'', "'\\''")
        )
    });
    format!(
        "{}\n\nA job of Trammel, a log of measurements on a car shell.\n{stamp}\n\n\
         What is in here, readable without Trammel:\n\n\
         readings.csv     What was read, one reading a row, as it was typed. Readings\n                 \
         that were set aside are marked so.\n\
         points.csv       The points: side, mirror partner, rough places, notes.\n\
         instruments.csv  What was read with.\n\
         {coordinates}\
         history.csv      Who did what, and when (UTC).\n\
         photos.csv       Which photo shows what, and where points are pinned on it.\n\
         photos/          The photos, without where they were taken.\n\
         job.automerge    The whole log. Trammel on another device takes this zip in\n                 \
         and merges it with its own copy; nothing is lost on either.\n\n\
         {frame}\
         To take it in:   trammel job import THIS-FILE.zip\n\
         To solve again:  trammel adjust readings.csv --points points.csv \\\n                     \
         --instruments instruments.csv{asked}\n\n{CAUTION_LINES}",
        records.job.name
    )
}

/// The caution that stands on everything that leaves, in the lines of a text file.
const CAUTION_LINES: &str = "\
A cage holds a life. These are measurements; Trammel does not design or certify.
Follow the rules of your sanctioning body, local law and a qualified engineer or
welder.
";

fn coordinates_sheet(answer: &AdjustAnswer) -> String {
    let number = |value: Option<f64>| value.map_or_else(String::new, |mm| format!("{mm:.3}"));
    let rows = AdjustmentWire::of(answer).points.into_iter().map(|point| {
        vec![
            point.label,
            number(point.x_mm),
            number(point.y_mm),
            number(point.z_mm),
            number(point.sd_x_mm),
            number(point.sd_y_mm),
            number(point.sd_z_mm),
            point.status.word().to_owned(),
        ]
    });
    let columns = [
        "label", "x_mm", "y_mm", "z_mm", "sd_x_mm", "sd_y_mm", "sd_z_mm", "status",
    ];
    ledger::table(&columns, rows)
}

fn photos_sheet(records: &Records) -> String {
    let labels = records.labels();
    let label = |point: &ledger::EntryId| labels.get(records.mark(point)).cloned().unwrap_or_default();
    let names = records.reading_names();
    let mut rows = Vec::new();
    for (entry, record) in &records.photos {
        let file = format!("{}.{}", record.leaves_as, extension(&record.media_type));
        let shows = record
            .about
            .as_ref()
            .map_or_else(String::new, |about| match about.room {
                ledger::Room::Points => label(&about.entry),
                _ => names.get(&about.entry).cloned().unwrap_or_default(),
            });
        let state = if record.removed { "taken out" } else { "" };
        let mut row = |[point, x, y, note]: [String; 4]| {
            rows.push(vec![
                file.clone(),
                record.caption.clone(),
                shows.clone(),
                record.taken.clone(),
                record.by.clone(),
                state.to_owned(),
                point,
                x,
                y,
                note,
            ]);
        };
        row(Default::default());
        for pin in records
            .pins
            .values()
            .filter(|pin| pin.photo == *entry && !pin.removed)
        {
            let point = pin.point.as_ref().map(label).unwrap_or_default();
            let [x, y] = [pin.x, pin.y].map(|share| format!("{share:.4}"));
            row([point, x, y, pin.note.clone()]);
        }
    }
    ledger::table(
        &[
            "file", "caption", "shows", "taken", "by", "state", "pin", "pin_x", "pin_y", "pin_note",
        ],
        rows.into_iter(),
    )
}
