//! A ring-down: its keys, its words and its picture.

use std::fmt::Write as _;

use serde::Serialize;

use crate::numerics::intervals::NORMAL_95;
use crate::report::canvas::look::significant;
use crate::report::words::numbers::number;
use crate::study::fit::Estimate;
use crate::study::fit::free_swing::{FittedTorques, FreeSwing, PeriodSource};
use crate::study::fit::loss_shapes::LOSSES;
use crate::study::fit::ring_down::{FittedLosses, LossKind};

use super::json::EstimateRecord;

/// Amplitudes at which the quality factor is given, deg.
const ROUND_DEG: [f64; 15] = [0.2, 0.5, 1.0, 1.5, 2.0, 2.5, 3.0, 4.0, 5.0, 7.0, 10.0, 20.0, 30.0, 50.0, 70.0];

/// One radian in degrees.
pub(super) const DEG: f64 = 180.0 / std::f64::consts::PI;

/// Factor from powers of radians to degrees, by kind of loss.
pub(super) const TO_DEG: [f64; LOSSES] = [DEG, 1.0, 1.0 / DEG];

/// What a ring-down is called by kind of loss.
pub(super) const fn kind_name(kind: LossKind) -> &'static str {
    match kind {
        LossKind::Constant => "constant",
        LossKind::Linear => "linear",
        LossKind::Quadratic => "quadratic",
    }
}

#[derive(Debug, Clone, Serialize)]
struct AloneRecord {
    only: &'static str,
    value: f64,
    sigma: f64,
    rms_deg: f64,
}

/// The key `ring_down`.
#[derive(Debug, Clone, Serialize)]
pub struct RingDownRecord {
    period_s: Option<f64>,
    period_from: Option<String>,
    /// What the losses are counted by: a period, or a second where no period is known.
    per: &'static str,
    constant_deg: Option<EstimateRecord>,
    linear: Option<EstimateRecord>,
    quadratic_per_deg: Option<EstimateRecord>,
    correlation: Option<[[f64; LOSSES]; LOSSES]>,
    rms_deg: f64,
    apart: Vec<&'static str>,
    held_at_zero: Vec<&'static str>,
    alone: Vec<AloneRecord>,
    middle_deg: f64,
    middle_loss_deg: EstimateRecord,
    first_deg: EstimateRecord,
    zero_deg: Option<EstimateRecord>,
    q_at_deg: Vec<[f64; 2]>,
    standing_out_lines: Vec<usize>,
}

#[derive(Debug, Clone, Serialize)]
struct PredictedRecord {
    friction_torque_n_m: f64,
    damping_linear_n_m_s: f64,
    damping_quadratic_n_m_s2: f64,
}

/// What a ring-down found, with and without a scenario.
#[derive(Debug, Clone, Serialize)]
pub struct FreeSwingRecord {
    ring_down: RingDownRecord,
    friction_torque_n_m: Option<EstimateRecord>,
    damping_linear_n_m_s: Option<EstimateRecord>,
    damping_quadratic_n_m_s2: Option<EstimateRecord>,
    /// Factor on what the parts predict, where the readings settle no more than the size of the losses.
    factor_on_predicted: Option<EstimateRecord>,
    predicted: Option<PredictedRecord>,
}

/// The quality factor at round amplitudes within the readings, deg.
fn qualities(found: &FreeSwing) -> Vec<[f64; 2]> {
    if found.is_by_second() {
        return Vec::new();
    }
    let sizes = found.readings.sizes_rad();
    let least = sizes.iter().copied().fold(f64::INFINITY, f64::min).to_degrees();
    let most = found.readings.largest_rad().to_degrees();
    let at = |deg: f64| [deg, found.losses.quality(&found.shapes, deg.to_radians())];
    let mut shown: Vec<[f64; 2]> = ROUND_DEG.into_iter().filter(|deg| (least..=most).contains(deg)).map(at).collect();
    if shown.is_empty() {
        shown = vec![at(found.losses.middle_rad.to_degrees())];
    }
    shown.retain(|row| row[1].is_finite());
    shown
}

/// Where a period is known from, in words.
fn period_words(source: PeriodSource) -> String {
    match source {
        PeriodSource::Asked => "as given".to_owned(),
        PeriodSource::Scenario => "of the scenario".to_owned(),
        PeriodSource::Extremes => "by the times of the extremes".to_owned(),
        PeriodSource::Remark(line) => format!("by the remark in line {line} of the file"),
    }
}

impl RingDownRecord {
    fn of(found: &FreeSwing) -> Self {
        let losses = &found.losses;
        let coefficient =
            |number: usize| losses.coefficients.map(|all| EstimateRecord::of(all[number], TO_DEG[number]));
        let alone = losses.alone.iter().enumerate().filter_map(|(number, alone)| {
            let (estimate, rms_rad) = (*alone)?;
            let Estimate { value, sigma } = estimate.times(TO_DEG[number]);
            Some(AloneRecord { only: kind_name(LossKind::ALL[number]), value, sigma, rms_deg: rms_rad * DEG })
        });
        let held = LossKind::ALL.iter().zip(losses.held).filter(|(_, held)| *held).map(|(kind, _)| kind_name(*kind));
        Self {
            period_s: found.period.map(|(period_s, _)| period_s),
            period_from: found.period.map(|(_, source)| period_words(source)),
            per: if found.is_by_second() { "second" } else { "period" },
            constant_deg: coefficient(0),
            linear: coefficient(1),
            quadratic_per_deg: coefficient(2),
            correlation: losses.coefficients.map(|_| losses.correlation),
            rms_deg: losses.rms_rad * DEG,
            apart: losses.apart.iter().map(|kind| kind_name(*kind)).collect(),
            held_at_zero: held.collect(),
            alone: alone.collect(),
            middle_deg: losses.middle_rad * DEG,
            middle_loss_deg: EstimateRecord::of(losses.middle_loss_rad, DEG),
            first_deg: EstimateRecord::of(losses.first_rad, DEG),
            zero_deg: losses.zero_rad.map(|zero| EstimateRecord::of(zero, DEG)),
            q_at_deg: qualities(found),
            standing_out_lines: losses.standing_out.iter().map(|row| found.readings.lines[*row]).collect(),
        }
    }
}

impl FreeSwingRecord {
    /// Of a ring-down.
    #[must_use]
    pub fn of(found: &FreeSwing) -> Self {
        let torques = found.torques.as_ref();
        let settled = torques.and_then(|torques| torques.losses.coefficients);
        let torque = |number: usize| settled.map(|all| EstimateRecord::of(all[number], 1.0));
        Self {
            ring_down: RingDownRecord::of(found),
            friction_torque_n_m: torque(0),
            damping_linear_n_m_s: torque(1),
            damping_quadratic_n_m_s2: torque(2),
            factor_on_predicted: torques.and_then(|found| found.losses.factor).map(|one| EstimateRecord::of(one, 1.0)),
            predicted: torques.map(|torques| PredictedRecord {
                friction_torque_n_m: torques.predicted.losses[0],
                damping_linear_n_m_s: torques.predicted.losses[1],
                damping_quadratic_n_m_s2: torques.predicted.losses[2],
            }),
        }
    }
}

/// "0.2406 +/- 0.0013", the second number being one standard deviation.
pub(super) fn shown(estimate: Estimate, factor: f64) -> String {
    let Estimate { value, sigma } = estimate.times(factor);
    let decimals = decimals_of(sigma, value);
    format!("{} +/- {}", number(value, decimals), number(sigma, decimals))
}

/// Decimals that show two digits of a standard deviation; four digits of the value where it has none.
fn decimals_of(sigma: f64, value: f64) -> usize {
    let (size, digits) = if sigma > 0.0 { (sigma, 2.0) } else { (value.abs().max(1e-12), 4.0) };
    (digits - 1.0 - size.log10().floor()).clamp(0.0, 12.0) as usize
}

/// The ring-down as a table and in words.
#[must_use]
pub fn text(name: &str, file: &str, found: &FreeSwing) -> String {
    let losses = &found.losses;
    let per = if found.is_by_second() { "s" } else { "period" };
    let mut out = format!("{name}: ring-down from {file}, {} readings\n", found.readings.at.len());
    match found.period {
        Some((period_s, source)) => {
            let _ = writeln!(
                out,
                "  period of a small swing            {} s, {}",
                number(period_s, 4),
                period_words(source)
            );
        }
        None if found.is_by_second() => {
            out.push_str(
                "  The period is not known, so losses are by the second: give it with --period, or a scenario.\n",
            );
        }
        None => {}
    }
    let _ = writeln!(
        out,
        "  loss at {} deg{:<19} {} deg a {per}",
        number(losses.middle_rad * DEG, 2),
        "",
        shown(losses.middle_loss_rad, DEG)
    );
    match &losses.coefficients {
        Some(all) => {
            let _ = writeln!(out, "\n  Loss of amplitude in a {per}, amplitude A in deg (+/-: one standard deviation)");
            for (number, kind) in LossKind::ALL.into_iter().enumerate() {
                let (label, unit) = match kind {
                    LossKind::Constant => ("constant: dry friction", "deg"),
                    LossKind::Linear => ("linear: slow air, inner friction", "A"),
                    LossKind::Quadratic => ("quadratic: air", "A^2"),
                };
                let _ = writeln!(
                    out,
                    "  {label:<34} {} {unit}{}",
                    shown(all[number], TO_DEG[number]),
                    verdict(losses, number, kind)
                );
            }
        }
        None => together(&mut out, losses, per),
    }
    if let Some(zero) = losses.zero_rad {
        let _ = writeln!(out, "  zero of the angles off by          {} deg", shown(zero, DEG));
    }
    let _ = writeln!(out, "  left unexplained (rms)             {} deg", significant(losses.rms_rad * DEG, 2));
    let qualities: Vec<String> =
        qualities(found).iter().map(|[deg, q]| format!("{} at {} deg", number(*q, 0), significant(*deg, 2))).collect();
    if !qualities.is_empty() {
        let _ = writeln!(out, "  Q                                  {}", qualities.join(", "));
    }
    if !losses.standing_out.is_empty() {
        let lines: Vec<String> =
            losses.standing_out.iter().take(8).map(|row| found.readings.lines[*row].to_string()).collect();
        let more = if losses.standing_out.len() > 8 { ", ..." } else { "" };
        let _ =
            writeln!(out, "  These readings stand out and count little or nothing: line {}{more}", lines.join(", "));
    }
    if let Some(torques) = &found.torques {
        out.push_str(&torques_text(torques));
    }
    out
}

/// What the readings say of one loss.
fn verdict(losses: &FittedLosses, number: usize, kind: LossKind) -> String {
    let Some(all) = losses.coefficients else { return String::new() };
    let most = (all[number].value + NORMAL_95 * all[number].sigma) * TO_DEG[number];
    if losses.apart.contains(&kind) {
        String::new()
    } else {
        format!("  (not shown by the readings; at most {})", significant(most, 2))
    }
}

fn together(out: &mut String, losses: &FittedLosses, per: &str) {
    out.push_str(
        "\n  The readings cannot tell dry friction from the air: the amplitude falls too little, or scatters too much. Let the\n  \
         pendulum swing down to a third. Any of these alone fits:\n",
    );
    for (number, kind) in LossKind::ALL.into_iter().enumerate() {
        let Some((estimate, rms_rad)) = losses.alone[number] else { continue };
        let unit = match kind {
            LossKind::Constant => "deg",
            LossKind::Linear => "A",
            LossKind::Quadratic => "A^2",
        };
        let _ = writeln!(
            out,
            "  {:<34} {} {unit} a {per}, leaves {} deg",
            format!("{} alone", kind_name(kind)),
            shown(estimate, TO_DEG[number]),
            significant(rms_rad * DEG, 2)
        );
    }
}

fn torques_text(torques: &FittedTorques) -> String {
    let mut out = "\n  On the pendulum                         measured          the parts predict\n".to_owned();
    let rows = [("friction torque, uN m", 1e6), ("linear damping, uN m s", 1e6), ("quadratic damping, uN m s^2", 1e6)];
    if let Some(settled) = torques.settled() {
        for (number, (label, factor)) in rows.into_iter().enumerate() {
            let _ = writeln!(
                out,
                "  {label:<34} {:<22} {}",
                shown(settled[number], factor),
                significant(torques.predicted.losses[number] * factor, 4)
            );
        }
    }
    if let Some(factor) = torques.losses.factor {
        let _ = writeln!(
            out,
            "  The readings give the size of the losses alone: {} times what the parts predict, in their shares.",
            shown(factor, 1.0)
        );
    } else if torques.losses.coefficients.is_some() {
        for line in explained(torques) {
            let _ = writeln!(out, "  {line}");
        }
    }
    out
}

/// The part that would explain a difference that is none of chance.
fn explained(torques: &FittedTorques) -> Vec<String> {
    let Some(measured) = torques.losses.coefficients else { return Vec::new() };
    let predicted = torques.predicted.losses;
    let differs =
        |number: usize| (measured[number].value - predicted[number]).abs() > NORMAL_95 * measured[number].sigma;
    let mut lines = Vec::new();
    if differs(0) {
        let more = measured[0].value - predicted[0];
        let part = match &torques.predicted.causes {
            Some(causes) if causes.pallet_friction_n_m > causes.suspension_friction_n_m => "the pallets' bearing",
            _ => "the pendulum's bearing",
        };
        lines.push(if more > 0.0 {
            format!("{} uN m more drag in {part} would explain the friction.", significant(more * 1e6, 2))
        } else {
            format!("The friction is {} uN m less than {part} was given.", significant(-more * 1e6, 2))
        });
    }
    if differs(2) && predicted[2] > 0.0 {
        let bob = torques.predicted.causes.as_ref().map_or(0.0, |causes| causes.bob_quadratic_n_m_s2);
        let rest = predicted[2] - bob;
        if bob > 0.0 && measured[2].value > rest {
            let times = (measured[2].value - rest) / bob;
            lines.push(format!(
                "The air would be explained by {} times the predicted drag of the bob.",
                significant(times, 2)
            ));
        } else {
            lines.push(format!(
                "The air takes {} times what was predicted.",
                significant(measured[2].value / predicted[2], 2)
            ));
        }
    }
    if differs(1) {
        let word = if measured[1].value > predicted[1] { "more" } else { "less" };
        lines.push(format!("The linear damping is {word} than predicted: suspension, crutch and slow air."));
    }
    lines
}
