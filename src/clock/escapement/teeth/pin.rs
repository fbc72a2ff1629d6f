//! The pin tooth: a round pin that stands out of the wheel's plane.

use crate::clock::design::PinTooth;
use crate::clock::escapement::FamilyError;
use crate::clock::escapement::layout::{Layout, positive};
use crate::geometry::{Outline, Point};

use super::{Tip, Tooth};

/// Pin no. 0 in the wheel's frame, its centre at (0, R).
///
/// # Errors
/// [`FamilyError`] for a diameter out of range, and pins that touch each other.
pub(super) fn pin(layout: &Layout, form: &PinTooth) -> Result<Tooth, FamilyError> {
    let diameter_m = positive("pin diameter", form.diameter_m)?;
    let apart_m = 2.0 * layout.radius_m * (0.5 * layout.pitch_rad).sin();
    if diameter_m >= apart_m {
        return Err(FamilyError::PinsTouch { diameter_m, apart_m });
    }
    let centre = Point::new(0.0, layout.radius_m);
    let round_m = 0.5 * diameter_m;
    Ok(Tooth {
        outline: Outline::circle(centre, round_m)?,
        tip: Tip { front: centre, heel: centre, round_m },
        shank: None,
    })
}
