//! Drawings: what is written reads back, files of another program read, and a bad file is told by its line.

use std::fmt::Write as _;
use std::path::{Path, PathBuf};
use std::time::{Duration, Instant};

use beatwright::clock::build::build;
use beatwright::clock::design::EscapementDesign;
use beatwright::clock::escapement::{EscapementOutlines, dead_beat, wheel_rim};
use beatwright::geometry::{Outline, Point, Vertex, arc_centre};
use beatwright::report::drawing::{dxf_text, escapement_layers, svg_text};
use beatwright::scenario::drawing::{DrawingRequest, DrawingUnit, DrawnOutline, outlines_by_layer};
use beatwright::scenario::{LoadError, NO_OVERRIDES, load, read};
use proptest::prelude::*;

use crate::support::plain::HERON;
use crate::support::shapes::{blob, family_outlines};

fn data(name: &str) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/data/drawing").join(name)
}

fn layers_of(text: &str, layers: &[&str], unit: Option<DrawingUnit>) -> Result<Vec<Vec<DrawnOutline>>, String> {
    outlines_by_layer(text.as_bytes(), &DrawingRequest { layers, join_m: 1e-5, unit })
        .map_err(|problems| problems.to_string())
}

/// Largest distance of vertices and difference of bulges, the start of `b` turned to the vertex nearest to that of `a`.
fn difference(a: &Outline, b: &Outline) -> (f64, f64) {
    let (a, b) = (a.vertices(), b.vertices());
    assert_eq!(a.len(), b.len());
    let apart = |shift: usize| (b[shift].at - a[0].at).norm();
    let shift = (0..b.len()).min_by(|&i, &j| apart(i).total_cmp(&apart(j))).unwrap();
    a.iter().enumerate().fold((0.0, 0.0), |(place, bend): (f64, f64), (index, vertex)| {
        let other = b[(index + shift) % b.len()];
        (place.max((vertex.at - other.at).norm()), bend.max((vertex.bulge - other.bulge).abs()))
    })
}

fn assert_same(a: &Outline, b: &Outline) {
    let (place, bend) = difference(a, b);
    assert!(place < 1e-9 && bend < 1e-12, "{place:e} m, {bend:e}");
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(200))]

    #[test]
    fn what_is_written_reads_back(
        first in blob(Point::new(0.03, -0.02), 0.02),
        second in blob(Point::new(-0.5, 1.3), 3e-3),
    ) {
        let text = dxf_text(&[("ONE", &first), ("two", &second)]);
        let found = layers_of(&text, &["TWO", "one"], None).unwrap();
        prop_assert_eq!((found[0].len(), found[1].len()), (1, 1));
        assert_same(&found[0][0].outline, &second);
        assert_same(&found[1][0].outline, &first);
    }

    #[test]
    fn a_whole_escapement_reads_back(outlines in family_outlines()) {
        let layers = escapement_layers(&outlines, None);
        let drawn: Vec<(&str, &Outline)> = layers.iter().map(|(layer, outline)| (layer.as_str(), outline)).collect();
        let found = layers_of(&dxf_text(&drawn), &["TOOTH", "ENTRY", "EXIT", "ARBORS", "WHEEL"], None).unwrap();
        for (place, outline) in [&outlines.tooth, &outlines.pallets.entry, &outlines.pallets.exit].into_iter().enumerate() {
            prop_assert_eq!(found[place].len(), 1);
            assert_same(&found[place][0].outline, outline);
        }
        prop_assert_eq!(found[3].len(), 2);
        prop_assert_eq!(found[4].len(), 1);
        assert_same(&found[4][0].outline, &wheel_rim(&outlines).unwrap().contour);
    }

    #[test]
    fn no_change_of_a_file_makes_the_reading_panic(
        changes in prop::collection::vec((any::<prop::sample::Index>(), any::<u8>()), 1..6),
        cut in any::<prop::sample::Index>(),
        whole in any::<bool>(),
    ) {
        let mut bytes = std::fs::read(data("ezdxf-1.4.5-R12.dxf")).unwrap();
        for (at, byte) in changes {
            let at = at.index(bytes.len());
            bytes[at] = byte;
        }
        if !whole {
            bytes.truncate(cut.index(bytes.len()));
        }
        let unit = Some(DrawingUnit::Millimetre);
        let request = DrawingRequest { layers: &["TOOTH", "ENTRY", "EXIT"], join_m: 1e-5, unit };
        if let Ok(found) = outlines_by_layer(&bytes, &request) {
            prop_assert!(found.iter().all(|layer| !layer.is_empty()));
        }
    }
}

/// Lines and arcs drawn with ezdxf 1.4.5: a tooth of three lines and an arc in no order, a pallet as a polyline with bulges, a
/// circle.
#[test]
fn crosscheck_files_of_another_library_read() {
    let corner = |x: f64, y: f64, bulge: f64| Vertex { at: Point::new(1e-3 * x, 1e-3 * y), bulge };
    let tooth = Outline::new(vec![
        corner(-4.0, 50.0, 0.0),
        corner(4.0, 50.0, 0.0),
        corner(1.0, 60.0, 1.0),
        corner(-1.0, 60.0, 0.0),
    ]);
    let entry = Outline::new(vec![
        corner(-40.0, 70.0, 0.25),
        corner(-30.0, 70.0, 0.0),
        corner(-30.0, 80.0, -0.1),
        corner(-40.0, 80.0, 0.0),
    ]);
    let (tooth, entry) = (tooth.unwrap(), entry.unwrap());
    // The older release has no unit in its header.
    for (file, unit) in [("ezdxf-1.4.5-R2010.dxf", None), ("ezdxf-1.4.5-R12.dxf", Some(DrawingUnit::Millimetre))] {
        let text = std::fs::read_to_string(data(file)).unwrap();
        let found =
            layers_of(&text, &["tooth", "Entry", "EXIT"], unit).unwrap_or_else(|error| panic!("{file}: {error}"));
        assert!(found.iter().all(|layer| layer.len() == 1), "{file}");
        assert_same(&found[0][0].outline, &tooth);
        assert_same(&found[1][0].outline, &entry);
        let circle = &found[2][0].outline;
        let area = std::f64::consts::PI * 16e-6;
        assert!((circle.signed_area_m2() - area).abs() < 1e-12 * area, "{file}");
    }
}

/// Values of ezdxf.math.bulge_to_arc, version inside the file.
#[test]
fn crosscheck_bulges_against_another_library() {
    let file: serde_json::Value = serde_json::from_str(&std::fs::read_to_string(data("bulges.json")).unwrap()).unwrap();
    assert_eq!((file["producer"].as_str(), file["version"].as_str()), (Some("ezdxf"), Some("1.4.5")));
    let arcs = file["arcs"].as_array().unwrap();
    assert_eq!(arcs.len(), 40);
    for arc in arcs {
        let number = |value: &serde_json::Value| value.as_f64().unwrap();
        let point = |key: &str| Point::new(number(&arc[key][0]), number(&arc[key][1]));
        let (from, to, bulge) = (point("start"), point("end"), number(&arc["bulge"]));
        let radius = number(&arc["radius"]);
        let centre = arc_centre(from, to, bulge);
        // Distances of centre and ends enter, so that the scale is the largest of them.
        let scale = radius.max(from.norm()).max(to.norm());
        assert!((centre - point("centre")).norm() < 1e-12 * scale, "{arc}");
        assert!(((from - centre).norm() - radius).abs() < 1e-12 * scale, "{arc}");
        // Their angles run anticlockwise, so they begin at our end where the bulge is negative.
        let (first, last) = if bulge > 0.0 { (from, to) } else { (to, from) };
        for (angle, end) in [(number(&arc["start_angle_rad"]), first), (number(&arc["end_angle_rad"]), last)] {
            let on_arc = centre + radius * Point::new(angle.cos(), angle.sin());
            assert!((on_arc - end).norm() < 1e-11 * scale, "{arc}");
        }
    }
}

fn heron() -> EscapementOutlines {
    let scenario = read("heron.toml", HERON, &NO_OVERRIDES).unwrap();
    let EscapementDesign::DeadBeat(family) = &scenario.design.escapement else { panic!("no dead-beat") };
    dead_beat(family).unwrap()
}

/// Heron with its escapement taken from a drawing of the layers TOOTH, ENTRY and EXIT.
fn scenario_with(drawing: &str, centre_distance_m: f64) -> String {
    let (before, _) = HERON.split_once("[escapement.dead_beat]").unwrap();
    format!(
        "{before}[escapement.outline]\nteeth = 30\ncentre_distance = \"{} mm\"\nfriction = 0.2\ndrawing = {{ {drawing} }}\n",
        1e3 * centre_distance_m
    )
}

const LAYERS: &str = "file = \"wheel.dxf\", tooth = \"TOOTH\", entry = \"ENTRY\", exit = \"EXIT\"";

#[test]
fn exact_a_scenario_takes_its_outlines_from_a_drawing() {
    let outlines = heron();
    let folder = tempfile::tempdir().unwrap();
    let layers = escapement_layers(&outlines, None);
    let drawn: Vec<(&str, &Outline)> = layers.iter().map(|(layer, outline)| (layer.as_str(), outline)).collect();
    std::fs::write(folder.path().join("wheel.dxf"), dxf_text(&drawn)).unwrap();
    let file = folder.path().join("clock.toml");
    std::fs::write(&file, scenario_with(LAYERS, outlines.centre_distance_m)).unwrap();
    let scenario = load(&file, &NO_OVERRIDES).unwrap_or_else(|error| panic!("{error}"));
    let EscapementDesign::Outline(given) = &scenario.design.escapement else { panic!("no outline") };
    assert_same(&given.tooth, &outlines.tooth);
    assert_same(&given.pallets.entry, &outlines.pallets.entry);
    assert_same(&given.pallets.exit, &outlines.pallets.exit);
    build(&scenario.in_room()).unwrap();
    // Overrides read the drawing again, from the same folder; the drawing is part of the fingerprint.
    let again = scenario.with_overrides(&NO_OVERRIDES).unwrap();
    assert_eq!(again.hash, scenario.hash);
    let moved = drawn.iter().map(|&(layer, outline)| (layer, outline.turned_about(Point::zeros(), 1e-6)));
    let moved: Vec<(&str, Outline)> = moved.collect();
    let moved: Vec<(&str, &Outline)> = moved.iter().map(|(layer, outline)| (*layer, outline)).collect();
    std::fs::write(folder.path().join("wheel.dxf"), dxf_text(&moved)).unwrap();
    assert_ne!(load(&file, &NO_OVERRIDES).unwrap().hash, scenario.hash);
}

#[test]
fn svg_arcs_bend_as_the_outline_does() {
    let corner = |x: f64, y: f64, bulge: f64| Vertex { at: Point::new(1e-3 * x, 1e-3 * y), bulge };
    // Three quarters of a disc of 10 mm: an arc of 270 degrees anticlockwise and two lines.
    let bulge = (3.0 * std::f64::consts::PI / 8.0).tan();
    let outline = Outline::new(vec![corner(10.0, 0.0, bulge), corner(0.0, -10.0, 0.0), corner(0.0, 0.0, 0.0)]).unwrap();
    let svg = svg_text(&[("A B", &outline)]);
    assert!(svg.contains("width=\"24mm\" height=\"24mm\" viewBox=\"-12 -12 24 24\""), "{svg}");
    assert!(svg.contains("<g id=\"A_B\""), "{svg}");
    assert!(svg.contains("d=\"M10 0 A10 10 0 1 0 0 10 L0 0 L10 0Z\""), "{svg}");
}

/// A drawing of the entities given, with the unit's code.
fn drawing(unit: &str, entities: &str) -> String {
    format!(
        "0\nSECTION\n2\nHEADER\n9\n$INSUNITS\n70\n{unit}\n0\nENDSEC\n0\nSECTION\n2\nENTITIES\n{entities}0\nENDSEC\n0\nEOF\n"
    )
}

fn line(layer: &str, from: (&str, &str), to: (&str, &str)) -> String {
    format!("0\nLINE\n8\n{layer}\n10\n{}\n20\n{}\n11\n{}\n21\n{}\n", from.0, from.1, to.0, to.1)
}

fn polyline(layer: &str, corners: &[(f64, f64)]) -> String {
    let mut text = format!("0\nLWPOLYLINE\n8\n{layer}\n90\n{}\n70\n1\n", corners.len());
    for (x, y) in corners {
        let _ = write!(text, "10\n{x}\n20\n{y}\n");
    }
    text
}

const TOOTH: [(f64, f64); 3] = [(-3.0, 50.0), (3.0, 50.0), (0.0, 60.0)];

fn pallets() -> String {
    polyline("ENTRY", &[(-40.0, 40.0), (-30.0, 40.0), (-30.0, 60.0)])
        + &polyline("EXIT", &[(40.0, 40.0), (30.0, 60.0), (30.0, 40.0)])
}

/// What the command line tells of a clock whose drawing is `text`.
fn told(text: &str, keys: &str) -> String {
    let folder = tempfile::tempdir().unwrap();
    std::fs::write(folder.path().join("wheel.dxf"), text).unwrap();
    let file = folder.path().join("clock.toml");
    std::fs::write(&file, scenario_with(keys, 0.085)).unwrap();
    let Err(LoadError::Problems(problems)) = load(&file, &NO_OVERRIDES) else { panic!("no problem") };
    let mut told = String::new();
    for problem in problems.list() {
        let _ = writeln!(told, "{}: {}\n  help: {}", problem.code, problem.message, problem.help);
    }
    told
}

fn told_of(entities: &str) -> String {
    told(&drawing("4", &(entities.to_owned() + &pallets())), LAYERS)
}

#[test]
fn a_good_drawing_of_this_kind_has_no_problem() {
    let text = drawing("4", &(polyline("TOOTH", &TOOTH) + &pallets()));
    layers_of(&text, &["TOOTH", "ENTRY", "EXIT"], None).unwrap();
}

#[test]
fn tells_a_gap() {
    let chain = line("TOOTH", ("-3", "50"), ("3", "50"))
        + &line("TOOTH", ("0", "60"), ("3", "50.004"))
        + &line("TOOTH", ("-3", "50"), ("0.3", "60.4"));
    insta::assert_snapshot!(told_of(&chain));
}

#[test]
fn tells_a_branch_and_what_is_drawn_twice() {
    let base = line("TOOTH", ("-3", "50"), ("3", "50"));
    let chain = line("TOOTH", ("3", "50"), ("0", "60")) + &line("TOOTH", ("0", "60"), ("-3", "50"));
    insta::assert_snapshot!(
        told_of(&(base.clone() + &chain + &line("TOOTH", ("0", "60"), ("0", "70"))))
            + &told_of(&(base.repeat(2) + &chain))
    );
}

#[test]
fn tells_a_self_crossing() {
    let corners = [(-3.0, 50.0), (3.0, 60.0), (3.0, 50.0), (-3.0, 62.0)];
    insta::assert_snapshot!(told_of(&polyline("TOOTH", &corners)));
    let chain = line("TOOTH", ("-3", "50"), ("3", "60"))
        + &line("TOOTH", ("3", "50"), ("3", "60"))
        + &line("TOOTH", ("3", "50"), ("-3", "62"))
        + &line("TOOTH", ("-3", "50"), ("-3", "62"));
    insta::assert_snapshot!(told_of(&chain));
}

#[test]
fn tells_what_is_no_line_or_arc() {
    let spline = "0\nSPLINE\n8\nTOOTH\n70\n8\n0\nTEXT\n8\nOTHER\n1\nfree\n0\nINSERT\n8\nTOOTH\n2\nblock\n";
    let mesh = "0\nPOLYLINE\n8\nTOOTH\n66\n1\n70\n8\n0\nVERTEX\n8\nTOOTH\n10\n0\n20\n0\n0\nSEQEND\n";
    insta::assert_snapshot!(told_of(&(polyline("TOOTH", &TOOTH) + spline + mesh)));
}

#[test]
fn tells_numbers_that_are_none() {
    let bad = line("TOOTH", ("nan", "50"), ("3", "50"))
        + &line("TOOTH", ("3", "50"), ("1e400", "60"))
        + &line("TOOTH", ("3", "-1.#IND"), ("0", "60"))
        + "0\nARC\n8\nTOOTH\n10\n0\n20\n0\n40\n-inf\n50\n0\n51\n90\n0\nCIRCLE\n8\nTOOTH\n10\n0\n20\n0\n";
    insta::assert_snapshot!(told_of(&bad));
}

#[test]
fn tells_wrong_units() {
    let entities = polyline("TOOTH", &TOOTH) + &pallets();
    let mut all = String::new();
    for (unit, keys) in [("1", LAYERS), ("6", LAYERS), ("0", LAYERS), ("3", LAYERS), ("x", LAYERS)] {
        let _ = writeln!(all, "$INSUNITS {unit}\n{}", told(&drawing(unit, &entities), keys));
    }
    let keys = format!("{LAYERS}, unit = \"in\"");
    let _ = writeln!(all, "$INSUNITS 4, unit in\n{}", told(&drawing("4", &entities), &keys));
    insta::assert_snapshot!(all);
    // Where the header states none, the scenario may.
    let text = drawing("0", &entities);
    layers_of(&text, &["TOOTH"], Some(DrawingUnit::Millimetre)).unwrap();
}

#[test]
fn tells_entities_without_length() {
    let bad = line("TOOTH", ("3", "50"), ("3", "50"))
        + &polyline("TOOTH", &[(1.0, 1.0), (1.0, 1.0)])
        + "0\nARC\n8\nTOOTH\n10\n0\n20\n0\n40\n1\n50\n30\n51\n30\n0\nCIRCLE\n8\nTOOTH\n10\n0\n20\n0\n40\n0\n";
    insta::assert_snapshot!(told_of(&bad));
}

#[test]
fn edges_shorter_than_the_tolerance_are_left_out() {
    let mut corners = TOOTH.to_vec();
    corners.insert(1, (3.0, 50.0));
    corners.insert(3, (0.004, 60.0));
    let text = drawing("4", &polyline("TOOTH", &corners));
    let found = layers_of(&text, &["TOOTH"], None).unwrap();
    assert_eq!(found[0][0].outline.vertices().len(), 3);
}

#[test]
fn tells_a_missing_layer_and_chains_too_many() {
    let second = polyline("TOOTH", &[(10.0, 50.0), (13.0, 50.0), (12.0, 60.0)]);
    let text = drawing("4", &(polyline("TOOTH", &TOOTH) + &second + &pallets()));
    let keys = "file = \"wheel.dxf\", tooth = \"TOTH\", entry = \"Pallet in\", exit = \"exit\"";
    let same = "file = \"wheel.dxf\", tooth = \"TOOTH\", entry = \"EXIT\", exit = \"exit\"";
    insta::assert_snapshot!(told(&text, keys) + &told(&text, LAYERS) + &told(&text, same));
}

#[test]
fn tells_what_is_no_drawing() {
    let whole = drawing("4", &(polyline("TOOTH", &TOOTH) + &pallets()));
    let mut all = String::new();
    for text in ["", "hello\n", "1\nhello\n", "AutoCAD Binary DXF\r\n\u{1a}\u{0}", &whole[..whole.len() / 2]] {
        all.push_str(&told(text, LAYERS));
    }
    all.push_str(&told(&whole, &LAYERS.replace("wheel", "spokes")));
    all.push_str(&told(&whole, &LAYERS.replace("wheel.dxf", ".")));
    all.push_str(&told(&whole, &format!("{LAYERS}, joint = \"1 m\", join = \"1 m\"")));
    insta::assert_snapshot!(all);
    let Err(LoadError::Problems(problems)) = read("clock.toml", &scenario_with(LAYERS, 0.085), &NO_OVERRIDES) else {
        panic!("a text names a file")
    };
    insta::assert_snapshot!(problems.render(false));
}

/// A million entities, on the layer or on another; and many entities that join badly.
#[test]
fn crowded_drawings_do_not_hang() {
    let quickly = |text: &str, expected: &str| {
        let start = Instant::now();
        let outcome = match layers_of(text, &["A"], None) {
            Ok(found) => format!("{} outlines", found[0].len()),
            Err(told) => told,
        };
        assert!(start.elapsed() < Duration::from_secs(5), "{expected}: {:?}", start.elapsed());
        assert!(outcome.contains(expected), "{outcome}");
    };
    let million = "0\nLINE\n8\nA\n10\n1\n20\n1\n11\n2\n21\n2\n".repeat(1_000_000);
    quickly(&drawing("4", &million), "more than 200000 lines");
    let elsewhere = million.replace("\nA\n", "\nB\n") + &polyline("A", &TOOTH);
    quickly(&drawing("4", &elsewhere), "1 outlines");
    let apart: String = (0..150_000).map(|k| line("A", (&k.to_string(), "0"), (&format!("{k}.5"), "1"))).collect();
    quickly(&drawing("6", &apart), "no clock is that large");
    quickly(&drawing("4", &apart.replace(".5", "")), "no clock is that large");
    let comb: String = (0..9000).map(|k| line("A", (&k.to_string(), "0"), (&format!("{k}.5"), "1"))).collect();
    quickly(&drawing("4", &comb), "18000 open ends");
    let star: String = (0..150_000)
        .map(|k| line("A", ("0", "0"), (&format!("{}", 1 + k % 400), &format!("{}", 1 + k / 400))))
        .collect();
    quickly(&drawing("4", &star), "ends meet at (0, 0) mm");
    let chain: String = (0..100_000)
        .map(|k| line("A", (&format!("{}e-1", k), "0"), (&format!("{}e-1", k + 1), "0")))
        .collect::<String>()
        + &line("A", ("1e4", "0"), ("0", "9"))
        + &line("A", ("0", "0"), ("0", "9"));
    quickly(&drawing("4", &chain), "has 100002 lines and arcs");
    quickly(&drawing("4", &"0\nSPLINE\n8\nA\n".repeat(1_000_000)), "SPLINE");
    quickly(
        &drawing("4", &format!("0\nLWPOLYLINE\n8\nA\n{}", "10\n1\n20\n2\n10\n3\n20\n5\n".repeat(500_000))),
        "more than 200000",
    );
}
