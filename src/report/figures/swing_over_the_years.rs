//! Margin and rate over the years, as frictions grow.

use crate::answers::life::{AgedSwing, Lasting};
use crate::answers::prediction::Prediction;
use crate::clock::environment::InRoom;
use crate::report::canvas::labels::Label;
use crate::report::canvas::look::{CURVE_MM, DASHED, ENTRY, EXIT, HAIR_MM, Pen, SOFT, THIN_MM, short, significant};
use crate::report::canvas::panel::{Panel, PanelAxis, left_edge_mm};
use crate::report::canvas::sheet::Sheet;
use crate::report::life::text::years_in_words;
use crate::study::portrait::Portrait;

use super::Drawn;

/// `None` where the clock stops as it is, or does not age.
pub(super) fn draw(design: &InRoom, prediction: &Prediction, portrait: &Portrait) -> Drawn {
    let life = prediction.life.as_ref().ok()?;
    let ages = &portrait.ages;
    let (first, last) = (ages.first()?, ages.last().filter(|last| last.years > 0.0)?);
    let title = format!("{}: the years, never cleaned", design.name);
    let lasting = |lasting: Lasting| lasting.years().map(|years| years_in_words(years, life.either_way(Some(years))));
    let goes = lasting(life.going).map_or_else(|| "does not stop".to_owned(), |years| format!("goes for {years}"));
    let margin =
        life.margin.and_then(lasting).map_or_else(|| "The clock".to_owned(), |years| format!("Margin for {years},"));
    let mut sheet = Sheet::new(&title, &format!("{margin} {goes}."), 84.0);
    let x = || PanelAxis::between(0.0, last.years, "age (years)", 8.0);
    let asked_deg = prediction.built.margin_rad.to_degrees();
    let margins = ages.iter().map(|aged| aged.arc_margin_rad.to_degrees());
    let upper = PanelAxis::over(margins.chain([0.0, asked_deg]), "swing beyond the escaping arc (deg)", 5.0);
    let shift = |aged: &AgedSwing| Some(aged.rate_s_per_day? - first.rate_s_per_day?);
    let shifts: Vec<(f64, f64)> = ages.iter().filter_map(|aged| Some((aged.years, shift(aged)?))).collect();
    let lower = PanelAxis::over(shifts.iter().map(|at| at.1).chain([0.0]), "rate since new (s/day)", 4.0);
    let left = left_edge_mm(&[&upper, &lower]);
    let (top, bottom) = (sheet.head_mm, sheet.page().bottom);
    let split = if shifts.is_empty() { bottom } else { top + 0.55 * (bottom - top) };
    let swing = Panel::drawn(&mut sheet, (left, top, split), x(), upper, shifts.is_empty());
    swing.level(&mut sheet, asked_deg, Pen::solid(SOFT, HAIR_MM).broken(DASHED));
    let margins = |slower: f64| -> Vec<(f64, f64)> {
        let at = ages.iter().map(|aged| (slower * aged.years, aged.arc_margin_rad.to_degrees()));
        at.take_while(|at| at.0 <= last.years).collect()
    };
    let within = swing.frame;
    // Rates that are off by a factor only stretch the years.
    let off_by = life.ageing.within;
    if off_by > 1.0 {
        let factor = short(off_by, 2);
        for (slower, share, text, towards) in [
            (off_by.recip(), 0.35, format!("growing {factor} times as fast"), (-0.6, 1.0)),
            (off_by, 0.6, format!("1/{factor} as fast"), (1.0, -0.8)),
        ] {
            let curve = margins(slower);
            let named = curve.get((share * curve.len() as f64) as usize).copied();
            swing.curve(&mut sheet, curve, Pen::solid(ENTRY, THIN_MM).broken(DASHED));
            if let Some(at) = named {
                sheet.label(Label { at: swing.at(at), text, colour: ENTRY, towards, within, leader: true });
            }
        }
    }
    swing.curve(&mut sheet, margins(1.0), Pen::solid(ENTRY, CURVE_MM));
    let at = swing.at((0.75 * last.years, asked_deg));
    let text = format!("margin asked, {}\u{b0}", significant(asked_deg, 2));
    sheet.label(Label { at, text, colour: SOFT, towards: (0.3, -1.0), within, leader: false });
    if let Some(years) = life.margin.and_then(Lasting::years).filter(|&years| years < last.years) {
        let at = swing.at((years, asked_deg));
        sheet.disc(at, 0.8, EXIT);
        let text = format!("after {} years", significant(years, 2));
        sheet.label(Label { at, text, colour: EXIT, towards: (1.0, -1.0), within, leader: true });
    }
    if let Some(years) = life.going.years().filter(|&years| years < 1.01 * last.years) {
        let at = swing.at((last.years, last.arc_margin_rad.to_degrees()));
        sheet.disc(at, 0.8, ENTRY);
        let text = format!("stops after {} years", significant(years, 2));
        sheet.label(Label { at, text, colour: ENTRY, towards: (-1.0, 0.3), within, leader: true });
    }
    if !shifts.is_empty() {
        let rate = Panel::drawn(&mut sheet, (left, split, bottom), x(), lower, true);
        rate.level(&mut sheet, 0.0, Pen::solid(SOFT, HAIR_MM).broken(DASHED));
        rate.curve(&mut sheet, shifts, Pen::solid(EXIT, CURVE_MM));
    }
    Some((title, sheet))
}
