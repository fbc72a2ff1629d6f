//! Distribution of the copies' rate.

use crate::numerics::intervals::quantile;
use crate::report::canvas::labels::Label;
use crate::report::canvas::look::{CURVE_MM, DASHED, ENTRY, EXIT, INK, NEUTRAL, Pen, THIN_MM, WHEEL, fixed};
use crate::report::canvas::panel::{Panel, PanelAxis};
use crate::report::canvas::sheet::{At, PlotFrame, Sheet};

use super::Drawn;

/// Bars.
const BARS: usize = 25;

/// Range of rates below which they are printed to a hundredth, s/day.
const FINE_S_PER_DAY: f64 = 5.0;

/// Shares of the copies beyond which a rate is off the picture.
const SHOWN: (f64, f64) = (0.001, 0.999);

/// Height at which the middle rate is named, above all other lines, as a share of the tallest bar.
const MEDIAN_AT: f64 = 1.28;

/// The same of the others, any of these.
const ENDS_AT: [f64; 4] = [1.04, 0.86, 0.68, 0.5];

/// How far a line goes beyond the middle of its name.
const HEAD: f64 = 0.08;

/// The distribution of `rates` of copies that keep going, rising, s/day, and the rates that 5 %, half and 95 % of them lie below.
pub(super) fn draw(name: &str, rates: &[f64], [p5, p50, p95]: [f64; 3]) -> Drawn {
    let (low, high) = (quantile(rates, SHOWN.0)?, quantile(rates, SHOWN.1)?);
    if !(high - low > 1e-9 * high.abs().max(1e-3)) {
        return None;
    }
    let decimals = if high - low < FINE_S_PER_DAY { 2 } else { 1 };
    let width = (high - low) / BARS as f64;
    let mut counts = [0usize; BARS];
    let mut off = 0;
    for &rate in rates {
        if rate < low || rate > high {
            off += 1;
            continue;
        }
        counts[(((rate - low) / width) as usize).min(BARS - 1)] += 1;
    }
    let title = format!("{}: rate of the copies", name);
    let mut subtitle = format!(
        "{} copies that keep going; nine in ten from {} to {} s/day (positive: gains).",
        rates.len(),
        fixed(p5, decimals),
        fixed(p95, decimals)
    );
    if off > 0 {
        subtitle.push_str(&format!(" {off} beyond the scale, not shown."));
    }
    let mut sheet = Sheet::new(&title, &subtitle, 50.0);
    let percent = |count: usize| 1e2 * count as f64 / rates.len() as f64;
    let tallest = counts.iter().map(|&count| percent(count)).fold(0.0, f64::max);
    let x = PanelAxis::over([low, high], "rate (s/day)", 7.0);
    let y = PanelAxis::between(0.0, 1.4 * tallest, "copies (%)", 5.0);
    let panel = Panel::alone(&mut sheet, x, y);
    let outline = Pen::solid(NEUTRAL, THIN_MM);
    for (number, &count) in counts.iter().enumerate() {
        let from = low + width * number as f64;
        let (a, b) = (panel.at((from, percent(count))), panel.at((from + width, 0.0)));
        sheet.block(&PlotFrame { left: a.0, top: a.1, right: b.0, bottom: b.1 }, WHEEL);
        sheet.line([(a.0, b.1), a, (b.0, a.1), b], outline);
    }
    let upright = |sheet: &mut Sheet, rate: f64, (top, pen): (f64, Pen)| {
        panel.curve(sheet, [(rate, 0.0), (rate, top * tallest)], pen);
        let (foot, head) = (panel.at((rate, 0.0)), panel.at((rate, top * tallest)));
        sheet.keep_clear(PlotFrame { left: foot.0, top: head.1, right: foot.0, bottom: foot.1 }.grown(0.1));
    };
    let mut name = |(rate, text): (f64, String), heights: &[f64], (right, pen): (f64, Pen)| {
        upright(&mut sheet, rate, (heights[0] + HEAD, pen));
        let places: Vec<At> = heights.iter().map(|height| panel.at((rate, height * tallest))).collect();
        let (at, within, colour) = (places[0], panel.frame, pen.colour);
        let label = Label { at, text, colour, towards: (right, 0.0), within, leader: true };
        sheet.label_at_one_of(label, places);
    };
    let rate_text = |rate: f64| fixed(rate, decimals);
    name((p50, format!("half of them: {}", rate_text(p50))), &[MEDIAN_AT], (1.0, Pen::solid(ENTRY, CURVE_MM)));
    let end = Pen::solid(EXIT, CURVE_MM).broken(DASHED);
    name((p5, format!("5 %\n{}", rate_text(p5))), &ENDS_AT, (-1.0, end));
    name((p95, format!("95 %\n{}", rate_text(p95))), &ENDS_AT, (1.0, end));
    if panel.x().low() < 0.0 && panel.x().high() > 0.0 {
        panel.curve(&mut sheet, [(0.0, 0.0), (0.0, (ENDS_AT[0] + HEAD) * tallest)], Pen::solid(INK, THIN_MM));
    }
    Some((title, sheet))
}
