//! The distance between any two points, measured or not.

use adjust::PointStatus;
use ledger::JobId;
use serde::Serialize;
use survey::{Kind, Label};

use super::Desk;
use super::called::{label_of, point_called};
use crate::AdjustAnswer;
use crate::refusal::{Code, Refusal};

/// How far two points are apart, lengths in mm.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(test, derive(ts_rs::TS))]
pub struct Distance {
    /// From.
    pub a: String,
    /// To.
    pub b: String,
    /// In a straight line; `null` where it is not determined.
    pub mm: Option<f64>,
    /// Standard deviation of that. ± at 95 % is 1.96 times that.
    pub sd_mm: Option<f64>,
    /// From the first to the second along the axes of the frame; `null` where that hangs on which mirror image of the
    /// shell is the right one, and nothing tells yet.
    pub along_mm: Option<[f64; 3]>,
    /// The tapes, slopes and rises between the two, those set aside too.
    pub readings: Vec<String>,
    /// Why it is not determined, and what to do.
    pub why: Option<String>,
}

impl Desk {
    /// The distance between two points at one epoch, the newest where none is named.
    ///
    /// # Errors
    /// Where there is no such job, epoch or point, or the two are one. A distance that is not determined is none.
    pub fn distance(
        &mut self,
        job: Option<&str>,
        epoch: Option<&str>,
        a: &str,
        b: &str,
    ) -> Result<Distance, Refusal> {
        let id = self.choose(job)?;
        let stage = self.stage_called(id, epoch)?;
        let [a, b] = self.two_points(id, a, b)?;
        let mut distance = Distance {
            a,
            b,
            mm: None,
            sd_mm: None,
            along_mm: None,
            readings: Vec::new(),
            why: None,
        };
        match self.solved_stage(id, stage.clone()) {
            Ok(answer) => distance.take(&answer),
            Err(refusal) if refusal.code == Code::NothingToSolve => {
                let survey = self.job(id)?.records().survey(&stage).survey;
                distance.readings = distance.between(&survey);
                distance.why = Some(refusal.message);
            }
            Err(refusal) => return Err(refusal),
        }
        Ok(distance)
    }

    /// Both labels as the job has them.
    fn two_points(&mut self, id: JobId, a: &str, b: &str) -> Result<[String; 2], Refusal> {
        let records = self.job(id)?.records();
        let labels = [
            label_of(records, &point_called(records, a)?),
            label_of(records, &point_called(records, b)?),
        ];
        match labels[0] == labels[1] {
            true => Err(Refusal::new(
                Code::Unusable,
                format!("`{}` stands twice: choose two points", labels[0]),
            )),
            false => Ok(labels),
        }
    }
}

impl Distance {
    fn take(&mut self, answer: &AdjustAnswer) {
        self.readings = self.between(&answer.survey);
        let [a, b] = [&self.a, &self.b].map(|label| index(&answer.survey, label));
        let (Some(a), Some(b)) = (a, b) else {
            let missing = if a.is_none() { &self.a } else { &self.b };
            self.why = Some(format!("`{missing}` has no reading at this epoch: tape it"));
            return;
        };
        let place = |point: usize| {
            let [x, y, z] = answer.adjustment.points[point].coordinates_mm;
            Some([x?, y?, z?])
        };
        let Some(distance) = answer.adjustment.distance(a, b) else {
            self.why = Some(why(answer, [a, b]));
            return;
        };
        self.mm = Some(distance.value);
        self.sd_mm = Some(distance.sd);
        if let (Some(from), Some(to)) = (place(a), place(b)) {
            self.along_mm = Some([0, 1, 2].map(|k| to[k] - from[k]));
        }
    }

    /// The readings from the one to the other, by name.
    fn between(&self, survey: &survey::Survey) -> Vec<String> {
        let ends = [&self.a, &self.b].map(|label| index(survey, label));
        let [Some(a), Some(b)] = ends else {
            return Vec::new();
        };
        let kinds = [Kind::Tape, Kind::Slope, Kind::Rise];
        let readings = survey
            .readings
            .iter()
            .filter(|reading| kinds.contains(&reading.kind));
        readings
            .filter(|reading| reading.points == [a, b] || reading.points == [b, a])
            .map(|reading| reading.id.clone())
            .collect()
    }
}

fn index(survey: &survey::Survey, label: &str) -> Option<usize> {
    survey.point_index(&Label::new(label)?)
}

/// Why the distance between two points is open.
fn why(answer: &AdjustAnswer, points: [usize; 2]) -> String {
    let open = points
        .iter()
        .filter(|&&point| !answer.adjustment.has_one_place(point));
    let each = open.map(|&point| {
        let label = &answer.survey.points[point].label;
        match answer.adjustment.points[point].status {
            PointStatus::Loose => format!("`{label}` can move: tape it from another point"),
            _ => format!("`{label}` has two places: read a line that tells them apart"),
        }
    });
    each.collect::<Vec<_>>().join("; ")
}
