//! A quadratic model of aim and limits about a point, and where it is best.

use super::cma::{Cloud, usual_population};

/// Generations after which the best point of a model is good enough.
const GENERATIONS: u32 = 150;

/// How many times its own change over the region a limit's excess weighs more than the aim's change: exact from the ratio of their slopes on.
const PENALTY: f64 = 50.0;

/// A quadratic in the steps from its centre, each a share of the region's half-width: from -1 to 1.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Quadratic {
    pub value: f64,
    pub slope: Vec<f64>,
    /// Second derivatives, row by row.
    pub second: Vec<f64>,
}

impl Quadratic {
    pub fn at(&self, step: &[f64]) -> f64 {
        let count = step.len();
        let mut sum = self.value;
        for i in 0..count {
            sum += self.slope[i] * step[i];
            for j in 0..count {
                sum += 0.5 * self.second[i * count + j] * step[i] * step[j];
            }
        }
        sum
    }

    /// The largest change that its linear part makes in the region.
    fn reach(&self) -> f64 {
        self.slope.iter().map(|slope| slope.abs()).sum()
    }
}

/// Aim and limits about a point.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Model {
    pub aim: Quadratic,
    pub excess: Vec<Quadratic>,
}

impl Model {
    /// Aim with what the limits are exceeded by added, so that its least value keeps them (an exact penalty: J. Nocedal and S. J. Wright,
    /// "Numerical Optimization", 2006, section 17.2, recalled).
    fn merit(&self, step: &[f64], scale: f64) -> f64 {
        let weights = self.excess.iter().map(|excess| PENALTY * scale / excess.reach().max(f64::MIN_POSITIVE));
        let exceeded = self.excess.iter().zip(weights).map(|(excess, weight)| weight * excess.at(step).max(0.0));
        self.aim.at(step) + exceeded.sum::<f64>()
    }

    /// The step at which the model is best between the ends given; each contains 0. `None` where nothing changes.
    pub fn best_step(&self, ends: &[(f64, f64)], seed: u32) -> Option<Vec<f64>> {
        let count = ends.len();
        let curved = self.aim.second.iter().map(|second| second.abs()).sum::<f64>();
        let scale = self.aim.reach() + curved;
        if !(scale > 0.0) && self.excess.iter().all(|excess| excess.value <= 0.0) {
            return None;
        }
        let scale = if scale > 0.0 { scale } else { 1.0 };
        let step = |shares: &[f64]| -> Vec<f64> {
            shares.iter().zip(ends).map(|(share, (low, high))| low + share * (high - low)).collect()
        };
        let centre: Vec<f64> = ends.iter().map(|(low, high)| -low / (high - low)).collect();
        let mut best = (f64::INFINITY, vec![0.0; count]);
        let mut cloud = Cloud::new(&centre, 0.3, 2 * usual_population(count), seed);
        for _ in 0..GENERATIONS {
            let merits: Vec<(f64, Vec<f64>)> = cloud
                .ask()
                .iter()
                .map(|shares| {
                    let step = step(shares);
                    (self.merit(&step, scale), step)
                })
                .collect();
            let mut order: Vec<usize> = (0..merits.len()).collect();
            order.sort_by(|&one, &other| merits[one].0.total_cmp(&merits[other].0));
            if merits[order[0]].0 < best.0 {
                best = merits[order[0]].clone();
            }
            cloud.tell(&order);
            if cloud.has_settled() {
                break;
            }
        }
        Some(best.1)
    }
}
