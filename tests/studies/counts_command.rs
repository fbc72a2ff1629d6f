//! `counts` as it is typed: what it reads, what it writes, and what it refuses.

use beatwright::clock::build::build;
use beatwright::scenario::{read, starter};
use serde_json::Value;

use crate::support::program::run;

fn json(arguments: &[&str]) -> Value {
    let (code, said, complained) = run(&[&["counts", "--json"], arguments].concat());
    assert_eq!((code, complained.as_str()), (0, ""), "{arguments:?}");
    serde_json::from_str(&said).unwrap()
}

/// Rows set in the starter close its train; other counts do not.
#[test]
fn counts_put_into_a_scenario_turn_its_minute_hand_once_an_hour() {
    let found = json(&["--beat", "1s", "--least-leaves", "12", "--great-hours", "6..7", "--pressure-angle", "25deg"]);
    let great = &found["great_wheel"]["rows"][0]["meshes"][0];
    let motion = &found["motion_work"]["rows"][0];
    for row in found["trains"]["rows"].as_array().unwrap() {
        let settings = |extra: u64| {
            [
                format!("train.arbor.great.wheel_teeth={}", great["wheel_teeth"]),
                format!("train.arbor.centre.pinion_teeth={}", great["pinion_teeth"]),
                format!("train.arbor.centre.wheel_teeth={}", row["meshes"][0]["wheel_teeth"]),
                format!("train.arbor.third.pinion_teeth={}", row["meshes"][0]["pinion_teeth"]),
                format!("train.arbor.third.wheel_teeth={}", row["meshes"][1]["wheel_teeth"].as_u64().unwrap() + extra),
                format!("train.arbor.escape.pinion_teeth={}", row["meshes"][1]["pinion_teeth"]),
                format!("train.hands.motion_work={}", motion["motion_work"]),
                "train.hands.motion_work_module=\"1 mm\"".to_owned(),
            ]
        };
        let built = |extra| {
            let scenario = read("new.toml", starter(), &settings(extra)).unwrap_or_else(|error| panic!("{error}"));
            build(&scenario.in_room())
        };
        let train = built(0).unwrap().train.unwrap();
        assert!((train.train_period_s.unwrap() - 2.0).abs() < 1e-12);
        assert_eq!(train.hour_hand_ratio, Some(12));
        assert!(train.notes.is_empty(), "{:?}", train.notes);
        let hours = found["great_wheel"]["rows"][0]["hours_per_turn"].as_f64().unwrap();
        assert!((1.0 / train.arbors[0].turns_per_hour.unwrap() - hours).abs() < 1e-12);
        let complaint = built(1).unwrap_err().to_string();
        assert!(complaint.contains("minute hand"), "{complaint}");
    }
}

#[test]
fn inches_and_pitches_are_understood() {
    let metric = json(&["--beat", "1s", "--module", "1.0583333333333333mm"]);
    for asked in [&["--pitch", "24"][..], &["--pitch", "24/in"], &["--module", "24/in"]] {
        let found = json(&[&["--beat", "1s"], asked].concat());
        let size = |found: &Value| found["trains"]["rows"][0]["largest_diameter_mm"].as_f64().unwrap();
        // 66 teeth and addenda over 24 to the inch.
        assert!((size(&found) - 25.4 * 66.0 / 24.0).abs() < 1e-9);
        assert!((size(&metric) - size(&found)).abs() < 1e-6);
    }
    let inches = json(&["--beat", "1s", "--run", "8d", "--fall", "4ft", "--drum", "1in..2in", "--cord", "0.06in"]);
    let metric =
        json(&["--beat", "1s", "--run", "192h", "--fall", "1219.2mm", "--drum", "25.4mm..50.8mm", "--cord", "1.524mm"]);
    assert_eq!(inches["great_wheel"]["found"], metric["great_wheel"]["found"]);
}

#[test]
fn a_beat_is_read_exactly() {
    let trains = |beat: &[&str]| json(beat)["trains"]["found"].as_u64().unwrap();
    let third = trains(&["--beat", "1/3s"]);
    assert!(third > 0);
    for same in [&["--beats-per-hour", "10800"][..], &["--beat", "1/3 s"], &["--beat", "2/6s"]] {
        assert_eq!(trains(same), third);
    }
    assert_eq!(trains(&["--beat", "750ms"]), trains(&["--beat", "0.75s"]));
    assert_eq!(trains(&["--beat", "0.0125min"]), trains(&["--beat", "3/4s"]));
}

#[test]
fn what_cannot_be_asked_is_refused_with_what_would_be_right() {
    let refused = |arguments: &[&str], told: &[&str]| {
        let (code, said, complaint) = run(&[&["counts"], arguments].concat());
        assert_eq!((code, said.as_str()), (2, ""), "{arguments:?}: {complaint}");
        for told in told {
            assert!(complaint.contains(told), "{arguments:?} {told}: {complaint}");
        }
    };
    refused(&["--beat", "0.333s"], &["37", "--beat 1/3s", "the nearest beat"]);
    refused(&["--beat", "0s"], &["1/3s"]);
    refused(&["--beat", "1/0s"], &["1/3s"]);
    refused(&["--beat", "-1s"], &["no beat"]);
    refused(&["--beat", "1"], &["unit"]);
    refused(&["--beat", "1kg"], &["a mass"]);
    refused(&["--beat", "1e400s"], &["too large"]);
    refused(&["--beat", "2e-1s"], &["a decimal or a fraction"]);
    refused(&["--beat", "1000s"], &["from 0.01 s to 100 s"]);
    refused(&[], &["--beat"]);
    refused(&["--beat", "1s", "--beats-per-hour", "3600"], &["cannot be used with"]);
    refused(&["--beat", "1s", "--escape-teeth", "0"], &["from 2 to 1000"]);
    refused(&["--beat", "1s", "--escape-teeth", "40..24"], &["24..40"]);
    refused(&["--beat", "1s", "--escape-teeth", "x"], &["not a whole number"]);
    refused(&["--beat", "1s", "--least-leaves", "0"], &["from 2 to 1000"]);
    refused(&["--beat", "1s", "--least-leaves", "20", "--most-leaves", "10"], &["the wrong way round"]);
    refused(&["--beat", "1s", "--least-teeth", "200"], &["the wrong way round"]);
    refused(&["--beat", "1s", "--arbors", "9"], &["from 0 to 5"]);
    refused(&["--beat", "1s", "--arbors", "0"], &["use more arbors"]);
    refused(&["--beat", "60s"], &["use fewer arbors"]);
    // Of all arbors and escape wheels the one that comes nearest is told.
    refused(&["--beat", "60s", "--arbors", "1..2"], &["less than 2 meshes"]);
    refused(&["--beat", "1s", "--arbors", "0", "--escape-teeth", "30..40"], &["of 40 teeth", "more than 1 mesh"]);
    let holed = ["--beat", "1s", "--arbors", "0,3", "--least-teeth", "60", "--most-teeth", "100"];
    refused(&holed, &["more than 1 mesh", "less than 4 meshes", "the arbors between"]);
    // A prime too large for any gear, and one too large to be looked for.
    refused(&["--beat", "1.00003s"], &["a multiple of 100003 (the most are 16)"]);
    refused(&["--beat", "1.0000000003s"], &["a multiple of a prime above 10000 (the most are 16)"]);
    refused(&["--beat", "1s", "--great-hours", "500"], &["--great-arbors"]);
    // Wheels smaller than pinions: more meshes make fewer hours.
    let slow =
        ["--beat", "1s", "--arbors", "2", "--least-teeth", "8", "--great-arbors", "0..1", "--great-hours", "300"];
    refused(&slow, &["0.25 h to 225.00 h"]);
    refused(&["--beat", "1s", "--great-arbors", "1"], &["--great-hours <HOURS>|--run <TIME>"]);
    refused(&["--beat", "1s", "--great-module", "2mm"], &["--great-hours <HOURS>|--run <TIME>"]);
    refused(&["--beat", "1s", "--great-hours", "14..10"], &["write 10..14"]);
    refused(&["--beat", "1s", "--run", "8d"], &["--fall"]);
    refused(&["--beat", "1s", "--run", "8d", "--fall", "1.2m", "--drum", "50mm..20mm"], &["20mm..50mm"]);
    refused(&["--beat", "1s", "--run", "8d", "--fall", "1.2 kg"], &["a mass"]);
    refused(&["--beat", "1s", "--module", "0mm"], &["a length above 0"]);
    refused(&["--beat", "1s", "--pitch", "0"], &["teeth per inch"]);
    refused(&["--beat", "1s", "--motion-module", "1mm,1mm,1mm"], &["one module, or two"]);
    refused(&["--beat", "1s", "--tooth-friction", "PLA on PLB"], &["PLA on PLA"]);
    refused(&["--beat", "1s", "--pressure-angle", "60deg"], &["from 5 deg to 45 deg"]);
    refused(&["--beat", "1s", "--row", "13"], &["--most"]);
    let wide =
        ["--beat", "1s", "--arbors", "3..5", "--least-leaves", "2", "--most-leaves", "60", "--most-teeth", "900"];
    refused(&wide, &["narrow them"]);
}

#[test]
fn counts_are_written_only_where_a_folder_is_named() {
    let folder = tempfile::tempdir().unwrap();
    let out = folder.path().join("trains");
    let (code, said, complained) = run(&["counts", "--beat", "0.75s", "--most", "3", "--out", out.to_str().unwrap()]);
    assert_eq!(code, 0, "{complained}");
    assert!(said.contains("From the minute hand's arbor to the escape wheel"));
    assert!(complained.contains("wrote 2 files"));
    let table = std::fs::read_to_string(out.join("counts.csv")).unwrap();
    let columns = table.lines().next().unwrap().split(',').count();
    let mut reader = csv::Reader::from_reader(table.as_bytes());
    assert!(reader.records().all(|record| record.unwrap().len() == columns));
    let record: Value = serde_json::from_str(&std::fs::read_to_string(out.join("counts.json")).unwrap()).unwrap();
    assert_eq!(record["beat_s_exact"], "3/4");
    assert_eq!(record["trains"]["rows"].as_array().unwrap().len(), 3);
}
