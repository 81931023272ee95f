//! What leaves for other people's tools and papers: bytes out of plain data.
//!
//! - [`wall_sheet`] lays out the sheet for the wall: the flat views of a shell with its points by name, and a table of
//!   them, as a [`Drawing`].
//! - [`Drawing`] is written as SVG, a file for each page, or as one PDF. Both show the same.
//!
//! Lengths are millimetres, in the frame of the coordinates: x ahead, y left, z up. Figures of the table come as text in
//! the crew's unit; this crate works nothing out but where ink goes.
//!
//! Invariant: pure. No file, clock or randomness; the same data gives the same bytes.
//!
//! ```
//! use handoff::{Paper, Place, Wall, WallPoint, wall_sheet};
//!
//! let point = |label: &str, at| WallPoint {
//!     label: label.to_owned(),
//!     side: None,
//!     place: Place::Fixed { at, axes_95_mm: None },
//!     rows: Vec::new(),
//!     remarks: Vec::new(),
//! };
//! let points = vec![point("sill-RR", [0.0, 0.0, 0.0]), point("sill-FR", [1300.0, 0.0, 20.0])];
//! let drawing = wall_sheet(&Wall { job: "shell".to_owned(), points, ..Wall::default() }, Paper::A4)?;
//! assert!(drawing.svg(1).is_some_and(|svg| svg.contains("<title>sill-FR</title>")));
//! assert!(drawing.pdf().is_ok_and(|pdf| pdf.starts_with(b"%PDF-")));
//! # Ok::<(), handoff::WallError>(())
//! ```

mod drawing;
mod wall;

pub use drawing::{Day, Drawing, Paper, PdfError};
pub use wall::{
    Figure, MidPlane, Place, Row, SuspectLine, TitleCells, Wall, WallError, WallPoint, wall_sheet,
};
