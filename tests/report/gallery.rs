//! The committed gallery is current by its key figures, its pictures are whole and small, and each is shown somewhere.
//!
//! `notebooks-out/gallery/make` draws all of it anew: it runs this file with `GALLERY=write`.

use std::collections::{BTreeMap, BTreeSet};
use std::fs;
use std::path::{Path, PathBuf};
use std::sync::LazyLock;

use serde::{Deserialize, Serialize};
use serde_json::Value;

use crate::support::program::beatwright;
use crate::support::svg;

/// Largest relative difference of a figure from the committed one.
const TOLERANCE: f64 = 1e-4;

/// Largest picture and largest gallery, bytes.
const LARGEST_PICTURE: u64 = 100_000;
const LARGEST_GALLERY: u64 = 1_000_000;

/// A command, its pictures (name in the gallery, file that the command writes), and the results that tell whether they are current,
/// dotted where they lie deeper.
struct Exhibit {
    command: &'static str,
    pictures: &'static [(&'static str, &'static str)],
    keys: &'static [&'static str],
}

const EXHIBITS: [Exhibit; 9] = [
    Exhibit {
        command: "predict scenarios/heron.toml",
        pictures: &[
            ("heron-amplitude-and-rate-against-weight.svg", "amplitude-and-rate-against-weight.svg"),
            ("heron-energy-flow.svg", "energy-flow.svg"),
            ("heron-escapement.svg", "escapement.svg"),
            ("heron-swing-and-rate-over-twelve-hours.svg", "swing-and-rate-over-twelve-hours.svg"),
            ("heron-swing-over-the-years.svg", "swing-over-the-years.svg"),
        ],
        keys: &[
            "name",
            "verdict",
            "semi_arc_deg",
            "period_s",
            "rate_s_per_day",
            "q_factor",
            "weight_kg",
            "least_weight_kg",
            "least_weight_with_margin_kg",
            "least_start_arc_deg",
            "escaping_arc_deg.0",
            "run_time_days",
            "escape_torque_n_m",
            "action.entry.lock_deg",
            "action.exit.lock_deg",
            "action.entry.drop_deg",
            "energy_per_beat_j.weight",
            "energy_per_beat_j.meshes",
            "energy_per_beat_j.drop_and_impact",
            "energy_per_beat_j.faces",
            "energy_per_beat_j.air",
            "energy_per_beat_j.suspension",
            "energy_per_beat_j.hands",
            "friction_reserve",
            "hands.semi_arc_least_deg",
            "hands.semi_arc_most_deg",
            "life.margin_lasts_years",
            "life.goes_for_years",
        ],
    },
    Exhibit {
        command: "predict scenarios/heron-in-a-case.toml",
        pictures: &[("heron-wall-and-hanging-weight.svg", "wall-and-hanging-weight.svg")],
        keys: &[
            "name",
            "verdict",
            "semi_arc_deg",
            "rate_s_per_day",
            "stiffness_needed_n_per_m",
            "energy_per_beat_j.support",
            "support.rate_shift_s_per_day",
            "support.passes_bob_after_days",
            "support.worst_added_q",
            "support.worst_after_days",
            "support.verdict_there",
        ],
    },
    Exhibit {
        command: "predict scenarios/plover.toml",
        pictures: &[("plover-torque-over-twelve-hours.svg", "torque-over-twelve-hours.svg")],
        keys: &[
            "name",
            "verdict",
            "rate_s_per_day",
            "motor.torque_available_n_m",
            "motor.torque_needed_n_m",
            "motor.torque_reserve",
            "motor.worst_position.minute_hand_deg",
            "motor.worst_position.hour_hand_deg",
            "motor.battery_life_days",
        ],
    },
    Exhibit {
        command: "compare scenarios/heron.toml scenarios/heron-pointed.toml",
        pictures: &[("heron-tooth-tips.svg", "tooth-tips.svg")],
        keys: &[
            "scenarios.0.name",
            "scenarios.0.verdict",
            "scenarios.0.semi_arc_deg",
            "scenarios.0.rate_s_per_day",
            "scenarios.0.least_weight_kg",
            "scenarios.0.weight_ratio",
            "scenarios.0.run_time_days",
            "scenarios.0.action.entry.lock_deg",
            "scenarios.0.action.exit.lock_deg",
            "scenarios.1.name",
            "scenarios.1.verdict",
            "scenarios.1.semi_arc_deg",
            "scenarios.1.rate_s_per_day",
            "scenarios.1.least_weight_kg",
            "scenarios.1.weight_ratio",
            "scenarios.1.run_time_days",
            "scenarios.1.action.entry.lock_deg",
            "scenarios.1.action.exit.lock_deg",
            "as_drawn.0.least_weight_kg",
            "as_drawn.0.action.entry.lock_deg",
            "as_drawn.1.least_weight_kg",
            "as_drawn.1.action.entry.lock_deg",
        ],
    },
    Exhibit {
        command: "family scenarios/heron.toml scenarios/heron-three-quarter.toml scenarios/heron-beech.toml --bed 220x220x250",
        pictures: &[("heron-family.svg", "family.svg")],
        keys: &[
            "members.0.results.name",
            "members.0.results.verdict",
            "members.0.results.rate_s_per_day",
            "members.0.results.least_weight_kg",
            "members.0.results.run_time_days",
            "members.0.beds.0.largest_scale_all",
            "members.0.smallest.scale_all",
            "members.0.smallest_that_locks.scale_all",
            "members.1.results.name",
            "members.1.results.verdict",
            "members.1.results.rate_s_per_day",
            "members.1.results.least_weight_kg",
            "members.1.results.run_time_days",
            "members.1.beds.0.largest_scale_all",
            "members.1.smallest.scale_all",
            "members.1.smallest_that_locks.scale_all",
            "members.2.results.name",
            "members.2.results.verdict",
            "members.2.results.rate_s_per_day",
            "members.2.results.least_weight_kg",
            "members.2.results.run_time_days",
            "members.2.beds.0.largest_scale_all",
            "members.2.smallest.scale_all",
            "members.2.smallest_that_locks.scale_all",
        ],
    },
    Exhibit {
        command: "room scenarios/wren.toml",
        pictures: &[("wren-room.svg", "room.svg")],
        keys: &[
            "name",
            "temperature_c",
            "relative_humidity",
            "points.0.rate_s_per_day",
            "points.0.least_weight_kg",
            "coefficients.0.quantity",
            "coefficients.0.rate_s_per_day",
            "coefficients.1.quantity",
            "coefficients.1.rate_s_per_day",
            "coefficients.2.quantity",
            "coefficients.2.rate_s_per_day",
        ],
    },
    Exhibit {
        command: "season scenarios/heron.toml",
        pictures: &[("heron-season.svg", "season.svg")],
        keys: &[
            "name",
            "days",
            "mean_rate_s_per_day",
            "least_rate_s_per_day",
            "largest_rate_s_per_day",
            "error_at_end_s",
            "worst_week.minutes",
            "worst_week_regulated.minutes",
        ],
    },
    Exhibit {
        command: "papers scenarios/heron.toml",
        pictures: &[("heron-anchor.svg", "anchor.svg")],
        keys: &[
            "name",
            "anchor.values.bore_mm",
            "anchor.values.hub_diameter_mm",
            "anchor.values.arm_width_mm",
            "anchor.values.mass_g",
            "anchor.values.room_about_wheel_mm",
        ],
    },
    Exhibit {
        command: "papers scenarios/wren.toml",
        pictures: &[("wren-drill-plan.svg", "drill-plan.svg")],
        keys: &[
            "name",
            "layout.rows.1.right_mm",
            "layout.rows.1.up_mm",
            "layout.rows.3.right_mm",
            "layout.rows.3.up_mm",
            "layout.rows.4.up_mm",
            "anchor.values.hub_diameter_mm",
        ],
    },
];

/// What figures.json holds: by command, its pictures and figures.
#[derive(Debug, Serialize, Deserialize)]
struct Record {
    made_by: String,
    commands: Vec<Entry>,
}

#[derive(Debug, Serialize, Deserialize)]
struct Entry {
    command: String,
    pictures: Vec<String>,
    figures: BTreeMap<String, Value>,
}

/// The gallery, drawn anew first where that is asked for.
static GALLERY: LazyLock<PathBuf> = LazyLock::new(|| {
    let folder = root().join("notebooks-out/gallery");
    if std::env::var_os("GALLERY").is_some_and(|asked| asked == "write") {
        draw_anew(&folder);
    }
    folder
});

fn root() -> &'static Path {
    Path::new(env!("CARGO_MANIFEST_DIR"))
}

/// What a command tells as JSON; with `out` it also writes its files there.
fn told(command: &str, out: Option<&Path>) -> Value {
    let mut run = beatwright();
    run.args(command.split(' ')).args(["--json", "--quiet"]);
    if let Some(folder) = out {
        run.arg("--out").arg(folder);
    }
    let output = run.output().unwrap();
    assert!(output.status.success(), "{command}: {}", String::from_utf8_lossy(&output.stderr));
    serde_json::from_slice(&output.stdout).unwrap()
}

fn figure<'v>(told: &'v Value, command: &str, key: &str) -> &'v Value {
    let found = told.pointer(&format!("/{}", key.replace('.', "/")));
    found.filter(|value| value.is_number() || value.is_string()).unwrap_or_else(|| panic!("{command} has no {key}"))
}

/// A number to six digits, so that a figure changes in the file only where the clock has.
fn rounded(value: &Value) -> Value {
    match value.as_f64() {
        Some(number) => format!("{number:.5e}").parse::<f64>().unwrap().into(),
        None => value.clone(),
    }
}

fn draw_anew(folder: &Path) {
    for old in fs::read_dir(folder).unwrap().map(|entry| entry.unwrap().path()) {
        if old.extension().is_some_and(|extension| extension == "svg") {
            fs::remove_file(old).unwrap();
        }
    }
    let commands = EXHIBITS
        .iter()
        .map(|exhibit| {
            let written = tempfile::tempdir().unwrap();
            let told = told(exhibit.command, Some(written.path()));
            for (name, file) in exhibit.pictures {
                fs::copy(written.path().join(file), folder.join(name))
                    .unwrap_or_else(|error| panic!("{file}: {error}"));
            }
            Entry {
                command: exhibit.command.to_owned(),
                pictures: exhibit.pictures.iter().map(|(name, _)| (*name).to_owned()).collect(),
                figures: exhibit
                    .keys
                    .iter()
                    .map(|&key| (key.to_owned(), rounded(figure(&told, exhibit.command, key))))
                    .collect(),
            }
        })
        .collect();
    let record = Record { made_by: "notebooks-out/gallery/make".to_owned(), commands };
    fs::write(folder.join("figures.json"), format!("{}\n", serde_json::to_string_pretty(&record).unwrap())).unwrap();
}

fn record() -> Record {
    serde_json::from_slice(&fs::read(GALLERY.join("figures.json")).unwrap()).unwrap()
}

fn near(now: &Value, then: &Value) -> bool {
    match (now.as_f64(), then.as_f64()) {
        (Some(now), Some(then)) => (now - then).abs() <= TOLERANCE * then.abs(),
        _ => now == then,
    }
}

#[test]
fn regress_the_key_figures_behind_every_picture_are_those_of_today() {
    let record = record();
    assert_eq!(record.commands.len(), EXHIBITS.len());
    let mut stale = Vec::new();
    for (exhibit, entry) in EXHIBITS.iter().zip(&record.commands) {
        assert_eq!(entry.command, exhibit.command);
        assert!(entry.pictures.iter().eq(exhibit.pictures.iter().map(|(name, _)| name)), "{}", entry.command);
        let known: BTreeSet<&str> = entry.figures.keys().map(String::as_str).collect();
        assert_eq!(known, exhibit.keys.iter().copied().collect(), "{}", entry.command);
        let told = told(exhibit.command, None);
        for (key, then) in &entry.figures {
            let now = figure(&told, exhibit.command, key);
            if !near(now, then) {
                stale.push(format!("{}: {key} is {now}, in the gallery {then}", entry.command));
            }
        }
    }
    assert!(stale.is_empty(), "run notebooks-out/gallery/make, and look at the pictures:\n{}", stale.join("\n"));
}

#[test]
fn every_picture_is_whole_and_small() {
    let mut whole = 0;
    let pictures = EXHIBITS.iter().flat_map(|exhibit| exhibit.pictures.iter().map(move |(name, _)| (exhibit, name)));
    for (exhibit, name) in pictures {
        let text = fs::read_to_string(GALLERY.join(name)).unwrap_or_else(|error| panic!("{name}: {error}"));
        if exhibit.command.starts_with("papers ") {
            svg::check_sheet(name, &text);
        } else {
            svg::check_well_formed(name, &text);
        }
        svg::check_texts_apart(name, &text);
        assert!((text.len() as u64) < LARGEST_PICTURE, "{name} has {} bytes", text.len());
        whole += text.len() as u64;
    }
    assert!(whole < LARGEST_GALLERY, "{whole} bytes");
}

#[test]
fn nothing_lies_in_the_gallery_unused_and_every_picture_that_is_shown_exists() {
    let listed: BTreeSet<String> =
        EXHIBITS.iter().flat_map(|exhibit| exhibit.pictures).map(|(name, _)| (*name).to_owned()).collect();
    let lying: BTreeSet<String> = fs::read_dir(&*GALLERY)
        .unwrap()
        .map(|entry| entry.unwrap().file_name().into_string().unwrap())
        .filter(|name| !["figures.json", "make"].contains(&name.as_str()))
        .collect();
    assert_eq!(lying, listed);
    let mut shown = BTreeSet::new();
    for (file, before) in [("README.md", "](notebooks-out/gallery/"), ("notebooks-out/README.md", "](gallery/")] {
        let text = fs::read_to_string(root().join(file)).unwrap();
        shown.extend(text.split(before).skip(1).map(|rest| rest.split(')').next().unwrap().to_owned()));
    }
    assert_eq!(shown, listed);
}
