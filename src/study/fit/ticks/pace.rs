//! The even pace through numbered ticks: period, beat error, what returns with the turns of the arbors, and what is left.

use nalgebra::{DMatrix, DVector};

use crate::numerics::least_squares::robust_deviation;
use crate::study::fit::Estimate;

use super::numbering::NumberedTick;

/// Scatters (by the median of the deviations) beyond which a tick is left out, and the rounds in which this is asked.
const FAR_OFF: f64 = 5.0;
const ROUNDS: usize = 4;

/// Turns of an arbor that a record must hold for what returns with them to differ from a slow change of pace.
pub(super) const LEAST_TURNS: f64 = 1.5;

/// Batches into which the record is cut to see whether the deviations wander.
const BATCHES: [usize; 3] = [8, 16, 32];

/// An arbor whose turns may show in the beats.
#[derive(Debug, Clone, PartialEq)]
pub struct TurningArbor {
    /// Name.
    pub name: String,
    /// Beats in one of its turns.
    pub turn_beats: f64,
}

/// What returns with the turns of an arbor.
#[derive(Debug, Clone, PartialEq)]
pub struct ArborPattern {
    /// Name.
    pub name: String,
    /// Time of one turn, s.
    pub turn_s: f64,
    /// How far the ticks come early and late in its course, s; `None` where the record holds fewer than one and a half turns, or the
    /// arbor keeps step with another.
    pub amplitude_s: Option<Estimate>,
}

/// Deviation of one tick.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct TickDeviation {
    /// Beat, from 0.
    pub beat: u64,
    /// Time, s.
    pub time_s: f64,
    /// From an even pace of the mean period, s; late is positive.
    pub from_even_s: f64,
    /// What beat error, teeth and arbors leave of it, s.
    pub left_s: f64,
}

/// An even pace and what departs from it.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Pace {
    pub period_s: Estimate,
    pub beat_error_s: Estimate,
    /// Deviation of every beat of a turn, its own side's mean taken off, s; empty where sides alone were told apart.
    pub by_beat_s: Vec<Estimate>,
    pub arbors: Vec<ArborPattern>,
    pub scatter_s: f64,
    /// Whether the pace wanders by more than the scatter of single ticks explains.
    pub wanders: bool,
    pub deviations: Vec<TickDeviation>,
    pub left_out: Vec<f64>,
}

/// Least squares over ticks numbered `beat`: `time = place of the beat's class + beat * P/2 + sum over arbors (a cos + b sin)`.
///
/// symbol / meaning / unit: `classes` 2 (the sides), or the beats of a turn of the escape wheel, so that every beat of a turn has a place of
/// its own; `arbors` those above it. The classes' places are eliminated first (the rest is fitted to what departs from the classes'
/// means), which leaves an ordinary least squares of a few columns: R. Frisch and F. V. Waugh, Econometrica 1 (1933) 387, recalled. Ticks
/// further off than five scatters are left out. The period's variance is that of independent deviations, or, where those wander, that of
/// the sums over batches of the record, whichever is larger. `None` where fewer ticks are left than values asked for.
pub(super) fn pace(ticks: &[NumberedTick], classes: usize, arbors: &[TurningArbor]) -> Option<Pace> {
    let beats = ticks.last()?.beat as f64 + 1.0;
    let fitted: Vec<&TurningArbor> = arbors.iter().filter(|arbor| beats / arbor.turn_beats >= LEAST_TURNS).collect();
    let mut kept: Vec<NumberedTick> = ticks.to_vec();
    let mut left_out = Vec::new();
    let mut fit = Fit::of(&kept, classes, &fitted)?;
    for _ in 0..ROUNDS {
        let left: Vec<f64> = kept.iter().map(|tick| fit.left_s(tick)).collect();
        let limit_s = FAR_OFF * robust_deviation(&left);
        let before = kept.len();
        let (near, far): (Vec<_>, Vec<_>) = kept.iter().copied().partition(|tick| fit.left_s(tick).abs() <= limit_s);
        // Deviations of mere rounding have no outliers.
        if far.is_empty() || limit_s < 1e-12 {
            break;
        }
        left_out.extend(far.iter().map(|tick| tick.time_s));
        kept = near;
        fit = Fit::of(&kept, classes, &fitted)?;
        if kept.len() == before {
            break;
        }
    }
    left_out.sort_by(f64::total_cmp);
    Some(fit.pace(&kept, arbors, left_out))
}

/// Solved least squares.
struct Fit {
    classes: usize,
    /// Number of the middle beat, from which the slope counts.
    middle: f64,
    turns: Vec<(String, f64)>,
    /// Slope (s a beat), then cosine and sine of each arbor, s.
    values: DVector<f64>,
    /// Inverse of the normal matrix of the values.
    inverse: DMatrix<f64>,
    counts: Vec<usize>,
    /// Mean of the columns of each class.
    class_means: Vec<DVector<f64>>,
    places_s: Vec<f64>,
    /// Time of the middle, taken off before sums of squares lose digits.
    origin_s: f64,
    /// Beat guessed beforehand, for the same reason.
    guess_s: f64,
}

impl Fit {
    fn of(ticks: &[NumberedTick], classes: usize, arbors: &[&TurningArbor]) -> Option<Self> {
        let (first, last) = (ticks.first()?, ticks.last()?);
        let columns = 1 + 2 * arbors.len();
        let guess_s = (last.time_s - first.time_s) / (last.beat - first.beat).max(1) as f64;
        let middle = 0.5 * (first.beat + last.beat) as f64;
        let turns: Vec<(String, f64)> = arbors.iter().map(|arbor| (arbor.name.clone(), arbor.turn_beats)).collect();
        let mut fit = Self {
            classes,
            middle,
            turns,
            values: DVector::zeros(columns),
            inverse: DMatrix::zeros(columns, columns),
            counts: vec![0; classes],
            class_means: vec![DVector::zeros(columns); classes],
            places_s: vec![0.0; classes],
            origin_s: first.time_s + guess_s * (middle - first.beat as f64),
            guess_s,
        };
        for tick in ticks {
            let class = fit.class_of(tick);
            let (row, value_s) = (fit.row(tick), fit.value_s(tick));
            fit.counts[class] += 1;
            fit.class_means[class] += row;
            fit.places_s[class] += value_s;
        }
        for class in 0..classes {
            if fit.counts[class] == 0 {
                return None;
            }
            let share = 1.0 / fit.counts[class] as f64;
            fit.class_means[class] *= share;
            fit.places_s[class] *= share;
        }
        if ticks.len() < classes + columns + 2 {
            return None;
        }
        let mut normal = DMatrix::zeros(columns, columns);
        let mut right = DVector::zeros(columns);
        for tick in ticks {
            let class = fit.class_of(tick);
            let row = fit.row(tick) - &fit.class_means[class];
            let value_s = fit.value_s(tick) - fit.places_s[class];
            normal.ger(1.0, &row, &row, 1.0);
            right.axpy(value_s, &row, 1.0);
        }
        // Columns scaled to one; arbors that keep step with others make it singular.
        let scale = normal.diagonal().map(|value: f64| if value > 0.0 { value.sqrt().recip() } else { 0.0 });
        let scaling = DMatrix::from_diagonal(&scale);
        let scaled = &scaling * &normal * &scaling;
        let eigen = scaled.clone().symmetric_eigenvalues();
        if eigen.iter().any(|&value| !(value > 1e-6)) {
            // Without the slowest arbor that still allows of a choice.
            let (_, fewer) = arbors.split_first()?;
            return Self::of(ticks, classes, fewer);
        }
        fit.inverse = &scaling * scaled.try_inverse()? * &scaling;
        fit.values = &fit.inverse * right;
        for class in 0..classes {
            fit.places_s[class] -= fit.class_means[class].dot(&fit.values);
        }
        Some(fit)
    }

    fn class_of(&self, tick: &NumberedTick) -> usize {
        (tick.beat % self.classes as u64) as usize
    }

    fn row(&self, tick: &NumberedTick) -> DVector<f64> {
        let beat = tick.beat as f64;
        let turned = self.turns.iter().flat_map(|(_, turn_beats)| {
            let (sine, cosine) = (std::f64::consts::TAU * (beat / turn_beats).fract()).sin_cos();
            [cosine, sine]
        });
        DVector::from_iterator(self.values.len(), std::iter::once(beat - self.middle).chain(turned))
    }

    fn value_s(&self, tick: &NumberedTick) -> f64 {
        tick.time_s - self.origin_s - self.guess_s * (tick.beat as f64 - self.middle)
    }

    fn left_s(&self, tick: &NumberedTick) -> f64 {
        self.value_s(tick) - self.places_s[self.class_of(tick)] - self.row(tick).dot(&self.values)
    }

    /// Sum of weighted places, and its standard deviation, for a contrast `weights` over the classes.
    fn contrast(&self, weights: &[f64], sigma_s: f64) -> Estimate {
        let value = weights.iter().zip(&self.places_s).map(|(weight, place)| weight * place).sum();
        let own: f64 = weights.iter().zip(&self.counts).map(|(weight, &count)| weight * weight / count as f64).sum();
        let mut lever = DVector::zeros(self.values.len());
        for (weight, mean) in weights.iter().zip(&self.class_means) {
            lever.axpy(*weight, mean, 1.0);
        }
        let through = lever.dot(&(&self.inverse * &lever));
        Estimate { value, sigma: sigma_s * (own + through).max(0.0).sqrt() }
    }

    fn pace(&self, ticks: &[NumberedTick], arbors: &[TurningArbor], left_out: Vec<f64>) -> Pace {
        let classes = self.classes;
        let left: Vec<f64> = ticks.iter().map(|tick| self.left_s(tick)).collect();
        let freedom = ticks.len().saturating_sub(classes + self.values.len()).max(1) as f64;
        let scatter_s = (left.iter().map(|left_s| left_s * left_s).sum::<f64>() / freedom).sqrt();
        let (slope_sigma_s, wanders) = self.slope_sigma_s(ticks, &left, scatter_s);
        let beat_s = self.guess_s + self.values[0];
        let half = 2.0 / classes as f64;
        let side = |class: usize| if class.is_multiple_of(2) { -half } else { half };
        let beat_error_s = self.contrast(&(0..classes).map(side).collect::<Vec<_>>(), scatter_s);
        let by_beat_s: Vec<Estimate> = if classes > 2 {
            (0..classes)
                .map(|beat| {
                    let own = |class| if class == beat { 1.0 } else { 0.0 };
                    let same_side = |class: usize| if class % 2 == beat % 2 { half } else { 0.0 };
                    let weights: Vec<f64> = (0..classes).map(|class| own(class) - same_side(class)).collect();
                    self.contrast(&weights, scatter_s)
                })
                .collect()
        } else {
            Vec::new()
        };
        let arbors = arbors
            .iter()
            .map(|arbor| {
                let place = self.turns.iter().position(|(name, _)| *name == arbor.name);
                let amplitude_s = place.map(|place| {
                    let (cosine, sine) = (1 + 2 * place, 2 + 2 * place);
                    let (a, b) = (self.values[cosine], self.values[sine]);
                    let mean_variance = 0.5 * (self.inverse[(cosine, cosine)] + self.inverse[(sine, sine)]);
                    Estimate { value: a.hypot(b), sigma: scatter_s * mean_variance.max(0.0).sqrt() }
                });
                ArborPattern { name: arbor.name.clone(), turn_s: arbor.turn_beats * beat_s, amplitude_s }
            })
            .collect();
        let mean_place_s = self.places_s.iter().sum::<f64>() / classes as f64;
        let deviations = ticks
            .iter()
            .zip(&left)
            .map(|(tick, &left_s)| TickDeviation {
                beat: tick.beat,
                time_s: tick.time_s,
                from_even_s: self.value_s(tick) - mean_place_s - self.values[0] * (tick.beat as f64 - self.middle),
                left_s,
            })
            .collect();
        Pace {
            period_s: Estimate { value: 2.0 * beat_s, sigma: 2.0 * slope_sigma_s },
            beat_error_s,
            by_beat_s,
            arbors,
            scatter_s,
            wanders,
            deviations,
            left_out,
        }
    }

    /// Standard deviation of the slope, s a beat, and whether deviations that wander make it larger.
    fn slope_sigma_s(&self, ticks: &[NumberedTick], left: &[f64], scatter_s: f64) -> (f64, bool) {
        let independent_s = scatter_s * self.inverse[(0, 0)].max(0.0).sqrt();
        // The slope is a sum over the ticks of deviation times influence: where neighbours deviate alike, so do the sums over batches.
        let influence = |tick: &NumberedTick| {
            let row = self.row(tick) - &self.class_means[self.class_of(tick)];
            self.inverse.row(0).transpose().dot(&row)
        };
        let parts: Vec<f64> = ticks.iter().zip(left).map(|(tick, left_s)| influence(tick) * left_s).collect();
        let mut largest_s = independent_s;
        let mut wanders = false;
        for batches in BATCHES {
            let length = parts.len() / batches;
            if length < 8 {
                continue;
            }
            let variance: f64 = parts.chunks(length).map(|batch| batch.iter().sum::<f64>().powi(2)).sum();
            // Sums of independent deviations scatter about their own variance by the square root of 2 over their number.
            let limit = 1.0 + 3.5 * (2.0 / batches as f64).sqrt();
            if variance > limit * independent_s * independent_s {
                wanders = true;
                largest_s = largest_s.max(variance.sqrt());
            }
        }
        (largest_s, wanders)
    }
}
