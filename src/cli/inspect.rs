//! `inspect`: everything that needs no motion.

use std::path::Path;

use crate::clock::build::{Built, build};
use crate::clock::environment::InRoom;
use crate::clock::escapement::action_over_turn::action_over_turn;
use crate::clock::escapement::clearances::{Margins, margins};
use crate::clock::escapement::{EscapeWheel, EscapementOutlines, WheelHoles, escape_wheel};
use crate::clock::printing::printed_outline::printed_holes;
use crate::geometry::Outline;
use crate::report::action;
use crate::report::drawing::{dxf_text, escapement_layers, svg_text};
use crate::report::figures::draw_action_at_rest;
use crate::report::inspection::{self, InspectionView};
use crate::scenario::AnyScenario;
use crate::study::portrait::action_at_rest;
use crate::study::prepare::any_with_columns;

use super::Common;
use super::failure::Failure;
use super::output::{OutputFile, json_of, print, remark, write_files};

pub(super) fn run(file: &Path, common: &Common) -> Result<(), Failure> {
    let scenario = match common.load_any(file).and_then(any_with_columns).map_err(Failure::unreadable)? {
        AnyScenario::Pendulum(scenario) => scenario,
        AnyScenario::Motor(scenario) => return super::motor::inspect(&scenario, common),
    };
    let in_room = scenario.in_room();
    let built = build(&in_room).map_err(|error| Failure::unbuilt(&scenario, &error))?;
    let found = margins(&scenario.design.printer, &built);
    let wheel = wheel_of(&in_room, &built)?;
    let view = InspectionView {
        design: &in_room,
        built: &built,
        wheel: wheel.as_ref(),
        margins: found.as_ref(),
        over_turn: action_over_turn(&built.mechanism.escapement),
        run_time: built.run_time(None),
    };
    let record = inspection::json::record(&view);
    if let Some(folder) = &common.out {
        let holes = wheel.as_ref().map(|wheel| &wheel.holes);
        let mut files = built.drawn.as_ref().map_or_else(Vec::new, |drawn| drawings("drawn", drawn, holes));
        if built.outlines != built.drawn {
            let printed = holes.map(|holes| printed_holes(holes, &scenario.design.printer)).transpose();
            let holes = printed.map_err(|error| Failure::numeric(error.to_string()))?;
            files.extend(built.outlines.iter().flat_map(|printed| drawings("printed", printed, holes.as_ref())));
        }
        files.extend(action_files(&in_room, &built, found.as_ref()));
        write_files("inspect", folder, files, common, false)?;
    }
    if common.json {
        return print(&json_of(&record)?);
    }
    print(&inspection::text::table(&view, &record))?;
    if !common.quiet {
        for note in &record.notes {
            remark(&format!("note: {note}"));
        }
    }
    Ok(())
}

/// The whole wheel as drawn; `None` where the scenario gives it no body.
fn wheel_of(design: &InRoom, built: &Built) -> Result<Option<EscapeWheel>, Failure> {
    let (Some(body), Some(drawn)) = (&design.escape_wheel, &built.drawn) else { return Ok(None) };
    escape_wheel(drawn, body).map(Some).map_err(|error| Failure::numeric(error.to_string()))
}

/// The outlines as DXF and SVG, in files that are called by `state`.
fn drawings(state: &str, outlines: &EscapementOutlines, holes: Option<&WheelHoles>) -> Vec<OutputFile> {
    let layers = escapement_layers(outlines, holes);
    let drawn: Vec<(&str, &Outline)> = layers.iter().map(|(layer, outline)| (layer.as_str(), outline)).collect();
    vec![
        OutputFile::text(format!("outlines-{state}.dxf"), dxf_text(&drawn)),
        OutputFile::svg(&format!("outlines-{state}"), svg_text(&drawn)),
    ]
}

/// The action as a picture, and the curves in it as CSV.
fn action_files(design: &InRoom, built: &Built, margins: Option<&Margins>) -> Vec<OutputFile> {
    let Some(curves) = action_at_rest(design, built) else { return Vec::new() };
    let Some(figure) = draw_action_at_rest(design, built, &curves, margins) else { return Vec::new() };
    let table = action::csv::table(&curves);
    let table = table.map(|table| OutputFile::csv(table.name, table.text));
    std::iter::once(OutputFile::svg(figure.name, figure.svg)).chain(table).collect()
}
