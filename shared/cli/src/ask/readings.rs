//! What can be asked of readings: to log one, and to change how it counts.

use clap::{Args, Subcommand};

const READ_EXAMPLES: &str = "\
Kinds and their points: tape A B, slope A B, corner A B C (at B), rise A B,
string A B C (A to the line B C), face A B C D (A to the plane B C D), x A, y A,
z A. What follows the points is the value, as it is written on paper. A label
that nobody used yet makes a point.

Examples:
  trammel read tape sill-RR sill-FR 54 3/8 in
  trammel read tape sill-RR roof-front 1032 mm --from burn-100mm
  trammel read slope sill-RR sill-FR -1.2 deg --instrument \"angle finder\"
  trammel read corner sill-FR sill-RR sill-RL 89.5 deg
  trammel read tape \"hoop foot L\" sill-RR '3'\\'' 4 5/8\"' --note \"to the skin\"

The reading is on the disk before it is compared with the others, so that nobody
reads what they expect to read.

Exit status: 0 logged, with or without a doubt; 2 it cannot be used, and why:
nothing is logged; 4 the store cannot be used.";

const READING_EXAMPLES: &str = "\
What was logged stays in the history, whatever is done here.

Examples:
  trammel reading set-aside r065 --why \"hook was off the edge\"
  trammel reading keep r065 --why \"read twice\"
  trammel reading bring-back r065
  trammel reading correct r065 --value \"48 1/2 in\" --why \"digits swapped\"";

const SET_ASIDE_EXAMPLES: &str = "\
Example:
  trammel reading set-aside r065 --why \"hook was off the edge\"";

const KEEP_EXAMPLES: &str = "\
A reading that is kept counts, and is not asked about again, even where it does
not fit the others.

Example:
  trammel reading keep r065 --why \"read twice\"";

const BRING_BACK_EXAMPLES: &str = "\
Example:
  trammel reading bring-back r065";

const CORRECT_EXAMPLES: &str = "\
What is not named stays as it is; an empty text, as in --note '', takes out what
was there.

Examples:
  trammel reading correct r065 --value \"48 1/2 in\" --why \"digits swapped\"
  trammel reading correct r112 --points sill-mid-L hoop-foot-R
  trammel reading correct r070 --from burn-1in";

#[derive(Debug, Args)]
#[command(after_long_help = READ_EXAMPLES, after_help = READ_EXAMPLES, max_term_width = 80)]
#[command(override_usage = "trammel read [OPTIONS] KIND POINT... VALUE...")]
pub(crate) struct ReadAsk {
    /// tape, slope, corner, rise, string, face, x, y or z
    pub(crate) kind: String,
    /// The points that the kind needs, then the value
    #[arg(required = true, value_name = "POINT... VALUE")]
    pub(crate) words: Vec<String>,
    /// What it was read with
    #[arg(long, value_name = "NAME")]
    pub(crate) instrument: Option<String>,
    /// What the number was read from: hook, burn-1in, burn-100mm or case
    #[arg(long, value_name = "WORD")]
    pub(crate) from: Option<String>,
    /// A length to add, such as half a tube
    #[arg(long, value_name = "LENGTH", allow_hyphen_values = true)]
    pub(crate) add: Option<String>,
    /// A standard deviation of its own
    #[arg(long, value_name = "VALUE")]
    pub(crate) sd: Option<String>,
    /// How the shell stands; else as since the newest stand
    #[arg(long, value_name = "NAME")]
    pub(crate) stand: Option<String>,
    /// The stage of the work; else the newest
    #[arg(long, value_name = "NAME")]
    pub(crate) epoch: Option<String>,
    /// Whatever is to be noted
    #[arg(long, value_name = "TEXT", allow_hyphen_values = true)]
    pub(crate) note: Option<String>,
}

#[derive(Debug, Args)]
#[command(after_long_help = READING_EXAMPLES, after_help = READING_EXAMPLES, max_term_width = 80)]
pub(crate) struct ReadingAsk {
    #[command(subcommand)]
    pub(crate) what: ReadingWhat,
}

#[derive(Debug, Subcommand)]
pub(crate) enum ReadingWhat {
    /// Take a reading out of use
    #[command(after_long_help = SET_ASIDE_EXAMPLES, after_help = SET_ASIDE_EXAMPLES)]
    SetAside {
        /// What it is called
        reading: String,
        /// Why
        #[arg(long, value_name = "TEXT", default_value = "", hide_default_value = true)]
        why: String,
    },
    /// Keep a reading on purpose
    #[command(after_long_help = KEEP_EXAMPLES, after_help = KEEP_EXAMPLES)]
    Keep {
        /// What it is called
        reading: String,
        /// Why
        #[arg(long, value_name = "TEXT", default_value = "", hide_default_value = true)]
        why: String,
    },
    /// Use a reading again as any other, neither set aside nor kept
    #[command(after_long_help = BRING_BACK_EXAMPLES, after_help = BRING_BACK_EXAMPLES)]
    BringBack {
        /// What it is called
        reading: String,
    },
    /// Correct a reading; what was logged stays beside it
    Correct(Box<CorrectAsk>),
}

#[derive(Debug, Args)]
#[command(after_long_help = CORRECT_EXAMPLES, after_help = CORRECT_EXAMPLES)]
pub(crate) struct CorrectAsk {
    /// What it is called
    pub(crate) reading: String,
    /// Why
    #[arg(long, value_name = "TEXT", default_value = "", hide_default_value = true)]
    pub(crate) why: String,
    /// The kind
    #[arg(long, value_name = "KIND")]
    pub(crate) kind: Option<String>,
    /// All its points, in their order
    #[arg(long, value_name = "LABEL", num_args = 1..=4)]
    pub(crate) points: Option<Vec<String>>,
    /// The value
    #[arg(long, value_name = "VALUE", allow_hyphen_values = true)]
    pub(crate) value: Option<String>,
    /// A standard deviation of its own
    #[arg(long, value_name = "VALUE")]
    pub(crate) sd: Option<String>,
    /// What it was read with
    #[arg(long, value_name = "NAME")]
    pub(crate) instrument: Option<String>,
    /// What the number was read from
    #[arg(long, value_name = "WORD")]
    pub(crate) from: Option<String>,
    /// A length to add
    #[arg(long, value_name = "LENGTH", allow_hyphen_values = true)]
    pub(crate) add: Option<String>,
    /// How the shell stood
    #[arg(long, value_name = "NAME")]
    pub(crate) stand: Option<String>,
    /// The stage of the work
    #[arg(long, value_name = "NAME")]
    pub(crate) epoch: Option<String>,
    /// Whatever is to be noted
    #[arg(long, value_name = "TEXT", allow_hyphen_values = true)]
    pub(crate) note: Option<String>,
}
