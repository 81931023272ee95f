//! How text looks: colour where there is someone to see it, lines of at most 80 columns.

use std::io::IsTerminal;

use anstyle::{AnsiColor, Style};

/// The width that every terminal and every printed page has.
pub(crate) const WIDTH: usize = 80;

/// Whether and how text is coloured. A doubt is never told by colour alone: it has a mark and words too.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Look {
    coloured: bool,
}

impl Look {
    /// Colour only on a terminal, and not where `NO_COLOR` says so.
    pub(crate) fn of_stdout() -> Look {
        let refused = std::env::var_os("NO_COLOR").is_some_and(|value| !value.is_empty());
        Look {
            coloured: std::io::stdout().is_terminal() && !refused,
        }
    }

    /// No colour at all.
    pub(crate) fn plain() -> Look {
        Look { coloured: false }
    }

    /// A heading.
    pub(crate) fn heading(self, text: &str) -> String {
        self.styled(Style::new().bold().underline(), text)
    }

    /// What matters most in a section.
    pub(crate) fn strong(self, text: &str) -> String {
        self.styled(Style::new().bold(), text)
    }

    /// What stands between the crew and an order.
    pub(crate) fn doubt(self, text: &str) -> String {
        self.styled(Style::new().bold().fg_color(Some(AnsiColor::Yellow.into())), text)
    }

    fn styled(self, style: Style, text: &str) -> String {
        if self.coloured {
            format!("{style}{text}{style:#}")
        } else {
            text.to_owned()
        }
    }
}

/// Text that came from a sheet or a path: control characters never reach the terminal.
pub(crate) fn tame(text: &str) -> String {
    text.chars()
        .map(|letter| if letter.is_control() { '\u{fffd}' } else { letter })
        .collect()
}

/// Breaks text at spaces to fit the width. The first line is led by `first`, the others by as many spaces.
pub(crate) fn wrapped(text: &str, first: &str) -> Vec<String> {
    let indent = first.chars().count();
    let mut lines: Vec<String> = vec![first.to_owned()];
    let mut filled = indent;
    let tamed = tame(text);
    for word in whole_values(&tamed)
        .iter()
        .flat_map(|word| pieces(word, WIDTH.saturating_sub(indent).max(1)))
    {
        let long = word.chars().count();
        if filled > indent && filled + 1 + long > WIDTH {
            lines.push(" ".repeat(indent));
            filled = indent;
        }
        if let Some(line) = lines.last_mut() {
            if filled > indent {
                line.push(' ');
                filled += 1;
            }
            line.push_str(&word);
            filled += long;
        }
    }
    lines
}

/// The words of a text; a number, its fraction and its unit are one word.
fn whole_values(text: &str) -> Vec<String> {
    let mut words: Vec<String> = Vec::new();
    for word in text.split(' ').filter(|word| !word.is_empty()) {
        let is_fraction = word.contains('/') && word.starts_with(|letter: char| letter.is_ascii_digit());
        let is_unit = ["in", "mm", "deg"].contains(&word.trim_end_matches(['.', ',', ';', ')']));
        match words.last_mut() {
            Some(last)
                if (is_fraction || is_unit) && last.ends_with(|letter: char| letter.is_ascii_digit()) =>
            {
                last.push(' ');
                last.push_str(word);
            }
            _ => words.push(word.to_owned()),
        }
    }
    words
}

/// A word cut where it is longer than a whole line.
fn pieces(word: &str, longest: usize) -> Vec<String> {
    let letters: Vec<char> = word.chars().collect();
    letters
        .chunks(longest)
        .map(|piece| piece.iter().collect())
        .collect()
}

/// Tells standard error what went wrong.
pub(crate) fn complain(message: &str) {
    eprintln!("trammel: {}", tame(message));
}
