//! The figures of a prediction and of a comparison, one a file, and the tables of what they draw.

mod action;
mod action_at_rest;
mod amplitude_and_rate_against_weight;
mod amplitude_from_starts;
mod contact_curves;
mod energy_flow;
mod energy_ledger;
mod escapement;
mod family;
mod fit;
mod fit_ticks;
mod improved_escapement;
mod improvement;
mod least_weight_against_bead_radius;
mod levers;
mod map;
mod map_contours;
mod map_names;
mod map_regions;
mod motor_torque;
mod phase_portrait;
mod room;
mod run_time_against_weight;
mod season;
mod series;
mod spread;
mod spread_explained;
mod spread_least_weight;
mod spread_rate;
mod swing_over_the_years;
mod swing_over_twelve_hours;
mod tooth_tips;
mod torque_over_swing;
mod trade;
mod wall_and_hanging_weight;

pub use action_at_rest::draw_action_at_rest;
pub use energy_ledger::energy_rows;
pub use family::draw_family;
pub use fit::{FitPicture, FitSeries, draw_fit};
pub use fit_ticks::draw_fit_ticks;
pub use improvement::draw_improvement;
pub use levers::draw_levers;
pub use map::{MapFigure, draw_map};
pub use motor_torque::draw_motor;
pub use room::draw_room;
pub use season::draw_season;
pub use series::names;
pub use spread::{draw_motor_spread, draw_spread};
pub use trade::draw_trade;

use crate::answers::prediction::Prediction;
use crate::clock::environment::InRoom;
use crate::clock::side::Side;
use crate::study::comparison::portrait::{Compared, ComparisonPortrait};
use crate::study::portrait::{Phase, PhaseKind, Portrait};

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
pub fn draw_all(design: &InRoom, prediction: &Prediction, portrait: &Portrait) -> Vec<Figure> {
    [
        ("amplitude-from-starts", amplitude_from_starts::draw(design, portrait)),
        ("phase-portrait", phase_portrait::draw(design, prediction, portrait)),
        ("torque-over-swing", torque_over_swing::draw(design, prediction, portrait)),
        ("energy-ledger", energy_ledger::draw(design, prediction)),
        ("energy-flow", energy_flow::draw(design, prediction)),
        ("amplitude-and-rate-against-weight", amplitude_and_rate_against_weight::draw(design, prediction, portrait)),
        ("swing-and-rate-over-twelve-hours", swing_over_twelve_hours::draw(design, prediction)),
        ("wall-and-hanging-weight", wall_and_hanging_weight::draw(design, prediction)),
        ("swing-over-the-years", swing_over_the_years::draw(design, prediction, portrait)),
        ("escapement", escapement::draw(design, prediction, portrait)),
        ("action", action::draw(design, prediction, portrait)),
        ("run-time-against-weight", run_time_against_weight::draw(design, prediction, portrait)),
    ]
    .into_iter()
    .filter_map(|(name, drawn)| finished(name, drawn))
    .collect()
}

/// The pictures of a comparison that have a meaning for its scenarios, in a fixed order; the same bytes for the same input.
#[must_use]
pub fn draw_comparison(compared: &[Compared<'_>], portrait: &ComparisonPortrait) -> Vec<Figure> {
    [
        ("tooth-tips", tooth_tips::draw(compared, &portrait.tips)),
        ("contact-curves", contact_curves::draw(compared, &portrait.curves)),
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
        Some(Side::Entry) => ENTRY,
        Some(Side::Exit) => EXIT,
        None => NEUTRAL,
    };
    match phase.kind {
        PhaseKind::Lock | PhaseKind::Push => Pen::solid(colour, 1.5 * CURVE_MM),
        PhaseKind::Brake => Pen::solid(colour, 1.5 * CURVE_MM).broken(DASH_DOT),
        PhaseKind::Impulse => Pen::solid(colour, CURVE_MM).broken(DASHED),
        PhaseKind::Recoil => Pen::solid(colour, 1.5 * CURVE_MM).broken(DASH_DOT),
        PhaseKind::Drop => Pen::solid(colour, CURVE_MM).broken(DOTTED),
        PhaseKind::Flight | PhaseKind::Free => Pen::solid(colour, THIN_MM),
    }
}
