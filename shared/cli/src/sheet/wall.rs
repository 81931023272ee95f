//! What is told when the sheet for the wall was written.

use std::path::PathBuf;

use desk::WallSheet;

use super::{Page, counted};
use crate::look::Look;

/// Which files were written, and what was not drawn as it should be.
pub(crate) fn wall_written(made: &WallSheet, paths: &[PathBuf], look: Look) -> String {
    let mut page = Page::new(look);
    let names: Vec<String> = paths.iter().map(|path| path.display().to_string()).collect();
    page.paragraph(
        &format!(
            "Wrote {}: the job {}, {}.",
            names.join(", "),
            made.name,
            counted(made.pages, "page")
        ),
        "",
    );
    for problem in &made.problems {
        page.paragraph(&super::handed::capital(problem), "  ! ");
    }
    page.paragraph("Print at full size, then lay a rule on the bar of a view.", "");
    page.paragraph(&made.stamp, "");
    page.text
}
