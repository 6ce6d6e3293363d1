//! What each command does: text out, or words about what is wrong.

use std::fmt::{Display, Write as _};

use quantity::Style;
use serde::{Deserialize, Serialize};
use solver::answer::Answer;
use solver::day::DayReport;
use solver::dynamics::{LinkBody, State, link_bodies, torques_nm};
use solver::finding::Severity;
use solver::finding_words::{Metric, Units};
use solver::fit::{FitFinding, FitReport};
use solver::lens_set::LensRow;
use solver::lens_set::change::{ChangeTable, LensChange, change_table, lens_changes};
use solver::lens_set::preview::{LensVerdict, lens_verdicts};
use solver::lens_set::trim::{TrimReport, trim_of_set};
use solver::stiffness::StiffnessReport;
use solver::wiring::WiringReport;
use solver::{InputError, Package, Report};

use crate::sheet;

/// What a command prints, and whether the job can go on.
pub(crate) struct Outcome {
    /// For standard output.
    pub(crate) text: String,
    /// `false` when there is a no-go.
    pub(crate) go: bool,
}

/// Words for standard error.
type Fault = String;

fn printed(text: String) -> Outcome {
    Outcome { text, go: true }
}

/// Every answer about a package.
pub(crate) struct Answers {
    pub(crate) report: Report,
    pub(crate) fit: FitReport,
    pub(crate) stiffness: Answer<StiffnessReport>,
    pub(crate) day: DayReport,
    pub(crate) wiring: WiringReport,
    /// Absent where the set has no two lenses.
    pub(crate) trim: Option<TrimReport>,
}

/// The same as data: of the fit, what was found.
#[derive(Serialize)]
struct Data<'a> {
    #[serde(flatten)]
    report: &'a Report,
    fit: &'a [FitFinding],
    stiffness: &'a Answer<StiffnessReport>,
    day: &'a DayReport,
    wiring: &'a WiringReport,
    trim: Option<&'a TrimReport>,
}

impl Answers {
    fn of(file: &str, package: &Package) -> Result<Self, Fault> {
        let told = |faults: Vec<InputError>| listed(file, &faults);
        Ok(Self {
            report: solver::check(package).map_err(told)?,
            fit: solver::fit(package).map_err(told)?,
            stiffness: solver::stiffness(package).map_err(told)?,
            day: solver::day(package).map_err(told)?,
            wiring: solver::wiring(package).map_err(told)?,
            trim: trim_of_set(package).map_err(told)?,
        })
    }

    /// Whether nothing stops the job.
    fn go(&self) -> bool {
        self.found(&Metric, false).all(|(grave, _)| grave != Severity::NoGo)
    }

    /// Everything that was found, in words: balance, torque and power first, then fit, then stiffness. Under a title
    /// that says `demo`, what goes without saying there is left out.
    pub(crate) fn found<'a>(
        &'a self,
        units: &'a dyn Units,
        demo: bool,
    ) -> impl Iterator<Item = (Severity, String)> + 'a {
        let told = self.report.findings.iter().filter(move |each| !(demo && each.goes_without_saying_in_demo()));
        let found = told.map(|finding| (finding.severity, finding.words(units)));
        let unfit = self.fit.findings.iter().map(|finding| (finding.severity, finding.words(units)));
        let rings = self.stiffness.known().into_iter().flat_map(|report| &report.findings);
        found.chain(unfit).chain(rings.map(|finding| (finding.severity, finding.words(units))))
    }
}

/// What is known of the lens set.
pub(crate) struct Lenses {
    pub(crate) rows: Vec<LensRow>,
    /// From the lens that is on to each other.
    pub(crate) changes: Vec<LensChange>,
    /// Whether each can go on.
    pub(crate) verdicts: Vec<LensVerdict>,
    /// Minutes from each to each.
    pub(crate) table: ChangeTable,
}

/// The prep sheet.
pub(crate) fn check(file: &str, style: Style) -> Result<Outcome, Fault> {
    let document = read(file)?;
    let answers = Answers::of(file, &document.package)?;
    let package = &document.package;
    let told = |faults: Vec<InputError>| listed(file, &faults);
    let lenses = Lenses {
        rows: solver::lens_set(package).map_err(told)?,
        changes: lens_changes(package, package.active_lens).map_err(told)?,
        verdicts: lens_verdicts(package).map_err(told)?,
        table: change_table(package).map_err(told)?,
    };
    let text = sheet::print(&document, &answers, &lenses, style);
    Ok(Outcome { text, go: answers.go() })
}

/// Every answer as data.
pub(crate) fn check_as_data(file: &str) -> Result<Outcome, Fault> {
    let answers = Answers::of(file, &read(file)?.package)?;
    let Answers { report, fit, stiffness, day, wiring, trim } = &answers;
    let data = Data { report, fit: &fit.findings, stiffness, day, wiring, trim: trim.as_ref() };
    Ok(Outcome { text: to_json(&data)?, go: answers.go() })
}

pub(crate) fn schema() -> Result<Outcome, Fault> {
    to_json(&codec::schema::schema()).map(printed)
}

pub(crate) fn link(file: &str) -> Result<Outcome, Fault> {
    let document = read(file)?;
    codec::link::encode(&document)
        .map(|link| printed(format!("{link}\n")))
        .map_err(|fault| format!("{file}: {fault}\n"))
}

pub(crate) fn open(link: &str) -> Result<Outcome, Fault> {
    let document = codec::link::decode(link).map_err(|fault| format!("{fault}\n"))?;
    codec::file::to_json(&document).map(printed).map_err(|fault| format!("{fault}\n"))
}

/// The states of the chain, as other programs write them.
#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct States {
    samples: Vec<State>,
}

/// What comes out.
#[derive(Serialize)]
struct Torques {
    torque_nm: Vec<Vec<f64>>,
    #[serde(skip_serializing_if = "Option::is_none")]
    bodies: Option<Vec<LinkBody>>,
}

pub(crate) fn dynamics(file: &str, states: &str, bodies: bool) -> Result<Outcome, Fault> {
    let package: Package = read(file)?.package;
    solver::validate(&package).map_err(|faults| listed(file, &faults))?;
    let text = contents(states)?;
    let given: States = serde_json::from_str(&text).map_err(|fault| format!("{states}: {fault}\n"))?;
    let torque_nm = torques_nm(&package, &given.samples).map_err(|faults| lines(states, faults.iter()))?;
    to_json(&Torques { torque_nm, bodies: bodies.then(|| link_bodies(&package)) }).map(printed)
}

fn read(file: &str) -> Result<codec::Document, Fault> {
    let text = contents(file)?;
    codec::file::from_json(&text).map_err(|fault| lines(file, fault.to_string().lines()))
}

/// The text of a file; `-` is standard input.
fn contents(file: &str) -> Result<String, Fault> {
    let text = if file == "-" { std::io::read_to_string(std::io::stdin()) } else { std::fs::read_to_string(file) };
    text.map_err(|fault| format!("{file}: {fault}\n"))
}

fn listed(file: &str, faults: &[InputError]) -> Fault {
    lines(file, faults.iter())
}

/// Every fault on a line of its own, after the name of its file.
fn lines<T: Display>(file: &str, faults: impl Iterator<Item = T>) -> Fault {
    faults.fold(String::new(), |mut text, fault| {
        // Writing into a string cannot fail.
        let _ = writeln!(text, "{file}: {fault}");
        text
    })
}

fn to_json(value: &impl Serialize) -> Result<String, Fault> {
    serde_json::to_string_pretty(value).map(|text| text + "\n").map_err(|fault| format!("{fault}\n"))
}
