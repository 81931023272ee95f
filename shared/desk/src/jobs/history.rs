//! The history of a job in words, undo and redo.

mod about;
mod pictures;

use ledger::{ChangeId, Entry, Job, JobId, Room};
use serde::Serialize;

use super::Desk;
use super::show::{JobShown, field_word, shown};
use crate::refusal::{Code, Refusal};
use about::About;

/// One change of a job.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(test, derive(ts_rs::TS))]
pub struct HistoryLine {
    /// The change.
    pub change: String,
    /// When, by the clock of the device it was made on, in UTC.
    pub at: String,
    /// Who.
    pub by: String,
    /// What, by its word.
    pub did: String,
    /// What, in words.
    pub words: String,
}

/// What undo or redo did.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(test, derive(ts_rs::TS))]
pub struct Undone {
    /// The change that was taken back, in words.
    pub words: String,
    /// Fields that stay, as somebody changed them since.
    pub left: Vec<String>,
}

impl Desk {
    /// The newest changes of a job, the newest first; of one person, where one is named.
    ///
    /// # Errors
    /// Where there is no such job.
    pub fn history(
        &mut self,
        job: Option<&str>,
        who: Option<&str>,
        most: usize,
    ) -> Result<Vec<HistoryLine>, Refusal> {
        let id = self.choose(job)?;
        let job = self.job(id)?;
        let changes = job.changes();
        let entries = changes.iter().rev().filter_map(|change| job.entry(change));
        let theirs = entries.filter(|entry| who.is_none_or(|who| entry.by == who.trim()));
        Ok(theirs.take(most).map(|entry| line(&entry, job)).collect())
    }

    /// The job as it stood after a change of its history, or at a moment in UTC such as `2026-04-03T10:15:00Z`.
    ///
    /// # Errors
    /// Where there is no such change, or the moment cannot be read.
    pub fn as_it_stood(&mut self, job: Option<&str>, when: &str) -> Result<JobShown, Refusal> {
        let id = self.choose(job)?;
        let job = self.job(id)?;
        let when = when.trim();
        let records = match ledger::moment(when) {
            Some(at_s) => job.as_it_stood_at(at_s),
            None => {
                let change = change_called(&job.changes(), when)?;
                job.as_it_stood(&change).ok_or_else(|| no_change(when))?
            }
        };
        Ok(shown(id, &records, &[]))
    }

    /// Takes back the newest edit of the person who asks.
    ///
    /// # Errors
    /// Where there is nothing of theirs to take back, or others changed it since.
    pub fn undo(&mut self, job: Option<&str>, by: Option<&str>) -> Result<Undone, Refusal> {
        let id = self.choose(job)?;
        let stamp = self.stamp(by)?;
        let undone = self.change(id, |job| job.undo(&stamp))?;
        self.undone(id, &undone)
    }

    /// Does again what the person who asks undid last.
    ///
    /// # Errors
    /// Where there is nothing of theirs to do again, or others changed it since.
    pub fn redo(&mut self, job: Option<&str>, by: Option<&str>) -> Result<Undone, Refusal> {
        let id = self.choose(job)?;
        let stamp = self.stamp(by)?;
        let undone = self.change(id, |job| job.redo(&stamp))?;
        self.undone(id, &undone)
    }

    fn undone(&mut self, id: JobId, undone: &ledger::Undone) -> Result<Undone, Refusal> {
        let job = self.job(id)?;
        let Some(entry) = undone.applied.change.and_then(|change| job.entry(&change)) else {
            return Ok(Undone {
                words: String::new(),
                left: Vec::new(),
            });
        };
        let about = About::of(&entry, job);
        let stays = |left: &ledger::Left| {
            format!(
                "{} of {} stays: {} changed it since",
                field_word(&left.key.field),
                about.called(left.key.room, &left.key.entry),
                if left.by.is_empty() { "somebody" } else { &left.by }
            )
        };
        Ok(Undone {
            words: words(&entry, job),
            left: undone.left.iter().map(stays).collect(),
        })
    }

    /// Every change as a sheet, the oldest first.
    pub(super) fn history_sheet(&mut self, id: JobId) -> Result<String, Refusal> {
        let job = self.job(id)?;
        let entries = job.changes();
        let rows = entries
            .iter()
            .filter_map(|change| job.entry(change))
            .map(|entry| {
                let line = line(&entry, job);
                vec![line.at, line.by, line.words, line.change]
            });
        Ok(ledger::table(&["when_utc", "who", "what", "change"], rows))
    }
}

fn line(entry: &Entry, job: &Job) -> HistoryLine {
    HistoryLine {
        change: entry.change.to_string(),
        at: ledger::utc(entry.at_s.saturating_mul(1000)),
        by: entry.by.clone(),
        did: entry.did.clone(),
        words: words(entry, job),
    }
}

fn change_called(changes: &[ChangeId], when: &str) -> Result<ChangeId, Refusal> {
    let mut found = changes
        .iter()
        .filter(|change| when.len() >= 6 && change.to_string().starts_with(when));
    match (found.next(), found.next()) {
        (Some(change), None) => Ok(*change),
        _ => Err(no_change(when)),
    }
}

fn no_change(when: &str) -> Refusal {
    Refusal::new(
        Code::NotThere,
        format!(
            "`{when}` is neither a change of this job nor a moment: write the first letters of a change as the history \
             shows it, or a time such as 2026-04-03T10:15:00Z"
        ),
    )
}

/// What a change did, in words. Names are those of now.
pub(super) fn words(entry: &Entry, job: &Job) -> String {
    let about = About::of(entry, job);
    match entry.did.as_str() {
        "new-job" => format!("made the job {}", about.after("name")),
        "set-job" => about.settings(),
        "add-person" => format!("added {} to the crew", about.after("name")),
        "add-stand" => format!("began the stand {}", about.after("name")),
        "add-epoch" => format!("began the epoch {}", about.after("name")),
        "rename" => format!("renamed {} to {}", about.before("name"), about.after("name")),
        "describe-instrument" => format!("described the instrument {}", about.name_of(Room::Instruments)),
        "accept-straight" => about.crooked(),
        "add-points" => about.added_points(),
        "describe-point" => format!("described the point {}", about.described()),
        "rename-point" => format!(
            "renamed the point {} to {}",
            about.before("label"),
            about.after("label")
        ),
        "join-points" => format!("joined {} with {}", about.name_of(Room::Points), about.joined()),
        "split-point" => format!("took {} apart again", about.name_of(Room::Points)),
        "block-line" => format!("marked {} as not to be taped", about.line()),
        "unblock-line" => format!("said that {} can be taped", about.line()),
        "log-reading" => format!("logged {}", about.reading()),
        "set-aside" => about.with_why("set aside", about.name_of(Room::Readings), "why"),
        "keep-reading" => about.with_why("kept", about.name_of(Room::Readings), "why"),
        "bring-back" => format!("brought back {}", about.name_of(Room::Readings)),
        "correct" => about.with_why("corrected", about.correction(), "now.why"),
        "import-sheets" => about.import(),
        "add-photo" | "caption-photo" | "set-photo-about" | "remove-photo" | "bring-photo-back"
        | "pin-photo" | "tie-pin" | "move-pin" | "remove-pin" | "bring-pin-back" => pictures::words(&about),
        "choose" => about.choice(),
        "undo" | "redo" => {
            let did = if entry.did == "undo" { "undid" } else { "did again" };
            let what = edited(entry, job).map_or_else(|| about.written(), |edit| words(&edit, job));
            format!("{did}: {what}")
        }
        "" => "something that Trammel did not write".to_owned(),
        other => other.replace('-', " "),
    }
}

/// The edit that was undone or done again in the end.
fn edited(entry: &Entry, job: &Job) -> Option<Entry> {
    let mut entry = job.entry(&entry.of?)?;
    // Each is of an earlier change, or the history is not ours.
    for _ in 0..job.changes().len() {
        if entry.did != "undo" && entry.did != "redo" {
            return Some(entry);
        }
        entry = job.entry(&entry.of?)?;
    }
    None
}
