//! The prep sheet: what a technician takes to the truck, in the order of the first screen.

mod balance;
mod lenses;
mod mass;
mod power;
mod safety;
mod stiffness;
mod torque;
mod trim;

use codec::Document;
use quantity::{Kind, Style};
use solver::answer::Estimate;
use solver::finding::Severity;
use solver::finding_words::Units;
use solver::package::Package;

use crate::commands::{Answers, Lenses};

/// What stands on a trim weight is told to the gram.
const GRAMS_PER_KG: f64 = 1e3;

/// Everything on one sheet.
pub(crate) fn print(document: &Document, answers: &Answers, lenses: &Lenses, style: Style) -> String {
    let (package, report) = (&document.package, &answers.report);
    let mut sheet = Sheet { text: String::new(), style, demo: package.demo };
    sheet.title(package);
    sheet.verdict(answers);
    mass::print(&mut sheet, report);
    balance::print_marks(&mut sheet, package, report);
    balance::print_axes(&mut sheet, report);
    torque::print(&mut sheet, report);
    power::print(&mut sheet, package, answers);
    stiffness::print(&mut sheet, &answers.stiffness);
    lenses::print(&mut sheet, package, lenses);
    trim::print(&mut sheet, answers.trim.as_ref());
    sheet.findings("Watch", answers, Severity::Watch);
    sheet.findings("Note", answers, Severity::Note);
    safety::print(&mut sheet, report);
    safety::print_not_checked(&mut sheet, document, answers);
    sheet.text
}

/// The sheet as far as it is written.
struct Sheet {
    text: String,
    style: Style,
    /// Whether its title says that all figures are those of the demo.
    demo: bool,
}

impl Sheet {
    fn line(&mut self, line: impl AsRef<str>) {
        self.text.push_str(line.as_ref().trim_end());
        self.text.push('\n');
    }

    fn heading(&mut self, heading: &str) {
        self.line("");
        self.line(heading.to_uppercase());
    }

    /// A quantity with its usual digits.
    fn show(&self, si: f64, kind: Kind) -> String {
        terminal(&self.style.show(si, kind).to_string())
    }

    /// A quantity with a given number of digits after the decimal mark.
    fn digits(&self, si: f64, kind: Kind, decimals: usize) -> String {
        terminal(&self.style.digits(si, kind, decimals).to_string())
    }

    /// A chance that an axis stays put: what rounds to all or to nothing says so in a word.
    fn chance(&self, share: f64) -> String {
        match share {
            ..0.005 => "hardly".to_owned(),
            0.995.. => "surely".to_owned(),
            _ => self.show(share, Kind::Share),
        }
    }

    /// A quantity with the digits that its uncertainty leaves, and that.
    fn with_u(&self, estimate: Estimate, kind: Kind) -> String {
        let number = self.style.show_uncertain(estimate.value, estimate.u, kind).number;
        format!("{number} ± {}", self.u(estimate, kind))
    }

    /// An uncertainty alone.
    fn u(&self, estimate: Estimate, kind: Kind) -> String {
        terminal(&self.style.show_uncertainty(estimate.u, kind).to_string())
    }

    fn title(&mut self, package: &Package) {
        self.line(format!("COUNTERPOISE  prep sheet: {}", package.name));
        if package.demo {
            self.line("Demo: every figure is invented.");
        }
        let lens = package.lens().map_or("no lens", |lens| lens.name.as_str());
        self.line(format!("{}, {lens}", package.head.name));
        for line in package.note.lines() {
            self.line(line);
        }
    }

    fn verdict(&mut self, answers: &Answers) {
        if !self.findings("No-go", answers, Severity::NoGo) {
            self.heading("Nothing here stops the job");
        }
    }

    /// What was found of one severity, under a heading: balance, torque and power first, then fit, then stiffness.
    /// `false` and no heading
    /// when nothing was.
    fn findings(&mut self, heading: &str, answers: &Answers, severity: Severity) -> bool {
        let units = Words(self.style);
        let words: Vec<String> =
            answers.found(&units, self.demo).filter(|(grave, _)| *grave == severity).map(|(_, words)| words).collect();
        if words.is_empty() {
            return false;
        }
        self.heading(heading);
        for words in words {
            self.line(format!("  - {}", terminal(&words)));
        }
        true
    }
}

/// Ordinary blanks: a terminal breaks no lines of its own.
fn terminal(text: &str) -> String {
    text.replace('\u{a0}', " ")
}

/// Quantities inside sentences.
struct Words(Style);

impl Units for Words {
    fn mass(&self, kg: f64) -> String {
        self.0.digits(kg, Kind::Mass, 1).to_string()
    }
    fn mass_known(&self, kg: f64, u_kg: f64) -> String {
        self.0.show_uncertain(kg, u_kg, Kind::Mass).to_string()
    }
    fn mass_fine(&self, kg: f64) -> String {
        self.0.digits(kg, Kind::Mass, 2).to_string()
    }
    fn weight(&self, kg: f64) -> String {
        format!("{} {}", self.0.edit(kg, Kind::Mass, GRAMS_PER_KG), Kind::Mass.usual_unit(self.0.system))
    }
    fn length(&self, m: f64) -> String {
        self.0.show(m, Kind::Length).to_string()
    }
    fn unbalance(&self, kg_m: f64) -> String {
        self.0.show(kg_m, Kind::Unbalance).to_string()
    }
    fn plain(&self, value: f64, decimals: usize) -> String {
        self.0.digits(value, Kind::Plain, decimals).to_string()
    }
}
