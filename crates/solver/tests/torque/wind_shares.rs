//! Which part the wind gets hold of.

use solver::layout::Layout;
use solver::report::LimitKind;
use solver::torque::{Side, WindRemedy, WindShareOf, torque_report, wind_help_of, wind_on_axis};

use super::builds::{axis_move, medium, targets_m};

#[test]
fn shares_add_up_and_sheltering_the_largest_helps() {
    let mut package = medium();
    package.moves[0].airspeed_m_s = 25.0;
    let marks_m = targets_m(&package);
    let report =
        |package: &solver::Package| torque_report(package, &Layout::new(package), &marks_m).moves.swap_remove(0);
    let before = report(&package);
    let wind = wind_on_axis(&package, &Layout::new(&package), &marks_m, &before).expect("axes are there");
    let axis = before.axes.iter().find(|axis| axis.joint == wind.joint).expect("that axis");
    let sum: f64 = wind.shares.iter().map(|share| share.torque_nm).sum();
    assert!((wind.torque_nm / axis.peak.wind_nm - 1.0).abs() < 1e-9, "{} {}", wind.torque_nm, axis.peak.wind_nm);
    assert!((sum / wind.torque_nm - 1.0).abs() < 1e-9, "{sum} {}", wind.torque_nm);
    assert!(wind.from_ahead_nm <= wind.torque_nm);
    let counter = wind.counter_sail_m3.expect("there is wind");
    let pressure = 0.5 * before.air_kg_m3 * (25.0 * 1.5) * (25.0 * 1.5);
    assert!((1.17 * counter * pressure / wind.torque_nm - 1.0).abs() < 1e-9);

    // The matte box stands furthest ahead and shows most.
    assert_eq!(wind.shares[0].of, WindShareOf::Part(2));
    for part in &mut package.parts {
        part.drag.sheltered |= wind.shares[0].of == WindShareOf::Part(part.id);
    }
    let after = report(&package);
    let calmer = after.axes.iter().find(|axis| axis.joint == wind.joint).expect("that axis");
    assert!(calmer.peak.wind_nm < axis.peak.wind_nm);
    assert!(after.fastest_air_m_s > before.fastest_air_m_s);
}

/// Every remedy does by itself what it says.
#[test]
fn remedies_bring_the_axis_within_the_reserve() {
    let mut package = medium();
    package.moves[0].airspeed_m_s = 30.0;
    package.moves[0].ranges.clear();
    each_remedy_is_enough(&package, LimitKind::Continuous);

    // In a light wind nothing is needed.
    package.moves[0].airspeed_m_s = 3.0;
    let (marks_m, layout) = (targets_m(&package), Layout::new(&package));
    let each = torque_report(&package, &layout, &marks_m).moves.swap_remove(0);
    let calm = wind_help_of(&package, &layout, &marks_m, &each).expect("there is wind");
    assert!(calm.headroom >= package.reserve.torque_headroom && calm.remedies.is_empty());
}

/// Where pan turns near its fastest rate the voltage leaves less than peak and continuous torque would: what is enough for
/// these is not enough for it.
#[test]
fn remedies_keep_what_the_voltage_leaves() {
    let mut package = medium();
    package.moves[0].airspeed_m_s = 25.0;
    package.moves[0].ranges.clear();
    package.moves[0].operator = vec![axis_move("pan", 2.6, 1.5)];
    each_remedy_is_enough(&package, LimitKind::Rate);
}

/// Applies every remedy of the first move and asks the report again; `binds` is the limit that lacks without any.
fn each_remedy_is_enough(package: &solver::Package, binds: LimitKind) {
    let marks_m = targets_m(package);
    let layout = Layout::new(package);
    let reserve = package.reserve.torque_headroom;
    let each = torque_report(package, &layout, &marks_m).moves.swap_remove(0);
    let help = wind_help_of(package, &layout, &marks_m, &each).expect("there is wind");
    let tightest = |package: &solver::Package, layout: &Layout| {
        let each = torque_report(package, layout, &marks_m).moves.swap_remove(0);
        each.axes.into_iter().find(|axis| axis.joint == help.wind.joint).expect("that axis").tightest()
    };
    let headroom = |package: &solver::Package, layout: &Layout| tightest(package, layout).1.value;
    assert!(help.headroom < reserve, "{}", help.headroom);
    assert_eq!(tightest(package, &layout).0, binds);
    assert!((headroom(package, &layout) - help.headroom).abs() < 1e-12);
    let [smaller, sail, slower, heading] = &help.remedies[..] else { panic!("{:?}", help.remedies) };

    // The named part with the stated share of its face just keeps the reserve.
    let WindRemedy::Smaller { part, share, .. } = smaller else { panic!("{smaller:?}") };
    let mut changed = package.clone();
    let face = changed.parts.iter_mut().find(|each| each.id == *part).expect("the part");
    face.drag.coefficient *= share;
    let left = headroom(&changed, &Layout::new(&changed));
    assert!(left >= reserve && left < reserve + 0.01, "{left}");

    // The plate as a part of its own, without mass, where it is said to hang.
    let WindRemedy::CounterSail { area_m2, arm_m, side } = *sail else { panic!("{sail:?}") };
    assert_eq!((help.wind.joint.as_str(), side), ("pan", Side::Behind));
    let mut changed = package.clone();
    let mut plate = changed.parts[3].clone();
    let edge_m = area_m2.sqrt();
    plate.id = 99;
    plate.mass = solver::package::PartMass::Own(solver::package::Mass {
        kg: 0.0,
        from: solver::package::MassSource::BenchScale,
        u_kg: None,
    });
    plate.drag.coefficient = 1.17;
    plate.size_m = [edge_m, 0.0, edge_m];
    let mark = |id: &str| {
        let place = package.head.slides().position(|slide| slide.id == id).expect("a slide");
        marks_m[place]
    };
    plate.at.offset_m = [-arm_m - mark("plate") - mark("pan_slide"), -mark("side"), 0.1 - mark("height")];
    changed.parts.push(plate);
    assert!(headroom(&changed, &Layout::new(&changed)) >= reserve - 0.005);

    let WindRemedy::Slower { airspeed_m_s } = *slower else { panic!("{slower:?}") };
    let mut changed = package.clone();
    changed.moves[0].airspeed_m_s = airspeed_m_s;
    assert!(headroom(&changed, &layout) >= reserve - 0.005);
    let WindRemedy::Heading { headroom: left } = *heading else { panic!("{heading:?}") };
    assert!(left >= reserve && left > help.headroom);
    // Kept along the wind it is pressed more than in no wind at all.
    let mut changed = package.clone();
    changed.moves[0].airspeed_m_s = 0.0;
    assert!(left <= headroom(&changed, &layout), "{left}");
}
