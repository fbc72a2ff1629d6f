//! Runs are kept: a trial leaves the design's results as they are, and nothing of an earlier answer stays beside a new one.

use std::fs;
use std::path::Path;

use crate::support::{plain, program::beatwright};

fn run(folder: &Path, arguments: &[&str]) {
    beatwright().current_dir(folder).args(arguments).arg("--quiet").assert().success();
}

#[test]
fn a_trial_never_overwrites_the_results_of_the_design() {
    let folder = tempfile::tempdir().unwrap();
    fs::write(folder.path().join("wren.toml"), plain::WREN).unwrap();
    let results = |name: &str| fs::read(folder.path().join("notebooks-out").join(name).join("results.json"));
    run(folder.path(), &["predict", "wren.toml"]);
    let own = results("wren").unwrap();
    run(folder.path(), &["predict", "wren.toml", "--set", "drive.weight=2 kg"]);
    assert_eq!(results("wren").unwrap(), own);
    let trial = results("wren-trial").unwrap();
    assert_ne!(trial, own);
    run(folder.path(), &["predict", "wren.toml", "--solve", "drive.weight=0.8kg..1kg", "--for", "semi_arc_deg = 3.95"]);
    assert_eq!(results("wren").unwrap(), own);
    assert_ne!(results("wren-trial").unwrap(), trial);
    run(folder.path(), &["predict", "wren.toml", "--after", "18 months"]);
    assert_eq!(results("wren").unwrap(), own);
    let aged: serde_json::Value = serde_json::from_slice(&results("wren-trial").unwrap()).unwrap();
    assert_eq!((&aged["name"], &aged["after_years"]), (&"Wren after 1.5 years".into(), &1.5.into()));
    assert!(aged["life"].is_null());
}

/// `--after` is a time from now to a hundred years of a clock with a pendulum, and nothing else.
#[test]
fn tells_years_that_are_none() {
    let folder = tempfile::tempdir().unwrap();
    fs::write(folder.path().join("wren.toml"), plain::WREN).unwrap();
    fs::write(folder.path().join("plover.toml"), plain::PLOVER).unwrap();
    for (arguments, told) in [
        (&["wren.toml", "--after", "5"][..], "is a bare number"),
        (&["wren.toml", "--after", "-1y"], "give a time from 0 to 100 years"),
        (&["wren.toml", "--after", "101 years"], "give a time from 0 to 100 years"),
        (&["wren.toml", "--after", "5 kg"], "is a mass, not a time"),
        (&["plover.toml", "--after", "5y"], "a clock with a motor"),
        (
            &["wren.toml", "--after", "5y", "--solve", "drive.weight", "--for", "semi_arc_deg = 3"],
            "cannot be used with",
        ),
    ] {
        let asked = beatwright().current_dir(folder.path()).arg("predict").args(arguments).assert().code(2);
        let said = String::from_utf8_lossy(&asked.get_output().stderr).into_owned();
        assert!(said.contains(told), "{arguments:?}: {said}");
        assert!(!folder.path().join("notebooks-out").exists(), "{arguments:?} wrote something");
    }
}

#[test]
fn files_of_an_earlier_answer_go_and_all_others_stay() {
    let folder = tempfile::tempdir().unwrap();
    fs::write(folder.path().join("wren.toml"), plain::WREN).unwrap();
    let out = folder.path().join("out");
    run(folder.path(), &["predict", "wren.toml", "--out", "out"]);
    run(folder.path(), &["page", "wren.toml", "--draft", "--out", "out"]);
    for other in ["mine.svg", "fitted.toml"] {
        fs::write(out.join(other), "mine").unwrap();
    }
    let here = |name: &str| out.join(name).exists();
    assert!(here("phase-portrait.svg") && here("page.html"));
    // It stops, so that there is no steady swing to draw.
    run(folder.path(), &["predict", "wren.toml", "--out", "out", "--set", "drive.weight=100 g"]);
    assert!(!here("phase-portrait.svg"), "a picture of the clock that went stands beside one that stops");
    for kept in ["results.json", "page.html", "mine.svg", "fitted.toml"] {
        assert!(here(kept), "{kept} is gone");
    }
}

/// `predict` and `inspect` both write the action of the pallets.
#[test]
fn commands_that_write_a_file_of_one_name_leave_each_others_files() {
    for both in [["predict", "inspect"], ["inspect", "predict"]] {
        let folder = tempfile::tempdir().unwrap();
        fs::write(folder.path().join("wren.toml"), plain::WREN).unwrap();
        let here = |name: &str| folder.path().join("out").join(name).exists();
        for command in both.into_iter().chain(both) {
            run(folder.path(), &[command, "wren.toml", "--out", "out"]);
        }
        for kept in ["results.json", "phase-portrait.svg", "outlines-drawn.dxf", "action.svg", "action.csv"] {
            assert!(here(kept), "{both:?}: {kept} is gone");
        }
        run(folder.path(), &["predict", "wren.toml", "--out", "out", "--set", "drive.weight=100 g"]);
        assert!(!here("phase-portrait.svg") && here("outlines-drawn.dxf") && here("action.svg"));
    }
}

/// What somebody writes into the record takes no file out of other folders, and no scenario.
#[test]
fn a_record_written_by_hand_removes_nothing_else() {
    let folder = tempfile::tempdir().unwrap();
    fs::write(folder.path().join("wren.toml"), plain::WREN).unwrap();
    fs::write(folder.path().join("outside.svg"), "mine").unwrap();
    let out = folder.path().join("out");
    fs::create_dir(&out).unwrap();
    fs::write(out.join("mine.toml"), "mine").unwrap();
    fs::write(out.join(".written"), "predict\nresults.json\n../outside.svg\nmine.toml\nno-such.svg\n").unwrap();
    run(folder.path(), &["predict", "wren.toml", "--out", "out"]);
    assert!(folder.path().join("outside.svg").exists() && out.join("mine.toml").exists());
}
