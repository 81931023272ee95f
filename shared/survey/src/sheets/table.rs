//! One sheet as rows of named cells, with the line of the file that each row starts on.

use std::collections::BTreeMap;

use super::Origin;
use super::SheetText;
use super::quotes::{QuoteFault, quote_fault};
use super::told::{Told, quoted};

/// What a sheet must and may have.
pub(super) struct Columns {
    /// Every column that is known.
    pub(super) known: &'static [&'static str],
    /// Those without which the sheet cannot be used.
    pub(super) needed: &'static [&'static str],
    /// Those whose cells may run over several lines.
    pub(super) free_text: &'static [&'static str],
}

/// One row that has the right shape.
pub(super) struct Row<'a> {
    /// The line of the file.
    pub(super) number: usize,
    record: &'a csv::StringRecord,
    places: &'a BTreeMap<String, usize>,
}

impl Row<'_> {
    /// The trimmed cell of a column; empty where the sheet or the row does not have it.
    pub(super) fn cell(&self, column: &str) -> &str {
        self.places
            .get(column)
            .and_then(|&place| self.record.get(place))
            .unwrap_or_default()
            .trim()
    }
}

/// Reads a sheet row by row. Rows of the wrong shape are told and not handed on.
///
/// Nothing is split into cells before the size of the sheet and of its lines is known to be a person's.
pub(super) fn each_row(
    sheet: &SheetText<'_>,
    columns: &Columns,
    told: &mut Told,
    mut take: impl FnMut(&Row<'_>, &mut Told),
) {
    let Some(text) = checked_text(sheet.bytes, told) else {
        return;
    };
    let mut reader = csv::ReaderBuilder::new()
        .has_headers(false)
        .flexible(true)
        .from_reader(text.as_bytes());
    let mut lines = LineCounter {
        text: text.as_bytes(),
        byte: 0,
        line: 1,
    };
    let mut record = csv::StringRecord::new();
    let mut header: Option<Header> = None;
    loop {
        let start = usize::try_from(reader.position().byte()).unwrap_or(usize::MAX);
        match reader.read_record(&mut record) {
            Ok(true) => {}
            Ok(false) => break,
            Err(error) => {
                told.sheet(
                    Some(lines.at(start)),
                    None,
                    format!("cannot be read as a sheet: {error}"),
                );
                return;
            }
        }
        let end = usize::try_from(reader.position().byte())
            .unwrap_or(usize::MAX)
            .min(text.len());
        // The reader's own position lies before blank lines that it skipped, so the row's is counted here.
        let start = lines.after_blanks(start);
        let number = lines.at(start);
        let raw = text.as_bytes()[start.min(end)..end].trim_ascii_end();
        if record.iter().all(|cell| cell.trim().is_empty()) {
            continue;
        }
        if let Some(fault) = quote_fault(raw) {
            let open = fault == QuoteFault::Open;
            let mut reason = fault.reason().to_owned();
            let last = lines.at(start + raw.len());
            if !open && last > number {
                reason.push_str(&format!(
                    "; the cell runs on to row {last}, and the rows between are not read"
                ));
            }
            if open || header.is_none() {
                told.sheet(Some(number), None, reason);
                return;
            }
            told.row(number, None, reason);
            continue;
        }
        match &mut header {
            None => match Header::read(&record, raw, number, columns, told) {
                Some(read) => header = Some(read),
                None => return,
            },
            Some(header) => {
                if header.fits(&record, number, columns, told) {
                    take(
                        &Row {
                            number,
                            record: &record,
                            places: &header.places,
                        },
                        told,
                    );
                }
            }
        }
    }
    if header.is_none() {
        told.sheet(None, None, "is empty: it needs a header and a row for each entry");
    }
}

/// The text, if its size, its lines and its encoding are those of a sheet.
fn checked_text<'a>(bytes: &'a [u8], told: &mut Told) -> Option<&'a str> {
    const LARGEST_FILE: usize = 64 * 1024 * 1024;
    const LONGEST_LINE: usize = 100_000;
    if bytes.len() > LARGEST_FILE {
        let reason = format!(
            "is {} MB; a sheet has at most 64 MB: is it the right file?",
            bytes.len() >> 20
        );
        told.sheet(None, None, reason);
        return None;
    }
    if bytes.starts_with(&[0xff, 0xfe]) || bytes.starts_with(&[0xfe, 0xff]) {
        told.sheet(Some(1), None, "is UTF-16 text: save it as CSV in UTF-8");
        return None;
    }
    let bytes = bytes.strip_prefix(b"\xef\xbb\xbf").unwrap_or(bytes);
    let long = bytes
        .split(|byte| matches!(byte, b'\n' | b'\r'))
        .find(|line| line.len() > LONGEST_LINE);
    if let Some(line) = long {
        let before = line.as_ptr() as usize - bytes.as_ptr() as usize;
        let row = LineCounter {
            text: bytes,
            byte: 0,
            line: 1,
        }
        .at(before);
        let reason = format!(
            "has a line of {} bytes; the longest a sheet may have is 100,000",
            line.len()
        );
        told.sheet(Some(row), None, reason);
        return None;
    }
    match std::str::from_utf8(bytes) {
        Ok(text) => Some(text),
        Err(error) => {
            let row = LineCounter {
                text: bytes,
                byte: 0,
                line: 1,
            }
            .at(error.valid_up_to());
            told.sheet(Some(row), None, "is not UTF-8 text: save it as CSV in UTF-8");
            None
        }
    }
}

/// The header: where each known column is.
struct Header {
    places: BTreeMap<String, usize>,
    names: Vec<String>,
    /// A column without a name is told once, not in every row.
    told_nameless: bool,
}

impl Header {
    fn read(
        record: &csv::StringRecord,
        raw: &[u8],
        number: usize,
        columns: &Columns,
        told: &mut Told,
    ) -> Option<Header> {
        let alone = record.len() == 1;
        if alone && (raw.contains(&b';') || raw.contains(&b'\t') || raw.starts_with(b"sep=")) {
            let separator = if raw.contains(&b'\t') {
                "tabs"
            } else {
                "semicolons"
            };
            let reason = format!(
                "is separated by {separator}, as some spreadsheets do: save it with commas as separator and a \
                 point for decimals"
            );
            told.sheet(Some(number), None, reason);
            return None;
        }
        if let Some((place, _)) = record.iter().enumerate().find(|(_, cell)| too_long(cell)) {
            told.sheet(
                Some(number),
                None,
                format!("has more than 10,000 characters in cell {}", place + 1),
            );
            return None;
        }
        let names: Vec<String> = record.iter().map(|cell| cell.trim().to_owned()).collect();
        let mut places = BTreeMap::new();
        let mut usable = true;
        for (place, name) in names.iter().enumerate() {
            let key = name.to_lowercase();
            if name.is_empty() {
                continue;
            } else if !columns.known.contains(&key.as_str()) {
                let reason = format!("the column {} is not known and not read", quoted(name));
                told.note(Some(number), Some(name), reason);
            } else if let Some(first) = places.insert(key, place) {
                let reason = format!(
                    "stands twice in the header, as columns {} and {}",
                    first + 1,
                    place + 1
                );
                told.sheet(Some(number), Some(name), reason);
                usable = false;
            }
        }
        for needed in columns
            .needed
            .iter()
            .filter(|needed| !places.contains_key(**needed))
        {
            let reason = format!(
                "the header has no column {needed}, and it is needed: {}",
                columns.needed.join(", ")
            );
            told.sheet(Some(number), Some(needed), reason);
            usable = false;
        }
        usable.then_some(Header {
            places,
            names,
            told_nameless: false,
        })
    }

    /// Whether a row has the header's shape; tells where not.
    fn fits(
        &mut self,
        record: &csv::StringRecord,
        number: usize,
        columns: &Columns,
        told: &mut Told,
    ) -> bool {
        let mut fits = true;
        for (place, cell) in record.iter().enumerate() {
            let name = self.names.get(place).map_or("", String::as_str);
            let free = columns.free_text.contains(&name.to_lowercase().as_str());
            let shown = (!name.is_empty()).then_some(name);
            if too_long(cell) {
                told.sheet(
                    Some(number),
                    shown,
                    format!("has more than 10,000 characters in cell {}", place + 1),
                );
                fits = false;
            } else if !free && cell.trim().contains(['\n', '\r']) {
                let lines = cell.lines().count();
                let reason = match told.origin() {
                    Origin::Job => "has a line break: write it in one line".to_owned(),
                    Origin::Files => format!(
                        "a quote opens in this cell and closes {lines} lines further on, so that those rows are \
                         not read: double the quote of an inch mark, as in \"40 5/8\"\"\""
                    ),
                };
                told.row(number, shown, reason);
                fits = false;
            } else if place >= self.names.len() && !cell.trim().is_empty() {
                let reason = format!(
                    "has more cells than the header ({} and {}): put quotes around a cell with a comma, and write \
                     decimals with a point",
                    record.len(),
                    self.names.len()
                );
                told.row(number, None, reason);
                return false;
            } else if shown.is_none() && !cell.trim().is_empty() && !self.told_nameless {
                self.told_nameless = true;
                told.note(
                    Some(number),
                    None,
                    format!("cell {} has no name in the header and is not read", place + 1),
                );
            }
        }
        fits
    }
}

fn too_long(cell: &str) -> bool {
    const LONGEST_CELL: usize = 10_000;
    cell.len() > LONGEST_CELL && cell.chars().nth(LONGEST_CELL).is_some()
}

/// Counts the lines of a text on the way through it: CRLF, LF and CR end one each.
struct LineCounter<'a> {
    text: &'a [u8],
    byte: usize,
    line: usize,
}

impl LineCounter<'_> {
    /// The line at a byte that is not before the last one asked for.
    fn at(&mut self, byte: usize) -> usize {
        let byte = byte.min(self.text.len());
        while self.byte < byte {
            let ends = match self.text[self.byte] {
                b'\n' => true,
                b'\r' => self.text.get(self.byte + 1) != Some(&b'\n'),
                _ => false,
            };
            self.line += usize::from(ends);
            self.byte += 1;
        }
        self.line
    }

    fn after_blanks(&self, byte: usize) -> usize {
        let rest = self.text.get(byte..).unwrap_or_default();
        byte + rest
            .iter()
            .take_while(|byte| matches!(byte, b'\n' | b'\r'))
            .count()
    }
}
