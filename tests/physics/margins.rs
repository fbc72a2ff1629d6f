//! Margins of the action against closed forms, against scenarios read anew and against all teeth of a wheel out of true;
//! the warnings; the mirrored mechanism.

use std::error::Error as _;
use std::f64::consts::TAU;
use std::fmt::Write as _;

use beatwright::clock::build::{BuildError, Built, build, contact_escapement};
use beatwright::clock::escapement::EscapementOutlines;
use beatwright::clock::escapement::action::{Action, read_action};
use beatwright::clock::escapement::clearances::{LARGEST_CHANGE_M, Margins, margins};
use beatwright::clock::mechanism::ContactEscapement;
use beatwright::clock::printing::printed_outline::tooth_with_run_out;
use beatwright::clock::side::Side;
use beatwright::geometry::{Flank, Outline, Point, Vertex};
use beatwright::report::words::notes::notes_in_words;
use beatwright::scenario::{NO_OVERRIDES, Scenario, read};
use proptest::prelude::*;
use proptest::test_runner::RngSeed;

use crate::support::polygons::turned_point;
use crate::support::shapes::{self, family_outlines};

const MM: f64 = 1e-3;

const BARE: &str = "start_arc = \"4 deg\"\n[pendulum.lumped]\ninertia = \"1 kg m^2\"\nmass = \"1 kg\"\n\
    centre_of_mass = \"1 m\"\nstiffness = \"0 N m/rad\"\ndamping_linear = \"0.002 N m s\"\n\
    damping_quadratic = \"0 N m s^2\"\nfriction_torque = \"0 N m\"\n[drive.lumped]\nescape_torque = \"1 mN m\"\n\
    friction_torque = \"0 N m\"\ninertia = \"2e-6 kg m^2\"\n[place]\ngravity = \"9.8 m/s^2\"\n";

const DEAD_BEAT: &str = "[escapement.dead_beat]\nteeth = 30\nradius = \"60 mm\"\nspaces = 7.5\nlift = \"2 deg\"\n\
    lock = \"1 deg\"\ndrop = \"2 deg\"\nfriction = 0.2\nface_length = \"7 deg\"\n\
    tooth = { depth = \"10 mm\", tip_width = \"0.8 mm\", undercut = \"10 deg\", wedge = \"16 deg\" }\n";

const ANCHOR: &str = "[escapement.recoil_anchor]\nteeth = 36\nradius = \"30 mm\"\nspaces = 6.5\nlift = \"5 deg\"\n\
    drop = \"2 deg\"\nface_length = \"4.5 deg\"\nfriction = 0.2\n\
    tooth = { depth = \"5 mm\", tip_width = \"0.4 mm\", undercut = \"0 deg\", wedge = \"14 deg\" }\n";

fn written(escapement: &str, overrides: &[&str]) -> Scenario {
    read("written.toml", &format!("{BARE}{escapement}"), overrides).unwrap_or_else(|error| panic!("{error}"))
}

fn of(scenario: &Scenario) -> (Built, Margins) {
    let built = build(&scenario.in_room()).unwrap();
    let found = margins(&scenario.design.printer, &built).unwrap();
    (built, found)
}

fn warnings(escapement: &str, overrides: &[&str]) -> Vec<String> {
    let scenario = written(escapement, overrides);
    notes_in_words(&of(&scenario).1.notes(&scenario.design.printer))
}

fn bisected(mut kept: f64, mut lost: f64, is_kept: impl Fn(f64) -> bool) -> f64 {
    assert!(is_kept(kept) && !is_kept(lost));
    for _ in 0..40 {
        let middle = 0.5 * (kept + lost);
        if is_kept(middle) { kept = middle } else { lost = middle }
    }
    0.5 * (kept + lost)
}

/// The vertex of a pallet that is on the tip circle with the pallets turned by `angle_rad`.
fn corner_on_tip_circle(pallet: &Outline, arbor: Point, angle_rad: f64, radius_m: f64) -> Point {
    let on_circle = |vertex: &&Vertex| (turned_point(vertex.at, arbor, angle_rad).norm() - radius_m).abs() < 1e-9;
    let found: Vec<&Vertex> = pallet.vertices().iter().filter(on_circle).collect();
    assert_eq!(found.len(), 1);
    found[0].at
}

// Derived here. The tip corner leaves a pallet when the pallet's release corner passes the tip circle, and locks on the other
// if that one's unlocking corner is by then still inside the circle. A lock is lost where both corners are on the circle at
// once: on a smaller circle, or on the same circle after the arbor, with both corners, has been moved up.
#[test]
fn exact_a_lock_is_lost_when_release_and_unlocking_corner_pass_the_tip_circle_together() {
    for overrides in [vec![], vec!["escapement.dead_beat.lock=0.3 deg"], vec!["escapement.dead_beat.spaces=6.5"]] {
        let scenario = written(DEAD_BEAT, &overrides);
        let (built, found) = of(&scenario);
        let (outlines, action) = (built.outlines.unwrap(), built.action.unwrap());
        let (radius_m, arbor) = (60.0 * MM, Point::new(0.0, outlines.centre_distance_m));
        let corner = |pallet, angle_rad| corner_on_tip_circle(pallet, arbor, angle_rad, radius_m);
        let release = [
            corner(&outlines.pallets.entry, action.entry.release_rad),
            corner(&outlines.pallets.exit, action.exit.release_rad),
        ];
        let unlocking = [
            corner(&outlines.pallets.entry, action.entry.release_rad + action.entry.lift_rad),
            corner(&outlines.pallets.exit, action.exit.release_rad - action.exit.lift_rad),
        ];
        // Distance of a corner from the wheel's centre.
        let out_m = |point: Point, angle_rad: f64, up_m: f64| {
            (turned_point(point, arbor, angle_rad) + Point::new(0.0, up_m)).norm()
        };
        let (mut wheel_m, mut arbors_m) = (f64::INFINITY, f64::INFINITY);
        for (leaves, locks, sign) in [(0, 1, -1.0), (1, 0, 1.0)] {
            // The pallet that lets go turns out of the wheel with `sign`.
            let released = |reach_m: f64, up_m: f64| {
                bisected(sign * -0.02, sign * 0.1, |angle| out_m(release[leaves], angle, up_m) < reach_m)
            };
            let locked = |reach_m: f64, up_m: f64| out_m(unlocking[locks], released(reach_m, up_m), up_m) < reach_m;
            let reach_m = bisected(radius_m, radius_m - 0.9 * MM, |reach_m| locked(reach_m, 0.0));
            wheel_m = wheel_m.min(2.0 * (radius_m - reach_m));
            arbors_m = arbors_m.min(bisected(0.0, 0.9 * MM, |up_m| locked(radius_m, up_m)));
        }
        assert!((found.hold.wheel_m.unwrap() - wheel_m).abs() < 2e-7, "{:?} {wheel_m}", found.hold);
        assert!((found.hold.arbors_m.unwrap() - arbors_m).abs() < 2e-7, "{:?} {arbors_m}", found.hold);
    }
}

fn path(outline: &Outline, factor: f64) -> String {
    let mut text = String::new();
    let vertices = outline.vertices();
    let place = |at: Point| format!("[{:.15e}, {:.15e}]", factor * at.x / MM, factor * at.y / MM);
    for (index, vertex) in vertices.iter().enumerate() {
        let to = place(vertices[(index + 1) % vertices.len()].at);
        let _ = write!(text, "{{ to = {to}, bulge = {:.17e} }}, ", vertex.bulge);
    }
    format!("{{ start = {}, path = [{text}] }}", place(vertices[0].at))
}

/// The escapement as a scenario of bare outlines, its wheel larger by `factor`.
fn as_outlines(outlines: &EscapementOutlines, factor: f64) -> String {
    format!(
        "[escapement.outline]\nteeth = {}\ncentre_distance = \"{:.15} mm\"\nfriction = 0.2\nbeat_error = \"0 deg\"\n\
        tooth = {}\nentry = {}\nexit = {}\n",
        outlines.teeth,
        outlines.centre_distance_m / MM,
        path(&outlines.tooth, factor),
        path(&outlines.pallets.entry, 1.0),
        path(&outlines.pallets.exit, 1.0)
    )
}

/// Least lock (without locks: arc from a tooth's fall to its release), drop and clearance of a scenario that is read anew.
fn least(escapement: &str, overrides: &[&str], locks: bool) -> Option<[f64; 3]> {
    let Action { entry, exit } = build(&written(escapement, overrides).in_room()).ok()?.action?;
    let hold = if locks { entry.lock_rad.min(exit.lock_rad) } else { entry.lift_rad.min(exit.lift_rad) };
    Some([hold, entry.drop_rad.min(exit.drop_rad), entry.clearance_rad.min(exit.clearance_rad)])
}

/// The change at which a scenario read anew has lost quantity no. `which`; `None` if it still has it after 2 mm.
fn lost_m(which: usize, locks: bool, scenario: impl Fn(f64) -> (String, Vec<String>)) -> Option<f64> {
    let is_kept = |change_m: f64| {
        let (escapement, overrides) = scenario(change_m);
        let overrides: Vec<&str> = overrides.iter().map(String::as_str).collect();
        least(&escapement, &overrides, locks).is_some_and(|least| least[which] > 0.0)
    };
    let steps = (1..=16).map(|step| f64::from(step) * LARGEST_CHANGE_M / 16.0);
    let lost = steps.clone().find(|&step| !is_kept(step))?;
    Some(bisected(lost - LARGEST_CHANGE_M / 16.0, lost, is_kept))
}

#[test]
fn crosscheck_margins_are_where_scenarios_read_anew_lose_them() {
    for (family, bead) in [(DEAD_BEAT, "0 mm"), (DEAD_BEAT, "0.3 mm"), (ANCHOR, "0 mm"), (ANCHOR, "0.12 mm")] {
        let bead = format!("printer.bead_radius={bead}");
        let (built, found) = of(&written(family, &[&bead]));
        let outlines = built.outlines.unwrap();
        let tip_m = outlines.tooth.vertices().iter().map(|vertex| vertex.at.norm()).fold(0.0, f64::max);
        assert!((tip_m - found.tip_radius_m).abs() < 0.05 * MM);
        let locks = found.locks;
        assert_eq!(locks, family == DEAD_BEAT);
        for (which, margin) in [found.hold, found.drop, found.clearance].into_iter().enumerate() {
            let sign = if which == 0 { -1.0 } else { 1.0 };
            let wheel = lost_m(which, locks, |change_m| {
                (as_outlines(&outlines, 1.0 + 0.5 * sign * change_m / found.tip_radius_m), Vec::new())
            });
            let set = |key: &str, change_m: f64| format!("printer.{key}={:.12} mm", change_m / MM);
            let arbors = lost_m(which, locks, |change_m| {
                (family.to_owned(), vec![bead.clone(), set("centre_distance_error", -sign * change_m)])
            });
            let edges = lost_m(which, locks, |change_m| {
                (family.to_owned(), vec![bead.clone(), set("growth", sign * change_m)])
            });
            for (name, ours, theirs) in [
                ("wheel", margin.wheel_m, wheel),
                ("arbors", margin.arbors_m, arbors),
                ("edges", margin.edges_m, edges),
            ] {
                let agree = match (ours, theirs) {
                    (Some(ours), Some(theirs)) => (ours - theirs).abs() < 2e-7,
                    (ours, theirs) => ours == theirs,
                };
                assert!(agree, "{family} {bead} {which} {name}: {ours:?} {theirs:?}");
            }
        }
    }
}

#[test]
fn crosscheck_a_wheel_out_of_true_has_the_margins_of_its_worst_tooth() {
    for family in [DEAD_BEAT, ANCHOR] {
        let run_out_m = 0.15 * MM;
        let scenario = written(family, &["printer.run_out=0.15 mm"]);
        let (built, found) = of(&scenario);
        let outlines = built.outlines.unwrap();
        let (teeth, pitch_rad) = (outlines.teeth, TAU / f64::from(outlines.teeth));
        let curves: Vec<ContactEscapement> = (0..teeth)
            .map(|number| {
                let tooth = tooth_with_run_out(&outlines.tooth, run_out_m, 0.0, number, teeth);
                contact_escapement(&EscapementOutlines { tooth, ..outlines.clone() }, 0.2, 0.0, 0.0).unwrap()
            })
            .collect();
        // At each release of each tooth, the tooth of all that reaches the other pallet first.
        let mut least = [f64::INFINITY; 2];
        for (number, own) in curves.iter().enumerate() {
            let releases = [own.curves.entry.front[0].from_rad, own.curves.exit.front.last().unwrap().to_rad];
            for (pallet, release_rad) in releases.into_iter().enumerate() {
                let (leaves, others) = match pallet {
                    0 => (&own.curves.entry, curves.iter().map(|other| &other.curves.exit).collect::<Vec<_>>()),
                    _ => (&own.curves.exit, curves.iter().map(|other| &other.curves.entry).collect()),
                };
                let leaves_rad = leaves.front_at(release_rad).unwrap().phi_rad + number as f64 * pitch_rad;
                let drops = others.iter().enumerate().filter_map(|(other, curve)| {
                    let falls_rad = curve.front_at(release_rad)?.phi_rad + other as f64 * pitch_rad;
                    Some((other, (falls_rad - leaves_rad).rem_euclid(TAU)))
                });
                let (other, drop_rad) = drops.min_by(|a, b| a.1.total_cmp(&b.1)).unwrap();
                least[1] = least[1].min(drop_rad);
                // How long the tooth that has fallen stays in contact as the pallets turn on.
                let fallen = &curves[other];
                let (let_go, sign) = if pallet == 0 {
                    (fallen.curves.exit.front.last().unwrap().to_rad, 1.0)
                } else {
                    (fallen.curves.entry.front[0].from_rad, -1.0)
                };
                let hold = (let_go - release_rad) * sign;
                least[0] = least[0].min(hold);
            }
        }
        assert!((found.drop.least_rad - least[1]).abs() < 1e-12, "{} {}", found.drop.least_rad, least[1]);
        let plain = of(&written(family, &[])).1;
        assert!(found.drop.least_rad < plain.drop.least_rad && found.hold.least_rad < plain.hold.least_rad);
        if !found.locks {
            assert!((found.hold.least_rad - least[0]).abs() < 1e-12, "{} {}", found.hold.least_rad, least[0]);
        }
        assert!(found.drop.arbors_m.unwrap() < plain.drop.arbors_m.unwrap());
        assert!(found.hold.wheel_m.unwrap() < plain.hold.wheel_m.unwrap());
    }
}

#[test]
fn a_lock_that_is_missed_is_negative_and_goes_on_as_it_came() {
    let scenario = written(DEAD_BEAT, &[]);
    let (built, found) = of(&scenario);
    let outlines = built.outlines.unwrap();
    let lock = |further_m: f64| {
        let factor = 1.0 - 0.5 * (found.hold.wheel_m.unwrap() + further_m) / found.tip_radius_m;
        build(&written(&as_outlines(&outlines, factor), &[]).in_room()).unwrap()
    };
    let step_m = 0.02 * MM;
    let [deep, before, after, missed] = [-2.0, -1.0, 1.0, 2.0].map(|steps| lock(steps * step_m).action.unwrap().exit);
    assert!(deep.lock_rad > before.lock_rad && before.lock_rad > 0.0 && 0.0 > after.lock_rad);
    let slopes = [before.lock_rad - deep.lock_rad, missed.lock_rad - after.lock_rad];
    assert!((slopes[0] / slopes[1] - 1.0).abs() < 0.01, "{slopes:?}");
    let arc = |pallet: &beatwright::clock::escapement::action::PalletAction| pallet.release_rad - pallet.landing_rad;
    assert!((arc(&missed) - missed.lift_rad).abs() < 1e-15);
    assert!((arc(&before) - before.lift_rad - before.lock_rad).abs() < 1e-15);
    let told = notes_in_words(&lock(step_m).notes());
    assert!(told.iter().any(|note| note.contains("past the lock, straight on the impulse face")), "{told:?}");
    let gone = margins(&scenario.design.printer, &lock(step_m)).unwrap();
    assert_eq!([gone.hold.wheel_m, gone.hold.arbors_m, gone.hold.edges_m], [Some(0.0); 3]);
    assert!(notes_in_words(&gone.notes(&scenario.design.printer)).iter().all(|warning| !warning.contains("lock")));
}

#[test]
fn regress_warnings_say_what_a_maker_can_measure() {
    let mut told = String::new();
    for (family, settings) in [
        (DEAD_BEAT, vec!["escapement.dead_beat.lock=0.15 deg"]),
        (DEAD_BEAT, vec!["printer.bead_radius=0.3 mm"]),
        (DEAD_BEAT, vec!["escapement.dead_beat.lock=0.5 deg"]),
        (ANCHOR, vec![]),
        (ANCHOR, vec!["printer.bead_radius=0.15 mm"]),
        (ANCHOR, vec!["printer.growth=0.1 mm"]),
        // A printer's own spreads take the place of common practice, each for its dimension.
        (DEAD_BEAT, vec!["escapement.dead_beat.lock=0.5 deg", "printer.growth=0 mm +/- 0.02 mm"]),
        (DEAD_BEAT, vec!["escapement.dead_beat.lock=0.5 deg", "printer.centre_distance_error=0 mm +/- 0.4 mm"]),
        (DEAD_BEAT, vec!["escapement.dead_beat.lock=0.5 deg", "printer.shrinkage=0 % +/- 0.5 %"]),
        (DEAD_BEAT, vec!["escapement.dead_beat.lock=0.5 deg", "printer.run_out=0 mm +/- 0.3 mm"]),
        (DEAD_BEAT, vec!["escapement.dead_beat.lock=0.5 deg", "printer.pivot_play=0 mm +/- 0.5 mm"]),
    ] {
        let _ = writeln!(told, "{} {settings:?}", if family == DEAD_BEAT { "dead-beat" } else { "anchor" });
        for warning in warnings(family, &settings) {
            let _ = writeln!(told, "  {warning}");
        }
    }
    insta::assert_snapshot!("warnings", told);
}

fn inspect(settings: &[&str], more: &[&str]) -> std::process::Output {
    let folder = tempfile::tempdir().unwrap();
    std::fs::write(folder.path().join("written.toml"), format!("{BARE}{DEAD_BEAT}")).unwrap();
    let mut command = assert_cmd::Command::cargo_bin("beatwright").unwrap();
    command.env("NO_COLOR", "1").current_dir(folder.path()).args(["inspect", "written.toml"]).args(more);
    for setting in settings {
        command.args(["--set", setting]);
    }
    command.output().unwrap()
}

#[test]
fn inspect_prints_margins_and_warns() {
    let text = |settings: &[&str]| {
        let output = inspect(settings, &[]);
        [output.stdout, output.stderr].map(|bytes| String::from_utf8(bytes).unwrap())
    };
    let [table, notes] = text(&["escapement.dead_beat.lock=\"0.2 deg\""]);
    let table = table.split("\n\n").find(|part| part.starts_with("Clearance left")).unwrap().to_owned();
    insta::assert_snapshot!("inspect", format!("{table}\n\n{notes}"));
    insta::assert_snapshot!("no_action_for_the_bead", text(&["printer.bead_radius=\"2 mm\""])[1]);
    let output = inspect(&["printer.bead_radius=\"0.3 mm\""], &["--json"]);
    let keys: serde_json::Value = serde_json::from_slice(&output.stdout).unwrap();
    let margins = &keys["margins"];
    assert_eq!(margins["largest_change_mm"], 2.0);
    assert!(margins["hold"].is_null() && margins["drop"]["wheel_large_mm"].is_null());
    for path in [
        "/lock/deg",
        "/lock/wheel_small_mm",
        "/lock/arbors_apart_mm",
        "/lock/edges_short_mm",
        "/drop/mm",
        "/drop/growth_mm",
        "/clearance/mm",
        "/clearance/arbors_close_mm",
        "/bead_off_tip_mm",
        "/bead_as_wheel_small_mm",
    ] {
        assert!(margins.pointer(path).unwrap().as_f64().unwrap() > 0.0, "{path}");
    }
    let lock = keys["action"]["exit"]["lock_deg"].as_f64().unwrap();
    assert!((margins["lock"]["deg"].as_f64().unwrap() - lock).abs() < 1e-9);
    let notes = keys["notes"].as_array().unwrap();
    assert!(
        notes.iter().any(|note| note.as_str().unwrap().starts_with("exit lock, 0.26 deg, is used up by ")),
        "{notes:?}"
    );
}

#[test]
fn a_bead_that_shortens_the_teeth_is_told_and_one_that_leaves_no_action_is_blamed() {
    let pointed = ["escapement.dead_beat.tooth.tip_width=0.05 mm", "printer.bead_radius=0.1 mm"];
    let (built, found) = of(&written(DEAD_BEAT, &pointed));
    assert!(built.bead_off_tip_m > 0.1 * MM);
    assert_eq!(found.bead_off_tip_m, built.bead_off_tip_m);
    let notes = notes_in_words(&built.notes());
    assert!(notes.iter().any(|note| note.starts_with("the bead takes ")), "{notes:?}");
    let scenario = written(DEAD_BEAT, &["printer.bead_radius=2 mm"]);
    let error = build(&scenario.in_room()).unwrap_err();
    let problem = scenario.problem_of(&error);
    assert_eq!(problem.code.as_str(), "no_action");
    assert!(error.to_string().starts_with("a bead of radius 2 mm takes 8.4"), "{error}");
    // Without the bead there is no action either: then it is not to blame.
    let apart = written(DEAD_BEAT, &["printer.bead_radius=0.2 mm", "printer.centre_distance_error=12 mm"]);
    assert!(!build(&apart.in_room()).unwrap_err().to_string().contains("bead"));
}

#[test]
fn what_the_bead_is_blamed_for_is_the_source_of_the_error() {
    let error = build(&written(DEAD_BEAT, &["printer.bead_radius=2 mm"]).in_room()).unwrap_err();
    let source = error.source().unwrap();
    let BuildError::Bead { error: behind, .. } = &error else { panic!("{error}") };
    assert_eq!(source.to_string(), behind.to_string());
    assert_eq!(error.to_string().matches(&source.to_string()).count(), 1, "{error}");
}

#[test]
fn exact_the_farthest_point_of_arcs_is_found() {
    let runner = proptest::test_runner::Config { cases: 64, rng_seed: RngSeed::Fixed(3), ..Default::default() };
    proptest!(runner, |(outline in shapes::blob(Point::new(0.01, 0.02), 5e-3), x in -0.02..0.04_f64, y in -0.02..0.04_f64)| {
        let from = Point::new(x, y);
        let brute = outline.polyline(1e-10).into_iter().map(|point| (point - from).norm()).fold(0.0, f64::max);
        let found = outline.farthest_m(from);
        prop_assert!(found >= brute - 1e-15 && found - brute < 1e-8, "{} {}", found, brute);
    });
}

// The mirror image of a mechanism runs anticlockwise. With `phi` counted clockwise as ever it runs backwards: what its wheel
// meets first is what `Flank::Back` finds, at the mirrored pallet angle and the opposite advance.
#[test]
fn exact_the_mirrored_mechanism_run_backwards_has_the_mirrored_action() {
    let runner = proptest::test_runner::Config { cases: 24, rng_seed: RngSeed::Fixed(11), ..Default::default() };
    proptest!(runner, |(outlines in family_outlines())| {
        let ours = contact_escapement(&outlines, 0.1, 0.0, 0.0).unwrap();
        let image = EscapementOutlines {
            tooth: outlines.tooth.mirrored(),
            pallets: outlines.pallets.as_ref().map(Outline::mirrored),
            ..outlines
        };
        let theirs = contact_escapement(&image, 0.1, 0.0, 0.0).unwrap();
        for (curve, mirrored) in [(&ours.curves.entry, &theirs.curves.entry), (&ours.curves.exit, &theirs.curves.exit)] {
            for (flank, other) in [(Flank::Front, Flank::Back), (Flank::Back, Flank::Front)] {
                let pieces = curve.pieces(flank);
                let reach = (pieces[0].from_rad, pieces.last().unwrap().to_rad);
                let image_pieces = mirrored.pieces(other);
                let image_reach = (-image_pieces.last().unwrap().to_rad, -image_pieces[0].from_rad);
                prop_assert!((reach.0 - image_reach.0).abs() < 1e-13 && (reach.1 - image_reach.1).abs() < 1e-13);
                for step in 0..=200 {
                    let theta = reach.0 + (reach.1 - reach.0) * (0.001 + 0.998 * f64::from(step) / 200.0);
                    let of = |curve: &beatwright::geometry::ContactCurve, flank, theta| {
                        let index = curve.piece_at(flank, theta, 1.0)?;
                        curve.advance_rad(&curve.pieces(flank)[index], flank, theta)
                    };
                    match (of(curve, flank, theta), of(mirrored, other, -theta)) {
                        (Some(here), Some(there)) => {
                            let off = (here + there + 0.5 * TAU).rem_euclid(TAU) - 0.5 * TAU;
                            prop_assert!(off.abs() < 1e-10, "{} {} {}", theta, here, there);
                        }
                        (here, there) => prop_assert_eq!(here.is_some(), there.is_some()),
                    }
                }
            }
        }
        // Releases and drops of the image, read off its back curves with every sign turned round.
        if let Ok(action) = read_action(&ours) {
            let pitch = ours.pitch_rad();
            let releases = [-theirs.curves.entry.back.last().unwrap().to_rad, -theirs.curves.exit.back[0].from_rad];
            prop_assert!((releases[0] - action.entry.release_rad).abs() < 1e-13);
            prop_assert!((releases[1] - action.exit.release_rad).abs() < 1e-13);
            let at = |curve: &beatwright::geometry::ContactCurve, theta: f64| curve.back_advance_at(-theta).map(|phi| -phi);
            for (leaves, falls, release, pallet) in [
                (&theirs.curves.entry, &theirs.curves.exit, releases[0], action.entry),
                (&theirs.curves.exit, &theirs.curves.entry, releases[1], action.exit),
            ] {
                let drop = (at(falls, release).unwrap() - at(leaves, release).unwrap()).rem_euclid(pitch);
                // At its end a curve may be as steep as a square root: 1e-13 rad there are 1e-7 rad of the wheel.
                prop_assert!((drop - pallet.drop_rad).abs() < 1e-6, "{} {}", drop, pallet.drop_rad);
            }
        }
    });
}

#[test]
fn an_ideal_escapement_has_no_margins() {
    let text =
        "[escapement.ideal_torque]\ntorque = \"1 mN m\"\nbefore = \"1 deg\"\nafter = \"1 deg\"\noutside = \"none\"\n";
    let bare = BARE.replace(
        "[drive.lumped]\nescape_torque = \"1 mN m\"\nfriction_torque = \"0 N m\"\ninertia = \"2e-6 kg m^2\"\n",
        "",
    );
    let scenario =
        read("written.toml", &format!("{bare}{text}"), &NO_OVERRIDES).unwrap_or_else(|error| panic!("{error}"));
    assert!(margins(&scenario.design.printer, &build(&scenario.in_room()).unwrap()).is_none());
}

#[test]
fn the_pallet_named_is_the_one_with_least() {
    let (built, found) = of(&written(DEAD_BEAT, &["printer.bead_radius=0.3 mm"]));
    let action = built.action.unwrap();
    let named = |side| if side == Side::Entry { action.entry } else { action.exit };
    assert_eq!(found.hold.least_rad.min(f64::INFINITY), action.entry.lock_rad.min(action.exit.lock_rad));
    assert_eq!(named(found.hold.pallet).lock_rad, found.hold.least_rad);
    assert_eq!(named(found.drop.pallet).drop_rad, found.drop.least_rad);
    assert_eq!(named(found.clearance.pallet).clearance_rad, found.clearance.least_rad);
}
