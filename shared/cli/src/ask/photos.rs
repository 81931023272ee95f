//! What can be asked of photos.

use std::path::PathBuf;

use clap::{Args, Subcommand, ValueEnum};

use super::jobs::Json;

const PHOTO_EXAMPLES: &str = "\
A photo is named by the first letters of its id, six or more, as photo list
shows it.

Examples:
  trammel photo add IMG_0412.jpg --point hoop-foot-L --caption \"foot, from behind\"
  trammel photo list
  trammel photo pin 3fa9c1 hoop-foot-L 0.42 0.77
  trammel photo save 3fa9c1 foot.jpg";

const ADD_EXAMPLES: &str = "\
JPEG, PNG and WebP are taken. The file is kept whole on this device; where it
was taken is left out of what leaves it.

Examples:
  trammel photo add IMG_0412.jpg --point hoop-foot-L
  trammel photo add IMG_0413.jpg --reading r065 --caption \"hook at the edge\"";

const LIST_EXAMPLES: &str = "\
Examples:
  trammel photo list
  trammel photo list --json";

const PIN_EXAMPLES: &str = "\
X runs from the left edge and Y from the top, both from 0 to 1.

Examples:
  trammel photo pin 3fa9c1 hoop-foot-L 0.42 0.77
  trammel photo pin 3fa9c1 \"\" 0.42 0.77 --note \"bracket, no mark yet\"";

const TIE_EXAMPLES: &str = "\
Example:
  trammel photo tie 3fa9c1 \"bracket, no mark yet\" bracket-L";

const UNPIN_EXAMPLES: &str = "\
To move a pin, take it off and pin the point again.

Example:
  trammel photo unpin 3fa9c1 hoop-foot-L";

const CAPTION_EXAMPLES: &str = "\
Example:
  trammel photo caption 3fa9c1 \"foot of the hoop, from behind\"";

const ABOUT_EXAMPLES: &str = "\
Examples:
  trammel photo about 3fa9c1 --point hoop-foot-L
  trammel photo about 3fa9c1 --reading r065
  trammel photo about 3fa9c1";

const REMOVE_EXAMPLES: &str = "\
The picture stays on the disk; photo bring-back brings it back.

Example:
  trammel photo remove 3fa9c1";

const BRING_BACK_EXAMPLES: &str = "\
Example:
  trammel photo bring-back 3fa9c1";

const SAVE_EXAMPLES: &str = "\
Unless --size says otherwise, where it was taken is left out of the file. A file
of that name is never overwritten.

Examples:
  trammel photo save 3fa9c1 foot.jpg
  trammel photo save 3fa9c1 original.jpg --size original";

#[derive(Debug, Args)]
#[command(after_long_help = PHOTO_EXAMPLES, after_help = PHOTO_EXAMPLES, max_term_width = 80)]
pub(crate) struct PhotoAsk {
    #[command(subcommand)]
    pub(crate) what: PhotoWhat,
}

#[derive(Debug, Subcommand)]
pub(crate) enum PhotoWhat {
    /// Take a photo into a job
    #[command(after_long_help = ADD_EXAMPLES, after_help = ADD_EXAMPLES)]
    Add {
        /// The photo
        file: PathBuf,
        /// What to write under it
        #[arg(long, value_name = "TEXT", default_value = "", hide_default_value = true)]
        caption: String,
        /// The point that it is of
        #[arg(long, value_name = "LABEL", conflicts_with = "reading")]
        point: Option<String>,
        /// The reading that it is of
        #[arg(long, value_name = "NAME")]
        reading: Option<String>,
    },
    /// List the photos of a job
    #[command(after_long_help = LIST_EXAMPLES, after_help = LIST_EXAMPLES)]
    List {
        #[command(flatten)]
        json: Json,
    },
    /// Tie a place on a photo to a point, or note what is there
    #[command(after_long_help = PIN_EXAMPLES, after_help = PIN_EXAMPLES)]
    Pin {
        /// The photo
        photo: String,
        /// The point; empty with a note
        point: String,
        /// From the left edge, 0 to 1
        #[arg(allow_negative_numbers = true)]
        x: f64,
        /// From the top, 0 to 1
        #[arg(allow_negative_numbers = true)]
        y: f64,
        /// What is there
        #[arg(long, value_name = "TEXT", default_value = "")]
        note: String,
    },
    /// Tie a pin that has only a note to a point
    #[command(after_long_help = TIE_EXAMPLES, after_help = TIE_EXAMPLES)]
    Tie {
        /// The photo
        photo: String,
        /// What was noted at the pin
        note: String,
        /// The point
        point: String,
    },
    /// Take the pin of a point, or with a note, off a photo
    #[command(after_long_help = UNPIN_EXAMPLES, after_help = UNPIN_EXAMPLES)]
    Unpin {
        /// The photo
        photo: String,
        /// The point, or what was noted
        point: String,
    },
    /// Write under a photo
    #[command(after_long_help = CAPTION_EXAMPLES, after_help = CAPTION_EXAMPLES)]
    Caption {
        /// The photo
        photo: String,
        /// What to write
        caption: String,
    },
    /// Say of which point or reading a photo is; of neither, where none is named
    #[command(after_long_help = ABOUT_EXAMPLES, after_help = ABOUT_EXAMPLES)]
    About {
        /// The photo
        photo: String,
        /// The point
        #[arg(long, value_name = "LABEL", conflicts_with = "reading")]
        point: Option<String>,
        /// The reading
        #[arg(long, value_name = "NAME")]
        reading: Option<String>,
    },
    /// Take a photo out of a job
    #[command(after_long_help = REMOVE_EXAMPLES, after_help = REMOVE_EXAMPLES)]
    Remove {
        /// The photo
        photo: String,
    },
    /// Bring a photo back that was taken out
    #[command(after_long_help = BRING_BACK_EXAMPLES, after_help = BRING_BACK_EXAMPLES)]
    BringBack {
        /// The photo
        photo: String,
    },
    /// Write a photo into a file
    #[command(after_long_help = SAVE_EXAMPLES, after_help = SAVE_EXAMPLES)]
    Save {
        /// The photo
        photo: String,
        /// Where to write it
        file: PathBuf,
        /// Which picture of it
        #[arg(long, value_enum, default_value_t = Size::ToLeave)]
        size: Size,
    },
}

#[derive(Debug, Clone, Copy, ValueEnum)]
pub(crate) enum Size {
    /// Without where it was taken
    ToLeave,
    /// As it was taken, with everything that is in its file
    Original,
    /// Longest edge 1280 px
    Large,
    /// Longest edge 256 px
    Small,
}

impl From<Size> for desk::PhotoSize {
    fn from(size: Size) -> desk::PhotoSize {
        match size {
            Size::ToLeave => desk::PhotoSize::ToLeave,
            Size::Original => desk::PhotoSize::Original,
            Size::Large => desk::PhotoSize::Large,
            Size::Small => desk::PhotoSize::Small,
        }
    }
}
