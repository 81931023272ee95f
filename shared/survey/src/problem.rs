//! Problems: what is wrong with an input, where, and what to do about it.

/// How much a problem stops.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Severity {
    /// Told, and the work goes on.
    Note,
    /// This row or value cannot be used; the rest can.
    Row,
    /// The whole sheet cannot be used.
    Sheet,
}

/// One thing that is wrong, with its place. A problem never hides a value: what could be used is used.
#[derive(Debug, Clone, PartialEq)]
pub struct Problem {
    /// How much it stops.
    pub severity: Severity,
    /// What it is about: a sheet by its file name, an option such as `--frame`, or of a job the reading, point or
    /// instrument by its name.
    pub file: String,
    /// The line of the file, counted from 1 with the header as a spreadsheet shows it; nothing has lines in a job.
    pub row: Option<usize>,
    /// The column's name.
    pub column: Option<String>,
    /// What is wrong and what to do, in words.
    pub reason: String,
}

impl std::fmt::Display for Problem {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(f, "{}", self.file)?;
        if let Some(row) = self.row {
            write!(f, ", row {row}")?;
        }
        match (&self.column, self.row) {
            (Some(column), Some(_)) => write!(f, ", column {column}")?,
            (Some(field), None) => write!(f, ", {field}")?,
            (None, _) => {}
        }
        write!(f, ": {}", self.reason)
    }
}
