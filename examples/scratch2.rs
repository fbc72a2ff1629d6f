use beatwright::clock::build::contact_escapement;
use beatwright::clock::design::*;
use beatwright::clock::escapement::*;
use beatwright::geometry::*;
fn main() {
    let plan = PalletPlan {
        teeth: 30,
        radius_m: 0.06,
        spaces_embraced: 7.5,
        lift_rad: 2f64.to_radians(),
        drop_rad: 2f64.to_radians(),
        centre_distance_m: None,
        tooth: ToothForm {
            depth_m: 0.012,
            tip_width_m: 0.0008,
            undercut_rad: 10f64.to_radians(),
            wedge_rad: 8f64.to_radians(),
        },
        friction: 0.2,
        restitution: 0.0,
        beat_error_rad: 0.0,
        face_length_rad: 6f64.to_radians(),
    };
    let design = DeadBeat { plan, lock_rad: 1f64.to_radians() };
    let outlines = dead_beat(&design).unwrap();
    for (n, o) in [("tooth", &outlines.tooth), ("entry", &outlines.entry), ("exit", &outlines.exit)] {
        println!("{n}");
        for v in o.vertices() {
            println!("  {:9.4} {:9.4} {}", v.at.x * 1e3, v.at.y * 1e3, v.bulge);
        }
    }
    let e = contact_escapement(&outlines, 0.2, 0.0, 0.0).unwrap();
    for (name, curve) in [("entry", &e.entry), ("exit", &e.exit)] {
        for p in &curve.back {
            let m = 0.5 * (p.from_rad + p.to_rad);
            let phi = curve.advance_rad(p, Flank::Back, m);
            println!(
                "{name} {:9.4} {:9.4} {:?} G {:?} gap {:?}",
                p.from_rad.to_degrees(),
                p.to_rad.to_degrees(),
                p.features,
                phi.map(f64::to_degrees),
                (0..13)
                    .map(|k| (p.pair.gap.value(&Angles::at(m, phi.unwrap() + (k as f64).to_radians())) * 1e6).round())
                    .collect::<Vec<_>>()
            );
        }
    }
}
