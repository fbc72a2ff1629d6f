//! From the pattern of a turn to the teeth: which faults of the wheel explain it, by the responses of the clock itself.

use nalgebra::{DMatrix, DVector};

use crate::clock::side::Side;
use crate::study::fit::Estimate;

use super::responses::{FaultColumn, Responses, turned_by};
use super::wheel_faults::{TickingClock, WheelFaults};

/// Fall of chi-square, beyond which a fault is no chance: of the many teeth of both kinds one falls by twice the logarithm of their
/// number; 16 more is a chance of one in three thousand.
const NO_CHANCE: f64 = 16.0;

/// Difference of chi-square beyond which one of two explanations is excluded (odds of ninety to one).
const TOLD_APART: f64 = 9.0;

/// Most faults that are named.
const MOST_FAULTS: usize = 4;

/// Rounds in which sizes are corrected by the motion with the faults found.
const ROUNDS: usize = 4;

/// A fault of the escape wheel; teeth are numbered from 1, the first that was heard to fall, in the order in which they come.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum WheelFault {
    /// The wheel is eccentric on its arbor.
    RunOut {
        /// Eccentricity, m: half of what a dial gauge shows over a turn.
        eccentricity_m: Estimate,
        /// The tooth that stands out furthest.
        high_tooth: u32,
    },
    /// A tooth is short (negative: it stands out).
    Short {
        /// Which.
        tooth: u32,
        /// By how much, m.
        by_m: Estimate,
    },
    /// A tooth stands behind its place (negative: ahead of it).
    Behind {
        /// Which.
        tooth: u32,
        /// By how much along the circle of the tips, m.
        by_m: Estimate,
    },
}

/// One explanation of the pattern.
#[derive(Debug, Clone, PartialEq)]
pub struct Explanation {
    /// The faults, the most important first.
    pub faults: Vec<WheelFault>,
    /// Share of the pattern's sum of squares that they explain.
    pub explained: f64,
    /// Sum of squares that is left, in standard deviations.
    pub chi_square: f64,
    /// The beats of a turn with these faults, s.
    pub modelled_s: Vec<f64>,
}

/// What the pattern of a turn says of the wheel.
#[derive(Debug, Clone, PartialEq)]
pub struct Diagnosis {
    /// Pallet of the first tick; `None` where both explain the pattern alike, which leaves the side open.
    pub first_on: Option<Side>,
    /// The best explanation; without faults where none is more than chance.
    pub best: Explanation,
    /// Of single faults the best of each kind: run-out, a short tooth, one behind its place.
    pub alone: Vec<Explanation>,
    /// Standard deviations by which the pattern as a whole exceeds none: chi-square less its degrees of freedom over its own scatter.
    pub above_noise: f64,
    /// Whether the motion with these faults was run and the sizes corrected; false where the model's clock stops with them.
    pub run_with_faults: bool,
    /// Length of each tooth against the mean, m, if nothing but lengths were amiss: what there is to see of many small faults. Empty where
    /// the beats do not determine it.
    pub lengths_m: Vec<Estimate>,
    /// The turn of the pallets that sets the clock in beat, rad, its sign known where `first_on` is; `None` where the motion does not say.
    pub pallets_rad: Option<Estimate>,
    /// The angle by which the pallets stand off the scenario's own, rad; it has a meaning where `first_on` is known.
    pub from_scenario_rad: Option<Estimate>,
}

/// The pattern of a turn: deviations of its beats with their standard deviations, s, and the beat error.
#[derive(Debug, Clone, Copy)]
pub(super) struct Pattern<'p> {
    pub by_beat_s: &'p [Estimate],
    pub beat_error_s: Estimate,
}

/// What the pattern says of the wheel; `None` where the motion gives no responses.
pub(super) fn diagnosis(clock: &TickingClock, pattern: &Pattern<'_>) -> Option<Diagnosis> {
    let responses = Responses::of(clock)?;
    let sides = [Side::Entry, Side::Exit].map(|first_on| {
        let search = Search { responses: &responses, first_on, pattern: pattern.by_beat_s };
        let chosen = search.greedy();
        let (values, chi_square) = search.chi_square_of(&chosen)?;
        Some((search, chosen, values, chi_square))
    });
    let [Some(entry), Some(exit)] = sides else { return None };
    let freedom = pattern.by_beat_s.len().saturating_sub(2).max(1);
    // What the better one leaves is the measure of chance.
    let unit = (entry.3.min(exit.3) / freedom as f64).max(1.0);
    // Each column more costs as much as chance makes of it.
    let cost = |side: &(Search<'_>, Vec<FaultColumn>, Vec<f64>, f64)| side.3 / unit + 2.0 * side.1.len() as f64;
    let told = (cost(&entry) - cost(&exit)).abs() > TOLD_APART;
    let (search, columns, values, _) = if cost(&exit) < cost(&entry) { exit } else { entry };
    let (best, run_with_faults) = search.corrected(clock, &columns, values);
    let teeth = responses.teeth as u32;
    let best_single = |of: fn(u32) -> FaultColumn| {
        let single = (0..teeth).map(of).min_by(|a, b| {
            let chi_square =
                |column: &FaultColumn| search.chi_square_of(&[*column]).map_or(f64::INFINITY, |found| found.1);
            chi_square(a).total_cmp(&chi_square(b))
        })?;
        search.explanation(&[single])
    };
    let alone = [search.explanation(&RUN_OUT), best_single(FaultColumn::Short), best_single(FaultColumn::Behind)];
    let nothing: f64 = search.chi_square_of(&[])?.1;
    let sign = if search.first_on == Side::Entry { 1.0 } else { -1.0 };
    let turned = responses.beat_error.map(|(by_angle, own_s)| {
        let heard_s = pattern.beat_error_s;
        let angle = |error_s: f64| Estimate { value: error_s / by_angle, sigma: (heard_s.sigma / by_angle).abs() };
        (angle(-sign * heard_s.value), angle(sign * heard_s.value - own_s))
    });
    let (pallets_rad, from_scenario_rad) = turned.unzip();
    Some(Diagnosis {
        first_on: told.then_some(search.first_on),
        best,
        alone: alone.into_iter().flatten().collect(),
        above_noise: (nothing - freedom as f64) / (2.0 * freedom as f64).sqrt(),
        run_with_faults,
        lengths_m: search.lengths(),
        pallets_rad,
        from_scenario_rad,
    })
}

const RUN_OUT: [FaultColumn; 2] = [FaultColumn::RunOut(0), FaultColumn::RunOut(1)];

/// A search for faults with the first tick on one pallet.
struct Search<'s> {
    responses: &'s Responses,
    first_on: Side,
    pattern: &'s [Estimate],
}

impl Search<'_> {
    fn sigma_s(&self, beat: usize) -> f64 {
        // Deviations of mere rounding weigh alike.
        self.pattern[beat].sigma.max(1e-12)
    }

    /// Weighted columns as a matrix.
    fn matrix(&self, columns: &[FaultColumn]) -> Option<DMatrix<f64>> {
        let heard = self.heard(columns)?;
        Some(DMatrix::from_fn(self.pattern.len(), columns.len(), |beat, column| {
            heard[column][beat] / self.sigma_s(beat)
        }))
    }

    fn heard(&self, columns: &[FaultColumn]) -> Option<Vec<Vec<f64>>> {
        columns.iter().map(|&column| self.responses.heard(column, self.first_on)).collect()
    }

    fn solved(&self, columns: &[FaultColumn], deviations_s: &[f64]) -> Option<(Vec<f64>, DMatrix<f64>)> {
        if columns.is_empty() {
            return Some((Vec::new(), DMatrix::zeros(0, 0)));
        }
        let matrix = self.matrix(columns)?;
        let right = DVector::from_fn(deviations_s.len(), |beat, _| deviations_s[beat] / self.sigma_s(beat));
        let scale = DVector::from_iterator(columns.len(), matrix.column_iter().map(|column| column.norm()));
        if scale.iter().any(|&norm| !(norm > 0.0)) {
            return None;
        }
        let scaled =
            DMatrix::from_fn(matrix.nrows(), matrix.ncols(), |row, column| matrix[(row, column)] / scale[column]);
        let normal = scaled.tr_mul(&scaled);
        if normal.clone().symmetric_eigenvalues().iter().any(|&value| !(value > 1e-4)) {
            return None;
        }
        let inverse = normal.try_inverse()?;
        let values = &inverse * scaled.tr_mul(&right);
        let covariance = DMatrix::from_fn(columns.len(), columns.len(), |row, column| {
            inverse[(row, column)] / (scale[row] * scale[column])
        });
        Some((values.iter().zip(scale.iter()).map(|(value, scale)| value / scale).collect(), covariance))
    }

    fn measured_s(&self) -> Vec<f64> {
        self.pattern.iter().map(|beat| beat.value).collect()
    }

    /// Values of the columns by least squares, and what they leave.
    fn chi_square_of(&self, columns: &[FaultColumn]) -> Option<(Vec<f64>, f64)> {
        let deviations_s = self.measured_s();
        let (values, _) = self.solved(columns, &deviations_s)?;
        let modelled_s = self.modelled_s(columns, &values);
        Some((values, self.chi_square(&modelled_s)))
    }

    fn modelled_s(&self, columns: &[FaultColumn], values: &[f64]) -> Vec<f64> {
        let mut sum_s = vec![0.0; self.pattern.len()];
        for (response, value) in self.heard(columns).unwrap_or_default().into_iter().zip(values) {
            for (sum, response) in sum_s.iter_mut().zip(response) {
                *sum += value * response;
            }
        }
        sum_s
    }

    fn chi_square(&self, modelled_s: &[f64]) -> f64 {
        let left = |beat: usize| (self.pattern[beat].value - modelled_s[beat]) / self.sigma_s(beat);
        (0..self.pattern.len()).map(|beat| left(beat).powi(2)).sum()
    }

    /// Faults one after the other, each the one that explains most of what is left, as long as it is more than chance.
    fn greedy(&self) -> Vec<FaultColumn> {
        let teeth = self.responses.teeth as u32;
        let beats = self.pattern.len();
        let mut chosen: Vec<FaultColumn> = Vec::new();
        let mut faults = 0;
        let Some((_, mut chi_square)) = self.chi_square_of(&[]) else { return chosen };
        while faults < MOST_FAULTS {
            let singles =
                (0..teeth).flat_map(|tooth| [vec![FaultColumn::Short(tooth)], vec![FaultColumn::Behind(tooth)]]);
            let best = std::iter::once(RUN_OUT.to_vec())
                .chain(singles)
                .filter(|more| more.iter().all(|column| !chosen.contains(column)))
                .filter_map(|more| {
                    let all: Vec<FaultColumn> = chosen.iter().chain(&more).copied().collect();
                    let (_, left) = self.chi_square_of(&all)?;
                    // Run-out has two values; a tooth is one of many.
                    let chance = if more.len() == 2 { 4.0 } else { 2.0 * (2.0 * f64::from(teeth)).ln() };
                    Some((all, left, chance))
                })
                .min_by(|a, b| (a.1 + a.2).total_cmp(&(b.1 + b.2)));
            let Some((all, left, chance)) = best else { break };
            let unit = (left / beats.saturating_sub(2 + all.len()).max(1) as f64).max(1.0);
            if (chi_square - left) / unit < NO_CHANCE + chance {
                break;
            }
            (chosen, chi_square) = (all, left);
            faults += 1;
        }
        chosen
    }

    fn faults_of(columns: &[FaultColumn], values: &[f64]) -> WheelFaults {
        let mut faults = WheelFaults::default();
        for (&column, &value) in columns.iter().zip(values) {
            match column {
                FaultColumn::RunOut(part) => faults.run_out_m[part] += value,
                FaultColumn::Short(tooth) => faults.short_m.push((tooth, value)),
                FaultColumn::Behind(tooth) => faults.behind_m.push((tooth, value)),
            }
        }
        faults
    }

    /// The sizes corrected until the clock, run with the faults, ticks as was heard: large faults act otherwise than in proportion.
    fn corrected(&self, clock: &TickingClock, columns: &[FaultColumn], mut values: Vec<f64>) -> (Explanation, bool) {
        let measured_s = self.measured_s();
        let mut modelled_s = self.modelled_s(columns, &values);
        let mut tried = values.clone();
        let mut run = false;
        let mut left = f64::INFINITY;
        for _ in 0..ROUNDS {
            if columns.is_empty() {
                break;
            }
            let Some(turn) = clock.turn_with(&Self::faults_of(columns, &tried)) else { break };
            let heard_s = turned_by(&turn.by_beat_s, self.responses.shift(self.first_on));
            let chi_square = self.chi_square(&heard_s);
            if !(chi_square < left) {
                break;
            }
            (left, run) = (chi_square, true);
            modelled_s.clone_from(&heard_s);
            values.clone_from(&tried);
            let rest_s: Vec<f64> = measured_s.iter().zip(&heard_s).map(|(measured, heard)| measured - heard).collect();
            let Some((steps, _)) = self.solved(columns, &rest_s) else { break };
            tried.iter_mut().zip(&steps).for_each(|(value, step)| *value += step);
        }
        (self.explained(columns, &values, &modelled_s), run)
    }

    fn explanation(&self, columns: &[FaultColumn]) -> Option<Explanation> {
        let (values, _) = self.chi_square_of(columns)?;
        Some(self.explained(columns, &values, &self.modelled_s(columns, &values)))
    }

    fn explained(&self, columns: &[FaultColumn], values: &[f64], modelled_s: &[f64]) -> Explanation {
        let squares = |of: &dyn Fn(usize) -> f64| (0..self.pattern.len()).map(|beat| of(beat).powi(2)).sum::<f64>();
        let whole = squares(&|beat| self.pattern[beat].value);
        let rest = squares(&|beat| self.pattern[beat].value - modelled_s[beat]);
        let chi_square = self.chi_square(modelled_s);
        let freedom = self.pattern.len().saturating_sub(2 + columns.len()).max(1) as f64;
        // What the faults leave counts as scatter of the beats too.
        let unit = (chi_square / freedom).max(1.0).sqrt();
        let covariance = self.solved(columns, &self.measured_s()).map(|solved| solved.1);
        let sigma = |index: usize| covariance.as_ref().map_or(0.0, |of| unit * of[(index, index)].max(0.0).sqrt());
        let teeth = self.responses.teeth as f64;
        let mut faults = Vec::new();
        for (index, (&column, &value)) in columns.iter().zip(values).enumerate() {
            let by_m = Estimate { value, sigma: sigma(index) };
            match column {
                FaultColumn::Short(tooth) => faults.push(WheelFault::Short { tooth: tooth + 1, by_m }),
                FaultColumn::Behind(tooth) => faults.push(WheelFault::Behind { tooth: tooth + 1, by_m }),
                FaultColumn::RunOut(0) => {
                    let across = values.get(index + 1).copied().unwrap_or_default();
                    let turns = across.atan2(value) / std::f64::consts::TAU;
                    let high = (turns.rem_euclid(1.0) * teeth).round() as u32 % self.responses.teeth as u32;
                    let eccentricity_m = Estimate {
                        value: value.hypot(across),
                        sigma: (0.5 * (sigma(index).powi(2) + sigma(index + 1).powi(2))).sqrt(),
                    };
                    faults.push(WheelFault::RunOut { eccentricity_m, high_tooth: high + 1 });
                }
                FaultColumn::RunOut(_) => {}
            }
        }
        Explanation {
            faults,
            explained: if whole > 0.0 { 1.0 - rest / whole } else { 0.0 },
            chi_square,
            modelled_s: modelled_s.to_vec(),
        }
    }

    /// Lengths of all teeth about their mean; the last is what the others leave.
    fn lengths(&self) -> Vec<Estimate> {
        let teeth = self.responses.teeth;
        let columns: Vec<FaultColumn> = (0..teeth as u32).map(FaultColumn::Short).collect();
        let heard = self.heard(&columns).unwrap_or_default();
        let Some((last, others)) = heard.split_last() else { return Vec::new() };
        let matrix = DMatrix::from_fn(self.pattern.len(), others.len(), |beat, tooth| {
            (others[tooth][beat] - last[beat]) / self.sigma_s(beat)
        });
        let right = DVector::from_fn(self.pattern.len(), |beat, _| self.pattern[beat].value / self.sigma_s(beat));
        let normal = matrix.tr_mul(&matrix);
        let eigen = normal.clone().symmetric_eigenvalues();
        if !(eigen.min() > 1e-6 * eigen.max()) {
            return Vec::new();
        }
        let Some(inverse) = normal.try_inverse() else { return Vec::new() };
        let short = &inverse * matrix.tr_mul(&right);
        let mut lengths: Vec<Estimate> = short
            .iter()
            .enumerate()
            .map(|(tooth, short)| Estimate { value: -short, sigma: inverse[(tooth, tooth)].max(0.0).sqrt() })
            .collect();
        lengths.push(Estimate { value: short.sum(), sigma: inverse.sum().max(0.0).sqrt() });
        lengths
    }
}
