//! Seasons of a clock driven by a motor: closed forms of ageing and of the crystal's parabola, what the budget adds up to, files.

use std::path::Path;

use beatwright::clock::SECONDS_PER_DAY;
use beatwright::clock::motor::rate::rate_s_per_day;
use beatwright::clock::motor::ratio::pulse_ratio;
use beatwright::scenario::{LoadError, Scenario, load_any};
use beatwright::study::season::{MotorCause, MotorSeason, motor_season};
use serde_json::Value;

use crate::support::plain::{self, plover};
use crate::support::program::beatwright;

type Motor = Scenario<beatwright::clock::design::MotorClock>;

const STILL: [&str; 2] = ["season.temperature_yearly=0 K", "season.temperature_daily=0 K"];

fn a_year(scenario: &Motor) -> MotorSeason {
    motor_season(&scenario.design, &scenario.season.as_ref().unwrap().year.hours(1)).unwrap()
}

fn steady(scenario: &Motor, temperature_c: f64, age_years: f64) -> f64 {
    let clock = &scenario.design;
    rate_s_per_day(&clock.oscillator, &pulse_ratio(clock).unwrap(), temperature_c, age_years)
}

fn assert_close(found: f64, expected: f64, within: f64) {
    assert!((found - expected).abs() <= within, "{found} is not {expected}");
}

#[test]
fn exact_a_year_at_constant_temperature_is_8766_hours_of_the_steady_rate_and_the_ageing() {
    let settings =
        [&STILL[..], &["oscillator.ageing=\"3 ppm/year +/- 2 ppm/year\"", "oscillator.age=\"2 years\""]].concat();
    let scenario = plover(&settings);
    let found = a_year(&scenario);
    assert_eq!(found.samples.len(), 8767);
    // Ageing by 3 ppm a year gains, within the year, another 3e-6 of it times half a year.
    let days = 8766.0 / 24.0;
    let expected = days * steady(&scenario, 21.0, 2.0) + 3e-6 * 0.5 * days * SECONDS_PER_DAY;
    assert_close(found.samples[8766].error_s.unwrap(), expected, 1e-9 * expected.abs());
    assert_close(found.mean_rate_s_per_day.unwrap(), steady(&scenario, 21.0, 2.5), 1e-12);
    // Once trimmed to the mean, a month in the first or the last of the year is off by half the year less half the month of ageing.
    // The month has half an hour at its end, where a straight line between two hours is off by the eighth of its bend.
    let month_days = days / 12.0;
    let bend = 3e-6 * SECONDS_PER_DAY / days;
    let worst = 3e-6 * (0.5 - 0.5 / 12.0) * month_days * SECONDS_PER_DAY - bend / 24.0f64.powi(2) / 8.0;
    assert_close(found.worst_regulated_month.unwrap().change_s.abs(), worst, 1e-9);
    // Without ageing nothing but the steady rate is left.
    let scenario = plover(&STILL);
    let found = a_year(&scenario);
    assert_close(found.samples[8766].error_s.unwrap(), days * steady(&scenario, 21.0, 0.0), 1e-9);
    assert_eq!(found.worst_regulated_month.unwrap().change_s, 0.0);
}

#[test]
fn exact_the_mean_of_a_sinusoid_through_the_parabola() {
    let scenario = plover(&["season.temperature_yearly=6 K", "season.temperature_daily=2 K"]);
    let found = a_year(&scenario);
    // Over whole years and days the mean of k (T - T0)^2 is k ((mean - T0)^2 + A^2/2 + B^2/2); a day more or less of the 365.25
    // leaves a quarter of a day's swing, 1/365 of it at most.
    let mean = -0.034e-6 * (4.0f64.powi(2) + 18.0 + 2.0) * SECONDS_PER_DAY;
    assert_close(found.mean_rate_s_per_day.unwrap(), mean, 3e-3 * mean.abs());
    // Without the daily swing the year is whole; the trapezoids are then exact.
    let found = a_year(&plover(&["season.temperature_yearly=6 K", "season.temperature_daily=0 K"]));
    let mean = -0.034e-6 * (4.0f64.powi(2) + 18.0) * SECONDS_PER_DAY;
    assert_close(found.mean_rate_s_per_day.unwrap(), mean, 1e-12);
    let temperature = found.causes.iter().find(|found| found.cause == MotorCause::Temperature).unwrap();
    assert_close(temperature.share.mean_s_per_day, mean, 1e-12);
    // From 15 to 27 degC the offset goes from -0.034 100 ppm to 0 at the turnover.
    assert_close(temperature.share.range_s_per_day, 3.4e-6 * SECONDS_PER_DAY, 1e-6);
    // The curvature alone, +/- 0.006 of 0.034: so is the mean.
    let settings =
        ["season.temperature_yearly=6 K", "season.temperature_daily=0 K", "oscillator.turnover=\"25 degC +/- 0 K\""];
    let found = a_year(&plover(&settings));
    let temperature = found.causes.iter().find(|found| found.cause == MotorCause::Temperature).unwrap();
    assert_close(temperature.spread_s_per_day, mean.abs() * 0.006 / 0.034, 1e-12);
}

#[test]
fn exact_causes_add_up_to_the_rate() {
    let settings = [
        "train.arbor.motor.pinion_teeth=13",
        "oscillator.tolerance=\"5 ppm +/- 10 ppm\"",
        "oscillator.ageing=\"-2 ppm/year +/- 1 ppm/year\"",
    ];
    let found = a_year(&plover(&settings));
    let mean: f64 = found.causes.iter().map(|found| found.share.mean_s_per_day).sum();
    assert_close(mean, found.mean_rate_s_per_day.unwrap(), 1e-8);
    let whole = found.worst_regulated_month.unwrap().change_s;
    let sum: f64 = found.causes.iter().map(|found| found.share.in_worst_s.unwrap()).sum();
    assert_close(sum, whole, 1e-6);
    assert!(whole.abs() > 0.1, "{whole}");
}

#[test]
fn a_motor_that_loses_steps_has_no_rate_in_any_season() {
    let found = a_year(&plover(&["motor.pull_in_torque=\"0.1 mN m\""]));
    assert!(found.reason.is_some() && found.causes.is_empty() && found.mean_rate_s_per_day.is_none());
    assert!(found.samples.iter().all(|sample| sample.rate_s_per_day.is_none() && sample.error_s.is_none()));
}

#[test]
fn keys_about_rod_wood_and_cord_are_refused_beside_a_motor() {
    for setting in ["season.rod_lag=1 h", "season.wood_lag=3 days", "season.cord_mass=5 g"] {
        let Err(LoadError::Problems(problems)) = load_any(&plain::path("plover.toml"), &[setting.to_owned()]) else {
            panic!("{setting} was taken");
        };
        let report = problems.render(false);
        assert!(report.contains("has no meaning for a clock with a motor") && report.contains("--set 1"), "{report}");
    }
}

fn run(arguments: &[&str], out: Option<&Path>) -> String {
    let mut command = beatwright();
    command.args(["season", "--quiet"]).arg(plain::path("plover.toml")).args(arguments);
    if let Some(out) = out {
        command.arg("--out").arg(out);
    }
    String::from_utf8(command.assert().success().get_output().stdout.clone()).unwrap()
}

#[test]
fn season_of_plover_has_the_files_of_all_seasons() {
    let folder = tempfile::tempdir().unwrap();
    let json: Value = serde_json::from_str(&run(&["--json"], Some(folder.path()))).unwrap();
    assert_eq!((json["rows"].as_u64(), &json["method"]), (Some(8767), &"closed_form".into()));
    for null in ["rod_lag_h", "wood_lag_h", "limit_cycles", "trade_min_per_week", "remainder", "print", "stops"] {
        assert!(json[null].is_null(), "{null}");
    }
    assert_eq!(json["motor"]["usual_min_per_month"], 0.5);
    let causes: Vec<&str> =
        json["motor"]["causes"].as_array().unwrap().iter().map(|cause| cause["what"].as_str().unwrap()).collect();
    assert_eq!(causes, ["counts", "tolerance", "ageing", "temperature"]);
    assert!(json["notes"].to_string().contains("humidity and pressure have no effect"));
    let svg = std::fs::read_to_string(folder.path().join("season.svg")).unwrap();
    roxmltree::Document::parse(&svg).unwrap();
    assert!(!svg.contains("humidity") && svg.contains("rate, gaining is positive (s/day)"));
    let table = std::fs::read_to_string(folder.path().join("season.csv")).unwrap();
    assert_eq!(table.lines().count(), 8768);
    let logged = plain::path("autumn-room.csv");
    let json: Value = serde_json::from_str(&run(&["--json", "--log", logged.to_str().unwrap()], None)).unwrap();
    assert_eq!(json["rows"], 505);
    assert!(json["motor"]["worst_month"].is_null() && json["notes"].to_string().contains("shorter than a month"));
    let page = run(&[], Some(folder.path()));
    assert!(page.contains("usual for such clocks (no source)") && page.contains("+/- 0.5 min a month"), "{page}");
}

#[test]
fn spread_of_plover_is_drawn() {
    let folder = tempfile::tempdir().unwrap();
    let mut command = beatwright();
    command.args(["spread", "--quiet", "--copies", "400", "--out"]).arg(folder.path()).arg(plain::path("plover.toml"));
    command.assert().success();
    let svg = std::fs::read_to_string(folder.path().join("spread-rate.svg")).unwrap();
    roxmltree::Document::parse(&svg).unwrap();
    assert!(svg.contains("rate (s/day)") && svg.contains("95 %"));
}

#[test]
fn copies_that_lose_steps_have_no_rate() {
    let folder = tempfile::tempdir().unwrap();
    let mut command = beatwright();
    command.args([
        "spread",
        "--quiet",
        "--json",
        "--copies",
        "60",
        "--set",
        "motor.pull_in_torque=\"0.1 mN m\"",
        "--out",
    ]);
    let output =
        command.arg(folder.path()).arg(plain::path("plover.toml")).assert().success().get_output().stdout.clone();
    let json: Value = serde_json::from_slice(&output).unwrap();
    assert_eq!(json["keeps_going"][0], 0.0);
    assert!(json["rate_s_per_day"].is_null() && json["rate_s_per_month"].is_null());
    assert!(!folder.path().join("spread-rate.svg").exists());
    let table = std::fs::read_to_string(folder.path().join("spread.csv")).unwrap();
    assert!(table.lines().skip(1).all(|row| row.contains(",stops,,")), "{table}");
}
