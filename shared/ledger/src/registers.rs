//! Registers: the smallest things that a document holds, read from it and written to it.

use std::collections::BTreeMap;
use std::ops::RangeBounds;

use automerge::{Automerge, ChangeHash, ROOT, ReadDoc, ScalarValue, ScalarValueRef, Value as Held, ValueRef};

use crate::schema::{EntryId, Key, Room};

/// What a register holds.
#[derive(Debug, Clone, PartialEq)]
pub enum Value {
    /// Text, as most that people type.
    Text(String),
    /// A whole number: a time in ms since 1970, a size.
    Whole(i64),
    /// Another number.
    Number(f64),
}

impl Value {
    /// The text, where it is text.
    pub fn text(&self) -> Option<&str> {
        match self {
            Value::Text(text) => Some(text),
            Value::Whole(_) | Value::Number(_) => None,
        }
    }
}

impl std::fmt::Display for Value {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self {
            Value::Text(text) => f.write_str(text),
            Value::Whole(whole) => write!(f, "{whole}"),
            Value::Number(number) => write!(f, "{number}"),
        }
    }
}

impl From<&str> for Value {
    fn from(text: &str) -> Value {
        Value::Text(text.to_owned())
    }
}

impl From<&Value> for ScalarValue {
    fn from(value: &Value) -> ScalarValue {
        match value {
            Value::Text(text) => ScalarValue::Str(text.as_str().into()),
            Value::Whole(whole) => ScalarValue::Int(*whole),
            Value::Number(number) => ScalarValue::F64(*number),
        }
    }
}

/// One register to be written: its new value, or nothing to empty it.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Put {
    pub(crate) key: Key,
    pub(crate) value: Option<Value>,
}

/// The registers of one entry that hold something. Where devices disagree, the value that every copy of the document
/// puts first; who disagrees is told by [`disputes`](crate::Job::disputes).
#[derive(Debug, Clone, Default)]
pub(crate) struct Fields(BTreeMap<String, Value>);

impl Fields {
    pub(crate) fn text(&self, field: &str) -> Option<&str> {
        self.0.get(field).and_then(Value::text)
    }

    /// The text, or nothing written.
    pub(crate) fn words(&self, field: &str) -> String {
        self.text(field).unwrap_or_default().to_owned()
    }

    pub(crate) fn whole(&self, field: &str) -> Option<i64> {
        match self.0.get(field) {
            Some(Value::Whole(whole)) => Some(*whole),
            _ => None,
        }
    }

    pub(crate) fn number(&self, field: &str) -> Option<f64> {
        match self.0.get(field) {
            Some(Value::Number(number)) if number.is_finite() => Some(*number),
            Some(Value::Whole(whole)) => Some(*whole as f64),
            _ => None,
        }
    }

    pub(crate) fn entry(&self, field: &str) -> Option<EntryId> {
        self.text(field).and_then(EntryId::parse)
    }

    pub(crate) fn has(&self, field: &str) -> bool {
        self.0.contains_key(field)
    }
}

/// Reads every entry of a document, now or as it stood at some heads, in the order of the keys.
pub(crate) fn each_entry(
    document: &Automerge,
    at: Option<&[ChangeHash]>,
    mut take: impl FnMut(Room, EntryId, Fields),
) {
    let mut open: Option<(Room, EntryId, Fields)> = None;
    each_register(document, at, .., |key, value| {
        match &mut open {
            Some((room, entry, fields)) if *room == key.room && *entry == key.entry => {
                fields.0.insert(key.field, value);
            }
            _ => {
                let fields = Fields(BTreeMap::from([(key.field, value)]));
                if let Some((room, entry, fields)) = open.replace((key.room, key.entry, fields)) {
                    take(room, entry, fields);
                }
            }
        };
    });
    if let Some((room, entry, fields)) = open {
        take(room, entry, fields);
    }
}

/// Reads one entry as it is now.
pub(crate) fn one_entry(document: &Automerge, room: Room, entry: &EntryId) -> Fields {
    let prefix = format!("{}/{entry}/", room.word());
    // '0' is the letter after '/'.
    let end = format!("{}/{entry}0", room.word());
    let mut fields = Fields::default();
    each_register(document, None, prefix..end, |key, value| {
        fields.0.insert(key.field, value);
    });
    fields
}

fn each_register(
    document: &Automerge,
    at: Option<&[ChangeHash]>,
    keys: impl RangeBounds<String>,
    mut take: impl FnMut(Key, Value),
) {
    let items = match at {
        Some(heads) => document.map_range_at(ROOT, keys, heads),
        None => document.map_range(ROOT, keys),
    };
    for item in items {
        if let (Some(key), Some(value)) = (Key::parse(&item.key), of_ref(&item.value)) {
            let value = smallest(document, at, &key, item.conflict).unwrap_or(value);
            take(key, value);
        }
    }
}

/// When an entry was made is no matter of opinion: of two devices that made the same one, the earlier counts.
fn smallest(document: &Automerge, at: Option<&[ChangeHash]>, key: &Key, conflict: bool) -> Option<Value> {
    if !conflict || !SMALLEST_COUNTS.contains(&key.field.as_str()) {
        return None;
    }
    let whole = |(value, _): (Value, automerge::ObjId)| match value {
        Value::Whole(whole) => Some(whole),
        _ => None,
    };
    all_values(document, at, key)
        .into_iter()
        .filter_map(whole)
        .min()
        .map(Value::Whole)
}

/// Fields that devices write without having an opinion on them.
pub(crate) const SMALLEST_COUNTS: [&str; 2] = ["made", "row"];

/// Fields of which it only counts that somebody wrote them.
const PRESENCE_COUNTS: [&str; 2] = ["gone", "removed"];

/// Every value that a register holds, concurrent ones included, the one that counts last; each with the operation that
/// wrote it.
pub(crate) fn all_values(
    document: &Automerge,
    at: Option<&[ChangeHash]>,
    key: &Key,
) -> Vec<(Value, automerge::ObjId)> {
    let text = key.to_string();
    let held = match at {
        Some(heads) => document.get_all_at(ROOT, text, heads),
        None => document.get_all(ROOT, text),
    };
    let held = held.unwrap_or_default();
    held.into_iter()
        .filter_map(|(value, id)| Some((of_held(&value)?, id)))
        .collect()
}

/// The keys whose registers hold more than one concurrent value.
pub(crate) fn disputed_keys(document: &Automerge) -> Vec<Key> {
    document
        .map_range(ROOT, ..)
        .filter(|item| item.conflict)
        .filter_map(|item| Key::parse(&item.key))
        .filter(|key| {
            !SMALLEST_COUNTS.contains(&key.field.as_str()) && !PRESENCE_COUNTS.contains(&key.field.as_str())
        })
        .collect()
}

fn of_ref(value: &ValueRef<'_>) -> Option<Value> {
    match value {
        ValueRef::Scalar(ScalarValueRef::Str(text)) => Some(Value::Text(text.to_string())),
        ValueRef::Scalar(ScalarValueRef::Int(whole)) => Some(Value::Whole(*whole)),
        ValueRef::Scalar(ScalarValueRef::F64(number)) => Some(Value::Number(*number)),
        _ => None,
    }
}

fn of_held(value: &Held<'_>) -> Option<Value> {
    match value {
        Held::Scalar(scalar) => match scalar.as_ref() {
            ScalarValue::Str(text) => Some(Value::Text(text.to_string())),
            ScalarValue::Int(whole) => Some(Value::Whole(*whole)),
            ScalarValue::F64(number) => Some(Value::Number(*number)),
            _ => None,
        },
        Held::Object(_) => None,
    }
}
