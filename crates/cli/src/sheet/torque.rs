//! Torque in hand, move by move.

use quantity::Kind;
use solver::Report;
use solver::report::MoveTorque;

use super::Sheet;

pub(super) fn print(sheet: &mut Sheet, report: &Report) {
    sheet.heading("Torque in hand");
    let Some(torque) = report.torque.known() else {
        sheet.line("  No move is given.");
        return;
    };
    if let Some(tightest) = &torque.tightest {
        let in_hand = sheet.with_u(tightest.headroom, Kind::Share);
        sheet.line(format!(
            "  Tightest: {} in \"{}\", {in_hand} in hand of the {} torque, mostly {}",
            tightest.axis, tightest.move_name, tightest.limit, tightest.cause
        ));
    }
    for each in &torque.moves {
        one_move(sheet, each);
    }
}

fn one_move(sheet: &mut Sheet, each: &MoveTorque) {
    sheet.line(format!("  {}", each.name));
    for axis in &each.axes {
        let [peak, peak_limit, continuous, continuous_limit] =
            [axis.peak_nm.value, axis.peak_limit_nm, axis.continuous_nm.value, axis.continuous_limit_nm]
                .map(|nm| sheet.show(nm, Kind::Torque));
        let [peak_hand, continuous_hand] = [axis.peak_headroom.value, axis.continuous_headroom.value]
            .map(|headroom| sheet.show(headroom, Kind::Share));
        sheet.line(format!(
            "    {:<10}peak {peak} of {peak_limit}: {peak_hand} in hand; continuous {continuous} of {continuous_limit}: {continuous_hand}",
            axis.name
        ));
    }
    if each.near_gimbal_lock {
        sheet.line("    Poses within 10° of gimbal lock are left out.");
    }
    if let Some(speed_m_s) = each.fastest_air_m_s {
        let speed = sheet.show(speed_m_s, Kind::Speed);
        sheet.line(format!("    Highest airspeed that keeps the reserve: {speed}"));
    }
    if let Some(speed_m_s) = each.fastest_road_m_s {
        let speed = sheet.show(speed_m_s, Kind::Speed);
        sheet.line(format!("    Highest speed on this road that keeps the reserve: {speed}"));
    }
    if let Some(factor) = each.operator_factor {
        let factor = sheet.digits(factor, Kind::Plain, 1);
        sheet.line(format!("    The operator's moves may be {factor} times as fast in the same time"));
    }
}
