//! The token: who holds it may ask.

use std::fmt::Write;

use subtle::ConstantTimeEq;

/// 256 bits from the operating system, as 64 hexadecimal digits.
pub(crate) struct Token(String);

impl Token {
    /// Another token than any before.
    pub(crate) fn fresh() -> Result<Token, getrandom::Error> {
        let mut bytes = [0; 32];
        getrandom::fill(&mut bytes)?;
        let mut text = String::with_capacity(2 * bytes.len());
        for byte in bytes {
            write!(text, "{byte:02x}").expect("a string takes what is written to it");
        }
        Ok(Token(text))
    }

    pub(crate) fn as_str(&self) -> &str {
        &self.0
    }

    /// Whether this is it. How long that takes tells nothing of how much of it was right.
    pub(crate) fn is(&self, shown: &[u8]) -> bool {
        self.0.as_bytes().ct_eq(shown).into()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_token_is_itself_and_no_other() {
        let (one, other) = (Token::fresh().unwrap(), Token::fresh().unwrap());
        assert_eq!(one.as_str().len(), 64);
        assert!(one.is(one.as_str().as_bytes()));
        assert!(
            !one.is(other.as_str().as_bytes()) && !one.is(&one.as_str().as_bytes()[..63]) && !one.is(b"")
        );
    }
}
