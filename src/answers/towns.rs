//! The clock in other towns: its rate there, and where its rating nut has to go.

use crate::clock::design::{Design, Town};
use crate::clock::environment::InRoom;

use super::prediction::{PredictError, Prediction, predict_only};
use super::regulation::{NutToTime, nut_to_time};
use super::solve::Wanted;

/// A clock in a town.
#[derive(Debug)]
pub struct InTown {
    /// The town's name.
    pub name: String,
    /// The clock there as its maker sent it, without its least drive.
    pub prediction: Prediction,
    /// Where the nut brings it to time there, from where its maker has left it; `None` where there is no nut or the clock stops.
    pub nut: Option<NutToTime>,
}

/// The clock of `made`, its sizes as when it was made, in a town.
///
/// # Errors
/// [`PredictError`].
pub fn in_town(made: &Design, town: &Town) -> Result<InTown, PredictError> {
    let design = InRoom::at_home(&Design { place: town.place, ..made.clone() });
    let prediction = predict_only(&design, Wanted::NOTHING)?;
    let nut =
        prediction.steady.as_ref().and_then(|steady| nut_to_time(&design, &prediction.built, steady.point.right_rad));
    Ok(InTown { name: town.name.clone(), prediction, nut })
}
