//! What can be wrong with a link.

use core::fmt;

use solver::InputError;

/// Why a text does not open.
#[derive(Debug, Clone, PartialEq)]
pub enum LinkError {
    /// There is no link of this calculator in the text.
    NotOurs,
    /// The end is missing.
    Incomplete,
    /// Something in it was changed on the way.
    Altered,
    /// Made by a newer version.
    TooNew {
        /// Version found.
        found: u32,
        /// Newest version that this program opens.
        newest: u32,
    },
    /// It unfolds into more than any package may hold.
    TooLarge,
    /// It refers to typical items of another library.
    OtherLibrary {
        /// Version of that library.
        version: u32,
    },
    /// It opens, but numbers in it are outside their ranges.
    OutOfRange(Vec<InputError>),
}

impl fmt::Display for LinkError {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::NotOurs => write!(out, "There is no package link in this text."),
            Self::Incomplete => {
                write!(out, "This link is incomplete: its end is missing. Ask for it again, or for the file.")
            }
            Self::Altered => {
                write!(
                    out,
                    "This link was changed on its way and cannot be trusted. Ask for it again, or for the file."
                )
            }
            Self::TooNew { found, newest } => write!(
                out,
                "This link was made by a newer version (format {found}; this one opens up to {newest}). Update, then open it."
            ),
            Self::TooLarge => write!(out, "This link holds more than a package may. Ask for the file."),
            Self::OtherLibrary { version } => write!(
                out,
                "This link refers to typical parts of another library (version {version}). Update, or ask for the file."
            ),
            Self::OutOfRange(faults) => {
                write!(out, "This link holds numbers outside their ranges:")?;
                faults.iter().try_for_each(|fault| write!(out, " {fault};"))
            }
        }
    }
}

impl std::error::Error for LinkError {}

/// Why a package cannot become a link.
#[derive(Debug, Clone, PartialEq)]
pub enum Unsendable {
    /// Numbers outside their ranges: put them right first.
    OutOfRange(Vec<InputError>),
    /// Too much for a link: send the file.
    TooLarge {
        /// Bytes before packing.
        bytes: usize,
        /// Most allowed.
        most: usize,
    },
}

impl fmt::Display for Unsendable {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::OutOfRange(faults) => {
                write!(out, "Put these right before making a link:")?;
                faults.iter().try_for_each(|fault| write!(out, " {fault};"))
            }
            Self::TooLarge { bytes, most } => {
                write!(out, "{bytes} bytes are too much for a link (at most {most}): send the file.")
            }
        }
    }
}

impl std::error::Error for Unsendable {}
