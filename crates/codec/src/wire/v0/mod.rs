//! Version 0 of every section, while the product is being built.

mod chain;
mod learned;
mod lens;
mod movement;
mod package;
mod part;
mod power;
mod stiffness;
mod value;

pub(crate) use package::Base;
