//! One subject: a heading, a sentence, its items. A doubt carries the mark `!`.

use desk::told::Section;

use super::Page;
use crate::look::wrapped;

impl Page {
    pub(super) fn section(&mut self, section: &Section) {
        self.heading(section.title);
        if let Some(intro) = &section.intro {
            self.paragraph(intro, "  ");
        }
        for item in &section.items {
            let mark = if item.doubt { "! " } else { "- " };
            for line in wrapped(&item.head, &format!("  {mark}")) {
                let line = if item.doubt { self.look.doubt(&line) } else { line };
                self.line(&line);
            }
            for said in &item.said {
                self.paragraph(said, "    ");
            }
        }
    }
}
