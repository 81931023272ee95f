//! The points sheet.

use std::collections::BTreeMap;

use super::Origin;
use super::SheetText;
use super::cells::{self, Cell};
use super::similar::{self, Mention};
use super::table::{Columns, Row, each_row};
use super::told::{Told, quoted};
use crate::{Label, LengthUnit, Point, Side};

pub(super) const COLUMNS: Columns = Columns {
    known: &["label", "side", "mirror", "x", "y", "z", "fixed", "note"],
    needed: &["label"],
    free_text: &["note"],
};

const AXES: [(&str, char); 3] = [("x", 'x'), ("y", 'y'), ("z", 'z')];

/// What the points sheet says.
pub(super) struct Read {
    /// The points in the order of the sheet; nothing where it cannot be used.
    pub(super) points: Option<Vec<Point>>,
    /// Where each label stands.
    pub(super) mentions: Vec<Mention>,
    pub(super) told: Told,
}

/// Reads the points. A point with a bad cell stays, known by its other cells: readings name it anyway.
pub(super) fn read(sheet: &SheetText<'_>, unit: Option<LengthUnit>, origin: Origin) -> Read {
    let mut told = Told::about(sheet.name, origin);
    let mut points: Vec<Point> = Vec::new();
    let mut mentions: Vec<Mention> = Vec::new();
    let mut partners: Vec<Option<Label>> = Vec::new();
    let mut places: BTreeMap<Label, usize> = BTreeMap::new();
    each_row(sheet, &COLUMNS, &mut told, |row, told| {
        let label = Label::new(row.cell("label"));
        let (point, partner) = read_row(row, label, unit, told);
        let Some(point) = point else { return };
        if let Some(&first) = places.get(&point.label) {
            let reason = format!(
                "{} stands in rows {} and {}",
                quoted(point.label.as_str()),
                mentions[first].row,
                row.number
            );
            told.sheet(Some(row.number), Some("label"), reason);
            return;
        }
        places.insert(point.label.clone(), points.len());
        mentions.push(Mention {
            label: point.label.clone(),
            file: sheet.name.to_owned(),
            row: row.number,
            column: "label",
        });
        partners.push(partner);
        points.push(point);
    });
    similar::tell(&mentions, 0, &mut told);
    let rows: Vec<usize> = mentions.iter().map(|mention| mention.row).collect();
    join_partners(&mut points, &partners, &places, &rows, &mut told);
    Read {
        points: (!told.stops()).then_some(points),
        mentions,
        told,
    }
}

fn read_row(
    row: &Row<'_>,
    label: Option<Label>,
    unit: Option<LengthUnit>,
    told: &mut Told,
) -> (Option<Point>, Option<Label>) {
    if label.is_none() {
        told.row(row.number, Some("label"), "is empty: every point needs a label");
    }
    let side = read_side(row, told);
    let coordinates = AXES.map(|(column, _)| cells::length(row, column, unit, told));
    let fixed = read_fixed(row, &coordinates, told);
    let partner = Label::new(row.cell("mirror"));
    let point = label.map(|label| Point {
        label,
        side,
        mirror: None,
        rough_mm: coordinates.map(Cell::value),
        fixed,
        note: row.cell("note").to_owned(),
    });
    (point, partner)
}

fn read_side(row: &Row<'_>, told: &mut Told) -> Option<Side> {
    let text = row.cell("side");
    match text.to_lowercase().as_str() {
        "" => None,
        "left" => Some(Side::Left),
        "right" => Some(Side::Right),
        "centre" => Some(Side::Centre),
        _ => {
            let reason = format!(
                "{} is no side: write left, right, centre or nothing",
                quoted(text)
            );
            told.row(row.number, Some("side"), reason);
            None
        }
    }
}

fn read_fixed(row: &Row<'_>, coordinates: &[Cell; 3], told: &mut Told) -> [bool; 3] {
    let text = row.cell("fixed");
    let mut fixed = [false; 3];
    for letter in text.to_lowercase().chars().filter(|c| !c.is_whitespace()) {
        match AXES.iter().position(|(_, axis)| *axis == letter) {
            Some(axis) => fixed[axis] = true,
            None => {
                let reason = format!(
                    "{} has other letters than x, y and z: write those that are exact",
                    quoted(text)
                );
                told.row(row.number, Some("fixed"), reason);
                return [false; 3];
            }
        }
    }
    for (axis, (column, _)) in AXES.iter().enumerate() {
        if fixed[axis] && coordinates[axis] == Cell::Empty {
            let reason = format!("{column} is fixed and has no value: write it, or take the letter out");
            told.row(row.number, Some("fixed"), reason);
        }
        fixed[axis] &= coordinates[axis].value().is_some();
    }
    fixed
}

/// Joins mirror partners. One of two may leave the column empty; two that name different partners are told.
fn join_partners(
    points: &mut [Point],
    partners: &[Option<Label>],
    places: &BTreeMap<Label, usize>,
    rows: &[usize],
    told: &mut Told,
) {
    let mut named: Vec<Option<usize>> = vec![None; points.len()];
    for (at, partner) in partners.iter().enumerate() {
        let Some(partner) = partner else { continue };
        match places.get(partner) {
            Some(&other) if other == at => {
                told.row(
                    rows[at],
                    Some("mirror"),
                    "a point cannot be its own mirror partner: leave it empty",
                );
            }
            Some(&other) => named[at] = Some(other),
            None => {
                let reason = format!(
                    "{} is not in the points sheet: add it, or correct it",
                    quoted(partner.as_str())
                );
                told.row(rows[at], Some("mirror"), reason);
            }
        }
    }
    let mut claims: Vec<Vec<usize>> = vec![Vec::new(); points.len()];
    for (at, other) in named.iter().enumerate() {
        if let Some(other) = *other {
            claims[other].push(at);
        }
    }
    for at in 0..points.len() {
        let Some(other) = named[at] else { continue };
        let rival = match named[other] {
            Some(answer) if answer != at => Some(answer),
            Some(_) => None,
            None => claims[other].iter().copied().find(|&claim| claim != at),
        };
        if let Some(rival) = rival {
            let reason = format!(
                "the mirror partners of {}, {} and {}{} disagree: each of two partners names the other",
                quoted(points[at].label.as_str()),
                quoted(points[other].label.as_str()),
                quoted(points[rival].label.as_str()),
                told.in_row(rows[rival])
            );
            told.row(rows[at], Some("mirror"), reason);
            continue;
        }
        points[at].mirror = Some(other);
        points[other].mirror = Some(at);
        let sides = (points[at].side, points[other].side);
        let contradict =
            matches!(sides, (Some(a), Some(b)) if a == b || a == Side::Centre || b == Side::Centre);
        if contradict && (named[other].is_none() || at < other) {
            let reason = format!(
                "{} and its mirror partner {}{} should be one left and one right",
                quoted(points[at].label.as_str()),
                quoted(points[other].label.as_str()),
                told.in_row(rows[other])
            );
            told.note(Some(rows[at]), Some("side"), reason);
        }
    }
}
