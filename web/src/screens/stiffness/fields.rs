//! What is known of the stiffness: each figure is typical until somebody enters it.

use solver::bounds::{self, Bounds};
use solver::package::{Material, Package, SensorOn, Structure};
use solver::stiffness::{FASTENING_NM_RAD, FLANGE_DEPTH_M, LENS_MOUNT_NM_RAD, SUPPORT_N_M, carrying_rods};

use super::{button, section};
use crate::app::App;
use crate::dom::{El, div, el, p};
use crate::route::Screen;
use crate::screens::picture;
use crate::show::Kind;
use crate::ui::choice::{chips, select};
use crate::ui::number::{Number, number};

/// Stiffness is entered in thousands: 40 kN·m/rad, 500 N/mm.
const THOUSAND: f64 = 1e3;
const TURNING_KNM_RAD: Bounds = in_thousands(&bounds::TURNING_NM_RAD, "kN·m/rad");
const SUPPORT_N_MM: Bounds = in_thousands(&bounds::SUPPORT_N_M, "N/mm");

const SENSORS: &[(SensorOn, &str)] =
    &[(SensorOn::Head, "The head's stage"), (SensorOn::Plate, "The top plate"), (SensorOn::Body, "The body")];
const MATERIALS: [(Material, &str); 4] = [
    (Material::Aluminium, "aluminium"),
    (Material::Steel, "steel"),
    (Material::CarbonWrapped, "carbon_wrapped"),
    (Material::CarbonDrawn, "carbon_drawn"),
];

const fn in_thousands(bounds: &Bounds, unit: &'static str) -> Bounds {
    Bounds {
        min: bounds.min / THOUSAND,
        max: bounds.max / THOUSAND,
        steps_per_unit: bounds.steps_per_unit * THOUSAND,
        unit,
    }
}

/// The fields, the way to the outlines, and the way back to what is typical.
pub(super) fn view(app: App) -> El {
    let typical = button("structure-typical", "Back to typical figures", move || {
        app.document.edit(|package| package.structure = Structure::default());
    });
    section("stiffness-figures", "What it is made of")
        .child(p("quiet", "Every figure is typical until you enter yours. Diameter, spacing and length of the rods, and the size of plates, stand with the parts."))
        .child(div("fields").child(rod_material(app)).child(rod_wall(app)).child(plate_material(app)))
        .child(div("buttons").live(move || rods_link(app)))
        .child(div("fields").child(fastening(app)).child(lens_mount(app)).child(support(app)).child(crossover(app)))
        .child(
            chips(
                app,
                "The motion sensor sits on",
                "sensor-on",
                SENSORS,
                |package| Some(package.structure.sensor_on),
                |package, sensor| package.structure.sensor_on = sensor,
            ),
        )
        .child(div("fields").child(flange_depth(app)).child(picture::height(app)))
        .child(div("buttons").hidden(move || app.document.with(|package| package.structure.is_empty())).child(typical))
}

fn rods_link(app: App) -> Vec<El> {
    let way = |package: &Package| {
        let id = carrying_rods(package)?;
        let name = &package.parts.iter().find(|part| part.id == id)?.name;
        Some(
            el("a")
                .class("button")
                .attr("href", &Screen::Part(id).hash())
                .test("to-rods")
                .words(&format!("Size of {name}")),
        )
    };
    app.document.with(|package| way(package).into_iter().collect())
}

/// Outer diameter of the rods that carry, m; none when there are none.
fn outer_m(package: &Package) -> f64 {
    let rods = carrying_rods(package).and_then(|id| package.parts.iter().find(|part| part.id == id));
    rods.map_or(0.0, |rods| rods.size_m[2])
}

fn material(
    app: App,
    label: &str,
    test: &str,
    usual: fn(&Package) -> Material,
    get: fn(&Structure) -> Option<Material>,
    set: fn(&mut Structure, Option<Material>),
) -> El {
    let options = move |package: &Package| {
        let usual = (String::new(), format!("Typical: {}", usual(package).words()));
        [usual]
            .into_iter()
            .chain(MATERIALS.map(|(material, id)| (id.to_owned(), material.words().to_owned())))
            .collect()
    };
    let now = move |package: &Package| {
        let stated = get(&package.structure);
        MATERIALS
            .iter()
            .find(|(material, _)| Some(*material) == stated)
            .map_or_else(String::new, |(_, id)| (*id).to_owned())
    };
    select(app, label, test, options, now, move |package, chosen| {
        let found = MATERIALS.iter().find(|(_, id)| **id == chosen).map(|(material, _)| *material);
        set(&mut package.structure, found);
    })
}

fn rod_material(app: App) -> El {
    let usual = |package: &Package| Structure::default().rod_material_or_usual(outer_m(package));
    material(app, "Rods", "rod-material", usual, |known| known.rod_material, |known, to| known.rod_material = to)
}

fn plate_material(app: App) -> El {
    let usual = |_: &Package| Material::Aluminium;
    material(
        app,
        "Plates",
        "plate-material",
        usual,
        |known| known.plate_material,
        |known, to| known.plate_material = to,
    )
}

fn rod_wall(app: App) -> El {
    number(
        "Wall of the rods",
        Kind::Length,
        &bounds::ROD_WALL_M,
        "rod-wall",
        |package| Some(package.structure.rod_wall_or_usual_m(outer_m(package))),
        |package, m| package.structure.rod_wall_m = Some(m),
    )
    .help("Half the diameter for solid rods.")
    .view(app)
}

/// A stiffness that is typical until it is stated.
fn stiffness(
    label: &'static str,
    test: &'static str,
    bounds: &'static Bounds,
    usual: f64,
    get: fn(&Structure) -> Option<f64>,
    set: fn(&mut Structure, Option<f64>),
) -> Number {
    number(
        label,
        Kind::Plain,
        bounds,
        test,
        move |package| Some(get(&package.structure).unwrap_or(usual) / THOUSAND),
        move |package, thousands| set(&mut package.structure, Some(thousands * THOUSAND)),
    )
    .unit(bounds.unit)
}

fn fastening(app: App) -> El {
    stiffness(
        "One fastening against rocking",
        "fastening",
        &TURNING_KNM_RAD,
        FASTENING_NM_RAD,
        |known| known.fastening_nm_rad,
        |known, to| known.fastening_nm_rad = to,
    )
    .help("Plate on plate, or body on plate. Typical 40 kN·m/rad, ± 40 %.")
    .view(app)
}

fn lens_mount(app: App) -> El {
    stiffness(
        "Lens mount against tipping",
        "lens-mount",
        &TURNING_KNM_RAD,
        LENS_MOUNT_NM_RAD,
        |known| known.lens_mount_nm_rad,
        |known, to| known.lens_mount_nm_rad = to,
    )
    .help("With what the body's front and the lens barrel give. Typical 15 kN·m/rad, ± 40 %.")
    .view(app)
}

fn support(app: App) -> El {
    stiffness(
        "One lens support",
        "support-stiffness",
        &SUPPORT_N_MM,
        SUPPORT_N_M,
        |known| known.support_n_m,
        |known, to| known.support_n_m = to,
    )
    .help("Force over give, between rods and lens. Typical 500 N/mm, ± 40 %.")
    .view(app)
}

fn crossover(app: App) -> El {
    number(
        "Loop crossover of the head",
        Kind::Frequency,
        &bounds::FREQUENCY_HZ,
        "crossover",
        |package| Some(package.head.crossover_hz),
        |package, hz| package.head.crossover_hz = hz,
    )
    .help("Up to how many swings a second the motors hold the camera still. From the head's data or its tuning tool; that of a built-in head is typical.")
    .view(app)
}

fn flange_depth(app: App) -> El {
    number(
        "From the lens-mount flange back to the imager",
        Kind::Length,
        &bounds::FLANGE_DEPTH_M,
        "flange-depth",
        |package| Some(package.structure.flange_depth_m.unwrap_or(FLANGE_DEPTH_M)),
        |package, m| package.structure.flange_depth_m = Some(m),
    )
    .help("Typical 50 mm until you enter yours.")
    .view(app)
}
