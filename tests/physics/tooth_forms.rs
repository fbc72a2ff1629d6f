//! Every form of tooth, and pallets that are pins: sizes in closed form, the action read back, contact against polygons, and
//! what a printer leaves of them.

use std::f64::consts::TAU;

use beatwright::clock::build::contact_escapement;
use beatwright::clock::design::{
    ClubTooth, DeadBeat, PalletPlan, PinPallet, PinTooth, PointedTooth, RecoilAnchor, RisingTooth, TaperedTooth,
    ToothForm, UniformTooth,
};
use beatwright::clock::escapement::action::{Action, PalletAction, read_action};
use beatwright::clock::escapement::{EscapementOutlines, FamilyError, dead_beat, pin_pallet, recoil_anchor};
use beatwright::clock::printing::printed_outline::printed;
use beatwright::clock::printing::printer::{Printer, Spread};
use beatwright::clock::side::Side;
use beatwright::geometry::{Point, arc_centre};

use crate::support::brute_force::{Brute, bisect};
use crate::support::plans::plan_of;

const DEG: f64 = std::f64::consts::PI / 180.0;
const MM: f64 = 1e-3;
const RADIUS_M: f64 = 60.0 * MM;

const TAPERED: TaperedTooth =
    TaperedTooth { depth_m: 10.0 * MM, tip_width_m: 0.8 * MM, undercut_rad: 10.0 * DEG, wedge_rad: 12.0 * DEG };
const POINTED: PointedTooth = PointedTooth { depth_m: 10.0 * MM, undercut_rad: 10.0 * DEG, wedge_rad: 16.0 * DEG };
const UNIFORM: UniformTooth = UniformTooth {
    depth_m: 10.0 * MM,
    width_m: 1.2 * MM,
    slope_rad: 20.0 * DEG,
    undercut_rad: 10.0 * DEG,
    root_fillet_m: 1.0 * MM,
};
const CLUB: ClubTooth = ClubTooth {
    depth_m: 10.0 * MM,
    tip_width_m: 1.2 * MM,
    tooth_lift_rad: 0.3 * DEG,
    undercut_rad: 10.0 * DEG,
    wedge_rad: 10.0 * DEG,
};
const PIN: PinTooth = PinTooth { diameter_m: 2.0 * MM };

fn forms() -> [(&'static str, ToothForm); 6] {
    [
        ("tapered", ToothForm::Tapered(TAPERED)),
        ("pointed", ToothForm::Pointed(POINTED)),
        ("uniform", ToothForm::Uniform(UNIFORM)),
        ("uniform without fillets", ToothForm::Uniform(UniformTooth { root_fillet_m: 0.0, ..UNIFORM })),
        ("club", ToothForm::Club(CLUB)),
        ("pin", ToothForm::Pin(PIN)),
    ]
}

fn plan<T>(tooth: T) -> PalletPlan<T> {
    PalletPlan { friction: 0.2.into(), ..plan_of(tooth) }
}

fn dead(tooth: ToothForm) -> Result<EscapementOutlines, FamilyError> {
    dead_beat(&DeadBeat { plan: plan(tooth), lock_rad: 1.0 * DEG })
}

/// On an anchor: the front radial, because the faces push the wheel back past it.
fn anchor(tooth: ToothForm) -> Result<EscapementOutlines, FamilyError> {
    let tooth = match tooth {
        ToothForm::Tapered(form) => ToothForm::Tapered(TaperedTooth { undercut_rad: 0.0, ..form }),
        ToothForm::Pointed(form) => ToothForm::Pointed(PointedTooth { undercut_rad: 0.0, ..form }),
        ToothForm::Uniform(form) => ToothForm::Uniform(UniformTooth { undercut_rad: 0.0, ..form }),
        ToothForm::Club(form) => ToothForm::Club(ClubTooth { undercut_rad: 0.0, ..form }),
        ToothForm::Pin(form) => ToothForm::Pin(form),
    };
    recoil_anchor(&RecoilAnchor { plan: PalletPlan { lift_rad: 4.0 * DEG, face_length_rad: 3.0 * DEG, ..plan(tooth) } })
}

fn pins() -> PinPallet {
    let tooth = RisingTooth { depth_m: 12.0 * MM, undercut_rad: 3.0 * DEG, wedge_rad: 10.0 * DEG };
    PinPallet {
        plan: PalletPlan { face_length_rad: 4.0 * DEG, ..plan(tooth) },
        lock_rad: 1.0 * DEG,
        pin_diameter_m: 3.0 * MM,
    }
}

fn action(outlines: &EscapementOutlines) -> Action {
    read_action(&contact_escapement(outlines, 0.2, 0.0, 0.0).unwrap()).unwrap()
}

/// A pin leaves a pallet where the contact curve folds: the wheel's place there is known to the root of rounding.
fn drop_tolerance_rad(name: &str) -> f64 {
    if name == "pin" { 1e-7 } else { 1e-10 }
}

fn near(what: &str, read_rad: f64, planned_rad: f64, tolerance_rad: f64) {
    assert!((read_rad - planned_rad).abs() < tolerance_rad, "{what}: {} for {} deg", read_rad / DEG, planned_rad / DEG);
}

#[test]
fn exact_every_form_locks_lifts_and_drops_as_planned_on_dead_beat_pallets() {
    for (name, form) in forms() {
        let action = action(&dead(form).unwrap_or_else(|error| panic!("{name}: {error}")));
        for pallet in [action.entry, action.exit] {
            near(name, pallet.lock_rad, 1.0 * DEG, 1e-9);
            near(name, pallet.lift_rad, 2.0 * DEG, 1e-9);
            near(name, pallet.drop_rad, 2.0 * DEG, drop_tolerance_rad(name));
            assert!(pallet.clearance_rad > 0.0, "{name}");
        }
    }
}

#[test]
fn exact_every_form_lifts_and_drops_as_planned_on_anchors() {
    for (name, form) in forms() {
        let action = action(&anchor(form).unwrap_or_else(|error| panic!("{name}: {error}")));
        for pallet in [action.entry, action.exit] {
            assert_eq!(pallet.lock_rad, 0.0, "{name}");
            near(name, pallet.lift_rad, 4.0 * DEG, 1e-9);
            near(name, pallet.drop_rad, 2.0 * DEG, drop_tolerance_rad(name));
        }
    }
}

/// Front faces that are straight do not hold a wheel quite still: lock and lift are told apart at the front corner, of which the
/// family's own construction knows; the sum and the drop are read off.
#[test]
fn exact_pallet_pins_lift_and_drop_as_planned_on_the_mean() {
    let Action { entry, exit } = action(&pin_pallet(&pins()).unwrap());
    let both = |of: fn(&PalletAction) -> f64| 0.5 * (of(&entry) + of(&exit));
    near("lock and lift", both(|pallet| pallet.lock_rad + pallet.lift_rad), 3.0 * DEG, 1e-9);
    near("drop", both(|pallet| pallet.drop_rad), 2.0 * DEG, 1e-7);
    near("centred", entry.release_rad + exit.release_rad, 0.0, 1e-9);
}

/// The pin rests with its radius on the prolonged front face up to the front corner: seen from the wheel, its centre is the
/// pin's radius from the corner, square to the face.
#[test]
fn exact_pallet_pins_pass_the_front_corner_after_the_lock() {
    let design = pins();
    let outlines = pin_pallet(&design).unwrap();
    let (r, undercut) = (0.5 * design.pin_diameter_m, design.plan.tooth.undercut_rad);
    let passing_m = Point::new(r * undercut.cos(), RADIUS_M - r * undercut.sin()).norm();
    let arbor = Point::new(0.0, outlines.centre_distance_m);
    let lifts = [(&outlines.pallets.entry, 1.0), (&outlines.pallets.exit, -1.0)].map(|(pallet, inward)| {
        let ends = pallet.vertices();
        let centre = 0.5 * (ends[0].at + ends[1].at);
        let height_m = |theta: f64| {
            let (s, c) = theta.sin_cos();
            let arm = centre - arbor;
            (arbor + Point::new(c * arm.x - s * arm.y, s * arm.x + c * arm.y)).norm()
        };
        // From the release, 1.5 degrees past the centre, inwards to where the pin's centre comes down to the front corner.
        let unlocking = bisect(-inward * 1.5 * DEG, inward * 1.5 * DEG, |theta| height_m(theta) < passing_m);
        inward * unlocking + 1.5 * DEG
    });
    near("mean lift", 0.5 * (lifts[0] + lifts[1]), 2.0 * DEG, 1e-10);
}

#[test]
fn exact_the_club_tooth_takes_its_share_of_the_lift() {
    for (what, outlines, release_rad) in [
        ("dead-beat", dead(ToothForm::Club(CLUB)).unwrap(), 1.5 * DEG),
        ("anchor", anchor(ToothForm::Club(CLUB)).unwrap(), 2.0 * DEG),
    ] {
        assert!(outlines.tooth.vertices()[1].at.norm() > RADIUS_M, "the heel stands further out");
        let arbor = Point::new(0.0, outlines.centre_distance_m);
        // The end face takes over where the pallet's release corner crosses the circle of the front corners.
        let shares = [(&outlines.pallets.entry, -1.0), (&outlines.pallets.exit, 1.0)].map(|(pallet, away)| {
            let height_m = |theta: f64| pallet.turned_about(arbor, theta).vertices()[1].at.norm();
            let handover = bisect(0.0, away * release_rad, |theta| height_m(theta) > RADIUS_M);
            release_rad - away * handover
        });
        near(what, 0.5 * (shares[0] + shares[1]), 0.3 * DEG, 1e-10);
    }
}

#[test]
fn exact_a_uniform_tooth_has_its_planned_sizes() {
    let tooth = dead(ToothForm::Uniform(UNIFORM)).unwrap().tooth;
    let at: Vec<Point> = tooth.vertices().iter().map(|vertex| vertex.at).collect();
    let [front, back, behind, back_foot, front_foot, before] = at[..] else { panic!("{at:?}") };
    assert_eq!(front, Point::new(0.0, RADIUS_M));
    let down = (before - front).normalize();
    assert!(((behind - back).normalize() - down).norm() < 1e-12, "parallel faces");
    assert!((down.perp(&(back - front)).abs() - UNIFORM.width_m).abs() < 1e-16);
    assert!(((-down.x).atan2(-down.y) - UNIFORM.undercut_rad).abs() < 1e-13);
    let end = back - front;
    assert!(((-end.y).atan2(-end.x) - UNIFORM.slope_rad).abs() < 1e-13);
    assert!((tooth.turn_rad(0) - 120.0 * DEG).abs() < 1e-12, "a corner of 90 - 10 - 20 degrees");
    let root_m = RADIUS_M - UNIFORM.depth_m;
    let arcs: Vec<_> = tooth.edges().filter(|edge| edge.2 != 0.0).collect();
    assert_eq!(arcs.len(), 2);
    for (from, to, bulge) in arcs {
        let centre = arc_centre(from, to, bulge);
        assert!(bulge < 0.0 && ((from - centre).norm() - UNIFORM.root_fillet_m).abs() < 1e-14);
        assert!((centre.norm() - root_m - UNIFORM.root_fillet_m).abs() < 1e-14, "the fillet touches the root circle");
        let on_face = if (from - behind).norm() == 0.0 || (to - behind).norm() == 0.0 { behind } else { before };
        assert!((on_face - centre).dot(&down).abs() < 1e-14, "and the face");
    }
    assert!((back_foot.norm() - root_m).abs() < 1e-15 && (front_foot.norm() - root_m).abs() < 1e-15);
}

#[test]
fn exact_a_pin_is_round() {
    let tooth = dead(ToothForm::Pin(PIN)).unwrap().tooth;
    assert!((tooth.signed_area_m2() - 0.25 * std::f64::consts::PI * PIN.diameter_m.powi(2)).abs() < 1e-18);
    for (from, to, bulge) in tooth.edges() {
        assert!((arc_centre(from, to, bulge) - Point::new(0.0, RADIUS_M)).norm() < 1e-16);
    }
}

/// A corner of angle a recedes by r (1 / sin(a / 2) - 1) under a bead of radius r (closed form): 60 degrees of the uniform
/// tooth, 16 of the pointed one.
#[test]
fn exact_corners_recede_under_the_bead_as_their_angle_says() {
    let bead_radius = Spread { value: 0.2 * MM, ..Spread::default() };
    let printer = Printer { bead_radius, ..Printer::default() };
    for (form, corner_rad) in [(ToothForm::Uniform(UNIFORM), 60.0 * DEG), (ToothForm::Pointed(POINTED), 16.0 * DEG)] {
        let tooth = printed(&dead(form).unwrap(), &printer).unwrap().outlines.tooth;
        let corner = Point::new(0.0, RADIUS_M);
        let recedes_m = tooth.polyline(1e-10).iter().map(|point| (point - corner).norm()).fold(f64::INFINITY, f64::min);
        let closed_form_m = 0.2 * MM * (1.0 / (0.5 * corner_rad).sin() - 1.0);
        // Between two points of the polyline the arc is nearer by up to its sagitta and a step's share.
        assert!((recedes_m - closed_form_m).abs() < 1e-9, "{recedes_m} for {closed_form_m}");
    }
}

/// Where the wheel rests on the polygons of the whole wheel and both pallets, and where the contact curves say.
fn check_against_polygons(name: &str, outlines: &EscapementOutlines, pins: bool) {
    let escapement = contact_escapement(outlines, 0.2, 0.0, 0.0).unwrap();
    let brute = if pins { Brute::of_pins(outlines) } else { Brute::new(outlines) };
    let pitch = brute.pitch_rad();
    let mut met = [0, 0];
    for step in -7..=7 {
        let theta = 0.57 * f64::from(step) * DEG + 0.013 * DEG;
        let Some(free) = brute.free_place(theta, 0.0) else { panic!("{name}: no free place at {theta}") };
        let Some(rest) = brute.settle(theta, free) else { panic!("{name}: no rest at {theta}") };
        let (side, curve) = match rest.pallet {
            Side::Entry => (0, &escapement.curves.entry),
            Side::Exit => (1, &escapement.curves.exit),
        };
        let place = curve.front_at(theta).unwrap_or_else(|| panic!("{name}: no curve at {} deg", theta / DEG));
        let off = (rest.phi_rad - place.phi_rad + 0.5 * pitch).rem_euclid(pitch) - 0.5 * pitch;
        // Chords are off by 1e-8 m on either body; the flattest contact here turns that into a hundred times as much.
        assert!(off.abs() < 1e-8 / RADIUS_M * 1e2, "{name}: at {} deg {} rad off", theta / DEG, off);
        met[side] += 1;
    }
    assert!(met[0] > 3 && met[1] > 3, "{name}: {met:?}");
}

#[test]
fn crosscheck_contact_of_every_form_against_polygons() {
    for (name, form) in forms() {
        check_against_polygons(name, &dead(form).unwrap(), name == "pin");
        check_against_polygons(name, &anchor(form).unwrap(), name == "pin");
    }
    check_against_polygons("pallet pins", &pin_pallet(&pins()).unwrap(), false);
}

#[test]
fn crosscheck_contact_of_every_printed_form_against_polygons() {
    let spread = |value| Spread { value, ..Spread::default() };
    let printer = Printer {
        bead_radius: spread(0.15 * MM),
        growth: spread(0.03 * MM),
        shrinkage: spread(0.001),
        centre_distance_error: spread(-0.05 * MM),
        ..Printer::default()
    };
    for (name, form) in forms() {
        for drawn in [dead(form).unwrap(), anchor(form).unwrap()] {
            let made = printed(&drawn, &printer).unwrap().outlines;
            assert!(made.tooth != drawn.tooth && made.pallets.entry != drawn.pallets.entry);
            check_against_polygons(name, &made, name == "pin");
        }
    }
    let made = printed(&pin_pallet(&pins()).unwrap(), &printer).unwrap().outlines;
    check_against_polygons("pallet pins", &made, false);
}

fn refused(tooth: ToothForm) -> FamilyError {
    dead(tooth).unwrap_err()
}

#[test]
fn impossible_forms_are_refused_each_for_its_reason() {
    let uniform = |change: fn(&mut UniformTooth)| {
        let mut tooth = UNIFORM;
        change(&mut tooth);
        refused(ToothForm::Uniform(tooth))
    };
    let flat = uniform(|tooth| tooth.slope_rad = 0.2 * DEG);
    assert!(matches!(flat, FamilyError::EndFaceReachesOut { .. }), "{flat:?}");
    let steep = uniform(|tooth| tooth.slope_rad = 80.0 * DEG);
    assert!(matches!(steep, FamilyError::CornerVanishes { .. }), "{steep:?}");
    let large = uniform(|tooth| tooth.root_fillet_m = 40.0 * MM);
    assert!(matches!(large, FamilyError::FilletMissesRoot { .. }), "{large:?}");
    let broad = uniform(|tooth| tooth.root_fillet_m = 6.0 * MM);
    assert!(matches!(broad, FamilyError::TeethMerge { .. }), "{broad:?}");
    let thick = uniform(|tooth| tooth.width_m = 2.4 * MM);
    assert!(matches!(thick, FamilyError::HitsToothAhead { .. }), "wider than the drop: {thick:?}");
    let club =
        |tooth_lift_deg: f64| refused(ToothForm::Club(ClubTooth { tooth_lift_rad: tooth_lift_deg * DEG, ..CLUB }));
    assert!(matches!(club(8.0), FamilyError::ToothLiftOutOfReach { most_rad, .. } if most_rad > 0.5 * DEG));
    assert!(matches!(club(0.6), FamilyError::EndFaceLeads { .. }), "steeper than the pallet");
    let none = refused(ToothForm::Club(ClubTooth { tooth_lift_rad: 0.0, ..CLUB }));
    assert!(matches!(none, FamilyError::NotPositive { .. }), "{none:?}");
    let bare = refused(ToothForm::Pointed(PointedTooth { wedge_rad: 0.0, ..POINTED }));
    assert_eq!(bare, FamilyError::ToothHasNoBody);
    let touching = refused(ToothForm::Pin(PinTooth { diameter_m: 2.0 * RADIUS_M * (TAU / 60.0).sin() }));
    assert!(matches!(touching, FamilyError::PinsTouch { .. }), "{touching:?}");
    let thick = pin_pallet(&PinPallet { pin_diameter_m: 9.0 * MM, ..pins() }).unwrap_err();
    assert!(matches!(thick, FamilyError::NoEndFace { .. }), "{thick:?}");
}
