//! Tests on the bench: masses hung at the tip of a tooth, and a pendulum swinging free.

use crate::answers::bench::BenchChecks;
use crate::clock::build::Built;
use crate::clock::environment::InRoom;
use crate::clock::other_frictions::with_frictions_of;
use crate::clock::train::bearing::pivot_breakaway_n_m;
use crate::clock::train::hands::HandsTorque;

use crate::study::friction_open::VariedFrictions;

/// What a test should show.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Tested {
    /// The number, SI.
    pub value: f64,
    /// What the spreads of the frictions leave of it open, two standard deviations; `None` where the scenario states none.
    pub open: Option<f64>,
}

/// Tests of one clock; `None` where one has no meaning for it. Masses hang at the tip of a horizontal tooth of the escape wheel, the
/// pallets taken out.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct BenchTests {
    /// Mass that just sets the escape wheel going, out of mesh with the train, kg.
    pub moves_escape_wheel_kg: Option<Tested>,
    /// Mass that just sets the whole train going, without weight and hands, kg.
    pub moves_train_kg: Option<Tested>,
    /// With the weight hung: largest mass against it that the train still lifts from rest, kg.
    pub is_lifted_kg: Option<Tested>,
    /// With the weight hung: mass that drives the train back, kg.
    pub drives_back_kg: Option<Tested>,
    /// Time in which the pendulum alone falls from [`DECAY_FROM_RAD`](crate::answers::bench::DECAY_FROM_RAD) to half of it, s.
    pub halving_s: Option<Tested>,
}

impl BenchTests {
    pub(super) fn of(in_room: &InRoom, built: &Built, varied: &VariedFrictions) -> Self {
        let tested = |number: fn(&InRoom, &Built) -> Option<f64>| {
            let of_other = |other: &InRoom| number(other, &with_frictions_of(other, built.clone()).ok()?);
            Some(Tested { value: number(in_room, built)?, open: varied.open_of(of_other) })
        };
        Self {
            moves_escape_wheel_kg: tested(|clock, built| hung_kg(built, escape_arbor_starts_n_m(clock, built)?)),
            moves_train_kg: tested(|_, built| hung_kg(built, train_starts_n_m(built)?)),
            is_lifted_kg: tested(|_, built| {
                let drive = built.mechanism.drive?;
                let left_n_m = drive.torque_n_m() - drive.friction_starting_n_m;
                hung_kg(built, left_n_m).filter(|_| left_n_m > 0.0)
            }),
            drives_back_kg: tested(|_, built| hung_kg(built, built.mechanism.drive?.backward_n_m())),
            halving_s: tested(|_, built| BenchChecks::of(built).halving_s),
        }
    }
}

/// The mass at the tip of a tooth that gives a torque.
fn hung_kg(built: &Built, torque_n_m: f64) -> Option<f64> {
    Some(torque_n_m * BenchChecks::of(built).tip_mass_kg_per_n_m?)
}

/// Torque that sets the escape arbor going by itself, under its own weight.
fn escape_arbor_starts_n_m(clock: &InRoom, built: &Built) -> Option<f64> {
    let arbor = clock.train.as_ref()?.arbors.last()?;
    Some(pivot_breakaway_n_m(&arbor.pivot, arbor.mass_kg * built.gravity_m_s2))
}

/// Torque at the escape arbor that sets the train going without weight and hands: that of all bearings under the arbors' own weights.
fn train_starts_n_m(built: &Built) -> Option<f64> {
    let prepared = built.prepared_drive.as_ref()?;
    Some(prepared.model_with_hands(0.0, HandsTorque::default()).friction_starting_n_m)
}
