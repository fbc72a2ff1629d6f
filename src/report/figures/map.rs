//! Pictures of a map: what becomes of the clock, and every answer as contours or as a curve.

use crate::report::canvas::labels::Label;
use crate::report::canvas::look::{CURVE_MM, DASHED, ENTRY, INK, Pen, THIN_MM, fixed, significant};
use crate::report::canvas::panel::{Panel, PanelAxis};
use crate::report::canvas::sheet::{PlotFrame as Edges, Sheet};
use crate::report::map::{MapView, in_words};
use crate::study::map::{Map, MapRow, Outcome, START};

use super::map_contours::{contour, levels};
use super::map_regions::{draw_regions, fill, name_region};

/// A picture of a map.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct MapFigure {
    /// File stem.
    pub name: String,
    /// The picture: a whole SVG document, 90 mm wide.
    pub svg: String,
}

/// Values of both axes, and a number for each pair of them, x after x.
type MapGrid = (Vec<f64>, Vec<f64>, Vec<Option<f64>>);

/// Height of a picture's body, mm.
const BODY_MM: f64 = 84.0;

/// The pictures that have a meaning for a map; the same bytes for the same map.
#[must_use]
pub fn draw_map(view: &MapView<'_>, map: &Map) -> Vec<MapFigure> {
    let mut drawn = Vec::new();
    if view.y.is_some() {
        drawn.push(("map".to_owned(), verdicts(view, map)));
    }
    for (number, key) in view.keys.iter().enumerate() {
        let sheet = if view.y.is_some() { contours(view, map, number) } else { curve(view, map, number) };
        drawn.push((format!("map-{key}"), sheet));
    }
    drawn.into_iter().filter_map(|(name, sheet)| Some(MapFigure { name, svg: sheet?.svg()? })).collect()
}

/// A quantity's name on an axis, with its unit.
fn axis_name(axis: &crate::study::map::axis::Axis) -> String {
    let unit = axis.unit.as_ref().map(|unit| format!(" ({unit})")).unwrap_or_default();
    match axis.path.as_str() {
        "drive.weight" => format!("driving weight{unit}"),
        START => format!("start arc{unit}"),
        _ => in_words(axis),
    }
}

/// An answer's name, with its unit.
fn answer_name(key: &str) -> String {
    match key {
        "semi_arc_deg" => "amplitude (deg)".to_owned(),
        "rate_s_per_day" => "rate, gaining is positive (s/day)".to_owned(),
        "period_s" => "period (s)".to_owned(),
        "weight_ratio" => "weight reserve (weight over least weight)".to_owned(),
        "least_weight_kg" => "least weight (kg)".to_owned(),
        "run_time_days" => "run time between windings (days)".to_owned(),
        _ => key.to_owned(),
    }
}

/// Points that keep going.
fn going(map: &Map) -> usize {
    map.rows.iter().filter(|row| row.outcome == Outcome::KeepsGoing).count()
}

fn share_going(map: &Map) -> String {
    fixed(1e2 * going(map) as f64 / map.rows.len().max(1) as f64, 1)
}

/// A panel over both axes with the regions of the map.
fn over_both(view: &MapView<'_>, map: &Map, title: &str, subtitle: &str, name_going: bool) -> Option<(Sheet, Panel)> {
    let (xs, ys) = (view.x.values(), view.y?.values());
    let (first, last) = ((xs.first()?, ys.first()?), (xs.last()?, ys.last()?));
    if !(last.0 > first.0 && last.1 > first.1) || map.lines.is_empty() {
        return None;
    }
    let mut sheet = Sheet::new(title, subtitle, BODY_MM);
    let x = PanelAxis::between(*first.0, *last.0, &axis_name(view.x), 7.0);
    let y = PanelAxis::between(*first.1, *last.1, &axis_name(view.y?), 6.0);
    let panel = Panel::alone(&mut sheet, x, y);
    draw_regions(&mut sheet, &panel, map, name_going);
    if let (Some(x), Some(y)) = view.today {
        let at = panel.at((x, y));
        if panel.frame.holds(at) {
            sheet.ring(at, 1.0, Pen::solid(INK, 0.35));
            let (text, within) = ("as designed".to_owned(), panel.frame);
            sheet.label(Label { at, text, colour: INK, towards: (1.0, -0.6), within, leader: true });
        }
    }
    Some((sheet, panel))
}

fn verdicts(view: &MapView<'_>, map: &Map) -> Option<Sheet> {
    let title = format!("{}: where it keeps going", view.name);
    let mut subtitle = format!("{} % of the points keep going. Bold line: the stall, solved for.", share_going(map));
    if let [(_, least)] = map.least.as_slice() {
        let unit = [Some(view.x), view.y].into_iter().flatten().find(|axis| axis.path != START)?.unit.clone();
        subtitle.push_str(&format!(" Least drive {} {}.", significant(*least, 3), unit.unwrap_or_default()));
    }
    let (with, going) = (map.rows.iter().filter(|row| row.meets_margin() == Some(true)).count(), going(map));
    let line = if with < going { margin_line(view, map) } else { Vec::new() };
    if with < going {
        let share = fixed(1e2 * with as f64 / map.rows.len().max(1) as f64, 1);
        let of_line = if line.is_empty() { "" } else { " (dashed line)" };
        subtitle.push_str(&format!(" With the margin asked{of_line}: {share} %."));
    }
    let (mut sheet, panel) = over_both(view, map, &title, &subtitle, true)?;
    for course in line {
        panel.curve(&mut sheet, course, Pen::solid(INK, THIN_MM).broken(DASHED));
    }
    Some(sheet)
}

/// Where the swing has just the margin asked for, between points that keep going.
fn margin_line(view: &MapView<'_>, map: &Map) -> Vec<Vec<(f64, f64)>> {
    let Some((xs, ys, grid)) = grid(view, map, |row| row.beyond_margin_rad) else { return Vec::new() };
    contour(&xs, &ys, |x, y| grid[x * ys.len() + y], 0.0)
}

/// A number of every row by the places of both axes; where rows are missing there is nothing to draw between.
fn grid(view: &MapView<'_>, map: &Map, of: impl Fn(&MapRow) -> Option<f64>) -> Option<MapGrid> {
    let (xs, ys) = (view.x.values(), view.y?.values());
    let mut grid = vec![None; xs.len() * ys.len()];
    let place = |values: &[f64], value: f64| values.partition_point(|other| *other < value);
    for row in &map.rows {
        let (x, y) = (place(&xs, row.x), place(&ys, row.y?));
        if x < xs.len() && y < ys.len() {
            grid[x * ys.len() + y] = of(row);
        }
    }
    Some((xs, ys, grid))
}

fn answer(row: &MapRow, number: usize) -> Option<f64> {
    row.answers.get(number).copied().flatten()
}

fn contours(view: &MapView<'_>, map: &Map, number: usize) -> Option<Sheet> {
    let key = &view.keys[number];
    let title = format!("{}: {}", view.name, answer_name(key));
    let values = map.rows.iter().filter_map(|row| answer(row, number));
    let (low, high) = values.fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), v| (low.min(v), high.max(v)));
    if !(low <= high) {
        return None;
    }
    let subtitle = format!("From {} to {}; bold line: the stall.", significant(low, 3), significant(high, 3));
    let (mut sheet, panel) = over_both(view, map, &title, &subtitle, false)?;
    let (xs, ys, grid) = grid(view, map, |row| answer(row, number))?;
    let (levels, decimals) = levels(low, high, 8.0);
    for (count, level) in levels.into_iter().enumerate() {
        // There the stall line lies.
        if key == "weight_ratio" && level == 1.0 {
            continue;
        }
        let lines = contour(&xs, &ys, |x, y| grid[x * ys.len() + y], level);
        let longest = lines.iter().max_by_key(|line| line.len()).cloned();
        for line in lines {
            panel.curve(&mut sheet, line, Pen::solid(ENTRY, THIN_MM));
        }
        if let Some(line) = longest {
            let share = [0.35, 0.5, 0.65][count % 3];
            let (text, within) = (fixed(level, decimals), panel.frame);
            let at = panel.at(line[((line.len() - 1) as f64 * share) as usize]);
            sheet.label(Label { at, text, colour: ENTRY, towards: (1.0, 0.0), within, leader: false });
        }
    }
    Some(sheet)
}

fn curve(view: &MapView<'_>, map: &Map, number: usize) -> Option<Sheet> {
    let key = &view.keys[number];
    let points: Vec<(f64, Option<f64>)> = map.rows.iter().map(|row| (row.x, answer(row, number))).collect();
    let known = || points.iter().filter_map(|point| point.1);
    known().next()?;
    let title = format!("{}: {}", view.name, answer_name(key));
    let mut subtitle = format!("{} % of the points keep going.", share_going(map));
    if let [(_, least)] = map.least.as_slice() {
        let unit = view.x.unit.clone().unwrap_or_default();
        subtitle.push_str(&format!(" Least drive {} {unit}.", significant(*least, 3)));
    }
    let mut sheet = Sheet::new(&title, &subtitle, 62.0);
    let xs = view.x.values();
    let (first, last) = (*xs.first()?, *xs.last()?);
    if !(last > first) {
        return None;
    }
    let panel = Panel::alone(
        &mut sheet,
        PanelAxis::between(first, last, &axis_name(view.x), 7.0),
        PanelAxis::over(known(), &answer_name(key), 6.0),
    );
    for stretch in map.lines.iter().flat_map(|line| &line.stretches) {
        if stretch.answer == Outcome::KeepsGoing {
            continue;
        }
        let (left, right) = (panel.at((stretch.from, panel.y().low())).0, panel.at((stretch.to, panel.y().low())).0);
        let block = Edges { left, right, ..panel.frame };
        sheet.block(&block, fill(&stretch.answer));
        name_region(&mut sheet, &panel, &stretch.answer, &block);
    }
    let pen = Pen::solid(ENTRY, CURVE_MM);
    for run in points.split(|point| point.1.is_none()) {
        let run: Vec<(f64, f64)> = run.iter().filter_map(|point| Some((point.0, point.1?))).collect();
        if let [alone] = run.as_slice() {
            sheet.disc(panel.at(*alone), 0.5, ENTRY);
        }
        panel.curve(&mut sheet, run, pen);
    }
    if let Some(today) = view.today.0.filter(|today| (first..=last).contains(today)) {
        panel.upright(&mut sheet, today, Pen::solid(INK, THIN_MM).broken(DASHED));
        let at = panel.at((today, panel.y().low() + 0.08 * (panel.y().high() - panel.y().low())));
        let (text, within) = ("as designed".to_owned(), panel.frame);
        sheet.label(Label { at, text, colour: INK, towards: (1.0, 0.0), within, leader: false });
    }
    Some(sheet)
}
