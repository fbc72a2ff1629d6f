//! The program as its user runs it.

use std::fs;
use std::path::{Path, PathBuf};

use serde_json::Value;

use crate::support::program::{beatwright, written_on_any_threads};
use crate::support::{demo, plain};

fn predict(file: &Path, settings: &[&str]) -> Value {
    let mut command = beatwright();
    command.arg("predict").arg(file).arg("--json");
    for setting in settings {
        command.args(["--set", setting]);
    }
    let output = command.output().unwrap();
    assert!(output.status.success(), "{}", String::from_utf8_lossy(&output.stderr));
    serde_json::from_slice(&output.stdout).unwrap()
}

fn lumped(folder: &Path, escapement: &str, pendulum: &str) -> PathBuf {
    let file = folder.join("lumped.toml");
    fs::write(&file, format!("[place]\ngravity = \"0 m/s^2\"\n[pendulum.lumped]\n{pendulum}\n{escapement}\n")).unwrap();
    file
}

const LINEAR: &str = r#"inertia = "1 kg m^2"
mass = "1 kg"
centre_of_mass = "1 m"
stiffness = "1 N m/rad"
damping_quadratic = "0 N m s^2"
"#;

#[test]
fn every_scenario_predicts_and_its_ledger_closes() {
    let folder = demo::path("");
    let mut count = 0;
    for entry in fs::read_dir(folder).unwrap() {
        let file = entry.unwrap().path();
        if file.extension().is_none_or(|extension| extension != "toml") {
            continue;
        }
        count += 1;
        let results = predict(&file, &[]);
        assert_eq!(results["verdict"], "keeps_going", "{}", file.display());
        if results["motor"].is_object() {
            continue; // no beat, and so no energy of one
        }
        let energy = &results["energy_per_beat_j"];
        let weight = energy["weight"].as_f64().unwrap();
        let residual = energy["residual"].as_f64().unwrap();
        assert!(residual.abs() < 1e-9 * weight, "{} {residual:e}", file.display());
        let taken = energy.as_object().unwrap().iter().filter(|(key, _)| *key != "weight");
        let sum: f64 = taken.map(|(_, energy)| energy.as_f64().unwrap()).sum();
        // What the fixed point's own rounding stores or gives back over a period.
        assert!((sum - weight).abs() < 1e-9 * weight, "{}", file.display());
        let (weight, least) = (results["weight_kg"].as_f64().unwrap(), results["least_weight_kg"].as_f64().unwrap());
        assert!((results["weight_ratio"].as_f64().unwrap() - weight / least).abs() < 1e-12);
        match results["least_weight_with_margin_kg"].as_f64() {
            Some(with_margin) => assert!(with_margin >= least),
            None => panic!("{}", file.display()),
        }
        assert!(results["multiplier"].as_f64().unwrap().abs() < 1.0);
    }
    assert!(count >= 2);
}

#[test]
fn the_least_weight_parts_going_from_stopping() {
    for name in ["heron.toml", "wren.toml"] {
        let file = demo::path(name);
        let least = predict(&file, &[])["least_weight_kg"].as_f64().unwrap();
        let at = |share: f64| predict(&file, &[&format!("drive.weight=\"{} kg\"", least * share)]);
        assert_eq!(at(1.001)["verdict"], "keeps_going", "{name}");
        let below = at(0.999);
        assert_eq!(below["verdict"], "stops", "{name}");
        assert_eq!(below["reason"], "loses_amplitude", "{name}");
        assert!(below["least_weight_kg"].as_f64().unwrap() > 0.0);
        assert!(below["action"]["entry"]["lift_deg"].as_f64().unwrap() > 0.0);
        assert!(below["semi_arc_deg"].is_null() && below["period_s"].is_null());
    }
}

#[test]
fn a_plain_run_ends_on_the_limit_cycle() {
    let output = beatwright()
        .args(["predict", demo::path("wren.toml").to_str().unwrap(), "--json", "--days", "0.05"])
        .output()
        .unwrap();
    let results: Value = serde_json::from_slice(&output.stdout).unwrap();
    let run = &results["plain_run"];
    let (end, steady) =
        (run["end_semi_arc_right_deg"].as_f64().unwrap(), results["semi_arc_right_deg"].as_f64().unwrap());
    assert!((end - steady).abs() < 1e-9, "{end} {steady}");
    assert_eq!(run["stopped"], false);
}

#[test]
fn too_small_a_push_never_unlocks() {
    let results = predict(&demo::path("heron.toml"), &["start_arc=\"0.4 deg\""]);
    assert_eq!(results["verdict"], "stops");
    assert_eq!(results["reason"], "never_unlocks");
    assert!(results["least_weight_kg"].as_f64().unwrap() > 0.0);
}

#[test]
fn beyond_the_faces_or_without_drive_is_a_verdict_not_an_error() {
    let file = plain::path("heron.toml");
    for settings in [
        vec!["start_arc=\"25 deg\""],
        vec!["drive.weight=\"1 g\""],
        vec!["drive.weight=\"400 kg\""],
        vec!["escapement.dead_beat.friction=1.5"],
        vec!["escapement.dead_beat.restitution=0.9"],
        vec!["pendulum.suspension.friction=1.9"],
    ] {
        let results = predict(&file, &settings);
        let verdict = results["verdict"].as_str().unwrap();
        assert!(["keeps_going", "stops"].contains(&verdict), "{settings:?}");
        assert_eq!(results["reason"].is_null(), verdict == "keeps_going", "{settings:?}");
    }
}

// Airy's theorem in modern form; exact piecewise solution of the linear oscillator (see ideal_clocks.rs).
#[test]
fn exact_lumped_dead_beat_through_the_command_line() {
    let folder = tempfile::tempdir().unwrap();
    let file = lumped(
        folder.path(),
        "[escapement.ideal_torque]\ntorque = \"6.168502750681e-4 N m\"\nbefore = \"1.5 deg\"\nafter = \"0.5 deg\"\noutside = \"none\"",
        &format!("{LINEAR}damping_linear = \"0.005 N m s\"\nfriction_torque = \"0 N m\""),
    );
    let results = predict(&file, &[]);
    assert!((results["semi_arc_deg"].as_f64().unwrap() - 2.9987154562).abs() < 1e-9);
    let shift = results["period_s"].as_f64().unwrap() / std::f64::consts::TAU - 1.0;
    assert!((shift + 4.493107662e-4).abs() < 1e-12);
    assert!((results["q_factor"].as_f64().unwrap() - 200.0).abs() < 1e-9);
    for key in ["rate_s_per_day", "weight_kg", "least_weight_kg", "run_time_days", "action"] {
        assert!(results.as_object().unwrap().contains_key(key) && results[key].is_null(), "{key}");
    }
    assert!(results["least_escape_torque_n_m"].as_f64().unwrap() > 0.0);
}

// A. A. Andronov, A. A. Vitt, S. E. Khaikin's clock with dry friction (from memory as to the source): v* = h^2/(8 mu) + 2 mu.
#[test]
fn exact_lumped_kick_through_the_command_line() {
    let folder = tempfile::tempdir().unwrap();
    let file = lumped(
        folder.path(),
        "[escapement.ideal_kick]\nat = \"-0.01 rad\"\nenergy = \"5 mJ\"\nsides = \"right\"",
        &format!("{LINEAR}damping_linear = \"0 N m s\"\nfriction_torque = \"0.01 N m\""),
    );
    let results = predict(&file, &[]);
    assert!((results["semi_arc_right_deg"].as_f64().unwrap() - 0.135f64.to_degrees()).abs() < 1e-10);
    assert!((results["semi_arc_left_deg"].as_f64().unwrap() - 0.115f64.to_degrees()).abs() < 1e-10);
    assert!((results["period_s"].as_f64().unwrap() - std::f64::consts::TAU).abs() < 1e-11);
}

#[test]
fn new_writes_a_scenario_that_predicts_and_spares_what_is_there() {
    let folder = tempfile::tempdir().unwrap();
    let file = folder.path().join("mine.toml");
    beatwright().arg("new").arg(&file).assert().success();
    assert_eq!(predict(&file, &[])["verdict"], "keeps_going");
    fs::write(&file, "mine").unwrap();
    beatwright().arg("new").arg(&file).assert().code(2);
    assert_eq!(fs::read_to_string(&file).unwrap(), "mine");
}

#[test]
fn files_land_in_the_folder_asked_for() {
    let folder = tempfile::tempdir().unwrap();
    let out = folder.path().join("deep/er");
    beatwright().arg("predict").arg(demo::path("wren.toml")).arg("--out").arg(&out).assert().success();
    let mut names: Vec<String> =
        fs::read_dir(&out).unwrap().map(|entry| entry.unwrap().file_name().into_string().unwrap()).collect();
    names.sort();
    assert!(names.contains(&"results.json".to_owned()), "{names:?}");
    assert!(names.iter().all(|name| !name.ends_with(".part")), "{names:?}");
    let results: Value = serde_json::from_str(&fs::read_to_string(out.join("results.json")).unwrap()).unwrap();
    assert_eq!(results["name"], "Wren");
}

#[test]
fn inspect_writes_the_outlines_as_drawn_and_as_printed() {
    let outlines = |settings: &[&str]| {
        let folder = tempfile::tempdir().unwrap();
        let mut command = beatwright();
        command.arg("inspect").arg(demo::path("heron.toml")).arg("--out").arg(folder.path());
        for setting in settings {
            command.args(["--set", setting]);
        }
        command.assert().success();
        ["outlines-drawn.dxf", "outlines-printed.dxf"].map(|name| fs::read_to_string(folder.path().join(name)).ok())
    };
    let [drawn, printed] = outlines(&["printer={}"]);
    assert!(drawn.is_some() && printed.is_none());
    let [as_drawn, as_printed] = outlines(&[]);
    assert_eq!(as_drawn, drawn);
    assert!(as_printed.is_some() && as_printed != drawn);
}

/// `[season]` of the file does not go with a drier place, and refused commands that know no season.
#[test]
fn regress_a_season_that_an_override_spoils_stops_only_commands_that_use_it() {
    let heron = demo::path("heron.toml");
    let run = |command: &str| {
        let mut run = beatwright();
        run.arg(command).arg(&heron).args(["--json", "--set", "place.humidity=10 %"]);
        run.arg("--out").arg(tempfile::tempdir().unwrap().path());
        run.output().unwrap()
    };
    for command in ["predict", "inspect"] {
        assert!(run(command).status.success(), "{command}: {}", String::from_utf8_lossy(&run(command).stderr));
    }
    let season = run("season");
    assert_eq!(season.status.code(), Some(2));
    let complaint = String::from_utf8(season.stderr).unwrap();
    assert!(complaint.contains("the swings go beyond what can be computed for air"), "{complaint}");
}

/// Heron with parts of a stuff that grows by 0.09 % per kelvin, made at 20 degC.
fn swollen(command: &str, settings: &[&str]) -> std::process::Output {
    let mut heron = beatwright();
    heron.arg(command).arg(demo::path("heron.toml"));
    for setting in ["material.swell={ density = \"700 kg/m^3\", expansion = \"900 ppm/K\" }"].iter().chain(settings) {
        heron.args(["--set", setting]);
    }
    heron.output().unwrap()
}

#[test]
fn a_train_that_jams_is_an_answer_and_one_out_of_mesh_a_problem() {
    let warm = ["train.material=swell", "place.temperature=40 degC", "--json"];
    let [material, warm, json] = warm;
    let folder = tempfile::tempdir().unwrap();
    let mut heron = beatwright();
    heron.arg("predict").arg(demo::path("heron.toml")).arg(json).arg("--out").arg(folder.path());
    heron.args(["--set", "material.swell={ density = \"700 kg/m^3\", expansion = \"900 ppm/K\" }"]);
    let output = heron.args(["--set", material, "--set", warm]).output().unwrap();
    assert_eq!(output.status.code(), Some(0), "{}", String::from_utf8_lossy(&output.stderr));
    let results: Value = serde_json::from_slice(&output.stdout).unwrap();
    assert_eq!((&results["verdict"], &results["reason"]), (&"stops".into(), &"jams".into()));
    assert!(results["least_weight_kg"].is_null() && results["escape_torque_n_m"].as_f64().unwrap().abs() < 1e-15);
    let notes = results["notes"].as_array().unwrap();
    assert!(notes.iter().any(|note| note.as_str().unwrap().starts_with("mesh great 78 -> centre 12 jams: ")));
    let far = ["frame.material=swell", "made.temperature=-40 degC", "escapement.pallets.material=swell"];
    let output = swollen("predict", &[&far[..], &["escapement.wheel.material=swell"]].concat());
    assert_eq!(output.status.code(), Some(2));
    let told = String::from_utf8_lossy(&output.stderr).into_owned();
    assert!(told.contains("out_of_mesh") && told.contains("the teeth miss each other by"), "{told}");
}

#[test]
fn inspect_shows_meshes_and_the_turn_only_where_there_is_something_to_see() {
    let shown = |settings: &[&str]| String::from_utf8(swollen("inspect", settings).stdout).unwrap();
    let plain = shown(&[]);
    assert!(!plain.contains("Meshes where they stand") && !plain.contains("Action over a turn"));
    let grown = shown(&["train.material=swell", "place.temperature=22 degC", "train.arbor.great.backlash=0.4 mm"]);
    assert!(grown.contains("great 78 -> centre 12") && !grown.contains("the scenario states no backlash"), "{grown}");
    let folder = tempfile::tempdir().unwrap();
    let mine = folder.path().join("mine.toml");
    assert!(beatwright().arg("new").arg(&mine).output().unwrap().status.success());
    let warm = beatwright().arg("inspect").arg(&mine).args(["--set", "place.temperature=30 degC"]).output().unwrap();
    let warm = String::from_utf8(warm.stdout).unwrap();
    assert!(warm.contains("the scenario states no backlash"), "{warm}");
    assert!(shown(&["printer.run_out=0.05 mm"]).contains("Action over a turn"));
}

#[test]
fn a_folder_that_cannot_be_written_is_a_clear_error() {
    let folder = tempfile::tempdir().unwrap();
    let blocked = folder.path().join("file");
    fs::write(&blocked, "here").unwrap();
    let output =
        beatwright().arg("predict").arg(demo::path("wren.toml")).arg("--out").arg(blocked.join("x")).output().unwrap();
    assert_eq!(output.status.code(), Some(1));
    assert!(String::from_utf8_lossy(&output.stderr).contains("--out"));
    assert_eq!(fs::read_to_string(&blocked).unwrap(), "here");
}

#[test]
fn bad_files_and_arguments_exit_with_two() {
    let folder = tempfile::tempdir().unwrap();
    let empty = folder.path().join("empty.toml");
    fs::write(&empty, "").unwrap();
    let huge = folder.path().join("huge.toml");
    fs::File::create(&huge).unwrap().set_len(100 * 1024 * 1024).unwrap();
    let absent = folder.path().join("absent.toml");
    for file in [&empty, &huge, &absent, &folder.path().to_path_buf()] {
        for command in ["predict", "inspect"] {
            let output = beatwright().arg(command).arg(file).output().unwrap();
            assert_eq!(output.status.code(), Some(2), "{command} {}", file.display());
            assert!(!output.stderr.is_empty() && output.stdout.is_empty());
        }
    }
    beatwright().args(["predict"]).assert().code(2);
    beatwright().args(["predict", "x.toml", "--nonsense"]).assert().code(2);
    beatwright().arg("predict").arg(demo::path("wren.toml")).args(["--days", "nan"]).assert().code(2);
    beatwright().arg("predict").arg(demo::path("wren.toml")).args(["--days", "1e9"]).assert().code(2);
}

fn complaint(settings: &[&str]) -> String {
    let mut command = beatwright();
    command.args(["inspect", "scenarios/heron.toml"]);
    for setting in settings {
        command.args(["--set", setting]);
    }
    let output = command.output().unwrap();
    assert_eq!(output.status.code(), Some(2), "{settings:?}");
    String::from_utf8(output.stderr).unwrap()
}

#[test]
fn designs_that_cannot_be_built_are_told_at_their_place() {
    insta::assert_snapshot!("hour_hand", complaint(&["train.hands.motion_work=[[12, 36], [10, 41]]"]));
    insta::assert_snapshot!("minute_hand", complaint(&["train.arbor.third.wheel_teeth=91"]));
    insta::assert_snapshot!("spaces", complaint(&["escapement.dead_beat.spaces=8"]));
    insta::assert_snapshot!("undercut", complaint(&["escapement.dead_beat.tooth.undercut=\"1 deg\""]));
}

#[test]
fn numbers_do_not_depend_on_the_number_of_threads() {
    written_on_any_threads(&["predict", "scenarios/wren.toml"]);
}

#[test]
fn tells_pallets_that_lie_in_the_wheel() {
    // A wheel of 60 mm with teeth 12 mm deep, and an entry pallet whose corner is drawn 39 mm from its centre.
    let text = r#"
[place]
gravity = "9.80665 m/s^2"
[pendulum.lumped]
inertia = "1 kg m^2"
mass = "1 kg"
centre_of_mass = "1 m"
stiffness = "0 N m/rad"
damping_linear = "0.003 N m s"
damping_quadratic = "0 N m s^2"
friction_torque = "0 N m"
[drive.lumped]
escape_torque = "2 mN m"
friction_torque = "0.1 mN m"
inertia = "2e-6 kg m^2"
[escapement.outline]
teeth = 30
centre_distance = "84.852814 mm"
friction = 0.2
beat_error = "0 deg"
tooth = { start = [0, 60], path = [ { to = [-0.7965, 59.925] }, { to = [-4.7476, 47.7646] }, { to = [-2.1242, 47.953] } ] }
entry = { start = [-44.2629, 41.3045], path = [ { to = [-25, 30] }, { to = [-45.2965, 48.7788] }, { to = [-48.5725, 46.1698] } ] }
exit = { start = [41.2759, 44.2399], path = [ { to = [42.7162, 39.7863] }, { to = [48.5708, 46.1677], bulge = 0.0349101 }, { to = [45.295, 48.7769] }, { to = [41.2759, 44.2399], bulge = -0.026186 } ] }
"#;
    let folder = tempfile::tempdir().unwrap();
    fs::write(folder.path().join("inside.toml"), text).unwrap();
    let output = beatwright().current_dir(&folder).args(["inspect", "inside.toml"]).output().unwrap();
    assert_eq!(output.status.code(), Some(2));
    insta::assert_snapshot!("pallet_in_wheel", String::from_utf8_lossy(&output.stderr));
    // A pallet 30 mm long along the rim leaves no room between the teeth.
    let long = text.replace("[-25, 30] }, { to = [-45.2965, 48.7788]", "[-30, 48.5] }, { to = [-30, 56]");
    fs::write(folder.path().join("inside.toml"), long).unwrap();
    let output = beatwright().current_dir(&folder).args(["inspect", "inside.toml"]).output().unwrap();
    assert_eq!(output.status.code(), Some(2));
    insta::assert_snapshot!("pallet_too_long", String::from_utf8_lossy(&output.stderr));
}
