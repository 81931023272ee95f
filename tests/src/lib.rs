//! Simulated surveys and reference cases for the tests.
