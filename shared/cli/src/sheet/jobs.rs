//! The list of jobs, the history of one, and what a check found.

use desk::{Checked, HistoryLine, JobLine};

use super::{Page, counted};
use crate::look::{Look, tame};

/// The jobs of a device.
pub(crate) fn jobs_laid_out(jobs: &[JobLine], look: Look) -> String {
    let mut page = Page::new(look);
    if jobs.is_empty() {
        page.line("There is no job on this device yet. Make one:");
        page.line("  trammel job new NAME");
    }
    for job in jobs {
        for line in crate::look::wrapped(&job.name, "") {
            let line = look.strong(&line);
            page.line(&line);
        }
        if let Some(trouble) = &job.trouble {
            page.paragraph(trouble, "  ! ");
            continue;
        }
        let held = format!(
            "{}, {}, {}. Last changed {}{}.",
            counted(job.readings, "reading"),
            counted(job.points, "point"),
            counted(job.photos, "photo"),
            when(&job.changed),
            by(&job.changed_by),
        );
        page.paragraph(&held, "  ");
        if let Some(standing) = &job.standing {
            page.paragraph(
                &format!(
                    "Held out {}, unclear {}, unchecked {}, points that can move {}, not read {}.",
                    standing.held_out,
                    standing.unclear,
                    standing.unchecked,
                    standing.loose,
                    standing.not_read
                ),
                "  Solved: ",
            );
        }
        if job.disputes > 0 {
            page.paragraph(
                &format!(
                    "Devices disagree about {}: job show lists them.",
                    counted(job.disputes, "value")
                ),
                "  ! ",
            );
        }
    }
    page.text
}

/// The newest changes of a job.
pub(crate) fn history_laid_out(lines: &[HistoryLine], look: Look) -> String {
    /// As much of a change as tells it from others.
    const SHORT: usize = 8;
    let mut page = Page::new(look);
    page.line(&look.heading("The newest change first, times in UTC"));
    for line in lines {
        let change: String = line.change.chars().take(SHORT).collect();
        let who = match line.by.is_empty() {
            true => "somebody",
            false => &line.by,
        };
        page.paragraph(
            &format!("{who} {}", line.words),
            &format!("  {change}  {}  ", tame(&when(&line.at))),
        );
    }
    page.text
}

/// What was looked at, and what was found.
pub(crate) fn checked_laid_out(checked: &Checked, look: Look) -> String {
    let mut page = Page::new(look);
    page.paragraph(
        &format!(
            "Looked at {}, {} of their documents, and {}.",
            counted(checked.jobs, "job"),
            counted(checked.chunks, "piece"),
            counted(checked.photos, "photo"),
        ),
        "",
    );
    match checked.wrong.is_empty() {
        true => page.paragraph("All of it reads as it was kept.", ""),
        false => {
            let found = look.doubt(&format!("{} found.", counted(checked.wrong.len(), "fault")));
            page.line(&found);
        }
    }
    for wrong in &checked.wrong {
        page.paragraph(wrong, "  ! ");
    }
    if !checked.pictures_elsewhere.is_empty() {
        page.paragraph(
            "Pictures that are on another device; a job file from there brings them:",
            "",
        );
    }
    for picture in &checked.pictures_elsewhere {
        page.paragraph(picture, "  - ");
    }
    page.text
}

/// A moment in UTC without its letters.
pub(super) fn when(moment: &str) -> String {
    moment.replace('T', " ").trim_end_matches('Z').to_owned()
}

pub(super) fn by(who: &str) -> String {
    match who.is_empty() {
        true => String::new(),
        false => format!(" by {who}"),
    }
}
