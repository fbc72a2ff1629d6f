//! A mesh that jams, in words.

use crate::clock::train::depthing::{JamPlace, Remedies, Tightness};
use crate::clock::train::mesh_name::MeshName;

/// Which mesh jams, what it lacks, how often in a turn, and what would free it.
#[must_use]
pub fn jam_words(
    mesh: &MeshName,
    tightness: Tightness,
    module_m: Option<f64>,
    (place, remedies): (JamPlace, &Remedies),
) -> String {
    let length = |modules: f64| {
        module_m
            .map_or_else(|| format!("{modules:.3} modules"), |module_m| format!("{:.3} mm", 1e3 * module_m * modules))
    };
    // A remedy is rounded up: a little less would not do.
    let enough = |modules: f64| {
        module_m
            .map_or_else(|| length(modules), |module_m| format!("{:.3} mm", 1e-3 * (1e6 * module_m * modules).ceil()))
    };
    let (what, missing) = match tightness {
        Tightness::Flanks(modules) => ("play between the flanks", modules),
        Tightness::Roots(modules) => ("clearance between tips and roots", modules),
    };
    let place = match place {
        JamPlace::Everywhere => "wherever the gears stand".to_owned(),
        JamPlace::EveryTurnOfTheWheel => format!("once in every turn of the {} wheel", mesh.driver),
        JamPlace::EveryTurnOfThePinion => format!("once in every turn of the {} pinion", mesh.driven),
        JamPlace::BothAtTheirWorst => "only where the worst places of both gears meet".to_owned(),
    };
    let Remedies { backlash, bottom_clearance, growth, apart } = *remedies;
    let cures: Vec<String> = [
        backlash.filter(|&more| more > 0.0).map(|more| format!("{} more backlash", enough(more))),
        bottom_clearance.filter(|&more| more > 0.0).map(|more| format!("{} more room below the tips", enough(more))),
        growth.map(|less| format!("{} less growth of the edges", enough(less))),
        Some(format!("arbors {} further apart", enough(apart))),
    ]
    .into_iter()
    .flatten()
    .collect();
    let missing = length(missing);
    format!("{mesh} jams: its {what} is {missing} short, {place}; free with {}", cures.join(", or "))
}
