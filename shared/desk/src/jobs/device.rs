//! What this device remembers of how it is held and looked at, and what is on its pad.

use serde::{Deserialize, Serialize};

use super::Desk;
use crate::refusal::{Code, Refusal};

/// How this device is set.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(test, derive(ts_rs::TS))]
pub struct ThisDevice {
    /// Who works at it.
    pub person: Option<String>,
    /// Light or dark.
    pub theme: Theme,
    /// Marks to an inch on the pad.
    #[cfg_attr(test, ts(type = "8 | 16 | 32 | 64"))]
    pub marks: u32,
    /// How decimals are written.
    pub numbers: Numbers,
    /// The side on which the buttons are.
    pub actions: Hand,
    /// Whether it sounds when a reading is logged.
    pub sound: bool,
    /// Whether it buzzes.
    pub buzz: bool,
    /// How large letters are.
    pub text_size: TextSize,
    /// Whether nobody has begun to work at it yet.
    pub first_start: bool,
    /// The job that was open last, where it is still here.
    pub job: Option<String>,
}

/// What is said of a device; what is left out stays.
#[derive(Debug, Clone, PartialEq, Default, Deserialize)]
#[cfg_attr(test, derive(ts_rs::TS), ts(optional_fields = nullable))]
#[serde(default, deny_unknown_fields)]
#[expect(missing_docs, reason = "as `ThisDevice`, which documents them")]
pub struct DeviceSaid {
    pub person: Option<String>,
    pub theme: Option<Theme>,
    #[cfg_attr(test, ts(type = "8 | 16 | 32 | 64 | null", optional))]
    pub marks: Option<u32>,
    pub numbers: Option<Numbers>,
    pub actions: Option<Hand>,
    pub sound: Option<bool>,
    pub buzz: Option<bool>,
    pub text_size: Option<TextSize>,
    pub first_start: Option<bool>,
    /// The id of a job; empty for none.
    pub job: Option<String>,
}

/// Light or dark.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize)]
#[cfg_attr(test, derive(ts_rs::TS))]
#[serde(rename_all = "kebab-case")]
pub enum Theme {
    /// As the rest of the device.
    #[default]
    Device,
    /// Light.
    Light,
    /// Dark.
    Dark,
}

/// How decimals are written.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize)]
#[cfg_attr(test, derive(ts_rs::TS))]
#[serde(rename_all = "kebab-case")]
pub enum Numbers {
    /// As the rest of the device.
    #[default]
    Device,
    /// 12.5
    Point,
    /// 12,5
    Comma,
}

/// Which hand.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize)]
#[cfg_attr(test, derive(ts_rs::TS))]
#[serde(rename_all = "kebab-case")]
pub enum Hand {
    /// Right.
    #[default]
    Right,
    /// Left.
    Left,
}

/// How large letters are.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize)]
#[cfg_attr(test, derive(ts_rs::TS))]
#[serde(rename_all = "kebab-case")]
pub enum TextSize {
    /// As designed.
    #[default]
    Normal,
    /// Larger.
    Large,
    /// For reading from across the shell.
    Largest,
}

/// As it is kept. What a later Trammel adds is passed over by this one, and what it lacks is as on a new device.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(default)]
struct Kept {
    theme: Theme,
    marks: u32,
    numbers: Numbers,
    actions: Hand,
    sound: bool,
    buzz: bool,
    text_size: TextSize,
    first_start: bool,
    job: String,
}

impl Default for Kept {
    fn default() -> Kept {
        Kept {
            theme: Theme::default(),
            marks: 16,
            numbers: Numbers::default(),
            actions: Hand::default(),
            sound: false,
            buzz: true,
            text_size: TextSize::default(),
            first_start: true,
            job: String::new(),
        }
    }
}

const DEVICE: &str = "device";
/// As fine as tapes are divided.
const MARKS: [u32; 4] = [8, 16, 32, 64];
/// More than any pad holds.
const LONGEST_DRAFT: usize = 64 * 1024;

impl Desk {
    /// How this device is set.
    ///
    /// # Errors
    /// Where the store cannot be read.
    pub fn device(&self) -> Result<ThisDevice, Refusal> {
        let kept = self.device_kept()?;
        let jobs = self.store.jobs()?;
        Ok(ThisDevice {
            person: self.person()?,
            theme: kept.theme,
            marks: kept.marks,
            numbers: kept.numbers,
            actions: kept.actions,
            sound: kept.sound,
            buzz: kept.buzz,
            text_size: kept.text_size,
            first_start: kept.first_start,
            job: Some(kept.job).filter(|job| jobs.iter().any(|row| row.id.to_string() == *job)),
        })
    }

    /// Sets this device; what is left out stays.
    ///
    /// # Errors
    /// Where something said cannot be used, or the store cannot be written; then nothing is set.
    pub fn set_device(&mut self, said: &DeviceSaid) -> Result<ThisDevice, Refusal> {
        let before = self.device_kept()?;
        let marks = said.marks.unwrap_or(before.marks);
        if !MARKS.contains(&marks) {
            return Err(Refusal::new(
                Code::Unusable,
                format!("`{marks}` marks to an inch is no tape: say 8, 16, 32 or 64"),
            ));
        }
        if let Some(person) = &said.person {
            self.set_person(person)?;
        }
        let kept = Kept {
            theme: said.theme.unwrap_or(before.theme),
            marks,
            numbers: said.numbers.unwrap_or(before.numbers),
            actions: said.actions.unwrap_or(before.actions),
            sound: said.sound.unwrap_or(before.sound),
            buzz: said.buzz.unwrap_or(before.buzz),
            text_size: said.text_size.unwrap_or(before.text_size),
            first_start: said.first_start.unwrap_or(before.first_start),
            job: said.job.clone().unwrap_or(before.job),
        };
        let text = serde_json::to_string(&kept).expect("words and numbers are JSON");
        self.store.set_setting(DEVICE, &text)?;
        self.device()
    }

    /// What was on the pad of a job when it was last kept.
    ///
    /// # Errors
    /// Where there is no such job, or the store cannot be read.
    pub fn draft(&mut self, job: Option<&str>) -> Result<Option<String>, Refusal> {
        let id = self.choose(job)?;
        let draft = self.store.setting(&draft_of(id))?;
        Ok(draft.filter(|draft| !draft.is_empty()))
    }

    /// Keeps what is on the pad of a job, whatever it is to the shell that wrote it; empty text for nothing.
    ///
    /// # Errors
    /// Where it is longer than 64 kB, there is no such job, or it cannot be kept; what was kept before stays.
    pub fn keep_draft(&mut self, job: Option<&str>, draft: &str) -> Result<(), Refusal> {
        let id = self.choose(job)?;
        if draft.len() > LONGEST_DRAFT {
            return Err(Refusal::new(
                Code::TooLarge,
                format!("a draft of {} bytes is not kept: 65536 are the most", draft.len()),
            ));
        }
        Ok(self.store.set_setting(&draft_of(id), draft)?)
    }

    fn device_kept(&self) -> Result<Kept, Refusal> {
        let text = self.store.setting(DEVICE)?;
        // One that a later Trammel wrote in words unknown here counts as none: it is only how a screen looks.
        Ok(text
            .and_then(|text| serde_json::from_str(&text).ok())
            .unwrap_or_default())
    }
}

fn draft_of(job: ledger::JobId) -> String {
    format!("draft/{job}")
}
