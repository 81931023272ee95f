//! From the number in a cell to what the adjustment works with.

use super::cells::{self, Cell};
use super::table::Row;
use super::told::{Told, quoted};
use crate::{Instrument, Kind, LengthUnit, Quantity};

pub(super) fn read_quantity(
    row: &Row<'_>,
    column: &str,
    kind: Kind,
    unit: Option<LengthUnit>,
    told: &mut Told,
) -> Cell {
    match kind.quantity() {
        Quantity::Length => cells::length(row, column, unit, told),
        Quantity::Angle => cells::angle(row, column, unit, told),
    }
}

pub(super) fn read_value(row: &Row<'_>, kind: Kind, unit: Option<LengthUnit>, told: &mut Told) -> Cell {
    let value = read_quantity(row, "value", kind, unit, told);
    if value == Cell::Empty {
        told.row(
            row.number,
            Some("value"),
            format!("is empty, and a {} needs one", kind.word()),
        );
        return Cell::Bad;
    }
    // A typed 90 or 180 degrees is a rounding error more or less in radians.
    const ROUNDING: f64 = 1e-12;
    let (refused, reason): (fn(f64) -> bool, &str) = match kind {
        Kind::Tape => (|mm| mm <= 0.0, "is no distance: a tape reads more than 0"),
        Kind::String | Kind::Face => (|mm| mm < 0.0, "is negative: a shortest distance is 0 or more"),
        Kind::Slope => (
            |rad| rad.abs() > std::f64::consts::FRAC_PI_2 + ROUNDING,
            "is steeper than upright: a slope is from -90 to 90 degrees",
        ),
        Kind::Corner => (
            |rad| !(0.0..=std::f64::consts::PI + ROUNDING).contains(&rad),
            "is no corner: it is from 0 to 180 degrees",
        ),
        Kind::Rise | Kind::X | Kind::Y | Kind::Z => return value,
    };
    value.unless(row, "value", told, refused, reason)
}

/// What the adjustment works with: the number on the tape is a magnitude, so everything is added to that, and
/// the sign of the number is put back.
pub(super) fn observe(
    row: &Row<'_>,
    kind: Kind,
    read: f64,
    from_mm: f64,
    add_mm: f64,
    instrument: Option<&Instrument>,
    told: &mut Told,
) -> Option<f64> {
    if kind.quantity() == Quantity::Angle {
        return Some(read);
    }
    let typed = quoted(row.cell("value"));
    if read.abs() + from_mm < 0.0 {
        let reason = format!(
            "{typed} is less than the {} it is said to be read from",
            row.cell("from")
        );
        told.row(row.number, Some("value"), reason);
        return None;
    }
    let magnitude =
        read.abs() + from_mm + add_mm + instrument.map_or(0.0, |instrument| instrument.zero_offset_mm);
    let nothing_left = match kind {
        Kind::Tape => magnitude <= 0.0,
        Kind::String | Kind::Face => magnitude < 0.0,
        _ => false,
    };
    if nothing_left {
        let reason = format!("{typed} leaves nothing after from, add and the instrument's zero offset");
        told.row(row.number, Some("value"), reason);
        return None;
    }
    Some(if read < 0.0 { -magnitude } else { magnitude })
}

pub(super) fn believable(
    row: &Row<'_>,
    kind: Kind,
    read: f64,
    observed: f64,
    own_sd: Cell,
    told: &mut Told,
) -> bool {
    const LONGEST_MM: f64 = 30_000.0;
    if kind.quantity() == Quantity::Angle
        || read.abs().max(observed.abs()) <= LONGEST_MM
        || own_sd != Cell::Empty
    {
        return true;
    }
    let reason = format!(
        "{} is more than 30 m: check the unit; if it is right, give it an sd of its own",
        quoted(row.cell("value"))
    );
    told.row(row.number, Some("value"), reason);
    false
}
