//! The solver: what is asked for alone, other drives, trains that bind.

use beatwright::answers::no_answer::NoAnswer;
use beatwright::answers::prediction::predict;
use beatwright::answers::return_map::Clock;
use beatwright::answers::solve::{Solver, Wanted};
use beatwright::answers::verdict::{Reason, Verdict};
use beatwright::clock::build::{Built, build};
use beatwright::clock::drive_level::DriveLevel;

use crate::support::plain::loaded;

fn built(name: &str) -> Built {
    build(&loaded(name, &[]).in_room()).unwrap()
}

#[test]
fn exact_what_is_asked_for_alone_is_a_part_of_the_whole() {
    for name in ["heron.toml", "wren.toml"] {
        let whole = predict(&loaded(name, &[]).in_room()).unwrap();
        let (steady, least) = (whole.steady.as_ref().unwrap(), whole.least.unwrap());
        let built = built(name);
        let nothing = Solver::new(&built).solve().unwrap();
        assert_eq!(nothing.verdict, whole.verdict);
        assert_eq!(nothing.least, Err(NoAnswer::NotAsked));
        let alone = nothing.steady.unwrap();
        assert_eq!(alone.measured.period_s, steady.measured.period_s);
        assert_eq!(alone.least_start_rad, None);
        let bare = Solver::new(&built).wanted(Wanted::LEAST).solve().unwrap().least.unwrap();
        assert_eq!((bare.bare, bare.with_margin), (least.bare, None));
        assert_eq!(Solver::new(&built).bare_least(), Ok(least.bare));
    }
}

#[test]
fn crosscheck_the_least_drive_with_a_margin_does_not_hang_on_where_its_search_begins() {
    for name in ["heron.toml", "wren.toml"] {
        let built = built(name);
        let solver = Solver::new(&built).wanted(Wanted { margin: true, ..Wanted::NOTHING });
        let from_its_own_swing = solver.scan().unwrap().least().unwrap();
        let without_a_scan = solver.least().unwrap();
        let far = solver.going_at(DriveLevel::Weight(3.0 * without_a_scan.bare.value())).unwrap();
        let from_far = solver.margin_least(without_a_scan.bare, far).unwrap();
        for other in [without_a_scan.with_margin.unwrap(), from_far] {
            let ratio = other.value() / from_its_own_swing.with_margin.unwrap().value();
            assert!((ratio - 1.0).abs() < 1e-5, "{name}: {ratio}");
        }
    }
}

/// What a least drive promises, asked of the swing under it: with the margin the lesser of both sides clears its escaping arc by just so
/// much; the bare one parts the drives under which some swing is steady from those under which none is.
#[test]
fn crosscheck_least_drives_hold_what_they_promise() {
    for name in ["heron.toml", "wren.toml"] {
        let built = built(name);
        let solver = Solver::new(&built).wanted(Wanted::EVERYTHING);
        let least = solver.least().unwrap();
        let point = solver.under(least.with_margin.unwrap()).any_point().unwrap();
        let (right, left) = Clock::of(&built.mechanism).unwrap().escaping_arcs_rad();
        let clears_rad = (point.least_rad.0 - right).min(point.least_rad.1 - left);
        // The drive is found to 1e-5 of itself, and a swing clear of the stall grows no faster than its drive.
        assert!((clears_rad - built.margin_rad).abs() < 1e-5 * point.right_rad, "{name}: {clears_rad}");
        // A least drive is good to 1e-4 at worst.
        let bare = least.bare.value();
        assert!(solver.under(DriveLevel::Weight(1.001 * bare)).any_point().is_ok(), "{name}");
        assert_eq!(solver.under(DriveLevel::Weight(0.999 * bare)).any_point(), Err(NoAnswer::NeverGoes), "{name}");
    }
}

#[test]
fn exact_a_known_swing_is_found_again_whatever_the_start() {
    let built = built("wren.toml");
    let from_start = Solver::new(&built).steady_swing().unwrap();
    for near in [0.97, 1.0, 1.02] {
        let solver = Solver::new(&built).near(near * from_start.point.right_rad);
        for swing in [solver.steady_swing().unwrap(), solver.any_swing().unwrap()] {
            assert!((swing.point.right_rad / from_start.point.right_rad - 1.0).abs() < 1e-12);
            assert!((swing.measured.period_s / from_start.measured.period_s - 1.0).abs() < 1e-13);
        }
    }
}

#[test]
fn a_clock_with_a_weight_is_not_driven_by_a_torque() {
    let built = built("heron.toml");
    let own = built.own_drive().unwrap();
    let solver = Solver::new(&built);
    assert_eq!(solver.under(own).any_swing().unwrap().measured.period_s, solver.any_swing().unwrap().measured.period_s);
    assert!(matches!(solver.under(DriveLevel::Torque(own.value())).any_swing(), Err(NoAnswer::Build(_))));
    assert_eq!(solver.going_at(DriveLevel::Torque(own.value())), None);
}

#[test]
fn a_train_that_binds_stops_the_clock_from_every_start_under_every_weight() {
    let mut built = built("wren.toml");
    assert!(!built.mechanism.jams);
    built.mechanism.jams = true;
    let solver = Solver::new(&built).wanted(Wanted::LEAST);
    let jammed = Verdict::Stops(Reason::Jams, None);
    let found = solver.solve().unwrap();
    assert_eq!(found.verdict, jammed);
    assert!(matches!(found.steady, Err(NoAnswer::Stops(Reason::Jams))));
    assert_eq!(found.least, Err(NoAnswer::Stops(Reason::Jams)));
    let scanned = solver.scan().unwrap();
    assert_eq!(scanned.verdict_by_basins(), jammed);
    let basins = scanned.basins(0.01, 0.1);
    assert!(basins.len() == 1 && basins[0].answer == jammed && (basins[0].from, basins[0].to) == (0.01, 0.1));
}
