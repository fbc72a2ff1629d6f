//! The figures of a prediction and of a comparison, one a file, and the tables of what they draw.

mod action;
mod action_at_rest;
mod action_curves;
mod amplitude_and_rate_against_weight;
mod amplitude_from_starts;
mod compared;
mod contact_curves;
mod data;
mod energy_flow;
mod energy_ledger;
mod escapement;
mod family;
mod histories;
mod least_weight_against_bead_radius;
mod levers;
mod map;
mod map_contours;
mod map_regions;
mod moments;
mod motor_torque;
mod phase_portrait;
mod phases;
mod room;
mod run_time_against_weight;
mod season;
mod series;
mod spread;
mod spread_explained;
mod spread_least_weight;
mod spread_rate;
mod tooth_tips;
mod torque_over_swing;
mod trade;

pub use action_at_rest::action_at_rest;
pub use action_curves::{ActionCurve, ActionCurves};
pub use compared::{Compared, ContactCurves, Curve, ToothTip, WIDTH_DEPTH_M, contact_curves, tooth_tip};
pub use data::{FigureData, gather};
pub use energy_ledger::energy_rows;
pub use escapement::wheel_holes;
pub use family::draw_family;
pub use histories::{Histories, History, StartKind};
pub use levers::draw_levers;
pub use map::{MapFigure, draw_map};
pub use moments::{Moment, pallet_name, touch};
pub use motor_torque::draw_motor;
pub use phases::{Action, Phase};
pub use room::draw_room;
pub use season::draw_season;
pub use series::names;
pub use spread::{draw_motor_spread, draw_spread};
pub use trade::draw_trade;

use crate::answers::prediction::Prediction;
use crate::clock::design::Design;
use crate::dynamics::observe::Pallet;

use super::canvas::look::{CURVE_MM, DASH_DOT, DASHED, DOTTED, ENTRY, EXIT, NEUTRAL, Pen, THIN_MM};
use super::canvas::sheet::Sheet;

/// A drawn figure.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Figure {
    /// File stem.
    pub name: &'static str,
    /// Title.
    pub title: String,
    /// The picture: a whole SVG document, 90 mm wide.
    pub svg: String,
}

/// The figures that have a meaning for the clock, in a fixed order; the same bytes for the same input.
#[must_use]
pub fn draw_all(design: &Design, prediction: &Prediction, data: &FigureData) -> Vec<Figure> {
    [
        ("amplitude-from-starts", amplitude_from_starts::draw(design, data)),
        ("phase-portrait", phase_portrait::draw(design, prediction, data)),
        ("torque-over-swing", torque_over_swing::draw(design, prediction, data)),
        ("energy-ledger", energy_ledger::draw(design, prediction)),
        ("energy-flow", energy_flow::draw(design, prediction)),
        ("amplitude-and-rate-against-weight", amplitude_and_rate_against_weight::draw(design, prediction, data)),
        ("escapement", escapement::draw(design, prediction, data)),
        ("action", action::draw(design, prediction, data)),
        ("run-time-against-weight", run_time_against_weight::draw(design, prediction, data)),
    ]
    .into_iter()
    .filter_map(|(name, drawn)| finished(name, drawn))
    .collect()
}

/// What the pictures of a comparison draw, in the order of the scenarios; `None` for those without outlines.
#[derive(Debug, Clone, PartialEq)]
pub struct ComparisonData {
    /// Tips of the teeth.
    pub tips: Vec<Option<ToothTip>>,
    /// Contact curves.
    pub curves: Vec<Option<ContactCurves>>,
}

/// What the pictures of a comparison draw.
#[must_use]
pub fn gather_comparison(compared: &[Compared<'_>]) -> ComparisonData {
    ComparisonData {
        tips: compared.iter().map(tooth_tip).collect(),
        curves: compared.iter().map(contact_curves).collect(),
    }
}

/// The pictures of a comparison that have a meaning for its scenarios, in a fixed order; the same bytes for the same input.
#[must_use]
pub fn draw_comparison(compared: &[Compared<'_>], data: &ComparisonData) -> Vec<Figure> {
    [
        ("tooth-tips", tooth_tips::draw(compared, &data.tips)),
        ("contact-curves", contact_curves::draw(compared, &data.curves)),
        ("least-weight-against-bead-radius", least_weight_against_bead_radius::draw(compared)),
    ]
    .into_iter()
    .filter_map(|(name, drawn)| finished(name, drawn))
    .collect()
}

/// The figure of a drawn sheet. A sheet fails only as its writer does, and this one writes to memory.
fn finished(name: &'static str, drawn: Drawn) -> Option<Figure> {
    let (title, sheet) = drawn?;
    Some(Figure { name, title, svg: sheet.svg()? })
}

/// A sheet and its title; `None` where the figure has no meaning for the clock.
type Drawn = Option<(String, Sheet)>;

/// The pen of a phase: colour and dash by pallet and action, in all figures alike.
fn phase_pen(phase: &Phase) -> Pen {
    let colour = match phase.pallet {
        Some(Pallet::Entry) => ENTRY,
        Some(Pallet::Exit) => EXIT,
        None => NEUTRAL,
    };
    match phase.action {
        Action::Lock | Action::Push => Pen::solid(colour, 1.5 * CURVE_MM),
        Action::Brake => Pen::solid(colour, 1.5 * CURVE_MM).broken(DASH_DOT),
        Action::Impulse => Pen::solid(colour, CURVE_MM).broken(DASHED),
        Action::Recoil => Pen::solid(colour, 1.5 * CURVE_MM).broken(DASH_DOT),
        Action::Drop => Pen::solid(colour, CURVE_MM).broken(DOTTED),
        Action::Flight | Action::Free => Pen::solid(colour, THIN_MM),
    }
}
