//! Derivatives by differences whose step is checked.

use super::answers::LeverAnswers;

/// All answers at a share of the step up and down.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ShareValues {
    /// Share of the step.
    pub share: f64,
    /// So much above.
    pub above: LeverAnswers,
    /// So much below.
    pub below: LeverAnswers,
}

/// A derivative by steps, with its error.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Slope {
    /// From both sides.
    Central {
        /// Change per step.
        per_step: f64,
        /// Error.
        error: f64,
    },
    /// From one side alone, the other having no answer.
    OneSided {
        /// Change per step up.
        per_step: f64,
        /// Error.
        error: f64,
        /// Whether from above.
        above: bool,
    },
    /// The curve has a corner here: the slopes of both sides.
    Corner {
        /// Change per step up, from below.
        below: f64,
        /// Change per step up, from above.
        above: f64,
    },
    /// Smaller steps give other slopes.
    Unsettled {
        /// Change per step at the smallest one.
        per_step: f64,
        /// What the smallest two differ by.
        error: f64,
    },
}

impl Slope {
    /// The slope where it has settled.
    #[must_use]
    pub const fn settled(&self) -> Option<f64> {
        match self {
            Self::Central { per_step, .. } | Self::OneSided { per_step, .. } => Some(*per_step),
            Self::Corner { .. } | Self::Unsettled { .. } => None,
        }
    }

    /// Its error; `None` at a corner.
    #[must_use]
    pub const fn error(&self) -> Option<f64> {
        match self {
            Self::Central { error, .. } | Self::OneSided { error, .. } | Self::Unsettled { error, .. } => Some(*error),
            Self::Corner { .. } => None,
        }
    }
}

/// Error, as a share of the slope, within which it counts as settled.
const SETTLED: f64 = 0.05;

/// Share of the difference of both sides' slopes that is left at half the step where there is a corner; 1/2 where the curve is
/// smooth.
const LEFT_AT_CORNER: f64 = 0.8;

/// The slope of answer no. `index` through its value `today`, from its values at falling shares of a step, each half the one before;
/// `None` without two of them on one side.
///
/// `noise` is the accuracy of a value, `negligible` a change per step below which the error does not matter. Two neighbouring
/// shares give the slope by Richardson's extrapolation, and its error is what that changes, and the noise over the smaller
/// share. Where both sides' slopes stay apart as the share falls there is a corner, which a central difference would hide.
#[must_use]
pub fn slope(values: &[ShareValues], index: usize, today: &LeverAnswers, noise: f64, negligible: f64) -> Option<Slope> {
    let here = today[index]?;
    let mut best: Option<Slope> = None;
    for pair in values.windows(2) {
        let (large, small) = (&pair[0], &pair[1]);
        let noise = noise / small.share;
        let found = match (sides(large, index, here), sides(small, index, here)) {
            ((Some(above), Some(below)), (Some(above_small), Some(below_small))) => {
                let (wide, narrow) = (0.5 * (above + below), 0.5 * (above_small + below_small));
                let (bend, bend_small) = ((above - below).abs(), (above_small - below_small).abs());
                let counts = SETTLED * narrow.abs() + negligible + 2.0 * noise;
                if bend_small > LEFT_AT_CORNER * bend && bend_small > counts {
                    Slope::Corner { below: below_small, above: above_small }
                } else {
                    let per_step = (4.0 * narrow - wide) / 3.0;
                    Slope::Central { per_step, error: (per_step - narrow).abs() + noise }
                }
            }
            ((Some(above), _), (Some(above_small), None)) => one_sided(above, above_small, noise, true),
            ((_, Some(below)), (None, Some(below_small))) => one_sided(below, below_small, noise, false),
            _ => continue,
        };
        let settles = match found {
            Slope::Central { per_step, error } | Slope::OneSided { per_step, error, .. } => {
                error <= SETTLED * per_step.abs() || error <= negligible.max(2.0 * noise)
            }
            _ => false,
        };
        if settles {
            return Some(found);
        }
        best = Some(match found {
            Slope::Central { per_step, error } | Slope::OneSided { per_step, error, .. } => {
                Slope::Unsettled { per_step, error }
            }
            other => other,
        });
    }
    best
}

/// Slopes of the chords above and below.
fn sides(values: &ShareValues, index: usize, here: f64) -> (Option<f64>, Option<f64>) {
    let above = values.above[index].map(|there| (there - here) / values.share);
    let below = values.below[index].map(|there| (here - there) / values.share);
    (above, below)
}

fn one_sided(large: f64, small: f64, noise: f64, above: bool) -> Slope {
    let per_step = 2.0 * small - large;
    Slope::OneSided { per_step, error: (per_step - small).abs() + noise, above }
}
