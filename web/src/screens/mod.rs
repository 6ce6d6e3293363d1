//! One module for each screen.

pub(crate) mod add_lens;
pub(crate) mod add_part;
pub(crate) mod answers;
pub(crate) mod fit;
pub(crate) mod grip;
pub(crate) mod head;
pub(crate) mod lens;
pub(crate) mod lenses;
pub(crate) mod measure;
pub(crate) mod move_;
pub(crate) mod moves;
pub(crate) mod own_head;
pub(crate) mod packages;
pub(crate) mod part;
pub(crate) mod parts;
mod reading;
pub(crate) mod remedies;
pub(crate) mod settings;
pub(crate) mod share;
mod shared;
