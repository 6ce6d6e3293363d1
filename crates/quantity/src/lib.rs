//! Units at the edge: what a person types becomes SI, and SI becomes what a person reads.
//!
//! Inside everything is SI. Here alone stand the factors, each with its source, and the habits of two systems: metric
//! (kg, mm, N·m) and imperial (lb, in, lbf·ft). A comma and a point are both a decimal mark; thousands are never
//! separated, so "1,250" is one and a quarter everywhere.

mod clock;
mod kind;
mod number;
mod parse;
mod show;
mod table;

pub use clock::{clock, day_clock, hours, parse_clock};
pub use kind::{Kind, System};
pub use parse::{ParseError, parse};
pub use show::{DecimalMark, Shown, Style};
pub use table::{UNITS, Unit, unit};
