//! `trammel read` and `trammel reading`: readings logged, and how they count.

use std::process::ExitCode;

use desk::{Act, Correction, Kind, LogReading};

use crate::ask::{CorrectAsk, Place, ReadAsk, ReadingAsk, ReadingWhat};
use crate::at::{self, Done};
use crate::look::Look;
use crate::{files, job, sheet};

/// Stands for the minus of a value while the options are read, which would else be taken for one.
const MINUS: char = '\u{2212}';

/// Logs a reading, tells it as the log has it, and how it stands to the others.
pub(crate) fn read(place: &Place, asked: &ReadAsk) -> Done {
    let reading = typed(asked)?;
    at::write(place, |desk, by| {
        let logged = desk.log_reading(place.job.as_deref(), &reading, by)?;
        files::print(&sheet::logged(&logged, Look::of_stdout()))?;
        at::ask_who(desk, by);
        Ok(ExitCode::SUCCESS)
    })
}

/// The words of a reading apart: as many points as the kind needs, the rest is the value.
fn typed(asked: &ReadAsk) -> Result<LogReading, String> {
    let said = |text: &Option<String>| text.clone().unwrap_or_default();
    let words: Vec<String> = asked.words.iter().map(|word| with_minus(word)).collect();
    if asked.kind == "blocked" {
        return Err(
            "a line that cannot be taped is no reading: mark it with trammel point block A B".to_owned(),
        );
    }
    // A kind that nobody knows is the desk's to refuse.
    let count = Kind::from_word(&asked.kind).map_or(words.len() - 1, Kind::point_count);
    if words.len() <= count {
        return Err(format!(
            "a {} needs {} and a value after {}: see trammel read --help",
            asked.kind,
            match count {
                1 => "a point".to_owned(),
                count => format!("{count} points"),
            },
            if count == 1 { "it" } else { "them" },
        ));
    }
    let (points, value) = words.split_at(count);
    Ok(LogReading {
        kind: asked.kind.clone(),
        points: points.to_vec(),
        value: value.join(" "),
        sd: said(&asked.sd),
        instrument: said(&asked.instrument),
        from: said(&asked.from),
        add: said(&asked.add),
        stand: said(&asked.stand),
        epoch: said(&asked.epoch),
        note: said(&asked.note),
        ..LogReading::default()
    })
}

/// The arguments with the minus of each value of `read` hidden from the reader of options: `-1.2 deg` and `-5/8` are
/// values, and no option begins with a digit.
pub(crate) fn minus_hidden(arguments: impl Iterator<Item = std::ffi::OsString>) -> Vec<std::ffi::OsString> {
    let arguments: Vec<_> = arguments.collect();
    if !arguments.iter().any(|argument| argument == "read") {
        return arguments;
    }
    let is_option = |argument: &std::ffi::OsString| {
        let text = argument.to_string_lossy();
        text.starts_with("--") && text.len() > 2 && !text.contains('=')
    };
    let mut hidden: Vec<std::ffi::OsString> = Vec::new();
    for (place, argument) in arguments.iter().enumerate() {
        let value = argument.to_str().and_then(|text| text.strip_prefix('-'));
        let value =
            value.filter(|rest| rest.starts_with(|letter: char| letter.is_ascii_digit() || letter == '.'));
        let of_option = place > 0 && is_option(&arguments[place - 1]);
        hidden.push(match value {
            Some(rest) if !of_option => format!("{MINUS}{rest}").into(),
            _ => argument.clone(),
        });
    }
    hidden
}

fn with_minus(word: &str) -> String {
    match word.strip_prefix(MINUS) {
        Some(rest) => format!("-{rest}"),
        None => word.to_owned(),
    }
}

/// Changes how a reading counts.
pub(crate) fn reading(place: &Place, asked: &ReadingAsk) -> Done {
    let act = match &asked.what {
        ReadingWhat::SetAside { reading, why } => Act::SetAside {
            reading: reading.clone(),
            why: why.clone(),
        },
        ReadingWhat::Keep { reading, why } => Act::KeepReading {
            reading: reading.clone(),
            why: why.clone(),
        },
        ReadingWhat::BringBack { reading } => Act::BringBack {
            reading: reading.clone(),
        },
        ReadingWhat::Correct(asked) => corrected(asked)?,
    };
    at::write(place, |desk, by| job::did(desk, place.job.as_deref(), &act, by))
}

fn corrected(asked: &CorrectAsk) -> Result<Act, String> {
    let correction = Correction {
        kind: asked.kind.clone(),
        points: asked.points.clone(),
        value: asked.value.clone(),
        sd: asked.sd.clone(),
        instrument: asked.instrument.clone(),
        from: asked.from.clone(),
        add: asked.add.clone(),
        stand: asked.stand.clone(),
        epoch: asked.epoch.clone(),
        note: asked.note.clone(),
    };
    if correction == Correction::default() {
        return Err(
            "say what is to be corrected, such as --value: see trammel reading correct --help".to_owned(),
        );
    }
    Ok(Act::CorrectReading {
        reading: asked.reading.clone(),
        why: asked.why.clone(),
        correction,
    })
}

#[cfg(test)]
mod tests;
