use beatwright::answers::clock::*;
use beatwright::answers::cycle::*;
use beatwright::answers::least::*;
use beatwright::answers::measure::*;
use beatwright::clock::build::contact_escapement;
use beatwright::clock::design::*;
use beatwright::clock::escapement::*;
use beatwright::clock::mechanism::*;
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
    let t = std::time::Instant::now();
    let outlines = dead_beat(&design).unwrap();
    println!("outlines {:?}", t.elapsed());
    let t = std::time::Instant::now();
    let escapement = contact_escapement(&outlines, 0.2, 0.0, 0.0).unwrap();
    println!("curves {:?}", t.elapsed());
    let inertia = 2.0;
    let k = 2.0 * 9.81;
    let w = (k / inertia as f64).sqrt();
    let pendulum = PendulumModel {
        inertia_kg_m2: inertia,
        gravity_torque_n_m: k,
        stiffness_n_m_per_rad: 0.0,
        air_linear_n_m_s: inertia * w / 1000.0,
        suspension_linear_n_m_s: 0.0,
        air_quadratic_n_m_s2: 0.0,
        friction_torque_n_m: 0.0,
    };
    let drive = |torque: f64| DriveModel {
        ideal_torque_n_m: torque,
        cord_loss_n_m: 0.0,
        mesh_loss_n_m: 0.0,
        friction_forward_n_m: 0.0,
        friction_backward_n_m: 0.0,
        inertia_kg_m2: 6e-5,
    };
    let torque: f64 = std::env::args().nth(1).map_or(2.4e-3, |s| s.parse().unwrap());
    let with = |torque: f64| Clock::Contact { pendulum: &pendulum, escapement: &escapement, drive: drive(torque) };
    let clock = with(torque);
    let t = std::time::Instant::now();
    let probes = scan(&clock);
    println!("scan {} {:?}", probes.len(), t.elapsed());
    for probe in &probes {
        println!(
            "{:9.5} {:?} {:?}",
            probe.start_rad.to_degrees(),
            probe.gain_rad.map(f64::to_degrees),
            clock.passage(probe.start_rad)
        );
    }
    let t = std::time::Instant::now();
    let points = stable_points(&clock, &probes);
    println!("points {points:?} {:?}", t.elapsed());
    if let Some(point) = points.first() {
        let t = std::time::Instant::now();
        let near = fixed_point_near(&clock, 4f64.to_radians());
        println!("near {near:?} {:?}", t.elapsed());
        let t = std::time::Instant::now();
        let m = measure(&clock, point.right_rad, Some(400)).unwrap();
        println!("measure {:?}", t.elapsed());
        println!(
            "T {} beats {:?} A {} {} ledger {:?} stored {:e}",
            m.period_s,
            m.beat_s,
            m.right_rad.to_degrees(),
            m.left_rad.to_degrees(),
            m.ledger,
            m.stored_gain_j
        );
        let input = torque * (m.ledger.forward_rad - m.ledger.backward_rad);
        let l = m.ledger;
        println!(
            "input {input:e} residual rel {:e}",
            (input - l.air_j - l.suspension_j - l.faces_j - l.impact_j - m.stored_gain_j) / input
        );
        let trace = m.trace.unwrap();
        let mut last = None;
        for s in &trace.samples {
            if last != Some(s.mode) {
                println!(
                    "{:8.5} {:?} theta {:8.4} phi {:8.4} nu {:9.4}",
                    s.time_s - trace.samples[0].time_s,
                    s.mode,
                    s.theta_rad.to_degrees(),
                    s.phi_rad.to_degrees(),
                    s.nu_rad_s
                );
                last = Some(s.mode);
            }
        }
        for tick in &trace.ticks {
            println!("{tick:?}");
        }
        println!("least start {}", least_start_rad(&clock, point, &probes).to_degrees());
    }
    let t = std::time::Instant::now();
    let least = least_drive(&with, torque);
    println!("least {least:?} {:?}", t.elapsed());
    if let (Some(least), Some(point)) = (least, points.first()) {
        let t = std::time::Instant::now();
        println!(
            "with margin {:?} {:?}",
            least_drive_with_margin(&with, least, (torque, *point), 0.5f64.to_radians()),
            t.elapsed()
        );
    }
}
