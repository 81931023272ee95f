//! Bytes from outside, made into documents without trusting them.
