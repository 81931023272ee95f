//! What stands beside each mark: its name where there is room for all, else numbers of the table.

use crate::drawing::{Anchor, CAP, Face, Item, width_mm};

use super::labels::{Ground, MANY, Placed, Wanted};

/// Names from this size to that, then numbers, mm of the em.
const NAME_SIZES: [f64; 3] = [4.3, 3.9, 3.5];
const NUMBER_SIZES: [f64; 3] = [3.9, 3.2, 2.6];
/// A name that is longer is drawn by its number, mm.
const LONGEST_NAME: f64 = 58.0;
/// White round the letters of a name, and how far they reach under their baseline, over the em.
const PAD: f64 = 0.3;
const DEPTH: f64 = 0.21;

/// A text that wants to stand beside a mark.
pub(super) struct Named {
    pub(super) at: [f64; 2],
    pub(super) reach: f64,
    pub(super) name: String,
    /// Its number in the table, where it has one.
    pub(super) number: Option<usize>,
}

impl Named {
    fn number(&self) -> String {
        self.number
            .map_or_else(|| self.name.clone(), |number| number.to_string())
    }

    fn name(&self, size: f64) -> String {
        match self.number {
            Some(number) if width_mm(Face::Figure, size, &self.name) > LONGEST_NAME => number.to_string(),
            _ => self.name.clone(),
        }
    }

    fn wanted(&self, says: &str, size: f64) -> Wanted {
        Wanted {
            at: self.at,
            reach: self.reach,
            size: [
                width_mm(Face::Figure, size, says) + 2.0 * PAD,
                (CAP + DEPTH + 0.04) * size + 2.0 * PAD,
            ],
        }
    }
}

/// A text with its place.
pub(super) struct Label {
    pub(super) placed: Placed,
    size: f64,
    says: String,
}

impl Label {
    pub(super) fn drawn(&self) -> Item {
        let [left, _, _, bottom] = self.placed.within;
        let at = [left + PAD, bottom - PAD - DEPTH * self.size];
        Item::text(at, Anchor::Start, Face::Figure, self.size, self.says.clone())
    }
}

/// Finds room for all: by name where that can be, else by number. Says what is not by name, and what found no room.
pub(super) fn lettered(names: &[Named], ground: impl Fn() -> Ground) -> (Vec<Label>, String) {
    let tried = |size, says: fn(&Named, f64) -> String| Try::of(names, ground(), size, says);
    let numbers = |sizes: &[f64]| best(sizes.iter().map(|&size| tried(size, |named, _| named.number())));
    let chosen = match names.len() > MANY {
        // So many names fit on no paper.
        true => numbers(&NUMBER_SIZES[2..]),
        false => match best(NAME_SIZES.iter().map(|&size| tried(size, Named::name))) {
            Some(by_name) if by_name.lacking() * 10 <= names.len() => Some(by_name.with_numbers(names)),
            _ => numbers(&NUMBER_SIZES),
        },
    };
    chosen.map_or_else(Default::default, |chosen| {
        let note = chosen.note(names);
        (chosen.labels(), note)
    })
}

/// The first that has room for all, else the one that has room for most.
fn best(tries: impl Iterator<Item = Try>) -> Option<Try> {
    let mut best: Option<Try> = None;
    for one in tries {
        if best.as_ref().is_none_or(|best| one.lacking() < best.lacking()) {
            best = Some(one);
        }
        if best.as_ref().is_some_and(|best| best.lacking() == 0) {
            break;
        }
    }
    best
}

/// Places for all names in one size.
struct Try {
    ground: Ground,
    size: f64,
    says: Vec<String>,
    placed: Vec<Option<Placed>>,
}

impl Try {
    fn of(names: &[Named], mut ground: Ground, size: f64, says: fn(&Named, f64) -> String) -> Try {
        let says: Vec<String> = names.iter().map(|named| says(named, size)).collect();
        let wanted: Vec<Wanted> = names
            .iter()
            .zip(&says)
            .map(|(named, says)| named.wanted(says, size))
            .collect();
        let placed = ground.place(&wanted);
        Try {
            ground,
            size,
            says,
            placed,
        }
    }

    fn lacking(&self) -> usize {
        self.placed.iter().filter(|placed| placed.is_none()).count()
    }

    /// Those without room by name go by number among the others.
    fn with_numbers(mut self, names: &[Named]) -> Try {
        for (place, named) in names.iter().enumerate() {
            if self.placed[place].is_none() {
                self.says[place] = named.number();
                let wanted = named.wanted(&self.says[place], self.size);
                self.placed[place] = self.ground.place(&[wanted])[0];
            }
        }
        self
    }

    fn note(&self, names: &[Named]) -> String {
        let by_number = |place: &usize| {
            let number = names[*place].number.map(|number| number.to_string());
            self.placed[*place].is_some() && number.as_ref() == Some(&self.says[*place])
        };
        let numbered = (0..names.len()).filter(by_number).count();
        let mut said = Vec::new();
        if numbered > 0 {
            said.push("Numbers are those of the table.".to_owned());
        }
        match self.lacking() {
            0 => {}
            1 => said.push("1 name found no room.".to_owned()),
            lacking => said.push(format!("{lacking} names found no room.")),
        }
        said.join(" ")
    }

    fn labels(self) -> Vec<Label> {
        let size = self.size;
        let placed = self.placed.into_iter().zip(self.says);
        placed
            .filter_map(|(placed, says)| placed.map(|placed| Label { placed, size, says }))
            .collect()
    }
}
