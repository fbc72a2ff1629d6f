//! `inspect`: everything that needs no motion.

use std::path::Path;

use serde::Serialize;

use crate::clock::build::{Built, build};
use crate::clock::design::Train;
use crate::clock::environment::InRoom;
use crate::clock::escapement::clearances::{Margins, margins};
use crate::clock::escapement::{EscapeWheel, EscapementOutlines, WheelHoles, escape_wheel};
use crate::clock::printing::printed_outline::printed_holes;
use crate::clock::train::counts::TrainReport;
use crate::geometry::Outline;
use crate::report::action::clearances::{MarginKeys, margins_table};
use crate::report::action::over_turn::{TurnActionKeys, turn_action_keys, turn_action_table};
use crate::report::drawing::{dxf_text, escapement_layers, svg_text};
use crate::report::figures::draw_action_at_rest;
use crate::report::meshes::{MeshKeys, mesh_keys, meshes_table};
use crate::report::prediction::json::ActionKeys;
use crate::report::prediction::{csv, text as tables};
use crate::report::words::notes::notes_in_words;
use crate::scenario::{AnyScenario, load_any};
use crate::study::portrait::action_at_rest;
use crate::study::prepare::any_prepared;

use super::Common;
use super::failure::Failure;
use super::output::{OutputFile, json_of, print, remark, write_and_tell};

#[derive(Serialize)]
struct Inspection {
    name: String,
    train_period_s: Option<f64>,
    hour_hand_ratio: Option<f64>,
    small_swing_period_s: Option<f64>,
    nut_s_per_day_per_turn: Option<f64>,
    escape_torque_n_m: Option<f64>,
    escape_friction_torque_n_m: Option<f64>,
    escape_torque_backward_n_m: Option<f64>,
    escape_inertia_kg_m2: Option<f64>,
    escape_wheel_mass_kg: Option<f64>,
    escape_wheel_inertia_kg_m2: Option<f64>,
    run_time_days: Option<f64>,
    arbors: Vec<ArborKeys>,
    meshes: Vec<MeshKeys>,
    action: Option<ActionKeys>,
    action_over_turn: Option<TurnActionKeys>,
    margins: Option<MarginKeys>,
    notes: Vec<String>,
}

#[derive(Serialize)]
struct ArborKeys {
    name: String,
    turns_per_hour: Option<f64>,
    torque_n_m: Option<f64>,
    bearing_load_n: Option<f64>,
    bearing_loss_share: Option<f64>,
    mesh_loss_share: Option<f64>,
}

pub(super) fn run(file: &Path, common: &Common) -> Result<(), Failure> {
    let scenario = match load_any(file, &common.set).and_then(any_prepared).map_err(Failure::unreadable)? {
        AnyScenario::Pendulum(scenario) => scenario,
        AnyScenario::Motor(scenario) => return super::motor::inspect(&scenario, common),
    };
    let in_room = scenario.in_room();
    let built = build(&in_room).map_err(|error| Failure::unbuilt(&scenario, &error))?;
    let found = margins(&scenario.design.printer, &built);
    let wheel = wheel_of(&in_room, &built)?;
    let inspection = inspect(&in_room, &built, wheel.as_ref(), found.as_ref());
    if let Some(folder) = &common.out {
        let holes = wheel.as_ref().map(|wheel| &wheel.holes);
        let mut files = built.drawn.as_ref().map_or_else(Vec::new, |drawn| drawings("drawn", drawn, holes));
        if built.outlines != built.drawn {
            let printed = holes.map(|holes| printed_holes(holes, &scenario.design.printer)).transpose();
            let holes = printed.map_err(|error| Failure::numeric(error.to_string()))?;
            files.extend(built.outlines.iter().flat_map(|printed| drawings("printed", printed, holes.as_ref())));
        }
        files.extend(action_files(&in_room, &built, found.as_ref()));
        write_and_tell(folder, files, common, false)?;
    }
    if common.json {
        return print(&json_of(&inspection)?);
    }
    print(&text_of(&in_room, &built, wheel.as_ref(), &inspection, found.as_ref()))?;
    if !common.quiet {
        for note in &inspection.notes {
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
    let table = csv::action_table(&curves);
    let table = table.map(|table| OutputFile::csv(table.name, table.text));
    std::iter::once(OutputFile::svg(figure.name, figure.svg)).chain(table).collect()
}

fn text_of(
    design: &InRoom,
    built: &Built,
    wheel: Option<&EscapeWheel>,
    inspection: &Inspection,
    margins: Option<&Margins>,
) -> String {
    let mut train = tables::train_table(design, built);
    train.extend(built.run_time(None).map(|run| tables::run_table(&run)));
    let mut parts =
        vec![format!("{}\n", design.name), train, tables::escape_table(built, wheel), tables::pendulum_table(built)];
    parts.insert(2, trained(design, built).map_or_else(String::new, |(train, report)| meshes_table(train, report)));
    parts.extend(inspection.action.as_ref().map(tables::action_table));
    parts.extend(inspection.action_over_turn.as_ref().map(|keys| turn_action_table(built, keys)));
    parts.extend(margins.map(margins_table));
    parts.push(tables::cautions(design, built));
    parts.retain(|part| !part.is_empty());
    parts.join("\n")
}

fn inspect(design: &InRoom, built: &Built, wheel: Option<&EscapeWheel>, margins: Option<&Margins>) -> Inspection {
    let drive = built.mechanism.drive;
    let arbors = built.train.as_ref().map_or_else(Vec::new, |train| {
        train
            .arbors
            .iter()
            .enumerate()
            .map(|(index, arbor)| {
                let losses = built.drive.as_ref().and_then(|drive| drive.arbors.get(index));
                ArborKeys {
                    name: arbor.name.clone(),
                    turns_per_hour: arbor.turns_per_hour,
                    torque_n_m: losses.map(|losses| losses.torque_n_m),
                    bearing_load_n: losses.map(|losses| losses.bearing_load_n),
                    bearing_loss_share: losses.map(|losses| losses.bearing_loss_share),
                    mesh_loss_share: losses.and_then(|losses| losses.mesh_loss_share),
                }
            })
            .collect()
    });
    let mut notes = built.notes();
    notes.extend(margins.into_iter().flat_map(|margins| margins.notes(&design.printer)));
    Inspection {
        name: design.name.clone(),
        train_period_s: built.train.as_ref().and_then(|train| train.train_period_s),
        hour_hand_ratio: built.train.as_ref().and_then(|train| train.hour_hand_ratio).map(|ratio| ratio as f64),
        small_swing_period_s: crate::clock::pendulum::compound::small_swing_period_s(&built.mechanism.pendulum),
        nut_s_per_day_per_turn: built.pendulum.as_ref().and_then(|report| report.nut_s_per_day_per_turn),
        escape_torque_n_m: drive.map(|drive| drive.torque_n_m()),
        escape_friction_torque_n_m: drive.map(|drive| drive.friction_forward_n_m),
        escape_torque_backward_n_m: drive.map(|drive| drive.backward_n_m()),
        escape_inertia_kg_m2: drive.map(|drive| drive.inertia_kg_m2),
        escape_wheel_mass_kg: wheel.map(|wheel| wheel.mass_kg),
        escape_wheel_inertia_kg_m2: wheel.map(|wheel| wheel.inertia_kg_m2),
        run_time_days: built.run_time(None).map(|run| run.run_time_s / crate::clock::SECONDS_PER_DAY),
        arbors,
        meshes: trained(design, built).map_or_else(Vec::new, |(train, report)| mesh_keys(train, report)),
        action: action_at_start(design, built),
        action_over_turn: turn_action_keys(built),
        margins: margins.map(Into::into),
        notes: notes_in_words(&notes),
    }
}

/// The train with its report.
fn trained<'a>(design: &'a InRoom, built: &'a Built) -> Option<(&'a Train, &'a TrainReport)> {
    design.train.as_ref().zip(built.train.as_ref())
}

/// The action, recoil at the start arc.
fn action_at_start(design: &InRoom, built: &Built) -> Option<ActionKeys> {
    let action = built.action?;
    let start = design.start_arc_rad.unwrap_or(action.entry.landing_rad);
    Some(ActionKeys::of(&action, built.recoil_rad(start, start)?))
}
