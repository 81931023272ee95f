//! Photos of a job: taken in, listed, given out.

use ledger::photo::{self, PhotoId};
use ledger::store::{self, PhotoRow, Thumbnail};
use ledger::{Edit, EntryId, PhotoRecord, PhotoText, Records, Room};
use serde::{Deserialize, Serialize};

use super::Desk;
use super::called::{about_called, photo_called};
use crate::refusal::{Code, Refusal};

/// What is said of a photo that is added.
#[derive(Debug, Clone, PartialEq, Eq, Default, Serialize, Deserialize)]
#[cfg_attr(test, derive(ts_rs::TS), ts(optional_fields = nullable))]
#[serde(default, deny_unknown_fields)]
pub struct AddPhoto {
    /// What its file is called.
    #[cfg_attr(test, ts(as = "Option<_>", optional))]
    pub file: String,
    /// What the crew writes under it.
    #[cfg_attr(test, ts(as = "Option<_>", optional))]
    pub caption: String,
    /// The point that it is of.
    pub point: Option<String>,
    /// The reading that it is of.
    pub reading: Option<String>,
}

/// A photo that was added.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(test, derive(ts_rs::TS))]
pub struct PhotoAdded {
    /// As it is listed now.
    pub photo: PhotoLine,
    /// Whether the same picture was there before.
    pub already: bool,
}

/// One photo of a job.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(test, derive(ts_rs::TS))]
#[expect(missing_docs, reason = "as `ledger::PhotoRecord`, which documents them")]
pub struct PhotoLine {
    pub id: String,
    pub width: i64,
    pub height: i64,
    pub bytes: i64,
    pub file: String,
    pub taken: String,
    pub caption: String,
    pub point: Option<String>,
    pub reading: Option<String>,
    pub by: String,
    pub removed: bool,
    /// Whether the picture is on this device.
    pub here: bool,
    pub pins: Vec<PinLine>,
}

/// A pin on a photo.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(test, derive(ts_rs::TS))]
#[expect(missing_docs, reason = "as `ledger::PinRecord`, which documents them")]
pub struct PinLine {
    pub id: String,
    /// The label of its point; empty where it is tied to none yet.
    pub point: String,
    pub note: String,
    pub x: f64,
    pub y: f64,
}

/// Which picture of a photo.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(test, derive(ts_rs::TS))]
#[serde(rename_all = "kebab-case")]
pub enum PhotoSize {
    /// As it was taken, with everything that is in its file.
    Original,
    /// As it may leave the device: without where it was taken.
    ToLeave,
    /// Longest edge 1280 px.
    Large,
    /// Longest edge 256 px.
    Small,
}

impl Desk {
    /// Takes a photo into a job. The picture is on the disk before the job knows of it.
    ///
    /// # Errors
    /// Where it is no photo that can be read, too large, or the disk fails.
    pub fn add_photo(
        &mut self,
        job: Option<&str>,
        said: &AddPhoto,
        bytes: &[u8],
        by: Option<&str>,
    ) -> Result<PhotoAdded, Refusal> {
        let id = self.choose(job)?;
        let stamp = self.stamp(by)?;
        let taken_in = photo::take_in(bytes)?;
        let records = self.job(id)?.records();
        let about = about_called(records, said.point.as_deref(), said.reading.as_deref())?;
        let leaves_as = PhotoId::from_bytes(taken_in.leaves_as).to_string();
        // The same picture with and without where it was taken is one photo.
        let known = records
            .photos
            .iter()
            .find(|(_, record)| record.leaves_as == leaves_as);
        let already = known.is_some();
        let id_of = |entry: &EntryId| entry.as_str().parse::<PhotoId>().ok();
        let photo_id = known.and_then(|(entry, _)| id_of(entry)).unwrap_or(taken_in.id);
        let entry = EntryId::parse(&photo_id.to_string()).expect("hexadecimal letters are an entry");
        self.keep_picture(photo_id, &taken_in, bytes)?;
        let edit = Edit::AddPhoto(PhotoText {
            photo: entry.clone(),
            media_type: word_of(taken_in.media_type).to_owned(),
            width: taken_in.width,
            height: taken_in.height,
            bytes: bytes.len() as u64,
            leaves_as,
            name: said.file.clone(),
            taken: taken_in.taken.clone().unwrap_or_default(),
            caption: said.caption.clone(),
            about,
        });
        self.change(id, |job| job.apply(&edit, &stamp))?;
        let lines = self.photo_lines(id)?;
        let photo = lines
            .into_iter()
            .find(|line| line.id == entry.as_str())
            .expect("it was added just now");
        Ok(PhotoAdded { photo, already })
    }

    /// The photos of a job in the order in which they were added, removed ones too.
    ///
    /// # Errors
    /// Where there is no such job.
    pub fn photos(&mut self, job: Option<&str>) -> Result<Vec<PhotoLine>, Refusal> {
        let id = self.choose(job)?;
        self.photo_lines(id)
    }

    /// One picture of a photo, with its media type.
    ///
    /// # Errors
    /// Where there is no such photo, or its picture is not on this device or damaged.
    pub fn photo(
        &mut self,
        job: Option<&str>,
        photo: &str,
        size: PhotoSize,
    ) -> Result<(&'static str, Vec<u8>), Refusal> {
        let id = self.choose(job)?;
        let records = self.job(id)?.records();
        let entry = photo_called(records, photo)?;
        self.picture_of(&entry, size)
    }

    /// One picture of a photo by its hash alone, whichever job has it, with its media type.
    ///
    /// # Errors
    /// Where that is no hash, or the picture is not on this device or damaged.
    pub fn picture(&self, photo: &str, size: PhotoSize) -> Result<(&'static str, Vec<u8>), Refusal> {
        let id: PhotoId = photo
            .parse()
            .map_err(|error: photo::PhotoIdError| Refusal::new(Code::BadRequest, error.to_string()))?;
        if !self.store.has_photo(id.as_bytes())? {
            return Err(not_here(photo));
        }
        self.kept_picture(id.as_bytes(), size)
    }

    pub(super) fn picture_of(
        &self,
        entry: &EntryId,
        size: PhotoSize,
    ) -> Result<(&'static str, Vec<u8>), Refusal> {
        let Some(name) = entry
            .as_str()
            .parse::<PhotoId>()
            .ok()
            .filter(|_| self.is_here(entry).unwrap_or(false))
        else {
            return Err(not_here(entry.as_str()));
        };
        self.kept_picture(name.as_bytes(), size)
    }

    fn kept_picture(&self, name: &[u8; 32], size: PhotoSize) -> Result<(&'static str, Vec<u8>), Refusal> {
        let jpeg = photo::MediaType::Jpeg.mime();
        match size {
            PhotoSize::Small => Ok((jpeg, self.small(name, Thumbnail::Small)?)),
            PhotoSize::Large => Ok((jpeg, self.small(name, Thumbnail::Large)?)),
            PhotoSize::Original => {
                let kept = self.store.photo(name)?;
                Ok((known_type(&kept.media_type), kept.bytes))
            }
            PhotoSize::ToLeave => {
                let kept = self.store.photo(name)?;
                Ok((known_type(&kept.media_type), photo::to_leave(&kept.bytes)?))
            }
        }
    }

    /// A small picture; made again where a recovery saved the photo alone.
    fn small(&self, name: &[u8; 32], which: Thumbnail) -> Result<Vec<u8>, Refusal> {
        match self.store.thumbnail(name, which) {
            Err(store::PhotoError::NoThumbnail { .. }) => {
                let made = photo::take_in(&self.store.photo(name)?.bytes)?;
                Ok(if which == Thumbnail::Small {
                    made.small
                } else {
                    made.large
                })
            }
            other => Ok(other?),
        }
    }

    /// Whether the picture is on this device, the original or what another one let go of it.
    pub(super) fn is_here(&self, entry: &EntryId) -> Result<bool, Refusal> {
        match entry.as_str().parse::<PhotoId>() {
            Ok(id) => Ok(self.store.has_photo(id.as_bytes())?),
            Err(_) => Ok(false),
        }
    }

    /// Keeps a picture under the id of the original, whether it is the original or what left of it.
    pub(super) fn keep_picture(
        &mut self,
        id: PhotoId,
        photo: &photo::Photo,
        bytes: &[u8],
    ) -> Result<(), Refusal> {
        self.store.put_photo(&PhotoRow {
            id: *id.as_bytes(),
            media_type: photo.media_type.mime(),
            width: photo.width,
            height: photo.height,
            bytes,
            small: &photo.small,
            large: &photo.large,
        })?;
        Ok(())
    }

    pub(super) fn photo_lines(&mut self, id: ledger::JobId) -> Result<Vec<PhotoLine>, Refusal> {
        let records = self.job(id)?.records().clone();
        let mut photos: Vec<(&EntryId, &PhotoRecord)> = records.photos.iter().collect();
        photos.sort_by_key(|(id, record)| (record.made, *id));
        photos
            .into_iter()
            .map(|(entry, record)| {
                let here = self.is_here(entry)?;
                Ok(line_of(&records, entry, record, here))
            })
            .collect()
    }
}

fn line_of(records: &Records, entry: &EntryId, record: &PhotoRecord, here: bool) -> PhotoLine {
    let labels = records.labels();
    let label = |point: &EntryId| labels.get(records.mark(point)).cloned().unwrap_or_default();
    let about = |room: Room| {
        record
            .about
            .as_ref()
            .filter(|about| about.room == room)
            .map(|about| &about.entry)
    };
    let pins = records
        .pins
        .iter()
        .filter(|(_, pin)| pin.photo == *entry && !pin.removed);
    PhotoLine {
        id: entry.to_string(),
        width: record.width,
        height: record.height,
        bytes: record.bytes,
        file: record.name.clone(),
        taken: record.taken.clone(),
        caption: record.caption.clone(),
        point: about(Room::Points).map(label),
        reading: about(Room::Readings).and_then(|reading| records.reading_name(reading)),
        by: record.by.clone(),
        removed: record.removed,
        here,
        pins: pins
            .map(|(id, pin)| PinLine {
                id: id.to_string(),
                point: pin.point.as_ref().map(label).unwrap_or_default(),
                note: pin.note.clone(),
                x: pin.x,
                y: pin.y,
            })
            .collect(),
    }
}

fn word_of(media_type: photo::MediaType) -> &'static str {
    match media_type {
        photo::MediaType::Jpeg => "jpeg",
        photo::MediaType::Png => "png",
        photo::MediaType::Webp => "webp",
    }
}

/// The media type that a photo was kept with.
fn known_type(kept: &str) -> &'static str {
    let all = [photo::MediaType::Png, photo::MediaType::Webp];
    let known = all
        .into_iter()
        .map(photo::MediaType::mime)
        .find(|mime| *mime == kept);
    known.unwrap_or(photo::MediaType::Jpeg.mime())
}

fn not_here(photo: &str) -> Refusal {
    let short = photo.get(..SHORT).unwrap_or(photo);
    Refusal::new(
        Code::PhotoNotHere,
        format!(
            "the picture of photo `{short}` is not on this device: take in a job file from the one that has it"
        ),
    )
}

/// As many letters of an id as people are shown.
const SHORT: usize = 12;

/// The ending of a photo's file.
pub(super) fn extension(media_type: &str) -> &'static str {
    match media_type {
        "png" => "png",
        "webp" => "webp",
        _ => "jpg",
    }
}

/// As much of an id as people are shown.
pub(super) fn short(entry: &EntryId) -> &str {
    entry.as_str().get(..SHORT).unwrap_or(entry.as_str())
}
