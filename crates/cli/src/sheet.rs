//! The prep sheet: what a technician takes to the truck, in the order of the first screen.

use std::fmt::Write as _;

use codec::Document;
use quantity::{Kind, Style, clock, hours};
use solver::finding::{Finding, Severity};
use solver::package::Package;
use solver::report::{AxisReport, Hold, MoveTorque, Report, SlideReport};

/// Everything on one sheet.
pub(crate) fn print(document: &Document, report: &Report) -> String {
    let package = &document.package;
    let mut sheet = Sheet { text: String::new(), style: Style::default() };
    sheet.title(package);
    sheet.findings("", report, Severity::NoGo);
    sheet.masses(report);
    sheet.marks(report);
    sheet.hanging(report);
    sheet.torque(report);
    sheet.power(package, report);
    sheet.findings("Watch", report, Severity::Watch);
    sheet.findings("Note", report, Severity::Note);
    sheet.cautions(report);
    sheet.not_checked(document, report);
    sheet.text
}

struct Sheet {
    text: String,
    style: Style,
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

    fn show(&self, si: f64, kind: Kind) -> String {
        self.style.show(si, kind).to_string().replace('\u{a0}', " ")
    }

    fn with_u(&self, value: f64, u: f64, kind: Kind) -> String {
        let number = self.style.show_uncertain(value, u, kind).number;
        format!("{number} ± {}", self.style.show_uncertainty(u, kind)).replace('\u{a0}', " ")
    }

    fn title(&mut self, package: &Package) {
        self.line(format!("COUNTERPOISE  prep sheet: {}", package.name));
        if package.demo {
            self.line("Demo: every figure is invented.");
        }
        let lens = package.lens().map_or("no lens", |lens| lens.name.as_str());
        self.line(format!("{}, {lens}", package.head.name));
    }

    fn findings(&mut self, heading: &str, report: &Report, severity: Severity) {
        let found: Vec<&Finding> = report.findings.iter().filter(|finding| finding.severity == severity).collect();
        if severity == Severity::NoGo {
            self.heading(if found.is_empty() { "Nothing here stops the job" } else { "No-go" });
        } else if !found.is_empty() {
            self.heading(heading);
        }
        for finding in found {
            self.line(format!("  - {finding}"));
        }
    }

    fn masses(&mut self, report: &Report) {
        let mass = &report.mass;
        self.heading("Mass");
        let camera = self.with_u(mass.camera_kg.value, mass.camera_kg.u, Kind::Mass);
        let [least, most] = mass.payload_kg.map(|kg| self.show(kg, Kind::Mass));
        self.line(format!("  On the camera side  {camera}, of {most} (from {least})"));
        let arm = self.with_u(mass.all_up_kg.value, mass.all_up_kg.u, Kind::Mass);
        self.line(format!("  On the arm          {arm}, head and all"));
        if let Some([ahead, _, up]) = mass.camera_cg_from_flange_m {
            let ahead = self.with_u(ahead.value, ahead.u, Kind::Length);
            let up = self.with_u(up.value, up.u, Kind::Length);
            self.line(format!("  CG of the camera    {ahead} ahead of the flange, {up} above it"));
        }
    }

    fn marks(&mut self, report: &Report) {
        self.heading("Marks, in balancing order");
        self.line("  Hold the camera before a clamp is loosened. Motors off.");
        for slide in &report.slides {
            let line = self.mark(slide);
            self.line(line);
        }
    }

    fn mark(&self, slide: &SlideReport) -> String {
        let target = self.show(slide.target_m.value, Kind::Mark);
        let mut line = format!("  {:<12}{target:>8}", slide.name);
        if slide.balances.is_none() {
            line.push_str("  stays: it balances no axis");
            return line;
        }
        let moved = if slide.move_m.abs() < 5e-4 {
            "stays".to_owned()
        } else {
            format!("{} {}", slide.word, self.show(slide.move_m.abs(), Kind::Length))
        };
        let u = self.style.show_uncertainty(slide.target_m.u, Kind::Length).to_string().replace('\u{a0}', " ");
        let _ = write!(line, "  {moved:<18} ± {u:<7}");
        match slide.beyond_m {
            Some(beyond_m) => {
                let _ = write!(line, " at its end: {} short", self.show(beyond_m, Kind::Length));
            }
            None => {
                let _ = write!(line, " {} left", self.show(slide.left_m, Kind::Length));
            }
        }
        if let Some(zone_m) = slide.hold_zone_m {
            let zone = self.style.digits(zone_m, Kind::Length, 1).to_string().replace('\u{a0}', " ");
            let _ = write!(line, ", holds within ± {zone}");
        }
        line
    }

    fn hanging(&mut self, report: &Report) {
        self.heading("Hanging, at those marks");
        for axis in &report.axes {
            let line = self.axis(axis);
            self.line(line);
        }
    }

    fn axis(&self, axis: &AxisReport) -> String {
        let [any, in_use, friction] = [axis.gravity_any_nm, axis.gravity_in_use_nm, axis.friction_nm]
            .map(|nm| self.style.digits(nm, Kind::Torque, 2).to_string().replace('\u{a0}', " "));
        let held = match axis.hold {
            Hold::Holds { .. } => "stays put",
            Hold::Turns { .. } => "TURNS",
            Hold::Geared => "geared: this test says nothing",
        };
        format!("  {:<12}{held}: gravity {in_use} in use, {any} in any attitude, friction {friction}", axis.name)
    }

    fn torque(&mut self, report: &Report) {
        self.heading("Torque in hand");
        let Some(torque) = report.torque.known() else {
            self.line("  No move is given.");
            return;
        };
        if let Some(tightest) = &torque.tightest {
            self.line(format!(
                "  Tightest: {} in \"{}\", {} in hand of the {} torque, mostly {}",
                tightest.axis,
                tightest.move_name,
                self.with_u(tightest.headroom.value, tightest.headroom.u, Kind::Share),
                tightest.limit,
                tightest.cause
            ));
        }
        for each in &torque.moves {
            self.one_move(each);
        }
    }

    fn one_move(&mut self, each: &MoveTorque) {
        self.line(format!("  {}", each.name));
        for axis in &each.axes {
            let peak = self.show(axis.peak_nm.value, Kind::Torque);
            let peak_limit = self.show(axis.peak_limit_nm, Kind::Torque);
            let continuous = self.show(axis.continuous_nm.value, Kind::Torque);
            let continuous_limit = self.show(axis.continuous_limit_nm, Kind::Torque);
            self.line(format!(
                "    {:<10}peak {peak} of {peak_limit}, continuous {continuous} of {continuous_limit}",
                axis.name
            ));
        }
        if let Some(speed_m_s) = each.fastest_air_m_s {
            let speed = self.show(speed_m_s, Kind::Speed);
            self.line(format!("    Highest airspeed that keeps the reserve: {speed}"));
        }
        if let Some(factor) = each.operator_factor {
            self.line(format!("    The operator's moves may be {factor:.1} times as fast in the same time"));
        }
    }

    fn power(&mut self, package: &Package, report: &Report) {
        let power = &report.power;
        self.heading("Power");
        self.line(format!(
            "  Drawn from the packs {}: loads {}, motors and head {}, the rest is converters and cables",
            self.show(power.draw_w, Kind::Power),
            self.show(power.loads_w, Kind::Power),
            self.show(power.motors_w, Kind::Power)
        ));
        match power.runtime_h.known() {
            Some(runtime) => {
                let lasts = hours(runtime.value);
                self.line(format!("  Packs last {lasts} ± {}", hours(runtime.u)));
                if let (Some(change_min), Some(sets)) = (power.change_min, power.sets) {
                    let start = clock(package.day.start_min);
                    let change = clock(change_min);
                    self.line(format!("  On at {start}, first pack change at {change}; the day needs {sets} sets"));
                }
            }
            None => self.line("  No packs ride: how long it runs is not known."),
        }
        for tap in &power.taps {
            let [typical, peak, limit] =
                [tap.typical_a, tap.peak_a, tap.limit_a].map(|ampere| self.show(ampere, Kind::Current));
            self.line(format!("  {:<16}{typical}, at peak {peak}, limit {limit}", tap.name));
        }
    }

    fn cautions(&mut self, report: &Report) {
        self.heading("Cautions");
        self.line("  - Locks off before motors on. Hands, straps and cables clear, and everyone told, before motors are enabled.");
        self.line("  - End keepers back on. Secondary tether and rated fixings overhead.");
        if report.mass.all_up_kg.value > LIFT_BY_HAND_KG {
            self.line("  - Too heavy to lift by hand alone: lower the arm, use a stand or a hoist.");
        }
        self.line("  - At wrap: motors off, locks on, hold the arm, weights off before the head comes off.");
        self.line("  - A damaged or hot lithium pack is left alone, away from people.");
        self.line("  - The maker's limits, local codes and the licensed practitioner on site decide.");
    }

    fn not_checked(&mut self, document: &Document, report: &Report) {
        self.heading("Not checked");
        for item in &report.not_checked {
            self.line(format!("  - {item}"));
        }
        for name in document.foreign_names() {
            self.line(format!("  - Section \"{name}\": of another version, kept as it came"));
        }
    }
}

/// Mass above which lifting by hand is worth a caution, kg. Source: the load constant of the revised NIOSH lifting
/// equation, DHHS (NIOSH) 94-110 (value from memory).
const LIFT_BY_HAND_KG: f64 = 23.0;
