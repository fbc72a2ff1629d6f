//! The figures: well-formed, finite, within their canvas, the same bytes every time, and true to the outlines.
#![allow(clippy::type_complexity)]

use beatwright::answers::prediction::{Prediction, predict};
use beatwright::clock::build::build;
use beatwright::clock::environment::InRoom;
use beatwright::clock::escapement::clearances::margins;
use beatwright::clock::side::Side;
use beatwright::geometry::Point;
use beatwright::report::figures::{Figure, draw_action_at_rest, draw_all};
use beatwright::report::{action, prediction};
use beatwright::scenario;
use beatwright::scenario::NO_OVERRIDES;
use beatwright::study::portrait::{Portrait, action_at_rest, portrait};

use crate::support::plain;
use crate::support::polygons::inside;
use crate::support::program::same_on_any_threads;
use crate::support::svg;

fn clock(name: &str, overrides: &[&str]) -> (InRoom, Prediction, Portrait) {
    gathered(plain::loaded(name, overrides).in_room())
}

fn written(text: &str) -> (InRoom, Prediction, Portrait) {
    gathered(scenario::read("written.toml", text, &NO_OVERRIDES).expect("the scenario reads").in_room())
}

fn gathered(design: InRoom) -> (InRoom, Prediction, Portrait) {
    let prediction = predict(&design).unwrap();
    let data = portrait(&design, &prediction);
    (design, prediction, data)
}

const ALL: [&str; 10] = [
    "amplitude-from-starts",
    "phase-portrait",
    "torque-over-swing",
    "energy-ledger",
    "energy-flow",
    "amplitude-and-rate-against-weight",
    "swing-over-the-years",
    "escapement",
    "action",
    "run-time-against-weight",
];

const LINEAR_PENDULUM: &str = r#"
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
"#;

const IDEAL_TORQUE: &str = r#"
[escapement.ideal_torque]
torque = "20 mN m"
before = "1.5 deg"
after = "0.5 deg"
outside = "none"
"#;

const IDEAL_KICK: &str = r#"
[escapement.ideal_kick]
at = "0.3 deg"
energy = "1 mJ"
sides = "both"
"#;

const LUMPED_DRIVE: &str = r#"
[drive.lumped]
escape_torque = "20 mN m"
friction_torque = "0.5 mN m"
inertia = "2e-6 kg m^2"
[escapement.dead_beat]
teeth = 30
radius = "40 mm"
spaces = 7.5
lift = "2 deg"
lock = "1 deg"
drop = "2 deg"
tooth = { depth = "8 mm", tip_width = "0.5 mm", undercut = "8 deg", wedge = "14 deg" }
friction = 0.15
face_length = "9 deg"
"#;

fn named(title: &str, parts: &[&str]) -> String {
    format!("name = \"{title}\"\n{}", parts.concat())
}

/// Clocks of every kind, and the figures that have a meaning for each.
fn clocks() -> Vec<((InRoom, Prediction, Portrait), Vec<&'static str>)> {
    let without = |left_out: &[&str]| ALL.into_iter().filter(|name| !left_out.contains(name)).collect::<Vec<_>>();
    let steady = ["phase-portrait", "torque-over-swing", "energy-ledger", "energy-flow", "swing-over-the-years"];
    let wheel = ["energy-flow", "swing-over-the-years", "escapement", "action", "run-time-against-weight"];
    let kick = [&wheel[..], &["torque-over-swing", "amplitude-and-rate-against-weight"]].concat();
    vec![
        (clock("heron.toml", &[]), without(&[])),
        (clock("wren.toml", &[]), without(&[])),
        (clock("heron.toml", &["drive.weight=\"0.5 kg\""]), without(&steady)),
        (clock("heron.toml", &["start_arc=\"1 deg\""]), without(&steady)),
        (written(&named("Bench", &[LINEAR_PENDULUM, LUMPED_DRIVE])), without(&["run-time-against-weight"])),
        (written(&named("A < B & \\\"C\\\"", &[LINEAR_PENDULUM, IDEAL_TORQUE])), without(&wheel)),
        (written(&named(&"long name ".repeat(12), &[LINEAR_PENDULUM, IDEAL_KICK])), without(&kick)),
    ]
}

fn check_well_formed(figure: &Figure) {
    let name = figure.name;
    let texts = svg::check_well_formed(name, &figure.svg);
    let has = |end: &str| texts.iter().filter(|text| text.ends_with(end)).count();
    let units =
        ["(deg)", "(deg/s)", "(s)", "(min)", "(h)", "(days)", "(years)", "(kg)", "(s/day)", "(ms)", "(\u{b5}s)", "(%)"];
    let torques = ["(mN m)", "(N m)", "(\u{b5}N m)"];
    let axes: usize = units.iter().chain(&torques).map(|unit| has(unit)).sum();
    let wanted = match name {
        "escapement" | "energy-flow" => 0,
        "energy-ledger" => 1,
        "amplitude-and-rate-against-weight" => 3,
        // A clock without a train has no rate.
        "swing-over-the-years" => 2 + usize::from(figure.svg.contains("rate since new")),
        _ => 2,
    };
    assert_eq!(axes, wanted, "{name}: axes with a unit");
    if name == "escapement" {
        assert_eq!(has(" mm"), 1, "no scale bar");
    }
}

#[test]
fn figures_of_every_kind_of_clock_are_well_formed_and_none_is_empty() {
    for ((design, prediction, data), expected) in clocks() {
        let figures = draw_all(&design, &prediction, &data);
        let names: Vec<&str> = figures.iter().map(|figure| figure.name).collect();
        assert_eq!(names, expected, "{}", design.name);
        figures.iter().for_each(check_well_formed);
    }
}

/// The longest names of the ledger stand on a support's.
#[test]
fn pictures_of_a_clock_on_a_support_are_whole() {
    let (design, prediction, data) = clock("heron.toml", &["support.stiffness=12 kN/m"]);
    assert!(prediction.steady.as_ref().unwrap().energy.support > 0.0);
    for figure in draw_all(&design, &prediction, &data) {
        svg::check_well_formed(figure.name, &figure.svg);
    }
}

#[test]
fn labels_of_the_demo_clocks_do_not_cover_one_another() {
    for file in ["heron.toml", "wren.toml"] {
        let (design, prediction, data) = clock(file, &[]);
        for figure in draw_all(&design, &prediction, &data) {
            svg::check_texts_apart(&format!("{} of {file}", figure.name), &figure.svg);
        }
    }
}

// A slow swing, with wide and narrow locks, recoil, a missed lock, and a wheel out of true.
#[test]
fn the_action_at_rest_is_well_formed_and_its_labels_do_not_cover_one_another() {
    for (file, settings) in [
        ("heron.toml", vec![]),
        ("heron.toml", vec!["printer.bead_radius=0.3 mm"]),
        ("heron.toml", vec!["escapement.dead_beat.lock=0.2 deg"]),
        ("heron.toml", vec!["printer.centre_distance_error=0.8 mm"]),
        ("heron.toml", vec!["start_arc=1 deg"]),
        ("wren.toml", vec![]),
        ("wren.toml", vec!["printer.growth=0.1 mm"]),
        ("wren.toml", vec!["printer.run_out=0.1 mm", "printer.bead_radius=0.1 mm"]),
    ] {
        let scenario = plain::loaded(file, &settings);
        let built = build(&scenario.in_room()).unwrap();
        let found = margins(&scenario.design.printer, &built);
        let curves = action_at_rest(&scenario.in_room(), &built).unwrap();
        let figure = draw_action_at_rest(&scenario.in_room(), &built, &curves, found.as_ref()).unwrap();
        svg::check_well_formed(&format!("{file} {settings:?}"), &figure.svg);
        svg::check_texts_apart(&format!("{file} {settings:?}"), &figure.svg);
        assert!(action::csv::table(&curves).unwrap().text.lines().count() > 300);
        for word in ["lift", "drop", "clearance", if file == "wren.toml" { "recoil" } else { "lock" }] {
            assert!(figure.svg.contains(word), "{file} {settings:?}: {word}");
        }
        let again = draw_action_at_rest(&scenario.in_room(), &built, &curves, found.as_ref()).unwrap();
        assert_eq!(figure, again);
    }
}

#[test]
fn figures_and_tables_are_the_same_bytes_on_any_number_of_threads() {
    same_on_any_threads(|| {
        let (design, prediction, data) = clock("wren.toml", &[]);
        (draw_all(&design, &prediction, &data), prediction::csv::tables(&data, &prediction))
    });
}

#[test]
fn tables_have_units_in_their_columns_and_only_numbers_and_names_below() {
    for ((_, prediction, data), _) in clocks() {
        for table in prediction::csv::tables(&data, &prediction) {
            let mut reader = csv::Reader::from_reader(table.text.as_bytes());
            let columns = reader.headers().unwrap().clone();
            let plain = ["action", "pallet", "entry", "share_of_input", "moment", "curve"];
            let units = ["_deg", "_s", "_kg", "_n_m", "_j", "_mm", "_days", "_years", "_n", "_day"];
            for column in &columns {
                assert!(
                    plain.contains(&column) || units.iter().any(|unit| column.ends_with(unit)),
                    "{}: {column} has no unit",
                    table.name
                );
            }
            let mut rows = 0;
            for row in reader.records() {
                for (column, cell) in columns.iter().zip(&row.unwrap()) {
                    let number = !plain.contains(&column) || column == "share_of_input";
                    let empty = cell.is_empty();
                    assert!(
                        !number || empty || cell.parse::<f64>().is_ok_and(f64::is_finite),
                        "{}: {cell}",
                        table.name
                    );
                }
                rows += 1;
            }
            assert!(rows > 0, "{} is empty", table.name);
        }
    }
}

fn distance_m(point: Point, outline: &[Point]) -> f64 {
    (0..outline.len())
        .map(|index| {
            let (from, to) = (outline[index], outline[(index + 1) % outline.len()]);
            let share = ((point - from).dot(&(to - from)) / (to - from).norm_squared()).clamp(0.0, 1.0);
            (point - from - (to - from) * share).norm()
        })
        .fold(f64::INFINITY, f64::min)
}

// Closed form: a touching point lies on both outlines, and two touching bodies share no interior. Arcs are taken as
// chords off by at most 1e-8 m.
#[test]
fn exact_drawn_teeth_touch_the_pallet_at_the_marked_point_and_overlap_neither() {
    const SAGITTA_M: f64 = 1e-8;
    let all = [
        clock("heron.toml", &[]),
        clock("wren.toml", &[]),
        clock("heron.toml", &["escapement.dead_beat.beat_error=\"0.3 deg\""]),
        clock("wren.toml", &["drive.weight=\"0.2 kg\""]),
    ];
    for (clock, (_, prediction, data)) in all.iter().enumerate() {
        let outlines = prediction.built.outlines.as_ref().unwrap();
        let beat_error = if clock == 2 { 0.3_f64.to_radians() } else { 0.0 };
        let arbor = Point::new(0.0, outlines.centre_distance_m);
        let pitch = std::f64::consts::TAU / f64::from(outlines.teeth);
        assert_eq!(data.moments.len(), 4);
        for moment in &data.moments {
            let turned = moment.theta_rad + beat_error;
            let entry = outlines.pallets.entry.turned_about(arbor, turned).polyline(SAGITTA_M);
            let exit = outlines.pallets.exit.turned_about(arbor, turned).polyline(SAGITTA_M);
            let touched = if moment.pallet == Side::Entry { &entry } else { &exit };
            assert!(distance_m(moment.contact, touched) < 2.0 * SAGITTA_M, "{:?}: pallet", moment.view);
            let mut nearest = f64::INFINITY;
            for tooth in 0..outlines.teeth {
                let angle = f64::from(tooth) * pitch - moment.phi_rad;
                let tooth = outlines.tooth.turned_about(Point::zeros(), angle).polyline(SAGITTA_M);
                nearest = nearest.min(distance_m(moment.contact, &tooth));
                for pallet in [&entry, &exit] {
                    let deepest = |points: &[Point], body: &[Point]| {
                        points
                            .iter()
                            .filter(|&&point| inside(point, body))
                            .map(|&point| distance_m(point, body))
                            .fold(0.0, f64::max)
                    };
                    let depth = deepest(&tooth, pallet).max(deepest(pallet, &tooth));
                    assert!(depth < 2.0 * SAGITTA_M, "{:?}: {depth} m deep", moment.view);
                }
            }
            assert!(nearest < 2.0 * SAGITTA_M, "{:?}: tooth {nearest} m off", moment.view);
        }
    }
}
