//! Reads `[frame]` and `[made]`: what holds the arbors apart, and the room in which the sizes of the parts hold.

use crate::clock::design::{Conditions, FrameMaterial, Grain, Pillar, Plates};
use crate::scenario::toml::numbers::Allowed;
use crate::scenario::toml::problem_code::ProblemCode;
use crate::scenario::toml::section::Section;
use crate::units::Kind;

use super::materials::Materials;
use super::place::{DEFAULT_RELATIVE_HUMIDITY, DEFAULT_TEMPERATURE_C, HUMIDITY, TEMPERATURE};

/// A frame as read.
#[derive(Debug, Default)]
pub(in crate::scenario) struct FrameRead {
    /// What it is made of; `None` where the scenario has none.
    pub(in crate::scenario) material: Option<FrameMaterial>,
    /// Whether the holes of the arbors are printed; else they are drilled where designed.
    pub(in crate::scenario) arbors_printed: bool,
    /// Plates and pillars.
    pub(in crate::scenario) plates: Plates,
}

/// Pillars that a movement may have; more is a slip.
const MOST_PILLARS: usize = 100;

const PLATE_SIZE: Allowed = Allowed::Between(1e-4, 1.0, "from 0.1 mm to 1 m");
const PLATE_DISTANCE: Allowed = Allowed::Between(1e-3, 1.0, "from 1 mm to 1 m");
const PLACE: Allowed = Allowed::Between(-10.0, 10.0, "from -10 m to 10 m");

/// The frame.
pub(in crate::scenario) fn read_frame(root: &mut Section<'_, '_>, materials: &Materials) -> Option<FrameRead> {
    if !root.has("frame") {
        root.entry("frame");
        return Some(FrameRead::default());
    }
    let mut frame = root.section("frame")?;
    let material = materials.named(&mut frame, "material");
    let grains = [("along", Grain::Along), ("radial", Grain::Radial), ("tangential", Grain::Tangential)];
    let grain = frame.choice("grain", &grains, Some(Grain::Along));
    let arbors_printed = frame.choice("arbors", &[("drilled", false), ("printed", true)], Some(false));
    let plate_thickness = frame.optional_quantity("plate_thickness", Kind::Length, PLATE_SIZE);
    let plate_distance = frame.optional_quantity("plate_distance", Kind::Length, PLATE_DISTANCE);
    let pillars = read_pillars(&mut frame);
    frame.finish();
    let plates = Plates { thickness_m: plate_thickness?, distance_m: plate_distance?, pillars: pillars? };
    let material = FrameMaterial { material: material?, grain: grain? };
    Some(FrameRead { material: Some(material), arbors_printed: arbors_printed?, plates })
}

/// The pillars, `[[frame.pillar]]`.
fn read_pillars(frame: &mut Section<'_, '_>) -> Option<Vec<Pillar>> {
    let sections = frame.list("pillar");
    let count = sections.len();
    if count > MOST_PILLARS {
        let help = format!("give up to {MOST_PILLARS}");
        frame.report_at("pillar", ProblemCode::ImpossibleValue, format!("the frame has {count} pillars"), help);
        return None;
    }
    let pillars: Vec<Pillar> = sections.into_iter().filter_map(read_pillar).collect();
    (pillars.len() == count).then_some(pillars)
}

fn read_pillar(mut pillar: Section<'_, '_>) -> Option<Pillar> {
    let name = pillar.optional_text("name");
    let right = pillar.quantity("right", Kind::Length, PLACE);
    let up = pillar.quantity("up", Kind::Length, PLACE);
    let diameter = pillar.quantity("diameter", Kind::Length, PLATE_SIZE);
    pillar.finish();
    name?;
    Some(Pillar { right_m: right?, up_m: up?, diameter_m: diameter? })
}

/// Temperature and humidity at which the sizes hold; those of a default room where the scenario does not say.
pub(in crate::scenario) fn read_made(root: &mut Section<'_, '_>) -> Option<Conditions> {
    let at = |temperature_c, relative_humidity| Conditions {
        temperature_c,
        rod_temperature_c: temperature_c,
        relative_humidity,
    };
    if !root.has("made") {
        root.entry("made");
        return Some(at(DEFAULT_TEMPERATURE_C, DEFAULT_RELATIVE_HUMIDITY));
    }
    let mut made = root.section("made")?;
    let temperature = made.quantity_or("temperature", Kind::Temperature, TEMPERATURE, DEFAULT_TEMPERATURE_C);
    let humidity = made.quantity_or("humidity", Kind::Fraction, HUMIDITY, DEFAULT_RELATIVE_HUMIDITY);
    made.finish();
    Some(at(temperature?, humidity?))
}
