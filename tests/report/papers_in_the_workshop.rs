//! Papers as a builder reads them: what is to be drilled, printed and weighed, and what must not be built yet.

use std::f64::consts::{FRAC_PI_4, PI};

use beatwright::answers::prediction::predict;
use beatwright::clock::escapement::anchor::PalletAnchor;
use beatwright::geometry::{Outline, Point};
use beatwright::report::drawing::{dxf_of, svg_of};
use beatwright::report::papers::sheets::{anchor_sheet, drill_plan};
use beatwright::report::papers::text::text;
use beatwright::report::papers::units::PaperUnits;
use beatwright::report::papers::{csv, tables};
use beatwright::scenario::{NO_OVERRIDES, Scenario, read};

use crate::papers::Told;
use crate::support::program::{output, run};
use crate::support::{demo, plain};

fn read_text(text: &str) -> Scenario {
    read("heron.toml", text, &NO_OVERRIDES).unwrap_or_else(|error| panic!("{error}"))
}

/// Heron without what its file says from a table's head to the next one.
fn without(text: &str, head: &str) -> String {
    let (before, after) = text.split_once(head).unwrap();
    format!("{before}{}", &after[after.find("\n[").unwrap()..])
}

/// Heron on pins for pallets, of which nothing but their diameter is stated.
fn on_pins() -> Scenario {
    let text = without(&without(demo::HERON, "[escapement.dead_beat]"), "[escapement.pallets]");
    let pins = "[escapement.pin_pallet]\nteeth = 30\nradius = \"60 mm\"\nspaces = 7.5\nlift = \"2 deg\"\nlock = \"1.3 deg\"\ndrop = \"2.5 deg\"\n\
                pin_diameter = \"2.5 mm\"\nfriction = 0.15\nface_length = \"7 deg\"\n\
                tooth = { depth = \"10 mm\", undercut = \"12 deg\", wedge = \"6 deg\" }\n\n";
    read_text(&text.replace("[escapement.wheel]", &format!("{pins}[escapement.wheel]")))
}

fn anchor_of(told: &Told) -> &PalletAnchor {
    told.papers.anchor.as_ref().unwrap().as_ref().unwrap()
}

fn said(told: &Told) -> String {
    told.with(|view| text(&tables(view, PaperUnits::Millimetres), PaperUnits::Millimetres))
}

/// Six beads of 0.4 mm, and a hub of which that is four tenths; a finer nozzle asks for less; metal is filed as fine as you like.
#[test]
fn exact_arms_of_a_small_bore_are_as_wide_as_prints() {
    let sizes = |overrides: &[&str]| {
        let told = Told::of(demo::loaded("wren.toml", overrides));
        let anchor = anchor_of(&told).clone();
        ([anchor.bore_m, anchor.hub_m, anchor.arm_m].map(|length_m| (1e5 * length_m).round() / 1e2), said(&told))
    };
    let (own, words) = sizes(&[]);
    assert_eq!(own, [1.5, 6.0, 2.4]);
    assert!(words.contains("6 beads of 0.40 mm"), "{words}");
    assert_eq!(sizes(&["printer.bead_radius=\"0.15 mm\""]).0, [1.5, 4.5, 1.8]);
    assert_eq!(sizes(&["escapement.pallets.material=\"brass\""]).0, [1.5, 3.0, 1.2]);
    // What is stated stays, and the arms still meet at the hub.
    let (narrow, words) = sizes(&["escapement.pallets.hub_diameter=\"4 mm\""]);
    assert_eq!(narrow, [1.5, 4.0, 1.8]);
    assert!(words.contains("1.80 mm wide, as the hub allows: less than the 2.40 mm"), "{words}");
    assert_eq!(sizes(&["escapement.pallets.arm_width=\"1 mm\""]).0, [1.5, 3.0, 1.0]);
}

#[test]
fn exact_pins_stand_in_a_plate_with_a_hole_for_each() {
    let told = Told::of(on_pins());
    let anchor = anchor_of(&told);
    assert_eq!(anchor.pins.len(), 2);
    let around = anchor.contour.polyline(1e-7);
    for pin in &anchor.pins {
        assert!((pin.signed_area_m2().abs() - FRAC_PI_4 * 2.5e-3 * 2.5e-3).abs() < 1e-12);
        // Half an arm of material stands about every pin: all its boss lies in the plate.
        let middle = 0.5 * (pin.vertices()[0].at + pin.vertices()[1].at);
        let boss = Outline::circle(middle, 1.25e-3 + 0.5 * anchor.arm_m - 1e-6).unwrap();
        assert!(boss.polyline(1e-6).iter().all(|point| crate::support::polygons::inside(*point, &around)));
    }
    assert!(Outline::new(anchor.contour.vertices().to_vec()).is_ok());
    let sheet = told.with(|view| anchor_sheet(view, anchor, PaperUnits::Millimetres));
    assert_eq!(sheet.outlines.iter().filter(|(layer, _)| *layer == "PINS").count(), 2);
    let words = said(&told);
    assert!(words.contains("pins of the pallets") && words.contains("diameter 2.50 mm"), "{words}");
    assert!(!words.contains("locking face") && !words.contains("inf"), "{words}");
}

/// The hole for the pallets is that of their bearing, whatever the anchor's bore.
#[test]
fn exact_the_drill_plan_has_the_pivot_of_the_pallets() {
    let told = Told::of(demo::loaded("wren.toml", &["escapement.pallets.bore=\"5 mm\""]));
    let sheet = told.with(|view| drill_plan(view, PaperUnits::Millimetres)).unwrap();
    let (_, hole) = sheet.outlines.iter().find(|(layer, _)| *layer == "PALLET_ARBOR").unwrap();
    assert!((hole.signed_area_m2() - PI * 0.75e-3 * 0.75e-3).abs() < 1e-12);
    assert!(sheet.labels.iter().any(|label| label.text == "pallets and pendulum's axis: pivot 1.50 mm"));
    assert!(svg_of(&sheet).contains("background:white") && dxf_of(&sheet).contains("pivot 1.50 mm"));
}

/// Every word stands beside its hole: as high above the middle as below it.
#[test]
fn labels_stand_level_with_their_holes() {
    let told = Told::of(demo::loaded("heron.toml", &[]));
    let sheet = told.with(|view| drill_plan(view, PaperUnits::Millimetres)).unwrap();
    let at = told.papers.layout.as_ref().unwrap().arbors_m[1];
    let label = sheet.labels.iter().find(|label| label.text.starts_with("centre")).unwrap();
    assert!((label.at + Point::new(0.0, 0.35 * label.height_m) - at).y.abs() < 1e-12);
    // The size that the papers name is that of the picture.
    let (wide_m, high_m) = sheet.size_m();
    let svg = svg_of(&sheet);
    let named = |attribute: &str| {
        let after = svg.split_once(&format!("{attribute}=\"")).unwrap().1;
        after.split_once("mm\"").unwrap().0.parse::<f64>().unwrap()
    };
    assert!((named("width") - 1e3 * wide_m).abs() < 1e-9 && (named("height") - 1e3 * high_m).abs() < 1e-9);
    assert!(said(&told).contains(&format!("{:.0} mm high at full size", 1e3 * high_m)));
}

/// Masses by hand: area times thickness times density (PLA of the table: 1240 kg/m3).
#[test]
fn exact_masses_are_volume_times_density() {
    let told = Told::of(demo::loaded("heron.toml", &[]));
    let density = told.scenario.design.pallets.as_ref().unwrap().material.density_kg_m3;
    let anchor = anchor_of(&told);
    let hub_mm2 = FRAC_PI_4 * (20.0 * 20.0 - 8.0 * 8.0);
    assert!(1e6 * anchor.area_m2() > hub_mm2);
    let outline = anchor.contour.polyline(1e-8);
    let doubled: f64 = outline.iter().zip(outline.iter().cycle().skip(1)).map(|(a, b)| a.perp(b)).sum();
    let grams = 1e3 * density * 8e-3 * (0.5 * doubled - PI * 16e-6);
    let words = said(&told);
    assert!(words.contains(&format!("{grams:.1} g")), "{grams} {words}");
    let wheel = 1e3 * density * 10e-3 * FRAC_PI_4 * (0.156 * 0.156 - 0.008 * 0.008);
    assert!(words.contains(&format!("{wheel:.1} g if solid")), "{wheel} {words}");
    assert!(words.contains("tube 12.00 mm outside, 10.00 mm inside") && words.contains("disc of diameter 150.00 mm"));
    // 994.6 mm and half of 150 mm.
    assert!(words.contains("1069.60 mm"));
}

/// A key is the same whether or not the scenario states its value.
#[test]
fn keys_do_not_hang_on_what_is_stated() {
    let [stated, open] = ["heron.toml", "wren.toml"].map(|file| {
        let told = Told::of(demo::loaded(file, &[]));
        told.with(|view| csv::csv_tables(&tables(view, PaperUnits::Inches), PaperUnits::Inches))
    });
    for name in ["parts", "wheels", "meshes", "layout", "clearances"] {
        let head = |tables: &[beatwright::report::csv_table::CsvTable]| {
            let table = tables.iter().find(|table| table.name == name).unwrap();
            table.text.lines().next().unwrap().to_owned()
        };
        assert_eq!(head(&stated), head(&open), "{name}");
    }
    let json: serde_json::Value =
        serde_json::from_slice(&output(&["papers", "scenarios/wren.toml", "--json", "--quiet"]).stdout).unwrap();
    assert!(json["wheels"]["rows"][0]["thickness_mm"].is_null());
    assert!(json["pendulum"]["values"].as_object().unwrap().contains_key("crutch_length_mm"));
    assert!(json["cord_and_drum"]["values"].as_object().unwrap().contains_key("drum_holds_turns"));
}

#[test]
fn what_must_not_be_built_yet_is_said_first() {
    let stops = Told::of(demo::loaded("heron.toml", &["drive.weight=\"0.5 kg\""]));
    assert!(said(&stops).contains("1. Do not build it yet: as designed, its swing dies away."));
    let below = Told::of(demo::loaded("heron.toml", &["drive.weight=\"2.2 kg\""]));
    assert!(said(&below).contains("1. As designed it keeps going, but below the margin asked"));
    let wide = Told::of(demo::loaded("heron.toml", &["train.arbor.escape.bore=\"12 mm\""]));
    assert!(said(&wide).contains("leaves nothing below the roots of the teeth: escape pinion."));
    assert!(!said(&Told::of(demo::loaded("heron.toml", &[]))).contains("leaves nothing"));
    // 16.87 turns of the run and the two that stay are more than 18.
    let said_of_plain = |set: &[&str]| said(&Told::of(plain::loaded("heron.toml", set)));
    assert!(said_of_plain(&[]).contains("it needs 18.87"));
    assert!(!said_of_plain(&["drive.drum_turns=\"20 turns\""]).contains("it needs 18.87"));
}

#[test]
fn a_clock_without_weight_has_no_weight_on_the_bench() {
    let out = tempfile::tempdir().unwrap();
    let file = out.path().join("siskin.toml");
    let escapement = demo::HERON.split_once("[escapement.dead_beat]").unwrap().1;
    let escapement = &escapement[..escapement.find("\n[").unwrap()];
    let text = format!(
        "name = \"Siskin\"\nstart_arc = \"3 deg\"\n[place]\ngravity = \"9.80665 m/s^2\"\n[pendulum.lumped]\ninertia = \"1 kg m^2\"\nmass = \"1 kg\"\n\
         centre_of_mass = \"1 m\"\ndamping_linear = \"1e-4 N m s\"\n[drive.lumped]\nescape_torque = \"4 mN m\"\ninertia = \"2e-6 kg m^2\"\n\
         [escapement.dead_beat]{escapement}"
    );
    std::fs::write(&file, text).unwrap();
    let (code, said, complaint) =
        run(&["papers", file.to_str().unwrap(), "--quiet", "--out", out.path().to_str().unwrap()]);
    assert_eq!(code, 0, "{complaint}");
    assert!(said.contains("on this drive means") && said.contains("drive on:"), "{said}");
    assert!(!said.contains("weight on") && !said.contains("on this weight"), "{said}");
}

/// The weight that explains a small swing as well as friction does gives this very swing.
#[test]
fn crosscheck_a_lighter_weight_swings_as_the_papers_say() {
    let told = Told::of(plain::loaded("heron.toml", &[]));
    let between = told.papers.swings.between.unwrap();
    let weight_kg = between.weight_kg.unwrap();
    assert!(weight_kg < told.scenario.design.weight_drive().unwrap().weight_kg);
    let lighter = plain::loaded("heron.toml", &[&format!("drive.weight=\"{weight_kg} kg\"")]);
    let found = predict(&lighter.in_room()).unwrap().measured().unwrap().semi_arc_rad();
    assert!((found - between.semi_arc_rad).abs() < 1e-5, "{found} {}", between.semi_arc_rad);
    assert!(said(&told).contains(&format!("as by {weight_kg:.2} kg in place of")));
}
