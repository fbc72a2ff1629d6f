//! The largest levers as bars.

use crate::answers::no_answer::NoAnswer;
use crate::report::canvas::look::{ENTRY, EXIT, HAIR_MM, INK, MARGIN_MM, Pen, SOFT, TEXT_MM, WIDTH_MM, text_width_mm};
use crate::report::canvas::sheet::{Anchor, PlotFrame, Sheet};
use crate::report::levers::text::{signed, step_in_words};
use crate::report::levers::{LeversView, shown_sides};
use crate::report::words::quantities::quantity_in_words;
use crate::study::levers::Lever;
use crate::study::levers::answers::LeverAnswer;

use super::{Drawn, Figure, finished};

/// Bars at most.
const MOST_BARS: usize = 12;

/// Height of a lever: a line of text and the bar under it, mm.
const ROW_MM: f64 = 6.6;

/// Height of a bar, mm.
const BAR_MM: f64 = 1.7;

/// Levers by their effect on the ranking answer; `None` without any.
#[must_use]
pub fn draw_levers(view: &LeversView<'_>) -> Option<Figure> {
    finished("levers", draw(view))
}

/// A lever as it is drawn.
struct Bar {
    text: String,
    /// Change as printed; `None` where the clock stops.
    value: Option<f64>,
}

fn draw(view: &LeversView<'_>) -> Drawn {
    let today = &view.levers.today;
    let bars: Vec<Bar> = view
        .levers
        .ranked(view.by)
        .into_iter()
        .filter(|lever| lever.stops(view.by) || lever.effect(view.by) > 0.0)
        .filter(|lever| lever.moves(today))
        .filter_map(|lever| bar(view, lever))
        .take(MOST_BARS)
        .collect();
    let largest = bars.iter().filter_map(|bar| bar.value).map(f64::abs).fold(0.0, f64::max);
    if bars.is_empty() {
        return None;
    }
    let (unit, what) = match view.by {
        LeverAnswer::Rate => ("s/day", "change of the rate (s/day, positive: gains)".to_owned()),
        LeverAnswer::Amplitude => ("deg", "change of the semi-arc (deg)".to_owned()),
        _ => ("%", format!("change of the {} (%)", view.words(view.by))),
    };
    let title = format!("{}: levers of the {}", view.name, short(view, view.by));
    let subtitle =
        "Effect of one step of each quantity; the step is written beside it. Bars to the right are increases.";
    let body = ROW_MM * bars.len() as f64 + 8.0;
    let mut sheet = Sheet::new(&title, subtitle, body);
    let top = sheet.head_mm + 1.5;
    let bottom = top + ROW_MM * bars.len() as f64;
    let label = |value: f64| format!("{} {unit}", signed(value));
    let room = bars
        .iter()
        .map(|bar| text_width_mm(&bar.value.map_or_else(|| "stops".to_owned(), label), TEXT_MM, false))
        .fold(0.0, f64::max)
        + 2.0;
    let middle = 0.5 * WIDTH_MM;
    let full = 0.5 * WIDTH_MM - MARGIN_MM - room;
    for (number, bar) in bars.iter().enumerate() {
        let y = top + ROW_MM * number as f64;
        sheet.text((MARGIN_MM, y + 1.7), &bar.text, INK, Anchor::Start);
        let centre = y + 1.7 + 0.6 * TEXT_MM + 0.5 * BAR_MM + 0.4;
        let Some(value) = bar.value else {
            sheet.text((middle + 1.2, centre), "stops", EXIT, Anchor::Start);
            continue;
        };
        let end = middle + full * value / largest;
        let frame = PlotFrame {
            left: middle.min(end),
            top: centre - 0.5 * BAR_MM,
            right: middle.max(end),
            bottom: centre + 0.5 * BAR_MM,
        };
        let (colour, anchor, gap) = if value < 0.0 { (EXIT, Anchor::End, -1.0) } else { (ENTRY, Anchor::Start, 1.0) };
        sheet.block(&frame, colour);
        sheet.text((end + gap, centre), &label(value), INK, anchor);
    }
    for number in 0..bars.len() {
        let y = top + ROW_MM * number as f64 + 3.4;
        sheet.faint_line((middle, y), (middle, y + ROW_MM - 3.6), Pen::solid(SOFT, HAIR_MM));
    }
    sheet.text((middle, bottom + 3.4), &what, INK, Anchor::Middle);
    Some((title, sheet))
}

fn bar(view: &LeversView<'_>, lever: &Lever) -> Option<Bar> {
    let &(side, up) = shown_sides(lever, view.by).first()?;
    let step = step_in_words(lever, up);
    let path = &lever.quantity.path;
    let words = quantity_in_words(path);
    let named = format!("{words}, {path}");
    // Beside a long name there is no room for the path; the table has it.
    let room = WIDTH_MM - 2.0 * MARGIN_MM;
    let name = if text_width_mm(&format!("{named}: {step}"), TEXT_MM, false) <= room { &named } else { &words };
    let text = fitted(name, &format!(": {step}"));
    match (side.change[view.by.index()], &side.missing) {
        (Some(change), _) => Some(Bar { text, value: Some(view.shown(view.by, change)?.0) }),
        (None, Some(NoAnswer::Stops(_))) => Some(Bar { text, value: None }),
        (None, _) => None,
    }
}

/// Name and step in one line, a long name without its beginning, and without what XML cannot hold.
fn fitted(path: &str, step: &str) -> String {
    let letters: Vec<char> =
        path.chars().filter(|letter| !letter.is_control() && !matches!(letter, '\u{fffe}' | '\u{ffff}')).collect();
    (0..letters.len())
        .map(|cut| {
            let rest: String = letters[cut..].iter().collect();
            format!("{}{rest}{step}", if cut > 0 { "\u{2026}" } else { "" })
        })
        .find(|text| text_width_mm(text, TEXT_MM, false) <= WIDTH_MM - 2.0 * MARGIN_MM)
        .unwrap_or_default()
}

fn short(view: &LeversView<'_>, answer: LeverAnswer) -> &'static str {
    if answer == LeverAnswer::Margin { view.reserve() } else { view.words(answer) }
}
