//! What can be asked of points and instruments.

use clap::{Args, Subcommand};

const POINT_EXAMPLES: &str = "\
Examples:
  trammel point describe sill-RR --side right --mirror sill-RL
  trammel point rename sil-RR sill-RR
  trammel point join hoop-foot-1 hoop-foot-L
  trammel point block sill-RR hoop-foot-L --why \"the floor is between\"";

const DESCRIBE_EXAMPLES: &str = "\
What is not named stays as it is; an empty text, as in --note '', takes out what
was there. Rough places start the search; they are never readings.

Examples:
  trammel point describe sill-RR --side right --mirror sill-RL
  trammel point describe sill-FR --x \"54 in\" --y \"-27 in\" --z \"6 in\"
  trammel point describe sill-RR --fixed xyz --x 0 --y 0 --z 0";

const RENAME_EXAMPLES: &str = "\
Example:
  trammel point rename sil-RR sill-RR";

const JOIN_EXAMPLES: &str = "\
For one mark that two people called differently. The readings of both count for
the second from then on.

Example:
  trammel point join hoop-foot-1 hoop-foot-L";

const SPLIT_EXAMPLES: &str = "\
Example:
  trammel point split hoop-foot-1";

const BLOCK_EXAMPLES: &str = "\
Example:
  trammel point block sill-RR hoop-foot-L --why \"the floor is between\"";

const UNBLOCK_EXAMPLES: &str = "\
Example:
  trammel point unblock sill-RR hoop-foot-L";

const INSTRUMENT_EXAMPLES: &str = "\
Examples:
  trammel instrument describe \"tape 5 m\" --kind tape --class II \\
      --graduation \"1/16 in\"
  trammel instrument rename \"tape 5 m\" \"Anna's tape\"";

const DESCRIBE_INSTRUMENT_EXAMPLES: &str = "\
One that is not there yet is added. What is not named stays as it is.

Examples:
  trammel instrument describe \"tape 5 m\" --kind tape --class II \\
      --graduation \"1/16 in\" --zero-offset \"0.5 mm\"
  trammel instrument describe \"angle finder\" --kind finder --sd \"0.2 deg\"";

const RENAME_INSTRUMENT_EXAMPLES: &str = "\
Example:
  trammel instrument rename \"tape 5 m\" \"Anna's tape\"";

#[derive(Debug, Args)]
#[command(after_long_help = POINT_EXAMPLES, after_help = POINT_EXAMPLES, max_term_width = 80)]
pub(crate) struct PointAsk {
    #[command(subcommand)]
    pub(crate) what: PointWhat,
}

#[derive(Debug, Subcommand)]
pub(crate) enum PointWhat {
    /// Say on which side a point is, its mirror partner, where it roughly is
    #[command(after_long_help = DESCRIBE_EXAMPLES, after_help = DESCRIBE_EXAMPLES)]
    Describe {
        /// The point
        label: String,
        /// left, right or centre
        #[arg(long, value_name = "SIDE")]
        side: Option<String>,
        /// The point that mirrors it
        #[arg(long, value_name = "LABEL")]
        mirror: Option<String>,
        /// Roughly how far ahead
        #[arg(long, value_name = "LENGTH", allow_hyphen_values = true)]
        x: Option<String>,
        /// Roughly how far to the left
        #[arg(long, value_name = "LENGTH", allow_hyphen_values = true)]
        y: Option<String>,
        /// Roughly how far up
        #[arg(long, value_name = "LENGTH", allow_hyphen_values = true)]
        z: Option<String>,
        /// Which of x, y and z are exact
        #[arg(long, value_name = "AXES")]
        fixed: Option<String>,
        /// Whatever is to be noted
        #[arg(long, value_name = "TEXT", allow_hyphen_values = true)]
        note: Option<String>,
    },
    /// Give a point another label
    #[command(after_long_help = RENAME_EXAMPLES, after_help = RENAME_EXAMPLES)]
    Rename {
        /// The point
        label: String,
        /// What it is to be called
        to: String,
    },
    /// Make two points one mark
    #[command(after_long_help = JOIN_EXAMPLES, after_help = JOIN_EXAMPLES)]
    Join {
        /// The point that goes into the other
        label: String,
        /// The point that stays
        into: String,
    },
    /// Take a joined point apart again
    #[command(after_long_help = SPLIT_EXAMPLES, after_help = SPLIT_EXAMPLES)]
    Split {
        /// The point that was joined into another
        label: String,
    },
    /// Mark a line that cannot be taped
    #[command(after_long_help = BLOCK_EXAMPLES, after_help = BLOCK_EXAMPLES)]
    Block {
        /// One end
        a: String,
        /// The other end
        b: String,
        /// What is in the way
        #[arg(long, value_name = "TEXT", default_value = "", hide_default_value = true)]
        why: String,
    },
    /// Say that a line can be taped after all
    #[command(after_long_help = UNBLOCK_EXAMPLES, after_help = UNBLOCK_EXAMPLES)]
    Unblock {
        /// One end
        a: String,
        /// The other end
        b: String,
    },
}

#[derive(Debug, Args)]
#[command(after_long_help = INSTRUMENT_EXAMPLES, after_help = INSTRUMENT_EXAMPLES, max_term_width = 80)]
pub(crate) struct InstrumentAsk {
    #[command(subcommand)]
    pub(crate) what: InstrumentWhat,
}

#[derive(Debug, Subcommand)]
pub(crate) enum InstrumentWhat {
    /// Add an instrument, or say more about it
    #[command(after_long_help = DESCRIBE_INSTRUMENT_EXAMPLES, after_help = DESCRIBE_INSTRUMENT_EXAMPLES)]
    Describe {
        /// What it is called
        name: String,
        /// tape, ring tape, laser, finder, level or rule
        #[arg(long, value_name = "KIND")]
        kind: Option<String>,
        /// The accuracy class printed on it
        #[arg(long, value_name = "CLASS")]
        class: Option<String>,
        /// Its finest marks
        #[arg(long, value_name = "LENGTH")]
        graduation: Option<String>,
        /// What it shows at zero
        #[arg(long, value_name = "LENGTH", allow_hyphen_values = true)]
        zero_offset: Option<String>,
        /// How long its case is
        #[arg(long, value_name = "LENGTH")]
        case_length: Option<String>,
        /// How surely it is held to a point, as a standard deviation
        #[arg(long, value_name = "LENGTH")]
        point_sd: Option<String>,
        /// A standard deviation of its own
        #[arg(long, value_name = "VALUE")]
        sd: Option<String>,
        /// Whatever is to be noted
        #[arg(long, value_name = "TEXT", allow_hyphen_values = true)]
        note: Option<String>,
    },
    /// Give an instrument another name
    #[command(after_long_help = RENAME_INSTRUMENT_EXAMPLES, after_help = RENAME_INSTRUMENT_EXAMPLES)]
    Rename {
        /// What it is called
        name: String,
        /// What it is to be called
        to: String,
    },
}
