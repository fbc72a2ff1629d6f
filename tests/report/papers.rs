//! Papers to build from: places by hand, what is in the way, sheets at full size, the anchor in one piece, swings over friction, inches.

use std::collections::BTreeMap;

use beatwright::answers::bench::BenchChecks;
use beatwright::answers::prediction::{Prediction, predict};
use beatwright::answers::regulation::regulation;
use beatwright::clock::escapement::anchor::{AnchorError, PalletAnchor, anchor, least_arm_m};
use beatwright::clock::escapement::drawn_outlines;
use beatwright::clock::side::Side;
use beatwright::clock::train::neighbours::{
    Meeting, MovementLayout, Neighbours, StandingPart, movement_layout, pallet_arbor_m,
};
use beatwright::geometry::{Outline, Point};
use beatwright::report::drawing::{dxf_of, svg_of};
use beatwright::report::papers::csv::csv_tables;
use beatwright::report::papers::sheets::{SCALE_BAR, anchor_sheet, drill_plan};
use beatwright::report::papers::units::{PaperUnits, diametral_pitch, inches};
use beatwright::report::papers::{PapersView, tables};
use beatwright::report::prediction;
use beatwright::report::regulation::json::RegulationRecord;
use beatwright::scenario::{NO_OVERRIDES, Scenario, read};
use beatwright::study::papers::{Papers, papers};
use beatwright::study::prepare::prepared;
use beatwright::units::Kind;

use crate::support::polygons::inside;
use crate::support::program::{output, run};
use crate::support::{demo, plain};

fn layout_of(overrides: &[&str]) -> MovementLayout {
    let scenario = demo::loaded("heron.toml", overrides);
    let drawn = drawn_outlines(&scenario.design.escapement).unwrap();
    movement_layout(&scenario.in_room(), drawn.as_ref()).unwrap()
}

/// A clock with all that its papers are made from.
pub(crate) struct Told {
    pub(crate) scenario: Scenario,
    pub(crate) prediction: Prediction,
    pub(crate) papers: Papers,
}

impl Told {
    pub(crate) fn of(scenario: Scenario) -> Self {
        let scenario = prepared(scenario).unwrap_or_else(|error| panic!("{error}"));
        let in_room = scenario.in_room();
        let prediction = predict(&in_room).unwrap();
        let papers = papers(&scenario.design, &in_room, &prediction);
        Self { scenario, prediction, papers }
    }

    pub(crate) fn with<T>(&self, ask: impl FnOnce(&PapersView<'_>) -> T) -> T {
        let in_room = self.scenario.in_room();
        ask(&PapersView {
            design: &self.scenario.design,
            in_room: &in_room,
            prediction: &self.prediction,
            results: &prediction::json::record(&in_room, &self.prediction),
            regulation: &RegulationRecord::of(&regulation(&in_room, &self.prediction)),
            papers: &self.papers,
        })
    }
}

fn near(value: f64, expected: f64) {
    assert!((value - expected).abs() < 1e-12, "{value} is not {expected}");
}

/// By hand: 2 mm (78 + 12)/2 = 90 mm to the right, 1.25 mm (96 + 12)/2 = 67.5 mm up; centre distance by ISO 21771, `a = m (z1 + z2)/2`
/// (recalled).
#[test]
fn exact_two_meshes_stand_where_they_do_by_hand() {
    let layout = layout_of(&[
        "train.arbor.great.next=\"0 deg\"",
        "train.arbor.centre.next=\"90 deg\"",
        "train.arbor.third.next=\"180 deg\"",
    ]);
    let by_hand = [(0.0, 0.0), (0.09, 0.0), (0.09, 0.0675), (0.09 - 0.06375, 0.0675)];
    assert_eq!(layout.arbors_m.len(), by_hand.len());
    for (at, (x, y)) in layout.arbors_m.iter().zip(by_hand) {
        near(at.x, x);
        near(at.y, y);
    }
    assert!(layout.directions_stated);
    // 60 mm over the cosine of 45 degrees, above the escape wheel.
    let pallets = layout.pallets_m.unwrap();
    near(pallets.x, 0.09 - 0.06375);
    near(pallets.y, 0.0675 + 0.06 / 45_f64.to_radians().cos());
}

#[test]
fn without_directions_the_train_is_a_line_upwards() {
    let text: String =
        demo::HERON.lines().filter(|line| !line.starts_with("next = ")).map(|line| format!("{line}\n")).collect();
    let scenario = read("heron.toml", &text, &NO_OVERRIDES).unwrap_or_else(|error| panic!("{error}"));
    let layout = movement_layout(&scenario.in_room(), None).unwrap();
    assert!(!layout.directions_stated);
    assert!(layout.arbors_m.iter().all(|at| at.x.abs() < 1e-12));
    near(layout.arbors_m[3].y, 0.09 + 0.0675 + 0.06375);
    let said = Told::of(scenario).with(|view| {
        beatwright::report::papers::text::text(&tables(view, PaperUnits::Millimetres), PaperUnits::Millimetres)
    });
    assert!(said.contains("straight line upwards"), "{said}");
}

fn meeting<'l>(layout: &'l MovementLayout, one: &StandingPart, other: &StandingPart) -> Option<&'l Neighbours> {
    let mut pairs = layout.neighbours.iter();
    pairs.find(|pair| (&pair.one == one && &pair.other == other) || (&pair.one == other && &pair.other == one))
}

/// The angle at the centre arbor at which the third one stands so far from the first, by the law of cosines.
fn folded_to(distance_mm: f64) -> String {
    let (one, other) = (90.0_f64, 67.5_f64);
    let gamma = ((one * one + other * other - distance_mm * distance_mm) / (2.0 * one * other)).acos();
    format!("train.arbor.centre.next=\"{} deg\"", 70.0 + 180.0 - gamma.to_degrees())
}

#[test]
fn exact_a_wheel_that_hits_an_arbor_is_found_and_one_just_clear_is_not() {
    // Over the tips of the third wheel 1.25 mm (90/2 + 1) = 57.5 mm; the great arbor is 8 mm across.
    let (wheel, arbor) = (StandingPart::Wheel("third".to_owned()), StandingPart::Arbor("great".to_owned()));
    for (gap_mm, expected) in [(-0.01, Meeting::Hit), (0.01, Meeting::Clear)] {
        let layout = layout_of(&[&folded_to(57.5 + 4.0 + gap_mm)]);
        let found = meeting(&layout, &wheel, &arbor).unwrap();
        assert_eq!(found.meeting, expected);
        assert!((1e3 * found.gap_m - gap_mm).abs() < 1e-9, "{}", found.gap_m);
    }
    // The pinion that a wheel drives stands within its tips, and is no hit.
    let layout = layout_of(&[]);
    assert!(
        meeting(&layout, &StandingPart::Wheel("great".to_owned()), &StandingPart::Arbor("centre".to_owned())).is_none()
    );
    assert!(layout.neighbours.iter().all(|pair| pair.meeting == Meeting::Clear), "{:?}", layout.neighbours[0]);
}

#[test]
fn exact_a_wheel_that_hits_a_pillar_is_found_and_one_just_clear_is_not() {
    // Over the tips of the great wheel 2 mm (78/2 + 1) = 80 mm; a pillar of 14 mm.
    let (wheel, pillar) = (StandingPart::Wheel("great".to_owned()), StandingPart::Pillar(1));
    for (gap_mm, expected) in [(-0.01, Meeting::Hit), (0.01, Meeting::Clear)] {
        let right = format!("frame.pillar.0.right=\"{} mm\"", -(80.0 + 7.0 + gap_mm));
        let layout = layout_of(&[&right, "frame.pillar.0.up=\"0 mm\""]);
        assert_eq!(meeting(&layout, &wheel, &pillar).unwrap().meeting, expected);
    }
}

#[test]
fn wheels_of_one_level_hit_of_two_pass_and_without_levels_nobody_knows() {
    let (one, other) = (StandingPart::Wheel("great".to_owned()), StandingPart::Wheel("centre".to_owned()));
    let same = layout_of(&["train.arbor.centre.level=1"]);
    assert_eq!(meeting(&same, &one, &other).unwrap().meeting, Meeting::Hit);
    assert!(meeting(&layout_of(&[]), &one, &other).is_none());
    let text = demo::HERON.replace("level = 2\n", "");
    let scenario = read("heron.toml", &text, &NO_OVERRIDES).unwrap_or_else(|error| panic!("{error}"));
    let unknown = movement_layout(&scenario.in_room(), None).unwrap();
    assert_eq!(meeting(&unknown, &one, &other).unwrap().meeting, Meeting::LevelsNotStated);
}

/// Corners of all polylines of a DXF drawing, mm, by layer.
fn dxf_corners(text: &str) -> BTreeMap<String, Vec<(f64, f64)>> {
    let lines: Vec<&str> = text.lines().map(str::trim).collect();
    let mut found: BTreeMap<String, Vec<(f64, f64)>> = BTreeMap::new();
    let (mut layer, mut x, mut is_polyline) = (String::new(), 0.0, false);
    for pair in lines.chunks(2) {
        match (pair[0], pair[1]) {
            ("0", kind) => is_polyline = kind == "LWPOLYLINE",
            ("8", name) => layer = name.to_owned(),
            ("10", value) if is_polyline => x = value.parse().unwrap(),
            ("20", value) if is_polyline => found.entry(layer.clone()).or_default().push((x, value.parse().unwrap())),
            _ => {}
        }
    }
    found
}

/// The same of an SVG picture, y up.
fn svg_corners(text: &str) -> BTreeMap<String, Vec<(f64, f64)>> {
    let document = roxmltree::Document::parse(text).unwrap();
    let mut found: BTreeMap<String, Vec<(f64, f64)>> = BTreeMap::new();
    for path in document.descendants().filter(|node| node.has_tag_name("path")) {
        let layer = path.parent().unwrap().attribute("id").unwrap().to_owned();
        let mut corners = Vec::new();
        for part in path
            .attribute("d")
            .unwrap()
            .trim_end_matches('Z')
            .split_inclusive(char::is_whitespace)
            .collect::<String>()
            .split(['M', 'L', 'A'])
        {
            let numbers: Vec<f64> = part.split_whitespace().map(|number| number.parse().unwrap()).collect();
            if let [.., x, y] = numbers.as_slice() {
                corners.push((*x, -*y));
            }
        }
        // A path ends where it begins.
        corners.pop();
        found.entry(layer).or_default().extend(corners);
    }
    found
}

#[test]
fn exact_both_forms_of_a_sheet_have_the_same_corners() {
    let told = Told::of(demo::loaded("heron.toml", &[]));
    let anchor = told.papers.anchor.clone().unwrap().unwrap();
    for (units, bar_mm) in [(PaperUnits::Millimetres, 100.0), (PaperUnits::Inches, 101.6)] {
        let sheets = told.with(|view| [drill_plan(view, units).unwrap(), anchor_sheet(view, &anchor, units)]);
        for sheet in sheets {
            let (dxf, svg) = (dxf_corners(&dxf_of(&sheet)), svg_corners(&svg_of(&sheet)));
            assert_eq!(dxf.keys().collect::<Vec<_>>(), svg.keys().collect::<Vec<_>>());
            for (layer, corners) in &dxf {
                assert_eq!(corners.len(), svg[layer].len(), "{layer}");
                for (one, other) in corners.iter().zip(&svg[layer]) {
                    assert!(
                        (one.0 - other.0).abs() < 1e-6 && (one.1 - other.1).abs() < 1e-6,
                        "{layer}: {one:?} {other:?}"
                    );
                }
            }
            let bar = dxf[SCALE_BAR].iter().map(|corner| corner.0);
            let (low, high) = bar.fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), x| (low.min(x), high.max(x)));
            assert!((high - low - bar_mm).abs() < 1e-9, "{low} {high}");
            let words = svg_of(&sheet);
            assert!(words.contains("Print at 100 %") && dxf_of(&sheet).contains("Print at 100 %"), "{words}");
        }
    }
}

#[test]
fn exact_the_drill_plan_has_every_arbor_and_pillar_at_its_place() {
    let told = Told::of(demo::loaded("heron.toml", &[]));
    let sheet = told.with(|view| drill_plan(view, PaperUnits::Millimetres)).unwrap();
    let middle = |outline: &Outline| 0.5 * (outline.vertices()[0].at + outline.vertices()[1].at);
    let of = |layer: &str| -> Vec<Point> {
        sheet.outlines.iter().filter(|(name, _)| *name == layer).map(|(_, outline)| middle(outline)).collect()
    };
    let layout = told.papers.layout.as_ref().unwrap();
    for (drilled, stands) in of("ARBORS").iter().zip(&layout.arbors_m) {
        assert!((drilled - stands).norm() < 1e-12);
    }
    assert_eq!(of("ARBORS").len(), 4);
    assert!((of("SUSPENSION")[0] - layout.pallets_m.unwrap()).norm() < 1e-12);
    let pillars = of("PILLARS");
    assert_eq!(pillars.len(), 4);
    assert!((pillars[0] - Point::new(-0.1, -0.06)).norm() < 1e-12);
}

fn anchor_of(scenario: &Scenario) -> (PalletAnchor, beatwright::clock::escapement::EscapementOutlines) {
    let drawn = drawn_outlines(&scenario.design.escapement).unwrap().unwrap();
    let arbor_m = pallet_arbor_m(&scenario.in_room());
    (anchor(&drawn, &scenario.design.anchor, arbor_m, least_arm_m(&scenario.design)).unwrap(), drawn)
}

/// Every corner and every acting edge of both pallets, bit for bit, in one closed outline that does not cross itself.
#[test]
fn exact_the_anchor_holds_both_pallets_bit_for_bit() {
    let clocks =
        [demo::loaded("heron.toml", &[]), demo::loaded("heron-pointed.toml", &[]), demo::loaded("wren.toml", &[])];
    for scenario in clocks {
        let (anchor, drawn) = anchor_of(&scenario);
        let edges: Vec<_> = anchor.contour.edges().collect();
        for side in [Side::Entry, Side::Exit] {
            let pallet = &drawn.pallets[side];
            let held = pallet.edges().filter(|edge| edges.contains(edge)).count();
            assert_eq!(held, pallet.vertices().len() - 1, "{} {side}: all but its end", scenario.design.name);
            for vertex in pallet.vertices() {
                assert!(anchor.contour.vertices().iter().any(|one| one.at == vertex.at));
            }
            // The pallet lies within: its points do, a little inward.
            let around = anchor.contour.polyline(1e-7);
            let middle = pallet.polyline(1e-6).iter().fold(Point::zeros(), |sum, point| sum + point)
                / pallet.polyline(1e-6).len() as f64;
            for point in pallet.vertices() {
                assert!(inside(point.at + 1e-3 * (middle - point.at), &around), "{} {side}", scenario.design.name);
            }
        }
        let pallets_m2: f64 = [Side::Entry, Side::Exit].iter().map(|&side| drawn.pallets[side].signed_area_m2()).sum();
        assert!(anchor.contour.signed_area_m2() > pallets_m2);
        // The hub's middle is within, and the wheel's is not.
        let around = anchor.contour.polyline(1e-7);
        assert!(inside(Point::new(0.0, drawn.centre_distance_m), &around) && !inside(Point::zeros(), &around));
        assert!(anchor.bore.signed_area_m2() > 0.0);
        assert!(anchor.room_about_wheel_m(drawn.tooth.farthest_m(Point::zeros()), 5_f64.to_radians()).unwrap() > 0.0);
        // It is an outline by itself: closed, and nowhere crossing.
        assert!(Outline::new(anchor.contour.vertices().to_vec()).is_ok());
    }
}

#[test]
fn an_anchor_that_cannot_be_is_not_drawn() {
    let scenario = demo::loaded("heron.toml", &[]);
    let drawn = drawn_outlines(&scenario.design.escapement).unwrap().unwrap();
    let body = beatwright::clock::design::AnchorBody::default();
    assert_eq!(anchor(&drawn, &body, None, 0.0), Err(AnchorError::NoBore));
    let wide = beatwright::clock::design::AnchorBody { arm_width_m: Some(9e-3), hub_diameter_m: Some(16e-3), ..body };
    assert!(matches!(anchor(&drawn, &wide, Some(8e-3), 0.0), Err(AnchorError::Sizes { .. })));
}

/// Frictions so many times as large, each as the scenario writes it.
fn rougher(scenario: &Scenario, factor: f64) -> Vec<String> {
    let written = scenario.design.frictions().into_iter().filter(|known| known.friction.value > 0.0);
    written
        .filter(|known| !matches!(known.kind, Some(Kind::DampingLinear | Kind::DampingQuadratic)))
        .map(|known| {
            let value = known.friction.value * factor;
            match known.kind {
                None => format!("{}={value:e}", known.path),
                Some(Kind::Torque) => format!("{}=\"{value:e} N m\"", known.path),
                Some(Kind::Length) => format!("{}=\"{value:e} m\"", known.path),
                Some(other) => panic!("{other:?}"),
            }
        })
        .collect()
}

#[test]
fn crosscheck_swings_over_friction_are_those_of_predictions_with_these_frictions() {
    for file in ["wren.toml", "heron.toml"] {
        let scenario = plain::loaded(file, &[]);
        let told = Told::of(plain::loaded(file, &[]));
        let swings = &told.papers.swings;
        assert!(swings.rows.len() > 6, "{file}");
        for row in &swings.rows {
            let overrides = rougher(&scenario, row.factor);
            let settings: Vec<&str> = overrides.iter().map(String::as_str).collect();
            let predicted = predict(&plain::loaded(file, &settings).in_room()).unwrap();
            let (one, other) = (row.semi_arc_rad.unwrap(), predicted.measured().unwrap().semi_arc_rad());
            assert!((one - other).abs() < 1e-9, "{file} at {}: {one} {other}", row.factor);
        }
        let stop = swings.stops_at.unwrap();
        assert!(swings.rows.last().unwrap().factor < stop);
        // The swing that is read between is that at its factor.
        let between = swings.between.unwrap();
        let overrides = rougher(&scenario, between.factor);
        let settings: Vec<&str> = overrides.iter().map(String::as_str).collect();
        let predicted = predict(&plain::loaded(file, &settings).in_room()).unwrap();
        let found = predicted.measured().unwrap().semi_arc_rad();
        assert!((found - between.semi_arc_rad).abs() < 1e-5, "{found} {}", between.semi_arc_rad);
        // Nothing is left open where nothing has a spread.
        assert!(swings.rows.iter().all(|row| row.open_rad.is_none()), "{file}");
    }
}

/// The spread of the one friction that has one moves the swing as two predictions a deviation apart say.
#[test]
fn crosscheck_what_a_spread_leaves_open_is_what_the_friction_does() {
    let with = |friction: &str| plain::loaded("wren.toml", &[&format!("train.tooth_friction={friction}")]);
    let arc = |friction: &str| predict(&with(friction).in_room()).unwrap().measured().unwrap().semi_arc_rad();
    let told = Told::of(with("\"0.2 +/- 0.06\""));
    let own = told.papers.swings.rows.iter().find(|row| row.factor == 1.0).unwrap();
    let expected = arc("0.17") - arc("0.23");
    assert!((own.open_rad.unwrap() - expected).abs() < 1e-9, "{:?} {expected}", own.open_rad);
}

#[test]
fn exact_bench_tests_are_masses_at_the_tip_and_the_free_swing() {
    let told = Told::of(demo::loaded("heron.toml", &[]));
    let (bench, built) = (told.papers.bench, &told.prediction.built);
    let checks = BenchChecks::of(built);
    assert_eq!(bench.halving_s.unwrap().value, checks.halving_s.unwrap());
    let drive = built.mechanism.drive.unwrap();
    let tip_m = built.outlines.as_ref().unwrap().tooth.farthest_m(Point::zeros());
    let torque = |kg: f64| kg * built.gravity_m_s2 * tip_m;
    let lifted = torque(bench.is_lifted_kg.unwrap().value);
    assert!((lifted - (drive.torque_n_m() - drive.friction_starting_n_m)).abs() < 1e-15);
    assert!((torque(bench.drives_back_kg.unwrap().value) - drive.backward_n_m()).abs() < 1e-15);
    assert!(bench.moves_train_kg.unwrap().value > bench.moves_escape_wheel_kg.unwrap().value);
    assert!(bench.halving_s.unwrap().open.unwrap() > 0.0);
}

/// `d = m z`: ISO 21771 (recalled); tips one module beyond: ISO 53, basic rack (recalled); DIN 58425 and NIHS 20-25 are for cycloidal
/// forms, which these are not.
#[test]
fn published_diameters_of_involute_wheels() {
    let told = Told::of(demo::loaded("heron.toml", &[]));
    let found = told.with(|view| csv_tables(&tables(view, PaperUnits::Millimetres), PaperUnits::Millimetres));
    let wheels = &found.iter().find(|table| table.name == "wheels").unwrap().text;
    let rows: Vec<Vec<&str>> = wheels.lines().map(|line| line.split(',').collect()).collect();
    let column = |name: &str| rows[0].iter().position(|head| *head == name).unwrap();
    let of = |gear: &str, name: &str| -> f64 {
        let row = rows.iter().find(|row| row[0] == gear).unwrap();
        row[column(name)].parse().unwrap()
    };
    for (gear, teeth, module) in [("great wheel", 78.0, 2.0), ("centre pinion", 12.0, 2.0), ("third wheel", 90.0, 1.25)]
    {
        assert!((of(gear, "pitch_diameter_mm") - module * teeth).abs() < 1e-9);
        assert!((of(gear, "tip_diameter_mm") - module * (teeth + 2.0)).abs() < 1e-9);
        // 35 % of a module of room below the tips.
        assert!((of(gear, "root_diameter_mm") - module * (teeth - 2.7)).abs() < 1e-9);
    }
}

/// An inch is exactly 25.4 mm (international inch, 1959; recalled).
#[test]
fn exact_inches_are_25_4_mm_and_json_stays_in_mm() {
    assert_eq!(inches(25.4e-3), 1.0);
    assert_eq!(diametral_pitch(25.4e-3 / 24.0), 24.0);
    assert_eq!(PaperUnits::Inches.length(25.4e-3, 2), "1.000 in (25.40 mm)");
    assert_eq!(PaperUnits::Inches.length(30.782e-3, 3), "1.2119 in (30.782 mm)");
    // All digits of a module: 96 teeth would make a twentieth of a millimetre of what three leave out.
    assert_eq!(PaperUnits::Millimetres.module(1.5625e-3), "1.5625 mm");
    assert_eq!(PaperUnits::Inches.module(1.0e-3), "DP 25.4 (1 mm)");
    let told = Told::of(demo::loaded("heron.toml", &[]));
    let found = told.with(|view| csv_tables(&tables(view, PaperUnits::Inches), PaperUnits::Inches));
    let layout = &found.iter().find(|table| table.name == "layout").unwrap().text;
    let rows: Vec<Vec<&str>> = layout.lines().map(|line| line.split(',').collect()).collect();
    assert_eq!(rows[0][..5], ["arbor", "right_mm", "right_in", "up_mm", "up_in"]);
    for row in &rows[1..] {
        let [mm, inch] = [row[1], row[2]].map(|cell| cell.parse::<f64>().unwrap());
        assert!((mm - 25.4 * inch).abs() < 1e-12, "{row:?}");
    }
    let json = |units: &str| output(&["papers", "scenarios/heron.toml", "--json", "--units", units]).stdout;
    assert_eq!(json("mm"), json("inch"));
}

#[test]
fn the_command_writes_every_paper_and_says_what_is_missing() {
    let out = tempfile::tempdir().unwrap();
    let (code, said, _) = run(&["papers", "scenarios/wren.toml", "--quiet", "--out", out.path().to_str().unwrap()]);
    assert_eq!(code, 0);
    for words in ["not stated", "Setting up", "means that friction is up by", "Cautions", "Keep", "hot"] {
        assert!(said.to_lowercase().contains(&words.to_lowercase()), "{words}: {said}");
    }
    assert!(!said.contains("NaN") && !said.contains("inf "));
    for name in [
        "papers.json",
        "papers.html",
        "parts.csv",
        "wheels.csv",
        "meshes.csv",
        "layout.csv",
        "clearances.csv",
        "anchor.csv",
        "anchor.svg",
        "anchor.dxf",
        "drill-plan.svg",
        "drill-plan.dxf",
        "cord-and-drum.csv",
        "pendulum.csv",
        "setting-up.csv",
        "swing-and-friction.csv",
        "bench.csv",
    ] {
        assert!(out.path().join(name).exists(), "{name}");
    }
    let page = std::fs::read_to_string(out.path().join("papers.html")).unwrap();
    assert!(page.contains("drill plan") || page.contains("Drill"), "{page}");
}

#[test]
fn what_has_no_papers_or_wrong_keys_is_refused() {
    let (code, _, complaint) = run(&["papers", "scenarios/plover.toml"]);
    assert_eq!(code, 2);
    assert!(complaint.contains("motor"), "{complaint}");
    for (setting, words) in [
        ("train.arbor.great.levl=1", "did you mean `level`"),
        ("train.arbor.great.level=0", "level"),
        ("train.arbor.great.bore=5", "bare number"),
        ("train.arbor.escape.thickness=\"5 mm\"", "[escapement.wheel]"),
        ("frame.pillar.0.diameter=\"-1 mm\"", "diameter"),
        ("frame.plate_thicknes=\"5 mm\"", "did you mean `plate_thickness`"),
        ("frame.plate_distance=\"0 mm\"", "`frame.plate_distance`"),
        ("frame.plate_distance=60", "bare number"),
        ("train.arbor_material=\"stel\"", "did you mean `steel`"),
        ("material.mine={ density = \"1 g/cm^3\", strength = \"-5 MPa\" }", "strength"),
        ("escapement.pallets.hub_diameter=\"7 mm\"", "bore leaves nothing"),
        ("escapement.pallets.arm_width=\"11 mm\"", "too wide"),
    ] {
        let (code, _, complaint) = run(&["papers", "scenarios/heron.toml", "--set", setting]);
        assert_eq!(code, 2, "{setting}");
        assert!(complaint.contains(words), "{setting}: {complaint}");
    }
}

/// A clock of bare numbers, and pallets that are pins, have papers too: with less in them.
#[test]
fn what_is_not_known_is_left_out() {
    let (code, said, complaint) =
        run(&["papers", "scenarios/heron.toml", "--quiet", "--json", "--set", "drive.weight=\"0.5 kg\""]);
    assert_eq!(code, 0, "{complaint}");
    let json: serde_json::Value = serde_json::from_str(&said).unwrap();
    assert!(json.get("swing_and_friction").is_none());
    assert!(json["wheels"]["rows"].as_array().unwrap().len() > 6);
    assert!(json["parts"]["rows"][0]["material"].is_null());
}
