//! The escape wheel as a body: moments of areas, the contour in one piece, weight and inertia, and what cannot be made.

use std::f64::consts::{PI, TAU};

use beatwright::clock::design::{
    ClubTooth, Cut, DeadBeat, MaterialRef, PalletPlan, PinPallet, PinTooth, PointedTooth, RecoilAnchor, RisingTooth,
    Spoked, TaperedTooth, ToothForm, UniformTooth, WheelBody,
};
use beatwright::clock::escapement::{
    EscapementOutlines, RimError, WheelError, dead_beat, escape_wheel, pin_pallet, recoil_anchor, wheel_rim,
};
use beatwright::clock::printing::printed_outline::{printed, printed_holes};
use beatwright::clock::printing::printer::{Printer, Spread};
use beatwright::geometry::{Outline, Point, Vertex};
use beatwright::report::drawing::escapement_layers;
use beatwright::scenario::read;
use proptest::prelude::*;

use crate::support::plain;
use crate::support::plans::plan_of;
use crate::support::program::beatwright;
use crate::support::shapes::blob;

const DEG: f64 = PI / 180.0;
const MM: f64 = 1e-3;
const RADIUS_M: f64 = 60.0 * MM;

fn corner(x: f64, y: f64, bulge: f64) -> Vertex {
    Vertex { at: Point::new(x, y), bulge }
}

fn close(what: &str, found: f64, expected: f64, relative: f64) {
    assert!((found - expected).abs() <= relative * expected.abs(), "{what}: {found:e} for {expected:e}");
}

/// Area and polar moment of a polygon about the origin, by the formula of straight edges written out anew.
fn polygon(points: &[Point]) -> (f64, f64) {
    points.iter().enumerate().fold((0.0, 0.0), |(area, moment), (k, a)| {
        let b = points[(k + 1) % points.len()];
        let cross = a.x * b.y - a.y * b.x;
        let squares = a.x * a.x + a.x * b.x + b.x * b.x + a.y * a.y + a.y * b.y + b.y * b.y;
        (area + 0.5 * cross, moment + cross * squares / 12.0)
    })
}

#[test]
fn exact_polar_moments_of_circle_rectangle_and_annulus_sector() {
    let (r, centre, away) = (0.03, Point::new(0.2, -0.1), Point::new(-0.05, 0.4));
    let circle = Outline::circle(centre, r).unwrap();
    close("circle", circle.polar_moment_m4(centre), 0.5 * PI * r.powi(4), 1e-13);
    let steiner = 0.5 * PI * r.powi(4) + PI * r * r * (centre - away).norm_squared();
    close("circle from afar", circle.polar_moment_m4(away), steiner, 1e-13);

    let (w, h) = (0.07, 0.02);
    let rectangle = Outline::new(vec![
        corner(0.1, 0.1, 0.0),
        corner(0.1 + w, 0.1, 0.0),
        corner(0.1 + w, 0.1 + h, 0.0),
        corner(0.1, 0.1 + h, 0.0),
    ])
    .unwrap();
    let middle = Point::new(0.1 + 0.5 * w, 0.1 + 0.5 * h);
    close("rectangle", rectangle.polar_moment_m4(middle), w * h * (w * w + h * h) / 12.0, 1e-12);

    // Sectors of all widths, so that both the wide and the flat arcs occur.
    for sweep in [3.0_f64, 1.0, 0.21, 0.19, 1e-2, 1e-4] {
        let (inner, outer, turn): (f64, f64, f64) = (0.04, 0.05, 0.7);
        let on = |radius: f64, angle: f64| (radius * angle.cos(), radius * angle.sin());
        let bulge = (0.25 * sweep).tan();
        let [a, b, c, d] = [on(outer, turn), on(outer, turn + sweep), on(inner, turn + sweep), on(inner, turn)];
        let sector = Outline::new(vec![
            corner(a.0, a.1, bulge),
            corner(b.0, b.1, 0.0),
            corner(c.0, c.1, -bulge),
            corner(d.0, d.1, 0.0),
        ])
        .unwrap();
        let expected = 0.25 * sweep * (outer.powi(4) - inner.powi(4));
        close(&format!("sector of {sweep} rad"), sector.polar_moment_m4(Point::zeros()), expected, 1e-11);
    }
}

/// An arc that is all but straight has a centre kilometres away.
#[test]
fn exact_nearly_straight_arcs_keep_their_moment() {
    for bulge in [1e-3, 1e-6, -1e-7] {
        let outline =
            Outline::new(vec![corner(0.0, 0.0, bulge), corner(0.02, 0.0, 0.0), corner(0.02, 0.01, 0.0)]).unwrap();
        let straight = Outline::new(vec![corner(0.0, 0.0, 0.0), corner(0.02, 0.0, 0.0), corner(0.02, 0.01, 0.0)]);
        let about = Point::new(0.01, 0.0);
        // Of the chord's length c and sagitta b c / 2 a parabola's segment has the moment c^2 / 20 of its area 2/3 b c / 2 c.
        let (chord, area): (f64, f64) = (0.02, bulge * 0.02 * 0.02 / 3.0);
        let segment = area * chord * chord / 20.0;
        let found = outline.polar_moment_m4(about) - straight.unwrap().polar_moment_m4(about);
        let tolerance = 2.0 * bulge * bulge * segment.abs() + 1e-14 * outline.polar_moment_m4(about);
        assert!((found - segment).abs() < tolerance, "{bulge:e}: {found:e} for {segment:e}");
    }
}

proptest! {
    #[test]
    fn moments_agree_with_fine_polygons_and_with_steiner(
        outline in blob(Point::new(0.03, -0.02), 0.02),
        (x, y) in (-0.1..0.1_f64, -0.1..0.1_f64),
    ) {
        let moved: Vec<Point> = outline.polyline(1e-9).iter().map(|point| point - Point::new(x, y)).collect();
        let (area, moment) = polygon(&moved);
        // Chords cut off a strip of at most the sagitta along the outline, less than 0.2 m long and 0.25 m away.
        let found = outline.polar_moment_m4(Point::new(x, y));
        prop_assert!((found - moment).abs() < 0.2 * 1e-9 * 0.25 * 0.25, "{found:e} {moment:e}");
        prop_assert!((outline.signed_area_m2() - area).abs() < 0.2 * 1e-9);
        let turned = outline.turned_about(Point::new(x, y), 1.3).polar_moment_m4(Point::new(x, y));
        prop_assert!((turned - found).abs() < 1e-12 * found.abs());
        let mirrored = outline.mirrored().polar_moment_m4(Point::new(-x, y));
        prop_assert!((mirrored - found).abs() < 1e-12 * found.abs());
    }
}

fn forms() -> [(&'static str, ToothForm); 6] {
    let uniform = UniformTooth {
        depth_m: 10.0 * MM,
        width_m: 1.2 * MM,
        slope_rad: 20.0 * DEG,
        undercut_rad: 10.0 * DEG,
        root_fillet_m: 1.0 * MM,
    };
    let (depth_m, undercut_rad, wedge_rad) = (10.0 * MM, 10.0 * DEG, 10.0 * DEG);
    [
        ("tapered", ToothForm::Tapered(TaperedTooth { depth_m, tip_width_m: 0.8 * MM, undercut_rad, wedge_rad })),
        ("pointed", ToothForm::Pointed(PointedTooth { depth_m, undercut_rad, wedge_rad })),
        ("uniform", ToothForm::Uniform(uniform)),
        ("uniform without fillets", ToothForm::Uniform(UniformTooth { root_fillet_m: 0.0, ..uniform })),
        (
            "club",
            ToothForm::Club(ClubTooth {
                depth_m,
                tip_width_m: 1.2 * MM,
                tooth_lift_rad: 0.3 * DEG,
                undercut_rad,
                wedge_rad,
            }),
        ),
        ("pin", ToothForm::Pin(PinTooth { diameter_m: 2.0 * MM })),
    ]
}

fn plan<T>(tooth: T) -> PalletPlan<T> {
    PalletPlan { friction: 0.2.into(), face_length_rad: 4.0 * DEG, ..plan_of(tooth) }
}

fn dead(tooth: ToothForm) -> EscapementOutlines {
    dead_beat(&DeadBeat { plan: plan(tooth), lock_rad: 1.0 * DEG }).unwrap()
}

/// Every form of tooth with a root, on every family of pallets that takes it.
fn rooted() -> Vec<(String, EscapementOutlines)> {
    let mut all: Vec<(String, EscapementOutlines)> = forms()
        .into_iter()
        .filter(|(name, _)| *name != "pin")
        .map(|(name, form)| (name.to_owned(), dead(form)))
        .collect();
    let radial = ToothForm::Tapered(TaperedTooth {
        depth_m: 10.0 * MM,
        tip_width_m: 0.6 * MM,
        undercut_rad: 0.0,
        wedge_rad: 12.0 * DEG,
    });
    let anchor = RecoilAnchor { plan: PalletPlan { lift_rad: 4.0 * DEG, face_length_rad: 3.0 * DEG, ..plan(radial) } };
    all.push(("anchor".to_owned(), recoil_anchor(&anchor).unwrap()));
    let rising = RisingTooth { depth_m: 12.0 * MM, undercut_rad: 3.0 * DEG, wedge_rad: 10.0 * DEG };
    let pins = PinPallet { plan: plan(rising), lock_rad: 1.0 * DEG, pin_diameter_m: 3.0 * MM };
    all.push(("pallet pins".to_owned(), pin_pallet(&pins).unwrap()));
    all
}

fn printer() -> Printer {
    let spread = |value| Spread { value, ..Spread::default() };
    Printer { bead_radius: spread(0.2 * MM), growth: spread(0.04 * MM), shrinkage: spread(0.002), ..Printer::default() }
}

/// The polygon of a contour winds once about the wheel's centre and none of its edges cross.
fn check_contour(name: &str, outlines: &EscapementOutlines) {
    let rim = wheel_rim(outlines).unwrap_or_else(|error| panic!("{name}: {error}"));
    assert!(!rim.carries_pins, "{name}");
    let points = rim.contour.polyline(1e-6);
    let (area, moment) = polygon(&points);
    assert!(area > 0.0, "{name} is clockwise");
    let count = points.len();
    let turns: f64 = (0..count)
        .map(|k| points[k].perp(&points[(k + 1) % count]).atan2(points[k].dot(&points[(k + 1) % count])))
        .sum();
    assert!((turns - TAU).abs() < 1e-9, "{name} winds {turns} rad about the centre");
    let side = |p: Point, q: Point, r: Point| (q - p).perp(&(r - p));
    for i in 0..count {
        for j in i + 1..count {
            let (a, b, c, d) = (points[i], points[(i + 1) % count], points[j], points[(j + 1) % count]);
            let crosses = side(a, b, c) * side(a, b, d) < 0.0 && side(c, d, a) * side(c, d, b) < 0.0;
            assert!(!crosses, "{name}: {a:?} {c:?}");
        }
    }
    // Chords cut off at most the sagitta along an outline of less than 1.5 m within 0.07 m of the centre.
    close(name, rim.contour.signed_area_m2(), area, 1.5e-6 / area);
    close(name, rim.contour.polar_moment_m4(Point::zeros()), moment, 1.5e-6 * 0.07 * 0.07 / moment);
    assert!(points.iter().all(|point| point.norm() > rim.root_m - 1e-5), "{name}: within the root circle");
    assert_eq!(rim.contour.vertices().len() % outlines.teeth as usize, 0);
}

#[test]
fn exact_every_form_joins_to_one_contour_as_drawn_and_as_printed() {
    for (name, outlines) in rooted() {
        check_contour(&name, &outlines);
        check_contour(&format!("{name} printed"), &printed(&outlines, &printer()).unwrap().outlines);
    }
}

/// Feet of drawn teeth stand on the root circle, and so do the arcs between them.
#[test]
fn exact_the_arcs_between_the_teeth_are_the_root_circle() {
    for (name, outlines) in rooted() {
        let rim = wheel_rim(&outlines).unwrap();
        let mut found = 0;
        for (from, to, bulge) in rim.contour.edges() {
            if bulge <= 0.0 {
                continue;
            }
            let centre = beatwright::geometry::arc_centre(from, to, bulge);
            assert!(centre.norm() < 1e-12 && (from.norm() - rim.root_m).abs() < 1e-14, "{name}");
            found += 1;
        }
        assert_eq!(found, outlines.teeth, "{name}");
        // The wheel is the root circle's disc with the teeth on it, less what a tooth cut off along a chord has within the circle.
        let middle = |edge: &(Point, Point, f64)| (0.5 * (edge.0 + edge.1)).norm();
        let root = outlines.tooth.edges().min_by(|a, b| middle(a).total_cmp(&middle(b))).unwrap();
        let angle = 2.0 * (0.5 * (root.1 - root.0).norm() / rim.root_m).asin();
        let within = if root.2 == 0.0 { 0.5 * rim.root_m * rim.root_m * (angle - angle.sin()) } else { 0.0 };
        let teeth = f64::from(outlines.teeth) * (outlines.tooth.signed_area_m2() - within);
        close(&name, rim.contour.signed_area_m2(), PI * rim.root_m * rim.root_m + teeth, 1e-12);
    }
}

fn spoked() -> Spoked {
    Spoked { rim_m: 4.0 * MM, spokes: 5, spoke_width_m: 5.0 * MM, hub_diameter_m: 16.0 * MM }
}

fn body(spoked: Option<Spoked>) -> WheelBody {
    let material = MaterialRef::of_density("test".to_owned(), 1000.0);
    WheelBody { material, cut: Cut::default(), thickness_m: 5.0 * MM, bore_diameter_m: 4.0 * MM, spoked }
}

/// A solid disc under pins is a ring: of 5 mm, 1000 kg/m^3, 62 mm and 2 mm radius.
#[test]
fn exact_a_solid_disc_under_pins() {
    let wheel = escape_wheel(&dead(ToothForm::Pin(PinTooth { diameter_m: 2.0 * MM })), &body(None)).unwrap();
    let (outer, bore) = (62.0 * MM, 2.0 * MM);
    close("mass", wheel.mass_kg, 5.0 * PI * (outer * outer - bore * bore), 1e-13);
    close("inertia", wheel.inertia_kg_m2, 2.5 * PI * (outer.powi(4) - bore.powi(4)), 1e-13);
    assert!(wheel.rim.carries_pins && wheel.holes.windows.is_empty());
    close("root", wheel.rim.root_m, 59.0 * MM, 1e-14);
}

/// What the windows take, from the ring between hub and rim less the spokes, each between two circles and two parallel lines:
/// area by the circular segments, moment by integration over the radius.
#[test]
fn exact_windows_take_the_ring_without_the_spokes() {
    for (spokes, width_mm) in [(2, 5.0), (5, 5.0), (9, 4.0)] {
        let spoked = Spoked { spokes, spoke_width_m: width_mm * MM, ..spoked() };
        for (name, outlines) in rooted() {
            let solid = escape_wheel(&outlines, &body(None)).unwrap();
            let wheel = escape_wheel(&outlines, &body(Some(spoked))).unwrap();
            assert_eq!(wheel.holes.windows.len(), spokes as usize);
            let (hub, inside, half) = (8.0 * MM, wheel.rim.root_m - 4.0 * MM, 0.5 * width_mm * MM);
            let steps = 20_000;
            let (mut area, mut moment) = (0.0, 0.0);
            for k in 0..steps {
                let r = hub + (inside - hub) * (f64::from(k) + 0.5) / f64::from(steps);
                let free = TAU - 2.0 * f64::from(spokes) * (half / r).asin();
                let dr = (inside - hub) / f64::from(steps);
                area += free * r * dr;
                moment += free * r * r * r * dr;
            }
            close(&name, solid.mass_kg - wheel.mass_kg, 5.0 * area, 1e-7);
            close(&name, solid.inertia_kg_m2 - wheel.inertia_kg_m2, 5.0 * moment, 1e-7);
        }
    }
}

#[test]
fn exact_the_whole_wheel_agrees_with_its_polygons() {
    for (name, outlines) in rooted() {
        let wheel = escape_wheel(&outlines, &body(Some(spoked()))).unwrap();
        let holes = wheel.holes.windows.iter().chain(&wheel.holes.bore);
        let (mut area, mut moment) = polygon(&wheel.rim.contour.polyline(1e-8));
        for hole in holes {
            let (hole_area, hole_moment) = polygon(&hole.polyline(1e-8));
            area -= hole_area;
            moment -= hole_moment;
        }
        close(&name, wheel.mass_kg, 5.0 * area, 1e-5);
        close(&name, wheel.inertia_kg_m2, 5.0 * moment, 1e-5);
    }
}

/// Spoke no. 0 points up at tooth no. 0, its sides parallel.
#[test]
fn exact_the_first_spoke_stands_under_tooth_no_0() {
    let wheel = escape_wheel(&rooted()[0].1, &body(Some(spoked()))).unwrap();
    let beside: Vec<&Vertex> = wheel.holes.windows.iter().flat_map(Outline::vertices).collect();
    let sides = beside.iter().filter(|vertex| vertex.at.y > 0.0 && (vertex.at.x.abs() - 2.5 * MM).abs() < 1e-15);
    assert_eq!(sides.count(), 4);
}

#[test]
fn impossible_wheels_are_refused_each_for_its_reason() {
    let refused = |change: fn(&mut Spoked), bore_mm: f64| {
        let mut spokes = spoked();
        change(&mut spokes);
        let body = WheelBody { bore_diameter_m: bore_mm * MM, ..body(Some(spokes)) };
        escape_wheel(&rooted()[0].1, &body).unwrap_err()
    };
    assert!(matches!(refused(|_| (), 16.0), WheelError::BoreTooLarge { has_hub: true, .. }));
    assert!(matches!(refused(|s| s.rim_m = 50.0 * MM, 4.0), WheelError::RimFillsWheel { .. }));
    assert!(matches!(refused(|s| s.hub_diameter_m = 92.0 * MM, 4.0), WheelError::HubReachesRim { .. }));
    assert!(matches!(refused(|s| s.spoke_width_m = 10.0 * MM, 4.0), WheelError::SpokesMerge { .. }));
    assert!(matches!(refused(|s| s.spokes = 1, 4.0), WheelError::TooFewSpokes(1)));
    assert!(matches!(refused(|s| s.rim_m = f64::NAN, 4.0), WheelError::NotPositive { quantity: "rim", .. }));
    let solid = WheelBody { bore_diameter_m: 100.0 * MM, ..body(None) };
    let none_left = escape_wheel(&rooted()[0].1, &solid).unwrap_err();
    assert!(matches!(none_left, WheelError::BoreTooLarge { has_hub: false, .. }));
    let ring = EscapementOutlines { teeth: 200, ..rooted()[0].1.clone() };
    assert!(matches!(wheel_rim(&ring), Err(RimError::NoGap { .. })));
    let many = EscapementOutlines { teeth: 50_000, ..rooted()[0].1.clone() };
    assert!(matches!(wheel_rim(&many), Err(RimError::TooManyEdges(_))));
    let round_foot = Outline::new(vec![corner(-1e-3, 0.06, 0.0), corner(-1e-3, 0.05, 1.0), corner(1e-3, 0.05, 0.0)]);
    let footless = EscapementOutlines { tooth: round_foot.unwrap(), ..rooted()[0].1.clone() };
    assert!(matches!(wheel_rim(&footless), Err(RimError::NoRoot)));
}

#[test]
fn the_drawing_holds_the_whole_wheel() {
    let count = |layers: &[(String, Outline)], name: &str| layers.iter().filter(|(layer, _)| layer == name).count();
    let outlines = &rooted()[2].1;
    let wheel = escape_wheel(outlines, &body(Some(spoked()))).unwrap();
    let bare = escapement_layers(outlines, None);
    assert_eq!(["WHEEL", "WINDOWS", "BORE", "PINS"].map(|layer| count(&bare, layer)), [1, 0, 0, 0]);
    let whole = escapement_layers(outlines, Some(&wheel.holes));
    assert_eq!(["WHEEL", "WINDOWS", "BORE", "PINS"].map(|layer| count(&whole, layer)), [1, 5, 1, 0]);
    let pins = dead(ToothForm::Pin(PinTooth { diameter_m: 2.0 * MM }));
    let on_disc = escape_wheel(&pins, &body(Some(spoked()))).unwrap();
    let bare = escapement_layers(&pins, None);
    assert_eq!(["WHEEL", "WINDOWS", "BORE", "PINS"].map(|layer| count(&bare, layer)), [30, 0, 0, 0]);
    let whole = escapement_layers(&pins, Some(&on_disc.holes));
    assert_eq!(["WHEEL", "WINDOWS", "BORE", "PINS"].map(|layer| count(&whole, layer)), [1, 5, 1, 30]);
    let footless = Outline::new(vec![corner(-1e-3, 0.06, 0.0), corner(-1e-3, 0.05, 1.0), corner(1e-3, 0.05, 0.0)]);
    let bare = escapement_layers(&EscapementOutlines { tooth: footless.unwrap(), ..outlines.clone() }, None);
    assert_eq!(count(&bare, "WHEEL"), 30);
}

/// Growth takes from a hole what it gives the wheel; the bead rounds the corners of a window; a bore stays round.
#[test]
fn exact_holes_are_printed_as_what_the_wheel_leaves() {
    let holes = escape_wheel(&rooted()[0].1, &body(Some(spoked()))).unwrap().holes;
    let made = printed_holes(&holes, &printer()).unwrap();
    let bore_m = 2.0 * MM * 0.998 - 0.04 * MM;
    close("bore", made.bore.unwrap().signed_area_m2(), PI * bore_m * bore_m, 1e-9);
    for window in &made.windows {
        let corners = window.vertices().iter().enumerate().filter(|(index, _)| window.turn_rad(*index).abs() > 1e-3);
        assert_eq!(corners.count(), 0, "every corner is round");
    }
    assert_eq!(printed_holes(&holes, &Printer::default()).unwrap(), holes);
    let growth = Spread { value: 2.1 * MM, ..Spread::default() };
    let filled = printed_holes(&holes, &Printer { growth, ..Printer::default() }).unwrap();
    assert!(filled.bore.is_none() && filled.windows.len() == 5);
}

fn problems(overrides: &[&str]) -> String {
    plain::complaint(read("heron.toml", plain::HERON, overrides))
}

#[test]
fn tells_impossible_sizes_at_their_keys() {
    let mut told = String::new();
    for set in ["rim=60 mm", "hub_diameter=95 mm", "spoke_width=12 mm", "bore=20 mm", "spokes=1", "spokes=101"] {
        told.push_str(&problems(&[&format!("escapement.wheel.{set}")]));
        told.push('\n');
    }
    insta::assert_snapshot!(told);
}

#[test]
fn tells_a_wheel_beside_an_ideal_escapement() {
    let ideal = "escapement={ ideal_kick = { at = \"0 deg\", speed = \"1 mrad/s\" }, wheel = { material = \"PLA\", \
        thickness = \"5 mm\", spokes = 0, bore = \"5 mm\" } }";
    insta::assert_snapshot!(problems(&[ideal, "train.arbor.escape.inertia=1e-5 kg m^2"]));
}

#[test]
fn exact_the_arbor_takes_the_wheels_inertia_unless_it_states_its_own() {
    let arbor = |overrides: &[&str]| {
        let design = plain::loaded("heron.toml", overrides).design;
        let outlines = beatwright::clock::escapement::drawn_outlines(&design.escapement).unwrap().unwrap();
        let wheel = design.escape_wheel.map(|body| escape_wheel(&outlines, &body).unwrap());
        (design.train.unwrap().arbors[3].inertia_kg_m2, wheel)
    };
    let (inertia, wheel) = arbor(&[]);
    let wheel = wheel.unwrap();
    assert_eq!(inertia, wheel.inertia_kg_m2);
    assert!(wheel.mass_kg < 0.03 && inertia < wheel.mass_kg * RADIUS_M * RADIUS_M);
    let (inertia, solid) = arbor(&["escapement.wheel.spokes=0", "train.arbor.escape.mass=100 g"]);
    assert!(inertia > 1.5 * wheel.inertia_kg_m2 && inertia == solid.unwrap().inertia_kg_m2);
    assert_eq!(arbor(&["train.arbor.escape.inertia=4e-5 kg m^2"]).0, 4e-5);
    // The drive gets it: at the escape wheel it counts as it is.
    let keys = |settings: &[&str]| {
        let mut command = beatwright();
        command.args(["inspect", "--json", "tests/support/plain/heron.toml"]);
        for setting in settings {
            command.args(["--set", setting]);
        }
        let output = command.output().unwrap();
        let told: serde_json::Value = serde_json::from_slice(&output.stdout).unwrap();
        ["escape_inertia_kg_m2", "escape_wheel_mass_kg", "escape_wheel_inertia_kg_m2"].map(|key| told[key].as_f64())
    };
    let [whole, mass, own] = keys(&[]);
    assert_eq!((mass, own), (Some(wheel.mass_kg), Some(wheel.inertia_kg_m2)));
    let [stated, ..] = keys(&["train.arbor.escape.inertia=1e-5 kg m^2"]);
    close("difference", whole.unwrap() - stated.unwrap(), wheel.inertia_kg_m2 - 1e-5, 1e-9);
}

/// Beyond a radius of 100 km an arc's centre says nothing about the arc any more.
#[test]
fn exact_arcs_of_endless_radius_are_straight() {
    for (bulge, is_straight) in [(4.9e-8, true), (-4.9e-8, true), (5.1e-8, false), (1e-300, true)] {
        let outline =
            Outline::new(vec![corner(0.0, 0.0, bulge), corner(0.02, 0.0, 0.0), corner(0.02, 0.01, 0.0)]).unwrap();
        assert_eq!(outline.vertices()[0].bulge == 0.0, is_straight, "{bulge:e}");
    }
}
