//! `trammel photo`.

use std::process::ExitCode;

use desk::{Act, AddPhoto, PhotoLine};

use crate::ask::{PhotoAsk, PhotoWhat, Place};
use crate::at::{self, Done};
use crate::job::did;
use crate::look::Look;
use crate::{files, sheet};

/// Does what is asked of photos.
pub(crate) fn run(place: &Place, asked: &PhotoAsk) -> Done {
    let job = place.job.as_deref();
    let act = match &asked.what {
        PhotoWhat::Add {
            file,
            caption,
            point,
            reading,
        } => {
            let bytes = files::read_photo(file)?;
            let name = file.file_name().unwrap_or_default();
            let said = AddPhoto {
                file: name.to_string_lossy().into_owned(),
                caption: caption.clone(),
                point: point.clone(),
                reading: reading.clone(),
            };
            return at::write(place, |desk, by| {
                let added = desk.add_photo(job, &said, &bytes, by)?;
                files::print(&sheet::photo_added(&added, Look::of_stdout()))?;
                at::ask_who(desk, by);
                Ok(ExitCode::SUCCESS)
            });
        }
        PhotoWhat::List { json } => {
            return at::look(place, |desk| {
                let photos = desk.photos(job)?;
                match json.wanted {
                    true => files::print_json(&photos)?,
                    false => files::print(&sheet::photos_laid_out(&photos, Look::of_stdout()))?,
                }
                Ok(ExitCode::SUCCESS)
            });
        }
        PhotoWhat::Save { photo, file, size } => {
            return at::look(place, |desk| {
                let (_, bytes) = desk.photo(job, photo, (*size).into())?;
                files::write_new(file, &bytes)?;
                let left_out = match size {
                    crate::ask::Size::Original => "With everything that is in its file.",
                    _ => "Without where it was taken.",
                };
                files::print(&sheet::said(&format!("wrote {}. {left_out}", file.display())))?;
                Ok(ExitCode::SUCCESS)
            });
        }
        PhotoWhat::Pin {
            photo,
            point,
            x,
            y,
            note,
        } => Act::PinPhoto {
            photo: photo.clone(),
            point: point.clone(),
            note: note.clone(),
            x: *x,
            y: *y,
        },
        PhotoWhat::Tie { photo, note, point } => {
            return at::write(place, |desk, by| {
                for pin in pins_of(&desk.photos(job)?, photo, note)? {
                    let point = point.clone();
                    did(desk, job, &Act::TiePin { pin, point }, by)?;
                }
                Ok(ExitCode::SUCCESS)
            });
        }
        PhotoWhat::Unpin { photo, point } => {
            return at::write(place, |desk, by| {
                let pins = pins_of(&desk.photos(job)?, photo, point)?;
                for pin in pins {
                    did(desk, job, &Act::RemovePin { pin }, by)?;
                }
                Ok(ExitCode::SUCCESS)
            });
        }
        PhotoWhat::Caption { photo, caption } => Act::CaptionPhoto {
            photo: photo.clone(),
            caption: caption.clone(),
        },
        PhotoWhat::About {
            photo,
            point,
            reading,
        } => Act::SetPhotoAbout {
            photo: photo.clone(),
            point: point.clone(),
            reading: reading.clone(),
        },
        PhotoWhat::Remove { photo } => Act::RemovePhoto { photo: photo.clone() },
        PhotoWhat::BringBack { photo } => Act::BringPhotoBack { photo: photo.clone() },
    };
    at::write(place, |desk, by| did(desk, job, &act, by))
}

/// The pins of a point, or with that note and no point, on the photo whose id begins so.
fn pins_of(photos: &[PhotoLine], photo: &str, called: &str) -> Result<Vec<String>, String> {
    let pins: Vec<String> = photos
        .iter()
        .filter(|known| photo.len() >= 6 && known.id.starts_with(photo))
        .flat_map(|known| &known.pins)
        .filter(|pin| pin.point == called || pin.point.is_empty() && pin.note == called)
        .map(|pin| pin.id.clone())
        .collect();
    match pins.is_empty() {
        true => Err(format!(
            "no photo whose id begins with {photo} has a pin of {called}: see trammel photo list"
        )),
        false => Ok(pins),
    }
}
