//! Which input makes the copies differ: what to tighten.

use crate::numerics::indices::SobolIndex;
use crate::report::canvas::look::{
    CURVE_MM, ENTRY, ENTRY_PALE, HAIR_MM, INK, MARGIN_MM, Pen, SOFT, TEXT_MM, WIDTH_MM, fixed, text_width_mm,
};
use crate::report::canvas::sheet::{Anchor, PlotFrame, Sheet};
use crate::report::words::spread_inputs::{answer_name, input_name};

use super::Drawn;
use super::spread::SpreadData;

/// Height of a row, mm.
const ROW_MM: f64 = 4.2;

/// Height of an answer's heading, mm.
const HEADING_MM: f64 = 5.0;

pub(super) fn draw(data: &SpreadData<'_>) -> Drawn {
    let shown: Vec<(&'static str, Vec<SobolIndex>)> = data
        .found
        .explained
        .iter()
        .filter_map(|explained| {
            let indices = explained.indices.as_ref()?.iter().map(SobolIndex::within_bounds).collect();
            Some((answer_name(explained.answer, data.by_weight), indices))
        })
        .collect();
    if shown.is_empty() {
        return None;
    }
    let title = format!("{}: what makes the copies differ", data.name);
    let subtitle = "Share of the variance that an input explains. Dark: alone; whole bar: together with others (Sobol \
        indices, first-order and total); line: 95 % interval of the whole bar. Estimates beyond 0 or 100 % are shown at \
        that bound. Tighten the input with the longest bar first.";
    let names: Vec<String> = data.inputs.iter().map(input_name).collect();
    let section = HEADING_MM + ROW_MM * names.len() as f64;
    let mut sheet = Sheet::new(&title, subtitle, 8.0 + section * shown.len() as f64);
    let left = MARGIN_MM + names.iter().map(|name| text_width_mm(name, TEXT_MM, false)).fold(0.0, f64::max) + 1.5;
    let room = text_width_mm("100 / 100 %", TEXT_MM, false) + 1.5;
    let longest =
        shown.iter().flat_map(|(_, indices)| indices.iter()).map(|index| index.total.high).fold(1e-3, f64::max);
    let full = WIDTH_MM - MARGIN_MM - room - left;
    let place = |share: f64| left + full * share.clamp(0.0, longest) / longest;
    let top = sheet.head_mm + 1.5;
    for (number, (answer, indices)) in shown.iter().enumerate() {
        let head = top + section * number as f64;
        sheet.text((left, head + 0.5 * HEADING_MM), answer, INK, Anchor::Start);
        let first = head + HEADING_MM;
        for (row, (name, index)) in names.iter().zip(indices.iter()).enumerate() {
            let y = first + ROW_MM * (row as f64 + 0.5);
            sheet.text((left - 1.5, y), name, INK, Anchor::End);
            let bar = |share: f64, half: f64| PlotFrame { left, top: y - half, right: place(share), bottom: y + half };
            sheet.block(&bar(index.total.value, 0.34 * ROW_MM), ENTRY_PALE);
            sheet.block(&bar(index.first_order.value, 0.2 * ROW_MM), ENTRY);
            let (from, to) = (place(index.total.low), place(index.total.high));
            sheet.line([(from, y), (to, y)], Pen::solid(SOFT, 0.7 * CURVE_MM));
            for end in [from, to] {
                sheet.line([(end, y - 0.7), (end, y + 0.7)], Pen::solid(SOFT, 0.7 * CURVE_MM));
            }
            let percent = |share: f64| fixed(1e2 * share, 0);
            let text = format!("{} / {} %", percent(index.first_order.value), percent(index.total.value));
            sheet.text((WIDTH_MM - MARGIN_MM, y), &text, INK, Anchor::End);
        }
        let foot = first + ROW_MM * names.len() as f64;
        sheet.faint_line((left, first), (left, foot), Pen::solid(SOFT, HAIR_MM));
    }
    let end = top + section * shown.len() as f64;
    sheet.text((WIDTH_MM - MARGIN_MM, end + 3.0), "share of the variance, alone / with others (%)", INK, Anchor::End);
    Some((title, sheet))
}
