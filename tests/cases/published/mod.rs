//! Worked examples that others have published, through the public doors. The tables stand in `tests/published`.

mod balance;
mod beams;
mod electrical;
mod field_of_view;
mod inertia;
mod measuring;
mod motion;
mod surroundings;
