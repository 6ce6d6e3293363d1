//! The page in three engines, used as a person would use it.

mod answers;
mod app;
mod engine;
mod firefox;
mod http;
mod plain_page;
mod server;
mod technician;
mod webdriver;
