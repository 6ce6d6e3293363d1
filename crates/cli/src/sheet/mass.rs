//! Mass on the camera side and on the arm.

use quantity::Kind;
use solver::Report;
use solver::answer::Estimate;

use super::Sheet;

pub(super) fn print(sheet: &mut Sheet, report: &Report) {
    let mass = &report.mass;
    sheet.heading("Mass");
    let [least, most] = mass.payload_kg.map(|kg| sheet.digits(kg, Kind::Mass, 1));
    let camera = sheet.with_u(mass.camera_kg, Kind::Mass);
    sheet.line(format!("  On the camera side  {camera}, of {most} (from {least})"));
    let arm = sheet.with_u(mass.all_up_kg, Kind::Mass);
    sheet.line(format!("  On the arm          {arm}, head and all"));
    if let Some([ahead, left, up]) = mass.camera_cg_from_flange_m {
        let ahead = offset(sheet, ahead, "ahead of", "behind");
        let left = offset(sheet, left, "left of", "right of");
        let up = offset(sheet, up, "above", "below");
        sheet.line(format!("  CG of the camera    {ahead} the flange, {left} it, {up} it"));
    }
}

/// `70 ± 5 mm ahead of`: a sense instead of a sign.
fn offset(sheet: &Sheet, by: Estimate, plus: &str, minus: &str) -> String {
    let size = sheet.with_u(Estimate::new(by.value.abs(), by.u), Kind::Length);
    format!("{size} {}", if by.value < 0.0 { minus } else { plus })
}
