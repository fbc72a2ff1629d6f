//! Bending of arbors between their plates.

use std::f64::consts::PI;

use beatwright::clock::build::build;
use beatwright::clock::train::arbor_strength::{ASKED_ARBOR_FACTOR, BentArbor, BentBar, bent_arbors};
use beatwright::clock::train::losses::DriveReport;

use crate::support::plain;

/// The bar's curvature `M / (E I)` integrated twice by the trapezium rule from the middle to a support, and its stress from the bending moment at
/// the outermost fibre with a second moment summed over strips of the section.
#[test]
fn crosscheck_sag_and_stress_of_a_bar_by_plain_integration() {
    let bar = BentBar { load_n: 12.0, torque_n_m: 0.0, span_m: 0.06, diameter_m: 0.004 };
    let (modulus_pa, strips) = (205e9, 20_000);
    let radius_m = 0.5 * bar.diameter_m;
    let strip_m = bar.diameter_m / f64::from(strips);
    let second_moment_m4: f64 = (0..strips)
        .map(|index| (f64::from(index) + 0.5) * strip_m - radius_m)
        .map(|height_m| height_m * height_m * 2.0 * (radius_m * radius_m - height_m * height_m).sqrt() * strip_m)
        .sum();
    let step_m = 0.5 * bar.span_m / f64::from(strips);
    let curvature = |from_support_m: f64| 0.5 * bar.load_n * from_support_m / (modulus_pa * second_moment_m4);
    // The sag of the middle is the moment of the half span's curvature about the support (Mohr).
    let sag_m: f64 = (0..strips)
        .map(|index| (f64::from(index) + 0.5) * step_m)
        .map(|from_support_m| curvature(from_support_m) * from_support_m * step_m)
        .sum();
    assert!((bar.sag_m(modulus_pa) / sag_m - 1.0).abs() < 1e-5, "{sag_m}");
    let stress_pa = 0.25 * bar.load_n * bar.span_m * radius_m / second_moment_m4;
    assert!((bar.stress_pa() / stress_pa - 1.0).abs() < 1e-5, "{stress_pa}");
    // Twisting alone: T r / J, times the root of 3.
    let twisted = BentBar { load_n: 0.0, torque_n_m: 0.5, ..bar };
    let shear_pa = 0.5 * radius_m / (0.5 * PI * radius_m.powi(4));
    assert!((twisted.stress_pa() / (3.0_f64.sqrt() * shear_pa) - 1.0).abs() < 1e-12);
}

fn of(overrides: &[&str]) -> (Vec<BentArbor>, DriveReport) {
    let scenario = plain::loaded("heron.toml", overrides);
    let built = build(&scenario.in_room()).unwrap();
    let (train, drive) = (scenario.design.train.unwrap(), built.drive.unwrap());
    (bent_arbors(&train, &built.train.unwrap(), &drive, 0.06, built.gravity_m_s2), drive)
}

/// The load at its worst is no less than the bearing's own, which adds the same forces by their directions.
#[test]
fn the_load_of_an_arbor_bounds_that_of_its_bearings() {
    let (loads, drive) = of(&[]);
    assert_eq!(loads.len(), 4);
    for (load, losses) in loads.iter().zip(&drive.arbors) {
        let over = load.bar.load_n / losses.bearing_load_n;
        assert!((0.98..3.0).contains(&over), "{}: {over}", losses.name);
    }
}

/// Twice the diameter, an eighth of the stress and a sixteenth of the sag; at the diameter told the factor is the one asked.
#[test]
fn thicker_arbors_are_stronger_and_stiffer() {
    let (thin, _) = of(&["train.arbor.centre.bore=\"3 mm\""]);
    let (thick, _) = of(&["train.arbor.centre.bore=\"6 mm\""]);
    assert!((thin[1].stress_pa / thick[1].stress_pa - 8.0).abs() < 1e-9);
    assert!((thin[1].sag_m.unwrap() / thick[1].sag_m.unwrap() - 16.0).abs() < 1e-9);
    let enough = BentBar { diameter_m: thin[1].asked_diameter_m.unwrap(), ..thin[1].bar };
    assert!((thin[1].strength_pa.unwrap() / enough.stress_pa() - ASKED_ARBOR_FACTOR).abs() < 1e-9);
    let opening = thin[0].opening.unwrap();
    assert!((opening.opening_m - thin[0].sag_m.unwrap() - thin[1].sag_m.unwrap()).abs() < 1e-15);
    assert_eq!(thin[3].opening, None);
}

#[test]
fn another_material_bends_otherwise() {
    let (steel, _) = of(&[]);
    let (brass, _) = of(&["train.arbor_material=\"brass\""]);
    assert!((brass[2].sag_m.unwrap() / steel[2].sag_m.unwrap() - 2.05).abs() < 1e-9);
    assert!(brass[2].factor < steel[2].factor);
}
