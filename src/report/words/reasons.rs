//! Why a clock stops, and what ends its run: one wording each.

use crate::answers::verdict::Reason;
use crate::clock::train::losses::RunLimit;
use crate::clock::train::mesh_name::MeshName;

/// Why a clock stops, as a maker says it.
#[must_use]
pub const fn reason_in_words(reason: Reason) -> &'static str {
    match reason {
        Reason::NeverUnlocks => "it never unlocks a tooth",
        Reason::LosesAmplitude => "its swing dies away",
        Reason::Jams => "tooth and pallet, or a mesh of the train, jam",
        Reason::RunsAway => "teeth slip past the pallets",
        Reason::TrainSticks => "the train sticks: its friction at rest holds the wheel that is let go",
        Reason::LosesSteps => "the motor loses steps",
        Reason::NotSettled => "it has neither settled nor stopped within the work that one question may take",
    }
}

/// The same of a clock whose jammed meshes are known: they are named, and without any it is the pallets that jam.
#[must_use]
pub fn reason_with_meshes(reason: Reason, jammed: &[MeshName]) -> String {
    match (reason, jammed) {
        (Reason::Jams, []) => "tooth and pallet jam".to_owned(),
        (Reason::Jams, [mesh]) => format!("{mesh} jams"),
        (Reason::Jams, [first, others @ ..]) => {
            let others: String = others.iter().map(|mesh| format!(" and {mesh}")).collect();
            format!("{first}{others} jam")
        }
        _ => reason_in_words(reason).to_owned(),
    }
}

/// What becomes of a clock, in a few words.
#[must_use]
pub const fn headline(reason: Option<Reason>, meets_margin: Option<bool>) -> &'static str {
    match (reason, meets_margin) {
        (Some(Reason::NotSettled), _) => "not settled",
        (Some(_), _) => "stops",
        (None, Some(false)) => "keeps going, below the margin asked",
        (None, _) => "keeps going",
    }
}

/// The same, short enough for a column.
#[must_use]
pub const fn short_headline(reason: Option<Reason>, meets_margin: Option<bool>) -> &'static str {
    match (reason, meets_margin) {
        (None, Some(false)) => "goes, below margin",
        _ => headline(reason, meets_margin),
    }
}

/// Why a clock stops, as a key.
#[must_use]
pub const fn reason_key(reason: Reason) -> &'static str {
    match reason {
        Reason::NeverUnlocks => "never_unlocks",
        Reason::LosesAmplitude => "loses_amplitude",
        Reason::Jams => "jams",
        Reason::RunsAway => "runs_away",
        Reason::TrainSticks => "train_sticks",
        Reason::LosesSteps => "loses_steps",
        Reason::NotSettled => "not_settled",
    }
}

/// What ends a run, in words.
#[must_use]
pub const fn run_limit_in_words(limit: RunLimit) -> &'static str {
    match limit {
        RunLimit::Drop => "fall",
        RunLimit::DrumTurns => "drum turns",
    }
}

/// What ends a run, as a key.
#[must_use]
pub const fn run_limit_key(limit: RunLimit) -> &'static str {
    match limit {
        RunLimit::Drop => "drop",
        RunLimit::DrumTurns => "drum's turns",
    }
}
