//! Edits that describe: the job, names, instruments, points, lines that cannot be taped.

use std::collections::BTreeMap;

use survey::{Frame, Label, Problem, Quantity};

use super::write::free;
use super::{EditError, InstrumentText, JobText, PointText, Writing};
use crate::records::{AxesKind, CrookedRecord, FrameRecord, InstrumentRecord, Made};
use crate::registers::Value;
use crate::schema::{EntryId, GONE, ONLY, Room};
use crate::sheets::{check_instrument, check_point, instrument_row, with_unit};

impl Writing<'_> {
    pub(super) fn job_text(&mut self, field: &str, text: &str) {
        if let Some(job) = EntryId::parse(ONLY) {
            self.text(Room::Job, &job, field, text);
        }
    }

    pub(super) fn set_job(&mut self, text: &JobText) -> Result<(), EditError> {
        if let Some(name) = &text.name {
            self.name_job(name)?;
        }
        if let Some(unit) = text.unit {
            self.job_text("unit", crate::records::word_of_unit(unit));
        }
        if let Some(frame) = &text.frame {
            self.set_frame(frame.as_ref())?;
        }
        if let Some(above) = &text.above {
            self.set_above(above.as_deref())?;
        }
        Ok(())
    }

    fn name_job(&mut self, name: &str) -> Result<(), EditError> {
        let name = Label::new(name).ok_or(EditError::Nameless)?;
        self.job_text("name", name.as_str());
        Ok(())
    }

    fn set_frame(&mut self, frame: Option<&Frame>) -> Result<(), EditError> {
        let (kind, labels) = match frame {
            None => {
                self.job_text("frame", "");
                return Ok(());
            }
            Some(Frame::Bench) => (AxesKind::Bench, vec![]),
            Some(Frame::Three { origin, ahead, left }) => (AxesKind::Three, vec![origin, ahead, left]),
            Some(Frame::Plumb { origin, ahead, left }) => (AxesKind::Plumb, vec![origin, ahead, left]),
            Some(Frame::Centreline { origin, ahead, above }) => {
                (AxesKind::Centreline, vec![origin, ahead, above])
            }
        };
        let points = labels.into_iter().map(|label| self.known_point(label.as_str()));
        let points = points.collect::<Result<Vec<_>, _>>()?;
        self.job_text("frame", &FrameRecord { kind, points }.to_string());
        Ok(())
    }

    fn set_above(&mut self, label: Option<&str>) -> Result<(), EditError> {
        let point = label.map(|label| self.known_point(label)).transpose()?;
        self.job_text("above", point.as_ref().map_or("", EntryId::as_str));
        Ok(())
    }

    pub(super) fn take_crooked(&mut self, crooked: &CrookedRecord) {
        self.job_text("crooked", &crooked.to_string());
        self.job_text("crooked_why", &crooked.why);
    }

    pub(super) fn rename(&mut self, room: Room, entry: &EntryId, name: &str) -> Result<(), EditError> {
        let name = Label::new(name).ok_or(EditError::Nameless)?;
        let names: BTreeMap<&EntryId, &str> = match room {
            Room::People | Room::Stands | Room::Epochs => self
                .names(room)
                .iter()
                .map(|(id, record)| (id, record.name.as_str()))
                .collect(),
            Room::Instruments => self
                .records
                .instruments
                .iter()
                .map(|(id, record)| (id, record.name.as_str()))
                .collect(),
            _ => return Err(EditError::NoNameToChange(room)),
        };
        if !names.contains_key(entry) {
            return Err(no_such(room, entry));
        }
        if names
            .iter()
            .any(|(id, taken)| *id != entry && *taken == name.as_str())
        {
            return Err(EditError::NameTaken {
                name: name.to_string(),
            });
        }
        self.put(room, entry, "name", name.as_str());
        Ok(())
    }

    pub(super) fn describe_instrument(&mut self, name: &str, text: &InstrumentText) -> Result<(), EditError> {
        let known = self
            .instrument(name)
            .and_then(|id| self.records.instruments.get(&id));
        let mut after = known
            .cloned()
            .unwrap_or_else(|| InstrumentRecord::bare(name.trim()));
        let angles = matches!(text.kind.as_deref().unwrap_or(&after.kind), "finder");
        let sd_quantity = if angles { Quantity::Angle } else { Quantity::Length };
        let unit = self.records.job.unit;
        let said = [
            ("kind", &text.kind, None, &mut after.kind),
            ("class", &text.class, None, &mut after.class),
            (
                "graduation",
                &text.graduation,
                Some(Quantity::Length),
                &mut after.graduation,
            ),
            (
                "zero_offset",
                &text.zero_offset,
                Some(Quantity::Length),
                &mut after.zero_offset,
            ),
            (
                "case_length",
                &text.case_length,
                Some(Quantity::Length),
                &mut after.case_length,
            ),
            (
                "point_sd",
                &text.point_sd,
                Some(Quantity::Length),
                &mut after.point_sd,
            ),
            ("sd", &text.sd, Some(sd_quantity), &mut after.sd),
            ("note", &text.note, None, &mut after.note),
        ];
        let mut writes = Vec::new();
        for (field, said, quantity, place) in said {
            if let Some(said) = said {
                *place = quantity.map_or_else(|| said.trim().to_owned(), |q| with_unit(said, q, unit));
                writes.push((field, place.clone()));
            }
        }
        check_instrument(instrument_row(&after, name)).map_err(EditError::Unusable)?;
        let id = self.instrument_or_new(name)?;
        for (field, text) in writes {
            self.text(Room::Instruments, &id, field, &text);
        }
        Ok(())
    }

    /// Every point is begun before any is described, so that partners may stand in any order; people see them in the
    /// order of the list.
    pub(super) fn add_points(&mut self, points: &[(String, PointText)]) -> Result<(), EditError> {
        for (at, (label, _)) in points.iter().enumerate() {
            let label = Label::new(label).ok_or(EditError::Nameless)?;
            let same = |(other, _): &(String, PointText)| Label::new(other).as_ref() == Some(&label);
            if points[..at].iter().any(same) {
                return Err(EditError::SamePoint(label.to_string()));
            }
            self.row = i64::try_from(at + 1).unwrap_or(i64::MAX);
            self.point(label.as_str())?;
        }
        self.row = 0;
        let mut problems = Vec::new();
        for (label, text) in points {
            match self.describe_point(label, text) {
                Err(EditError::Unusable(found)) => {
                    problems.extend(found.into_iter().map(|problem| Problem {
                        reason: format!("{}: {}", label.trim(), problem.reason),
                        ..problem
                    }))
                }
                other => other?,
            }
        }
        if problems.is_empty() {
            Ok(())
        } else {
            Err(EditError::Unusable(problems))
        }
    }

    pub(super) fn describe_point(&mut self, label: &str, text: &PointText) -> Result<(), EditError> {
        let unit = self.records.job.unit;
        let rough = text
            .rough
            .clone()
            .map(|typed| typed.map(|typed| with_unit(&typed, Quantity::Length, unit)));
        let name = Label::new(label).ok_or(EditError::Nameless)?;
        // Checked as the row would stand in the sheet, with the partner's row under it.
        let labels = self.records.labels();
        let known = self.records.point_labelled(&name).map(|id| self.records.mark(id));
        let mut row = known.map_or_else(
            || vec![String::new(); 8],
            |mark| self.records.point_row(mark, &labels),
        );
        let mut set = |place: usize, said: &Option<String>| {
            if let Some(said) = said {
                said.trim().clone_into(&mut row[place]);
            }
        };
        set(0, &Some(name.to_string()));
        set(1, &text.side);
        set(2, &text.mirror);
        rough
            .iter()
            .enumerate()
            .for_each(|(axis, typed)| set(3 + axis, typed));
        set(6, &text.fixed);
        set(7, &text.note);
        let mut rows = vec![row.clone()];
        if !row[2].is_empty() && row[2] != row[0] {
            rows.push(
                std::iter::once(row[2].clone())
                    .chain(vec![String::new(); 7])
                    .collect(),
            );
        }
        check_point(rows).map_err(EditError::Unusable)?;

        let id = self.point(label)?;
        let id = self.records.mark(&id).clone();
        if let Some(partner) = text.mirror.as_deref() {
            let partner = if partner.trim().is_empty() {
                None
            } else {
                Some(self.point(partner)?)
            };
            self.text(
                Room::Points,
                &id,
                "mirror",
                partner.as_ref().map_or("", EntryId::as_str),
            );
            if let Some(partner) = partner {
                self.text(Room::Points, &partner, "mirror", id.as_str());
            }
        }
        for (field, said) in [("side", &text.side), ("fixed", &text.fixed), ("note", &text.note)] {
            if let Some(said) = said {
                self.text(Room::Points, &id, field, said);
            }
        }
        for (axis, typed) in ["x", "y", "z"].into_iter().zip(&rough) {
            if let Some(typed) = typed {
                self.text(Room::Points, &id, axis, typed);
            }
        }
        Ok(())
    }

    pub(super) fn block_line(&mut self, name: &str, a: &str, b: &str, why: &str) -> Result<(), EditError> {
        let (from, to) = (self.point(a)?, self.point(b)?);
        if self.records.mark(&from) == self.records.mark(&to) {
            return Err(EditError::SamePoint(a.trim().to_owned()));
        }
        let (first, second) = if from < to { (&from, &to) } else { (&to, &from) };
        // One line, whichever end it is named from and whoever finds it blocked.
        let id = free(Room::Blocked, &format!("{first} {second}"), |_| false);
        self.begin(Room::Blocked, &id);
        let name = match name.trim() {
            "" => format!("blocked-{}", &id.as_str()[..6]),
            name => name.to_owned(),
        };
        self.put(Room::Blocked, &id, "name", name);
        self.put(Room::Blocked, &id, "a", first.as_str());
        self.put(Room::Blocked, &id, "b", second.as_str());
        self.some_text(Room::Blocked, &id, "why", why);
        Ok(())
    }

    pub(super) fn unblock_line(&mut self, line: &EntryId) -> Result<(), EditError> {
        if !self.records.blocked.contains_key(line) {
            return Err(no_such(Room::Blocked, line));
        }
        let by = self.stamp.by.clone();
        self.put(Room::Blocked, line, GONE, Value::Text(by));
        Ok(())
    }
}

impl InstrumentRecord {
    fn bare(name: &str) -> InstrumentRecord {
        InstrumentRecord {
            name: name.to_owned(),
            kind: String::new(),
            class: String::new(),
            graduation: String::new(),
            zero_offset: String::new(),
            case_length: String::new(),
            point_sd: String::new(),
            sd: String::new(),
            note: String::new(),
            made: Made::default(),
        }
    }
}

pub(super) fn no_such(room: Room, entry: &EntryId) -> EditError {
    EditError::NoSuchEntry {
        room,
        entry: entry.clone(),
    }
}
