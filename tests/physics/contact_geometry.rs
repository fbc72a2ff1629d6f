//! Contact pairs and contact curves: derivatives, lever arms, symmetries, and polygons as the brute force.

use std::f64::consts::{PI, TAU};

use beatwright::geometry::{ContactCurve, Flank, Outline, Piece, Point, Vertex, arc_centre};
use proptest::prelude::*;
use proptest::test_runner::{RngSeed, TestCaseError};

use crate::support::polygons::turned_point;
use crate::support::shapes::{self, Polygons, at_edge, blob, family_outlines, perturbed};

const CENTRE_M: f64 = 0.09;

/// The same cases every time.
const SEED: RngSeed = RngSeed::Fixed(1);

fn cross(a: Point, b: Point) -> f64 {
    a.x * b.y - a.y * b.x
}

/// All pieces of a curve, front and back.
fn all_pieces(curve: &ContactCurve) -> impl Iterator<Item = (Flank, &Piece)> {
    let front = curve.front.iter().map(|piece| (Flank::Front, piece));
    front.chain(curve.back.iter().map(|piece| (Flank::Back, piece)))
}

/// Difference of two angles, in (-pi, pi].
fn off_rad(a: f64, b: f64) -> f64 {
    PI - (PI - (a - b)).rem_euclid(TAU)
}

/// Sum of the radii of the touching edges, m, and rounding to be expected of the advance, rad: the gap of two arcs is a
/// difference of squares over twice the sum r of their radii, with rounding eps L^2 / r, over the lever arm.
fn rounding(tooth: &Outline, pallet: &Outline, piece: &Piece, theta: f64, phi: f64) -> (f64, f64) {
    let point = piece.pair.touching_point(theta, phi);
    let on_tooth = at_edge(tooth, turned_point(point, Point::zeros(), phi));
    let on_pallet = at_edge(pallet, turned_point(point, Point::new(0.0, CENTRE_M), -theta));
    let snug_m = (on_tooth.radius_m + on_pallet.radius_m).abs();
    let arm = piece.pair.place(theta, phi).normal_arms_m.1.abs();
    (snug_m, 4e-15 + (1e-17 / snug_m + 1e-16) / arm)
}

/// Derivatives by five points with steps `h` and `h/2`: (first, its uncertainty, second, its uncertainty).
fn differences(value: impl Fn(f64) -> Option<f64>, at: f64, h: f64, noise: f64) -> Option<(f64, f64, f64, f64)> {
    let with = |h: f64| {
        let centre = value(at)?;
        let y = |k: f64| value(at + k * h).map(|y| off_rad(y, centre));
        let (a, b, c, d) = (y(-2.0)?, y(-1.0)?, y(1.0)?, y(2.0)?);
        Some(((a - 8.0 * b + 8.0 * c - d) / (12.0 * h), (-a + 16.0 * b + 16.0 * c - d) / (12.0 * h * h)))
    };
    let (coarse, fine) = (with(h)?, with(0.5 * h)?);
    let noise = 3.0 * noise / h;
    Some((fine.0, 2.0 * (fine.0 - coarse.0).abs() + noise, fine.1, 2.0 * (fine.1 - coarse.1).abs() + 10.0 * noise / h))
}

/// `F'`, `F''` against differences of `advance_rad`, `a_n = b_n F'`, and the arms against their definition.
fn check_pieces(tooth: &Outline, pallet: &Outline, curve: &ContactCurve) -> Result<usize, TestCaseError> {
    let arbor = Point::new(0.0, CENTRE_M);
    let mut checked = 0;
    for (flank, piece) in all_pieces(curve) {
        let length = piece.to_rad - piece.from_rad;
        if length < 1e-4 {
            continue;
        }
        for share in [0.2, 0.5, 0.8] {
            let theta = piece.from_rad + share * length;
            let phi = curve.advance_rad(piece, flank, theta).expect("inside its piece");
            let place = piece.pair.place(theta, phi);
            let ((a_n, b_n), (a_t, b_t)) = (place.normal_arms_m, place.tangent_arms_m);
            prop_assert!(if flank == Flank::Front { b_n > 0.0 } else { b_n < 0.0 }, "{flank:?} {b_n}");
            prop_assert!((a_n - b_n * place.slope).abs() <= 1e-15 + 1e-14 * a_n.abs());

            // The point lies on both outlines where they stand now, and its normal is that of the smooth one of the two.
            let point = piece.pair.touching_point(theta, phi);
            let on_tooth = at_edge(tooth, turned_point(point, Point::zeros(), phi));
            let on_pallet = at_edge(pallet, turned_point(point, arbor, -theta));
            let (snug_m, noise) = rounding(tooth, pallet, piece, theta, phi);
            // The gap's rounding over r is that of the normal's length.
            let tolerance_m = 1e-12_f64.max(4e-19 / (snug_m * snug_m));
            let (off_tooth, off_pallet) = (on_tooth.off_m, on_pallet.off_m);
            prop_assert!(off_tooth.max(off_pallet) < tolerance_m, "{off_tooth} {off_pallet} {snug_m}");
            let normal = match (on_tooth.normal, on_pallet.normal) {
                (Some(normal), _) => turned_point(normal, Point::zeros(), -phi),
                (None, Some(normal)) => -turned_point(normal, Point::zeros(), theta),
                (None, None) => continue,
            };
            let tangent = Point::new(-normal.y, normal.x);
            for (name, found, expected) in [
                ("a_n", a_n, cross(point - arbor, normal)),
                ("b_n", b_n, -cross(point, normal)),
                ("a_t", a_t, cross(point - arbor, tangent)),
                ("b_t", b_t, -cross(point, tangent)),
            ] {
                prop_assert!(
                    (found - expected).abs() < 10.0 * tolerance_m,
                    "{name} {found} {expected} {:?}",
                    piece.features
                );
            }

            if b_n.abs() < 2e-3 {
                continue;
            }
            let h = (0.04 * length).min(2e-3);
            let Some((first, first_error, second, second_error)) =
                differences(|at| curve.advance_rad(piece, flank, at), theta, h, noise)
            else {
                continue;
            };
            prop_assert!(
                (place.slope - first).abs() <= first_error + 1e-11,
                "F' {} {first} {first_error}",
                place.slope
            );
            prop_assert!(
                (place.second_derivative - second).abs() <= second_error + 1e-8,
                "F'' {} {second} {second_error}",
                place.second_derivative
            );
            prop_assert!(
                first_error < 1e-2 * (1.0 + first.abs()),
                "the differences say nothing: {first} {first_error}"
            );
            checked += 1;
        }
    }
    Ok(checked)
}

/// The curve against polygons, whole turn, at one pallet angle.
fn check_brute(
    tooth: &Outline,
    pallet: &Outline,
    centre_m: f64,
    curve: &ContactCurve,
    theta: f64,
) -> Result<bool, TestCaseError> {
    let polygons = Polygons::new(tooth, pallet, Point::new(0.0, centre_m));
    let start = polygons.window_start_rad();
    let blocked = |phi: f64| polygons.overlap_at(theta, phi);
    let Some(place) = curve.front_at(theta) else {
        let hit = polygons.scan(theta, start, start + TAU).find(|&phi| blocked(phi));
        prop_assert!(hit.is_none(), "theta {theta}: overlap at {hit:?}, yet the curve lets the tooth pass");
        return Ok(false);
    };
    let front = place.phi_rad;
    let slack = |arm: f64| 3.0 * shapes::SAGITTA_M / arm.abs();
    let b_n = place.normal_arms_m.1;
    let hit = polygons.scan(theta, start, front - slack(b_n)).find(|&phi| blocked(phi));
    prop_assert!(hit.is_none(), "theta {theta}: overlap at {hit:?}, before the front {front}");
    let back = curve.back_advance_at(theta);
    prop_assert!(back.is_some(), "theta {theta}: a front and no back");
    let back = back.unwrap();
    let last = &curve.back[curve.back_piece_at(theta, 1.0).unwrap()];
    let back_arm = last.pair.place(theta, back).normal_arms_m.1;
    prop_assert!(back_arm < 0.0 && back >= front);
    let hit = polygons.scan(theta, back + slack(back_arm), start + TAU).find(|&phi| blocked(phi));
    prop_assert!(hit.is_none(), "theta {theta}: overlap at {hit:?}, behind the back {back}");
    // Near a fold the polygons may clear each other altogether.
    if back - front > 20.0 * (slack(b_n) + slack(back_arm)) && b_n > 1e-3 && back_arm < -1e-3 {
        prop_assert!(blocked(front + slack(b_n)), "theta {theta}: free just past the front {front}, arm {b_n}");
        prop_assert!(
            blocked(back - slack(back_arm)),
            "theta {theta}: free just before the back {back}, arm {back_arm}"
        );
    }
    Ok(true)
}

fn build(tooth: &Outline, pallet: &Outline, beat_error_rad: f64) -> Result<ContactCurve, TestCaseError> {
    ContactCurve::build(tooth, pallet, CENTRE_M, beat_error_rad)
        .map_err(|error| TestCaseError::reject(error.to_string()))
}

/// A tooth near the top of the wheel and a pallet that dips into the tip circle, both with straight, round and hollow edges.
fn pairs() -> impl Strategy<Value = (Outline, Outline)> {
    let tooth = (-0.3..0.3_f64).prop_flat_map(|turn| blob(Point::new(0.052 * turn.sin(), 0.052 * turn.cos()), 0.008));
    let pallet = (-0.6..0.6_f64, 0.06..0.066_f64)
        .prop_flat_map(|(turn, out)| blob(Point::new(out * turn.sin(), out * turn.cos()), 0.009));
    (tooth, pallet)
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 60, max_global_rejects: 2000, failure_persistence: None, rng_seed: SEED, ..ProptestConfig::default() })]

    #[test]
    fn exact_slope_bend_and_arms_of_random_pairs((tooth, pallet) in pairs()) {
        let curve = build(&tooth, &pallet, 0.0)?;
        let checked = check_pieces(&tooth, &pallet, &curve)?;
        prop_assume!(checked > 0);
    }

    #[test]
    fn crosscheck_random_pairs_against_polygons((tooth, pallet) in pairs(), thetas in prop::array::uniform4(-0.5..0.5_f64)) {
        let curve = build(&tooth, &pallet, 0.0)?;
        let mut met = 0;
        for theta in thetas {
            met += usize::from(check_brute(&tooth, &pallet, CENTRE_M, &curve, theta)?);
        }
        prop_assume!(met > 0);
    }

    // Lengths scaled by a factor; the tooth turned on the wheel; the pallets turned on the pendulum; the mirror image, in which
    // the wheel runs backwards and a front is a back.
    #[test]
    fn exact_symmetries_of_the_curve((tooth, pallet) in pairs(), factor in 0.2..5.0_f64, turn in -1.0..1.0_f64, beat in -0.05..0.05_f64) {
        let curve = build(&tooth, &pallet, 0.0)?;
        let scaled = |outline: &Outline| {
            Outline::new(outline.vertices().iter().map(|v| Vertex { at: factor * v.at, bulge: v.bulge }).collect()).unwrap()
        };
        let large = ContactCurve::build(&scaled(&tooth), &scaled(&pallet), factor * CENTRE_M, 0.0).unwrap();
        let shifted = build(&tooth.turned_about(Point::zeros(), turn), &pallet, 0.0)?;
        let ahead = build(&tooth, &pallet, beat)?;
        let mirror = build(&tooth.mirrored(), &pallet.mirrored(), 0.0)?;
        let mut checked = 0;
        for (flank, piece) in all_pieces(&curve) {
            if piece.to_rad - piece.from_rad < 1e-6 {
                continue;
            }
            let theta = 0.5 * (piece.from_rad + piece.to_rad);
            let phi = curve.advance_rad(piece, flank, theta).unwrap();
            let place = piece.pair.place(theta, phi);
            let (_, noise) = rounding(&tooth, &pallet, piece, theta, phi);
            let tolerance = 4.0 * noise;
            let at = |other: &ContactCurve, theta: f64| match flank {
                Flank::Front => other.front_at(theta).map(|place| place.phi_rad),
                Flank::Back => other.back_advance_at(theta),
            };
            prop_assert!(off_rad(at(&large, theta).unwrap(), phi).abs() < tolerance);
            prop_assert!(off_rad(at(&shifted, theta).unwrap(), phi + turn).abs() < tolerance);
            if (theta - beat).abs() < beatwright::geometry::COVERED_RAD {
                let off = off_rad(at(&ahead, theta - beat).unwrap(), phi);
                prop_assert!(off.abs() < tolerance, "{flank:?} {piece:?} off {off} {tolerance}");
            }
            let reflected = match flank {
                Flank::Front => mirror.back_advance_at(-theta),
                Flank::Back => mirror.front_at(-theta).map(|place| place.phi_rad),
            };
            prop_assert!(off_rad(-reflected.unwrap(), phi).abs() < tolerance);
            if flank == Flank::Front {
                let twin = large.front_at(theta).unwrap();
                prop_assert!((twin.slope - place.slope).abs() <= 10.0 * tolerance * (1.0 + place.second_derivative.abs() + place.slope.abs() / place.normal_arms_m.1.abs()));
                prop_assert!((twin.normal_arms_m.0 - factor * place.normal_arms_m.0).abs() < 1e-9 * factor);
                prop_assert!((twin.tangent_arms_m.1 - factor * place.tangent_arms_m.1).abs() < 1e-9 * factor);
            }
            checked += 1;
        }
        prop_assert!(checked > 0);
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 24, max_global_rejects: 2000, failure_persistence: None, rng_seed: SEED, ..ProptestConfig::default() })]

    #[test]
    fn crosscheck_families_and_misshapen_ones_against_polygons(
        outlines in family_outlines(), dents in prop::collection::vec((-1.0..1.0_f64, -1.0..1.0_f64, -1.0..1.0_f64), 24),
        misshapen in any::<bool>(), thetas in prop::array::uniform5(-0.25..0.25_f64),
    ) {
        let mut outlines = outlines;
        if misshapen {
            outlines.tooth = perturbed(&outlines.tooth, 1e-4, &dents[..8]).ok_or_else(|| TestCaseError::reject("crossing"))?;
            outlines.pallets.entry = perturbed(&outlines.pallets.entry, 3e-4, &dents[8..16]).ok_or_else(|| TestCaseError::reject("crossing"))?;
            outlines.pallets.exit = perturbed(&outlines.pallets.exit, 3e-4, &dents[16..]).ok_or_else(|| TestCaseError::reject("crossing"))?;
        }
        let mut met = 0;
        for pallet in [&outlines.pallets.entry, &outlines.pallets.exit] {
            let centre_m = outlines.centre_distance_m;
            let curve = ContactCurve::build(&outlines.tooth, pallet, centre_m, 0.0)
                .map_err(|error| TestCaseError::fail(error.to_string()))?;
            for theta in thetas {
                met += usize::from(check_brute(&outlines.tooth, pallet, centre_m, &curve, theta)?);
            }
        }
        prop_assert!(met > 0);
    }

    // Bulge b on a chord c: sagitta b c / 2 to the right of the chord, radius c (1 + b^2) / (4 |b|).
    #[test]
    fn exact_centre_of_an_arc(x in -1.0..1.0_f64, y in -1.0..1.0_f64, chord in 0.01..1.0_f64, angle in -PI..PI, bulge in 0.02..5.0_f64, out in any::<bool>()) {
        let bulge = if out { bulge } else { -bulge };
        let (from, along) = (Point::new(x, y), Point::new(angle.cos(), angle.sin()));
        let to = from + chord * along;
        let centre = arc_centre(from, to, bulge);
        let radius = chord * (1.0 + bulge * bulge) / (4.0 * bulge.abs());
        let top = from + 0.5 * chord * along + 0.5 * bulge * chord * Point::new(along.y, -along.x);
        for point in [from, to, top] {
            prop_assert!(((point - centre).norm() - radius).abs() < 2e-14 * (1.0 + radius));
        }
    }

    // A half disc, a disc, a lens: the same arcs seen as chords with bulges.
    #[test]
    fn exact_area_with_arcs(radius in 0.01..1.0_f64, sweep in 0.3..6.0_f64) {
        let (from, to) = (Point::new(radius, 0.0), radius * Point::new(sweep.cos(), sweep.sin()));
        let bulge = (0.25 * sweep).tan();
        let segment = 0.5 * radius * radius * (sweep - sweep.sin());
        let straight = Outline::new(vec![Vertex { at: from, bulge }, Vertex { at: to, bulge: 0.0 }]).unwrap();
        prop_assert!((straight.signed_area_m2() - segment).abs() < 1e-13 * radius * radius);
        // The arc seen from the other side, run through clockwise: turned round, the same area.
        let back = Outline::new(vec![Vertex { at: to, bulge: -bulge }, Vertex { at: from, bulge: 0.0 }]).unwrap();
        prop_assert!((back.signed_area_m2() - segment).abs() < 1e-13 * radius * radius);
        let rest = (0.25 * (TAU - sweep)).tan();
        let disc = Outline::new(vec![Vertex { at: from, bulge }, Vertex { at: to, bulge: rest }]).unwrap();
        prop_assert!((disc.signed_area_m2() - PI * radius * radius).abs() < 1e-13 * radius * radius);
        let polygon = straight.polyline(1e-9);
        let shoelace: f64 = (0..polygon.len()).map(|k| 0.5 * cross(polygon[k], polygon[(k + 1) % polygon.len()])).sum();
        prop_assert!((shoelace - segment).abs() < sweep * radius * 1e-6 * radius.max(1e-3));
    }
}

// Radius 2 m, chord 20 mm: the polygon's chords must not be off by more than asked.
#[test]
fn exact_polygon_of_a_flat_arc_keeps_to_its_sagitta() {
    let corner = |x, y, bulge| Vertex { at: Point::new(x, y), bulge };
    let bulge = (0.25 * 2.0 * (0.005_f64).asin()).tan();
    let outline = Outline::new(vec![corner(0.0, 0.0, bulge), corner(0.02, 0.0, 0.0), corner(0.01, 0.01, 0.0)]).unwrap();
    let centre = arc_centre(Point::zeros(), Point::new(0.02, 0.0), bulge);
    let points = outline.polyline(1e-9);
    for pair in points[..points.len() - 1].windows(2) {
        let middle = 0.5 * (pair[0] + pair[1]);
        assert!(2.0 - (middle - centre).norm() < 1.001e-9, "{}", 2.0 - (middle - centre).norm());
    }
}

// Two hollow edges that turn past each other next to their common corner enclose no tip: 20 degrees between the chords.
#[test]
fn exact_edges_that_overlap_at_their_corner_are_refused() {
    let triangle = |sweep_deg: f64| {
        let bulge = -(0.25 * sweep_deg.to_radians()).tan();
        let corner = |x, y, bulge| Vertex { at: Point::new(x, y), bulge };
        let half = 10f64.to_radians();
        let (x, y) = (half.cos(), half.sin());
        Outline::new(vec![corner(0.0, 0.0, bulge), corner(x, -y, 0.0), corner(x, y, bulge)])
    };
    assert!(triangle(19.0).is_ok());
    assert_eq!(triangle(21.0), Err(beatwright::geometry::OutlineError::Crossing(2, 0)));
}

// A round pin: two half circles.
#[test]
fn exact_a_circle_of_two_arcs_is_an_outline() {
    for (bulge, turn) in [(1.0, 0.0), (-1.0, 0.0), (1.0, 0.7), (1.0, 2.9)] {
        let (s, c) = f64::sin_cos(turn);
        let at = |sign: f64| Point::new(0.01 + sign * 0.002 * c, 0.06 + sign * 0.002 * s);
        let circle = Outline::new(vec![Vertex { at: at(-1.0), bulge }, Vertex { at: at(1.0), bulge }]).unwrap();
        assert!((circle.signed_area_m2() - std::f64::consts::PI * 4e-6).abs() < 1e-18);
    }
}
