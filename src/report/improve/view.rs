//! What a report on an improvement needs.

use crate::study::improve::Improvement;
use crate::study::improve::figures::ClockFigures;
use crate::study::improve::flatness::Flatness;
use crate::study::improve::question::{Hold, Question};
use crate::study::improve::vary::VariedRange;

/// Distance from a limit, as a share of its level or of a quantity's range, within which it is called binding.
const BINDS_WITHIN: f64 = 0.01;

/// A design as `predict` judges its file.
#[derive(Debug, Clone, PartialEq)]
pub struct JudgedDesign {
    /// The numbers asked.
    pub figures: ClockFigures,
    /// Further numbers, by the keys that are always shown.
    pub shown: Vec<Option<f64>>,
}

/// A design on the front of two aims.
#[derive(Debug, Clone, PartialEq)]
pub struct FrontDesign {
    /// Number of the value of each quantity.
    pub point: Vec<u32>,
    /// The design.
    pub judged: JudgedDesign,
    /// Name of its file.
    pub file: String,
}

/// What a report on an improvement is made of.
#[derive(Clone, Copy)]
pub struct ImproveView<'t> {
    /// The clock's name.
    pub name: &'t str,
    /// What was asked.
    pub question: &'t Question<'t>,
    /// What the search has found.
    pub found: &'t Improvement,
    /// The clock as it is; `None` where there is none.
    pub before: Option<&'t JudgedDesign>,
    /// The better design.
    pub after: &'t JudgedDesign,
    /// Number of the value of each quantity in it.
    pub point: &'t [u32],
    /// How flat the optimum is; `None` where nobody looked.
    pub flatness: Option<&'t [Flatness]>,
    /// The front of two aims.
    pub front: &'t [FrontDesign],
}

impl ImproveView<'_> {
    /// Whether a limit is binding in the better design.
    #[must_use]
    pub fn hold_binds(&self, hold: &Hold) -> bool {
        let number = self.after.figures.numbers[hold.number];
        let before = self.before.and_then(|before| before.figures.numbers[hold.number]);
        let measure = if hold.level == 0.0 { before.unwrap_or(0.0) } else { hold.level };
        number.is_some_and(|number| hold.excess(number).abs() <= BINDS_WITHIN * measure.abs())
    }

    /// The bound at which a quantity stands in the better design, "lower" or "upper"; `None` between them, and of a choice.
    #[must_use]
    pub fn bound_that_binds(&self, quantity: usize) -> Option<&'static str> {
        let varied = &self.question.varied[quantity];
        if matches!(varied.range, VariedRange::Choices(_)) {
            return None;
        }
        let share = f64::from(self.point[quantity]) / f64::from(varied.last().max(1));
        match share {
            low if low <= BINDS_WITHIN => Some("lower"),
            high if high >= 1.0 - BINDS_WITHIN => Some("upper"),
            _ => None,
        }
    }

    /// How far a quantity may move by itself.
    #[must_use]
    pub fn flatness_of(&self, quantity: usize) -> Option<&Flatness> {
        self.flatness?.iter().find(|flatness| flatness.quantity == quantity)
    }
}
