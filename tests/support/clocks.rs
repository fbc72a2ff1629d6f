//! Clocks for the tests of the motion: sizes of a printed clock.

use beatwright::answers::return_map::Clock;
use beatwright::clock::build::contact_escapement;
use beatwright::clock::escapement::{EscapementOutlines, dead_beat, recoil_anchor};
use beatwright::clock::mechanism::{ContactEscapement, DriveModel, PendulumModel};
use beatwright::geometry::{Outline, Vertex};

use super::plans::{printed_dead_beat, small_anchor};

/// Everything a contact clock needs.
#[derive(Debug, Clone)]
pub struct Bench {
    pub pendulum: PendulumModel,
    pub drive: DriveModel,
    pub outlines: EscapementOutlines,
    pub escapement: ContactEscapement,
}

impl Bench {
    pub fn clock(&self) -> Clock<'_> {
        self.clock_with(self.drive)
    }

    pub fn clock_with(&self, drive: DriveModel) -> Clock<'_> {
        Clock::Contact { pendulum: &self.pendulum, escapement: &self.escapement, drive }
    }

    pub fn with_contact(mut self, friction: f64, restitution: f64, beat_error_rad: f64) -> Self {
        self.escapement = contact_escapement(&self.outlines, friction, restitution, beat_error_rad).unwrap();
        self
    }
}

/// Drive without cord and mesh losses.
pub fn drive(torque_n_m: f64, forward_n_m: f64, backward_n_m: f64, inertia_kg_m2: f64) -> DriveModel {
    DriveModel {
        ideal_torque_n_m: torque_n_m,
        cord_loss_n_m: 0.0,
        mesh_loss_n_m: 0.0,
        hands_n_m: 0.0,
        friction_forward_n_m: forward_n_m,
        friction_backward_n_m: backward_n_m,
        friction_starting_n_m: forward_n_m,
        inertia_kg_m2,
    }
}

/// 1 kg, half a metre down; every kind of damping a little.
pub fn pendulum() -> PendulumModel {
    PendulumModel {
        inertia_kg_m2: 0.26,
        gravity_torque_n_m: 4.9,
        stiffness_n_m_per_rad: 0.05,
        air_linear_n_m_s: 3e-3,
        suspension_linear_n_m_s: 1e-3,
        air_quadratic_n_m_s2: 5e-3,
        friction_torque_n_m: 1e-4,
    }
}

pub fn dead_beat_clock() -> Bench {
    let outlines = dead_beat(&printed_dead_beat()).unwrap();
    let escapement = contact_escapement(&outlines, 0.15, 0.0, 0.0).unwrap();
    Bench { pendulum: pendulum(), drive: drive(6e-3, 3e-4, 5e-4, 2e-5), outlines, escapement }
}

pub fn recoil_clock() -> Bench {
    let outlines = recoil_anchor(&small_anchor()).unwrap();
    let escapement = contact_escapement(&outlines, 0.15, 0.0, 0.0).unwrap();
    Bench { pendulum: pendulum(), drive: drive(1.2e-2, 3e-4, 5e-4, 1e-5), outlines, escapement }
}

/// The dead-beat with the front tip corner of its teeth rounded, as a printer leaves it.
pub fn rounded_dead_beat_clock(tip_radius_m: f64) -> Bench {
    let mut bench = dead_beat_clock();
    let mut vertices = bench.outlines.tooth.vertices().to_vec();
    let (tip, next, last) = (vertices[0].at, vertices[1].at, vertices[vertices.len() - 1].at);
    let (to_next, to_last) = ((next - tip).normalize(), (last - tip).normalize());
    let turn_rad = std::f64::consts::PI - to_next.dot(&to_last).acos();
    let cut_m = tip_radius_m * (0.5 * turn_rad).tan();
    vertices[0] = Vertex { at: tip + cut_m * to_next, bulge: 0.0 };
    vertices.push(Vertex { at: tip + cut_m * to_last, bulge: (0.25 * turn_rad).tan() });
    bench.outlines.tooth = Outline::new(vertices).unwrap();
    bench.with_contact(0.15, 0.0, 0.0)
}
