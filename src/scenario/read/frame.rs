//! Reads `[frame]` and `[made]`: what holds the arbors apart, and the room in which the sizes of the parts hold.

use crate::clock::design::{Conditions, FrameMaterial, Grain};
use crate::scenario::toml::section::Section;
use crate::units::Kind;

use super::materials::Materials;
use super::place::{DEFAULT_RELATIVE_HUMIDITY, DEFAULT_TEMPERATURE_C, HUMIDITY, TEMPERATURE};

/// The frame; `Some(None)` where the scenario has none.
pub(in crate::scenario) fn read_frame(
    root: &mut Section<'_, '_>,
    materials: &Materials,
) -> Option<Option<FrameMaterial>> {
    if !root.has("frame") {
        root.entry("frame");
        return Some(None);
    }
    let mut frame = root.section("frame")?;
    let material = materials.named(&mut frame, "material");
    let grains = [("along", Grain::Along), ("radial", Grain::Radial), ("tangential", Grain::Tangential)];
    let grain = frame.choice("grain", &grains, Some(Grain::Along));
    frame.finish();
    Some(Some(FrameMaterial { material: material?, grain: grain? }))
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
