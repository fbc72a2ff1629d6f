//! Meshes where they stand: gears that have grown and arbors further apart, against closed forms and against drawn teeth turned
//! until they touch.

use std::f64::consts::{PI, TAU};

use beatwright::clock::design::{Arbor, ArborSizes, Pivot, PivotKind, Train};
use beatwright::clock::environment::expansion::{ArborStrain, FlatStrain, TrainStrain};
use beatwright::clock::train::counts::{TrainError, train_report};
use beatwright::clock::train::depthing::{Depthing, Tightness};
use beatwright::clock::train::gear_outline::MadeGear;
use beatwright::clock::train::mesh::{GearPair, Stance, involute_mesh};
use beatwright::clock::train::train_made::TrainMade;
use beatwright::geometry::Point;
use beatwright::report::words::notes::notes_in_words;

use crate::support::polygons::{apart, bounds, inside};

const DEG: f64 = PI / 180.0;

fn pair(pinion_teeth: u32, wheel_teeth: u32, alpha_deg: f64, backlash: f64) -> GearPair {
    GearPair { pinion_teeth, wheel_teeth, pressure_angle_rad: alpha_deg * DEG, backlash, bottom_clearance: 0.25 }
}

/// Gears that have grown by scale alone.
fn scaled(pinion: f64, wheel: f64, centre_distance: f64) -> Stance {
    let of = |scale: f64| MadeGear { scale, ..MadeGear::DESIGNED };
    Stance { pinion: of(pinion), wheel: of(wheel), centre_distance }
}

fn involute(angle: f64) -> f64 {
    angle.tan() - angle
}

#[test]
fn exact_gears_as_designed_are_the_nominal_mesh() {
    for (z1, z2, alpha) in [(12, 60, 25.0), (18, 72, 20.0), (8, 64, 20.0)] {
        let pair = pair(z1, z2, alpha, 0.1);
        let there = pair.standing(&pair.designed_stance());
        assert_eq!(there.mesh, involute_mesh(z1, z2, alpha * DEG));
        assert_eq!((there.backlash, there.bottom_clearance), (0.1, 0.25));
        // By next to nothing away from there the general formulas take over: all is continuous.
        let near =
            pair.standing(&Stance { centre_distance: pair.designed_distance() + 1e-12, ..pair.designed_stance() });
        assert!((near.backlash - 0.1).abs() < 1e-11 && (near.bottom_clearance - 0.25).abs() < 1e-11);
        assert!((near.mesh.contact_ratio - there.mesh.contact_ratio).abs() < 1e-10);
        assert!((near.mesh.loss_factor - there.mesh.loss_factor).abs() < 1e-10);
    }
}

/// `cos alpha' = (rb1 + rb2)/C`, and play along the line of action `2 (rb1 + rb2)(inv alpha' - inv alpha)` beyond the designed;
/// for a small change of the distance `2 dC sin alpha`, that is `2 dC tan alpha` along the pitch circle (textbook
/// relation, from memory).
#[test]
fn exact_working_angle_and_growth_of_the_backlash() {
    for (z1, z2, alpha_deg) in [(12, 60, 25.0), (18, 72, 20.0), (12, 96, 20.0)] {
        let pair = pair(z1, z2, alpha_deg, 0.08);
        let (nominal, alpha) = (pair.designed_distance(), alpha_deg * DEG);
        for further in [-0.1, -1e-4, 1e-4, 0.3, 0.9] {
            let there = pair.standing(&Stance { centre_distance: nominal + further, ..pair.designed_stance() });
            let working = (nominal * alpha.cos() / (nominal + further)).acos();
            assert!((there.pressure_angle_rad - working).abs() < 1e-15);
            let normal = 0.08 * alpha.cos() + 2.0 * nominal * alpha.cos() * (involute(working) - involute(alpha));
            assert!((there.backlash * working.cos() - normal).abs() < 1e-13);
            assert!((there.bottom_clearance - 0.25 - further).abs() < 1e-13);
            assert!((there.depth - 2.0 + further).abs() < 1e-13);
        }
        let dc = 1e-4;
        let there = pair.standing(&Stance { centre_distance: nominal + dc, ..pair.designed_stance() });
        // The backlash that was there grows with the working circle, by a second order.
        assert!(((there.backlash - 0.08) / (2.0 * dc * alpha.tan()) - 1.0).abs() < 0.01);
    }
}

/// Everything `k` times as large: nothing but lengths changes.
#[test]
fn exact_gears_and_distance_grown_alike_keep_their_action() {
    let pair = pair(12, 78, 25.0, 0.1);
    for k in [0.97, 1.000_3, 1.04] {
        let nominal = pair.designed_distance();
        let there = pair.standing(&scaled(k, k, k * nominal));
        let mesh = involute_mesh(12, 78, 25.0 * DEG);
        assert!((there.mesh.contact_ratio - mesh.contact_ratio).abs() < 1e-13);
        assert!((there.mesh.loss_factor - mesh.loss_factor).abs() < 1e-13);
        assert!((there.backlash - 0.1 * k).abs() < 1e-12 && (there.bottom_clearance - 0.25 * k).abs() < 1e-12);
    }
}

fn polar(radius: f64, angle: f64) -> Point {
    Point::new(radius * angle.sin(), radius * angle.cos())
}

/// The teeth of a gear nearest to the direction `towards` (clockwise from up) as polygons, one tooth on `first`. Flanks are
/// involutes down to the base circle and radial below.
fn teeth(
    count: u32,
    alpha: f64,
    scale: f64,
    backlash: f64,
    first: f64,
    towards: f64,
    centre: Point,
) -> Vec<Vec<Point>> {
    let z = f64::from(count);
    let (base, tip, root) = (0.5 * z * alpha.cos(), 0.5 * z + 1.0, 0.5 * z - 1.25);
    let half_at_base = (PI - backlash) / (2.0 * z) + involute(alpha);
    let steps = 400;
    let mut flank = Vec::new();
    if root < base {
        flank.push((root, half_at_base));
    }
    let from = base.max(root);
    for step in 0..=steps {
        let radius = from + (tip - from) * f64::from(step) / f64::from(steps);
        flank.push((radius, half_at_base - involute((base / radius).min(1.0).acos())));
    }
    let pitch = TAU / z;
    let nearest = ((towards - first) / pitch).round();
    (-3..=3)
        .map(|k| {
            let middle = first + (nearest + f64::from(k)) * pitch;
            let left = flank.iter().map(|&(radius, half)| (radius, middle - half));
            let right = flank.iter().rev().map(|&(radius, half)| (radius, middle + half));
            left.chain(right).map(|(radius, angle)| centre + polar(scale * radius, angle)).collect()
        })
        .collect()
}

fn overlap(first: &[Vec<Point>], second: &[Vec<Point>]) -> bool {
    let hits = |a: &[Vec<Point>], b: &[Vec<Point>]| {
        b.iter().any(|polygon| {
            let about = bounds(polygon);
            a.iter().flatten().any(|&point| !apart(about, (point, point)) && inside(point, polygon))
        })
    };
    hits(first, second) || hits(second, first)
}

/// Play of the pinion with the wheel held, along the pinion's working pitch circle, with the wheel turned by `phase` pitches.
fn drawn_backlash(pair: &GearPair, stance: &Stance, phase: f64) -> f64 {
    let (z1, z2) = (f64::from(pair.pinion_teeth), f64::from(pair.wheel_teeth));
    let alpha = pair.pressure_angle_rad;
    let wheel = teeth(
        pair.wheel_teeth,
        alpha,
        stance.wheel.scale,
        pair.backlash,
        PI + TAU / z2 * (0.5 + phase),
        PI,
        Point::new(0.0, stance.centre_distance),
    );
    let pinion =
        |turn: f64| teeth(pair.pinion_teeth, alpha, stance.pinion.scale, pair.backlash, turn, 0.0, Point::zeros());
    // Both turn the same way at the point where they meet.
    let middle = -TAU / z1 * phase;
    let touches = |turn: f64| overlap(&pinion(middle + turn), &wheel);
    let free = (-20..=20).map(|k| 0.001 * f64::from(k)).find(|&turn| !touches(turn)).expect("some play");
    let until = |sign: f64| {
        let (mut low, mut high) = (0.0, 0.2);
        while high - low > 1e-7 {
            let turn = 0.5 * (low + high);
            if touches(free + sign * turn) { high = turn } else { low = turn }
        }
        low
    };
    let base = 0.5 * z1 * alpha.cos() * stance.pinion.scale;
    let working =
        ((0.5 * (z1 * stance.pinion.scale + z2 * stance.wheel.scale)) * alpha.cos() / stance.centre_distance).acos();
    (until(1.0) + until(-1.0)) * base / working.cos()
}

/// Drawn teeth: one gear is turned both ways until flanks touch.
#[test]
fn crosscheck_backlash_of_drawn_gears() {
    for (pair, further) in [
        (pair(12, 40, 25.0, 0.10), 0.0),
        (pair(12, 40, 25.0, 0.10), 0.25),
        (pair(12, 40, 25.0, 0.15), -0.1),
        (pair(20, 30, 20.0, 0.06), 0.4),
        (pair(18, 72, 20.0, 0.12), 0.1),
    ] {
        for k in [1.0, 1.01] {
            let centre_distance = k * pair.designed_distance() + further;
            let stance = scaled(k, k, centre_distance);
            let there = pair.standing(&stance);
            for phase in [0.0, 0.21, 0.5, 0.83] {
                let drawn = drawn_backlash(&pair, &stance, phase);
                assert!(
                    (drawn - there.backlash).abs() < 2e-4,
                    "{pair:?} {further} {phase}: {drawn} {}",
                    there.backlash
                );
            }
        }
    }
}

/// Gears that have not grown alike have unlike base pitches: the play varies over a pitch, and the least is ours.
#[test]
fn crosscheck_least_backlash_of_gears_grown_unlike() {
    for (pair, pinion_scale, wheel_scale) in [
        (pair(12, 40, 25.0, 0.15), 1.0, 1.006),
        (pair(12, 40, 25.0, 0.15), 1.008, 1.0),
        (pair(20, 30, 20.0, 0.2), 1.0, 0.99),
    ] {
        let radii = 0.5 * (f64::from(pair.pinion_teeth) * pinion_scale + f64::from(pair.wheel_teeth) * wheel_scale);
        let stance = scaled(pinion_scale, wheel_scale, radii);
        let there = pair.standing(&stance);
        let drawn: Vec<f64> = (0..16).map(|k| drawn_backlash(&pair, &stance, f64::from(k) / 16.0)).collect();
        let least = drawn.iter().copied().fold(f64::INFINITY, f64::min);
        // A tip that comes in early touches off the line of action; that takes up to 6e-4 more.
        assert!((least - there.backlash).abs() < 1e-3, "{} {drawn:?}", there.backlash);
        // The mean of both gears' base pitches would be out by half their difference and more.
        let unlike = PI * (pinion_scale - wheel_scale).abs();
        let as_alike = 0.5 * pair.backlash * (pinion_scale + wheel_scale);
        assert!(as_alike - least > 0.4 * unlike, "{as_alike} {least} {unlike}");
    }
}

fn arbor(name: &str, pinion_teeth: Option<u32>, wheel_teeth: Option<u32>) -> Arbor {
    Arbor {
        name: name.to_owned(),
        pinion_teeth,
        wheel_teeth,
        module_m: wheel_teeth.map(|_| 2e-3),
        pivot: Pivot::new(PivotKind::Ball, 5e-3, 0.003),
        mass_kg: 0.1,
        inertia_kg_m2: 1e-5,
        next_direction_rad: 1.0,
        wheel: None,
        pinion: None,
        backlash_m: Some(0.2e-3),
        sizes: ArborSizes::default(),
    }
}

/// A train and how much larger its wheel and its frame have grown.
fn train(wheel: FlatStrain, frame: f64) -> (Train, TrainMade) {
    let train = Train {
        beat_s: None,
        arbors: vec![arbor("great", None, Some(78)), arbor("escape", Some(12), None)],
        minute_arbor: None,
        motion_work: Vec::new(),
        motion_work_modules_m: Vec::new(),
        hands: None,
        arbor_material: None,
        pressure_angle_rad: 25.0 * DEG,
        tooth_friction: 0.2.into(),
        bottom_clearance_modules: None,
    };
    let great = ArborStrain { wheel, ..ArborStrain::default() };
    let strain = TrainStrain { frame, arbors: vec![great, ArborStrain::default()] };
    (train, TrainMade { strain, ..TrainMade::default() })
}

fn depthing((train, made): &(Train, TrainMade)) -> Depthing {
    train_report(train, made, Some(30)).unwrap().depthings[0]
}

#[test]
fn exact_a_wheel_grown_alike_both_ways_is_a_larger_wheel_all_round() {
    let round = depthing(&train(FlatStrain::all(0.004), 0.001));
    assert_eq!(round.mean, round.deepest);
    assert_eq!(round.mean, round.shallowest);
    let pair = pair(12, 78, 25.0, 0.1);
    let there = pair.standing(&scaled(1.0, 1.004, 45.0 * 1.001));
    assert_eq!(round.mean, there);
}

/// Radius of the pitch circle 39 modules; 1 % along the grain, 0.2 % across: mean 0.6 %, from deepest to shallowest 0.8 % of it.
#[test]
fn exact_an_oval_wheel_stands_deepest_along_the_grain() {
    let strain = FlatStrain { along: 0.01, across: 0.002 };
    let oval = depthing(&train(strain, 0.004));
    let distance = 45.0 * 1.004;
    assert!((oval.mean.centre_distance - distance).abs() < 1e-13);
    assert!((oval.deepest.centre_distance - (distance - 39.0 * 0.004)).abs() < 1e-13);
    assert!((oval.shallowest.centre_distance - (distance + 39.0 * 0.004)).abs() < 1e-13);
    assert!(oval.deepest.backlash < oval.mean.backlash && oval.mean.backlash < oval.shallowest.backlash);
    // Which direction grows more makes no difference.
    let turned = depthing(&train(FlatStrain { along: 0.002, across: 0.01 }, 0.004));
    assert_eq!(turned.deepest, oval.deepest);
}

#[test]
fn jams_are_named_with_what_is_missing() {
    let tight = train(FlatStrain::all(0.02), 0.0);
    let found = depthing(&tight);
    assert!(matches!(found.tightness(), Some(Tightness::Flanks(_) | Tightness::Roots(_))), "{found:?}");
    let warnings = notes_in_words(&train_report(&tight.0, &tight.1, Some(30)).unwrap().notes);
    assert!(warnings[0].starts_with("mesh great 78 -> escape 12 jams: "), "{warnings:?}");
    assert!(warnings[0].contains(" mm short, wherever the gears stand; free with "), "{warnings:?}");
    let far = train(FlatStrain::all(-0.06), 0.0);
    match train_report(&far.0, &far.1, Some(30)) {
        Err(TrainError::OutOfMesh { arbor, modules, .. }) => {
            assert_eq!(arbor, "great");
            assert!((modules - (45.0 - 40.0 * 0.94 - 7.0)).abs() < 1e-12, "{modules}");
        }
        other => panic!("{other:?}"),
    }
}
