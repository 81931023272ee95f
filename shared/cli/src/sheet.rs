//! The human sheet: what `desk` tells, laid out in 80 columns. Words and numbers are desk's; places are ours.

mod handed;
mod job;
mod jobs;
mod order;
mod photos;
mod points;
mod sections;
mod wall;

use desk::told::{CAUTION, Headline, Told, ToldComparison};

use crate::look::{Look, wrapped};

pub(crate) use handed::{exported, job_file_taken, logged, said, sheets_brought};
pub(crate) use job::{
    GoOn, demo_goes_on, job_laid_out, readings_laid_out, stood_laid_out, unsolved_laid_out,
};
pub(crate) use jobs::{checked_laid_out, history_laid_out, jobs_laid_out};
pub(crate) use order::order_laid_out;
pub(crate) use photos::{photo_added, photos_laid_out};
pub(crate) use wall::wall_written;

/// The whole sheet as text.
pub(crate) fn laid_out(told: &Told, look: Look) -> String {
    let mut page = Page::new(look);
    page.headline(&told.headline);
    page.frame(told);
    page.points(told);
    for section in &told.sections {
        page.section(section);
    }
    page.foot(&told.stamp);
    page.text
}

/// What moved, as text.
pub(crate) fn compared(told: &ToldComparison, look: Look) -> String {
    let mut page = Page::new(look);
    page.headline(&told.headline);
    for section in &told.sections {
        page.section(section);
    }
    page.foot(&told.stamp);
    page.text
}

/// The sheet as it grows.
struct Page {
    text: String,
    look: Look,
}

/// How many there are, in words: `1 reading`, `3 readings`.
fn counted(count: usize, what: &str) -> String {
    match count {
        1 => format!("1 {what}"),
        _ => format!("{count} {what}s"),
    }
}

impl Page {
    fn new(look: Look) -> Page {
        Page {
            text: String::new(),
            look,
        }
    }

    fn line(&mut self, line: &str) {
        self.text.push_str(line.trim_end());
        self.text.push('\n');
    }

    fn paragraph(&mut self, text: &str, first: &str) {
        for line in wrapped(text, first) {
            self.line(&line);
        }
    }

    fn heading(&mut self, title: &str) {
        let title = self.look.heading(title);
        self.line("");
        self.line(&title);
    }

    fn headline(&mut self, headline: &Headline) {
        let verdict = match headline.doubt {
            true => self.look.doubt(&headline.verdict),
            false => self.look.strong(&headline.verdict),
        };
        self.line(&verdict);
        self.paragraph(&headline.action, "");
    }

    fn frame(&mut self, told: &Told) {
        self.heading("Frame");
        for said in &told.frame {
            self.paragraph(said, "  ");
        }
    }

    fn foot(&mut self, stamp: &str) {
        self.line("");
        for line in wrapped(stamp, "") {
            let line = self.look.strong(&line);
            self.line(&line);
        }
        self.paragraph(CAUTION, "");
    }
}

#[cfg(test)]
mod tests;
