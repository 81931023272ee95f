//! What changes did with photos and pins, in words: which photo, and which point.

use ledger::{EntryId, PhotoRecord, Room, Value};

use super::About;

/// What a change of a photo or a pin did.
pub(super) fn words(about: &About<'_>) -> String {
    let of = |room: Room| about.entry.writes.iter().find(|write| write.key.room == room);
    let photo_of = |room: Room| match of(room) {
        Some(write) if room == Room::Pins => photo_of_pin(about, &write.key.entry),
        Some(write) => photo(about, &write.key.entry),
        None => "a photo".to_owned(),
    };
    let point = || {
        of(Room::Pins).map_or_else(
            || "a point".to_owned(),
            |write| point_of_pin(about, &write.key.entry),
        )
    };
    match about.entry.did.as_str() {
        "add-photo" => match (of(Room::Photos), about.after("caption").as_str()) {
            (Some(write), caption) if !caption.is_empty() => {
                format!("added {}: {caption}", by_file(about, &write.key.entry))
            }
            _ => format!("added {}", photo_of(Room::Photos)),
        },
        "caption-photo" => {
            let which = of(Room::Photos).map(|write| by_file(about, &write.key.entry));
            let which = which.unwrap_or_else(|| "a photo".to_owned());
            match about.after("caption").as_str() {
                "" => format!("took away what was written under {which}"),
                caption => format!("wrote under {which}: {caption}"),
            }
        }
        "set-photo-about" => match subject(about) {
            Some(subject) => format!("said that {} is of {subject}", photo_of(Room::Photos)),
            None => format!("said that {} is of nothing in particular", photo_of(Room::Photos)),
        },
        "remove-photo" => format!("took out {}", photo_of(Room::Photos)),
        "bring-photo-back" => format!("brought back {}", photo_of(Room::Photos)),
        "pin-photo" => format!("pinned {} on {}", point(), photo_of(Room::Pins)),
        "tie-pin" => format!("tied a pin on {} to {}", photo_of(Room::Pins), point()),
        "move-pin" => format!("moved the pin of {} on {}", point(), photo_of(Room::Pins)),
        "remove-pin" => format!("took the pin of {} off {}", point(), photo_of(Room::Pins)),
        _ => format!("brought back the pin of {} on {}", point(), photo_of(Room::Pins)),
    }
}

/// A photo by what is written under it, else by the name of its file, else by the first letters of its id.
pub(super) fn photo(about: &About<'_>, entry: &EntryId) -> String {
    match said_of_photo(about, entry, "caption") {
        Some(caption) => format!("the photo \u{201c}{}\u{201d}", begun(&caption)),
        None => by_file(about, entry),
    }
}

/// A pin by its point and its photo.
pub(super) fn pin(about: &About<'_>, entry: &EntryId) -> String {
    format!(
        "the pin of {} on {}",
        point_of_pin(about, entry),
        photo_of_pin(about, entry)
    )
}

/// A photo by the name of its file, else by the first letters of its id.
fn by_file(about: &About<'_>, entry: &EntryId) -> String {
    /// As many as `photo list` shows at least, and enough to name it by.
    const LETTERS: usize = 8;
    let named = said_of_photo(about, entry, "name").map(|name| begun(&name));
    let named = named.unwrap_or_else(|| entry.as_str().chars().take(LETTERS).collect());
    format!("the photo {named}")
}

/// What is known of a photo; where it was undone, what was known of it after this change.
fn said_of_photo(about: &About<'_>, entry: &EntryId, field: &str) -> Option<String> {
    let field_of = |record: &PhotoRecord| match field {
        "caption" => record.caption.clone(),
        _ => record.name.clone(),
    };
    let stood = || about.stood()?.photos.get(entry).map(field_of);
    let now = about.records.photos.get(entry).map(field_of);
    now.or_else(|| then(about, entry, field))
        .or_else(stood)
        .filter(|text| !text.is_empty())
}

fn point_of_pin(about: &About<'_>, pin: &EntryId) -> String {
    let now = about
        .records
        .pins
        .get(pin)
        .and_then(|record| record.point.clone());
    let point = now.or_else(|| EntryId::parse(&then(about, pin, "point")?));
    if let Some(point) = point {
        return about.called(Room::Points, &point);
    }
    let noted = about.records.pins.get(pin).map(|record| record.note.clone());
    let noted = noted.or_else(|| then(about, pin, "note"));
    match noted.filter(|note| !note.is_empty()) {
        Some(note) => format!("\u{201c}{}\u{201d}", begun(&note)),
        None => "a point".to_owned(),
    }
}

fn photo_of_pin(about: &About<'_>, pin: &EntryId) -> String {
    let now = about.records.pins.get(pin).map(|record| record.photo.clone());
    let entry = now.or_else(|| EntryId::parse(&then(about, pin, "photo")?));
    entry.map_or_else(|| "a photo".to_owned(), |entry| photo(about, &entry))
}

/// What the photo is said to be of.
fn subject(about: &About<'_>) -> Option<String> {
    let text = about.after("about");
    let (room, entry) = text.split_once('/')?;
    let entry = EntryId::parse(entry)?;
    let room = if room == Room::Points.word() {
        Room::Points
    } else {
        Room::Readings
    };
    Some(about.called(room, &entry))
}

/// What this change wrote into a field of an entry.
fn then(about: &About<'_>, entry: &EntryId, field: &str) -> Option<String> {
    let write = |write: &&ledger::Write| write.key.entry == *entry && write.key.field == field;
    let written = about.entry.writes.iter().find(write)?;
    written.after.as_ref().map(Value::to_string)
}

/// The beginning of a text that may be long.
fn begun(text: &str) -> String {
    const LETTERS: usize = 40;
    let mut begun: String = text.chars().take(LETTERS).collect();
    if text.chars().nth(LETTERS).is_some() {
        begun.push('\u{2026}');
    }
    begun
}
