//! Every check that needs no browser.

mod air;
mod discharge;
mod inverse_dynamics;
mod marks;
mod published;
