//! One module for each screen.

pub(crate) mod answers;
