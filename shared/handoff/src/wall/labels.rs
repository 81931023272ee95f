//! Where names go, so that none lies on another, on a mark or beyond the view: near its mark where there is room, else
//! farther out on a leader.

use std::collections::VecDeque;
use std::f64::consts::TAU;

use super::space::{
    Box2, Segment, apart, around, boxes_meet, grown, joined, lies_in, nearest, segment_meets_box,
    segments_cross,
};

/// A name that wants a place.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Wanted {
    /// The mark that it names.
    pub(super) at: [f64; 2],
    /// How far the mark reaches.
    pub(super) reach: f64,
    /// Width and height of the name.
    pub(super) size: [f64; 2],
}

/// Where a name went.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Placed {
    pub(super) within: Box2,
    /// From the mark to the name, where that is not beside it.
    pub(super) leader: Option<Segment>,
}

/// How far names keep from all else, mm.
const ROOM: f64 = 0.5;
/// A name nearer to its mark than this needs no leader, mm.
const BESIDE: f64 = 1.2;
/// How far out names are tried, mm beyond the reach of the mark.
const RINGS: [f64; 15] = [
    0.6, 3.0, 5.0, 7.5, 10.0, 13.0, 16.0, 20.0, 24.0, 29.0, 35.0, 42.0, 50.0, 60.0, 72.0,
];
/// With more names than this they are tried near their marks alone, and once.
pub(super) const MANY: usize = 400;
const RINGS_OF_MANY: usize = 5;
/// How often, for each name, others may be driven out to make room.
const REPAIRS: usize = 4;
const DRIVES_OUT: f64 = 30.0;
/// Directions in which they are tried, beside the mark and farther out.
const NEAR_DIRECTIONS: usize = 16;
const FAR_DIRECTIONS: usize = 48;
const FAR: f64 = 6.0;
/// A leader that is shorter shows nothing, mm.
const SHORTEST_LEADER: f64 = 1.0;
/// What it costs, in mm of leader, where a name or a leader lies over a line.
const OVER_A_LINE: f64 = 4.0;
const LEADER_OVER_A_LINE: f64 = 0.7;
const OVER_A_LEADER: f64 = 25.0;

/// A view that fills with names.
pub(super) struct Ground {
    area: Box2,
    taken: Vec<Taken>,
    cells: Vec<Vec<usize>>,
    columns: usize,
    /// Which of `taken` were looked at in which search, so that none counts twice.
    seen: Vec<u64>,
    search: u64,
    /// The names that the place looked at last would drive out.
    met: Vec<usize>,
    /// How many names earlier calls placed: those stay where they are.
    earlier: usize,
}

struct Taken {
    what: What,
    /// The name it belongs to; nothing for a mark.
    by: Option<usize>,
    gone: bool,
}

#[derive(Clone, Copy)]
enum What {
    /// Nothing may lie on it.
    Solid(Box2),
    /// A leader: no name may lie on it.
    Leader(Segment),
    /// Better not to lie on it.
    Line(Segment),
}

impl What {
    fn within(self) -> Box2 {
        match self {
            What::Solid(within) => within,
            What::Leader(line) | What::Line(line) => around(line),
        }
    }
}

const CELL: f64 = 8.0;

/// Where a name went, and what that takes of the ground.
type Found = Option<(Placed, Vec<usize>)>;

impl Ground {
    pub(super) fn new(area: Box2) -> Ground {
        let count = |low: f64, high: f64| ((high - low) / CELL).ceil().max(1.0) as usize;
        let (columns, rows) = (count(area[0], area[2]), count(area[1], area[3]));
        Ground {
            area,
            taken: Vec::new(),
            cells: vec![Vec::new(); columns * rows],
            columns,
            seen: Vec::new(),
            search: 0,
            met: Vec::new(),
            earlier: 0,
        }
    }

    /// Keeps names off a box.
    pub(super) fn keep_off(&mut self, within: Box2) {
        self.take(What::Solid(within), None);
    }

    /// Keeps names off a line where there is a choice.
    pub(super) fn rather_off(&mut self, line: Segment) {
        self.take(What::Line(line), None);
    }

    /// Finds places for names; none for those that find no room. Marks are kept off beforehand.
    pub(super) fn place(&mut self, wanted: &[Wanted]) -> Vec<Option<Placed>> {
        let many = wanted.len() > MANY;
        let rings = if many { &RINGS[..RINGS_OF_MANY] } else { &RINGS[..] };
        let mut found: Vec<Found> = vec![None; wanted.len()];
        let mut driven_out = vec![0; wanted.len()];
        let mut waiting: VecDeque<usize> = crowded_first(wanted).into();
        let mut left = if many { 0 } else { REPAIRS * wanted.len() };
        while let Some(name) = waiting.pop_front() {
            found[name] = self.settled(name, &wanted[name], rings);
            if found[name].is_some() || left == 0 {
                continue;
            }
            // Where there is no room, those that take it the least needfully look for other places.
            left -= 1;
            let Some((placed, others)) = self.least_wanted(&wanted[name], rings, &driven_out) else {
                continue;
            };
            for other in others {
                self.give_up(&mut found[other]);
                driven_out[other] += 1;
                waiting.push_back(other);
            }
            found[name] = Some(self.taken_for(name, placed));
        }
        // Later names may have left better places to earlier ones; each is asked once more.
        for _ in 0..if many { 0 } else { 2 } {
            for name in 0..wanted.len() {
                self.give_up(&mut found[name]);
                found[name] = self.settled(name, &wanted[name], rings);
            }
        }
        self.earlier += wanted.len();
        found
            .into_iter()
            .map(|found| found.map(|(placed, _)| placed))
            .collect()
    }

    fn give_up(&mut self, found: &mut Found) {
        for taken in found.take().into_iter().flat_map(|(_, its)| its) {
            self.taken[taken].gone = true;
        }
    }

    /// The best place that is free, taken.
    fn settled(&mut self, name: usize, wanted: &Wanted, rings: &[f64]) -> Found {
        let mut best: Option<(f64, Placed)> = None;
        for &ring in rings {
            if best.is_some_and(|(cost, _)| cost <= ring) {
                break;
            }
            for (placed, turned) in around_mark(wanted, ring) {
                let Some(over) = self.cost(wanted.at, &placed).filter(|_| self.met.is_empty()) else {
                    continue;
                };
                let cost = ring + over + turned;
                if best.is_none_or(|(least, _)| cost < least) {
                    best = Some((cost, placed));
                }
            }
        }
        best.map(|(_, placed)| self.taken_for(name, placed))
    }

    /// The place that drives out the fewest names, and those; names that were driven out before count for more.
    fn least_wanted(
        &mut self,
        wanted: &Wanted,
        rings: &[f64],
        driven_out: &[usize],
    ) -> Option<(Placed, Vec<usize>)> {
        let mut best: Option<(f64, Placed, Vec<usize>)> = None;
        for &ring in rings {
            for (placed, turned) in around_mark(wanted, ring) {
                let Some(over) = self.cost(wanted.at, &placed) else {
                    continue;
                };
                self.met.sort_unstable();
                self.met.dedup();
                if self.met.iter().any(|&other| other < self.earlier) {
                    continue;
                }
                let others = self.met.iter().map(|&other| 1 + driven_out[other - self.earlier]);
                let others: usize = others.sum();
                let cost = ring + over + turned + DRIVES_OUT * others as f64;
                if best.as_ref().is_none_or(|(least, ..)| cost < *least) {
                    let met = self.met.iter().map(|&other| other - self.earlier);
                    best = Some((cost, placed, met.collect()));
                }
            }
        }
        best.map(|(_, placed, others)| (placed, others))
    }

    /// What a place costs; nothing where a mark is on it or it is not in the area. The names on it are then in `met`.
    fn cost(&mut self, mark: [f64; 2], placed: &Placed) -> Option<f64> {
        self.met.clear();
        if !lies_in(placed.within, self.area) {
            return None;
        }
        let roomy = grown(placed.within, ROOM);
        let whole = placed
            .leader
            .map_or(roomy, |leader| joined(roomy, around(leader)));
        self.search += 1;
        let mut cost = 0.0;
        for cell in self.cells_of(whole) {
            for &index in &self.cells[cell] {
                let taken = &self.taken[index];
                if self.seen[index] == self.search || taken.gone {
                    continue;
                }
                self.seen[index] = self.search;
                let met = match taken.what {
                    What::Solid(within) => {
                        // What covers the mark itself, such as a flag, must not shut it in.
                        let covers = boxes_meet(within, [mark[0], mark[1], mark[0], mark[1]]);
                        let crossed =
                            |leader| !covers && segment_meets_box(leader, grown(within, ROOM / 2.0));
                        boxes_meet(roomy, within) || placed.leader.is_some_and(crossed)
                    }
                    What::Leader(other) => {
                        if placed.leader.is_some_and(|leader| segments_cross(leader, other)) {
                            cost += OVER_A_LEADER;
                        }
                        segment_meets_box(other, roomy)
                    }
                    What::Line(line) => {
                        if segment_meets_box(line, placed.within) {
                            cost += OVER_A_LINE;
                        }
                        if placed.leader.is_some_and(|leader| segments_cross(leader, line)) {
                            cost += LEADER_OVER_A_LINE;
                        }
                        false
                    }
                };
                match taken.by {
                    _ if !met => {}
                    Some(name) => self.met.push(name),
                    None => return None,
                }
            }
        }
        Some(cost)
    }

    fn taken_for(&mut self, name: usize, placed: Placed) -> (Placed, Vec<usize>) {
        let name = self.earlier + name;
        let mut its = vec![self.take(What::Solid(placed.within), Some(name))];
        its.extend(
            placed
                .leader
                .map(|leader| self.take(What::Leader(leader), Some(name))),
        );
        (placed, its)
    }

    fn take(&mut self, what: What, by: Option<usize>) -> usize {
        let index = self.taken.len();
        for cell in self.cells_of(grown(what.within(), ROOM)) {
            self.cells[cell].push(index);
        }
        self.taken.push(Taken {
            what,
            by,
            gone: false,
        });
        self.seen.push(0);
        index
    }

    /// The cells that a box touches; what lies beyond the area counts to the cells at its edge.
    fn cells_of(&self, within: Box2) -> impl Iterator<Item = usize> + use<> {
        let columns = self.columns;
        let rows = self.cells.len() / columns;
        let place = |value: f64, low: f64, count: usize| {
            let cell = ((value - low) / CELL).floor();
            if cell <= 0.0 {
                0
            } else {
                (cell as usize).min(count - 1)
            }
        };
        let (left, right) = (
            place(within[0], self.area[0], self.columns),
            place(within[2], self.area[0], self.columns),
        );
        let (top, bottom) = (
            place(within[1], self.area[1], rows),
            place(within[3], self.area[1], rows),
        );
        (top..=bottom)
            .flat_map(move |row| (left..=right).map(move |column| (row, column)))
            .map(move |(row, column)| row * columns + column)
    }
}

/// Those first that have the most marks around them.
fn crowded_first(wanted: &[Wanted]) -> Vec<usize> {
    let crowd: Vec<usize> = wanted
        .iter()
        .map(|one| {
            let near = |other: &&Wanted| apart(one.at, other.at) < 15.0;
            wanted.iter().filter(near).count()
        })
        .collect();
    let mut order: Vec<usize> = (0..wanted.len()).collect();
    order.sort_by_key(|&name| (usize::MAX - crowd[name], name));
    order
}

/// A name all around its mark at some distance, with what each direction costs: to the right first, then to the left,
/// then above and below.
fn around_mark(wanted: &Wanted, ring: f64) -> impl Iterator<Item = (Placed, f64)> {
    let directions = if ring < FAR {
        NEAR_DIRECTIONS
    } else {
        FAR_DIRECTIONS
    };
    (0..directions).map(move |direction| {
        let angle = direction as f64 / directions as f64 * TAU;
        let left = if angle.cos() < -1e-9 { 0.1 } else { 0.0 };
        (tried(wanted, ring, angle), 0.3 * angle.sin().abs() + left)
    })
}

/// A name at some distance in some direction.
fn tried(wanted: &Wanted, ring: f64, angle: f64) -> Placed {
    let (sin, cos) = angle.sin_cos();
    let [width, height] = wanted.size;
    let out = wanted.reach + ring;
    // Flush with the mark where it stands to its side, over its middle where above or below.
    let part = |along: f64| {
        if along.abs() < 1e-9 {
            0.0
        } else {
            along.signum() * along.abs().sqrt()
        }
    };
    let centre = [
        wanted.at[0] + cos * out + part(cos) * width / 2.0,
        wanted.at[1] + sin * out + part(sin) * height / 2.0,
    ];
    let within = [
        centre[0] - width / 2.0,
        centre[1] - height / 2.0,
        centre[0] + width / 2.0,
        centre[1] + height / 2.0,
    ];
    let end = nearest(within, wanted.at);
    let far = apart(wanted.at, end);
    // Clear of the box around the mark at its corners too.
    let clear = (wanted.reach + ROOM) * 1.42;
    let leader = (far > wanted.reach + BESIDE && far > clear + SHORTEST_LEADER).then(|| {
        let start = clear / far;
        let along = |axis: usize| wanted.at[axis] + (end[axis] - wanted.at[axis]) * start;
        [[along(0), along(1)], end]
    });
    Placed { within, leader }
}
