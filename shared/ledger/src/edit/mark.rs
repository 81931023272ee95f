//! Edits on points as marks: another label, two that are one, one that is two again.

use survey::Label;

use super::describe::no_such;
use super::{EditError, Writing};
use crate::schema::{EntryId, Room};

impl Writing<'_> {
    pub(super) fn rename_point(&mut self, point: &EntryId, label: &str) -> Result<(), EditError> {
        let label = Label::new(label).ok_or(EditError::Nameless)?;
        self.there(point)?;
        let taken = self
            .records
            .point_labelled(&label)
            .filter(|other| *other != point);
        // The label of a point that was joined into this one may come back to it.
        if taken.is_some_and(|other| self.records.mark(other) != point) {
            return Err(EditError::LabelTaken {
                label: label.to_string(),
            });
        }
        self.put(Room::Points, point, "label", label.as_str());
        Ok(())
    }

    pub(super) fn join_points(&mut self, point: &EntryId, into: &EntryId) -> Result<(), EditError> {
        self.there(point)?;
        self.there(into)?;
        // Both may be joined with others by now: it is their marks that become one.
        let (from, to) = (self.records.mark(point).clone(), self.records.mark(into).clone());
        if from == to {
            let label = |point| {
                let record = self.records.point(point);
                record.map_or_else(String::new, |record| record.label.to_string())
            };
            return Err(match point == into {
                true => EditError::SamePoint(label(point)),
                false => EditError::OneMarkAlready {
                    from: label(point),
                    into: label(into),
                },
            });
        }
        self.put(Room::Points, &from, "joined", to.as_str());
        Ok(())
    }

    pub(super) fn split_point(&mut self, point: &EntryId) -> Result<(), EditError> {
        self.there(point)?;
        match self.records.point(point) {
            Some(record) if record.joined.is_none() => Err(EditError::NotJoined(record.label.to_string())),
            _ => {
                self.empty(Room::Points, point, "joined");
                Ok(())
            }
        }
    }

    fn there(&self, point: &EntryId) -> Result<(), EditError> {
        let known = self.records.point(point);
        known.map(|_| ()).ok_or_else(|| no_such(Room::Points, point))
    }
}
