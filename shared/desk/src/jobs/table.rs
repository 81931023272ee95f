//! The command table: every command by its name, for shells that speak JSON.
//!
//! A shell hands a [`Call`] over and gives the [`Reply`] on; it adds no command and leaves none out. Each command is
//! one row with what it is asked and what it answers, out of which the screens' types are made too.

mod asks;

use serde::Serialize;
use serde::de::DeserializeOwned;
use serde_json::Value;

use super::called::unit_called;
use super::{
    Acted, Checked, Desk, DeviceSaid, Distance, Exported, FileTaken, HistoryLine, JobLine, JobShown, Logged,
    PaperForm, PhotoAdded, PhotoLine, SheetsBrought, SheetsGiven, SheetsShown, StartingList, ThisDevice,
    Typed, Undone, WallSheet,
};
use crate::SheetBytes;
use crate::refusal::{Code, Refusal};
use crate::wire::{AdjustmentWire, Doubts, EpochsCompared, OrderWire, ShapeShown};
use asks::{
    AtEpoch, Back, BetweenTwo, Import, KeepDraft, Log, NewJob, NewPhoto, Nothing, OfJob, OnPaper, Person,
    Picture, PictureByHash, Stood, ToDo, TwoEpochs, Typing,
};

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

macro_rules! commands {
    ($($name:literal: $ask:ty => $answer:ty, $run:expr;)+) => {
        /// Every command.
        pub const COMMANDS: &[(&str, Command)] = &[$(($name, |desk, call| {
            let run: fn(&mut Desk, $ask, Vec<u8>) -> Result<Given<$answer>, Refusal> = $run;
            run(desk, asked(call.ask)?, call.bytes)?.reply()
        })),+];

        /// Hands every command on with the types of what it is asked and what it answers.
        #[cfg(test)]
        pub(crate) fn each_command(take: &mut impl crate::wire_types::TakesCommands) {
            $(take.command::<$ask, $answer>($name);)+
        }
    };
}

commands! {
    "jobs": Nothing => Vec<JobLine>, |desk, _, _| Ok(desk.jobs()?.into());
    "new-job": NewJob => JobLine, |desk, ask, _| {
        let unit = ask.unit.as_deref().map(unit_called).transpose()?;
        Ok(desk.new_job(&ask.name, unit, ask.by.as_deref())?.into())
    };
    "demo": Nothing => JobLine, |desk, _, _| Ok(desk.demo()?.0.into());
    "show": OfJob => JobShown, |desk, ask, _| Ok(desk.show(ask.job())?.into());
    "solve": AtEpoch => AdjustmentWire, |desk, ask, _| {
        Ok(AdjustmentWire::of(&*desk.solve(ask.job.as_deref(), ask.epoch.as_deref())?).into())
    };
    "doubts": AtEpoch => Doubts, |desk, ask, _| {
        Ok(desk.doubts(ask.job.as_deref(), ask.epoch.as_deref())?.into())
    };
    "shape": AtEpoch => ShapeShown, |desk, ask, _| {
        Ok(desk.shape(ask.job.as_deref(), ask.epoch.as_deref())?.into())
    };
    "distance": BetweenTwo => Distance, |desk, ask, _| {
        Ok(desk.distance(ask.job.as_deref(), ask.epoch.as_deref(), &ask.a, &ask.b)?.into())
    };
    "compare-epochs": TwoEpochs => EpochsCompared, |desk, ask, _| {
        Ok(desk.epochs_compared(ask.job.as_deref(), &ask.before, &ask.after)?.into())
    };
    "log-reading": Log => Logged, |desk, ask, _| {
        Ok(desk.log_reading(ask.job.as_deref(), &ask.reading, ask.by.as_deref())?.into())
    };
    "typed": Typing => Typed, |desk, ask, _| Ok(desk.typed(ask.job.as_deref(), &ask.reading)?.into());
    "act": ToDo => Acted, |desk, ask, _| Ok(desk.act(ask.job.as_deref(), &ask.act, ask.by.as_deref())?.into());
    "undo": OfJob => Undone, |desk, ask, _| Ok(desk.undo(ask.job(), ask.by.as_deref())?.into());
    "redo": OfJob => Undone, |desk, ask, _| Ok(desk.redo(ask.job(), ask.by.as_deref())?.into());
    "history": Back => Vec<HistoryLine>, |desk, ask, _| {
        Ok(desk.history(ask.job.as_deref(), ask.who.as_deref(), ask.most.unwrap_or(100))?.into())
    };
    "as-it-stood": Stood => JobShown, |desk, ask, _| {
        Ok(desk.as_it_stood(ask.job.as_deref(), &ask.when)?.into())
    };
    "order": OfJob => OrderWire, |desk, ask, _| Ok(OrderWire::of(&desk.order(ask.job())?).into());
    "starting-list": Nothing => StartingList, |_, _, _| Ok(StartingList::new().into());
    "draft": OfJob => Option<String>, |desk, ask, _| Ok(desk.draft(ask.job())?.into());
    "keep-draft": KeepDraft => (), |desk, ask, _| Ok(desk.keep_draft(ask.job.as_deref(), &ask.draft)?.into());
    "sheets": OfJob => SheetsShown, |desk, ask, _| Ok(desk.sheets(ask.job())?.into());
    "import-sheets": Import => SheetsBrought, |desk, ask, _| {
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
        Ok(desk.import_sheets(ask.job.as_deref(), &sheets, ask.by.as_deref())?.into())
    };
    "take-in": Nothing => FileTaken, |desk, _, bytes| Ok(desk.take_in(std::io::Cursor::new(bytes))?.into());
    "export": OfJob => Exported, |desk, ask, _| {
        let mut file = std::io::Cursor::new(Vec::new());
        let answer = desk.export(ask.job(), &mut file)?;
        Ok(Given {
            answer,
            bytes: file.into_inner(),
            media_type: Some("application/zip"),
        })
    };
    "wall-sheet": OnPaper => WallSheet, |desk, ask, _| {
        let (job, epoch) = (ask.job.as_deref(), ask.epoch.as_deref());
        let (answer, bytes) = desk.wall_sheet(job, epoch, ask.paper, ask.form, ask.page.unwrap_or(1))?;
        let media_type = Some(match ask.form {
            PaperForm::Pdf => "application/pdf",
            PaperForm::Svg => "image/svg+xml",
        });
        Ok(Given {
            answer,
            bytes,
            media_type,
        })
    };
    "photos": OfJob => Vec<PhotoLine>, |desk, ask, _| Ok(desk.photos(ask.job())?.into());
    "add-photo": NewPhoto => PhotoAdded, |desk, ask, bytes| {
        Ok(desk.add_photo(ask.job.as_deref(), &ask.photo, &bytes, ask.by.as_deref())?.into())
    };
    "photo": Picture => (), |desk, ask, _| {
        let (media_type, bytes) = desk.photo(ask.job.as_deref(), &ask.photo, ask.size)?;
        Ok(Given {
            answer: (),
            bytes,
            media_type: Some(media_type),
        })
    };
    "picture": PictureByHash => (), |desk, ask, _| {
        let (media_type, bytes) = desk.picture(&ask.photo, ask.size)?;
        Ok(Given {
            answer: (),
            bytes,
            media_type: Some(media_type),
        })
    };
    "recovery": Nothing => Option<String>, |desk, _, _| Ok(desk.recovery().map(str::to_owned).into());
    "check": Nothing => Checked, |desk, _, _| Ok(desk.check()?.into());
    "person": Nothing => Option<String>, |desk, _, _| Ok(desk.person()?.into());
    "set-person": Person => Option<String>, |desk, ask, _| {
        desk.set_person(&ask.name)?;
        Ok(desk.person()?.into())
    };
    "device": Nothing => ThisDevice, |desk, _, _| Ok(desk.device()?.into());
    "set-device": DeviceSaid => ThisDevice, |desk, ask, _| Ok(desk.set_device(&ask)?.into());
}

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

/// What a command gives before it is JSON.
struct Given<T> {
    answer: T,
    bytes: Vec<u8>,
    media_type: Option<&'static str>,
}

impl<T> From<T> for Given<T> {
    fn from(answer: T) -> Given<T> {
        Given {
            answer,
            bytes: Vec::new(),
            media_type: None,
        }
    }
}

impl<T: Serialize> Given<T> {
    fn reply(self) -> Result<Reply, Refusal> {
        let answer = serde_json::to_value(self.answer).map_err(|error| {
            Refusal::new(Code::BadRequest, format!("the answer cannot be written: {error}"))
        })?;
        Ok(Reply {
            answer,
            bytes: self.bytes,
            media_type: self.media_type,
        })
    }
}

fn asked<T: DeserializeOwned>(ask: Value) -> Result<T, Refusal> {
    serde_json::from_value(ask).map_err(|error| {
        Refusal::new(
            Code::BadRequest,
            format!("the request is not understood: {error}"),
        )
    })
}
