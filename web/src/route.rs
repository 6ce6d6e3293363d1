//! Which screen is open, as the part of the address after `#`.

/// A screen.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Screen {
    /// The answers: the first screen.
    Answers,
    /// The list of parts.
    Parts,
    /// The typical parts and the person's own kit, to add from.
    AddPart,
    /// Masses of everything on the list, one under the other.
    WeighIn,
    /// One part.
    Part(u32),
    /// The lens set.
    Lenses,
    /// The typical lenses, to add from.
    AddLens,
    /// One lens.
    Lens(u32),
    /// What every lens change costs.
    LensChanges,
    /// One set of marks for many lenses.
    CommonMarks,
    /// One lens for the director of photography.
    LensPreview(u32),
    /// Moves and the day.
    Moves,
    /// One move.
    Move(u32),
    /// The head: which one, its marks, what is kept in hand.
    Head,
    /// Balance step by step.
    Balance,
    /// Logged balances, and what they taught.
    Logs,
    /// How sure the marks are, and what to measure.
    Sureness,
    /// What would make the package hang, and what each addition does.
    Remedies,
    /// For the grip: what hangs on the arm.
    Grip,
    /// Weighing and measuring with what a crew has.
    Measure,
    /// Whether the camera goes on and turns clear.
    Fit,
    /// Whether it is stiff enough.
    Stiffness,
    /// The day on its packs, loads, taps and cables.
    Power,
    /// A head of one's own, described step by step.
    OwnHead,
    /// The packages on this device.
    Packages,
    /// Link and file of this package.
    Share,
    /// Units, theme, and what the calculator is.
    Settings,
    /// The prep sheet, on the screen and for the printer.
    Sheet,
    /// One step of the guided tour.
    Guide(u32),
}

impl Screen {
    /// The screen that a fragment names; `None` when it names none, as a package link.
    pub(crate) fn from_hash(hash: &str) -> Option<Self> {
        let path = hash.trim_start_matches('#');
        if path.is_empty() {
            return Some(Self::Answers);
        }
        let mut steps = path.strip_prefix('/')?.split('/');
        let first = steps.next().unwrap_or_default();
        let id = steps.next();
        let number = |id: Option<&str>| id.and_then(|id| id.parse().ok());
        Some(match (first, id) {
            ("parts", Some("add")) => Self::AddPart,
            ("parts", Some("weigh")) => Self::WeighIn,
            ("parts", id) => number(id).map_or(Self::Parts, Self::Part),
            ("lenses", Some("add")) => Self::AddLens,
            ("lenses", Some("changes")) => Self::LensChanges,
            ("lenses", Some("marks")) => Self::CommonMarks,
            ("lenses", Some("preview")) => number(steps.next()).map_or(Self::Lenses, Self::LensPreview),
            ("lenses", id) => number(id).map_or(Self::Lenses, Self::Lens),
            ("moves", id) => number(id).map_or(Self::Moves, Self::Move),
            ("head", Some("own")) => Self::OwnHead,
            ("head", _) => Self::Head,
            ("balance", Some("logs")) => Self::Logs,
            ("balance", Some("sure")) => Self::Sureness,
            ("balance", _) => Self::Balance,
            ("remedies", _) => Self::Remedies,
            ("grip", _) => Self::Grip,
            ("measure", _) => Self::Measure,
            ("fit", _) => Self::Fit,
            ("stiffness", _) => Self::Stiffness,
            ("power", _) => Self::Power,
            ("packages", _) => Self::Packages,
            ("share", _) => Self::Share,
            ("settings", _) => Self::Settings,
            ("sheet", _) => Self::Sheet,
            ("guide", id) => Self::Guide(number(id).unwrap_or(1)),
            _ => Self::Answers,
        })
    }

    /// Goes there: the address changes, and the page follows it. An engine that refuses leaves the screen as it is.
    pub(crate) fn open(self) {
        if let Some(window) = web_sys::window() {
            let _ = window.location().set_hash(&self.hash());
        }
    }

    /// The fragment that names it.
    pub(crate) fn hash(self) -> String {
        match self {
            Self::Answers => "#/".to_owned(),
            Self::Parts => "#/parts".to_owned(),
            Self::AddPart => "#/parts/add".to_owned(),
            Self::WeighIn => "#/parts/weigh".to_owned(),
            Self::Part(id) => format!("#/parts/{id}"),
            Self::Lenses => "#/lenses".to_owned(),
            Self::AddLens => "#/lenses/add".to_owned(),
            Self::Lens(id) => format!("#/lenses/{id}"),
            Self::LensChanges => "#/lenses/changes".to_owned(),
            Self::CommonMarks => "#/lenses/marks".to_owned(),
            Self::LensPreview(id) => format!("#/lenses/preview/{id}"),
            Self::Moves => "#/moves".to_owned(),
            Self::Move(id) => format!("#/moves/{id}"),
            Self::Head => "#/head".to_owned(),
            Self::Balance => "#/balance".to_owned(),
            Self::Logs => "#/balance/logs".to_owned(),
            Self::Sureness => "#/balance/sure".to_owned(),
            Self::Remedies => "#/remedies".to_owned(),
            Self::Grip => "#/grip".to_owned(),
            Self::Measure => "#/measure".to_owned(),
            Self::Fit => "#/fit".to_owned(),
            Self::Stiffness => "#/stiffness".to_owned(),
            Self::Power => "#/power".to_owned(),
            Self::OwnHead => "#/head/own".to_owned(),
            Self::Packages => "#/packages".to_owned(),
            Self::Share => "#/share".to_owned(),
            Self::Settings => "#/settings".to_owned(),
            Self::Sheet => "#/sheet".to_owned(),
            Self::Guide(step) => format!("#/guide/{step}"),
        }
    }

    /// The tab that it belongs to.
    pub(crate) fn tab(self) -> Option<Self> {
        match self {
            Self::Answers
            | Self::Guide(_)
            | Self::Balance
            | Self::Logs
            | Self::Sureness
            | Self::Remedies
            | Self::Grip
            | Self::Measure
            | Self::Fit
            | Self::Stiffness
            | Self::Power => Some(Self::Answers),
            Self::Parts | Self::AddPart | Self::WeighIn | Self::Part(_) => Some(Self::Parts),
            Self::Lenses
            | Self::AddLens
            | Self::Lens(_)
            | Self::LensChanges
            | Self::CommonMarks
            | Self::LensPreview(_) => Some(Self::Lenses),
            Self::Moves | Self::Move(_) => Some(Self::Moves),
            Self::Head | Self::OwnHead => Some(Self::Head),
            Self::Packages | Self::Share | Self::Settings | Self::Sheet => None,
        }
    }

    /// Its name, for the title of the page and for a screen reader.
    pub(crate) fn title(self) -> &'static str {
        match self {
            Self::Answers => "Answers",
            Self::Parts => "Parts",
            Self::AddPart => "Add parts",
            Self::WeighIn => "Weigh in",
            Self::Part(_) => "Part",
            Self::Lenses => "Lenses",
            Self::AddLens => "Add lenses",
            Self::Lens(_) => "Lens",
            Self::LensChanges => "Lens changes",
            Self::CommonMarks => "One set of marks",
            Self::LensPreview(_) => "Lens preview",
            Self::Moves => "Moves",
            Self::Move(_) => "Move",
            Self::Head => "Head",
            Self::Balance => "Balance step by step",
            Self::Logs => "Logged balances",
            Self::Sureness => "How sure the marks are",
            Self::Remedies => "Remedies",
            Self::Grip => "For the grip",
            Self::Measure => "Weigh and measure",
            Self::Fit => "Fit",
            Self::Stiffness => "Stiffness",
            Self::Power => "Power",
            Self::OwnHead => "A head of your own",
            Self::Packages => "Packages",
            Self::Share => "Share",
            Self::Settings => "Settings",
            Self::Sheet => "Prep sheet",
            Self::Guide(_) => "Guide",
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_screen_comes_back_from_its_address() {
        use Screen::*;
        for screen in [
            Answers,
            Parts,
            AddPart,
            WeighIn,
            Part(7),
            Lenses,
            AddLens,
            Lens(3),
            LensChanges,
            CommonMarks,
            LensPreview(4),
            Moves,
            Move(2),
            Head,
            Balance,
            Logs,
            Sureness,
            Remedies,
            Grip,
            Measure,
            Fit,
            Stiffness,
            Power,
            OwnHead,
            Packages,
            Share,
            Settings,
            Sheet,
            Guide(3),
        ] {
            assert_eq!(Screen::from_hash(&screen.hash()), Some(screen));
        }
    }

    #[test]
    fn a_package_link_is_no_screen() {
        assert_eq!(Screen::from_hash("#c0.AAAA"), None);
    }
}
