//! The table of points.

use desk::told::{PointLine, Told};

use super::Page;
use crate::look::{WIDTH, tame};

/// What stands where something is not known.
const UNKNOWN: &str = "?";
/// Space between columns.
const GAP: usize = 2;

impl Page {
    pub(super) fn points(&mut self, told: &Told) {
        self.heading(&format!("Points ({}). Each ± is 95 %, rounded up.", told.unit));
        let head = ["", "x", "±", "y", "±", "z", "±", ""].map(str::to_owned);
        let rows: Vec<[String; 8]> = std::iter::once(head)
            .chain(told.points.iter().map(cells))
            .collect();
        let width = |column: usize| {
            rows.iter()
                .map(|row| row[column].chars().count())
                .max()
                .unwrap_or(0)
        };
        let widths = [0, 1, 2, 3, 4, 5, 6, 7].map(width);
        let others: usize = widths[1..].iter().map(|width| width + GAP).sum();
        let room = WIDTH.saturating_sub(others + GAP).max(8);
        for row in &rows {
            let [label, numbers @ .., doubt] = row;
            let mut line = format!("  {}", fitted(label, widths[0].min(room)));
            for (number, width) in numbers.iter().zip(&widths[1..]) {
                line.push_str(&format!("{:GAP$}{number:>width$}", ""));
            }
            if !doubt.is_empty() {
                line.push_str(&format!("{:GAP$}{}", "", self.look.doubt(doubt)));
            }
            self.line(&line);
        }
    }
}

fn cells(point: &PointLine) -> [String; 8] {
    let shown = |text: &Option<String>| text.clone().unwrap_or_else(|| UNKNOWN.to_owned());
    let [x, y, z] = point.coordinates.each_ref().map(shown);
    let [half_x, half_y, half_z] = point.half_widths.each_ref().map(shown);
    let doubt = point.doubt.map(|doubt| format!("! {doubt}")).unwrap_or_default();
    [tame(&point.label), x, half_x, y, half_y, z, half_z, doubt]
}

/// Text in exactly that many columns; what does not fit ends in `…`.
fn fitted(text: &str, width: usize) -> String {
    if text.chars().count() <= width {
        return format!("{text:<width$}");
    }
    let kept: String = text.chars().take(width.saturating_sub(1)).collect();
    format!("{kept}…")
}
