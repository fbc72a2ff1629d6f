//! Every smooth stretch of the motion against ode_solvers' Dop853, every event against its condition, every impact against
//! the impulse formula. The equations are the model's in `F`, `F'`, `F''` and the lever arms, written again here.

use beatwright::answers::measure::measure;
use beatwright::answers::return_map::PeriodOutcome;
use beatwright::clock::side::Side;
use beatwright::dynamics::Motion;
use beatwright::dynamics::observe::{Jump, JumpKind, Mode, Observer, TakenSegment};
use beatwright::dynamics::segment::State;
use beatwright::geometry::{ContactCurve, Flank, Piece};
use beatwright::numerics::series::value;
use ode_solvers::{Dop853, OutputType, System, Vector2, Vector4};

use crate::support::clocks::{Bench, dead_beat_clock, recoil_clock, rounded_dead_beat_clock};
use crate::support::plans::DEG;

#[derive(Debug, Clone, Copy)]
enum Record {
    Stretch { start: State, end: State, mode: Mode, forces_n: (f64, f64) },
    Jump(Jump),
}

#[derive(Default)]
struct Recorder(Vec<Record>);

impl Observer for Recorder {
    fn segment(&mut self, taken: &TakenSegment<'_>) {
        let at = |t: f64| taken.series.state_at(taken.start_s, t);
        let force = |t: f64| value(&taken.series.force, t);
        self.0.push(Record::Stretch {
            start: at(0.0),
            end: at(taken.duration_s),
            mode: taken.mode,
            forces_n: (force(0.0), force(taken.duration_s)),
        });
    }
    fn jump(&mut self, jump: &Jump) {
        self.0.push(Record::Jump(*jump));
    }
}

/// Pendulum's own torque; `way` is the sign of its motion.
fn pendulum_torque(bench: &Bench, theta: f64, omega: f64, way: f64) -> f64 {
    let p = &bench.pendulum;
    -p.gravity_torque_n_m * theta.sin()
        - p.stiffness_n_m_per_rad * theta
        - p.damping_linear_n_m_s() * omega
        - p.air_quadratic_n_m_s2 * omega.abs() * omega
        - p.friction_torque_n_m * way
}

fn curve(bench: &Bench, pallet: Side) -> &ContactCurve {
    if pallet == Side::Entry { &bench.escapement.curves.entry } else { &bench.escapement.curves.exit }
}

/// A tooth on one piece.
struct OnPiece<'a> {
    bench: &'a Bench,
    pallet: Side,
    piece: &'a Piece,
    way: f64,
    /// Whether the wheel is pushed back, which it must be all along or nowhere.
    backwards: bool,
}

impl OnPiece<'_> {
    /// `(F, F', F'', a, b)` and the slope of the contact.
    fn place(&self, theta: f64) -> (f64, f64, f64, f64, f64) {
        let phi = curve(self.bench, self.pallet).advance_rad(self.piece, Flank::Front, theta).unwrap();
        let place = self.piece.pair.place(theta, phi);
        let ((a_n, b_n), (a_t, b_t)) = (place.normal_arms_m, place.tangent_arms_m);
        // Friction on the pallet is against its sliding along the tangent.
        let s = -(self.way * (a_t - b_t * place.slope)).signum();
        let mu = self.bench.escapement.friction;
        (phi, place.slope, place.second_derivative, a_n + mu * s * a_t, b_n + mu * s * b_t)
    }

    /// Normal force and the pendulum's acceleration.
    fn force(&self, theta: f64, omega: f64) -> (f64, f64) {
        let (_, slope, bend, a, b) = self.place(theta);
        let (i, j) = (self.bench.pendulum.inertia_kg_m2, self.bench.drive.inertia_kg_m2);
        let drive = &self.bench.drive;
        let d =
            drive.torque_n_m() + if self.backwards { drive.friction_backward_n_m } else { -drive.friction_forward_n_m };
        let p = pendulum_torque(self.bench, theta, omega, self.way);
        let n = (d - j * bend * omega * omega - j * slope / i * p) / (b + j * slope / i * a);
        (n, (p + n * a) / i)
    }
}

impl System<f64, Vector2<f64>> for OnPiece<'_> {
    fn system(&self, _: f64, y: &Vector2<f64>, dy: &mut Vector2<f64>) {
        dy[0] = y[1];
        dy[1] = self.force(y[0], y[1]).1;
    }
}

struct ApartBodies<'a> {
    bench: &'a Bench,
    way: f64,
    torque_on_wheel: f64,
}

impl System<f64, Vector4<f64>> for ApartBodies<'_> {
    fn system(&self, _: f64, y: &Vector4<f64>, dy: &mut Vector4<f64>) {
        dy[0] = y[1];
        dy[1] = pendulum_torque(self.bench, y[0], y[1], self.way) / self.bench.pendulum.inertia_kg_m2;
        dy[2] = y[3];
        dy[3] = self.torque_on_wheel / self.bench.drive.inertia_kg_m2;
    }
}

fn largest(worst: &mut [f64; 2], angle: f64, speed: f64) {
    *worst = [worst[0].max(angle.abs()), worst[1].max(speed.abs())];
}

/// Integrates a stretch from its start and gives how far its end is off: angles, speeds.
fn check_stretch(bench: &Bench, start: &State, end: &State, mode: Mode, forces_n: (f64, f64)) -> [f64; 2] {
    let duration = end.time_s - start.time_s;
    let way = (end.theta_rad - start.theta_rad).signum();
    let mut worst = [0.0; 2];
    if duration < 1e-12 {
        return worst;
    }
    match mode {
        Mode::Apart => {
            let drive = &bench.drive;
            let d = if start.nu_rad_s < 0.0 {
                drive.torque_n_m() + drive.friction_backward_n_m
            } else {
                (drive.torque_n_m() - drive.friction_forward_n_m).max(0.0)
            };
            let y = Vector4::new(start.theta_rad, start.omega_rad_s, start.phi_rad, start.nu_rad_s);
            let system = ApartBodies { bench, way, torque_on_wheel: d };
            let mut solver = Dop853::new(system, 0.0, duration, duration, y, 1e-14, 1e-16);
            solver.set_output(OutputType::Sparse);
            solver.integrate().unwrap();
            let y = *solver.y_out().last().unwrap();
            largest(&mut worst, y[0] - end.theta_rad, y[1] - end.omega_rad_s);
            largest(&mut worst, y[2] - end.phi_rad, y[3] - end.nu_rad_s);
        }
        Mode::Locked(pallet) | Mode::Sliding(pallet) => {
            let middle = 0.5 * (start.theta_rad + end.theta_rad);
            let index = curve(bench, pallet).front_piece_at(middle, way).unwrap();
            let mut on = OnPiece { bench, pallet, piece: &curve(bench, pallet).front[index], way, backwards: false };
            on.backwards = on.place(middle).1 * way < 0.0 && !on.piece.locked;
            assert_eq!(on.piece.locked, matches!(mode, Mode::Locked(_)));
            assert!(on.piece.from_rad <= start.theta_rad.min(end.theta_rad) + 1e-12);
            assert!(on.piece.to_rad >= start.theta_rad.max(end.theta_rad) - 1e-12);
            let (at_start, at_end) = (on.place(start.theta_rad), on.place(end.theta_rad));
            // One and the same tooth all along.
            let pitch = bench.escapement.pitch_rad();
            let tooth = ((start.phi_rad - at_start.0) / pitch).round();
            for (state, place, force) in [(start, at_start, forces_n.0), (end, at_end, forces_n.1)] {
                largest(
                    &mut worst,
                    place.0 + tooth * pitch - state.phi_rad,
                    place.1 * state.omega_rad_s - state.nu_rad_s,
                );
                let wrong_way = place.1 * way * if on.backwards { 1.0 } else { -1.0 };
                assert!(on.piece.locked || wrong_way < 1e-9, "the wheel turns within a stretch");
                let n = on.force(state.theta_rad, state.omega_rad_s).0;
                assert!((n - force).abs() < 1e-9 * (1.0 + n.abs()), "force {force} {n}");
                assert!(force > -1e-9, "{force}");
            }
            let y = Vector2::new(start.theta_rad, start.omega_rad_s);
            let mut solver = Dop853::new(on, 0.0, duration, duration, y, 1e-14, 1e-16);
            solver.set_output(OutputType::Sparse);
            solver.integrate().unwrap();
            let y = *solver.y_out().last().unwrap();
            largest(&mut worst, y[0] - end.theta_rad, y[1] - end.omega_rad_s);
        }
        Mode::Driven => panic!("no ideal torque here"),
    }
    worst
}

/// The impulse formula at an impact.
fn check_impact(bench: &Bench, before: &State, jump: &Jump) {
    let JumpKind::Impact(pallet) = jump.kind else { panic!("no kicks here") };
    let curve = curve(bench, pallet);
    let theta = jump.state.theta_rad;
    let way = before.omega_rad_s.signum();
    let piece = &curve.front[curve.front_piece_at(theta, way).unwrap()];
    let phi = curve.advance_rad(piece, Flank::Front, theta).unwrap();
    let pitch = bench.escapement.pitch_rad();
    let gap = (before.phi_rad - phi) / pitch;
    let place = piece.pair.place(theta, phi);
    let ((a_n, b_n), (a_t, b_t)) = (place.normal_arms_m, place.tangent_arms_m);
    // Rounding of the gap's terms, which a rounded tip on a corner makes large.
    let rounding_m = 4.0 * f64::EPSILON * piece.pair.gap.k.iter().map(|k| k.abs()).sum::<f64>();
    let off = (gap - gap.round()).abs() * pitch;
    assert!(off < 1e-12_f64.max(rounding_m / b_n), "impact off the surface by {off} rad");
    let s = -(a_t * before.omega_rad_s - b_t * before.nu_rad_s).signum();
    let mu = bench.escapement.friction;
    let (a, b) = (a_n + mu * s * a_t, b_n + mu * s * b_t);
    let (i, j) = (bench.pendulum.inertia_kg_m2, bench.drive.inertia_kg_m2);
    let approach = before.nu_rad_s - place.slope * before.omega_rad_s;
    assert!(approach > 0.0, "an impact without approach");
    let e = if bench.escapement.restitution * approach * b_n > 1e-6 { bench.escapement.restitution } else { 0.0 };
    let impulse = (1.0 + e) * approach / (b / j + place.slope * a / i);
    let (omega, nu) = (before.omega_rad_s + impulse * a / i, before.nu_rad_s - impulse * b / j);
    assert!((jump.state.omega_rad_s - omega).abs() < 1e-12, "{} {omega}", jump.state.omega_rad_s);
    assert!((jump.state.nu_rad_s - nu).abs() < 1e-10 * (1.0 + before.nu_rad_s), "{} {nu}", jump.state.nu_rad_s);
    let energy = |omega: f64, nu: f64| 0.5 * (i * omega * omega + j * nu * nu);
    let lost = energy(before.omega_rad_s, before.nu_rad_s) - energy(omega, nu);
    assert!((lost + jump.energy_j).abs() < 1e-12 * energy(before.omega_rad_s, before.nu_rad_s) && lost >= 0.0);
}

/// How often each kind of event ended a stretch.
#[derive(Debug, Default)]
struct Seen {
    impacts: usize,
    turns: usize,
    force_gone: usize,
    piece_ends: usize,
    wheel_stops: usize,
}

fn at_piece_end(bench: &Bench, theta: f64) -> bool {
    [&bench.escapement.curves.entry, &bench.escapement.curves.exit].iter().any(|curve| {
        curve.front.iter().any(|piece| (piece.from_rad - theta).abs().min((piece.to_rad - theta).abs()) < 1e-13)
    })
}

fn check_clock(bench: &Bench, start_rad: f64, periods: usize, rounding_rad: f64) -> (Seen, [f64; 2]) {
    let mut motion = Motion::start(&bench.pendulum, &bench.drive, &bench.escapement, start_rad).unwrap();
    let mut recorder = Recorder::default();
    for _ in 0..2 * periods {
        motion.run_to_turning(&mut recorder).unwrap();
    }
    let mut seen = Seen::default();
    let mut worst: [f64; 2] = [0.0; 2];
    for pair in recorder.0.windows(2) {
        let Record::Stretch { start, end, mode, forces_n } = pair[0] else { continue };
        let off = check_stretch(bench, &start, &end, mode, forces_n);
        largest(&mut worst, off[0], off[1]);
        match pair[1] {
            Record::Jump(jump) => {
                // At the end of a piece the angle is set to the end.
                assert!(jump.state.time_s == end.time_s && (jump.state.theta_rad - end.theta_rad).abs() < 1e-15);
                check_impact(bench, &end, &jump);
                seen.impacts += 1;
            }
            Record::Stretch { start: next, mode: next_mode, .. } => {
                let later = next.theta_rad - end.theta_rad;
                let gained = next.phi_rad - end.phi_rad;
                assert!(
                    next.time_s == end.time_s && later.abs() < 1e-14 && gained.abs() < rounding_rad,
                    "{later:e} {gained:e}"
                );
                if next.omega_rad_s == 0.0 {
                    assert!(end.omega_rad_s.abs() < 1e-13, "turned at {}", end.omega_rad_s);
                    seen.turns += 1;
                } else if mode == Mode::Apart {
                    assert_eq!(next_mode, Mode::Apart, "a landing without an impact");
                    assert!((next.omega_rad_s - end.omega_rad_s).abs() < 1e-14);
                    seen.wheel_stops += usize::from(next.nu_rad_s == 0.0 && start.nu_rad_s < 0.0);
                } else if next_mode == Mode::Apart {
                    if at_piece_end(bench, end.theta_rad) {
                        seen.piece_ends += 1;
                    } else {
                        assert!(forces_n.1.abs() < 1e-9, "left at a force of {} N", forces_n.1);
                        seen.force_gone += 1;
                    }
                } else if next_mode != mode {
                    assert!(at_piece_end(bench, end.theta_rad), "{mode:?} to {next_mode:?} at {}", end.theta_rad);
                }
            }
        }
    }
    (seen, worst)
}

/// Rounding of the wheel's place, rad: eps (q^2 + C^2 + p^2) / (2 r b_n) for a tip of radius `r` on a corner, times four.
fn rounding_rad(tip_radius_m: f64) -> f64 {
    1e-13_f64.max(4.0 * f64::EPSILON * 0.014 / (2.0 * tip_radius_m * 0.06))
}

fn report(name: &str, bench: &Bench, start_rad: f64, rounding_rad: f64) -> Seen {
    let (seen, worst) = check_clock(bench, start_rad, 4, rounding_rad);
    println!("{name}: {seen:?}, worst {:.1e} rad {:.1e} rad/s", worst[0], worst[1]);
    assert!(worst[0] < rounding_rad && worst[1] < 1e-9, "{worst:?}");
    seen
}

#[test]
fn crosscheck_dead_beat_stretch_by_stretch() {
    let bench = dead_beat_clock();
    let seen = report("dead-beat", &bench, 4.0 * DEG, 1e-13);
    // Two beats a period; a tooth strikes the locking face and, after its flight from the corner, the impulse face.
    assert!(seen.turns == 7 && seen.impacts >= 16 && seen.piece_ends >= 16, "{seen:?}");
    let bouncing = dead_beat_clock().with_contact(0.3, 0.4, 0.2 * DEG);
    let seen = report("dead-beat, bouncing, out of beat", &bouncing, 3.5 * DEG, 1e-13);
    assert!(seen.impacts > 40 && seen.wheel_stops > 20, "{seen:?}");
}

#[test]
fn crosscheck_recoil_stretch_by_stretch() {
    let bench = recoil_clock();
    let seen = report("recoil", &bench, 6.0 * DEG, 1e-13);
    assert!(seen.turns == 7 && seen.impacts >= 8 && seen.piece_ends >= 8, "{seen:?}");
    let bouncing = recoil_clock().with_contact(0.05, 0.5, -0.3 * DEG);
    report("recoil, bouncing, out of beat", &bouncing, 6.5 * DEG, 1e-13);
}

// A rounded tip at the unlocking corner: the surface runs away faster and faster, and the force falls through zero on it.
#[test]
fn crosscheck_rounded_tips_leave_where_the_force_is_gone() {
    for radius_m in [2e-4, 5e-5, 1e-5] {
        let bench = rounded_dead_beat_clock(radius_m);
        let seen = report(&format!("rounded dead-beat {radius_m}"), &bench, 4.0 * DEG, rounding_rad(radius_m));
        // Below J theta'^2 b / D, some 20 um, the corner is too sharp to be followed at all.
        assert!(seen.force_gone >= 8 || radius_m < 2e-5, "{seen:?}");
    }
}

// What `measure` says of the same period: map, times, trace.
#[test]
fn exact_measured_period_is_the_motions_own() {
    for (bench, start) in [(dead_beat_clock(), 4.0 * DEG), (recoil_clock(), 6.0 * DEG)] {
        let measured = measure(&bench.clock(), start, Some(500)).unwrap();
        let mut motion = Motion::start(&bench.pendulum, &bench.drive, &bench.escapement, start).unwrap();
        let mut recorder = Recorder::default();
        let turns: Vec<_> = (0..4).map(|_| motion.run_to_turning(&mut recorder).unwrap()).collect();
        assert!((measured.right_rad - turns[3].state.theta_rad).abs() < 1e-15);
        assert!((measured.left_rad + turns[2].state.theta_rad).abs() < 1e-15);
        assert!((measured.period_s - (turns[3].state.time_s - turns[1].state.time_s)).abs() < 1e-14);
        let PeriodOutcome::Returned(back) = bench.clock().period_from(start) else { panic!("stopped") };
        assert!(back.right_rad == turns[1].state.theta_rad && back.rested);
        let trace = measured.trace.unwrap();
        let began = turns[1].state.time_s;
        let late: Vec<Jump> = recorder
            .0
            .iter()
            .filter_map(|record| match record {
                Record::Jump(jump) if jump.state.time_s > began => Some(*jump),
                _ => None,
            })
            .collect();
        assert_eq!(trace.ticks.len(), late.len());
        for (tick, jump) in trace.ticks.iter().zip(&late) {
            assert!((tick.time_s - jump.state.time_s).abs() < 1e-14 && (tick.loss_j + jump.energy_j).abs() < 1e-17);
        }
        assert!(trace.samples.len() > 500);
        assert!(trace.samples.windows(2).all(|pair| pair[1].time_s >= pair[0].time_s));
    }
}
