//! Logs of a room: what is accepted, what is told where, and the command on them.

use std::fs;
use std::path::Path;

use beatwright::clock::design::{Gravity, Place};
use beatwright::scenario::measured::{LARGEST_TABLE_BYTES, MOST_ROWS, TableError};
use beatwright::scenario::room_log::{RoomLog, load_log, read_log};
use proptest::prelude::*;
use serde_json::Value;

use crate::support::demo;
use crate::support::program::beatwright;

const PLACE: Place = Place {
    gravity: Gravity::ByPlace { latitude_rad: 0.9, height_m: 0.0 },
    temperature_c: 20.0,
    pressure_pa: None,
    relative_humidity: 0.5,
};

fn log(text: &str) -> RoomLog {
    read_log("room.csv", text, &PLACE).unwrap_or_else(|error| panic!("{error}"))
}

fn complaint(text: &str) -> String {
    read_log("room.csv", text, &PLACE).unwrap_err().to_string()
}

const GOOD: &str = "time,temperature_degC,humidity_%,pressure_hPa\n\
                    2025-10-06T00:00,18.5,57,1012.5\n\
                    2025-10-06T01:00,18.25,57.5,1011\n\
                    2025-10-06T02:00,18,58,1010.25\n";

#[test]
fn a_plain_log_is_read_in_si_units() {
    let found = log(GOOD);
    assert_eq!(found.moments.iter().map(|m| m.time_s).collect::<Vec<_>>(), [0.0, 3600.0, 7200.0]);
    let second = found.moments[1];
    assert_eq!((second.temperature_c, second.relative_humidity, second.pressure_pa), (18.25, 0.575, 101_100.0));
    assert_eq!(found.began.unwrap().to_string(), "2025-10-06T00:00:00");
    assert_eq!(found.step_s, 3600.0);
}

// It was refused without a word.
#[test]
fn regress_a_log_of_remarks_alone_is_told_what_it_lacks() {
    for text in ["# ours", "# ours\n", "# ours\n\n# theirs\n"] {
        let report = complaint(text);
        assert!(report.contains("room.csv:1:1") && report.contains("no line that names the columns"), "{report}");
    }
}

#[test]
fn other_ways_to_write_the_same_mean_the_same() {
    let plain = log(GOOD).moments;
    let rows = |header: &str, body: &str| format!("{header}\n{body}");
    let body = GOOD.split_once('\n').unwrap().1;
    for (what, text) in [
        ("mark", format!("\u{feff}{GOOD}")),
        ("line ends", GOOD.replace('\n', "\r\n")),
        ("blank lines and remarks", format!("# ours\n\n{}\n# end", GOOD)),
        ("brackets", rows("Time,Temperature [degC],Humidity (%),pressure [hPa]", body)),
        ("blanks", rows("time, temperature °C, humidity_%, pressure_mbar", &body.replace(',', ", "))),
        ("quotes", GOOD.replace("18.25", "\"18.25\"")),
        ("zone", GOOD.replace(":00,", ":00+02:00,")),
        ("utc", GOOD.replace(":00,", ":00Z,")),
        ("seconds and a blank", GOOD.replace("T00:00", " 00:00:00").replace("T01", " 01").replace("T02", " 02")),
        ("hours", GOOD.replace("2025-10-06T0", "").replace(":00,", ",")),
        (
            "minutes",
            GOOD.replace("2025-10-06T00:00", "0")
                .replace("2025-10-06T01:00", "60")
                .replace("2025-10-06T02:00", "120")
                .replace("time", "time_min"),
        ),
    ] {
        assert_eq!(log(&text).moments, plain, "{what}");
    }
    let other_order = "carbon dioxide [ppm],pressure_kPa,time,temperature_degF,humidity_%\n\
                       400,101.25,2025-10-06T00:00,65.3,57\n500,101.1,2025-10-06T01:00,64.85,57.5\n\
                       450,101.025,2025-10-06T02:00,64.4,58\n";
    let found = log(other_order);
    assert_eq!(found.unused, ["carbon dioxide [ppm]"]);
    for (own, other) in found.moments.iter().zip(&plain) {
        assert_eq!(own.temperature_c, other.temperature_c);
        assert!((own.pressure_pa - other.pressure_pa).abs() < 1e-9);
    }
}

#[test]
fn what_has_no_column_is_held_at_the_place() {
    let found = log("time,temperature_degC\n0,20\n1,21\n");
    assert!(!found.has_humidity && !found.has_pressure && found.began.is_none());
    assert!(found.moments.iter().all(|m| m.relative_humidity == 0.5 && (m.pressure_pa - 101_325.0).abs() < 1e-6));
}

#[test]
fn tells_bad_logs_at_their_place() {
    let header = "time,temperature_degC,humidity_%,pressure_hPa\n";
    let with = |rows: &str| format!("{header}{rows}");
    let first = "2025-10-06T00:00,18.5,57,1012\n2025-10-06T01:00,18.2,57,1012\n";
    for (name, text) in [
        ("empty", String::new()),
        ("only_blanks", "\u{feff} \r\n\r\n".to_owned()),
        ("only_a_header", header.to_owned()),
        (
            "times",
            with(&format!(
                "{first}2025-10-06T01:00,18,57,1012\n2025-10-06T00:30,18,57,1012\nyesterday,18,57,1012\n,18,57,1012\n7,18,57,1012\n2025-10-06T02:00Z,18,57,1012\n2025-13-06T02:00,18,57,1012\n"
            )),
        ),
        (
            "cells",
            with(&format!(
                "{first}2025-10-06T02:00,warm,57,1012\n2025-10-06T03:00,,57,1012\n2025-10-06T04:00,18,NaN,inf\n2025-10-06T05:00,18.5 C,57,-\n2025-10-06T06:00,18,57\n2025-10-06T07:00,18,5,57,1012\n"
            )),
        ),
        (
            "ranges",
            with(&format!(
                "{first}2025-10-06T02:00,650,57,1012\n2025-10-06T03:00,18,157,1012\n2025-10-06T04:00,18,57,1\n"
            )),
        ),
        ("units", "time_kg,temperature_degR,humidity_g/m^3,pressure_psig\n0,1,2,3\n".to_owned()),
        ("no_units", "time,temperature,humidity,pressure\n0,1,2,3\n".to_owned()),
        ("missing_columns", "when,humidity_%\n0,50\n1,50\n".to_owned()),
        ("misspelt_column", "time,temprature_degC,humidity_%\n0,20,50\n1,20,50\n".to_owned()),
        ("twice", "time,temperature_degC,temperature_degF\n0,20,68\n1,20,68\n".to_owned()),
    ] {
        insta::assert_snapshot!(name, complaint(&text));
    }
}

/// What loggers and spreadsheets write.
#[test]
fn files_as_loggers_write_them_are_read() {
    let plain = log(GOOD).moments;
    let semicolons = "\u{feff}Time;Temperature [°C];Humidity(%RH);Pressure_hPa\r\n\
                      06.10.2025 00:00;18,5;57;1012,5\r\n06.10.2025 01:00;18,25;57,5;1011\r\n06.10.2025 02:00;18;58;1010,25;\r\n;;;\r\n";
    assert_eq!(log(semicolons).moments, plain);
    assert_eq!(log(&format!("sep=;\r\n{}", &semicolons[3..])).moments, plain);
    assert_eq!(log(&GOOD.replace(',', "\t")).moments, plain);
    let fahrenheit = "date,Temperature(F),humidity_%,pressure_hPa\n\
                      2025-10-06T00:00,65.3,57,1012.5\n2025-10-06T01:00,64.85,57.5,1011\n2025-10-06T02:00,64.4,58,1010.25\n";
    assert_eq!(log(fahrenheit).moments, plain);
}

/// Hours that are missing stay missing, and are counted.
#[test]
fn gaps_and_missing_readings_are_kept_and_counted() {
    let header = "time,temperature_degC,humidity_%\n";
    let found = log(&format!("{header}0,18,50\n1,18.5,51\n2,,52\n3,19,NaN\n4,19.5,54\n9,20,55\n10,20,56\n"));
    assert_eq!(found.moments.iter().map(|m| m.time_s / 3600.0).collect::<Vec<_>>(), [0.0, 1.0, 4.0, 9.0, 10.0]);
    assert_eq!((found.rows_without_reading, found.gaps.len()), (2, 1));
    assert_eq!((found.gaps[0].line, found.gaps[0].from_s, found.gaps[0].to_s), (7, 14_400.0, 32_400.0));
    let told = complaint(&format!("{header}0,18,\n1,,51\n2,18,\n"));
    assert!(told.contains("two rows with all readings") && told.ends_with("0 found"), "{told}");
}

#[test]
fn many_problems_are_counted() {
    let mut text = "time,temperature_degC\n".to_owned();
    for hour in 0..100_000 {
        text.push_str(&format!("{hour},none\n"));
    }
    let told = complaint(&text);
    assert!(told.ends_with("and 99950 more problems\n") && told.len() < 100_000, "{}", told.len());
}

#[test]
fn too_many_rows_are_refused() {
    let row = |hour: usize| format!("{hour},20\n");
    let text: String = (0..=MOST_ROWS).map(row).collect();
    let told = complaint(&format!("time,temperature_degC\n{text}"));
    assert!(told.contains("more than 200000 rows") && told.contains("room.csv:200002:1"), "{told}");
    let text: String = (0..MOST_ROWS).map(row).collect();
    assert_eq!(log(&format!("time,temperature_degC\n{text}")).moments.len(), MOST_ROWS);
    // A log of a thousand million rows is not even opened.
    let folder = tempfile::tempdir().unwrap();
    let huge = folder.path().join("huge.csv");
    fs::File::create(&huge).unwrap().set_len(30_000_000_000).unwrap();
    assert!(matches!(load_log(&huge, &PLACE), Err(TableError::TooLarge { .. })));
    assert!(LARGEST_TABLE_BYTES > 100 * MOST_ROWS as u64);
    assert!(matches!(load_log(folder.path(), &PLACE), Err(TableError::Directory { .. })));
    fs::write(&huge, b"time,\xff\n").unwrap();
    assert!(matches!(load_log(&huge, &PLACE), Err(TableError::NotText { at: 6, .. })));
}

fn run(folder: &Path, arguments: &[&str]) -> std::process::Output {
    beatwright().current_dir(folder).arg("season").args(arguments).output().unwrap()
}

#[test]
fn a_log_in_fahrenheit_gives_the_same_bytes() {
    let folder = tempfile::tempdir().unwrap();
    let celsius = fs::read_to_string(demo::path("autumn-room.csv")).unwrap();
    let fahrenheit: Vec<String> = celsius
        .replace("temperature_degC", "temperature [degF]")
        .lines()
        .map(|line| {
            let cells: Vec<&str> = line.split(',').collect();
            match cells.get(1).and_then(|cell| cell.parse::<f64>().ok()) {
                Some(degrees) => format!("{},{:.2},{},{}", cells[0], degrees * 1.8 + 32.0, cells[2], cells[3]),
                None => line.to_owned(),
            }
        })
        .collect();
    fs::write(folder.path().join("c.csv"), celsius).unwrap();
    fs::write(folder.path().join("f.csv"), fahrenheit.join("\n")).unwrap();
    let heron = demo::path("heron.toml");
    let mut told = Vec::new();
    for (name, threads) in [("c", "1"), ("f", "3")] {
        let log = format!("{name}.csv");
        let arguments = [heron.to_str().unwrap(), "--log", &log, "--threads", threads, "--quiet", "--out", name];
        let output = run(folder.path(), &arguments);
        assert!(output.status.success() && output.stderr.is_empty(), "{}", String::from_utf8_lossy(&output.stderr));
        let read = |file: &str| fs::read_to_string(folder.path().join(name).join(file)).unwrap();
        let mut json: Value = serde_json::from_str(&read("season.json")).unwrap();
        assert_eq!(json["log"]["file"], log);
        for key in ["log", "asked"] {
            json.as_object_mut().unwrap().remove(key);
        }
        let table = String::from_utf8(output.stdout).unwrap().replace(&log, "LOG");
        told.push((json, read("season.csv"), read("season.svg"), table));
    }
    assert!(told[0] == told[1]);
    let (json, csv, svg, table) = &told[0];
    assert_eq!(json["rows"], 505);
    assert_eq!(csv.lines().count(), 506);
    assert!(
        csv.lines().nth(1).unwrap().starts_with("0.0,2025-10-06 00:00,18.5,")
            || csv.lines().nth(1).unwrap().starts_with("0,2025-10-06 00:00,18.5,"),
        "{csv:.300}"
    );
    assert!(roxmltree::Document::parse(svg).is_ok());
    assert!(table.contains("worst week") && !table.contains("NaN"), "{table}");
    assert_eq!(json["trade_min_per_week"], serde_json::json!([1.0, 2.0]));
}

#[test]
fn the_scenario_may_name_its_log() {
    let folder = tempfile::tempdir().unwrap();
    let toml = fs::read_to_string(demo::path("wren.toml")).unwrap().replace("[season]", "[season]\nlog = \"room.csv\"");
    fs::write(folder.path().join("wren.toml"), toml).unwrap();
    let output = run(folder.path(), &["wren.toml", "--json"]);
    assert_eq!(output.status.code(), Some(2));
    let told = String::from_utf8(output.stderr).unwrap();
    assert!(told.contains("room.csv") && told.contains("wren.toml:"), "{told}");
    fs::write(folder.path().join("room.csv"), "time,temperature_degC\n0,16\n1,17\n2,18\n").unwrap();
    let output = run(folder.path(), &["wren.toml", "--json"]);
    let json: Value = serde_json::from_slice(&output.stdout).unwrap();
    assert_eq!((json["rows"].as_u64(), &json["worst_week"]), (Some(3), &Value::Null));
    let notes = json["notes"].to_string();
    assert!(notes.contains("no column `humidity`") && notes.contains("no column `pressure`"), "{notes}");
    fs::write(folder.path().join("room.csv"), "time,temperature_degC\n0,16\n1,x\n").unwrap();
    let output = run(folder.path(), &["wren.toml"]);
    assert_eq!(output.status.code(), Some(2));
    assert!(String::from_utf8(output.stderr).unwrap().contains("room.csv:3:3"));
}

#[test]
fn tells_bad_seasons_and_arguments() {
    let folder = tempfile::tempdir().unwrap();
    let heron = demo::path("heron.toml");
    let mut all = String::new();
    for arguments in [
        vec!["--set", "season.temperature_yearly=4 degC"],
        vec!["--set", "season.warmest_day=400"],
        vec!["--set", "season.humidity_yearly=70 %"],
        vec!["--set", "season.rod_lag=-1 h"],
        vec!["--set", "season.wood_log=1 h"],
        vec!["--years", "0"],
        vec!["--log", "none.csv"],
        vec!["--log", "x.csv", "--years", "2"],
    ] {
        let output = run(folder.path(), &[&[heron.to_str().unwrap()], arguments.as_slice()].concat());
        assert_eq!(output.status.code(), Some(2), "{arguments:?}");
        assert!(output.stdout.is_empty());
        all.push_str(&String::from_utf8(output.stderr).unwrap().replace(heron.to_str().unwrap(), "heron.toml"));
    }
    insta::assert_snapshot!(all);
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 300, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn a_damaged_log_never_panics(
        cuts in prop::collection::vec((0usize..GOOD.len(), 0usize..30, "(,|\n|\r|\"|#|;|nan|-inf|1e999|9{30}|\u{0}|ß𝄞|.{0,6})"), 1..6),
    ) {
        let mut text = GOOD.to_owned();
        for (at, length, piece) in cuts {
            let mut start = at.min(text.len());
            while !text.is_char_boundary(start) {
                start -= 1;
            }
            let mut end = (start + length).min(text.len());
            while !text.is_char_boundary(end) {
                end += 1;
            }
            text.replace_range(start..end, &piece);
        }
        match read_log("room.csv", &text, &PLACE) {
            Ok(log) => prop_assert!(log.moments.iter().all(|m| m.time_s.is_finite() && m.temperature_c.is_finite())),
            Err(error) => prop_assert!(!error.to_string().is_empty()),
        }
    }
}
