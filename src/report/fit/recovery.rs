//! A recovery: its keys, its words and its picture.

use std::fmt::Write as _;

use serde::Serialize;

use crate::report::canvas::look::significant;
use crate::report::figures::{FitPicture, FitSeries};
use crate::report::words::numbers::number;
use crate::study::fit::free_swing::FreeSwing;
use crate::study::fit::loss_shapes::LOSSES;
use crate::study::fit::recovery::{JointLosses, Recovery, RecoveryByPower};
use crate::study::fit::ring_down::LossKind;

use super::free_swing::{DEG, TO_DEG, kind_name, shown};
use super::json::EstimateRecord;

/// The exponent of a kind of loss.
const fn exponent(kind: LossKind) -> u8 {
    match kind {
        LossKind::Constant => 0,
        LossKind::Linear => 1,
        LossKind::Quadratic => 2,
    }
}

#[derive(Debug, Clone, Serialize)]
struct ByExponentRecord {
    exponent: u8,
    steady_deg: f64,
    free_decay_per_s: Option<f64>,
    rms_deg: f64,
    ring_down_rms_deg: Option<f64>,
    agrees: Option<bool>,
}

#[derive(Debug, Clone, Serialize)]
struct JointRecord {
    constant_deg: EstimateRecord,
    linear: EstimateRecord,
    quadratic_per_deg: EstimateRecord,
    correlation: [[f64; LOSSES]; LOSSES],
    apart: Vec<&'static str>,
}

/// The key `recovery`.
#[derive(Debug, Clone, Serialize)]
struct RecoveryRecord {
    period_s: Option<f64>,
    by_exponent: Vec<ByExponentRecord>,
    /// Losses in a period, with the ring-down; null for a recovery alone, or where both cannot tell them apart.
    losses: Option<JointRecord>,
    energy_per_period_j: Option<EstimateRecord>,
}

/// What a recovery found.
#[derive(Debug, Clone, Serialize)]
pub struct RecoveryFitRecord {
    recovery: RecoveryRecord,
    friction_torque_n_m: Option<EstimateRecord>,
    damping_linear_n_m_s: Option<EstimateRecord>,
    damping_quadratic_n_m_s2: Option<EstimateRecord>,
}

fn joint_record(joint: &JointLosses) -> JointRecord {
    let of = |number: usize| EstimateRecord::of(joint.coefficients[number], TO_DEG[number]);
    JointRecord {
        constant_deg: of(0),
        linear: of(1),
        quadratic_per_deg: of(2),
        correlation: joint.correlation,
        apart: joint.apart.iter().map(|kind| kind_name(*kind)).collect(),
    }
}

impl RecoveryFitRecord {
    /// Of a recovery.
    #[must_use]
    pub fn of(found: &Recovery) -> Self {
        let timed = found.period.is_some();
        let by = |one: &RecoveryByPower| ByExponentRecord {
            exponent: exponent(one.kind),
            steady_deg: one.steady_rad * DEG,
            free_decay_per_s: timed.then_some(one.free_decay),
            rms_deg: one.rms_rad * DEG,
            ring_down_rms_deg: one.free_rms_rad.map(|rms| rms * DEG),
            agrees: one.agrees,
        };
        let torque =
            |number: usize| found.torques.as_ref().map(|all| EstimateRecord::of(all.coefficients[number], 1.0));
        Self {
            recovery: RecoveryRecord {
                period_s: found.period.map(|(period_s, _)| period_s),
                by_exponent: found.by_power.iter().map(by).collect(),
                losses: found.joint.as_ref().map(joint_record),
                energy_per_period_j: found.torques.as_ref().map(|all| EstimateRecord::of(all.gain, 1.0)),
            },
            friction_torque_n_m: torque(0),
            damping_linear_n_m_s: torque(1),
            damping_quadratic_n_m_s2: torque(2),
        }
    }
}

/// A recovery as a table and in words.
#[must_use]
pub fn text(name: &str, file: &str, found: &Recovery) -> String {
    let together = found.by_power.iter().any(|one| one.free_rms_rad.is_some());
    let mut out = format!("{name}: recovery from {file}, {} readings\n", found.readings.at.len());
    if together {
        out.push_str("  With the ring-down, for losses that go with one power of the amplitude:\n");
    } else {
        out.push_str(
            "  Alone, a recovery cannot tell with which power of the amplitude the losses go: add the ring-down of the same clock\n  \
             with --ring-down. For each power:\n",
        );
    }
    let free = if together { "  left of the ring-down deg  agrees" } else { "" };
    let _ = writeln!(out, "  {:<12} {:>10} {:>16} {:>10}{free}", "losses", "steady deg", "free decay /s", "left deg");
    for one in &found.by_power {
        let decay = if found.period.is_some() { format!("{:.2e}", one.free_decay) } else { "-".to_owned() };
        let _ = write!(
            out,
            "  {:<12} {:>10} {decay:>16} {:>10}",
            kind_name(one.kind),
            number(one.steady_rad * DEG, 4),
            significant(one.rms_rad * DEG, 2)
        );
        if let (Some(rms), Some(agrees)) = (one.free_rms_rad, one.agrees) {
            let _ = write!(out, "  {:>25}  {}", significant(rms * DEG, 2), if agrees { "yes" } else { "no" });
        }
        out.push('\n');
    }
    match &found.joint {
        Some(joint) => {
            out.push_str(
                "\n  Loss of amplitude in a period, from both, amplitude A in deg (+/-: one standard deviation)\n",
            );
            for (place, (kind, unit)) in LossKind::ALL.into_iter().zip(["deg", "A", "A^2"]).enumerate() {
                let seen = if joint.apart.contains(&kind) { "" } else { "  (not shown by the readings)" };
                let value = shown(joint.coefficients[place], TO_DEG[place]);
                let _ = writeln!(out, "  {:<34} {value} {unit}{seen}", kind_name(kind));
            }
        }
        None if together => {
            out.push_str("  Even together they do not tell the losses apart when all three are at work.\n")
        }
        None => {}
    }
    if let Some(torques) = &found.torques {
        let rows = ["friction torque, uN m", "linear damping, uN m s", "quadratic damping, uN m s^2"];
        for (label, value) in rows.into_iter().zip(torques.coefficients) {
            let _ = writeln!(out, "  {label:<34} {}", shown(value, 1e6));
        }
        let _ = writeln!(
            out,
            "  {:<34} {} uJ",
            "energy that the escapement gives",
            shown(torques.gain, 1e6) + " a period,"
        );
    }
    out
}

/// The picture of a recovery, with its ring-down where there is one.
#[must_use]
pub fn picture(name: &str, found: &Recovery, free: Option<&FreeSwing>) -> FitPicture {
    let readings = &found.readings;
    let by = found.best_power();
    let model = by.map_or(&[][..], |one| one.model_rad.as_slice());
    let at = |values: &[f64]| -> Vec<(f64, f64)> {
        readings.at.iter().copied().zip(values.iter().map(|value| value.abs().to_degrees())).collect()
    };
    let left = readings.angles_rad.iter().zip(model).map(|(angle, model)| (angle - model).to_degrees());
    let mut series = vec![FitSeries {
        name: if free.is_some() { "recovery".to_owned() } else { String::new() },
        measured: at(&readings.angles_rad),
        curve: vec![at(model)],
        left: readings.at.iter().copied().zip(left).collect(),
        standing_out: Vec::new(),
    }];
    if let Some(free) = free {
        let mut one = super::free_swing_picture::picture(name, free).series;
        one.iter_mut().for_each(|series| "ring-down".clone_into(&mut series.name));
        series.extend(one);
    }
    let subtitle = match (by, free.is_some()) {
        (Some(one), true) => {
            format!("Drawn with losses that are {}, which agree best with the ring-down.", kind_name(one.kind))
        }
        (Some(one), false) => {
            format!(
                "Settles at {} deg. Alone it cannot tell how the losses go with the amplitude.",
                significant(one.steady_rad * DEG, 4)
            )
        }
        (None, _) => String::new(),
    };
    FitPicture {
        title: format!("{name}: recovery"),
        subtitle,
        x: if readings.in_periods { "periods" } else { "time (s)" }.to_owned(),
        y: "amplitude (deg)".to_owned(),
        left: "measured less fitted (deg)".to_owned(),
        series,
    }
}
