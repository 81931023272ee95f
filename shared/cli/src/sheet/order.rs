//! The order in which to survey, laid out to be printed: each line has room for its number.

use desk::told::{OrderGroup, OrderTold};

use super::Page;
use crate::look::{Look, WIDTH, wrapped};

/// Room to write a value.
const BLANK: &str = "________________";

/// The whole order as text.
pub(crate) fn order_laid_out(told: &OrderTold, look: Look) -> String {
    let mut page = Page::new(look);
    page.headline(&told.headline);
    page.line("");
    for said in &told.advice {
        page.paragraph(said, "- ");
    }
    for group in &told.groups {
        page.group(group);
    }
    for section in &told.sections {
        page.section(section);
    }
    page.foot(told.stamp);
    page.text
}

impl Page {
    fn group(&mut self, group: &OrderGroup) {
        self.line("");
        for line in wrapped(&group.head, "") {
            let line = self.look.strong(&line);
            self.line(&line);
        }
        for line in &group.lines {
            let mut rows = wrapped(&line.text, &format!("{:>5}. ", line.number));
            let filled = rows.last().map_or(0, |row| row.chars().count());
            let room = WIDTH - BLANK.len();
            if filled + 1 > room {
                rows.push(" ".repeat(room));
            }
            if let Some(row) = rows.last_mut() {
                let filled = row.chars().count();
                row.push_str(&" ".repeat(room - filled));
                row.push_str(BLANK);
            }
            for row in rows {
                self.line(&row);
            }
        }
    }
}
