//! Run time against weight: points against predictions of the changed scenarios, closed forms, and bad lists.

use beatwright::report::prediction;
use std::fs;
use std::path::Path;

use beatwright::answers::prediction::predict;
use beatwright::scenario::{NO_OVERRIDES, Scenario, load};
use beatwright::study::jobs::Unwatched;
use beatwright::study::trade::{NoTrader, Reserve, TradeAsk, TradePoint, Trader};
use serde_json::Value;

use crate::support::program::{beatwright, written_on_any_threads};
use crate::support::{demo, plain};

fn points(scenario: &Scenario, drums_mm: &[f64], falls: &[u32], reserve: Reserve) -> Vec<TradePoint> {
    let drums_m = drums_mm.iter().map(|drum| drum / 1e3).collect();
    Trader::of(&scenario.in_room()).unwrap().points(&TradeAsk { drums_m, falls: falls.to_vec(), reserve }, &Unwatched)
}

#[test]
fn points_are_those_that_predict_finds_with_the_drum_set() {
    let scenario = load(&plain::path("heron.toml"), &NO_OVERRIDES).unwrap();
    for point in points(&scenario, &[30.0, 40.0, 60.0], &[2, 3], Reserve::Margin) {
        let traded = point.found.unwrap();
        let settings = [
            format!("drive.drum_diameter={} mm", 1e3 * point.drum_diameter_m),
            format!("drive.falls={}", point.falls),
            format!("drive.weight={} kg", traded.weight_kg),
        ];
        let changed = scenario.with_overrides(&settings).unwrap();
        let found = prediction::json::record(&changed.in_room(), &predict(&changed.in_room()).unwrap());
        let off = |own: f64, other: Option<f64>| (own / other.unwrap() - 1.0).abs();
        assert!(off(traded.least_kg, found.least_weight_kg) < 2e-5, "{settings:?}");
        assert!(off(traded.weight_kg, found.least_weight_with_margin_kg) < 4e-5, "{settings:?}");
        assert!(off(traded.run.run_time_s / 86_400.0, found.run_time_days) < 1e-12, "{settings:?}");
        assert!(off(traded.report.cord.working_tension_n, found.cord_tension_n) < 1e-12, "{settings:?}");
        assert!(off(traded.semi_arc_rad.unwrap().to_degrees(), found.semi_arc_deg) < 1e-9, "{settings:?}");
        assert!((traded.rate_s_per_day.unwrap() - found.rate_s_per_day.unwrap()).abs() < 1e-5, "{settings:?}");
        // The swing clears the escaping arc by the margin, the nearer side just so.
        let [right, left] = found.escaping_arc_deg.unwrap();
        let clearance = (found.semi_arc_right_deg.unwrap() - right).min(found.semi_arc_left_deg.unwrap() - left);
        assert!((clearance - 0.5).abs() < 1e-4, "{clearance}");
    }
}

/// What the hands ask for over the twelve hours is solved once for all drums, as the prediction of each solves it for its own.
#[test]
fn crosscheck_points_of_a_clock_with_hands_are_those_that_predict_finds() {
    let scenario = demo::loaded("heron.toml", &[]);
    for point in points(&scenario, &[30.0], &[2], Reserve::Margin) {
        let traded = point.found.unwrap();
        let changed = scenario.with_overrides(&["drive.drum_diameter=30 mm"]).unwrap();
        let least = predict(&changed.in_room()).unwrap().least.unwrap();
        let off = |own: f64, other: f64| (own / other - 1.0).abs();
        assert!(off(traded.least_kg, least.bare.value()) < 1e-4);
        assert!(off(traded.weight_kg, least.with_margin.unwrap().value()) < 1e-4);
    }
}

#[test]
fn exact_run_time_is_linear_in_the_drop_until_the_drum_is_empty() {
    let run = |drop: &str, turns: &str| {
        let set = [format!("drive.drop={drop}"), format!("drive.drum_turns={turns}")];
        let scenario = load(&plain::path("heron.toml"), &set).unwrap();
        let found = points(&scenario, &[40.0], &[2], Reserve::Ratio(2.0));
        found[0].found.as_ref().unwrap().run.run_time_s
    };
    let one = run("1 m", "1000 turns");
    assert!((run("2 m", "1000 turns") / one - 2.0).abs() < 1e-12);
    assert!((run("3 m", "1000 turns") / one - 3.0).abs() < 1e-12);
    // The great wheel of 78 drives a pinion of 12 that turns once an hour: 6.5 hours a turn of the drum.
    assert!((run("2 m", "4 turns") - 4.0 * 6.5 * 3600.0).abs() < 1e-6);
    // 2 m of drop over two falls are 4 m of cord, pi (40 mm + 1.5 mm) of it a turn.
    let turns = 4.0 / (std::f64::consts::PI * 0.0415);
    assert!((run("2 m", "1000 turns") - turns * 6.5 * 3600.0).abs() < 1e-6);
}

#[test]
fn exact_weight_over_least_weight_is_as_asked() {
    let scenario = load(&plain::path("wren.toml"), &NO_OVERRIDES).unwrap();
    for point in points(&scenario, &[20.0, 24.0], &[1, 2], Reserve::Ratio(2.5)) {
        let traded = point.found.unwrap();
        assert!((traded.weight_kg / traded.least_kg - 2.5).abs() < 1e-12);
    }
    let in_room = scenario.in_room();
    let trader = Trader::of(&in_room).unwrap();
    let today = trader.today.as_ref().unwrap();
    let found = prediction::json::record(&scenario.in_room(), &predict(&scenario.in_room()).unwrap());
    assert!((today.weight_kg - 0.9).abs() < 1e-12);
    assert!((today.least_kg / found.least_weight_kg.unwrap() - 1.0).abs() < 2e-5);
    assert!((today.semi_arc_rad.unwrap().to_degrees() / found.semi_arc_deg.unwrap() - 1.0).abs() < 1e-9);
    assert_eq!(trader.usual_drums_m(), [0.014, 0.018, 0.022, 0.024, 0.03, 0.036, 0.048]);
}

/// On the same torque a drum of twice the arm takes half the weight; losses of the bearings change it a little.
#[test]
fn the_losses_follow_the_weight() {
    let scenario = load(&plain::path("wren.toml"), &NO_OVERRIDES).unwrap();
    let found = points(&scenario, &[24.0, 49.0], &[2], Reserve::Margin);
    let weight = |number: usize| found[number].found.as_ref().unwrap().weight_kg;
    let ratio = weight(0) / weight(1);
    assert!((ratio - 2.0).abs() > 1e-5 && (ratio - 2.0).abs() < 0.05, "{ratio}");
}

#[test]
fn regress_falls_without_a_pulley_get_one_and_what_cannot_be_traded_says_why() {
    let text = fs::read_to_string(plain::path("heron.toml")).unwrap();
    let pulley = text.lines().find(|line| line.starts_with("pulley")).unwrap();
    let text = text.replace(pulley, "").replace("falls = 2", "falls = 1");
    let scenario = beatwright::scenario::read("heron.toml", &text, &NO_OVERRIDES).unwrap();
    let in_room = scenario.in_room();
    let trader = Trader::of(&in_room).unwrap();
    let ask = TradeAsk { drums_m: vec![0.04], falls: vec![1, 2], reserve: Reserve::Margin };
    let found = trader.trade(&ask, &Unwatched);
    assert!(found.points.iter().all(|point| point.found.is_ok()));
    let pulley = found.assumed_pulley.unwrap();
    assert_eq!(pulley.pivot, in_room.train.as_ref().unwrap().arbors[0].pivot);
    let least = |number: usize| found.points[number].found.as_ref().unwrap().least_kg;
    let ratio = least(1) / least(0);
    assert!(ratio > 2.0 && ratio < 2.1, "two falls take twice the weight and the pulley's friction: {ratio}");
    let lumped =
        "{ lumped = { escape_torque = \"1 mN m\", friction_torque = \"0.1 mN m\", inertia = \"2e-6 kg m^2\" } }";
    let lumped = load(&plain::path("heron.toml"), &[format!("drive={lumped}")]).unwrap();
    assert_eq!(Trader::of(&lumped.in_room()).err(), Some(NoTrader::NoWeightDrive));
}

#[test]
fn the_files_are_the_same_on_any_number_of_threads() {
    let written =
        written_on_any_threads(&["trade", "tests/support/plain/wren.toml", "--drums", "2cm, 24 mm,30mm,24mm"]);
    let table = &written.said;
    let [csv, json, svg] = ["trade.csv", "trade.json", "trade.svg"].map(|name| &written.files[name]);
    assert!(table.contains("today's clock") && table.contains("Cautions, for the heaviest of these"), "{table}");
    let json: Value = serde_json::from_str(json).unwrap();
    let rows = json["points"].as_array().unwrap();
    assert_eq!((rows.len(), csv.lines().count()), (9, 10));
    assert_eq!(json["asked"][0], "--drums 2cm, 24 mm,30mm,24mm");
    assert_eq!(rows[4]["drum_diameter_mm"], 24.0);
    assert!(roxmltree::Document::parse(svg).is_ok());
}

#[test]
fn tells_bad_arguments() {
    let folder = tempfile::tempdir().unwrap();
    let ideal = folder.path().join("ideal.toml");
    let text = "[pendulum.lumped]\ninertia = \"1 kg m^2\"\nmass = \"1 kg\"\ncentre_of_mass = \"1 m\"\n\
                damping_linear = \"0.1 N m s\"\n[escapement.ideal_kick]\nat = \"0 deg\"\nenergy = \"1 mJ\"\n";
    fs::write(&ideal, text).unwrap();
    let complaint = |scenario: &Path, arguments: &[&str]| {
        let mut run = beatwright();
        let output = run.current_dir(folder.path()).arg("trade").arg(scenario).args(arguments).output().unwrap();
        assert_eq!(output.status.code(), Some(2));
        assert!(output.stdout.is_empty());
        String::from_utf8(output.stderr).unwrap()
    };
    let wren = plain::path("wren.toml");
    let mut all = String::new();
    for arguments in [
        ["--drums", "20mm,,30mm"],
        ["--drums", "20,30"],
        ["--drums", "20mm,3kg"],
        ["--drums", "0 mm"],
        ["--falls", "1,two"],
        ["--falls", "0"],
        ["--ratio", "0.5"],
        ["--ratio", "-3"],
    ] {
        all.push_str(&complaint(&wren, &arguments));
    }
    insta::assert_snapshot!(all);
    insta::assert_snapshot!(complaint(Path::new("ideal.toml"), &[]));
}
