//! Contact escapements from outlines.

use crate::geometry::{ContactCurve, CurveError};

use super::escapement::EscapementOutlines;
use super::mechanism::ContactEscapement;

/// The contact curves of wheel and pallets.
///
/// # Errors
/// [`CurveError`] if a pallet never touches a tooth.
pub fn contact_escapement(
    outlines: &EscapementOutlines,
    friction: f64,
    restitution: f64,
    beat_error_rad: f64,
) -> Result<ContactEscapement, CurveError> {
    let curve = |pallet| ContactCurve::build(&outlines.tooth, pallet, outlines.centre_distance_m, beat_error_rad);
    Ok(ContactEscapement {
        teeth: outlines.teeth,
        friction,
        restitution,
        entry: curve(&outlines.entry)?,
        exit: curve(&outlines.exit)?,
    })
}
