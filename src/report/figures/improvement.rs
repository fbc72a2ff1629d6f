//! The course of a search: the aim by candidate, or the front of two aims.

use crate::report::canvas::labels::Label;
use crate::report::canvas::look::{CURVE_MM, ENTRY, EXIT, INK, NEUTRAL, Pen, THIN_MM, significant};
use crate::report::canvas::panel::{Panel, PanelAxis};
use crate::report::canvas::sheet::Sheet;
use crate::report::improve::ImproveView;
use crate::study::improve::posed::PosedEscapement;
use crate::study::improve::question::Aim;

use super::{Drawn, Figure, finished, improved_escapement};

/// Height of a picture, mm.
const HEIGHT_MM: f64 = 62.0;

/// Points drawn at most, so that a picture stays small.
const MOST_POINTS: usize = 3000;

/// The axis of the aim ends so many times the way from the best to the clock as it was, or to the middle of the candidates.
const BEYOND: f64 = 1.6;

/// The search, the front of two aims, and both escapements, those that there are; `escapements`: before and after.
#[must_use]
pub fn draw_improvement(view: &ImproveView<'_>, escapements: &[Option<PosedEscapement>; 2]) -> Vec<Figure> {
    let overlaid = match escapements {
        [Some(before), Some(after)] if before != after => improved_escapement::draw(view.name, before, after),
        _ => None,
    };
    let front = if view.front.is_empty() { None } else { front(view) };
    [("search", search(view)), ("front", front), ("escapement-before-and-after", overlaid)]
        .into_iter()
        .filter_map(|(name, drawn)| finished(name, drawn))
        .collect()
}

/// The aim of a candidate that keeps the limits.
fn aim_of(view: &ImproveView<'_>, aim: &Aim, number: usize) -> Option<f64> {
    let trial = view.found.trials.get(number).filter(|trial| trial.is_allowed());
    let found = view.found.candidates.get(number).filter(|_| trial.is_some())?.found.as_ref().ok()?;
    found.of_aims[aim.number]
}

fn of_copies(view: &ImproveView<'_>) -> String {
    view.question.copies.map_or_else(String::new, |copies| {
        format!(" Of {} % of {} printed copies.", significant(1e2 * copies.share, 3), copies.count)
    })
}

fn search(view: &ImproveView<'_>) -> Drawn {
    let aim = view.question.aims.first()?;
    let key = &view.question.numbers[aim.number].key;
    let all: Vec<(usize, f64)> =
        (0..view.found.trials.len()).filter_map(|number| Some((number, aim_of(view, aim, number)?))).collect();
    let cost = |value: f64| aim.cost(value);
    let best = view.after.figures.of_aims[aim.number]?;
    let mut sorted: Vec<f64> = all.iter().map(|&(_, value)| value).collect();
    sorted.sort_by(|a, b| cost(*a).total_cmp(&cost(*b)));
    let before = view.before.and_then(|before| before.figures.of_aims[aim.number]);
    let far = before.filter(|&before| cost(before) > cost(best)).unwrap_or(sorted[sorted.len() / 2]);
    let end = best + BEYOND * (far - best);
    let title = format!("{}: the search", view.name);
    let tried = view.found.trials.len();
    let subtitle = format!(
        "{} of {tried} candidates keep every limit; line: the best so far.{}{} Candidates far off are not shown.",
        all.len(),
        if view.found.last_round < tried {
            " It starts again where the torque of the hands is that of the best design so far."
        } else {
            ""
        },
        of_copies(view)
    );
    let mut sheet = Sheet::new(&title, &subtitle, HEIGHT_MM);
    let x = PanelAxis::over([0.0, tried as f64], "candidate", 6.0);
    let y = PanelAxis::over([best, end].into_iter().chain(before), key, 6.0);
    let panel = Panel::alone(&mut sheet, x, y);
    let every = all.len() / MOST_POINTS + 1;
    let within = |value: f64| (panel.y().low()..=panel.y().high()).contains(&value);
    for &(number, value) in all.iter().step_by(every).filter(|(_, value)| within(*value)) {
        sheet.disc(panel.at(((number + 1) as f64, value)), 0.3, NEUTRAL);
    }
    let mut so_far: Option<f64> = None;
    let mut own_hours = false;
    let mut line: Vec<(f64, f64)> = Vec::new();
    for &(number, value) in &all {
        if number >= view.found.last_round && !own_hours {
            own_hours = true;
            // From here on the hands are those of the best so far, and not of the clock as it was.
            so_far = None;
        }
        let better = so_far.is_none_or(|known| cost(value) < cost(known));
        if better {
            let known = so_far.or(line.last().map(|&(_, known)| known));
            line.extend(known.map(|known| ((number + 1) as f64, known)));
            line.push(((number + 1) as f64, value));
            so_far = Some(value);
        }
    }
    line.push((tried as f64, best));
    panel.curve(&mut sheet, line, Pen::solid(ENTRY, CURVE_MM));
    if let Some(before) = before {
        panel.level(&mut sheet, before, Pen::solid(EXIT, THIN_MM));
        let (at, within) = (panel.at((0.6 * tried as f64, before)), panel.frame);
        let text = format!("before {}", significant(before, 4));
        sheet.label(Label { at, text, colour: EXIT, towards: (0.5, 1.0), within, leader: false });
    }
    let (at, within) = (panel.at((tried as f64, best)), panel.frame);
    let text = format!("best {}", significant(best, 4));
    sheet.label(Label { at, text, colour: ENTRY, towards: (-1.0, 1.0), within, leader: true });
    Some((title, sheet))
}

fn front(view: &ImproveView<'_>) -> Drawn {
    let [first, second] = view.question.aims.as_slice() else { return None };
    let key = |aim: &Aim| view.question.numbers[aim.number].key.clone();
    let place = |figures: &crate::study::improve::figures::ClockFigures| {
        Some((figures.of_aims[first.number]?, figures.of_aims[second.number]?))
    };
    let saved: Vec<(f64, f64)> = view.front.iter().filter_map(|design| place(&design.judged.figures)).collect();
    let before = view.before.and_then(|before| place(&before.figures));
    let title = format!("{}: {} against {}", view.name, key(second), key(first));
    let subtitle = format!(
        "Rings: designs of which none is better in both, each a file. Dots: other candidates within the limits.{}",
        of_copies(view)
    );
    let mut sheet = Sheet::new(&title, &subtitle, HEIGHT_MM);
    let x = PanelAxis::over(saved.iter().map(|at| at.0).chain(before.map(|at| at.0)), &key(first), 6.0);
    let y = PanelAxis::over(saved.iter().map(|at| at.1).chain(before.map(|at| at.1)), &key(second), 6.0);
    let panel = Panel::alone(&mut sheet, x, y);
    let others = (0..view.found.trials.len())
        .filter_map(|number| Some((aim_of(view, first, number)?, aim_of(view, second, number)?)));
    for at in others.take(MOST_POINTS).map(|at| panel.at(at)).filter(|&at| panel.frame.holds(at)) {
        sheet.disc(at, 0.25, NEUTRAL);
    }
    panel.curve(&mut sheet, saved.iter().copied(), Pen::solid(ENTRY, THIN_MM));
    for (number, &at) in saved.iter().enumerate() {
        sheet.ring(panel.at(at), 0.9, Pen::solid(ENTRY, CURVE_MM));
        let text = (number + 1).to_string();
        sheet.label(Label {
            at: panel.at(at),
            text,
            colour: ENTRY,
            towards: (-0.7, 1.0),
            within: panel.frame,
            leader: false,
        });
    }
    if let Some(before) = before {
        sheet.cross(panel.at(before), 1.2, Pen::solid(INK, CURVE_MM));
        let (at, within) = (panel.at(before), panel.frame);
        sheet.label(Label { at, text: "before".to_owned(), colour: INK, towards: (1.0, 0.6), within, leader: true });
    }
    Some((title, sheet))
}
