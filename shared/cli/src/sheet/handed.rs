//! Short answers: what was done, what came in, what went out.

use desk::{Exported, FileTaken, Logged, SheetsBrought};

use super::{Page, counted};
use crate::look::Look;

/// A sentence of the desk on lines of its own, with a capital.
pub(crate) fn said(words: &str) -> String {
    let mut page = Page::new(Look::plain());
    page.paragraph(&capital(words), "");
    page.text
}

/// A reading as the log has it, and how it stands to the others.
pub(crate) fn logged(logged: &Logged, look: Look) -> String {
    let mut page = Page::new(look);
    page.paragraph(&capital(&logged.line), "");
    match &logged.compared {
        None => page.paragraph("Nothing to compare it with yet.", ""),
        Some(words) => {
            for line in crate::look::wrapped(&words.headline, if words.doubt() { "! " } else { "" }) {
                let line = if words.doubt() { look.doubt(&line) } else { line };
                page.line(&line);
            }
            for said in &words.said {
                page.paragraph(said, "  ");
            }
        }
    }
    page.text
}

/// What a job file brought.
pub(crate) fn job_file_taken(taken: &FileTaken, from: &str) -> String {
    let mut page = Page::new(Look::plain());
    let what = match (taken.new, taken.changes, taken.photos) {
        (true, ..) => format!("Took in the job {} from {from}: it is new here.", taken.name),
        (false, 0, 0) => format!("Nothing in {from} is new to the job {}.", taken.name),
        (false, changes, photos) => format!(
            "Merged {from} with the job {}: {}, {}.",
            taken.name,
            counted(changes, "new change"),
            counted(photos, "new picture"),
        ),
    };
    page.paragraph(&what, "");
    for refused in &taken.refused {
        page.paragraph(&format!("Picture left out: {refused}"), "  ! ");
    }
    for ignored in &taken.ignored {
        page.paragraph(&format!("Not from Trammel, not opened: {ignored}"), "  - ");
    }
    page.text
}

/// What sheets brought.
pub(crate) fn sheets_brought(brought: &SheetsBrought) -> String {
    let mut page = Page::new(Look::plain());
    let new = [
        (brought.readings, "new reading"),
        (brought.points, "new point"),
        (brought.instruments, "new instrument"),
        (brought.blocked, "new line that cannot be taped"),
    ];
    let new: Vec<String> = new
        .into_iter()
        .filter(|(count, _)| *count > 0)
        .map(|(count, what)| match what.split_once(" that ") {
            Some((what, rest)) => format!("{} that {rest}", counted(count, what)),
            None => counted(count, what),
        })
        .collect();
    page.paragraph(
        &match new.as_slice() {
            [] => "The sheets brought nothing new.".to_owned(),
            new => format!("Took in {}.", new.join(", ")),
        },
        "",
    );
    if brought.already > 0 {
        let were = if brought.already == 1 { "was" } else { "were" };
        page.paragraph(
            &format!("{} {were} there already.", counted(brought.already, "reading")),
            "",
        );
    }
    for problem in &brought.problems {
        let place = [
            problem.file.clone(),
            problem.row.map(|row| format!("row {row}")),
            problem.column.as_ref().map(|column| format!("column {column}")),
        ];
        let place: Vec<String> = place.into_iter().flatten().collect();
        page.paragraph(&format!("{}: {}", place.join(", "), problem.reason), "  - ");
    }
    page.text
}

/// What was written to hand on.
pub(crate) fn exported(exported: &Exported, to: &str) -> String {
    let mut page = Page::new(Look::plain());
    page.paragraph(
        &format!(
            "Wrote {to}: the job {}, {}, {}.",
            exported.name,
            counted(exported.readings, "reading"),
            counted(exported.photos, "photo"),
        ),
        "",
    );
    if exported.photos > 0 {
        page.paragraph("Where the photos were taken is left out of it.", "");
    }
    if !exported.missing.is_empty() {
        page.paragraph(
            &format!(
                "Not on this device, so not in it: {}",
                exported.missing.join(", ")
            ),
            "  ! ",
        );
    }
    page.paragraph(&exported.stamp, "");
    page.text
}

pub(super) fn capital(words: &str) -> String {
    let mut letters = words.chars();
    match letters.next() {
        Some(first) => first.to_uppercase().chain(letters).collect(),
        None => String::new(),
    }
}
