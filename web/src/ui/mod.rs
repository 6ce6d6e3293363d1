//! The pieces that screens are made of.

pub(crate) mod choice;
pub(crate) mod fold;
pub(crate) mod help;
pub(crate) mod icon;
pub(crate) mod in_place;
pub(crate) mod number;
pub(crate) mod reasons;
pub(crate) mod rest;
pub(crate) mod rule;
mod sided;
pub(crate) mod text;
