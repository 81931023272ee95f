//! The pieces a typed length or angle is made of: numbers, marks, words.

use crate::unit_error::{UnitError, UnitFault};

/// One piece of the text.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) enum Token<'a> {
    /// Digits, perhaps with one decimal point.
    Number(&'a str),
    /// A fraction written as one character, such as ½.
    Vulgar(u32, u32),
    /// Letters.
    Word(&'a str),
    /// `'` and its like: feet, or minutes of an angle.
    Single,
    /// `"` and its like: inches, or seconds of an angle.
    Double,
    /// `°`.
    Degree,
    /// A hyphen, dash or minus.
    Minus,
    /// `+`.
    Plus,
    /// `/` and its like.
    Slash,
    /// Anything else.
    Other(char),
}

/// The pieces of a text with their places, and a finger on the next one.
pub(crate) struct Tokens<'a> {
    text: &'a str,
    list: Vec<(Token<'a>, usize)>,
    next: usize,
}

impl<'a> Tokens<'a> {
    /// Splits the text, and refuses at once what no length and no angle can be: nothing at all, dates,
    /// commas, exponents, "NaN".
    pub(crate) fn of(text: &'a str) -> Result<Tokens<'a>, UnitError> {
        let tokens = Tokens {
            text,
            list: split(text),
            next: 0,
        };
        match tokens.hopeless() {
            Some(fault) => Err(tokens.fault(fault)),
            None => Ok(tokens),
        }
    }

    pub(crate) fn fault(&self, fault: UnitFault) -> UnitError {
        UnitError::new(self.text.trim(), fault)
    }

    pub(crate) fn peek(&self) -> Option<Token<'a>> {
        self.peek_ahead(0)
    }

    pub(crate) fn peek_ahead(&self, ahead: usize) -> Option<Token<'a>> {
        self.list.get(self.next + ahead).map(|(token, _)| *token)
    }

    /// The piece before the next one.
    pub(crate) fn before(&self) -> Option<Token<'a>> {
        self.next
            .checked_sub(1)
            .and_then(|at| self.list.get(at))
            .map(|(token, _)| *token)
    }

    /// The place of the next piece, counted in characters from 1; one past the end where there is none.
    pub(crate) fn at(&self) -> usize {
        match self.list.get(self.next) {
            Some((_, at)) => *at,
            None => self.text.trim().chars().count() + 1,
        }
    }

    pub(crate) fn step(&mut self) {
        self.next += 1;
    }

    /// Takes a leading sign: −1 or 1.
    pub(crate) fn sign(&mut self) -> f64 {
        match self.peek() {
            Some(Token::Minus) => {
                self.step();
                -1.0
            }
            Some(Token::Plus) => {
                self.step();
                1.0
            }
            _ => 1.0,
        }
    }

    /// Takes a number without a fraction, and says whether it is whole.
    pub(crate) fn number(&mut self) -> Result<(f64, bool), UnitError> {
        let at = self.at();
        let Some(Token::Number(digits)) = self.peek() else {
            return Err(self.unexpected());
        };
        if digits.ends_with('.') {
            return Err(self.fault(UnitFault::UnfinishedNumber {
                at: at + digits.len() - 1,
            }));
        }
        if let Some((second, _)) = digits.match_indices('.').nth(1) {
            return Err(self.fault(UnitFault::SecondPoint { at: at + second }));
        }
        let value: f64 = digits.parse().map_err(|_| self.fault(UnitFault::NotANumber))?;
        if !value.is_finite() {
            return Err(self.fault(UnitFault::TooLarge));
        }
        self.step();
        Ok((value, !digits.contains('.')))
    }

    /// Why the next piece does not belong where it stands.
    pub(crate) fn unexpected(&self) -> UnitError {
        let at = self.at();
        let found = match self.peek() {
            Some(Token::Number(_) | Token::Vulgar(..)) => return self.fault(UnitFault::SecondNumber { at }),
            Some(Token::Word(word)) => {
                return self.fault(UnitFault::UnknownUnit {
                    at,
                    found: word.to_owned(),
                });
            }
            Some(Token::Minus)
                if matches!(
                    (self.before(), self.peek_ahead(1)),
                    (Some(Token::Number(_)), Some(Token::Number(_)))
                ) =>
            {
                return self.fault(UnitFault::Hyphen { at });
            }
            Some(Token::Other(other)) => other,
            Some(Token::Single) => '\'',
            Some(Token::Double) => '"',
            Some(Token::Degree) => '°',
            Some(Token::Minus) => '-',
            Some(Token::Plus) => '+',
            Some(Token::Slash) => '/',
            None => return self.fault(UnitFault::NoNumber { at }),
        };
        self.fault(UnitFault::Unexpected {
            at,
            found: found.to_string(),
        })
    }

    fn hopeless(&self) -> Option<UnitFault> {
        if self.list.is_empty() {
            return Some(UnitFault::Empty);
        }
        if looks_like_a_date(&self.list) {
            return Some(UnitFault::Date);
        }
        for (place, (token, at)) in self.list.iter().enumerate() {
            match token {
                Token::Other(',' | '٫' | '٬' | '，') => return Some(UnitFault::Comma { at: *at }),
                Token::Word(word) => {
                    let word = word.to_lowercase();
                    let after_number = place > 0 && matches!(self.list[place - 1].0, Token::Number(_));
                    if word == "e" && after_number {
                        return Some(UnitFault::Exponent { at: *at });
                    }
                    if matches!(word.as_str(), "nan" | "inf" | "infinity") {
                        return Some(UnitFault::NotANumber);
                    }
                }
                Token::Other('∞') => return Some(UnitFault::NotANumber),
                _ => {}
            }
        }
        None
    }
}

/// What spreadsheets make of `3/4`, `3-4` or `5/8` when a cell is not text.
fn looks_like_a_date(list: &[(Token<'_>, usize)]) -> bool {
    const MONTHS: [&str; 12] = [
        "january",
        "february",
        "march",
        "april",
        "may",
        "june",
        "july",
        "august",
        "september",
        "october",
        "november",
        "december",
    ];
    let is_month = |word: &str| {
        let word = word.trim_end_matches('.').to_lowercase();
        word == "sept" || (word.len() >= 3 && MONTHS.iter().any(|month| *month == word || month[..3] == word))
    };
    let has_number = list.iter().any(|(token, _)| matches!(token, Token::Number(_)));
    if has_number
        && list
            .iter()
            .any(|(token, _)| matches!(token, Token::Word(word) if is_month(word)))
    {
        return true;
    }
    let whole = |token: &Token<'_>| matches!(token, Token::Number(digits) if !digits.contains('.'));
    if let [(a, _), (s, _), (b, _), (t, _), (c, _), rest @ ..] = list {
        let joined = matches!(
            (s, t),
            (Token::Slash, Token::Slash) | (Token::Minus, Token::Minus)
        );
        // 3-4-5/8 is somebody's feet, inches and eighths: not a date, though not a length here either.
        let goes_on = matches!(rest.first(), Some((Token::Slash, _)));
        if joined && whole(a) && whole(b) && whole(c) && !goes_on {
            return true;
        }
    }
    // 16.03.2026, but not 1.032.500, which is a number with separators.
    matches!(list.first(), Some((Token::Number(digits), _)) if {
        let parts: Vec<&str> = digits.split('.').collect();
        parts.len() == 3 && parts[0].len() <= 2 && (1..=2).contains(&parts[1].len()) && !parts[2].is_empty()
    })
}

fn split(text: &str) -> Vec<(Token<'_>, usize)> {
    let trimmed = text.trim();
    let mut list = Vec::new();
    let mut chars = trimmed.char_indices().enumerate().peekable();
    while let Some((place, (start, c))) = chars.next() {
        if c.is_whitespace() {
            continue;
        }
        let mut end = start + c.len_utf8();
        let mut take_while = |wanted: fn(char) -> bool| {
            while let Some((_, (at, next))) = chars.peek().copied() {
                if !wanted(next) {
                    break;
                }
                end = at + next.len_utf8();
                chars.next();
            }
            &trimmed[start..end]
        };
        let token = match c {
            '0'..='9' | '.' => Token::Number(take_while(|c| c.is_ascii_digit() || c == '.')),
            '\'' | '′' | '’' | '‘' | '´' => {
                // Two apostrophes are how inches look where the keyboard has no better mark.
                let twice = matches!(chars.peek(), Some((_, (_, '\'' | '′' | '’' | '‘' | '´'))));
                if twice {
                    chars.next();
                    Token::Double
                } else {
                    Token::Single
                }
            }
            '"' | '″' | '”' | '“' => Token::Double,
            '°' | 'º' | '˚' => Token::Degree,
            '-' | '−' | '‐' | '‑' | '‒' | '–' => Token::Minus,
            '+' => Token::Plus,
            '/' | '⁄' | '∕' => Token::Slash,
            c if vulgar(c).is_some() => {
                let (top, bottom) = vulgar(c).unwrap_or((0, 1));
                Token::Vulgar(top, bottom)
            }
            c if c.is_alphabetic() => Token::Word(take_while(|c| c.is_alphabetic() || c == '.')),
            c => Token::Other(c),
        };
        list.push((token, place + 1));
    }
    list
}

fn vulgar(c: char) -> Option<(u32, u32)> {
    Some(match c {
        '½' => (1, 2),
        '¼' => (1, 4),
        '¾' => (3, 4),
        '⅛' => (1, 8),
        '⅜' => (3, 8),
        '⅝' => (5, 8),
        '⅞' => (7, 8),
        '⅓' => (1, 3),
        '⅔' => (2, 3),
        '⅕' => (1, 5),
        '⅖' => (2, 5),
        '⅗' => (3, 5),
        '⅘' => (4, 5),
        '⅙' => (1, 6),
        '⅚' => (5, 6),
        _ => return None,
    })
}
