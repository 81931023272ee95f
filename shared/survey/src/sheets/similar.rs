//! Labels that are probably one label, typed twice.

use std::collections::BTreeMap;

use super::Origin;
use super::told::Told;
use crate::Label;

/// Where a label was first mentioned.
#[derive(Debug, Clone)]
pub(super) struct Mention {
    pub(super) label: Label,
    pub(super) file: String,
    pub(super) row: usize,
    pub(super) column: &'static str,
}

/// Tells labels that differ only in case, spaces, hyphens or underscores. They stay different points.
///
/// The first `known` of them belong to a sheet that was told already.
pub(super) fn tell(mentions: &[Mention], known: usize, told: &mut Told) {
    let mut seen: BTreeMap<String, &Mention> = BTreeMap::new();
    for (at, mention) in mentions.iter().enumerate() {
        let plain: String = mention
            .label
            .as_str()
            .to_lowercase()
            .chars()
            .filter(|c| !c.is_whitespace() && !matches!(c, '-' | '_' | '‐' | '‑' | '–'))
            .collect();
        let Some(first) = seen.get(plain.as_str()) else {
            seen.insert(plain, mention);
            continue;
        };
        if at >= known && first.label != mention.label {
            let (label, other) = (&mention.label, &first.label);
            let reason = match told.origin() {
                Origin::Job => format!(
                    "\"{label}\" and \"{other}\" differ only in case, spaces or hyphens: they are two points until \
                     somebody joins them"
                ),
                Origin::Files => format!(
                    "\"{label}\" here and \"{other}\" in {}, row {}, differ only in case, spaces or hyphens: they are \
                     read as two points",
                    first.file, first.row
                ),
            };
            told.note(Some(mention.row), Some(mention.column), reason);
        }
    }
}
