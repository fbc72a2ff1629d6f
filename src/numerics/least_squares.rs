//! Least squares: values, their covariance, and whether the data can tell them apart.
//!
//! The steps are those of Levenberg and Marquardt, by the crate `levenberg-marquardt` (after MINPACK: Moré, Lecture Notes in Mathematics 630
//! (1978) 105). A linear model arrives in one step. The covariance is `s^2 (J^T J)^-1` with `s^2` the mean square of the residuals over the
//! degrees of freedom.

use levenberg_marquardt::{LeastSquaresProblem, LevenbergMarquardt};
use nalgebra::storage::Owned;
use nalgebra::{DMatrix, DVector, Dyn};

/// Ratio of the largest to the least singular value of the Jacobian, columns brought to one length, from which parameters run together:
/// beyond it, rounding errors of the data, not the data, would settle the values.
const RUN_TOGETHER: f64 = 1e7;

/// Bound of the robust loss in standard deviations (Tukey's biweight: 95 % efficient for normal residuals; Beaton and Tukey,
/// Technometrics 16 (1974) 147, recalled).
const BIWEIGHT: f64 = 4.685;

/// The median of the absolute values of normal residuals, in standard deviations.
const MEDIAN_OF_NORMAL: f64 = 0.674_5;

/// A residual further out than so many robust standard deviations stands out; one in sixteen thousand normal ones does.
pub const STANDS_OUT: f64 = 4.0;

/// Correlation of neighbours, times the root of their number, beyond which independent residuals come one time in a thousand.
const FOLLOW_BY_CHANCE: f64 = 3.1;

/// Rounds of reweighting; the weights move by less than a thousandth long before.
const ROUNDS: usize = 20;

/// What is fitted to data.
pub trait Residuals {
    /// Residuals (model less data, in whatever weights) and their derivatives by the parameters, a row for each residual; `None` where the
    /// model has no value.
    fn at(&self, parameters: &[f64]) -> Option<(DVector<f64>, DMatrix<f64>)>;
}

/// Values that fit, and how well they are known.
#[derive(Debug, Clone, PartialEq)]
pub struct LeastSquares {
    /// Values of the parameters.
    pub values: Vec<f64>,
    /// Their covariance; rows and columns of those held at zero are zero.
    pub covariance: DMatrix<f64>,
    /// Which parameters are held at zero, below which they would have gone.
    pub held: Vec<bool>,
    /// Residuals, model less data.
    pub residuals: Vec<f64>,
    /// Weight of each residual, 0 to 1: below 1 where the robust loss trusts it less.
    pub trust: Vec<f64>,
    /// Sum of the squares of the residuals, so weighted.
    pub sum_of_squares: f64,
}

/// Why there are no values.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum NoLeastSquares {
    /// Not more data than parameters.
    #[error("{data} values cannot settle {parameters} parameters")]
    TooFew {
        /// Number of data.
        data: usize,
        /// Number of parameters.
        parameters: usize,
    },
    /// Two parameters, by their numbers, do the same to the data.
    #[error("parameters {} and {} run together", .first, .second)]
    RunTogether {
        /// One of them.
        first: usize,
        /// The other.
        second: usize,
    },
    /// The search ended without a fit.
    #[error("the search for the best values did not converge")]
    DidNotConverge,
    /// The model has no value at the start.
    #[error("the model has no value where the search begins")]
    NoModel,
}

impl LeastSquares {
    /// Standard deviation of a parameter.
    #[must_use]
    pub fn sigma(&self, parameter: usize) -> f64 {
        self.covariance[(parameter, parameter)].max(0.0).sqrt()
    }

    /// Correlation of two parameters; 0 where one is held.
    #[must_use]
    pub fn correlation(&self, first: usize, second: usize) -> f64 {
        let scale = self.sigma(first) * self.sigma(second);
        if first == second {
            1.0
        } else if scale > 0.0 {
            (self.covariance[(first, second)] / scale).clamp(-1.0, 1.0)
        } else {
            0.0
        }
    }

    /// Correlation of each residual with the next: near 0 where they are independent.
    #[must_use]
    pub fn residuals_follow(&self) -> f64 {
        let square: f64 = self.residuals.iter().map(|residual| residual * residual).sum();
        let next: f64 = self.residuals.windows(2).map(|pair| pair[0] * pair[1]).sum();
        if square > 0.0 { next / square } else { 0.0 }
    }

    /// The same with the covariance that residuals have which follow one another: neighbours alike say less than as many independent ones,
    /// by `(1 + r) / (1 - r)` of the variance with `r` the correlation of neighbours (Bartlett 1946, recalled). Correlations that chance
    /// explains change nothing.
    #[must_use]
    pub fn with_residuals_that_follow(mut self) -> Self {
        let number = self.residuals.len() as f64;
        let follow = self.residuals_follow().min(0.95);
        if follow > FOLLOW_BY_CHANCE / number.sqrt() {
            self.covariance *= (1.0 + follow) / (1.0 - follow);
        }
        self
    }

    /// Whether no parameter that is bounded lies below zero.
    #[must_use]
    pub fn is_within(&self, not_negative: &[bool]) -> bool {
        self.values.iter().zip(not_negative).all(|(value, bounded)| !bounded || *value >= 0.0)
    }
}

/// The values that fit best. `not_negative`: which parameters cannot be below zero; those that would be are held there, in the way that
/// leaves the least sum of squares (all ways are tried, so they should be few).
///
/// # Errors
/// [`NoLeastSquares`].
pub fn fit(model: &dyn Residuals, start: &[f64], not_negative: &[bool]) -> Result<LeastSquares, NoLeastSquares> {
    let trust = vec![1.0; model.at(start).ok_or(NoLeastSquares::NoModel)?.0.len()];
    within_bounds(model, start, not_negative, &trust)
}

/// The values that fit best with some parameters held at zero.
///
/// # Errors
/// [`NoLeastSquares`].
pub fn fit_with_held(model: &dyn Residuals, start: &[f64], held: &[bool]) -> Result<LeastSquares, NoLeastSquares> {
    let trust = vec![1.0; model.at(start).ok_or(NoLeastSquares::NoModel)?.0.len()];
    with_held(model, start, held, &trust)
}

/// The same as [`fit`] where some data may be wrong: where residuals stand out, their weight falls off to nothing by Tukey's biweight.
///
/// # Errors
/// [`NoLeastSquares`].
pub fn robust_fit(model: &dyn Residuals, start: &[f64], not_negative: &[bool]) -> Result<LeastSquares, NoLeastSquares> {
    let mut found = fit(model, start, not_negative)?;
    for _ in 0..ROUNDS {
        let deviation = robust_deviation(&found.residuals);
        let out = found.residuals.iter().any(|residual| residual.abs() > STANDS_OUT * deviation);
        if !out || !(deviation > 0.0) {
            break;
        }
        let weight = |residual: &f64| {
            let share = residual / (BIWEIGHT * deviation);
            if share.abs() < 1.0 { (1.0 - share * share).powi(2) } else { 0.0 }
        };
        let trust: Vec<f64> = found.residuals.iter().map(weight).collect();
        let moved = trust.iter().zip(&found.trust).map(|(new, old)| (new - old).abs()).fold(0.0, f64::max);
        found = within_bounds(model, &found.values.clone(), not_negative, &trust)?;
        if moved < 1e-3 {
            break;
        }
    }
    Ok(found)
}

/// Standard deviation of normal residuals, by their median.
#[must_use]
pub fn robust_deviation(residuals: &[f64]) -> f64 {
    let mut sizes: Vec<f64> = residuals.iter().map(|residual| residual.abs()).collect();
    sizes.sort_by(f64::total_cmp);
    sizes.get(sizes.len() / 2).copied().unwrap_or(0.0) / MEDIAN_OF_NORMAL
}

fn within_bounds(
    model: &dyn Residuals,
    start: &[f64],
    not_negative: &[bool],
    trust: &[f64],
) -> Result<LeastSquares, NoLeastSquares> {
    let free = held_by(0, not_negative);
    let whole = with_held(model, start, &free, trust);
    if let Ok(found) = &whole
        && found.is_within(not_negative)
    {
        return whole;
    }
    let bounded = not_negative.iter().filter(|bounded| **bounded).count() as u32;
    let ways = (1..1u32 << bounded.min(8)).filter_map(|way| {
        let found = with_held(model, start, &held_by(way, not_negative), trust).ok()?;
        found.is_within(not_negative).then_some(found)
    });
    let best = ways.min_by(|one, other| one.sum_of_squares.total_cmp(&other.sum_of_squares));
    best.map_or_else(|| Err(whole.err().unwrap_or(NoLeastSquares::DidNotConverge)), Ok)
}

/// Which parameters are held in way no. `way`: a bit for each that is bounded.
fn held_by(way: u32, not_negative: &[bool]) -> Vec<bool> {
    let mut bit = 0;
    let held = |bounded: &bool| {
        let held = *bounded && way & (1 << bit) != 0;
        bit += u32::from(*bounded);
        held
    };
    not_negative.iter().map(held).collect()
}

fn with_held(
    model: &dyn Residuals,
    start: &[f64],
    held: &[bool],
    trust: &[f64],
) -> Result<LeastSquares, NoLeastSquares> {
    let free: Vec<usize> = (0..start.len()).filter(|&number| !held[number]).collect();
    let counting: f64 = trust.iter().filter(|weight| **weight > 0.0).count() as f64;
    if counting <= free.len() as f64 {
        return Err(NoLeastSquares::TooFew { data: counting as usize, parameters: free.len() });
    }
    let mut whole = start.to_vec();
    held.iter().zip(&mut whole).filter(|(held, _)| **held).for_each(|(_, value)| *value = 0.0);
    let roots: DVector<f64> = DVector::from_iterator(trust.len(), trust.iter().map(|weight| weight.sqrt()));
    let problem = FreeParameters::new(model, whole, free, roots).ok_or(NoLeastSquares::NoModel)?;
    let (problem, report) = LevenbergMarquardt::new().with_patience(200).minimize(problem);
    if !report.termination.was_successful() {
        return Err(NoLeastSquares::DidNotConverge);
    }
    problem.finished(held, trust, counting)
}

/// A fit in the crate's terms: the free parameters, each in units of its own, so that all columns of the Jacobian have one length.
struct FreeParameters<'m> {
    model: &'m dyn Residuals,
    whole: Vec<f64>,
    free: Vec<usize>,
    units: Vec<f64>,
    roots: DVector<f64>,
    here: Option<(DVector<f64>, DMatrix<f64>)>,
}

impl<'m> FreeParameters<'m> {
    fn new(model: &'m dyn Residuals, whole: Vec<f64>, free: Vec<usize>, roots: DVector<f64>) -> Option<Self> {
        let units = vec![1.0; free.len()];
        let mut problem = Self { model, whole, free, units, roots, here: None };
        problem.compute();
        let lengths: Vec<f64> = problem.here.as_ref()?.1.column_iter().map(|column| column.norm()).collect();
        problem.units = lengths.iter().map(|&length| if length > 0.0 { 1.0 / length } else { 1.0 }).collect();
        problem.compute();
        problem.here.is_some().then_some(problem)
    }

    fn compute(&mut self) {
        self.here = self.model.at(&self.whole).and_then(|(residuals, jacobian)| {
            let residuals = residuals.component_mul(&self.roots);
            let mut free = jacobian.select_columns(self.free.iter());
            for (number, mut column) in free.column_iter_mut().enumerate() {
                column.component_mul_assign(&self.roots);
                column *= self.units[number];
            }
            let finite = residuals.iter().chain(free.iter()).all(|value| value.is_finite());
            finite.then_some((residuals, free))
        });
    }

    fn finished(self, held: &[bool], trust: &[f64], counting: f64) -> Result<LeastSquares, NoLeastSquares> {
        let (weighted, jacobian) = self.here.ok_or(NoLeastSquares::NoModel)?;
        let number = self.free.len();
        let lengths: Vec<f64> = jacobian.column_iter().map(|column| column.norm()).collect();
        let even = DMatrix::from_fn(jacobian.nrows(), number, |row, column| {
            if lengths[column] > 0.0 { jacobian[(row, column)] / lengths[column] } else { 0.0 }
        });
        let normal = even.tr_mul(&even);
        let eigen = normal.symmetric_eigen();
        let (least, largest) = (eigen.eigenvalues.min(), eigen.eigenvalues.max());
        if !(least > 0.0 && largest / least < RUN_TOGETHER * RUN_TOGETHER) {
            let (first, second) = two_largest(&eigen.eigenvectors, &eigen.eigenvalues);
            return Err(NoLeastSquares::RunTogether { first: self.free[first], second: self.free[second] });
        }
        let sum_of_squares = weighted.norm_squared();
        let degrees_of_freedom = counting - number as f64;
        // Weights below 1 make the sum of squares smaller than the scatter is; the mean weight makes up for it.
        let mean_trust = trust.iter().sum::<f64>() / counting;
        let variance = sum_of_squares / degrees_of_freedom / mean_trust.max(f64::MIN_POSITIVE);
        let inverse = DMatrix::from_fn(number, number, |row, column| {
            (0..number)
                .map(|k| eigen.eigenvectors[(row, k)] * eigen.eigenvectors[(column, k)] / eigen.eigenvalues[k])
                .sum::<f64>()
        });
        let mut covariance = DMatrix::zeros(self.whole.len(), self.whole.len());
        for row in 0..number {
            for column in 0..number {
                let scale = self.units[row] / lengths[row] * (self.units[column] / lengths[column]);
                covariance[(self.free[row], self.free[column])] = variance * scale * inverse[(row, column)];
            }
        }
        let plain = self.model.at(&self.whole).ok_or(NoLeastSquares::NoModel)?.0;
        Ok(LeastSquares {
            values: self.whole,
            covariance,
            held: held.to_vec(),
            residuals: plain.iter().copied().collect(),
            trust: trust.to_vec(),
            sum_of_squares: sum_of_squares / mean_trust.max(f64::MIN_POSITIVE),
        })
    }
}

/// The two parameters with the largest share of the least certain direction.
fn two_largest(vectors: &DMatrix<f64>, values: &DVector<f64>) -> (usize, usize) {
    let direction = vectors.column(values.imin());
    let mut order: Vec<usize> = (0..direction.len()).collect();
    order.sort_by(|&one, &other| direction[other].abs().total_cmp(&direction[one].abs()));
    (order.first().copied().unwrap_or(0), order.get(1).or(order.first()).copied().unwrap_or(0))
}

impl LeastSquaresProblem<f64, Dyn, Dyn> for FreeParameters<'_> {
    type ParameterStorage = Owned<f64, Dyn>;
    type ResidualStorage = Owned<f64, Dyn>;
    type JacobianStorage = Owned<f64, Dyn, Dyn>;

    fn set_params(&mut self, parameters: &DVector<f64>) {
        for (number, &place) in self.free.iter().enumerate() {
            self.whole[place] = parameters[number] * self.units[number];
        }
        self.compute();
    }

    fn params(&self) -> DVector<f64> {
        let of = |(number, &place): (usize, &usize)| self.whole[place] / self.units[number];
        DVector::from_iterator(self.free.len(), self.free.iter().enumerate().map(of))
    }

    fn residuals(&self) -> Option<DVector<f64>> {
        self.here.as_ref().map(|(residuals, _)| residuals.clone())
    }

    fn jacobian(&self) -> Option<DMatrix<f64>> {
        self.here.as_ref().map(|(_, jacobian)| jacobian.clone())
    }
}

/// A model linear in its parameters: `design` times the parameters is to be `data`, each row times its weight.
#[derive(Debug, Clone, PartialEq)]
pub struct LinearModel {
    /// A row for each datum, a column for each parameter.
    pub design: DMatrix<f64>,
    /// Data.
    pub data: DVector<f64>,
    /// Weights of the residuals: one over the standard deviation, or in proportion to it.
    pub weights: DVector<f64>,
}

impl Residuals for LinearModel {
    fn at(&self, parameters: &[f64]) -> Option<(DVector<f64>, DMatrix<f64>)> {
        let residuals =
            (&self.design * DVector::from_column_slice(parameters) - &self.data).component_mul(&self.weights);
        let mut jacobian = self.design.clone();
        jacobian.column_iter_mut().for_each(|mut column| column.component_mul_assign(&self.weights));
        Some((residuals, jacobian))
    }
}
