//! A quantity solved for a number of the results: closed forms, and what has no solution.

use beatwright::answers::prediction::predict;
use beatwright::report::prediction;
use beatwright::report::prediction::keyed::ResultNumbers;
use beatwright::scenario::{NO_OVERRIDES, Scenario, read};
use beatwright::study::jobs::Unwatched;
use beatwright::study::map::axis::Axis;
use beatwright::study::prepare::prepared;
use beatwright::study::solve_for::{SolveAsk, SolvedValue, Unsolved, solve_for};
use serde_json::Value;

use crate::support::kicked::{KICKED, kick_j};
use crate::support::program::{run, same_on_any_threads};
use crate::support::{demo, plain};

fn solved(scenario: &Scenario, axis: &str, key: &str, target: f64) -> Result<SolvedValue, Unsolved> {
    let number = ResultNumbers::of_keys(vec![key.to_owned()]);
    let axis = Axis::parse(axis).unwrap();
    solve_for(&SolveAsk { scenario, axis: &axis, number: &number, target }, &Unwatched)
}

#[test]
fn exact_kick_for_an_amplitude() {
    let scenario = read("kicked.toml", KICKED, &NO_OVERRIDES).unwrap();
    let semi_arc_deg = 2.0;
    let energy = kick_j(2.0, 20.0, 0.1, semi_arc_deg);
    let found =
        solved(&scenario, "escapement.ideal_kick.energy=1e-5J..1J:64:log", "semi_arc_deg", semi_arc_deg).unwrap();
    assert!((found.value / energy - 1.0).abs() < 1e-8, "{} for {energy}", found.value);
    assert!((found.reached - semi_arc_deg).abs() < 1e-8);
    assert!(found.others.is_empty());
    assert_eq!(found.today.0, Some(20e-3));
}

// The cord leaves the drum along a circle through its middle, so that a turn takes pi (d + c) of it, and a cord of a given length as many
// turns as that goes into it: the run times d + c stays the same. Derived from the geometry of a single layer.
#[test]
fn exact_drum_for_a_run() {
    let scenario = plain::loaded("wren.toml", &[]);
    let today = prediction::json::record(&scenario.in_room(), &predict(&scenario.in_room()).unwrap());
    let leaf = |path: &str| scenario.leaves().into_iter().find(|(known, _)| known == path).unwrap().1;
    let mm = |path: &str| leaf(path).trim_end_matches(" mm").parse::<f64>().unwrap();
    let (drum, cord) = (mm("drive.drum_diameter"), mm("drive.cord_diameter"));
    let run = today.run_time_days.unwrap();
    let wanted = 1.1 * run;
    let found = solved(&scenario, "drive.drum_diameter=10mm..60mm:64", "run_time_days", wanted).unwrap();
    let expected = (drum + cord) / 1.1 - cord;
    assert!((found.value / expected - 1.0).abs() < 1e-3, "{} for {expected}", found.value);
    // What the file with the value predicts, all of it solved anew.
    let setting = format!("drive.drum_diameter=\"{} mm\"", found.value);
    let with = prepared(scenario.with_overrides(&[setting]).unwrap()).unwrap().in_room();
    let there = prediction::json::record(&with, &predict(&with).unwrap()).run_time_days.unwrap();
    assert_eq!(there.to_bits(), found.reached.to_bits());
    assert!((there / wanted - 1.0).abs() < 1e-8, "{there} for {wanted}");
}

// Gravity is the same at as many degrees north as south: of two solutions the one on the side of the clock is taken.
#[test]
fn exact_nearest_of_two_solutions_is_taken() {
    let scenario = plain::loaded("wren.toml", &["place.latitude=20 deg"]);
    let north = solved(&scenario, "place.latitude=10deg..80deg:64", "small_swing_period_s", at_latitude(40.0)).unwrap();
    assert!((north.value - 40.0).abs() < 1e-4, "{north:?}");
    let both = same_on_any_threads(|| {
        solved(&scenario, "place.latitude=-80deg..80deg:64", "small_swing_period_s", at_latitude(40.0))
    });
    let both = both.unwrap();
    assert!((both.value - 40.0).abs() < 1e-4, "{both:?}");
    assert_eq!(both.others.len(), 1);
    assert!((both.others[0] + 40.0).abs() < 1e-4, "{both:?}");
}

fn at_latitude(deg: f64) -> f64 {
    let scenario = plain::loaded("wren.toml", &[&format!("place.latitude={deg} deg")]);
    let in_room = scenario.in_room();
    prediction::json::record(&in_room, &predict(&in_room).unwrap()).small_swing_period_s.unwrap()
}

/// With hands the twelve hours are solved when a file is loaded: the solution is that of the file with the value, not of a clock much like it.
#[test]
fn a_solution_is_what_the_file_with_it_predicts() {
    let scenario = prepared(demo::loaded("heron.toml", &[])).unwrap();
    let found = solved(&scenario, "drive.weight=3kg..8kg:16", "weight_ratio", 2.0).unwrap();
    let with = prepared(scenario.with_overrides(&[format!("drive.weight=\"{} kg\"", found.value)]).unwrap()).unwrap();
    let ratio = prediction::json::record(&with.in_room(), &predict(&with.in_room()).unwrap()).weight_ratio.unwrap();
    assert!((ratio / 2.0 - 1.0).abs() < 2e-5, "{ratio}");
    assert!((ratio - found.reached).abs() < 2e-5 * ratio, "{found:?} {ratio}");
}

#[test]
fn what_has_no_solution_says_how_far_it_goes() {
    let scenario = plain::loaded("wren.toml", &[]);
    match solved(&scenario, "drive.drum_diameter=20mm..40mm:16", "run_time_days", 400.0) {
        Err(Unsolved::NotReached { least, most, .. }) => {
            assert!(least.1 < most.1 && most.1 < 400.0);
            assert_eq!((least.0, most.0), (40.0, 20.0));
        }
        other => panic!("{other:?}"),
    }
    let kicked = read("kicked.toml", KICKED, &NO_OVERRIDES).unwrap();
    let nowhere = solved(&kicked, "pendulum.lumped.inertia=1kg m^2..3kg m^2:8", "run_time_days", 8.0);
    assert!(matches!(nowhere, Err(Unsolved::Nowhere(_))), "{nowhere:?}");
}

#[test]
fn the_command_solves_any_number_and_says_what_is_wrong() {
    let wren = plain::path("wren.toml");
    let wren = wren.to_str().unwrap();
    let (code, said, complained) =
        run(&["predict", wren, "--json", "--solve", "pendulum.bob.below_axis", "--for", "rate_s_per_day = 0"]);
    assert_eq!(code, 0, "{complained}");
    let results: Value = serde_json::from_str(&said).unwrap();
    assert!(results["rate_s_per_day"].as_f64().unwrap().abs() < 1e-3, "{}", results["rate_s_per_day"]);
    assert_eq!(results["solved"]["reached"], results["rate_s_per_day"]);
    assert_eq!(results["scenario"]["overrides"][0], results["solved"]["set"]);
    // A number that is in the results alone, not in the table of those that a map knows.
    let (code, said, complained) =
        run(&["predict", wren, "--json", "--solve", "pendulum.bob.below_axis", "--for", "nut_turns_to_time = 0.5"]);
    assert_eq!(code, 0, "{complained}");
    let results: Value = serde_json::from_str(&said).unwrap();
    assert!((results["nut_turns_to_time"].as_f64().unwrap() - 0.5).abs() < 1e-4);
    let cases: [(&[&str], i32, &str); 10] = [
        (&["--solve", "drive.weight"], 2, "--for <KEY = VALUE>"),
        (&["--solve", "drive.weight", "--for", "weight_ratio"], 2, "there is no \"=\""),
        (&["--solve", "drive.weight", "--for", "weight_ratio = much"], 2, "not a plain number"),
        (&["--solve", "drive.weight", "--for", "wait_ratio = 2"], 2, "did you mean `weight_ratio`?"),
        (&["--solve", "drive.wait", "--for", "weight_ratio = 2"], 2, "did you mean `drive.weight`"),
        (&["--solve", "drive.weight=3kg..2kg", "--for", "weight_ratio = 2"], 2, "end must be above"),
        (&["--solve", "drive.weight=3mm..5mm", "--for", "weight_ratio = 2"], 2, "mass"),
        (&["--solve", "escapement.recoil_anchor.teeth", "--for", "weight_ratio = 2"], 2, "is a whole number"),
        (&["--solve", "drive.weight", "--for", "weight_ratio = 1e6"], 1, "it goes from"),
        (
            &["--solve", "drive.weight", "--for", "run_time_days = 1e6"],
            1,
            "whatever drive.weight is; solve for another quantity",
        ),
    ];
    for (arguments, expected, words) in cases {
        let arguments: Vec<&str> = ["predict", wren, "--json"].into_iter().chain(arguments.iter().copied()).collect();
        let (code, said, complained) = run(&arguments);
        assert_eq!(code, expected, "{arguments:?}: {complained}");
        assert!(said.is_empty() && complained.contains(words), "{arguments:?}: {complained}");
    }
}
