//! A job laid open: its head, what devices disagree about, its readings, and how to go on.

use std::path::Path;

use desk::{DisputeLine, JobShown, ReadingLine, Refusal};

use super::handed::capital;
use super::jobs::{by, when};
use super::{Page, counted};
use crate::look::{Look, WIDTH, tame, wrapped};

/// What a command must name to reach the same job again.
pub(crate) struct GoOn<'a> {
    /// The store, where one was named.
    pub(crate) store: Option<&'a Path>,
    /// The job, where it must be named.
    pub(crate) job: Option<&'a str>,
}

/// The head of a job, and what devices disagree about.
pub(crate) fn job_laid_out(job: &JobShown, photos: usize, go_on: &GoOn<'_>, look: Look) -> String {
    let mut page = Page::new(look);
    page.job(job, Some(photos));
    if !job.disputes.is_empty() {
        page.heading("Devices disagree");
        for dispute in &job.disputes {
            page.dispute(dispute, go_on);
        }
    }
    page.text
}

/// Why a job is not solved yet, and its readings.
pub(crate) fn unsolved_laid_out(refusal: &Refusal, job: &JobShown, look: Look) -> String {
    let mut page = Page::new(look);
    for line in wrapped(&capital(&refusal.message), "") {
        let line = look.doubt(&line);
        page.line(&line);
    }
    for problem in &refusal.problems {
        page.paragraph(&problem.to_string(), "  - ");
    }
    page.readings(&job.readings);
    page.text
}

/// A job as it stood.
pub(crate) fn stood_laid_out(job: &JobShown, at: &str, look: Look) -> String {
    let mut page = Page::new(look);
    if job.name.is_empty() {
        page.paragraph(&format!("At {at} the job was not made yet."), "");
        return page.text;
    }
    page.paragraph(&format!("As it stood at {at}:"), "");
    page.job(job, None);
    page.readings(&job.readings);
    page.text
}

/// The readings of a job.
pub(crate) fn readings_laid_out(job: &JobShown, look: Look) -> String {
    let mut page = Page::new(look);
    page.job(job, None);
    page.readings(&job.readings);
    page.text
}

/// How to go on from the demo.
pub(crate) fn demo_goes_on(go_on: &GoOn<'_>) -> String {
    let mut page = Page::new(Look::plain());
    page.paragraph(
        "The shell, the crew and the slips of this job are invented. Go on with it:",
        "",
    );
    let steps: [(&str, &[&str]); 5] = [
        ("see it again", &["job", "show"]),
        (
            "log a reading: it is compared as soon as it is logged",
            &["read", "tape", "floor-front-R", "roof-front", "48 1/2 in"],
        ),
        ("set aside one that is off", &["reading", "set-aside", "r065"]),
        ("take that back", &["job", "undo"]),
        ("hand it on, with its sheets in it", &["job", "export"]),
    ];
    for (what, command) in steps {
        page.line("");
        page.paragraph(what, "  # ");
        page.command(command, go_on, "  ");
    }
    page.text
}

impl Page {
    fn job(&mut self, job: &JobShown, photos: Option<usize>) {
        for line in wrapped(&job.name, "") {
            let line = self.look.strong(&line);
            self.line(&line);
        }
        let mut counts = vec![
            counted(job.readings.len(), "reading"),
            counted(job.points.len(), "point"),
        ];
        counts.extend(photos.map(|photos| counted(photos, "photo")));
        self.paragraph(&format!("{}.", counts.join(", ")), "  ");
        let one = |text: Option<&str>| text.map(str::to_owned).into_iter().collect::<Vec<_>>();
        let instruments: Vec<String> = job.instruments.iter().map(|it| it.name.clone()).collect();
        let facts: [(&str, &[String]); 6] = [
            ("Unit", &one(job.unit)),
            ("Axes", &one(job.frame.as_deref())),
            ("Crew", &job.people),
            ("Instruments", &instruments),
            ("Stands", &job.stands),
            ("Epochs", &job.epochs),
        ];
        for (what, said) in facts {
            if !said.is_empty() {
                self.paragraph(&said.join(", "), &format!("  {what}: "));
            }
        }
    }

    fn dispute(&mut self, dispute: &DisputeLine, go_on: &GoOn<'_>) {
        for line in wrapped(&dispute.about, "  ! ") {
            let line = self.look.doubt(&line);
            self.line(&line);
        }
        let last = dispute.values.len().saturating_sub(1);
        for (place, said) in dispute.values.iter().enumerate() {
            let counts = if place == last {
                " This one counts until someone chooses."
            } else {
                ""
            };
            let said = format!("{}{}, {}.{counts}", said.shown, by(&said.by), when(&said.at));
            self.paragraph(&said, "    - ");
        }
        if let Some(first) = dispute.values.first() {
            self.line("    To choose the first; another in the same way:");
            self.command(
                &["job", "choose", &dispute.register, &first.shown],
                go_on,
                "      ",
            );
        }
    }

    fn readings(&mut self, readings: &[ReadingLine]) {
        self.heading(&format!("Readings ({})", readings.len()));
        if readings.is_empty() {
            self.line("  None yet.");
        }
        let width = readings
            .iter()
            .map(|reading| reading.name.chars().count())
            .max()
            .unwrap_or(0)
            .min(16);
        for reading in readings {
            let name = tame(&reading.name);
            let mut said = format!(
                "{} {}: {}",
                reading.kind,
                reading.points.join(", "),
                reading.value
            );
            if let Some(logged) = reading.logged.as_ref().filter(|logged| **logged != reading.value) {
                said.push_str(&format!(" (logged as {logged})"));
            }
            let state = match (reading.state, reading.logged.is_some()) {
                ("", false) => None,
                ("", true) => Some("corrected"),
                (state, _) => Some(state),
            };
            if let Some(state) = state {
                said.push_str(&format!("; {state}"));
                if !reading.why.is_empty() {
                    said.push_str(&format!(": {}", reading.why));
                }
            }
            if !reading.note.is_empty() {
                said.push_str(&format!(" ({})", reading.note));
            }
            self.paragraph(&said, &format!("  {name:<width$}  "));
        }
    }

    /// A command as a shell takes it, broken where the line is full.
    fn command(&mut self, words: &[&str], go_on: &GoOn<'_>, indent: &str) {
        let mut all = vec!["trammel".to_owned()];
        all.extend(words.iter().map(|word| quoted(word)));
        if let Some(job) = go_on.job {
            all.push(format!("--job {}", quoted(job)));
        }
        if let Some(store) = go_on.store {
            all.push(format!("--store {}", quoted(&store.display().to_string())));
        }
        let mut line = indent.to_owned();
        let mut filled = false;
        for word in all {
            // Room for the word and for ` \` after it.
            if filled && line.chars().count() + 1 + word.chars().count() + 2 > WIDTH {
                self.line(&format!("{line} \\"));
                line = format!("{indent}    ");
                filled = false;
            }
            if filled {
                line.push(' ');
            }
            line.push_str(&word);
            filled = true;
        }
        self.line(&line);
    }
}

/// A word as a shell takes it.
fn quoted(word: &str) -> String {
    let word = tame(word);
    let plain = |letter: char| letter.is_alphanumeric() || "/._-,:".contains(letter);
    if !word.is_empty() && word.chars().all(plain) {
        word
    } else {
        format!("'{}'", word.replace('\'', r"'\''"))
    }
}
