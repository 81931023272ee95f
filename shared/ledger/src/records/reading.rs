//! Readings as the log knows them: as they were logged, and as they are now.

use survey::State;

use super::Made;
use crate::registers::Fields;
use crate::schema::EntryId;

/// Everything of a reading that can be corrected, as it was typed.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Typed {
    /// `tape`, `slope` and so on; see [`survey::Kind`].
    pub kind: String,
    /// a, b, c, d as far as the kind needs them.
    pub points: Vec<EntryId>,
    /// The value, always with its unit.
    pub value: String,
    /// A standard deviation of its own.
    pub sd: String,
    /// What it was read with.
    pub instrument: Option<EntryId>,
    /// What the number was read from, on purpose.
    pub from: String,
    /// Length to add.
    pub add: String,
    /// How the shell stood.
    pub stand: Option<EntryId>,
    /// At which stage of the work.
    pub epoch: Option<EntryId>,
    /// What was noted.
    pub note: String,
}

/// One reading. It is never erased: it is set aside with a reason, or corrected with what was logged kept.
#[derive(Debug, Clone, PartialEq)]
pub struct ReadingRecord {
    /// The id it has in sheets and on screens.
    pub name: String,
    /// As it was logged.
    pub logged: Typed,
    /// As it is now, corrections taken in.
    pub now: Typed,
    /// Why it was corrected, where it was.
    pub corrected_why: Option<String>,
    /// Whether it takes part.
    pub state: State,
    /// Why it was set aside or kept.
    pub why: String,
    /// Who read it.
    pub by: String,
    /// When, as a sheet said it; else see `made`.
    pub at: String,
    /// When it was logged.
    pub made: Made,
}

impl ReadingRecord {
    pub(super) fn read(fields: &Fields) -> Option<ReadingRecord> {
        // An entry without a kind is what a later Trammel left, or what is still missing of one.
        fields.text("kind")?;
        let logged = typed(fields, |field| field.to_owned());
        let now = typed(fields, |field| {
            let corrected = format!("now.{field}");
            if fields.has(&corrected) {
                corrected
            } else {
                field.to_owned()
            }
        });
        Some(ReadingRecord {
            name: fields.words("name"),
            corrected_why: (now != logged).then(|| fields.words("now.why")),
            logged,
            now,
            state: match fields.text("state") {
                Some("set aside") => State::SetAside,
                Some("kept") => State::Kept,
                _ => State::Used,
            },
            why: fields.words("why"),
            by: fields.words("by"),
            at: fields.words("at"),
            made: Made::read(fields),
        })
    }
}

fn typed(fields: &Fields, place: impl Fn(&str) -> String) -> Typed {
    let words = |field| fields.words(&place(field));
    let entry = |field| fields.entry(&place(field));
    Typed {
        kind: words("kind"),
        points: ["a", "b", "c", "d"].into_iter().map_while(entry).collect(),
        value: words("value"),
        sd: words("sd"),
        instrument: entry("instrument"),
        from: words("from"),
        add: words("add"),
        stand: entry("stand"),
        epoch: entry("epoch"),
        note: words("note"),
    }
}
