//! Run time from one winding to the next over the weight that other drums ask for.

use crate::answers::prediction::Prediction;
use crate::clock::SECONDS_PER_DAY;
use crate::clock::design::DriveDesign;
use crate::clock::environment::InRoom;
use crate::report::canvas::labels::Label;
use crate::report::canvas::look::{CURVE_MM, ENTRY, EXIT, INK, NEUTRAL, Pen, THIN_MM, fixed, significant};
use crate::report::canvas::panel::{Panel, PanelAxis};
use crate::report::canvas::sheet::Sheet;
use crate::study::portrait::Portrait;

use super::Drawn;

pub(super) fn draw(design: &InRoom, prediction: &Prediction, portrait: &Portrait) -> Drawn {
    let Some(DriveDesign::Weight(own)) = &design.drive else { return None };
    let points: Vec<(f64, f64, f64)> = portrait
        .drums
        .iter()
        .filter_map(|drum| Some((drum.weight_kg?, drum.run_time_s / SECONDS_PER_DAY, drum.drum_diameter_m)))
        .collect();
    if points.len() < 2 {
        return None;
    }
    let designed = prediction.run_time.as_ref().map(|run| (own.weight_kg, run.run_time_s / SECONDS_PER_DAY));
    let is_own = |diameter: f64| (diameter - own.drum_diameter_m).abs() < 1e-9;
    let title = format!("{}: run time against weight", design.name);
    let mut subtitle = format!("Arc margin {}\u{b0}", significant(design.margin_rad.to_degrees(), 2));
    if let Some(point) = points.iter().find(|point| is_own(point.2)) {
        subtitle.push_str(&format!(
            "; on the design's own drum {} kg for {} days",
            significant(point.0, 3),
            significant(point.1, 3)
        ));
    }
    subtitle.push('.');
    let mut sheet = Sheet::new(&title, &subtitle, 56.0);
    let x = PanelAxis::over(
        points.iter().map(|point| point.0).chain(designed.map(|at| at.0)),
        "driving weight with arc margin (kg)",
        7.0,
    );
    let y = PanelAxis::over(
        points.iter().map(|point| point.1).chain(designed.map(|at| at.1)),
        "run time between windings (days)",
        6.0,
    );
    let panel = Panel::alone(&mut sheet, x, y);
    panel.curve(&mut sheet, points.iter().map(|point| (point.0, point.1)), Pen::solid(NEUTRAL, THIN_MM));
    for point in &points {
        let at = panel.at((point.0, point.1));
        if is_own(point.2) {
            sheet.disc(at, 1.0, ENTRY);
        } else {
            sheet.ring(at, 0.7, Pen::solid(ENTRY, 0.7 * CURVE_MM));
        }
    }
    if let Some(at) = designed {
        sheet.cross(panel.at(at), 1.0, Pen::solid(EXIT, CURVE_MM));
    }
    let place = |at: (f64, f64)| panel.at(at);
    if let Some(at) = designed {
        let text = format!("as designed\n{} kg, {} days", significant(at.0, 3), significant(at.1, 3));
        let (at, within) = (place(at), panel.frame);
        sheet.label(Label { at, text, colour: EXIT, towards: (-0.2, 1.0), within, leader: true });
    }
    for point in &points {
        let diameter = point.2 * 1e3;
        let number = fixed(diameter, usize::from((diameter - diameter.round()).abs() > 0.05));
        let own_drum = is_own(point.2);
        let text = if own_drum { format!("{number} mm, own drum") } else { format!("{number} mm") };
        let colour = if own_drum { ENTRY } else { INK };
        let (at, within) = (place((point.0, point.1)), panel.frame);
        sheet.label(Label { at, text, colour, towards: (1.0, -0.6), within, leader: true });
    }
    Some((title, sheet))
}
