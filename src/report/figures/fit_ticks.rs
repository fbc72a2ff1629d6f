//! Ticks against an even pace, tooth by tooth, and what is left.

use crate::clock::SECONDS_PER_HOUR;
use crate::report::canvas::look::{ENTRY, EXIT, HAIR_MM, INK, Pen, SOFT, THIN_MM, fixed};
use crate::report::canvas::panel::{Panel, PanelAxis, left_edge_mm};
use crate::report::canvas::sheet::Sheet;
use crate::report::fit::ticks::TicksView;
use crate::study::fit::ticks::TickDeviation;

use super::{Drawn, Figure, finished};

/// Height of a panel, mm.
const PANEL_MM: f64 = 42.0;

/// Dots of a panel at most; of more ticks the means of several in a row are drawn.
const MOST_DOTS: usize = 3000;

/// Longest record whose time is in seconds, s, and in minutes.
const IN_SECONDS_S: f64 = 300.0;
const IN_MINUTES_S: f64 = 4.0 * SECONDS_PER_HOUR;

/// The ticks in panels: against an even pace over time, the beats of a turn of the escape wheel by tooth, and what is left.
#[must_use]
pub fn draw_fit_ticks(view: &TicksView<'_>) -> Option<Figure> {
    finished("fit", draw(view))
}

/// A dot: time, s, deviation, ms, and whether it is of the first tick's side.
type Dot = (f64, f64, bool);

/// The deviations, or the means of so many in a row on either side that not too many are left.
fn thinned(deviations: &[TickDeviation], of: impl Fn(&TickDeviation) -> f64) -> (Vec<Dot>, usize) {
    let together = deviations.len().div_ceil(MOST_DOTS).max(1);
    let mut dots = Vec::new();
    for side in [0, 1] {
        let own: Vec<&TickDeviation> = deviations.iter().filter(|tick| tick.beat % 2 == side).collect();
        dots.extend(own.chunks(together).map(|ticks| {
            let share = 1.0 / ticks.len() as f64;
            let time_s = share * ticks.iter().map(|tick| tick.time_s).sum::<f64>();
            (time_s, 1e3 * share * ticks.iter().map(|tick| of(tick)).sum::<f64>(), side == 0)
        }));
    }
    (dots, together)
}

fn draw(view: &TicksView<'_>) -> Drawn {
    let fit = view.fit;
    let (even, together) = thinned(&fit.deviations, |tick| tick.from_even_s);
    let (left, _) = thinned(&fit.deviations, |tick| tick.left_s);
    let first_s = even.iter().map(|dot| dot.0).fold(f64::INFINITY, f64::min);
    if even.len() < 2 || !first_s.is_finite() {
        return None;
    }
    let turn = fit.by_beat_s.as_ref().ok().filter(|by_beat_s| !by_beat_s.is_empty());
    let panels = if turn.is_some() { 3.0 } else { 2.0 };
    let title = format!("{}: its ticks", view.name);
    let mut subtitle = format!("Period {} s.", fixed(fit.period_s.value, 5));
    if let Some(rate) = fit.rate_s_per_day {
        subtitle.push_str(&format!(" Rate {} s/day (positive: gains).", fixed(rate.value, 1)));
    }
    subtitle.push_str(&format!(
        " Out of beat by {} ms, scatter of a tick {} ms.",
        fixed(1e3 * fit.beat_error_s.value.abs(), 1),
        fixed(1e3 * fit.scatter_s, 2)
    ));
    if together > 1 {
        subtitle.push_str(&format!(" A dot is the mean of {together} ticks."));
    }
    subtitle.push_str(" Blue: the side of the first tick, orange: the other.");
    if fit.diagnosis.is_some() {
        subtitle.push_str(" Rings: with the faults found.");
    }
    let mut sheet = Sheet::new(&title, &subtitle, PANEL_MM * panels + 12.0);
    let (unit_s, unit) = match fit.span_s {
        ..=IN_SECONDS_S => (1.0, "s"),
        ..=IN_MINUTES_S => (60.0, "min"),
        _ => (SECONDS_PER_HOUR, "h"),
    };
    let time = |dots: &[Dot]| PanelAxis::over(dots.iter().map(|dot| dot.0 / unit_s), &format!("time ({unit})"), 8.0);
    let over = |dots: &[Dot], name: &str| PanelAxis::over(dots.iter().map(|dot| dot.1).chain([0.0]), name, 4.0);
    let axes = [
        over(&even, "from an even pace, late is positive (ms)"),
        over(&left, "what teeth, beat and arbors leave (ms)"),
    ];
    let by_tooth = turn.map(|by_beat_s| {
        let ends = by_beat_s.iter().flat_map(|beat| [-1.0, 1.0].map(|side| 1e3 * (beat.value + side * beat.sigma)));
        PanelAxis::over(ends.chain([0.0]), "beats of a turn, late is positive (ms)", 4.0)
    });
    let all: Vec<&PanelAxis> = axes.iter().chain(&by_tooth).collect();
    let edge = left_edge_mm(&all);
    let [even_axis, left_axis] = axes.clone();
    let top = sheet.head_mm;
    let upper = Panel::drawn(&mut sheet, (edge, top, top + PANEL_MM), time(&even), even_axis, by_tooth.is_some());
    dots(&mut sheet, &upper, &even, unit_s);
    let mut next = top + PANEL_MM;
    if let (Some(axis), Some(by_beat_s)) = (by_tooth, turn) {
        let teeth = by_beat_s.len() as f64 / 2.0;
        let x = PanelAxis::between(0.0, teeth + 1.0, "tooth, in the order in which they are heard", 10.0);
        let panel = Panel::drawn(&mut sheet, (edge, next + 1.0, next + PANEL_MM + 5.0), x, axis, true);
        panel.level(&mut sheet, 0.0, Pen::solid(SOFT, HAIR_MM));
        let modelled_s = fit.diagnosis.as_ref().map(|diagnosis| &diagnosis.best.modelled_s[..]).unwrap_or_default();
        for (beat, deviation) in by_beat_s.iter().enumerate() {
            let (first, place) = (beat % 2 == 0, 1.0 + (beat / 2) as f64 + 0.4 * (beat % 2) as f64);
            let colour = if first { ENTRY } else { EXIT };
            let bar = [-1.0, 1.0].map(|side| (place, 1e3 * (deviation.value + side * deviation.sigma)));
            // A ring hides what is below it.
            if let Some(modelled_s) = modelled_s.get(beat) {
                sheet.ring(panel.at((place, 1e3 * modelled_s)), 0.85, Pen::solid(INK, HAIR_MM));
            }
            panel.curve(&mut sheet, bar, Pen::solid(colour, THIN_MM));
            sheet.disc(panel.at((place, 1e3 * deviation.value)), 0.45, colour);
        }
        next += PANEL_MM + 5.0;
    }
    let bottom = sheet.page().bottom;
    let lower = Panel::drawn(&mut sheet, (edge, next + 1.0, bottom), time(&left), left_axis, true);
    lower.level(&mut sheet, 0.0, Pen::solid(SOFT, HAIR_MM));
    dots(&mut sheet, &lower, &left, unit_s);
    Some((title, sheet))
}

fn dots(sheet: &mut Sheet, panel: &Panel, dots: &[Dot], unit_s: f64) {
    for &(time_s, deviation_ms, first) in dots {
        let colour = if first { ENTRY } else { EXIT };
        sheet.disc(panel.at((time_s / unit_s, deviation_ms)), 0.3, colour);
    }
}
