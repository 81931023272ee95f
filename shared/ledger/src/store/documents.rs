//! The judge of the log's own documents.

use super::{Judge, Salvaged, Unreadable};
use crate::Heads;
use crate::guard;
use crate::job::heads_of;

/// Judges documents as the log writes them.
#[derive(Debug, Clone, Copy, Default)]
pub struct Documents;

impl Judge for Documents {
    fn whole(&self, bytes: &[u8]) -> Result<(Heads, Vec<u8>), Unreadable> {
        let document = guard::load_own(bytes).map_err(|damaged| Unreadable {
            reason: damaged.to_string(),
        })?;
        Ok((heads_of(&document), document.save()))
    }

    fn salvage(&self, chunks: &[Vec<u8>]) -> Option<Salvaged> {
        let salvaged = guard::salvage(chunks)?;
        Some(Salvaged {
            heads: heads_of(&salvaged.document),
            whole: salvaged.document.save(),
            missing: salvaged.missing.len() as u64,
            waiting: salvaged.left_out as u64,
        })
    }
}
