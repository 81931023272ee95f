//! What people call things, looked up in a job: points by their labels, readings by their names, photos by the first
//! letters of their ids.

use ledger::{About, EntryId, Records, Room};
use survey::{Frame, Label, LengthUnit};

use crate::refusal::{Code, Refusal};

/// The axes that are typed so.
pub(super) fn frame_called(typed: &str) -> Result<Frame, Refusal> {
    survey::parse_frame(typed).map_err(|error| Refusal::new(Code::Unusable, error.to_string()))
}

/// The unit of that word.
pub(super) fn unit_called(word: &str) -> Result<LengthUnit, Refusal> {
    match word {
        "in" => Ok(LengthUnit::Inch),
        "mm" => Ok(LengthUnit::Millimetre),
        _ => Err(Refusal::new(
            Code::Unusable,
            format!("`{word}` is no unit here: write in or mm"),
        )),
    }
}

/// The point of that label, as people see it, or of that id.
pub(super) fn point_called(records: &Records, label: &str) -> Result<EntryId, Refusal> {
    let shown = records
        .labels()
        .into_iter()
        .find(|(_, shown)| shown == label.trim())
        .map(|(id, _)| id);
    let known = shown
        .or_else(|| Label::new(label).and_then(|label| records.point_labelled(&label).cloned()))
        .or_else(|| EntryId::parse(label).filter(|id| records.point(id).is_some()));
    known.ok_or_else(|| not_there("point", label))
}

/// What a point is called now.
pub(super) fn label_of(records: &Records, point: &EntryId) -> String {
    let label = records.labels().remove(records.mark(point));
    label.unwrap_or_default()
}

/// The reading of that name, as people see it, or of that id.
pub(super) fn reading_called(records: &Records, name: &str) -> Result<EntryId, Refusal> {
    let name = name.trim();
    let shown = records
        .reading_names()
        .into_iter()
        .find(|(_, shown)| shown == name)
        .map(|(id, _)| id.clone());
    let known = shown.or_else(|| EntryId::parse(name).filter(|id| records.readings.contains_key(id)));
    known.ok_or_else(|| not_there("reading", name))
}

/// The photo whose id begins so, where only one does.
pub(super) fn photo_called(records: &Records, id: &str) -> Result<EntryId, Refusal> {
    const LETTERS: usize = 6;
    let refused = |why: String| Err(Refusal::new(Code::NotThere, why));
    if id.len() < LETTERS {
        return refused(format!(
            "`{id}` is too short for a photo: write at least the first {LETTERS} letters of its id, as the list of \
             photos shows it"
        ));
    }
    let mut found = records
        .photos
        .keys()
        .filter(|photo| photo.as_str().starts_with(id));
    match (found.next(), found.next()) {
        (Some(photo), None) => Ok(photo.clone()),
        (Some(_), Some(_)) => refused(format!("several photos begin with `{id}`: write more of the id")),
        (None, _) => refused(format!(
            "no photo of this job has an id that begins with `{id}`: look it up in the list of photos"
        )),
    }
}

/// What a photo is of: a point, a reading, or nothing in particular.
pub(super) fn about_called(
    records: &Records,
    point: Option<&str>,
    reading: Option<&str>,
) -> Result<Option<About>, Refusal> {
    match (point, reading) {
        (None, None) => Ok(None),
        (Some(point), None) => Ok(Some(About {
            room: Room::Points,
            entry: point_called(records, point)?,
        })),
        (None, Some(reading)) => Ok(Some(About {
            room: Room::Readings,
            entry: reading_called(records, reading)?,
        })),
        (Some(_), Some(_)) => Err(Refusal::new(
            Code::BadRequest,
            "a photo is of a point or of a reading: say one",
        )),
    }
}

/// Nothing of that kind has that name.
pub(super) fn not_there(what: &str, name: &str) -> Refusal {
    Refusal::new(
        Code::NotThere,
        format!("there is no {what} `{name}` in this job: check the spelling"),
    )
}
