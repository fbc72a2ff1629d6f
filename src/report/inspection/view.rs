//! What a report on a clock at rest needs.

use crate::clock::build::Built;
use crate::clock::design::Train;
use crate::clock::environment::InRoom;
use crate::clock::escapement::EscapeWheel;
use crate::clock::escapement::action_over_turn::PalletTurn;
use crate::clock::escapement::clearances::Margins;
use crate::clock::side::PerPallet;
use crate::clock::train::counts::TrainReport;
use crate::clock::train::losses::RunTime;

/// A clock at rest.
#[derive(Debug, Clone, Copy)]
pub struct InspectionView<'i> {
    /// The clock in its room.
    pub design: &'i InRoom,
    /// The clock that it makes.
    pub built: &'i Built,
    /// The whole escape wheel as drawn, where the design gives it a body.
    pub wheel: Option<&'i EscapeWheel>,
    /// Margins of the action.
    pub margins: Option<&'i Margins>,
    /// The action of entry and exit pallet over a turn of a wheel whose teeth differ.
    pub over_turn: Option<PerPallet<PalletTurn>>,
    /// Run from one winding to the next, by the train's own period.
    pub run_time: Option<RunTime>,
}

impl<'i> InspectionView<'i> {
    /// The train with its report.
    pub(super) fn train(&self) -> Option<(&'i Train, &'i TrainReport)> {
        self.design.train.as_ref().zip(self.built.train.as_ref())
    }
}
