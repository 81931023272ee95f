//! Edits on readings: log, set aside, keep, bring back, correct.

use survey::{Kind, Label, Quantity};

use super::describe::no_such;
use super::{CorrectionText, EditError, ReadingText, Writing};
use crate::records::ReadingRecord;
use crate::schema::{EntryId, Room};
use crate::sheets::{check_reading, instrument_row, with_unit};

impl<'a> Writing<'a> {
    pub(super) fn log_reading(&mut self, text: &ReadingText) -> Result<(), EditError> {
        let text = self.with_units(text);
        let name = match text.name.trim() {
            "" => self.next_name(),
            name => name.to_owned(),
        };
        self.usable(&text, &name)?;
        let id = EntryId::of(self.stamp.fresh);
        let by = match text.by.trim() {
            "" => self.stamp.by.clone(),
            by => by.to_owned(),
        };
        self.write_reading(&id, &name, &text, &by)
    }

    /// Writes a reading that was found usable.
    pub(super) fn write_reading(
        &mut self,
        id: &EntryId,
        name: &str,
        text: &ReadingText,
        by: &str,
    ) -> Result<(), EditError> {
        self.begin(Room::Readings, id);
        self.put(Room::Readings, id, "name", name);
        self.put(Room::Readings, id, "kind", text.kind.trim().to_lowercase());
        for (label, field) in text.points.iter().zip(["a", "b", "c", "d"]) {
            let point = self.point(label)?;
            self.put(Room::Readings, id, field, point.as_str());
        }
        self.put(Room::Readings, id, "value", text.value.trim());
        self.some_text(Room::Readings, id, "sd", &text.sd);
        if let Some(instrument) = self.instrument(&text.instrument) {
            self.put(Room::Readings, id, "instrument", instrument.as_str());
        }
        self.some_text(Room::Readings, id, "from", &text.from);
        self.some_text(Room::Readings, id, "add", &text.add);
        for (room, field, name) in [
            (Room::Stands, "stand", &text.stand),
            (Room::Epochs, "epoch", &text.epoch),
        ] {
            if !name.trim().is_empty() {
                let entry = self.named(room, name)?;
                self.put(Room::Readings, id, field, entry.as_str());
            }
        }
        self.some_text(Room::Readings, id, "note", &text.note);
        self.some_text(Room::Readings, id, "by", by);
        if !by.trim().is_empty() {
            self.named(Room::People, by)?;
        }
        Ok(())
    }

    pub(super) fn set_state(&mut self, reading: &EntryId, state: &str, why: &str) -> Result<(), EditError> {
        self.reading(reading)?;
        self.text(Room::Readings, reading, "state", state);
        self.text(Room::Readings, reading, "why", why);
        Ok(())
    }

    pub(super) fn correct(
        &mut self,
        reading: &EntryId,
        correction: &CorrectionText,
        why: &str,
    ) -> Result<(), EditError> {
        let record = self.reading(reading)?;
        let labels = self.records.labels();
        let instruments = self
            .records
            .instruments
            .iter()
            .map(|(id, i)| (id.clone(), i.name.clone()))
            .collect();
        let before = self
            .records
            .reading_row(record, &record.name, &labels, &instruments);
        let said =
            |field: &Option<String>, place: usize| field.clone().unwrap_or_else(|| before[place].clone());
        let points = correction.points.clone().unwrap_or_else(|| {
            before[2..6]
                .iter()
                .filter(|label| !label.is_empty())
                .cloned()
                .collect()
        });
        let after = self.with_units(&ReadingText {
            name: record.name.clone(),
            kind: said(&correction.kind, 1),
            points,
            value: said(&correction.value, 6),
            sd: said(&correction.sd, 7),
            instrument: said(&correction.instrument, 8),
            from: said(&correction.from, 9),
            add: said(&correction.add, 10),
            stand: said(&correction.stand, 11),
            epoch: said(&correction.epoch, 12),
            note: said(&correction.note, 16),
            by: String::new(),
        });
        self.usable(&after, "r")?;

        let plain = [
            ("kind", &correction.kind, after.kind.to_lowercase()),
            ("value", &correction.value, after.value.clone()),
            ("sd", &correction.sd, after.sd.clone()),
            ("from", &correction.from, after.from.clone()),
            ("add", &correction.add, after.add.clone()),
            ("note", &correction.note, after.note.clone()),
        ];
        for (field, said, now) in plain {
            if said.is_some() {
                self.corrected(reading, field, now.trim());
            }
        }
        if correction.points.is_some() {
            for (place, field) in ["a", "b", "c", "d"].into_iter().enumerate() {
                let point = after
                    .points
                    .get(place)
                    .map(|label| self.point(label))
                    .transpose()?;
                let known = record.logged.points.len() > place;
                if known || point.is_some() {
                    self.corrected(reading, field, point.as_ref().map_or("", EntryId::as_str));
                }
            }
        }
        if correction.instrument.is_some() {
            let instrument = self.instrument(&after.instrument);
            self.corrected(
                reading,
                "instrument",
                instrument.as_ref().map_or("", EntryId::as_str),
            );
        }
        for (room, field, said) in [
            (Room::Stands, "stand", &correction.stand),
            (Room::Epochs, "epoch", &correction.epoch),
        ] {
            if let Some(name) = said {
                let entry = if name.trim().is_empty() {
                    None
                } else {
                    Some(self.named(room, name)?)
                };
                self.corrected(reading, field, entry.as_ref().map_or("", EntryId::as_str));
            }
        }
        self.text(Room::Readings, reading, "now.why", why);
        Ok(())
    }

    /// What a field is now. Empty text stands in the register: it says that the field was emptied, and what was logged
    /// stays where it is.
    fn corrected(&mut self, reading: &EntryId, field: &str, now: &str) {
        self.put(Room::Readings, reading, &format!("now.{field}"), now);
    }

    fn reading(&self, reading: &EntryId) -> Result<&'a ReadingRecord, EditError> {
        let known = self.records.readings.get(reading);
        known.ok_or_else(|| no_such(Room::Readings, reading))
    }

    /// Whether the sheet reader takes it, and its points are different marks.
    fn usable(&self, text: &ReadingText, name: &str) -> Result<(), EditError> {
        let instrument = self.known_instrument(&text.instrument);
        check_reading(row_of(text, name), instrument).map_err(EditError::Unusable)?;
        let mut seen = Vec::new();
        for label in &text.points {
            let known = Label::new(label).and_then(|label| self.records.point_labelled(&label));
            if let Some(mark) = known.map(|point| self.records.mark(point)) {
                if seen.contains(&mark) {
                    return Err(EditError::SamePoint(label.trim().to_owned()));
                }
                seen.push(mark);
            }
        }
        Ok(())
    }

    fn known_instrument(&self, name: &str) -> Option<Vec<String>> {
        let record = self
            .instrument(name)
            .and_then(|id| self.records.instruments.get(&id))?;
        Some(instrument_row(record, &record.name))
    }

    /// Bare numbers with the unit that is in force: they shall mean the same when it is another one.
    fn with_units(&self, text: &ReadingText) -> ReadingText {
        let unit = self.records.job.unit;
        let kind = Kind::from_word(&text.kind.trim().to_lowercase());
        let quantity = kind.map_or(Quantity::Length, Kind::quantity);
        ReadingText {
            value: with_unit(&text.value, quantity, unit),
            sd: with_unit(&text.sd, quantity, unit),
            add: with_unit(&text.add, Quantity::Length, unit),
            ..text.clone()
        }
    }

    fn next_name(&self) -> String {
        let numbers = self
            .records
            .readings
            .values()
            .filter_map(|record| record.name.strip_prefix('r')?.parse().ok());
        format!("r{:03}", numbers.max().unwrap_or(0u32).saturating_add(1))
    }
}

/// A reading as a row of the sheet.
pub(crate) fn row_of(text: &ReadingText, name: &str) -> Vec<String> {
    let point = |place: usize| text.points.get(place).cloned().unwrap_or_default();
    vec![
        name.to_owned(),
        text.kind.clone(),
        point(0),
        point(1),
        point(2),
        point(3),
        text.value.clone(),
        text.sd.clone(),
        text.instrument.clone(),
        text.from.clone(),
        text.add.clone(),
        text.stand.clone(),
        text.epoch.clone(),
        String::new(),
        text.by.clone(),
        String::new(),
        text.note.clone(),
    ]
}
