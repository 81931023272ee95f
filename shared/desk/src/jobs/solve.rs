//! The adjustment of a job, kept as long as nothing it depends on changes.

use std::sync::Arc;

use ledger::store::Access;
use ledger::{AxesKind, EntryId, Heads, JobId, Records, Stage, named};
use survey::{Frame, Label, Problem, Severity, Survey};

use super::list::Standing;
use super::{Desk, Open, Watch};
use crate::refusal::{Code, Refusal};
use crate::told::is_read;
use crate::{AdjustAnswer, AdjustError, Suspects};

/// An answer and what it was computed from.
pub(super) struct Solved {
    heads: Heads,
    stage: Stage,
    answer: Arc<AdjustAnswer>,
}

/// How many stages of a job are held solved.
const AT_ONCE: usize = 2;

impl Open {
    /// What was solved of a stage, where the job is still the same.
    fn solved_as(&mut self, stage: &Stage) -> Option<Arc<AdjustAnswer>> {
        if self.solved.is_empty() {
            return None;
        }
        let heads = self.job.heads();
        let at = self
            .solved
            .iter()
            .position(|solved| solved.heads == heads && solved.stage == *stage)?;
        // What was asked for last is let go of last.
        let solved = self.solved.remove(at);
        let answer = Arc::clone(&solved.answer);
        self.solved.push(solved);
        Some(answer)
    }
}

impl Desk {
    /// Solves a job: all its readings of one epoch, the newest where none is named. What was solved before is given
    /// again as long as the job's document has the same heads.
    ///
    /// # Errors
    /// Where the readings in use determine nothing, or there is no such job or epoch.
    pub fn solve(&mut self, job: Option<&str>, epoch: Option<&str>) -> Result<Arc<AdjustAnswer>, Refusal> {
        let id = self.choose(job)?;
        let stage = self.stage_called(id, epoch)?;
        self.solved_stage(id, stage)
    }

    /// The stage of the epoch of that name, the newest where none is named. An empty name is what was read before any
    /// epoch was named.
    pub(super) fn stage_called(&mut self, id: JobId, epoch: Option<&str>) -> Result<Stage, Refusal> {
        let records = self.job(id)?.records();
        match epoch {
            None => Ok(newest_stage(records)),
            Some(name) if name.trim().is_empty() => Ok(Stage::Only(None)),
            Some(name) if named(&records.epochs, name.trim()).is_some() => Ok(stage_named(records, name)),
            Some(name) => Err(Refusal::new(
                Code::NotThere,
                format!(
                    "there is no epoch `{}` in this job: check the spelling",
                    name.trim()
                ),
            )),
        }
    }

    pub(super) fn solved_stage(&mut self, id: JobId, stage: Stage) -> Result<Arc<AdjustAnswer>, Refusal> {
        let open = self.opened(id)?;
        if let Some(answer) = open.solved_as(&stage) {
            return Ok(answer);
        }
        let to_solve = ToSolve {
            job: id,
            heads: open.job.heads(),
            stage,
            records: Box::new(open.job.records().clone()),
        };
        match &mut self.solving {
            Solving::Here => {}
            Solving::Elsewhere => {
                self.solving = Solving::Wanted(vec![to_solve]);
                return Err(to_be_solved_first());
            }
            Solving::Wanted(others) => {
                others.push(to_solve);
                return Err(to_be_solved_first());
            }
        }
        let answer = to_solve.solved(&self.watch)?;
        self.keep_solved(&to_solve, &answer)?;
        Ok(answer)
    }

    /// Whether a job is solved as it is there.
    pub(crate) fn has_solved(&mut self, of: &ToSolve) -> Result<bool, Refusal> {
        let solved = &self.opened(of.job)?.solved;
        Ok(solved
            .iter()
            .any(|solved| solved.heads == of.heads && solved.stage == of.stage))
    }

    /// Keeps an answer, unless the job was changed since.
    pub(crate) fn keep_solved(&mut self, of: &ToSolve, answer: &Arc<AdjustAnswer>) -> Result<(), Refusal> {
        let open = self.opened(of.job)?;
        if open.job.heads() != of.heads {
            return Ok(());
        }
        open.solved
            .retain(|solved| solved.heads == of.heads && solved.stage != of.stage);
        if open.solved.len() >= AT_ONCE {
            open.solved.remove(0);
        }
        open.solved.push(Solved {
            heads: of.heads.clone(),
            stage: of.stage.clone(),
            answer: Arc::clone(answer),
        });
        if of.stage == newest_stage(&of.records) && self.store.access() == Access::Write {
            let standing = standing_of(answer);
            let text = serde_json::to_string(&standing).expect("numbers and text are JSON");
            // Only a cache: a disk that is full must not keep anybody from an answer.
            let _ = self.store.set_solved(of.job, &of.heads, adjust::SOLVER, &text);
        }
        Ok(())
    }

    /// The readings as they are now, for what comes after them to be compared with.
    pub(super) fn others(&mut self, id: JobId, stage: Stage) -> Result<Others, Refusal> {
        let open = self.opened(id)?;
        Ok(match open.solved_as(&stage) {
            Some(answer) => Others::Solved(answer),
            None => Others::Open(Box::new(open.job.records().clone()), stage),
        })
    }

    /// What the last solve said, where the job is still the same and the solver too.
    pub(super) fn standing(&mut self, id: JobId) -> Result<Option<Standing>, Refusal> {
        let heads = self.job(id)?.heads();
        let text = self.store.solved(id, &heads, adjust::SOLVER)?;
        Ok(text.and_then(|text| serde_json::from_str(&text).ok()))
    }
}

/// A job as it was at one moment, solved or to be solved.
pub(super) enum Others {
    Solved(Arc<AdjustAnswer>),
    Open(Box<Records>, Stage),
}

impl Others {
    /// What they say; nothing where they determine nothing.
    pub(super) fn answer(self) -> Option<Arc<AdjustAnswer>> {
        match self {
            Others::Solved(answer) => Some(answer),
            Others::Open(records, stage) => solve(&records, &stage).ok().map(Arc::new),
        }
    }
}

/// Where jobs are solved that a command needs solved.
#[derive(Default)]
pub(crate) enum Solving {
    /// At the desk, at once.
    #[default]
    Here,
    /// By whoever called, while others come to the desk.
    Elsewhere,
    /// These are needed first. Until then the command does nothing any more.
    Wanted(Vec<ToSolve>),
}

/// A job as it is to be solved: all that a solve needs, away from the desk.
pub(crate) struct ToSolve {
    job: JobId,
    heads: Heads,
    stage: Stage,
    records: Box<Records>,
}

impl ToSolve {
    /// Solves it.
    pub(crate) fn solved(&self, watch: &Watch) -> Result<Arc<AdjustAnswer>, Refusal> {
        watch.begins("solve", None);
        watch.over(|| self.solve_here()).flatten().map(Arc::new)
    }

    pub(super) fn solve_here(&self) -> Result<AdjustAnswer, Refusal> {
        solve(&self.records, &self.stage)
    }
}

/// Nobody reads it: the command is given again when the job is solved.
pub(super) fn to_be_solved_first() -> Refusal {
    Refusal::new(Code::NothingToSolve, "the job is to be solved first")
}

fn solve(records: &Records, stage: &Stage) -> Result<AdjustAnswer, Refusal> {
    let read = records.survey(stage);
    let (settings, unused) = settings_of(records, &read.survey);
    let mut problems = read.problems;
    problems.extend(unused);
    crate::adjust::solve(read.survey, problems, &settings, records.job.unit).map_err(refused)
}

/// What a job asks of a solve of its readings at one stage, and what of that cannot be asked.
pub(super) fn settings_of(records: &Records, survey: &Survey) -> (adjust::Settings, Vec<Problem>) {
    let mut problems = Vec::new();
    // Axes whose points have no reading at this stage cannot be used; the solve says which it takes instead.
    let frame = frame_of(records).filter(|frame| {
        let known = frame_labels(frame)
            .iter()
            .all(|label| survey.point_index(label).is_some());
        if !known {
            problems.push(Problem {
                severity: Severity::Note,
                file: "the frame".to_owned(),
                row: None,
                column: None,
                reason: format!(
                    "{frame} names a point without a reading at this stage: another frame is used"
                ),
            });
        }
        known
    });
    let settings = adjust::Settings {
        frame,
        above: records
            .job
            .above
            .as_ref()
            .and_then(|point| label_of(records, point)),
        suspects: Suspects::Hold,
        scale: false,
        estimate_offsets: false,
    };
    (settings, problems)
}

fn refused(error: AdjustError) -> Refusal {
    Refusal {
        code: Code::NothingToSolve,
        message: error.to_string(),
        problems: error.problems().to_vec(),
    }
}

fn standing_of(answer: &AdjustAnswer) -> Standing {
    let wire = crate::wire::AdjustmentWire::of(answer);
    let loose = answer.adjustment.loose.iter();
    let loose = loose.filter(|loose| is_read(answer, loose.point)).count();
    Standing {
        outcome: wire.outcome,
        held_out: wire.summary.held_out,
        unclear: wire.summary.unclear,
        unchecked: wire.readings.iter().filter(|reading| reading.unchecked).count(),
        loose,
        not_read: wire.loose.len() - loose,
    }
}

/// The stage of the newest epoch that has a reading.
pub(super) fn newest_stage(records: &Records) -> Stage {
    let used = |id: &EntryId| {
        records
            .readings
            .values()
            .any(|reading| reading.now.epoch.as_ref() == Some(id))
    };
    let newest = records
        .epochs
        .iter()
        .filter(|(id, _)| used(id))
        .max_by_key(|(id, record)| (record.made, *id));
    Stage::Only(newest.map(|(id, _)| id.clone()))
}

/// The stage of that name; what was read before any epoch was named, where there is none of that name.
pub(super) fn stage_named(records: &Records, name: &str) -> Stage {
    Stage::Only(named(&records.epochs, name.trim()).cloned())
}

/// What the epoch of a stage is called; empty where it has none.
pub(super) fn stage_name(records: &Records, stage: &Stage) -> String {
    let epoch = match stage {
        Stage::All => None,
        Stage::Only(epoch) => epoch.as_ref(),
    };
    let record = epoch.and_then(|epoch| records.epochs.get(epoch));
    record.map(|record| record.name.clone()).unwrap_or_default()
}

pub(super) fn frame_of(records: &Records) -> Option<Frame> {
    let frame = records.job.frame.as_ref()?;
    let label = |place: usize| frame.points.get(place).and_then(|point| label_of(records, point));
    Some(match frame.kind {
        AxesKind::Bench => Frame::Bench,
        AxesKind::Three => Frame::Three {
            origin: label(0)?,
            ahead: label(1)?,
            left: label(2)?,
        },
        AxesKind::Plumb => Frame::Plumb {
            origin: label(0)?,
            ahead: label(1)?,
            left: label(2)?,
        },
        AxesKind::Centreline => Frame::Centreline {
            origin: label(0)?,
            ahead: label(1)?,
            above: label(2)?,
        },
    })
}

fn frame_labels(frame: &Frame) -> Vec<&Label> {
    match frame {
        Frame::Three { origin, ahead, left } | Frame::Plumb { origin, ahead, left } => {
            vec![origin, ahead, left]
        }
        Frame::Centreline { origin, ahead, above } => vec![origin, ahead, above],
        Frame::Bench => vec![],
    }
}

fn label_of(records: &Records, point: &EntryId) -> Option<Label> {
    records
        .labels()
        .get(records.mark(point))
        .and_then(|label| Label::new(label))
}
