//! The ring-down of a clock's pendulum: what a table says by itself, and beside what the scenario's parts predict.

use crate::clock::build::{BuildError, build};
use crate::clock::design::{Design, PendulumDesign};
use crate::clock::environment::InRoom;
use crate::clock::mechanism::PendulumModel;
use crate::clock::pendulum::compound::{DampingCauses, small_swing_period_s};
use crate::scenario::measured::MeasuredTable;
use crate::units::{Kind, quantity_in_si};

use super::loss_shapes::{LOSSES, LossShapes};
use super::readings::AmplitudeReadings;
use super::ring_down::{FittedLosses, fit_ring_down};
use super::{Estimate, FittedValue, NoFit};

/// Where the period of a ring-down is known from.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum PeriodSource {
    /// It was asked for.
    Asked,
    /// The scenario's pendulum.
    Scenario,
    /// The times of the extremes.
    Extremes,
    /// A remark at the head of the file, in this line.
    Remark(usize),
}

/// The pendulum of a scenario, its own losses and what of them is due to what.
#[derive(Debug, Clone, PartialEq)]
pub struct PredictedSwing {
    /// The pendulum.
    pub pendulum: PendulumModel,
    /// Friction torque, N m, linear, N m s, and quadratic damping, N m s^2, that its parts predict.
    pub losses: [f64; LOSSES],
    /// Losses by cause; `None` for a pendulum by bare numbers.
    pub causes: Option<DampingCauses>,
}

/// A ring-down.
#[derive(Debug, Clone, PartialEq)]
pub struct FreeSwing {
    /// The readings.
    pub readings: AmplitudeReadings,
    /// Period of a small swing, s, and where it is known from; `None` where it is not known, or rows count periods.
    pub period: Option<(f64, PeriodSource)>,
    /// Loss of amplitude in a period by powers of the amplitude, rad; in a second where rows are times and the period is not known.
    pub losses: FittedLosses,
    /// The shapes of these losses.
    pub shapes: LossShapes,
    /// The torques, with a scenario.
    pub torques: Option<FittedTorques>,
}

/// The torques of a ring-down, beside what the scenario predicts.
#[derive(Debug, Clone, PartialEq)]
pub struct FittedTorques {
    /// Friction torque, N m, linear, N m s, and quadratic damping, N m s^2.
    pub losses: FittedLosses,
    /// Their shapes.
    pub shapes: LossShapes,
    /// What the scenario predicts.
    pub predicted: PredictedSwing,
}

impl FreeSwing {
    /// Whether losses count by the second, for want of a period.
    #[must_use]
    pub const fn is_by_second(&self) -> bool {
        self.period.is_none() && !self.readings.in_periods
    }

    /// Values of the scenario that the ring-down has settled; none without a scenario.
    #[must_use]
    pub fn fitted(&self, design: &Design) -> Vec<FittedValue> {
        let Some(torques) = &self.torques else { return Vec::new() };
        // In shares that were given all three are as uncertain as their size.
        let together = [[1.0; LOSSES]; LOSSES];
        let correlation = torques.losses.coefficients.map_or(together, |_| torques.losses.correlation);
        torques.settled().map(|settled| pendulum_values(design, &settled, &correlation)).unwrap_or_default()
    }
}

impl FittedTorques {
    /// The three torques: as fitted, or in the predicted shares where the readings settle no more than their size.
    #[must_use]
    pub fn settled(&self) -> Option<[Estimate; LOSSES]> {
        let by_factor = |factor: Estimate| {
            self.predicted.losses.map(|loss| Estimate { value: loss * factor.value, sigma: loss * factor.sigma })
        };
        self.losses.coefficients.or_else(|| self.losses.factor.map(by_factor))
    }
}

/// The scenario values that hold the pendulum's losses; of a pendulum from parts how their uncertainties hang together, too.
#[must_use]
pub fn pendulum_values(
    design: &Design,
    torques: &[Estimate; LOSSES],
    correlation: &[[f64; LOSSES]; LOSSES],
) -> Vec<FittedValue> {
    let (table, names) = match design.pendulum {
        PendulumDesign::Lumped(_) => ("pendulum.lumped", ["friction_torque", "damping_linear", "damping_quadratic"]),
        PendulumDesign::Parts(_) => ("pendulum.measured_damping", ["friction_torque", "linear", "quadratic"]),
    };
    let kinds = [Kind::Torque, Kind::DampingLinear, Kind::DampingQuadratic];
    let losses = names.iter().zip(kinds).zip(torques).map(|((name, kind), estimate)| FittedValue {
        path: format!("{table}.{name}"),
        kind: Some(kind),
        estimate: *estimate,
    });
    let pairs = [("friction_with_linear", 0, 1), ("friction_with_quadratic", 0, 2), ("linear_with_quadratic", 1, 2)];
    let correlations = pairs.into_iter().map(|(name, one, other)| FittedValue {
        path: format!("{table}.{name}"),
        kind: None,
        estimate: Estimate { value: correlation[one][other], sigma: 0.0 },
    });
    match design.pendulum {
        PendulumDesign::Lumped(_) => losses.collect(),
        PendulumDesign::Parts(_) => losses.chain(correlations).collect(),
    }
}

/// The pendulum of a design and the losses that its parts predict: those that were measured of it before are put aside.
///
/// # Errors
/// [`BuildError`] where the clock cannot be built.
pub fn predicted_swing(design: &Design) -> Result<PredictedSwing, BuildError> {
    let mut by_parts = design.clone();
    if let PendulumDesign::Parts(parts) = &mut by_parts.pendulum {
        parts.measured_damping = None;
    }
    let built = build(&InRoom::at_home(&by_parts))?;
    let pendulum = built.mechanism.pendulum;
    Ok(PredictedSwing {
        pendulum,
        losses: [pendulum.friction_torque_n_m, pendulum.damping_linear_n_m_s(), pendulum.air_quadratic_n_m_s2],
        causes: built.pendulum.map(|report| report.damping),
    })
}

/// Periods of pendulums, s, among those that remarks tell of: a remark may speak of any other.
const PERIODS_S: std::ops::RangeInclusive<f64> = 0.05..=60.0;

/// A period that a remark at the head of a table states: "period 0.99 s", "period about 2 s", "period = 1.5 s".
#[must_use]
pub fn period_in_remarks(table: &MeasuredTable) -> Option<(f64, usize)> {
    table.remarks.iter().find_map(|(line, text)| {
        let lower = text.to_lowercase();
        let after = lower.split("period").skip(1).find_map(|after| {
            let words = after.trim_start_matches([' ', '=', ':']);
            let words = ["about", "is", "was"].iter().find_map(|word| words.strip_prefix(word)).unwrap_or(words);
            let words = words.trim_start();
            let number_ends = words.find(|letter: char| !(letter.is_ascii_digit() || letter == '.'))?;
            let number: f64 = words[..number_ends].parse().ok()?;
            let unit: String =
                words[number_ends..].trim_start().chars().take_while(|letter| letter.is_alphabetic()).collect();
            quantity_in_si(&format!("{number} {unit}"), Kind::Time).ok().filter(|period_s| PERIODS_S.contains(period_s))
        })?;
        Some((after, *line))
    })
}

/// The ring-down in `table`, beside what the parts of a pendulum predict. `asked_s`: a period that was asked for.
///
/// # Errors
/// [`NoFit`].
pub fn fit_free_swing(
    table: &MeasuredTable,
    asked_s: Option<f64>,
    predicted: Option<PredictedSwing>,
) -> Result<FreeSwing, NoFit> {
    let readings = AmplitudeReadings::of(table)?;
    let period = known_period(table, &readings, asked_s, predicted.as_ref());
    let shapes = LossShapes::powers(period.map(|(period_s, _)| period_s));
    let losses = fit_ring_down(&readings, &shapes, None)?;
    let torques = match predicted {
        Some(predicted) => {
            let most_rad = 1.05 * readings.largest_rad();
            let shapes = LossShapes::of_pendulum(&predicted.pendulum, most_rad, readings.in_periods);
            let losses = fit_ring_down(&readings, &shapes, Some(predicted.losses))?;
            Some(FittedTorques { losses, shapes, predicted })
        }
        None => None,
    };
    Ok(FreeSwing { readings, period, losses, shapes, torques })
}

/// The period of a small swing and where it is known from; `None` where rows count periods or nothing gives it.
pub(super) fn known_period(
    table: &MeasuredTable,
    readings: &AmplitudeReadings,
    asked_s: Option<f64>,
    predicted: Option<&PredictedSwing>,
) -> Option<(f64, PeriodSource)> {
    if readings.in_periods {
        return None;
    }
    let of_scenario = || small_swing_period_s(&predicted?.pendulum);
    asked_s
        .map(|period_s| (period_s, PeriodSource::Asked))
        .or_else(|| of_scenario().map(|period_s| (period_s, PeriodSource::Scenario)))
        .or_else(|| readings.small_period_s().map(|period_s| (period_s, PeriodSource::Extremes)))
        .or_else(|| period_in_remarks(table).map(|(period_s, line)| (period_s, PeriodSource::Remark(line))))
}
