//! The instruments sheet.

use std::collections::BTreeMap;

use super::Origin;
use super::SheetText;
use super::cells::{self, Cell};
use super::table::{Columns, Row, each_row};
use super::told::{Told, quoted};
use crate::{Class, Instrument, InstrumentKind, LengthUnit, Quantity, parse_angle, parse_length};

pub(super) const COLUMNS: Columns = Columns {
    known: &[
        "name",
        "kind",
        "class",
        "graduation",
        "zero_offset",
        "case_length",
        "point_sd",
        "sd",
        "note",
    ],
    needed: &["name", "kind"],
    free_text: &["note"],
};

/// The instruments that could be read, and the rows of those that could not.
#[derive(Default)]
pub(super) struct Known {
    pub(super) instruments: Vec<Instrument>,
    /// Where each name stands in the sheet, and in `instruments` if it could be read.
    places: BTreeMap<String, (usize, Option<usize>)>,
}

impl Known {
    /// The row of the instrument of that name, and its index where it could be read.
    pub(super) fn find(&self, name: &str) -> Option<(usize, Option<usize>)> {
        self.places.get(name).copied()
    }
}

/// Reads the instruments; nothing where the sheet cannot be used.
pub(super) fn read(sheet: &SheetText<'_>, unit: Option<LengthUnit>, origin: Origin) -> (Option<Known>, Told) {
    let mut told = Told::about(sheet.name, origin);
    let mut known = Known::default();
    each_row(sheet, &COLUMNS, &mut told, |row, told| {
        let name = cells::name(row, "name");
        let instrument = read_row(row, &name, unit, told);
        if name.is_empty() {
            return;
        }
        if let Some((first, _)) = known.places.get(&name) {
            let reason = format!("{} stands in rows {first} and {}", quoted(&name), row.number);
            told.sheet(Some(row.number), Some("name"), reason);
            return;
        }
        let index = instrument.map(|instrument| {
            known.instruments.push(instrument);
            known.instruments.len() - 1
        });
        known.places.insert(name, (row.number, index));
    });
    ((!told.stops()).then_some(known), told)
}

fn read_row(row: &Row<'_>, name: &str, unit: Option<LengthUnit>, told: &mut Told) -> Option<Instrument> {
    if name.is_empty() {
        told.row(
            row.number,
            Some("name"),
            "is empty: every instrument needs a name",
        );
    }
    let kind = read_kind(row, told);
    let class = read_class(row, told);
    let graduation = read_graduation(row, kind, unit, told);
    let zero_offset = cells::length(row, "zero_offset", unit, told);
    let case_length = cells::length(row, "case_length", unit, told).unless(
        row,
        "case_length",
        told,
        |mm| mm <= 0.0,
        "is no length of a case: it must be more than 0",
    );
    let point_sd = cells::length(row, "point_sd", unit, told).unless(
        row,
        "point_sd",
        told,
        |mm| mm < 0.0,
        "is negative, and a standard deviation is not",
    );
    let sd = read_sd(row, kind, unit, told);

    let plain = Instrument::named(name, kind?);
    let case_length_mm = match case_length {
        Cell::Empty => None,
        cell => Some(cell.value()?),
    };
    let (sd, sd_quantity) = match sd? {
        Some((value, quantity)) => (Some(value), quantity),
        None => (None, plain.sd_quantity),
    };
    if name.is_empty() {
        return None;
    }
    Some(Instrument {
        class: class?,
        graduation_mm: graduation.or(plain.graduation_mm)?,
        zero_offset_mm: zero_offset.or(0.0)?,
        case_length_mm,
        point_sd_mm: point_sd.or(plain.point_sd_mm)?,
        sd,
        sd_quantity,
        ..plain
    })
}

fn read_kind(row: &Row<'_>, told: &mut Told) -> Option<InstrumentKind> {
    let text = row.cell("kind");
    let kind = InstrumentKind::from_word(&text.to_lowercase());
    if kind.is_none() {
        let words = InstrumentKind::ALL.map(InstrumentKind::word).join(", ");
        told.row(
            row.number,
            Some("kind"),
            match text {
                "" => format!("is empty: write one of {words}"),
                text => format!("{} is no kind of instrument: write one of {words}", quoted(text)),
            },
        );
    }
    kind
}

fn read_class(row: &Row<'_>, told: &mut Told) -> Option<Class> {
    let text = row.cell("class");
    if text.is_empty() {
        return Some(Class::II);
    }
    let class = Class::from_word(&text.to_uppercase());
    if class.is_none() {
        told.row(
            row.number,
            Some("class"),
            format!("{} is no accuracy class: write I, II or III", quoted(text)),
        );
    }
    class
}

fn read_graduation(
    row: &Row<'_>,
    kind: Option<InstrumentKind>,
    unit: Option<LengthUnit>,
    told: &mut Told,
) -> Cell {
    let shows_angles = matches!(kind, Some(InstrumentKind::Finder | InstrumentKind::Level));
    if shows_angles && parse_angle(row.cell("graduation"), false).is_ok() {
        told.note(
            Some(row.number),
            Some("graduation"),
            "the graduation of an angle is not used: give its sd",
        );
        return Cell::Empty;
    }
    cells::length(row, "graduation", unit, told).unless(
        row,
        "graduation",
        told,
        |mm| mm <= 0.0,
        "is no graduation: the smallest mark must be more than 0",
    )
}

/// The standard deviation and what it is of; `None` where it is bad, `Some(None)` where there is none.
fn read_sd(
    row: &Row<'_>,
    kind: Option<InstrumentKind>,
    unit: Option<LengthUnit>,
    told: &mut Told,
) -> Option<Option<(f64, Quantity)>> {
    let text = row.cell("sd");
    let as_angle = match kind {
        Some(InstrumentKind::Finder) => true,
        Some(InstrumentKind::Level) => {
            if parse_angle(text, true).is_ok() && parse_length(text, Some(LengthUnit::Millimetre)).is_ok() {
                let reason = format!(
                    "{} may be a length or an angle: write mm, in or deg after it",
                    quoted(text)
                );
                told.row(row.number, Some("sd"), reason);
                return None;
            }
            parse_angle(text, false).is_ok()
        }
        _ => false,
    };
    let cell = if as_angle {
        cells::angle(row, "sd", unit, told)
    } else {
        cells::length(row, "sd", unit, told)
    };
    match cell.unless(
        row,
        "sd",
        told,
        |sd| sd <= 0.0,
        "is no standard deviation: it must be more than 0",
    ) {
        Cell::Empty => Some(None),
        Cell::Bad => None,
        Cell::Value(sd) => Some(Some((
            sd,
            if as_angle {
                Quantity::Angle
            } else {
                Quantity::Length
            },
        ))),
    }
}
