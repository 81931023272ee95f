//! The jobs of a device, each in a line.

use ledger::store::Access;
use ledger::{Edit, JobId, JobText};
use serde::Serialize;
use survey::LengthUnit;
use uuid::Uuid;

use super::{Desk, DeviceSaid, Open};
use crate::refusal::{Code, Refusal};
use crate::wire::OutcomeWord;

/// One job of the list.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(test, derive(ts_rs::TS))]
pub struct JobLine {
    /// Its name for programs.
    pub id: String,
    /// Its name for people.
    pub name: String,
    /// How many readings it has, those set aside too.
    pub readings: usize,
    /// How many points.
    pub points: usize,
    /// How many photos.
    pub photos: usize,
    /// When the newest change was made, in UTC.
    pub changed: String,
    /// By whom.
    pub changed_by: String,
    /// How many values devices disagree about.
    pub disputes: usize,
    /// What the last solve said, where it still holds.
    pub standing: Option<Standing>,
    /// Why it cannot be opened, where it cannot; the rest is then empty.
    pub trouble: Option<String>,
}

/// What a solve said, in short.
#[derive(Debug, Clone, PartialEq, Serialize, serde::Deserialize)]
#[cfg_attr(test, derive(ts_rs::TS))]
pub struct Standing {
    /// The most serious thing that applies.
    pub outcome: OutcomeWord,
    /// Readings held out.
    pub held_out: usize,
    /// Readings of which one is off.
    pub unclear: usize,
    /// Readings that nothing checks.
    pub unchecked: usize,
    /// Points that can move, without those that nobody has read.
    pub loose: usize,
    /// Points that nobody has read.
    pub not_read: usize,
}

impl Desk {
    /// Makes an empty job.
    ///
    /// # Errors
    /// Where the name is empty or taken, or the disk fails.
    pub fn new_job(
        &mut self,
        name: &str,
        unit: Option<LengthUnit>,
        by: Option<&str>,
    ) -> Result<JobLine, Refusal> {
        let id = JobId(self.around.fresh());
        self.begin_job(id, name, unit, by)?;
        self.line(id)
    }

    pub(super) fn begin_job(
        &mut self,
        id: JobId,
        name: &str,
        unit: Option<LengthUnit>,
        by: Option<&str>,
    ) -> Result<(), Refusal> {
        let name = name.trim();
        if name.is_empty() {
            return Err(Refusal::new(Code::Unusable, "a job needs a name: write one"));
        }
        for row in self.store.jobs()? {
            if self.job(row.id).is_ok_and(|job| job.records().job.name == name) {
                return Err(Refusal::new(
                    Code::NameTaken,
                    format!("a job here is called `{name}` already: choose another name"),
                ));
            }
        }
        let stamp = self.stamp(by)?;
        let mut job = ledger::Job::new(id, name, self.around.fresh(), &stamp);
        if unit.is_some() {
            let text = JobText {
                unit,
                ..JobText::default()
            };
            job.apply(&Edit::SetJob(text), &stamp)?;
        }
        self.store.create(id, stamp.at_ms, &job.save(), &job.heads())?;
        self.open.insert(
            id,
            Open {
                job,
                solved: Vec::new(),
            },
        );
        Ok(())
    }

    /// The jobs of this device, the newest first.
    ///
    /// # Errors
    /// Where the store cannot be read.
    pub fn jobs(&mut self) -> Result<Vec<JobLine>, Refusal> {
        let rows = self.store.jobs()?;
        let mut lines = Vec::new();
        for row in rows {
            lines.push(self.line(row.id).unwrap_or_else(|refusal| JobLine {
                id: row.id.to_string(),
                name: row.id.to_string(),
                readings: 0,
                points: 0,
                photos: 0,
                changed: String::new(),
                changed_by: String::new(),
                disputes: 0,
                standing: None,
                trouble: Some(refusal.message),
            }));
        }
        lines.sort_by(|a, b| (&b.changed, &a.name, &a.id).cmp(&(&a.changed, &b.name, &b.id)));
        Ok(lines)
    }

    pub(super) fn line(&mut self, id: JobId) -> Result<JobLine, Refusal> {
        let standing = self.standing(id)?;
        let job = self.job(id)?;
        let newest = job.changes().last().and_then(|change| job.entry(change));
        let records = job.records();
        Ok(JobLine {
            id: id.to_string(),
            name: records.job.name.clone(),
            readings: records.readings.len(),
            points: records.marks().len(),
            photos: records.photos.values().filter(|photo| !photo.removed).count(),
            changed: newest
                .as_ref()
                .map_or_else(String::new, |entry| ledger::utc(entry.at_s.saturating_mul(1000))),
            changed_by: newest.map_or_else(String::new, |entry| entry.by),
            disputes: job.disputes().len(),
            standing,
            trouble: None,
        })
    }

    /// Makes the demo job where it is not there yet, and gives its line.
    ///
    /// # Errors
    /// Where the disk fails.
    pub fn demo(&mut self) -> Result<(JobLine, bool), Refusal> {
        let id = JobId(Uuid::from_u128(crate::demo::JOB));
        let there = self.store.jobs()?.iter().any(|row| row.id == id);
        if !there && self.store.access() == Access::Write {
            self.begin_job(
                id,
                crate::demo::NAME,
                Some(LengthUnit::Inch),
                Some(crate::demo::CREW),
            )?;
            self.fill_demo(id)?;
        }
        Ok((self.line(id)?, !there))
    }

    /// Makes the demo job where it is not there yet, and makes it the one that this device works on.
    ///
    /// # Errors
    /// Where the disk fails.
    pub fn open_demo(&mut self) -> Result<(), Refusal> {
        let (demo, _) = self.demo()?;
        if self.store.access() == Access::Write {
            self.set_device(&DeviceSaid {
                job: Some(demo.id),
                ..DeviceSaid::default()
            })?;
        }
        Ok(())
    }
}
