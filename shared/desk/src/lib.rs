//! What a person can do.
