//! The command table: every command by its name, for shells that speak JSON.
//!
//! A shell hands a [`Call`] over and gives the [`Reply`] on; it adds no command and leaves none out.

use serde::de::DeserializeOwned;
use serde::{Deserialize, Serialize};
use serde_json::Value;

use super::called::unit_called;
use super::{Act, AddPhoto, Desk, LogReading, PhotoSize, SheetsGiven};
use crate::SheetBytes;
use crate::refusal::{Code, Refusal};
use crate::told::LoggedWords;
use crate::wire::AdjustmentWire;

/// A request: JSON, and bytes for what is no JSON, such as a photo.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Call {
    /// What is asked.
    pub ask: Value,
    /// A photo or a job file.
    pub bytes: Vec<u8>,
}

/// An answer: JSON, and bytes for what is no JSON.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Reply {
    /// What is answered.
    pub answer: Value,
    /// A picture or a job file.
    pub bytes: Vec<u8>,
    /// The media type of the bytes.
    pub media_type: Option<&'static str>,
}

type Command = fn(&mut Desk, Call) -> Result<Reply, Refusal>;

/// Every command.
pub const COMMANDS: [(&str, Command); 20] = [
    ("jobs", |desk, _| reply(desk.jobs()?)),
    ("new-job", |desk, call| {
        let ask: NewJob = asked(call.ask)?;
        let unit = ask.unit.as_deref().map(unit_called).transpose()?;
        reply(desk.new_job(&ask.name, unit, ask.by.as_deref())?)
    }),
    ("demo", |desk, _| reply(desk.demo()?.0)),
    ("show", |desk, call| {
        let ask: Of = asked(call.ask)?;
        reply(desk.show(ask.job())?)
    }),
    ("solve", |desk, call| {
        let ask: Solve = asked(call.ask)?;
        reply(AdjustmentWire::of(
            &*desk.solve(ask.job.as_deref(), ask.epoch.as_deref())?,
        ))
    }),
    ("log-reading", |desk, call| {
        let ask: Log = asked(call.ask)?;
        let logged = desk.log_reading(ask.job.as_deref(), &ask.reading, ask.by.as_deref())?;
        reply(LoggedReply {
            name: logged.name,
            entry: logged.entry,
            line: logged.line,
            compared: logged.compared.map(ComparedReply::of),
        })
    }),
    ("act", |desk, call| {
        let ask: ActAsk = asked(call.ask)?;
        reply(desk.act(ask.job.as_deref(), &ask.act, ask.by.as_deref())?)
    }),
    ("undo", |desk, call| {
        let ask: Of = asked(call.ask)?;
        reply(desk.undo(ask.job(), ask.by.as_deref())?)
    }),
    ("redo", |desk, call| {
        let ask: Of = asked(call.ask)?;
        reply(desk.redo(ask.job(), ask.by.as_deref())?)
    }),
    ("history", |desk, call| {
        let ask: HistoryAsk = asked(call.ask)?;
        reply(desk.history(ask.job.as_deref(), ask.who.as_deref(), ask.most.unwrap_or(100))?)
    }),
    ("as-it-stood", |desk, call| {
        let ask: Stood = asked(call.ask)?;
        reply(desk.as_it_stood(ask.job.as_deref(), &ask.when)?)
    }),
    ("import-sheets", |desk, call| {
        let ask: Import = asked(call.ask)?;
        let unit = ask.unit.as_deref().map(unit_called).transpose()?;
        let sheet = |text: Option<String>, name: &str| {
            text.map(|text| SheetBytes {
                name: name.to_owned(),
                bytes: text.into_bytes(),
            })
        };
        let sheets = SheetsGiven {
            readings: sheet(ask.readings, "readings.csv"),
            points: sheet(ask.points, "points.csv"),
            instruments: sheet(ask.instruments, "instruments.csv"),
            unit,
            keep_going: ask.keep_going,
        };
        reply(desk.import_sheets(ask.job.as_deref(), &sheets, ask.by.as_deref())?)
    }),
    ("take-in", |desk, call| {
        reply(desk.take_in(std::io::Cursor::new(call.bytes))?)
    }),
    ("export", |desk, call| {
        let ask: Of = asked(call.ask)?;
        let mut file = std::io::Cursor::new(Vec::new());
        let exported = desk.export(ask.job(), &mut file)?;
        Ok(Reply {
            bytes: file.into_inner(),
            media_type: Some("application/zip"),
            ..reply(exported)?
        })
    }),
    ("photos", |desk, call| {
        let ask: Of = asked(call.ask)?;
        reply(desk.photos(ask.job())?)
    }),
    ("add-photo", |desk, call| {
        let ask: PhotoAsk = asked(call.ask)?;
        reply(desk.add_photo(ask.job.as_deref(), &ask.photo, &call.bytes, ask.by.as_deref())?)
    }),
    ("photo", |desk, call| {
        let ask: Picture = asked(call.ask)?;
        let (media_type, bytes) = desk.photo(ask.job.as_deref(), &ask.photo, ask.size)?;
        Ok(Reply {
            answer: Value::Null,
            bytes,
            media_type: Some(media_type),
        })
    }),
    ("check", |desk, _| reply(desk.check()?)),
    ("person", |desk, _| reply(desk.person()?)),
    ("set-person", |desk, call| {
        let ask: Person = asked(call.ask)?;
        desk.set_person(&ask.name)?;
        reply(desk.person()?)
    }),
];

impl Desk {
    /// Carries out the command of that name.
    ///
    /// # Errors
    /// Where there is no such command, the request is not understood, or the command refuses.
    pub fn call(&mut self, name: &str, call: Call) -> Result<Reply, Refusal> {
        let found = COMMANDS.iter().find(|(known, _)| *known == name);
        let (_, command) =
            found.ok_or_else(|| Refusal::new(Code::BadRequest, format!("there is no command `{name}`")))?;
        command(self, call)
    }
}

#[derive(Deserialize, Default)]
#[serde(default, deny_unknown_fields)]
struct Of {
    job: Option<String>,
    by: Option<String>,
}

impl Of {
    fn job(&self) -> Option<&str> {
        self.job.as_deref()
    }
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct NewJob {
    name: String,
    unit: Option<String>,
    by: Option<String>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Solve {
    job: Option<String>,
    epoch: Option<String>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Log {
    job: Option<String>,
    by: Option<String>,
    reading: LogReading,
}

#[derive(Serialize)]
struct LoggedReply {
    name: String,
    entry: String,
    line: String,
    compared: Option<ComparedReply>,
}

#[derive(Serialize)]
struct ComparedReply {
    headline: String,
    said: Vec<String>,
    doubt: bool,
}

impl ComparedReply {
    fn of(words: LoggedWords) -> ComparedReply {
        ComparedReply {
            headline: words.headline,
            said: words.said,
            doubt: words.doubt,
        }
    }
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct ActAsk {
    job: Option<String>,
    by: Option<String>,
    act: Act,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct HistoryAsk {
    job: Option<String>,
    who: Option<String>,
    most: Option<usize>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Stood {
    job: Option<String>,
    when: String,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Import {
    job: Option<String>,
    by: Option<String>,
    readings: Option<String>,
    points: Option<String>,
    instruments: Option<String>,
    unit: Option<String>,
    #[serde(default)]
    keep_going: bool,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct PhotoAsk {
    job: Option<String>,
    by: Option<String>,
    #[serde(default)]
    photo: AddPhoto,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Picture {
    job: Option<String>,
    photo: String,
    size: PhotoSize,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Person {
    name: String,
}

fn asked<T: DeserializeOwned>(ask: Value) -> Result<T, Refusal> {
    serde_json::from_value(ask).map_err(|error| {
        Refusal::new(
            Code::BadRequest,
            format!("the request is not understood: {error}"),
        )
    })
}

fn reply(answer: impl Serialize) -> Result<Reply, Refusal> {
    let answer = serde_json::to_value(answer)
        .map_err(|error| Refusal::new(Code::BadRequest, format!("the answer cannot be written: {error}")))?;
    Ok(Reply {
        answer,
        ..Reply::default()
    })
}
