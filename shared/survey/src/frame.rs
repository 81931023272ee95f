//! Frames: the axes that coordinates are given in. x ahead, y left, z up (ISO 8855 directions).

use std::fmt;

use thiserror::Error;

use crate::Label;

/// The frame that coordinates are asked for in.
#[derive(Debug, Clone, PartialEq)]
pub enum Frame {
    /// `three:ORIGIN,AHEAD,LEFT`: AHEAD on +x, LEFT in the xy plane with y > 0.
    Three {
        /// At (0, 0, 0).
        origin: Label,
        /// On +x.
        ahead: Label,
        /// In the xy plane, y > 0.
        left: Label,
    },
    /// `plumb:ORIGIN,AHEAD,LEFT`: z along the plumb line of the first stand, AHEAD at y = 0 and x > 0; LEFT
    /// only says which way y goes.
    Plumb {
        /// At (0, 0, 0).
        origin: Label,
        /// At y = 0, x > 0.
        ahead: Label,
        /// At y > 0.
        left: Label,
    },
    /// `centreline:ORIGIN,AHEAD,ABOVE`: y = 0 is the best mid-plane of the mirror pairs; ORIGIN and AHEAD are
    /// projected on it, ABOVE is at z > 0.
    Centreline {
        /// Projected to (0, 0, 0).
        origin: Label,
        /// Projected on +x.
        ahead: Label,
        /// At z > 0.
        above: Label,
    },
    /// `bench`: that of fixed coordinates and of x, y and z readings.
    Bench,
}

/// Reads a frame as it is asked for: `bench`, `three:A,B,C`, `plumb:A,B,C` or `centreline:A,B,C`. The list is
/// one RFC 4180 record, so a label with a comma is quoted.
///
/// # Errors
/// A word that is no frame, a list that is not three different labels.
///
/// ```
/// let frame = survey::parse_frame("three:sill-L,\"tower, front\",sill-R")?;
/// assert_eq!(frame.to_string(), "three:sill-L,\"tower, front\",sill-R");
/// # Ok::<(), survey::FrameError>(())
/// ```
pub fn parse_frame(text: &str) -> Result<Frame, FrameError> {
    let (word, list) = match text.split_once(':') {
        Some((word, list)) => (word.trim(), Some(list)),
        None => (text.trim(), None),
    };
    let names = match word {
        "bench" if list.is_none() => return Ok(Frame::Bench),
        "bench" => return Err(FrameError::BenchWithPoints),
        "three" | "plumb" => "ORIGIN,AHEAD,LEFT",
        "centreline" => "ORIGIN,AHEAD,ABOVE",
        _ => {
            return Err(FrameError::UnknownWord {
                word: word.to_owned(),
            });
        }
    };
    let word = word.to_owned();
    let labels = read_list(list.unwrap_or_default())?;
    let [origin, ahead, third] = <[Label; 3]>::try_from(labels).map_err(|labels| FrameError::NotThree {
        word: word.clone(),
        names,
        count: labels.len(),
    })?;
    for (a, b) in [(&origin, &ahead), (&origin, &third), (&ahead, &third)] {
        if a == b {
            return Err(FrameError::Repeated { label: a.clone() });
        }
    }
    Ok(match word.as_str() {
        "three" => Frame::Three {
            origin,
            ahead,
            left: third,
        },
        "plumb" => Frame::Plumb {
            origin,
            ahead,
            left: third,
        },
        _ => Frame::Centreline {
            origin,
            ahead,
            above: third,
        },
    })
}

/// Why a frame cannot be understood.
#[derive(Debug, Clone, PartialEq, Eq, Error)]
pub enum FrameError {
    /// The word before the colon is no kind of frame.
    #[error(
        "{word:?} is no kind of frame: write bench, three:ORIGIN,AHEAD,LEFT, plumb:ORIGIN,AHEAD,LEFT or centreline:ORIGIN,AHEAD,ABOVE"
    )]
    UnknownWord {
        /// What stands there.
        word: String,
    },
    /// `bench:...`.
    #[error("bench takes no points: write bench alone")]
    BenchWithPoints,
    /// Not three labels.
    #[error(
        "{word} takes three points and has {count}: write {word}:{names}, with quotes around a label that has a comma"
    )]
    NotThree {
        /// The kind of frame.
        word: String,
        /// What the three are.
        names: &'static str,
        /// How many there are.
        count: usize,
    },
    /// A label of white space only.
    #[error("point {place} of the list is empty")]
    Empty {
        /// Counted from 1.
        place: usize,
    },
    /// Twice the same.
    #[error("{label} stands twice: the three points must differ")]
    Repeated {
        /// The label.
        label: Label,
    },
    /// Quotes that do not close, or more than one line.
    #[error(
        "the list cannot be read as one line of a sheet: close every quote, and double those inside a label"
    )]
    NotOneRecord,
}

impl fmt::Display for Frame {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let (word, labels) = match self {
            Frame::Bench => return f.write_str("bench"),
            Frame::Three { origin, ahead, left } => ("three", [origin, ahead, left]),
            Frame::Plumb { origin, ahead, left } => ("plumb", [origin, ahead, left]),
            Frame::Centreline { origin, ahead, above } => ("centreline", [origin, ahead, above]),
        };
        let quoted = labels.map(|label| quoted(label.as_str()));
        write!(f, "{word}:{}", quoted.join(","))
    }
}

fn read_list(list: &str) -> Result<Vec<Label>, FrameError> {
    let list = list.trim();
    if list.is_empty() {
        return Ok(Vec::new());
    }
    if crate::sheets::quote_fault(list.as_bytes()).is_some() {
        return Err(FrameError::NotOneRecord);
    }
    let mut reader = csv::ReaderBuilder::new()
        .has_headers(false)
        .flexible(true)
        .from_reader(list.as_bytes());
    let mut records = reader.records();
    let Some(Ok(record)) = records.next() else {
        return Err(FrameError::NotOneRecord);
    };
    if records.next().is_some() {
        return Err(FrameError::NotOneRecord);
    }
    record
        .iter()
        .enumerate()
        .map(|(place, text)| Label::new(text).ok_or(FrameError::Empty { place: place + 1 }))
        .collect()
}

fn quoted(label: &str) -> String {
    // A byte order mark would be taken for the file's, hence quoted too.
    if label.contains([',', '"', '\r', '\n']) || label.starts_with('\u{feff}') {
        format!("\"{}\"", label.replace('"', "\"\""))
    } else {
        label.to_owned()
    }
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    #[test]
    fn the_four_kinds() {
        let label = |text| Label::new(text).unwrap();
        let three = Frame::Three {
            origin: label("A"),
            ahead: label("B, b"),
            left: label("C"),
        };
        assert_eq!(parse_frame(" three:A,\"B, b\", C "), Ok(three));
        let centreline = Frame::Centreline {
            origin: label("A"),
            ahead: label("B"),
            above: label("C"),
        };
        assert_eq!(parse_frame("centreline:A,B,C"), Ok(centreline));
        assert!(matches!(parse_frame("plumb:A,B,C"), Ok(Frame::Plumb { .. })));
        assert_eq!(parse_frame("bench"), Ok(Frame::Bench));
    }

    #[test]
    fn what_is_no_frame_says_why() {
        for (text, piece) in [
            ("", "is no kind of frame"),
            ("four:A,B,C", "\"four\" is no kind"),
            ("bench:A", "takes no points"),
            ("three", "has 0: write three:ORIGIN,AHEAD,LEFT"),
            ("centreline:A,B", "has 2: write centreline:ORIGIN,AHEAD,ABOVE"),
            ("three:A,B,C,D", "has 4"),
            ("three:A,,C", "point 2 of the list is empty"),
            ("plumb:A,B,A", "A stands twice"),
            ("three:\"A,B,C", "close every quote"),
            ("three:A,B,C\nD,E,F", "one line"),
        ] {
            let reason = parse_frame(text).unwrap_err().to_string();
            assert!(reason.contains(piece), "{text:?}: {reason}");
        }
    }

    proptest! {
        #[test]
        fn printed_and_read_back(texts in prop::array::uniform3("\\PC{1,12}|[ab,\"\r\n :]{1,6}"), kind in 0..3) {
            let [Some(origin), Some(ahead), Some(third)] = texts.map(|text| Label::new(&text)) else {
                return Ok(());
            };
            if origin == ahead || ahead == third || origin == third {
                return Ok(());
            }
            let frame = match kind {
                0 => Frame::Three { origin, ahead, left: third },
                1 => Frame::Plumb { origin, ahead, left: third },
                _ => Frame::Centreline { origin, ahead, above: third },
            };
            prop_assert_eq!(parse_frame(&frame.to_string()), Ok(frame));
        }

        #[test]
        fn never_panics(text in "(three:|plumb:)?.{0,40}") {
            let _ = parse_frame(&text);
        }
    }
}
