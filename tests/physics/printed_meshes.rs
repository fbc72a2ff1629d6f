//! Meshes as made: growth, shrinkage, bead, distance errors and run-out, against closed forms, against sampled outlines turned until
//! they touch, and against discs rolled along a flank.

use std::f64::consts::{PI, TAU};

use beatwright::answers::prediction::predict;
use beatwright::answers::verdict::Reason;
use beatwright::clock::build::build;
use beatwright::clock::design::{Cut, MadeOf, MaterialRef, Train};
use beatwright::clock::materials::material_named;
use beatwright::clock::notes::Note;
use beatwright::clock::printing::printer::{Printer, Spread};
use beatwright::clock::printing::train_print::TrainPrint;
use beatwright::clock::train::counts::{depthings, train_report};
use beatwright::clock::train::depthing::{Depthing, JamPlace, Tightness};
use beatwright::clock::train::gear_outline::{GearOutline, MadeGear, involute, involute_angle_rad};
use beatwright::clock::train::mesh::{GearPair, Stance};
use beatwright::clock::train::train_made::TrainMade;
use beatwright::geometry::Point;
use beatwright::report::words::notes::notes_in_words;

use crate::support::plain;

const DEG: f64 = PI / 180.0;
const MM: f64 = 1e-3;

fn pair(pinion_teeth: u32, wheel_teeth: u32, alpha_deg: f64, backlash: f64) -> GearPair {
    GearPair { pinion_teeth, wheel_teeth, pressure_angle_rad: alpha_deg * DEG, backlash, bottom_clearance: 0.25 }
}

/// A wheel of 96 and a pinion of 12 teeth of module 1.25 mm, pressure angle 25 degrees, with 0.125 mm of play.
fn train() -> Train {
    let mut train = plain::loaded("heron.toml", &[]).design.train.unwrap();
    train.arbors.truncate(3);
    train.arbors.remove(0);
    train.arbors[0].pinion_teeth = None;
    train.arbors[1].wheel_teeth = None;
    train.arbors[0].backlash_m = Some(0.125 * MM);
    train.minute_arbor = None;
    train.beat_s = None;
    train.motion_work.clear();
    train
}

fn made(train: &Train, printer: &Printer) -> TrainMade {
    TrainMade { print: TrainPrint::mean_of(printer, train), ..TrainMade::default() }
}

fn depthing(train: &Train, printer: &Printer) -> Depthing {
    depthings(train, &made(train, printer)).unwrap()[0]
}

fn grown(growth_m: f64) -> Printer {
    Printer { growth: Spread::of(growth_m), ..Printer::default() }
}

/// Values of the involute function as gear tables print them: 20 degrees seen in several on the web, the others recalled.
#[test]
fn published_involute_function() {
    for (angle_deg, table) in [(14.5, 0.005_545), (20.0, 0.014_904), (25.0, 0.029_975), (30.0, 0.053_751)] {
        assert!((involute(angle_deg * DEG) - table).abs() < 6e-7, "{angle_deg}");
    }
    for angle in [1e-4, 0.02, 0.3, 0.8, 1.4, 1.55] {
        // The function itself is a difference: rounding of the angle counts `1/angle^2` times.
        assert!((involute_angle_rad(involute(angle)) / angle - 1.0).abs() < 1e-15 / (angle * angle) + 1e-15, "{angle}");
    }
    assert_eq!(involute_angle_rad(0.0), 0.0);
}

/// By hand: module 1.25 mm, 25 degrees, 0.125 mm of play, edges grown by 0.03 mm: 0.125 - 4 * 0.03/cos 25 = -0.0074 mm; it binds.
#[test]
fn exact_growth_takes_four_times_itself_over_the_cosine() {
    let train = train();
    let found = depthing(&train, &grown(0.03 * MM));
    let play_mm = 1.25 * found.mean.backlash;
    assert!((play_mm + 0.007).abs() < 5e-4, "{play_mm}");
    assert!((play_mm - (0.125 - 0.12 / (25.0 * DEG).cos())).abs() < 1e-12, "{play_mm}");
    assert!((1.25 * found.mean.bottom_clearance - (1.25 * 0.25 - 0.06)).abs() < 1e-12);
    assert!(matches!(found.tightness(), Some(Tightness::Flanks(_))));
    assert_eq!(found.jams_where(), Some(JamPlace::Everywhere));
    // With the growth of one gear alone half of it is lost: a pinion of steel is not printed.
    let mut steel = train.clone();
    let material = MaterialRef::from(material_named("steel").unwrap());
    steel.arbors[1].pinion = Some(MadeOf { material, cut: Cut::default() });
    let half = depthing(&steel, &grown(0.03 * MM));
    assert!((1.25 * half.mean.backlash - (0.125 - 0.06 / (25.0 * DEG).cos())).abs() < 1e-12);
}

/// Each remedy by itself leaves a play of exactly nothing.
#[test]
fn exact_remedies_free_the_mesh() {
    let train = train();
    for (growth_mm, error_mm) in [(0.03, 0.0), (0.035, -0.1), (0.0, -0.2)] {
        let printer = Printer { centre_distance_error: Spread::of(error_mm * MM), ..grown(growth_mm * MM) };
        let found = depthing(&train, &printer);
        let remedies = found.remedies().unwrap();
        let left = |train: &Train, printer: &Printer| depthing(train, printer).left_before_it_jams();
        let mut wider = train.clone();
        wider.arbors[0].backlash_m = Some(0.125 * MM + 1.25 * MM * remedies.backlash.unwrap());
        assert!(left(&wider, &printer).abs() < 1e-12);
        let slim = grown(growth_mm * MM - 1.25 * MM * remedies.growth.unwrap());
        let slim = Printer { centre_distance_error: printer.centre_distance_error, ..slim };
        assert!(left(&train, &slim).abs() < 1e-12, "{}", left(&train, &slim));
        let further = Spread::of(error_mm * MM + 1.25 * MM * remedies.apart);
        let apart = left(&train, &Printer { centre_distance_error: further, ..printer });
        assert!(apart.abs() < 1e-12, "{apart}");
    }
    assert!(depthing(&train, &Printer::default()).remedies().is_none());
}

/// Arbors closer by `dC` take `2 dC tan alpha'` of the play to first order (model derived from involutes; the exact form is in
/// `depthing.rs`).
#[test]
fn exact_distance_errors_and_shrinkage_are_one_stance() {
    let train = train();
    let error = |mm: f64| Printer { centre_distance_error: Spread::of(mm * MM), ..Printer::default() };
    let drilled = 1.25 * 54.0;
    let slope = 1.25 * (depthing(&train, &error(1e-4)).mean.backlash - 0.1) / 1e-4;
    // The play that is there is told on a working circle that grows as the distance does: 0.125 mm of it by 1/67.5 for a millimetre.
    assert!((slope - 2.0 * (25.0 * DEG).tan() - 0.125 / 67.5).abs() < 1e-5, "{slope}");
    let shrunk = Printer { shrinkage: Spread::of(0.004), ..Printer::default() };
    let apart = depthing(&train, &shrunk);
    // Gears smaller by 0.4 % on true arbors: as gears of full size on arbors further apart by 1/0.996, all of it 0.996 as large.
    let same = depthing(&train, &error(drilled * (1.0 / 0.996 - 1.0)));
    assert!((apart.mean.backlash / same.mean.backlash - 0.996).abs() < 1e-9);
    assert!((apart.mean.mesh.contact_ratio - same.mean.mesh.contact_ratio).abs() < 1e-9);
    let printed = depthing(&train, &Printer { makes_frame: true, ..shrunk });
    assert!((printed.mean.backlash - 0.0996).abs() < 1e-12);
    assert!(
        (printed.mean.mesh.contact_ratio - depthing(&train, &Printer::default()).mean.mesh.contact_ratio).abs() < 1e-12
    );
    assert_eq!(printed.designed_distance_m(), Some(54.0 * 1.25 * MM));
}

#[test]
fn exact_a_printer_of_zeros_changes_no_bit() {
    let train = train();
    let zeros = Printer { growth: Spread { spread: 1e-5, ..Spread::default() }, ..Printer::default() };
    let (as_designed, by_zeros) = (depthing(&train, &Printer::default()), depthing(&train, &zeros));
    assert_eq!((as_designed.mean, as_designed.deepest), (by_zeros.mean, by_zeros.deepest));
    assert!(by_zeros.as_designed);
}

/// A flank of the tooth on the y axis, on the right, from the base circle to a circle a little beyond the tip: points of an involute,
/// each moved outward by the growth along the normal that its neighbours give.
fn flank(teeth: f64, pair: &GearPair, growth: f64, samples: usize) -> Vec<Point> {
    let base = 0.5 * teeth * pair.pressure_angle_rad.cos();
    let half = 0.5 * (PI - pair.backlash) / teeth + involute(pair.pressure_angle_rad);
    let longest = ((0.5 * teeth + 1.2).powi(2) - base * base).sqrt();
    let point = |length: f64| {
        let (radius, along) = (base.hypot(length), half - involute((length / base).atan()));
        radius * Point::new(along.sin(), along.cos())
    };
    let step = longest / samples as f64;
    (1..=samples)
        .map(|k| {
            let length = step * k as f64;
            let ahead = (point(length + 0.01 * step) - point(length - 0.01 * step)).normalize();
            point(length) + growth * Point::new(ahead.y, -ahead.x)
        })
        .filter(|point| point.norm() <= 0.5 * teeth + 1.0 + growth)
        .collect()
}

fn polar(point: Point) -> (f64, f64) {
    (point.norm(), point.x.atan2(point.y))
}

/// How far the pinion can turn clockwise before one of its flanks meets the wheel's, rad; below 0 where they overlap.
///
/// Angles are clockwise from the line to the wheel's arbor. The wheel is turned clockwise by `turn` from where a space faces the pinion,
/// and the pinion, a tooth of which stood in that space, has followed it.
fn free_turn(pair: &GearPair, growths: [f64; 2], distance: f64, turn: f64) -> f64 {
    let (z1, z2) = (f64::from(pair.pinion_teeth), f64::from(pair.wheel_teeth));
    let own: Vec<(f64, f64)> = flank(z1, pair, growths[0], 8000).into_iter().map(polar).collect();
    let own_at = |radius: f64| {
        let above = own.partition_point(|&(own_radius, _)| own_radius < radius);
        let (low, high) = (own.get(above.checked_sub(1)?)?, own.get(above)?);
        Some(low.1 + (high.1 - low.1) * (radius - low.0) / (high.0 - low.0))
    };
    let wheel: Vec<(f64, f64)> = flank(z2, pair, growths[1], 8000).into_iter().map(polar).collect();
    let pitch = TAU / z1;
    let gap = |tooth: i32, (from_wheel, half): (f64, f64)| {
        let angle = PI + TAU / z2 * (f64::from(tooth) + 0.5) + turn + half;
        let seen = Point::new(from_wheel * angle.sin(), distance + from_wheel * angle.cos());
        let (radius, angle) = polar(seen);
        let turned = angle - own_at(radius)? + turn * z2 / z1;
        Some(turned - pitch * (turned / pitch + 0.25).floor())
    };
    let teeth = (-4..=4).flat_map(|tooth| wheel.iter().filter_map(move |&point| gap(tooth, point)));
    teeth.fold(f64::INFINITY, f64::min)
}

/// Sampled outlines, grown along sampled normals, turned until they touch: the play to 1e-6 modules, wherever the wheel stands.
#[test]
fn crosscheck_play_of_grown_outlines() {
    for (pair, growths, further) in [
        (pair(12, 96, 25.0, 0.1), [0.0, 0.0], 0.0),
        (pair(12, 96, 25.0, 0.1), [0.024, 0.024], 0.0),
        (pair(12, 96, 25.0, 0.1), [0.02, -0.01], 0.08),
        (pair(15, 40, 20.0, 0.08), [-0.03, 0.01], -0.05),
        (pair(20, 30, 20.0, 0.1), [0.04, 0.03], 0.2),
    ] {
        let gear = |growth: f64| MadeGear { growth, ..MadeGear::DESIGNED };
        let distance = pair.designed_distance() + further;
        let [pinion, wheel] = growths.map(gear);
        let there = pair.standing(&Stance { pinion, wheel, centre_distance: distance });
        let base = 0.5 * f64::from(pair.pinion_teeth) * pair.pressure_angle_rad.cos();
        for phase in [0.0, 0.23, 0.5] {
            let turn = phase * TAU / f64::from(pair.wheel_teeth);
            let free = free_turn(&pair, growths, distance, turn) + free_turn(&pair, growths, distance, -turn);
            let play = free * base / there.pressure_angle_rad.cos();
            assert!((play - there.backlash).abs() < 1e-6, "{pair:?} {growths:?} {phase}: {play} {}", there.backlash);
        }
    }
}

/// A bead reaches a point of a flank if a disc of its radius that touches the flank there, by a sampled normal, stays inside the tip
/// circle; the last such point is where the flank ends. In the same way a disc outside the flank ends it above the root.
#[test]
fn crosscheck_the_bead_ends_flanks_where_its_disc_does() {
    for (teeth, alpha_deg, growth, bead) in
        [(12.0, 25.0, 0.0, 0.16), (12.0, 25.0, 0.02, 0.1), (96.0, 25.0, 0.03, 0.16), (40.0, 20.0, -0.05, 0.2)]
    {
        let pair = pair(12, 96, alpha_deg, 0.1);
        let gear = GearOutline::of(&pair, teeth, MadeGear { scale: 1.0, growth, bead });
        let points = flank(teeth, &pair, growth, 20_000);
        let touches = |k: usize, sign: f64| {
            let along = (points[k + 1] - points[k - 1]).normalize();
            points[k] + sign * bead * Point::new(along.y, -along.x)
        };
        let length = |k: usize| (points[k].norm_squared() - gear.base * gear.base).sqrt();
        let inner = 1..points.len() - 1;
        let tip = 0.5 * teeth + 1.0 + growth;
        let last = inner.clone().rev().find(|&k| touches(k, -1.0).norm() + bead <= tip).unwrap();
        assert!((length(last) - gear.tip_run).abs() < 1e-3, "{} {}", length(last), gear.tip_run);
        assert_eq!(gear.tip, tip);
        let root = 0.5 * teeth - 1.25 + growth;
        let first = inner.clone().find(|&k| touches(k, 1.0).norm() - bead >= root).unwrap();
        let found = if first == 1 { 0.0 } else { length(first) };
        assert!((found - gear.fillet_run).abs() < 2e-3, "{teeth} {} {}", length(first), gear.fillet_run);
    }
}

/// The action loses what the corners lose, and the losses of the mesh are those of the action that is left.
#[test]
fn exact_the_bead_takes_contact() {
    let train = train();
    let crisp = depthing(&train, &Printer::default()).mean.mesh;
    let beaded = depthing(&train, &Printer { bead_radius: Spread::of(0.2 * MM), ..Printer::default() });
    let mesh = beaded.mean.mesh;
    let (rb, ra, bead) = (48.0 * (25.0 * DEG).cos(), 49.0, 0.16);
    let lost = f64::sqrt(ra * ra - rb * rb) - (bead + f64::sqrt((ra - bead).powi(2) - rb * rb));
    let base_pitch = PI * (25.0 * DEG).cos();
    assert!((crisp.wheel_tip_share - mesh.wheel_tip_share - lost / base_pitch).abs() < 1e-12);
    let loss = PI
        * (1.0 / 12.0 + 1.0 / 96.0)
        * (1.0 - mesh.contact_ratio + mesh.pinion_tip_share.powi(2) + mesh.wheel_tip_share.powi(2));
    assert!((mesh.loss_factor - loss).abs() < 1e-15 && mesh.loss_factor != crisp.loss_factor);
    assert!(!beaded.mean.on_fillet);
    // A bead of a fifth of the module leaves no continuous drive once the arbors stand 0.6 mm too far apart.
    let far = Printer {
        bead_radius: Spread::of(0.35 * MM),
        centre_distance_error: Spread::of(0.6 * MM),
        ..Printer::default()
    };
    let report = train_report(&train, &made(&train, &far), Some(30)).unwrap();
    let ratio = report.depthings[0].shallowest.mesh.contact_ratio;
    assert!(
        ratio < 1.0 && report.notes.iter().any(|note| matches!(note, Note::ContactRatioBelowOne { .. })),
        "{ratio}"
    );
    assert!(notes_in_words(&report.notes).iter().any(|words| words.contains("a problem of the design")));
}

/// A thick bead in a short space: the tip stands on the fillet, or works on it.
#[test]
fn a_bead_that_fills_the_roots_takes_the_room_of_the_tips() {
    let mut train = train();
    train.arbors[0].module_m = Some(0.5 * MM);
    train.arbors[0].backlash_m = Some(0.05 * MM);
    let of = |bead_mm: f64| depthing(&train, &Printer { bead_radius: Spread::of(bead_mm * MM), ..Printer::default() });
    let mut before = of(0.0).mean.bottom_clearance;
    for bead_mm in [0.1, 0.2, 0.3] {
        let room = of(bead_mm).mean.bottom_clearance;
        assert!(room <= before + 1e-12, "{bead_mm}: {room} {before}");
        before = room;
    }
    assert!(before < 0.2, "{before}");
}

/// The least play over the turns of both gears is that of the distance less both eccentricities; how often the mesh jams follows from
/// a table over all positions.
#[test]
fn crosscheck_run_out_over_the_turns_of_both() {
    let train = train();
    let steel = MaterialRef::from(material_named("steel").unwrap());
    for (growth_mm, run_out_mm, printed_pinion) in
        [(0.0, 0.05, true), (0.02, 0.03, true), (0.025, 0.05, true), (0.025, 0.05, false), (0.04, 0.01, true)]
    {
        let mut train = train.clone();
        if !printed_pinion {
            train.arbors[1].pinion = Some(MadeOf { material: steel.clone(), cut: Cut::default() });
        }
        let printer = Printer { run_out: Spread::of(run_out_mm * MM), ..grown(growth_mm * MM) };
        let found = depthing(&train, &printer);
        let still = |closer_mm: f64| {
            let error = Spread::of(-closer_mm * MM);
            depthing(&train, &Printer { centre_distance_error: error, run_out: Spread::of(0.0), ..printer })
                .left_before_it_jams()
        };
        let (wheel, pinion) = (run_out_mm, if printed_pinion { run_out_mm } else { 0.0 });
        let steps = 24;
        let turn = |k: i32| (TAU * f64::from(k) / f64::from(steps)).cos();
        let table: Vec<Vec<f64>> =
            (0..steps).map(|a| (0..steps).map(|b| still(wheel * turn(a) + pinion * turn(b))).collect()).collect();
        let least = table.iter().flatten().copied().fold(f64::INFINITY, f64::min);
        assert!((least - found.left_before_it_jams()).abs() < 1e-12, "{least} {}", found.left_before_it_jams());
        let jammed = |a: usize, b: usize| table[a][b] < 0.0;
        let all = 0..steps as usize;
        let place = if all.clone().all(|a| all.clone().all(|b| jammed(a, b))) {
            Some(JamPlace::Everywhere)
        } else if all.clone().all(|b| all.clone().any(|a| jammed(a, b))) {
            Some(JamPlace::EveryTurnOfTheWheel)
        } else if all.clone().all(|a| all.clone().any(|b| jammed(a, b))) {
            Some(JamPlace::EveryTurnOfThePinion)
        } else if all.clone().any(|a| all.clone().any(|b| jammed(a, b))) {
            Some(JamPlace::BothAtTheirWorst)
        } else {
            None
        };
        assert_eq!(found.jams_where(), place, "{growth_mm} {run_out_mm}");
    }
}

#[test]
fn a_printed_train_that_binds_stops_the_clock_and_says_what_would_free_it() {
    let heron = |settings: &[&str]| predict(&plain::loaded("heron.toml", settings).in_room()).unwrap();
    let bound = heron(&["printer.growth=\"0.06 mm\"", "train.backlash=\"0.1 mm\""]);
    assert_eq!(bound.reason(), Some(Reason::Jams));
    let words = notes_in_words(&bound.built.notes());
    let jam = words.iter().find(|words| words.contains("jams")).unwrap();
    for part in [
        "mesh great 78 -> centre 12 jams: its play",
        "wherever the gears stand",
        "more backlash",
        "less growth",
        "further apart",
    ] {
        assert!(jam.contains(part), "{jam}");
    }
    let gear = "metal gears are cut, not printed";
    let cut = heron(&["printer.growth=\"0.06 mm\"", "train.backlash=\"0.1 mm\"", "train.material=\"brass\""]);
    assert_eq!(cut.reason(), None, "{gear}");
}

/// A material of one's own that is like a metal is cut as the metal is; one with numbers of its own, or like a plastic, is printed.
#[test]
fn own_materials_are_made_like_the_one_they_start_from() {
    let play = |material: &str| {
        let own = format!("material.own={material}");
        let settings = ["printer.growth=\"0.06 mm\"", "train.backlash=\"0.4 mm\"", "train.material=\"own\"", &own];
        let built = build(&plain::loaded("heron.toml", &settings).in_room()).unwrap();
        let depthing = &built.train.as_ref().unwrap().depthings[0];
        depthing.module_m.unwrap() * depthing.mean.backlash
    };
    let cut = play("{ like = \"brass\", density = \"8.7 g/cm^3\" }");
    assert!((cut - 0.4 * MM).abs() < 1e-9, "{cut}");
    for printed in ["{ like = \"PETG\" }", "{ density = \"8.7 g/cm^3\" }"] {
        assert!(play(printed) < cut - 0.2 * MM, "{printed}: {}", play(printed));
    }
}

#[test]
fn arbors_of_a_printed_frame_stand_as_the_printer_has_them() {
    let built = |settings: &[&str]| {
        let in_room = plain::loaded("heron.toml", settings).in_room();
        predict(&in_room).unwrap().built
    };
    let shrunk = "printer.shrinkage=\"0.3 %\"";
    let (drilled, printed) = (built(&[shrunk]), built(&[shrunk, "frame.arbors=\"printed\""]));
    let play = |built: &beatwright::clock::build::Built| built.train.as_ref().unwrap().depthings[0].mean.backlash;
    assert!(play(&drilled) > play(&printed));
    let distance = |built: &beatwright::clock::build::Built| built.outlines.as_ref().unwrap().centre_distance_m;
    assert!((distance(&printed) / distance(&drilled) - 0.997).abs() < 1e-9);
}
