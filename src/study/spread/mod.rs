//! Many copies of one design, each printed a little differently and with other frictions: how many keep going, how their weights, rates and swings scatter, and which input makes
//! them scatter.

pub mod copy;
pub mod foreseen;
pub mod frictions;
pub mod inputs;
pub mod motor;
pub mod plan;
pub mod reserves;
pub mod statistics;

use crate::answers::dial::dial_solved;
use crate::answers::friction_reserve::{FrictionReserve, KnownReserve, friction_reserve_near};
use crate::answers::no_answer::NoAnswer;
use crate::answers::prediction::{PredictError, Prediction, predict_from};
use crate::answers::solve::{Solver, Wanted};
use crate::answers::warm_start::WarmStart;
use crate::clock::build::{BuildError, Built, build};
use crate::clock::design::EscapementDesign;
use crate::clock::drive_level::DriveLevel;
use crate::clock::environment::InRoom;
use crate::clock::printing::printer::Printer;

use super::jobs::{Watch, each};
use copy::{PrintedCopy, printed_copy};
use foreseen::Foreseen;
use inputs::{Input, inputs, inputs_of};

/// Most copies of one study.
pub const MOST_COPIES: u32 = 1_000_000;

/// Why a design has no spread.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum NoSpread {
    /// No quantity with a spread.
    #[error("nothing varies: no quantity of [printer] and no friction has a spread")]
    NothingVaries,
    /// An ideal escapement, and no friction with a spread.
    #[error("the escapement has no outlines to print, and no friction has a spread")]
    NoOutlines,
    /// The clock cannot be built, as printed nor as drawn.
    #[error(transparent)]
    Build(#[from] BuildError),
}

/// A design made ready for many copies: what is the same for all of them is built once.
#[derive(Debug, Clone)]
pub struct Run<'d> {
    /// The design.
    pub design: &'d InRoom,
    /// What varies.
    pub inputs: Vec<Input>,
    /// Seed of the draws.
    pub seed: u32,
    mean: Built,
    /// What the mean clock teaches for its copies.
    foreseen: Option<Foreseen>,
}

impl<'d> Run<'d> {
    /// A run of copies of `design`.
    ///
    /// # Errors
    /// [`NoSpread`].
    pub fn of(design: &'d InRoom, seed: u32) -> Result<Self, NoSpread> {
        let all_inputs = inputs_of(design);
        if all_inputs.is_empty() {
            let ideal = matches!(design.escapement, EscapementDesign::IdealTorque(_) | EscapementDesign::IdealKick(_));
            return Err(if ideal { NoSpread::NoOutlines } else { NoSpread::NothingVaries });
        }
        let mean = if inputs(&design.printer).is_empty() {
            build(design)?
        } else {
            // Copies may go although the mean print does not: only pendulum, train and drive are taken from it.
            build(design).or_else(|error| {
                let drawn = InRoom { printer: Printer::default(), ..design.clone() };
                build(&drawn).map_err(|_| NoSpread::Build(error))
            })?
        };
        let mean = dial_solved(mean);
        let foreseen = WarmStart::of(&mean).map(|warm| Foreseen::of(design, &mean, &all_inputs, warm));
        Ok(Self { design, inputs: all_inputs, seed, mean, foreseen })
    }

    /// The clock as the mean printer makes it; as drawn where that makes none.
    #[must_use]
    pub fn mean(&self) -> &Built {
        &self.mean
    }

    /// Copy no. `number`, from 1.
    #[must_use]
    pub fn copy(&self, number: u32) -> PrintedCopy {
        printed_copy(self.design, (&self.mean, self.foreseen.as_ref()), &self.inputs, number, self.seed)
    }

    /// Copy no. `number` built, with its drawn values.
    ///
    /// # Errors
    /// [`BuildError`] where its print leaves no clock.
    pub fn built(&self, number: u32) -> Result<Built, BuildError> {
        let drawn = plan::drawn_values(&self.inputs, number, self.seed);
        copy::built_copy(self.design, &self.mean, &self.inputs, &drawn)
    }

    /// The friction reserve of copy no. `number`, by which its own frictions may grow, looked for near the mean clock's where that is known.
    ///
    /// # Errors
    /// [`NoAnswer`], also where its print leaves no clock.
    pub fn friction_reserve(&self, number: u32, known: Option<&KnownReserve>) -> Result<FrictionReserve, NoAnswer> {
        let drawn = plan::drawn_values(&self.inputs, number, self.seed);
        let built = copy::built_copy(self.design, &self.mean, &self.inputs, &drawn)?;
        let own = copy::with_drawn_frictions(self.design, &self.inputs, &drawn);
        friction_reserve_near(own.as_ref().unwrap_or(self.design), &built, known)
    }

    /// The prediction of copy no. `number`, as it was `built`, with the same figures as those of [`Run::copy`].
    ///
    /// # Errors
    /// [`PredictError`].
    pub fn predicted(&self, number: u32, built: Built) -> Result<Prediction, PredictError> {
        predict_from(self.warm_start(number, &built).as_ref(), built)
    }

    fn warm_start(&self, number: u32, built: &Built) -> Option<WarmStart> {
        let drawn = plan::drawn_values(&self.inputs, number, self.seed);
        self.foreseen.as_ref().map(|foreseen| foreseen.warm_start(built, &self.inputs, &drawn))
    }

    /// The prediction of copy no. `number`, as it was `built`, as far as it is wanted, without remarks.
    ///
    /// # Errors
    /// [`PredictError`].
    pub fn solved(&self, number: u32, built: Built, wanted: Wanted) -> Result<Prediction, PredictError> {
        let warm = self.warm_start(number, &built);
        let solution = Solver::new(&built).wanted(wanted).warm(warm.as_ref()).solve()?;
        Prediction::of(built, solution)
    }

    /// The bare least drive of copy no. `number`, as it was `built`, the same as [`Run::copy`] has.
    ///
    /// # Errors
    /// [`NoAnswer`].
    pub fn least_drive(&self, number: u32, built: &Built) -> Result<DriveLevel, NoAnswer> {
        let warm = self.warm_start(number, built);
        Solver::new(built).wanted(Wanted::LEAST).warm(warm.as_ref()).bare_least()
    }

    /// Copies no. 1 to `count` in their order; those not begun when `watch` stops are missing. The same on any number of threads.
    #[must_use]
    pub fn copies(&self, count: u32, watch: &dyn Watch) -> Vec<PrintedCopy> {
        let numbers: Vec<u32> = (1..=count).collect();
        each(&numbers, "copies", watch, |&number| self.copy(number)).into_iter().flatten().collect()
    }
}
