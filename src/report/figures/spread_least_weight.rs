//! Share of copies that go, over the weight: the distribution of their least weights.

use crate::report::canvas::labels::Label;
use crate::report::canvas::look::{CURVE_MM, DASHED, ENTRY, ENTRY_PALE, EXIT, Pen, fixed, short, significant};
use crate::report::canvas::panel::{Panel, PanelAxis};
use crate::report::canvas::sheet::{PlotFrame, Sheet};

use super::Drawn;
use super::spread::SpreadData;

/// The axis ends at so many times the largest weight that is asked for by name.
const HIGHEST: f64 = 1.4;

/// Most copies that are drawn as steps of their own, so that the picture stays small.
const MOST_STEPS: usize = 1000;

pub(super) fn draw(data: &SpreadData<'_>) -> Drawn {
    let found = data.found;
    let (unit, scale, what) = if data.by_weight { ("kg", 1.0, "weight") } else { ("mN m", 1e3, "torque") };
    let least: Vec<f64> = data.least.iter().filter(|least| least.is_finite()).map(|least| scale * least).collect();
    let (first, last) = (*least.first()?, *least.last()?);
    let asked = Some(scale * found.drive_for_share.value).filter(|value| value.is_finite());
    let own = found.own_drive.map(|own| scale * own.value());
    let title = format!("{}: how many copies go, over the {what}", data.name);
    let named = own.into_iter().chain(asked).fold(first, f64::max);
    let high = last.min(HIGHEST * named).max(named);
    let mut subtitle = format!(
        "{} printed copies; {} % keep going as designed (95 % interval {} to {} %).",
        found.counted,
        fixed(1e2 * found.going.value, 1),
        fixed(1e2 * found.going.low, 1),
        fixed(1e2 * found.going.high, 1)
    );
    let share_of = |count: usize| fixed(1e2 * count as f64 / data.least.len() as f64, 1);
    let heavier = least.iter().filter(|&&least| least > high).count();
    if heavier > 0 {
        subtitle.push_str(&format!(" {} % need more than is shown.", share_of(heavier)));
    }
    if least.len() < data.least.len() {
        subtitle.push_str(&format!(" {} % stop at any {what}.", share_of(data.least.len() - least.len())));
    }
    let mut sheet = Sheet::new(&title, &subtitle, 58.0);
    let x = PanelAxis::over([first, high], &format!("{what} ({unit})"), 7.0);
    let y = PanelAxis::between(0.0, 105.0, "copies for which it is enough (%)", 6.0);
    let panel = Panel::alone(&mut sheet, x, y);
    let share_percent = 1e2 * found.share;
    let (low, top) = (found.drive_for_share.low, found.drive_for_share.high);
    if let (Some(low), Some(top)) = (low.map(|low| scale * low), top.map(|top| scale * top))
        && top.is_finite()
    {
        let (from, to) = (panel.at((low, panel.y().high())), panel.at((top.min(panel.x().high()), 0.0)));
        sheet.block(&PlotFrame { left: from.0, top: from.1, right: to.0, bottom: to.1 }, ENTRY_PALE);
    }
    if let Some(own) = own {
        panel.upright(&mut sheet, own, Pen::solid(EXIT, CURVE_MM).broken(DASHED));
        let (at, within) = (panel.at((own, 30.0)), panel.frame);
        let text = format!("as designed\n{} {unit}", significant(own, 3));
        sheet.label(Label { at, text, colour: EXIT, towards: (-1.0, 0.0), within, leader: true });
    }
    let total = data.least.len() as f64;
    let mut steps = vec![(panel.x().low(), 0.0)];
    let every = least.len() / MOST_STEPS + 1;
    for (number, &weight) in least.iter().enumerate().filter(|(number, _)| number % every == 0) {
        steps.push((weight, 1e2 * number as f64 / total));
        steps.push((weight, 1e2 * (number + 1) as f64 / total));
    }
    steps.push((panel.x().high().max(last), 1e2 * least.len() as f64 / total));
    panel.curve(&mut sheet, steps, Pen::solid(ENTRY, 1.3 * CURVE_MM));
    if let Some(asked) = asked {
        let at = panel.at((asked, share_percent));
        sheet.disc(at, 1.0, ENTRY);
        let interval = match (low.map(|low| scale * low), top.map(|top| scale * top)) {
            (Some(low), Some(top)) if top.is_finite() => {
                format!("\n95 % interval {} to {}", significant(low, 4), significant(top, 4))
            }
            _ => String::new(),
        };
        let text = format!("{} {unit} for {} %{interval}", significant(asked, 4), short(share_percent, 4));
        // Clear of the band.
        let right = top.map_or(asked, |top| scale * top).clamp(asked, panel.x().high());
        let at = (panel.at((right, share_percent)).0 + 0.8, at.1);
        sheet.label(Label { at, text, colour: ENTRY, towards: (0.6, 1.0), within: panel.frame, leader: false });
    }
    Some((title, sheet))
}
