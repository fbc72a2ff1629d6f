//! Bending of teeth after Lewis.

use beatwright::clock::build::build;
use beatwright::clock::train::tooth_strength::{FEWEST_TEETH, lewis_form_factor, tooth_loads};
use beatwright::scenario::read;

use crate::support::plain;

/// R. G. Budynas, J. K. Nisbett, Shigley's Mechanical Engineering Design, 9th edition (2011), Example 14-1 (recalled): 16 teeth of 8 to the
/// inch, 1.5 in wide, allowed 10 kpsi with a velocity factor of 1.52, carry 365 lbf.
#[test]
fn a_handbooks_gear_carries_what_its_example_says() {
    let load_lbf = 1.5 * lewis_form_factor(16).unwrap() * 10_000.0 / (1.52 * 8.0);
    assert!((load_lbf - 365.0).abs() < 0.5, "{load_lbf}");
}

/// The handbook's table and Lewis's own formula for 20 degrees meet at twelve teeth.
#[test]
fn the_form_factor_rises_with_the_teeth_without_a_step() {
    let factors: Vec<f64> = (FEWEST_TEETH..2000).map(|teeth| lewis_form_factor(teeth).unwrap()).collect();
    assert!(factors.windows(2).all(|pair| pair[0] < pair[1] && pair[1] - pair[0] < 0.09), "{factors:?}");
    assert!(factors[0] > 0.0 && *factors.last().unwrap() < 0.485);
    let lewis_at_twelve = std::f64::consts::PI * (0.154 - 0.912 / 12.0);
    assert!((lewis_form_factor(12).unwrap() - lewis_at_twelve).abs() < 1e-3);
    assert_eq!(lewis_form_factor(FEWEST_TEETH - 1), None);
}

/// Half the face, twice the stress; the force is the torque over the pitch radius; a factor as asked at the thickness told.
#[test]
fn stress_goes_by_force_and_face() {
    let of = |thickness: &str| {
        let settings = [format!("train.arbor.0.thickness={thickness}")];
        let scenario = read("heron.toml", plain::HERON, &settings).unwrap();
        let built = build(&scenario.in_room()).unwrap();
        let drive = built.drive.unwrap();
        (tooth_loads(scenario.design.train.as_ref().unwrap(), &drive), drive.arbors[0].torque_n_m, scenario)
    };
    let (thick, torque_n_m, scenario) = of("8 mm");
    let (thin, ..) = of("4 mm");
    assert!((thin[0].stress_pa.unwrap() / thick[0].stress_pa.unwrap() - 2.0).abs() < 1e-12);
    let great = &scenario.design.train.unwrap().arbors[0];
    let radius_m = 0.5 * great.module_m.unwrap() * f64::from(great.wheel_teeth.unwrap());
    assert!((thick[0].force_n * radius_m / torque_n_m - 1.0).abs() < 1e-12);
    assert!(thick[1].stress_pa > thick[0].stress_pa, "the pinion's teeth are the weaker");
}
