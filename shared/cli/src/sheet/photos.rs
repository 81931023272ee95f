//! The photos of a job.

use desk::{PhotoAdded, PhotoLine};

use super::{Page, counted};
use crate::look::Look;

/// As much of an id as people are shown.
const SHORT: usize = 12;

/// A photo that was added.
pub(crate) fn photo_added(added: &PhotoAdded, look: Look) -> String {
    let mut page = Page::new(look);
    page.line(match added.already {
        true => "The same picture was there already:",
        false => "Added:",
    });
    page.photo(&added.photo);
    page.text
}

/// The photos of a job in the order in which they were added.
pub(crate) fn photos_laid_out(photos: &[PhotoLine], look: Look) -> String {
    let mut page = Page::new(look);
    page.line(&match photos.len() {
        0 => "There is no photo in this job yet.".to_owned(),
        count => format!("{}:", counted(count, "photo")),
    });
    for photo in photos {
        page.photo(photo);
    }
    page.text
}

impl Page {
    fn photo(&mut self, photo: &PhotoLine) {
        let id: String = photo.id.chars().take(SHORT).collect();
        let caption = match photo.caption.is_empty() {
            true => photo.file.as_str(),
            false => photo.caption.as_str(),
        };
        self.paragraph(caption, &format!("  {id}  "));
        let mut facts = vec![
            format!("{} x {} px", photo.width, photo.height),
            size(photo.bytes),
        ];
        if !photo.caption.is_empty() && !photo.file.is_empty() {
            facts.push(photo.file.clone());
        }
        if !photo.taken.is_empty() {
            facts.push(format!("taken {}", photo.taken));
        }
        if !photo.by.is_empty() {
            facts.push(format!("added by {}", photo.by));
        }
        let indent = " ".repeat(SHORT + 4);
        self.paragraph(&format!("{}.", facts.join(", ")), &indent);
        if let Some(what) = photo.point.as_ref().or(photo.reading.as_ref()) {
            self.paragraph(&format!("Of {what}."), &indent);
        }
        for pin in &photo.pins {
            let what = match pin.point.is_empty() {
                true => format!("\u{201c}{}\u{201d}, not tied to a point yet,", pin.note),
                false => pin.point.clone(),
            };
            self.paragraph(&format!("Pinned: {what} at {}, {}.", pin.x, pin.y), &indent);
        }
        if photo.removed {
            self.paragraph("Taken out. photo bring-back brings it back.", &indent);
        }
        if !photo.here {
            self.paragraph(
                "The picture is not on this device; a job file from the one that has it brings it.",
                &indent,
            );
        }
    }
}

fn size(bytes: i64) -> String {
    match bytes {
        ..1_000 => format!("{bytes} bytes"),
        1_000..1_000_000 => format!("{} kB", bytes / 1_000),
        _ => format!("{}.{} MB", bytes / 1_000_000, bytes / 100_000 % 10),
    }
}
