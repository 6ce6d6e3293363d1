//! The page in three engines, used as a person would use it.

mod answers;
mod app;
mod balance;
mod fitting;
mod javascript;
mod kept;
mod killed;
mod plain_page;
mod stores;
mod technician;
mod travels;
mod windows;
