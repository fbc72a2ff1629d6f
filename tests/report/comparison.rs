//! The pictures of a comparison: what they are computed from, their tables, and that they can be read.

use beatwright::report::comparison;
use beatwright::report::csv_table::CsvTable;
use beatwright::scenario::NO_OVERRIDES;
use std::fs;
use std::path::Path;

use beatwright::answers::no_answer::NoAnswer;
use beatwright::answers::prediction::{Prediction, predict};
use beatwright::clock::environment::InRoom;
use beatwright::clock::printing::printer::Spread;
use beatwright::report::figures::{Figure, draw_comparison, names};
use beatwright::report::words::no_answer::missing_in_short;
use beatwright::scenario;
use beatwright::study::bead::{BeadPoint, LeftOut, least_over_bead};
use beatwright::study::comparison::as_drawn;
use beatwright::study::comparison::portrait::{Compared, ComparisonPortrait, comparison_portrait};
use beatwright::study::jobs::Unwatched;

use crate::support::plain;
use crate::support::program::{beatwright, same_on_any_threads};
use crate::support::svg;

const PICTURES: [&str; 3] = ["tooth-tips", "contact-curves", "least-weight-against-bead-radius"];
const TABLES: [&str; 4] = ["tooth-tips", "tooth-tip-sizes", "contact-curves", "least-weight-against-bead-radius"];

fn clock(file: &str, overrides: &[&str]) -> InRoom {
    plain::loaded(file, overrides).in_room()
}

/// Heron with a lock of 1 degree, teeth that taper to a land and a printer as said.
fn heron(tip_width: &str, printer: &str, name: &str) -> InRoom {
    let tooth = format!(
        "escapement.dead_beat.tooth={{ depth = \"10 mm\", tip_width = \"{tip_width}\", undercut = \"10 deg\", wedge = \"16 deg\" }}"
    );
    let (name, printer) = (format!("name=\"{name}\""), format!("printer={{ {printer} }}"));
    clock("heron.toml", &[&name, &tooth, &printer, "escapement.dead_beat.lock=\"1 deg\""])
}

const BEAD: &str = "bead_radius = \"0.2 mm\"";

fn tapered() -> InRoom {
    heron("0.8 mm", BEAD, "Heron, tapered")
}

fn pointed() -> InRoom {
    heron("0 mm", BEAD, "Heron, pointed")
}

fn grown() -> InRoom {
    heron("0.4 mm", &format!("{BEAD}, growth = \"0.05 mm\""), "A < B & C")
}

/// Printed as drawn.
fn plain() -> InRoom {
    heron("0.8 mm", "", "Heron")
}

fn ideal() -> InRoom {
    let text = r#"
name = "Ideal torque"
start_arc = "4 deg"
[place]
gravity = "9.80665 m/s^2"
[pendulum.lumped]
inertia = "1 kg m^2"
mass = "1 kg"
centre_of_mass = "1 m"
stiffness = "0 N m/rad"
damping_linear = "5e-3 N m s"
damping_quadratic = "0 N m s^2"
friction_torque = "0 N m"
[escapement.ideal_torque]
torque = "20 mN m"
before = "1.5 deg"
after = "0.5 deg"
outside = "none"
"#;
    scenario::read("ideal.toml", text, &NO_OVERRIDES).unwrap().in_room()
}

/// Everything drawn of a comparison.
struct Drawn {
    data: ComparisonPortrait,
    beads: Vec<Result<Vec<BeadPoint>, LeftOut>>,
    figures: Vec<Figure>,
    tables: Vec<CsvTable>,
}

fn drawn(designs: &[InRoom]) -> Drawn {
    let predictions: Vec<Prediction> = designs.iter().map(|design| predict(design).unwrap()).collect();
    let as_drawn: Vec<Option<(InRoom, Prediction)>> = designs.iter().map(as_drawn).collect();
    let beads = least_over_bead(&designs.iter().collect::<Vec<_>>(), &Unwatched);
    let named: Vec<(&str, &str)> = designs.iter().map(|design| (design.name.as_str(), "file")).collect();
    let names = names(&named);
    let compared: Vec<Compared<'_>> = (0..designs.len())
        .map(|index| Compared {
            name: &names[index],
            design: &designs[index],
            prediction: &predictions[index],
            as_drawn: as_drawn[index].as_ref().map(|(_, prediction)| prediction),
            beads: &beads[index],
        })
        .collect();
    let data = comparison_portrait(&compared);
    let (figures, tables) = (draw_comparison(&compared, &data), comparison::csv::tables(&compared, &data));
    Drawn { data, beads, figures, tables }
}

fn comparisons() -> Vec<Vec<InRoom>> {
    vec![
        vec![tapered(), pointed()],
        vec![tapered(), pointed(), grown()],
        vec![clock("wren.toml", &[]), plain()],
        vec![ideal(), plain()],
        vec![plain(), plain()],
        vec![tapered(), pointed(), grown(), plain(), clock("wren.toml", &[]), ideal()],
    ]
}

#[test]
fn pictures_are_well_formed_and_their_texts_clear_of_one_another() {
    for designs in comparisons() {
        let drawn = drawn(&designs);
        let found: Vec<&str> = drawn.figures.iter().map(|figure| figure.name).collect();
        assert_eq!(found, PICTURES);
        for figure in &drawn.figures {
            let name = format!("{} of {}", figure.name, designs.len());
            let texts = svg::check_well_formed(&name, &figure.svg);
            svg::check_texts_apart(&name, &figure.svg);
            let axes = texts.iter().filter(|text| text.ends_with("(deg)") || text.ends_with("(kg)")).count();
            let bars = texts.iter().filter(|text| ["0.5 mm", "1 mm"].contains(&text.as_str())).count();
            let wanted = match figure.name {
                "tooth-tips" => (0, 1),
                "contact-curves" => (3, 0),
                _ => (1, 0),
            };
            assert_eq!((axes, bars), wanted, "{name}: {texts:?}");
        }
    }
}

#[test]
fn pictures_of_clocks_without_outlines_are_left_out() {
    let drawn = drawn(&[ideal(), ideal()]);
    assert!(drawn.figures.is_empty() && drawn.tables.is_empty());
    assert_eq!(drawn.beads, [Err(LeftOut::NoOutlines), Err(LeftOut::NoOutlines)]);
}

#[test]
fn a_picture_tells_what_it_leaves_out_and_what_prints_as_drawn() {
    let drawn = drawn(&[ideal(), plain()]);
    for figure in &drawn.figures {
        assert!(figure.svg.contains("Left out: Ideal torque (no outlines"), "{}", figure.name);
    }
    assert!(drawn.figures[0].svg.contains("printed as drawn"));
    assert!(drawn.figures[1].svg.contains("All print exactly as drawn."));
    let tip = drawn.data.tips[1].as_ref().unwrap();
    assert!(tip.printed.is_none() && tip.recedes_m == 0.0 && tip.printed_width_m == tip.drawn_width_m);
    assert!(drawn.data.curves[1].as_ref().unwrap().drawn.is_none());
}

// Closed form: a disc of radius r in a corner of angle a leaves r (1 / sin(a / 2) - 1) of it empty. The outlines are taken
// as chords off by at most 1e-8 m.
#[test]
fn exact_a_pointed_tip_recedes_as_a_disc_in_a_corner_does() {
    let drawn = drawn(&[pointed(), tapered()]);
    let [Some(pointed), Some(tapered)] = &drawn.data.tips[..] else { panic!("no tips") };
    let (bead_m, half_angle) = (0.2e-3, 8.0_f64.to_radians());
    let expected = bead_m * (1.0 / half_angle.sin() - 1.0);
    assert!((pointed.recedes_m - expected).abs() < 1.01e-8, "{} against {expected}", pointed.recedes_m);
    // Faces that lean by undercut, and by undercut and wedge, from the radius through the tip.
    let width = 0.5e-3 * (26.0_f64.to_radians().tan() - 10.0_f64.to_radians().tan());
    assert!((pointed.drawn_width_m - width).abs() < 1e-12, "{} against {width}", pointed.drawn_width_m);
    assert_eq!(pointed.printed_width_m, 0.0);
    // Half a millimetre down the bead touches neither face of the wide tooth.
    assert!((tapered.printed_width_m - tapered.drawn_width_m).abs() < 1e-12);
}

#[test]
fn a_grown_tooth_is_wider_and_one_that_stands_out_says_so() {
    let grown = heron("0.8 mm", "growth = \"0.1 mm\"", "Heron");
    let drawn = drawn(&[grown, plain()]);
    let tip = drawn.data.tips[0].as_ref().unwrap();
    // The faces lean by 10 and 26 degrees and move outward by a tenth of a millimetre along their normals.
    let wider = 0.1e-3 * (1.0 / 10.0_f64.to_radians().cos() + 1.0 / 26.0_f64.to_radians().cos());
    assert!((tip.printed_width_m - tip.drawn_width_m - wider).abs() < 1e-10);
    // The corner becomes an arc of the growth's radius about the drawn tip.
    assert!((tip.recedes_m + 0.1e-3).abs() < 1.01e-8, "{}", tip.recedes_m);
    assert!(drawn.figures[0].svg.contains("stands out 0.10 mm"));
    assert!(drawn.figures[0].svg.contains("0.21 mm wider"));
}

#[test]
fn contact_curves_are_zero_where_a_tooth_falls_and_printing_moves_them() {
    let drawn = drawn(&[tapered(), clock("wren.toml", &[])]);
    let curves = drawn.data.curves[0].as_ref().unwrap();
    let as_drawn = curves.drawn.as_ref().expect("the printer changes the curves");
    for (pallet, printed) in curves.printed.iter() {
        let landing = curves.landing_rad[pallet];
        let nearest = printed.iter().min_by(|a, b| (a.0 - landing).abs().total_cmp(&(b.0 - landing).abs())).unwrap();
        // A dead-beat: still as far as the lock goes.
        assert!(nearest.1.abs() < 1e-9, "{nearest:?}");
        assert!(printed.windows(2).all(|pair| pair[0].0 < pair[1].0));
        assert_ne!(printed, &as_drawn[pallet]);
    }
    assert!(drawn.data.curves[1].as_ref().unwrap().drawn.is_none());
}

fn with_bead(design: &InRoom, bead_radius_m: f64) -> InRoom {
    let mut other = design.clone();
    other.printer.bead_radius = Spread { value: bead_radius_m, ..other.printer.bead_radius };
    other
}

#[test]
fn every_point_of_the_bead_sweep_is_what_a_single_prediction_gives() {
    for design in [
        pointed(),
        clock(
            "wren.toml",
            &["printer.bead_radius=\"0.15 mm\"", "printer.growth=\"0.02 mm\"", "train.backlash=\"0.2 mm\""],
        ),
    ] {
        let sweep = least_over_bead(&[&design], &Unwatched).remove(0).unwrap();
        assert!(sweep.iter().any(|point| point.bead_radius_m == design.printer.bead_radius.value));
        assert!(sweep.windows(2).all(|pair| pair[0].bead_radius_m < pair[1].bead_radius_m));
        for point in &sweep {
            match (&point.least_kg, predict(&with_bead(&design, point.bead_radius_m))) {
                (Ok(weight), Ok(prediction)) => assert_eq!(Some(*weight), prediction.least.unwrap().bare.kg()),
                (Err(NoAnswer::NeverGoes), Ok(prediction)) => assert!(prediction.least.is_none()),
                (Err(NoAnswer::Build(error)), Err(other)) => assert_eq!(error.to_string(), other.to_string()),
                (sweep, single) => panic!("{sweep:?} against {single:?}"),
            }
        }
    }
}

#[test]
fn a_bead_radius_without_an_answer_is_a_row_with_its_reason() {
    let sweep = least_over_bead(&[&pointed()], &Unwatched).remove(0).unwrap();
    let failing: Vec<&NoAnswer> = sweep.iter().filter_map(|point| point.least_kg.as_ref().err()).collect();
    assert!(!failing.is_empty());
    assert!(failing.iter().all(|reason| missing_in_short(reason) == "no tooth lands on the entry pallet"));
    let last = sweep.iter().rposition(|point| point.least_kg.is_ok()).unwrap();
    let step = sweep[last + 1].bead_radius_m - sweep[last].bead_radius_m;
    assert!(step < 0.011e-3, "the end is told to {step} m only");

    // A bead wider than any part: nothing is left, and the sweep goes on.
    let coarse = with_bead(&plain(), 8e-3);
    let sweep = least_over_bead(&[&coarse], &Unwatched).remove(0).unwrap();
    let last = sweep.last().unwrap().least_kg.as_ref().unwrap_err();
    assert_eq!(missing_in_short(last), "nothing is left of the tooth");
    assert!(sweep[0].least_kg.is_ok());
}

#[test]
fn a_tooth_that_no_longer_falls_on_its_lock_is_told_apart() {
    let sweep = least_over_bead(&[&pointed()], &Unwatched).remove(0).unwrap();
    assert!(sweep[0].keeps_lock);
    for point in sweep.iter().filter(|point| point.least_kg.is_ok()) {
        let action = predict(&with_bead(&pointed(), point.bead_radius_m)).unwrap().action().unwrap();
        assert_eq!(point.keeps_lock, action.entry.lock_rad > 0.0 && action.exit.lock_rad > 0.0);
    }
    assert!(sweep.iter().any(|point| point.least_kg.is_ok() && !point.keeps_lock));
    // A recoil anchor has no lock to lose.
    let recoil = least_over_bead(&[&clock("wren.toml", &[])], &Unwatched).remove(0).unwrap();
    assert!(recoil.iter().filter(|point| point.least_kg.is_ok()).all(|point| point.keeps_lock));
}

#[test]
fn pictures_and_tables_are_the_same_bytes_on_any_number_of_threads() {
    same_on_any_threads(|| {
        let drawn = drawn(&[tapered(), pointed()]);
        (drawn.figures, drawn.tables)
    });
}

#[test]
fn tables_have_units_in_their_columns_and_a_row_for_every_point() {
    let drawn = drawn(&[tapered(), pointed(), ideal()]);
    let found: Vec<&str> = drawn.tables.iter().map(|table| table.name).collect();
    assert_eq!(found, TABLES);
    let words = ["scenario", "outline", "pallet", "lock", "reason"];
    let mut rows = Vec::new();
    for table in &drawn.tables {
        let mut reader = csv::Reader::from_reader(table.text.as_bytes());
        let columns = reader.headers().unwrap().clone();
        let mut count = 0;
        for row in reader.records() {
            for (column, cell) in columns.iter().zip(&row.unwrap()) {
                let unit = ["_mm", "_deg", "_kg"].iter().any(|unit| column.ends_with(unit));
                assert!(unit != words.contains(&column), "{}: {column}", table.name);
                assert!(!unit || cell.is_empty() || cell.parse::<f64>().is_ok_and(f64::is_finite), "{column}: {cell}");
            }
            count += 1;
        }
        rows.push(count);
    }
    let points: Vec<&BeadPoint> = drawn.beads.iter().flatten().flatten().collect();
    assert_eq!(rows[1], 2);
    assert_eq!(rows[3], points.len());
    let mut reader = csv::Reader::from_reader(drawn.tables[3].text.as_bytes());
    for (row, point) in reader.records().map(Result::unwrap).zip(points) {
        assert_eq!(row[1].parse::<f64>().unwrap(), point.bead_radius_m * 1e3);
        assert_eq!(row[2].parse::<f64>().ok(), point.least_kg.as_ref().ok().copied());
        assert_eq!(row[4].is_empty(), point.least_kg.is_ok());
    }
}

#[test]
fn names_tell_scenarios_apart() {
    assert_eq!(names(&[("Heron", "a"), ("Wren", "b")]), ["Heron", "Wren"]);
    assert_eq!(names(&[("Heron", "a"), ("Heron", "b")]), ["a", "b"]);
    assert_eq!(names(&[("Heron", "a"), ("Heron", "a")]), ["1 Heron", "2 Heron"]);
    assert_eq!(names(&[("", "a"), ("Heron", "b")]), ["a", "b"]);
    let long = names(&[("a name that goes on and on, coarse", "a"), ("a name that goes on and on, fine", "b")]);
    assert!(long[0] != long[1] && long.iter().all(|name| name.chars().count() == 24), "{long:?}");
}

#[test]
fn compare_writes_its_pictures_beside_the_results() {
    let folder = tempfile::tempdir().unwrap();
    let out = folder.path().join("out");
    let files = [plain::path("heron.toml"), plain::path("wren.toml")];
    let run = |more: &[&str]| {
        let mut command = beatwright();
        command
            .current_dir(folder.path())
            .arg("compare")
            .args(&files)
            .args(more)
            .assert()
            .success()
            .get_output()
            .clone()
    };
    let output = run(&["--json", "--out", "out"]);
    let json: serde_json::Value = serde_json::from_slice(&output.stdout).expect("nothing but JSON");
    assert_eq!(json["scenarios"].as_array().unwrap().len(), 2);
    assert!(output.stderr.is_empty());
    let mut expected: Vec<String> = PICTURES.iter().map(|name| format!("{name}.svg")).collect();
    expected.extend(TABLES.iter().map(|name| format!("{name}.csv")));
    expected.push("comparison.json".to_owned());
    expected.sort();
    let listed = |folder: &Path| {
        let mut names: Vec<String> =
            fs::read_dir(folder).unwrap().map(|entry| entry.unwrap().file_name().into_string().unwrap()).collect();
        names.retain(|name| !name.starts_with('.'));
        names.sort();
        names
    };
    assert_eq!(listed(&out), expected);
    run(&["--quiet"]);
    assert_eq!(listed(&folder.path().join("notebooks-out/heron-wren-compare")), expected);
}

/// The pointed teeth miss the lock that the uniform ones keep; the lesser weight leaves both below the margin asked.
#[test]
fn a_comparison_names_clocks_that_miss_their_lock_or_their_margin() {
    let output = |settings: &[&str]| {
        let mut compare = beatwright();
        compare
            .args(["compare", "tests/support/plain/heron.toml", "tests/support/plain/heron-pointed.toml", "--quiet"])
            .args(settings);
        compare.arg("--out").arg(tempfile::tempdir().unwrap().path());
        String::from_utf8(compare.output().unwrap().stdout).unwrap()
    };
    let light = output(&["--set", "drive.weight=2 kg"]);
    assert!(
        light
            .contains("Heron, pointed misses its lock: a tooth lands on the impulse face of the entry and exit pallet")
    );
    assert!(!light.contains("Heron misses its lock"), "{light}");
    assert_eq!(light.matches("keeps going, below the margin asked").count(), 2, "{light}");
    let json: serde_json::Value = serde_json::from_str(&output(&["--json"])).unwrap();
    let of = |key: &str| [0, 1].map(|number: usize| json["scenarios"][number][key].clone());
    assert_eq!(of("meets_margin"), [serde_json::json!(true), serde_json::json!(false)]);
    assert_eq!(of("misses_lock"), [serde_json::json!([]), serde_json::json!(["entry", "exit"])]);
    assert!(of("friction_reserve").iter().all(|reserve| reserve.as_f64().unwrap() > 1.0));
}
