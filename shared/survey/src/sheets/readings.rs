//! The readings sheet.

use std::collections::BTreeMap;

use super::Origin;
use super::SheetText;
use super::cells::{self, Cell};
use super::instruments::Known;
use super::observed::{believable, observe, read_quantity, read_value};
use super::similar::{self, Mention};
use super::table::{Columns, Row, each_row};
use super::told::{Told, quoted};
use crate::{Instrument, Kind, Label, LengthUnit, Point, Quantity, ReadFrom, Reading, State, default_sd};

pub(super) const COLUMNS: Columns = Columns {
    known: &[
        "id",
        "kind",
        "a",
        "b",
        "c",
        "d",
        "value",
        "sd",
        "instrument",
        "from",
        "add",
        "stand",
        "epoch",
        "state",
        "by",
        "at",
        "note",
    ],
    needed: &["id", "kind", "a", "value"],
    free_text: &["by", "at", "note"],
};

const PLACES: [&str; 4] = ["a", "b", "c", "d"];

/// What the rows are read against.
pub(super) struct Context<'a> {
    pub(super) unit: Option<LengthUnit>,
    /// The instruments; nothing where their sheet cannot be used, and then no row is blamed for its instrument.
    pub(super) instruments: Option<&'a Known>,
    pub(super) has_instrument_sheet: bool,
    pub(super) origin: Origin,
}

/// What the readings sheet says.
pub(super) struct Read {
    pub(super) points: Vec<Point>,
    pub(super) readings: Vec<Reading>,
    pub(super) blocked: Vec<[usize; 2]>,
    pub(super) told: Told,
}

/// Reads the readings, and adds to the points those that only they name.
pub(super) fn read(
    sheet: &SheetText<'_>,
    context: &Context<'_>,
    points: Vec<Point>,
    mentions: Vec<Mention>,
) -> Read {
    let mut told = Told::about(sheet.name, context.origin);
    let mut read = Read {
        points,
        readings: Vec::new(),
        blocked: Vec::new(),
        told: Told::default(),
    };
    let mut places: BTreeMap<Label, usize> = read
        .points
        .iter()
        .enumerate()
        .map(|(at, point)| (point.label.clone(), at))
        .collect();
    let known = mentions.len();
    let mut mentions = mentions;
    let mut ids: BTreeMap<String, usize> = BTreeMap::new();
    each_row(sheet, &COLUMNS, &mut told, |row, told| {
        let id = read_id(row, &mut ids, told);
        let content = read_content(row, context, told);
        let (Some(id), Some(content)) = (id, content) else {
            return;
        };
        let points = content.labels.into_iter().zip(PLACES).map(|(label, column)| {
            *places.entry(label.clone()).or_insert_with(|| {
                mentions.push(Mention {
                    label: label.clone(),
                    file: sheet.name.to_owned(),
                    row: row.number,
                    column,
                });
                read.points.push(Point::named(label));
                read.points.len() - 1
            })
        });
        let points: Vec<usize> = points.collect();
        match (content.reading, points.as_slice()) {
            (Some(reading), _) => read.readings.push(Reading {
                id,
                points,
                ..reading
            }),
            (None, &[a, b]) => read.blocked.push([a, b]),
            (None, _) => {}
        }
    });
    similar::tell(&mentions, known, &mut told);
    read.told = told;
    read
}

/// A row that can be used: a reading, or a blocked line where there is none.
struct Content {
    labels: Vec<Label>,
    reading: Option<Reading>,
}

fn read_id(row: &Row<'_>, ids: &mut BTreeMap<String, usize>, told: &mut Told) -> Option<String> {
    let id = cells::name(row, "id");
    if id.is_empty() {
        told.row(
            row.number,
            Some("id"),
            "is empty: every reading needs an id of its own",
        );
        return None;
    }
    if let Some(first) = ids.get(&id) {
        told.sheet(
            Some(row.number),
            Some("id"),
            format!("{} stands in rows {first} and {}", quoted(&id), row.number),
        );
        return None;
    }
    ids.insert(id.clone(), row.number);
    Some(id)
}

/// Reads everything of a row but its id, and tells every fault in it, not only the first.
fn read_content(row: &Row<'_>, context: &Context<'_>, told: &mut Told) -> Option<Content> {
    let word = row.cell("kind");
    let lower = word.to_lowercase();
    if lower == "blocked" {
        return read_blocked(row, told);
    }
    let Some(kind) = Kind::from_word(&lower) else {
        let words = Kind::ALL.map(Kind::word).join(", ");
        let reason = if word.is_empty() {
            format!("is empty: write one of {words}, or blocked")
        } else {
            format!(
                "{} is no kind of reading: write one of {words}, or blocked",
                quoted(word)
            )
        };
        told.row(row.number, Some("kind"), reason);
        return None;
    };
    let labels = read_labels(row, kind.word(), kind.point_count(), told);
    let instrument = read_instrument(row, kind, context, told);
    let from = read_from(row, kind, instrument, told);
    let state = read_state(row, told);
    let add = read_add(row, kind, context.unit, told);
    let own_sd = read_quantity(row, "sd", kind, context.unit, told).unless(
        row,
        "sd",
        told,
        |sd| sd <= 0.0,
        "is no standard deviation: it must be more than 0",
    );
    let value = read_value(row, kind, context.unit, told);

    let (instrument, (from, from_mm)) = (instrument?, from?);
    let instrument_at = instrument.map(|(at, _)| at);
    let instrument = instrument.map(|(_, instrument)| instrument);
    let (add_mm, read) = (add.or(0.0)?, value.value()?);
    let observed = observe(row, kind, read, from_mm, add_mm, instrument, told)?;
    if own_sd == Cell::Bad || !believable(row, kind, read, observed, own_sd, told) {
        return None;
    }
    let (labels, state) = (labels?, state?);
    let sd = own_sd.or(default_sd(kind, instrument, observed))?;
    let reading = Reading {
        id: String::new(),
        kind,
        points: Vec::new(),
        typed: row.cell("value").to_owned(),
        read,
        observed,
        sd,
        instrument: instrument_at,
        from,
        add_mm,
        stand: cells::name(row, "stand"),
        epoch: cells::name(row, "epoch"),
        state,
        by: row.cell("by").to_owned(),
        at: row.cell("at").to_owned(),
        note: row.cell("note").to_owned(),
    };
    Some(Content {
        labels,
        reading: Some(reading),
    })
}

fn read_blocked(row: &Row<'_>, told: &mut Told) -> Option<Content> {
    let labels = read_labels(row, "blocked", 2, told);
    if !row.cell("value").is_empty() {
        told.row(
            row.number,
            Some("value"),
            "a blocked line has no value: leave it empty, or write tape as the kind",
        );
        return None;
    }
    Some(Content {
        labels: labels?,
        reading: None,
    })
}

/// The labels a kind needs, no more, and no point twice.
fn read_labels(row: &Row<'_>, word: &str, count: usize, told: &mut Told) -> Option<Vec<Label>> {
    let mut labels: Vec<Label> = Vec::new();
    let mut good = true;
    for (place, column) in PLACES.into_iter().enumerate() {
        let label = Label::new(row.cell(column));
        let reason = match label {
            None if place < count => format!("is empty, and {word} needs {}", PLACES[..count].join(", ")),
            None => continue,
            Some(label) if place >= count => {
                format!(
                    "{} is one point too many: {word} takes only {}",
                    quoted(label.as_str()),
                    PLACES[..count].join(", ")
                )
            }
            Some(label) if labels.contains(&label) => {
                format!(
                    "{} stands twice in this reading: its points must differ",
                    quoted(label.as_str())
                )
            }
            Some(label) => {
                labels.push(label);
                continue;
            }
        };
        told.row(row.number, Some(column), reason);
        good = false;
    }
    good.then_some(labels)
}

/// The instrument with its place: `None` where it is bad, `Some(None)` where there is none.
fn read_instrument<'a>(
    row: &Row<'_>,
    kind: Kind,
    context: &Context<'a>,
    told: &mut Told,
) -> Option<Option<(usize, &'a Instrument)>> {
    let name = cells::name(row, "instrument");
    if name.is_empty() {
        return Some(None);
    }
    let Some(known) = context.instruments else {
        return Some(None);
    };
    let column = Some("instrument");
    let Some((sheet_row, at)) = known.find(&name) else {
        let cure = match (context.origin, context.has_instrument_sheet) {
            (Origin::Job, _) => {
                "is not described in this job: describe the instrument first, or correct the name"
            }
            (Origin::Files, true) => "is not in the instruments sheet: add it there, or correct the name",
            (Origin::Files, false) => {
                "is not known, as there is no instruments sheet: give one, or empty the cell"
            }
        };
        told.row(row.number, column, format!("{} {cure}", quoted(&name)));
        return None;
    };
    let Some(found) = at.and_then(|at| Some((at, known.instruments.get(at)?))) else {
        let cure = match context.origin {
            Origin::Files => format!("could not be read: see row {sheet_row} of the instruments sheet"),
            Origin::Job => "cannot be used as it is described: describe the instrument again".to_owned(),
        };
        let reason = format!("{} {cure}", quoted(&name));
        told.row(row.number, column, reason);
        return None;
    };
    if !found.1.can_read(kind) {
        let reason = format!(
            "{} is a {}, which does not read a {}",
            quoted(&name),
            found.1.kind.word(),
            kind.word()
        );
        told.row(row.number, column, reason);
        return None;
    }
    Some(Some(found))
}

/// What the number was read from, and what that adds to it in mm.
fn read_from(
    row: &Row<'_>,
    kind: Kind,
    instrument: Option<Option<(usize, &Instrument)>>,
    told: &mut Told,
) -> Option<(ReadFrom, f64)> {
    let text = row.cell("from");
    let origin = told.origin();
    let mut refuse = |reason: String| {
        told.row(row.number, Some("from"), reason);
        None
    };
    let from = match text.to_lowercase().as_str() {
        "" | "hook" => return Some((ReadFrom::Hook, 0.0)),
        "burn-1in" => (ReadFrom::BurnInch, -25.4),
        "burn-100mm" => (ReadFrom::Burn100mm, -100.0),
        "case" => {
            // A bad instrument has been told already.
            let case = instrument.map(|found| found.and_then(|(_, instrument)| instrument.case_length_mm));
            match case {
                Some(None) => {
                    let needed = match origin {
                        Origin::Files => {
                            "case needs an instrument with a case_length in the instruments sheet"
                        }
                        Origin::Job => "case needs an instrument: describe it with its case_length first",
                    };
                    return refuse(needed.to_owned());
                }
                Some(Some(case)) => (ReadFrom::Case, case),
                None => (ReadFrom::Case, 0.0),
            }
        }
        _ => {
            return refuse(format!(
                "{} is nothing to read from: write hook, burn-1in, burn-100mm, case or nothing",
                quoted(text)
            ));
        }
    };
    if kind.quantity() == Quantity::Angle {
        return refuse(format!(
            "{} is for lengths, and a {} is an angle: leave it empty",
            quoted(text),
            kind.word()
        ));
    }
    Some(from)
}

fn read_state(row: &Row<'_>, told: &mut Told) -> Option<State> {
    let text = row.cell("state");
    match text.to_lowercase().as_str() {
        "" => Some(State::Used),
        "set aside" => Some(State::SetAside),
        "kept" => Some(State::Kept),
        _ => {
            let reason = format!("{} is no state: write set aside, kept or nothing", quoted(text));
            told.row(row.number, Some("state"), reason);
            None
        }
    }
}

fn read_add(row: &Row<'_>, kind: Kind, unit: Option<LengthUnit>, told: &mut Told) -> Cell {
    if kind.quantity() == Quantity::Angle && !row.cell("add").is_empty() {
        let reason = format!(
            "a length cannot be added to a {}, which is an angle: leave it empty",
            kind.word()
        );
        told.row(row.number, Some("add"), reason);
        return Cell::Bad;
    }
    cells::length(row, "add", unit, told)
}
