//! Quotes that do not pair: an inch mark typed into a sheet by hand.

/// How the quotes of a row are wrong.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum QuoteFault {
    /// A quote opens and never closes.
    Open,
    /// Something stands between a closing quote and the comma.
    After,
}

impl QuoteFault {
    pub(super) fn reason(self) -> &'static str {
        match self {
            QuoteFault::Open => {
                "a quote opens in this row and never closes, so that the rest of the sheet would be one cell: \
                 close it, and double the quote of an inch mark, as in \"40 5/8\"\"\""
            }
            QuoteFault::After => {
                "something stands between a closing quote and the comma: put the whole cell in quotes, and double \
                 the quote of an inch mark, as in \"40 5/8\"\"\""
            }
        }
    }
}

/// What is wrong with the quotes of a record. The csv crate reads on in silence, and an inch mark that opens
/// or closes a cell would then change a reading.
pub(crate) fn quote_fault(record: &[u8]) -> Option<QuoteFault> {
    let mut at = 0;
    while at < record.len() {
        if record[at] != b'"' {
            // A quote inside a cell that does not start with one is an ordinary character.
            at = next_after_comma(record, at);
            continue;
        }
        let Some(closed) = after_closing_quote(record, at + 1) else {
            return Some(QuoteFault::Open);
        };
        at = closed;
        let next = next_after_comma(record, at);
        let rest = record[at..next].strip_suffix(b",").unwrap_or(&record[at..next]);
        if !rest.trim_ascii().is_empty() {
            return Some(QuoteFault::After);
        }
        at = next;
    }
    None
}

/// The place after the quote that closes; two quotes in a row are one inside the cell.
fn after_closing_quote(record: &[u8], from: usize) -> Option<usize> {
    let mut at = from;
    loop {
        at += record.get(at..)?.iter().position(|&byte| byte == b'"')? + 1;
        if record.get(at) != Some(&b'"') {
            return Some(at);
        }
        at += 1;
    }
}

fn next_after_comma(record: &[u8], from: usize) -> usize {
    record[from..]
        .iter()
        .position(|&byte| byte == b',')
        .map_or(record.len(), |found| from + found + 1)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn quotes_that_pair_and_quotes_that_do_not() {
        let cases = [
            ("", None),
            ("a,b", None),
            ("\"a,b\",c", None),
            ("\"40 5/8\"\"\",c", None),
            ("\"\"", None),
            ("40 5/8\",c", None),
            ("a,\"b\" ,c", None),
            ("\"", Some(QuoteFault::Open)),
            ("a,\"b", Some(QuoteFault::Open)),
            ("a,\"b\"\"", Some(QuoteFault::Open)),
            ("a,\"5/8\" in,c", Some(QuoteFault::After)),
            ("\"a\"b,\"c", Some(QuoteFault::After)),
        ];
        for (record, fault) in cases {
            assert_eq!(quote_fault(record.as_bytes()), fault, "{record}");
        }
    }
}
