//! Reads `[frame]` and `[made]`: what holds the arbors apart, and the room in which the sizes of the parts hold.

use crate::clock::design::{Conditions, FrameMaterial, Grain};
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
}

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
    frame.finish();
    let material = FrameMaterial { material: material?, grain: grain? };
    Some(FrameRead { material: Some(material), arbors_printed: arbors_printed? })
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
