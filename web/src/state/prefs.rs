//! What a person prefers, on this device: units, decimal mark, theme, and the package that was open last.

use std::fmt::Write as _;

use quantity::System;

use crate::storage::plain;

const KEY: &str = "counterpoise-prefs";

/// Light or dark.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub(crate) enum Theme {
    /// As the device is set.
    #[default]
    Auto,
    /// Ink on paper, for the sun.
    Daylight,
    /// Chalk on slate, for the night.
    Night,
}

/// A person's preferences.
#[derive(Debug, Clone, PartialEq, Default)]
pub(crate) struct Prefs {
    /// Metric or imperial.
    pub(crate) system: System,
    /// Whether numbers are written with a decimal comma.
    pub(crate) comma: bool,
    /// Light or dark.
    pub(crate) theme: Theme,
    /// Id of the package that was open last.
    pub(crate) last: Option<String>,
    /// Whether the first-run guide has been put away.
    pub(crate) guided: bool,
    /// When a file of everything was last taken, milliseconds since 1970.
    pub(crate) backup_ms: Option<f64>,
}

impl Theme {
    /// The value of the attribute that the style sheet reads; `None` leaves it to the device.
    pub(crate) fn attribute(self) -> Option<&'static str> {
        match self {
            Self::Auto => None,
            Self::Daylight => Some("daylight"),
            Self::Night => Some("night"),
        }
    }
}

impl Prefs {
    /// What is kept on this device; the defaults where nothing is. Without a choice made, the decimal mark is the one
    /// of the device's language.
    pub(crate) fn load() -> Self {
        Self { comma: device_writes_comma(), ..Self::default() }.kept()
    }

    /// These, with whatever is kept on this device in their place: another window may have kept it since.
    pub(crate) fn kept(mut self) -> Self {
        self.read(&plain::get(KEY).unwrap_or_default());
        self
    }

    fn read(&mut self, text: &str) {
        for pair in text.split(';') {
            let Some((name, value)) = pair.split_once('=') else { continue };
            match name {
                "units" => self.system = if value == "imperial" { System::Imperial } else { System::Metric },
                "decimal" => self.comma = value == "comma",
                "theme" => {
                    self.theme = match value {
                        "daylight" => Theme::Daylight,
                        "night" => Theme::Night,
                        _ => Theme::Auto,
                    }
                }
                "last" => self.last = Some(value.to_owned()),
                "guided" => self.guided = value == "yes",
                // Whole milliseconds: reading any number would bring its tables into the first load.
                "backup" => self.backup_ms = value.parse::<u64>().ok().map(|ms| ms as f64),
                _ => {}
            }
        }
    }

    /// Keeps them on this device. Without storage they last as long as the page.
    pub(crate) fn save(&self) {
        let units = if self.system == System::Imperial { "imperial" } else { "metric" };
        let decimal = if self.comma { "comma" } else { "point" };
        let theme = self.theme.attribute().unwrap_or("auto");
        let mut text = format!("units={units};decimal={decimal};theme={theme}");
        if let Some(last) = &self.last {
            text.push_str(";last=");
            text.push_str(last);
        }
        if self.guided {
            text.push_str(";guided=yes");
        }
        if let Some(at) = self.backup_ms {
            // Writing into a string cannot fail.
            let _ = write!(text, ";backup={at:.0}");
        }
        plain::set(KEY, &text);
    }
}

/// The start-up script has found out before the app starts.
fn device_writes_comma() -> bool {
    crate::browser::root().and_then(|root| root.get_attribute("data-decimal")).is_some_and(|mark| mark == "comma")
}
