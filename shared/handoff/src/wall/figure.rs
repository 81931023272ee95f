//! A figure as it is set: a whole number with its fraction built up over a level bar, never on a slant.

use crate::drawing::{Anchor, Face, Item, Pen, width_mm};

/// The fraction's figures over the main ones.
const PART: f64 = 0.58;
/// The bar's height over the baseline, over the size: half of the capitals.
const BAR: f64 = 0.343;

/// Sets a figure such as `-18 3/8` or `466.7` with its right end at a place on the baseline.
pub(super) fn set(text: &str, right: [f64; 2], face: Face, size: f64) -> Item {
    let figure = Parts::of(text);
    let mut items = Vec::new();
    let mut x = right[0];
    if let Some((over, under)) = &figure.fraction {
        let wide = figure.fraction_width(face, size);
        let (middle, bar) = (x - wide / 2.0, right[1] - BAR * size);
        let part = |y: f64, says: &str| Item::text([middle, y], Anchor::Middle, face, PART * size, says);
        items.push(part(bar - 0.1 * size, over));
        items.push(part(bar + (0.1 + PART * crate::drawing::CAP) * size, under));
        items.push(Item::line([x - wide, bar], [x, bar], Pen::solid(0.05 * size)));
        x -= wide + if figure.whole.is_empty() { 0.0 } else { 0.08 * size };
    }
    if !figure.whole.is_empty() {
        items.push(Item::text([x, right[1]], Anchor::End, face, size, figure.whole));
    }
    Item::Group {
        name: text.to_owned(),
        items,
    }
}

/// How wide it is.
pub(super) fn width(text: &str, face: Face, size: f64) -> f64 {
    let figure = Parts::of(text);
    let whole = width_mm(face, size, &figure.whole);
    match figure.fraction {
        None => whole,
        Some(_) => {
            whole
                + figure.fraction_width(face, size)
                + if figure.whole.is_empty() { 0.0 } else { 0.08 * size }
        }
    }
}

struct Parts {
    whole: String,
    fraction: Option<(String, String)>,
}

impl Parts {
    fn of(text: &str) -> Parts {
        // A minus as wide as the figures, not the hyphen that can be typed.
        let text = text.replace('-', "\u{2212}");
        let (whole, last) = match text.rsplit_once(' ') {
            Some((whole, last)) => (whole, last),
            None if text.contains('/') => match text.strip_prefix('\u{2212}') {
                Some(rest) => ("\u{2212}", rest),
                None => ("", text.as_str()),
            },
            None => (text.as_str(), ""),
        };
        match last.split_once('/') {
            Some((over, under)) => Parts {
                whole: whole.to_owned(),
                fraction: Some((over.to_owned(), under.to_owned())),
            },
            None => Parts {
                whole: text,
                fraction: None,
            },
        }
    }

    fn fraction_width(&self, face: Face, size: f64) -> f64 {
        let part = |says: &str| width_mm(face, PART * size, says);
        self.fraction
            .as_ref()
            .map_or(0.0, |(over, under)| part(over).max(part(under)) + 0.04 * size)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_fraction_is_taken_apart_and_a_hyphen_becomes_a_minus() {
        let parts = |text: &str| {
            let parts = Parts::of(text);
            (parts.whole, parts.fraction)
        };
        let fraction = |over: &str, under: &str| Some((over.to_owned(), under.to_owned()));
        assert_eq!(parts("18 3/8"), ("18".to_owned(), fraction("3", "8")));
        assert_eq!(parts("-18 3/8"), ("−18".to_owned(), fraction("3", "8")));
        assert_eq!(parts("-3/8"), ("−".to_owned(), fraction("3", "8")));
        assert_eq!(parts("3/16"), (String::new(), fraction("3", "16")));
        assert_eq!(parts("-466.7"), ("−466.7".to_owned(), None));
        assert_eq!(parts("0"), ("0".to_owned(), None));
    }
}
