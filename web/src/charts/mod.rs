//! Torque as charts: what each move takes of each axis, and how demand grows with speed.
//!
//! Mount [`use_of_torque`] and [`against_speed`]; both need nothing but the app. No first answer needs them, so they may
//! load after the first screen. Each has a table beside it for screen readers. The look stands in `web/style/charts.css`.
//!
//! A demand is a strip that runs towards a stop, its terms told apart by hatching and word; the reserve is the hatched
//! zone in front of the stop. `strips` and `curves` work out the numbers and know no browser.

mod curves;
mod speed;
mod strips;
mod table;
mod torque;

pub(crate) use speed::against_speed;
pub(crate) use torque::use_of_torque;
