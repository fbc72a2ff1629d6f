//! Answers that contradicted each other: verdict, least drive and what one sees by asking beside them.

use beatwright::answers::drivable::Drivable;
use beatwright::answers::gain_scan::{best_gain, gain_scan, probe_starts};
use beatwright::answers::prediction::{Prediction, predict};
use beatwright::answers::remarks::Remark;
use beatwright::answers::return_map::Clock;
use beatwright::answers::verdict::{Verdict, verdict};
use beatwright::dynamics::Motion;
use beatwright::dynamics::observe::{Jump, Observer, TakenSegment};

use crate::support::plain::loaded;

fn predicted(file: &str, overrides: &[&str]) -> Prediction {
    predict(&loaded(file, overrides).in_room()).unwrap()
}

fn least(prediction: &Prediction) -> f64 {
    prediction.least.unwrap().bare.value()
}

/// Gain of the best start at a share of the least drive, rad.
fn best_gain_rad(prediction: &Prediction, share: f64) -> f64 {
    let drivable = Drivable::of(&prediction.built).unwrap();
    let clock = drivable.clock(drivable.level(share * least(prediction))).unwrap();
    best_gain(&clock, &probe_starts(&clock)).and_then(|best| best.gain_rad).unwrap_or(f64::NEG_INFINITY)
}

/// The map of Heron in beech jumps: the start just above the jump gained under 0.7 % less than the smallest start that comes round, which
/// alone had been followed down.
#[test]
fn regress_the_least_weight_of_a_map_that_jumps_is_that_of_all_starts() {
    let beech = predicted("heron-beech.toml", &[]);
    for share in [0.99, 0.995, 0.997, 0.999] {
        assert!(best_gain_rad(&beech, share) < 0.0, "{share} of the least weight keeps it going");
    }
    for share in [1.001, 1.003, 1.01] {
        assert!(best_gain_rad(&beech, share) > 0.0, "{share} of the least weight does not keep it going");
    }
}

/// Without friction of the faces the least torque depended on the torque of the scenario, by parts in ten thousand.
#[test]
fn regress_the_least_torque_without_friction_does_not_depend_on_the_torque_that_hangs() {
    let found = ["4e-5", "1e-4", "1e-3"].map(|torque| {
        let drive = format!("drive={{ lumped = {{ escape_torque = \"{torque} N m\", inertia = \"2e-6 kg m^2\" }} }}");
        least(&predicted("heron-pointed.toml", &["escapement.dead_beat.friction=0", &drive]))
    });
    let (low, high) = found.iter().fold((f64::INFINITY, 0.0_f64), |(low, high), &at| (low.min(at), high.max(at)));
    assert!(high / low - 1.0 < 1e-4, "{found:?}");
}

/// Just above the least torque the start below the steady swing does not come round: the swing was said to wander, between an amplitude and itself.
#[test]
fn regress_just_above_the_least_torque_a_swing_settles() {
    let drive = "drive={ lumped = { escape_torque = \"1 mN m\", inertia = \"2e-6 kg m^2\" } }";
    let prediction = predicted("heron.toml", &["escapement.dead_beat.friction=0", drive]);
    let drivable = Drivable::of(&prediction.built).unwrap();
    for share in [1.00005, 1.0001, 1.0003, 1.001] {
        let clock = drivable.clock(drivable.level(share * least(&prediction))).unwrap();
        let found = verdict(&clock, &gain_scan(&clock), Some(1.5 * clock.widest_escaping_arc_rad()));
        assert!(matches!(found, Verdict::KeepsGoing(_)), "{share}: {found:?}");
    }
}

/// A clock that stops under far more than its least weight said no word about its start.
#[test]
fn regress_a_clock_that_stops_above_its_least_weight_says_which_starts_go() {
    let prediction = predicted("heron.toml", &["start_arc=1.42 deg"]);
    let Some(Remark::StopsAboveLeast { ratio, start_rad: Some(start), going_rad: Some((low, high)) }) =
        prediction.notes.iter().find(|note| matches!(note, Remark::StopsAboveLeast { .. }))
    else {
        panic!("{:?}", prediction.notes)
    };
    assert!(*ratio > 1.5 && start < low && low < high, "{ratio} {start} {low} {high}");
    let arc = |radians: f64| format!("start_arc={} deg", radians.to_degrees());
    assert!(predicted("heron.toml", &[&arc(low * 1.001)]).reason().is_none());
    assert!(predicted("heron.toml", &[&arc(low * 0.999)]).reason().is_some());
}

/// The blows of a run.
#[derive(Default)]
struct Blows(Vec<f64>);

impl Observer for Blows {
    fn segment(&mut self, _: &TakenSegment<'_>) {}
    fn jump(&mut self, jump: &Jump) {
        self.0.push(jump.energy_j);
    }
}

/// Where the dead face meets its rounded corner the tooth left for 0.1 us, by rounding over rounding, and landed again: 1e-12 J of blow.
#[test]
fn regress_a_tooth_slides_from_the_dead_face_onto_its_corner_without_a_blow() {
    for bead in ["0.05", "0.1", "0.2", "0.3"] {
        let printer = format!("printer={{ bead_radius = \"{bead} mm\" }}");
        let prediction = predicted("heron.toml", &[&printer]);
        let Some(Clock::Contact { pendulum, escapement, drive }) = Clock::of(&prediction.built.mechanism) else {
            panic!("a clock without contact")
        };
        let mut blows = Blows::default();
        let mut motion = Motion::start(pendulum, &drive, escapement, 0.05).unwrap();
        for _ in 0..20 {
            motion.run_to_turning(&mut blows).unwrap();
        }
        let tiny: Vec<&f64> = blows.0.iter().filter(|energy_j| energy_j.abs() < 1e-10).collect();
        assert!(tiny.is_empty(), "bead {bead} mm: {tiny:?} of {} blows", blows.0.len());
    }
}

/// The end of the pallet's face, where the contact curve is nearly still, was taken for a lock that teeth miss, by up to 26 degrees.
#[test]
fn regress_a_recoil_anchor_with_leaning_teeth_has_no_lock_to_miss() {
    for undercut in ["1.5 deg", "2.25 deg", "3 deg", "3.75 deg", "4.5 deg"] {
        let set = format!("escapement.recoil_anchor.tooth.undercut={undercut}");
        let action = predicted("wren.toml", &[&set]).action().unwrap();
        assert!(action.entry.lock_rad > -1e-9 && action.exit.lock_rad > -1e-9, "{undercut}: {action:?}");
    }
}
