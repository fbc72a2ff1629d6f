//! CMA-ES: a cloud of normally distributed points that learns from its better half where to go, how far, and in which directions.

use nalgebra::{DMatrix, DVector, SymmetricEigen};
use statrs::distribution::{ContinuousCDF as _, Normal};

use crate::numerics::points::drawn_share;

/// Draws of a point that lies outside the box before it is moved to the edge.
const DRAWS: u32 = 20;

/// Relative spread of the cloud, against the first one, below which it has settled.
const SETTLED: f64 = 1e-4;

/// Largest ratio of the cloud's variances.
const LARGEST_CONDITION: f64 = 1e14;

/// Largest change of the spread in one generation, as an exponent.
const LARGEST_CHANGE: f64 = 1.0;

/// A search in the unit cube, asked for points and told their order.
///
/// N. Hansen, "The CMA evolution strategy: a tutorial", arXiv 1604.00772 (2016), with the parameters of its table 1 for positive weights
/// (recalled; checked on functions with known minima). A point outside the cube is drawn again, at last moved to its edge, and learnt from
/// as it was asked. Nothing is drawn but by seed and number of the draw.
#[derive(Debug, Clone)]
pub struct Cloud {
    weights: Vec<f64>,
    effective: f64,
    population: usize,
    mean: DVector<f64>,
    spread: f64,
    first_spread: f64,
    covariance: DMatrix<f64>,
    /// `B D` and `B D^-1 B^T` of the covariance `B D^2 B^T`.
    to_step: DMatrix<f64>,
    to_sphere: DMatrix<f64>,
    spread_path: DVector<f64>,
    covariance_path: DVector<f64>,
    generation: i32,
    seed: u32,
    draws: u32,
    asked: Vec<DVector<f64>>,
    normal: Normal,
}

/// Points of a generation in so many dimensions: `4 + 3 ln n`, rounded down.
#[must_use]
pub fn usual_population(dimensions: usize) -> usize {
    4 + (3.0 * (dimensions.max(1) as f64).ln()) as usize
}

impl Cloud {
    /// A cloud about `mean`, with standard deviation `spread` in every direction and so many points a generation, at least four.
    #[must_use]
    pub fn new(mean: &[f64], spread: f64, population: usize, seed: u32) -> Self {
        let count = mean.len();
        let population = population.max(4);
        let half = 0.5 * (population as f64 + 1.0);
        let raw: Vec<f64> = (1..=population / 2).map(|rank| half.ln() - (rank as f64).ln()).collect();
        let sum: f64 = raw.iter().sum();
        let weights: Vec<f64> = raw.iter().map(|weight| weight / sum).collect();
        let unit = DMatrix::identity(count, count);
        Self {
            effective: 1.0 / weights.iter().map(|weight| weight * weight).sum::<f64>(),
            weights,
            population,
            mean: DVector::from_column_slice(mean),
            spread,
            first_spread: spread,
            covariance: unit.clone(),
            to_step: unit.clone(),
            to_sphere: unit,
            spread_path: DVector::zeros(count),
            covariance_path: DVector::zeros(count),
            generation: 0,
            seed,
            draws: 0,
            asked: Vec::new(),
            normal: Normal::standard(),
        }
    }

    /// The points of the next generation.
    pub fn ask(&mut self) -> Vec<Vec<f64>> {
        self.asked = (0..self.population).map(|_| self.drawn()).collect();
        self.asked.iter().map(|point| point.iter().copied().collect()).collect()
    }

    fn drawn(&mut self) -> DVector<f64> {
        let count = self.mean.len();
        let mut point = self.mean.clone();
        for _ in 0..DRAWS {
            let draws = self.draws;
            self.draws = draws.wrapping_add(count as u32);
            let share = |number: usize, _: usize| drawn_share(draws.wrapping_add(number as u32), self.seed);
            let sphere = DVector::from_fn(count, share).map(|share| self.normal.inverse_cdf(share));
            point = &self.mean + self.spread * (&self.to_step * sphere);
            if point.iter().all(|share| (0.0..=1.0).contains(share)) {
                return point;
            }
        }
        point.map(|share| share.clamp(0.0, 1.0))
    }

    /// Learns from the generation that was asked: the numbers of its points, the best first.
    pub fn tell(&mut self, order: &[usize]) {
        let best: Vec<DVector<f64>> = order
            .iter()
            .take(self.weights.len())
            .filter_map(|&number| self.asked.get(number))
            .map(|point| (point - &self.mean) / self.spread)
            .collect();
        if best.len() < self.weights.len() {
            return;
        }
        self.generation += 1;
        let dimensions = self.mean.len() as f64;
        let effective = self.effective;
        let cumulate_spread = (effective + 2.0) / (dimensions + effective + 5.0);
        let damp = 1.0 + 2.0 * (((effective - 1.0) / (dimensions + 1.0)).sqrt() - 1.0).max(0.0) + cumulate_spread;
        let cumulate = (4.0 + effective / dimensions) / (dimensions + 4.0 + 2.0 * effective / dimensions);
        let rank_one = 2.0 / ((dimensions + 1.3).powi(2) + effective);
        let rank_many =
            (2.0 * (effective - 2.0 + 1.0 / effective) / ((dimensions + 2.0).powi(2) + effective)).min(1.0 - rank_one);
        // Mean length of a normally distributed vector.
        let usual = dimensions.sqrt() * (1.0 - 1.0 / (4.0 * dimensions) + 1.0 / (21.0 * dimensions * dimensions));

        let step = best.iter().zip(&self.weights).fold(DVector::zeros(self.mean.len()), |sum, (y, w)| sum + *w * y);
        self.mean += self.spread * &step;
        let on_sphere = &self.to_sphere * &step;
        self.spread_path = (1.0 - cumulate_spread) * &self.spread_path
            + (cumulate_spread * (2.0 - cumulate_spread) * effective).sqrt() * on_sphere;
        let length = self.spread_path.norm();
        let begun = 1.0 - (1.0 - cumulate_spread).powi(2 * self.generation);
        let stalls = length / begun.sqrt() >= (1.4 + 2.0 / (dimensions + 1.0)) * usual;
        let moving = if stalls { 0.0 } else { 1.0 };
        self.covariance_path = (1.0 - cumulate) * &self.covariance_path
            + moving * (cumulate * (2.0 - cumulate) * effective).sqrt() * &step;
        let kept = 1.0 - rank_one - rank_many + (1.0 - moving) * rank_one * cumulate * (2.0 - cumulate);
        self.covariance *= kept;
        self.covariance += rank_one * &self.covariance_path * self.covariance_path.transpose();
        for (y, weight) in best.iter().zip(&self.weights) {
            self.covariance += rank_many * *weight * y * y.transpose();
        }
        let change = cumulate_spread / damp * (length / usual - 1.0);
        self.spread *= change.min(LARGEST_CHANGE).exp();
        self.decompose();
    }

    fn decompose(&mut self) {
        let symmetric = 0.5 * (&self.covariance + self.covariance.transpose());
        let eigen = SymmetricEigen::new(symmetric);
        let largest = eigen.eigenvalues.max();
        let roots = eigen.eigenvalues.map(|value| value.max(largest / LARGEST_CONDITION).sqrt());
        let inverse = roots.map(|root| 1.0 / root);
        self.to_step = &eigen.eigenvectors * DMatrix::from_diagonal(&roots);
        self.to_sphere = &eigen.eigenvectors * DMatrix::from_diagonal(&inverse) * eigen.eigenvectors.transpose();
    }

    /// Whether the cloud has shrunk so far that nothing more is to be expected of it, or has lost its shape.
    #[must_use]
    pub fn has_settled(&self) -> bool {
        let widest = self.covariance.diagonal().max().max(0.0).sqrt() * self.spread;
        !(widest > SETTLED * self.first_spread)
    }

    /// Points of a generation.
    #[must_use]
    pub fn population(&self) -> usize {
        self.population
    }
}
