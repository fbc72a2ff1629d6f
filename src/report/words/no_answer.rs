//! Why there is no answer, in words.

use crate::answers::no_answer::NoAnswer;
use crate::answers::verdict::Reason;
use crate::clock::build::BuildError;
use crate::clock::escapement::action::ActionError;
use crate::clock::printing::printed_outline::PrinterError;
use crate::report::words::reasons::reason_in_words;

/// Why answers are missing.
#[must_use]
pub fn missing_in_words(missing: &NoAnswer) -> String {
    match missing {
        NoAnswer::Stops(reason) => format!("the clock stops: {}", reason_in_words(*reason)),
        NoAnswer::Wanders => "its swing does not settle on one amplitude".to_owned(),
        NoAnswer::Unmeasured { .. } => "the steady swing was found, but its period could not be measured".to_owned(),
        other => other.to_string(),
    }
}

/// The same in a few words, for a picture.
#[must_use]
pub fn missing_in_short(missing: &NoAnswer) -> String {
    match missing {
        NoAnswer::Build(error) => unbuilt_in_short(error),
        NoAnswer::NeverGoes => "no weight keeps it going".to_owned(),
        NoAnswer::Stops(Reason::NotSettled) => "not settled".to_owned(),
        NoAnswer::Stops(_) => "no weight turns the train".to_owned(),
        other => other.to_string(),
    }
}

/// Why there is no clock, in a few words.
#[must_use]
pub fn unbuilt_in_short(error: &BuildError) -> String {
    match error {
        BuildError::Bead { error, .. } => unbuilt_in_short(error),
        BuildError::Printer(PrinterError::BeadTooWide { part, .. } | PrinterError::GrownAway { part, .. }) => {
            format!("nothing is left of the {}", part.name())
        }
        BuildError::Printer(_) => "cannot be printed".to_owned(),
        BuildError::Action(ActionError::NeverReleases(pallet)) => format!("{pallet} pallet never lets go"),
        BuildError::Action(ActionError::NoLanding { pallet, .. }) => format!("no tooth lands on the {pallet} pallet"),
        BuildError::Curve { pallet, .. } => format!("{pallet} pallet out of the teeth"),
        BuildError::Standing(_) => "pallets in the wheel".to_owned(),
        _ => "cannot be built".to_owned(),
    }
}
