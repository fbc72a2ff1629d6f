//! Reads a bearing: `pivot = { kind = "ball", diameter = "4 mm", friction = 0.003 }`.

use crate::clock::design::{Friction, Pivot, PivotKind};
use crate::scenario::toml::numbers::Allowed;
use crate::scenario::toml::section::Section;
use crate::units::Kind;

use super::friction::read_friction;

const DIAMETER: Allowed = Allowed::Between(1e-5, 1.0, "from 0.01 mm to 1 m");

/// The `pivot` of a section, which has to be there.
pub(in crate::scenario) fn read_pivot(section: &mut Section<'_, '_>) -> Option<Pivot> {
    let help = "add pivot = { kind = \"ball\", diameter = \"4 mm\", friction = 0.003 }";
    let mut pivot = section.required_section("pivot", help)?;
    let kind = pivot.choice("kind", &[("ball", PivotKind::Ball), ("plain", PivotKind::Plain)], None);
    let diameter = pivot.quantity("diameter", Kind::Length, DIAMETER);
    let friction = read_friction(&mut pivot, "friction");
    pivot.finish();
    Some(Pivot { kind: kind?, diameter_m: diameter?, friction: friction?, drag_n_m: Friction::of(0.0), breakaway: 1.0 })
}
