//! What changes of a clock as its weight comes down: the cord that hangs pulls too, and on a support the weight swings on a longer cord.

use crate::clock::build::build;
use crate::clock::design::{Design, DriveDesign};
use crate::clock::environment::InRoom;
use crate::clock::environment::weather::SeasonPlan;

use super::state::NoSeason;

/// The fall of a weight that changes something.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct WeightFall {
    /// Time from one winding to the next, s.
    run_s: f64,
    /// Mass of all parts of the cord that hang when the weight is down, kg.
    cord_kg: f64,
    /// By how much the weight hangs lower when the cord has run off, m.
    sinks_m: f64,
}

impl WeightFall {
    /// The fall of a clock's weight; `None` where it changes nothing: without a weight or without a time base, and where neither the cord has
    /// mass nor the clock a support.
    ///
    /// # Errors
    /// [`NoSeason::Build`].
    pub fn of(made: &Design, plan: &SeasonPlan) -> Result<Option<Self>, NoSeason> {
        let cord_kg = plan.hanging_cord_kg(made);
        let Some(drive) = made.weight_drive().filter(|_| cord_kg > 0.0 || made.support.is_some()) else {
            return Ok(None);
        };
        let built = build(&InRoom::at_home(made)).map_err(NoSeason::Build)?;
        Ok(built.run_time(None).map(|run| Self {
            run_s: run.run_time_s,
            cord_kg,
            sinks_m: run.share_of_drop() * drive.drop_m,
        }))
    }

    /// Share of its way that the weight has come down at a time, wound at time 0 and whenever it is down.
    #[must_use]
    pub fn fallen(&self, time_s: f64) -> f64 {
        (time_s / self.run_s).fract()
    }

    /// The clock with its weight so far down.
    pub(super) fn lower(&self, in_room: &mut InRoom, fallen: f64) {
        if let Some(DriveDesign::Weight(weight)) = &mut in_room.drive {
            // Every part of the cord pulls at its upper end by its own weight more; the drum feels one part, the weight all.
            weight.weight_kg += self.cord_kg * fallen;
        }
        if let Some(support) = &mut in_room.support {
            support.weight.hangs_m += self.sinks_m * fallen;
        }
    }
}
