//! The schema: which registers a job's document has, and what a key looks like.

use std::fmt;

use uuid::Uuid;

/// The newest schema that this code understands. A document that says a greater number is refused, never guessed at.
pub const FORMAT: i64 = 1;

/// The entry of a room that has only one.
pub(crate) const ONLY: &str = "-";

/// Set on an entry that was undone: it is passed over, and comes back when the undoing is undone.
pub(crate) const GONE: &str = "gone";

/// One kind of entry.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Room {
    /// The job itself: one entry.
    Job,
    /// Who measures.
    People,
    /// Ways in which the shell stood.
    Stands,
    /// Stages of the work.
    Epochs,
    /// Tapes, angle finders, levels.
    Instruments,
    /// Hard points.
    Points,
    /// What was read.
    Readings,
    /// Lines that cannot be taped.
    Blocked,
    /// Photos, by the hash of the original.
    Photos,
    /// Places on photos that are tied to points, or are to be.
    Pins,
}

/// Every room with the registers that its entries may have.
///
/// Rooms for mock-ups (`mockups`, `poses`, `checks`), plans (`plans`, `tubes`) and hold points (`hold-points`) are
/// spoken for and have no registers yet. A room or a register that is not listed here is left alone and survives.
pub const SCHEMA: [(Room, &[&str]); 10] = [
    (
        Room::Job,
        &[
            "format",
            "id",
            "name",
            "made",
            "unit",
            "frame",
            "above",
            "crooked",
            "crooked_why",
        ],
    ),
    (Room::People, &["name", "made", "row", "gone"]),
    (Room::Stands, &["name", "note", "made", "row", "gone"]),
    (Room::Epochs, &["name", "note", "made", "row", "gone"]),
    (
        Room::Instruments,
        &[
            "name",
            "kind",
            "class",
            "graduation",
            "zero_offset",
            "case_length",
            "point_sd",
            "sd",
            "note",
            "made",
            "row",
            "gone",
        ],
    ),
    (
        Room::Points,
        &[
            "label", "side", "mirror", "x", "y", "z", "fixed", "note", "joined", "made", "row", "gone",
        ],
    ),
    (
        Room::Readings,
        &[
            "name",
            "kind",
            "a",
            "b",
            "c",
            "d",
            "value",
            "sd",
            "instrument",
            "from",
            "add",
            "stand",
            "epoch",
            "by",
            "at",
            "note",
            "state",
            "why",
            "made",
            "row",
            "gone",
            "now.kind",
            "now.a",
            "now.b",
            "now.c",
            "now.d",
            "now.value",
            "now.sd",
            "now.instrument",
            "now.from",
            "now.add",
            "now.stand",
            "now.epoch",
            "now.note",
            "now.why",
        ],
    ),
    (Room::Blocked, &["name", "a", "b", "why", "made", "row", "gone"]),
    (
        Room::Photos,
        &[
            "media_type",
            "width",
            "height",
            "bytes",
            "leaves_as",
            "name",
            "taken",
            "caption",
            "about",
            "by",
            "made",
            "removed",
            "gone",
        ],
    ),
    (
        Room::Pins,
        &["photo", "point", "note", "x", "y", "made", "removed", "gone"],
    ),
];

impl Room {
    /// The word that keys begin with.
    pub fn word(self) -> &'static str {
        match self {
            Room::Job => "job",
            Room::People => "people",
            Room::Stands => "stands",
            Room::Epochs => "epochs",
            Room::Instruments => "instruments",
            Room::Points => "points",
            Room::Readings => "readings",
            Room::Blocked => "blocked",
            Room::Photos => "photos",
            Room::Pins => "pins",
        }
    }

    /// The room of that word; nothing where a later Trammel knows more rooms than this one.
    pub fn from_word(word: &str) -> Option<Room> {
        SCHEMA
            .into_iter()
            .map(|(room, _)| room)
            .find(|room| room.word() == word)
    }
}

/// What an entry is called in keys: 32 hexadecimal letters, for photos 64, or `-` in a room with one entry.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct EntryId(String);

impl EntryId {
    /// The entry of that fresh number.
    pub fn of(fresh: Uuid) -> EntryId {
        EntryId(fresh.simple().to_string())
    }

    /// The entry that every device makes out of the same words.
    ///
    /// Two tablets on which the same label is typed, or the same sheet imported, thereby write the same registers, and
    /// meet in one entry instead of two. `count` tells apart what had to be made anew under a word used before.
    pub(crate) fn derived(room: Room, words: &str, count: usize) -> EntryId {
        const TRAMMEL: Uuid = Uuid::from_u128(0x7472_616d_6d65_6c20_a5c1_0f0e_2b7d_9e31);
        let name = format!("{}/{count}/{words}", room.word());
        EntryId::of(Uuid::new_v5(&TRAMMEL, name.as_bytes()))
    }

    /// The entry of that text, where it can be one: letters, digits and hyphens.
    pub fn parse(text: &str) -> Option<EntryId> {
        let fits = |c: char| c.is_ascii_alphanumeric() || c == '-';
        (!text.is_empty() && text.len() <= 64 && text.chars().all(fits)).then(|| EntryId(text.to_owned()))
    }

    /// As text.
    pub fn as_str(&self) -> &str {
        &self.0
    }
}

impl fmt::Display for EntryId {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.0)
    }
}

/// The key of one register: room, entry, field, with slashes between.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Key {
    /// The room.
    pub room: Room,
    /// The entry.
    pub entry: EntryId,
    /// The field, such as `value`.
    pub field: String,
}

impl Key {
    pub(crate) fn new(room: Room, entry: &EntryId, field: &str) -> Key {
        Key {
            room,
            entry: entry.clone(),
            field: field.to_owned(),
        }
    }

    /// The key of that text; nothing where it is none of this schema.
    pub fn parse(text: &str) -> Option<Key> {
        let mut parts = text.splitn(3, '/');
        let room = Room::from_word(parts.next()?)?;
        let entry = EntryId::parse(parts.next()?)?;
        let field = parts.next()?.to_owned();
        Some(Key { room, entry, field })
    }
}

impl fmt::Display for Key {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}/{}/{}", self.room.word(), self.entry, self.field)
    }
}
