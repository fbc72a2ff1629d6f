//! Reads `[scale]`: the factors of the clock's groups of parts.

use crate::clock::design::Design;
use crate::clock::transform::scale::{Factors, LARGEST_FACTOR, SMALLEST_FACTOR, ScaleError, scaled};
use crate::scenario::toml::numbers::Allowed;
use crate::scenario::toml::problem_code::ProblemCode;
use crate::scenario::toml::reader::Reader;
use crate::scenario::toml::section::Section;
use crate::scenario::toml::source::Span;

const FACTOR: Allowed = Allowed::Between(SMALLEST_FACTOR, LARGEST_FACTOR, "from 0.02 to 50");

/// The factors; [`Factors::NONE`] where the table is absent.
///
/// `all` stands for the groups of the movement that are not named. The pendulum stays unless it is named, so that the clock keeps its
/// beat, and with it the driving weight, which makes up its losses; what shop, printer and room give stays likewise.
pub(in crate::scenario) fn read_scale(root: &mut Section<'_, '_>) -> Option<Factors> {
    if !root.has("scale") {
        root.entry("scale");
        return Some(Factors::NONE);
    }
    let mut scale = root.section("scale")?;
    let all = scale.number_or("all", FACTOR, 1.0);
    let unnamed = all.unwrap_or(1.0);
    let [wheels, escapement, drum] =
        ["wheels", "escapement", "drum"].map(|group| scale.number_or(group, FACTOR, unnamed));
    let pendulum = scale.number_or("pendulum", FACTOR, 1.0);
    let weight = scale.number_or("weight", FACTOR, pendulum.unwrap_or(1.0));
    let [drop, bearings, cord, clearances, bead] =
        ["drop", "bearings", "cord", "clearances", "bead"].map(|key| scale.number_or(key, FACTOR, 1.0));
    scale.finish();
    all?;
    Some(Factors {
        wheels: wheels?,
        escapement: escapement?,
        pendulum: pendulum?,
        drum: drum?,
        weight: weight?,
        drop: drop?,
        bearings: bearings?,
        cord: cord?,
        clearances: clearances?,
        bead: bead?,
    })
}

/// The design in its new size; `None` after a problem, told at the table.
pub(in crate::scenario) fn in_size(reader: &Reader, table: Span, design: Design, factors: &Factors) -> Option<Design> {
    if *factors == Factors::NONE {
        return Some(design);
    }
    match scaled(&design, factors) {
        Ok(design) => Some(design),
        Err(error) => {
            let ScaleError::Wheel(_) = error;
            let help = "use a size closer to the drawn one, or scale the bores too: bearings = 0.5";
            reader.report(ProblemCode::ImpossibleScale, error.to_string(), help.to_owned(), table);
            None
        }
    }
}
