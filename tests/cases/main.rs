//! Every check that needs no browser.
#![allow(
    clippy::float_cmp,
    clippy::struct_field_names,
    reason = "tables name their columns as the books do, and equal numbers are meant to be equal to the bit"
)]

mod air;
mod beams;
mod day_breaks;
mod discharge;
mod inverse_dynamics;
mod lens_set;
mod lens_verdicts;
mod marks;
mod outside_programs;
mod own_head;
mod properties;
mod published;
mod stiffness;
mod trim;
mod worst_case;
