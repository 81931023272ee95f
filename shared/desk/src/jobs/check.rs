//! Looking whether everything on this device is there and whole.

use serde::Serialize;

use super::Desk;
use super::photos::short;
use crate::refusal::Refusal;

/// What was looked at, and what is wrong.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(test, derive(ts_rs::TS))]
pub struct Checked {
    /// How many jobs were looked at.
    pub jobs: usize,
    /// How many pieces of their documents.
    pub chunks: usize,
    /// How many photos.
    pub photos: usize,
    /// What is wrong with what is kept, in words; empty where nothing was found.
    pub wrong: Vec<String>,
    /// Pictures that a job names and this device does not have, and in which job. They come with a job file.
    pub pictures_elsewhere: Vec<String>,
}

impl Desk {
    /// Looks at every job, every change and every photo of this device.
    ///
    /// # Errors
    /// Where the store cannot be read at all.
    pub fn check(&mut self) -> Result<Checked, Refusal> {
        let report = self.store.check()?;
        let mut wrong: Vec<String> = report.wrong.iter().map(ToString::to_string).collect();
        let mut elsewhere = Vec::new();
        for row in self.store.jobs()? {
            let records = match self.job(row.id) {
                Ok(job) => job.records().clone(),
                Err(_) => continue, // Told by the report.
            };
            // People know a job by its name.
            for told in &mut wrong {
                *told = told.replace(&row.id.to_string(), &records.job.name);
            }
            for entry in records.photos.keys() {
                if !self.is_here(entry)? {
                    elsewhere.push(format!("{} of {}", short(entry), records.job.name));
                }
            }
        }
        Ok(Checked {
            jobs: report.jobs,
            chunks: report.chunks,
            photos: report.photos,
            wrong,
            pictures_elsewhere: elsewhere,
        })
    }
}
