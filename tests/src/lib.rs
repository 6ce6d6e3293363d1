//! Checks of the whole workspace against the outside.
