//! Torque that the hands ask of a motor, and what it has, over the twelve hours of the dial.

use crate::answers::motor::MotorPrediction;
use crate::clock::design::MotorClock;
use crate::clock::motor::load::DIAL_TURN_S;
use crate::report::labels::Label;
use crate::report::look::{CURVE_MM, DASHED, ENTRY, EXIT, INK, Pen, THIN_MM, significant, torque_scale};
use crate::report::motor::dial_time;
use crate::report::panel::{Axis, Panel};
use crate::report::sheet::Sheet;

use super::{Drawn, Figure, finished};

/// Seconds in an hour of the dial.
const HOUR_S: f64 = 3600.0;

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
        format!("At the motor's output. Most is asked at {}: {worst}", dial_time(found.torques.worst.time_s));
    if let Some(reserve) = found.torques.reserve() {
        subtitle.push_str(&format!("; the motor has {} times that", significant(reserve, 3)));
    }
    subtitle.push('.');
    let mut sheet = Sheet::new(&title, &subtitle, 56.0);
    let x = Axis::between(0.0, DIAL_TURN_S / HOUR_S, "time shown by the hands, after twelve (h)", 12.0);
    let room = 0.12 * (most - least).max(f64::MIN_POSITIVE);
    let low = if least < 0.0 { least - room } else { 0.0 };
    let y = Axis::between(low * scale.per_si, (most + room) * scale.per_si, &format!("torque ({})", scale.unit), 6.0);
    let panel = Panel::alone(&mut sheet, x, y);
    if least < 0.0 {
        panel.level(&mut sheet, 0.0, Pen::solid(INK, THIN_MM));
    }
    let first = found.torques.positions.first().map(|position| (DIAL_TURN_S, position.needed_n_m));
    let asked = found.torques.positions.iter().map(|position| (position.time_s, position.needed_n_m)).chain(first);
    let asked = asked.map(|(time_s, torque_n_m)| (time_s / HOUR_S, torque_n_m * scale.per_si));
    panel.curve(&mut sheet, asked, Pen::solid(ENTRY, CURVE_MM));
    let has = found.torques.available_n_m * scale.per_si;
    panel.level(&mut sheet, has, Pen::solid(EXIT, CURVE_MM).broken(DASHED));
    let worst_at = (found.torques.worst.time_s / HOUR_S, found.torques.worst.needed_n_m * scale.per_si);
    sheet.disc(panel.at(worst_at), 0.8, ENTRY);
    let within = panel.frame;
    let text = format!("asked by hands, friction and train; most at {}", dial_time(found.torques.worst.time_s));
    let (at, up) = (panel.at(worst_at), if worst_at.1 < 0.7 * has { -1.0 } else { 1.0 });
    sheet.label(Label { at, text, colour: ENTRY, towards: (-0.3, up), within, leader: true });
    let at = panel.at((1.0, has));
    let text = "the motor has, at its pulse rate".to_owned();
    sheet.label(Label { at, text, colour: EXIT, towards: (1.0, 0.6), within, leader: false });
    Some((title, sheet))
}
