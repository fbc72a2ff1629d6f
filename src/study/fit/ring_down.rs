//! A pendulum swinging free: what it loses in a period, and by what.

use nalgebra::{DMatrix, DVector};

use crate::numerics::intervals::NORMAL_95;
use crate::numerics::least_squares::{LeastSquares, NoLeastSquares, Residuals, fit, fit_with_held, robust_fit};

use super::course::{AmplitudeCourse, COEFFICIENTS};
use super::loss_shapes::{LOSSES, LossShapes, quality};
use super::readings::AmplitudeReadings;
use super::{Estimate, NoFit};

/// Rows that it takes: a first amplitude, three losses, a zero, and one to spare.
pub const LEAST_ROWS: usize = 6;

/// A loss whose standard deviation is beyond this share of all losses is not told by the data.
const UNTOLD: f64 = 0.5;

/// Trust below which a reading counts as standing out: one 3.9 standard deviations off (1 of ten thousand good ones) or further.
const STANDING_OUT: f64 = 0.1;

/// Kinds of loss.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum LossKind {
    /// The same at any amplitude: dry friction.
    Constant,
    /// In proportion to the amplitude: slow air, internal friction.
    Linear,
    /// With its square: air.
    Quadratic,
}

impl LossKind {
    /// All of them, in the order of their coefficients.
    pub const ALL: [Self; LOSSES] = [Self::Constant, Self::Linear, Self::Quadratic];
}

/// What the readings say of the losses.
#[derive(Debug, Clone, PartialEq)]
pub struct FittedLosses {
    /// Coefficients in a period: rad of amplitude and its powers, or torques of a pendulum, by the shapes; `None` where the readings
    /// cannot tell them apart.
    pub coefficients: Option<[Estimate; LOSSES]>,
    /// Which are held at zero, below which they would have gone; their standard deviation is that of a fit that lets them go.
    pub held: [bool; LOSSES],
    /// Correlation of the coefficients.
    pub correlation: [[f64; LOSSES]; LOSSES],
    /// Which losses the readings show to be there.
    pub apart: Vec<LossKind>,
    /// Each loss as if it were the only one: coefficient and root mean square of the residuals, rad.
    pub alone: [Option<(Estimate, f64)>; LOSSES],
    /// The size of all losses, in shares that were given: factor on them.
    pub factor: Option<Estimate>,
    /// Loss of amplitude in a period at the middle amplitude, rad.
    pub middle_loss_rad: Estimate,
    /// Middle amplitude of the readings, rad.
    pub middle_rad: f64,
    /// First amplitude, rad.
    pub first_rad: Estimate,
    /// By how much the zero of angles on either side is off, rad.
    pub zero_rad: Option<Estimate>,
    /// Root mean square of the residuals, rad.
    pub rms_rad: f64,
    /// Residuals, reading less model, rad.
    pub residuals_rad: Vec<f64>,
    /// The amplitude by the model at the readings, rad.
    pub model_rad: Vec<f64>,
    /// Readings that stand out and count little or nothing, by their numbers.
    pub standing_out: Vec<usize>,
}

/// Readings of one swing as data: parameters are the first amplitude, the coefficients and the zero.
pub(super) struct SwingModel<'r> {
    pub shapes: &'r LossShapes,
    pub readings: &'r AmplitudeReadings,
    /// Which parameter each coefficient is, times what.
    pub places: [(usize, f64); COEFFICIENTS],
    /// Which parameter the first amplitude is.
    pub first: usize,
    /// Which parameter the zero is; `None` for amplitudes.
    pub zero: Option<usize>,
    pub parameters: usize,
    /// Weight of its residuals.
    pub weight: f64,
}

impl Residuals for SwingModel<'_> {
    fn at(&self, parameters: &[f64]) -> Option<(DVector<f64>, DMatrix<f64>)> {
        let coefficients = self.places.map(|(place, factor)| factor * parameters.get(place).copied().unwrap_or(0.0));
        let (from, to) = (*self.readings.at.first()?, *self.readings.at.last()?);
        let course = AmplitudeCourse::of(self.shapes, parameters[self.first], &coefficients, from, to);
        let rows = self.readings.at.len();
        let (mut residuals, mut jacobian) = (DVector::zeros(rows), DMatrix::zeros(rows, self.parameters));
        for (row, (&at, &angle)) in self.readings.at.iter().zip(&self.readings.angles_rad).enumerate() {
            let point = course.at(at);
            let side = if self.zero.is_some() && angle < 0.0 { -1.0 } else { 1.0 };
            let zero = self.zero.map_or(0.0, |place| parameters[place]);
            residuals[row] = self.weight * (side * point.amplitude_rad + zero - angle);
            jacobian[(row, self.first)] = self.weight * side * point.by_first;
            for (&(place, factor), by) in self.places.iter().zip(point.by_coefficients) {
                if place < self.parameters {
                    jacobian[(row, place)] += self.weight * side * factor * by;
                }
            }
            if let Some(place) = self.zero {
                jacobian[(row, place)] = self.weight;
            }
        }
        Some((residuals, jacobian))
    }
}

/// A parameter that is none.
pub(super) const NO_PARAMETER: usize = usize::MAX;

/// Where the losses begin among the parameters of a ring-down: its first amplitude comes before.
const FIRST_LOSS: usize = 1;

/// What `readings` say of the losses whose shapes are given. `shares`: losses that the parts predict, in whose shares the size alone is
/// fitted where the readings cannot tell them apart.
///
/// # Errors
/// [`NoFit`]: too few rows, an amplitude that does not fall, a search that fails.
pub fn fit_ring_down(
    readings: &AmplitudeReadings,
    shapes: &LossShapes,
    shares: Option<[f64; LOSSES]>,
) -> Result<FittedLosses, NoFit> {
    readings.check(LEAST_ROWS, "three losses and a first amplitude")?;
    let start = Start::of(readings, shapes)?;
    let zero = readings.either_side.then_some(1 + LOSSES);
    let parameters = 1 + LOSSES + usize::from(readings.either_side);
    let model = SwingModel {
        shapes,
        readings,
        places: [(1, 1.0), (2, 1.0), (3, 1.0), (NO_PARAMETER, 0.0)],
        first: 0,
        zero,
        parameters,
        weight: 1.0,
    };
    let mut begin = vec![start.first_rad];
    begin.extend(start.coefficients.iter().map(|coefficient| coefficient / LOSSES as f64));
    begin.extend(zero.map(|_| 0.0));
    let mut bounded = vec![false; parameters];
    bounded[1..=LOSSES].fill(true);
    let open = robust_fit(&model, &begin, &vec![false; parameters]).map(LeastSquares::with_residuals_that_follow);
    let Some(open) = open.ok().filter(|open| is_told(open, FIRST_LOSS, shapes, start.middle_rad)) else {
        return alone_or_together(&model, &start, &begin, shares);
    };
    let apart = told_apart(&open, FIRST_LOSS);
    let open_sigma = std::array::from_fn(|number| open.sigma(FIRST_LOSS + number));
    let found = if open.is_within(&bounded) {
        open
    } else {
        robust_fit(&model, &begin, &bounded).map_err(NoFit::Search)?.with_residuals_that_follow()
    };
    Ok(FittedLosses::of(&found, &model, start.middle_rad, (apart, open_sigma)))
}

/// Whether the losses, the first of them parameter no. `first`, are known from each other, and not just their sum.
pub(super) fn is_told(open: &LeastSquares, first: usize, shapes: &LossShapes, middle_rad: f64) -> bool {
    let shapes = shapes.losses_rad(middle_rad);
    let total: f64 = shapes.iter().enumerate().map(|(number, shape)| shape * open.values[first + number]).sum();
    let untold = |number: &usize| open.sigma(first + number) * shapes[*number] > UNTOLD * total.abs();
    (0..LOSSES).filter(untold).count() < 2
}

/// Losses that a fit without bounds shows to be there.
pub(super) fn told_apart(open: &LeastSquares, first: usize) -> Vec<LossKind> {
    let is_there = |number: &usize| open.values[first + number] > NORMAL_95 * open.sigma(first + number);
    (0..LOSSES).filter(is_there).map(|number| LossKind::ALL[number]).collect()
}

/// Losses of a fit; those held at zero have the standard deviation of the fit without bounds.
pub(super) fn losses_of(found: &LeastSquares, first: usize, open_sigma: &[f64; LOSSES]) -> [Estimate; LOSSES] {
    std::array::from_fn(|number| {
        let own = Estimate::of(found, first + number);
        if found.held[first + number] { Estimate { sigma: open_sigma[number], ..own } } else { own }
    })
}

/// Where a fit begins.
struct Start {
    first_rad: f64,
    middle_rad: f64,
    /// Each loss as if it were the only one.
    coefficients: [f64; LOSSES],
}

impl Start {
    fn of(readings: &AmplitudeReadings, shapes: &LossShapes) -> Result<Self, NoFit> {
        let sizes = readings.sizes_rad();
        let third = (sizes.len() / 3).max(1);
        let mean = |part: &[f64]| part.iter().sum::<f64>() / part.len() as f64;
        let (early, late) = (mean(&sizes[..third]), mean(&sizes[sizes.len() - third..]));
        let (early_at, late_at) = (mean(&readings.at[..third]), mean(&readings.at[sizes.len() - third..]));
        let middle_rad = 0.5 * (early + late);
        let per_period = (early - late) / (late_at - early_at) * shapes.period_s(middle_rad);
        if !(per_period > 0.0) {
            return Err(NoFit::NotSuch(
                "the amplitude grows: a ring-down is a pendulum that swings free and loses its swing".to_owned(),
            ));
        }
        let coefficients = shapes.losses_rad(middle_rad).map(|shape| per_period / shape);
        Ok(Self { first_rad: sizes.first().copied().unwrap_or(early).max(early), middle_rad, coefficients })
    }
}

/// Each loss alone, and all in the shares that were given.
fn alone_or_together(
    model: &SwingModel<'_>,
    start: &Start,
    begin: &[f64],
    shares: Option<[f64; LOSSES]>,
) -> Result<FittedLosses, NoFit> {
    let mut alone = [None; LOSSES];
    let mut best: Option<LeastSquares> = None;
    for (number, alone) in alone.iter_mut().enumerate() {
        let own = FIRST_LOSS + number;
        let is_other = |place: usize| (FIRST_LOSS..FIRST_LOSS + LOSSES).contains(&place) && place != own;
        let held: Vec<bool> = (0..model.parameters).map(is_other).collect();
        let mut begin = begin.to_vec();
        begin[own] = start.coefficients[number];
        let found = fit_with_held(model, &begin, &held);
        let Ok(found) = found.map(LeastSquares::with_residuals_that_follow) else { continue };
        *alone = Some((Estimate::of(&found, own), rms(&found)));
        if best.as_ref().is_none_or(|least| found.sum_of_squares < least.sum_of_squares) {
            best = Some(found);
        }
    }
    let found = best.ok_or(NoFit::Search(NoLeastSquares::DidNotConverge))?;
    let losses = FittedLosses::of(&found, model, start.middle_rad, (Vec::new(), [0.0; LOSSES]));
    let given = shares.filter(|shares| shares.iter().sum::<f64>() > 0.0);
    let factor = given.map(|shares| size_of(model, start, shares)).transpose()?;
    Ok(FittedLosses { coefficients: None, held: [false; LOSSES], alone, factor, ..losses })
}

/// Factor on losses in given shares.
fn size_of(model: &SwingModel<'_>, start: &Start, shares: [f64; LOSSES]) -> Result<Estimate, NoFit> {
    let reduced = SwingModel {
        places: std::array::from_fn(|number| (1, shares.get(number).copied().unwrap_or(0.0))),
        zero: model.zero.map(|_| 2),
        parameters: 2 + usize::from(model.zero.is_some()),
        ..*model
    };
    let mut begin = vec![start.first_rad, 1.0];
    begin.extend(model.zero.map(|_| 0.0));
    let found = fit(&reduced, &begin, &vec![false; reduced.parameters]).map_err(NoFit::Search)?;
    Ok(Estimate::of(&found.with_residuals_that_follow(), 1))
}

pub(super) fn rms(found: &LeastSquares) -> f64 {
    (found.sum_of_squares / found.residuals.len() as f64).sqrt()
}

impl FittedLosses {
    fn of(
        found: &LeastSquares,
        model: &SwingModel<'_>,
        middle_rad: f64,
        (apart, open_sigma): (Vec<LossKind>, [f64; LOSSES]),
    ) -> Self {
        let shapes = model.shapes.losses_rad(middle_rad);
        let (mut value, mut variance) = (0.0, 0.0);
        for row in 0..LOSSES {
            value += shapes[row] * found.values[FIRST_LOSS + row];
            for column in 0..LOSSES {
                variance += shapes[row] * shapes[column] * found.covariance[(FIRST_LOSS + row, FIRST_LOSS + column)];
            }
        }
        let angles = &model.readings.angles_rad;
        Self {
            coefficients: Some(losses_of(found, FIRST_LOSS, &open_sigma)),
            held: std::array::from_fn(|number| found.held[FIRST_LOSS + number]),
            correlation: std::array::from_fn(|row| {
                std::array::from_fn(|column| found.correlation(FIRST_LOSS + row, FIRST_LOSS + column))
            }),
            apart,
            alone: [None; LOSSES],
            factor: None,
            middle_loss_rad: Estimate { value, sigma: variance.max(0.0).sqrt() },
            middle_rad,
            first_rad: Estimate::of(found, model.first),
            zero_rad: model.zero.map(|place| Estimate::of(found, place)),
            rms_rad: rms(found),
            residuals_rad: found.residuals.iter().map(|residual| -residual / model.weight).collect(),
            model_rad: angles
                .iter()
                .zip(&found.residuals)
                .map(|(angle, residual)| angle + residual / model.weight)
                .collect(),
            standing_out: (0..angles.len()).filter(|&row| found.trust[row] < STANDING_OUT).collect(),
        }
    }

    /// Loss of amplitude in a period at an amplitude, rad: of all three, or of the one that fits best where they cannot be told apart.
    #[must_use]
    pub fn loss_rad(&self, shapes: &LossShapes, amplitude_rad: f64) -> f64 {
        let shapes = shapes.losses_rad(amplitude_rad);
        match &self.coefficients {
            Some(coefficients) => coefficients.iter().zip(shapes).map(|(one, shape)| one.value * shape).sum(),
            None => {
                let best = self.alone.iter().enumerate().filter_map(|(number, alone)| Some((number, (*alone)?)));
                let best = best.min_by(|(_, (_, one)), (_, (_, other))| one.total_cmp(other));
                best.map_or(f64::NAN, |(number, (one, _))| one.value * shapes[number])
            }
        }
    }

    /// Quality factor at an amplitude.
    #[must_use]
    pub fn quality(&self, shapes: &LossShapes, amplitude_rad: f64) -> f64 {
        quality(amplitude_rad, self.loss_rad(shapes, amplitude_rad))
    }
}
