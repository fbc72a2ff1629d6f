//! What a report on printed copies needs.

use crate::answers::prediction::PredictError;
use crate::clock::environment::InRoom;
use crate::report::words::no_answer::unbuilt_in_short;
use crate::report::words::reasons::reason_with_meshes;
use crate::study::spread::copy::PrintedCopy;
use crate::study::spread::inputs::Input;
use crate::study::spread::statistics::Statistics;

/// Printed copies with what their report needs.
#[derive(Debug, Clone, Copy)]
pub struct SpreadView<'s> {
    /// The clock's name.
    pub name: &'s str,
    /// Whether its drive is a weight; else a torque.
    pub by_weight: bool,
    /// What varies.
    pub inputs: &'s [Input],
    /// The copies.
    pub copies: &'s [PrintedCopy],
    /// What they come to.
    pub found: &'s Statistics,
}

impl<'s> SpreadView<'s> {
    /// Copies of a design.
    #[must_use]
    pub fn of(design: &'s InRoom, inputs: &'s [Input], copies: &'s [PrintedCopy], found: &'s Statistics) -> Self {
        Self { name: &design.name, by_weight: design.has_weight(), inputs, copies, found }
    }
}

/// Why a copy does not keep going, in a few words; `None` where it does.
#[must_use]
pub fn failing_reason(copy: &PrintedCopy) -> Option<String> {
    match &copy.outcome {
        Ok(result) => result.stops.map(|reason| reason_with_meshes(reason, &result.jammed)),
        Err(PredictError::Build(error)) => Some(unbuilt_in_short(error)),
        Err(error @ PredictError::Measure { .. }) => Some(error.to_string()),
    }
}
