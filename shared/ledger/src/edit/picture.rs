//! Edits on photos and pins.

use super::describe::no_such;
use super::{EditError, PhotoText, Writing};
use crate::records::About;
use crate::registers::Value;
use crate::schema::{EntryId, Room};

impl Writing<'_> {
    pub(super) fn add_photo(&mut self, text: &PhotoText) -> Result<(), EditError> {
        let id = &text.photo;
        if let Some(about) = &text.about {
            self.can_be_about(about)?;
        }
        if self.records.photos.contains_key(id) {
            // The same picture again: it is there once, and comes back where it was taken out.
            self.empty(Room::Photos, id, "removed");
            self.some_text(Room::Photos, id, "caption", &text.caption);
            if let Some(about) = &text.about {
                self.put(Room::Photos, id, "about", about.to_string());
            }
            return Ok(());
        }
        self.begin(Room::Photos, id);
        self.put(Room::Photos, id, "media_type", text.media_type.as_str());
        self.put(Room::Photos, id, "width", Value::Whole(i64::from(text.width)));
        self.put(Room::Photos, id, "height", Value::Whole(i64::from(text.height)));
        let bytes = i64::try_from(text.bytes).unwrap_or(i64::MAX);
        self.put(Room::Photos, id, "bytes", Value::Whole(bytes));
        self.put(Room::Photos, id, "leaves_as", text.leaves_as.as_str());
        self.some_text(Room::Photos, id, "name", &text.name);
        self.some_text(Room::Photos, id, "taken", &text.taken);
        self.some_text(Room::Photos, id, "caption", &text.caption);
        let by = self.stamp.by.clone();
        self.some_text(Room::Photos, id, "by", &by);
        if let Some(about) = &text.about {
            self.put(Room::Photos, id, "about", about.to_string());
        }
        Ok(())
    }

    pub(super) fn caption_photo(&mut self, photo: &EntryId, caption: &str) -> Result<(), EditError> {
        self.photo_there(photo)?;
        self.text(Room::Photos, photo, "caption", caption);
        Ok(())
    }

    pub(super) fn set_photo_about(
        &mut self,
        photo: &EntryId,
        about: Option<&About>,
    ) -> Result<(), EditError> {
        self.photo_there(photo)?;
        if let Some(about) = about {
            self.can_be_about(about)?;
        }
        self.text(
            Room::Photos,
            photo,
            "about",
            &about.map(About::to_string).unwrap_or_default(),
        );
        Ok(())
    }

    pub(super) fn remove_photo(&mut self, photo: &EntryId, removed: bool) -> Result<(), EditError> {
        self.photo_there(photo)?;
        let by = self.stamp.by.clone();
        self.flag(Room::Photos, photo, removed.then_some(by));
        Ok(())
    }

    pub(super) fn pin_photo(
        &mut self,
        photo: &EntryId,
        point: &str,
        note: &str,
        [x, y]: [f64; 2],
    ) -> Result<(), EditError> {
        self.photo_there(photo)?;
        in_picture(x, y)?;
        let point = match (point.trim(), note.trim()) {
            ("", "") => return Err(EditError::PinOfNothing),
            ("", _) => None,
            (label, _) => Some(self.point(label)?),
        };
        let id = EntryId::of(self.stamp.fresh);
        self.begin(Room::Pins, &id);
        self.put(Room::Pins, &id, "photo", photo.as_str());
        if let Some(point) = point {
            self.put(Room::Pins, &id, "point", point.as_str());
        }
        self.some_text(Room::Pins, &id, "note", note);
        self.place(&id, x, y);
        Ok(())
    }

    pub(super) fn tie_pin(&mut self, pin: &EntryId, point: &str) -> Result<(), EditError> {
        self.pin_there(pin)?;
        let point = self.point(point)?;
        self.put(Room::Pins, pin, "point", point.as_str());
        Ok(())
    }

    pub(super) fn move_pin(&mut self, pin: &EntryId, x: f64, y: f64) -> Result<(), EditError> {
        self.pin_there(pin)?;
        in_picture(x, y)?;
        self.place(pin, x, y);
        Ok(())
    }

    pub(super) fn remove_pin(&mut self, pin: &EntryId, removed: bool) -> Result<(), EditError> {
        self.pin_there(pin)?;
        let by = self.stamp.by.clone();
        self.flag(Room::Pins, pin, removed.then_some(by));
        Ok(())
    }

    fn place(&mut self, pin: &EntryId, x: f64, y: f64) {
        self.put(Room::Pins, pin, "x", Value::Number(x));
        self.put(Room::Pins, pin, "y", Value::Number(y));
    }

    /// Removed by somebody, or not.
    fn flag(&mut self, room: Room, entry: &EntryId, by: Option<String>) {
        match by {
            Some(by) => self.put(room, entry, "removed", by),
            None => self.empty(room, entry, "removed"),
        }
    }

    fn photo_there(&self, photo: &EntryId) -> Result<(), EditError> {
        let there = self.records.photos.contains_key(photo);
        there.then_some(()).ok_or_else(|| no_such(Room::Photos, photo))
    }

    fn pin_there(&self, pin: &EntryId) -> Result<(), EditError> {
        let there = self.records.pins.contains_key(pin);
        there.then_some(()).ok_or_else(|| no_such(Room::Pins, pin))
    }

    fn can_be_about(&self, about: &About) -> Result<(), EditError> {
        let there = match about.room {
            Room::Points => self.records.point(&about.entry).is_some(),
            _ => self.records.readings.contains_key(&about.entry),
        };
        there
            .then_some(())
            .ok_or_else(|| no_such(about.room, &about.entry))
    }
}

fn in_picture(x: f64, y: f64) -> Result<(), EditError> {
    let inside = (0.0..=1.0).contains(&x) && (0.0..=1.0).contains(&y);
    inside.then_some(()).ok_or(EditError::OutsideThePicture)
}
