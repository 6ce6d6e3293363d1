//! One module for each screen.

pub(crate) mod add_lens;
pub(crate) mod add_part;
pub(crate) mod answers;
pub(crate) mod guide;
pub(crate) mod head;
mod kit;
pub(crate) mod lens;
pub(crate) mod lenses;
pub(crate) mod move_;
pub(crate) mod moves;
pub(crate) mod packages;
pub(crate) mod part;
pub(crate) mod parts;
pub(crate) mod settings;
pub(crate) mod share;
mod shared;
pub(crate) mod sheet;
pub(crate) mod weigh_in;
