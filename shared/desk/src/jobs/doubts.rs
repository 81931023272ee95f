//! Everything that stands between the crew and an order for tube, of one job.

use ledger::{Dispute, EntryId, JobId, Records, Room, Stage};
use survey::{Kind, Problem, Quantity, Severity, State};

use super::Desk;
use super::show::dispute_line;
use crate::doubts as found;
use crate::doubts::Crooked;
use crate::refusal::{Code, Refusal};
use crate::wire::{Accepted, CheckedShare, Doubt, DoubtKind, Doubts, Settle};

impl Desk {
    /// What is in doubt at one epoch, the newest where none is named, what would settle each, and what to read next.
    /// A solve that still holds is used again.
    ///
    /// # Errors
    /// Where there is no such job or epoch. A job of which nothing is determined yet is none.
    pub fn doubts(&mut self, job: Option<&str>, epoch: Option<&str>) -> Result<Doubts, Refusal> {
        let id = self.choose(job)?;
        let stage = self.stage_called(id, epoch)?;
        self.doubts_of(id, &stage)
    }

    /// The same of a stage.
    pub(super) fn doubts_of(&mut self, id: JobId, stage: &Stage) -> Result<Doubts, Refusal> {
        let solved = self.solved_stage(id, stage.clone());
        let differs = self.differs(id)?;
        let answer = match solved {
            Ok(answer) => answer,
            Err(refusal) if refusal.code == Code::NothingToSolve => {
                let problems = refusal.problems.iter().filter_map(sheet_problem);
                return Ok(Doubts {
                    doubts: differs.into_iter().chain(problems).collect(),
                    checked: unsolved(self.job(id)?.records(), stage),
                    worst: None,
                    next: Vec::new(),
                    blind: Vec::new(),
                    unsolved: Some(refusal.message),
                });
            }
            Err(refusal) => return Err(refusal),
        };
        let doubts = [found::of_the_whole(&answer), found::off_or_open(&answer), differs];
        let problems = answer.problems.iter().filter_map(sheet_problem);
        let accepted = accepted(self.job(id)?.records());
        let taken = accepted
            .as_ref()
            .map_or_else(Crooked::default, |accepted| Crooked {
                racked: accepted.racked,
                twisted: accepted.twisted,
                pairs: accepted.pairs.clone(),
            });
        Ok(Doubts {
            doubts: doubts
                .into_iter()
                .flatten()
                .chain(found::to_look_at(&answer, &taken))
                .chain(problems)
                .collect(),
            checked: CheckedShare {
                accepted,
                ..found::checked(&answer)
            },
            worst: found::worst(&answer),
            next: found::next(&answer),
            blind: found::blind(&answer),
            unsolved: None,
        })
    }

    fn differs(&mut self, id: JobId) -> Result<Vec<Doubt>, Refusal> {
        let job = self.job(id)?;
        let disputes = job.disputes();
        Ok(disputes
            .iter()
            .map(|dispute| differs(job.records(), dispute))
            .collect())
    }
}

fn differs(records: &Records, dispute: &Dispute) -> Doubt {
    let line = dispute_line(records, dispute);
    let entry = &dispute.key.entry;
    let reading = records
        .readings
        .get(entry)
        .filter(|_| dispute.key.room == Room::Readings);
    let quantity = reading
        .and_then(|reading| Kind::from_word(&reading.now.kind))
        .map(Kind::quantity);
    let point = Some(entry).filter(|_| dispute.key.room == Room::Points);
    let settle = Settle::Choose {
        register: line.register.clone(),
    };
    Doubt {
        readings: reading
            .and_then(|_| records.reading_name(entry))
            .into_iter()
            .collect(),
        points: point
            .map(|point| super::called::label_of(records, point))
            .into_iter()
            .collect(),
        quantity: quantity.unwrap_or(Quantity::Length).into(),
        register: Some(line.register),
        values: line.values,
        said: Some(line.about),
        ..found::bare(DoubtKind::Differs, settle)
    }
}

/// What the crew took as it is, by the labels of now.
fn accepted(records: &Records) -> Option<Accepted> {
    let crooked = records.job.crooked.as_ref()?;
    let labels = records.labels();
    let label = |point: &EntryId| labels.get(records.mark(point)).cloned().unwrap_or_default();
    Some(Accepted {
        racked: crooked.racked,
        twisted: crooked.twisted,
        pairs: crooked
            .pairs
            .iter()
            .map(|pair| pair.each_ref().map(label))
            .collect(),
        why: crooked.why.clone(),
    })
}

/// Something typed that could not be used. What is only noted stands between nobody and anything.
fn sheet_problem(problem: &Problem) -> Option<Doubt> {
    (problem.severity != Severity::Note).then(|| Doubt {
        said: Some(format!("{}: {}", problem.file, problem.reason)),
        ..found::bare(DoubtKind::SheetProblem, Settle::Look)
    })
}

/// What there is of a job of which nothing is determined: nothing in it is checked.
fn unsolved(records: &Records, stage: &Stage) -> CheckedShare {
    let survey = records.survey(stage).survey;
    let state = |state| {
        survey
            .readings
            .iter()
            .filter(|reading| reading.state == state)
            .count()
    };
    let set_aside = state(State::SetAside);
    let used = survey.readings.len() - set_aside;
    CheckedShare {
        readings: survey.readings.len(),
        used,
        unchecked: used,
        set_aside,
        kept: state(State::Kept),
        points: survey.points.len(),
        accepted: accepted(records),
        ..CheckedShare::default()
    }
}
