//! Amplitude against time from several starts.

use crate::clock::environment::InRoom;
use crate::report::canvas::labels::Label;
use crate::report::canvas::look::{
    CURVE_MM, Colour, DASH_DOT, DASHED, DOTTED, ENTRY, EXIT, HAIR_MM, INK, NEUTRAL, Pen, SOFT, significant, time_scale,
};
use crate::report::canvas::panel::{Panel, PanelAxis};
use crate::report::canvas::sheet::Sheet;
use crate::report::words::action::{ending_word, escape_name};
use crate::study::portrait::{History, Portrait, StartKind};

use super::Drawn;

/// Share of the cycle's amplitude below which the least start is as good as none.
const SELF_STARTING: f64 = 1e-3;

pub(super) fn draw(design: &InRoom, portrait: &Portrait) -> Drawn {
    let all = &portrait.histories;
    let runs: Vec<&History> = all.histories.iter().filter(|history| !history.swings.is_empty()).collect();
    if runs.is_empty() {
        return None;
    }
    let degrees = |angle: f64| significant(angle.to_degrees(), 3);
    let title = format!("{}: amplitude from several starts", design.name);
    let subtitle = match (all.cycle_rad, all.least_start_rad) {
        (Some(cycle), Some(least)) if least < SELF_STARTING * cycle => {
            format!("Starts by itself and settles at {}\u{b0}.", degrees(cycle))
        }
        (Some(cycle), Some(least)) => {
            format!("Starts above {}\u{b0} settle at {}\u{b0}.", degrees(least), degrees(cycle))
        }
        _ => "No start ends in a steady swing.".to_owned(),
    };
    let mut sheet = Sheet::new(&title, &subtitle, 54.0);
    let scale = time_scale(all.duration_s);
    let amplitudes = runs
        .iter()
        .flat_map(|history| history.swings.iter().map(|swing| swing.1))
        .chain(all.cycle_rad)
        .chain([0.5 * all.escaping_rad])
        .map(f64::to_degrees);
    let x = PanelAxis::between(0.0, all.duration_s * scale.per_si, &format!("time ({})", scale.unit), 7.0);
    let y = PanelAxis::over(amplitudes, "amplitude on the right (deg)", 6.0);
    let panel = Panel::alone(&mut sheet, x, y);
    panel.level(&mut sheet, all.escaping_rad.to_degrees(), Pen::solid(SOFT, HAIR_MM).broken(DASHED));
    if let Some(cycle) = all.cycle_rad {
        panel.level(&mut sheet, cycle.to_degrees(), Pen::solid(INK, HAIR_MM));
    }
    for history in &runs {
        let points = history.swings.iter().map(|&(time, amplitude)| (time * scale.per_si, amplitude.to_degrees()));
        panel.curve(&mut sheet, points, pen(history.kind));
    }
    for history in &runs {
        let (Some(first), Some(last)) = (history.swings.first(), history.swings.last()) else { continue };
        let place = |swing: &(f64, f64)| panel.at((swing.0 * scale.per_si, swing.1.to_degrees()));
        let colour = pen(history.kind).colour;
        let mut text = match history.kind {
            StartKind::Maker => format!("start arc of the scenario, {}\u{b0}", degrees(first.1)),
            StartKind::Large => format!("from {}\u{b0}", degrees(first.1)),
            StartKind::AboveLeast => format!("just above the smallest start, {}\u{b0}", degrees(first.1)),
            StartKind::BelowLeast => format!("just below, {}\u{b0}", degrees(first.1)),
        };
        if let Some(ended) = history.ended {
            sheet.cross(place(last), 0.8, Pen::solid(colour, CURVE_MM));
            text.push_str(": ");
            text.push_str(ending_word(ended));
        }
        let along = &history.swings[history.swings.len() / 24];
        let down = matches!(history.kind, StartKind::BelowLeast);
        let towards = if down { (1.0, 0.3) } else { (1.0, -0.5) };
        sheet.label(Label { at: place(along), text, colour, towards, within: panel.frame, leader: true });
    }
    let middle = 0.72 * panel.x().high();
    let mut name = |angle: f64, text: String, colour: Colour, up: f64| {
        let at = panel.at((middle, angle.to_degrees()));
        sheet.label(Label { at, text, colour, towards: (0.0, up), within: panel.frame, leader: false });
    };
    name(all.escaping_rad, format!("{}, {}\u{b0}", escape_name(all.escape), degrees(all.escaping_rad)), SOFT, -1.0);
    if let Some(cycle) = all.cycle_rad {
        name(cycle, format!("steady swing, {}\u{b0}", degrees(cycle)), INK, -1.0);
    }
    Some((title, sheet))
}

fn pen(kind: StartKind) -> Pen {
    match kind {
        StartKind::Maker => Pen::solid(ENTRY, CURVE_MM),
        StartKind::Large => Pen::solid(NEUTRAL, CURVE_MM).broken(DASH_DOT),
        StartKind::AboveLeast => Pen::solid(EXIT, CURVE_MM).broken(DASHED),
        StartKind::BelowLeast => Pen::solid(EXIT, CURVE_MM).broken(DOTTED),
    }
}
