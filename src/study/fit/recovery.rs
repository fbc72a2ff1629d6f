//! A clock that comes to its swing: after a start, or on another weight.
//!
//! The escapement gives the same energy in every period, which holds near the steady swing. Alone the course of the amplitude cannot tell
//! with which power of the amplitude the losses go: for any power there is a gain that fits. A ring-down beside it can, for the recovery goes
//! `1 + p` times as fast as the free decay (derived; a tower clock's recovery fits p = 0, 1 and 2 equally, its free decay only p = 2).

use nalgebra::{DMatrix, DVector};

use crate::numerics::least_squares::{LeastSquares, NoLeastSquares, Residuals, fit, fit_with_held};
use crate::scenario::measured::MeasuredTable;

use super::course::COEFFICIENTS;
use super::free_swing::{FreeSwing, PeriodSource, PredictedSwing, known_period};
use super::loss_shapes::{LOSSES, LossShapes};
use super::readings::AmplitudeReadings;
use super::ring_down::{LossKind, NO_PARAMETER, SwingModel, is_told, losses_of, told_apart};
use super::{Estimate, NoFit};

/// Rows that it takes: a first amplitude, a loss, a gain, and three to spare.
pub const LEAST_ROWS: usize = 6;

/// A fit whose sum of squares is by this many variances above the best does not agree: three standard deviations.
const DISAGREES: f64 = 9.0;

/// Mean square of what is left, in the scatter of each table alone, from which even the best fit of both is none: twice the scatter.
const FITS_NEITHER: f64 = 4.0;

/// The recovery with losses of one power of the amplitude.
#[derive(Debug, Clone, PartialEq)]
pub struct RecoveryByPower {
    /// Kind of loss.
    pub kind: LossKind,
    /// Loss coefficient in a period (rad) and gain: energy of half the square of the amplitude.
    pub loss: Estimate,
    /// Gain in a period, rad^2.
    pub gain: Estimate,
    /// Steady amplitude, rad.
    pub steady_rad: f64,
    /// Rate at which the amplitude would fall without the escapement at the steady amplitude, a share of it in a second (in a period
    /// where the period is not known).
    pub free_decay: f64,
    /// Root mean square of what is left of the recovery, rad.
    pub rms_rad: f64,
    /// Root mean square of what is left of the ring-down, rad, where there is one.
    pub free_rms_rad: Option<f64>,
    /// Sum of the squares of what is left: rad^2 of a recovery alone, with a ring-down each in the scatter of its own table.
    pub sum_of_squares: f64,
    /// Whether recovery and ring-down agree on it; `None` for a recovery alone.
    pub agrees: Option<bool>,
    /// The recovery by the model at the readings, rad.
    pub model_rad: Vec<f64>,
}

/// Losses and gain of a recovery and a ring-down together.
#[derive(Debug, Clone, PartialEq)]
pub struct JointLosses {
    /// Loss coefficients in a period: powers of the amplitude in rad, or torques.
    pub coefficients: [Estimate; LOSSES],
    /// Their correlation.
    pub correlation: [[f64; LOSSES]; LOSSES],
    /// Which the readings show to be there.
    pub apart: Vec<LossKind>,
    /// Gain in a period: rad^2, or J.
    pub gain: Estimate,
}

/// A recovery.
#[derive(Debug, Clone, PartialEq)]
pub struct Recovery {
    /// Its readings.
    pub readings: AmplitudeReadings,
    /// Period of a small swing, s, and where it is known from.
    pub period: Option<(f64, PeriodSource)>,
    /// By each power of the amplitude; those with which no course was found are missing.
    pub by_power: Vec<RecoveryByPower>,
    /// All losses together with the ring-down; `None` without one, or where even both cannot tell them apart.
    pub joint: Option<JointLosses>,
    /// The same as torques, with a scenario.
    pub torques: Option<JointLosses>,
}

/// The recovery in `table`, with the ring-down of the same clock where there is one.
///
/// # Errors
/// [`NoFit`].
pub fn fit_recovery(
    table: &MeasuredTable,
    asked_s: Option<f64>,
    predicted: Option<&PredictedSwing>,
    free: Option<&FreeSwing>,
) -> Result<Recovery, NoFit> {
    let readings = AmplitudeReadings::of(table)?;
    readings.check(LEAST_ROWS, "a loss, a gain and a first amplitude")?;
    let period = known_period(table, &readings, asked_s, predicted).or_else(|| free?.period);
    let shapes = LossShapes::powers(period.map(|(period_s, _)| period_s));
    let mut by_power = Vec::new();
    for kind in LossKind::ALL {
        by_power.extend(alone(&readings, &shapes, kind));
    }
    if by_power.is_empty() {
        return Err(NoFit::Search(NoLeastSquares::DidNotConverge));
    }
    let mut recovery = Recovery { readings, period, by_power, joint: None, torques: None };
    if let Some(free) = free {
        recovery.join(free, &shapes, predicted)?;
    }
    Ok(recovery)
}

/// Number of the coefficient of a kind of loss.
fn place_of(kind: LossKind) -> usize {
    LossKind::ALL.iter().position(|one| *one == kind).unwrap_or_default()
}

/// Gain and loss with which a recovery might begin: it comes nearer its end by e in a third of the readings.
fn guess(readings: &AmplitudeReadings, shapes: &LossShapes, power: usize) -> (f64, f64, f64) {
    let sizes = readings.sizes_rad();
    let (first, last) = (sizes.first().copied().unwrap_or(0.1), sizes.last().copied().unwrap_or(0.1).max(1e-6));
    let span = readings.at.last().copied().unwrap_or(1.0) - readings.at.first().copied().unwrap_or(0.0);
    let decay = 3.0 / span / (1 + power) as f64 * shapes.period_s(last);
    let loss = decay * last.powi(1 - power as i32);
    (first, loss, loss * last.powi(1 + power as i32))
}

fn alone(readings: &AmplitudeReadings, shapes: &LossShapes, kind: LossKind) -> Option<RecoveryByPower> {
    let power = place_of(kind);
    let mut places = [(NO_PARAMETER, 0.0); COEFFICIENTS];
    (places[power], places[LOSSES]) = ((1, 1.0), (2, 1.0));
    let zero = readings.either_side.then_some(3);
    let parameters = 3 + usize::from(readings.either_side);
    let model = SwingModel { shapes, readings, places, first: 0, zero, parameters, weight: 1.0 };
    let (first, loss, gain) = guess(readings, shapes, power);
    let mut start = vec![first, loss, gain];
    start.extend(zero.map(|_| 0.0));
    let found = fit(&model, &start, &vec![false; parameters]).ok()?.with_residuals_that_follow();
    (found.values[1] > 0.0 && found.values[2] > 0.0).then(|| by_power(&found, (readings, shapes), kind, (1, 2)))
}

fn by_power(
    found: &LeastSquares,
    (readings, shapes): (&AmplitudeReadings, &LossShapes),
    kind: LossKind,
    (loss_at, gain_at): (usize, usize),
) -> RecoveryByPower {
    let power = place_of(kind) as i32;
    let (loss, gain) = (Estimate::of(found, loss_at), Estimate::of(found, gain_at));
    let steady_rad = (gain.value / loss.value).powf(1.0 / f64::from(1 + power));
    let rows = readings.at.len();
    let own = &found.residuals[..rows];
    RecoveryByPower {
        kind,
        loss,
        gain,
        steady_rad,
        free_decay: loss.value * steady_rad.powi(power - 1) / shapes.period_s(steady_rad),
        rms_rad: rms(own),
        free_rms_rad: None,
        sum_of_squares: found.sum_of_squares,
        agrees: None,
        model_rad: readings.angles_rad.iter().zip(own).map(|(angle, residual)| angle + residual).collect(),
    }
}

fn rms(residuals: &[f64]) -> f64 {
    (residuals.iter().map(|residual| residual * residual).sum::<f64>() / residuals.len().max(1) as f64).sqrt()
}

/// A recovery and a ring-down as one set of data, each with the weight of its own scatter.
struct Both<'r> {
    recovery: SwingModel<'r>,
    free: SwingModel<'r>,
}

impl Residuals for Both<'_> {
    fn at(&self, parameters: &[f64]) -> Option<(DVector<f64>, DMatrix<f64>)> {
        let (recovery, by_recovery) = self.recovery.at(parameters)?;
        let (free, by_free) = self.free.at(parameters)?;
        let rows = recovery.len();
        let residuals = DVector::from_iterator(rows + free.len(), recovery.iter().chain(free.iter()).copied());
        let mut jacobian = DMatrix::zeros(residuals.len(), self.recovery.parameters);
        jacobian.rows_mut(0, rows).copy_from(&by_recovery);
        jacobian.rows_mut(rows, free.len()).copy_from(&by_free);
        Some((residuals, jacobian))
    }
}

/// Parameters of both: from the first on losses, first amplitude of the recovery, gain, first amplitude of the ring-down, zeros.
const FIRST_LOSS: usize = 0;
const FIRST: usize = LOSSES;
const GAIN: usize = LOSSES + 1;
const FREE_FIRST: usize = LOSSES + 2;

impl<'r> Both<'r> {
    fn of(
        (recovery, shapes): (&'r AmplitudeReadings, &'r LossShapes),
        (free, free_shapes): (&'r AmplitudeReadings, &'r LossShapes),
        scatter: (f64, f64),
    ) -> Self {
        let mut parameters = FREE_FIRST + 1;
        let mut zero_of = |readings: &AmplitudeReadings| {
            readings.either_side.then(|| {
                parameters += 1;
                parameters - 1
            })
        };
        let (zero, free_zero) = (zero_of(recovery), zero_of(free));
        let losses = |gain: usize| [(0, 1.0), (1, 1.0), (2, 1.0), (gain, 1.0)];
        let recovery = SwingModel {
            shapes,
            readings: recovery,
            places: losses(GAIN),
            first: FIRST,
            zero,
            parameters,
            weight: 1.0 / scatter.0,
        };
        let free = SwingModel {
            shapes: free_shapes,
            readings: free,
            places: losses(NO_PARAMETER),
            first: FREE_FIRST,
            zero: free_zero,
            parameters,
            weight: 1.0 / scatter.1,
        };
        Self { recovery, free }
    }

    /// A start with one kind of loss, or the mean of all.
    fn start(&self, only: Option<usize>) -> Vec<f64> {
        let mut start = vec![0.0; self.recovery.parameters];
        for power in (0..LOSSES).filter(|power| only.is_none_or(|only| only == *power)) {
            let sizes = self.free.readings.sizes_rad();
            let (first, last) = (sizes.first().copied().unwrap_or(0.1), sizes.last().copied().unwrap_or(0.1));
            let at = &self.free.readings.at;
            let span = at.last().copied().unwrap_or(1.0) - at.first().copied().unwrap_or(0.0);
            let middle = 0.5 * (first + last);
            let per_period = ((first - last) / span * self.free.shapes.period_s(middle)).max(1e-12);
            let share = if only.is_some() { 1.0 } else { 1.0 / LOSSES as f64 };
            start[power] = share * per_period / self.free.shapes.losses_rad(middle)[power];
        }
        let sizes = self.recovery.readings.sizes_rad();
        let steady = sizes.last().copied().unwrap_or(0.1);
        let losses = self.recovery.shapes.losses_rad(steady);
        let lost: f64 = losses.iter().zip(&start).map(|(shape, value)| shape * value).sum();
        start[GAIN] = lost / self.recovery.shapes.gain_rad(steady);
        start[FIRST] = sizes.first().copied().unwrap_or(0.1);
        start[FREE_FIRST] = self.free.readings.sizes_rad().first().copied().unwrap_or(0.1);
        start
    }

    /// Which parameters are losses, but for one of them.
    fn losses_but(&self, one: Option<usize>) -> Vec<bool> {
        (0..self.recovery.parameters).map(|place| place < LOSSES && Some(place) != one).collect()
    }
}

impl Recovery {
    /// The power of the amplitude that fits best.
    #[must_use]
    pub fn best_power(&self) -> Option<&RecoveryByPower> {
        self.by_power.iter().min_by(|one, other| one.sum_of_squares.total_cmp(&other.sum_of_squares))
    }

    fn join(&mut self, free: &FreeSwing, shapes: &LossShapes, predicted: Option<&PredictedSwing>) -> Result<(), NoFit> {
        if free.readings.in_periods != self.readings.in_periods {
            return Err(NoFit::NotSuch(
                "ring-down and recovery have to count alike: both in time, or both in periods".to_owned(),
            ));
        }
        let free_shapes = LossShapes::powers(self.period.map(|(period_s, _)| period_s));
        let least = |rms: f64, readings: &AmplitudeReadings| rms.max(1e-9 * readings.largest_rad()).max(1e-12);
        let own = self.by_power.iter().map(|one| one.rms_rad).fold(f64::INFINITY, f64::min);
        let scatter = (least(own, &self.readings), least(free.losses.rms_rad, &free.readings));
        let model = Both::of((&self.readings, shapes), (&free.readings, &free_shapes), scatter);
        let mut tried: Vec<(usize, LeastSquares)> = Vec::new();
        for power in 0..LOSSES {
            let found = fit_with_held(&model, &model.start(Some(power)), &model.losses_but(Some(power)));
            tried.extend(
                found.ok().filter(|one| one.values[power] > 0.0 && one.values[GAIN] > 0.0).map(|one| (power, one)),
            );
        }
        if tried.is_empty() {
            return Err(NoFit::NotSuch(
                "the recovery loses its swing faster than the ring-down: no steady energy of the escapement fits both"
                    .to_owned(),
            ));
        }
        let joint = joined(&model);
        let best = tried.iter().map(|(_, found)| found.sum_of_squares).chain(joint.as_ref().map(|joint| joint.1));
        let best = best.fold(f64::INFINITY, f64::min);
        let rows = self.readings.at.len();
        let data = (rows + free.readings.at.len()) as f64;
        let fits = best < FITS_NEITHER * data;
        let together: Vec<RecoveryByPower> = tried
            .iter()
            .map(|(power, found)| {
                let unweighted =
                    |part: &[f64], scatter: f64| part.iter().map(|left| left * scatter).collect::<Vec<f64>>();
                let plain =
                    LeastSquares { residuals: unweighted(&found.residuals[..rows], scatter.0), ..found.clone() };
                let free_rms = rms(&unweighted(&found.residuals[rows..], scatter.1));
                RecoveryByPower {
                    free_rms_rad: Some(free_rms),
                    agrees: Some(fits && found.sum_of_squares - best < DISAGREES * best / data),
                    ..by_power(&plain, (&self.readings, shapes), LossKind::ALL[*power], (*power, GAIN))
                }
            })
            .collect();
        let torques = predicted.and_then(|predicted| {
            let most_rad = 1.05 * free.readings.largest_rad().max(self.readings.largest_rad());
            let shapes = LossShapes::of_pendulum(&predicted.pendulum, most_rad, self.readings.in_periods);
            let model = Both::of((&self.readings, &shapes), (&free.readings, &shapes), scatter);
            joined(&model).map(|found| found.0)
        });
        (self.by_power, self.joint, self.torques) = (together, joint.map(|joint| joint.0), torques);
        Ok(())
    }
}

/// All losses together and the sum of squares that they leave; `None` where even both cannot tell them apart.
fn joined(model: &Both<'_>) -> Option<(JointLosses, f64)> {
    let (start, bounded) = (model.start(None), model.losses_but(None));
    let open = fit(model, &start, &vec![false; start.len()]).ok()?.with_residuals_that_follow();
    let sizes = model.free.readings.sizes_rad();
    let middle_rad = 0.5 * (sizes.first()? + sizes.last()?);
    if !is_told(&open, FIRST_LOSS, model.free.shapes, middle_rad) {
        return None;
    }
    let apart = told_apart(&open, FIRST_LOSS);
    let open_sigma = std::array::from_fn(|number| open.sigma(FIRST_LOSS + number));
    let found = fit(model, &start, &bounded).ok()?.with_residuals_that_follow();
    let joint = JointLosses {
        coefficients: losses_of(&found, FIRST_LOSS, &open_sigma),
        correlation: std::array::from_fn(|row| std::array::from_fn(|column| found.correlation(row, column))),
        apart,
        gain: Estimate::of(&found, GAIN),
    };
    Some((joint, found.sum_of_squares))
}
