//! The store: every job of a device in one folder, kept so that a pulled plug loses nothing.
