//! What is said of a move: voltage, isolator, gimbal lock, and where it leaves the model or the bounds.

use solver::Package;
use solver::finding::{Finding, Matter, Severity};
use solver::package::{Element, Isolator, Load, Motion, Shape};
use solver::power::{LoadFault, load_fault, tap_uses};

use super::builds::{axis_move, medium, range};

fn findings(package: &Package) -> Vec<Finding> {
    solver::check(package).expect("a valid package").findings
}

/// The finding that is asked for, with its severity; its words hold no gap.
fn said(package: &Package, wanted: fn(&Matter) -> bool) -> Option<Severity> {
    let found = findings(package).into_iter().find(|finding| wanted(&finding.matter))?;
    let words = found.to_string();
    assert!(words.len() > 40 && !words.contains("  ") && !words.contains("NaN"), "{words}");
    Some(found.severity)
}

fn voltage(matter: &Matter) -> bool {
    matches!(matter, Matter::VoltageTight { .. })
}

#[test]
fn a_whip_near_the_fastest_rate_is_limited_by_voltage() {
    let mut package = medium();
    package.moves[0].operator = vec![axis_move("pan", 1.0, 0.5)];
    assert_eq!(said(&package, voltage), None);
    // The pan's drive turns 3.5 rad/s: nearer and nearer to that less is left, then too little, then not enough.
    let mut told = vec![None];
    for step in 0..50 {
        package.moves[0].operator = vec![axis_move("pan", 2.0 + 0.03 * f64::from(step), 0.4)];
        told.push(said(&package, voltage));
    }
    told.dedup();
    assert_eq!(told, [None, Some(Severity::Watch), Some(Severity::NoGo)]);
    // Faster than it can turn at all is another finding.
    package.moves[0].operator = vec![axis_move("pan", 3.6, 0.4)];
    assert_eq!(said(&package, voltage), None);
    assert_eq!(said(&package, |matter| matches!(matter, Matter::TooFast { .. })), Some(Severity::NoGo));
}

#[test]
fn an_isolator_is_held_to_its_rated_mass() {
    let over = |matter: &Matter| matches!(matter, Matter::IsolatorOver { .. });
    let mut package = medium();
    let solver::answer::Estimate { value: all_up_kg, u: u_kg } =
        solver::check(&package).expect("a valid package").mass.all_up_kg;
    let mut fitted = |rated_kg: f64| {
        package.moves[0].isolator = Some(Isolator { natural_hz: 5.0, damping: 0.2, rated_kg });
        said(&package, over)
    };
    assert_eq!(fitted(all_up_kg + 2.0 * u_kg + 0.01), None);
    // Within the ± of what hangs on it, it may be too much.
    assert!(u_kg > 0.1, "{u_kg}");
    assert_eq!(fitted(all_up_kg + 2.0 * u_kg - 0.01), Some(Severity::Watch));
    assert_eq!(fitted(all_up_kg - 0.1), Some(Severity::NoGo));
}

#[test]
fn gimbal_lock_in_the_working_range_is_said() {
    let lock = |matter: &Matter| matches!(matter, Matter::NearGimbalLock { .. });
    let mut package = medium();
    assert_eq!(said(&package, lock), None);
    package.moves[0].ranges = vec![range("tilt", -0.5, 0.5), range("roll", -1.5, 1.5)];
    assert_eq!(said(&package, lock), Some(Severity::Watch));
}

#[test]
fn winds_and_seas_beyond_the_model_are_said() {
    let crisis = |matter: &Matter| matches!(matter, Matter::DragCrisis { .. });
    let too_fast = |matter: &Matter| matches!(matter, Matter::AirTooFast { .. });
    let mut package = medium();
    package.moves[0].gust_factor = 1.0;
    // A lens of 114 mm at 15 °C: Re 2e5 stands at 25.6 m/s (computed from 1.458e-6·T^1.5/(T + 110.4) and ISO 2533).
    package.moves[0].air_k = 288.15;
    package.moves[0].airspeed_m_s = 25.0;
    assert_eq!(said(&package, crisis), None);
    package.moves[0].airspeed_m_s = 26.0;
    assert_eq!(said(&package, crisis), Some(Severity::Note));
    // A square box has sharp edges and no crisis; without the lens there is nothing round.
    let mut boxes = package.clone();
    boxes.active_lens = None;
    boxes.parts.iter_mut().for_each(|part| part.shape = Shape::Box);
    assert_eq!(said(&boxes, crisis), None);
    package.moves[0].airspeed_m_s = 80.0;
    assert_eq!(said(&package, too_fast), None);
    package.moves[0].gust_factor = 1.4;
    assert_eq!(said(&package, too_fast), Some(Severity::Watch));

    let steep = |matter: &Matter| matches!(matter, Matter::SeaTooSteep { .. });
    let mut at_sea = |height_m: f64| {
        package.moves[0].motion = Motion::Sea { height_m, period_s: 4.0, lean_rad: 0.1, slam_m_s2: 0.0 };
        said(&package, steep)
    };
    // A wave of 4 s is 24.97 m long, and breaks at a seventh of that.
    assert_eq!(at_sea(3.5), None);
    assert_eq!(at_sea(3.6), Some(Severity::Watch));
}

fn first_fault(package: &Package) -> String {
    solver::check(package).expect_err("a fault")[0].to_string()
}

/// What cannot be is refused with the name of its field.
#[test]
fn what_cannot_be_names_its_field() {
    let sound = medium();
    let mut package = sound.clone();
    package.moves[0].airspeed_m_s = 91.0;
    assert!(first_fault(&package).starts_with("moves[0].airspeed_m_s"), "{}", first_fault(&package));

    let yoke = sound.head.chain.iter().position(|element| matches!(element, Element::Yoke(_))).expect("a yoke");
    let mut package = sound.clone();
    if let Element::Yoke(yoke) = &mut package.head.chain[yoke] {
        yoke.inertia_kg_m2[1] = -0.01;
    }
    let fault = first_fault(&package);
    assert!(fault.starts_with(&format!("head.chain[{yoke}].inertia_kg_m2[1]")), "{fault}");

    let mut package = sound.clone();
    if let Element::Joint(joint) = &mut package.head.chain[0] {
        joint.axis = [0.0, 0.5, 0.5];
    }
    let fault = first_fault(&package);
    assert!(fault.starts_with("head.chain[0].axis"), "{fault}");
    assert!(fault.contains("length"), "{fault}");
}

/// A body without inertia is a point, and a chain without any mass asks for friction, cables and wind alone.
#[test]
fn no_inertia_is_a_point_and_no_mass_is_no_torque() {
    let mut package = medium();
    package.moves[0].operator = vec![axis_move("pan", 2.0, 0.5), axis_move("tilt", 1.0, 0.5)];
    for element in &mut package.head.chain {
        if let Element::Yoke(yoke) = element {
            yoke.inertia_kg_m2 = [0.0; 3];
        }
    }
    let report = solver::check(&package).expect("a valid package");
    assert!(report.axes.iter().all(|axis| axis.inertia_kg_m2 > 0.0));
    package.parts.clear();
    package.active_lens = None;
    for element in &mut package.head.chain {
        match element {
            Element::Yoke(yoke) => yoke.mass.kg = 0.0,
            Element::Joint(joint) => joint.drive.reflected_inertia_kg_m2 = 0.0,
            _ => {}
        }
    }
    let report = solver::check(&package).expect("a valid package");
    for axis in &report.torque.known().expect("a move").moves[0].axes {
        let terms = axis.peak;
        assert!(terms.operator_nm.abs() < 1e-12 && terms.wind_nm.abs() < 1e-12, "{terms:?}");
        assert!(axis.peak_nm.value.is_finite() && axis.spare_unbalance_kg_m.is_some());
    }
}

fn joint<'a>(package: &'a mut Package, id: &str) -> &'a mut solver::package::Joint {
    let joints = package.head.chain.iter_mut().filter_map(|element| match element {
        Element::Joint(joint) => Some(joint),
        _ => None,
    });
    joints.into_iter().find(|joint| joint.id == id).expect("a joint")
}

/// Gears hide an unbalance from every test by hand; that they hold whatever hangs on them nobody has said.
#[test]
fn gears_that_may_give_are_said() {
    let give = |matter: &Matter| matches!(matter, Matter::GearedAxis { may_give: true, .. });
    let mut package = medium();
    assert_eq!(said(&package, give), None);
    let tilt = joint(&mut package, "tilt");
    tilt.drive.kind = solver::package::DriveKind::Geared;
    tilt.drive.friction_nm = 3.0;
    let report = solver::check(&package).expect("a valid package");
    let axis = report.axes.iter().find(|axis| axis.joint == "tilt").expect("a tilt axis");
    let worst_nm = axis.gravity_any_nm.max(axis.gravity_any_now_nm);
    assert!(worst_nm > 0.1, "{worst_nm}");
    for (friction_nm, expected) in [(0.95 * worst_nm, Some(Severity::Watch)), (1.05 * worst_nm, None)] {
        joint(&mut package, "tilt").drive.friction_nm = friction_nm;
        assert_eq!(said(&package, give), expected);
    }
}

/// The pan of a head on its side carries all of an unbalance of which its test showed a quarter.
#[test]
fn an_axis_that_leans_further_than_in_its_test_is_said() {
    let further = |matter: &Matter| matches!(matter, Matter::LeansFurther { .. });
    let mut package = medium();
    assert_eq!(said(&package, further), None);
    package.moves[0].mounting = solver::package::Mounting::Stood;
    assert_eq!(said(&package, further), None);
    package.moves[0].mounting = solver::package::Mounting::Side;
    assert_eq!(said(&package, further), Some(Severity::Watch));
    let only = findings(&package).into_iter().filter(|finding| further(&finding.matter)).count();
    assert_eq!(only, 1, "the level axes are tested with all of gravity");
    // Tested as it will be used, nothing is left to be said.
    package.reserve.tip_rad = 1.5;
    assert_eq!(said(&package, further), None);
    // A hung head on a platform that leans further than the base was tipped.
    package.moves[0].mounting = solver::package::Mounting::Hung;
    package.reserve.tip_rad = 0.26;
    for (lean_rad, expected) in [(0.3, None), (0.4, Some(Severity::Watch))] {
        if let Motion::Own { lean_rad: own, .. } = &mut package.moves[0].motion {
            *own = lean_rad;
        }
        assert_eq!(said(&package, further), expected);
    }
}

/// A base that turns at 0.4 rad/s under an axis that turns at 0.5 leaves the operator 0.1.
#[test]
fn a_platform_that_turns_faster_than_an_axis_is_said() {
    let faster = |matter: &Matter| matches!(matter, Matter::PlatformTooFast { .. });
    let mut package = medium();
    package.moves[0].motion = Motion::Own {
        lean_rad: 0.0,
        rms_m_s2: 0.5,
        peak_m_s2: 1.0,
        slam_m_s2: 0.0,
        band_hz: 0.5,
        turn_rms_rad_s: 0.1,
        turn_peak_rad_s: 0.4,
    };
    package.moves[0].operator.clear();
    let unknown = |package: &Package| {
        let left_out = solver::check(package).expect("a valid package").not_checked;
        left_out.iter().any(|line| line.contains("How fast the platform turns"))
    };
    assert_eq!(said(&package, faster), None);
    assert!(!unknown(&package));
    joint(&mut package, "roll").drive.max_rate_rad_s = 0.5;
    assert_eq!(said(&package, faster), None);
    package.moves[0].operator = vec![axis_move("roll", 0.09, 0.5)];
    assert_eq!(said(&package, faster), None);
    package.moves[0].operator = vec![axis_move("roll", 0.11, 0.5)];
    assert_eq!(said(&package, faster), Some(Severity::NoGo));
    // The pan stands upright: it does not follow a base that turns about level axes.
    package.moves[0].operator.clear();
    joint(&mut package, "roll").drive.max_rate_rad_s = 3.0;
    joint(&mut package, "pan").drive.max_rate_rad_s = 0.1;
    assert_eq!(said(&package, faster), None);
    if let Motion::Own { turn_rms_rad_s, turn_peak_rad_s, .. } = &mut package.moves[0].motion {
        (*turn_rms_rad_s, *turn_peak_rad_s) = (0.0, 0.0);
    }
    assert!(unknown(&package));
}

/// A regulator that feeds several taps gives up in ordinary use: no-go. At peak only: watch.
#[test]
fn a_group_over_its_limit_in_ordinary_use_stops_the_job() {
    use solver::package::{Load, Tap, TapGroup, TapVoltage};
    let over = |matter: &Matter| matches!(matter, Matter::GroupOver { .. });
    let mut package = medium();
    let tap = |id: &str| Tap {
        id: id.into(),
        name: id.into(),
        voltage: TapVoltage::Regulated { volts: 15.0 },
        limit_a: 20.0,
        efficiency: 0.9,
        group: Some("outlets".into()),
    };
    package.head.taps = vec![tap("one"), tap("two")];
    for (part, tap) in package.parts.iter_mut().zip(["one", "two"]) {
        let (typical_w, peak_w) = (40.0, 70.0);
        part.load = Some(Load { typical_w, peak_w, window_v: None, tap: Some(tap.into()), cable: None });
    }
    for (limit_w, expected) in [(141.0, None), (139.0, Some(Severity::Watch)), (79.0, Some(Severity::NoGo))] {
        package.head.tap_groups = vec![TapGroup { id: "outlets".into(), limit_w, name: None }];
        assert_eq!(said(&package, over), expected, "{limit_w}");
        let uses = solver::power::tap_uses(&package);
        let fault = solver::power::load_fault(&package, &uses, package.parts[0].id);
        assert_eq!(fault.map(solver::power::LoadFault::severity), expected);
    }
}

/// Load and capacity are known to a tenth and a twentieth, a running time to √(0.1² + 0.05²) = 11.2 % of itself: packs that
/// last a twentieth longer than the day may not last it, with a third more they do.
#[test]
fn packs_that_just_last_the_day_are_no_promise() {
    use solver::package::Pack;
    let just = |matter: &Matter| matches!(matter, Matter::PacksJustLast { .. });
    let mut package = medium();
    let (cells, capacity_ah, resistance_ohm) = (6.0, 20.0, 0.05);
    package.parts[0].pack =
        Some(Pack { cells, capacity_ah, resistance_ohm, usable_share: 0.9, cutoff_v_cell: 3.0, rated_wh: None });
    let lasts_h = solver::check(&package).expect("sound").power.runtime_h.known().expect("a pack rides").value;
    for (longer, expected) in [(1.05, Some(Severity::Note)), (1.33, None), (0.9, None)] {
        package.day.running_h = lasts_h / longer;
        assert_eq!(said(&package, just), expected, "{longer}");
    }
}

/// Rounding is no unbalance: a head whose friction is entered as nothing balances at its marks all the same.
#[test]
fn a_head_without_friction_can_be_balanced() {
    let mut package = medium();
    for id in ["pan", "roll", "tilt"] {
        joint(&mut package, id).drive.friction_nm = 0.0;
    }
    assert_eq!(said(&package, |matter| matches!(matter, Matter::NotNeutral { .. })), None);
    // A hundredth of a newton metre that no slide removes is one.
    let solver::package::Element::Slide(plate) = &mut package.head.chain[9] else { panic!("the plate") };
    plate.range_m = [0.0, 0.0005];
    assert_eq!(said(&package, |matter| matches!(matter, Matter::NotNeutral { .. })), Some(Severity::NoGo));
}

/// A drive without torque, or one that does not turn, is asked for more than it has; how many times is no number.
#[test]
fn a_limit_of_next_to_nothing_is_not_told_in_per_cent() {
    let mut package = medium();
    joint(&mut package, "pan").drive.continuous_nm = 0.0;
    let words: Vec<String> = findings(&package).iter().map(ToString::to_string).collect();
    let told = words.iter().find(|words| words.contains("continuous torque")).expect("a finding");
    assert!(told.contains("more than ten times its continuous torque") && !told.contains('%'), "{told}");
}

/// An upright axis that rides on a tilt leans as far as that tilts, and was tested at the tip angle.
#[test]
fn an_upright_axis_leans_with_those_that_carry_it() {
    let further = |matter: &Matter| matches!(matter, Matter::LeansFurther { .. });
    let mut package = medium();
    joint(&mut package, "pan").axis = [0.0, -1.0, 0.0];
    joint(&mut package, "tilt").axis = [0.0, 0.0, -1.0];
    for (tilted_rad, expected) in [(0.25, None), (0.4, Some(Severity::Watch))] {
        for tilted in [[-tilted_rad, 0.0], [0.0, tilted_rad]] {
            package.moves[0].ranges = vec![range("pan", tilted[0], tilted[1])];
            assert_eq!(said(&package, further), expected, "{tilted:?}");
        }
    }
    let named = |finding: &Finding| matches!(&finding.matter, Matter::LeansFurther { axis, .. } if axis == "tilt");
    assert!(findings(&package).iter().any(named));
    // It cannot lean further than the axis that carries it turns.
    joint(&mut package, "pan").limits_rad = Some([-0.25, 0.25]);
    assert_eq!(said(&package, further), None);
}

/// A motor that draws nothing at rest draws at its peak, and wants a tap as well.
#[test]
fn what_draws_only_at_its_peak_wants_a_tap_too() {
    let wired = |matter: &Matter| matches!(matter, Matter::NotWired { .. });
    let mut package = medium();
    let load = |peak_w| Some(Load { typical_w: 0.0, peak_w, window_v: None, tap: None, cable: None });
    for (peak_w, expected, fault) in [(0.0, None, None), (12.0, Some(Severity::Note), Some(LoadFault::NoTap))] {
        package.parts[0].load = load(peak_w);
        assert_eq!(said(&package, wired), expected);
        assert_eq!(load_fault(&package, &tap_uses(&package), package.parts[0].id), fault);
    }
}
