//! Texts into room: lines that are no wider, or as much of one line as there is room for.

use crate::drawing::{Face, width_mm};

/// No text is looked at farther than this: nobody reads more of it on a wall.
const LONGEST: usize = 400;

/// A text in lines no wider than that, broken between words, and within words that are wider alone. What is beyond so
/// many lines is told by an ellipsis.
pub(super) fn wrapped(face: Face, size: f64, text: &str, width: f64, most: usize) -> Vec<String> {
    let fits = |line: &str| width_mm(face, size, line) <= width;
    let mut lines: Vec<String> = Vec::new();
    let mut line = String::new();
    let text: String = text.chars().take(LONGEST).collect();
    for word in text.split_whitespace() {
        let longer = if line.is_empty() {
            word.to_owned()
        } else {
            format!("{line} {word}")
        };
        if fits(&longer) {
            line = longer;
            continue;
        }
        if !line.is_empty() {
            lines.push(std::mem::take(&mut line));
        }
        for letter in word.chars() {
            let longer = format!("{line}{letter}");
            if !line.is_empty() && !fits(&longer) {
                lines.push(std::mem::take(&mut line));
                line.push(letter);
            } else {
                line = longer;
            }
        }
    }
    if !line.is_empty() {
        lines.push(line);
    }
    if lines.len() > most {
        lines.truncate(most);
        if let Some(last) = lines.last_mut() {
            *last = cut(face, size, &format!("{last}…"), width);
        }
    }
    lines
}

/// As much of a text as there is room for, with an ellipsis where that is not all.
pub(super) fn cut(face: Face, size: f64, text: &str, width: f64) -> String {
    let mut kept: String = text.chars().take(LONGEST).collect();
    if kept == text && width_mm(face, size, text) <= width {
        return kept;
    }
    while kept.ends_with('…') {
        kept.pop();
    }
    loop {
        let shown = format!("{}…", kept.trim_end());
        if kept.is_empty() || width_mm(face, size, &shown) <= width {
            return shown;
        }
        kept.pop();
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn lines_are_no_wider_than_their_room_and_lose_no_letter() {
        let text = "one two three-four-five-six-seven-eight-nine-ten eleven";
        let lines = wrapped(Face::Text, 4.0, text, 20.0, 20);
        assert!(lines.len() > 3);
        assert!(
            lines.iter().all(|line| width_mm(Face::Text, 4.0, line) <= 20.0),
            "{lines:?}"
        );
        let letters = |text: &str| text.replace(' ', "");
        assert_eq!(letters(&lines.concat()), letters(text));
    }

    #[test]
    fn what_is_too_long_ends_in_an_ellipsis() {
        let short = cut(Face::Text, 4.0, "a job with a long name", 20.0);
        assert!(
            short.ends_with('…') && width_mm(Face::Text, 4.0, &short) <= 20.0,
            "{short}"
        );
        assert_eq!(cut(Face::Text, 4.0, "short", 20.0), "short");
        assert_eq!(
            wrapped(Face::Text, 4.0, "one two three four five", 12.0, 2).len(),
            2
        );
    }
}
