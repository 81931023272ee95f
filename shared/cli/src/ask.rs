//! What can be asked on the command line, and the help that teaches it.

mod entries;
mod jobs;
mod photos;
mod readings;
mod wall;

use std::ffi::OsString;
use std::path::PathBuf;

use clap::{Arg, Args, CommandFactory, FromArgMatches, Parser, Subcommand, ValueEnum};

pub(crate) use entries::{InstrumentAsk, InstrumentWhat, PointAsk, PointWhat};
pub(crate) use jobs::{ExportAsk, ImportAsk, JobAsk, JobWhat, SetAsk, ShowAsk};
pub(crate) use photos::{PhotoAsk, PhotoWhat, Size};
pub(crate) use readings::{CorrectAsk, ReadAsk, ReadingAsk, ReadingWhat};
pub(crate) use wall::{Form, WallAsk};

const EXAMPLES: &str = "\
Examples:
  See a whole job first: its doubts, what to read next, how to go on
      trammel demo

  A job on this device: make it, log readings as they are read, solve it
      trammel job new shell --unit in --by Anna
      trammel read tape sill-RR sill-FR 54 3/8 in
      trammel job show

  Bring another device's copy of the job in, and hand yours on
      trammel job import shell.zip
      trammel job export

  Solve a sheet of readings; every value in it says its unit
      trammel adjust readings.csv

  With what is known of the points and the tapes, in a frame of three points:
  zero, the one ahead of it, the one to its left
      trammel adjust readings.csv --points points.csv \\
          --instruments instruments.csv --frame three:sill-RR,sill-FR,sill-RL

  Bare numbers are inches; z runs up the plumb line of the first stand
      trammel adjust readings.csv --unit in \\
          --frame plumb:sill-RR,sill-FR,sill-RL

  Tapes alone do not tell left from right: say a point that is above
      trammel adjust readings.csv --above roof-front

  Before anything is read: the order to survey in, from rough places
      trammel order points.csv

  What moved since the last time
      trammel compare before.csv after.csv --points points.csv

  Leave out rows that cannot be read, and write the result for other tools
      trammel adjust readings.csv --keep-going --json result.json

Trammel measures and records. It does not design or certify.";

const ADJUST_EXAMPLES: &str = "\
The sheet of readings is CSV with a header. Needed columns: id, kind, a, b,
value (and c, d as the kind needs). Kinds: tape slope corner rise string face
x y z, and blocked for a line that cannot be taped. A smallest sheet:

  id,kind,a,b,value
  r1,tape,sill-RR,sill-FR,54 3/8 in
  r2,tape,sill-RR,sill-RL,1240 mm
  r3,slope,sill-RR,sill-FR,1.2 deg

Examples:
  trammel adjust readings.csv
  trammel adjust readings.csv --points points.csv --unit in
  trammel adjust readings.csv --frame centreline:sill-RR,sill-FR,roof-front
  trammel adjust readings.csv --suspects keep --json -
  trammel adjust readings.csv --keep-going --json result.json

Exit status: 0 solved, with or without doubts; 2 the sheets or options cannot
be used, and every problem is listed; 3 nothing can be solved, and what is
missing.";

const ORDER_EXAMPLES: &str = "\
The sheet of points is CSV with a header. Needed here: label, x, y, z. Rough
places, to a hand's width, are enough; z is up. The sheet of readings may hold
only lines that cannot be taped (kind blocked), or a survey half done.

  label,side,mirror,x,y,z
  sill-RR,right,sill-RL,0 mm,-690 mm,160 mm
  sill-RL,left,sill-RR,0 mm,690 mm,160 mm

Examples:
  trammel order points.csv
  trammel order points.csv --readings readings.csv --unit in
  trammel order points.csv --json order.json

Exit status: 0 there is an order; 2 the sheets or options cannot be used, and
every problem is listed; 3 no order can be worked out, and what is missing.";

const COMPARE_EXAMPLES: &str = "\
Did it pull? Read the shell before and after, with the same tape. The shell may
have been moved between: it is laid over itself by the points that kept their
places. At least four points must be in both, under the same labels.

Examples:
  trammel compare before.csv after.csv
  trammel compare before.csv after.csv --points points.csv \\
      --frame three:sill-RR,sill-FR,sill-RL
  trammel compare before.csv after.csv --json -

Exit status: 0 compared; 2 the sheets or options cannot be used; 3 they cannot
be solved or compared, and why.";

const DEMO_EXAMPLES: &str = "\
The shell, the crew and the slips in it are invented. It becomes a job like any
other: change it, undo it, hand it on. Asked for again, it is left as it is.

Examples:
  trammel demo
  trammel demo --store demo-store

Exit status: 0 solved; 3 nothing can be solved any more; 4 the store cannot be
used.";

const SERVE_EXAMPLES: &str = "\
Prints an address to open in a browser of this device, with the token that lets
it in. Nothing is reachable from elsewhere. While it runs, the jobs can be
looked at from other windows, and changed only in the browser.

Examples:
  trammel serve
  trammel serve --demo --store demo-store
  trammel serve --port 4711

Exit status: 0 ended by Ctrl-C; 2 the port cannot be had; 4 the store cannot be
used.";

/// Finds the hard points of a bare shell from tape and angle readings, how sure each is, and which readings are off.
#[derive(Debug, Parser)]
#[command(name = "trammel", version, after_long_help = EXAMPLES, after_help = EXAMPLES, max_term_width = 80)]
pub(crate) struct Ask {
    #[command(flatten)]
    pub(crate) place: Place,
    #[command(subcommand)]
    pub(crate) command: Command,
}

/// Which store, which job, and who.
#[derive(Debug, Args)]
#[command(next_help_heading = "Jobs on this device")]
pub(crate) struct Place {
    /// The folder of the jobs; else TRAMMEL_STORE, else your own data folder
    #[arg(long, global = true, value_name = "DIR")]
    pub(crate) store: Option<PathBuf>,
    /// Which job, where there are several
    #[arg(long, global = true, value_name = "NAME")]
    pub(crate) job: Option<String>,
    /// Who does it; else TRAMMEL_BY, else the first who was named here
    #[arg(long, global = true, value_name = "NAME")]
    pub(crate) by: Option<String>,
}

#[derive(Debug, Subcommand)]
pub(crate) enum Command {
    /// Make, show, bring in and hand on the jobs of this device
    Job(JobAsk),
    /// Log a reading in a job, and tell how it stands to the others
    Read(ReadAsk),
    /// Set a reading aside, keep it, bring it back or correct it
    Reading(ReadingAsk),
    /// Describe, rename, join or split points, and mark lines that cannot be taped
    Point(PointAsk),
    /// Describe or rename tapes, angle finders and levels
    Instrument(InstrumentAsk),
    /// Add photos to a job, list them, pin points on them, save them
    Photo(PhotoAsk),
    /// Draw the shell of a job with its points by name, and a table of them, to be pinned up
    Wall(WallAsk),
    /// Solve the sheets of a survey and tell what stands between you and an order for tube
    Adjust(AdjustAsk),
    /// Say in which order to tape a shell, from rough places or from where a survey stands
    Order(OrderAsk),
    /// Tell which points of a shell moved between two sheets of readings
    Compare(CompareAsk),
    /// Make an invented job on this device, solve it, and tell what was found
    Demo(DemoAsk),
    /// Open the jobs of this device to its browser
    Serve(ServeAsk),
}

#[derive(Debug, Args)]
#[command(after_long_help = ADJUST_EXAMPLES, after_help = ADJUST_EXAMPLES, max_term_width = 80)]
pub(crate) struct AdjustAsk {
    /// The sheet of readings
    #[arg(value_name = "READINGS.csv")]
    pub(crate) readings: PathBuf,
    /// The sheet of points: sides, mirror partners, rough positions
    #[arg(long, value_name = "POINTS.csv")]
    pub(crate) points: Option<PathBuf>,
    /// The sheet of instruments
    #[arg(long, value_name = "INSTRUMENTS.csv")]
    pub(crate) instruments: Option<PathBuf>,
    /// three:ORIGIN,AHEAD,LEFT, plumb:ORIGIN,AHEAD,LEFT, centreline:ORIGIN,AHEAD,ABOVE or bench
    #[arg(long, value_name = "FRAME")]
    pub(crate) frame: Option<String>,
    /// A point on the upper side, to tell the shell from its mirror image
    #[arg(long, value_name = "LABEL")]
    pub(crate) above: Option<String>,
    /// The unit of bare numbers, and of the answer
    #[arg(long, value_enum)]
    pub(crate) unit: Option<Unit>,
    /// Hold suspects out of the points, or keep them in
    #[arg(long, value_enum, default_value_t = Suspects::Hold)]
    pub(crate) suspects: Suspects,
    /// Widen or narrow every ± by how the readings really scatter
    #[arg(long)]
    pub(crate) scale: bool,
    /// Let the solution find the zero offset of every instrument
    #[arg(long)]
    pub(crate) estimate_offsets: bool,
    /// Leave out rows that cannot be used, list them, and go on
    #[arg(long)]
    pub(crate) keep_going: bool,
    /// Write the result as JSON to FILE, or to standard output alone with -
    #[arg(long, value_name = "FILE|-")]
    pub(crate) json: Option<PathBuf>,
}

#[derive(Debug, Args)]
#[command(after_long_help = ORDER_EXAMPLES, after_help = ORDER_EXAMPLES, max_term_width = 80)]
pub(crate) struct OrderAsk {
    /// The sheet of points with their rough places
    #[arg(value_name = "POINTS.csv")]
    pub(crate) points: PathBuf,
    /// Lines that cannot be taped, and what was read so far
    #[arg(long, value_name = "READINGS.csv")]
    pub(crate) readings: Option<PathBuf>,
    /// The sheet of instruments, where the readings name some
    #[arg(long, value_name = "INSTRUMENTS.csv")]
    pub(crate) instruments: Option<PathBuf>,
    /// The frame in which to say how sure the points will be
    #[arg(long, value_name = "FRAME")]
    pub(crate) frame: Option<String>,
    /// The unit of bare numbers, and of the answer
    #[arg(long, value_enum)]
    pub(crate) unit: Option<Unit>,
    /// Write the order as JSON to FILE, or to standard output alone with -
    #[arg(long, value_name = "FILE|-")]
    pub(crate) json: Option<PathBuf>,
}

#[derive(Debug, Args)]
#[command(after_long_help = COMPARE_EXAMPLES, after_help = COMPARE_EXAMPLES, max_term_width = 80)]
pub(crate) struct CompareAsk {
    /// The sheet of readings before, such as before tacking
    #[arg(value_name = "BEFORE.csv")]
    pub(crate) before: PathBuf,
    /// The sheet of readings after; points are matched by their labels
    #[arg(value_name = "AFTER.csv")]
    pub(crate) after: PathBuf,
    /// The sheet of points, for both
    #[arg(long, value_name = "POINTS.csv")]
    pub(crate) points: Option<PathBuf>,
    /// The sheet of instruments, for both
    #[arg(long, value_name = "INSTRUMENTS.csv")]
    pub(crate) instruments: Option<PathBuf>,
    /// The frame that says which way is ahead, left and up; see adjust --help
    #[arg(long, value_name = "FRAME")]
    pub(crate) frame: Option<String>,
    /// The unit of bare numbers, and of the answer
    #[arg(long, value_enum)]
    pub(crate) unit: Option<Unit>,
    /// Write the result as JSON to FILE, or to standard output alone with -
    #[arg(long, value_name = "FILE|-")]
    pub(crate) json: Option<PathBuf>,
}

#[derive(Debug, Args)]
#[command(after_long_help = DEMO_EXAMPLES, after_help = DEMO_EXAMPLES, max_term_width = 80)]
pub(crate) struct DemoAsk {}

#[derive(Debug, Args)]
#[command(after_long_help = SERVE_EXAMPLES, after_help = SERVE_EXAMPLES, max_term_width = 80)]
pub(crate) struct ServeAsk {
    /// The port; else one that is free
    #[arg(long, value_name = "N", default_value_t = 0, hide_default_value = true)]
    pub(crate) port: u16,
    /// On the demo job, made where it is not there
    #[arg(long)]
    pub(crate) demo: bool,
}

#[derive(Debug, Clone, Copy, ValueEnum)]
pub(crate) enum Unit {
    /// Inches
    In,
    /// Millimetres
    Mm,
}

#[derive(Debug, Clone, Copy, ValueEnum)]
pub(crate) enum Suspects {
    /// Out of the points
    Hold,
    /// In the points
    Keep,
}

impl Ask {
    /// What is asked by these arguments. Where they say nothing that can be done, or ask for help, this ends the program.
    pub(crate) fn of(arguments: Vec<OsString>) -> Ask {
        let mut command = Ask::command();
        let of_jobs: Vec<Arg> = command
            .get_arguments()
            .filter(|option| option.is_global_set())
            .map(|option| option.clone().hide(true))
            .collect();
        // What works on sheets alone takes the options of jobs, and does not speak of them.
        for sheets_alone in ["adjust", "order", "compare"] {
            command = command.mut_subcommand(sheets_alone, |below| below.args(&of_jobs));
        }
        let read = Ask::from_arg_matches(&command.get_matches_from(arguments));
        read.unwrap_or_else(|error| error.exit())
    }
}

impl Unit {
    /// As it is typed.
    pub(crate) fn word(self) -> &'static str {
        match self {
            Unit::In => "in",
            Unit::Mm => "mm",
        }
    }
}

impl From<Unit> for desk::LengthUnit {
    fn from(unit: Unit) -> desk::LengthUnit {
        match unit {
            Unit::In => desk::LengthUnit::Inch,
            Unit::Mm => desk::LengthUnit::Millimetre,
        }
    }
}

impl From<Suspects> for desk::Suspects {
    fn from(suspects: Suspects) -> desk::Suspects {
        match suspects {
            Suspects::Hold => desk::Suspects::Hold,
            Suspects::Keep => desk::Suspects::Keep,
        }
    }
}
