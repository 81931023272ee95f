//! What a recovery found, kept and lost, in types and in words.

use std::fmt;
use std::path::PathBuf;

use crate::store::files::hex;
use crate::{Heads, JobId};

/// How much was lost.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Lost {
    /// Nothing.
    Nothing,
    /// At most this many entries: an entry is what was logged at one time.
    Entries(u64),
    /// It cannot be told whether and how much.
    NotKnown,
}

/// What became of a damaged store.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct RecoveryReport {
    /// What was found, each in a sentence.
    pub reasons: Vec<String>,
    /// The folder in which the damaged files lie; `None` where nothing had to be set aside.
    pub set_aside: Option<PathBuf>,
    /// Every job of which there was any trace.
    pub jobs: Vec<JobRecovery>,
    /// Entries newer than anything that could be read; of which job is not known.
    pub newest: Lost,
    /// Settings that are lost.
    pub settings_lost: Vec<String>,
    /// Rows that are lost and do not say what they were.
    pub nameless_lost: u64,
    /// The lists of photos and settings could be read to their ends. Otherwise more may be lost than is named here.
    pub lists_whole: bool,
    /// The photos.
    pub photos: PhotoRecovery,
}

/// What became of a job.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct JobRecovery {
    /// The job.
    pub job: JobId,
    /// The heads of what was recovered; `None` where no document could be made of what is left. The job is then
    /// only listed if some of its chunks are kept all the same.
    pub heads: Option<Heads>,
    /// How many chunks were as they had been kept.
    pub chunks: u64,
    /// The copy of the whole document was needed.
    pub from_copy: bool,
    /// What was lost.
    pub lost: Lost,
    /// How many changes are known to be lost because others build upon them.
    pub missing: u64,
    /// How many changes are there but do not show, because they build upon one that is lost. They show as soon as
    /// that comes from another device.
    pub waiting: u64,
}

/// What became of the photos, by id.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct PhotoRecovery {
    /// How many are as they had been kept.
    pub kept: usize,
    /// Their row was lost and made anew from the file.
    pub remade: Vec<[u8; 32]>,
    /// Their file is gone or damaged.
    pub lost: Vec<[u8; 32]>,
    /// Their small pictures must be made again.
    pub without_thumbnails: Vec<[u8; 32]>,
}

impl RecoveryReport {
    /// Nothing was damaged, but whether the newest entries are all there cannot be told.
    pub(in crate::store) fn without_tally() -> RecoveryReport {
        RecoveryReport {
            reasons: vec!["the count of what was kept is gone".to_owned()],
            set_aside: None,
            jobs: Vec::new(),
            newest: Lost::NotKnown,
            settings_lost: Vec::new(),
            nameless_lost: 0,
            lists_whole: true,
            photos: PhotoRecovery::default(),
        }
    }

    /// Whether anything was lost or may have been. Small pictures do not count: they are made again.
    pub fn may_lack(&self) -> bool {
        self.newest != Lost::Nothing
            || self
                .jobs
                .iter()
                .any(|job| job.lost != Lost::Nothing || job.heads.is_none())
            || !self.settings_lost.is_empty()
            || self.nameless_lost > 0
            || !self.lists_whole
            || !self.photos.lost.is_empty()
    }
}

impl fmt::Display for RecoveryReport {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.told(|_| None))
    }
}

impl RecoveryReport {
    /// The report in words, each job as people call it where that is known.
    pub fn told(&self, name: impl Fn(JobId) -> Option<String>) -> String {
        let mut text = String::new();
        self.tell(&mut text, name).expect("memory takes every text");
        text
    }

    fn tell(&self, f: &mut impl fmt::Write, name: impl Fn(JobId) -> Option<String>) -> fmt::Result {
        match &self.set_aside {
            Some(path) => writeln!(
                f,
                "The store on this device was damaged. What could be read was recovered; the damaged files were set \
                 aside in {}.",
                path.display()
            )?,
            None => writeln!(f, "The store on this device was not as it was left.")?,
        }
        for reason in &self.reasons {
            let named = self
                .jobs
                .iter()
                .fold(reason.clone(), |reason, job| match name(job.job) {
                    Some(name) => reason.replace(&job.job.to_string(), &name),
                    None => reason,
                });
            writeln!(f, "Found: {named}.")?;
        }
        for job in &self.jobs {
            match name(job.job) {
                Some(name) => writeln!(f, "Job {name}: {}", job.became())?,
                None => writeln!(f, "Job {}: {}", job.job, job.became())?,
            }
        }
        match self.newest {
            Lost::Nothing => {}
            Lost::Entries(1) => writeln!(
                f,
                "The newest entry, photo or setting is lost; of which job is not known."
            )?,
            Lost::Entries(count) => writeln!(
                f,
                "Up to {count} of the newest entries, photos or settings are lost; of which jobs is not known."
            )?,
            Lost::NotKnown => writeln!(f, "Whether the newest entries are all there is not known.")?,
        }
        if !self.settings_lost.is_empty() {
            writeln!(f, "Settings lost: {}.", self.settings_lost.join(", "))?;
        }
        if self.nameless_lost > 0 {
            writeln!(
                f,
                "{} of jobs, photos or settings {} lost, and nothing says what was in {}.",
                counted(self.nameless_lost, "row"),
                if self.nameless_lost == 1 { "is" } else { "are" },
                if self.nameless_lost == 1 { "it" } else { "them" },
            )?;
        }
        if !self.lists_whole {
            writeln!(
                f,
                "The lists of photos and settings are damaged: more of them may be lost."
            )?;
        }
        let photos = &self.photos;
        for id in &photos.lost {
            writeln!(f, "Photo {} is lost.", hex(id))?;
        }
        for id in &photos.remade {
            writeln!(f, "Photo {} was listed again from its file.", hex(id))?;
        }
        if !photos.without_thumbnails.is_empty() {
            match photos.without_thumbnails.len() {
                1 => writeln!(f, "The small pictures of 1 photo must be made again.")?,
                count => writeln!(f, "The small pictures of {count} photos must be made again.")?,
            }
        }
        if self.may_lack() {
            writeln!(
                f,
                "Take in what is lost from the other device or from a job file."
            )?;
        }
        Ok(())
    }
}

impl JobRecovery {
    /// What became of it, in a sentence without its name.
    fn became(&self) -> String {
        let mut text = match (&self.heads, self.lost) {
            (None, _) => "no document could be made of what is left".to_owned(),
            (Some(_), Lost::Nothing) => "all there".to_owned(),
            (Some(_), Lost::Entries(1)) => "recovered, 1 entry lost".to_owned(),
            (Some(_), Lost::Entries(count)) => format!("recovered, up to {count} entries lost"),
            (Some(_), Lost::NotKnown) => "recovered, how much is lost is not known".to_owned(),
        };
        if self.waiting > 0 {
            let (verb, wait) = match self.waiting {
                1 => ("is", "waits"),
                _ => ("are", "wait"),
            };
            text.push_str(&format!(
                "; {} {verb} there and {wait} for {} that {} lost",
                counted(self.waiting, "change"),
                self.missing,
                if self.missing == 1 { "is" } else { "are" },
            ));
        }
        text.push('.');
        text
    }
}

/// "1 row", "2 rows".
fn counted(count: u64, noun: &str) -> String {
    format!("{count} {noun}{}", if count == 1 { "" } else { "s" })
}
