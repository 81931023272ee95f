//! Two epochs of a job, compared point by point: did it pull?

use std::sync::Arc;

use ledger::JobId;

use super::Desk;
use super::solve::{frame_of, stage_name};
use crate::CompareAnswer;
use crate::refusal::{Code, Refusal};
use crate::wire::EpochsCompared;

impl Desk {
    /// Compares two epochs of a job, each solved by itself. An empty name is what was read before any epoch was named.
    ///
    /// # Errors
    /// Where there is no such job or epoch, the two are one, one of them cannot be solved, or they have too little in
    /// common.
    pub fn compare_epochs(
        &mut self,
        job: Option<&str>,
        before: &str,
        after: &str,
    ) -> Result<CompareAnswer, Refusal> {
        let id = self.choose(job)?;
        self.compared(id, before, after).map(|(_, answer)| answer)
    }

    /// The same with both names as the job has them, to be drawn.
    ///
    /// # Errors
    /// As there.
    pub fn epochs_compared(
        &mut self,
        job: Option<&str>,
        before: &str,
        after: &str,
    ) -> Result<EpochsCompared, Refusal> {
        let id = self.choose(job)?;
        let (names, answer) = self.compared(id, before, after)?;
        let shape = self.shape(Some(&id.to_string()), Some(&names[1]))?;
        Ok(EpochsCompared::of(names, &answer, shape))
    }

    fn compared(
        &mut self,
        id: JobId,
        before: &str,
        after: &str,
    ) -> Result<([String; 2], CompareAnswer), Refusal> {
        let stages = [
            self.stage_called(id, Some(before))?,
            self.stage_called(id, Some(after))?,
        ];
        let records = self.job(id)?.records();
        let names = stages.each_ref().map(|stage| stage_name(records, stage));
        let frame_is_said = frame_of(records).is_some();
        if stages[0] == stages[1] {
            return Err(Refusal::new(
                Code::Unusable,
                "an epoch is compared with another one: choose two",
            ));
        }
        // Both are asked for before either is waited for.
        let [before, after] = stages.map(|stage| self.solved_stage(id, stage));
        let solved = |answer: Result<Arc<_>, Refusal>, name: &String| {
            answer.map_err(|refusal| Refusal {
                message: format!("{}: {}", called(name), refusal.message),
                ..refusal
            })
        };
        let (before, after) = (solved(before, &names[0])?, solved(after, &names[1])?);
        let comparison = adjust::compare(
            &before.survey,
            &before.adjustment,
            &after.survey,
            &after.adjustment,
        )
        .map_err(|why| Refusal::new(Code::NothingToSolve, format!("the two cannot be compared: {why}")))?;
        let answer = CompareAnswer {
            before,
            after,
            comparison,
            frame_is_said,
        };
        Ok((names, answer))
    }
}

fn called(epoch: &str) -> String {
    match epoch {
        "" => "the readings before any epoch was named".to_owned(),
        name => format!("the readings of `{name}`"),
    }
}
