//! The page in three engines, used as a person would use it.
#![allow(
    dead_code,
    reason = "the client also counts what is transferred and speaks an engine's own protocol, for measurements"
)]

mod app;
mod engine;
mod firefox;
mod http;
mod plain_page;
mod server;
mod webdriver;
