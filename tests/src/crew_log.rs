//! What a busy crew said, held against what its store has.

use std::collections::{BTreeMap, BTreeSet};

use ledger::store::{CheckReport, Store, Wrong};
use ledger::{EntryId, Job, JobId, Keep};
use uuid::Uuid;

/// What crews said about one store, all of them together.
#[derive(Debug, Default)]
pub struct CrewLog {
    kept: BTreeMap<JobId, BTreeSet<String>>,
    refused: BTreeSet<String>,
    photos: BTreeMap<String, JobId>,
    setting: u64,
    /// How often a store could not say whether what it refused is there.
    pub doubtful: u64,
    /// How often a compaction or a photo was begun and nothing came after it.
    pub cut_short: u64,
}

impl CrewLog {
    /// Takes in what a crew said. A last line without its end was never said.
    pub fn add(&mut self, said: &str) {
        let mut open = false;
        for line in said
            .split_inclusive('\n')
            .filter_map(|line| line.strip_suffix('\n'))
        {
            let words: Vec<&str> = line.split(' ').collect();
            open = matches!(words[0], "compacting" | "photographing");
            match words[..] {
                ["kept", job, key] => {
                    let job = JobId(job.parse().expect("a crew says the names of jobs"));
                    self.kept.entry(job).or_default().insert(key.to_owned());
                }
                ["photo", job, id] => {
                    let job = JobId(job.parse().expect("a crew says the names of jobs"));
                    self.photos.insert(id.to_owned(), job);
                }
                ["setting", number] => {
                    let number = number.parse().expect("a crew says a number");
                    self.setting = self.setting.max(number);
                }
                ["refused", key, ..] => {
                    self.refused.insert(key.to_owned());
                }
                ["doubtful", key] => {
                    self.refused.remove(key);
                    self.doubtful += 1;
                }
                _ => {}
            }
        }
        self.cut_short += u64::from(open);
    }

    /// How many entries and photos were acknowledged.
    pub fn acknowledged(&self) -> usize {
        self.kept.values().map(BTreeSet::len).sum::<usize>() + self.photos.len()
    }

    /// How many things were refused.
    pub fn refused(&self) -> usize {
        self.refused.len()
    }

    /// Everything that is not as the crews were told: acknowledged and not there, refused and there, or wrong in
    /// itself.
    pub fn amiss(&self, store: &Store) -> Vec<String> {
        let mut amiss = Vec::new();
        for (job, keys) in &self.kept {
            let log = match store.bytes(*job) {
                Ok(bytes) => Job::open(&bytes, Uuid::max()).map_err(|error| error.to_string()),
                Err(error) => Err(error.to_string()),
            };
            match log {
                Ok(log) => {
                    let records = log.records();
                    let there: BTreeSet<&str> = records.readings.values().map(|r| r.name.as_str()).collect();
                    let lost = keys.iter().filter(|key| !there.contains(key.as_str()));
                    amiss.extend(lost.map(|key| format!("{key} was acknowledged and is not there")));
                    let phantom = self.refused.iter().filter(|key| there.contains(key.as_str()));
                    amiss.extend(phantom.map(|key| format!("{key} was refused and is there")));
                    let photos = self
                        .photos
                        .iter()
                        .filter(|(_, of)| *of == job)
                        .map(|(photo, _)| photo);
                    let known = |photo: &str| {
                        EntryId::parse(photo).is_some_and(|id| records.photos.contains_key(&id))
                    };
                    let lost = photos.filter(|photo| !known(photo));
                    amiss.extend(lost.map(|photo| format!("the job does not know photo {photo}")));
                }
                Err(error) => amiss.push(format!("job {job}: {error}")),
            }
        }
        for photo in self.photos.keys() {
            let id = blake3::Hash::from_hex(photo).expect("a crew says ids of photos");
            if let Err(error) = store.photo(id.as_bytes()) {
                amiss.push(error.to_string());
            }
        }
        let setting = store
            .setting("busy")
            .map(|text| text.and_then(|text| text.parse::<u64>().ok()));
        match setting {
            Ok(found) if found.unwrap_or(0) >= self.setting => {}
            found => amiss.push(format!("the setting is {found:?} and was {}", self.setting)),
        }
        match store.check() {
            Ok(CheckReport { wrong, .. }) => {
                // A photo whose file was written before the crew was killed is there without its small pictures.
                let cut_short = |wrong: &Wrong| match wrong {
                    Wrong::Thumbnail { photo, .. } => !self.photos.contains_key(photo),
                    _ => false,
                };
                amiss.extend(
                    wrong
                        .iter()
                        .filter(|wrong| !cut_short(wrong))
                        .map(Wrong::to_string),
                );
            }
            Err(error) => amiss.push(error.to_string()),
        }
        amiss
    }
}
