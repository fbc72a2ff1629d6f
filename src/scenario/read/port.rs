//! Reads `[port]`: other materials of groups of parts.

use crate::clock::design::Design;
use crate::clock::materials::FRICTION_PAIRS;
use crate::clock::transform::port::{Port, PortError, ported};
use crate::scenario::toml::nearest::suggestion;
use crate::scenario::toml::problem_code::ProblemCode;
use crate::scenario::toml::reader::Reader;
use crate::scenario::toml::section::Section;
use crate::scenario::toml::source::Span;

use super::materials::Materials;

/// A port as read: the design and where a problem of each key is told.
pub(in crate::scenario) struct ReadPort {
    port: Port,
    spans: Vec<(&'static str, Span)>,
}

/// The port; `Some(None)` where the table is absent. `wheels` takes the escape wheel along unless it is named.
pub(in crate::scenario) fn read_port(root: &mut Section<'_, '_>, materials: &Materials) -> Option<Option<ReadPort>> {
    if !root.has("port") {
        root.entry("port");
        return Some(None);
    }
    let mut section = root.section("port")?;
    let keys = ["wheels", "pinions", "escape_wheel", "pallets", "drum", "frame", "pendulum_rod"];
    let read = keys.map(|key| materials.optional(&mut section, key));
    let surface = surface(&mut section);
    let mut spans: Vec<(&'static str, Span)> = keys.iter().map(|&key| (key, section.span_of(key))).collect();
    if !section.has("escape_wheel") {
        spans.retain(|(key, _)| *key != "escape_wheel");
        spans.push(("escape_wheel", section.span_of("wheels")));
    }
    let given = |some: &[&str]| -> Vec<Span> {
        some.iter().filter(|key| section.has(key)).map(|key| section.span_of(key)).collect()
    };
    let (of_teeth, of_pallets) = (given(&["wheels", "pinions"]), given(&["wheels", "escape_wheel", "pallets"]));
    section.finish();
    let [wheels, pinions, escape_wheel, pallets, drum, frame, pendulum_rod] = read;
    let wheels = wheels?;
    let port = Port {
        escape_wheel: escape_wheel?.or_else(|| wheels.clone()),
        wheels,
        pinions: pinions?,
        pallets: pallets?,
        drum: drum?,
        frame: frame?,
        pendulum_rod: pendulum_rod?,
        surface: surface?,
        tooth_friction: any_above(root, &of_teeth, &["train", "tooth_friction"]),
        pallet_friction: FORMS_WITH_FRICTION
            .iter()
            .any(|form| any_above(root, &of_pallets, &["escapement", form, "friction"])),
    };
    Some(Some(ReadPort { port, spans }))
}

/// Forms of an escapement whose teeth slide on pallets.
const FORMS_WITH_FRICTION: [&str; 4] = ["dead_beat", "recoil_anchor", "pin_pallet", "outline"];

/// What is on the surfaces: the second half of the name of a pair of materials.
fn surface(section: &mut Section<'_, '_>) -> Option<Option<String>> {
    let Some(written) = section.optional_text("surface")? else { return Some(None) };
    let mut known: Vec<&str> =
        FRICTION_PAIRS.iter().filter_map(|pair| pair.name.split_once(", ")).map(|both| both.1).collect();
    known.sort_unstable();
    known.dedup();
    if known.contains(&written.as_str()) {
        return Some(Some(written));
    }
    let message = format!("no pair of materials is \"{written}\"");
    section.report_at("surface", ProblemCode::UnknownName, message, suggestion(&written, &known, "surface"));
    None
}

/// Whether any of the port's keys stands in a file above that of the value at `path`, so that it is meant to change it: what the
/// file of the port states itself, or one above it, stays.
fn any_above(root: &Section<'_, '_>, keys: &[Span], path: &[&str]) -> bool {
    let Some(value) = root.table.span_at(path) else { return false };
    let rank = |span: Span| root.reader.rank(span.source);
    keys.iter().any(|&key| rank(key) < rank(value))
}

/// The design in its new materials; `None` after a problem, told at the key.
pub(in crate::scenario) fn in_materials(reader: &Reader, design: Design, port: Option<&ReadPort>) -> Option<Design> {
    let Some(read) = port else { return Some(design) };
    match ported(&design, &read.port) {
        Ok(design) => Some(design),
        Err(error) => {
            let PortError::Unknown { key, .. } = &error;
            let span = read.spans.iter().find(|(known, _)| known == key).map(|(_, span)| *span);
            let help = match *key {
                "pallets" => {
                    "name the material in which they have the stated mass: [escapement.pallets] material = \"PLA\""
                }
                "escape_wheel" => {
                    "name the material in which it has the stated mass: [escapement.wheel] material = \"PLA\""
                }
                _ => "name the material in which the wheels have the stated mass: [train] material = \"PLA\"",
            };
            if let Some(span) = span {
                reader.report(ProblemCode::UnknownMaterial, error.to_string(), help.to_owned(), span);
            }
            None
        }
    }
}
