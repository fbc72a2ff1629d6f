//! Torque that the hands ask of a motor, and what it has, over the twelve hours of the dial.

use crate::answers::motor::MotorPrediction;
use crate::clock::SECONDS_PER_HOUR;
use crate::clock::design::MotorClock;
use crate::clock::train::hands::DIAL_TURN_S;
use crate::report::canvas::labels::Label;
use crate::report::canvas::look::{
    CURVE_MM, DASHED, ENTRY, EXIT, INK, LINE_MM, Pen, THIN_MM, significant, torque_scale,
};
use crate::report::canvas::panel::{Panel, PanelAxis};
use crate::report::canvas::sheet::{Anchor, Sheet};
use crate::report::words::dial_time::dial_time;

use super::{Drawn, Figure, finished};

/// Share of the torques' span that is left above them for the key.
const KEY_SHARE: f64 = 0.35;
/// Length of a line in the key, mm.
const KEY_LINE_MM: f64 = 6.0;

/// The picture; `None` only where it cannot be written.
#[must_use]
pub fn draw_motor(clock: &MotorClock, found: &MotorPrediction) -> Option<Figure> {
    finished("torque-over-twelve-hours", draw(clock, found))
}

fn draw(clock: &MotorClock, found: &MotorPrediction) -> Drawn {
    let needed = || found.torques.positions.iter().map(|position| position.needed_n_m);
    let least = needed().fold(0.0, f64::min);
    let most = needed().fold(found.torques.available_n_m, f64::max);
    let scale = torque_scale(most.max(-least));
    let title = format!("{}: torque over the twelve hours", clock.name);
    let worst = format!("{} {}", significant(found.torques.worst.needed_n_m * scale.per_si, 3), scale.unit);
    let mut subtitle =
        format!("At the motor's output. Largest demand at {}: {worst}", dial_time(found.torques.worst.time_s));
    if let Some(reserve) = found.torques.reserve() {
        subtitle.push_str(&format!("; the motor has {} times that", significant(reserve, 3)));
    }
    subtitle.push('.');
    let mut sheet = Sheet::new(&title, &subtitle, 56.0);
    let x = PanelAxis::between(0.0, DIAL_TURN_S / SECONDS_PER_HOUR, "time shown by the hands, after twelve (h)", 12.0);
    let span = (most - least).max(f64::MIN_POSITIVE);
    let low = if least < 0.0 { least - 0.08 * span } else { 0.0 };
    let y = PanelAxis::between(
        low * scale.per_si,
        (most + KEY_SHARE * span) * scale.per_si,
        &format!("torque ({})", scale.unit),
        6.0,
    );
    let panel = Panel::alone(&mut sheet, x, y);
    if least < 0.0 {
        panel.level(&mut sheet, 0.0, Pen::solid(INK, THIN_MM));
    }
    let first = found.torques.positions.first().map(|position| (DIAL_TURN_S, position.needed_n_m));
    let asked = found.torques.positions.iter().map(|position| (position.time_s, position.needed_n_m)).chain(first);
    let asked = asked.map(|(time_s, torque_n_m)| (time_s / SECONDS_PER_HOUR, torque_n_m * scale.per_si));
    panel.curve(&mut sheet, asked, Pen::solid(ENTRY, CURVE_MM));
    let has = found.torques.available_n_m * scale.per_si;
    panel.level(&mut sheet, has, Pen::solid(EXIT, CURVE_MM).broken(DASHED));
    let worst_at = (found.torques.worst.time_s / SECONDS_PER_HOUR, found.torques.worst.needed_n_m * scale.per_si);
    sheet.disc(panel.at(worst_at), 0.8, ENTRY);
    let label = Label {
        at: panel.at(worst_at),
        text: dial_time(found.torques.worst.time_s),
        colour: ENTRY,
        towards: (0.0, -1.0),
        within: panel.frame,
        leader: true,
    };
    sheet.label(label);
    let keys = [
        ("available from the motor at its pulse rate", Pen::solid(EXIT, CURVE_MM).broken(DASHED)),
        ("needed by hands and train (below 0: the hands drive)", Pen::solid(ENTRY, CURVE_MM)),
    ];
    for (number, (text, pen)) in keys.into_iter().enumerate() {
        let (left, y) = (panel.frame.left + 2.0, panel.frame.top + 1.5 + LINE_MM * number as f64);
        sheet.line([(left, y), (left + KEY_LINE_MM, y)], pen);
        sheet.text((left + KEY_LINE_MM + 1.5, y), text, pen.colour, Anchor::Start);
    }
    Some((title, sheet))
}
