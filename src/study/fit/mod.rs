//! From measurement to model: what a clock on the wall says of its friction, its drag and its teeth.
//!
//! Pure computation: tables are read by `scenario::measured`, words and pictures are `report::fit`.

pub mod course;
pub mod free_swing;
pub mod loss_shapes;
pub mod rate_log;
pub mod readings;
pub mod recovery;
pub mod ring_down;
pub mod ticks;
pub mod weights;

use crate::numerics::least_squares::{LeastSquares, NoLeastSquares};
use crate::units::Kind;

/// A value with its standard deviation, both in SI units or in those that its name says.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Estimate {
    /// Value.
    pub value: f64,
    /// Its standard deviation.
    pub sigma: f64,
}

impl Estimate {
    /// Parameter no. `number` of a fit.
    #[must_use]
    pub fn of(found: &LeastSquares, number: usize) -> Self {
        Self { value: found.values[number], sigma: found.sigma(number) }
    }

    /// So many times the value, its standard deviation likewise.
    #[must_use]
    pub fn times(self, factor: f64) -> Self {
        Self { value: self.value * factor, sigma: self.sigma * factor.abs() }
    }
}

/// A value of the scenario that a fit has settled.
#[derive(Debug, Clone, PartialEq)]
pub struct FittedValue {
    /// Its dotted path in the scenario.
    pub path: String,
    /// What it is measured in; `None` for a plain number.
    pub kind: Option<Kind>,
    /// Value and standard deviation, SI.
    pub estimate: Estimate,
}

/// Why measured values give no answer.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum NoFit {
    /// Fewer rows than it takes.
    #[error("{rows} rows are too few: it takes at least {needed} to settle {what}")]
    TooFewRows {
        /// Rows with all readings.
        rows: usize,
        /// Rows that it takes.
        needed: usize,
        /// What was to be settled.
        what: &'static str,
    },
    /// What is to change does not.
    #[error("{what} does not change from the first row to the last: there is nothing to fit")]
    Flat {
        /// What does not change.
        what: &'static str,
    },
    /// Two quantities do the same to the data.
    #[error("the data cannot tell {first} from {second}: both do the same to them. {remedy}")]
    RunTogether {
        /// One of them.
        first: &'static str,
        /// The other.
        second: &'static str,
        /// What would tell them apart.
        remedy: &'static str,
    },
    /// The data are not what they were given as.
    #[error("{0}")]
    NotSuch(String),
    /// The search for the best values failed.
    #[error("no values were found that fit: {0}")]
    Search(NoLeastSquares),
}
