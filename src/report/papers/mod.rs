//! Papers for a builder who has never met the designer: what to make, where to drill, how to set up, how to find faults.
//!
//! Every table is made once, as values ([`tables`]); text, CSV, HTML and JSON show the same. Drawings are outlines on layers, written as
//! SVG and DXF from the same points.

mod anchor;
pub mod csv;
mod faults;
mod gears;
pub mod html;
pub mod json;
mod layout;
mod parts;
mod pendulum;
mod pendulum_parts;
mod setting_up;
pub mod sheets;
pub mod table;
pub mod text;
pub mod units;
mod weight;

use crate::answers::prediction::Prediction;
use crate::clock::design::Design;
use crate::clock::environment::InRoom;
use crate::report::prediction::json::Results;
use crate::report::regulation::json::RegulationRecord;
use crate::study::papers::Papers;

use table::PaperTable;
use units::PaperUnits;

/// Name of the table of steps.
pub const SETTING_UP: &str = "setting-up";

/// What the papers of a clock are written from.
#[derive(Debug, Clone, Copy)]
pub struct PapersView<'p> {
    /// The clock at the sizes at which its parts are made.
    pub design: &'p Design,
    /// The clock in its room.
    pub in_room: &'p InRoom,
    /// Its prediction.
    pub prediction: &'p Prediction,
    /// Its results.
    pub results: &'p Results,
    /// How it is brought to time and into beat.
    pub regulation: &'p RegulationRecord,
    /// Layout, anchor, swings and bench tests.
    pub papers: &'p Papers,
}

/// All tables in the order in which a builder needs them; without those that the clock has nothing for.
#[must_use]
pub fn tables(view: &PapersView<'_>, units: PaperUnits) -> Vec<PaperTable> {
    let all = [
        Some(parts::parts_table(view, units)),
        gears::gear_table(view),
        gears::mesh_table(view),
        layout::arbor_table(view, units),
        layout::neighbour_table(view),
        anchor::anchor_table(view),
        weight::weight_table(view),
        pendulum::pendulum_table(view),
        Some(setting_up::steps_table(view, units)),
        faults::swing_table(view),
        Some(faults::bench_table(view)),
    ];
    all.into_iter().flatten().filter(|table| !table.is_empty()).collect()
}
