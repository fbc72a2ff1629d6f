//! Rate shift and added `1/Q` over the run, as the weight sinks past the bob.

use crate::answers::prediction::Prediction;
use crate::answers::support::SupportPlace;
use crate::clock::environment::InRoom;
use crate::report::canvas::labels::Label;
use crate::report::canvas::look::{CURVE_MM, DASHED, ENTRY, EXIT, HAIR_MM, Pen, SOFT, significant};
use crate::report::canvas::panel::{Panel, PanelAxis, left_edge_mm};
use crate::report::canvas::sheet::Sheet;

use super::Drawn;

/// Parts of the pendulum's own `1/Q` in which the lower panel shows what is added.
const PERCENT: f64 = 1e2;

/// `None` where no support is given, no weight hangs, or nothing gives the time.
pub(super) fn draw(design: &InRoom, prediction: &Prediction) -> Drawn {
    let answer = prediction.support.as_ref()?;
    let found = answer.on_support.as_ref()?;
    let (worst, own_q) = (found.worst?, answer.own_q?);
    let (last_days, worst_days) = (found.run.last()?.days.filter(|days| *days > 0.0)?, worst.place.days?);
    let share = |place: &SupportPlace| PERCENT * place.added_q / own_q;
    let title = format!("{}: wall and hanging weight", design.name);
    let there = if worst.stops.is_some() { "stops" } else { "keeps going" };
    let subtitle = format!(
        "Most loss after {} days, {} % of the pendulum's own: there the clock {there}.",
        significant(worst_days, 3),
        significant(share(&worst.place), 2)
    );
    let mut sheet = Sheet::new(&title, &subtitle, 84.0);
    let mut places = found.run.clone();
    let after = places.iter().position(|place| place.hangs_m > worst.place.hangs_m).unwrap_or(places.len());
    places.insert(after, worst.place);
    let x = || PanelAxis::between(0.0, last_days, "after winding (days)", 8.0);
    let shifts = places.iter().map(|place| place.rate_shift_s_per_day);
    let upper = PanelAxis::over(shifts, "rate shift, gaining is positive (s/day)", 5.0);
    let lower = PanelAxis::over(places.iter().map(share).chain([0.0]), "added 1/Q (% of the pendulum's own)", 4.0);
    let left = left_edge_mm(&[&upper, &lower]);
    let (top, bottom) = (sheet.head_mm, sheet.page().bottom);
    let split = top + 0.5 * (bottom - top);
    let along = |of: &dyn Fn(&SupportPlace) -> f64| -> Vec<(f64, f64)> {
        places.iter().filter_map(|place| Some((place.days?, of(place)))).collect()
    };
    let rate = Panel::drawn(&mut sheet, (left, top, split), x(), upper, false);
    rate.level(&mut sheet, found.without_weight.0, Pen::solid(SOFT, HAIR_MM).broken(DASHED));
    rate.curve(&mut sheet, along(&|place| place.rate_shift_s_per_day), Pen::solid(ENTRY, CURVE_MM));
    let loss = Panel::drawn(&mut sheet, (left, split, bottom), x(), lower, true);
    loss.curve(&mut sheet, along(&share), Pen::solid(EXIT, CURVE_MM));
    let at = loss.at((worst_days, share(&worst.place)));
    sheet.disc(at, 0.8, EXIT);
    let text = format!("{} days, {} m below the drum", significant(worst_days, 3), significant(worst.place.hangs_m, 3));
    sheet.label(Label { at, text, colour: EXIT, towards: (1.0, 0.4), within: loss.frame, leader: true });
    let at = rate.at((0.7 * last_days, found.without_weight.0));
    let text = "with no weight on the cord".to_owned();
    sheet.label(Label { at, text, colour: SOFT, towards: (0.3, -1.0), within: rate.frame, leader: false });
    Some((title, sheet))
}
