//! What the checks of the workspace share: packages built in a few words, fixtures, tables, the command line, browsers.

#![expect(clippy::missing_panics_doc, reason = "a check that cannot be set up has failed: everything here may panic")]

pub mod browser;
pub mod build;
pub mod command;
pub mod fixture;
pub mod screens;
pub mod table;
