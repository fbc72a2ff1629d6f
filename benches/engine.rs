//! The engine's speed: contact curves, one period, limit cycle, least weight.
#![allow(clippy::unwrap_used, clippy::expect_used, missing_docs)]

mod lumped;

use std::hint::black_box;
use std::path::Path;

use beatwright::answers::cycle::fixed_point_near;
use beatwright::answers::drivable::Drivable;
use beatwright::answers::least_drive::least_drive;
use beatwright::answers::prediction::predict;
use beatwright::answers::return_map::Clock;
use beatwright::clock::build::{build, contact_escapement};
use beatwright::clock::drive_level::DriveLevel;
use beatwright::clock::escapement::clearances::margins;
use beatwright::clock::printing::printed_outline::printed;
use beatwright::clock::printing::printer::{Printer, Spread};
use beatwright::scenario::{NO_OVERRIDES, load};
use criterion::{Criterion, criterion_group, criterion_main};
use lumped::{DEGREE, clock};

fn clocks(criterion: &mut Criterion) {
    for name in ["heron", "heron-pointed", "wren"] {
        let file = Path::new(env!("CARGO_MANIFEST_DIR")).join(format!("scenarios/{name}.toml"));
        let in_room = load(&file, &NO_OVERRIDES).unwrap().in_room();
        let built = build(&in_room).unwrap();
        let outlines = built.outlines.clone().unwrap();
        criterion.bench_function(&format!("{name}: contact curves of both pallets"), |bench| {
            bench.iter(|| contact_escapement(black_box(&outlines), 0.2, 0.0, 0.0).unwrap());
        });
        let printer = Printer { growth: Spread::of(0.05e-3), bead_radius: Spread::of(0.2e-3), ..Printer::default() };
        criterion.bench_function(&format!("{name}: printed outlines and contact curves"), |bench| {
            bench.iter(|| {
                let made = printed(black_box(&outlines), &printer).unwrap();
                contact_escapement(&made.outlines, 0.2, 0.0, 0.0).unwrap()
            });
        });
        criterion.bench_function(&format!("{name}: margins of the action"), |bench| {
            bench.iter(|| margins(black_box(&in_room.printer), &built).unwrap());
        });
        let clock = Clock::of(&built.mechanism).unwrap();
        let point = fixed_point_near(&clock, 4f64.to_radians()).unwrap();
        criterion.bench_function(&format!("{name}: one period (two beats)"), |bench| {
            bench.iter(|| clock.period_from(black_box(point.right_rad)));
        });
        criterion.bench_function(&format!("{name}: limit cycle with slope, from 4 deg"), |bench| {
            bench.iter(|| fixed_point_near(&clock, black_box(4f64.to_radians())).unwrap());
        });
        let drivable = Drivable::of(&built).unwrap();
        criterion.bench_function(&format!("{name}: least weight"), |bench| {
            bench.iter(|| {
                least_drive(&|weight| drivable.clock(DriveLevel::Weight(weight)).unwrap(), black_box(1.0)).unwrap()
            });
        });
        criterion.bench_function(&format!("{name}: whole prediction"), |bench| {
            bench.iter(|| predict(black_box(&in_room)).unwrap());
        });
    }
}

/// Run-out of the wheels whose teeth differ: of a print off its bore by a tenth of a millimetre.
const RUN_OUT: &str = "printer.run_out=0.1 mm";

/// Wheels out of true, without hands.
fn out_of_true(criterion: &mut Criterion) {
    let mut group = criterion.benchmark_group("out of true");
    group.sample_size(10);
    for name in ["heron", "wren"] {
        let file = Path::new(env!("CARGO_MANIFEST_DIR")).join(format!("tests/support/plain/{name}.toml"));
        let in_room = load(&file, &[RUN_OUT]).unwrap().in_room();
        let built = build(&in_room).unwrap();
        let clock = Clock::of(&built.mechanism).unwrap();
        let point = fixed_point_near(&clock, 4f64.to_radians()).unwrap();
        group.bench_function(format!("{name}: one turn"), |bench| {
            bench.iter(|| clock.period_from(black_box(point.right_rad)));
        });
        group.bench_function(format!("{name}: limit cycle with slope, from 4 deg"), |bench| {
            bench.iter(|| fixed_point_near(&clock, black_box(4f64.to_radians())).unwrap());
        });
        let drivable = Drivable::of(&built).unwrap();
        group.bench_function(format!("{name}: least weight"), |bench| {
            bench.iter(|| {
                least_drive(&|weight| drivable.clock(DriveLevel::Weight(weight)).unwrap(), black_box(1.0)).unwrap()
            });
        });
        group.bench_function(format!("{name}: whole prediction"), |bench| {
            bench.iter(|| predict(black_box(&in_room)).unwrap());
        });
    }
}

/// Sine law, Q = 200, about 3 degrees, constant torque within a degree of the centre.
fn ideal_torque(criterion: &mut Criterion) {
    let clock = clock();
    criterion.bench_function("ideal torque: one period (two beats)", |bench| {
        bench.iter(|| clock.period_from(black_box(3.0 * DEGREE)));
    });
}

criterion_group!(benches, clocks, out_of_true, ideal_torque);
criterion_main!(benches);
