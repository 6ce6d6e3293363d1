//! Trim weights that make lighter lenses match the heaviest: tried against every weight and every pair.

use solver::Package;
use solver::lens_set::trim::trim_weights;
use solver::package::{AtHand, LensId};
use solver::remedies::{Change, Kit, candidates};

/// What the lens set itself says of a lens that brings weights along while the heaviest is on: whether the marks may
/// stay, and by how much the inertia about any axis is off.
fn with_weights(package: &Package, heaviest: LensId, lens: LensId, weights: &[&Change]) -> (bool, f64) {
    let mut weighted = package.clone();
    for weight in weights {
        weighted.active_lens = Some(lens);
        weighted = weight.apply(&weighted);
        let added = weighted.parts.last_mut().expect("a weight");
        added.on = false;
        let id = added.id;
        weighted.lenses.iter_mut().find(|each| each.id == lens).expect("the lens").brings.push(id);
    }
    weighted.active_lens = Some(heaviest);
    let marks = solver::check(&weighted).expect("a valid package").slides;
    let row = solver::lens_set(&weighted).expect("a valid package").into_iter().find(|row| row.lens == lens);
    // At the marks of the heaviest: a head whose slides move nowhere else.
    let inertias = |on: LensId| {
        let mut fixed = weighted.clone();
        fixed.active_lens = Some(on);
        for slide in fixed.head.slides_mut() {
            let mark = marks.iter().find(|mark| mark.slide == slide.id).expect("every slide");
            slide.hole_spacing_m = None;
            slide.mark_m = mark.target_m.value;
            slide.range_m = [slide.mark_m; 2];
        }
        solver::check_sound(&fixed).axes.into_iter().map(|axis| axis.inertia_kg_m2).collect::<Vec<f64>>()
    };
    let change = |(now, then): (&f64, &f64)| (now / then - 1.0).abs();
    let off = inertias(lens).iter().zip(&inertias(heaviest)).map(change).fold(0.0, f64::max);
    (row.expect("a lens of the set").may_stay, off)
}

/// Two primes with a small kit, every single weight and every pair tried through the lens set.
#[test]
fn no_lighter_trim_weights_were_overlooked() {
    let mut package = codec::library::demo();
    package.at_hand = Some(AtHand { weights_kg: vec![0.1, 0.35], pieces: 2.0, ..AtHand::default() });
    let (mut found, mut needed) = (0, 0);
    for chosen in [[1, 2], [2, 3], [3, 4], [1, 5]] {
        let report = trim_weights(&package, &chosen).expect("a valid package").expect("lenses of the set");
        let [lens] = &report.lenses[..] else { panic!("{report:?}") };
        let mut one = package.clone();
        one.active_lens = Some(lens.lens);
        let weights: Vec<Change> = candidates(&one, &Kit::of(&one), false)
            .into_iter()
            .filter(|change| matches!(change, Change::Weight { .. }))
            .collect();
        let at =
            |change: &Change| format!("{:?}", if let Change::Weight { at, .. } = change { Some(at) } else { None });
        let mut sets: Vec<Vec<&Change>> = vec![Vec::new()];
        sets.extend(weights.iter().map(|weight| vec![weight]));
        for (first, one) in weights.iter().enumerate() {
            sets.extend(weights[first + 1..].iter().filter(|other| at(one) != at(other)).map(|other| vec![one, other]));
        }
        let kg = |set: &[&Change]| set.iter().map(|change| change.added_kg()).sum::<f64>();
        sets.sort_by(|one, other| kg(one).total_cmp(&kg(other)));
        let does_it = |set: &[&Change]| {
            let (stays, off) = with_weights(&package, report.heaviest, lens.lens, set);
            stays && off <= report.tune_share
        };
        let lightest = sets.iter().find(|set| does_it(set)).map(|set| kg(set));
        assert_eq!(lens.trim.as_ref().map(|trim| (trim.added_kg * 1e4).round()), lightest.map(|kg| (kg * 1e4).round()));
        if let Some(trim) = &lens.trim {
            let set: Vec<&Change> = trim.weights.iter().collect();
            let (stays, off) = with_weights(&package, report.heaviest, lens.lens, &set);
            assert!(stays && (off - trim.inertia_change.abs()).abs() < 1e-6, "{off} {trim:?}");
            let applied = lens.apply(&package);
            assert_eq!(applied.parts.len(), package.parts.len() + trim.weights.len());
            assert!(applied.active_lens == package.active_lens && solver::check(&applied).is_ok());
            let again = trim_weights(&applied, &chosen).expect("valid").expect("lenses");
            let settled = again.lenses[0].trim.as_ref().is_some_and(|trim| trim.weights.is_empty());
            assert!(settled, "with its weights it matches: {again:?}");
            found += 1;
            needed += usize::from(!trim.weights.is_empty());
        }
    }
    assert!(found >= 2 && needed >= 1, "{found} found, {needed} with weights");
}
