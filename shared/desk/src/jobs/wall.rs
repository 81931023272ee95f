//! The sheet for the wall: what of a job goes on it, in the crew's unit. How it is laid out is `handoff`'s.

use std::collections::BTreeMap;

use adjust::Handedness;
use handoff::{Day, Drawing, Figure, MidPlane, Paper, Place, SuspectLine, TitleCells, Wall, WallPoint};
use ledger::{Records, Stage};
use serde::{Deserialize, Serialize};
use survey::{Frame, LengthUnit, Side};

use super::take_away::stamp;
use super::{Desk, Numbers};
use crate::AdjustAnswer;
use crate::refusal::{Code, Refusal};
use crate::told::{HALF_WIDTH_95, Told, direction, format_to, rounded_up_to};
use crate::wire::{ShapePoint, ShapeShown, ShapeStatus, SideWord};

/// The sheet as it was made.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(test, derive(ts_rs::TS))]
pub struct WallSheet {
    /// What the job is called.
    pub name: String,
    /// How many pages the sheet has.
    pub pages: usize,
    /// What could not be drawn as it should be.
    pub problems: Vec<String>,
    /// `N readings held out, M unchecked. Measured, not approved.`
    pub stamp: String,
}

/// What the sheet is printed on.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(test, derive(ts_rs::TS))]
#[serde(rename_all = "kebab-case")]
pub enum PaperSize {
    /// 210 by 297 mm.
    A4,
    /// 8.5 by 11 in.
    Letter,
}

/// What file it is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(test, derive(ts_rs::TS))]
#[serde(rename_all = "kebab-case")]
pub enum PaperForm {
    /// All pages in one PDF.
    Pdf,
    /// One page as SVG.
    Svg,
}

/// The caution of papers, once on each.
const CAUTION: &str = "A cage holds a life. These are measurements; Trammel does not design or certify. Follow the \
                       rules of your sanctioning body, local law and a qualified engineer or welder.";
/// How many readings a remark names.
const NAMED: usize = 3;

impl Desk {
    /// The flat views of a shell at one epoch with its points by name, and a table of them, to be printed: in the
    /// crew's unit, at the marks and with the decimal sign of this device. Gives the bytes of all pages as PDF, or of
    /// one, counted from 1, as SVG.
    ///
    /// # Errors
    /// Where no point is determined yet, or there is no such job, epoch or page.
    pub fn wall_sheet(
        &mut self,
        job: Option<&str>,
        epoch: Option<&str>,
        paper: PaperSize,
        form: PaperForm,
        page: usize,
    ) -> Result<(WallSheet, Vec<u8>), Refusal> {
        let id = self.choose(job)?;
        let stage = self.stage_called(id, epoch)?;
        let answer = self.solved_stage(id, stage.clone())?;
        let shape = self.shape(Some(&id.to_string()), epoch)?;
        let device = self.device()?;
        let records = self.job(id)?.records();
        let figures = Figures {
            unit: answer.crew_unit,
            marks: device.marks,
            comma: device.numbers == Numbers::Comma,
        };
        let drawing = Sheet {
            records,
            answer: &answer,
            shape: &shape,
            figures,
        }
        .drawn(&stage, paper)?;
        let bytes = match form {
            PaperForm::Pdf => {
                let pdf = drawing.pdf();
                pdf.map_err(|error| Refusal::new(Code::Fault, error.to_string()))?
            }
            PaperForm::Svg => drawing
                .svg(page)
                .ok_or_else(|| {
                    let pages = drawing.pages();
                    Refusal::new(
                        Code::NotThere,
                        format!("there is no page {page}: the sheet has pages 1 to {pages}"),
                    )
                })?
                .into_bytes(),
        };
        let made = WallSheet {
            name: records.job.name.clone(),
            pages: drawing.pages(),
            problems: drawing.problems,
            stamp: stamp(Some(&answer)),
        };
        Ok((made, bytes))
    }
}

/// How coordinates are written.
#[derive(Debug, Clone, Copy)]
struct Figures {
    unit: LengthUnit,
    marks: u32,
    comma: bool,
}

impl Figures {
    /// A coordinate with half the width of its band, where that is known.
    fn of(self, mm: f64, sd_mm: Option<f64>) -> Figure {
        let half = sd_mm.map(|sd| rounded_up_to(self.unit, self.marks, HALF_WIDTH_95 * sd));
        Figure {
            value: Some(self.bare(&survey::format_length(mm, format_to(self.unit, self.marks)))),
            half_width_95: half.map(|half| self.bare(&half)),
        }
    }

    /// Without the unit, which the head of the column names.
    fn bare(self, text: &str) -> String {
        let bare = text.rsplit_once(' ').map_or(text, |(figure, _)| figure);
        if self.comma {
            bare.replace('.', ",")
        } else {
            bare.to_owned()
        }
    }
}

/// What goes on a sheet.
struct Sheet<'a> {
    records: &'a Records,
    answer: &'a AdjustAnswer,
    shape: &'a ShapeShown,
    figures: Figures,
}

impl Sheet<'_> {
    fn drawn(&self, stage: &Stage, paper: PaperSize) -> Result<Drawing, Refusal> {
        let shape = self.shape;
        let places: BTreeMap<&str, usize> = shape
            .points
            .iter()
            .enumerate()
            .map(|(place, point)| (point.label.as_str(), place))
            .collect();
        let place = |label: &String| places.get(label.as_str()).copied();
        let held_out = shape.lines.iter().filter(|line| line.held_out);
        let wall = Wall {
            job: self.records.job.name.clone(),
            cells: TitleCells {
                frame: frame(&self.answer.adjustment.frame).to_owned(),
                epoch: shape.epoch.clone(),
                last_read: last_read(self.records, stage),
                readings: self.answer.survey.readings.len(),
            },
            unit: self.figures.unit,
            points: shape.points.iter().map(|point| self.point(point)).collect(),
            outline: shape
                .outline
                .iter()
                .filter_map(|[a, b]| Some([place(a)?, place(b)?]))
                .collect(),
            suspects: held_out
                .map(|line| SuspectLine {
                    name: line.reading.clone(),
                    points: line.points.iter().filter_map(place).collect(),
                    path: line.path.clone(),
                })
                .collect(),
            mid_plane: shape.plane.map(|plane| MidPlane {
                point: plane.point,
                normal: plane.normal,
            }),
            axes: Told::of(self.answer).frame,
            stamp: stamp(Some(self.answer)),
            caution: CAUTION.to_owned(),
        };
        let paper = match paper {
            PaperSize::A4 => Paper::A4,
            PaperSize::Letter => Paper::Letter,
        };
        handoff::wall_sheet(&wall, paper)
            .map_err(|error| Refusal::new(Code::NothingToSolve, error.to_string()))
    }

    fn point(&self, point: &ShapePoint) -> WallPoint {
        let row = |at: [f64; 3], sd: Option<[f64; 3]>| {
            [0, 1, 2].map(|axis| self.figures.of(at[axis], sd.map(|sd| sd[axis])))
        };
        let mut remarks = self.held_out(point);
        // Where nothing tells the shell from its mirror image every point has two places, which the axes tell of.
        let either_hand = self.answer.adjustment.handedness == Handedness::Unresolved;
        let (place, rows) = match (point.status, point.place, point.places) {
            (ShapeStatus::TwoValued, _, Some(places)) if !either_hand => {
                remarks.insert(0, "Two places: tape it once more.".to_owned());
                (Place::Two(places), places.map(|at| row(at, None)).to_vec())
            }
            (ShapeStatus::Fixed | ShapeStatus::TwoValued, Some(at), _) => {
                let axes_95_mm = point.axes_95_mm;
                (Place::Fixed { at, axes_95_mm }, vec![row(at, point.sd_mm)])
            }
            (ShapeStatus::Loose, Some(at), _) => {
                let directions = point.directions.clone();
                let way = match directions.as_slice() {
                    [one] => format!("Loose: moves {}.", direction(*one)),
                    _ => "Loose: can move.".to_owned(),
                };
                remarks.insert(0, way);
                (Place::Loose { at, directions }, Vec::new())
            }
            _ => {
                remarks.insert(0, "No place yet: tape it from four points.".to_owned());
                (Place::Nowhere, Vec::new())
            }
        };
        WallPoint {
            label: point.label.clone(),
            side: point.side.map(|side| match side {
                SideWord::Left => Side::Left,
                SideWord::Right => Side::Right,
                SideWord::Centre => Side::Centre,
            }),
            place,
            rows,
            remarks,
        }
    }

    /// Which readings of a point are held out.
    fn held_out(&self, point: &ShapePoint) -> Vec<String> {
        let lines = self.shape.lines.iter();
        let names: Vec<&str> = lines
            .filter(|line| line.held_out && line.points.contains(&point.label))
            .map(|line| line.reading.as_str())
            .collect();
        match names.as_slice() {
            [] => Vec::new(),
            few if few.len() <= NAMED => vec![format!("{} held out.", few.join(", "))],
            many => vec![format!(
                "{} and {} more held out.",
                many[..NAMED].join(", "),
                many.len() - NAMED
            )],
        }
    }
}

/// The frame in a word or two; the sentences that say it whole stand over the table.
fn frame(frame: &Frame) -> &'static str {
    match frame {
        Frame::Three { .. } => "Three points",
        Frame::Plumb { .. } => "Plumb",
        Frame::Centreline { .. } => "Centreline",
        Frame::Bench => "Bench",
    }
}

/// The day of the last reading of a stage, in UTC as the log has it.
fn last_read(records: &Records, stage: &Stage) -> Option<Day> {
    let of_stage = |epoch: &Option<ledger::EntryId>| match stage {
        Stage::All => true,
        Stage::Only(only) => epoch == only,
    };
    let read = records
        .readings
        .values()
        .filter(|reading| of_stage(&reading.now.epoch));
    let last = read
        .filter_map(|reading| ledger::moment(&reading.read_at()))
        .max()?;
    let text = ledger::utc(last.checked_mul(1000)?);
    let mut parts = text.get(..10)?.splitn(3, '-');
    Some(Day {
        year: parts.next()?.parse().ok()?,
        month: parts.next()?.parse().ok()?,
        day: parts.next()?.parse().ok()?,
    })
}
