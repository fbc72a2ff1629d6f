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
