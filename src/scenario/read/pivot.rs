//! Reads a bearing: `pivot = { kind = "ball", diameter = "4 mm", friction = "ball bearing, oiled" }`.

use crate::clock::design::{Friction, Pivot, PivotKind};
use crate::clock::materials::bearing_named;
use crate::scenario::toml::numbers::Allowed;
use crate::scenario::toml::problem_code::ProblemCode;
use crate::scenario::toml::section::Section;
use crate::units::Kind;

use super::friction::{name_under, read_friction_quantity, read_rolling_friction};

const DIAMETER: Allowed = Allowed::Between(1e-5, 1.0, "from 0.01 mm to 1 m");
const DRAG: Allowed = Allowed::Between(0.0, 10.0, "from 0 N m to 10 N m");
const BREAKAWAY: Allowed = Allowed::Between(1.0, 100.0, "from 1 to 100");

/// Bearings of an arbor between two plates.
pub(in crate::scenario) const ON_AN_ARBOR: u32 = 2;
/// Bearings of a pulley.
pub(in crate::scenario) const IN_A_PULLEY: u32 = 1;
/// Most bearings that the friction of one thing turns on.
const MOST_BEARINGS: u32 = 8;

/// The `pivot` of a section, which has to be there, of so many bearings where nothing is said.
pub(in crate::scenario) fn read_pivot(section: &mut Section<'_, '_>, bearings: u32) -> Option<Pivot> {
    let help = "add pivot = { kind = \"ball\", diameter = \"4 mm\", friction = \"ball bearing, oiled\" }";
    let mut pivot = section.required_section("pivot", help)?;
    let kind = pivot.choice("kind", &[("ball", PivotKind::Ball), ("plain", PivotKind::Plain)], None);
    let diameter = pivot.quantity("diameter", Kind::Length, DIAMETER);
    let named = name_under(&pivot, "friction").as_deref().and_then(bearing_named);
    if let (Some(bearing), Some(PivotKind::Plain)) = (named, kind) {
        let message = format!("a plain hole is no \"{}\"", bearing.name);
        let help = "write kind = \"ball\", or the pair of materials, like \"steel in brass, oiled\"".to_owned();
        pivot.report_at("friction", ProblemCode::Conflict, message, help);
    }
    let friction = read_bearing_friction(&mut pivot, diameter, bearings);
    pivot.finish();
    let BearingFriction { friction, drag_n_m, breakaway } = friction?;
    Some(Pivot { kind: kind?, diameter_m: diameter?, friction, drag_n_m, breakaway })
}

/// Friction, drag and breakaway of a bearing.
#[derive(Debug, Clone, Copy)]
pub(in crate::scenario) struct BearingFriction {
    pub(in crate::scenario) friction: Friction,
    pub(in crate::scenario) drag_n_m: Friction,
    pub(in crate::scenario) breakaway: f64,
}

/// `friction`, `drag`, `breakaway` and `bearings` of a section: drag and breakaway that are not written are those of the bearing that
/// `friction` names, else none.
pub(in crate::scenario) fn read_bearing_friction(
    section: &mut Section<'_, '_>,
    bore_m: Option<f64>,
    bearings: u32,
) -> Option<BearingFriction> {
    let named = name_under(section, "friction").as_deref().and_then(bearing_named);
    let friction = read_rolling_friction(section, "friction");
    let count = section.optional_count("bearings", 1, MOST_BEARINGS);
    let drag = match (named, section.has("drag")) {
        (Some(bearing), false) => {
            section.entry("drag");
            bore_m.zip(count).map(|(bore_m, count)| bearing.drag_n_m(bore_m, count.unwrap_or(bearings)))
        }
        _ => read_friction_quantity(section, "drag", Kind::Torque, DRAG),
    };
    let breakaway = section.number_or("breakaway", BREAKAWAY, named.map_or(1.0, |bearing| bearing.breakaway.value));
    if section.has("bearings") && named.is_none() {
        let message = format!("`{}` has no meaning here", section.path_of("bearings"));
        let help = "delete it: it counts bearings whose name gives the drag of one".to_owned();
        section.report_key("bearings", ProblemCode::Conflict, message, help);
    }
    count?;
    Some(BearingFriction { friction: friction?, drag_n_m: drag?, breakaway: breakaway? })
}
