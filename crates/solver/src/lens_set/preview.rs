//! One lens for the director of photography: the verdict with its reasons, the minutes, the price, and what it sees.

use serde::Serialize;

use super::change::{Fitted, LensChange};
use crate::answer::Answer;
use crate::bounds::MARK_M;
use crate::check::check_sound;
use crate::constants::DEGREE_RAD;
use crate::error::InputError;
use crate::explain::Term;
use crate::finding::{Finding, Matter, Severity};
use crate::fit::{FitFinding, fit};
use crate::float;
use crate::package::{Lens, LensId, MoveId, Package};
use crate::path::FieldPath;
use crate::report::{MoveTorque, Report};
use crate::validate::validate;

/// One lens, as it would be with its own marks set.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct LensPreview {
    /// The lens.
    pub lens: LensId,
    /// Its name.
    pub name: String,
    /// Yes, yes if, or no.
    pub verdict: Verdict,
    /// What stops it, then what is to be minded with it and not with the lens that is on.
    pub reasons: Vec<Reason>,
    /// The lens change; absent for the lens that is on.
    pub change: Option<LensChange>,
    /// What each move pays, in the order of the package.
    pub moves: Vec<MovePrice>,
    /// Hours of the packs with the lens that is on, and with this one; absent while they are not known.
    pub hours: [Option<f64>; 2],
    /// What it sees.
    pub view: Answer<FieldOfView>,
}

/// Whether the lens can go on.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Verdict {
    /// Nothing stands against it.
    Yes,
    /// It can go on if what is told is minded.
    YesIf,
    /// Something stops it.
    No,
}

/// One reason.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Reason {
    /// Of balance, torque, power.
    Check(Finding),
    /// Of what fits.
    Fit(FitFinding),
}

impl Reason {
    /// How grave it is.
    pub fn severity(&self) -> Severity {
        match self {
            Self::Check(finding) => finding.severity,
            Self::Fit(finding) => finding.severity,
        }
    }

    /// Whether this is the same matter with the same things, and no less grave than `other`.
    fn is_as_grave(&self, other: &Self) -> bool {
        match (self, other) {
            (Self::Check(this), Self::Check(other)) => this.is_as_grave(other),
            (Self::Fit(this), Self::Fit(other)) => this.is_as_grave(other),
            _ => false,
        }
    }

    /// The sentence.
    pub fn words(&self, units: &dyn crate::finding_words::Units) -> String {
        match self {
            Self::Check(finding) => finding.words(units),
            Self::Fit(finding) => finding.words(units),
        }
    }
}

/// Whether one lens of the set can go on: the verdict of its preview, without the change, the price and the view.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct LensVerdict {
    /// The lens.
    pub lens: LensId,
    /// Yes, yes if, or no.
    pub verdict: Verdict,
    /// What stops it, then what is to be minded with it and not with the lens that is on.
    pub reasons: Vec<Reason>,
}

/// One move with the lens that is on and with this one.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct MovePrice {
    /// The move.
    pub move_id: MoveId,
    /// Its name.
    pub name: String,
    /// Least torque in hand of any axis: with the lens that is on, and with this one.
    pub in_hand: [f64; 2],
    /// How many times as fast the operator's moves may become; absent where that is no limit.
    pub operator_factor: [Option<f64>; 2],
    /// Highest speed on this road, m/s; absent where that is no limit.
    pub road_m_s: [Option<f64>; 2],
}

/// Angles of view at the shortest and the longest focal length.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct FieldOfView {
    /// At the shortest focal length.
    pub widest: View,
    /// At the longest; absent for a fixed focal length.
    pub longest: Option<View>,
    /// The arithmetic.
    pub arithmetic: Term,
}

/// Angles of view at one focal length, focused far away.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct View {
    /// Focal length, m.
    pub focal_m: f64,
    /// From side to side, rad.
    pub across_rad: f64,
    /// From top to bottom, rad.
    pub upright_rad: f64,
}

/// A lens of the set before it goes on; `None` when the set does not hold it.
///
/// # Errors
/// Every fault of the input, as for [`crate::check`].
pub fn lens_preview(package: &Package, lens: LensId) -> Result<Option<LensPreview>, Vec<InputError>> {
    validate(package)?;
    let Some(this) = package.lenses.iter().find(|each| each.id == lens) else { return Ok(None) };
    let (from, to) = (Fitted::new(package, package.active_lens), Fitted::new(package, Some(lens)));
    let (now, then) = (Seen::new(&from)?, Seen::new(&to)?);
    let reasons = then.reasons(&now);
    Ok(Some(LensPreview {
        lens,
        name: this.name.clone(),
        verdict: verdict(&reasons, &then.report),
        reasons,
        change: (package.active_lens != Some(lens)).then(|| LensChange::new(&from, &to, lens, &this.name)),
        moves: moves(&now.report, &then.report),
        hours: [&now, &then].map(|seen| seen.report.power.runtime_h.known().map(|hours| hours.value)),
        view: field_of_view(package, this),
    }))
}

/// Every lens of the set in its order, and whether it can go on: what its preview says and what the first screen says
/// once it is on and its marks are set.
///
/// # Errors
/// Every fault of the input, as for [`crate::check`].
pub fn lens_verdicts(package: &Package) -> Result<Vec<LensVerdict>, Vec<InputError>> {
    validate(package)?;
    let now = Seen::new(&Fitted::new(package, package.active_lens))?;
    let of = |lens: &Lens| {
        let then = Seen::new(&Fitted::new(package, Some(lens.id)))?;
        let reasons = then.reasons(&now);
        Ok(LensVerdict { lens: lens.id, verdict: verdict(&reasons, &then.report), reasons })
    };
    package.lenses.iter().map(of).collect()
}

/// A package with its own marks set, and what is found then.
struct Seen {
    report: Report,
    found: Vec<Reason>,
}

impl Seen {
    fn new(fitted: &Fitted) -> Result<Self, Vec<InputError>> {
        let package = at_its_marks(fitted);
        let report = check_sound(&package);
        let unfit = fit(&package)?.findings;
        let found = report.findings.iter().cloned().map(Reason::Check).chain(unfit.into_iter().map(Reason::Fit));
        Ok(Self { found: found.collect(), report })
    }

    /// What stops this, and the watches that the other has not got; the gravest first.
    fn reasons(&self, other: &Self) -> Vec<Reason> {
        let known = |reason: &Reason| other.found.iter().any(|before| before.is_as_grave(reason));
        let mut reasons: Vec<Reason> = self
            .found
            .iter()
            .filter(|reason| match reason.severity() {
                Severity::NoGo => true,
                Severity::Watch => !known(reason),
                Severity::Note => false,
            })
            .cloned()
            .collect();
        crate::order::sort_short(&mut reasons, |a, b| a.severity() < b.severity());
        reasons
    }
}

fn at_its_marks(fitted: &Fitted) -> Package {
    let mut package = fitted.package.clone();
    for (slide, target_m) in package.head.slides_mut().zip(&fitted.solved.marks.targets_m) {
        slide.mark_m = MARK_M.quantise(*target_m).clamp(slide.range_m[0], slide.range_m[1]);
    }
    package
}

/// No where something stops it, unless all that does is torque in moves that can be made slowly enough.
fn verdict(reasons: &[Reason], report: &Report) -> Verdict {
    let slower = |name: &String| {
        report.torque.known().and_then(|torque| torque.moves.iter().find(|each| &each.name == name)).is_some_and(
            |each| each.operator_factor.is_some_and(|factor| factor > 0.0) || each.fastest_road_m_s.is_some(),
        )
    };
    let stops = |reason: &Reason| match reason {
        Reason::Check(Finding {
            matter:
                Matter::TorqueOver { move_name, .. }
                | Matter::TooFast { move_name, .. }
                | Matter::VoltageTight { move_name, .. },
            ..
        }) => !slower(move_name),
        _ => true,
    };
    let no_go = |reason: &&Reason| reason.severity() == Severity::NoGo;
    if reasons.iter().filter(no_go).any(stops) {
        Verdict::No
    } else if reasons.is_empty() {
        Verdict::Yes
    } else {
        Verdict::YesIf
    }
}

fn moves(now: &Report, then: &Report) -> Vec<MovePrice> {
    let (Some(now), Some(then)) = (now.torque.known(), then.torque.known()) else { return Vec::new() };
    now.moves
        .iter()
        .zip(&then.moves)
        .map(|(now, then)| MovePrice {
            move_id: then.move_id,
            name: then.name.clone(),
            in_hand: [now, then].map(in_hand),
            operator_factor: [now.operator_factor, then.operator_factor],
            road_m_s: [now.fastest_road_m_s, then.fastest_road_m_s],
        })
        .collect()
}

/// Least torque in hand of any axis; all of it where there is no axis.
fn in_hand(each: &MoveTorque) -> f64 {
    each.axes
        .iter()
        .flat_map(|axis| [Some(axis.peak_headroom.value), Some(axis.continuous_headroom.value), axis.voltage_headroom])
        .flatten()
        .fold(1.0, f64::min)
}

/// What a lens sees on the picture that the package states, or the fields that lack for it.
pub fn field_of_view(package: &Package, lens: &Lens) -> Answer<FieldOfView> {
    let structure = FieldPath::root().field("structure");
    let index = package.lenses.iter().position(|each| each.id == lens.id).unwrap_or_default();
    let focal = FieldPath::root().field("lenses").index(index).field("focal_length_m");
    let (width, height) = (package.structure.picture_width_m, package.structure.picture_height_m);
    let (Some([shortest_m, longest_m]), Some(width_m), Some(height_m)) = (lens.focal_length_m, width, height) else {
        let lacking = [
            (lens.focal_length_m.is_none(), focal),
            (width.is_none(), structure.field("picture_width_m")),
            (height.is_none(), structure.field("picture_height_m")),
        ];
        return Answer::Needs(lacking.into_iter().filter(|(lacks, _)| *lacks).map(|(_, path)| path).collect());
    };
    let squeeze = lens.squeeze.unwrap_or(1.0);
    let view = |focal_m: f64| View {
        focal_m,
        across_rad: angle_rad(squeeze * width_m, focal_m),
        upright_rad: angle_rad(height_m, focal_m),
    };
    let widest = view(shortest_m);
    let longest = (longest_m > shortest_m).then(|| view(longest_m));
    let lines = [Some(widest), longest].into_iter().flatten().map(|view| {
        Term::heading(
            "At this focal length",
            vec![
                Term::value("Focal length", view.focal_m, "m"),
                Term::value("Side to side", view.across_rad / DEGREE_RAD, "°").formula("2·atan(squeeze × width / 2f)"),
                Term::value("Top to bottom", view.upright_rad / DEGREE_RAD, "°").formula("2·atan(height / 2f)"),
            ],
        )
    });
    let sizes = [
        Term::value("Width of the picture", width_m, "m"),
        Term::value("Height of the picture", height_m, "m"),
        Term::value("Squeeze", squeeze, ""),
    ];
    let arithmetic = Term::heading("Field of view, focused far away", lines.chain(sizes).collect())
        .source("any textbook of optics, thin lens without distortion (from memory)");
    Answer::Known(FieldOfView { widest, longest, arithmetic })
}

/// Angle of view, rad: 2·atan(size / 2f).
fn angle_rad(size_m: f64, focal_m: f64) -> f64 {
    2.0 * float::atan2(size_m, 2.0 * focal_m)
}
