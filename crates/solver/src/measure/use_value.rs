//! *Use this value*: a measurement written into the package with its provenance.

use serde::{Deserialize, Serialize};

use crate::answer::Estimate;
use crate::bounds;
use crate::error::{InputError, Problem};
use crate::numbers::Numbers;
use crate::package::{CgSource, Element, LensId, Mass, MassSource, Package, Part, PartId, PartMass};
use crate::path::FieldPath;
use crate::validate::validate;

/// A measured value, ready to be written.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Value {
    /// A mass, kg.
    Mass {
        /// The mass and its standard uncertainty, kg.
        kg: Estimate,
        /// The scale it came from.
        from: MassSource,
    },
    /// A centre of gravity along x, m: ahead of the flange for a lens, ahead of the middle of the outline for a part.
    CgAhead(Estimate),
    /// A centre of gravity along z, m: above the middle of a part's outline. A lens has its own on the optical axis.
    CgUp(Estimate),
    /// Friction of an axis, N·m.
    Friction(Estimate),
}

/// Where a measured value belongs.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Target {
    /// A part: its mass or its centre of gravity.
    Part(PartId),
    /// A lens: its mass or its centre of gravity.
    Lens(LensId),
    /// The joint with this id: its friction.
    Joint(String),
}

/// The package with the measured value in place of the old one, rounded to its storage step. Its uncertainty goes along
/// where the package has room for one.
///
/// A part has one uncertainty for its centre of gravity along all three axes: it becomes that of the measured one.
///
/// # Errors
/// A target that the package does not have or that cannot hold such a value, and a value outside its range.
pub fn write(package: &Package, target: &Target, value: Value) -> Result<Package, Vec<InputError>> {
    let mut written = package.clone();
    put(&mut written, target, value).map_err(|fault| vec![fault])?;
    let mut rounded = written;
    rounded.change_numbers(&mut FieldPath::root(), &mut |_, number, bounds| *number = bounds.quantise(*number));
    validate(&rounded)?;
    Ok(rounded)
}

fn put(package: &mut Package, target: &Target, value: Value) -> Result<(), InputError> {
    let root = FieldPath::root();
    match (target, value) {
        (Target::Part(id), Value::Mass { kg, from }) => {
            let part = part(package, *id)?;
            part.mass = PartMass::Own(mass(kg, from));
        }
        (Target::Part(id), Value::CgAhead(ahead_m)) => {
            let part = part(package, *id)?;
            part.cg.offset_m[0] = ahead_m.value;
            part.cg.from = CgSource::Measured;
            part.cg.u_m = Some(least_u_m(ahead_m.u));
        }
        (Target::Part(id), Value::CgUp(up_m)) => {
            let part = part(package, *id)?;
            part.cg.offset_m[2] = up_m.value;
            part.cg.from = CgSource::Measured;
            part.cg.u_m = Some(least_u_m(up_m.u));
        }
        (Target::Lens(id), value) => {
            let unknown = || unknown(&root.field("lenses"), "lens", id.to_string());
            let lens = package.lenses.iter_mut().find(|lens| lens.id == *id).ok_or_else(unknown)?;
            match value {
                Value::Mass { kg, from } => lens.mass = mass(kg, from),
                Value::CgAhead(ahead_m) => {
                    lens.cg_ahead_m = ahead_m.value;
                    lens.cg_from = CgSource::Measured;
                    lens.cg_u_m = Some(least_u_m(ahead_m.u));
                }
                Value::CgUp(_) | Value::Friction(_) => return Err(unknown()),
            }
        }
        (Target::Joint(id), Value::Friction(friction_nm)) => {
            let joint = package.head.chain.iter_mut().find_map(|element| match element {
                Element::Joint(joint) if joint.id == *id => Some(joint),
                _ => None,
            });
            let joint = joint.ok_or_else(|| unknown(&root.field("head").field("chain"), "joint", id.clone()))?;
            joint.drive.friction_nm = friction_nm.value;
        }
        (Target::Part(id), Value::Friction(_)) => return Err(unknown(&root.field("parts"), "joint", id.to_string())),
        (Target::Joint(id), _) => return Err(unknown(&root.field("head").field("chain"), "part", id.clone())),
    }
    Ok(())
}

fn part(package: &mut Package, id: PartId) -> Result<&mut Part, InputError> {
    let found = package.parts.iter_mut().find(|part| part.id == id);
    found.ok_or_else(|| unknown(&FieldPath::root().field("parts"), "part", id.to_string()))
}

fn mass(kg: Estimate, from: MassSource) -> Mass {
    // Half a storage step is the least that a stored mass can be uncertain by.
    let step_kg = 1.0 / bounds::MASS_KG.steps_per_unit;
    Mass { kg: kg.value, from, u_kg: Some(kg.u.max(step_kg)) }
}

fn least_u_m(u_m: f64) -> f64 {
    u_m.max(1.0 / bounds::OFFSET_M.steps_per_unit)
}

fn unknown(path: &FieldPath, what: &'static str, id: String) -> InputError {
    InputError { field: path.clone(), problem: Problem::Unknown { what, id } }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::package::{Day, Drive, DriveKind, Head, Joint, Lens, Mount, Reserve, Rings, Turns};

    fn package() -> Package {
        let drive = Drive {
            kind: DriveKind::Direct,
            ratio: 1.0,
            efficiency: 1.0,
            reflected_inertia_kg_m2: 0.0,
            friction_nm: 0.2,
            peak_nm: 20.0,
            peak_s: 2.0,
            continuous_nm: 7.0,
            motor_constant: 1.0,
            winding_to_air_k_w: 2.0,
            max_rate_rad_s: 3.0,
            cable_spring_nm_rad: 0.0,
            cable_hysteresis_nm: 0.0,
        };
        let turns =
            Turns { plus: "nose drops".into(), minus: "tail drops".into(), shown: "up".into(), shown_reversed: true };
        let joint = Joint {
            id: "tilt".into(),
            name: "Tilt".into(),
            axis: [0.0, 1.0, 0.0],
            position_m: [0.0; 3],
            limits_rad: None,
            drive,
            turns,
        };
        let lens = Lens {
            id: 7,
            name: "Prime".into(),
            mass: Mass { kg: 1.7, from: MassSource::Typical, u_kg: None },
            length_m: 0.125,
            diameter_m: 0.114,
            cg_ahead_m: 0.06,
            cg_from: CgSource::Typical,
            cg_u_m: None,
            cg_shift_m: 0.005,
            rings: Rings::default(),
            focal_length_m: None,
            squeeze: None,
            brings: vec![],
            leaves_off: vec![],
        };
        Package {
            name: "Check".into(),
            note: String::new(),
            demo: false,
            head: Head {
                name: "Head".into(),
                typical: true,
                payload_kg: [0.0, 20.0],
                chain: vec![Element::Joint(joint)],
                opening: None,
                taps: vec![],
                tap_groups: vec![],
                idle_w: 0.0,
                crossover_hz: 5.0,
            },
            mount: Mount { flange_ahead_m: 0.0, flange_left_m: 0.0 },
            parts: vec![],
            lenses: vec![lens],
            active_lens: Some(7),
            moves: vec![],
            day: Day::default(),
            reserve: Reserve::default(),
            tune: None,
            arm: None,
            at_hand: None,
            logs: vec![],
            balancing: None,
            structure: crate::package::Structure::default(),
            change_minutes: crate::package::ChangeMinutes::default(),
        }
    }

    #[test]
    fn a_measured_lens_keeps_its_provenance_and_narrows_the_answer() {
        let before = crate::check(&package()).expect("valid").mass.camera_kg;
        let value = Value::Mass { kg: Estimate::new(1.734_56, 0.007), from: MassSource::BenchScale };
        let weighed = write(&package(), &Target::Lens(7), value).expect("a lens takes a mass");
        let placed = write(&weighed, &Target::Lens(7), Value::CgAhead(Estimate::new(0.0671, 0.000_18)))
            .expect("a lens takes a centre of gravity");
        let lens = &placed.lenses[0];
        assert_eq!(lens.mass, Mass { kg: 1.734_6, from: MassSource::BenchScale, u_kg: Some(0.007) });
        assert_eq!((lens.cg_ahead_m, lens.cg_from, lens.cg_u_m), (0.0671, CgSource::Measured, Some(0.000_2)));
        let after = crate::check(&placed).expect("valid").mass.camera_kg;
        assert!(after.u < before.u && after.value > before.value);
    }

    #[test]
    fn friction_goes_to_its_axis_and_nowhere_else() {
        let value = Value::Friction(Estimate::new(0.31, 0.02));
        let written = write(&package(), &Target::Joint("tilt".into()), value).expect("an axis takes friction");
        assert!(
            matches!(&written.head.chain[0], Element::Joint(joint) if (joint.drive.friction_nm - 0.31).abs() < 1e-12)
        );
        assert!(write(&package(), &Target::Lens(7), value).is_err());
        assert!(write(&package(), &Target::Lens(7), Value::CgUp(Estimate::new(0.01, 0.002))).is_err());
        assert!(write(&package(), &Target::Joint("roll".into()), value).is_err());
        assert!(write(&package(), &Target::Part(1), Value::CgAhead(Estimate::new(0.0, 0.0))).is_err());
        let too_much = Value::Mass { kg: Estimate::new(500.0, 1.0), from: MassSource::BenchScale };
        assert!(write(&package(), &Target::Lens(7), too_much).is_err());
    }
}
