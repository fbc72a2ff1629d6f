//! The cord: bending as a loss, its mass, its layers on the drum.

use std::f64::consts::{PI, TAU};

use beatwright::clock::design::{CordMade, WeightDrive};
use beatwright::clock::materials::{CORDS, cord_named};
use beatwright::clock::train::bearing::pulley_tension_ratio;
use beatwright::clock::train::cord::{KNOTS_M, bending_share, cord_on_drum};
use beatwright::clock::train::drive::{Flow, PreparedDrive};
use beatwright::clock::train::losses::{drive_report, run_time};
use beatwright::clock::train::train_made::TrainMade;
use beatwright::report::words::notes::notes_in_words;
use beatwright::scenario::{NO_OVERRIDES, load, read};

use crate::support::close::assert_close;
use crate::support::plain::{complaint, loaded, path};

fn heron(set: &[&str]) -> (WeightDrive, PreparedDrive) {
    let design = loaded("heron.toml", set).design;
    let drive = design.weight_drive().unwrap().clone();
    let prepared = PreparedDrive::new(&drive, design.train.as_ref().unwrap(), &TrainMade::default(), 9.8).unwrap();
    (drive, prepared)
}

/// 11 mm nylon over a sheave of 50 mm passes 90 % of the tension, of which the bearing takes 8.3 N under two of 250 kg
/// (kiipeilytuomas.fi, "Pulleys: where is the friction?", seen); a wire rope over 20 of its diameters passes 98 % (verope.com, seen; the
/// diameters recalled).
#[test]
fn published_what_a_sheave_passes() {
    let passes = |name: &str, cord: f64, sheave: f64, mu_r: f64| {
        let radius = 0.5 * (sheave + cord);
        let bending = bending_share(cord_named(name).unwrap().stiffness.value, cord, radius);
        1.0 / pulley_tension_ratio(mu_r / radius, radius, radius, bending).unwrap()
    };
    let bearing = 8.3 / (2.0 * 250.0 * 9.81);
    assert_close(passes("braided nylon", 0.011, 0.050, bearing * 0.0305), 0.90, 0.005, "nylon");
    assert_close(passes("stranded steel wire", 0.010, 0.200, 0.0), 0.98, 0.003, "wire");
    // Eytelwein's 18.6 d^2/R, recalled, at 16 mm.
    let hemp = bending_share(cord_named("laid hemp").unwrap().stiffness.value, 0.016, 0.2);
    assert_close(hemp, 18.6 * 0.016 * 0.016 / 0.2, 3e-4, "hemp");
}

/// A limp cord leaves the journal's own ratio (mu 0.15, r/R 0.1: 1.030456853), a stiff one on no journal `(1 + e/2)/(1 - e/2)`.
#[test]
fn exact_ratio_beside_a_pulley() {
    assert_close(pulley_tension_ratio(0.15, 0.1, 1.0, 0.0).unwrap(), 1.030_456_853, 1e-9, "journal");
    assert_close(pulley_tension_ratio(0.0, 0.1, 1.0, 0.02).unwrap(), 1.01 / 0.99, 1e-15, "cord");
    assert_eq!(pulley_tension_ratio(0.0, 0.1, 1.0, 2.0), None);
}

/// Work in a turn of the drum: what the weight gives is what arrives, what each bend takes (half of `e` times its tension along its
/// way) and what the pulley's bearing does. Raised, the same sum the other way.
#[test]
fn exact_work_of_a_turn_adds_up() {
    let (drive, prepared) = heron(&["drive.cord_material=braided nylon", "drive.pulley.pivot.drag=\"20 uN m\""]);
    let (d, k) = (drive.cord_diameter_m, 0.28);
    let drum = 0.5 * (drive.drum_diameter_m + d);
    let pulley = drive.pulley.unwrap();
    let groove = 0.5 * (pulley.diameter_m + d);
    let load = drive.weight_kg * 9.8;
    for (flow, sign) in [(Flow::Forward, 1.0), (Flow::Backward, -1.0)] {
        let at_drum = prepared.drum_tension_n(drive.weight_kg, flow);
        let at_hook = load - at_drum;
        assert!(sign * (at_hook - at_drum) > 0.0);
        // Of the cord let off, half passes over the pulley.
        let (off, over) = (TAU * drum, PI * drum);
        let bends = 0.5 * k * d / groove * (at_drum + at_hook) * over + 0.5 * k * d / drum * at_drum * off;
        let journal = pulley.pivot.friction.value * load * 0.5 * pulley.pivot.diameter_m + 20e-6;
        let lost = bends + journal * over / groove;
        let arrives = TAU * prepared.drum_torque_n_m(drive.weight_kg, flow);
        assert_close(load * over, arrives + sign * lost, 1e-12, "work");
    }
    let train = loaded("heron.toml", &[]).design.train.unwrap();
    let report = drive_report(&prepared, &drive, &train);
    let bending = report.bending_loss_share.unwrap();
    assert!(bending > 0.015 && bending < report.cord_loss_share, "{bending} of {}", report.cord_loss_share);
    let bearings: f64 = report.arbors.iter().map(|arbor| arbor.bearing_loss_share).sum();
    let meshes: f64 = report.arbors.iter().filter_map(|arbor| arbor.mesh_loss_share).sum();
    assert_close(report.passed_share + report.cord_loss_share + bearings + meshes, 1.0, 1e-14, "shares");
}

/// A cord of which nothing is said changes nothing, to the last bit, and a drum that is long enough neither.
#[test]
fn exact_nothing_said_changes_nothing() {
    let (drive, limp) = heron(&[]);
    let (_, stated) = heron(&["drive.cord_stiffness=0", "drive.drum_length=\"40 mm\""]);
    assert_eq!(limp.model(3.6), stated.model(3.6));
    let long = WeightDrive { drum_length_m: Some(0.040), drum_turns: None, ..drive.clone() };
    let none = WeightDrive { drum_turns: None, ..drive };
    assert_eq!(run_time(&long, 0.1), run_time(&none, 0.1));
}

/// Turn by turn: ten turns a layer, two of the first stay; the weight falls 1.1 m on two falls.
#[test]
fn exact_run_in_layers() {
    let drive = WeightDrive { drum_length_m: Some(0.0155), drum_turns: None, ..heron(&[]).0 };
    let mut radii: Vec<f64> = (0..40).map(|turn| 0.02075 + 0.0015 * f64::from(turn / 10)).collect();
    radii.drain(..2);
    let (mut cord, mut turns) = (2.2, 0.0);
    for radius in radii {
        let turn = TAU * radius;
        turns += f64::min(1.0, cord / turn);
        cord = f64::max(0.0, cord - turn);
    }
    let run = run_time(&drive, 0.125);
    assert_close(run.turns, turns, 1e-12, "turns");
    assert!(run.turns < 2.2 / (TAU * 0.02075) - 0.3, "{}", run.turns);
    let on_drum = cord_on_drum(&drive);
    assert_eq!((on_drum.turns_per_layer, on_drum.layers), (Some(10), Some(2)));
    assert_close(on_drum.wound_m, 2.2, 1e-14, "cord");
    assert_close(on_drum.fall_m, 1.1, 1e-14, "fall");
    assert_close(on_drum.to_cut_m, 2.2 + 2.0 * TAU * 0.02075 + KNOTS_M, 1e-14, "to cut");
    assert_close(on_drum.outermost_over_first, 1.0 + 0.0015 / 0.02075, 1e-15, "radius");
    // A stop after twelve turns: eight of the first layer, four of the second.
    let stopped = cord_on_drum(&WeightDrive { drum_turns: Some(12.0), ..drive });
    assert_close(stopped.wound_m, TAU * (8.0 * 0.02075 + 4.0 * 0.02225), 1e-14, "stopped");
}

/// What hangs of a cord is its length times its mass, and adds to the weight whatever the falls: by virtual work each turn lets off one
/// turn of cord into all that hangs, which sinks on the average by as much over the falls.
#[test]
fn exact_hanging_cord() {
    let cord = CordMade { mass_kg_per_m: Some(0.01), ..CordMade::default() };
    let drive = WeightDrive { cord, drum_turns: None, ..heron(&[]).0 };
    let hanging = cord_on_drum(&drive).hanging_kg.unwrap();
    assert_close(hanging, 0.022, 1e-15, "mass");
    // Potential energy of `falls` parts of length `x` below the drum is `-falls w x^2 / 2`; let off `falls dx` at the drum's tension.
    let (w, x, falls) = (0.01 * 9.8, 1.1, 2.0);
    let tension_of_cord = (0.5 * falls * w * ((x + 1e-6_f64).powi(2) - x * x) / 1e-6) / falls;
    assert_close(tension_of_cord * falls, hanging * 9.8, 1e-6, "as the weight");
    let section = 0.25 * PI * 0.0015 * 0.0015;
    let named = heron(&["drive.cord_material=stranded steel wire"]).0.cord;
    assert_close(named.mass_kg_per_m.unwrap(), 4700.0 * section, 1e-15, "wire");
    let own = heron(&[
        "drive.cord_material=gut",
        "drive.cord_mass_per_length=\"2 g/m\"",
        "drive.cord_stiffness=\"0.1 +/- 0.05\"",
    ])
    .0;
    let stiffness = own.cord.stiffness.unwrap();
    assert_eq!((own.cord.name, own.cord.mass_kg_per_m), (Some("gut"), Some(0.002)));
    assert_eq!((stiffness.value, stiffness.spread, stiffness.named), (0.1, 0.05, None));
}

/// The season weighs the drive's cord where it says nothing itself.
#[test]
fn exact_cord_of_the_season() {
    let of = |set: &[&str]| {
        let scenario = loaded("wren.toml", set);
        scenario.season.as_ref().unwrap().hanging_cord_kg(&scenario.design)
    };
    assert_eq!(of(&[]), 0.003);
    assert_eq!(of(&["drive.cord_material=gut"]), 0.003);
    let text = std::fs::read_to_string(path("wren.toml")).unwrap().replace("cord_mass = \"3 g\"", "");
    let scenario =
        read("wren.toml", &text.replace("[drive]", "[drive]\ncord_mass_per_length = \"1 g/m\""), &NO_OVERRIDES)
            .unwrap();
    let plan = scenario.season.as_ref().unwrap();
    assert_close(plan.hanging_cord_kg(&scenario.design), 0.002, 1e-15, "drive's");
}

#[test]
fn remarks_on_the_cord() {
    let said = |set: &[&str]| {
        let built = beatwright::clock::build::build(&loaded("heron.toml", set).in_room()).unwrap();
        notes_in_words(&built.notes()).join("\n")
    };
    assert!(said(&[]).contains("write `drive.cord_material`"));
    assert!(said(&["drive.cord_stiffness=0.2"]).contains("`drive.cord_mass_per_length`"));
    let layers = said(&["drive.cord_material=braided polyester", "drive.drum_length=\"16 mm\""]);
    assert!(
        !layers.contains("left out") && layers.contains("2 layers") && layers.contains("a drum of 28.5 mm"),
        "{layers}"
    );
    let wire = said(&["drive.cord_material=stranded steel wire", "drive.cord_diameter=\"2.5 mm\""]);
    assert!(wire.contains("g of cord hang") && wire.contains("20 times its diameter"), "{wire}");
}

#[test]
fn tells_cords_that_are_none() {
    for (set, told) in [
        ("drive.cord_material=braided nylom", "there is no cord \"braided nylom\""),
        ("drive.cord_stiffness=1.5", "from 0 to 1"),
        ("drive.cord_mass_per_length=\"2 g\"", "needs a mass per length"),
        ("drive.drum_length=\"1 mm\"", "it holds no turn"),
        ("drive.drum_length=\"-3 mm\"", "from 0.01 mm to 2 m"),
    ] {
        let complaint = complaint(load(&path("heron.toml"), &[set]));
        assert!(complaint.contains(told), "{set}: {complaint}");
    }
    for cord in &CORDS {
        assert!(cord.stiffness.spread < cord.stiffness.value && cord.stiffness.value < 1.0, "{}", cord.name);
    }
}
