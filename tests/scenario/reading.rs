//! Scenario files: the demo clocks and the starter read, every kind of problem is told at its place, overrides go
//! through the same reader, and no input breaks it.

use std::error::Error as _;
use std::path::Path;

use beatwright::clock::design::{
    DriveDesign, EscapementDesign, Gravity, KickSides, KickSize, Maintaining, Outside, PendulumDesign, ToothForm,
};
use beatwright::clock::escapement::{dead_beat, recoil_anchor};
use beatwright::scenario::{
    DEFAULT_MARGIN_RAD, FileError, LoadError, NO_OVERRIDES, ProblemCode, Scenario, load, read, starter,
};

use crate::support::plain::{self, HERON};

fn loaded(name: &str) -> Scenario {
    plain::loaded(name, &[])
}

/// The report of a file of `tests/data/bad`, called by its file name alone.
fn report(name: &str) -> String {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/data/bad").join(name);
    let text = std::fs::read_to_string(path).unwrap();
    problems(name, &text, &[])
}

fn problems(name: &str, text: &str, overrides: &[&str]) -> String {
    plain::complaint(read(name, text, overrides))
}

#[test]
fn exact_heron_reads_as_written() {
    let design = loaded("heron.toml").design;
    assert_eq!(design.name, "Heron");
    let train = design.train.unwrap();
    assert_eq!(train.minute_arbor, Some(1));
    assert_eq!(train.arbors[0].inertia_kg_m2, 0.5 * 0.26 * 0.078 * 0.078);
    let escape = train.arbors[3].inertia_kg_m2;
    assert!(escape > 0.0 && escape < 0.5 * 0.03 * 0.06 * 0.06, "that of a wheel with spokes: {escape}");
    let Some(DriveDesign::Weight(drive)) = design.drive else { panic!("no weight") };
    assert_eq!((drive.weight_kg, drive.falls, drive.drum_turns), (3.6, 2, Some(18.0)));
    let EscapementDesign::DeadBeat(escapement) = design.escapement else { panic!("no dead-beat") };
    assert_eq!(escapement.lock_rad, 1.3 * std::f64::consts::PI / 180.0);
    let PendulumDesign::Parts(pendulum) = design.pendulum else { panic!("no parts") };
    assert_eq!(pendulum.rod.top_m, -0.01);
}

#[test]
fn exact_wren_and_the_starter_read() {
    assert_eq!(loaded("wren.toml").design.name, "Wren");
    let scenario = read("new.toml", starter(), &NO_OVERRIDES).unwrap_or_else(|error| panic!("{error}"));
    assert_eq!(scenario.design.name, "My clock");
}

/// One snapshot of the whole report for each bad file.
macro_rules! bad_files {
    ($($test:ident: $file:literal,)*) => {
        $(
            #[test]
            fn $test() {
                insta::assert_snapshot!(report($file));
            }
        )*
    };
}

bad_files! {
    tells_unknown_keys: "unknown_key.toml",
    tells_missing_keys: "missing_key.toml",
    tells_missing_tables: "missing_tables.toml",
    tells_wrong_units: "wrong_unit.toml",
    tells_bare_numbers: "bare_number.toml",
    tells_wrong_types: "wrong_type.toml",
    tells_impossible_values: "impossible_value.toml",
    tells_impossible_escapement: "escapement_geometry.toml",
    tells_impossible_pendulum: "pendulum_geometry.toml",
    tells_a_rod_that_ends_above_the_bob: "rod_too_short.toml",
    tells_impossible_drive: "drive_conflicts.toml",
    tells_a_missing_pulley: "pulley_missing.toml",
    tells_two_escapements: "two_escapements.toml",
    tells_parts_beside_bare_numbers: "parts_and_lumped.toml",
    tells_gravity_given_twice: "gravity_twice.toml",
    tells_a_train_that_does_not_close: "train_open.toml",
    tells_a_train_of_one_arbor: "one_arbor.toml",
    tells_a_train_of_no_arbors: "no_arbors.toml",
    tells_hands_without_arbor: "hands.toml",
    tells_unknown_names: "unknown_names.toml",
    tells_a_bad_material: "own_material.toml",
    tells_all_syntax_errors: "syntax.toml",
    tells_that_nothing_restores: "nothing_restores.toml",
    tells_a_kick_without_size: "kick_without_size.toml",
    tells_a_missing_drive: "no_drive.toml",
    tells_a_missing_train: "no_train.toml",
    tells_bad_outline_text: "outline.toml",
    tells_impossible_wheel: "wheel.toml",
    tells_a_wheel_heavier_than_its_arbor: "wheel_too_heavy.toml",
    tells_degenerate_outlines: "outline_degenerate.toml",
}

#[test]
fn tells_impossible_play_of_gears() {
    let overrides = [
        "train.backlash=-0.1 mm",
        "train.bottom_clearance=200 %",
        "train.arbor.third.backlash=0.1",
        "train.arbor.escape.backlash=0.1 mm",
    ];
    insta::assert_snapshot!(problems("heron.toml", HERON, &overrides));
}

/// The diagnostics of overrides point into the override's own text.
#[test]
fn tells_bad_overrides() {
    let overrides = [
        "drive.weight=3 mm",
        "drive.wieght=3 kg",
        "train.arbor.center.wheel_teeth=90",
        "train.arbor.7.wheel_teeth=90",
        "train.arbor.centre.wheel_teeth=ninety",
        "drive.weight.of.soul=21 g",
        "no equals sign",
        "=3 kg",
        "drive.drop=",
        "drive.drop=\"1 m",
        "escapement.ideal_kick.at=0 deg",
        "pendulum.lumped={ mass = 2, inertia = \"1 kg m^2\" }",
        "start_arc=4",
        "place.latitude=\"98 deg\"",
    ];
    insta::assert_snapshot!(problems("heron.toml", HERON, &overrides));
}

#[test]
fn exact_overrides_reach_every_kind_of_place() {
    let overrides: Vec<String> = [
        "drive.weight=3 kg",
        "drive.weight=\"2.5 kg\"",
        " drive . drop = 1.3 m ",
        "train.arbor.centre.wheel_teeth=90",
        "train.arbor.2.mass=71 g",
        "train.arbor.\"escape\".inertia='4e-5 kg m^2'",
        "drive.maintaining=endless_cord",
        "escapement.dead_beat.restitution=0.1",
        "escapement.dead_beat.tooth.width=1.1mm",
        "pendulum.extra_damping.linear=1e-5 N m s",
        "pendulum.part.0.mass=61 g",
        "train.hands.motion_work=[[10, 30], [8, 32]]",
        "name=Heron the second",
    ]
    .map(str::to_owned)
    .to_vec();
    let scenario = read("heron.toml", HERON, &overrides).unwrap_or_else(|error| panic!("{error}"));
    let design = &scenario.design;
    let train = design.train.as_ref().unwrap();
    let Some(DriveDesign::Weight(drive)) = &design.drive else { panic!("no weight") };
    assert_eq!((drive.weight_kg, drive.drop_m), (2.5, 1.3));
    assert_eq!(drive.maintaining, Maintaining::EndlessCord);
    assert_eq!((train.arbors[1].wheel_teeth, train.arbors[2].mass_kg), (Some(90), 0.071));
    assert_eq!(train.arbors[3].inertia_kg_m2, 4e-5);
    assert_eq!(train.motion_work, [(10, 30), (8, 32)]);
    let EscapementDesign::DeadBeat(escapement) = &design.escapement else { panic!("no dead-beat") };
    let ToothForm::Uniform(tooth) = escapement.plan.tooth else { panic!("no uniform tooth") };
    assert_eq!((escapement.plan.restitution, tooth.width_m, tooth.root_fillet_m), (0.1, 0.0011, 0.001));
    let PendulumDesign::Parts(pendulum) = &design.pendulum else { panic!("no parts") };
    assert_eq!((pendulum.extra_damping_linear_n_m_s, pendulum.extras[0].mass_kg), (1e-5, 0.061));
    assert_eq!(design.name, "Heron the second");

    let again = loaded("heron.toml").with_overrides(&overrides).unwrap();
    assert_eq!(again.design, *design);
    assert_ne!(again.hash, loaded("heron.toml").hash);
}

#[test]
fn exact_a_whole_block_is_replaced_by_an_override() {
    let overrides = ["escapement={ ideal_kick = { at = \"0 deg\", speed = \"1 mrad/s\" } }".to_owned()];
    let text = HERON.replace("mass = \"30 g\"", "mass = \"30 g\"\ninertia = \"1e-5 kg m^2\"");
    let scenario = read("heron.toml", &text, &overrides).unwrap_or_else(|error| panic!("{error}"));
    let EscapementDesign::IdealKick(kick) = scenario.design.escapement else { panic!("no kick") };
    assert_eq!(kick.size, KickSize::Speed(1e-3));
}

/// Later steps report at the key that a path names, in the file or in the override that set it.
#[test]
fn locates_values_for_later_steps() {
    let overrides = ["train.arbor.centre.wheel_teeth=90".to_owned()];
    let scenario = read("heron.toml", HERON, &overrides).unwrap();
    let list = [
        "train.arbor.centre.wheel_teeth",
        "train.arbor.third.wheel_teeth",
        "train.arbor.3.pinion_teeth",
        "train.hands.minute",
        "escapement.dead_beat.centre_distance",
        "train.arbor.nobody.mass",
        "nothing.at.all",
        "",
    ]
    .map(|path| {
        scenario.problem_at(path, ProblemCode::UnknownKey, format!("place of `{path}`"), "none needed".to_owned())
    });
    insta::assert_snapshot!(scenario.problems(list.to_vec()).render(false));
}

#[test]
fn exact_lumped_blocks_and_outlines_read_as_in_the_reference() {
    let scenario = read("lumped.toml", LUMPED, &NO_OVERRIDES).unwrap_or_else(|error| panic!("{error}"));
    let design = scenario.design;
    assert_eq!(design.name, "lumped");
    assert_eq!(design.place.gravity, Gravity::Stated(9.80665));
    assert_eq!(design.margin_rad, DEFAULT_MARGIN_RAD);
    let PendulumDesign::Lumped(pendulum) = design.pendulum else { panic!("no bare numbers") };
    assert_eq!((pendulum.inertia_kg_m2, pendulum.damping_quadratic_n_m_s2.value), (1.0, 0.25));
    let Some(DriveDesign::Lumped(drive)) = design.drive else { panic!("no bare numbers") };
    assert_eq!((drive.escape_torque_n_m, drive.inertia_kg_m2), (1e-3, 2e-6));
    let EscapementDesign::Outline(outline) = design.escapement else { panic!("no outline") };
    // A chain left open is closed by a line, one that returns to its start is not given a second corner there.
    assert_eq!(outline.tooth.vertices().len(), 3);
    assert_eq!(outline.pallets.entry.vertices().len(), 3);
    // The bulge of the edge to (4, 80) mm leaves from the start: a half circle of radius 2 mm stands on the rectangle.
    let arc = outline.pallets.exit.vertices().iter().find(|vertex| vertex.bulge != 0.0).unwrap();
    assert_eq!((arc.at.x, arc.at.y, arc.bulge), (0.0, 0.08, 1.0));
    let expected_m2 = 4e-3 * 10e-3 + 0.5 * std::f64::consts::PI * 2e-3 * 2e-3;
    assert!((outline.pallets.exit.signed_area_m2() - expected_m2).abs() < 1e-18);
}

const LUMPED: &str = r#"
[place]
gravity = "9.80665 m/s^2"

[pendulum.lumped]
inertia = "1 kg m^2"
mass = "1 kg"
centre_of_mass = "1 m"
stiffness = "0 N m/rad"
damping_linear = "0 N m s"
damping_quadratic = "0.25 N m s^2"
friction_torque = "0 N m"

[drive.lumped]
escape_torque = "1 mN m"
friction_torque = "0 N m"
inertia = "2e-6 kg m^2"

[escapement.outline]
teeth = 30
centre_distance = "60 mm"
friction = 0.2
beat_error = "0 deg"
tooth = { start = [0, 30], path = [{ to = [1, 50] }, { to = [-1, 30] }] }
entry = { start = [0, 30], path = [{ to = [-1, 50] }, { to = [1, 30] }, { to = [0, 30] }] }
exit = { start = [0, 80], path = [{ to = [4, 80], bulge = 1 }, { to = [4, 90] }, { to = [0, 90] }] }
"#;

#[test]
fn exact_ideal_blocks_read() {
    let pendulum = "[pendulum.lumped]\ninertia = \"1 kg m^2\"\nmass = \"1 kg\"\ncentre_of_mass = \"1 m\"\n";
    let torque =
        "[escapement.ideal_torque]\ntorque = \"1 mN m\"\nbefore = \"1 deg\"\nafter = \"1 deg\"\noutside = \"reversed\"";
    let design = read("torque.toml", &format!("{pendulum}{torque}"), &NO_OVERRIDES).unwrap().design;
    let EscapementDesign::IdealTorque(ideal) = design.escapement else { panic!("no ideal torque") };
    assert_eq!((ideal.torque_n_m, ideal.outside), (1e-3, Outside::Reversed));
    assert_eq!((design.train, design.drive), (None, None));
    let kick = "[escapement.ideal_kick]\nat = \"-1 deg\"\nenergy = \"1 mJ\"\nsides = \"right\"";
    let design = read("kick.toml", &format!("{pendulum}{kick}"), &NO_OVERRIDES).unwrap().design;
    let EscapementDesign::IdealKick(ideal) = design.escapement else { panic!("no ideal kick") };
    assert_eq!((ideal.size, ideal.sides), (KickSize::Energy(1e-3), KickSides::Right));
}

#[test]
fn unreadable_files_are_told_apart() {
    let folder = tempfile::tempdir().unwrap();
    let path = |name: &str| folder.path().join(name);
    assert!(matches!(load(&path("absent.toml"), &NO_OVERRIDES), Err(LoadError::File(FileError::Unreadable { .. }))));
    assert!(matches!(load(folder.path(), &NO_OVERRIDES), Err(LoadError::File(FileError::Directory { .. }))));
    std::fs::write(path("empty.toml"), "\u{feff} \n").unwrap();
    assert!(matches!(load(&path("empty.toml"), &NO_OVERRIDES), Err(LoadError::Empty { .. })));
    std::fs::write(path("binary.toml"), b"name = \"a\"\n\xff\xfe").unwrap();
    assert!(matches!(
        load(&path("binary.toml"), &NO_OVERRIDES),
        Err(LoadError::File(FileError::NotText { at: 12, .. }))
    ));
    let large = std::fs::File::create(path("large.toml")).unwrap();
    large.set_len(100 * 1024 * 1024).unwrap();
    assert!(matches!(load(&path("large.toml"), &NO_OVERRIDES), Err(LoadError::File(FileError::TooLarge { .. }))));
}

#[test]
fn an_unreadable_file_keeps_what_the_system_says() {
    let folder = tempfile::tempdir().unwrap();
    let error = load(&folder.path().join("absent.toml"), &NO_OVERRIDES).unwrap_err();
    let source = error.source().unwrap().downcast_ref::<std::io::Error>().unwrap();
    assert_eq!(source.kind(), std::io::ErrorKind::NotFound);
    assert_eq!(error.to_string().matches(&source.to_string()).count(), 1, "{error}");
}

/// Of the demo clocks and the starter: the pallets can be drawn, and the minute hand's arbor turns once an hour with
/// the beat the pendulum is made for.
#[test]
fn exact_demo_clocks_fit_together() {
    let new = read("new.toml", starter(), &NO_OVERRIDES).unwrap();
    for (scenario, period_s) in [(loaded("heron.toml"), 2.0), (loaded("wren.toml"), 1.0), (new, 2.0)] {
        let (teeth, drawn) = match &scenario.design.escapement {
            EscapementDesign::DeadBeat(escapement) => (escapement.plan.teeth, dead_beat(escapement).map(|_| ())),
            EscapementDesign::RecoilAnchor(escapement) => {
                (escapement.plan.teeth, recoil_anchor(escapement).map(|_| ()))
            }
            other => panic!("{other:?}"),
        };
        assert!(drawn.is_ok(), "{}: {}", scenario.file_name, drawn.unwrap_err());
        let train = scenario.design.train.unwrap();
        let minute = train.minute_arbor.unwrap();
        let mut turns_of_escape = 1.0;
        for pair in train.arbors[minute..].windows(2) {
            turns_of_escape *= f64::from(pair[0].wheel_teeth.unwrap()) / f64::from(pair[1].pinion_teeth.unwrap());
        }
        assert_eq!(turns_of_escape * f64::from(teeth) * period_s, 3600.0, "{}", scenario.file_name);
        let hour: f64 =
            train.motion_work.iter().map(|&(driver, driven)| f64::from(driven) / f64::from(driver)).product();
        assert_eq!(hour, 12.0);
    }
}
