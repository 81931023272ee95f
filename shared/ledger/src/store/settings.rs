//! What a device remembers outside of any job: settings as text, and solves that need not be done twice.

use rusqlite::OptionalExtension;

use super::errors::DiskError;
use super::seal::{self, heads_bytes};
use super::{JobError, Store};
use crate::{Heads, JobId};

impl Store {
    /// A setting of this device.
    ///
    /// # Errors
    /// Where the database cannot be read, or the setting is not as it was kept.
    pub fn setting(&self, key: &str) -> Result<Option<String>, DiskError> {
        let found = self
            .connection
            .prepare_cached("SELECT seq, value, seal FROM setting WHERE key = ?1")?
            .query_row([key], |row| {
                Ok((
                    row.get::<_, i64>(0)?,
                    row.get::<_, String>(1)?,
                    row.get::<_, [u8; 32]>(2)?,
                ))
            })
            .optional()?;
        match found {
            None => Ok(None),
            Some((seq, value, sealed)) if sealed == seal::setting_seal(key, seq, &value) => Ok(Some(value)),
            Some(_) => Err(DiskError::Damaged {
                reason: format!("the setting `{key}` is not as it was kept"),
            }),
        }
    }

    /// Sets a setting of this device, durably.
    ///
    /// # Errors
    /// Where it could not be made durable.
    pub fn set_setting(&mut self, key: &str, value: &str) -> Result<(), DiskError> {
        self.keep(|transaction, seq| {
            transaction
                .prepare_cached(
                    "INSERT INTO setting (key, seq, value, seal) VALUES (?1, ?2, ?3, ?4)
                     ON CONFLICT (key) DO UPDATE SET seq = ?2, value = ?3, seal = ?4",
                )?
                .execute((key, seq, value, seal::setting_seal(key, seq, value)))?;
            Ok(())
        })
    }

    /// What a solver of this version made of a job with these heads, if that was kept. A solve can be dropped at
    /// any time: one that is not as it was kept counts as none.
    ///
    /// # Errors
    /// Where the database cannot be read.
    pub fn solved(&self, job: JobId, heads: &Heads, solver: &str) -> Result<Option<String>, DiskError> {
        let heads = heads_bytes(heads);
        let found = self
            .connection
            .prepare_cached("SELECT text, seal FROM solved WHERE job = ?1 AND heads = ?2 AND solver = ?3")?
            .query_row((job.0.as_bytes(), &heads, solver), |row| {
                Ok((row.get::<_, String>(0)?, row.get::<_, [u8; 32]>(1)?))
            })
            .optional()?;
        Ok(found
            .filter(|(text, sealed)| *sealed == seal::solved_seal(job, &heads, solver, text))
            .map(|(text, _)| text))
    }

    /// Keeps the newest solve of a job in the place of the one before.
    ///
    /// # Errors
    /// Where there is no such job or the database cannot be written.
    pub fn set_solved(
        &mut self,
        job: JobId,
        heads: &Heads,
        solver: &str,
        text: &str,
    ) -> Result<(), JobError> {
        let heads = heads_bytes(heads);
        self.write(|transaction| {
            let there: bool = transaction.query_row(
                "SELECT EXISTS (SELECT 1 FROM job WHERE id = ?1)",
                [job.0.as_bytes()],
                |row| row.get(0),
            )?;
            if !there {
                return Err(JobError::NoSuchJob { job });
            }
            transaction
                .prepare_cached(
                    "INSERT INTO solved (job, heads, solver, text, seal) VALUES (?1, ?2, ?3, ?4, ?5)
                     ON CONFLICT (job) DO UPDATE SET heads = ?2, solver = ?3, text = ?4, seal = ?5",
                )?
                .execute((
                    job.0.as_bytes(),
                    &heads,
                    solver,
                    text,
                    seal::solved_seal(job, &heads, solver, text),
                ))?;
            Ok(())
        })
    }

    /// Drops every kept solve.
    ///
    /// # Errors
    /// Where the database cannot be written.
    pub fn drop_solved(&mut self) -> Result<(), DiskError> {
        self.write(|transaction| {
            transaction.execute("DELETE FROM solved", [])?;
            Ok(())
        })
    }
}
