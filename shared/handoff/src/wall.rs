//! The sheet for the wall: plan, sides and ends of a shell with its points by name, then a table of them.

mod figure;
mod key;
mod labels;
mod lettering;
mod marks;
mod on_view;
mod setting;
mod sheet;
mod space;
mod table;
mod view;

use survey::{LengthUnit, Side};

use crate::drawing::{Day, Drawing, Page, Paper, lacking};

/// Everything that stands on the sheet.
#[derive(Debug, Clone, PartialEq)]
pub struct Wall {
    /// What the job is called.
    pub job: String,
    /// What stands in the boxes under the title, beside the job.
    pub cells: TitleCells,
    /// The unit of the figures in [`Row`], and of scales and their bars.
    pub unit: LengthUnit,
    /// The points, numbered from 1 in this order.
    pub points: Vec<WallPoint>,
    /// Which points hang together for the eye: pairs of places in `points`.
    pub outline: Vec<[usize; 2]>,
    /// Readings that are held out.
    pub suspects: Vec<SuspectLine>,
    /// The middle of the shell.
    pub mid_plane: Option<MidPlane>,
    /// How the axes lie, in sentences: on the page where the table begins.
    pub axes: Vec<String>,
    /// What stands at the foot of every page.
    pub stamp: String,
    /// What stands once, on the first page.
    pub caution: String,
}

/// What the boxes under the title say; an empty text is a question mark.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct TitleCells {
    /// The frame, in a word or two.
    pub frame: String,
    /// The epoch.
    pub epoch: String,
    /// The day of the last reading.
    pub last_read: Option<Day>,
    /// How many readings were taken.
    pub readings: usize,
}

/// A point of the sheet.
#[derive(Debug, Clone, PartialEq)]
pub struct WallPoint {
    /// Its name.
    pub label: String,
    /// On which side it is, where that was said.
    pub side: Option<Side>,
    /// Where it is.
    pub place: Place,
    /// Its coordinates as text: a row for each place it may have; none where it has none.
    pub rows: Vec<Row>,
    /// What else is to be known of it.
    pub remarks: Vec<String>,
}

/// How a point is drawn, mm.
#[derive(Debug, Clone, PartialEq)]
pub enum Place {
    /// It is pinned down.
    Fixed {
        /// Where.
        at: [f64; 3],
        /// The semi-axes of its 95 % ellipsoid, where that is known.
        axes_95_mm: Option<[[f64; 3]; 3]>,
    },
    /// It can move.
    Loose {
        /// Where it is drawn.
        at: [f64; 3],
        /// Unit vectors along which it can move.
        directions: Vec<[f64; 3]>,
    },
    /// It may be at either.
    Two([[f64; 3]; 2]),
    /// Nothing places it.
    Nowhere,
}

impl Place {
    /// Every place at which it is drawn.
    fn each(&self) -> Vec<[f64; 3]> {
        match self {
            Place::Fixed { at, .. } | Place::Loose { at, .. } => vec![*at],
            Place::Two(places) => places.to_vec(),
            Place::Nowhere => Vec::new(),
        }
    }
}

/// x, y and z of a point.
pub type Row = [Figure; 3];

/// A coordinate as the crew reads it, such as `-18 3/8` or `-466.7`, without a unit.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Figure {
    /// The figure; nothing where it is not known.
    pub value: Option<String>,
    /// Half the width of its 95 % band, rounded up; nothing where it is not known.
    pub half_width_95: Option<String>,
}

/// A reading that is held out, as a line.
#[derive(Debug, Clone, PartialEq)]
pub struct SuspectLine {
    /// What it is called.
    pub name: String,
    /// The points it names, by their places in [`Wall::points`].
    pub points: Vec<usize>,
    /// What to draw.
    pub path: Vec<[f64; 3]>,
}

/// A plane through a point, by its normal.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct MidPlane {
    /// On it.
    pub point: [f64; 3],
    /// A unit vector across it.
    pub normal: [f64; 3],
}

impl Default for Wall {
    fn default() -> Wall {
        Wall {
            job: String::new(),
            cells: TitleCells::default(),
            unit: LengthUnit::Millimetre,
            points: Vec::new(),
            outline: Vec::new(),
            suspects: Vec::new(),
            mid_plane: None,
            axes: Vec::new(),
            stamp: String::new(),
            caution: String::new(),
        }
    }
}

/// Why there is no sheet.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
pub enum WallError {
    /// No point has a place.
    #[error("nothing to draw yet: six readings between four points make a first shape")]
    NothingToDraw,
    /// A place is not a number, or farther than a kilometre.
    #[error("a point lies nowhere that paper could show: read its readings again")]
    NoPlaceOnPaper,
}

/// Lays out the sheet.
///
/// # Errors
/// Where no point has a place, or one has a place that cannot be drawn.
pub fn wall_sheet(wall: &Wall, paper: Paper) -> Result<Drawing, WallError> {
    let places: Vec<[f64; 3]> = wall.points.iter().flat_map(|point| point.place.each()).collect();
    if places.is_empty() {
        return Err(WallError::NothingToDraw);
    }
    if places
        .iter()
        .flatten()
        .any(|mm| !mm.is_finite() || mm.abs() > 1e6)
    {
        return Err(WallError::NoPlaceOnPaper);
    }
    let pages_of_views = view::pages(wall);
    let body = sheet::body(paper);
    let mut bodies: Vec<(String, Page)> = Vec::new();
    for (place, views) in pages_of_views.iter().enumerate() {
        let above = if place == 0 {
            sheet::caution_height(paper, &wall.caution)
        } else {
            0.0
        };
        let mut area = body;
        area[3] -= above;
        bodies.push((view::title(views).to_owned(), on_view::page(wall, views, area)));
    }
    for (title, page) in table::pages(wall, body) {
        bodies.push((title, page));
    }
    let count = bodies.len();
    let pages = bodies
        .into_iter()
        .enumerate()
        .map(|(place, (title, page))| sheet::dressed(wall, paper, &title, page, place + 1, count))
        .collect();
    Ok(Drawing {
        title: format!("{}, sheet for the wall", wall.job),
        paper,
        day: wall.cells.last_read,
        problems: lost_letters(wall),
        pages,
    })
}

/// What no font of this program can show.
fn lost_letters(wall: &Wall) -> Vec<String> {
    let labels = wall.points.iter().map(|point| point.label.as_str());
    let said = wall
        .points
        .iter()
        .flat_map(|point| point.remarks.iter().map(String::as_str));
    let others = [
        wall.job.as_str(),
        wall.cells.frame.as_str(),
        wall.cells.epoch.as_str(),
    ];
    let all: String = labels.chain(said).chain(others).collect();
    let lost = lacking(&all);
    if lost.is_empty() {
        return Vec::new();
    }
    let lost: Vec<String> = lost.iter().map(char::to_string).collect();
    vec![format!(
        "the sheet's letters lack {}, which are drawn as \u{fffd}: go by the numbers of the points, or name them in other letters",
        lost.join(" ")
    )]
}

#[cfg(test)]
mod tests;
