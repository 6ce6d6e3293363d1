//! The page in three engines, used as a person would use it.

mod answers;
mod app;
mod balance;
mod fitting;
mod plain_page;
mod technician;
