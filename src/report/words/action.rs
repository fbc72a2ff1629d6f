//! What tooth and pallet do, in words: one name a thing, in pictures, tables and page.

use crate::answers::verdict::Reason;
use crate::study::portrait::{Ending, Escape, Moment, PhaseKind, View};

/// Name of what tooth and pallet do in a phase.
#[must_use]
pub const fn phase_name(kind: PhaseKind) -> &'static str {
    match kind {
        PhaseKind::Lock => "lock",
        PhaseKind::Recoil => "recoil",
        PhaseKind::Impulse => "impulse",
        PhaseKind::Drop => "drop",
        PhaseKind::Flight => "flight",
        PhaseKind::Push => "push",
        PhaseKind::Brake => "brake",
        PhaseKind::Free => "free",
    }
}

/// Caption of a position of wheel and pallets.
#[must_use]
pub fn moment_caption(moment: &Moment) -> String {
    let pallet = moment.pallet;
    match moment.view {
        View::Locked => format!("Right extreme, locked on {pallet}"),
        View::Held => format!("Right extreme, held on {pallet}"),
        View::AtRest => format!("Tooth on {pallet}, swung right"),
        View::Impulse => format!("Impulse on {pallet}"),
        View::Landed => format!("Just landed on {pallet}"),
    }
}

/// What ended a swing, in a word.
#[must_use]
pub const fn ending_word(ending: Ending) -> &'static str {
    match ending {
        Ending::DiesAway => "dies away",
        Ending::Stops(Reason::NeverUnlocks | Reason::LosesAmplitude | Reason::TrainSticks | Reason::LosesSteps) => {
            "stops"
        }
        Ending::Stops(Reason::NotSettled) => "not settled",
        Ending::Stops(Reason::Jams) => "jams",
        Ending::Stops(Reason::RunsAway) => "runs away",
    }
}

/// What happens at the escaping arc.
#[must_use]
pub const fn escape_name(escape: Escape) -> &'static str {
    match escape {
        Escape::Tooth => "a tooth escapes",
        Escape::EndOfImpulse => "end of the impulse",
        Escape::Kick => "place of the kick",
    }
}
