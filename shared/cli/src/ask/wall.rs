//! What can be asked of the sheet for the wall.

use std::path::PathBuf;

use clap::{Args, ValueEnum};

use super::jobs::Json;

const WALL_EXAMPLES: &str = "\
Plan, sides and ends of the shell with its points by name, and a table of them,
to be printed at full size and pinned up. In the unit of the job; black ink is
enough. A PDF has all pages; as SVG each page is a file of its own, with its
number in the name.

Examples:
  trammel wall
  trammel wall shell --paper letter --out shell.pdf
  trammel wall shell --form svg --out shell.svg
  trammel wall shell --epoch tacked

Exit status: 0 written; 3 nothing can be solved yet, so there is nothing to
draw; 2 and 4 as under trammel job --help.";

#[derive(Debug, Args)]
#[command(after_long_help = WALL_EXAMPLES, after_help = WALL_EXAMPLES, max_term_width = 80)]
pub(crate) struct WallAsk {
    /// The job, where there are several
    pub(crate) name: Option<String>,
    /// What it is printed on
    #[arg(long, value_enum, default_value_t = Paper::A4)]
    pub(crate) paper: Paper,
    /// What file is written
    #[arg(long, value_enum, default_value_t = Form::Pdf)]
    pub(crate) form: Form,
    /// Where to write it; else here, called as the job
    #[arg(long, value_name = "FILE")]
    pub(crate) out: Option<PathBuf>,
    /// Draw the readings of that epoch instead of the newest
    #[arg(long, value_name = "NAME")]
    pub(crate) epoch: Option<String>,
    /// Overwrite files of that name
    #[arg(long)]
    pub(crate) force: bool,
    #[command(flatten)]
    pub(crate) json: Json,
}

#[derive(Debug, Clone, Copy, ValueEnum)]
pub(crate) enum Paper {
    /// 210 by 297 mm
    A4,
    /// 8.5 by 11 in
    Letter,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub(crate) enum Form {
    /// All pages in one file
    Pdf,
    /// A file for each page
    Svg,
}

impl From<Paper> for desk::PaperSize {
    fn from(paper: Paper) -> desk::PaperSize {
        match paper {
            Paper::A4 => desk::PaperSize::A4,
            Paper::Letter => desk::PaperSize::Letter,
        }
    }
}

impl From<Form> for desk::PaperForm {
    fn from(form: Form) -> desk::PaperForm {
        match form {
            Form::Pdf => desk::PaperForm::Pdf,
            Form::Svg => desk::PaperForm::Svg,
        }
    }
}

impl Form {
    /// How its files end.
    pub(crate) fn ending(self) -> &'static str {
        match self {
            Form::Pdf => "pdf",
            Form::Svg => "svg",
        }
    }
}
