//! Where the energy of a beat goes.

use crate::answers::prediction::Prediction;
use crate::answers::steady::EnergyPerBeat;
use crate::clock::design::DriveDesign;
use crate::clock::environment::InRoom;
use crate::clock::mechanism::EscapementModel;
use crate::report::canvas::look::{
    ENTRY, HAIR_MM, INK, MARGIN_MM, NEUTRAL, Pen, SOFT, TEXT_MM, WIDTH_MM, energy_scale, fixed, significant,
    text_width_mm,
};
use crate::report::canvas::sheet::{Anchor, PlotFrame, Sheet};

use super::Drawn;

/// Height of a row, mm.
const ROW_MM: f64 = 4.6;

/// A loss by name, J.
type Loss = (&'static str, f64);

/// The losses in their fixed order, hands, play of a crutch and a support where there are any: of the train, of the escapement, of the pendulum.
pub(super) fn energy_rows_by_part(energy: &EnergyPerBeat) -> [Vec<Loss>; 3] {
    let hands = (energy.hands != 0.0).then_some(("hands and motion work", energy.hands));
    let train = [("cord and pulleys", energy.cord), ("meshes", energy.meshes), ("bearings", energy.bearings)];
    let crutch = (energy.crutch != 0.0).then_some(("play of the crutch", energy.crutch));
    let pendulum = [("air", energy.air), ("suspension and pivots", energy.suspension)];
    let support = (energy.support != 0.0).then_some(("support and weight", energy.support));
    let escapement = [("sliding on the faces", energy.faces), ("recoil", energy.recoil)];
    [
        train.into_iter().chain(hands).collect(),
        std::iter::once(("drop and impact", energy.drop_and_impact)).chain(crutch).chain(escapement).collect(),
        pendulum.into_iter().chain(support).collect(),
    ]
}

/// The same in one list.
#[must_use]
pub fn energy_rows(energy: &EnergyPerBeat) -> Vec<(&'static str, f64)> {
    energy_rows_by_part(energy).concat()
}

pub(super) fn draw(design: &InRoom, prediction: &Prediction) -> Drawn {
    let steady = prediction.steady.as_ref()?;
    let energy = &steady.energy;
    let input = energy.weight;
    if !(input > 0.0) {
        return None;
    }
    let ideal = !matches!(prediction.built.mechanism.escapement, EscapementModel::Contact(_));
    let given_by = match (&design.drive, ideal) {
        (_, true) => "given to the pendulum",
        (Some(DriveDesign::Weight(_)), _) => "given by the weight",
        _ => "given by the drive",
    };
    // Without wheel and train most of the ledger is empty by nature.
    let rows: Vec<(&str, f64)> = energy_rows(energy).into_iter().filter(|&(_, loss)| !ideal || loss != 0.0).collect();
    let scale = energy_scale(input);
    let title = format!("{}: where the energy of a beat goes", design.name);
    let to_pendulum = energy.air + energy.suspension + energy.support;
    let subtitle = format!(
        "{} {} a beat; {} % reaches the pendulum.",
        significant(input * scale.per_si, 3),
        scale.unit,
        fixed(100.0 * to_pendulum / input, 1)
    );
    let body = 10.0 + ROW_MM * (rows.len() + 1) as f64;
    let mut sheet = Sheet::new(&title, &subtitle, body);
    let names = rows.iter().map(|row| row.0).chain([given_by]);
    let left = MARGIN_MM + names.map(|name| text_width_mm(name, TEXT_MM, false)).fold(0.0, f64::max) + 1.5;
    let text = |value: f64| {
        let share = 100.0 * value / input;
        format!("{} {}, {} %", fixed(value * scale.per_si, decimals(input * scale.per_si)), scale.unit, fixed(share, 1))
    };
    let room = text_width_mm(&text(input), TEXT_MM, false) + 1.5;
    let full = WIDTH_MM - MARGIN_MM - room - left;
    let top = sheet.head_mm + 2.0;
    let bottom = top + ROW_MM * (rows.len() + 1) as f64;
    for (number, (name, value)) in std::iter::once((given_by, input)).chain(rows).enumerate() {
        let y = top + ROW_MM * (number as f64 + 0.5);
        sheet.text((left - 1.5, y), name, INK, Anchor::End);
        let end = left + full * (value / input).max(0.0);
        let bar = PlotFrame { left, top: y - 0.33 * ROW_MM, right: end, bottom: y + 0.33 * ROW_MM };
        sheet.block(&bar, if number == 0 { ENTRY } else { NEUTRAL });
        sheet.text((end + 1.2, y), &text(value), INK, Anchor::Start);
    }
    sheet.faint_line((left, top), (left, bottom), Pen::solid(SOFT, HAIR_MM));
    let name = format!("energy a beat ({}) and share of the input (%)", scale.unit);
    sheet.text((WIDTH_MM - MARGIN_MM, bottom + 3.4), &name, INK, Anchor::End);
    Some((title, sheet))
}

/// Decimals for a list whose largest value this is.
pub(super) fn decimals(largest: f64) -> usize {
    if largest >= 100.0 {
        1
    } else if largest >= 10.0 {
        2
    } else {
        3
    }
}
