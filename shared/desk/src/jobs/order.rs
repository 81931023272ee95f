//! The order in which to survey a job, or to go on with it.

use super::Desk;
use super::solve::{newest_stage, settings_of};
use crate::OrderAnswer;
use crate::refusal::{Code, Refusal};

impl Desk {
    /// What is left to read of a job, in the order in which it is best read: from rough places alone, or from where its
    /// newest epoch stands.
    ///
    /// # Errors
    /// Where too few points have a place, or there is no such job.
    pub fn order(&mut self, job: Option<&str>) -> Result<OrderAnswer, Refusal> {
        let id = self.choose(job)?;
        let watch = self.watch.clone();
        let records = self.job(id)?.records();
        let stage = newest_stage(records);
        let read = records.survey(&stage);
        let (settings, mut problems) = settings_of(records, &read.survey);
        problems.splice(0..0, read.problems);
        watch.begins("order", None);
        match watch.over(|| adjust::order(&read.survey, &settings))? {
            Ok(order) => Ok(OrderAnswer {
                crew_unit: records
                    .job
                    .unit
                    .unwrap_or_else(|| crate::adjust::most_typed_unit(&read.survey)),
                survey: read.survey,
                order,
                problems,
            }),
            Err(reason) => Err(Refusal {
                code: Code::NothingToSolve,
                message: format!("no order can be worked out: {reason}"),
                problems,
            }),
        }
    }
}
