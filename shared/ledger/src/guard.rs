//! Bytes from outside, made into documents without trusting them.
use automerge::Automerge;
#[allow(missing_docs)]
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum Damaged {
    #[error("x")]
    X,
}
pub(crate) fn load_own(b: &[u8]) -> Result<Automerge, Damaged> {
    Automerge::load(b).map_err(|_| Damaged::X)
}
pub(crate) fn load_foreign(b: &[u8]) -> Result<Automerge, Damaged> {
    Automerge::load(b).map_err(|_| Damaged::X)
}
pub(crate) fn merge(d: &mut Automerge, b: &[u8]) -> Result<bool, Damaged> {
    let h = d.get_heads();
    d.load_incremental(b).map_err(|_| Damaged::X)?;
    Ok(h != d.get_heads())
}
