//! `[port]`: masses by density, friction by the pair of materials, and ports that cannot be.

use std::fs;

use beatwright::clock::design::{Design, DriveDesign, EscapementDesign, PendulumDesign};
use beatwright::clock::escapement::{drawn_outlines, escape_wheel};
use beatwright::clock::materials::{friction_pair_named, material_named};
use beatwright::scenario::{LoadError, NO_OVERRIDES, load, read};

use crate::support::plain::{self, HERON};

/// Heron in PLA, with frictions that no pair of materials has.
const BASE: &str = "from = \"heron.toml\"\n[train]\nmaterial = \"PLA\"\ntooth_friction = 0.21\n\
                    [escapement.dead_beat]\nfriction = 0.22\n[escapement.pallets]\nmaterial = \"PLA\"\n";

/// Heron with nothing said of what its wheels and pallets are made of.
fn of_nothing() -> String {
    let wheels = "material = \"PLA\"                        # of wheels and pinions\n";
    HERON.replace(wheels, "").replace("[escapement.pallets]\nmaterial = \"PLA\"\n", "")
}

/// What a file over Heron in PLA says, as made.
fn over(text: &str, settings: &[&str]) -> Result<Design, LoadError> {
    let folder = tempfile::tempdir().unwrap();
    fs::write(folder.path().join("heron.toml"), HERON).unwrap();
    fs::write(folder.path().join("base.toml"), BASE).unwrap();
    fs::write(folder.path().join("over.toml"), format!("from = \"base.toml\"\n{text}")).unwrap();
    load(&folder.path().join("over.toml"), settings).map(|scenario| scenario.design)
}

fn design(settings: &[&str]) -> Design {
    over("", settings).unwrap_or_else(|error| panic!("{error}"))
}

fn frictions(design: &Design) -> (f64, f64) {
    let EscapementDesign::DeadBeat(escapement) = &design.escapement else { panic!("no dead-beat") };
    (design.train.as_ref().unwrap().tooth_friction.value, escapement.plan.friction.value)
}

fn pair(name: &str) -> f64 {
    friction_pair_named(name).unwrap().sliding.value
}

fn ratio() -> f64 {
    let density = |name: &str| material_named(name).unwrap().density_kg_m3.value;
    density("beech") / density("PLA")
}

fn assert_close(value: f64, expected: f64, what: &str) {
    assert!((value / expected - 1.0).abs() < 1e-12, "{what}: {value} is not {expected}");
}

#[test]
fn exact_masses_go_with_the_density() {
    let own = design(&[]);
    let beech = design(&["port={ wheels = \"beech\", pallets = \"beech\" }"]);
    let (before, after) = (own.train.as_ref().unwrap(), beech.train.as_ref().unwrap());
    for (own, beech) in before.arbors.iter().zip(&after.arbors) {
        assert_close(beech.mass_kg, own.mass_kg * ratio(), &own.name);
        assert_close(beech.inertia_kg_m2, own.inertia_kg_m2 * ratio(), &own.name);
    }
    // The escape wheel from its outlines in beech.
    let body = beech.escape_wheel.as_ref().unwrap();
    assert_eq!(body.material.name, "beech");
    let wheel = escape_wheel(&drawn_outlines(&beech.escapement).unwrap().unwrap(), body).unwrap();
    assert_close(after.arbors[3].inertia_kg_m2, wheel.inertia_kg_m2, "escape wheel");
    let PendulumDesign::Parts(pendulum) = &beech.pendulum else { panic!("no parts") };
    assert_close(pendulum.extras[0].mass_kg, 0.06 * ratio(), "pallets");
    assert_close(pendulum.extras[0].inertia_kg_m2, 8e-5 * ratio(), "pallets");
    assert_eq!(beech.pallets.as_ref().unwrap().material.name, "beech");
    // What is not named stays: rod, bob, weight and sizes.
    let PendulumDesign::Parts(before) = &own.pendulum else { panic!("no parts") };
    assert_eq!((&pendulum.rod, &pendulum.bob, &own.drive), (&before.rod, &before.bob, &beech.drive));
}

#[test]
fn exact_friction_is_that_of_the_pair() {
    let own = frictions(&design(&[]));
    assert_eq!(own, (0.21, 0.22));
    let waxed = design(&["port={ wheels = \"beech\", pinions = \"oak\", pallets = \"ash\", surface = \"waxed\" }"]);
    assert_eq!(frictions(&waxed), (pair("wood on wood, waxed"), pair("wood on wood, waxed")));
    let dry = design(&["port={ wheels = \"beech\", pinions = \"oak\" }"]);
    // The table knows no beech on PLA: the pallets keep theirs.
    assert_eq!(frictions(&dry), (pair("wood on wood"), 0.22));
    let alone = design(&["port.escape_wheel=PETG"]);
    assert_eq!(frictions(&alone), (0.21, pair("PETG on PLA")));
    assert_eq!(alone.train.unwrap().arbors[0].mass_kg, 0.26);
}

#[test]
fn exact_rod_drum_and_frame() {
    let ported = design(&["port={ pendulum_rod = \"spruce\", drum = \"oak\", frame = \"oak\" }"]);
    let PendulumDesign::Parts(pendulum) = &ported.pendulum else { panic!("no parts") };
    assert_eq!(pendulum.rod.material.name, "spruce");
    let Some(DriveDesign::Weight(drive)) = &ported.drive else { panic!("no weight") };
    assert_eq!(drive.drum.as_ref().unwrap().name, "oak");
    assert_eq!(ported.frame.as_ref().unwrap().material.name, "oak");
    assert_eq!(frictions(&ported), (0.21, 0.22));
}

#[test]
fn a_friction_of_the_file_of_the_port_stays() {
    let load = |text: &str, settings: &[&str]| over(text, settings).unwrap_or_else(|error| panic!("{error}"));
    let port = "[port]\nwheels = \"beech\"\npinions = \"beech\"\npallets = \"beech\"\n";
    let wood = pair("wood on wood");
    assert_eq!(frictions(&load(port, &[])), (wood, wood));
    let stated = format!("{port}[train]\ntooth_friction = 0.3\n");
    assert_eq!(frictions(&load(&stated, &[])), (0.3, wood));
    assert_eq!(frictions(&load(&stated, &["escapement.dead_beat.friction=0.1"])), (0.3, 0.1));
}

#[test]
fn the_scale_comes_before_the_port() {
    let both = design(&["scale.all=0.8", "port.wheels=beech"]);
    let train = both.train.unwrap();
    assert_close(train.arbors[0].mass_kg, 0.26 * 0.8f64.powi(3) * ratio(), "great wheel");
}

#[test]
fn the_clock_in_beech_is_heron_ported() {
    let beech = plain::loaded("heron-beech.toml", &[]).design;
    let train = beech.train.as_ref().unwrap();
    assert_close(train.arbors[0].mass_kg, 0.26 * 1.25f64.powi(3) * ratio(), "great wheel");
    assert_eq!(train.arbors[0].wheel.as_ref().unwrap().material.name, "beech");
    assert_eq!(frictions(&beech), (pair("wood on wood, waxed"), pair("wood on wood, waxed")));
}

#[test]
fn tells_ports_that_cannot_be() {
    let told = |port: &str| {
        let text = of_nothing().replace("[place]", &format!("[port]\n{port}\n[place]"));
        plain::complaint(read("heron.toml", &text, &NO_OVERRIDES))
    };
    let mut all: Vec<String> = [
        "wheels = \"beach\"",
        "wheel = \"beech\"",
        "pallets = 3",
        "pendulum_rod = \"beech\"\nsurface = \"greasy\"",
        "wheels = \"beech\"",
        "pallets = \"beech\"",
    ]
    .map(told)
    .to_vec();
    all.push(match read("heron.toml", HERON, &["port=7".to_owned()]) {
        Err(error) => error.to_string(),
        Ok(_) => panic!("port = 7 reads"),
    });
    insta::assert_snapshot!(all.join("\n"));
}
