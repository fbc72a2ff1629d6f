//! The pendulum in another size.

use crate::clock::design::{
    Bob, BobShape, Column, ExtraMass, Friction, LossCorrelations, LumpedPendulum, MeasuredDamping, PendulumDesign,
    PendulumParts, Pivot, RatingNut, Rod, RodSection, Suspension,
};

use crate::clock::materials::oiled_drag_n_m;

use super::Factors;

pub(in crate::clock) fn scaled_pendulum(pendulum: &PendulumDesign, factors: &Factors) -> PendulumDesign {
    match pendulum {
        PendulumDesign::Parts(parts) => PendulumDesign::Parts(scaled_parts(parts, factors)),
        PendulumDesign::Lumped(lumped) => PendulumDesign::Lumped(scaled_lumped(lumped, factors)),
    }
}

/// See [`super::scaled`] for the powers of damping and friction.
fn scaled_damping(damping: MeasuredDamping, factors: &Factors) -> MeasuredDamping {
    let k = factors.pendulum;
    MeasuredDamping {
        linear_n_m_s: damping.linear_n_m_s.times(k.powf(3.75)),
        quadratic_n_m_s2: damping.quadratic_n_m_s2.times(k.powi(5)),
        friction_torque_n_m: damping.friction_torque_n_m.times(k.powi(3)).times(factors.bearings),
        ..damping
    }
}

fn scaled_lumped(lumped: &LumpedPendulum, factors: &Factors) -> LumpedPendulum {
    let k = factors.pendulum;
    let damping = MeasuredDamping {
        linear_n_m_s: lumped.damping_linear_n_m_s,
        quadratic_n_m_s2: lumped.damping_quadratic_n_m_s2,
        friction_torque_n_m: lumped.friction_torque_n_m,
        correlations: LossCorrelations::default(),
    };
    let damping = scaled_damping(damping, factors);
    LumpedPendulum {
        inertia_kg_m2: lumped.inertia_kg_m2 * k.powi(5),
        mass_kg: lumped.mass_kg * k.powi(3),
        centre_of_mass_m: lumped.centre_of_mass_m * k,
        stiffness_n_m_per_rad: lumped.stiffness_n_m_per_rad * k.powi(3),
        damping_linear_n_m_s: damping.linear_n_m_s,
        damping_quadratic_n_m_s2: damping.quadratic_n_m_s2,
        friction_torque_n_m: damping.friction_torque_n_m,
    }
}

fn scaled_parts(parts: &PendulumParts, factors: &Factors) -> PendulumParts {
    let k = factors.pendulum;
    let extra = MeasuredDamping {
        linear_n_m_s: parts.extra_damping_linear_n_m_s.into(),
        quadratic_n_m_s2: parts.extra_damping_quadratic_n_m_s2.into(),
        friction_torque_n_m: parts.extra_friction_torque_n_m,
        correlations: LossCorrelations::default(),
    };
    let extra = scaled_damping(extra, factors);
    PendulumParts {
        rod: Rod {
            section: scaled_section(parts.rod.section, k),
            length_m: parts.rod.length_m * k,
            top_m: parts.rod.top_m * k,
            material: parts.rod.material.clone(),
        },
        bob: Bob {
            shape: scaled_shape(parts.bob.shape, k),
            centre_m: parts.bob.centre_m * k,
            material: parts.bob.material.clone(),
            mass_kg: parts.bob.mass_kg.map(|mass| mass * k.powi(3)),
            seat: parts.bob.seat,
            shell: parts.bob.shell.clone(),
        },
        columns: parts.columns.iter().map(|column| scaled_column(column, k)).collect(),
        crutch_m: parts.crutch_m.map(|length| length * k),
        nut: parts.nut.map(|nut| RatingNut {
            mass_kg: nut.mass_kg * k.powi(3),
            place_m: nut.place_m * k,
            pitch_m: nut.pitch_m * k,
        }),
        extras: parts.extras.iter().map(|extra| scaled_extra(extra, k)).collect(),
        suspension: scaled_suspension(&parts.suspension, factors),
        pallet_pivot: parts.pallet_pivot.map(|pivot| scaled_pivot(pivot, factors)),
        pallet_mass_kg: parts.pallet_mass_kg * factors.escapement.powi(3),
        extra_damping_linear_n_m_s: extra.linear_n_m_s.value,
        extra_damping_quadratic_n_m_s2: extra.quadratic_n_m_s2.value,
        extra_friction_torque_n_m: extra.friction_torque_n_m,
        measured_damping: parts.measured_damping.map(|measured| scaled_damping(measured, factors)),
    }
}

/// Drag of a bearing in its new size: that of the table where it is named there, else with the cube.
///
/// Source of the cube: A. Palmgren's `M0 = 160e-7 f0 d_m^3` (N mm, mm) for bearings that turn slowly in their oil (recalled).
fn scaled_drag(drag: Friction, bore_m: f64, factors: &Factors) -> Friction {
    match drag.named {
        Some(_) => drag.times(oiled_drag_n_m(bore_m * factors.bearings) / oiled_drag_n_m(bore_m)),
        None => drag.times(factors.bearings.powi(3)),
    }
}

/// A bearing in its new size.
pub(in crate::clock) fn scaled_pivot(pivot: Pivot, factors: &Factors) -> Pivot {
    Pivot {
        kind: pivot.kind,
        diameter_m: pivot.diameter_m * factors.bearings,
        friction: pivot.friction,
        drag_n_m: scaled_drag(pivot.drag_n_m, pivot.diameter_m, factors),
        breakaway: pivot.breakaway,
    }
}

fn scaled_column(column: &Column, k: f64) -> Column {
    Column {
        name: column.name.clone(),
        material: column.material.clone(),
        length_m: column.length_m.map(|length_m| length_m * k),
        up: column.up,
        mass_kg: column.mass_kg * k.powi(3),
        compensates: column.compensates,
    }
}

fn scaled_extra(extra: &ExtraMass, k: f64) -> ExtraMass {
    ExtraMass {
        name: extra.name.clone(),
        mass_kg: extra.mass_kg * k.powi(3),
        place_m: extra.place_m * k,
        inertia_kg_m2: extra.inertia_kg_m2 * k.powi(5),
    }
}

fn scaled_section(section: RodSection, k: f64) -> RodSection {
    match section {
        RodSection::Round { diameter_m } => RodSection::Round { diameter_m: diameter_m * k },
        RodSection::Tube { outer_m, inner_m } => RodSection::Tube { outer_m: outer_m * k, inner_m: inner_m * k },
        RodSection::Flat { depth_m, width_m } => RodSection::Flat { depth_m: depth_m * k, width_m: width_m * k },
    }
}

fn scaled_shape(shape: BobShape, k: f64) -> BobShape {
    match shape {
        BobShape::Disc { diameter_m, thickness_m } => {
            BobShape::Disc { diameter_m: diameter_m * k, thickness_m: thickness_m * k }
        }
        BobShape::Lens { diameter_m, thickness_m } => {
            BobShape::Lens { diameter_m: diameter_m * k, thickness_m: thickness_m * k }
        }
        BobShape::Cylinder { diameter_m, height_m } => {
            BobShape::Cylinder { diameter_m: diameter_m * k, height_m: height_m * k }
        }
        BobShape::Sphere { diameter_m } => BobShape::Sphere { diameter_m: diameter_m * k },
    }
}

fn scaled_suspension(suspension: &Suspension, factors: &Factors) -> Suspension {
    match suspension {
        Suspension::KnifeEdge { edge_radius_m, rolling_friction_m } => Suspension::KnifeEdge {
            edge_radius_m: edge_radius_m * factors.bearings,
            rolling_friction_m: rolling_friction_m.times(factors.bearings),
        },
        Suspension::BallBearing { bore_m, friction, drag_n_m } => Suspension::BallBearing {
            bore_m: bore_m * factors.bearings,
            friction: *friction,
            drag_n_m: scaled_drag(*drag_n_m, *bore_m, factors),
        },
        Suspension::StripSpring { width_m, thickness_m, length_m, material, loss_factor } => Suspension::StripSpring {
            width_m: width_m * factors.pendulum,
            thickness_m: thickness_m * factors.pendulum,
            length_m: length_m * factors.pendulum,
            material: material.clone(),
            loss_factor: *loss_factor,
        },
        Suspension::Cord { diameter_m, friction } => {
            Suspension::Cord { diameter_m: diameter_m * factors.cord, friction: *friction }
        }
    }
}
