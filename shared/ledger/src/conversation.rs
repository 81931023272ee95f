//! Conversations: two copies of a job that learn from each other, messages in and messages out. Nothing here sends.
//!
//! ```
//! # use ledger::{Conversation, Edit, Job, JobId, Stamp};
//! # use uuid::Uuid;
//! # let stamp = |fresh| Stamp { by: "Ana".into(), at_ms: 0, fresh: Uuid::from_u128(fresh) };
//! let mut one = Job::new(JobId(Uuid::from_u128(1)), "Shell", Uuid::from_u128(2), &stamp(3));
//! let mut other = Job::open_foreign(&one.save(), Uuid::from_u128(4))?;
//! one.apply(&Edit::AddStand("on blocks".into()), &stamp(5))?;
//!
//! let (mut here, mut there) = (Conversation::default(), Conversation::default());
//! loop {
//!     let (from_one, from_other) = (one.says(&mut here)?, other.says(&mut there)?);
//!     if from_one.is_none() && from_other.is_none() {
//!         break; // Both have said everything.
//!     }
//!     if let Some(message) = from_one {
//!         other.hears(&mut there, &message)?;
//!     }
//!     if let Some(message) = from_other {
//!         one.hears(&mut here, &message)?;
//!     }
//! }
//! assert_eq!(one.heads(), other.heads());
//! # Ok::<(), Box<dyn std::error::Error>>(())
//! ```

use automerge::sync::State;

use crate::guard;
use crate::job::{Job, LoadError};

/// What is known of the other side of one connection. A new one for each connection; when it breaks off it is thrown
/// away, and so it is when a message was refused.
///
/// Messages must arrive whole, in order, and once. Where they do not nothing is spoiled: the worst is that the two
/// stop talking before they agree, and a new conversation goes on from there.
#[derive(Debug, Clone, Default)]
pub struct Conversation(State);

impl Job {
    /// The next thing to say to the other side; nothing where all is said.
    ///
    /// # Errors
    /// Where what the other side said cannot be answered: break off.
    pub fn says(&self, conversation: &mut Conversation) -> Result<Option<Vec<u8>>, LoadError> {
        Ok(guard::answer(&self.document, &mut conversation.0)?)
    }

    /// Takes in what the other side said. Gives whether anything was new.
    ///
    /// # Errors
    /// Where the message cannot be read, or brings what is not of this job: break off. The job is as it was.
    pub fn hears(&mut self, conversation: &mut Conversation, message: &[u8]) -> Result<bool, LoadError> {
        let (mut document, mut state) = (self.document.clone(), conversation.0.clone());
        let moved = guard::receive(&mut document, &mut state, message)?;
        if moved {
            self.take_over(document)?;
        } else {
            // Changes that wait for others move nothing yet, and are kept.
            self.document = document;
        }
        conversation.0 = state;
        Ok(moved)
    }
}
