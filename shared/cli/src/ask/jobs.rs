//! What can be asked of the jobs of this device.

use std::path::PathBuf;

use clap::{Args, Subcommand, ValueEnum};

use super::Unit;

const JOB_EXAMPLES: &str = "\
Examples:
  trammel job new shell --unit in --by Anna
  trammel job list
  trammel job show
  trammel job import readings.csv points.csv --job shell
  trammel job export shell

Every change is on the disk before the command ends, with who made it and when,
and can be undone. Where there is only one job, it need not be named.

Exit status: 0 done; 2 what was typed or named cannot be used; 3 nothing can be
solved yet; 4 the store cannot be used: another program works in it, a newer
Trammel made it, it is damaged, or the disk fails.";

const NEW_EXAMPLES: &str = "\
Examples:
  trammel job new shell --unit in --by Anna
  trammel job new \"shell, second stand\" --unit mm --store /media/stick/jobs";

const LIST_EXAMPLES: &str = "\
Examples:
  trammel job list
  trammel job list --json";

const SHOW_EXAMPLES: &str = "\
Shows the job with what devices disagree about, then solves it, as adjust does
with sheets. Works while another window or program writes to the same store.

Examples:
  trammel job show
  trammel job show shell --epoch tacked
  trammel job show --at 2026-04-03T10:15:00Z
  trammel job show --at 1f3a9c07
  trammel job show --json

Exit status: 0 shown; 3 nothing can be solved yet, and what is missing: the
readings are listed instead; 2 and 4 as under trammel job --help.";

const READINGS_EXAMPLES: &str = "\
Examples:
  trammel job readings
  trammel job readings shell";

const IMPORT_EXAMPLES: &str = "\
A job file (.zip) is merged with the copy on this device, or becomes a new job;
nothing is lost on either side, and taking it in twice adds nothing. Sheets
(CSV) go into a job that is there; a sheet is known by its first row, unless an
option says what it is.

Examples:
  trammel job import shell.zip
  trammel job import readings.csv points.csv instruments.csv --job shell
  trammel job import --readings monday.csv --unit in --keep-going";

const EXPORT_EXAMPLES: &str = "\
The job file holds the whole log, the photos without where they were taken, and
sheets that any program reads: readings, points, instruments, history, and the
coordinates where there are any. A file of that name is never overwritten
unless --force says so.

Examples:
  trammel job export
  trammel job export shell --out /media/stick/shell.zip
  trammel job export shell --out shell.zip --force";

const CHECK_EXAMPLES: &str = "\
Reads every job, every change and every photo, and tells what is not as it was
kept.

Examples:
  trammel job check
  trammel job check --json";

const HISTORY_EXAMPLES: &str = "\
The newest change first. Its first letters can be given to job show --at.

Examples:
  trammel job history
  trammel job history shell --most 100
  trammel job history --of Anna
  trammel job history --json";

const COMPARE_EXAMPLES: &str = "\
Solves both epochs by themselves and tells which points moved. An empty name is
what was read before any epoch was named.

Examples:
  trammel job compare \"\" tacked
  trammel job compare tacked \"after welding\" --job shell
  trammel job compare \"\" tacked --json";

const UNDO_EXAMPLES: &str = "\
Each undoes what they did themselves; the other's work stays.

Examples:
  trammel job undo
  trammel job undo --by Ben --job shell";

const REDO_EXAMPLES: &str = "\
Examples:
  trammel job redo
  trammel job redo --by Ben --job shell";

const SET_EXAMPLES: &str = "\
Examples:
  trammel job set --frame three:sill-RR,sill-FR,sill-RL
  trammel job set --frame open
  trammel job set --above roof-front --unit mm
  trammel job set --name \"shell, rear\"";

const CHOOSE_EXAMPLES: &str = "\
Two devices wrote different values. Until someone chooses, the last one that is
shown counts; job show prints what to choose from, and the command to do it.

Examples:
  trammel job choose readings/0197f3c2a1/now.value '40 5/8 in'
  trammel job choose job/job/frame three:sill-RR,sill-FR,sill-RL";

const ADD_EXAMPLES: &str = "\
A new stand begins when the shell is set down anew: slopes and rises are not
carried over. A new epoch begins when the shell may have changed, such as after
tacking. Readings go with the newest of each unless they say otherwise.

Examples:
  trammel job add person Anna
  trammel job add stand \"high stands\"
  trammel job add epoch tacked";

const RENAME_EXAMPLES: &str = "\
Examples:
  trammel job rename person Ana Anna
  trammel job rename epoch tacked \"after tacking\"";

#[derive(Debug, Args)]
#[command(after_long_help = JOB_EXAMPLES, after_help = JOB_EXAMPLES, max_term_width = 80)]
pub(crate) struct JobAsk {
    #[command(subcommand)]
    pub(crate) what: JobWhat,
}

#[derive(Debug, Subcommand)]
pub(crate) enum JobWhat {
    /// Make an empty job
    #[command(after_long_help = NEW_EXAMPLES, after_help = NEW_EXAMPLES)]
    New {
        /// What it is called
        name: String,
        /// The unit of bare numbers, and of the answers
        #[arg(long, value_enum)]
        unit: Option<Unit>,
    },
    /// List the jobs of this device, the newest first
    #[command(after_long_help = LIST_EXAMPLES, after_help = LIST_EXAMPLES)]
    List {
        #[command(flatten)]
        json: Json,
    },
    /// Show a job and solve it
    Show(ShowAsk),
    /// List every reading of a job as it was typed
    #[command(after_long_help = READINGS_EXAMPLES, after_help = READINGS_EXAMPLES)]
    Readings {
        /// The job, where there are several
        name: Option<String>,
    },
    /// Take in a job file of another device, or sheets
    Import(ImportAsk),
    /// Write a job file to hand on
    Export(ExportAsk),
    /// Look whether everything on this device is there and as it was kept
    #[command(after_long_help = CHECK_EXAMPLES, after_help = CHECK_EXAMPLES)]
    Check {
        #[command(flatten)]
        json: Json,
    },
    /// Tell who did what, and when
    #[command(after_long_help = HISTORY_EXAMPLES, after_help = HISTORY_EXAMPLES)]
    History {
        /// The job, where there are several
        name: Option<String>,
        /// Only what one person did
        #[arg(long, value_name = "NAME")]
        of: Option<String>,
        /// How many changes
        #[arg(long, value_name = "N", default_value_t = 20)]
        most: usize,
        #[command(flatten)]
        json: Json,
    },
    /// Tell which points moved between two epochs
    #[command(after_long_help = COMPARE_EXAMPLES, after_help = COMPARE_EXAMPLES)]
    Compare {
        /// The earlier epoch
        before: String,
        /// The later one
        after: String,
        #[command(flatten)]
        json: Json,
    },
    /// Take back your newest change
    #[command(after_long_help = UNDO_EXAMPLES, after_help = UNDO_EXAMPLES)]
    Undo,
    /// Do again what you undid last
    #[command(after_long_help = REDO_EXAMPLES, after_help = REDO_EXAMPLES)]
    Redo,
    /// Change a job's name, unit, axes, or the point that is above
    Set(SetAsk),
    /// Choose one of the values that devices disagree about
    #[command(after_long_help = CHOOSE_EXAMPLES, after_help = CHOOSE_EXAMPLES)]
    Choose {
        /// What is disagreed about, as job show prints it
        register: String,
        /// The value that is to count, as job show prints it
        #[arg(allow_hyphen_values = true)]
        value: String,
    },
    /// Add a person to the crew, or begin a stand or an epoch
    #[command(after_long_help = ADD_EXAMPLES, after_help = ADD_EXAMPLES)]
    Add {
        /// What it is
        #[arg(value_enum)]
        what: AddedThing,
        /// What it is called
        name: String,
    },
    /// Give a person, a stand or an epoch another name
    #[command(after_long_help = RENAME_EXAMPLES, after_help = RENAME_EXAMPLES)]
    Rename {
        /// What it is
        #[arg(value_enum)]
        what: AddedThing,
        /// What it is called
        name: String,
        /// What it is to be called
        to: String,
    },
}

#[derive(Debug, Args)]
#[command(after_long_help = SHOW_EXAMPLES, after_help = SHOW_EXAMPLES)]
pub(crate) struct ShowAsk {
    /// The job, where there are several
    pub(crate) name: Option<String>,
    /// As it stood at a time in UTC, or after a change of its history
    #[arg(long, value_name = "WHEN", conflicts_with = "epoch")]
    pub(crate) at: Option<String>,
    /// Solve the readings of that epoch instead of the newest
    #[arg(long, value_name = "NAME")]
    pub(crate) epoch: Option<String>,
    #[command(flatten)]
    pub(crate) json: Json,
}

#[derive(Debug, Args)]
#[command(after_long_help = IMPORT_EXAMPLES, after_help = IMPORT_EXAMPLES)]
pub(crate) struct ImportAsk {
    /// Job files and sheets
    #[arg(value_name = "FILE")]
    pub(crate) files: Vec<PathBuf>,
    /// A sheet of readings
    #[arg(long, value_name = "READINGS.csv")]
    pub(crate) readings: Option<PathBuf>,
    /// A sheet of points
    #[arg(long, value_name = "POINTS.csv")]
    pub(crate) points: Option<PathBuf>,
    /// A sheet of instruments
    #[arg(long, value_name = "INSTRUMENTS.csv")]
    pub(crate) instruments: Option<PathBuf>,
    /// The unit of bare numbers in the sheets; else the job's
    #[arg(long, value_enum)]
    pub(crate) unit: Option<Unit>,
    /// Leave out rows that cannot be used, list them, and go on
    #[arg(long)]
    pub(crate) keep_going: bool,
    #[command(flatten)]
    pub(crate) json: Json,
}

#[derive(Debug, Args)]
#[command(after_long_help = EXPORT_EXAMPLES, after_help = EXPORT_EXAMPLES)]
pub(crate) struct ExportAsk {
    /// The job, where there are several
    pub(crate) name: Option<String>,
    /// Where to write it; else here, called as the job
    #[arg(long, value_name = "FILE.zip")]
    pub(crate) out: Option<PathBuf>,
    /// Overwrite a file of that name
    #[arg(long)]
    pub(crate) force: bool,
    #[command(flatten)]
    pub(crate) json: Json,
}

#[derive(Debug, Args)]
#[command(after_long_help = SET_EXAMPLES, after_help = SET_EXAMPLES)]
pub(crate) struct SetAsk {
    /// What the job is to be called
    #[arg(long, value_name = "NAME")]
    pub(crate) name: Option<String>,
    /// The unit of bare numbers, and of the answers
    #[arg(long, value_enum)]
    pub(crate) unit: Option<Unit>,
    /// The axes, as adjust --frame takes them; open leaves them open
    #[arg(long, value_name = "FRAME")]
    pub(crate) frame: Option<String>,
    /// A point on the upper side; empty for none
    #[arg(long, value_name = "LABEL")]
    pub(crate) above: Option<String>,
}

/// For other programs.
#[derive(Debug, Clone, Copy, Args)]
pub(crate) struct Json {
    /// Write the answer as JSON, for other programs
    #[arg(long = "json")]
    pub(crate) wanted: bool,
}

#[derive(Debug, Clone, Copy, ValueEnum)]
pub(crate) enum AddedThing {
    /// Of the crew
    Person,
    /// A way in which the shell stands
    Stand,
    /// A stage of the work
    Epoch,
}

impl From<AddedThing> for desk::NamedThing {
    fn from(thing: AddedThing) -> desk::NamedThing {
        match thing {
            AddedThing::Person => desk::NamedThing::Person,
            AddedThing::Stand => desk::NamedThing::Stand,
            AddedThing::Epoch => desk::NamedThing::Epoch,
        }
    }
}
