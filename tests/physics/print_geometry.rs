//! What a printer does to an outline.

use beatwright::geometry::{Outline, Point, Vertex, arc_centre, closed, offset, opened};

fn polygon(corners: &[(f64, f64)]) -> Outline {
    let vertices = corners.iter().map(|&(x, y)| Vertex { at: Point::new(1e-3 * x, 1e-3 * y), bulge: 0.0 }).collect();
    Outline::new(vertices).unwrap()
}

/// An isosceles tip of full angle `angle_deg` at (0, 30) mm on a wide foot.
fn tip(angle_deg: f64) -> Outline {
    let half = (0.5 * angle_deg).to_radians().tan() * 20.0;
    polygon(&[(0.0, 30.0), (-half, 10.0), (half, 10.0)])
}

/// Highest point of an outline whose top is an arc.
fn highest_m(outline: &Outline) -> f64 {
    let tops = outline.edges().filter(|edge| edge.2 != 0.0).map(|(from, to, bulge)| {
        let centre = arc_centre(from, to, bulge);
        centre.y + (from - centre).norm()
    });
    tops.fold(f64::NEG_INFINITY, f64::max)
}

// Elementary geometry: a tip of full angle a recedes by r (1/sin(a/2) - 1); each corner opened with r loses
// r^2 (cot(a/2) - (pi - a)/2).
#[test]
fn exact_opened_tips_recede() {
    for (angle_deg, factor, area_factor) in [
        (10.0, 10.473713246, 9.946522439),
        (15.0, 6.661297576, 6.155857480),
        (20.0, 4.758770483, 4.275018418),
        (30.0, 2.863703305, 2.423053869),
        (45.0, 1.613125930, 1.236116317),
        (60.0, 1.000000000, 0.684853256),
        (90.0, 0.414213562, 0.214601837),
        (120.0, 0.154700538, 0.053751494),
    ] {
        for radius_m in [0.2e-3, 0.3e-3] {
            let sharp = tip(angle_deg);
            let round = opened(&sharp, radius_m).unwrap();
            let receded = 30e-3 - highest_m(&round);
            assert!((receded - factor * radius_m).abs() < 2e-12, "{angle_deg}: {receded}");
            let corner = |a: f64| radius_m * radius_m * (1.0 / (0.5 * a).tan() - 0.5 * (std::f64::consts::PI - a));
            let foot = 0.5 * (180.0_f64 - angle_deg).to_radians();
            let lost = area_factor * radius_m * radius_m + 2.0 * corner(foot);
            let found = sharp.signed_area_m2() - round.signed_area_m2();
            assert!((found - lost).abs() < 1e-8 * lost, "{angle_deg}: {found} {lost}");
        }
    }
}

#[test]
fn exact_opening_is_idempotent_and_never_grows() {
    for angle_deg in [12.0, 35.0, 80.0, 100.0] {
        let once = opened(&tip(angle_deg), 0.25e-3).unwrap();
        let twice = opened(&once, 0.25e-3).unwrap();
        assert!((once.signed_area_m2() - twice.signed_area_m2()).abs() < 1e-12 * once.signed_area_m2());
        assert!(once.signed_area_m2() < tip(angle_deg).signed_area_m2());
        let filled = closed(&once, 0.25e-3).unwrap();
        assert!(filled.signed_area_m2() >= once.signed_area_m2() * (1.0 - 1e-12));
    }
}

#[test]
fn exact_offset_and_back_returns_a_convex_outline() {
    let square = polygon(&[(0.0, 0.0), (10.0, 0.0), (10.0, 6.0), (0.0, 6.0)]);
    let back = offset(&offset(&square, 0.4e-3).unwrap(), -0.4e-3).unwrap();
    assert!((back.signed_area_m2() - square.signed_area_m2()).abs() < 1e-15);
    assert_eq!(opened(&square, 0.0).unwrap(), square);
    assert_eq!(offset(&square, 0.0).unwrap(), square);
}

#[test]
fn a_bead_wider_than_the_part_leaves_nothing() {
    let bar = polygon(&[(0.0, 0.0), (10.0, 0.0), (10.0, 0.3), (0.0, 0.3)]);
    assert!(opened(&bar, 0.2e-3).is_err());
}
