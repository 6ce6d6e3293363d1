//! Which measurement helps most, against doing it.

use solver::answer::Estimate;
use solver::measure::{Measurement, Target, Value, advice, write};
use solver::package::{CgSource, LoggedOf, MassSource};

use crate::rigs;

#[test]
fn a_guessed_lens_is_the_first_to_be_measured() {
    let mut package = rigs::medium();
    for lens in &mut package.lenses {
        (lens.mass.from, lens.cg_from) = (MassSource::Typical, CgSource::DataSheet);
    }
    let found = advice(&package, "plate").expect("the head has a plate");
    let first = found.first().expect("something helps");
    assert_eq!((&first.of, first.measurement), (&LoggedOf::Lens(rigs::ANAMORPHIC), Measurement::Weigh));
    assert!(first.then_u_m < 0.95 * first.now_u_m);
    assert!(found.windows(2).all(|pair| pair[0].then_u_m <= pair[1].then_u_m));
    // Done as advised, with the same value: the first screen shows the ± that was promised.
    let value = Value::Mass { kg: Estimate::new(2.62, 0.005_24), from: MassSource::BenchScale };
    let weighed = write(&package, &Target::Lens(rigs::ANAMORPHIC), value).expect("a lens takes a mass");
    let plate_u_m = |package| {
        let report = solver::check(package).expect("valid");
        report.slides.iter().find(|slide| slide.slide == "plate").map_or(f64::NAN, |slide| slide.target_m.u)
    };
    assert!((plate_u_m(&package) - first.now_u_m).abs() < 1e-9);
    assert!((plate_u_m(&weighed) - first.then_u_m).abs() < 1e-6);
}

#[test]
fn what_is_measured_already_is_not_asked_for_again() {
    let found = advice(&rigs::medium(), "plate").expect("the head has a plate");
    assert!(found.iter().all(|each| !matches!(each.of, LoggedOf::Lens(_) | LoggedOf::Yoke(_))), "{found:?}");
    assert!(advice(&rigs::medium(), "no such slide").is_err());
}
