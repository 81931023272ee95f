//! A page of views: heads, lines, marks, names.

use survey::{INCH_MM, LengthUnit};

use crate::drawing::{Anchor, Face, Ink, Item, Page, Pen};

use super::key::Key;
use super::labels::Ground;
use super::lettering::{Label, Named, lettered};
use super::marks::{self, Mark};
use super::space::{Box2, Segment};
use super::view::{Kind, Projection, View, scale, scale_words};
use super::{Place, SuspectLine, Wall, WallPoint};

/// Lines between neighbours.
pub(super) const OUTLINE: Pen = Pen::solid(0.25);
/// What a point lies in.
pub(super) const ELLIPSE: Pen = Pen::dashed(0.18, &[1.1, 0.7]);
const MID_LINE: Pen = Pen::dashed(0.25, &[6.0, 1.2, 1.2, 1.2]);
const LEADER: Pen = Pen::solid(0.18);
const RULE: Pen = Pen::solid(0.15);

/// Right of a scale's bar: half of the figure at its end.
const AT_END: f64 = 9.0;
/// Over each view: its name, its axes, its scale.
const HEAD: f64 = 17.0;
/// Under each view: what is to be said of its names.
const NOTE: f64 = 6.0;
/// Room for names beside and over what is drawn, mm.
const BESIDE_PLAN: f64 = 30.0;
const BESIDE: f64 = 12.0;
const OVER: f64 = 8.0;
/// Half of the typical ellipse on paper, mm, and the most of any.
const TYPICAL: f64 = 3.6;
const LARGEST: f64 = 9.0;

/// Draws the views of one page, one under the other, all to one scale.
pub(super) fn page(wall: &Wall, views: &[View], area: Box2) -> Page {
    let width = area[2] - area[0];
    let key_of = |factor| {
        let points: Vec<&WallPoint> = views
            .iter()
            .flat_map(|view| &view.points)
            .map(|&p| &wall.points[p])
            .collect();
        let suspects: Vec<&SuspectLine> = views.iter().flat_map(|view| suspects(wall, view)).collect();
        let outline = views.iter().any(|view| !edges(wall, view).is_empty());
        Key::of(&points, &suspects, outline, factor)
    };
    // The key is as high whatever the factor is, but for its figures.
    let rooms = rooms(area, views.len(), key_of(Some(1000.0)).height(width));
    let beside = if views[0].kind == Kind::Plan {
        BESIDE_PLAN
    } else {
        BESIDE
    };
    let room = [
        width - 2.0 * beside,
        rooms[0][3] - rooms[0][1] - HEAD - NOTE - 2.0 * OVER,
    ];
    let denominator = scale(wall.unit, views, wall, room);
    let factor = factor(wall, views, denominator);
    let mut items = Vec::new();
    for (place, (view, within)) in views.iter().zip(&rooms).enumerate() {
        if place > 0 {
            items.push(Item::line([within[0], within[1]], [within[2], within[1]], RULE));
        }
        items.push(drawn(wall, view, *within, denominator, factor.unwrap_or(1.0)));
    }
    items.push(key_of(factor).drawn(area));
    Page { items }
}

/// The views' shares of a page over its key.
fn rooms(area: Box2, views: usize, key: f64) -> Vec<Box2> {
    let high = (area[3] - area[1] - key) / views as f64;
    (0..views)
        .map(|place| {
            let top = area[1] + place as f64 * high;
            [area[0], top, area[2], top + high]
        })
        .collect()
}

fn drawn(wall: &Wall, view: &View, within: Box2, denominator: f64, factor: f64) -> Item {
    let ground = [within[0], within[1] + HEAD, within[2], within[3] - NOTE];
    let on = Projection::centred(view, wall, denominator, ground);
    let mut items = head(view.kind, wall.unit, denominator, within);
    let mut lines: Vec<Segment> = Vec::new();

    let mid_line = mid_line(wall, view, &on, ground);
    items.extend(mid_line.map(|line| Item::line(line[0], line[1], MID_LINE)));
    lines.extend(mid_line);
    let zero = on.on_paper([0.0; 3]);
    if super::space::lies_in([zero[0], zero[1], zero[0], zero[1]], ground) {
        items.extend(marks::zero(zero));
    }
    for line in edges(wall, view) {
        let line = line.map(|at| on.on_paper(at));
        items.push(Item::line(line[0], line[1], OUTLINE));
        lines.push(line);
    }
    let mut marks: Vec<Mark> = Vec::new();
    let mut names: Vec<Named> = Vec::new();
    for &place in &view.points {
        let point = &wall.points[place];
        items.extend(ellipse(point, &on, factor));
        let mark = mark(point, &on);
        names.push(Named {
            at: on.on_paper(point.place.each()[0]),
            reach: if matches!(point.place, Place::Fixed { .. }) {
                marks::PRICK
            } else {
                1.4
            },
            name: name(point),
            number: Some(place + 1),
        });
        marks.push(mark);
    }
    let pricks: Vec<[f64; 2]> = view
        .points
        .iter()
        .flat_map(|&point| wall.points[point].place.each())
        .map(|at| on.on_paper(at))
        .collect();
    for reading in suspects(wall, view) {
        let path: Vec<[f64; 2]> = reading.path.iter().map(|at| on.on_paper(*at)).collect();
        let (mark, [x, y]) = marks::suspect(&path, &reading.name, &pricks);
        // Under the points, which its line ends at.
        marks.insert(0, mark);
        names.push(Named {
            at: [x + 1.9, y - 3.2],
            reach: 3.7,
            name: format!("{}, suspect", reading.name),
            number: None,
        });
    }
    if let Some([end, _]) = mid_line {
        names.push(Named {
            at: end,
            reach: 0.4,
            name: "mid-line".to_owned(),
            number: None,
        });
    }
    let ground = || {
        let mut fresh = Ground::new(ground);
        lines.iter().for_each(|&line| fresh.rather_off(line));
        for mark in &marks {
            mark.keep_off.iter().for_each(|&within| fresh.keep_off(within));
            mark.rather_off.iter().for_each(|&line| fresh.rather_off(line));
        }
        fresh
    };
    let (labels, note) = lettered(&names, ground);
    let leaders = labels.iter().filter_map(|label| label.placed.leader);
    items.extend(leaders.map(|[from, to]| Item::line(from, to, LEADER)));
    items.extend(marks.into_iter().flat_map(|mark| mark.items));
    // White under the letters, so that a line which a name lies over does not run through them.
    for label in &labels {
        items.push(Item::rectangle(label.placed.within, Ink::White));
    }
    items.extend(labels.iter().map(Label::drawn));
    let base = [within[0], within[3] - 1.6];
    let said: Vec<&str> = [view.kind.shows(), note.as_str()]
        .into_iter()
        .filter(|said| !said.is_empty())
        .collect();
    if !said.is_empty() {
        items.push(Item::text(base, Anchor::Start, Face::Text, 3.5, said.join(" ")));
    }
    Item::Group {
        name: format!("{}, {}", view.kind.title(), scale_words(denominator)),
        items,
    }
}

/// The name of a view, its axes as arrows, its scale with a bar.
fn head(kind: Kind, unit: LengthUnit, denominator: f64, within: Box2) -> Vec<Item> {
    let [left, top, right, _] = within;
    let mut items = vec![Item::text(
        [left, top + 7.0],
        Anchor::Start,
        Face::Head,
        5.6,
        kind.title(),
    )];

    // Both arrows run from one corner.
    let reach = 8.0;
    let [(first, up), (second, across)] = kind.arrows();
    let corner = [left + (right - left) * 0.46, top + 13.0];
    let tip = |[x, y]: [f64; 2]| [corner[0] + x * reach, corner[1] + y * reach];
    items.extend(marks::arrow(corner, tip(first), Pen::solid(0.4), 1.8));
    items.extend(marks::arrow(corner, tip(second), Pen::solid(0.4), 1.8));
    let side = second[0].signum();
    let beside = |x: f64| if x > 0.0 { Anchor::Start } else { Anchor::End };
    let over = tip(first);
    items.push(Item::text(
        [over[0] - side * 2.0, over[1] + 2.4],
        beside(-side),
        Face::Text,
        3.7,
        up,
    ));
    let out = tip(second);
    items.push(Item::text(
        [out[0] + side * 1.6, out[1] + 1.2],
        beside(side),
        Face::Text,
        3.7,
        across,
    ));

    let (length, words) = bar(unit, denominator);
    let start = right - length - AT_END;
    let (high, low) = (top + 7.0, top + 8.6);
    let says = format!("Scale {}", scale_words(denominator));
    items.push(Item::text(
        [right - AT_END, top + 4.8],
        Anchor::End,
        Face::Figure,
        4.3,
        says,
    ));
    items.push(Item::frame([start, high, start + length, low], Pen::solid(0.2)));
    for block in [0.0, 2.0] {
        let from = start + length * block / 4.0;
        items.push(Item::rectangle(
            [from, high, from + length / 4.0, low],
            Ink::Black,
        ));
    }
    for (part, says) in words.into_iter().enumerate() {
        let at = [start + length * part as f64 / 2.0, top + 12.6];
        items.push(Item::text(at, Anchor::Middle, Face::Figure, 3.5, says));
    }
    items
}

/// How long the bar of a scale is on paper, and what stands at its beginning, middle and end.
fn bar(unit: LengthUnit, denominator: f64) -> (f64, [String; 3]) {
    let (steps, of, word): (&[f64], f64, &str) = match unit {
        LengthUnit::Millimetre => (&[1.0, 2.0, 5.0], 1.0, "mm"),
        LengthUnit::Inch => (&[2.0, 4.0, 6.0, 12.0], INCH_MM, "in"),
    };
    let each = (0..9).flat_map(|power| {
        let by = match unit {
            LengthUnit::Millimetre => 10.0_f64.powi(power + 1),
            LengthUnit::Inch => 12.0_f64.powi(power),
        };
        steps.iter().map(move |step| step * by)
    });
    let fits = |length: &f64| length * of / denominator <= 56.0;
    let length = each.take_while(fits).last().unwrap_or(steps[0]);
    let words = [
        "0".to_owned(),
        format!("{:.0}", length / 2.0),
        format!("{length:.0} {word}"),
    ];
    (length * of / denominator, words)
}

fn name(point: &WallPoint) -> String {
    let state = match point.place {
        Place::Loose { .. } => ", loose",
        Place::Two(_) => ", two places",
        Place::Fixed { .. } | Place::Nowhere => "",
    };
    format!("{}{state}", point.label)
}

fn mark(point: &WallPoint, on: &Projection) -> Mark {
    match &point.place {
        Place::Fixed { at, .. } => marks::pricked(on.on_paper(*at), &point.label),
        Place::Loose { at, directions } => {
            let ways: Vec<[f64; 2]> = directions.iter().map(|way| on.kind.flat(*way)).collect();
            marks::loose(on.on_paper(*at), &ways, &point.label)
        }
        Place::Two(places) => marks::two_places(places.map(|at| on.on_paper(at)), &point.label),
        Place::Nowhere => Mark::default(),
    }
}

fn ellipse(point: &WallPoint, on: &Projection, factor: f64) -> Option<Item> {
    let Place::Fixed {
        at,
        axes_95_mm: Some(axes),
    } = &point.place
    else {
        return None;
    };
    let (half, angle) = on.kind.outline(axes);
    let half = half.map(|mm| mm * factor / on.denominator);
    (half[0] > 2.0 * ELLIPSE.width).then(|| Item::Ellipse {
        centre: on.on_paper(*at),
        half: [half[0], half[1].max(0.05)],
        angle,
        pen: ELLIPSE,
    })
}

/// How much larger than the drawing ellipses are drawn, so that they can be told apart; nothing where there are none.
fn factor(wall: &Wall, views: &[View], denominator: f64) -> Option<f64> {
    let mut long: Vec<f64> = views
        .iter()
        .flat_map(|view| view.points.iter().map(move |&point| (view, point)))
        .filter_map(|(view, point)| match &wall.points[point].place {
            Place::Fixed { axes_95_mm, .. } => axes_95_mm.map(|axes| view.kind.outline(&axes).0[0]),
            _ => None,
        })
        .filter(|mm| *mm > 0.0)
        .map(|mm| mm / denominator)
        .collect();
    long.sort_by(f64::total_cmp);
    let (typical, largest) = (long.get(long.len() / 2)?, long.last()?);
    let most = (TYPICAL / typical).min(LARGEST / largest);
    let round = (0..9).flat_map(|power| [1.0, 2.0, 5.0].map(|step| step * 10.0_f64.powi(power)));
    Some(round.take_while(|factor| *factor <= most).last().unwrap_or(1.0))
}

/// Lines of the outline that lie in a view, in space.
fn edges(wall: &Wall, view: &View) -> Vec<[[f64; 3]; 2]> {
    let first = |point: usize| {
        let places = wall.points.get(point)?.place.each();
        places.first().copied().filter(|_| view.points.contains(&point))
    };
    let ends = wall
        .outline
        .iter()
        .filter_map(|[a, b]| Some([first(*a)?, first(*b)?]));
    ends.collect()
}

/// Readings held out of which all points are in a view.
fn suspects<'a>(wall: &'a Wall, view: &View) -> Vec<&'a SuspectLine> {
    let shown = |reading: &&SuspectLine| {
        reading.path.len() > 1 && reading.points.iter().all(|point| view.points.contains(point))
    };
    wall.suspects.iter().filter(shown).collect()
}

/// The mid-plane where it is seen from its edge, a little longer than what is drawn.
fn mid_line(wall: &Wall, view: &View, on: &Projection, ground: Box2) -> Option<Segment> {
    let plane = wall.mid_plane?;
    let [nx, ny] = view.kind.flat(plane.normal);
    let flat = nx.hypot(ny);
    if flat < 0.7 {
        return None;
    }
    let along = [-ny / flat, nx / flat];
    let through = on.on_paper(plane.point);
    let reach = view
        .points
        .iter()
        .flat_map(|&point| wall.points[point].place.each())
        .map(|at| {
            let [x, y] = on.on_paper(at);
            (x - through[0]) * along[0] + (y - through[1]) * along[1]
        });
    let [low, high] = reach.fold([f64::INFINITY, f64::NEG_INFINITY], |[low, high], t| {
        [low.min(t), high.max(t)]
    });
    let at = |t: f64| {
        [0, 1].map(|axis| (through[axis] + along[axis] * t).clamp(ground[axis] + 1.0, ground[axis + 2] - 1.0))
    };
    let mut line = [at(low - 8.0), at(high + 8.0)];
    // Named at its upper end.
    if line[0][1] > line[1][1] {
        line.reverse();
    }
    Some(line)
}
