//! Reads what only the builder of a train asks for: thickness, bore and level of its wheels.

use crate::clock::design::ArborSizes;
use crate::scenario::toml::numbers::Allowed;
use crate::scenario::toml::section::Section;
use crate::units::Kind;

/// Planes that a movement may have; more is a slip.
const MOST_LEVELS: u32 = 100;

const SIZE: Allowed = Allowed::Between(1e-5, 1.0, "from 0.01 mm to 1 m");

/// The sizes of an arbor; the last one's wheel has its thickness elsewhere and is refused here by the train.
pub(in crate::scenario) fn read_arbor_sizes(arbor: &mut Section<'_, '_>, is_last: bool) -> Option<ArborSizes> {
    let wheel_thickness = if is_last { Some(None) } else { arbor.optional_quantity("thickness", Kind::Length, SIZE) };
    let bore = arbor.optional_quantity("bore", Kind::Length, SIZE);
    let level = arbor.optional_count("level", 1, MOST_LEVELS);
    let next_is_stated = arbor.has("next");
    Some(ArborSizes { wheel_thickness_m: wheel_thickness?, bore_m: bore?, level: level?, next_is_stated })
}
