//! The escapement as printed and assembled: opening and closing of random outlines, locks that stay concentric, the tooth's
//! root, and a wheel out of true.

use std::f64::consts::TAU;

use beatwright::clock::escapement::{EscapementOutlines, dead_beat};
use beatwright::clock::printing::printed_outline::{PrintedPart, PrinterError, printed, tooth_with_run_out};
use beatwright::clock::printing::printer::{Printer, Spread};
use beatwright::clock::side::Side;
use beatwright::geometry::{Outline, Point, arc_centre, closed, offset, opened};
use proptest::prelude::*;
use proptest::test_runner::RngSeed;

use crate::support::plans::printed_dead_beat;
use crate::support::polygons::{inside, turned_point};
use crate::support::shapes::{at_edge, blob, family_outlines};

const MM: f64 = 1e-3;

fn dead_beat_outlines() -> EscapementOutlines {
    dead_beat(&printed_dead_beat()).unwrap()
}

/// How far each arc's centre is from `middle`, with its signed radius; only arcs meant to be about it.
fn arcs_about(outline: &Outline, middle: Point) -> Vec<(f64, f64)> {
    let arcs = outline.edges().filter(|edge| edge.2 != 0.0).map(|(from, to, bulge)| {
        let centre = arc_centre(from, to, bulge);
        ((centre - middle).norm(), (from - centre).norm() * bulge.signum())
    });
    arcs.filter(|(off_m, _)| *off_m < 1.0 * MM).collect()
}

/// Greatest distance by which points along `inner` stand out of `outer`, m.
fn stands_out_m(inner: &Outline, outer: &Outline) -> f64 {
    let polygon = outer.polyline(1e-9);
    let outside = inner.polyline(1e-9).into_iter().filter(|&point| !inside(point, &polygon));
    outside.map(|point| at_edge(outer, point).off_m).fold(0.0, f64::max)
}

#[test]
fn exact_a_printer_of_zeros_changes_no_bit() {
    let drawn = dead_beat_outlines();
    let made = printed(&drawn, &Printer::default()).unwrap();
    assert_eq!(made.outlines, drawn);
    assert!(made.out_of_true.is_true() && made.notes.is_empty());
}

#[test]
fn exact_locks_stay_concentric_with_the_arbor() {
    let drawn = dead_beat_outlines();
    let c = drawn.centre_distance_m;
    for shrinkage in [0.0, 0.003] {
        for growth in [-0.1, 0.0, 0.05, 0.15] {
            for bead in [0.0, 0.05, 0.2, 0.4] {
                for error in [0.0, 0.17] {
                    let printer = Printer {
                        shrinkage: Spread::of(shrinkage),
                        growth: Spread::of(growth * MM),
                        bead_radius: Spread::of(bead * MM),
                        centre_distance_error: Spread::of(error * MM),
                        pivot_play: Spread::of(0.3 * error * MM),
                        ..Printer::default()
                    };
                    let made = printed(&drawn, &printer).unwrap().outlines;
                    assert!((made.centre_distance_m - c - 1.3 * error * MM).abs() < 1e-16);
                    let (old, new) = (Point::new(0.0, c), Point::new(0.0, made.centre_distance_m));
                    for (before, after) in
                        [(&drawn.pallets.entry, &made.pallets.entry), (&drawn.pallets.exit, &made.pallets.exit)]
                    {
                        let kept = arcs_about(after, new);
                        for (_, radius_m) in arcs_about(before, old) {
                            // Signed radii grow with an outward offset.
                            let wanted = radius_m * (1.0 - shrinkage) + growth * MM;
                            let found = kept.iter().filter(|arc| (arc.1 - wanted).abs() < 1e-9).collect::<Vec<_>>();
                            assert!(!found.is_empty(), "{shrinkage} {growth} {bead}: arc of {wanted} lost: {kept:?}");
                            for arc in found {
                                assert!(arc.0 < 1e-12, "{shrinkage} {growth} {bead}: centre off by {} m", arc.0);
                                assert!((arc.1 - wanted).abs() < 1e-13, "radius off by {}", arc.1 - wanted);
                            }
                        }
                    }
                }
            }
        }
    }
}

/// Fillets aside the root keeps its circle and the tooth its width there; only the tip recedes.
#[test]
fn exact_the_root_of_a_tooth_is_not_eaten() {
    let drawn = dead_beat_outlines();
    for (shrinkage, growth, bead) in
        [(0.0, 0.0, 0.2), (0.0, 0.1, 0.0), (0.0, -0.1, 0.0), (0.004, 0.05, 0.25), (0.0, -0.05, 0.3)]
    {
        let printer = Printer {
            shrinkage: Spread::of(shrinkage),
            growth: Spread::of(growth * MM),
            bead_radius: Spread::of(bead * MM),
            ..Printer::default()
        };
        let tooth = printed(&drawn, &printer).unwrap().outlines.tooth;
        let roots: Vec<_> = arcs_about(&tooth, Point::zeros()).into_iter().filter(|arc| arc.1 < 0.0).collect();
        assert_eq!(roots.len(), 1, "{roots:?}");
        let wanted = 48.0 * MM * (1.0 - shrinkage) + growth * MM;
        assert!(roots[0].0 < 1e-12 && (roots[0].1 + wanted).abs() < 1e-13, "{roots:?} {wanted}");
        // The flanks, half way down, are those drawn, moved by the growth.
        let plain = drawn.tooth.scaled(1.0 - shrinkage, Point::zeros());
        let mut flanks = 0;
        for (from, to, bulge) in tooth.edges() {
            let middle = 0.5 * (from + to);
            if bulge == 0.0 && (to - from).norm() > 5.0 * MM {
                assert!((at_edge(&plain, middle).off_m - growth.abs() * MM).abs() < 1e-13);
                flanks += 1;
            }
        }
        assert_eq!(flanks, 2);
        let lowest = tooth.vertices().iter().map(|vertex| vertex.at.norm()).fold(f64::INFINITY, f64::min);
        assert!((lowest - wanted).abs() < 1e-12, "something hangs below the root: {lowest}");
    }
}

/// A tip land as narrow as the tooth's wedge makes it: the bead takes the tip, and then the whole tooth.
#[test]
fn a_bead_wider_than_a_part_is_told_by_part() {
    let drawn = dead_beat_outlines();
    let mut seen = Vec::new();
    for tenths in 1..40 {
        let bead_radius_m = 0.1 * MM * f64::from(tenths);
        let printer = Printer { bead_radius: Spread::of(bead_radius_m), ..Printer::default() };
        match printed(&drawn, &printer) {
            Ok(_) => assert!(seen.is_empty(), "a wider bead found room again at {bead_radius_m}"),
            Err(PrinterError::BeadTooWide { part, .. }) => seen.push(part),
            Err(other) => panic!("{bead_radius_m}: {other}"),
        }
    }
    assert!(seen.contains(&PrintedPart::Tooth) || seen.contains(&PrintedPart::Pallet(Side::Entry)), "{seen:?}");
}

/// Brute geometry: all teeth of the displaced wheel, turned by the advance, against the outline that stands for each.
#[test]
fn exact_run_out_outlines_are_the_displaced_wheel_turned() {
    let tooth = dead_beat_outlines().tooth;
    let (teeth, eccentricity_m, direction) = (30_u32, 0.3 * MM, 0.7_f64);
    let e = eccentricity_m * Point::new(direction.cos(), direction.sin());
    let pitch = TAU / f64::from(teeth);
    for number in 0..2 * teeth {
        let stands_for = tooth_with_run_out(&tooth, eccentricity_m, direction, number, teeth);
        for own in [-0.4, 0.0, 0.31] {
            let advance = own + f64::from(number) * pitch;
            for (drawn, place) in tooth.vertices().iter().zip(stands_for.vertices()) {
                let on_wheel = turned_point(drawn.at, Point::zeros(), f64::from(number) * pitch) + e;
                let world = turned_point(on_wheel, Point::zeros(), -advance);
                let claimed = turned_point(place.at, Point::zeros(), -own);
                assert!((world - claimed).norm() < 1e-15, "tooth {number}");
                assert_eq!(drawn.bulge.to_bits(), place.bulge.to_bits());
            }
        }
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 256, rng_seed: RngSeed::Fixed(1), ..ProptestConfig::default() })]

    #[test]
    fn exact_opening_never_grows_and_is_idempotent(drawn in blob(Point::new(0.01, 0.05), 8.0 * MM), bead in 0.05..0.6_f64) {
        let bead_m = bead * MM;
        let Ok(once) = opened(&drawn, bead_m) else { return Ok(()) };
        prop_assert!(stands_out_m(&once, &drawn) < 1e-8, "grew by {}", stands_out_m(&once, &drawn));
        prop_assert!(once.signed_area_m2() <= drawn.signed_area_m2() * (1.0 + 1e-9));
        let twice = opened(&once, bead_m).unwrap();
        prop_assert!((once.signed_area_m2() - twice.signed_area_m2()).abs() < 1e-8 * once.signed_area_m2());
        prop_assert!(stands_out_m(&once, &twice) < 1e-8);
    }

    #[test]
    fn exact_closing_never_shrinks(drawn in blob(Point::new(0.01, 0.05), 8.0 * MM), bead in 0.05..0.6_f64) {
        let filled = closed(&drawn, bead * MM).unwrap();
        prop_assert!(stands_out_m(&drawn, &filled) < 1e-8, "lost {}", stands_out_m(&drawn, &filled));
        prop_assert!(filled.signed_area_m2() >= drawn.signed_area_m2() * (1.0 - 1e-9));
    }

    #[test]
    fn exact_convex_outlines_come_back_from_an_offset(places in prop::collection::vec(0.05..0.95_f64, 4..9), bulge in 0.0..0.15_f64, far in 0.05..1.0_f64) {
        let count = places.len() as f64;
        let corners = places.iter().enumerate().map(|(k, place)| {
            let angle = TAU * (k as f64 + place) / count;
            let bulge = if k == 0 { bulge } else { 0.0 };
            beatwright::geometry::Vertex { at: 9.0 * MM * Point::new(angle.cos(), angle.sin()), bulge }
        });
        let Ok(drawn) = Outline::new(corners.collect()) else { return Ok(()) };
        let count = drawn.vertices().len();
        prop_assume!((0..count).all(|index| drawn.turn_rad(index) > 1e-3));
        let back = offset(&offset(&drawn, far * MM).unwrap(), -far * MM).unwrap();
        prop_assert_eq!(back.vertices().len(), count);
        for vertex in back.vertices() {
            prop_assert!(at_edge(&drawn, vertex.at).off_m < 1e-12);
        }
        prop_assert!((back.signed_area_m2() - drawn.signed_area_m2()).abs() < 1e-12 * drawn.signed_area_m2());
    }

    #[test]
    fn families_print_or_say_why(drawn in family_outlines(), growth in -0.2..0.2_f64, bead in 0.0..0.5_f64) {
        let printer =
            Printer { growth: Spread::of(growth * MM), bead_radius: Spread::of(bead * MM), ..Printer::default() };
        match printed(&drawn, &printer) {
            Ok(made) => for outline in [&made.outlines.tooth, &made.outlines.pallets.entry, &made.outlines.pallets.exit] {
                prop_assert!(outline.signed_area_m2() > 0.0);
            },
            Err(PrinterError::BeadTooWide { .. } | PrinterError::GrownAway { .. }) => {}
            Err(other) => prop_assert!(false, "{}", other),
        }
    }
}
