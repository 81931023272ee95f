//! The log of a job: one document with its edits and their history, the store on a device, photos, job files.
//!
//! Two people with a tablet each measure one shell, with no network for days. What either of them enters must be there
//! after a pulled plug, must be possible to take back and to look back on, and must come together with what the other
//! entered whenever the two meet.
//!
//! - A [`Job`] is one Automerge document and the [`Records`] that it says: points, readings, instruments, photos.
//! - An [`Edit`] is what a person means: log a reading, set it aside, correct it, rename a point, join two points, pin a
//!   photo. Each becomes one change, with who, when and what ([`Stamp`]).
//! - [`Job::undo`] takes back one's own newest edit, whatever others did since. [`Job::changes`], [`Job::entry`] and
//!   [`Job::as_it_stood`] are the history.
//! - [`Job::merge`] brings copies together; a [`Conversation`] does it message by message. What two devices wrote at
//!   once is a [`Dispute`] until someone chooses.
//! - [`Records::survey`] and [`Job::import`] map to and from a [`survey::Survey`].
//! - [`Keep`] is all that the document half knows of a disk, and [`Job::kept`] the way to use it: what could not be kept
//!   was not done.
//! - [`store`] keeps jobs and photos on a device; [`photo`] takes pictures in and strips them; [`job_file`] is the zip
//!   that carries a job; [`guard`] lets no bytes from outside do harm.
//!
//! ```
//! use ledger::{Edit, Job, JobId, ReadingText, Stage, Stamp};
//! use uuid::Uuid;
//!
//! let stamp = |by: &str, minute: i64, fresh: u128| Stamp {
//!     by: by.into(),
//!     at_ms: 1_780_000_000_000 + 60_000 * minute,
//!     fresh: Uuid::from_u128(fresh),
//! };
//! let tape = |a: &str, b: &str, value: &str| Edit::LogReading(ReadingText {
//!     kind: "tape".into(),
//!     points: vec![a.into(), b.into()],
//!     value: value.into(),
//!     ..ReadingText::default()
//! });
//!
//! // Two tablets with one job.
//! let mut ana = Job::new(JobId(Uuid::from_u128(1)), "shell", Uuid::from_u128(2), &stamp("Ana", 0, 3));
//! let mut ben = Job::open_foreign(&ana.save(), Uuid::from_u128(4))?;
//! ana.apply(&tape("sill-L", "tower-L", "40 5/8 in"), &stamp("Ana", 1, 5))?;
//! ben.apply(&tape("sill-L", "roof", "1320 mm"), &stamp("Ben", 1, 6))?;
//!
//! // They meet. The point that both made is one point.
//! ana.merge(&ben.save())?;
//! assert_eq!(ana.records().readings.len(), 2);
//! assert_eq!(ana.records().marks().len(), 3);
//! assert_eq!(ana.records().survey(&Stage::All).survey.readings[0].read, 40.625 * 25.4);
//!
//! // Ana takes back what she did last, not what came in last.
//! ana.undo(&stamp("Ana", 2, 7))?;
//! assert_eq!(ana.records().readings.len(), 1);
//! # Ok::<(), Box<dyn std::error::Error>>(())
//! ```
//!
//! # The document
//!
//! The document is a flat map of *registers* at the root. A key is `room/entry/field`, such as
//! `readings/0192f0c1e9e07d3fa4b1d0e1a2b3c4d5/value`; a register holds text, a whole number or a number. There is no
//! other structure in it, and that is on purpose:
//!
//! - Nothing has to be created before it can be written, so two devices can write the same entry without first agreeing
//!   who makes it. Entries that people name (a point's label, a stand, an instrument, the row of a sheet) get their id
//!   from that name: made twice, they are still one.
//! - A conflict is always about one register, with its values, who wrote them and when.
//! - To undo is to write back what a register held. Nothing is ever deleted: an entry that is undone is marked `gone`.
//!
//! [`SCHEMA`] lists every room with its registers. What they mean:
//!
//! | register | meaning |
//! | --- | --- |
//! | `job/-/format` | the number of this schema, [`FORMAT`]; a document with a greater one is refused |
//! | `job/-/id`, `name`, `unit`, `frame`, `above` | the job's id, name, unit of bare numbers (`in`, `mm`), axes (`three` and three point entries, or `bench`), a point on the upper side |
//! | `job/-/crooked`, `crooked_why` | what of the shell is crooked and taken as it is, and why: `racked`, `twisted`, and mirror pairs as two point entries with a slash between, with blanks between them |
//! | `made`, `row` | when an entry was made (device time, ms since 1970) and at which row of a sheet; the order that people see. The smallest counts |
//! | `gone`, `removed` | who undid it, who took it out; only whether it is there counts |
//! | `readings/…/kind`, `a` to `d`, `value`, `sd`, `instrument`, `from`, `add`, `stand`, `epoch`, `note` | the reading as it was logged, in the words of the sheets; points, instrument, stand and epoch by entry. A value always has its unit |
//! | `readings/…/now.kind` and so on | what was corrected since; empty text says that the field was emptied. `now.why` says why |
//! | `readings/…/state`, `why` | `set aside` or `kept`, and why |
//! | `points/…/label`, `side`, `mirror`, `x`, `y`, `z`, `fixed`, `note` | as in the points sheet, the partner by entry |
//! | `points/…/joined` | the point that it turned out to be one mark with |
//! | `instruments/…` | as in the instruments sheet |
//! | `photos/HASH/…` | what is known of a photo; the entry is the hash of the original, `leaves_as` that of the file without where it was taken, `about` a point or a reading |
//! | `pins/…/photo`, `point`, `note`, `x`, `y` | a place on a photo, 0 to 1 of the upright picture from its left and its top; `note` says what is there while no point is tied to it |
//!
//! Each change carries a message, `{"by":"Ana","did":"log-reading"}`, and for undo and redo `of`, the change that was
//! taken back; its time is in seconds. Rooms and registers that this version does not know are left alone and survive.
//!
//! A changed meaning is a new [`FORMAT`]. A new room or register is none: older versions pass it over.
//!
//! # What it does not do
//!
//! It solves nothing and judges no reading; what was computed is never in the document. It has no network, no clock and
//! no dice: times and fresh numbers are arguments. Outside [`store`], which is the feature of that name, it opens no
//! file and stays fit for wasm32.
//!
//! # Invariants
//!
//! - A reading is never erased, and never changed by anything but a person's edit.
//! - One edit is one change. An edit that cannot be made, or not be kept, leaves the job as it was.
//! - The same changes make the same records, on every device and in whatever order they came.
//! - Who opens a job writes under a number that nobody else ever had (`actor`): two that write under one number tear a
//!   job apart.
//! - A document from a newer schema is refused by name, never guessed at.

mod conversation;
mod disputes;
mod edit;
pub mod guard;
mod history;
mod job;
pub mod job_file;
mod keep;
pub mod photo;
mod records;
mod registers;
mod schema;
mod sheets;
#[cfg(feature = "store")]
pub mod store;
mod undo;

pub use conversation::Conversation;
pub use disputes::{Dispute, Said};
pub use edit::{
    CorrectionText, Edit, EditError, Imported, InstrumentText, JobText, PhotoText, PointText, ReadingText,
    SheetsIn, Stamp,
};
pub use history::{Entry, Write};
pub use job::{Applied, ChangeId, Job, LoadError, NotKept};
pub use keep::{Heads, JobId, Keep};
pub use records::{
    About, AxesKind, BlockedRecord, CrookedRecord, FrameRecord, InstrumentRecord, JobRecord, Made,
    NamedRecord, PhotoRecord, PinRecord, PointRecord, ReadingRecord, Records, Typed, named,
};
pub use registers::Value;
pub use schema::{EntryId, FORMAT, Key, Room, SCHEMA};
pub use sheets::{JobSurvey, SheetTexts, Stage, moment, table, utc};
pub use undo::{Left, Undone};
